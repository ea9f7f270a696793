//! The clients that wait for news: not more than a number, so that they lock nobody out.

use std::collections::VecDeque;
use std::net::{Shutdown, TcpStream};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The most clients that wait for news. Assumed: nobody has more pages of it open.
const MOST: usize = 32;

/// The clients that wait, the one that came first in front.
#[derive(Default)]
pub struct Listeners {
    waiting: Mutex<VecDeque<Waiting>>,
}

struct Waiting {
    dismissed: Arc<AtomicBool>,
    stream: TcpStream,
}

/// A client's place among those that wait.
pub struct Listener(Arc<AtomicBool>);

impl Listener {
    /// Whether it is to go.
    pub fn is_dismissed(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

impl Listeners {
    // A thread that panicked while it held the clients leaves them whole.
    fn waiting(&self) -> MutexGuard<'_, VecDeque<Waiting>> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes a client in; where there are as many as may be, the one that waits longest is sent away.
    /// A page that is still looked at asks again by itself.
    ///
    /// # Errors
    ///
    /// Where the system gives no handle.
    pub fn admit(&self, stream: &TcpStream) -> std::io::Result<Listener> {
        let dismissed = Arc::new(AtomicBool::new(false));
        let stream = stream.try_clone()?;
        let mut waiting = self.waiting();
        waiting.push_back(Waiting { dismissed: Arc::clone(&dismissed), stream });
        while waiting.len() > MOST {
            let Some(oldest) = waiting.pop_front() else { break };
            oldest.dismissed.store(true, Ordering::Relaxed);
            // Where it has left already there is nothing to close.
            let _ = oldest.stream.shutdown(Shutdown::Both);
        }
        Ok(Listener(dismissed))
    }

    /// Lets a client go that left by itself.
    pub fn leave(&self, listener: &Listener) {
        self.waiting().retain(|other| !Arc::ptr_eq(&other.dismissed, &listener.0));
    }
}

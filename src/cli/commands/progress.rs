//! How far a long run has come: a line on a terminal that is written over and over, and taken away at the end.

use fretleaf::findings::report::visible::on_one_line;
use std::cell::Cell;
use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// So long a run is waited for without a word.
const PATIENCE: Duration = Duration::from_millis(500);
/// The line is written anew no sooner than this.
const PAUSE: Duration = Duration::from_millis(100);
/// The most letters of what is being done: a line that a terminal breaks can't be written over.
const WIDEST: usize = 60;
/// Goes to the line's beginning and clears it.
const CLEARED: &str = "\r\x1b[K";

/// How much is done of all that is to do.
pub struct Progress {
    all: u64,
    done: Cell<u64>,
    begun: Instant,
    /// When it was told last.
    told: Cell<Option<Instant>>,
    /// Whether standard error is a terminal.
    is_told: bool,
}

impl Progress {
    /// Nothing done yet of so much. It is told only where standard error is a terminal.
    pub fn new(all: u64) -> Progress {
        Progress {
            all,
            done: Cell::new(0),
            begun: Instant::now(),
            told: Cell::new(None),
            is_told: io::stderr().is_terminal(),
        }
    }

    /// So much more is done, of `what`.
    pub fn more(&self, done: u64, what: &str) {
        self.done.set(self.done.get().saturating_add(done));
        let since = self
            .told
            .get()
            .map_or_else(|| self.begun.elapsed() > PATIENCE, |told| told.elapsed() > PAUSE);
        if self.is_told && since {
            self.told.set(Some(Instant::now()));
            // Where it can't be written there is nobody to tell.
            let _ = write!(io::stderr().lock(), "{CLEARED}{}", self.line(what));
        }
    }

    fn line(&self, what: &str) -> String {
        let percent = self.done.get().saturating_mul(100) / self.all.max(1);
        let what: String = on_one_line(what).chars().take(WIDEST).collect();
        format!("{what} … {}%", percent.min(100))
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.told.get().is_some() {
            let _ = write!(io::stderr().lock(), "{CLEARED}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_tells_how_far_it_has_come_and_never_more_than_all() {
        let progress = Progress::new(200);
        progress.more(50, "jam.wav");
        assert_eq!(progress.line("jam.wav"), "jam.wav … 25%");
        progress.more(500, "jam.wav");
        assert_eq!(progress.line("jam.wav"), "jam.wav … 100%");
        assert_eq!(Progress::new(0).line("jam\x1b.wav"), "jam␛.wav … 0%");
    }
}

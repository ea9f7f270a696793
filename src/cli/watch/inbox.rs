//! What was told of files and isn't looked at yet. However much there is of it, the request to end is
//! seen first.

use super::News;
use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError};
use std::time::Instant;

/// Something that was told of files.
pub type Told = notify::Result<notify::Event>;

/// What was told and isn't looked at yet.
pub struct Inbox<'n> {
    news: &'n Receiver<News>,
    events: Vec<Told>,
    over: bool,
}

impl<'n> Inbox<'n> {
    /// Nothing yet.
    pub fn new(news: &'n Receiver<News>) -> Inbox<'n> {
        Inbox { news, events: Vec::new(), over: false }
    }

    /// Waits until something is told, or until a moment.
    pub fn wait(&mut self, until: Instant) {
        if !self.events.is_empty() || self.over {
            return;
        }
        match self.news.recv_timeout(until.saturating_duration_since(Instant::now())) {
            Ok(news) => self.take(news),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => self.over = true,
        }
    }

    /// Takes in all that was told so far. Whether it is to end.
    pub fn is_over(&mut self) -> bool {
        while !self.over {
            match self.news.try_recv() {
                Ok(news) => self.take(news),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => self.over = true,
            }
        }
        self.over
    }

    /// Hands over what was told of files.
    pub fn events(&mut self) -> Vec<Told> {
        std::mem::take(&mut self.events)
    }

    fn take(&mut self, news: News) {
        match news {
            News::End => self.over = true,
            News::Files(event) => self.events.push(event),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use notify::{Event, EventKind};
    use std::sync::mpsc::channel;

    #[test]
    fn the_end_is_seen_behind_any_number_of_events() {
        let (sender, news) = channel();
        let mut inbox = Inbox::new(&news);
        assert!(!inbox.is_over());
        for _ in 0..1_000 {
            assert!(sender.send(News::Files(Ok(Event::new(EventKind::Any)))).is_ok());
        }
        inbox.wait(Instant::now());
        assert!(!inbox.is_over());
        assert_eq!((inbox.events().len(), inbox.events().len()), (1_000, 0));
        assert!(sender.send(News::Files(Ok(Event::new(EventKind::Any)))).is_ok());
        assert!(sender.send(News::End).is_ok());
        assert!(inbox.is_over());
    }

    #[test]
    fn it_is_over_where_nobody_can_tell_anything_any_more() {
        let (sender, news) = channel::<News>();
        drop(sender);
        assert!(Inbox::new(&news).is_over());
    }
}

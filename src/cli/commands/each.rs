//! Work on many things at once, on the cores that there are.

use std::num::NonZero;
use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{self, ScopedJoinHandle};

/// The room that a thread has for what it is in the midst of, in bytes: that of a program's first
/// thread on most systems.
pub const ROOM: usize = 8 << 20;

/// What work makes of each item, in the order of the items. Each thread begins with tools of its own;
/// for one item there is no further thread.
pub fn of<I: Sync, W, T: Send>(
    items: &[I],
    begin: impl Fn() -> W + Sync,
    work: impl Fn(&W, &I) -> T + Sync,
) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let take = || {
        let index = next.fetch_add(1, Ordering::Relaxed);
        items.get(index).map(|item| (index, item))
    };
    let worker = || {
        let tools = begin();
        std::iter::from_fn(take).map(|(index, item)| (index, work(&tools, item))).collect()
    };
    let threads = thread::available_parallelism().map_or(1, NonZero::get).min(items.len());
    let mut done: Vec<(usize, T)> = thread::scope(|scope| {
        let begun = (1..threads)
            .map(|_| thread::Builder::new().stack_size(ROOM).spawn_scoped(scope, worker));
        // Where a thread is not to be had, the others do its work.
        let others: Vec<ScopedJoinHandle<'_, Vec<_>>> = begun.flatten().collect();
        let mut done: Vec<(usize, T)> = worker();
        others.into_iter().for_each(|other| done.extend(ended(other)));
        done
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, made)| made).collect()
}

/// What a thread has made; its panic goes on in who waits for it.
pub fn ended<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panic| resume_unwind(panic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_is_done_once_and_stays_in_order() {
        let items: Vec<usize> = (0..1000).collect();
        assert_eq!(of(&items, || 1, |one, item| item + one), (1..=1000).collect::<Vec<_>>());
        assert_eq!(of(&[], || (), |(), item: &usize| *item), [0; 0]);
        let here = thread::current().id();
        assert_eq!(of(&[()], || (), |(), ()| thread::current().id()), [here]);
    }
}

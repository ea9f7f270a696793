//! Code of others that may panic on what an author's file holds.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    static GUARDED: Cell<bool> = const { Cell::new(false) };
}

/// Does some work and gives its result; `None` if it panicked, which is told nowhere else.
///
/// Whatever the work changes outside of itself must not be looked at after a panic.
pub(super) fn guarded<T>(work: impl FnOnce() -> T) -> Option<T> {
    static QUIET: Once = Once::new();
    QUIET.call_once(|| {
        let told = panic::take_hook();
        panic::set_hook(Box::new(move |panic| {
            if !GUARDED.get() {
                told(panic);
            }
        }));
    });
    let before = GUARDED.replace(true);
    let result = panic::catch_unwind(AssertUnwindSafe(work));
    GUARDED.set(before);
    result.ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_ends_at_the_guard() {
        assert_eq!(guarded(|| 3), Some(3));
        assert_eq!(guarded(|| -> u8 { panic!("within") }), None);
        assert_eq!(guarded(|| 4), Some(4));
    }
}

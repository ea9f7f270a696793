//! Whether there is a second core, for what can be done beside the rest.

use std::thread;

/// Whether several can work at once.
pub fn are_several() -> bool {
    thread::available_parallelism().is_ok_and(|cores| cores.get() > 1)
}

//! Ctrl-C asks for the best plan so far; a second one ends the program.

use std::sync::atomic::{AtomicBool, Ordering};

/// Exit code of a program ended by Ctrl-C: 128 and the number of the signal (*common practice* of shells).
const INTERRUPTED: i32 = 130;

/// A signal handler can reach nothing but a static.
static IS_WANTED: AtomicBool = AtomicBool::new(false);

/// Begins to listen.
pub fn listen() -> Result<(), ctrlc::Error> {
    ctrlc::set_handler(|| {
        if IS_WANTED.swap(true, Ordering::Relaxed) {
            std::process::exit(INTERRUPTED);
        }
    })
}

/// Whether Ctrl-C has been pressed.
pub fn is_wanted() -> bool {
    IS_WANTED.load(Ordering::Relaxed)
}

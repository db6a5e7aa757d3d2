//! Ctrl-C asks for the best plan so far; a second one ends the program, and leaves no file half written.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Exit code of a program ended by Ctrl-C: 128 and the number of the signal (*common practice* of shells).
const INTERRUPTED: i32 = 130;

/// Whoever listens for a signal can reach nothing but a static.
static IS_WANTED: AtomicBool = AtomicBool::new(false);

/// Held while files are written: the second Ctrl-C waits for it, some milliseconds.
static WRITING: Mutex<()> = Mutex::new(());

/// Begins to listen.
pub fn listen() -> Result<(), ctrlc::Error> {
    ctrlc::set_handler(|| {
        if IS_WANTED.swap(true, Ordering::Relaxed) {
            let _whole = while_writing();
            std::process::exit(INTERRUPTED);
        }
    })
}

/// Whether Ctrl-C has been pressed.
pub fn is_wanted() -> bool {
    IS_WANTED.load(Ordering::Relaxed)
}

/// Keeps the program from ending through Ctrl-C until the guard is dropped.
pub fn while_writing() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

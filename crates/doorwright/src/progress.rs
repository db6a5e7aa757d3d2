//! Progress on anything over a second: one line that changes, on a terminal only.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A line that says what is being done; silent when standard error is not a terminal or the work is quick.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// Begins; nothing shows before the first step that takes its time.
    pub fn new() -> Self {
        let bar = ProgressBar::new_spinner().with_style(
            ProgressStyle::with_template("{spinner} {msg} ({elapsed})")
                .unwrap_or_else(|_| ProgressStyle::default_spinner()),
        );
        bar.set_draw_target(ProgressDrawTarget::stderr_with_hz(10));
        bar.enable_steady_tick(Duration::from_millis(300));
        Self { bar }
    }

    /// Says what is being done now.
    pub fn step(&self, what: &str) {
        self.bar.set_message(what.to_owned());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

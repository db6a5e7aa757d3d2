//! What is printed: findings in full or by the line, workings, errors. Colour on a terminal only.

mod architecture;
mod finding;
mod working;

use std::io::{self, IsTerminal as _, Write as _};

use serde::Serialize;

pub use architecture::architecture;
pub use finding::{brief, full, summary};
pub use working::{rule_page, working};

/// Prints text to standard output.
pub fn text(text: &str) -> anyhow::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(())
}

/// Prints a value as JSON to standard output.
pub fn json<T: Serialize>(value: &T) -> anyhow::Result<()> {
    let mut line = serde_json::to_string_pretty(value)?;
    line.push('\n');
    text(&line)
}

/// Prints an error with its causes to standard error; where JSON was asked for, as an object to standard output.
pub fn error(error: &anyhow::Error, as_json: bool) {
    let causes: Vec<String> = error.chain().map(ToString::to_string).collect();
    let message = causes.join(": ");
    // Nothing is left to do when even the place for errors is gone.
    if as_json {
        let _ = json(&serde_json::json!({ "error": message }));
    } else {
        let _ = writeln!(io::stderr(), "doorwright: {message}");
    }
}

/// Prints something to know besides the answer to standard error; nothing when there is nothing.
pub fn notice(text: &str) {
    // Nothing is left to do when even the place for notices is gone.
    let _ = io::stderr().write_all(text.as_bytes());
}

/// Wraps text in an SGR code when standard output is a terminal and colour is not refused (`NO_COLOR`).
pub fn styled(text: &str, code: &str) -> String {
    let wanted = io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    if wanted { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
}

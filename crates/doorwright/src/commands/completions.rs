//! `completions`: a completion script for a shell.

use clap::CommandFactory as _;

use crate::args::{Cli, CompletionArgs};
use crate::{Outcome, show};

/// Prints the script.
pub fn run(args: &CompletionArgs) -> anyhow::Result<Outcome> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "doorwright", &mut script);
    show::text(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Clear)
}

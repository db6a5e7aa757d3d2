//! The doorwright command line: reads files, calls the engine, writes files, prints.
//!
//! Exit codes: 0 nothing to stop, 1 stop findings or something unserved, 2 usage or file error.

#![allow(unreachable_pub, reason = "a program has no outside that could reach anything")]

mod args;
mod commands;
mod files;
mod memory;
mod progress;
mod shipped;
mod show;
mod stop;

use std::process::ExitCode;

use clap::Parser;

use args::{Cli, Command};

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Nothing to stop.
    Clear,
    /// Stop findings, or something that is not served.
    Stopped,
    /// Something asked for could not be done, and has been told.
    Failed,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let result = std::panic::catch_unwind(|| run(&cli)).unwrap_or_else(|_| {
        Err(anyhow::anyhow!(
            "the program failed on this input; please report it with the job. No file was half written"
        ))
    });
    match result {
        Ok(Outcome::Clear) => ExitCode::SUCCESS,
        Ok(Outcome::Stopped) => ExitCode::from(1),
        Ok(Outcome::Failed) => ExitCode::from(2),
        Err(error) if is_broken_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            show::error(&error, cli.json);
            ExitCode::from(2)
        }
    }
}

fn run(cli: &Cli) -> anyhow::Result<Outcome> {
    let json = cli.json;
    match &cli.command {
        Command::Check(args) => commands::check::run(args, json),
        Command::Design(args) => commands::design::run(args, json),
        Command::Preview(args) => commands::preview::run(args, json),
        Command::Explain(args) => commands::explain::run(args, json),
        Command::Calc(args) => commands::calc::run(args, json),
        Command::Schema(args) => commands::schema::run(args),
        Command::New(args) => commands::new::run(args),
        Command::Demo(args) => commands::demo::run(args, json),
        Command::Issue(args) => commands::issue::run(args, json),
        Command::Place(args) => commands::place::run(args, json),
        Command::Completions(args) => commands::completions::run(args),
    }
}

/// A reader that stops listening (`doorwright ... | head`) is no error.
fn is_broken_pipe(error: &anyhow::Error) -> bool {
    let io = error.chain().find_map(|cause| cause.downcast_ref::<std::io::Error>());
    io.is_some_and(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
}

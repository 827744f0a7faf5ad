//! The commands. Only here are the clock, the environment and the terminal looked at.
//!
//! Exit codes: 0 fine, 1 problems in the content, 2 wrong use or a failure of the machine.

mod arguments;
mod folders;
mod jot;
mod mix;
mod preview;
mod proof;
mod publish;
mod start;
mod take;
mod tasks;
mod tell;
mod words;

use std::error::Error;
use std::io::{self, ErrorKind};
use std::process::ExitCode;

use clap::Parser;

use crate::cli::arguments::{Arguments, Command};

/// How a command ended.
enum Outcome {
    Fine,
    /// There are problems in the content; they have been told.
    Problems,
}

/// Why a command could not do its work: the machine, or the way it was called.
struct Failure(String);

/// Runs the command that the arguments name.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let outcome = match &arguments.command {
        Command::Publish(publish) => publish::run(publish),
        Command::Preview(preview) => preview::run(preview),
        Command::Proof(proof) => proof::run(proof),
        Command::Start(start) => start::run(start),
        Command::Jot(jot) => jot::run(jot),
        Command::Take(take) => take::run(take),
        Command::Words(words) => words::run(words),
        Command::Tasks(tasks) => tasks::run(tasks),
        Command::Mix(mix) => mix::run(mix),
    };
    match outcome {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Problems) => ExitCode::from(1),
        Err(Failure(message)) => {
            tell::failure(&message);
            ExitCode::from(2)
        }
    }
}

impl Failure {
    /// An error with what caused it, and what to do next if that was the machine.
    fn of(error: &(dyn Error + 'static)) -> Failure {
        let mut message = error.to_string();
        let mut cause = error.source();
        let mut next = error.downcast_ref().map(next_step);
        while let Some(error) = cause {
            message.push_str(&format!(": {error}"));
            next = error.downcast_ref().map(next_step).or(next);
            cause = error.source();
        }
        if let Some(next) = next {
            message.push_str(&format!("; {next}"));
        }
        Failure(message)
    }

    /// What could not be done, and why the machine would not.
    fn of_machine(what: &str, error: &io::Error) -> Failure {
        Failure(format!("{what}: {error}; {}", next_step(error)))
    }
}

/// What a person does about a failure of the machine.
fn next_step(error: &io::Error) -> &'static str {
    match error.kind() {
        ErrorKind::PermissionDenied => {
            "see to whom the file and the folder it lies in belong, and that you may read and change them"
        }
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "make room on the disk and try again",
        ErrorKind::ReadOnlyFilesystem => {
            "nothing can be written on that disk; choose a folder on another"
        }
        ErrorKind::NotFound => "see whether it, and what it lies in, is still there",
        ErrorKind::AlreadyExists => "move away what stands there, or choose another name",
        ErrorKind::InvalidFilename => {
            "this disk does not take the name; choose a shorter or plainer one"
        }
        _ => "see whether the disk is in order, and try again",
    }
}

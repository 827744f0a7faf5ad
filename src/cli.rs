//! The commands. Only here are the clock, the environment and the terminal looked at.
//!
//! Exit codes: 0 fine, 1 problems in the content, 2 wrong use or a failure of the machine.

mod arguments;
mod folders;
mod jot;
mod mix;
mod proof;
mod publish;
mod start;
mod tasks;
mod tell;

use std::process::ExitCode;

use clap::Parser;

use crate::cli::arguments::{Arguments, Command};

/// How a command ended.
enum Outcome {
    /// As wished.
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
        Command::Proof(proof) => proof::run(proof),
        Command::Start(start) => start::run(start),
        Command::Jot(jot) => jot::run(jot),
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
    /// A failure of the machine, with what caused it.
    fn of(error: &dyn std::error::Error) -> Failure {
        let mut message = error.to_string();
        let mut cause = error.source();
        while let Some(error) = cause {
            message.push_str(&format!(": {error}"));
            cause = error.source();
        }
        Failure(message)
    }
}

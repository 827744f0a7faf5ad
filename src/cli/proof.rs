//! `trug proof`: every problem of every file, and nothing written.

use crate::cli::arguments::Proof;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::diagnostics::codes::Severity;
use crate::diagnostics::report;
use crate::publish;

pub(super) fn run(arguments: &Proof) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (_, problems) = publish::proof(&inputs);
    if arguments.expand {
        for (path, lines) in publish::expanded(&inputs) {
            tell::out(&format!("# {path}\n{lines}\n"))?;
        }
    }
    tell::problems(&problems, &inputs, &arguments.content, arguments.format)?;
    tell::note(&format!("{}.", report::tally(&problems)));
    let has_errors = problems.iter().any(|problem| problem.severity() == Severity::Error);
    Ok(if has_errors { Outcome::Problems } else { Outcome::Fine })
}

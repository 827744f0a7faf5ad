//! The command `trug`: arguments in, problems out, an exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    trug::cli::run()
}

//! The command `trug`: arguments in, problems out, an exit code.

use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    trug::cli::run()
}

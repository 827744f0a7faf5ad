//! The command `trug`: arguments in, problems out, an exit code.

use std::process::ExitCode;

#[cfg(target_env = "musl")]
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    trug::cli::run()
}

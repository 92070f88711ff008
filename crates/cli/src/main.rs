//! The `trimsheet` program; everything it does is in the library beside it.

use std::process::ExitCode;

/// A check makes and drops some hundred thousand small things.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    trimsheet_cli::run()
}

//! The `trimsheet` program; everything it does is in the library beside it.

use std::process::ExitCode;

fn main() -> ExitCode {
    trimsheet_cli::run()
}

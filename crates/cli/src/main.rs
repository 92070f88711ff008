//! The `trimsheet` program: arguments in, findings out, an exit status.
//!
//! Only this crate touches files, the environment and the terminal. What it does with
//! them is small: it makes a [`Disk`](disk::Disk), calls the chain, and shows the answer.

mod arguments;
mod check;
mod disk;
mod explain;
mod rules;
mod screen;

use std::process::ExitCode;

use clap::Parser;

use crate::arguments::{Arguments, Command};

/// How the program ends: the exit status is part of its interface.
pub(crate) enum End {
    /// Nothing at or above the level that was asked for.
    Clear,
    /// Findings at or above it.
    Found,
    /// It could not do what was asked.
    CouldNotRun,
}

fn main() -> ExitCode {
    let end = match Arguments::parse().command {
        Command::Check(wanted) => check::check(&wanted),
        Command::Explain { rule, file, under } => {
            explain::explain(&rule, file.as_deref(), &under)
        }
        Command::Rules(wanted) => rules::rules(&wanted),
    };
    ExitCode::from(match end {
        End::Clear => 0,
        End::Found => 1,
        End::CouldNotRun => 2,
    })
}

//! The `trimsheet` program: arguments in, findings out, an exit status.
//!
//! Only this crate touches files, the environment and the terminal. What it does with
//! them is small: it makes a `Disk`, calls the chain, and shows the answer.
//!
//! A library, so that tests can ask for the one definition of the arguments, which feeds
//! the reading, the help, the manual and the completions; the binary only calls [`run()`].

mod arguments;
mod as_built;
mod balance;
mod bundle;
mod cards;
mod check;
mod debrief;
mod disk;
mod drawn;
mod explain;
mod manual;
mod new;
mod opened;
mod rules;
mod screen;
mod signoff;
mod sweep;
mod throws;
mod trial;
mod wiring;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

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

/// The definition of the arguments.
pub fn command() -> clap::Command {
    Arguments::command()
}

/// Does what the arguments of this process ask for.
pub fn run() -> ExitCode {
    let end = match Arguments::parse().command {
        Command::Check(wanted) => check::check(&wanted),
        Command::Explain { rule, file, under } => {
            explain::explain(&rule, file.as_deref(), &under)
        }
        Command::Rules(wanted) => rules::rules(&wanted),
        Command::Balance(wanted) => balance::balance(&wanted),
        Command::Throws(wanted) => throws::throws(&wanted),
        Command::Wiring(wanted) => wiring::wiring(&wanted),
        Command::Cards(wanted) => cards::cards(&wanted),
        Command::Debrief(wanted) => debrief::debrief(&wanted),
        Command::Signoff(wanted) => signoff::signoff(&wanted),
        Command::AsBuilt(wanted) => as_built::as_built(&wanted),
        Command::Baseline(wanted) => signoff::rebase(&wanted),
        Command::Bundle(wanted) => bundle::bundle(&wanted),
        Command::Try(wanted) => trial::try_changes(&wanted),
        Command::New(wanted) => new::new(&wanted),
        Command::Completions { shell } => manual::completions(shell),
        Command::Manual { into } => manual::manual(into.as_deref()),
    };
    ExitCode::from(match end {
        End::Clear => 0,
        End::Found => 1,
        End::CouldNotRun => 2,
    })
}

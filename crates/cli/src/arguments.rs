//! What can be asked for: one definition feeds the reading, the help and the manual.

use clap::{Args, Parser, Subcommand, ValueEnum};
use trimsheet_project::model::Stage;
use trimsheet_project::source::Level;

/// Checks the build specs of small model aircraft.
///
/// A spec is a text file, NAME.trim: what the aircraft is made of, where everything is,
/// and how it is meant to be set up. trimsheet reads it, works out what follows, and
/// says on which line something is wrong, by how much, because of what, and what to do.
#[derive(Parser)]
#[command(name = "trimsheet", version, max_term_width = 92, after_help = CAUTION)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const CAUTION: &str = "A check is no release to fly. It sees what is written, not the aircraft: \
inspect it, and follow your local rules.";

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Checks specs, and every spec in folders
    #[command(after_help = CHECK_EXAMPLES)]
    Check(Check),
    /// Prints the page of a rule: what it checks, why, and what to do
    #[command(after_help = EXPLAIN_EXAMPLES)]
    Explain {
        /// The name of the rule, as it stands in a finding
        #[arg(value_name = "RULE")]
        rule: String,
    },
}

const CHECK_EXAMPLES: &str = "Examples:
  trimsheet check whinchat.trim
  trimsheet check whinchat.trim --stage ready    what if it were ready for the field?
  trimsheet check examples --fail-at warning     every spec in a folder, strictly
  trimsheet check examples --format json         for another program

Exit status: 0 nothing at or above the level, 1 findings, 2 could not run.";

const EXPLAIN_EXAMPLES: &str = "Example:
  trimsheet explain balance/outside-band";

#[derive(Args)]
pub(crate) struct Check {
    /// Spec files, or folders that hold some
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<String>,
    /// The least serious finding that makes the check fail: note, warning, error or stop
    #[arg(long, value_name = "LEVEL", default_value = "error", value_parser = level)]
    pub(crate) fail_at: Level,
    /// Judge as if the build had reached this stage: planned, bench, installed, balanced,
    /// ready or flown
    #[arg(long, value_name = "STAGE", value_parser = stage)]
    pub(crate) stage: Option<Stage>,
    /// How to show what was found
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: Format,
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

fn level(text: &str) -> Result<Level, String> {
    let all = Level::ALL.map(Level::word).join(", ");
    Level::from_word(text).ok_or_else(|| format!("expected one of {all}"))
}

fn stage(text: &str) -> Result<Stage, String> {
    let all = Stage::WORDS.join(", ");
    Stage::from_word(text).ok_or_else(|| format!("expected one of {all}"))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_arguments_agree_with_each_other() {
        super::Arguments::command().debug_assert();
    }
}

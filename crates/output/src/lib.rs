//! Findings, as a person reads them in a terminal and as programs read them.
//!
//! Everything here is a pure function from a [`Report`] to text: nothing is printed,
//! no file is opened, and whether there is a terminal, how wide it is and whether it
//! has colours is the caller's to say, in a [`Look`].
//! The terminal form is for eyes and may change; the [`json`](mod@json) form is
//! versioned. [`sarif`](mod@sarif), [`junit`](mod@junit), [`annotations`](mod@annotations)
//! and [`lines`](mod@lines) are the forms of others, for servers and editors.
//!
//! Nothing here judges: which findings there are, in which order, and what they say
//! was settled before.

pub mod annotations;
pub mod clean;
pub mod json;
pub mod junit;
pub mod lines;
mod page;
mod pen;
mod ruler;
pub mod sarif;
mod strip;
mod summary;
mod terminal;
mod unsaid;
mod words;
pub mod wrap;

pub use annotations::annotations;
pub use json::json;
pub use junit::junit;
pub use lines::lines;
pub use sarif::sarif;
pub use summary::summary;
pub use terminal::{findings, terminal};

use trimsheet_source::{
    CannotSay, Figures, Finding, Judged, Level, RuleText, Sources, Waived,
};

/// What one run found, ready to be shown.
#[derive(Clone, Debug)]
pub struct Report<'a> {
    /// The files that the spans point into.
    pub sources: &'a Sources,
    /// What is wrong or worth knowing, in the order in which it is shown.
    pub findings: &'a [Finding],
    /// What somebody lets pass, with the reason.
    pub waived: &'a [Waived],
    /// The rules that could not judge something.
    pub cannot_say: &'a [CannotSay],
    /// What was worked out, whether or not a rule finds fault with it.
    pub figures: &'a [Figures],
    /// Which rules ran over which spec, and what of the above is about it.
    pub judged: &'a [Judged],
    /// What rules say of themselves, in the order of their ids.
    pub rules: &'a [RuleText],
    /// The files that could not be checked, each with the reason.
    pub troubles: &'a [(String, String)],
    /// What is said once about the whole run.
    pub summary: Summary,
}

impl<'a> Report<'a> {
    /// Findings alone, of a run that counts nothing.
    pub fn of(sources: &'a Sources, findings: &'a [Finding]) -> Report<'a> {
        Report {
            sources,
            findings,
            waived: &[],
            cannot_say: &[],
            figures: &[],
            judged: &[],
            rules: &[],
            troubles: &[],
            summary: Summary::new(Level::Error),
        }
    }
}

/// What is said once about a whole run.
#[derive(Clone, Debug)]
pub struct Summary {
    /// The stage that the build was judged for, as asked for on the command line.
    pub stage: Option<String>,
    /// The lowest level that makes the run fail.
    pub fail_at: Level,
    /// How many spec files were checked.
    pub files: usize,
    /// How many limits are loosened, with a reason and until a day.
    pub loosened: usize,
    /// How many values rest on an estimate.
    pub estimated: usize,
    /// How many values are not known.
    pub unknown: usize,
    /// How many steps have a record that still holds.
    pub proved: usize,
}

impl Summary {
    /// What is said of a run that counts nothing.
    pub fn new(fail_at: Level) -> Summary {
        Summary {
            stage: None,
            fail_at,
            files: 0,
            loosened: 0,
            estimated: 0,
            unknown: 0,
            proved: 0,
        }
    }
}

/// Whether the terminal form has colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    /// Text alone.
    Plain,
    /// Text with ANSI colour sequences.
    Ansi,
}

/// How the terminal form looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Whether it has colours.
    pub colour: Colour,
    /// The columns to keep within; fewer than 50 are taken as 50.
    ///
    /// Lines of a file are cut at 200 columns even where there is more room.
    pub width: usize,
}

/// How many lines that caused a finding are shown to people; the others are only counted.
const MOST_CAUSES: usize = 20;

/// How many of something there are, with the right form of its name.
fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

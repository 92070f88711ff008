//! The debrief: what a flight log shows, beside what the spec plans.
//!
//! [`Wanted`] finds the `log` of a spec and turns its lines into the mapping with which a
//! log is read; a [`Debrief`] is plain data, made from facts and from what was read.
//! [`text()`] writes it for a person, [`json()`] for a program as the form
//! `trimsheet-debrief`, version 1: `form`, `version`, and then the keys of a [`Debrief`]
//! in the order of its fields; [`csv()`] for a spreadsheet, a row for each figure.
//! Whether a limit was kept is the business of rules, and no verdict stands here.

mod csv;
mod make;
mod mapped;
mod text;

use serde::Serialize;
use trimsheet_facts::Facts;
use trimsheet_facts::model::EntryId;
use trimsheet_facts::model::source::Sources;
use trimsheet_flightlog::Reading;

pub use self::csv::csv;
pub use self::mapped::{NoMapping, Wanted};
pub use self::text::text;
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// A flight beside its plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Debrief {
    /// What people call the aircraft.
    pub title: String,
    /// The spec, as its path is shown.
    pub file: String,
    /// Which state of the design it is: `B 2026-10-11`, if the spec says it.
    pub revision: Option<String>,
    /// The stage that the build is judged for.
    pub stage: String,
    /// The log that was read.
    pub log: Log,
    /// The loadout that was flown, if it is said.
    pub loadout: Option<String>,
    /// What was flown, with the plan beside it where the spec has one.
    pub figures: Vec<Figure>,
    /// Which windows the cruise current comes from.
    pub cruise_from: Option<String>,
    /// The measured cruise current as a line of the spec, if it can be one.
    pub offer: Option<Offer>,
    /// What cannot be said, and why.
    pub not_said: Vec<NotSaid>,
}

/// A log, in which form it is, and what of it could not be used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Log {
    /// Its path, as it was given.
    pub path: String,
    /// The `log` of the spec that says what its columns are.
    pub name: String,
    /// Where that stands.
    pub line: Option<Line>,
    /// How it is written: delimiter, decimals, form of time.
    pub form: String,
    /// All rows under the header.
    pub rows: u64,
    /// Those that were used.
    pub used: u64,
    /// Those that were left out, by sort.
    pub left_out: Vec<LeftOut>,
    /// Lines with nothing on them, which are no rows.
    pub blank: u64,
    /// Times without a row, over which nothing is summed.
    pub gaps: Vec<Gap>,
    /// How many gaps there are; the first of them are listed.
    pub gap_count: u64,
    /// How long they are together.
    pub gap_time: Number,
    /// What rows that were used leave empty.
    pub empty: Vec<Empty>,
}

/// Rows of one sort that were left out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// How many.
    pub count: u64,
    /// What is the matter with them.
    pub says: String,
    /// The first of them: `line 12, "amps" is "x"`.
    pub first: Vec<String>,
}

/// A time without a row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gap {
    /// The line of the log behind it.
    pub line: u64,
    /// How long it is.
    pub lasts: Number,
}

/// A channel that some rows leave empty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Empty {
    /// The channel.
    pub channel: String,
    /// How many of the rows that were used leave it empty.
    pub count: u64,
}

/// One figure of a flight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// What it is: `cruise current`.
    pub what: String,
    /// What the spec has.
    pub planned: Option<Number>,
    /// What the log shows.
    pub flown: Option<Number>,
    /// The plain number that it shows, where the log has no unit.
    pub bare: Option<f64>,
    /// Flown less planned.
    pub difference: Option<Number>,
    /// What is to be known with it: when, at which current.
    pub note: Option<String>,
    /// The line of the plan.
    pub line: Option<Line>,
}

/// A line that can be written into the spec.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// Under which entry.
    pub under: String,
    /// The line that it takes the place of, if the entry has one.
    pub line: Option<Line>,
    /// The line.
    pub says: String,
}

/// What JSON of a debrief calls itself.
pub const FORM: &str = "trimsheet-debrief";

/// The version of that form.
pub const VERSION: u32 = 1;

impl Debrief {
    /// Puts a log beside the plan of a loadout.
    pub fn new(
        facts: &Facts,
        sources: &Sources,
        wanted: &Wanted,
        read: (&str, &Reading),
        loadout: Option<EntryId>,
    ) -> Debrief {
        make::debrief(facts, sources, wanted, read, loadout)
    }
}

/// Writes a debrief as JSON: `form`, `version`, and then the keys of a [`Debrief`].
pub fn json(debrief: &Debrief) -> String {
    crate::json::document(FORM, VERSION, debrief)
}

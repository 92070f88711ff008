//! The wiring sheet: what is joined to what, by which leads, and who feeds whom.
//!
//! A [`Wiring`] is plain data, made from facts. [`text()`] writes it for a person with an
//! iron, [`json()`] for a program as the form `trimsheet-wiring`, version 1: `form`,
//! `version`, and then the keys of a [`Wiring`] in the order of its fields; [`csv()`] for
//! a spreadsheet, a row for each way; [`drawing()`](drawing::drawing) draws it on a sheet
//! of paper. Whether a joint is right is the business of rules, and no verdict stands here.
//!
//! Only what the spec says is joined: a lead that nobody wrote down is on no sheet.

mod csv;
pub mod drawing;
mod flow;
mod make;
mod text;
mod tree;

use serde::Serialize;
use trimsheet_facts::Facts;
use trimsheet_facts::model::source::Sources;

pub use self::csv::csv;
pub use self::text::text;
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// How an aircraft is wired.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wiring {
    /// What people call the aircraft.
    pub title: String,
    /// The spec, as its path is shown.
    pub file: String,
    /// Which state of the design it is: `B 2026-10-11`, if the spec says it.
    pub revision: Option<String>,
    /// The stage that the build is judged for.
    pub stage: String,
    /// One for each join, in the order of the spec.
    pub joins: Vec<Join>,
    /// Each part and each pack that is joined or has sockets, in the order of the spec.
    pub things: Vec<Thing>,
    /// Who feeds whom, from the packs on: each branch stands behind what it grows from,
    /// one deeper.
    pub tree: Vec<Branch>,
    /// What flows along the tree, in each loadout.
    pub flows: Vec<Flow>,
    /// What needs current by the spec, and is fed by nothing that the spec says.
    pub unfed: Vec<String>,
}

/// One join: its ways share their leads and their plug.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Join {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub line: Option<Line>,
    /// What it carries, from where to where.
    pub ways: Vec<Way>,
    /// Its leads in the order of the pins, as far as their colours are said.
    pub leads: Vec<Lead>,
    /// Its plug, if one is said.
    pub plug: Option<Plug>,
    /// The gauge of its wire.
    pub gauge: Option<Number>,
    /// How long it is, one way.
    pub length: Option<Number>,
    /// How much longer it is than its maker left it, one way.
    pub extended: Option<Number>,
    /// The photograph of it.
    pub photo: Option<Photo>,
    /// Why it cannot be said where it leads, where that is so.
    pub not_said: Option<NotSaid>,
}

/// A signal or a supply, from one end to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Way {
    /// `signal` or `supply`.
    pub carries: String,
    /// Where it comes from.
    pub from: End,
    /// Where it goes to.
    pub to: End,
    /// Whether one output is divided between several.
    pub is_divided: bool,
    /// Whether its set-up turns its direction round.
    pub is_reversed: bool,
    /// Whether its plus wire is lifted, so that only ground goes through.
    pub is_lifted: bool,
    /// Where it stands.
    pub line: Option<Line>,
}

/// One end of a way.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct End {
    /// The part or the pack.
    pub thing: String,
    /// Its port, its rail or its outlet, where one is named.
    pub socket: Option<String>,
}

/// One lead.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Lead {
    /// `signal`, `back`, `plus` or `minus`.
    pub carries: String,
    /// Its colour; nothing where the spec has a question mark.
    pub colour: Option<String>,
}

/// A plug.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plug {
    /// Which sort of plug.
    pub family: Option<String>,
    /// `pins` or `sockets`.
    pub gender: Option<String>,
    /// `keyed` or `marked`.
    pub kept: Option<String>,
    /// Which way round it goes.
    pub turned: Option<String>,
    /// The current that it can pass.
    pub carries: Option<Number>,
}

/// A photograph of a joint.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Photo {
    /// The file, as the spec names it.
    pub file: Option<String>,
    /// The day it was taken.
    pub date: Option<String>,
}

/// A part or a pack, and its sockets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Thing {
    /// Its name.
    pub name: String,
    /// `pack`, or what kind of part it is, if the spec says it.
    pub kind: Option<String>,
    /// Of a pack, its cells: `4S lipo`.
    pub says: String,
    /// Where it stands.
    pub line: Option<Line>,
    /// Its ports, its rails and its outlets, as the spec lists them.
    pub sockets: Vec<Socket>,
}

/// A port, a rail or an outlet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Socket {
    /// Its name.
    pub name: String,
    /// `port`, `rail` or `outlet`.
    pub is: String,
    /// What it speaks, or which volts it gives: `uart, 9.6 kBd to 921.6 kBd`.
    pub says: String,
    /// Who is on it; where nobody is it is free, unless a join could not be read.
    pub on: Vec<Occupant>,
}

/// Who is on a socket.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Occupant {
    /// The join.
    pub join: String,
    /// `signal` or `supply`.
    pub carries: String,
    /// `to` or `from`, as seen from the socket.
    pub goes: String,
    /// The other end.
    pub other: End,
}

/// One line of the power tree.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Branch {
    /// How deep it stands: nought for what is fed by nothing.
    pub depth: usize,
    /// What it is called.
    pub name: String,
    /// The part or the pack that it is, or whose socket it is.
    pub thing: String,
    /// What feeds it, if something does.
    pub fed_by: Option<String>,
    /// `pack`, `source` for what feeds others and is fed by nothing that the spec says,
    /// `part`, `rail` or `outlet`.
    pub is: String,
    /// The cells of a pack or the volts of a rail.
    pub says: String,
    /// Through which join it is fed.
    pub join: Option<String>,
    /// The gauge of the wire to it.
    pub gauge: Option<Number>,
    /// The length of that wire, one way.
    pub length: Option<Number>,
    /// Whether only ground goes to it, because the plus wire is lifted.
    pub is_lifted: bool,
    /// Whether what it feeds stands further up, where it was met first.
    pub is_above: bool,
}

/// What flows along the power tree in one loadout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Flow {
    /// The loadout.
    pub name: String,
    /// Whether nothing that matters for it is unknown or keeps the net from being one.
    pub is_whole: bool,
    /// For each branch of the tree, in its order; none where nothing can be worked out.
    pub branches: Vec<Figures>,
    /// What cannot be said, and why.
    pub not_said: Vec<NotSaid>,
}

/// What flows along one branch: a number for each phase of a flight, from the bench to
/// the landing, where there is one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// The current in the lead to it, or out of the rail or the pack.
    pub amps: Vec<Option<Number>>,
    /// The volts at the part or the pack.
    pub volts: Vec<Option<Number>>,
    /// Whether more may flow, because something behind it is not known.
    pub is_least: bool,
}

impl Wiring {
    /// Makes the sheet of an aircraft.
    pub fn new(facts: &Facts, sources: &Sources) -> Wiring {
        make::wiring(facts, sources)
    }

    /// Whether it can be said where each join leads: only then is a socket surely free.
    pub fn is_whole(&self) -> bool {
        self.joins.iter().all(|join| join.not_said.is_none())
    }
}

impl Socket {
    /// Whether nobody that the spec says is on it.
    pub fn is_free(&self) -> bool {
        self.on.is_empty()
    }
}

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-wiring";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a sheet as JSON: `form`, `version`, and then the keys of a [`Wiring`].
pub fn json(wiring: &Wiring) -> String {
    crate::json::document(FORM, VERSION, wiring)
}

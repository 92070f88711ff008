//! The throws card: how far each control surface goes, and what its servo does for it.
//!
//! A [`Throws`] is plain data, made from facts. [`text()`] writes it for a person with a
//! rule at the edge, [`json()`] for a program as the form `trimsheet-throws`, version 1:
//! `form`, `version`, and then the keys of a [`Throws`] in the order of its fields;
//! [`csv()`] for a spreadsheet; [`gauges()`](gauge::gauges) draws it to be printed at its
//! true size. Whether a limit is kept is the business of rules, and no verdict stands here.
//!
//! Angles of surfaces are worked out from the depth of the surface alone. What the servo
//! does comes of a linkage that does not bend and has no play: an estimate.

mod csv;
pub mod gauge;
mod make;
mod text;

use serde::Serialize;
use trimsheet_facts::Facts;
use trimsheet_facts::model::source::Sources;

pub use self::csv::csv;
pub use self::text::text;
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// How far the control surfaces of an aircraft go.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Throws {
    /// What people call the aircraft.
    pub title: String,
    /// The spec, as its path is shown.
    pub file: String,
    /// Which state of the design it is: `B 2026-10-11`, if the spec says it.
    pub revision: Option<String>,
    /// The stage that the build is judged for.
    pub stage: String,
    /// One for each surface or pair of them, in the order of the spec.
    pub surfaces: Vec<Surface>,
}

/// A control surface, or a pair of them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Surface {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub line: Option<Line>,
    /// What it is hinged to, if the spec says it.
    pub on: Option<String>,
    /// Whether it is a pair, left and right.
    pub is_pair: bool,
    /// How deep it is from its hinge to the edge, at the root and at the tip.
    pub depths: Option<[Number; 2]>,
    /// Where its edge stands with the stick let go, if the spec states a reflex.
    pub reflex: Option<Reflex>,
    /// What moves it, as far as the spec says it.
    pub linkage: Option<Linkage>,
    /// Its rates, in the order of the spec.
    pub rates: Vec<Rate>,
    /// What cannot be said, and why.
    pub not_said: Vec<NotSaid>,
}

/// Where an edge stands with the stick let go.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reflex {
    /// As the spec states it.
    pub stated: Number,
    /// How far it is turned from flat, up or down.
    pub turned: Number,
    /// What makes it: `rod`, `trim`, or nothing that is stated.
    pub by: Option<String>,
}

/// Arm, rod and horn of a surface.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Linkage {
    /// The hole of the arm, from the servo's screw.
    pub arm: Option<Number>,
    /// The hole of the horn, from the hinge line.
    pub horn: Option<Number>,
    /// Whether the spec states where the servo is; else arm and horn stand square to a
    /// long rod.
    pub is_placed: bool,
    /// How far the servo is reckoned to turn each way.
    pub usable: Number,
    /// Whether the spec states that, rather than common practice.
    pub is_usable_stated: bool,
    /// The holes that reach every throw with the best use of the servo, where the holes
    /// that there are are listed.
    pub best_holes: Option<[Number; 2]>,
    /// Where it stops, either way.
    pub ends: Vec<End>,
    /// Servo and surface over what the servo may turn, neutral among them.
    pub curve: Vec<Point>,
}

/// Where a linkage stops.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct End {
    /// `up`, `down`, `left` or `right`.
    pub way: String,
    /// How far the servo has turned there.
    pub servo: Number,
    /// How far the surface has, from where it stands with the servo at neutral.
    pub surface: Number,
    /// `locked`, `over-centre`, or `half-turn`, where nothing stops it.
    pub because: String,
}

/// A servo and its surface, both from neutral; each on the side to which the edge goes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Point {
    /// The servo.
    pub servo: Number,
    /// The surface.
    pub surface: Number,
}

/// A throw of the spec: how far a surface goes at a rate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rate {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub line: Option<Line>,
    /// At which end it is measured: `root` or `tip`; either, where both are alike.
    pub at: Option<String>,
    /// How deep the surface is there.
    pub depth: Number,
    /// What it counts from: `flat` or `reflex`.
    pub from: String,
    /// How its millimetres are read: `straight-up`, `edge-to-edge`, `upright-rule`.
    pub read: String,
    /// Each way that it goes.
    pub ways: Vec<Way>,
}

/// How far a surface goes one way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// `up`, `down`, `left` or `right`.
    pub way: String,
    /// As the spec states it, which may be of both ways together.
    pub stated: Number,
    /// Straight up from where it counts.
    pub straight_up: Number,
    /// Straight across, from edge to edge.
    pub edge_to_edge: Number,
    /// On a rule that stands upright where the edge lies at first.
    pub upright_rule: Number,
    /// How far it turns.
    pub angle: Number,
    /// How far it is then turned from flat, and to which side.
    pub stands: Number,
    /// How far from flat its edge then stands, and to which side.
    pub height: Number,
    /// What the servo does for it, where that is known.
    pub servo: Option<Turn>,
    /// The pulse for it, where that is known.
    pub pulse: Option<Pulse>,
    /// How far the halves were found to go.
    pub reached: Vec<Reached>,
    /// How much further the right half was found to go than the left.
    pub right_beyond_left: Option<Number>,
}

/// What a servo does for a throw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Turn {
    /// How far it turns, or how far until the linkage stops.
    pub by: Number,
    /// That, of what it may turn.
    pub share: Number,
    /// The angle between rod and arm there; a right angle is best.
    pub rod_to_arm: Option<Number>,
    /// The angle between rod and horn there.
    pub rod_to_horn: Option<Number>,
    /// What stops it short of the throw: `locked`, `over-centre`.
    pub stopped: Option<String>,
    /// How far the surface has come by then.
    pub surface: Number,
}

/// The pulse for a throw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pulse {
    /// How long it is.
    pub length: Number,
    /// How much of all the way that is; below nought where it is shorter than at neutral.
    pub share: Number,
}

/// How far one half was found to go.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reached {
    /// `left` or `right`.
    pub half: String,
    /// How far.
    pub found: Number,
    /// How much further that is than the throw.
    pub beyond: Number,
}

impl Throws {
    /// Makes the card of an aircraft.
    pub fn new(facts: &Facts, sources: &Sources) -> Throws {
        make::throws(facts, sources)
    }

    /// The same with only the surface of this name, if there is one.
    #[must_use]
    pub fn only(self, name: &str) -> Option<Throws> {
        let surfaces: Vec<Surface> =
            self.surfaces.into_iter().filter(|surface| surface.name == name).collect();
        let is_there = !surfaces.is_empty();
        is_there.then_some(Throws { surfaces, ..self })
    }
}

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-throws";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a card as JSON: `form`, `version`, and then the keys of a [`Throws`].
pub fn json(throws: &Throws) -> String {
    crate::json::document(FORM, VERSION, throws)
}

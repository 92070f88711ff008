//! What stands on a sheet, as plain data.

use serde::Serialize;
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::{Facts, Known};

use crate::number::Number;

/// The mass and balance of an aircraft, in each of its loadouts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sheet {
    /// What people call the aircraft.
    pub title: String,
    /// The spec, as its path is shown.
    pub file: String,
    /// Which state of the design it is: `B 2026-10-11`, if the spec says it.
    pub revision: Option<String>,
    /// The stage that the build is judged for.
    pub stage: String,
    /// What places are measured from: `wing root leading-edge`, if the spec says it.
    pub datum: Option<String>,
    /// What lies level meanwhile: `chord-line`, if the spec says it.
    pub level: Option<String>,
    /// The units of its columns.
    pub units: Units,
    /// One for each loadout, in the order of the spec.
    pub loadouts: Vec<Loadout>,
}

/// The units of a sheet: those in which the builder thinks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Units {
    /// Of masses.
    pub mass: String,
    /// Of places.
    pub length: String,
    /// Of moments.
    pub moment: String,
}

/// A line of the spec or of a file that it includes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The path of the file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
}

/// One loadout: what is aboard and where that balances.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Loadout {
    /// Its name.
    pub name: String,
    /// Where it stands; a spec without a loadout is flown as it is listed.
    pub line: Option<Line>,
    /// What it is, a phrase each: `grey at 122 mm aft`, `with camera`.
    pub is: Vec<String>,
    /// Everything aboard, in the order of the spec: parts, packs, ballast.
    ///
    /// That order, because the sheet is ticked off against the spec, and two sheets of
    /// one aircraft then lie beside each other line by line.
    pub items: Vec<Item>,
    /// What the loadout leaves open, a phrase each.
    pub open: Vec<String>,
    /// The sum; `None` where something is open or not known.
    pub total: Option<Total>,
    /// The foremost and the aftmost of the ways to make what is open, in this order.
    pub corners: Vec<Corner>,
    /// How many of the open choices' combinations were looked at.
    pub ways: usize,
    /// The balance point as a share of the mean chord, from its leading edge.
    pub chord_share: Option<Number>,
    /// The mass over the wing's area; the greatest, where something is open.
    pub wing_loading: Option<Number>,
    /// The most that it may weigh.
    pub mass_limit: Option<Limit>,
    /// Where it may balance.
    pub band: Option<Band>,
    /// Ways into the band, where its spread is not inside: the best first.
    pub remedies: Vec<String>,
    /// What makes the balance point unsure along the length, the most important first.
    pub contributors: Vec<Contributor>,
    /// How many masses and places were written for what is aboard.
    pub values: usize,
    /// How many of them have a spread that was assumed from their source.
    pub assumed: usize,
    /// What it weighed and where it balanced when it was put on a scale and a stand.
    pub as_weighed: Option<AsWeighed>,
    /// How it flies, as far as its shape tells: estimates; what cannot be said is missing.
    pub flight: Vec<Estimate>,
    /// What drives it and how long that lasts.
    pub drive: Vec<Planned>,
    /// What cannot be said, and why.
    pub not_said: Vec<NotSaid>,
}

/// A number that a flight is planned by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Planned {
    /// What it is: `endurance`.
    pub of: String,
    /// The number.
    pub value: Number,
    /// The number in a sentence, with what goes with it and where it comes from.
    pub says: String,
    /// What makes it unsure most, where that is worth knowing.
    pub widest: Option<Widest>,
}

/// What makes a number unsure most.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Widest {
    /// What it is: `drag of wing`.
    pub says: String,
    /// Its share of the variance, in percent.
    pub share: Number,
    /// Where it stands, if it stands anywhere.
    pub line: Option<Line>,
}

/// A number that the shape tells.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Estimate {
    /// What it is, in a word or two: `neutral point`.
    pub of: String,
    /// The number that matters most.
    pub value: Number,
    /// The number in its sentence: `186 mm aft ± 5 mm`.
    pub says: String,
}

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Source {
    /// Put on a scale.
    Weighed,
    /// Taken from the thing itself.
    Measured,
    /// Printed by the maker.
    Datasheet,
    /// Stated by the designer of the kit.
    Kit,
    /// Read off a drawing, or decided.
    Plan,
    /// True of another aircraft.
    Copied,
    /// Guessed.
    Estimated,
    /// Reckoned with, and not known yet.
    About,
    /// Nobody says.
    Unstated,
}

impl Source {
    /// Every source, the surest first.
    pub const ALL: [Source; 9] = [
        Source::Weighed,
        Source::Measured,
        Source::Datasheet,
        Source::Kit,
        Source::Plan,
        Source::Copied,
        Source::Estimated,
        Source::About,
        Source::Unstated,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Source::Weighed => "weighed",
            Source::Measured => "measured",
            Source::Datasheet => "datasheet",
            Source::Kit => "kit",
            Source::Plan => "plan",
            Source::Copied => "copied",
            Source::Estimated => "estimated",
            Source::About => "about",
            Source::Unstated => "not stated",
        }
    }

    /// The letter that stands for it where there is little room.
    pub fn letter(self) -> &'static str {
        match self {
            Source::Weighed => "w",
            Source::Measured => "m",
            Source::Datasheet => "d",
            Source::Kit => "k",
            Source::Plan => "p",
            Source::Copied => "c",
            Source::Estimated => "e",
            Source::About => "a",
            Source::Unstated => "-",
        }
    }

    /// Whether it is no better than a guess.
    pub fn is_guess(self) -> bool {
        matches!(
            self,
            Source::Copied | Source::Estimated | Source::About | Source::Unstated
        )
    }
}

/// One thing aboard; a pair that lies alike on both sides is one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Item {
    /// What it is called.
    pub name: String,
    /// How many there are: 2 of a pair, or the `count` of the spec.
    pub count: u32,
    /// Whether it is a pair, left and right.
    pub is_pair: bool,
    /// What it weighs, all of it.
    pub mass: Option<Number>,
    /// Where the mass comes from.
    pub source: Source,
    /// Where its own balance point is along the length.
    pub x: Option<Number>,
    /// How far to the right; of a pair, how far out each lies. `None` on the centre line.
    pub y: Option<Number>,
    /// How far up; `None` on the chord line.
    pub z: Option<Number>,
    /// Its mass times its place along the length.
    pub moment: Option<Number>,
    /// Both ends of its slide, where its place in it is open.
    pub slide: Option<(Number, Number)>,
    /// Whether it is open whether it is aboard.
    pub is_open: bool,
    /// Where its mass stands.
    pub line: Option<Line>,
    /// What is not known about it.
    pub not_known: Option<String>,
}

/// A sum of everything aboard.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Total {
    /// All masses.
    pub mass: Number,
    /// All moments along the length.
    pub moment: Number,
    /// The balance point along the length.
    pub x: Number,
    /// To the side; `None` where no line aboard says a side.
    pub y: Option<Number>,
    /// Upward; `None` where no line aboard says a height.
    pub z: Option<Number>,
}

/// One way to make the choices that a loadout leaves open.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Corner {
    /// Which way, in words.
    pub says: String,
    /// What it comes to.
    pub total: Total,
}

/// A limit that the spec states, and who says so.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limit {
    /// The limit.
    pub at: Number,
    /// Who says so.
    pub source: Source,
    /// Where it stands.
    pub line: Option<Line>,
    /// How far each value lies from it: positive is above it, or aft of it.
    ///
    /// One for the total, or one for each corner.
    pub distances: Vec<Distance>,
}

/// How far a value lies from a limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Distance {
    /// Of which corner; empty for the total.
    pub of: String,
    /// How far above it, or aft of it.
    pub by: Number,
}

/// Where the balance point may lie.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Band {
    /// The forward limit.
    pub forward: Limit,
    /// The best place, if the spec says it.
    pub best: Option<Limit>,
    /// The aft limit.
    pub aft: Limit,
}

/// Something that makes the balance point unsure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Contributor {
    /// What it is: `the mass of wiring`.
    pub says: String,
    /// Its share of the variance, in percent.
    pub share: Number,
    /// The spread of the balance point that it alone would leave.
    pub moves: Number,
    /// What makes it surer: `weigh wiring`.
    pub act: String,
    /// Where it stands.
    pub line: Option<Line>,
}

/// What the whole aircraft weighed, and where it balanced.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AsWeighed {
    /// The record in words, if it has some.
    pub says: Option<String>,
    /// What it starts from.
    pub base: Option<String>,
    /// The mass, from the scale.
    pub mass: Option<Number>,
    /// The balance point, from the stand.
    pub x: Option<Number>,
    /// What has been put in, taken out or moved since.
    pub changes: Vec<Change>,
    /// How much heavier it is than the list says.
    pub heavier: Option<Number>,
    /// How far aft of the list's balance point it balances.
    pub further_aft: Option<Number>,
}

/// Something that was put in, taken out or moved since the weighing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// What it is, in words.
    pub says: String,
    /// The mass that came or went.
    pub mass: Option<Number>,
    /// Where.
    pub at: Option<Number>,
}

/// Something that cannot be said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotSaid {
    /// What: `the balance point`.
    pub what: String,
    /// Why not: `the mass of wiring is not known`.
    pub why: String,
    /// Because of which line.
    pub line: Option<Line>,
}

impl Sheet {
    /// Makes the sheet of an aircraft; one that is none has no loadouts.
    pub fn new(facts: &Facts, sources: &Sources) -> Sheet {
        crate::make::sheet(facts, sources)
    }

    /// The same with only the loadout of this name, if there is one.
    pub fn only(self, name: &str) -> Option<Sheet> {
        let loadouts: Vec<Loadout> =
            self.loadouts.into_iter().filter(|loadout| loadout.name == name).collect();
        let is_there = !loadouts.is_empty();
        is_there.then_some(Sheet { loadouts, ..self })
    }
}

impl AsWeighed {
    /// Reads the record that the fact `as_weighed` of a loadout is.
    ///
    /// What the record lacks is left out; `total` is what the list comes to.
    pub fn read(record: &Known, total: Option<&Total>) -> AsWeighed {
        crate::make::as_weighed(record, total)
    }
}

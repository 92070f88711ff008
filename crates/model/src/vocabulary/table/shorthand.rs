//! How the rows of the table are written, and the lists that several of them share.

use trimsheet_quantity::{Axis, Dimension};

use super::super::{Need, Row, Slot, Takes};
use crate::stage::Stage;

pub(super) const FORE_AFT: &[Axis] = &[Axis::Length];
pub(super) const SPAN: &[Axis] = &[Axis::Out, Axis::Height];
pub(super) const YES_NO: Takes = Takes::Word(&["yes", "no"]);
pub(super) const NOSE: Takes = Takes::Word(&["nose-down", "nose-up"]);
pub(super) const LENGTH: Takes = Takes::Quantity(&[Dimension::LENGTH]);
pub(super) const MASS: Takes = Takes::Quantity(&[Dimension::MASS]);
pub(super) const ANGLE: Takes = Takes::Quantity(&[Dimension::ANGLE]);

pub(super) const fn must(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::Must }
}
pub(super) const fn may(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::May }
}
pub(super) const fn many(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::Many }
}
pub(super) const fn led(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: true, takes, need: Need::May }
}
pub(super) const fn must_led(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: true, takes, need: Need::Must }
}

pub(super) const fn row(
    word: &'static str,
    within: &'static [&'static str],
    slots: &'static [Slot],
    says: &'static str,
    example: &'static str,
) -> Row {
    Row { word, within, slots, often: false, since: None, private: false, says, example }
}

impl Row {
    pub(super) const fn often(self) -> Row {
        Row { often: true, ..self }
    }
    /// Tells of a person or of where one is: `trimsheet bundle` leaves it out.
    pub(super) const fn private(self) -> Row {
        Row { private: true, ..self }
    }
    pub(super) const fn since(self, stage: Stage) -> Row {
        Row { since: Some(stage), ..self }
    }
}

/// What the head of a dated record says.
pub(super) const RECORD: &[Slot] = &[
    must("loadout", Takes::Reference(&["loadout"])),
    must("date", Takes::Date),
    led("by", Takes::Name),
];

/// The entries that a rule can find fault with.
pub(super) const ENTRIES: &[&str] = &[
    "model",
    "datum",
    "wing",
    "tail",
    "fin",
    "body",
    "bay",
    "surface",
    "part",
    "pack",
    "assembly",
    "join",
    "spar",
    "recess",
    "fastener",
    "loadout",
    "setting",
    "instrument",
];

/// What sorts of part there are.
pub(super) const KINDS: &[&str] = &[
    "motor",
    "propeller",
    "speed-controller",
    "flight-controller",
    "receiver",
    "transmitter",
    "video-transmitter",
    "servo",
    "gnss-receiver",
    "compass",
    "sensor",
    "regulator",
    "sounder",
    "camera",
    "payload",
    "structure",
    "wiring",
    "glue",
    "covering",
    "fastener",
    "strap",
    "linkage",
    "undercarriage",
    "other",
];

/// What things are made of.
pub(super) const MATERIALS: [&str; 9] = [
    "beaded-foam",
    "extruded-foam",
    "tough-foam",
    "balsa",
    "plywood",
    "plastic",
    "glass-fibre",
    "carbon-fibre",
    "metal",
];

/// What a socket may speak.
pub(super) const PROTOCOLS: &[&str] =
    &["uart", "servo", "analogue", "digital", "i2c", "can"];

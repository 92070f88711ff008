//! Computed facts of how it is put together: sockets, hollows, and a propeller's disc.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, id, list, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};
use crate::known::{Known, NotKnown};

/// Of spars, recesses and parts.
pub(super) const ROWS: &[Computed] = &[
    row(
        "spar",
        "at_socket",
        Gives::Record(AT_SOCKET),
        "What it bears at the mouth of its socket in level flight, by the heaviest loadout; to lift five times its weight takes five times as much; an estimate.",
        "spar.at_socket.pressure",
        Facts::at_socket,
    ),
    row(
        "spar",
        "at_root",
        Gives::Record(AT_ROOT),
        "How the lift of its wing bends it at the root in level flight, by the heaviest loadout; to lift five times its weight takes five times as much; an estimate.",
        "spar.at_root.stress",
        Facts::at_root,
    ),
    row(
        "recess",
        "over_spars",
        Gives::List(&Gives::Record(OVER_SPAR)),
        "The spars that pass below it, as they run.",
        "recess.over_spars.len()",
        Facts::over_spars,
    ),
    row("wing", "near_discs", NEARS, DISCS, "wing.near_discs.len()", Facts::near_discs),
    row("tail", "near_discs", NEARS, DISCS, "tail.near_discs.len()", Facts::near_discs),
    row(
        "surface",
        "near_discs",
        NEARS,
        DISCS,
        "surface.near_discs.len()",
        Facts::near_discs,
    ),
    row("part", "near_discs", NEARS, DISCS, "part.near_discs.len()", Facts::near_discs),
    row(
        "wing",
        "loose_panels",
        PARTS,
        "The parts that `panels` names, both halves of a pair.",
        "wing.loose_panels.len()",
        |facts, of| all_named(facts, of, "panels"),
    ),
    row("body", "cooled", PARTS, COOLED, "body.cooled.len()", |facts, of| {
        all_named(facts, of, "air-passes")
    }),
    row("bay", "cooled", PARTS, COOLED, "bay.cooled.len()", |facts, of| {
        all_named(facts, of, "air-passes")
    }),
    row(
        "fastener",
        "held",
        PARTS,
        "The parts that `holds` names, both halves of a pair.",
        "fastener.held.len()",
        |facts, of| all_named(facts, of, "holds"),
    ),
    row(
        "part",
        "glued",
        Gives::List(&Gives::Entry(&["wing", "tail", "fin", "body", "part"])),
        "Of a glue: what `glues` names, both halves of a pair.",
        "part.glued.len()",
        |facts, of| all_named(facts, of, "glues"),
    ),
];

const PARTS: Gives = Gives::List(&Gives::Entry(&["part"]));
const COOLED: &str = "The parts that `air-passes` names, both halves of a pair.";

/// What the lines of a word name; a rule gets a pair as its two halves.
fn all_named(facts: &Facts, of: &Known, word: &'static str) -> Result<Known, NotKnown> {
    let all = facts.named(id(of)?, word)?;
    Ok(list(all.into_iter().map(|id| facts.known_entry(id)).collect(), of))
}

const AT_SOCKET: &[Field] = &[
    field("moment", Gives::Quantity(&[Dimension::TORQUE]), "What bends the wing there."),
    field("share", SHARE, "How much of that it takes, of all spars with a socket."),
    field(
        "pressure",
        Gives::Quantity(&[Dimension::PRESSURE]),
        "How hard it presses at the ends of its socket.",
    ),
    field("loadout", Gives::Entry(&["loadout"]), "The heaviest loadout."),
];

const AT_ROOT: &[Field] = &[
    field("moment", Gives::Quantity(&[Dimension::TORQUE]), "What bends the wing there."),
    field(
        "share",
        SHARE,
        "How much of that it takes: of all spars with a socket if it has one, or of all if none has.",
    ),
    field(
        "stress",
        Gives::Quantity(&[Dimension::PRESSURE]),
        "The stress at its surface, by its diameters.",
    ),
    field("loadout", Gives::Entry(&["loadout"]), "The heaviest loadout."),
];

const OVER_SPAR: &[Field] = &[
    field("spar", Gives::Entry(&["spar"]), "The spar."),
    field(
        "cover",
        LENGTH,
        "How far below the surface it lies there, in the middle of the thickness.",
    ),
];

const NEARS: Gives = Gives::List(&Gives::Record(NEAR));
const DISCS: &str =
    "How near it comes to the disc of each propeller whose size and place are known.";

const NEAR: &[Field] = &[
    field("what", WORDS, "What comes near: the part, or one of its edges."),
    field("propeller", Gives::Entry(&["part"]), "The propeller."),
    field("by", LENGTH, "How near it comes; nought where it touches."),
    field(
        "edge",
        LENGTH,
        "How far up or down the edge of a surface then stands; nought for what does not move.",
    ),
];

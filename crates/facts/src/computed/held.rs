//! Computed facts of how it is put together: sockets, hollows, and a propeller's disc.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};

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
        "recess",
        "over_spars",
        Gives::List(&Gives::Record(OVER_SPAR)),
        "The spars that pass below it, as they run.",
        "recess.over_spars.len()",
        Facts::over_spars,
    ),
    row(
        "part",
        "near_disc",
        Gives::List(&Gives::Record(NEAR)),
        "Of a propeller: what comes how near to its disc, the nearest first.",
        "part.near_disc.len()",
        Facts::near_disc,
    ),
];

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

const OVER_SPAR: &[Field] = &[
    field("spar", Gives::Entry(&["spar"]), "The spar."),
    field(
        "cover",
        LENGTH,
        "How far below the surface it lies there, in the middle of the thickness.",
    ),
];

const NEAR: &[Field] = &[
    field("what", WORDS, "What it is: a part, or an edge."),
    field("by", LENGTH, "How near it comes; nought where it touches."),
    field("moves", Gives::Flag, "Whether it is the edge of a surface that moves."),
    field(
        "edge",
        LENGTH,
        "How far up or down the edge of a surface then stands; nought for what does not move.",
    ),
];

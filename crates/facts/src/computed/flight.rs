//! Computed facts of flight: what a lattice of vortices makes of the shape.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, field};
use super::{Computed, id, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};

const SPEED: Gives = Gives::Quantity(&[Dimension::SPEED]);
const SURFACE: Gives = Gives::Entry(&["surface"]);

/// Of the whole, of wings and surfaces, and of loadouts.
pub(super) const ROWS: &[Computed] = &[
    row(
        "build",
        "air",
        Gives::Record(AIR),
        "The air of the field: standard at its height, as warm as is stated; at sea level where the model says nothing of it.",
        "build.air.density",
        |facts, _| facts.known_air(),
    ),
    row(
        "build",
        "neutral_point",
        LENGTH,
        "Where lift by angle of attack acts, with wing and tails; an estimate.",
        "build.neutral_point",
        |facts, _| facts.neutral_point(),
    ),
    row(
        "build",
        "pitch_control",
        SURFACE,
        "The surface that trims: on the wing of a tailless, or else on the tail.",
        "build.pitch_control.name",
        |facts, _| facts.pitch_control(),
    ),
    row(
        "build",
        "roll_control",
        SURFACE,
        "The surface that rolls: on the wing.",
        "build.roll_control.name",
        |facts, _| facts.roll_control(),
    ),
    row(
        "surface",
        "most_up",
        LENGTH,
        "How far up from flat its edge goes at most, at the inner end, over all rates.",
        "surface.most_up",
        |facts, of| facts.furthest(of, true),
    ),
    row(
        "surface",
        "most_down",
        LENGTH,
        "How far down from flat its edge goes at most, at the inner end, over all rates.",
        "surface.most_down",
        |facts, of| facts.furthest(of, false),
    ),
    row(
        "loadout",
        "held_band",
        Gives::Record(HELD),
        "The band, behind the leading edge at the place where the wing is held to balance it; below nought it lies ahead of that edge.",
        "loadout.held_band.aft",
        Facts::held_band,
    ),
    row(
        "loadout",
        "static_margin",
        SHARE,
        "How far it balances ahead of the neutral point, of the mean chord; below nought behind it. An estimate.",
        "loadout.static_margin.with_spread",
        |facts, of| facts.margin_of(&facts.balance(id(of)?)?),
    ),
    row(
        "loadout",
        "least_margin",
        SHARE,
        "The static margin of the corner that balances furthest aft; an estimate.",
        "loadout.least_margin",
        |facts, of| facts.margin_of(&facts.outermost(id(of)?, 1.0)?),
    ),
    row(
        "loadout",
        "most_margin",
        SHARE,
        "The static margin of the corner that balances furthest ahead; an estimate.",
        "loadout.most_margin",
        |facts, of| facts.margin_of(&facts.outermost(id(of)?, -1.0)?),
    ),
    row(
        "loadout",
        "hands_off",
        Gives::Record(HANDS_OFF),
        "How it flies level with the stick let go and its reflex as stated; an estimate.",
        "loadout.hands_off.speed.with_spread",
        Facts::hands_off,
    ),
    row(
        "loadout",
        "reflex_wanted",
        LENGTH,
        "Where the edge has to stand, at its inner end, to fly level at the trim speed; an estimate.",
        "loadout.reflex_wanted",
        Facts::reflex_wanted,
    ),
    row(
        "loadout",
        "glide",
        Gives::Record(GLIDE),
        "How it glides without power, by the stated drag; an estimate.",
        "loadout.glide.distance",
        Facts::glide,
    ),
    row(
        "loadout",
        "roll_rate",
        Gives::Quantity(&[Dimension::ANGULAR_SPEED]),
        "How fast it rolls in the end, at the trim speed with the stick full over; an estimate.",
        "loadout.roll_rate",
        Facts::roll_rate,
    ),
    row(
        "loadout",
        "thrust_line",
        Gives::Record(THRUST_LINE),
        "What full thrust does to the nose, by the height of the motors over the balance point; an estimate.",
        "loadout.thrust_line.offset",
        Facts::thrust_line,
    ),
];

const AIR: &[Field] = &[
    field("density", Gives::Quantity(&[Dimension::DENSITY]), "How dense it is."),
    field("pressure", Gives::Quantity(&[Dimension::PRESSURE]), "Its pressure."),
    field("temperature", Gives::Quantity(&[Dimension::TEMPERATURE]), "How warm it is."),
];

const HELD: &[Field] = &[
    field("forward", LENGTH, "The forward limit."),
    field("aft", LENGTH, "The aft limit."),
    field("best", LENGTH, "The best place, where the band states one."),
];

const HANDS_OFF: &[Field] = &[
    field("lift", SHARE, "The lift coefficient."),
    field("speed", SPEED, "How fast it flies."),
];

const GLIDE: &[Field] = &[
    field("distance", LENGTH, "How far it goes from a height of 100 m."),
    field("speed", SPEED, "The speed at which it goes furthest."),
    field("sink", SPEED, "How fast it then sinks."),
    field("slow_speed", SPEED, "The speed at which it sinks least."),
    field("least_sink", SPEED, "How fast it then sinks."),
];

const THRUST_LINE: &[Field] = &[
    field("offset", LENGTH, "How high the thrust lies over the balance point."),
    field("share", SHARE, "Its moment, over what the static margin puts right."),
    field("edge", LENGTH, "How far the edge has to move to hold it, at the trim speed."),
];

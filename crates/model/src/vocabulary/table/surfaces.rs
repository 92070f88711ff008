//! Control surfaces: their hinges, how far they go, and what moves them.

use trimsheet_quantity::{Axis, Dimension};

use super::super::{Row, Takes};
use super::shorthand::{
    ANGLE, FORE_AFT, LENGTH, YES_NO, led, many, may, must, must_led, row,
};

/// How far an edge goes, as builders say it.
const EDGE: &[Dimension] = &[Dimension::LENGTH, Dimension::ANGLE];
const ENDS: Takes = Takes::Word(&["root", "tip"]);
/// Straight up from flat; straight across from edge to edge; on a rule that stands upright
/// where the edge lies at neutral.
const READ: Takes = Takes::Word(&["straight-up", "edge-to-edge", "upright-rule"]);
const COMMANDS: &[&str] = &[
    "back-stick",
    "forward-stick",
    "right-stick",
    "left-stick",
    "right-rudder",
    "left-rudder",
    "flaps-down",
];

/// What an edge does, watched from behind.
const MOVES: &[&str] = &["rises", "falls", "swings-left", "swings-right"];

pub(super) const SURFACES: &[Row] = &[
    row(
        "surface",
        &[],
        &[must("name", Takes::Name)],
        "A control surface, or a pair of them.",
        "surface elevons: pair; on wing",
    ),
    row(
        "reach",
        &["surface"],
        &[must("reach", Takes::SidedRange(Dimension::LENGTH, &[Axis::Out]))],
        "From where to where it goes along the span.",
        "reach 140..500 mm out",
    ),
    row(
        "on",
        &["surface"],
        &[must("what", Takes::Reference(&["wing", "tail", "fin"]))],
        "What the surface is hinged to.",
        "on wing",
    ),
    row(
        "hinge-to-edge",
        &["surface"],
        &[must_led("root", LENGTH), must_led("tip", LENGTH)],
        "How deep the surface is from its hinge to the edge, at both ends.",
        "hinge-to-edge root 44 mm  tip 30 mm",
    ),
    row(
        "driven",
        &["surface"],
        &[must_led("by", Takes::Reference(&["part"]))],
        "The servo, or the pair of servos, that moves it.",
        "driven by servos",
    ),
    row(
        "throw",
        &["surface"],
        &[
            must("rate", Takes::Name),
            many("ways", Takes::Sided(EDGE, &[Axis::Height, Axis::Side])),
            may("both", Takes::Quantity(EDGE)),
            may("counted", Takes::Word(&["each-way", "total"])),
            led("at", ENDS),
            led("from", Takes::Word(&["flat", "reflex"])),
            led("read", READ),
        ],
        "How far its edge goes each way at a rate: at which end of it, counted from where, and how the millimetres are read, straight up unless it says otherwise.",
        "throw full 12 mm up 10 mm down at root from reflex",
    )
    .often(),
    row(
        "measured-throw",
        &["surface"],
        &[
            must("rate", Takes::Name),
            must("half", Takes::Word(&["left-half", "right-half"])),
            many("ways", Takes::Sided(EDGE, &[Axis::Height, Axis::Side])),
        ],
        "How far the edge of one half was found to go at a rate, measured as its throw is.",
        "measured-throw full left-half 11.6 mm up 9.8 mm down",
    )
    .often(),
    row(
        "throw-limit",
        &["surface"],
        &[
            must("rate", Takes::Name),
            many("ways", Takes::SidedRange(Dimension::LENGTH, &[Axis::Height, Axis::Side])),
        ],
        "From where to where the kit lets its edge go at a rate, measured as its throw is.",
        "throw-limit full 9..12 mm up 8..10 mm down",
    )
    .often(),
    row(
        "centre-softening",
        &["surface"],
        &[must("rate", Takes::Name), must("share", Takes::Quantity(&[Dimension::NONE]))],
        "How much less it answers about the middle of the stick at a rate than in proportion.",
        "centre-softening full 30 %",
    )
    .often(),
    row(
        "mix",
        &["surface"],
        &[
            led("pitch", Takes::Quantity(EDGE)),
            led("roll", Takes::Quantity(EDGE)),
            led("yaw", Takes::Quantity(EDGE)),
            led("flap", Takes::Quantity(EDGE)),
        ],
        "How far each command alone moves its edge at full stick, measured as its throw is.",
        "mix pitch 6 mm roll 5 mm",
    ),
    row(
        "answers",
        &["surface"],
        &[
            must("command", Takes::Word(COMMANDS)),
            may("moves", Takes::Word(MOVES)),
            led("left-edge", Takes::Word(&["rises", "falls"])),
            led("right-edge", Takes::Word(&["rises", "falls"])),
        ],
        "Which way it was seen to move, the trailing edge watched from behind; of a pair, each half.",
        "answers right-stick left-edge falls right-edge rises",
    )
    .often(),
    row(
        "reflex",
        &["surface"],
        &[
            must("edge", Takes::Sided(EDGE, &[Axis::Height])),
            led("at", ENDS),
            led("by", Takes::Word(&["rod", "trim"])),
            led("read", READ),
        ],
        "How far its edge stands up or down when the stick is let go, at which end, and whether the rod makes it or the transmitter's trim.",
        "reflex 2 mm up at root by rod",
    ),
    row(
        "neutral",
        &["surface"],
        &[
            must_led("left-edge", Takes::Sided(&[Dimension::LENGTH], &[Axis::Height])),
            must_led("right-edge", Takes::Sided(&[Dimension::LENGTH], &[Axis::Height])),
        ],
        "Where the edges of both were found to stand with the stick let go.",
        "neutral left-edge 2 mm up right-edge 1.5 mm up",
    ),
    row(
        "trim",
        &["surface"],
        &[must("edge", Takes::Sided(&[Dimension::LENGTH], &[Axis::Height]))],
        "How far the transmitter's trim moved its edge by the end of the last flight.",
        "trim 0.8 mm up",
    ),
    row(
        "linkage",
        &["surface"],
        &[
            must_led("arm", LENGTH),
            must_led("horn", LENGTH),
            led("arm-leans", Takes::Sided(&[Dimension::ANGLE], FORE_AFT)),
            led("horn-stands", Takes::Sided(&[Dimension::LENGTH], FORE_AFT)),
            led("pivot", Takes::Place),
            led("turns", Takes::Word(&["upright", "flat"])),
        ],
        "The holes that the rod joins: of the servo's arm from its screw, of the horn above the hinge line; how far the arm leans at neutral from where it is square to the rod; how far the horn's hole stands ahead of the hinge line or behind it; where the arm's screw lies, counted from the hinge line at the horn; and whether the arm turns upright, like the surface, or flat.",
        "linkage arm 10 mm horn 15 mm pivot 120 mm ahead 6 mm down",
    ),
    row(
        "horn-holes",
        &["surface"],
        &[many("holes", LENGTH)],
        "How far each hole of its horn lies from the hinge line.",
        "horn-holes 12 mm 15 mm 18 mm",
    ),
    row(
        "pushrod",
        &["surface"],
        &[
            must("material", Takes::Word(&["steel", "carbon", "glass", "aluminium", "wood"])),
            must_led("dia", LENGTH),
            led("inside", LENGTH),
            must_led("free", LENGTH),
        ],
        "What its rod is of, how thick, how wide a tube is inside, and how far it runs free between its ends or guides, the longest stretch.",
        "pushrod steel dia 1.5 mm free 110 mm",
    ),
    row(
        "sleeve",
        &["surface"],
        &[
            must("material", Takes::Word(&["steel", "carbon", "glass", "aluminium", "wood"])),
            must_led("dia", LENGTH),
            must_led("inside", LENGTH),
        ],
        "The tube that its rod is glued into, and how thick that is outside and inside.",
        "sleeve carbon dia 3 mm inside 2 mm",
    ),
    row(
        "rod-end",
        &["surface"],
        &[
            must("end", Takes::Word(&["servo", "horn"])),
            must("kind", Takes::Word(&["clevis", "z-bend", "l-bend", "ball", "screw"])),
            led("keeper", YES_NO),
        ],
        "How its rod is held at one end, and whether something keeps it there: a clip, a piece of tube, thread-lock.",
        "rod-end horn clevis keeper yes",
    )
    .often(),
    row(
        "play",
        &["surface"],
        &[may("edge", LENGTH), led("left-edge", LENGTH), led("right-edge", LENGTH)],
        "How far its edge can be moved by hand before the servo's arm moves; of a pair, each half.",
        "play left-edge 0.6 mm right-edge 0.9 mm",
    ),
    row(
        "hinge-gap",
        &["surface"],
        &[must("gap", LENGTH), led("sealed", YES_NO)],
        "How wide the gap at its hinge is, and whether it is sealed.",
        "hinge-gap 0.8 mm sealed no",
    ),
    row(
        "turns",
        &["part servo"],
        &[must("angle", ANGLE), led("per", Takes::Quantity(&[Dimension::TIME]))],
        "How far its arm turns each way from neutral, and for how much longer or shorter a pulse.",
        "turns 45 deg per 500 us",
    ),
    row(
        "arm-holes",
        &["part servo"],
        &[many("holes", LENGTH)],
        "How far each hole of its arm lies from the screw.",
        "arm-holes 8 mm 10 mm 13 mm",
    ),
];

//! What is aboard, and how it is joined.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;
use crate::stage::Stage;

pub(super) static ABOARD: &[Row] = &[
    row(
        "part",
        &[],
        &[must("name", Takes::Name), led("like", Takes::Reference(&["part"]))],
        "One thing aboard, or a pair of them; `like` takes what it does not say itself.",
        "part motor: kind motor; mass 74 g; at 260 mm aft",
    ),
    row(
        "kind",
        &["part"],
        &[must("kind", Takes::Word(KINDS))],
        "What sort of part it is.",
        "kind motor",
    ),
    row(
        "mass",
        &["part", "pack", "assembly"],
        &[must("mass", MASS), may("counted", Takes::Word(&["each", "together"]))],
        "What it weighs; of a pair, each one or both together.",
        "mass 74 g",
    )
    .since(Stage::Installed),
    row(
        "at",
        &["part", "pack", "assembly"],
        &[must("place", Takes::Place), led("inside", Takes::Reference(&["bay"]))],
        "Where its own balance point is, from the datum, and which bay it lies in.",
        "at 86 mm aft inside works",
    )
    .since(Stage::Installed),
    row(
        "slides",
        &["part", "pack"],
        &[
            must("range", Takes::SidedRange(Dimension::LENGTH, FORE_AFT)),
            led("inside", Takes::Reference(&["bay"])),
        ],
        "Between which places its own balance point can be moved.",
        "slides 10..50 mm aft inside tray",
    ),
    row(
        "size",
        &["part", "pack"],
        &[must("size", Takes::Size)],
        "How long, wide and high it is; of a propeller, diameter and pitch.",
        "size 96 x 34 x 26 mm",
    ),
    row(
        "press-fit",
        &["part", "pack"],
        &[],
        "It is meant to sit tight in its bay.",
        "press-fit",
    ),
    row(
        "pair",
        &["part", "surface"],
        &[],
        "There are two, left and right alike; `out` is from the centre line.",
        "pair",
    ),
    row(
        "optional",
        &["part"],
        &[],
        "It is not always aboard: a loadout says with or without.",
        "optional",
    ),
    row("drops", &["part"], &[], "It is let go in flight.", "drops"),
    row(
        "retracts",
        &["part"],
        &[must_led("to", Takes::Place)],
        "It moves in flight, and where its balance point is then.",
        "retracts to 60 mm aft",
    ),
    row(
        "count",
        &["part"],
        &[must("count", Takes::Count)],
        "How many of it are meant by this one entry; the mass is of all of them.",
        "count 6",
    ),
    row(
        "poles",
        &["part motor"],
        &[must("count", Takes::Count)],
        "How many magnet poles the motor has.",
        "poles 12",
    ),
    row(
        "speed-constant",
        &["part motor"],
        &[must("constant", Takes::Quantity(&[Dimension::SPEED_CONSTANT]))],
        "How fast the unloaded motor turns for each volt.",
        "speed-constant 1150 rpm/V",
    ),
    row(
        "draws",
        &["part"],
        &[many("loads", Takes::Load)],
        "The current that it takes, in each phase.",
        "draws 19 A for 15 s  13 A steady",
    ),
    row(
        "carries",
        &["part"],
        &[many("loads", Takes::Load)],
        "The current that it can pass, in each phase.",
        "carries 30 A steady  36 A for 8 s",
    ),
    row(
        "needs",
        &["part"],
        &[must("volts", Takes::Range(Dimension::VOLTAGE)), many("load", Takes::Load)],
        "The volts that it works on, and the current that it takes in each phase.",
        "needs 4.0..8.6 V  0.12 A steady",
    ),
    row(
        "thrust",
        &["part motor"],
        &[must("force", Takes::Quantity(&[Dimension::FORCE]))],
        "The full thrust of the motor at a stand, with the propeller that it flies with.",
        "thrust 7.4 N",
    ),
    row(
        "torque",
        &["part servo"],
        &[
            must("torque", Takes::Quantity(&[Dimension::TORQUE])),
            led("at", Takes::Quantity(&[Dimension::VOLTAGE])),
        ],
        "The torque of a servo, and the volts that it has it at.",
        "torque 2.1 kgf.cm at 5.2 V",
    ),
    row(
        "sends",
        &["part"],
        &[
            must("band", Takes::Quantity(&[Dimension::FREQUENCY])),
            led("power", Takes::Quantity(&[Dimension::POWER])),
        ],
        "The radio band that it sends on, and how strongly.",
        "sends 868 MHz power 12 dBm",
    )
    .often(),
    row(
        "port",
        &["part"],
        &[
            must("name", Takes::Name),
            may("protocol", Takes::Word(&["uart", "servo", "analogue", "i2c", "can"])),
        ],
        "A socket of the part, by the name printed on it.",
        "port serial2 uart",
    )
    .often(),
    row(
        "rail",
        &["part"],
        &[
            must("name", Takes::Name),
            must("volts", Takes::Quantity(&[Dimension::VOLTAGE])),
            many("loads", Takes::Load),
        ],
        "A supply that the part gives, by its name: its volts, and the current that it can give in each phase.",
        "rail servo 5.1 V  3.0 A steady  4.5 A for 3 s",
    )
    .often(),
    row(
        "pack",
        &[],
        &[must("name", Takes::Name), led("like", Takes::Reference(&["pack"]))],
        "A battery; which one is aboard is said by the loadout.",
        "pack main: mass 214 g; slides 10..50 mm aft",
    ),
    row(
        "cells",
        &["pack"],
        &[
            must("count", Takes::Quantity(&[Dimension::CELLS])),
            may("chemistry", Takes::Word(&["lipo", "lihv", "liion", "life", "nimh"])),
        ],
        "How many cells are in series, and of which chemistry.",
        "cells 3S lipo",
    ),
    row(
        "cells",
        &["part"],
        &[must("range", Takes::Range(Dimension::CELLS))],
        "The packs that it works on.",
        "cells 3S..4S",
    ),
    row(
        "capacity",
        &["pack"],
        &[must("charge", Takes::Quantity(&[Dimension::CHARGE]))],
        "The charge that the label states.",
        "capacity 2.6 Ah",
    ),
    row(
        "rating",
        &["pack"],
        &[must("multiple", Takes::Quantity(&[Dimension::MULTIPLE]))],
        "The current that the label states, as a multiple of the capacity.",
        "rating 25 C",
    ),
    row(
        "resistance",
        &["pack"],
        &[must(
            "ohms",
            Takes::Quantity(&[Dimension::RESISTANCE_PER_CELL, Dimension::RESISTANCE]),
        )],
        "The inner resistance, of each cell or of the whole pack.",
        "resistance 7 mohm/cell",
    ),
    row(
        "warmest",
        &["part", "pack"],
        &[must("temperature", Takes::Quantity(&[Dimension::TEMPERATURE]))],
        "The warmest that it may become.",
        "warmest 60 °C",
    ),
    row(
        "assembly",
        &[],
        &[must("name", Takes::Name)],
        "Parts that were weighed together; its mass counts, theirs do not.",
        "assembly shell: holds wing-skins spars; mass 395 g; at 138 mm aft",
    ),
    row(
        "holds",
        &["assembly"],
        &[many("parts", Takes::Reference(&["part"]))],
        "The parts that it is made of.",
        "holds wing-skins spars",
    )
    .often(),
    row(
        "join",
        &[],
        &[must("name", Takes::Name)],
        "One connection between two parts.",
        "join receiver-data: signal receiver.data -> board.serial2",
    ),
    row(
        "signal",
        &["join"],
        &[must("way", Takes::Arrow)],
        "From which socket to which a signal goes.",
        "signal receiver.data -> board.serial2",
    )
    .often(),
    row(
        "supply",
        &["join"],
        &[must("way", Takes::Arrow)],
        "From where to where the power goes.",
        "supply board -> receiver",
    )
    .often(),
    row(
        "wire",
        &["join"],
        &[must("gauge", Takes::Quantity(&[Dimension::GAUGE])), may("length", LENGTH)],
        "The gauge of the wire and its length, one way.",
        "wire 24 awg 150 mm",
    ),
];

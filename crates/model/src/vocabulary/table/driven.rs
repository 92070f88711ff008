//! What drives it: motor and propeller as they were measured, packs as they are kept.

use trimsheet_quantity::{Axis, Dimension};

use super::super::{Row, Takes};
use super::shorthand::*;

const VOLTS: Takes = Takes::Quantity(&[Dimension::VOLTAGE_PER_CELL, Dimension::VOLTAGE]);
const SHARE: Takes = Takes::Quantity(&[Dimension::NONE]);
const TIME: Takes = Takes::Quantity(&[Dimension::TIME]);

pub(super) static DRIVEN: &[Row] = &[
    row(
        "resistance",
        &["part motor", "part speed-controller"],
        &[must("ohms", Takes::Quantity(&[Dimension::RESISTANCE]))],
        "What a motor resists between two of its leads; what a speed controller resists when it is fully open.",
        "resistance 68 mohm",
    ),
    row(
        "no-load",
        &["part motor"],
        &[
            must("current", Takes::Quantity(&[Dimension::CURRENT])),
            led("at", Takes::Quantity(&[Dimension::VOLTAGE])),
        ],
        "The current of the motor with nothing on its shaft, and the volts that it was read at.",
        "no-load 0.9 A at 10 V",
    ),
    row(
        "rotates",
        &["part motor"],
        &[must("way", Takes::Word(&["clockwise", "anticlockwise"]))],
        "Which way the shaft turns, seen from behind the model.",
        "rotates clockwise",
    ),
    row(
        "side-thrust",
        &["part motor"],
        &[must("angle", Takes::Sided(&[Dimension::ANGLE], &[Axis::Side]))],
        "How far the front of the thrust line is turned left or right.",
        "side-thrust 2 deg right",
    ),
    row(
        "turned-by",
        &["part propeller"],
        &[must("motor", Takes::Reference(&["part"]))],
        "The motor that it sits on, where there is more than one sort of motor.",
        "turned-by motor",
    ),
    row(
        "hand",
        &["part propeller"],
        &[must("way", Takes::Word(&["right-hand", "left-hand"]))],
        "The way that it is made for: a right-hand one drives ahead turning clockwise, seen from behind.",
        "hand right-hand",
    ),
    row(
        "lettering",
        &["part propeller"],
        &[must("faces", Takes::Word(&["forward", "backward"]))],
        "Which way the side with its printed size faces as it is fitted: the way of flight, or the other.",
        "lettering forward",
    ),
    row(
        "rpm-limit",
        &["part propeller"],
        &[must("speed", Takes::Quantity(&[Dimension::ANGULAR_SPEED]))],
        "The fastest that its maker lets it turn.",
        "rpm-limit 15000 rpm",
    ),
    row(
        "coefficients",
        &["part propeller"],
        &[
            must_led("advance", SHARE),
            must_led("thrust", SHARE),
            must_led("power", SHARE),
        ],
        "Thrust and power coefficient as somebody measured them at one advance ratio, all in percent, the least advance first: 9.8 % is 0.098.",
        "coefficients advance 0 % thrust 9.8 % power 4.3 %",
    )
    .often(),
    row(
        "usable",
        &["pack"],
        &[must("part", SHARE)],
        "How much of its charge a flight may use.",
        "usable 80 %",
    ),
    row(
        "fastened",
        &["pack"],
        &[many("means", Takes::Word(&["strap", "stop", "pad", "tray", "latch"]))],
        "What keeps the pack in its place; a stop is what it rests against ahead of it.",
        "fastened strap stop",
    ),
    row(
        "charging",
        &["pack"],
        &[
            must("current", Takes::Quantity(&[Dimension::CURRENT])),
            led("attended", YES_NO),
            led("on", Takes::Text),
        ],
        "The current that it is charged with, whether somebody stays with it, and what it lies on.",
        "charging 2.4 A attended yes on \"a paving slab outdoors\"",
    ),
    row(
        "charge-limit",
        &["pack"],
        &[must("multiple", Takes::Quantity(&[Dimension::MULTIPLE]))],
        "The most that its label lets it be charged with, as a multiple of its capacity.",
        "charge-limit 2 C",
    ),
    row(
        "reserve",
        &["model", "loadout"],
        &[must("time", TIME)],
        "The time in level flight that is left when it is to be down.",
        "reserve 3 min",
    ),
    row(
        "timer",
        &["loadout"],
        &[must("time", TIME)],
        "When the timer calls it down.",
        "timer 14 min",
    ),
    row(
        "climbs",
        &["loadout"],
        &[must("time", TIME)],
        "How long it climbs at full throttle in a flight, all climbs together.",
        "climbs 50 s",
    ),
    row(
        "alarm",
        &["setting"],
        &[
            must("level", Takes::Word(&["warning", "critical", "cut-off"])),
            must("volts", VOLTS),
        ],
        "The volts at which it warns, calls down or cuts off, of each cell or of the whole pack, as they are stored.",
        "alarm warning 3.5 V/cell",
    )
    .often(),
    row(
        "checked",
        &[],
        &[
            must("pack", Takes::Reference(&["pack"])),
            must("date", Takes::Date),
            led("by", Takes::Name),
        ],
        "A pack was looked at and read with a meter.",
        "checked main 2026-02-20 by MT: volts 3.82 V/cell; resistance 6 mohm/cell; cycles 31; swollen no",
    )
    .often(),
    row("volts", &["checked"], &[must("volts", VOLTS)], "Its volts at rest.", "volts 3.82 V/cell"),
    row(
        "resistance",
        &["checked"],
        &[
            must(
                "ohms",
                Takes::Quantity(&[Dimension::RESISTANCE_PER_CELL, Dimension::RESISTANCE]),
            ),
            led("at", Takes::Quantity(&[Dimension::TEMPERATURE])),
        ],
        "Its inner resistance, and how warm it was.",
        "resistance 6 mohm/cell at 21 °C",
    ),
    row(
        "capacity",
        &["checked"],
        &[must("charge", Takes::Quantity(&[Dimension::CHARGE]))],
        "What it gave when it was emptied from full.",
        "capacity 2.45 Ah",
    ),
    row(
        "cycles",
        &["checked"],
        &[must("count", Takes::Count)],
        "How often it had been charged by then.",
        "cycles 31",
    ),
    row(
        "swollen",
        &["checked"],
        &[must("answer", YES_NO)],
        "Whether it was thicker than when it was new.",
        "swollen no",
    ),
    row(
        "ran",
        &[],
        RECORD,
        "The motor ran at full throttle with the flying propeller and a meter, as a step of its own.",
        "ran survey 2026-02-22 by MT: current 15.8 A; volts 14.4 V; rpm 9300 rpm; with SB; outdoors; restrained; prop-plane-clear",
    )
    .often(),
    row(
        "current",
        &["ran"],
        &[must("current", Takes::Quantity(&[Dimension::CURRENT]))],
        "What the packs gave, all together.",
        "current 15.8 A",
    ),
    row(
        "volts",
        &["ran"],
        &[must("volts", Takes::Quantity(&[Dimension::VOLTAGE]))],
        "The volts of the pack meanwhile.",
        "volts 14.4 V",
    ),
    row(
        "rpm",
        &["ran"],
        &[must("speed", Takes::Quantity(&[Dimension::ANGULAR_SPEED]))],
        "How fast the propeller turned.",
        "rpm 9300 rpm",
    ),
    row(
        "thrust",
        &["ran"],
        &[must("force", Takes::Quantity(&[Dimension::FORCE]))],
        "How hard it pulled or pushed, all motors together.",
        "thrust 7.1 N",
    ),
    row(
        "lasted",
        &["ran", "flew"],
        &[must("time", TIME)],
        "How long it ran, or was in the air.",
        "lasted 15 s",
    ),
    row(
        "with",
        &["ran", "flew", "maiden"],
        &[many("people", Takes::Name)],
        "Who held it or stood by, besides whoever did it.",
        "with SB",
    ),
    row("outdoors", &["ran", "done"], &[], "It ran in the open.", "outdoors"),
    row("restrained", &["ran", "done"], &[], "The model was tied or held so that it could not move.", "restrained"),
    row(
        "prop-plane-clear",
        &["ran", "done"],
        &[],
        "Nobody stood beside or in line with the turning propeller.",
        "prop-plane-clear",
    ),
    row(
        "concerns",
        &["done"],
        &[many("parts", Takes::Reference(&["part", "pack"]))],
        "The parts and packs that the step was about.",
        "concerns motor",
    ),
];

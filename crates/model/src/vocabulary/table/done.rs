//! What was done to it, and when.

use super::super::{Row, Takes};
use super::shorthand::*;

pub(super) static DONE: &[Row] = &[
    row(
        "weighed",
        &[],
        RECORD,
        "The whole aircraft was put on a scale, or on several, as a loadout flies but for what is said.",
        "weighed survey 2026-02-20 by MT: mass 986 g [weighed on scale-b]",
    )
    .often(),
    row(
        "balanced",
        &[],
        RECORD,
        "The whole aircraft was balanced on a stand, or between a rest and a scale, as a loadout flies but for what is said.",
        "balanced survey 2026-02-20 by MT: at 95 mm aft [measured on pin-stand]; level",
    )
    .often(),
    row(
        "mass",
        &["weighed", "balanced"],
        &[must("mass", MASS), led("tare", MASS)],
        "What the scale showed, and how much of that was the hook, the bag or the cradle.",
        "mass 1012 g tare 26 g",
    ),
    row(
        "reading",
        &["weighed"],
        &[may("point", Takes::Name), must("mass", MASS), must_led("at", Takes::Place), led("tare", MASS)],
        "What one of several scales showed, where the aircraft stood on it, and how much of that was the block or the cradle.",
        "reading left-wheel 402 g at 88 mm aft 110 mm left tare 12 g",
    )
    .often(),
    row(
        "at",
        &["balanced"],
        &[must("place", Takes::Place)],
        "Where it balanced, from the datum.",
        "at 95 mm aft",
    ),
    row(
        "rests",
        &["balanced"],
        &[must_led("at", Takes::Place)],
        "Where one end of it rested, on an edge or a peg, while the other hung from a scale.",
        "rests at 40 mm ahead",
    ),
    row(
        "hangs",
        &["balanced"],
        &[must("mass", MASS), must_led("at", Takes::Place), led("tare", MASS)],
        "What the hanging scale showed, where it was hooked on, and how much of that was the hook.",
        "hangs 212 g at 590 mm aft tare 6 g",
    ),
    row(
        "with",
        &["weighed", "balanced"],
        &[many("parts", Takes::Reference(&["part"]))],
        "Parts that were on it at the time: easily forgotten ones, and ones that the loadout flies without.",
        "with camera",
    )
    .often(),
    row(
        "without",
        &["weighed", "balanced"],
        &[many("parts", Takes::Reference(&["part", "pack"]))],
        "Parts and packs that the loadout flies with, and that were not on it at the time.",
        "without hatch",
    )
    .often(),
    row(
        "no-ballast",
        &["weighed", "balanced"],
        &[],
        "The lead that the loadout flies with was not on it.",
        "no-ballast",
    ),
    row(
        "level",
        &["weighed", "balanced"],
        &[],
        "It stood or hung as the datum says that it lies level.",
        "level",
    ),
    row(
        "nose-down",
        &["weighed", "balanced"],
        &[must("angle", ANGLE)],
        "How far nose down from level it stood or hung.",
        "nose-down 4 deg",
    ),
    row(
        "done",
        &[],
        &[must("step", Takes::Name), must("date", Takes::Date), led("by", Takes::Name)],
        "A step was carried out on the aircraft itself; which steps there are is for rules to say.",
        "done failsafe 2026-02-21 by MT: with SB; propeller off",
    )
    .often(),
    row(
        "with",
        &["done"],
        &[many("people", Takes::Name)],
        "Who was there besides whoever did it.",
        "with SB",
    ),
    row(
        "propeller",
        &["done"],
        &[must("answer", Takes::Word(&["off", "on"]))],
        "Whether the propeller was on it meanwhile.",
        "propeller off",
    ),
    row(
        "joins",
        &["done"],
        &[many("joins", Takes::Reference(&["join"]))],
        "The joins that the step was about.",
        "joins receiver-data",
    ),
    row(
        "saved",
        &[],
        &[
            must("part", Takes::Reference(&["part"])),
            must("date", Takes::Date),
            led("by", Takes::Name),
        ],
        "The settings of a board or a controller were saved to a file.",
        "saved board 2026-02-21 by MT: copy \"settings/board.txt\"",
    )
    .often(),
    row(
        "copy",
        &["saved"],
        &[must("file", Takes::Text)],
        "Where the file is, whatever its form.",
        "copy \"settings/board.txt\"",
    ),
    row(
        "sha-256",
        &["saved"],
        &[must("hash", Takes::Text)],
        "The hash of its content, so that another file of the same name is not taken for it.",
        "sha-256 \"9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08\"",
    ),
];

//! The field, the first flight and what comes after it: who permits what, what is planned,
//! and what each flight showed.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;

const SPEED: Takes = Takes::Quantity(&[Dimension::SPEED]);

pub(super) static AFTERWARDS: &[Row] = &[
    row(
        "field",
        &[],
        &[must("name", Takes::Name)],
        "A place where it is flown, and what holds there.",
        "field long-meadow: permission \"the farmer, by letter\" 2026-02-01; height-limit 120 m",
    ),
    row(
        "permission",
        &["field"],
        &[must("who", Takes::Text), may("date", Takes::Date)],
        "Who lets it be flown there, and since when.",
        "permission \"the farmer, by letter\" 2026-02-01",
    )
    .private(),
    row(
        "height-limit",
        &["field"],
        &[must("height", LENGTH)],
        "How high it may fly there, over the ground.",
        "height-limit 120 m",
    ),
    row(
        "insured",
        &["field"],
        &[must("cover", Takes::Text), must_led("until", Takes::Date)],
        "What pays for a damage to others, and the last day on which it does.",
        "insured \"club cover\" until 2026-12-31",
    )
    .private(),
    row(
        "connects",
        &["field"],
        &[must("where", Takes::Word(&["flight-line", "pits"]))],
        "Where a pack is connected before a flight.",
        "connects flight-line",
    ),
    row(
        "observer",
        &["field", "loadout"],
        &[must("name", Takes::Name)],
        "Who stands beside the pilot and keeps the model in sight.",
        "observer SB",
    ),
    row(
        "flown-by",
        &["loadout"],
        &[must("view", Takes::Word(&["sight", "picture"]))],
        "Whether the pilot looks at the model, or at the picture that it sends.",
        "flown-by picture",
    ),
    row(
        "special",
        &["model"],
        &[many("words", Takes::Word(&["night", "display"]))],
        "What is out of the ordinary in how it is flown: in the dark, in front of spectators.",
        "special display",
    ),
    row(
        "marked",
        &["model"],
        &[
            must("where", Takes::Text),
            may("date", Takes::Date),
            led("photo", Takes::Text),
        ],
        "Where on it the owner or the registration stands, since when, and a photograph of that; not what stands there.",
        "marked \"left fin, outside\" 2026-02-01 photo \"photos/mark.jpg\"",
    )
    .private(),
    row(
        "maiden",
        &[],
        &[must("loadout", Takes::Reference(&["loadout"]))],
        "How the first flight is to go, and with which loadout.",
        "maiden survey: wind 4 m/s; with SB; calls SB; trims-from 40 m; lands-after 6 min",
    ),
    row(
        "wind",
        &["maiden", "flew"],
        &[must("speed", SPEED)],
        "The strongest wind in which the first flight is made; of a flight, how strong it was.",
        "wind 4 m/s",
    ),
    row(
        "calls",
        &["maiden"],
        &[must("name", Takes::Name)],
        "Who calls out the time and looks after everything but the sticks.",
        "calls SB",
    ),
    row(
        "trims-from",
        &["maiden"],
        &[must("height", LENGTH)],
        "The height below which nothing is trimmed.",
        "trims-from 40 m",
    ),
    row(
        "lands-after",
        &["maiden"],
        &[must("time", Takes::Quantity(&[Dimension::TIME]))],
        "When the first flight is to be down.",
        "lands-after 6 min",
    ),
    row(
        "looks-for",
        &["maiden"],
        &[must("text", Takes::Text)],
        "What is to be written down of it.",
        "looks-for \"trims, stall, charge used, warmth of the motor\"",
    ),
    row(
        "flew",
        &[],
        RECORD,
        "It was flown, as a loadout flies; the hour may stand behind the day.",
        "flew survey 2026-02-21 by MT: lasted 14 min; used 1.3 Ah; landed 11.2 V",
    )
    .often(),
    row(
        "used",
        &["flew"],
        &[must("charge", Takes::Quantity(&[Dimension::CHARGE]))],
        "What the flight took out of the packs, by the meter aboard or by the charger.",
        "used 1.3 Ah",
    ),
    row(
        "landed",
        &["flew"],
        &[must(
            "volts",
            Takes::Quantity(&[Dimension::VOLTAGE_PER_CELL, Dimension::VOLTAGE]),
        )],
        "The volts of the packs right after the landing.",
        "landed 11.2 V",
    ),
    row(
        "trimmed",
        &["flew"],
        &[must("text", Takes::Text)],
        "What had to be trimmed in the air and how far, or that nothing had.",
        "trimmed \"two clicks up\"",
    )
    .often(),
    row(
        "warm",
        &["flew"],
        &[
            must("what", Takes::Reference(&["part", "pack"])),
            must("temperature", Takes::Quantity(&[Dimension::TEMPERATURE])),
        ],
        "How warm something was right after the landing.",
        "warm motor 46 °C",
    )
    .often(),
];

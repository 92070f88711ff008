//! What is sent and heard: bands, antennas, and what lies near them.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;

const BAND: Takes = Takes::Quantity(&[Dimension::FREQUENCY]);
const POWER: Takes = Takes::Quantity(&[Dimension::POWER]);
const GAIN: Takes = Takes::Quantity(&[Dimension::NONE]);

/// What may lie above a receiver: what things are made of, and what they are covered with.
const ABOVE: [&str; 11] = {
    let [a, b, c, d, e, f, g, h, i] = MATERIALS;
    [a, b, c, d, e, f, g, h, i, "foil", "film"]
};

pub(super) static RADIO: &[Row] = &[
    row(
        "sends",
        &["part"],
        &[
            must("band", BAND),
            led("power", POWER),
            led("heard", POWER),
            led("hearer-gain", GAIN),
        ],
        "The radio band that it sends on, and how strongly; the weakest that the receiver on the ground still hears, and the gain of its antenna.",
        "sends 868 MHz power 12 dBm heard -95 dBm",
    )
    .often(),
    row(
        "receives",
        &["part"],
        &[
            must("band", BAND),
            led("sensitivity", POWER),
            led("sent", POWER),
            led("sender-gain", GAIN),
        ],
        "The radio band that it listens on, the weakest that it still hears; how strongly the sender on the ground sends, and the gain of that antenna.",
        "receives 2440 MHz sensitivity -100 dBm sent 20 dBm",
    )
    .often(),
    row(
        "antenna",
        &["part"],
        &[
            must("name", Takes::Name),
            led("at", Takes::Place),
            led("from", Takes::Place),
            led("to", Takes::Place),
            led("gain", GAIN),
        ],
        "One antenna that is fitted to the part: where its active part is, or from where to where it goes, tip last, and its gain.",
        "antenna long from 40 mm aft 20 mm up to 71 mm aft 20 mm up gain 2 dB",
    )
    .often(),
    row(
        "faces",
        &["part gnss-receiver"],
        &[must("way", Takes::Word(&["skyward", "sideways", "earthward"]))],
        "Which way the side with its antenna faces in level flight.",
        "faces skyward",
    ),
    row(
        "lies-under",
        &["part gnss-receiver"],
        &[many("materials", Takes::Word(&ABOVE))],
        "What is above it.",
        "lies-under tough-foam film",
    ),
    row(
        "link-range",
        &["model"],
        &[must("distance", LENGTH)],
        "How far away it is flown at most.",
        "link-range 400 m",
    ),
    row(
        "relies-on",
        &["model", "part"],
        &[
            must("rule", Takes::Text),
            may("date", Takes::Date),
            may("topic", Takes::Word(&["radio", "mass", "marking"])),
        ],
        "The rule that allows it where it is flown, in the builder's words, when that was looked up, and whether it is about what it sends, about its mass or about how it is marked; radio where that is not said.",
        "relies-on \"licence-free band plan of our country, 25 mW\" 2026-02-01",
    )
    .often()
    .private(),
    row(
        "spaced",
        &["join"],
        &[must("distance", LENGTH), may("so", Takes::Word(&["twisted"]))],
        "How far its plus and its minus lead lie apart, middle to middle, and whether they are twisted.",
        "spaced 4 mm twisted",
    ),
    row(
        "distance",
        &["done"],
        &[must("distance", LENGTH)],
        "How far away one stood.",
        "distance 30 m",
    ),
    row(
        "motors",
        &["done"],
        &[must("state", Takes::Word(&["still", "running"]))],
        "Whether the motors ran meanwhile.",
        "motors still",
    ),
    row(
        "radio-power",
        &["done"],
        &[must("state", Takes::Word(&["reduced", "full"]))],
        "How strongly the sender on the ground sent meanwhile.",
        "radio-power reduced",
    ),
];

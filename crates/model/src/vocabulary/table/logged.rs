//! Which column of a flight log holds what.

use trimsheet_quantity::Dimension;

use super::super::{Row, Slot, Takes};
use super::shorthand::*;

/// One column: what its head says, and what a one in it means.
const fn column(of: Takes) -> [Slot; 2] {
    [must("head", Takes::Text), must_led("each", of)]
}

const TIME: &[Slot] =
    &[must("head", Takes::Text), led("each", Takes::Quantity(&[Dimension::TIME]))];
const VOLTS: &[Slot] = &column(Takes::Quantity(&[Dimension::VOLTAGE]));
const AMPS: &[Slot] = &column(Takes::Quantity(&[Dimension::CURRENT]));
const CHARGE: &[Slot] = &column(Takes::Quantity(&[Dimension::CHARGE]));
const SPEED: &[Slot] = &column(Takes::Quantity(&[Dimension::SPEED]));
const HEIGHT: &[Slot] = &column(LENGTH);
const WARMTH: &[Slot] = &column(Takes::Quantity(&[Dimension::TEMPERATURE]));
const SHARE: &[Slot] = &column(Takes::Quantity(&[Dimension::NONE]));
const STRENGTH: &[Slot] = &column(Takes::Quantity(&[Dimension::NONE, Dimension::POWER]));

pub(super) static LOGGED: &[Row] = &[
    row(
        "log",
        &[],
        &[must("name", Takes::Name)],
        "What the columns of a flight log mean, by what stands at their heads.",
        "log recorder: time \"ms\" each 1 ms; volts \"pack\" each 1 mV; amps \"drawn\" each 10 mA",
    ),
    row(
        "time",
        &["log"],
        TIME,
        "When the row was written: a count of so much each, or a clock or a date where nothing is said.",
        "time \"ms\" each 1 ms",
    ),
    row("volts", &["log"], VOLTS, "The volts of the pack.", "volts \"pack\" each 1 mV"),
    row(
        "amps",
        &["log"],
        AMPS,
        "The current from the packs.",
        "amps \"drawn\" each 10 mA",
    ),
    row("used", &["log"], CHARGE, "The charge used so far.", "used \"taken\" each 1 mAh"),
    row(
        "cell-volts",
        &["log"],
        VOLTS,
        "The volts of the weakest cell.",
        "cell-volts \"lowest\" each 1 mV",
    ),
    row("speed", &["log"], SPEED, "How fast it went.", "speed \"speed\" each 1 km/h"),
    row("height", &["log"], HEIGHT, "How high it was.", "height \"height\" each 1 m"),
    row(
        "temperature",
        &["log"],
        WARMTH,
        "How warm something was.",
        "temperature \"controller\" each 1 °C",
    )
    .often(),
    row(
        "quality",
        &["log"],
        STRENGTH,
        "How well the radio was heard, as a share or as a strength.",
        "quality \"link\" each 1 %",
    ),
    row(
        "throttle",
        &["log"],
        SHARE,
        "How far the throttle was open.",
        "throttle \"stick\" each 1 %",
    ),
];

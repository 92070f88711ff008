//! Where values come from.

use super::super::{Row, SOURCE, Takes};
use super::shorthand::*;

pub(super) static SOURCES: &[Row] = &[
    row(
        "weighed",
        &[SOURCE],
        &[may("date", Takes::Date), led("on", Takes::Reference(&["instrument"]))],
        "Put on a scale.",
        "[weighed 2026-02-09 on scale-b]",
    ),
    row(
        "measured",
        &[SOURCE],
        &[
            may("date", Takes::Date),
            led("on", Takes::Reference(&["instrument"])),
            led("of", Takes::Text),
        ],
        "Taken from the thing itself with a rule, a stand or a meter; or read off the log of a flight.",
        "[measured 2026-02-09]",
    ),
    row(
        "datasheet",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Printed by the maker of the part.",
        "[datasheet]",
    ),
    row(
        "kit",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Stated by the designer of the kit.",
        "[kit]",
    ),
    row(
        "plan",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Read off a drawing, or decided and not yet built.",
        "[plan]",
    ),
    row(
        "estimated",
        &[SOURCE],
        &[may("date", Takes::Date), led("by", Takes::Name)],
        "Guessed by someone who has built before.",
        "[estimated]",
    ),
    row(
        "copied",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "True of another aircraft of the same design.",
        "[copied]",
    ),
];

//! What can be asked of a value itself, wherever it stands.

use super::records::{LENGTH, WORDS};
use crate::gives::{Among, Gives};

/// What can be asked of a value, by what kind of thing it is.
#[derive(Debug)]
pub struct Property {
    /// What it is asked of: `value` for every value that stands in a line, else `number`,
    /// `date`, `range`, `place` or `size`.
    pub on: &'static str,
    /// What rules call it.
    pub name: &'static str,
    /// What it is.
    pub gives: Gives,
    /// What it means, in a sentence.
    pub says: &'static str,
    /// How it is asked for; what stands first is named after the entry.
    pub example: &'static str,
}

const fn of(
    on: &'static str,
    name: &'static str,
    gives: Gives,
    says: &'static str,
    example: &'static str,
) -> Property {
    Property { on, name, gives, says, example }
}

/// What values can say of themselves.
pub const OF_VALUES: &[Property] = &[
    of(
        "value",
        "entry",
        Gives::Entry(&[]),
        "The entry that it is about.",
        "value.entry.name",
    ),
    of("value", "of", WORDS, "What a message calls that entry.", "value.of"),
    of(
        "value",
        "fact",
        Gives::Words(Among::Facts),
        "The word of its line.",
        "value.fact",
    ),
    of(
        "value",
        "called",
        WORDS,
        "What a message calls it: `mass`, `place`, `rib chord`.",
        "value.called",
    ),
    of(
        "value",
        "source",
        Gives::Words(Among::Sources),
        "Where it comes from.",
        "value.source",
    ),
    of(
        "value",
        "has_source",
        Gives::Flag,
        "Whether its source is stated.",
        "value.has_source",
    ),
    of(
        "value",
        "dated",
        Gives::Date,
        "The day that its source states, or the record that it stands in.",
        "value.dated.year",
    ),
    of(
        "value",
        "has_instrument",
        Gives::Flag,
        "Whether its source names the instrument that it was taken with.",
        "value.has_instrument",
    ),
    of(
        "value",
        "is_assumed",
        Gives::Flag,
        "Whether its spread was assumed from its source.",
        "value.is_assumed",
    ),
    of("value", "is_about", Gives::Flag, "Whether it is `about`.", "value.is_about"),
    of(
        "value",
        "is_unknown",
        Gives::Flag,
        "Whether the builder wrote `?` or `about`.",
        "value.is_unknown",
    ),
    of(
        "value",
        "is_known",
        Gives::Flag,
        "Whether it can be reckoned with; an `about` can.",
        "value.is_known",
    ),
    of(
        "value",
        "has_no_unit",
        Gives::Flag,
        "Whether it is a number without a unit.",
        "value.has_no_unit",
    ),
    of(
        "value",
        "wants",
        WORDS,
        "What a builder would write behind a number there: `mm`, `mm aft`.",
        "value.wants",
    ),
    of(
        "value",
        "wants_only_a_unit",
        Gives::Flag,
        "Whether one unit behind the number makes it whole.",
        "value.wants_only_a_unit",
    ),
    of(
        "value",
        "is_needed",
        Gives::Flag,
        "Whether the stage that is judged wants it known.",
        "value.is_needed",
    ),
    of(
        "value",
        "is_needed_later",
        Gives::Flag,
        "Whether some stage wants it known.",
        "value.is_needed_later",
    ),
    of(
        "value",
        "needed_from",
        Gives::Words(Among::Stages),
        "The stage from which it is wanted.",
        "value.needed_from",
    ),
    of(
        "number",
        "spread",
        Gives::Quantity(&[]),
        "Its expanded spread, coverage factor 2.",
        "part.mass.spread",
    ),
    of("date", "year", Gives::Count, "Its year.", "weighed.date.year"),
    of(
        "date",
        "has_hour",
        Gives::Flag,
        "Whether the hour stands behind the day.",
        "done.date.has_hour",
    ),
    of("range", "low", Gives::Quantity(&[]), "The lower end.", "wing.band.low"),
    of("range", "high", Gives::Quantity(&[]), "The upper end.", "wing.band.high"),
    of(
        "range",
        "forward",
        LENGTH,
        "The end that is further ahead, of a range of places.",
        "wing.band.forward",
    ),
    of(
        "range",
        "aft",
        LENGTH,
        "The end that is further aft, of a range of places.",
        "wing.band.aft",
    ),
    of("place", "x", LENGTH, "Where it lies ahead or aft.", "part.at.x"),
    of(
        "place",
        "y",
        LENGTH,
        "Where it lies left or right; the centre line where nobody says.",
        "part.at.y",
    ),
    of(
        "place",
        "z",
        LENGTH,
        "Where it lies up or down; the chord line where nobody says.",
        "part.at.z",
    ),
    of("size", "length", LENGTH, "How long it is.", "pack.size.length"),
    of(
        "size",
        "width",
        LENGTH,
        "How wide it is, where three sizes are given.",
        "pack.size.width",
    ),
    of(
        "size",
        "height",
        LENGTH,
        "How high it is, where three sizes are given.",
        "pack.size.height",
    ),
    of(
        "size",
        "diameter",
        LENGTH,
        "Of a propeller, where two sizes are given.",
        "part.size.diameter",
    ),
    of(
        "size",
        "pitch",
        LENGTH,
        "Of a propeller, where two sizes are given.",
        "part.size.pitch",
    ),
];

/// The property of this name of every value, or of one kind of value.
pub fn property(on: &str, name: &str) -> Option<&'static Property> {
    OF_VALUES.iter().find(|one| one.on == on && one.name == name)
}

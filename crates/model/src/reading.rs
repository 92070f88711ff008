//! What reading may say about a spec: the ids of its findings.
//!
//! Rules that are scripts have pages of their own. What is found as a spec is read has
//! no script, so that here is the one list of it: the published reference and whoever
//! explains a finding read it.

/// A kind of finding that reading may give.
#[derive(Clone, Copy, Debug)]
pub struct Reading {
    /// What it is called, as in `read/expected`.
    pub id: &'static str,
    /// What is wrong then, and what to do, in a sentence or two.
    pub says: &'static str,
}

const fn reading(id: &'static str, says: &'static str) -> Reading {
    Reading { id, says }
}

/// Every kind of finding that reading may give, in the order of the alphabet.
pub const READINGS: &[Reading] = &[
    reading(
        "read/byte-order-mark",
        "An invisible mark stands at the start of the file; it is passed over.",
    ),
    reading(
        "read/each-or-together",
        "The mass of a pair does not say whether it is of `each` or of both `together`.",
    ),
    reading(
        "read/expected",
        "Something else stands where the table wants a value, or nothing does.",
    ),
    reading(
        "read/fact-not-here",
        "A fact stands under an entry, or a kind of part, that it is not said of.",
    ),
    reading("read/fact-without-entry", "A fact stands above every entry of the file."),
    reading(
        "read/impossible-value",
        "A value cannot be: nothing where there is always something, a minus, a date that does not exist, a number too large to reckon with.",
    ),
    reading(
        "read/left-open",
        "A quote or a bracket is not closed, so that the rest of its line is not known.",
    ),
    reading("read/like-itself", "An entry takes its facts from itself, or all around."),
    reading(
        "read/name-twice",
        "Two things in one file share a name, or a fact is assumed twice.",
    ),
    reading("read/no-entry", "A line begins with `:` or `;` in column 1."),
    reading(
        "read/not-indented",
        "A fact begins in column 1; it is read as one of the entry above where that lacks it.",
    ),
    reading("read/not-utf8", "Bytes of the line are no text in UTF-8."),
    reading("read/nothing-said", "The file says nothing yet."),
    reading(
        "read/side-of-a-pair",
        "A pair lies to one side, or one part lies `out`, which is to both.",
    ),
    reading(
        "read/source-covers-nothing",
        "A source stands where no value is before it, or is the second of an entry's head.",
    ),
    reading(
        "read/too-many",
        "There is more of something than anybody reads: findings, or facts taken by `like`.",
    ),
    reading("read/unknown-entry", "A word in column 1 opens no entry."),
    reading("read/unknown-fact", "A word is no fact of its entry, nor of any other."),
    reading(
        "read/unknown-name",
        "A name is nobody's: no entry, socket or instrument has it.",
    ),
    reading("read/unknown-unit", "The word behind a number is no unit."),
];

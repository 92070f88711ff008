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
        "Some editors put an invisible mark at the start of a file. It says nothing, and is passed over. Save the file as UTF-8 without it.",
    ),
    reading(
        "read/each-or-together",
        "The mass of a pair can mean each of the two or both together, and the balance is wrong by one of them if it is taken the wrong way. Write `each` or `together` behind it; until then the mass is not known.",
    ),
    reading(
        "read/expected",
        "Something else stands where a value is wanted. The message says what was expected and what was found; the value is not known until it can be read.",
    ),
    reading(
        "read/fact-not-here",
        "A fact stands under an entry that has no such fact. The message says what it is said of.",
    ),
    reading(
        "read/fact-without-entry",
        "An indented line is a fact about the entry above it, and there is none. Begin the entry in column 1.",
    ),
    reading(
        "read/follows-missing",
        "The reference spec that the model follows could not be read, or not all of it. What was built differently is not known as far as it is missing.",
    ),
    reading(
        "read/impossible-value",
        "A value that nothing can have: a sign where a side is meant, a day that is in no calendar, a number too large to reckon with.",
    ),
    reading(
        "read/left-open",
        "A quote or a bracket is not closed on its line, so nothing behind it on the line can be read. What may have stood there counts as not known.",
    ),
    reading(
        "read/like-itself",
        "Entries take their facts from each other in a ring. Let one of them state its own.",
    ),
    reading(
        "read/merge-mark",
        "Version control put two sides of a merge into the file and a mark between them. Both sides were read; keep what is right, in a proof all of it, and take the marks out.",
    ),
    reading(
        "read/name-twice",
        "Two entries of a file share a name, so a reference could mean either. Give one of them another.",
    ),
    reading(
        "read/no-entry",
        "A line begins with a mark, where the word of an entry is wanted.",
    ),
    reading(
        "read/not-a-record",
        "A proof holds records and what they rest on; what describes the aircraft stands in its spec, and is not read in a proof.",
    ),
    reading(
        "read/not-indented",
        "A fact begins in column 1, where entries do. It was read as a fact of the entry above, if that had not said it.",
    ),
    reading(
        "read/not-utf8",
        "The file holds bytes that are not UTF-8 text, or letters that an earlier program could not read. Type them again, and save the file as UTF-8.",
    ),
    reading(
        "read/nothing-said",
        "The file is empty, or holds only comments. Begin with `model`, a `wing` and the parts: a dozen lines already give a balance.",
    ),
    reading(
        "read/proof-form",
        "The proof beside a spec is of another form than this program reads, or could not be read at all. None of its records counts until then.",
    ),
    reading(
        "read/side-of-a-pair",
        "A part of a pair is placed left or right, and each half has a side already. Say how far `out` it is.",
    ),
    reading(
        "read/source-covers-nothing",
        "A source in brackets covers the values before it in its fact, and there are none.",
    ),
    reading(
        "read/too-many",
        "A file has more findings than anybody reads. Mend the first ones, and check again.",
    ),
    reading(
        "read/unknown-entry",
        "A line begins with a word that opens no entry. If a word that does is near, the line was read as that.",
    ),
    reading(
        "read/unknown-fact",
        "An entry has no fact of this word. If a word that it has is near, that fact counts as not known.",
    ),
    reading(
        "read/unknown-name",
        "Something is named that no entry is called, or that no instrument or part is.",
    ),
    reading(
        "read/unknown-unit",
        "The word behind a number is its unit, and this is none. grammar/REFERENCE.md lists the units.",
    ),
];

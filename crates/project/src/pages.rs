//! Pages of the findings that no rule makes: those of reading, and those about rules.
//!
//! A rule brings a page of its own. These have a few sentences each, so that whatever a
//! finding is called can be explained.

/// The name of each such finding, and what it means.
pub const PAGES: &[(&str, &str)] = &[
    (
        "read/byte-order-mark",
        "Some editors put an invisible mark at the start of a file. It says nothing, and is passed over. Save the file as UTF-8 without it.",
    ),
    (
        "read/each-or-together",
        "The mass of a pair can mean each of the two or both together, and the balance is wrong by one of them if it is taken the wrong way. Write `each` or `together` behind it; until then the mass is not known.",
    ),
    (
        "read/expected",
        "Something else stands where a value is wanted. The message says what was expected and what was found; the value is not known until it can be read.",
    ),
    (
        "read/fact-not-here",
        "A fact stands under an entry that has no such fact. The message says what it is said of.",
    ),
    (
        "read/fact-without-entry",
        "An indented line is a fact about the entry above it, and there is none. Begin the entry in column 1.",
    ),
    (
        "read/impossible-value",
        "A value that nothing can have: a sign where a side is meant, a day that is in no calendar, a number too large to reckon with.",
    ),
    (
        "read/include-cycle",
        "Files include each other in a ring. Each was read once; take out one of the include lines.",
    ),
    (
        "read/include-missing",
        "A file that is included cannot be read. What would be taken from it is not known.",
    ),
    (
        "read/include-outside",
        "An include leads out of the folder of the spec. A spec that is shared should be whole: copy the file into the folder.",
    ),
    (
        "read/left-open",
        "A quote or a bracket is not closed on its line, so nothing behind it on the line can be read. What may have stood there counts as not known.",
    ),
    (
        "read/like-itself",
        "Entries take their facts from each other in a ring. Let one of them state its own.",
    ),
    (
        "read/name-twice",
        "Two entries of a file share a name, so a reference could mean either. Give one of them another.",
    ),
    ("read/no-entry", "A line begins with a mark, where the word of an entry is wanted."),
    (
        "read/not-indented",
        "A fact begins in column 1, where entries do. It was read as a fact of the entry above, if that had not said it.",
    ),
    (
        "read/not-utf8",
        "The file holds bytes that are not UTF-8 text, or letters that an earlier program could not read. Type them again, and save the file as UTF-8.",
    ),
    (
        "read/nothing-said",
        "The file is empty, or holds only comments. Begin with `model`, a `wing` and the parts: a dozen lines already give a balance.",
    ),
    (
        "read/side-of-a-pair",
        "A part of a pair is placed left or right, and each half has a side already. Say how far `out` it is.",
    ),
    (
        "read/source-covers-nothing",
        "A source in brackets covers the values before it in its fact, and there are none.",
    ),
    (
        "read/too-many",
        "A file has more findings than anybody reads. Mend the first ones, and check again.",
    ),
    (
        "read/unknown-entry",
        "A line begins with a word that opens no entry. If a word that does is near, the line was read as that.",
    ),
    (
        "read/unknown-fact",
        "An entry has no fact of this word. If a word that it has is near, that fact counts as not known.",
    ),
    (
        "read/unknown-name",
        "Something is named that no entry is called, or that no instrument or part is.",
    ),
    (
        "read/unknown-unit",
        "The word behind a number is its unit, and this is none. grammar/REFERENCE.md lists the units.",
    ),
    (
        "rules/cannot-read",
        "A rule's script is not written as scripts are, or uses what rules may not: closures, printing, files. Every other rule ran.",
    ),
    (
        "rules/fault",
        "A rule's script is mistaken: it names what is not there, compares unlike things, or does not state what a rule must. Every other rule ran.",
    ),
    (
        "rules/out-of-bounds",
        "A rule's script takes more operations, more memory or more depth than a rule may. Every other rule ran.",
    ),
    (
        "rules/setting-unlike",
        "A parameter is set to a value of another dimension than the rule gives it.",
    ),
    (
        "rules/unknown-parameter",
        "A rule has no parameter of this name that could be set.",
    ),
    ("rules/unknown-rule", "No rule has this name, so nothing of it can be set."),
];

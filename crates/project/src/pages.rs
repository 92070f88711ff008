//! Pages of the findings that no rule makes: those of reading, and those about rules.
//!
//! A rule brings a page of its own. These have a few sentences each, so that whatever a
//! finding is called can be explained.

use trimsheet_model::reading::READINGS;

/// What reading files and running rules may say, beside what reading a text may.
const PAGES: &[(&str, &str)] = &[
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
        "rules/too-many",
        "Rules find more in a file than anybody reads. Mend the first ones, and check again.",
    ),
    (
        "rules/unknown-parameter",
        "A rule has no parameter of this name that could be set.",
    ),
    ("rules/unknown-rule", "No rule has this name, so nothing of it can be set."),
];

/// Every finding that no rule makes: its name, and what it means.
pub fn pages() -> impl Iterator<Item = (&'static str, &'static str)> {
    let readings = READINGS.iter().map(|reading| (reading.id, reading.says));
    readings.chain(PAGES.iter().copied())
}

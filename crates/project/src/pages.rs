//! Pages of the findings that no rule makes: those of reading, and those about rules.
//!
//! A rule brings a page of its own. These have a few sentences each, so that whatever a
//! finding is called can be explained.

use trimsheet_model::reading::READINGS;
use trimsheet_source::{RuleId, RuleText};

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
        "A rule's script is mistaken: it names what is not there, compares unlike things, does not state what a rule must, or has no page beside it. The reference of rules says what there is. Every other rule ran.",
    ),
    (
        "rules/known-expired",
        "A finding of the baseline was let pass until a day, and counts again. Mend it, or take a new baseline and answer for it.",
    ),
    (
        "rules/known-unneeded",
        "A finding of the baseline is gone, or what its rule reads has changed. `trimsheet baseline --prune` takes its line out.",
    ),
    (
        "rules/lock-behind",
        "The lock beside the spec pins packs of rules, and something is not as it was pinned. What the lock carries counts, until `trimsheet rules update` writes it anew; that shows first which findings would come and go.",
    ),
    (
        "rules/lock-unclear",
        "The lock beside the spec cannot be used: it cannot be opened, does not read, or carries what is not what its hashes say. The packs were taken from their folders. Take it back from version control, or write it anew with `trimsheet rules update`.",
    ),
    (
        "rules/loosened",
        "A pack or a spec sets a limit looser than an earlier layer has it, or would lower a level, and nobody answers for it. It does not hold. Tightening is free; whatever lets more pass is a waiver, and says by whom and until when.",
    ),
    (
        "rules/message-unclean",
        "A rule's script writes control characters or markup into its messages, its title or its page. A message is plain text, wherever it is shown.",
    ),
    (
        "rules/out-of-bounds",
        "A rule's script is larger, or takes more operations, more memory or more depth, than a rule may. Every other rule ran.",
    ),
    (
        "rules/pack-misnamed",
        "A pack does not go by the name of its folder, by a name that trimsheet keeps for itself, or two packs have one name. Rules and facts carry the name of their pack, so that nobody speaks in another's.",
    ),
    (
        "rules/pack-missing",
        "A spec names a pack of rules that is neither beside it, below `rules/`, nor among the user's own packs, or that cannot be used as it stands there. None of its rules ran.",
    ),
    (
        "rules/pack-unclear",
        "What a pack says of itself, in pack.toml, is not clear at this place. What is not clear does not count.",
    ),
    (
        "rules/setting-unlike",
        "A parameter is set to what cannot be its value: a number of another dimension than the rule gives it, without a unit, not known yet, or with a spread. A limit is decided, not measured. It stays as it was.",
    ),
    (
        "rules/too-many",
        "Rules find more in a file than anybody reads. Mend the first ones, and check again.",
    ),
    (
        "rules/unknown-parameter",
        "A rule has no parameter of this name that could be set.",
    ),
    (
        "rules/unknown-rule",
        "No rule that applies here has this name, so nothing of it can be set or waived.",
    ),
    (
        "rules/waiver-expired",
        "A waiver held until a day that has passed. Look at the aircraft again: mend what was waived, or say anew why it may stay and until when.",
    ),
    (
        "rules/waiver-forbidden",
        "The rule cannot be waived, nor its limits loosened: what it finds has to be mended.",
    ),
    (
        "rules/waiver-unexplained",
        "A waiver lets nothing pass before it says the reason, who answers for it, and the last day on which it holds.",
    ),
    (
        "rules/waiver-unneeded",
        "A waiver has nothing to waive. Take it out, or it hides the fault when that comes back.",
    ),
];

/// Every finding that no rule makes: its name, and what it means.
pub fn pages() -> impl Iterator<Item = (&'static str, &'static str)> {
    let readings = READINGS.iter().map(|reading| (reading.id, reading.says));
    readings.chain(PAGES.iter().copied())
}

/// What is said of such a finding, as rules say it of theirs; its level depends on what
/// is found.
pub(crate) fn text(id: &RuleId) -> Option<RuleText> {
    let (_, says) = pages().find(|(known, _)| *known == id.0)?;
    let (title, _) = says.split_once(". ").unwrap_or((says.trim_end_matches('.'), ""));
    Some(RuleText { id: id.clone(), title: title.into(), level: None, page: says.into() })
}

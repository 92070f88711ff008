//! What a pack says of itself, read like any other input: every mistake has its place.
//!
//! ```toml
//! name    = "elm-hill"
//! issue   = "2026"
//! title   = "What the club asks of models on its field"
//! licence = "MIT"
//! needs   = "0.1"                  # the version of trimsheet
//! layer   = "club"                 # kit, club or personal
//!
//! [[fact]]                         # written `elm-hill.held by latch`
//! word    = "held"                 # and read by rules as wing.elm_hill_held
//! of      = ["wing"]
//! form    = "by latch|bolt"
//! says    = "What keeps a removable wing from leaving."
//! example = "elm-hill.held by latch"
//!
//! [[set]]                          # what loosens a limit says `by` and `until` too
//! rule = "balance/outside-band"
//! parameter = "spare"
//! value = "3 mm"
//! because = "first flights are made over the reeds"
//!
//! [[raise]]                        # a level, from a stage on
//! rule = "mass/estimate-heavy"
//! from = "ready"
//! to = "stop"
//! because = "nobody weighs anything at the field"
//!
//! [[waive]]                        # for every model; looks like a waiver, and is one
//! rule = "mass/size-free-loading"
//! because = "gliders only"
//! by = "KV"
//! until = 2027-03-01
//! ```

mod fields;

use std::collections::BTreeSet;

use trimsheet_facts::gives::{asked, rule_name};
use trimsheet_facts::model::vocabulary::{Declared, Row, example_of};
use trimsheet_facts::model::{Document, Stage, resolve_with, vocabulary::Vocabulary};
use trimsheet_source::{FileId, Finding, Level, Sources, Span};

use crate::layer::{Layer, Owner};
use crate::pack::Pack;
use crate::settings::{Raise, Set, Waiver};
use fields::{Fields, Said, unclear};

/// What a pack says of itself.
#[derive(Clone, Debug, Default)]
pub struct Manifest {
    /// The name that its rules go by; the core pack's rules go by their own.
    pub name: String,
    /// Which issue of the pack this is.
    pub issue: String,
    /// What the pack is for.
    pub title: String,
    /// Under which licence it may be shared.
    pub licence: String,
    /// Whose rules these are.
    pub layer: Layer,
    /// The facts that it adds to the vocabulary.
    pub facts: Vec<Stated>,
    /// The parameters of rules that it sets.
    pub sets: Vec<Set>,
    /// The levels of rules that it raises.
    pub raises: Vec<Raise>,
    /// The rules whose findings it lets pass.
    pub waivers: Vec<Waiver>,
}

/// A fact that a pack adds to the vocabulary.
#[derive(Clone, Copy, Debug)]
pub struct Stated {
    /// Its row, as the table of the language has them.
    pub row: &'static Row,
    /// Where its word stands.
    pub word: Span,
}

/// Names that no pack can have: those of the core, and of findings that no rule makes.
const RESERVED: [&str; 3] = ["core", "read", "rules"];

impl Manifest {
    /// What stands for the pack where something is shown to be its: name and issue.
    pub fn owner(&self) -> String {
        format!("{} {}", self.name, self.issue).trim_end().to_owned()
    }

    /// Reads what a pack says of itself; `file` is its `pack.toml` among the sources.
    ///
    /// What is wrong is left out and has a finding; nothing is taken for said.
    pub fn read(pack: &Pack, file: FileId) -> (Manifest, Vec<Finding>) {
        let text = pack.manifest().unwrap_or("");
        let mut findings = Vec::new();
        let fields = Fields::read(text, file, &mut findings);
        let is_core = pack.name == "core" && pack.place == "rules/core";
        let mut manifest = Manifest { name: pack.name.clone(), ..Manifest::default() };
        manifest.read_head(pack, is_core, &fields, &mut findings);
        let owner = Owner::Pack(manifest.owner());
        for table in fields.tables("set", &mut findings) {
            manifest.sets.extend(set(&table, &owner, &mut findings));
        }
        for table in fields.tables("raise", &mut findings) {
            manifest.raises.extend(raise(&table, &owner, &mut findings));
        }
        for table in fields.tables("waive", &mut findings) {
            manifest.waivers.extend(waiver(&table, &owner, &mut findings));
        }
        let mut words = BTreeSet::new();
        for table in fields.tables("fact", &mut findings) {
            let Some(stated) = fact(&table, &manifest.name, &mut findings) else {
                continue;
            };
            if words.insert(stated.row.word) {
                manifest.facts.push(stated);
            } else {
                let says = "this fact is declared a second time";
                findings.push(unclear(table.span, says));
            }
        }
        fields.rest(&mut findings);
        (manifest, findings)
    }

    fn read_head(
        &mut self,
        pack: &Pack,
        is_core: bool,
        fields: &Fields<'_>,
        findings: &mut Vec<Finding>,
    ) {
        let name = fields.text("name", findings);
        if let Some(name) = name.filter(|name| name.value != pack.name) {
            let says = format!(
                "the pack in the folder `{}` says that it is `{}`",
                pack.name, name.value
            );
            findings.push(misnamed(name.span, says).advised(
                "a pack goes by the name of its folder, so that nobody speaks in another's name: rename one of them",
            ));
        }
        if let Some(why) = no_pack_name(&self.name).filter(|_| !is_core) {
            findings.push(misnamed(fields.span, why).advised(
                "name the folder with lower-case letters, digits and hyphens, such as elm-hill",
            ));
        }
        let mut text =
            |key| fields.text(key, findings).map_or(String::new(), |t| t.value);
        self.issue = text("issue");
        self.title = text("title");
        self.licence = text("licence");
        let needs = fields.text("needs", findings);
        if let Some(says) = needs.as_ref().and_then(|needs| too_old(&needs.value)) {
            findings.push(unclear(needs.map_or(fields.span, |needs| needs.span), says));
        }
        self.layer = if is_core {
            Layer::Core
        } else {
            let words = Layer::OF_PACKS.map(Layer::word);
            let word = fields.word("layer", &words, findings);
            let layer = Layer::OF_PACKS.into_iter().find(|one| Some(one.word()) == word);
            layer.unwrap_or_default()
        };
    }
}

/// Why a pack cannot go by a name, if it cannot.
pub fn no_pack_name(name: &str) -> Option<String> {
    if RESERVED.contains(&name) {
        return Some(format!(
            "no pack can be called `{name}`, which belongs to trimsheet"
        ));
    }
    let says = || {
        format!(
            "`{name}` is no name of a pack: lower-case letters, digits and hyphens, a letter first"
        )
    };
    (!is_plain(name)).then(says)
}

/// Lower-case letters, digits and hyphens, a letter first.
pub fn is_plain(name: &str) -> bool {
    let plain = |letter: char| {
        letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-'
    };
    name.starts_with(|letter: char| letter.is_ascii_lowercase())
        && !name.ends_with('-')
        && name.chars().all(plain)
}

/// Why this program is not of the version that a pack needs, or of a later one.
fn too_old(needs: &str) -> Option<String> {
    let parts = |text: &str| -> Option<Vec<u32>> {
        text.split('.').map(|part| part.trim().parse().ok()).collect()
    };
    let has = env!("CARGO_PKG_VERSION");
    match (parts(needs), parts(has)) {
        (None, _) => {
            Some(format!("expected a version such as 0.1 for `needs`, found {needs}"))
        }
        (Some(wanted), own) => (Some(wanted) > own)
            .then(|| format!("the pack needs trimsheet {needs}, and this is {has}")),
    }
}

fn misnamed(span: Span, says: String) -> Finding {
    Finding::new("rules/pack-misnamed", Level::Error, span, says)
}

fn set(fields: &Fields<'_>, owner: &Owner, findings: &mut Vec<Finding>) -> Option<Set> {
    let rule = fields.text("rule", findings);
    let parameter = fields.text("parameter", findings);
    let value = fields.quantity("value", findings);
    let because = fields.text("because", findings);
    let by = fields.optional_text("by", findings);
    let until = fields.optional_date("until", findings);
    fields.rest(findings);
    let value = value?;
    Some(Set {
        rule: rule?.into(),
        parameter: parameter?.into(),
        value: value.value,
        span: value.span,
        because: because?.value,
        by: by.map(|by| by.value),
        until,
        owner: owner.clone(),
    })
}

fn raise(
    fields: &Fields<'_>,
    owner: &Owner,
    findings: &mut Vec<Finding>,
) -> Option<Raise> {
    let rule = fields.text("rule", findings);
    let from = fields.word("from", Stage::WORDS, findings);
    let to = fields.word("to", &Level::ALL.map(Level::word), findings);
    let because = fields.text("because", findings);
    fields.rest(findings);
    because.as_ref()?;
    Some(Raise {
        rule: rule?.into(),
        from: Stage::from_word(from?)?,
        to: Level::from_word(to?)?,
        span: fields.span,
        owner: owner.clone(),
    })
}

fn waiver(
    fields: &Fields<'_>,
    owner: &Owner,
    findings: &mut Vec<Finding>,
) -> Option<Waiver> {
    let rule = fields.text("rule", findings);
    // What is missing here is said by whoever applies it, in the words of waivers.
    let because = fields.optional_text("because", findings);
    let by = fields.optional_text("by", findings);
    let until = fields.optional_date("until", findings);
    fields.rest(findings);
    Some(Waiver {
        rule: rule?.into(),
        on: None,
        because: because.map(|text| (text.value, text.span)),
        by: by.map(|by| by.value),
        until,
        span: fields.span,
        owner: owner.clone(),
    })
}

/// A fact that a pack declares, if it reads as one.
fn fact(fields: &Fields<'_>, pack: &str, findings: &mut Vec<Finding>) -> Option<Stated> {
    let word = fields.text("word", findings);
    let of = fields.texts("of", findings);
    let form = fields.optional_text("form", findings);
    let says = fields.text("says", findings);
    let example = fields.text("example", findings);
    let since = fields.optional_word("since", Stage::WORDS, findings);
    let often = fields.flag("often", findings);
    let private = fields.flag("private", findings);
    fields.rest(findings);
    if form.is_none() && fields.has("form") {
        return None;
    }
    let (word, example) = (word?, example?);
    if !is_plain(&word.value) {
        let says = format!(
            "expected a word of lower-case letters, digits and hyphens, found `{}`",
            word.value
        );
        let advice = format!(
            "write it without a name before it: a spec says `{pack}.` and the word"
        );
        findings.push(unclear(word.span, says).advised(advice));
        return None;
    }
    let declared = Declared {
        word: format!("{pack}.{}", word.value),
        of: of?.value,
        form: form.map_or(String::new(), |form| form.value),
        says: says?.value,
        example: example.value.clone(),
        since: since.and_then(Stage::from_word),
        often,
        private,
    };
    let taken = |row: &'static Row| taken(row).map_or(Ok(row), Err);
    let row = match declared.row().and_then(taken) {
        Ok(row) => row,
        Err(why) => {
            let says = format!("the fact `{}` is not clear: {why}", word.value);
            findings.push(unclear(word.span, says));
            return None;
        }
    };
    let faults = unread(row);
    for fault in &faults {
        let says = format!("its example does not read: {fault}");
        findings.push(unclear(example.span, says));
    }
    faults.is_empty().then_some(Stated { row, word: word.span })
}

/// Why rules could not reach a fact: they have something else of its name.
fn taken(row: &'static Row) -> Option<String> {
    let name = rule_name(row);
    let own = Vocabulary::default();
    let entry = row.within.iter().find(|entry| asked(&own, entry, &name).is_some())?;
    Some(format!(
        "rules would read `{}` as {}.{name}, and have something else of that name; choose another word",
        row.word,
        entry.replace('-', "_")
    ))
}

/// What reading says of the example of a fact, but for names that no example can have.
fn unread(row: &'static Row) -> Vec<String> {
    if row.example.split_whitespace().next() != Some(row.word) {
        return vec![format!("expected `{}` as its first word", row.word)];
    }
    let mut sources = Sources::default();
    let text = example_of(row);
    let file = sources.add("example.trim", text.clone());
    let tree = trimsheet_facts::model::syntax::parse(file, &text);
    let document = Document { file, tree, shelves: Vec::new() };
    let vocabulary = Vocabulary::default().with([row]);
    let (_, findings) = resolve_with(&[document], &sources, &vocabulary);
    let told = findings.into_iter().filter(|one| one.rule.0 != "read/unknown-name");
    told.map(|finding| finding.headline).collect()
}

impl From<Said<String>> for (String, Span) {
    fn from(said: Said<String>) -> (String, Span) {
        (said.value, said.span)
    }
}

#[cfg(test)]
mod tests;

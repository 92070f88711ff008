//! What a signed record rests on, and what of that is no longer as it was.
//!
//! A record rests on facts of the spec as they were written: the text of each, the source
//! and the spread that count for it where those stand elsewhere, and which entries of a
//! word there were. What differs in any of these opens the record again. That may ask for
//! a step once too often, and never once too seldom.
//!
//! A check sum shows a line that was lost or changed by accident. It is no signature:
//! whoever wants to write a false proof can.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest, Sha256};
use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::vocabulary::RECORDS;
use trimsheet_model::{Build, Entry, EntryId, Fact, Kind, Value};

use crate::facts::{FactId, Facts, Reads};
use crate::known::{Known, NotKnown, What};

/// What a record rests on: the name of each fact, and what the spec says of it, if it does.
pub type Grounds = BTreeMap<String, Option<String>>;

/// A fact as it stands in the spec by now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ground {
    /// What is said; nothing where the spec does not say it.
    pub says: Option<String>,
    /// Where, if it stands somewhere.
    pub span: Option<Span>,
}

/// A fact that is no longer as it was when a record was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The fact, as in `surface elevons: reflex`.
    pub fact: String,
    /// What the spec said then.
    pub was: Option<String>,
    /// What it says now.
    pub now: Option<String>,
    /// Where it says so now, or the line of the proof.
    pub span: Span,
}

impl Change {
    /// What was said and what is, as a message says it: without the source and the spread
    /// that count for it, where these are as they were.
    pub fn said(&self) -> (Option<&str>, Option<&str>) {
        let (was, now) = (self.was.as_deref(), self.now.as_deref());
        let parts = |text| {
            let at = [" (± ", " ["].iter().filter_map(|mark| str::find(text, mark)).min();
            text.split_at_checked(at.unwrap_or(text.len()))
        };
        match (was.and_then(parts), now.and_then(parts)) {
            (Some((before, tail)), Some((after, same))) if tail == same => {
                (Some(before), Some(after))
            }
            _ => (was, now),
        }
    }
}

/// What is said of a record for people, or how far the build has come, is nothing that a
/// step is proved on.
const NO_GROUND: [&str; 6] = ["note", "title", "stage", "revision", "rules", "signed"];
/// Entries that no step is proved on: what was done, and what is let pass.
const NO_ENTRY: [&str; 8] =
    ["proof", "rests", "seal", "known", "waive", "set", "include", "assume"];
/// How the name of a list begins: `every part`.
const EVERY: &str = "every ";
/// How the name of a list of parts of one kind goes on.
const OF_KIND: &str = "part of kind ";

impl Facts {
    /// What was read, under the names that a proof gives it, with what the spec says.
    pub fn grounds(&self, reads: &Reads) -> Grounds {
        let facts = reads.all().into_iter().filter_map(|id| self.name_of(id));
        let lists = reads.lists().into_iter().filter(|word| may_carry(word));
        let lists = lists.map(|word| format!("{EVERY}{word}"));
        let kinds = reads.kinds().into_iter();
        let kinds = kinds.map(|kind| format!("{EVERY}{OF_KIND}{kind}"));
        let names: BTreeSet<String> = facts.chain(lists).chain(kinds).collect();
        let said = |name: String| {
            let says = self.ground(&name).says;
            (name, says)
        };
        names.into_iter().map(said).collect()
    }

    /// The photos that the spec names and that are not there, each name once.
    ///
    /// # Errors
    /// That it is not known which photo one is.
    pub(crate) fn photos_missing(&self) -> Result<Vec<Known>, NotKnown> {
        let mut all: Vec<Known> = Vec::new();
        for (id, entry) in self.of_word("join") {
            if let Some(fact) = self.fact(id, "photo")? {
                self.slot(entry, fact, "file")?;
            }
        }
        for photo in photos(&self.build) {
            let name = photo.text().unwrap_or("");
            let is_new = !all.iter().any(|known| known.to_string() == name);
            if is_new && self.missing.contains(name) {
                let what = What::Words(name.to_owned());
                all.push(Known::computed(what, "photo", Some(photo.span)));
            }
        }
        Ok(all)
    }

    /// What the spec says by now of a fact that a proof names.
    pub fn ground(&self, name: &str) -> Ground {
        if let Some(word) = name.strip_prefix(EVERY) {
            let kind = word.strip_prefix(OF_KIND);
            let all = self.build.of_word(kind.map_or(word, |_| "part"));
            let own = all.filter(|(_, entry)| kind.is_none() || entry.kind() == kind);
            let names: Vec<&str> = own.map(|(_, entry)| entry.name.as_str()).collect();
            let says = (!names.is_empty()).then(|| names.join(", "));
            return Ground { says, span: self.build.whole };
        }
        if let Some(name) = name.strip_prefix("step ") {
            let step = self.steps_asked().iter().find(|step| step.name == name);
            let says = step.map(|step| format!("{} ({})", step.title, step.script));
            return Ground { says, span: None };
        }
        let nothing = Ground { says: None, span: None };
        let Some((title, word)) = name.rsplit_once(": ") else { return nothing };
        let entry = self.titled().get(title).and_then(|id| self.build.entry(*id));
        let Some(entry) = entry else { return nothing };
        if entry.row.word == word {
            let says = Some(self.as_written(&entry.head));
            return Ground { says, span: Some(entry.span()) };
        }
        let facts: Vec<&Fact> = entry.all(word).collect();
        let says: Vec<String> = facts.iter().map(|fact| self.as_written(fact)).collect();
        Ground {
            says: (!says.is_empty()).then(|| says.join("; ")),
            span: facts.first().map_or(Some(entry.span()), |fact| Some(fact.span)),
        }
    }

    /// What a record rested on and that is not so any more, in the order of names.
    ///
    /// # Errors
    /// That it is not known which record of the proof it is.
    pub fn changes_since(&self, record: EntryId) -> Result<Vec<Change>, NotKnown> {
        let Some(name) = self.signed(record)? else { return Ok(Vec::new()) };
        let mut all = Vec::new();
        for (fact, (was, line)) in self.rests(&name) {
            let now = self.ground(&fact);
            if now.says != was {
                let span = now.span.unwrap_or(line);
                all.push(Change { fact, was, now: now.says, span });
            }
        }
        Ok(all)
    }

    /// The name under which a record was signed, if it was.
    ///
    /// # Errors
    /// That its line could not be read.
    pub fn signed(&self, record: EntryId) -> Result<Option<String>, NotKnown> {
        let Some(fact) = self.fact(record, "signed")? else { return Ok(None) };
        let name = self.slot(self.entry(record)?, fact, "record")?;
        Ok(name.and_then(Value::text).map(str::to_owned))
    }

    /// Why the lines of a signed record are not those that were signed, if they are not.
    ///
    /// # Errors
    /// That it is not known which record of the proof it is.
    pub fn unsealed(&self, record: EntryId) -> Result<Option<&'static str>, NotKnown> {
        let Some(name) = self.signed(record)? else { return Ok(None) };
        let seals: BTreeSet<&str> = self
            .build
            .of_word("seal")
            .filter(|(_, seal)| named(seal, "record") == Some(&name))
            .filter_map(|(_, seal)| named(seal, "sum"))
            .collect();
        let mut seals = seals.into_iter();
        let (Some(seal), None) = (seals.next(), seals.next()) else {
            return Ok(Some("its seal is missing, or stands there twice"));
        };
        let rests = self.rests(&name);
        let lines = self.build.of_word("rests");
        let lines = lines
            .filter(|(_, line)| named(line, "record") == Some(&name))
            .filter_map(|(_, line)| Some((named(line, "fact")?, named(line, "was"))));
        let lines: BTreeSet<(&str, Option<&str>)> = lines.collect();
        if lines.len() != rests.len() {
            return Ok(Some("it says twice what one fact was"));
        }
        let grounds = rests.into_iter().map(|(fact, (was, _))| (fact, was)).collect();
        let own = sealed(&self.written(record)?, &grounds);
        Ok((own != seal).then_some("a line of it was lost or changed"))
    }

    /// The record as it is written, in one line, without what it was signed with.
    ///
    /// # Errors
    /// That there is no such record.
    pub fn written(&self, record: EntryId) -> Result<String, NotKnown> {
        let entry = self.entry(record)?;
        let facts = entry.facts.iter().filter(|fact| fact.row.word != "signed");
        let words = |fact: &Fact| plain(self.texts.text(fact.span));
        let all: Vec<String> =
            std::iter::once(&entry.head).chain(facts).map(words).collect();
        Ok(all.join("; "))
    }

    /// The check sum of all that was read, records and settings among them.
    pub fn sum_of(&self, reads: &Reads) -> String {
        let mut grounds = Grounds::new();
        for (id, word) in reads.all() {
            let Some(entry) = self.build.entry(id) else { continue };
            let says = if entry.row.word == word {
                Some(self.as_written(&entry.head))
            } else {
                let all: Vec<String> =
                    entry.all(word).map(|fact| self.as_written(fact)).collect();
                (!all.is_empty()).then(|| all.join("; "))
            };
            let head = self.as_written(&entry.head);
            grounds.insert(format!("{} {head}: {word}", entry.row.word), says);
        }
        let lists = reads.lists().into_iter();
        for word in lists.filter(|word| !NO_ENTRY.contains(word)) {
            let heads = self.build.of_word(word);
            let heads: Vec<String> =
                heads.map(|(_, entry)| self.as_written(&entry.head)).collect();
            grounds.insert(format!("{EVERY}{word}"), Some(heads.join("; ")));
        }
        sealed("", &grounds)
    }

    /// What a signed record rests on, each with what it was and its line in the proof.
    fn rests(&self, record: &str) -> BTreeMap<String, (Option<String>, Span)> {
        let lines = self.build.of_word("rests").map(|(_, entry)| entry);
        let lines = lines.filter(|line| named(line, "record") == Some(record));
        let one = |line: &Entry| {
            let was = named(line, "was").map(str::to_owned);
            Some((named(line, "fact")?.to_owned(), (was, line.span())))
        };
        lines.filter_map(one).collect()
    }

    /// The entries aboard by their titles; of one title the first.
    fn titled(&self) -> &BTreeMap<String, EntryId> {
        self.titled.get_or_init(|| {
            let mut titled = BTreeMap::new();
            for (id, entry) in self.build.aboard() {
                titled.entry(entry.title()).or_insert(id);
            }
            titled
        })
    }

    /// The name that a proof gives a fact; nothing for what no step is proved on.
    fn name_of(&self, (id, word): FactId) -> Option<String> {
        let entry = self.build.entry(id)?;
        let carries = may_carry(entry.row.word) && entry.aboard;
        (carries && is_ground(word)).then(|| format!("{}: {word}", entry.title()))
    }

    /// A fact as it is written, with the source and the spread that count for it where
    /// they stand elsewhere.
    pub(crate) fn as_written(&self, fact: &Fact) -> String {
        let text = plain(self.texts.text(fact.span));
        let word = fact.row.word;
        let is_head = fact.row.within.is_empty();
        let says = text.strip_prefix(word).filter(|_| !is_head).unwrap_or(&text).trim();
        let mut says = if says.is_empty() { "yes".to_owned() } else { says.to_owned() };
        let values = || fact.values.iter().map(|(_, value)| value);
        for spread in once_each(values().filter_map(assumed)) {
            says.push_str(&format!(" (± {spread})"));
        }
        let lies_outside = |span: &Span| {
            span.file != fact.span.file
                || span.start < fact.span.start
                || fact.span.end < span.end
        };
        let sources = values().filter_map(|value| Some(value.source.as_ref()?.span));
        let sources = sources.filter(lies_outside);
        for source in once_each(sources.map(|span| plain(self.texts.text(span)))) {
            let source = source.trim_matches(['[', ']']);
            says.push_str(&format!(" [{source}]"));
        }
        says
    }
}

/// Every photo that the entries of an aircraft name.
pub fn photos(build: &Build) -> impl Iterator<Item = &Value> {
    let facts = build.aboard().flat_map(|(_, entry)| &entry.facts);
    let photos = facts.filter_map(|fact| match fact.row.word {
        "photo" => fact.first(),
        _ => fact.slot("photo"),
    });
    photos.filter(|value| value.text().is_some())
}

/// The check sum of a record: of its line, whatever white space stands in it, and of all
/// that it rests on.
pub fn sealed(written: &str, grounds: &Grounds) -> String {
    let mut sum = Sha256::new();
    let mut add = |text: &str| {
        // The lengths stand before the texts, so that no two records read alike.
        sum.update(format!("{} ", text.len()));
        sum.update(text);
    };
    add(&plain(written));
    for (fact, was) in grounds {
        add(fact);
        add(was.as_deref().map_or("-", |_| "+"));
        add(was.as_deref().unwrap_or(""));
    }
    let sum = sum.finalize();
    sum.iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// Whether a fact describes the aircraft, rather than what is said of it for people.
pub(crate) fn is_ground(word: &str) -> bool {
    !NO_GROUND.contains(&word)
}

/// Whether steps can be proved on entries of a word.
pub(crate) fn may_carry(word: &str) -> bool {
    !RECORDS.contains(&word) && !NO_ENTRY.contains(&word)
}

/// A text or a name in the head of an entry.
fn named<'a>(entry: &'a Entry, slot: &str) -> Option<&'a str> {
    entry.head.slot(slot).and_then(Value::text)
}

/// The spread of a value that is not written at the value itself.
fn assumed(value: &Value) -> Option<String> {
    if !value.assumed {
        return None;
    }
    let spread =
        |one: &Quantity| Some(format!("{} {}", short(one.spread()?), one.unit().text()));
    match &value.kind {
        Kind::Quantity(one) | Kind::Load(one, _) | Kind::Range(one, _) => spread(one),
        Kind::Place(place) => spread(&place.along),
        Kind::Size(sizes) => sizes.first().and_then(spread),
        Kind::Count(_)
        | Kind::Name(_)
        | Kind::Reference(..)
        | Kind::Rule(_)
        | Kind::Word(_)
        | Kind::Text(_)
        | Kind::Date(_)
        | Kind::Way(..)
        | Kind::Unknown(_) => None,
    }
}

/// A number to four digits: enough to tell two assumed spreads apart.
fn short(number: f64) -> f64 {
    let text = format!("{number:.3e}");
    text.parse().unwrap_or(number)
}

/// Without what white space does not change.
pub(crate) fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}

fn once_each(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for text in texts {
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all
}

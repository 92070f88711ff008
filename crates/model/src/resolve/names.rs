//! Names: what each is the name of, and what a reference means.

use std::collections::BTreeMap;

use trimsheet_source::{Edit, FileId, Finding, Level, Safety, Span, nearest};

use crate::build::{Entry, EntryId, Kind, Unknown, Value};
use crate::resolve::Document;
use crate::vocabulary::Takes;

/// The names that can be used in each file.
pub(super) struct Scope {
    /// Entries by file and name; where a name is given twice, the first.
    entries: BTreeMap<(FileId, String), usize>,
    /// The shelves of each file, by the name they go by.
    shelves: BTreeMap<(FileId, String), FileId>,
}

impl Scope {
    pub(super) fn new(entries: &[Entry], documents: &[Document]) -> Scope {
        let mut names = BTreeMap::new();
        for (index, entry) in entries.iter().enumerate() {
            names.entry((entry.span().file, entry.name.clone())).or_insert(index);
        }
        let mut shelves = BTreeMap::new();
        for document in documents {
            for (name, index) in &document.shelves {
                if let Some(shelf) = documents.get(*index) {
                    shelves.insert((document.file, name.clone()), shelf.file);
                }
            }
        }
        Scope { entries: names, shelves }
    }

    /// The entry that a name means in a file, itself or on one of its shelves.
    pub(super) fn find(&self, name: &str, file: FileId) -> Option<usize> {
        if let Some(found) = self.entries.get(&(file, name.to_owned())) {
            return Some(*found);
        }
        let (shelf, inner) = name.split_once('.')?;
        let shelf = self.shelves.get(&(file, shelf.to_owned()))?;
        self.entries.get(&(*shelf, inner.to_owned())).copied()
    }

    /// Every name that can be used in a file.
    fn names(&self, file: FileId) -> Vec<String> {
        let own =
            self.entries.keys().filter(|(of, _)| *of == file).map(|(_, n)| n.clone());
        let shelved = self.shelves.iter().filter(|((of, _), _)| *of == file);
        let shelved = shelved.flat_map(|((_, shelf), inside)| {
            let names = self.entries.keys().filter(move |(of, _)| of == inside);
            names.map(move |(_, name)| format!("{shelf}.{name}"))
        });
        own.chain(shelved).collect()
    }
}

/// Two things in one file must not share a name.
pub(super) fn name_twice(entries: &[Entry], findings: &mut Vec<Finding>) {
    let mut first: BTreeMap<(FileId, &str), &Entry> = BTreeMap::new();
    for entry in entries {
        if entry.row.often || entry.name.is_empty() {
            continue;
        }
        let key = (entry.span().file, entry.name.as_str());
        match first.get(&key) {
            None => {
                first.insert(key, entry);
            }
            Some(earlier) => findings.push(
                Finding::new(
                    "read/name-twice",
                    Level::Error,
                    entry.span(),
                    format!("a second entry is called `{}`", entry.name),
                )
                .because(earlier.span(), "the first is here")
                .advised("give one of them another name"),
            ),
        }
    }
}

/// Binds every reference to the entry that it names.
pub(super) fn bind(
    entries: &mut [Entry],
    documents: &[Document],
    findings: &mut Vec<Finding>,
) {
    let scope = Scope::new(entries, documents);
    let words: Vec<&'static str> = entries.iter().map(|entry| entry.row.word).collect();
    let pairs = pairs(entries);
    let ports = ports(entries);
    let mut binder = Binder { scope, words, pairs, ports, findings, said: Vec::new() };
    for entry in entries.iter_mut() {
        let facts = std::iter::once(&mut entry.head).chain(&mut entry.facts);
        for fact in facts {
            for (name, value) in &mut fact.values {
                let slot = fact.row.slots.iter().find(|slot| slot.name == *name);
                match slot.map(|slot| slot.takes) {
                    Some(Takes::Reference(kinds)) => binder.reference(value, kinds),
                    Some(Takes::Arrow) => binder.way(value),
                    _ => {}
                }
            }
        }
    }
}

/// The two halves of each pair, by the file and the name of the pair.
fn pairs(entries: &[Entry]) -> BTreeMap<(FileId, String), Vec<usize>> {
    let mut pairs: BTreeMap<(FileId, String), Vec<usize>> = BTreeMap::new();
    for (index, entry) in
        entries.iter().enumerate().filter(|(_, entry)| entry.half.is_some())
    {
        if let Some((pair, _)) = entry.name.rsplit_once('.') {
            pairs.entry((entry.span().file, pair.to_owned())).or_default().push(index);
        }
    }
    pairs
}

/// The sockets of each part, by file and `part.socket`.
fn ports(entries: &[Entry]) -> BTreeMap<(FileId, String), usize> {
    let mut ports = BTreeMap::new();
    for (index, entry) in entries.iter().enumerate() {
        for port in entry.all("port").filter_map(|fact| fact.slot("name")?.text()) {
            ports.insert((entry.span().file, format!("{}.{port}", entry.name)), index);
        }
    }
    ports
}

struct Binder<'a> {
    scope: Scope,
    words: Vec<&'static str>,
    pairs: BTreeMap<(FileId, String), Vec<usize>>,
    ports: BTreeMap<(FileId, String), usize>,
    findings: &'a mut Vec<Finding>,
    /// Places that have a finding already: both halves of a pair stand at one.
    said: Vec<Span>,
}

impl Binder<'_> {
    fn find(&self, name: &str, file: FileId) -> Vec<usize> {
        if let Some(both) = self.pairs.get(&(file, name.to_owned())) {
            return both.clone();
        }
        self.scope.find(name, file).into_iter().collect()
    }

    fn reference(&mut self, value: &mut Value, kinds: &[&'static str]) {
        let Kind::Name(name) = &value.kind else { return };
        let name = name.clone();
        let found = self.find(&name, value.span.file);
        let word = found.first().and_then(|found| self.words.get(*found)).copied();
        value.kind = match word {
            Some(word) if kinds.contains(&word) => {
                Kind::Reference(name, found.into_iter().map(EntryId).collect())
            }
            Some(word) => {
                let of = kinds.join(" or a ");
                let says =
                    format!("expected the name of a {of}, found `{name}`, a {word}");
                self.say(Finding::new("read/expected", Level::Error, value.span, says));
                Kind::Unknown(Unknown::Damaged)
            }
            None => {
                self.say(unknown_name(&name, value.span, kinds, &self.scope));
                Kind::Unknown(Unknown::Damaged)
            }
        };
    }

    fn way(&mut self, value: &mut Value) {
        let Kind::Way(from, to) = &value.kind else { return };
        let file = value.span.file;
        for name in [from.clone(), to.clone()] {
            let is_known = !self.find(&name, file).is_empty()
                || self.ports.contains_key(&(file, name.clone()));
            if !is_known {
                self.say(self.no_end(&name, value.span));
                value.kind = Kind::Unknown(Unknown::Damaged);
                return;
            }
        }
    }

    fn no_end(&self, name: &str, span: Span) -> Finding {
        let says = format!("nothing aboard is called `{name}`");
        let finding = Finding::new("read/unknown-name", Level::Error, span, says);
        let mut known = self.scope.names(span.file);
        known.extend(
            self.ports.keys().filter(|(of, _)| *of == span.file).map(|(_, n)| n.clone()),
        );
        match nearest(name, known.iter().map(String::as_str)) {
            Some(near) => finding.advised(format!("if `{near}` was meant, write that")),
            None => {
                finding.advised("name a part or a pack, or a socket that one declares")
            }
        }
    }

    fn say(&mut self, finding: Finding) {
        if !self.said.contains(&finding.primary.span) {
            self.said.push(finding.primary.span);
            self.findings.push(finding);
        }
    }
}

/// A name that nothing has.
fn unknown_name(name: &str, span: Span, kinds: &[&str], scope: &Scope) -> Finding {
    let of = kinds.join(" or ");
    let finding = Finding::new(
        "read/unknown-name",
        Level::Error,
        span,
        format!("no {of} is called `{name}`"),
    );
    let known = scope.names(span.file);
    match nearest(name, known.iter().map(String::as_str)) {
        Some(near) => finding.remedied(
            format!("if `{near}` was meant, write that"),
            Safety::Offered,
            vec![Edit { span, text: near.into() }],
        ),
        None => finding.advised("add an entry for it, or correct the name"),
    }
}

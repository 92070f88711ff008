//! Names: what each is the name of, and what a reference means.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_source::{Edit, FileId, Finding, Level, Safety, Sources, Span, nearest};

use crate::build::{Entry, EntryId, Kind, Unknown, Value};
use crate::describe::{a, any_of};
use crate::limit::Limited;
use crate::resolve::{Document, include_name, is_proof};
use crate::vocabulary::Takes;

/// Among how many names the nearest is looked for, and among how many those are.
const FEW: usize = 500;
const MANY: usize = 10_000;

/// The names that can be used in each file.
pub(super) struct Scope {
    /// Entries by file and name; where a name is given twice, the first.
    entries: BTreeMap<(FileId, String), usize>,
    /// The shelves of each file, by the name they go by.
    shelves: BTreeMap<(FileId, String), FileId>,
    /// Files that include a shelf that could not be read, with its name if that could.
    unread: BTreeSet<(FileId, String)>,
    /// The spec: a proof beside it speaks of what the spec names.
    spec: Option<FileId>,
    proofs: BTreeSet<FileId>,
}

impl Scope {
    pub(super) fn new(
        entries: &[Entry],
        documents: &[Document],
        texts: &Sources,
    ) -> Scope {
        let mut names = BTreeMap::new();
        // What may be said often, such as a record, is not referred to by its name.
        let all = entries.iter().enumerate().filter(|(_, entry)| !entry.row.often);
        for (index, entry) in all {
            names.entry((entry.span().file, entry.name.clone())).or_insert(index);
        }
        let mut shelves = BTreeMap::new();
        for document in documents {
            for (name, index) in &document.shelves {
                if let Some(shelf) = documents.get(*index) {
                    let key = (document.file, name.clone());
                    shelves.entry(key).or_insert(shelf.file);
                }
            }
        }
        let includes = entries.iter().filter(|entry| entry.row.word == "include");
        let includes = includes
            .map(|entry| (entry.span().file, include_name(entry).unwrap_or_default()));
        let unread = includes.filter(|key| !shelves.contains_key(key)).collect();
        let files = documents.iter().map(|document| document.file);
        let (spec, rest) = (files.clone().next(), files.skip(1));
        let proofs = rest.filter(|file| is_proof(texts.path(*file))).collect();
        Scope { entries: names, shelves, unread, spec, proofs }
    }

    /// The file whose names are meant by what stands in a file.
    fn home(&self, file: FileId) -> FileId {
        self.spec.filter(|_| self.proofs.contains(&file)).unwrap_or(file)
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

    /// Whether a name may stand on a shelf that could not be read, which has a finding.
    fn may_be_unread(&self, name: &str, file: FileId) -> bool {
        let Some((shelf, _)) = name.split_once('.') else { return false };
        self.unread.contains(&(file, shelf.to_owned()))
            || self.unread.contains(&(file, String::new()))
    }

    /// The nearest of the names of some entries that can be used in a file.
    fn nearest(
        &self,
        name: &str,
        file: FileId,
        is_meant: impl Fn(usize) -> bool,
    ) -> Option<String> {
        let of = |file: FileId| {
            let first = (file, String::new());
            let all =
                self.entries.range(first..).take_while(move |((of, _), _)| *of == file);
            let all = all.take(MANY);
            all.filter(|(_, index)| is_meant(**index)).map(|((_, name), _)| name.as_str())
        };
        let shelved = self.shelves.range((file, String::new())..);
        let shelved = shelved.take_while(|((of, _), _)| *of == file);
        let shelved = shelved.flat_map(|((_, shelf), inside)| {
            of(*inside).map(move |name| format!("{shelf}.{name}"))
        });
        let known: Vec<String> =
            of(file).map(str::to_owned).chain(shelved).take(FEW).collect();
        nearest(name, known.iter().map(String::as_str)).map(str::to_owned)
    }
}

/// Two things in one file must not share a name.
pub(super) fn name_twice(entries: &[Entry], findings: &mut Limited) {
    let mut first: BTreeMap<(FileId, String), Span> = BTreeMap::new();
    for entry in entries {
        let name = match entry.row.word {
            "include" => include_name(entry),
            // A file is about one aircraft, whatever it is called.
            "model" => Some("model".to_owned()),
            _ if entry.row.often => None,
            _ => Some(entry.name.clone()),
        };
        let Some(name) = name.filter(|name| !name.is_empty()) else { continue };
        let file = entry.span().file;
        let Some(earlier) = first.get(&(file, name.clone())).copied() else {
            first.insert((file, name), entry.span());
            continue;
        };
        let (says, help) = match entry.row.word {
            "include" => (
                format!("a second thing is called `{name}`, the name of this file"),
                "give it another name with `as`",
            ),
            "model" => (
                "a second `model` stands in this file, which is about one aircraft"
                    .into(),
                "keep one of them, and put the other in a file of its own",
            ),
            _ => (
                format!("a second entry is called `{name}`"),
                "give one of them another name",
            ),
        };
        findings.push(
            Finding::new("read/name-twice", Level::Error, entry.span(), says)
                .because(earlier, "the first is here")
                .advised(help),
        );
    }
}

/// Binds every reference to the entry that it names.
pub(super) fn bind(
    entries: &mut [Entry],
    documents: &[Document],
    texts: &Sources,
    findings: &mut Limited,
) {
    let scope = Scope::new(entries, documents, texts);
    let words: Vec<&'static str> = entries.iter().map(|entry| entry.row.word).collect();
    let pairs = pairs(entries);
    let ports = ports(entries);
    let said = BTreeSet::new();
    let mut binder = Binder { scope, words, pairs, ports, texts, findings, said };
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

/// The ports, the rails and the outlets of each part, by file and `part.socket`.
fn ports(entries: &[Entry]) -> BTreeSet<(FileId, String)> {
    let mut ports = BTreeSet::new();
    for entry in entries {
        let owned = ["port", "rail", "outlet"].into_iter();
        let owned = owned.flat_map(|word| entry.all(word));
        for port in owned.filter_map(|fact| fact.slot("name")?.text()) {
            ports.insert((entry.span().file, format!("{}.{port}", entry.name)));
        }
    }
    ports
}

struct Binder<'a> {
    scope: Scope,
    words: Vec<&'static str>,
    pairs: BTreeMap<(FileId, String), Vec<usize>>,
    ports: BTreeSet<(FileId, String)>,
    texts: &'a Sources,
    findings: &'a mut Limited,
    /// Places that have a finding already: both halves of a pair stand at one.
    said: BTreeSet<Span>,
}

impl Binder<'_> {
    fn find(&self, name: &str, file: FileId) -> Vec<usize> {
        if let Some(both) = self.pairs.get(&(file, name.to_owned())) {
            return both.clone();
        }
        self.scope.find(name, file).into_iter().collect()
    }

    fn word(&self, index: usize) -> Option<&'static str> {
        self.words.get(index).copied()
    }

    fn reference(&mut self, value: &mut Value, kinds: &[&'static str]) {
        let Kind::Name(name) = &value.kind else { return };
        let (name, file) = (name.clone(), self.scope.home(value.span.file));
        let found = self.find(&name, file);
        let word = found.first().and_then(|found| self.word(*found));
        value.kind = match word {
            Some(word) if kinds.contains(&word) => {
                Kind::Reference(name, found.into_iter().map(EntryId).collect())
            }
            Some(word) => {
                let (of, is) = (any_of(kinds), a(word));
                let says = format!("expected the name of {of}, found `{name}`, {is}");
                self.say(Finding::new("read/expected", Level::Error, value.span, says));
                Kind::Unknown(Unknown::Damaged)
            }
            None => {
                if !self.scope.may_be_unread(&name, file) {
                    let finding = self.unknown_name(&name, value.span, kinds);
                    self.say(finding);
                }
                Kind::Unknown(Unknown::Damaged)
            }
        };
    }

    /// A name that nothing has.
    fn unknown_name(&self, name: &str, span: Span, kinds: &[&'static str]) -> Finding {
        let of: Vec<String> = kinds.iter().map(|kind| (*kind).to_owned()).collect();
        let says = format!("no {} is called `{name}`", crate::describe::or(&of));
        let finding = Finding::new("read/unknown-name", Level::Error, span, says);
        if self.findings.is_full() {
            return finding;
        }
        let is_meant = |index| self.word(index).is_some_and(|word| kinds.contains(&word));
        meant_or(
            finding,
            span,
            self.scope.nearest(name, self.scope.home(span.file), is_meant),
            "add an entry for it, or correct the name",
        )
    }

    fn way(&mut self, value: &mut Value) {
        let Kind::Way(from, to, _) = &value.kind else { return };
        for name in [from.clone(), to.clone()] {
            if !self.is_end(&name, value.span.file) {
                let finding = self.no_end(&name, value.span);
                self.say(finding);
                value.kind = Kind::Unknown(Unknown::Damaged);
                return;
            }
        }
    }

    /// Whether a name is an end of a way: a thing, or a socket of one.
    fn is_end(&self, name: &str, file: FileId) -> bool {
        // Whichever pack is fitted.
        name == "pack"
            || !self.find(name, file).is_empty()
            || self.ports.contains(&(file, name.to_owned()))
            || self.scope.may_be_unread(name, file)
    }

    fn no_end(&self, name: &str, span: Span) -> Finding {
        let says = format!("nothing aboard is called `{name}`");
        if self.findings.is_full() {
            return Finding::new("read/unknown-name", Level::Error, span, says);
        }
        let written = self.written(name, span);
        let finding = Finding::new("read/unknown-name", Level::Error, written, says);
        let is_meant = |index| matches!(self.word(index), Some("part" | "pack"));
        let ports = self.ports.range((span.file, String::new())..);
        let ports = ports.take_while(|(of, _)| *of == span.file).take(FEW);
        let port = nearest(name, ports.map(|(_, port)| port.as_str()));
        let near = port.map(str::to_owned);
        meant_or(
            finding,
            written,
            near.or_else(|| self.scope.nearest(name, span.file, is_meant)),
            "name a part or a pack, or a socket that one declares",
        )
    }

    /// Where one of the names of a way stands.
    fn written(&self, name: &str, whole: Span) -> Span {
        let text = self.texts.text(whole);
        let mut at = text.match_indices(name).map(|(at, _)| at);
        let stands = |at: usize| {
            let is_part =
                |letter: char| letter.is_alphanumeric() || "._".contains(letter);
            let behind = text.get(at + name.len()..).unwrap_or("");
            !text.get(..at).unwrap_or("").ends_with(is_part)
                && !behind.starts_with(is_part)
        };
        let start = at.find(|at| stands(*at)).map(|at| whole.start + at);
        start.map_or(whole, |start| Span { start, end: start + name.len(), ..whole })
    }

    fn say(&mut self, finding: Finding) {
        if self.said.insert(finding.primary.span) {
            self.findings.push(finding);
        }
    }
}

/// Adds the edit that writes the nearest name, or advice where none is near.
fn meant_or(finding: Finding, span: Span, near: Option<String>, advice: &str) -> Finding {
    match near {
        Some(near) => {
            let says = format!("if `{near}` was meant, write that");
            let edit = Edit { span, text: near };
            finding.remedied(says, Safety::Offered, vec![edit])
        }
        None => finding.advised(advice),
    }
}

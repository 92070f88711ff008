//! Walking from a spec to all that it hangs on.

use std::collections::BTreeSet;

use trimsheet_model::{
    Build, Document, Fact, Kind, Value, is_proof, packs_named, resolve_with,
};
use trimsheet_rules::{Pack, lock};
use trimsheet_source::{Sources, Span, apply};
use trimsheet_syntax::{Atom, AtomKind, Tree};

use super::private::Cut;
use super::{Bundle, NoBundle, Wanting, issue, places, private};
use crate::check::{Checked, Opened};
use crate::host::{Host, Trouble};
use crate::load::{load, text};
use crate::pictures::{NoPicture, stripped};

/// The most bytes of one bundle: all of it is held in memory.
const MOST: usize = 512 << 20;

/// The slots that name people.
const PEOPLE: [&str; 2] = ["by", "people"];

/// A spec with its files, and what of it is in the bundle so far.
pub(super) struct Gathering<'a> {
    host: &'a dyn Host,
    /// The folder of the spec.
    folder: String,
    sources: Sources,
    documents: Vec<Document>,
    build: Build,
    cut: Cut,
    pub(super) out: Bundle,
    pub(super) refused: Vec<String>,
}

impl<'a> Gathering<'a> {
    pub(super) fn new(
        host: &'a dyn Host,
        path: &str,
        opened: &Opened,
        before: &Checked,
    ) -> Result<Gathering<'a>, NoBundle> {
        let text = text(host, path).map_err(NoBundle::Spec)?;
        let mut sources = Sources::default();
        let documents = load(host, path, &text, &mut sources).documents;
        let (build, _) = resolve_with(&documents, &sources, &opened.rules.vocabulary);
        let private = before.findings.iter().filter(|one| one.rule.0 == private::RULE);
        let told = private.clone().map(|finding| {
            let span = finding.primary.span;
            (before.sources.path(span.file).to_owned(), span.start)
        });
        let cut = Cut::new(&build, &sources, &told.collect());
        let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
        let mut out = Bundle { spec: name.to_owned(), ..Bundle::default() };
        out.taken.clone_from(&cut.taken);
        for finding in private {
            let span = finding.primary.span;
            let path = before.sources.path(span.file);
            if !cut.covers(&sources, path, span.start) {
                let line = before.sources.place(span).line;
                out.stays.push(format!("{path}:{line}: {}", finding.headline));
            }
        }
        let folder = folder.to_owned();
        let refused = Vec::new();
        Ok(Gathering { host, folder, sources, documents, build, cut, out, refused })
    }

    /// A path in the bundle of a path beside the spec.
    fn inside<'b>(&self, path: &'b str) -> &'b str {
        let inside = path.strip_prefix(self.folder.as_str()).unwrap_or(path);
        inside.trim_start_matches('/')
    }

    /// Where a span stands, as a message says it.
    fn at(&self, span: Span) -> String {
        format!("{}:{}", self.sources.path(span.file), self.sources.place(span).line)
    }

    fn refuse(&mut self, at: &str, what: &str, why: &str) {
        self.refused.push(format!("{at}: {what} {why}"));
    }

    /// Puts a file where it belongs, if it can stand there on every system.
    fn put(&mut self, at: &str, path: &str, bytes: Vec<u8>) -> bool {
        let place = match places::inside(path) {
            Ok(place) => place,
            Err(why) => {
                self.refuse(at, path, &format!("cannot go into a bundle: it {why}"));
                return false;
            }
        };
        let held: usize = self.out.files.values().map(Vec::len).sum();
        if held + bytes.len() > MOST {
            let why = format!(
                "brings the bundle over {} MiB; make the photographs smaller",
                MOST >> 20
            );
            self.refuse(at, path, &why);
            return false;
        }
        if let Err(other) = self.out.add(&place, bytes) {
            let why = format!(
                "and {other} are one name where capitals do not count; rename one"
            );
            self.refuse(at, path, &why);
            return false;
        }
        true
    }

    /// The spec, what it includes, and its proof.
    pub(super) fn texts(&mut self, wanting: Wanting) {
        for (index, document) in self.documents.clone().iter().enumerate() {
            let path = self.sources.path(document.file).to_owned();
            let inside = self.inside(&path).to_owned();
            if is_proof(&path) && !wanting.proof {
                let why = "what was signed is of the aircraft that it was signed for";
                self.out.left.push(format!("{inside}: {why}"));
                continue;
            }
            let edits = self.cut.edits(document, &self.build, &self.sources);
            let text = self.sources.file(document.file);
            let text = text.map_or("", |file| file.text.as_str());
            let Ok(copy) = apply(text, &edits) else {
                let why = "could not be cut where its private facts stand; that is a fault of trimsheet, please send the file";
                self.refuse(&path, &inside, why);
                continue;
            };
            let is_there = self.put(&path, &inside, copy.into_bytes());
            if is_proof(&path) {
                self.out.records = self.cut.records.len();
            } else if is_there && index > 0 {
                self.out.included.push(inside);
            }
        }
    }

    /// The packs that the spec names, wherever they were found.
    pub(super) fn packs(&mut self, packs: &[Pack]) {
        let spec = self.documents.first();
        let named =
            spec.map_or(Vec::new(), |spec| packs_named(&spec.tree, &self.sources));
        for (name, span) in named {
            let Some(pack) = packs.iter().find(|pack| pack.name == name) else {
                continue;
            };
            let at = self.at(span);
            for file in &pack.files {
                let path = format!("rules/{name}/{}", file.path);
                self.put(&at, &path, file.text.as_bytes().to_vec());
            }
            self.out.packs.push(format!("{name} {}", issue(pack)));
        }
    }

    pub(super) fn lock(&mut self) {
        let path = beside(&self.folder, lock::NAME);
        // That it reads was seen when the spec was opened.
        if let Ok(bytes) = self.host.read(&path) {
            self.put(&path, lock::NAME, bytes);
        }
    }

    /// The photographs that facts name, each once.
    pub(super) fn photos(&mut self) {
        let mut wanted: Vec<(String, Span)> = Vec::new();
        for fact in said(&self.build).filter(|fact| !self.cut.holds(fact)) {
            wanted.extend(photo_of(fact).filter(|(_, span)| span.file == fact.span.file));
        }
        wanted.sort_by_key(|(_, span)| *span);
        let mut seen = BTreeSet::new();
        for (name, span) in wanted {
            let (at, what) = (self.at(span), format!("the photograph {name:?}"));
            let near = self.inside(self.sources.path(span.file));
            let near = near.rsplit_once('/').map_or("", |(near, _)| near);
            let place = match places::inside(&name) {
                Ok(place) => beside(near, &place),
                Err(why) => {
                    let why = format!(
                        "cannot go into a bundle: it {why}; copy it into the folder of the spec, and name the copy"
                    );
                    self.refuse(&at, &what, &why);
                    continue;
                }
            };
            if !seen.insert(place.clone()) {
                continue;
            }
            match self.photo(&place) {
                Ok(bytes) => {
                    if self.put(&at, &place, bytes) {
                        self.out.photos.push(place);
                    }
                }
                Err(why) => self.refuse(&at, &what, &why),
            }
        }
    }

    /// A photograph without what else its file holds, or what is wrong with it.
    fn photo(&self, place: &str) -> Result<Vec<u8>, String> {
        let path = beside(&self.folder, place);
        let home = if self.folder.is_empty() { "." } else { &self.folder };
        if let (Ok(real), Ok(home)) = (self.host.real(&path), self.host.real(home))
            && home != "."
            && !real.starts_with(&format!("{}/", home.trim_end_matches('/')))
        {
            return Err("is a link that leads out of the folder of the spec; put a copy in its place".into());
        }
        if self.host.is_folder(&path) {
            return Err(format!("is a folder; it was looked for as {path}"));
        }
        let bytes = self.host.read(&path).map_err(|trouble| match trouble {
            Trouble::Missing => format!("is not there; it was looked for as {path}"),
            Trouble::TooLarge { limit } => {
                format!("is larger than {limit} MiB; make it smaller")
            }
            Trouble::NotReadable(why) => format!("could not be read: {why}"),
        })?;
        stripped(&bytes).map_err(|why| {
            let hint = match why {
                NoPicture::Unknown => "save it as one of these",
                NoPicture::CutOff | NoPicture::Damaged(_) => {
                    "save it anew with a program for pictures"
                }
            };
            format!(
                "cannot be cleaned of what its file holds besides pixels: {why}; {hint}"
            )
        })
    }

    /// Names what stays behind, and who is named in what goes.
    pub(super) fn left(&mut self) {
        let mut settings = BTreeSet::new();
        for entry in &self.build.entries {
            for fact in std::iter::once(&entry.head).chain(&entry.facts) {
                if self.cut.holds(fact) {
                    continue;
                }
                if (entry.row.word, fact.row.word) == ("saved", "copy") {
                    settings.extend(fact.first().and_then(Value::text));
                }
                for (_, value) in
                    fact.values.iter().filter(|(slot, _)| PEOPLE.contains(slot))
                {
                    if let Kind::Name(name) = &value.kind {
                        self.out.people.insert(name.clone());
                    }
                }
            }
        }
        for atom in self.documents.iter().flat_map(|document| atoms(&document.tree)) {
            self.out.people.extend(by_whom(atom, &self.sources).map(str::to_owned));
        }
        let why = "settings that were saved may hold what is private";
        self.out.left.extend(settings.into_iter().map(|file| format!("{file}: {why}")));
    }
}

fn atoms(tree: &Tree) -> impl Iterator<Item = &Atom> {
    let facts = tree.lines.iter().flat_map(|line| line.head.iter().chain(&line.facts));
    facts.flat_map(|fact| &fact.atoms)
}

/// Who guessed a value, where its source says so.
fn by_whom<'a>(atom: &Atom, sources: &'a Sources) -> Option<&'a str> {
    let AtomKind::Source(inside) = &atom.kind else { return None };
    let mut words = inside.iter().map(|atom| sources.text(atom.span));
    words.find(|word| *word == "by").and_then(|_| words.next())
}

/// Every fact as it is said, but not those that `like` brings again.
fn said(build: &Build) -> impl Iterator<Item = &Fact> {
    let all = build.entries.iter().flat_map(|entry| &entry.facts);
    all.filter(|fact| fact.via.is_none())
}

/// The photographs that a fact names, each with its place.
fn photo_of(fact: &Fact) -> impl Iterator<Item = (String, Span)> + '_ {
    let is_photo =
        |slot: &str| slot == "photo" || (fact.row.word, slot) == ("photo", "file");
    fact.values.iter().filter(move |(slot, _)| is_photo(slot)).filter_map(|(_, value)| {
        let Kind::Text(name) = &value.kind else { return None };
        Some((name.clone(), value.span))
    })
}

/// A path in a folder.
fn beside(folder: &str, name: &str) -> String {
    if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") }
}

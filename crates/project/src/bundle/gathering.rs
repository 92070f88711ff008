//! Walking from a spec to all that it hangs on.

use std::collections::BTreeSet;

use trimsheet_facts::{photos, private_in};
use trimsheet_model::vocabulary::Vocabulary;
use trimsheet_model::{
    Build, Document, Entry, Fact, Kind, Value, is_proof, packs_named, resolve_with,
};
use trimsheet_rules::{Pack, lock};
use trimsheet_source::{FileId, Finding, Level, Sources, Span, apply};
use trimsheet_syntax::{Atom, AtomKind, Tree};

use super::private::Cut;
use super::{Bundle, NoBundle, Wanting, issue, places, private};
use crate::check::{Checked, Opened};
use crate::host::{Host, Trouble};
use crate::load::{beside, load, text};
use crate::pictures::{NoPicture, stripped};
use crate::reference::followed;

/// The most bytes of one bundle: all of it is held in memory.
const MOST: usize = 512 << 20;

/// A spec with its files, and what of it is in the bundle so far.
pub(super) struct Gathering<'a> {
    host: &'a dyn Host,
    /// The folder of the spec.
    folder: String,
    sources: Sources,
    /// The spec, and the reference that it follows.
    works: Vec<Work>,
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
        let mut sources = Sources::default();
        let works = works(host, path, &mut sources, &opened.rules.vocabulary)?;
        let private = before.findings.iter().filter(|one| one.rule.0 == private::RULE);
        let told = private.clone().map(|finding| {
            let span = finding.primary.span;
            (before.sources.path(span.file).to_owned(), span.start)
        });
        let mut told: BTreeSet<(String, usize)> = told.collect();
        told.extend(
            unseen(&works).map(|span| (sources.path(span.file).to_owned(), span.start)),
        );
        let mut cut = Cut::new(&entries(&works), &sources, &told);
        for document in works.iter().flat_map(|work| &work.documents) {
            cut.remarks(document, &sources);
        }
        cut.taken.sort_by(|a, b| (&a.path, a.line).cmp(&(&b.path, b.line)));
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
        Ok(Gathering { host, folder, sources, works, cut, out, refused })
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
        let works = std::mem::take(&mut self.works);
        let all = entries(&works);
        for (at, work) in works.iter().enumerate() {
            for (index, document) in work.documents.iter().enumerate() {
                let says = match (at, index) {
                    (0, 0) => "",
                    (_, 0) => "the reference that it follows",
                    (..) => "included",
                };
                self.text(document, says, &all, wanting);
            }
        }
        self.works = works;
    }

    fn text(
        &mut self,
        document: &Document,
        says: &'static str,
        all: &[&Entry],
        wanting: Wanting,
    ) {
        let path = self.sources.path(document.file).to_owned();
        let inside = self.inside(&path).to_owned();
        if is_proof(&path) && !wanting.proof {
            let why = "what was signed is of the aircraft that it was signed for";
            self.out.left.push(format!("{inside}: {why}"));
            return;
        }
        let edits = self.cut.edits(document, all, &self.sources);
        let text = self.sources.file(document.file);
        let Ok(copy) = apply(text.map_or("", |file| &*file.text), &edits) else {
            let why = "could not be cut where its private facts stand; that is a fault of trimsheet, please send the file";
            self.refuse(&path, &inside, why);
            return;
        };
        let is_there = self.put(&path, &inside, copy.into_bytes());
        if is_proof(&path) {
            self.out.records = self.cut.records.len();
        } else if is_there && !says.is_empty() {
            self.out.texts.push(format!("{inside}: {says}"));
        }
    }

    /// The packs that the spec names, wherever they were found.
    pub(super) fn packs(&mut self, packs: &[Pack]) {
        let spec = self.works.first().and_then(|spec| spec.documents.first());
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
        let path = within(&self.folder, lock::NAME);
        // That it reads was seen when the spec was opened.
        if let Ok(bytes) = self.host.read(&path) {
            self.put(&path, lock::NAME, bytes);
        }
    }

    /// The photographs that facts name, each once.
    pub(super) fn photos(&mut self) {
        let mut wanted: Vec<(String, Span, String)> = Vec::new();
        for work in &self.works {
            let near = self.inside(&work.path);
            let near = near.rsplit_once('/').map_or("", |(near, _)| near);
            for photo in photos(&work.build) {
                let path = self.sources.path(photo.span.file);
                let name = photo.text().unwrap_or("");
                if !self.cut.covers(&self.sources, path, photo.span.start) {
                    wanted.push((name.to_owned(), photo.span, near.to_owned()));
                }
            }
        }
        wanted.sort_by_key(|(_, span, _)| *span);
        let mut seen = BTreeSet::new();
        for (name, span, near) in wanted {
            let (at, what) = (self.at(span), format!("the photograph {name:?}"));
            let place = match places::inside(&name) {
                Ok(place) => within(&near, &place),
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
        let path = within(&self.folder, place);
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
    pub(super) fn left(&mut self, wanting: Wanting) {
        let is_out = |file: FileId| is_proof(self.sources.path(file)) && !wanting.proof;
        let (mut settings, mut people) = (BTreeSet::new(), BTreeSet::new());
        let mut all = entries(&self.works);
        all.retain(|entry| !is_out(entry.span().file));
        for entry in all {
            let facts = std::iter::once(&entry.head).chain(&entry.facts);
            for fact in facts.filter(|fact| !self.cut.holds(fact)) {
                if (entry.row.word, fact.row.word) == ("saved", "copy") {
                    settings.extend(fact.first().and_then(Value::text));
                }
                people.extend(people_of(entry, fact));
            }
        }
        for document in self.works.iter().flat_map(|work| &work.documents) {
            if !is_out(document.file) {
                let atoms = atoms(&document.tree);
                people.extend(atoms.filter_map(|atom| by_whom(atom, &self.sources)));
            }
        }
        let why = "settings that were saved may hold what is private";
        let left = settings.into_iter().map(|file| format!("{file}: {why}"));
        self.out.left.extend(left);
        self.out.people = people.into_iter().map(str::to_owned).collect();
    }
}

/// A spec with the files that it includes.
struct Work {
    path: String,
    documents: Vec<Document>,
    build: Build,
    findings: Vec<Finding>,
}

impl Work {
    fn read(
        host: &dyn Host,
        path: &str,
        sources: &mut Sources,
        vocabulary: &Vocabulary,
    ) -> Result<Work, NoBundle> {
        let text = text(host, path).map_err(NoBundle::Spec)?;
        let loaded = load(host, path, &text, sources);
        let (build, mut findings) = resolve_with(&loaded.documents, sources, vocabulary);
        findings.extend(loaded.findings);
        findings.retain(|finding| finding.level >= Level::Error);
        Ok(Work { path: path.to_owned(), documents: loaded.documents, build, findings })
    }
}

/// A spec, and the reference that it follows, without what both include.
fn works(
    host: &dyn Host,
    path: &str,
    sources: &mut Sources,
    vocabulary: &Vocabulary,
) -> Result<Vec<Work>, NoBundle> {
    let spec = Work::read(host, path, sources, vocabulary)?;
    let followed = followed(&spec.build).and_then(|(_, name)| beside(path, name));
    let Some(path) = followed else { return Ok(vec![spec]) };
    let mut reference = Work::read(host, &path, sources, vocabulary)?;
    if !reference.findings.is_empty() {
        return Err(NoBundle::Unread(Box::new(sources.clone()), reference.findings));
    }
    let known = spec.documents.iter().map(|document| sources.path(document.file));
    let known: BTreeSet<&str> = known.collect();
    let is_new = |file: FileId| {
        let path = sources.path(file);
        !is_proof(path) && !known.contains(path)
    };
    reference.documents.retain(|document| is_new(document.file));
    reference.build.entries.retain(|entry| is_new(entry.span().file));
    Ok(vec![spec, reference])
}

/// What all of them say.
fn entries(works: &[Work]) -> Vec<&Entry> {
    works.iter().flat_map(|work| &work.build.entries).collect()
}

/// Private texts that no rule sees: on shelves, and in the reference.
fn unseen(works: &[Work]) -> impl Iterator<Item = Span> {
    let all = works.iter().enumerate().flat_map(|(at, work)| {
        let entries = work.build.entries.iter();
        entries.filter(move |entry| at > 0 || !entry.aboard)
    });
    let facts = all.flat_map(|entry| &entry.facts).filter(|fact| fact.via.is_none());
    facts.flat_map(private_in).map(|(value, ..)| value.span)
}

/// The people that a fact names; what is set `by` a switch is no person.
fn people_of<'a>(entry: &Entry, fact: &'a Fact) -> impl Iterator<Item = &'a str> {
    let (entry, word) = (entry.row.word, fact.row.word);
    let is_person = move |slot: &str| match slot {
        "by" => entry != "setting",
        "people" => true,
        "name" => matches!(word, "observer" | "calls"),
        _ => false,
    };
    fact.values.iter().filter(move |(slot, _)| is_person(slot)).filter_map(
        |(_, value)| {
            let Kind::Name(name) = &value.kind else { return None };
            Some(name.as_str())
        },
    )
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

/// A path in a folder.
fn within(folder: &str, name: &str) -> String {
    if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") }
}

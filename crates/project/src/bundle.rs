//! A design to give away: copies of all that it is made of, and nothing that is private.
//!
//! What is copied hangs on the spec: the files that it includes, the packs of rules that
//! it names, the lock beside it, the photographs that its facts name, and its proof where
//! that is wanted. Everything lies in the bundle where it lies beside the spec, so that
//! the copy is checked like the original, and that is tried here before anybody writes.
//! The originals are only read.

mod packed;
mod places;
mod private;
mod readme;

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_model::{
    Build, Date, Document, Fact, Kind, Value, is_proof, packs_named, resolve_with,
};
use trimsheet_rules::{Manifest, Pack, lock};
use trimsheet_source::{FileId, Finding, Level, Sources, Span, apply};

pub use self::private::Taken;

use self::private::Cut;
use crate::check::{Checked, Opened, Settings, check, open, tidy};
use crate::host::{Host, Memory, Trouble};
use crate::load::load;
use crate::pictures::{NoPicture, stripped};

/// The most bytes of one bundle: all of it is held in memory.
const MOST: usize = 512 << 20;

/// What is wanted in a bundle besides the spec and its packs.
#[derive(Clone, Copy, Debug)]
pub struct Wanting {
    /// The photographs that it names.
    pub photos: bool,
    /// The proof beside it.
    pub proof: bool,
}

/// Copies of a spec and of all that it hangs on.
#[derive(Clone, Debug, Default)]
pub struct Bundle {
    /// The spec, as it is called in the bundle.
    pub spec: String,
    /// What the copies hold, by their paths in the bundle.
    pub files: BTreeMap<String, Vec<u8>>,
    /// The files that it includes.
    pub included: Vec<String>,
    /// The packs that it names, with their issues.
    pub packs: Vec<String>,
    /// The photographs.
    pub photos: Vec<String>,
    /// Facts that were left out because they are private.
    pub taken: Vec<Taken>,
    /// How many signed records went with them.
    pub records: usize,
    /// Private texts in heads of entries, which stay: file, line and rule's words.
    pub stays: Vec<String>,
    /// Files that were left out, each with the reason.
    pub left: Vec<String>,
    /// The short names of people, which stay.
    pub people: BTreeSet<String>,
    /// Findings that the copy has and the original has not.
    pub come: Vec<String>,
    /// Findings that the original has and the copy has not.
    pub gone: Vec<String>,
    /// The issue of the built-in rules.
    pub core: String,
    /// Its paths by how they read where capitals do not count.
    folded: BTreeMap<String, String>,
}

/// Why there is no bundle.
#[derive(Debug, thiserror::Error)]
pub enum NoBundle {
    /// The spec cannot be read.
    #[error("cannot read the spec: {0}")]
    Spec(Trouble),
    /// What was asked for is no spec; what was wanted.
    #[error("{0}")]
    Asked(String),
    /// Something of it does not read: a line that nobody understands may be private, and
    /// what is missing would be missing in the bundle.
    #[error("no bundle is made before all of the spec reads, and nothing was written")]
    Unread(Box<Sources>, Vec<Finding>),
    /// Files that cannot go into it, a line each.
    #[error("{}", .0.join("\n"))]
    Refused(Vec<String>),
}

/// Gathers copies of a spec and of all that it hangs on.
///
/// # Errors
/// What stands in the way; then nothing is to be written.
pub fn bundle(
    host: &dyn Host,
    path: &str,
    wanting: Wanting,
    settings: &Settings,
) -> Result<Bundle, NoBundle> {
    let path = tidy(path);
    if !path.ends_with(".trim") {
        let says = format!("expected a spec, NAME.trim, found {path}");
        return Err(NoBundle::Asked(says));
    }
    let opened = open(host, &path, settings).map_err(NoBundle::Spec)?;
    let is_fault = |finding: &&Finding| finding.level >= Level::Error;
    let faults: Vec<Finding> = opened.findings.iter().filter(is_fault).cloned().collect();
    if !faults.is_empty() {
        return Err(NoBundle::Unread(Box::new(opened.sources), faults));
    }
    let before = check(host, std::slice::from_ref(&path), settings);
    let mut gathering = Gathering::new(host, &path, &opened, &before)?;
    gathering.texts(wanting);
    gathering.packs(&opened.packs);
    gathering.lock();
    if wanting.photos {
        gathering.photos();
    }
    gathering.left();
    let Gathering { mut out, refused, .. } = gathering;
    if !refused.is_empty() {
        return Err(NoBundle::Refused(refused));
    }
    out.core = opened.packs.first().map_or(String::new(), issue);
    out.compare(&before, settings)?;
    Ok(out)
}

/// The issue of a pack, as it says it.
fn issue(pack: &Pack) -> String {
    Manifest::read(pack, FileId(0)).0.issue
}

/// A spec with its files, and what of it is in the bundle so far.
struct Gathering<'a> {
    host: &'a dyn Host,
    /// The folder of the spec.
    folder: String,
    sources: Sources,
    documents: Vec<Document>,
    build: Build,
    cut: Cut,
    out: Bundle,
    refused: Vec<String>,
}

impl<'a> Gathering<'a> {
    fn new(
        host: &'a dyn Host,
        path: &str,
        opened: &Opened,
        before: &Checked,
    ) -> Result<Gathering<'a>, NoBundle> {
        let text = crate::load::text(host, path).map_err(NoBundle::Spec)?;
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
            let (path, line) =
                (before.sources.path(span.file), before.sources.place(span).line);
            if !cut.taken.iter().any(|taken| taken.path == path && taken.line == line) {
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
    fn texts(&mut self, wanting: Wanting) {
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
            let Ok(copy) = apply(text, &edits) else { continue };
            let is_there = self.put(&path, &inside, copy.into_bytes());
            if is_proof(&path) {
                self.out.records = self.cut.records.len();
            } else if is_there && index > 0 {
                self.out.included.push(inside);
            }
        }
    }

    /// The packs that the spec names, wherever they were found.
    fn packs(&mut self, packs: &[Pack]) {
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

    fn lock(&mut self) {
        let path = beside(&self.folder, lock::NAME);
        // That it reads was seen when the spec was opened.
        if let Ok(bytes) = self.host.read(&path) {
            self.put(&path, lock::NAME, bytes);
        }
    }

    /// The photographs that facts name, each once.
    fn photos(&mut self) {
        let mut wanted: Vec<(String, Span)> = Vec::new();
        for fact in said(&self.build).filter(|fact| !self.cut.holds(fact)) {
            wanted.extend(photo_of(fact).filter(|(_, span)| span.file == fact.span.file));
        }
        wanted.sort_by(|(_, a), (_, b)| a.cmp(b));
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
    fn left(&mut self) {
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
        let why = "settings that were saved may hold what is private";
        self.out.left.extend(settings.into_iter().map(|file| format!("{file}: {why}")));
    }
}

/// The slots that name people.
const PEOPLE: [&str; 2] = ["by", "people"];

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

impl Bundle {
    /// A file of the bundle that could not stand beside this one where capitals do not
    /// count.
    fn alike(&self, path: &str) -> Option<&String> {
        self.folded.get(&path.to_lowercase())
    }

    /// Adds a paper that was made of the copy.
    ///
    /// # Errors
    /// The file of the design that has its name.
    pub fn add(&mut self, path: &str, bytes: Vec<u8>) -> Result<(), String> {
        if let Some(other) = self.alike(path) {
            return Err(other.clone());
        }
        self.folded.insert(path.to_lowercase(), path.to_owned());
        self.files.insert(path.to_owned(), bytes);
        Ok(())
    }

    /// The copy, read as whoever gets it reads it.
    ///
    /// # Errors
    /// It does not hold its spec.
    pub fn opened(&self, settings: &Settings) -> Result<Opened, Trouble> {
        open(&self.host(), &self.spec, &self.away(settings))
    }

    /// Lays a page on top that says what the bundle is; `made` says what each paper is
    /// that was made of the copy.
    ///
    /// # Errors
    /// The file of the design that has its name.
    pub fn lay_page(&mut self, made: &[(&str, &str)], day: Date) -> Result<(), String> {
        self.add(readme::NAME, readme::page(self, made, day).into_bytes())
    }

    /// The bundle as one file; nothing where it is more than a zip can hold.
    pub fn zipped(&self) -> Option<Vec<u8>> {
        packed::zipped(&self.files)
    }

    fn host(&self) -> Memory {
        let files = self.files.iter();
        files.fold(Memory::new(), |host, (path, bytes)| host.with(path, bytes.as_slice()))
    }

    /// How somebody else reads it, who has none of the packs at hand.
    fn away(&self, settings: &Settings) -> Settings {
        Settings { shelves: Vec::new(), ..settings.clone() }
    }

    /// Checks the copy, and says what comes and goes with what was left out.
    fn compare(&mut self, before: &Checked, settings: &Settings) -> Result<(), NoBundle> {
        let spec = [self.spec.clone()];
        let after = check(&self.host(), &spec, &self.away(settings));
        let of = |checked: &Checked| {
            let words = |one: &Finding| {
                format!("{}[{}]: {}", one.level.word(), one.rule.0, one.headline)
            };
            checked.findings.iter().map(words).collect::<Vec<String>>()
        };
        self.come = without(of(&after), of(before));
        self.gone = without(of(before), of(&after));
        // All of the original reads, so what does not read here came by copying.
        let copy = self.opened(settings).map_err(NoBundle::Spec)?;
        let mut faults = copy.findings;
        faults.retain(|finding| finding.level >= Level::Error);
        if faults.is_empty() {
            return Ok(());
        }
        Err(NoBundle::Unread(Box::new(copy.sources), faults))
    }
}

/// What is in the one list more often than in the other.
fn without(mut list: Vec<String>, other: Vec<String>) -> Vec<String> {
    for one in other {
        if let Some(at) = list.iter().position(|known| *known == one) {
            list.remove(at);
        }
    }
    list
}

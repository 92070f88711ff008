//! A design to give away: copies of all that it is made of, and nothing that is private.
//!
//! What is copied hangs on the spec: the files that it includes, the reference that it
//! follows, the packs of rules that it names, the lock beside it, the photographs that its facts name, and its proof where
//! that is wanted. Everything lies in the bundle where it lies beside the spec, so that
//! the copy is checked like the original, and that is tried here before anybody writes.
//! The originals are only read.

mod gathering;
mod packed;
mod places;
mod private;
mod readme;

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_model::Date;
use trimsheet_rules::{Manifest, Pack};
use trimsheet_source::{FileId, Finding, Level, Sources};

pub use self::private::Taken;

use self::gathering::Gathering;
use crate::check::{Checked, Opened, Settings, check, open, tidy};
use crate::host::{Host, Memory, Trouble};

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
    /// The files that it includes and the reference that it follows, with what each is.
    pub texts: Vec<String>,
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
    gathering.left(wanting);
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

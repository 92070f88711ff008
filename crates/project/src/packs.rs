//! Which packs of rules apply to a spec, and where they are found.
//!
//! A spec names its packs. Each is a folder of that name: beside the spec, below
//! `rules/`, or else on one of the shelves that the caller gives, the user's own folder
//! of packs among them. A lock beside the spec pins them: what it carries is what counts,
//! until somebody writes it anew.

use trimsheet_rules::lock::{self, Lock};
use trimsheet_rules::{MANIFEST, Manifest, Pack, PackFile, is_part};
use trimsheet_source::{FileId, Finding, Level, Sources, Span, nearest};

use crate::check::{Locked, Settings};
use crate::host::{Host, Trouble};
use crate::load::whole;

/// The most files of one pack, and the most bytes of all of them.
const FILES: usize = 2_000;
const BYTES: usize = 8 << 20;

/// The packs that apply to a spec, and what is wrong with those that do not.
pub(crate) struct Found {
    pub(crate) packs: Vec<Pack>,
    pub(crate) findings: Vec<Finding>,
}

/// Why a folder is no pack that can be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPack {
    /// There is no such folder.
    #[error("there is no such folder")]
    Missing,
    /// It is there, and holds no `pack.toml`.
    #[error("it holds no {MANIFEST}, in which a pack says what it is")]
    Unsaid,
    /// One of its files or folders cannot be read.
    #[error("{path}: {why}")]
    Within {
        /// Which, as seen from the pack.
        path: String,
        /// Why not.
        why: Trouble,
    },
    /// A file of it holds bytes that are no text.
    #[error("{path} is no text in UTF-8")]
    NoText {
        /// Which, as seen from the pack.
        path: String,
    },
    /// It holds more than a pack can.
    #[error("it holds more than {FILES} files or {} MiB of text, which is more than a pack may", BYTES >> 20)]
    TooMuch,
}

/// Reads the folder of a pack.
///
/// # Errors
/// It is missing, is no pack, or holds more than a pack can.
pub fn read_pack(host: &dyn Host, folder: &str) -> Result<Pack, NoPack> {
    let folder = match folder.trim_end_matches('/') {
        "" => return Err(NoPack::Missing),
        folder => folder,
    };
    if !host.is_folder(folder) {
        return Err(NoPack::Missing);
    }
    let mut pack =
        Pack { name: name(host, folder)?, place: folder.to_owned(), files: Vec::new() };
    let mut open = vec![folder.to_owned()];
    let (mut seen, mut bytes) = (0, 0);
    while let Some(at) = open.pop() {
        let inside = host.list(&at).map_err(|why| within(folder, &at, why))?;
        for path in inside {
            let inside = inside_of(folder, &path);
            if inside.split('/').any(|part| part.starts_with('.')) {
                continue;
            }
            seen += 1;
            if host.is_folder(&path) {
                // A rule stands in a group, and nothing deeper is looked for.
                if inside.matches('/').count() < 2 {
                    open.push(path);
                }
            } else if is_part(inside) {
                let file = read_file(host, folder, &path)?;
                bytes += file.text.len();
                pack.files.push(file);
            }
            if seen > FILES || bytes > BYTES {
                return Err(NoPack::TooMuch);
            }
        }
    }
    if pack.manifest().is_none() {
        return Err(NoPack::Unsaid);
    }
    pack.files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(pack)
}

/// What a folder is called, which its pack goes by.
fn name(host: &dyn Host, folder: &str) -> Result<String, NoPack> {
    let last = |path: &str| path.rsplit('/').next().unwrap_or(path).to_owned();
    let name = last(folder);
    if !matches!(name.as_str(), "." | "..") {
        return Ok(name);
    }
    let real = host.real(folder).map_err(|why| within(folder, folder, why))?;
    Ok(last(&real))
}

fn read_file(host: &dyn Host, folder: &str, path: &str) -> Result<PackFile, NoPack> {
    let bytes = host.read(path).map_err(|why| within(folder, path, why))?;
    let inside = inside_of(folder, path).to_owned();
    match String::from_utf8(bytes) {
        Ok(text) => Ok(PackFile { path: inside, text: text.into() }),
        Err(_) => Err(NoPack::NoText { path: inside }),
    }
}

/// The path of a file of a pack, as seen from its folder.
fn inside_of<'a>(folder: &str, path: &'a str) -> &'a str {
    path.strip_prefix(folder).unwrap_or(path).trim_start_matches('/')
}

fn within(folder: &str, path: &str, why: Trouble) -> NoPack {
    let inside = inside_of(folder, path);
    let path = if inside.is_empty() { folder } else { inside };
    NoPack::Within { path: path.to_owned(), why }
}

/// Finds the packs of a spec in a folder, which names them at these places.
pub(crate) fn packs_of(
    host: &dyn Host,
    folder: &str,
    named: &[(String, Span)],
    settings: &Settings,
    sources: &mut Sources,
) -> Found {
    let mut found = Found { packs: settings.packs.clone(), findings: Vec::new() };
    let lock = match settings.lock {
        Locked::Follow => {
            let read = if named.is_empty() { Lock::read_core } else { Lock::read };
            read_lock(host, folder, settings, sources, read, &mut found.findings)
        }
        Locked::Ignore => None,
    };
    // Of a lock that cannot be used, nothing can be said of what it lacks.
    let is_clear = found.findings.is_empty();
    let locked = |pinned: &lock::Locked| {
        let pack = pinned.pack();
        Pack { place: join(folder, &pack.place), ..pack }
    };
    for (name, span) in named {
        let here = find(host, folder, name, &settings.shelves);
        let pinned = lock.as_ref().and_then(|lock| lock.of(name));
        match (here, pinned) {
            (Ok(pack), Some(pinned)) if !pinned.holds(&pack) => {
                found.findings.push(moved_on(name, &pinned.issue, &pack, *span));
                found.packs.push(locked(pinned));
            }
            (Ok(pack), Some(_)) => found.packs.push(pack),
            (Ok(pack), None) => {
                let lacks = lock.is_some() && is_clear;
                found.findings.extend(lacks.then(|| not_locked(name, *span)));
                found.packs.push(pack);
            }
            (Err(_), Some(pinned)) => found.packs.push(locked(pinned)),
            (Err(missing), None) => {
                let is_given =
                    name != "core" && found.packs.iter().any(|pack| pack.name == *name);
                found.findings.extend((!is_given).then(|| missing.at(*span)));
            }
        }
    }
    // A pack that is given twice, by the spec and by the caller, is one.
    // A hash is only worked out where two go by one name.
    let mut kept: Vec<Pack> = Vec::new();
    for pack in found.packs.drain(..) {
        let is_known =
            |known: &Pack| known.name == pack.name && known.hash() == pack.hash();
        if !kept.iter().any(is_known) {
            kept.push(pack);
        }
    }
    found.packs = kept;
    found
}

fn read_lock(
    host: &dyn Host,
    folder: &str,
    settings: &Settings,
    sources: &mut Sources,
    read: fn(&str, FileId) -> (Lock, Vec<Finding>),
    findings: &mut Vec<Finding>,
) -> Option<Lock> {
    let path = join(folder, lock::NAME);
    let (text, trouble) = match host.read(&path) {
        Ok(bytes) => (whole(bytes), None),
        Err(Trouble::Missing) => return None,
        Err(trouble) => (String::new(), Some(trouble)),
    };
    let file = sources.add(path, text);
    let text = sources.file(file).map_or("", |file| &*file.text);
    if let Some(trouble) = trouble {
        let span = Span { file, start: 0, end: 0 };
        findings
            .push(lock::unreadable(span, format!("the lock cannot be used: {trouble}")));
        return None;
    }
    let (lock, unclear) = read(text, file);
    findings.extend(unclear);
    let core = settings.packs.iter().find(|pack| pack.name == "core");
    let issue = core.map(|core| issue(core, file)).unwrap_or_default();
    if let Some(pinned) = lock.of("core").filter(|pinned| pinned.issue != issue) {
        let span = pinned.place(text, file);
        let says = format!(
            "the lock was written under the built-in rules of {}, and this program brings those of {issue}",
            pinned.issue
        );
        findings
            .push(Finding::new("rules/lock-behind", Level::Note, span, says).advised(
            "read what is found now; `trimsheet rules update` then writes the lock anew",
        ));
    }
    Some(lock)
}

/// Which issue a pack says that it is.
fn issue(pack: &Pack, file: FileId) -> String {
    Manifest::read(pack, file).0.issue
}

/// A pack that is nowhere, with where it was looked for.
struct Missing {
    says: String,
    advice: String,
}

impl Missing {
    fn at(self, span: Span) -> Finding {
        Finding::new("rules/pack-missing", Level::Error, span, self.says)
            .advised(self.advice)
    }
}

fn find(
    host: &dyn Host,
    folder: &str,
    name: &str,
    shelves: &[String],
) -> Result<Pack, Missing> {
    if let Some(says) = trimsheet_rules::manifest::no_pack_name(name) {
        let advice = match name {
            "core" => "take the line out: the built-in rules always apply".into(),
            _ => "a spec names a pack by its folder's name alone, such as \"elm-hill\""
                .into(),
        };
        return Err(Missing { says, advice });
    }
    let shelves: Vec<String> =
        std::iter::once(join(folder, "rules")).chain(shelves.iter().cloned()).collect();
    for shelf in &shelves {
        let place = join(shelf, name);
        match read_pack(host, &place) {
            Ok(pack) => return Ok(pack),
            Err(NoPack::Missing) => {}
            Err(why) => {
                let says = format!("the pack `{name}` cannot be used: {why}");
                let advice = format!("look into {place}");
                return Err(Missing { says, advice });
            }
        }
    }
    let says = format!("no pack of rules called `{name}` was found");
    let known = shelves.iter().flat_map(|shelf| host.list(shelf).unwrap_or_default());
    let known: Vec<String> = known
        .filter(|path| host.read(&join(path, MANIFEST)).is_ok())
        .filter_map(|path| path.rsplit('/').next().map(str::to_owned))
        .collect();
    let advice = match nearest(name, known.iter().map(String::as_str)) {
        Some(near) => format!("if `{near}` was meant, write that"),
        None => format!(
            "put its folder, which holds a {MANIFEST}, into {}",
            shelves.join(" or ")
        ),
    };
    Err(Missing { says, advice })
}

fn moved_on(name: &str, issue: &str, pack: &Pack, span: Span) -> Finding {
    let says = format!(
        "the pack {name} has changed since it was locked; checked under the locked issue, {issue}"
    );
    Finding::new("rules/lock-behind", Level::Note, span, says).advised(format!(
        "`trimsheet rules update` shows which findings the pack in {} would bring and take, before it writes the lock",
        pack.place
    ))
}

fn not_locked(name: &str, span: Span) -> Finding {
    let says = format!("the pack {name} is not in the lock beside this spec");
    Finding::new("rules/lock-behind", Level::Note, span, says)
        .advised("`trimsheet rules update` adds it, and shows what it finds first")
}

fn join(folder: &str, name: &str) -> String {
    match folder {
        "" | "." => name.to_owned(),
        folder => format!("{}/{name}", folder.trim_end_matches('/')),
    }
}

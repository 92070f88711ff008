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

/// The most files of one pack, and the most bytes of all of them.
const FILES: usize = 2_000;
const BYTES: usize = 8 << 20;

/// The packs that apply to a spec, and what is wrong with those that do not.
pub(crate) struct Found {
    pub(crate) packs: Vec<Pack>,
    pub(crate) findings: Vec<Finding>,
}

/// Reads the folder of a pack.
///
/// # Errors
/// It is missing, is no pack, or holds more than a pack can.
pub fn read_pack(host: &dyn Host, folder: &str) -> Result<Pack, Trouble> {
    let folder = folder.trim_end_matches('/');
    let whole = if folder == "." { host.real(folder)? } else { folder.to_owned() };
    let name = whole.rsplit('/').next().unwrap_or(&whole).to_owned();
    host.read(&format!("{folder}/{MANIFEST}"))?;
    let mut pack = Pack { name, place: folder.to_owned(), files: Vec::new() };
    let mut open = vec![folder.to_owned()];
    let mut bytes = 0;
    while let Some(at) = open.pop() {
        for path in host.list(&at)? {
            let inside =
                path.strip_prefix(folder).unwrap_or(&path).trim_start_matches('/');
            let is_hidden = inside.split('/').any(|part| part.starts_with('.'));
            if is_hidden || pack.files.len() > FILES || bytes > BYTES {
                continue;
            }
            if host.is_folder(&path) {
                // A rule stands in a group, and nothing deeper is looked for.
                if inside.matches('/').count() < 2 {
                    open.push(path);
                }
            } else if is_part(inside) {
                let text = String::from_utf8_lossy(&host.read(&path)?).into_owned();
                bytes += text.len();
                pack.files.push(PackFile { path: inside.to_owned(), text });
            }
        }
    }
    if pack.files.len() > FILES || bytes > BYTES {
        return Err(Trouble::TooLarge { limit: 8 });
    }
    pack.files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(pack)
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
        Locked::Follow => read_lock(host, folder, settings, sources, &mut found.findings),
        Locked::Ignore => None,
    };
    for (name, span) in named {
        let here = find(host, folder, name, &settings.shelves);
        let pinned = lock.as_ref().and_then(|lock| lock.of(name));
        match (here, pinned) {
            (Ok(pack), Some(pinned)) if pack.hash() != pinned.hash => {
                found.findings.push(moved_on(name, &pinned.issue, &pack, *span));
                found.packs.push(pinned.pack());
            }
            (Ok(pack), pinned) => {
                found.findings.extend(
                    (lock.is_some() && pinned.is_none()).then(|| not_locked(name, *span)),
                );
                found.packs.push(pack);
            }
            (Err(_), Some(pinned)) => found.packs.push(pinned.pack()),
            (Err(missing), None) => found.findings.push(missing.at(*span)),
        }
    }
    // A pack that is given twice, by the spec and by the caller, is one.
    let mut seen: Vec<(String, String)> = Vec::new();
    found.packs.retain(|pack| {
        let key = (pack.name.clone(), pack.hash());
        let is_new = !seen.contains(&key);
        seen.push(key);
        is_new
    });
    found
}

fn read_lock(
    host: &dyn Host,
    folder: &str,
    settings: &Settings,
    sources: &mut Sources,
    findings: &mut Vec<Finding>,
) -> Option<Lock> {
    let path = join(folder, lock::NAME);
    let bytes = host.read(&path).ok()?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let file = sources.add(path, text.clone());
    let (lock, unclear) = Lock::read(&text, file);
    findings.extend(unclear);
    let core = settings.packs.iter().find(|pack| pack.name == "core");
    let issue = core.map(|core| issue(core, file)).unwrap_or_default();
    if let Some(pinned) = lock.of("core").filter(|pinned| pinned.issue != issue) {
        let start = text.find(&pinned.issue).unwrap_or(0);
        let span = Span { file, start, end: start + pinned.issue.len() };
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
    let shelves: Vec<String> =
        std::iter::once(join(folder, "rules")).chain(shelves.iter().cloned()).collect();
    if trimsheet_rules::manifest::is_plain(name) {
        for shelf in &shelves {
            match read_pack(host, &join(shelf, name)) {
                Ok(pack) => return Ok(pack),
                Err(Trouble::Missing) => {}
                Err(trouble) => {
                    let says = format!("the pack `{name}` cannot be used: {trouble}");
                    let advice = format!("look at {}", join(shelf, name));
                    return Err(Missing { says, advice });
                }
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

//! `trimsheet rules update`

use trimsheet_output::clean::visible;
use trimsheet_project::rules::lock::{self, Lock};
use trimsheet_project::rules::{Manifest, Pack};
use trimsheet_project::source::Finding;
use trimsheet_project::{Checked, Host, Locked, Settings, check, open};

use crate::arguments::Under;
use crate::disk::{self, Disk};
use crate::{End, screen};

/// Shows what the packs as they are now would change, and writes the lock if asked to.
pub(crate) fn update(path: &str, write: bool) -> End {
    match updated(path, write) {
        Ok(end) => end,
        Err(says) => {
            screen::complain(&says);
            End::CouldNotRun
        }
    }
}

fn updated(path: &str, write: bool) -> Result<End, String> {
    let folder = folder(path);
    let specs = specs(&folder)?;
    let under = Under::default();
    let follow = super::settings(&under).ok_or("the rules could not be read")?;
    let ignore = Settings { lock: Locked::Ignore, ..follow.clone() };
    let packs = packs(&specs, &ignore)?;
    let place = join(&folder, lock::NAME);
    let old = read(&place);
    let new =
        Lock::new(packs.iter().map(|(pack, manifest)| (pack, manifest.issue.as_str())));
    screen::show(&pins(&old, &new));
    let (before, after) = (check(&Disk, &specs, &follow), check(&Disk, &specs, &ignore));
    screen::show(&changes(&before, &after));
    if old == new {
        screen::print(&format!("{place} holds all this already.\n"));
        return Ok(End::Clear);
    }
    if !write {
        screen::print(&format!("Nothing was written; with --write, {place} is.\n"));
        return Ok(End::Clear);
    }
    let text = new.text().map_err(|why| format!("cannot write {place}: {why}"))?;
    disk::write_over(&folder, &place, &text)
        .map_err(|why| format!("cannot write {place}: {why}"))?;
    screen::print(&format!("Wrote {place}. Keep it beside the specs.\n"));
    Ok(End::Clear)
}

/// The folder of a spec, or the folder itself.
fn folder(path: &str) -> String {
    if Disk.is_folder(path) {
        return path.trim_end_matches('/').to_owned();
    }
    path.rsplit_once('/').map_or(".".to_owned(), |(folder, _)| folder.to_owned())
}

/// The specs that share the lock: those that stand right beside it.
fn specs(folder: &str) -> Result<Vec<String>, String> {
    let inside = Disk
        .list(folder)
        .map_err(|trouble| format!("cannot look into {folder}: {trouble}"))?;
    let mut specs: Vec<String> = inside
        .into_iter()
        .filter(|path| path.ends_with(".trim") && !Disk.is_folder(path))
        .collect();
    specs.sort();
    if specs.is_empty() {
        return Err(format!("found no spec (a file called NAME.trim) in {folder}"));
    }
    Ok(specs)
}

/// The packs that the specs name, and the core, each once.
fn packs(specs: &[String], settings: &Settings) -> Result<Vec<(Pack, Manifest)>, String> {
    let mut packs: Vec<(Pack, Manifest)> = Vec::new();
    for spec in specs {
        let opened = open(&Disk, spec, settings)
            .map_err(|trouble| format!("cannot read {spec}: {trouble}"))?;
        if let Some(missing) = opened.findings.iter().find(|one| is_about_packs(one)) {
            return Err(format!("{spec}: {}; nothing was written", missing.headline));
        }
        for pack in opened.packs {
            let manifest = opened.rules.packs.iter().find(|one| one.name == pack.name);
            let is_new = !packs.iter().any(|(known, _)| known.name == pack.name);
            if let Some(manifest) = manifest.filter(|_| is_new) {
                packs.push((pack, manifest.clone()));
            }
        }
    }
    packs.sort_by(|(a, one), (b, two)| (one.layer, &a.name).cmp(&(two.layer, &b.name)));
    Ok(packs)
}

/// Whether a finding says that a pack could not be used.
fn is_about_packs(finding: &Finding) -> bool {
    ["rules/pack-missing", "rules/pack-misnamed", "rules/pack-unclear"]
        .contains(&finding.rule.0.as_str())
}

fn read(place: &str) -> Lock {
    let bytes = Disk.read(place).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes);
    if text.is_empty() {
        return Lock::default();
    }
    // What cannot be used is written anew; a check says what is wrong with it.
    let file = trimsheet_project::source::Sources::default().add(place, &*text);
    Lock::read(&text, file).0
}

/// Which packs are pinned, and what changes for each.
fn pins(old: &Lock, new: &Lock) -> String {
    let mut out = String::new();
    for pin in new.packs() {
        let says = match old.of(&pin.name) {
            None => "new in the lock".into(),
            Some(before) if before.hash == pin.hash => "as it was".into(),
            Some(before) if before.issue == pin.issue => {
                "changed, under the same issue".into()
            }
            Some(before) => format!("was {}", before.issue),
        };
        out.push_str(&format!("{} {}: {says}\n", pin.name, pin.issue));
    }
    for pin in old.packs().iter().filter(|pin| new.of(&pin.name).is_none()) {
        out.push_str(&format!("{} {}: no spec names it any more\n", pin.name, pin.issue));
    }
    let core = |lock: &Lock| lock.of("core").map(|pin| pin.issue.clone());
    if old.of("core").is_some() && core(old) != core(new) {
        out.push_str("What the built-in rules of the other version found cannot be shown by this one.\n");
    }
    out
}

/// The findings that come and go.
fn changes(before: &Checked, after: &Checked) -> String {
    let (old, new) = (told(before), told(after));
    let goes =
        old.iter().filter(|one| !new.contains(one)).map(|one| format!("- {one}\n"));
    let comes =
        new.iter().filter(|one| !old.contains(one)).map(|one| format!("+ {one}\n"));
    let mut lines: Vec<String> = goes.chain(comes).collect();
    if lines.is_empty() {
        return "No finding comes or goes.\n".into();
    }
    lines.sort_by(|a, b| a.get(2..).cmp(&b.get(2..)));
    format!("Findings that go (-) and come (+):\n{}", lines.concat())
}

fn told(checked: &Checked) -> Vec<String> {
    let kept = checked.findings.iter().filter(|one| one.rule.0 != "rules/lock-behind");
    kept.map(|finding| {
        let span = finding.primary.span;
        let path = checked.sources.path(span.file);
        let line = checked.sources.place(span).line;
        let says = visible(&finding.headline);
        format!("{path}:{line}: {}[{}]: {says}", finding.level, finding.rule)
    })
    .collect()
}

fn join(folder: &str, name: &str) -> String {
    if folder == "." { name.to_owned() } else { format!("{folder}/{name}") }
}

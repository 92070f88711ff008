//! Checking files: on all cores, with one answer.

use std::rc::Rc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use trimsheet_facts::{Facts, What};
use trimsheet_model::{Stage, resolve};
use trimsheet_rules::{Judgement, Pack, judge};
use trimsheet_script::Loaded;
use trimsheet_source::{CannotSay, Figures, Finding, Sources};

use crate::figures::figures;
use crate::host::{Host, Trouble};
use crate::load::load;
use crate::merge::merge;

/// How files are to be checked.
pub struct Settings {
    /// The stage to judge for, instead of the one that each spec states.
    pub stage: Option<Stage>,
    /// How many threads work; the answer does not depend on it.
    pub threads: usize,
    /// Which rules apply, the core pack first.
    pub packs: Vec<Pack>,
    /// Called now and then with how many of how many files are done.
    pub progress: fn(usize, usize),
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            stage: None,
            threads: 1,
            packs: vec![trimsheet_rules::core()],
            progress: |_, _| {},
        }
    }
}

/// What a check has found.
#[derive(Clone, Debug, Default)]
pub struct Checked {
    /// Every file that was read, rule scripts included.
    pub sources: Sources,
    /// In order of file, place and rule.
    pub findings: Vec<Finding>,
    /// What rules could not judge, in the same order.
    pub cannot_say: Vec<CannotSay>,
    /// What was worked out for each loadout, in the same order.
    pub figures: Vec<Figures>,
    /// How many specs were checked.
    pub files: usize,
    /// How many values are estimated, or of no stated source.
    pub estimated: usize,
    /// How many values are not known yet.
    pub unknown: usize,
    /// How many steps are recorded as proved.
    pub proved: usize,
    /// Files that could not be read, and why.
    pub troubles: Vec<(String, Trouble)>,
}

/// Checks files, and every spec in folders.
pub fn check(host: &dyn Host, paths: &[String], settings: &Settings) -> Checked {
    let (specs, troubles) = find(host, paths);
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Checked)>> = Mutex::new(Vec::new());
    let total = specs.len();
    let work = || {
        // An engine belongs to its thread, and is made once for all its files.
        let mut sources = Sources::default();
        let loaded = trimsheet_script::load(&settings.packs, &mut sources);
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(path) = specs.get(index) else { return };
            let one = check_one(host, path, &loaded, &sources, settings.stage);
            if let Ok(mut done) = done.lock() {
                done.push((index, one));
                (settings.progress)(done.len(), total);
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..settings.threads.clamp(1, total.max(1)) {
            // Lists in lists are dropped one within the other: give them room.
            let builder = std::thread::Builder::new().stack_size(STACK);
            if builder.spawn_scoped(scope, work).is_err() {
                break;
            }
        }
    });
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by_key(|(index, _)| *index);
    let mut all: Vec<Checked> = done.into_iter().map(|(_, one)| one).collect();
    all.push(Checked { troubles, ..Checked::default() });
    merge(all)
}

/// The stack of a working thread, in bytes.
const STACK: usize = 64 << 20;

/// The specs that the paths name, each once, in order.
fn find(host: &dyn Host, paths: &[String]) -> (Vec<String>, Vec<(String, Trouble)>) {
    let mut specs = Vec::new();
    let mut troubles = Vec::new();
    let mut open: Vec<String> = paths.iter().map(|path| tidy(path)).collect();
    while let Some(path) = open.pop() {
        if !host.is_folder(&path) {
            specs.push(path);
            continue;
        }
        match host.list(&path) {
            Ok(inside) => open.extend(inside.into_iter().filter(|path| {
                let name = path.rsplit('/').next().unwrap_or(path);
                let is_hidden = name.starts_with('.');
                !is_hidden && (name.ends_with(".trim") || host.is_folder(path))
            })),
            Err(trouble) => troubles.push((path, trouble)),
        }
    }
    specs.sort();
    specs.dedup();
    (specs, troubles)
}

fn tidy(path: &str) -> String {
    let path = path.replace('\\', "/");
    let trimmed = path.trim_end_matches('/');
    let trimmed = trimmed.strip_prefix("./").unwrap_or(trimmed);
    if trimmed.is_empty() { path } else { trimmed.to_owned() }
}

/// One spec, read and understood: what it says, and what follows from it.
pub struct Opened {
    /// Every file that was read, rule scripts included.
    pub sources: Sources,
    /// What the spec says, ready to be asked what follows from it.
    pub facts: Rc<Facts>,
    /// What reading found, unsorted; no rule has run.
    pub findings: Vec<Finding>,
}

/// Reads one spec and what it includes, and understands it as an aircraft.
///
/// # Errors
/// The spec itself cannot be read.
pub fn open(host: &dyn Host, path: &str, settings: &Settings) -> Result<Opened, Trouble> {
    open_with(host, &tidy(path), Sources::default(), settings.stage)
}

fn open_with(
    host: &dyn Host,
    path: &str,
    mut sources: Sources,
    stage: Option<Stage>,
) -> Result<Opened, Trouble> {
    let loaded = load(host, path, &mut sources)?;
    let (build, mut findings) = resolve(&loaded.documents, &sources);
    findings.extend(loaded.findings);
    let stage = stage.or(build.stage()).unwrap_or(Stage::Planned);
    let facts = Rc::new(Facts::new(build, stage));
    Ok(Opened { sources, facts, findings })
}

fn check_one(
    host: &dyn Host,
    path: &str,
    rules: &Loaded,
    scripts: &Sources,
    stage: Option<Stage>,
) -> Checked {
    let opened = match open_with(host, path, scripts.clone(), stage) {
        Ok(opened) => opened,
        Err(trouble) => {
            let troubles = vec![(path.to_owned(), trouble)];
            return Checked { troubles, ..Checked::default() };
        }
    };
    let Opened { sources, facts, mut findings } = opened;
    findings.extend(rules.findings.iter().cloned());
    // A file with more faults than anybody reads is no spec yet, and is not judged.
    let is_judged = !findings.iter().any(|finding| finding.rule.0 == "read/too-many");
    let judged = if is_judged { rules.rules.as_slice() } else { &[] };
    let Judgement { findings: judged, cannot_say } =
        judge(judged, &facts, |rule, about, settings| {
            rules.scripts.call(rule, about, &facts, settings, &sources)
        });
    findings.extend(judged);
    let (estimated, unknown) = counts(&facts);
    let figures = if is_judged { figures(&facts) } else { Vec::new() };
    let troubles = Vec::new();
    Checked {
        sources,
        findings,
        cannot_say,
        figures,
        files: 1,
        estimated,
        unknown,
        proved: 0,
        troubles,
    }
}

/// How many values are guessed, and how many are not known.
fn counts(facts: &Facts) -> (usize, usize) {
    let values = facts.of(&facts.whole(), "values").map(|values| values.what);
    let Ok(What::List(values)) = values else { return (0, 0) };
    let is_unknown = |value: &trimsheet_facts::Known| {
        matches!(value.what, What::Unknown(_))
            || facts.has(value, "is_about").unwrap_or(false)
    };
    let unknown = values.iter().filter(|value| is_unknown(value)).count();
    let guessed = values.iter().filter(|value| {
        value.via.is_none()
            && !matches!(value.what, What::Unknown(_))
            && matches!(value.source, None | Some("estimated"))
    });
    (guessed.count(), unknown)
}

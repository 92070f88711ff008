//! Checking files: on all cores, with one answer.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use trimsheet_facts::{Facts, Proved, What, photos};
use trimsheet_model::{Build, Date, EntryId, Stage, packs_named, resolve_with};
use trimsheet_rules::{Judgement, Pack, Rule};
use trimsheet_script::Loaded;
use trimsheet_source::{
    CannotSay, Figures, FileId, Finding, Judged, RuleText, Sources, Span, Waived,
};

use crate::crew::{self, Mate};
use crate::engines::Engines;
use crate::figures::figures;
use crate::host::{Host, Trouble};
use crate::load::{beside, load, text};
use crate::merge::{merge, move_finding};
use crate::packs::{Found, packs_of};
use crate::reference::reference;

/// How files are to be checked.
#[derive(Clone)]
pub struct Settings {
    /// The stage to judge for, instead of the one that each spec states.
    pub stage: Option<Stage>,
    /// The day to judge on; without one, nothing expires.
    pub today: Option<Date>,
    /// How many threads work; the answer does not depend on it.
    pub threads: usize,
    /// Which packs apply whatever a spec names, the core pack first.
    pub packs: Vec<Pack>,
    /// Folders in which packs that a spec names are looked for, after those beside it.
    pub shelves: Vec<String>,
    /// What a lock beside a spec means.
    pub lock: Locked,
    /// Called now and then with how many of how many files are done.
    pub progress: fn(usize, usize),
}

/// What a lock beside a spec means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Locked {
    /// The packs that it carries count, whatever their folders hold by now.
    Follow,
    /// It is not looked at.
    Ignore,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            stage: None,
            today: None,
            threads: 1,
            packs: vec![trimsheet_rules::core()],
            shelves: Vec::new(),
            lock: Locked::Follow,
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
    /// What somebody lets pass, with the reason, in the same order.
    pub waived: Vec<Waived>,
    /// How many limits are loosened, with a reason and until a day.
    pub loosened: usize,
    /// What rules could not judge, in the same order.
    pub cannot_say: Vec<CannotSay>,
    /// What was worked out for each loadout, in the same order.
    pub figures: Vec<Figures>,
    /// Which rules ran over each spec and what came of it, in order of path.
    pub judged: Vec<Judged>,
    /// What the rules that ran, and whatever else has a finding here, say of themselves,
    /// in the order of their ids.
    pub rules: Vec<RuleText>,
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
    // Where there are threads to spare, two work on each spec.
    let has_mates = total < settings.threads;
    let work = || {
        // An engine belongs to its thread, and is made once for all files of its packs.
        let mut engines = Engines::default();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(path) = specs.get(index) else { return };
            let one = check_one(host, path, &mut engines, settings, has_mates);
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
pub(crate) const STACK: usize = 64 << 20;

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
            // The specs of a pack are what its examples stand on.
            Ok(inside) if inside.iter().any(|path| is_manifest(path)) => {}
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

pub(crate) fn tidy(path: &str) -> String {
    let path = path.replace('\\', "/");
    let trimmed = path.trim_end_matches('/');
    let trimmed = trimmed.strip_prefix("./").unwrap_or(trimmed);
    if trimmed.is_empty() { path } else { trimmed.to_owned() }
}

fn is_manifest(path: &str) -> bool {
    path.rsplit('/').next() == Some(trimsheet_rules::MANIFEST)
}

/// One spec, read and understood: what it says, and what follows from it.
pub struct Opened {
    /// Every file that was read, rule scripts included.
    pub sources: Sources,
    /// The spec among them.
    pub spec: FileId,
    /// What the spec says, ready to be asked what follows from it.
    pub facts: Rc<Facts>,
    /// What reading found, unsorted; no rule has run.
    pub findings: Vec<Finding>,
    /// The rules that apply to it.
    pub rules: Rc<Loaded>,
    /// The packs that those come from, the core pack first.
    pub packs: Vec<Pack>,
}

impl Opened {
    /// Whether it is a spec that can be judged: a file with more faults than anybody reads
    /// is none yet.
    pub fn is_spec(&self) -> bool {
        can_be_judged(&self.findings)
    }
}

fn can_be_judged(findings: &[Finding]) -> bool {
    !findings.iter().any(|finding| finding.rule.0 == "read/too-many")
}

/// Reads one spec and what it includes, and understands it as an aircraft.
///
/// # Errors
/// The spec itself cannot be read.
pub fn open(host: &dyn Host, path: &str, settings: &Settings) -> Result<Opened, Trouble> {
    open_with(host, &tidy(path), &mut Engines::default(), settings)
}

/// A spec before it is understood, with the packs that it asks for.
struct Asked {
    text: String,
    /// The spec, and what was read to find its packs.
    sources: Sources,
    packs: Vec<Pack>,
    /// What is wrong with the packs.
    findings: Vec<Finding>,
}

impl Asked {
    fn read(host: &dyn Host, path: &str, settings: &Settings) -> Result<Asked, Trouble> {
        let text = text(host, path)?;
        let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
        let mut sources = Sources::default();
        let file = sources.add(path, &*text);
        let tree =
            trimsheet_syntax::parse_where(file, &text, |line| line.contains("rules"));
        let named = packs_named(&tree, &sources);
        let Found { packs, findings } =
            packs_of(host, folder, &named, settings, &mut sources);
        Ok(Asked { text, sources, packs, findings })
    }

    /// What is wrong with the packs, where their files stand among other sources.
    fn moved(&self, sources: &mut Sources) -> Vec<Finding> {
        if self.findings.is_empty() {
            return Vec::new();
        }
        let mut new: BTreeMap<FileId, FileId> = BTreeMap::new();
        for (old, file) in self.sources.iter() {
            let known = sources.iter().find(|(_, known)| known.path == file.path);
            let known = known.map(|(id, _)| id);
            let id = known.unwrap_or_else(|| sources.add(&*file.path, &*file.text));
            new.insert(old, id);
        }
        let moved = |span: &mut Span| {
            span.file = new.get(&span.file).copied().unwrap_or(span.file);
        };
        let findings = self.findings.iter().cloned();
        findings.map(|finding| move_finding(finding, &moved)).collect()
    }
}

pub(crate) fn open_with(
    host: &dyn Host,
    path: &str,
    engines: &mut Engines,
    settings: &Settings,
) -> Result<Opened, Trouble> {
    let asked = Asked::read(host, path, settings)?;
    Ok(open_asked(host, path, asked, engines, settings, None))
}

fn open_asked(
    host: &dyn Host,
    path: &str,
    asked: Asked,
    engines: &mut Engines,
    settings: &Settings,
    mate: Option<&Mate>,
) -> Opened {
    // Scripts come first among the sources, and which they are stands in the spec.
    let (mut sources, rules) = engines.of(&asked.packs);
    let loaded = load(host, path, &asked.text, &mut sources);
    let spec = loaded.spec;
    let (build, mut findings) =
        resolve_with(&loaded.documents, &sources, rules.vocabulary());
    findings.extend(loaded.findings);
    let stage = settings.stage.or(build.stage()).unwrap_or(Stage::Planned);
    let followed = reference(host, path, &build, &mut sources, rules.vocabulary());
    let (reference, said) = followed;
    findings.extend(said);
    let facts = Facts::new(build, stage).on(settings.today).following(reference);
    let missing = missing(host, path, &facts.build);
    findings.extend(asked.moved(&mut sources));
    let facts = facts.from_texts(sources.clone()).without_files(missing);
    if let Some(mate) = mate.filter(|_| can_be_judged(&findings)) {
        mate.begin(&facts, &sources);
    }
    let rules = engines.load(&asked.packs, rules);
    findings.extend(rules.findings.iter().cloned());
    let facts = Rc::new(facts.asked_for(Arc::clone(&rules.steps)));
    Opened { sources, spec, facts, findings, rules, packs: asked.packs }
}

fn check_one(
    host: &dyn Host,
    path: &str,
    engines: &mut Engines,
    settings: &Settings,
    has_mate: bool,
) -> Checked {
    let asked = match Asked::read(host, path, settings) {
        Ok(asked) => asked,
        Err(trouble) => {
            let troubles = vec![(path.to_owned(), trouble)];
            return Checked { troubles, ..Checked::default() };
        }
    };
    let mate = has_mate.then(|| Mate::start(asked.packs.clone())).flatten();
    let opened = open_asked(host, path, asked, engines, settings, mate.as_ref());
    judged(opened, mate)
}

/// What there is to say of a spec.
fn judged(opened: Opened, mate: Option<Mate>) -> Checked {
    let is_judged = opened.is_spec();
    let Opened { sources, spec, facts, mut findings, rules, .. } = opened;
    let judgement = match is_judged {
        true => crew::judge(&rules, &facts, &sources, mate),
        false => Judgement::default(),
    };
    let Judgement { findings: found, waived, cannot_say, ran, loosened, .. } = judgement;
    findings.extend(found);
    let (estimated, unknown) = counts(&facts);
    let figures = if is_judged { figures(&facts) } else { Vec::new() };
    // Those that ran are named in the order of the rules.
    let mut next = ran.iter().peekable();
    let texts =
        rules.rules.iter().filter(|rule| next.next_if(|id| **id == rule.id).is_some());
    let texts = texts.map(Rule::text).collect();
    let judged = Judged {
        spec,
        ran,
        findings: (0..findings.len()).collect(),
        waived: (0..waived.len()).collect(),
        cannot_say: (0..cannot_say.len()).collect(),
    };
    Checked {
        sources,
        findings,
        waived,
        loosened,
        cannot_say,
        figures,
        judged: vec![judged],
        rules: texts,
        files: 1,
        estimated,
        unknown,
        proved: proved(&facts),
        troubles: Vec::new(),
    }
}

/// The photos that a spec names and that are not in its folder.
fn missing(host: &dyn Host, spec: &str, build: &Build) -> BTreeSet<String> {
    let names = photos(build).filter_map(|photo| photo.text());
    let is_there =
        |name: &str| beside(spec, name).is_some_and(|path| host.real(&path).is_ok());
    names.filter(|name| !is_there(name)).map(str::to_owned).collect()
}

/// How many signed records hold: nothing that they rest on has changed.
fn proved(facts: &Facts) -> usize {
    let signed = facts.build.aboard().filter(|(_, entry)| entry.says("signed"));
    let holds =
        |(id, _): &(EntryId, _)| matches!(facts.proved(*id), Ok(Proved::Holds(_)));
    signed.filter(holds).count()
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

//! Steps and their records: what each card says, and signing what somebody has done.
//!
//! A record rests on all that the card of its step was drawn from, on the facts that the
//! step names, and on what the rules that it names read. Nothing is written here: what is
//! to be written comes back as text.

use std::rc::Rc;

use sha2::{Digest, Sha256};
use trimsheet_facts::{
    Drawn, Facts, Grounds, Known, LIKE, NotKnown, OfStep, Proved, Reads, Step, is_said,
    sealed,
};
use trimsheet_model::{Date, EntryId, PROOF_FORM, vocabulary};
use trimsheet_rules::{Ended, settings, subjects};
use trimsheet_source::{Finding, Level, Sources, nearest};

use crate::change::Overlay;
use crate::check::{Opened, Settings, open, tidy};
use crate::host::{Host, Trouble};
use crate::load::{proof_of, text};

/// Every step with what its card says, in the order in which a person does them.
///
/// # Errors
/// That the head of a record is not known, which may be of one of them.
pub fn drawn(opened: &Opened) -> Result<Vec<Drawn<'_>>, NotKnown> {
    let facts = &opened.facts;
    let mut all = Vec::new();
    for done in facts.steps_done()? {
        let about = about(facts, done.loadout);
        let card = opened.rules.scripts.card(done.step, &about, facts, &opened.sources);
        let silent = match card.ended {
            Ended::Said => None,
            Ended::CannotSay(why) => Some(why.says),
            Ended::Fault(fault) => Some(fault.says),
        };
        all.push(Drawn { title: done.title(facts), done, lines: card.lines, silent });
    }
    Ok(all)
}

/// What a record of a step would rest on, as the spec stands.
pub fn grounds(opened: &Opened, step: &Step, loadout: Option<EntryId>) -> Grounds {
    let facts = &opened.facts;
    let about = about(facts, loadout);
    let card = opened.rules.scripts.card(step, &about, facts, &opened.sources);
    let mut reads = card.reads;
    let ((), named) = facts.watch(|| {
        for (of, fact) in &step.rests {
            for id in of_kind_or_word(facts, of) {
                let Some(entry) = facts.build.entry(id).map(|entry| entry.row.word)
                else {
                    continue;
                };
                let row = facts.build.vocabulary.fact(entry, fact).map(|row| row.word);
                let words = if fact == LIKE { itself(facts, id) } else { Vec::new() };
                let head = (fact == LIKE).then_some(entry);
                for word in words.into_iter().chain(row).chain(head) {
                    // Whatever it says, that was looked at.
                    let _ = facts.fact(id, word);
                }
            }
        }
    });
    reads = reads.and(named);
    for reads_of_rule in rules(opened, step, loadout) {
        reads = reads.and(reads_of_rule);
    }
    let mut grounds = facts.grounds(&reads);
    let asked = format!("step {}", step.name);
    let says = facts.ground(&asked).says;
    grounds.insert(asked, says);
    grounds
}

/// The facts by which a part is this one and no other, inherited ones among them: not
/// what it weighs and where it lies.
fn itself(facts: &Facts, id: EntryId) -> Vec<&'static str> {
    const ELSEWHERE: [&str; 10] = [
        "mass",
        "at",
        "size",
        "inside",
        "slides",
        "optional",
        "antenna",
        "relies-on",
        "count",
        "places",
    ];
    let entry = facts.build.entry(id);
    let words = entry.into_iter().flat_map(|entry| &entry.facts);
    let words = words.map(|fact| fact.row.word);
    words.filter(|word| !ELSEWHERE.contains(word)).collect()
}

/// The entries of a word, or the parts of a kind.
fn of_kind_or_word(facts: &Facts, of: &str) -> Vec<EntryId> {
    if vocabulary::entry(of).is_some() {
        return facts.of_word(of).map(|(id, _)| id).collect();
    }
    let parts = facts.parts_of_kind(of).unwrap_or_default();
    parts.iter().filter_map(Known::entry).collect()
}

/// What the rules read that a step names.
fn rules(opened: &Opened, step: &Step, loadout: Option<EntryId>) -> Vec<Reads> {
    let (facts, loaded) = (&opened.facts, &opened.rules);
    let named = loaded.rules.iter().filter(|rule| step.rules.contains(&rule.id.0));
    let (set, _) = settings(&facts.build, &loaded.rules, &loaded.packs, facts.today);
    let mut all = Vec::new();
    let mut machine = loaded.scripts.machine();
    for rule in named {
        let own = |one: &Known| {
            let is_loadout = facts.word(one) == Some("loadout");
            loadout.is_none() || !is_loadout || one.entry() == loadout
        };
        let (about, found) = facts.watch(|| subjects(rule, facts));
        all.push(found);
        for about in about.iter().filter(|one| own(one)) {
            all.push(machine.call(rule, about, facts, &set, &opened.sources).reads);
        }
    }
    all
}

fn about(facts: &Rc<Facts>, loadout: Option<EntryId>) -> Known {
    loadout.map_or_else(|| facts.whole(), |id| facts.known_entry(id))
}

/// What somebody wants to sign.
#[derive(Clone, Debug, Default)]
pub struct Signing {
    /// The step: `failsafe`.
    pub step: String,
    /// The loadout, for a step that is asked of each.
    pub loadout: Option<String>,
    /// Who did it.
    pub by: String,
    /// On which day.
    pub date: Option<Date>,
    /// A remark for people.
    pub note: Option<String>,
    /// Facts of the record, as a spec writes them: `propeller off`.
    pub readings: Vec<String>,
}

/// A proof with one record more.
#[derive(Debug)]
pub struct Signed {
    /// Where the proof stands.
    pub path: String,
    /// What was there before; nothing if there was no proof yet.
    pub before: Option<String>,
    /// What is to stand there.
    pub text: String,
    /// The record, as it is written.
    pub record: String,
    /// What it rests on.
    pub grounds: Grounds,
}

/// Why nothing was signed.
#[derive(Debug, thiserror::Error)]
pub enum NotSigned {
    /// The spec cannot be read.
    #[error("cannot read the spec: {0}")]
    Spec(Trouble),
    /// The proof beside it cannot be read.
    #[error("cannot read the proof beside it: {0}")]
    Proof(Trouble),
    /// What was asked for does not fit; what does.
    #[error("{0}")]
    Asked(String),
    /// Lines of the proof, or those that were to be added, do not read.
    #[error("the record does not read, and nothing was written")]
    Unread(Box<Sources>, Vec<Finding>),
}

/// Writes a record of a step behind those of the proof, in memory.
///
/// # Errors
/// What does not fit; then nothing is to be written.
pub fn sign(
    host: &dyn Host,
    spec: &str,
    wanted: &Signing,
    settings: &Settings,
) -> Result<Signed, NotSigned> {
    let Beside { spec, path, before, opened } = Beside::open(host, spec, settings)?;
    let date = wanted.date.or(settings.today);
    let date = date.ok_or_else(|| asked("it is not said on which day it was done"))?;
    // Today is that of UTC, and where the sun rises first it is a day later.
    if settings.today.is_some_and(|today| 1 < date.days_after(today)) {
        let today = settings.today.map_or(String::new(), |today| today.to_string());
        let says = format!(
            "{date} lies in the future, and a record says what was seen: today is {today}"
        );
        return Err(NotSigned::Asked(says));
    }
    let step = step(&opened, &wanted.step)?;
    let loadout = loadout(&opened, step, wanted.loadout.as_deref(), &spec)?;
    let record = written(&opened, step, loadout, date, wanted)?;
    let grounds = grounds(&opened, step, loadout);
    let (name, lines) = lines(&record, step, &grounds);
    let mut text = begun(before.as_deref());
    text.push_str(&lines);
    let signed = Signed { path, before, text, record, grounds };
    proved(host, &spec, &name, step, &signed, settings)?;
    Ok(signed)
}

/// A spec with the proof beside it, which reads as it stands.
pub(crate) struct Beside {
    pub(crate) spec: String,
    /// Where the proof stands.
    pub(crate) path: String,
    /// What is there; nothing if there is no proof yet.
    pub(crate) before: Option<String>,
    pub(crate) opened: Opened,
}

impl Beside {
    pub(crate) fn open(
        host: &dyn Host,
        spec: &str,
        settings: &Settings,
    ) -> Result<Beside, NotSigned> {
        let spec = tidy(spec);
        let path = proof_of(&spec).ok_or_else(|| {
            NotSigned::Asked(format!("expected a spec, NAME.trim, found {spec}"))
        })?;
        let before = match text(host, &path) {
            Ok(text) => Some(text),
            Err(Trouble::Missing) => None,
            Err(trouble) => return Err(NotSigned::Proof(trouble)),
        };
        let opened = open(host, &spec, settings).map_err(NotSigned::Spec)?;
        unread(&opened, &path)?;
        Ok(Beside { spec, path, before, opened })
    }
}

/// The lines of a proof, behind which others can be written.
pub(crate) fn begun(before: Option<&str>) -> String {
    let mut text = before.map_or_else(|| format!("proof {PROOF_FORM}\n"), str::to_owned);
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text
}

/// That the proof reads as it stands: nothing is written behind what is damaged.
pub(crate) fn unread(opened: &Opened, path: &str) -> Result<(), NotSigned> {
    let own = |one: &&Finding| {
        opened.sources.path(one.primary.span.file) == path && one.level >= Level::Error
    };
    let findings: Vec<Finding> = opened.findings.iter().filter(own).cloned().collect();
    if findings.is_empty() {
        return Ok(());
    }
    Err(NotSigned::Unread(Box::new(opened.sources.clone()), findings))
}

fn asked(says: &str) -> NotSigned {
    NotSigned::Asked(says.to_owned())
}

fn step<'a>(opened: &'a Opened, name: &str) -> Result<&'a Step, NotSigned> {
    let steps = opened.facts.steps_asked();
    steps.iter().find(|step| step.name == name).ok_or_else(|| {
        let names = || steps.iter().map(|step| step.name.as_str());
        let near = nearest(name, names());
        let near = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
        let all: Vec<&str> = names().collect();
        let says =
            format!("no step is called {name}{near} (there are {})", all.join(", "));
        NotSigned::Asked(says)
    })
}

fn loadout(
    opened: &Opened,
    step: &Step,
    name: Option<&str>,
    spec: &str,
) -> Result<Option<EntryId>, NotSigned> {
    let loadouts: Vec<(EntryId, &str)> = opened
        .facts
        .of_word("loadout")
        .map(|(id, entry)| (id, entry.name.as_str()))
        .collect();
    let names: Vec<&str> = loadouts.iter().map(|(_, name)| *name).collect();
    let names = names.join(", ");
    match (step.of, name, loadouts.as_slice()) {
        (OfStep::Build, None, _) => Ok(None),
        (OfStep::Build, Some(_), _) => {
            let says = format!(
                "{} is done once for the whole aircraft, and takes no loadout",
                step.name
            );
            Err(NotSigned::Asked(says))
        }
        // What stands for a spec without any has a name of two words, which no record takes.
        (OfStep::Loadout, _, [(_, name)]) if name.contains(' ') => {
            let says = format!(
                "{} is of a loadout, and {spec} has none: write how it is flown first, `loadout` with a name",
                step.name
            );
            Err(NotSigned::Asked(says))
        }
        (OfStep::Loadout, None, [(id, _)]) => Ok(Some(*id)),
        (OfStep::Loadout, None, _) => {
            let says = format!(
                "{} is asked of each loadout: say which with --loadout ({names})",
                step.name
            );
            Err(NotSigned::Asked(says))
        }
        (OfStep::Loadout, Some(name), all) => {
            let found = all.iter().find(|(_, known)| *known == name).map(|(id, _)| *id);
            found.map(Some).ok_or_else(|| {
                NotSigned::Asked(format!(
                    "no loadout of {spec} is called {name} (it has {names})"
                ))
            })
        }
    }
}

/// The record, in one line of the language.
fn written(
    opened: &Opened,
    step: &Step,
    loadout: Option<EntryId>,
    date: Date,
    wanted: &Signing,
) -> Result<String, NotSigned> {
    let of = match step.record {
        "done" => step.name.as_str(),
        _ => {
            loadout.and_then(|id| opened.facts.build.entry(id)).map_or("", |it| &it.name)
        }
    };
    if !wanted.by.starts_with(char::is_alphabetic) {
        let says = format!(
            "expected the name of whoever did it behind --by, found `{}`",
            wanted.by
        );
        return Err(NotSigned::Asked(says));
    }
    let mut line = format!("{} {of} {date} by {}", step.record, wanted.by);
    let given = wanted.readings.iter().map(String::as_str);
    let pieces: Vec<&str> =
        given.chain(wanted.note.as_deref()).chain([&*wanted.by]).collect();
    if pieces.iter().any(|text| text.contains(char::is_control)) {
        return Err(asked(
            "a reading or a note stands in one line, and has no line break",
        ));
    }
    for reading in &wanted.readings {
        line.push_str(&format!("; {}", reading.trim()));
    }
    if let Some(note) = &wanted.note {
        line.push_str(&format!("; note {}", quoted(note)));
    }
    let readings: Vec<&str> = wanted.readings.iter().map(String::as_str).collect();
    if readings.iter().any(|reading| reading.split_whitespace().any(|word| word == "?")) {
        return Err(asked(
            "a record says what somebody saw, and `?` says that nobody did: leave the reading out, or read it",
        ));
    }
    let lacks = step.says.iter().filter(|says| !is_said(says, &readings));
    let lacks: Vec<&String> = lacks.collect();
    if !lacks.is_empty() {
        let vocabulary = &opened.facts.build.vocabulary;
        let shown = |says: &&String| {
            let first = says.split(" or ").next().unwrap_or(says);
            let row = vocabulary.fact(step.record, first);
            let text = row.map_or(first, |row| row.example).replace('"', "\\\"");
            format!("--reading \"{text}\"")
        };
        let example: Vec<String> = lacks.iter().map(shown).collect();
        let lacks: Vec<String> = lacks
            .iter()
            .map(|says| format!("`{}`", says.replace(" or ", "` or `")))
            .collect();
        let says = format!(
            "{} must say {}: what was seen is written by whoever saw it, such as {}",
            step.name,
            lacks.join(" and "),
            example.join(" ")
        );
        return Err(NotSigned::Asked(says));
    }
    Ok(line)
}

/// The lines of a record, each of which names it.
fn lines(record: &str, step: &Step, grounds: &Grounds) -> (String, String) {
    let (head, facts) = record.split_once("; ").unwrap_or((record, ""));
    let seal = sealed(record, grounds);
    let name = Sha256::digest(format!("{record} {seal}"));
    let name: String = name.iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    let name = format!("r{name}");
    let signed = format!("signed {name} under {}", quoted(&step.pack));
    let facts = if facts.is_empty() { String::new() } else { format!("; {facts}") };
    let mut lines = format!("{head}; {signed}{facts}\n");
    for (fact, was) in grounds {
        let was =
            was.as_deref().map_or(String::new(), |was| format!(" was {}", quoted(was)));
        lines.push_str(&format!("rests {name} {}{was}\n", quoted(fact)));
    }
    lines.push_str(&format!("seal {name} {}\n", quoted(&seal)));
    (name, lines)
}

/// That the record reads as it was meant, and holds.
fn proved(
    host: &dyn Host,
    spec: &str,
    name: &str,
    step: &Step,
    signed: &Signed,
    settings: &Settings,
) -> Result<(), NotSigned> {
    let overlay = Overlay::new(host, &signed.path, signed.text.clone());
    let opened = open(&overlay, spec, settings).map_err(NotSigned::Spec)?;
    unread(&opened, &signed.path)?;
    let own = |(id, _): &(EntryId, _)| {
        opened.facts.signed(*id).is_ok_and(|own| own.as_deref() == Some(name))
    };
    let record = opened.facts.of_word(step.record).find(own).map(|(id, _)| id);
    match record.map(|id| opened.facts.proved(id)) {
        Some(Ok(Proved::Holds(_))) => Ok(()),
        Some(Ok(Proved::Unsealed(_, why))) => Err(NotSigned::Asked(format!(
            "the record would not read as it was meant: {why}; write each reading as a spec does, one fact in each"
        ))),
        Some(_) | None => Err(asked(
            "the record would not read as it was meant; write each reading as a spec does, one fact in each",
        )),
    }
}

/// A text of the language.
pub(crate) fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

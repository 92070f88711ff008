//! `like`: what an entry does not say itself, it takes from another.

use std::collections::BTreeSet;

use trimsheet_source::{Finding, Level, Sources, Span};

use super::names::Scope;
use crate::build::{Entry, Fact, Kind};
use crate::describe::any_of;
use crate::limit::Limited;
use crate::resolve::Document;

/// How many facts may be taken in all: a shelf of thousands, liked by thousands, must
/// not fill the memory.
const MOST: usize = 200_000;

/// Where an entry is on the way to having all its facts.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Progress {
    Waiting,
    Following,
    Done,
}

/// An entry that is like another, and where it says so.
#[derive(Clone, Copy)]
struct Step {
    entry: usize,
    base: usize,
    via: Span,
}

/// Gives every entry the facts of what it is like.
pub(super) fn follow_like(
    entries: &mut [Entry],
    documents: &[Document],
    texts: &Sources,
    findings: &mut Limited,
) {
    let scope = Scope::new(entries, documents, texts);
    let links: Vec<Option<Step>> =
        (0..entries.len()).map(|at| link(at, entries, &scope)).collect();
    for (entry, link) in entries.iter_mut().zip(&links) {
        // What is nobody's name is reported when names are bound.
        if entry.head.slot("like").is_some() && link.is_none() {
            entry.head.damaged = true;
        }
    }
    let mut progress = vec![Progress::Waiting; entries.len()];
    let mut taken = 0;
    for start in 0..entries.len() {
        for step in chain(start, &links, &mut progress, entries, findings) {
            if MOST < taken {
                lose(entries, step.entry);
                continue;
            }
            taken += inherit(entries, step);
            if MOST < taken {
                findings.push(too_much(step));
            }
        }
    }
}

fn link(at: usize, entries: &[Entry], scope: &Scope) -> Option<Step> {
    let entry = entries.get(at)?;
    let value = entry.head.slot("like")?;
    let Kind::Name(name) = &value.kind else { return None };
    let base = scope.find(name, value.span.file)?;
    let same = entries.get(base).is_some_and(|base| base.row.word == entry.row.word);
    same.then_some(Step { entry: at, base, via: value.span })
}

/// The steps that complete an entry, the innermost first.
fn chain(
    start: usize,
    links: &[Option<Step>],
    progress: &mut [Progress],
    entries: &mut [Entry],
    findings: &mut Limited,
) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut at = start;
    while let Some(state) = progress.get_mut(at) {
        match *state {
            Progress::Done => break,
            Progress::Following => {
                let from = steps.iter().position(|step| step.entry == at).unwrap_or(0);
                let round = steps.split_off(from);
                findings.extend(cycle(&round, entries));
                for step in round {
                    lose(entries, step.entry);
                }
                break;
            }
            Progress::Waiting => *state = Progress::Following,
        }
        let Some(step) = links.get(at).copied().flatten() else { break };
        steps.push(step);
        at = step.base;
    }
    let mut at = Some(start);
    while let Some(done) = at {
        at = links.get(done).copied().flatten().map(|step| step.base);
        match progress.get_mut(done) {
            Some(state) if *state == Progress::Following => *state = Progress::Done,
            Some(_) | None => break,
        }
    }
    steps.reverse();
    steps
}

/// Entries that are like each other all around: none of them has facts to give.
fn cycle(round: &[Step], entries: &[Entry]) -> Option<Finding> {
    let (first, others) = round.split_first()?;
    let title = entries.get(first.entry)?.title();
    let by_way = others.first().and_then(|step| entries.get(step.entry));
    let by_way = by_way.map_or(String::new(), |other| {
        let more = if others.len() < 2 { "" } else { " and more" };
        format!(", by way of {}{more}", other.title())
    });
    let says = format!("{title} is like itself{by_way}");
    let mut finding = Finding::new("read/like-itself", Level::Error, first.via, says)
        .advised("let one of them state its own facts");
    for step in others.iter().take(3) {
        finding = finding.because(step.via, "which is like this one");
    }
    Some(finding)
}

/// Notes that what an entry does not say itself is not known.
fn lose(entries: &mut [Entry], entry: usize) {
    if let Some(entry) = entries.get_mut(entry) {
        entry.head.damaged = true;
    }
}

/// Copies the facts that an entry does not state; the number of them.
fn inherit(entries: &mut [Entry], step: Step) -> usize {
    let Step { entry, base, via } = step;
    let Some(own) = entries.get(entry) else { return 0 };
    let own: BTreeSet<&str> = own.facts.iter().map(|fact| fact.row.word).collect();
    let Some(base) = entries.get(base) else { return 0 };
    let is_damaged = base.is_damaged();
    let facts = base.facts.iter().filter(|fact| !own.contains(&fact.row.word));
    let taken: Vec<Fact> = facts.map(|fact| by_way_of(fact.clone(), via)).collect();
    let count = taken.len();
    if let Some(entry) = entries.get_mut(entry) {
        entry.head.damaged |= is_damaged;
        entry.facts.extend(taken);
    }
    count
}

fn by_way_of(mut fact: Fact, via: Span) -> Fact {
    fact.via = Some(via);
    for (_, value) in &mut fact.values {
        value.via = Some(via);
    }
    fact
}

/// Said once, where the bound was met.
fn too_much(step: Step) -> Finding {
    let says = format!("{MOST} facts were taken by `like`; none is from here on");
    Finding::new("read/too-many", Level::Error, step.via, says)
        .advised("split the file, or state the facts where they are used")
}

/// Facts that only one kind of part has, said of another.
pub(super) fn check_kinds(entries: &[Entry], findings: &mut Limited) {
    let mut seen = BTreeSet::new();
    for entry in entries {
        let Some(kind) = entry.kind() else { continue };
        for fact in entry.facts.iter().filter(|fact| fact.via.is_none()) {
            let kinds = fact.row.kinds(entry.row.word);
            // Both halves of a pair have what is written once.
            let is_fit = kinds.is_empty() || kinds.contains(&kind);
            if is_fit || !seen.insert(fact.span) {
                continue;
            }
            let (word, of) = (fact.row.word, any_of(&kinds));
            let says =
                format!("`{word}` is said of {of}, and {} is of kind {kind}", entry.name);
            findings.push(
                Finding::new("read/fact-not-here", Level::Error, fact.span, says)
                    .advised("correct the kind, or leave the fact out"),
            );
        }
    }
}

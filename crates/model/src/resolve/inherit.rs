//! `like`: what an entry does not say itself, it takes from another.

use trimsheet_source::{Finding, Level, Span};

use super::names::Scope;
use crate::build::{Entry, Fact, Kind};
use crate::resolve::Document;

/// Where an entry is on the way to having all its facts.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Progress {
    Waiting,
    Following,
    Done,
}

/// Gives every entry the facts of what it is like.
pub(super) fn follow_like(
    entries: &mut [Entry],
    documents: &[Document],
    findings: &mut Vec<Finding>,
) {
    let scope = Scope::new(entries, documents);
    let links: Vec<Option<(usize, Span)>> =
        entries.iter().map(|entry| link(entry, entries, &scope)).collect();
    let mut progress = vec![Progress::Waiting; entries.len()];
    for start in 0..entries.len() {
        for (entry, from, via) in chain(start, &links, &mut progress, entries, findings) {
            inherit(entries, entry, from, via);
        }
    }
}

/// The entry that an entry is like, and where it says so.
///
/// A name that is nobody's is reported when names are bound.
fn link(entry: &Entry, entries: &[Entry], scope: &Scope) -> Option<(usize, Span)> {
    let value = entry.head.slot("like")?;
    let Kind::Name(name) = &value.kind else { return None };
    let found = scope.find(name, value.span.file)?;
    let same = entries.get(found).is_some_and(|base| base.row.word == entry.row.word);
    same.then_some((found, value.span))
}

/// The steps that complete an entry, the innermost first.
fn chain(
    start: usize,
    links: &[Option<(usize, Span)>],
    progress: &mut [Progress],
    entries: &[Entry],
    findings: &mut Vec<Finding>,
) -> Vec<(usize, usize, Span)> {
    let mut steps = Vec::new();
    let mut at = start;
    while let Some(state) = progress.get_mut(at) {
        match *state {
            Progress::Done => break,
            Progress::Following => {
                findings.extend(cycle(at, links, entries));
                steps.retain(|(entry, _, _)| *entry != at);
                break;
            }
            Progress::Waiting => *state = Progress::Following,
        }
        let Some((base, via)) = links.get(at).copied().flatten() else { break };
        steps.push((at, base, via));
        at = base;
    }
    for (entry, base, _) in &steps {
        for done in [*entry, *base] {
            progress.get_mut(done).into_iter().for_each(|state| *state = Progress::Done);
        }
    }
    progress.get_mut(start).into_iter().for_each(|state| *state = Progress::Done);
    steps.reverse();
    steps
}

fn cycle(
    at: usize,
    links: &[Option<(usize, Span)>],
    entries: &[Entry],
) -> Option<Finding> {
    let (_, via) = links.get(at).copied().flatten()?;
    let title = entries.get(at)?.title();
    let says = format!("{title} is like itself, by way of others");
    Some(
        Finding::new("read/like-itself", Level::Error, via, says)
            .advised("let one of them state its own facts"),
    )
}

fn inherit(entries: &mut [Entry], entry: usize, from: usize, via: Span) {
    let Some(base) = entries.get(from).map(|base| base.facts.clone()) else { return };
    let Some(entry) = entries.get_mut(entry) else { return };
    let own: Vec<&str> = entry.facts.iter().map(|fact| fact.row.word).collect();
    let taken = base.into_iter().filter(|fact| !own.contains(&fact.row.word));
    let taken: Vec<Fact> = taken.map(|fact| by_way_of(fact, via)).collect();
    entry.facts.extend(taken);
}

fn by_way_of(mut fact: Fact, via: Span) -> Fact {
    fact.via = Some(via);
    for (_, value) in &mut fact.values {
        value.via = Some(via);
    }
    fact
}

/// Facts that only one kind of part has, said of another.
pub(super) fn check_kinds(entries: &[Entry], findings: &mut Vec<Finding>) {
    for entry in entries.iter().filter(|entry| entry.half.is_none_or(is_left)) {
        let Some(kind) = entry.kind() else { continue };
        for fact in entry.facts.iter().filter(|fact| fact.via.is_none()) {
            let kinds = fact.row.kinds(entry.row.word);
            if kinds.is_empty() || kinds.contains(&kind) {
                continue;
            }
            let word = fact.row.word;
            let of = kinds.join(" or a ");
            let says =
                format!("`{word}` is said of a {of}, and {} is a {kind}", entry.name);
            findings.push(Finding::new(
                "read/fact-not-here",
                Level::Error,
                fact.span,
                says,
            ));
        }
    }
}

fn is_left(half: crate::build::Half) -> bool {
    half == crate::build::Half::Left
}

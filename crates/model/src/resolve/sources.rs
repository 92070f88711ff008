//! Where values come from: `assume` lines, instruments, and the spread of each source.

use std::collections::BTreeMap;

use trimsheet_quantity::{Dimension, Quantity};
use trimsheet_source::{FileId, Finding, Level, nearest};

use crate::build::{Entry, Kind, Source, Value};
use crate::spread;
use crate::vocabulary;

/// The sources and instruments that one file states for itself.
#[derive(Default)]
struct Stated {
    assumed: BTreeMap<String, Source>,
    /// Each instrument's steps, in SI units.
    instruments: BTreeMap<String, Vec<(Dimension, f64)>>,
}

/// Gives every value its source and its spread.
///
/// An `assume` covers only what its own file states, so each value is settled by the
/// file that it stands in, wherever it has been taken to.
pub(super) fn settle(entries: &mut [Entry], findings: &mut Vec<Finding>) {
    let stated = stated(entries, findings);
    for entry in entries.iter_mut() {
        if matches!(entry.row.word, "set" | "instrument" | "assume") {
            continue;
        }
        for fact in &mut entry.facts {
            let word = fact.row.word;
            for (slot, value) in &mut fact.values {
                let measured = fact.row.slots.iter().find(|one| one.name == *slot);
                if measured.is_some_and(|slot| slot.takes.is_measured()) {
                    settle_value(value, word, &stated, findings);
                }
            }
        }
    }
}

fn stated(entries: &[Entry], findings: &mut Vec<Finding>) -> BTreeMap<FileId, Stated> {
    let mut stated: BTreeMap<FileId, Stated> = BTreeMap::new();
    for entry in entries {
        let of_file = stated.entry(entry.span().file).or_default();
        match entry.row.word {
            "assume" => assume(entry, of_file, findings),
            "instrument" => {
                let steps = entry.all("resolution").filter_map(|fact| fact.first());
                let steps =
                    steps.filter_map(Value::quantity).map(|q| (q.dimension(), q.si()));
                of_file.instruments.insert(entry.name.clone(), steps.collect());
            }
            _ => {}
        }
    }
    stated
}

fn assume(entry: &Entry, stated: &mut Stated, findings: &mut Vec<Finding>) {
    let Some(value) = entry.head.slot("fact") else { return };
    let Kind::Name(word) = &value.kind else { return };
    let known = || vocabulary::table::ROWS.iter().filter(|row| !row.opens_entry());
    if !known().any(|row| row.word == word) {
        let says = format!("expected the word of a fact after `assume`, found `{word}`");
        let mut finding = Finding::new("read/expected", Level::Error, value.span, says);
        if let Some(near) = nearest(word, known().map(|row| row.word)) {
            finding = finding.advised(format!("if `{near}` was meant, write that"));
        }
        findings.push(finding);
        return;
    }
    match &value.source {
        Some(source) => {
            stated.assumed.insert(word.clone(), source.clone());
        }
        None => findings.push(Finding::new(
            "read/expected",
            Level::Error,
            entry.span(),
            format!(
                "expected a source in brackets after `assume {word}`, such as [weighed]"
            ),
        )),
    }
}

fn settle_value(
    value: &mut Value,
    word: &str,
    stated: &BTreeMap<FileId, Stated>,
    findings: &mut Vec<Finding>,
) {
    let here = stated.get(&value.span.file);
    if value.source.is_none() {
        value.source = here.and_then(|here| here.assumed.get(word)).cloned();
    }
    let instrument = value.source.as_ref().and_then(|source| source.on.as_deref());
    let steps =
        instrument.and_then(|name| here.and_then(|here| here.instruments.get(name)));
    if let (Some(name), None, Some(source)) = (instrument, steps, &value.source) {
        unknown_instrument(name, source, here, findings);
    }
    let source = value.source.as_ref().map(|source| source.word);
    let mut assumed = false;
    let mut widen = |quantity: &mut Quantity| {
        if quantity.spread_si().is_some() {
            return;
        }
        let of = quantity.dimension();
        let step =
            steps.and_then(|steps| steps.iter().find(|(dimension, _)| *dimension == of));
        let spread =
            spread::assumed(source, of, quantity.si(), step.map(|(_, step)| *step));
        if let Some(spread) = spread {
            *quantity = quantity.clone().with_spread_si(spread);
            assumed = true;
        }
    };
    match &mut value.kind {
        Kind::Quantity(quantity) | Kind::Load(quantity, _) => widen(quantity),
        Kind::Place(place) => {
            widen(&mut place.along);
            place.across.as_mut().into_iter().for_each(&mut widen);
            place.upward.as_mut().into_iter().for_each(&mut widen);
        }
        // The ends of a range are limits that somebody sets, and a size is a bound.
        Kind::Range(..)
        | Kind::Size(_)
        | Kind::Count(_)
        | Kind::Name(_)
        | Kind::Reference(..)
        | Kind::Rule(_)
        | Kind::Word(_)
        | Kind::Text(_)
        | Kind::Date(_)
        | Kind::Way(..)
        | Kind::Unknown(_) => {}
    }
    value.assumed = assumed;
}

/// Says once, at the source, that its instrument is nobody's.
fn unknown_instrument(
    name: &str,
    source: &Source,
    here: Option<&Stated>,
    findings: &mut Vec<Finding>,
) {
    let is_said = findings.iter().any(|finding| finding.primary.span == source.span);
    if is_said {
        return;
    }
    let says = format!("no instrument is called `{name}`");
    let mut finding = Finding::new("read/unknown-name", Level::Error, source.span, says);
    let known = here.into_iter().flat_map(|here| here.instruments.keys());
    finding = match nearest(name, known.map(String::as_str)) {
        Some(near) => finding.advised(format!("if `{near}` was meant, write that")),
        None => {
            finding.advised(format!("add a line `instrument {name}: resolution 1 g`"))
        }
    };
    findings.push(finding);
}

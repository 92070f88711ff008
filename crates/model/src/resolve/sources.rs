//! Where values come from: `assume` lines, instruments, and the spread of each source.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_quantity::{Dimension, Quantity};
use trimsheet_source::{Edit, FileId, Finding, Level, Safety, Sources, Span, nearest};

use crate::build::{Entry, Kind, Source, Value};
use crate::date::Date;
use crate::limit::Limited;
use crate::messages;
use crate::resolve::{Document, is_proof};
use crate::spread;
use crate::vocabulary::{self, Row, SOURCE};

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
/// file that it stands in, wherever it has been taken to. A dated record lends its date
/// to the sources of what it states.
pub(super) fn settle(
    entries: &mut [Entry],
    documents: &[Document],
    texts: &Sources,
    findings: &mut Limited,
) {
    let mut stated = stated(entries, findings);
    // A proof is read with the instruments of its spec.
    let files = documents.iter().map(|document| document.file);
    let spec = files.clone().next().and_then(|spec| stated.get(&spec));
    let instruments = spec.map(|spec| spec.instruments.clone()).unwrap_or_default();
    for proof in files.skip(1).filter(|file| is_proof(texts.path(*file))) {
        stated.entry(proof).or_default().instruments.clone_from(&instruments);
    }
    let mut settler = Settler { stated, findings, said: BTreeSet::new() };
    for entry in entries.iter_mut() {
        if matches!(entry.row.word, "set" | "instrument" | "assume") {
            continue;
        }
        let day = entry.head.slot("date").and_then(Value::date);
        for fact in &mut entry.facts {
            let word = fact.row.word;
            for (slot, value) in &mut fact.values {
                let measured = fact.row.slots.iter().find(|one| one.name == *slot);
                if measured.is_some_and(|slot| slot.takes.is_measured()) {
                    settler.source(value, word, day);
                    settler.spread(value);
                }
            }
        }
    }
}

fn stated(entries: &[Entry], findings: &mut Limited) -> BTreeMap<FileId, Stated> {
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

fn assume(entry: &Entry, stated: &mut Stated, findings: &mut Limited) {
    let Some(value) = entry.head.slot("fact") else { return };
    let Kind::Name(word) = &value.kind else { return };
    let is_fact = |row: &&Row| !row.opens_entry() && !row.within.contains(&SOURCE);
    let known = || vocabulary::rows().filter(is_fact).map(|row| row.word);
    if !known().any(|known| known == word) {
        let says = format!("expected the word of a fact after `assume`, found `{word}`");
        let finding = Finding::new("read/expected", Level::Error, value.span, says);
        findings.push(match nearest(word, known()) {
            Some(near) => messages::replaced(finding, value.span, near),
            None => finding.advised("write one such as mass, at or rib"),
        });
        return;
    }
    let Some(source) = &value.source else {
        if !entry.head.damaged {
            findings.push(no_source(word, value.span));
        }
        return;
    };
    match stated.assumed.get(word) {
        Some(earlier)
            if *earlier != Source { span: earlier.span, ..(**source).clone() } =>
        {
            let says = format!("`{word}` is assumed a second time, from another source");
            findings.push(
                Finding::new("read/name-twice", Level::Error, entry.span(), says)
                    .because(earlier.span, "the first is here, and counts")
                    .advised("keep one of them"),
            );
        }
        Some(_) => {}
        None => {
            stated.assumed.insert(word.clone(), (**source).clone());
        }
    }
}

fn no_source(word: &str, span: Span) -> Finding {
    let says = format!("expected a source in brackets after `assume {word}`, found none");
    let edit = Edit { span: span.after(), text: " [estimated]".into() };
    Finding::new("read/expected", Level::Error, span, says).remedied(
        "write where such values come from, at worst `[estimated]`",
        Safety::Offered,
        vec![edit],
    )
}

struct Settler<'a> {
    stated: BTreeMap<FileId, Stated>,
    findings: &'a mut Limited,
    /// Sources that have a finding already: one may cover many values.
    said: BTreeSet<Span>,
}

impl Settler<'_> {
    fn source(&mut self, value: &mut Value, word: &str, day: Option<Date>) {
        let here = self.stated.get(&value.span.file);
        if value.source.is_none() {
            let assumed = here.and_then(|here| here.assumed.get(word));
            value.source = assumed.cloned().map(Box::new);
        }
        let Some(source) = &mut value.source else { return };
        if value.via.is_none() {
            source.date = source.date.or(day);
        }
        let Some(name) = source.on.as_deref() else { return };
        let known = here.map(|here| &here.instruments);
        if known.is_some_and(|known| known.contains_key(name))
            || !self.said.insert(source.span)
        {
            return;
        }
        let says = format!("no instrument is called `{name}`");
        let finding = Finding::new("read/unknown-name", Level::Error, source.span, says);
        let most = if self.findings.is_full() { 0 } else { 500 };
        let known = known.into_iter().flat_map(BTreeMap::keys).take(most);
        self.findings.push(match nearest(name, known.map(String::as_str)) {
            Some(near) => finding.advised(format!("if `{near}` was meant, write that")),
            None => {
                finding.advised(format!("add a line `instrument {name}: resolution 1 g`"))
            }
        });
    }

    /// Gives a value that states no spread the one of its source.
    fn spread(&self, value: &mut Value) {
        let mut assumed = false;
        let about = SpreadOf::new(value, self.stated.get(&value.span.file));
        let mut widen = |quantity: &mut Quantity| {
            if quantity.spread_si().is_some() {
                return;
            }
            if let Some(spread) = about.spread(quantity) {
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
}

/// What decides the spread of a value.
struct SpreadOf {
    source: Option<&'static str>,
    /// The steps of its instrument, in SI units.
    steps: Vec<(Dimension, f64)>,
    /// Whether it was taken from another thing by `like`.
    is_copied: bool,
}

impl SpreadOf {
    fn new(value: &Value, here: Option<&Stated>) -> SpreadOf {
        let source = value.source.as_ref();
        let is_copied = value.via.is_some();
        let steps = source
            .and_then(|source| here?.instruments.get(source.on.as_deref()?))
            // The scale weighed the other one.
            .filter(|_| !is_copied);
        SpreadOf {
            source: source.map(|source| source.word),
            steps: steps.cloned().unwrap_or_default(),
            is_copied,
        }
    }

    fn spread(&self, quantity: &Quantity) -> Option<f64> {
        let (of, size) = (quantity.dimension(), quantity.si());
        let step = self.steps.iter().find(|(dimension, _)| *dimension == of);
        let own = spread::assumed(self.source, of, size, step.map(|(_, step)| *step))?;
        // What was true of another one is at best as good as a copy.
        let copied = spread::assumed(Some("copied"), of, size, None);
        Some(copied.filter(|_| self.is_copied).map_or(own, |copied| own.max(copied)))
    }
}

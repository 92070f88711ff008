//! A build without its places, so that two texts can be compared for what they say.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::{FileId, Finding, Sources};
use trimsheet_model::syntax::{Tree, parse};
use trimsheet_model::{Build, Document, Fact, Kind, Phase, Value, resolve};

/// What came of a text.
pub(crate) struct Read {
    pub(crate) build: Build,
    pub(crate) findings: Vec<Finding>,
    pub(crate) tree: Tree,
    sources: Sources,
}

/// Reads a text that includes nothing.
pub(crate) fn read(text: &str) -> Read {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let document = Document { file, tree: parse(file, text), shelves: Vec::new() };
    let (build, findings) = resolve(std::slice::from_ref(&document), &sources);
    Read { build, findings, tree: document.tree, sources }
}

impl Read {
    /// Each finding as its line, counted from 0, and what it says.
    pub(crate) fn said(&self) -> Vec<(usize, String)> {
        let said = self.findings.iter().map(|finding| {
            let line = self.sources.place(finding.primary.span).line - 1;
            (line, format!("{}: {}", finding.rule, finding.headline))
        });
        let mut said: Vec<(usize, String)> = said.collect();
        said.sort();
        said
    }

    pub(crate) fn text(&self) -> &str {
        &self.sources.file(FileId(0)).unwrap().text
    }
}

/// What a build says: words in one list, numbers in SI units in another.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Portrait {
    pub(crate) words: Vec<String>,
    pub(crate) numbers: Vec<f64>,
}

/// Draws a build.
pub(crate) fn portrait(build: &Build) -> Portrait {
    let mut portrait = Portrait::default();
    for entry in &build.entries {
        portrait.words.push(format!("{} {}", entry.row.word, entry.name));
        portrait.words.push(format!("damaged {}", entry.is_damaged()));
        for fact in std::iter::once(&entry.head).chain(&entry.facts) {
            portrait.fact(fact);
        }
        for (first, again) in &entry.repeats {
            portrait.words.push(format!("again {first}"));
            portrait.fact(again);
        }
    }
    portrait
}

impl Portrait {
    fn fact(&mut self, fact: &Fact) {
        let (word, damaged) = (fact.row.word, fact.damaged);
        self.words.push(format!("{word} {damaged} {}", fact.via.is_some()));
        for (slot, value) in &fact.values {
            self.value(slot, value);
        }
    }

    fn value(&mut self, slot: &str, value: &Value) {
        let source = value.source.as_ref();
        let source = source.map(|source| (source.word, source.date, source.on.clone()));
        self.words.push(format!("{slot} {source:?} {} {}", value.about, value.assumed));
        match &value.kind {
            Kind::Quantity(quantity) => self.quantity(quantity),
            Kind::Range(low, high) => {
                self.quantity(low);
                self.quantity(high);
            }
            Kind::Place(place) => {
                self.quantity(&place.along);
                place
                    .across
                    .iter()
                    .chain(&place.upward)
                    .for_each(|one| self.quantity(one));
            }
            Kind::Size(sizes) => sizes.iter().for_each(|one| self.quantity(one)),
            Kind::Load(current, phase) => {
                self.quantity(current);
                if let Phase::For(time) = &**phase {
                    self.quantity(time);
                } else {
                    self.words.push(format!("{phase:?}"));
                }
            }
            Kind::Count(_)
            | Kind::Name(_)
            | Kind::Reference(..)
            | Kind::Rule(_)
            | Kind::Word(_)
            | Kind::Text(_)
            | Kind::Date(_)
            | Kind::Way(..)
            | Kind::Unknown(_) => self.words.push(format!("{:?}", value.kind)),
        }
    }

    fn quantity(&mut self, quantity: &Quantity) {
        self.words.push(format!("{:?} {:?}", quantity.dimension(), quantity.axis()));
        self.numbers.push(quantity.si());
        self.numbers.push(quantity.spread_si().unwrap_or(-1.0));
    }
}

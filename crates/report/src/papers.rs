//! Papers that go along: a label for the hatch, a packing list, and a bill of materials.
//!
//! A [`Paper`] is plain data, made from facts: [`label()`] says what has to be looked up
//! with the hatch open, [`packing()`] what goes to the field. [`text()`] writes either in
//! a terminal, [`html()`] to print. A [`bill`] is a table, and has forms of its own.
//! Nothing is said that the spec does not say, but for what everybody takes along.

pub mod bill;
mod html;
mod label;
mod packing;

pub use self::html::html;
pub use self::label::label;
pub use self::packing::packing;

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Date, Entry, EntryId};
use trimsheet_facts::{Facts, Known, What};

use crate::make::{Heading, heading};
use crate::page::Page;

/// A paper of short lines under headings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// What it is.
    pub kind: Kind,
    /// The aircraft and its revision.
    pub model: String,
    /// The spec, as its path is shown, and the day of printing if somebody says it.
    pub made: String,
    /// What it says, in order.
    pub sections: Vec<Section>,
}

/// What a paper is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A strip of A7 that is glued inside a hatch.
    Label,
    /// A list to tick off, on A5.
    Packing,
}

/// Lines under a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// Each line: what it is about, which may be empty, and what it says.
    pub lines: Vec<(String, String)>,
}

impl Paper {
    fn new(
        kind: Kind,
        facts: &Facts,
        sources: &Sources,
        printed: Option<Date>,
        sections: Vec<Section>,
    ) -> Paper {
        let (model, made) = above(facts, sources, printed);
        let sections = sections.into_iter().filter(|one| !one.lines.is_empty()).collect();
        Paper { kind, model, made, sections }
    }

    /// What it is called.
    pub fn title(&self) -> &'static str {
        match self.kind {
            Kind::Label => "Hatch label",
            Kind::Packing => "Packing list",
        }
    }
}

/// The aircraft with its revision, and the spec with the day.
fn above(facts: &Facts, sources: &Sources, printed: Option<Date>) -> (String, String) {
    let Heading { title, file, revision, stage: _ } = heading(facts, sources);
    // Where it lies on the machine that printed it says nothing to whoever opens a hatch.
    let name = file.rsplit('/').next().unwrap_or(&file);
    let title =
        if title.is_empty() { "aircraft without a name".to_owned() } else { title };
    let revision = revision.map(|says| format!(", revision {says}"));
    let printed = printed.map(|day| format!(", printed {day}"));
    (
        format!("{title}{}", revision.unwrap_or_default()),
        format!("{name}{}", printed.unwrap_or_default()),
    )
}

/// Writes a paper within so many columns; fewer than 60 are taken as 60, more than 100 as
/// 100.
pub fn text(paper: &Paper, columns: usize) -> String {
    let mut page = Page::new(columns);
    page.say(&format!("{}: {}", paper.model, paper.title().to_lowercase()));
    page.say(&paper.made);
    for section in &paper.sections {
        page.rule(&section.title);
        for (about, says) in &section.lines {
            match (paper.kind, about.as_str()) {
                (Kind::Packing, "") => page.entry("[ ]", says),
                (Kind::Packing, about) => page.entry("[ ]", &format!("{about}: {says}")),
                (Kind::Label, "") => page.say(says),
                (Kind::Label, about) => page.say(&format!("{about}: {says}")),
            }
        }
    }
    page.gap();
    page.say(FOOT);
    page.out
}

/// What stands on every paper.
const FOOT: &str = "What the spec says, no release to fly: follow your local rules.";

/// The things that an entry lists under a name, each as the builder would write it.
fn list(facts: &Facts, of: EntryId, name: &str) -> Vec<Known> {
    match facts.of(&facts.known_entry(of), name).map(|known| known.what) {
        Ok(What::List(list)) => list.to_vec(),
        Ok(_) | Err(_) => Vec::new(),
    }
}

/// The words of a fact of an entry, each time it is said.
fn texts<'a>(entry: &'a Entry, fact: &'a str) -> impl Iterator<Item = &'a str> {
    let values = entry.all(fact).flat_map(|fact| &fact.values);
    values.filter_map(|(_, value)| value.text())
}

/// What is asked of something, in words; `?` where that is not known.
fn asked(facts: &Facts, of: &Known, name: &str) -> Option<String> {
    match facts.has(of, name) {
        Ok(false) => None,
        Ok(true) | Err(_) => {
            Some(facts.of(of, name).map_or("?".to_owned(), |known| known.to_string()))
        }
    }
}

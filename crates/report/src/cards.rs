//! The cards: what a person does with the model, step by step, and how far that is.
//!
//! A [`Cards`] is plain data: the lines of each step come from its script, the state from
//! the records of the spec. [`text()`] writes them for a terminal, [`html()`] as pages of
//! A5 to print, each with boxes to tick and lines to fill in. Nothing that stands for a
//! physical act is filled in here: a card is a reminder, and no proof.

mod html;
mod layout;
mod text;

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Date, EntryId, Value};
use trimsheet_facts::{Card as Word, Done, Drawn, Facts, Proved};

pub use self::html::html;
pub(crate) use self::html::{document, said};
pub(crate) use self::layout::rows;
pub use self::text::text;
use crate::make::{Heading, heading};

/// The cards of an aircraft, in the order of a build.
#[derive(Clone, Debug, PartialEq)]
pub struct Cards {
    /// What people call the aircraft.
    pub title: String,
    /// The spec, as its path is shown.
    pub file: String,
    /// Which state of the design it is: `B 2026-10-11`, if the spec says it.
    pub revision: Option<String>,
    /// The day on which they are made, if somebody says it.
    pub printed: Option<String>,
    /// The packs that ask for the steps, each with its issue.
    pub packs: Vec<String>,
    /// Each card that has a step.
    pub cards: Vec<Card>,
}

/// One card.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Which one.
    pub word: Word,
    /// Its steps, in the order in which a person does them.
    pub steps: Vec<Step>,
}

/// A step as it stands on its card.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it goes by: `failsafe`.
    pub name: String,
    /// What is done; behind it the loadout, if it is one of several.
    pub title: String,
    /// The loadout, where it is asked of each of several.
    pub loadout: Option<String>,
    /// The stage that is not reached without it, as in `, before installed`; empty where it
    /// is signed only when it happened.
    pub asked: String,
    /// What can hurt.
    pub caution: Option<String>,
    /// What its script says.
    pub lines: Vec<Line>,
    /// Why it says no more, where something is not known.
    pub silent: Option<String>,
    /// What its record must say besides who and when: `propeller ____`.
    pub says: Vec<String>,
    /// How far it is.
    pub state: State,
}

/// A line of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Line {
    /// Something to do and to tick; `____` in it is filled in by hand.
    Tick(String),
    /// Something that can hurt.
    Caution(String),
}

/// How far a step is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// Nobody says that it was done.
    Open,
    /// A record says so that nobody signed.
    Unsigned(Record),
    /// A signed record is not as it was signed, and why.
    Unsealed(Record, String),
    /// What a signed record rested on has changed.
    Reopened(Record, Vec<Change>),
    /// A signed record says so, and why that is over.
    Lapsed(Record, String),
    /// A signed record holds.
    Proved(Record),
}

/// Who did it, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The day.
    pub date: String,
    /// Who, if the record says it.
    pub by: Option<String>,
}

/// A fact that is no longer as it was when a record was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The fact: `surface elevons: reflex`.
    pub fact: String,
    /// What the spec said then.
    pub was: Option<String>,
    /// What it says now.
    pub now: Option<String>,
}

impl Cards {
    /// Makes the cards of an aircraft, made on a day.
    pub fn new(
        facts: &Facts,
        sources: &Sources,
        drawn: &[Drawn<'_>],
        printed: Option<Date>,
    ) -> Cards {
        let Heading { title, file, revision, stage: _ } = heading(facts, sources);
        let mut packs: Vec<String> = Vec::new();
        for one in drawn {
            let pack = &one.done.step.pack;
            if !packs.contains(pack) {
                packs.push(pack.clone());
            }
        }
        let card = |word: Word| {
            let own = drawn.iter().filter(|one| one.done.step.card == word);
            let steps: Vec<Step> = own.map(|one| step(facts, one)).collect();
            (!steps.is_empty()).then_some(Card { word, steps })
        };
        let cards = Word::ALL.into_iter().filter_map(card).collect();
        let printed = printed.map(|day| day.to_string());
        Cards { title, file, revision, printed, packs, cards }
    }

    /// The same with one card only.
    #[must_use]
    pub fn only(mut self, word: Word) -> Cards {
        self.cards.retain(|card| card.word == word);
        self
    }

    /// The same with only what no signed record proves.
    #[must_use]
    pub fn open(mut self) -> Cards {
        for card in &mut self.cards {
            card.steps.retain(|step| !matches!(step.state, State::Proved(_)));
        }
        self.cards.retain(|card| !card.steps.is_empty());
        self
    }

    /// What stands above them: the aircraft and its revision.
    fn head(&self) -> String {
        let title = match self.title.as_str() {
            "" => "aircraft without a name",
            title => title,
        };
        let revision = self.revision.as_ref().map(|says| format!(", revision {says}"));
        format!("{title}{}", revision.unwrap_or_default())
    }

    /// Under which packs they were made, and when.
    fn made(&self) -> String {
        let packs = format!("steps of {}", self.packs.join(", "));
        let printed = self.printed.as_ref().map(|day| format!(", printed {day}"));
        format!("{packs}{}", printed.unwrap_or_default())
    }
}

fn step(facts: &Facts, drawn: &Drawn<'_>) -> Step {
    let done = &drawn.done;
    let line = |line: &String| match line.strip_prefix('!') {
        Some(caution) => Line::Caution(caution.trim().to_owned()),
        None => Line::Tick(line.clone()),
    };
    let is_one = facts.of_word("loadout").count() <= 1;
    let loadout = done.loadout.filter(|_| !is_one).and_then(|id| facts.build.entry(id));
    let says = |words: &String| {
        let word = words.split(" or ").next().unwrap_or(words);
        // What must stand there stands there: whoever saw another thing signs nothing.
        if word.contains(' ') {
            return word.to_owned();
        }
        let row = facts.build.vocabulary.fact(done.step.record, word);
        let is_bare = row.is_some_and(|row| row.slots.is_empty());
        if is_bare { word.to_owned() } else { format!("{word} ____") }
    };
    Step {
        name: done.step.name.clone(),
        title: drawn.title.clone(),
        loadout: loadout.map(|loadout| loadout.name.clone()),
        asked: done
            .step
            .before
            .map_or(String::new(), |stage| format!(", before {stage}")),
        caution: done.step.caution.clone(),
        lines: drawn.lines.iter().map(line).collect(),
        silent: drawn.silent.clone(),
        says: done.step.says.iter().map(says).collect(),
        state: state(facts, done),
    }
}

fn state(facts: &Facts, done: &Done<'_>) -> State {
    let record = |id: &EntryId| {
        let head = facts.build.entry(*id).map(|entry| &entry.head);
        let by = head.and_then(|head| head.slot("by")).and_then(Value::text);
        Record {
            date: done.date.map_or(String::new(), |date| date.to_string()),
            by: by.map(str::to_owned),
        }
    };
    match &done.proved {
        Proved::Open => State::Open,
        Proved::Unsigned(id) => State::Unsigned(record(id)),
        Proved::Unsealed(id, why) => State::Unsealed(record(id), (*why).to_owned()),
        Proved::Reopened(id, changes) => {
            let change = |one: &trimsheet_facts::Change| Change {
                fact: one.fact.clone(),
                was: one.was.clone(),
                now: one.now.clone(),
            };
            State::Reopened(record(id), changes.iter().map(change).collect())
        }
        Proved::Lapsed(id, why) => State::Lapsed(record(id), why.clone()),
        Proved::Holds(id) => State::Proved(record(id)),
    }
}

impl Step {
    /// What its record says, to be filled in by whoever saw it.
    fn record(&self) -> String {
        let says: String = self.says.iter().map(|says| format!("{says}, ")).collect();
        format!("{says}seen by ____ on ____")
    }
}

impl Record {
    /// `2026-10-18 by RT`
    fn says(&self) -> String {
        let by = self.by.as_ref().map(|by| format!(" by {by}"));
        format!("{}{}", self.date, by.unwrap_or_default())
    }
}

impl State {
    /// How far it is, in sentences: the first one, and why; of what is open, none.
    fn says(&self) -> Vec<String> {
        match self {
            State::Open => Vec::new(),
            State::Unsigned(record) => {
                vec![format!("open: recorded {}, but nobody signed it", record.says())]
            }
            State::Unsealed(record, why) => {
                vec![format!("open: signed {}, but {why}", record.says())]
            }
            State::Reopened(record, changes) => {
                let first =
                    format!("open again: signed {}, and since then", record.says());
                std::iter::once(first).chain(changes.iter().map(Change::says)).collect()
            }
            State::Lapsed(record, why) => {
                vec![format!("open again: signed {}, and {why}", record.says())]
            }
            State::Proved(record) => vec![format!("done {}", record.says())],
        }
    }
}

impl Change {
    fn says(&self) -> String {
        let said = |text: &Option<String>| match text {
            Some(text) => format!("\"{text}\""),
            None => "not said".to_owned(),
        };
        format!("{} was {}, now {}", self.fact, said(&self.was), said(&self.now))
    }
}

/// What stands for a line to fill in.
const FILL: &str = "____";

/// What stands on every card.
const FOOT: &str = "A card is a reminder, no release to fly: inspect the aircraft, and follow your local rules.";

/// The title of a card.
fn title(word: Word) -> &'static str {
    match word {
        Word::Build => "Build: before the glue",
        Word::Bench => "Bench: first power and set-up",
        Word::Home => "Home: before leaving for the field",
        Word::Field => "Field: before flying",
        Word::FirstFlight => "First flight",
        Word::After => "After landing",
    }
}

//! Rhai as the language of rules.
//!
//! A script sees one kind of value, `value::Value`, whose operators refuse to add or
//! compare unlike things, and which knows its line. It can touch nothing else: no file,
//! no network, no clock, no chance, no printing. Its operations, its depth and its memory
//! are bounded, so that a rule cannot hang and cannot hurt, and what a bound ends is one
//! finding that points into the script.
//!
//! [`load`] reads the constants of each script and looks for its mistakes, without
//! running it. [`Machine::call`] runs one rule for one thing, and [`Machine::trace`] says
//! what it read on the way. [`reference::page`] is the published reference of all that.

mod bounds;
mod constants;
mod draft;
mod faults;
mod functions;
mod loading;
mod look;
mod messages;
mod operators;
mod program;
pub mod reference;
mod sandbox;
pub mod scaffold;
mod steps;
mod trace;
mod value;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use rhai::{Engine, EvalAltResult, FuncArgs};
use trimsheet_rules::facts::{Facts, Known, Reads, Step, What};
use trimsheet_rules::source::{FileId, RuleId, Sources, Span};
use trimsheet_rules::{Ended, Fault, Outcome, Rule, Settings};

pub use functions::{DOCUMENTED, Documented, LANGUAGE};
pub use loading::{Gathered, Loaded, gather, load};
pub use operators::OPERATORS;
pub use trace::Read;
pub use trimsheet_rules as rules;

use crate::draft::Draft;
use crate::program::{Runner, Script};
use crate::trace::Log;
use crate::value::{Table, Value};

/// The rules of some packs, ready to run on one thread.
pub struct Scripts {
    engine: Engine,
    scripts: BTreeMap<RuleId, Script>,
    drafts: Rc<RefCell<Vec<Draft>>>,
}

/// A script, with what it says.
struct Found<'a> {
    script: &'a Script,
    text: &'a str,
}

impl Scripts {
    /// The script of this name, or how its call ends where there is none.
    fn found<'a>(
        &'a self,
        id: &RuleId,
        sources: &'a Sources,
    ) -> Result<Found<'a>, Ended> {
        let script = self.scripts.get(id).ok_or_else(Ended::default)?;
        let text = sources.file(script.file).map_or("", |file| &*file.text);
        Ok(Found { script, text })
    }

    /// What runs them, one call after the other.
    pub fn machine(&self) -> Machine<'_> {
        Machine { scripts: self, shipped: Runner::new(&self.engine) }
    }
}

/// What runs scripts, one call after the other: with what one has looked up, the next is
/// sooner done.
pub struct Machine<'a> {
    scripts: &'a Scripts,
    shipped: Runner<'a>,
}

impl Machine<'_> {
    /// Runs one rule for one thing.
    pub fn call(
        &mut self,
        rule: &Rule,
        about: &Known,
        facts: &Rc<Facts>,
        settings: &Settings,
        sources: &Sources,
    ) -> Outcome {
        self.run(rule, about, facts, settings, sources, None)
    }

    /// Runs one rule for one thing, and says what it read, in order, each once.
    pub fn trace(
        &mut self,
        rule: &Rule,
        about: &Known,
        facts: &Rc<Facts>,
        settings: &Settings,
        sources: &Sources,
    ) -> (Outcome, Vec<Read>) {
        let log = Log::default();
        let outcome = self.run(rule, about, facts, settings, sources, Some(&log));
        (outcome, log.take())
    }

    /// Calls a function of a script; what an earlier call drafted is forgotten.
    fn call_fn<T: Clone + 'static>(
        &mut self,
        found: &Found<'_>,
        name: &str,
        given: impl FuncArgs + Clone,
    ) -> Result<T, Box<EvalAltResult>> {
        // The machine counts the operations of all its calls: one that goes over the bound
        // may have had no more than the rest of it, and gets all on a new one.
        for shipped in [found.script.shipped; 2].into_iter().flatten() {
            self.scripts.drafts.borrow_mut().clear();
            if let Some(called) = self.shipped.call(shipped, name, given.clone()) {
                return called;
            }
        }
        self.scripts.drafts.borrow_mut().clear();
        found.script.call(&self.scripts.engine, found.text, name, given)
    }

    fn run(
        &mut self,
        rule: &Rule,
        about: &Known,
        facts: &Rc<Facts>,
        settings: &Settings,
        sources: &Sources,
        log: Option<&Log>,
    ) -> Outcome {
        let found = match self.scripts.found(&rule.id, sources) {
            Ok(found) => found,
            Err(ended) => return Outcome { ended, ..Outcome::default() },
        };
        let (file, text) = (found.script.file, found.text);
        let is_build = matches!(about.what, What::Build);
        let other = if is_build { "build" } else { "value" };
        let word = facts.word(about).unwrap_or(other);
        let asked = |name: &str| log.map(|log| log.asked(name));
        let subject = Value::new(facts, about.clone()).asked_as(asked(word));
        let build = Value::new(facts, facts.whole()).asked_as(asked("build"));
        let set = Table::new(facts, rule, settings).asked_as(asked("set"));
        let given = (subject, build, set);
        let (result, reads) =
            facts.watch(|| self.call_fn::<rhai::Dynamic>(&found, "check", given));
        let drafts: Vec<trimsheet_rules::Draft> = self
            .scripts
            .drafts
            .borrow_mut()
            .drain(..)
            .map(|draft| draft.take())
            .collect();
        let unclean = messages::in_drafts(&drafts, file, sources);
        let ended = match (result, unclean) {
            (_, Some(says)) => {
                let span = first_line(file, text);
                Ended::Fault(Fault { rule: "rules/message-unclean", says, span })
            }
            (Ok(_), None) => Ended::Said,
            (Err(error), None) => faults::ended(&error, file, text),
        };
        Outcome { drafts, ended, reads }
    }
}

/// What the card of a step says, and what it was drawn from.
#[derive(Debug, Default)]
pub struct OnCard {
    /// The lines: `____` is a box to fill in, and `!` begins a caution.
    pub lines: Vec<String>,
    /// How the script ended.
    pub ended: Ended,
    /// The facts that it read.
    pub reads: Reads,
}

impl Scripts {
    /// Draws the card of a step for the aircraft or for one loadout.
    pub fn card(
        &self,
        step: &Step,
        about: &Known,
        facts: &Rc<Facts>,
        sources: &Sources,
    ) -> OnCard {
        let id = RuleId::new(format!("steps/{}", step.name));
        let found = match self.found(&id, sources) {
            Ok(found) => found,
            Err(ended) => return OnCard { ended, ..OnCard::default() },
        };
        let subject = Value::new(facts, about.clone());
        let build = Value::new(facts, facts.whole());
        let (result, reads) = facts.watch(|| {
            self.machine().call_fn::<rhai::Array>(&found, "card", (subject, build))
        });
        self.drafts.borrow_mut().clear();
        match result {
            Ok(lines) => {
                let lines = lines.into_iter().map(|line| line.to_string()).collect();
                OnCard { lines, ended: Ended::Said, reads }
            }
            Err(error) => {
                let ended = faults::ended(&error, found.script.file, found.text);
                OnCard { lines: Vec::new(), ended, reads }
            }
        }
    }
}

/// The stretch that stands for a whole script: its first line.
fn first_line(file: FileId, text: &str) -> Span {
    Span { file, start: 0, end: text.lines().next().map_or(0, str::len) }
}

//! What a rule read while it ran: asked for by somebody who wants to know why.
//!
//! A value that nobody asked to trace carries nothing, so that a check costs what it did.

use std::cell::RefCell;
use std::rc::Rc;

use trimsheet_rules::facts::{Facts, Known, NotKnown, What};
use trimsheet_rules::source::Span;

/// One thing that a rule asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// What was asked, as in `loadout.balance.x`.
    pub asked: String,
    /// What came: a number with its unit and its spread, or why it is not known.
    pub came: String,
    /// Where it stands, if it stands in a file.
    pub span: Option<Span>,
}

/// Where what is read is written down.
#[derive(Clone, Default)]
pub(crate) struct Log(Rc<RefCell<Vec<Read>>>);

/// A value whose reads are written down, by how it was come by.
#[derive(Clone)]
pub(crate) struct Asked {
    log: Log,
    path: Rc<str>,
}

impl Log {
    /// Something that a script begins with.
    pub(crate) fn asked(&self, name: &str) -> Asked {
        Asked { log: self.clone(), path: Rc::from(name) }
    }

    /// What was read, in order, each once.
    pub(crate) fn take(&self) -> Vec<Read> {
        self.0.take()
    }
}

impl Asked {
    /// The same for what this has by a name: `.x`, `[0]`, `.has("band")`.
    pub(crate) fn then(&self, step: &str) -> Asked {
        Asked { log: self.log.clone(), path: Rc::from(format!("{}{step}", self.path)) }
    }

    /// Writes down what came.
    pub(crate) fn came(&self, came: String, span: Option<Span>) {
        let read = Read { asked: self.path.to_string(), came, span };
        let mut log = self.log.0.borrow_mut();
        if !log.contains(&read) {
            log.push(read);
        }
    }

    /// Writes down an answer of the facts.
    pub(crate) fn answered(&self, facts: &Facts, answer: &Result<Known, NotKnown>) {
        match answer {
            Ok(known) => self.came(text(facts, known), known.span),
            Err(why) => self.came(why.says.clone(), why.span),
        }
    }
}

/// What something is, in a line.
fn text(facts: &Facts, known: &Known) -> String {
    match &known.what {
        What::Quantity(quantity) => quantity.with_spread(),
        What::Entry(id) => {
            let entry = facts.build.entry(*id);
            entry.map_or_else(String::new, trimsheet_rules::facts::model::Entry::title)
        }
        What::List(list) => match list.len() {
            1 => "1 of them".to_owned(),
            count => format!("{count} of them"),
        },
        What::Record(fields) => {
            let names: Vec<&str> = fields.iter().map(|(name, _)| *name).collect();
            names.join(", ")
        }
        What::Unknown(_) => "not known".to_owned(),
        What::Build
        | What::Range(..)
        | What::Place(_)
        | What::Size(_)
        | What::Words(_)
        | What::Date(_)
        | What::Count(_)
        | What::Flag(_) => known.to_string(),
    }
}

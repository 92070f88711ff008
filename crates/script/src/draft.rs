//! A finding as a script makes it, a piece at a time.

use std::cell::RefCell;
use std::rc::Rc;

use trimsheet_rules::source::{Edit, Level, Remedy, Safety};

use crate::value::{Given, Value, fault};

/// A finding that is being made.
#[derive(Clone)]
pub(crate) struct Draft(Rc<RefCell<trimsheet_rules::Draft>>);

impl Draft {
    pub(crate) fn new(at: &Value, headline: &str) -> Draft {
        let draft = trimsheet_rules::Draft {
            headline: headline.to_owned(),
            places: at.known.labels(""),
            ..trimsheet_rules::Draft::default()
        };
        Draft(Rc::new(RefCell::new(draft)))
    }

    /// What has been made of it.
    pub(crate) fn take(&self) -> trimsheet_rules::Draft {
        self.0.take()
    }

    pub(crate) fn label(&mut self, text: &str) -> Draft {
        if let Some(first) = self.0.borrow_mut().places.first_mut() {
            text.clone_into(&mut first.text);
        }
        self.clone()
    }

    pub(crate) fn because(&mut self, value: &Value, text: &str) -> Draft {
        self.0.borrow_mut().because.extend(value.known.labels(text));
        self.clone()
    }

    /// A number for readers that are programs, at the place of the finding.
    pub(crate) fn number(&mut self, value: &Value) -> Draft {
        if let Some(first) = self.0.borrow_mut().places.first_mut() {
            first.value = value.known.measured();
        }
        self.clone()
    }

    pub(crate) fn advise(&mut self, says: &str) -> Draft {
        let (says, edits) = (says.to_owned(), Vec::new());
        self.0.borrow_mut().remedies.push(Remedy {
            says,
            edits,
            safety: Safety::Offered,
        });
        self.clone()
    }

    /// Advice that can be written into the spec, behind a value or as a fact of an entry.
    ///
    /// Nothing that stands there is changed, so no number that somebody measured is.
    pub(crate) fn advise_writing(
        &mut self,
        says: &str,
        at: &Value,
        words: &str,
    ) -> Given<Draft> {
        let edit = match (at.known.entry(), at.known.via, at.known.span) {
            (Some(entry), ..) => at.facts()?.appended(entry, words),
            (None, None, Some(span)) => {
                Some(Edit { span: span.after(), text: format!(" {words}") })
            }
            (None, ..) => None,
        };
        Ok(self.offer(says, edit))
    }

    /// Advice that can be written into the spec as a plan, in place of a value that nobody
    /// has measured.
    pub(crate) fn replan(&mut self, says: &str, at: &Value, words: &str) -> Given<Draft> {
        let edit = at.facts()?.planned(&at.known, words);
        Ok(self.offer(says, edit))
    }

    fn offer(&mut self, says: &str, edit: Option<Edit>) -> Draft {
        let edits = edit.into_iter().collect();
        let remedy = Remedy { says: says.to_owned(), edits, safety: Safety::Offered };
        self.0.borrow_mut().remedies.push(remedy);
        self.clone()
    }

    pub(crate) fn remedies(&mut self, remedies: rhai::Array) -> Given<Draft> {
        for remedy in remedies {
            let remedy = remedy.try_cast::<Offer>().ok_or_else(|| {
                fault("a list of remedies was expected, such as loadout.ways_into(band) gives")
            })?;
            self.0.borrow_mut().remedies.push((*remedy.0).clone());
        }
        Ok(self.clone())
    }

    pub(crate) fn likely(&mut self, says: &str) -> Draft {
        self.0.borrow_mut().likely = Some(says.to_owned());
        self.clone()
    }

    pub(crate) fn at_most(&mut self, level: &str) -> Given<Draft> {
        let words = || Level::ALL.map(Level::word).join(", ");
        let most = Level::from_word(level).ok_or_else(|| {
            fault(format!("expected one of {}, found `{level}`", words()))
        })?;
        self.0.borrow_mut().at_most = Some(most);
        Ok(self.clone())
    }
}

/// A remedy that the engine worked out.
#[derive(Clone)]
pub(crate) struct Offer(pub(crate) Rc<Remedy>);

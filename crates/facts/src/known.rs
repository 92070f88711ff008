//! A value as a rule reads it: what it is, what it is called, where it stands.
//!
//! There is one way for a value to reach a rule, and this is its shape. A value that is
//! not known is a [`NotKnown`], never a number: it ends the computation that asked.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::source::{Label, Measured, Span};
use trimsheet_model::{Date, EntryId, Place, Unknown};

/// Something that is known, with its name and its place.
#[derive(Clone, Debug)]
pub struct Known {
    /// What it is.
    pub what: What,
    /// What it is called, as in `motor.mass`.
    pub name: String,
    /// Where it stands, or where what it was worked out for stands.
    pub span: Option<Span>,
    /// The `like` through which it came from another file.
    pub via: Option<Span>,
    /// Where the value comes from, if that is said; a computed value has no source.
    pub source: Option<&'static str>,
    /// Of a rule's parameter that somebody has set: who, and what it was.
    pub owner: Option<String>,
    /// What the builder's line says beside the value itself.
    pub(crate) beside: Option<Beside>,
}

/// The fact that a value stands in, for its other slots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Beside {
    pub(crate) entry: EntryId,
    pub(crate) fact: usize,
    /// Which of the values of the fact this is.
    pub(crate) value: usize,
}

/// What a known thing is.
#[derive(Clone, Debug)]
pub enum What {
    /// The whole aircraft.
    Build,
    /// A wing, a part, a loadout.
    Entry(EntryId),
    /// `92 g`
    Quantity(Quantity),
    /// `142..158 mm aft`
    Range(Quantity, Box<Quantity>),
    /// `85 mm ahead 30 mm left`
    Place(Box<Place>),
    /// `128 x 42 x 30 mm`
    Size(Vec<Quantity>),
    /// A word, a name or a text.
    Words(String),
    /// `2026-03-14`
    Date(Date),
    /// A bare number.
    Count(i64),
    /// Yes or no.
    Flag(bool),
    /// Several.
    List(Rc<Vec<Known>>),
    /// Several that belong together, each by its name.
    Record(Rc<Vec<(&'static str, Known)>>),
    /// A value that stands in the text and is not known; only a list of values has it.
    Unknown(Unknown),
}

/// Why something is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It stands there, and is not known.
    Unknown(Unknown),
    /// Nobody has said it.
    Absent,
    /// What is known does not allow it: no mass, no outline.
    Impossible,
    /// It may be sound, and is more than is worked out here.
    Beyond,
    /// There is no such thing: a mistake of whoever asked.
    NoSuch,
}

/// That something is not known, and because of which line.
#[derive(Clone, Debug, PartialEq)]
pub struct NotKnown {
    /// Why.
    pub why: Why,
    /// In words: `the mass of camera is not known`.
    pub says: String,
    /// The line.
    pub span: Option<Span>,
}

impl Known {
    /// Something worked out, which stands where what it was worked out for stands.
    pub fn computed(what: What, name: impl Into<String>, span: Option<Span>) -> Known {
        Known {
            what,
            name: name.into(),
            span,
            via: None,
            source: None,
            owner: None,
            beside: None,
        }
    }

    /// The same, of a parameter that somebody has set: who, and what it was.
    #[must_use]
    pub fn owned(self, owner: Option<String>) -> Known {
        Known { owner, ..self }
    }

    /// The same without a side, where it is a length: a distance rather than a place.
    pub(crate) fn without_side(self) -> Known {
        let What::Quantity(quantity) = &self.what else { return self };
        Known { what: What::Quantity(quantity.clone().with_axis(None)), ..self }
    }

    /// The quantity, if it is one; a fact of one number and words is its number.
    pub fn quantity(&self) -> Option<&Quantity> {
        if let What::Quantity(quantity) = &self.what { Some(quantity) } else { None }
    }

    /// The entry, if it is one.
    pub fn entry(&self) -> Option<EntryId> {
        if let What::Entry(id) = self.what { Some(id) } else { None }
    }

    /// Its items, if it is a list; none otherwise.
    pub fn list(&self) -> &[Known] {
        if let What::List(list) = &self.what { list } else { &[] }
    }

    /// The bare number, if it is one.
    pub fn count(&self) -> Option<u32> {
        if let What::Count(count) = self.what { u32::try_from(count).ok() } else { None }
    }

    /// The entry that it is, or that it is a value of.
    pub fn about(&self) -> Option<EntryId> {
        self.entry().or(self.beside.map(|beside| beside.entry))
    }

    /// One of the things that a record holds.
    pub fn field(&self, name: &str) -> Option<&Known> {
        let What::Record(fields) = &self.what else { return None };
        fields.iter().find(|(field, _)| *field == name).map(|(_, known)| known)
    }

    /// The number behind it, for readers that are programs.
    pub fn measured(&self) -> Option<Measured> {
        let quantity = self.quantity()?;
        Some(Measured {
            name: self.name.clone(),
            value: quantity.value(),
            unit: quantity.unit().text().to_owned(),
            spread: quantity.spread(),
            source: self.source.map(str::to_owned),
        })
    }

    /// A label where it stands, and a second one where it was taken from, if elsewhere.
    pub fn labels(&self, text: &str) -> Vec<Label> {
        let own = self.span.map(|span| Label {
            span,
            text: text.into(),
            value: self.measured(),
        });
        let via = self.via.map(|span| Label {
            span,
            text: text.into(),
            value: self.measured(),
        });
        match (via, own) {
            (Some(via), Some(own)) => {
                vec![via, Label { text: "taken from here".into(), value: None, ..own }]
            }
            (None, Some(own)) => vec![own],
            (via, None) => via.into_iter().collect(),
        }
    }
}

impl NotKnown {
    /// That there is no such thing.
    pub fn no_such(says: impl Into<String>) -> NotKnown {
        NotKnown { why: Why::NoSuch, says: says.into(), span: None }
    }

    /// That what is known does not allow it.
    pub fn impossible(says: impl Into<String>, span: Option<Span>) -> NotKnown {
        NotKnown { why: Why::Impossible, says: says.into(), span }
    }
}

impl NotKnown {
    /// That it may be sound, and is more than is worked out here.
    pub(crate) fn beyond(says: impl Into<String>, span: Option<Span>) -> NotKnown {
        NotKnown { why: Why::Beyond, says: says.into(), span }
    }
}

impl std::fmt::Display for NotKnown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.says)
    }
}

impl std::fmt::Display for Known {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.what {
            What::Build => f.write_str("the aircraft"),
            What::Entry(_) | What::Record(_) => f.write_str(&self.name),
            What::Quantity(quantity) => match &self.owner {
                Some(owner) => write!(f, "{quantity} ({owner})"),
                None => quantity.fmt(f),
            },
            What::Range(low, high) => f.write_str(&range(low, high)),
            What::Place(place) => {
                write!(f, "{}", place.along)?;
                let sides = place.across.iter().chain(&place.upward);
                sides.into_iter().try_for_each(|side| write!(f, " {side}"))
            }
            What::Size(sizes) => {
                let texts: Vec<String> = sizes.iter().map(ToString::to_string).collect();
                f.write_str(&texts.join(" x "))
            }
            What::Words(words) => f.write_str(words),
            What::Date(date) => date.fmt(f),
            What::Count(count) => count.fmt(f),
            What::Flag(true) => f.write_str("yes"),
            What::Flag(false) => f.write_str("no"),
            What::List(list) => {
                let texts: Vec<String> = list.iter().map(ToString::to_string).collect();
                f.write_str(&texts.join(", "))
            }
            What::Unknown(_) => f.write_str("?"),
        }
    }
}

/// Two ends; the side stands once where both lie on it.
fn range(low: &Quantity, high: &Quantity) -> String {
    let (low, high) = (low.to_string(), high.to_string());
    let side = high.rsplit_once(' ').map_or("", |(_, side)| side);
    let bare = low.strip_suffix(side).filter(|_| matches!(side, "ahead" | "aft"));
    format!("{} to {high}", bare.map_or(low.as_str(), str::trim_end))
}

/// Words, where what they are about stands.
pub(crate) fn words(text: &str, at: Span) -> Known {
    Known::computed(What::Words(text.to_owned()), text, Some(at))
}

/// Several things that belong together, where what they are about stands.
pub(crate) fn record(fields: Vec<(&'static str, Known)>, name: &str, at: Span) -> Known {
    Known::computed(What::Record(Rc::new(fields)), name, Some(at))
}

/// Yes or no.
pub(crate) fn flag(is_so: bool, at: Option<Span>) -> Known {
    Known::computed(What::Flag(is_so), "flag", at)
}

/// A number, where what it was worked out for stands.
pub(crate) fn number(quantity: Quantity, at: Span) -> Known {
    Known::computed(What::Quantity(quantity), "number", Some(at))
}

/// The unit in which builders read a number, by its name.
pub(crate) fn unit(name: &str, dimension: Dimension) -> Unit {
    Unit::read(name).unwrap_or_else(|| Unit::for_dimension(dimension))
}

//! What kind of thing an expression of a script comes to, as far as it can be known.

use std::rc::Rc;

use trimsheet_rules::facts::gives::{Asked, Field, Gives};
use trimsheet_rules::facts::model::quantity::{Axis, Dimension};
use trimsheet_rules::facts::model::vocabulary::{self, Row, Vocabulary};

/// What is known of what an expression comes to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kind {
    /// It comes to nothing that goes on: a `return`, or a call not yet looked at.
    Never,
    /// It may be anything.
    Any,
    /// The script's own nothing, `()`.
    Nothing,
    /// Yes or no.
    Flag,
    /// A number without a unit, with its digits where they stand there.
    Number(Option<Rc<str>>),
    /// A text, with its letters where they stand there.
    Text(Option<Rc<str>>),
    /// A list of things of one kind.
    List(Rc<Kind>),
    /// What `finding` makes.
    Finding,
    /// What the engine works out as a way.
    Remedy,
    /// The parameters of the rule.
    Set,
    /// Something of the model.
    Value(Of, Line),
}

/// What kind of thing of the model.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Of {
    Build,
    /// An entry of one of these words.
    Entry(Vec<&'static str>),
    /// A number with a unit of one of these dimensions; none is any.
    Quantity(Vec<Dimension>),
    Range(Dimension, Option<Axis>),
    Place,
    Size,
    /// Words, of a closed list if there is one.
    Words(Option<Vec<&'static str>>),
    Date,
    Record(&'static [Field]),
    /// Any value that the spec states.
    Stated,
}

/// Whether a value stands in a line of the spec, whose other slots can be asked for.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Line {
    /// It was worked out.
    Nowhere,
    /// It stands in a line of this row.
    In(&'static Row),
    /// One of several.
    Unsure,
}

impl PartialEq for Line {
    fn eq(&self, other: &Line) -> bool {
        match (self, other) {
            (Line::Nowhere, Line::Nowhere) | (Line::Unsure, Line::Unsure) => true,
            (Line::In(a), Line::In(b)) => std::ptr::eq(*a, *b),
            (Line::Nowhere | Line::In(_) | Line::Unsure, _) => false,
        }
    }
}

/// How deep lists in lists are followed.
const DEEP: usize = 3;

impl Kind {
    pub(crate) fn entry(words: Vec<&'static str>) -> Kind {
        Kind::Value(Of::Entry(words), Line::Nowhere)
    }

    pub(crate) fn quantity(dimensions: Vec<Dimension>) -> Kind {
        Kind::Value(Of::Quantity(dimensions), Line::Nowhere)
    }

    pub(crate) fn list(of: Kind) -> Kind {
        if of.depth() < DEEP { Kind::List(Rc::new(of)) } else { Kind::Any }
    }

    fn depth(&self) -> usize {
        if let Kind::List(of) = self { 1 + of.depth() } else { 0 }
    }

    /// Whether nothing is known of it.
    pub(crate) fn is_open(&self) -> bool {
        matches!(self, Kind::Any | Kind::Never)
    }

    /// What a thing of the model is to a script.
    pub(crate) fn of(gives: Gives, line: Line) -> Kind {
        let value = |of: Of| Kind::Value(of, line);
        match gives {
            Gives::Build => value(Of::Build),
            Gives::Entry(words) => value(Of::Entry(words.to_vec())),
            Gives::Named(_) => Kind::Any,
            Gives::Quantity(of) => value(Of::Quantity(of.to_vec())),
            Gives::Range(of, axis) => value(Of::Range(of, axis)),
            Gives::Place => value(Of::Place),
            Gives::Size => value(Of::Size),
            Gives::Words(among) => value(Of::Words(among.words())),
            Gives::Date => value(Of::Date),
            Gives::Count => Kind::Number(None),
            Gives::Flag => Kind::Flag,
            Gives::List(of) => Kind::list(Kind::of(*of, line)),
            Gives::Record(fields) => value(Of::Record(fields)),
            Gives::Value => value(Of::Stated),
            Gives::Line(on, word) => {
                vocabulary::fact(on, word).map_or(Kind::Any, Kind::said)
            }
        }
    }

    /// What a name asked of an entry comes to.
    pub(crate) fn asked(asked: Asked) -> Kind {
        match asked {
            Asked::Computed(row) => Kind::of(row.gives, Line::Nowhere),
            Asked::Said(row) => Kind::said(row),
            Asked::AllSaid(row) => Kind::list(Kind::said(row)),
            Asked::First(word) => Kind::entry(vec![word]),
            Asked::Every(word) => Kind::list(Kind::entry(vec![word])),
        }
    }

    fn said(row: &'static Row) -> Kind {
        match row.slots.first() {
            Some(slot) => Kind::of(Gives::slot(slot), Line::In(row)),
            None => Kind::Flag,
        }
    }

    /// What is one of two things.
    pub(crate) fn join(self, other: Kind) -> Kind {
        if self == other {
            return self;
        }
        match (self, other) {
            (Kind::Never, one) | (one, Kind::Never) => one,
            (Kind::Number(_), Kind::Number(_)) => Kind::Number(None),
            (Kind::Text(_), Kind::Text(_)) => Kind::Text(None),
            (Kind::List(a), Kind::List(b)) => {
                Kind::list(a.as_ref().clone().join(b.as_ref().clone()))
            }
            (Kind::Value(a, of_a), Kind::Value(b, of_b)) => {
                let line = if of_a == of_b { of_a } else { Line::Unsure };
                a.join(b).map_or(Kind::Any, |of| Kind::Value(of, line))
            }
            (_, _) => Kind::Any,
        }
    }

    /// What a message calls it.
    pub(crate) fn says(&self) -> String {
        match self {
            Kind::Never | Kind::Any => "something".into(),
            Kind::Nothing => "nothing".into(),
            Kind::Flag => "yes or no".into(),
            Kind::Number(None) => "a number without a unit".into(),
            Kind::Number(Some(digits)) => format!("the number {digits}"),
            Kind::Text(None) => "a text".into(),
            Kind::Text(Some(text)) => format!("the text \"{text}\""),
            Kind::List(_) => "a list".into(),
            Kind::Finding => "a finding".into(),
            Kind::Remedy => "a remedy".into(),
            Kind::Set => "the parameters of the rule".into(),
            Kind::Value(of, _) => of.says(),
        }
    }
}

impl Of {
    fn join(self, other: Of) -> Option<Of> {
        if self == other {
            return Some(self);
        }
        match (self, other) {
            (Of::Entry(a), Of::Entry(b)) => Some(Of::Entry(union(a, b))),
            (Of::Quantity(a), Of::Quantity(b)) => Some(Of::Quantity(union(a, b))),
            (Of::Words(Some(a)), Of::Words(Some(b))) => {
                Some(Of::Words(Some(union(a, b))))
            }
            (Of::Words(_), Of::Words(_)) => Some(Of::Words(None)),
            (_, _) => None,
        }
    }

    pub(crate) fn says(&self) -> String {
        match self {
            Of::Build => "the whole aircraft".into(),
            Of::Entry(words) if words.is_empty() || words.len() > 4 => "an entry".into(),
            Of::Entry(words) => {
                let all = words.iter().map(|word| match word.starts_with(['a', 'i']) {
                    true => format!("an {word}"),
                    false => format!("a {word}"),
                });
                all.collect::<Vec<_>>().join(" or ")
            }
            Of::Quantity(of) if of.is_empty() => "a number with its unit".into(),
            Of::Quantity(of) => {
                of.iter().map(|one| one.says()).collect::<Vec<_>>().join(" or ")
            }
            Of::Range(..) => "a range".into(),
            Of::Place => "a place".into(),
            Of::Size => "a size".into(),
            Of::Words(_) => "words".into(),
            Of::Date => "a date".into(),
            Of::Record(_) => "a record".into(),
            Of::Stated => "a value".into(),
        }
    }
}

/// Everything in one or the other; a list of none means any.
fn union<T: PartialEq>(mut a: Vec<T>, b: Vec<T>) -> Vec<T> {
    if a.is_empty() || b.is_empty() {
        return Vec::new();
    }
    for one in b {
        if !a.contains(&one) {
            a.push(one);
        }
    }
    a
}

/// Every name by which a slot of any line can be asked for.
pub(crate) fn slot_names(words: &Vocabulary) -> impl Iterator<Item = String> {
    let rows = vocabulary::rows().chain(words.declared().iter().copied());
    let slots = rows.flat_map(|row| row.slots);
    slots.map(|slot| slot.name.replace('-', "_"))
}

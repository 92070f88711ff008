//! One value: the atoms that a slot takes, read as what it takes.

mod several;

use trimsheet_quantity::{Axis, Dimension, Quantity, Side};
use trimsheet_source::{Edit, Finding, Level, Safety, Sources, Span};
use trimsheet_syntax::{Atom, AtomKind, Measure, More};

use crate::build::{Kind, Unknown, Value};
use crate::describe::{found, quoted};
use crate::numbers::{self, NoQuantity};
use crate::vocabulary::{Slot, Takes};
use several::{load, place, way};

/// A value, or what was wrong with it, and how many atoms it took.
pub(crate) struct Read {
    pub(crate) value: Result<Value, Box<Wrong>>,
    pub(crate) used: usize,
}

/// What was wrong with a value.
pub(crate) struct Wrong {
    /// What was found, as a message says it; empty where `says` is the whole headline.
    found: String,
    /// The whole headline, where "expected … found …" would not do.
    says: Option<String>,
    /// The rule of the finding.
    rule: &'static str,
    /// What may have been meant, each with the edits that write it; advice has none.
    remedies: Vec<(String, Vec<Edit>)>,
    /// The place, where it is less than the whole value.
    span: Option<Span>,
}

impl Wrong {
    fn found(found: String) -> Box<Wrong> {
        Box::new(Wrong {
            found,
            says: None,
            rule: "read/expected",
            remedies: Vec::new(),
            span: None,
        })
    }

    fn says(rule: &'static str, span: Span, says: String) -> Box<Wrong> {
        let (found, says, span) = (String::new(), Some(says), Some(span));
        Box::new(Wrong { found, says, rule, remedies: Vec::new(), span })
    }

    fn meant(mut self: Box<Wrong>, span: Span, word: &str) -> Box<Wrong> {
        let edit = Edit { span, text: word.into() };
        self.remedies.push((format!("if `{word}` was meant, write that"), vec![edit]));
        self
    }

    fn advised(mut self: Box<Wrong>, says: &str) -> Box<Wrong> {
        self.remedies.push((says.into(), Vec::new()));
        self
    }

    pub(crate) fn finding(self, takes: Takes, after: &str, span: Span) -> Finding {
        let headline = self.says.unwrap_or_else(|| {
            format!("expected {} after `{after}`, found {}", takes.says(), self.found)
        });
        let place = self.span.unwrap_or(span);
        let mut finding = Finding::new(self.rule, Level::Error, place, headline);
        for (says, edits) in self.remedies {
            finding = finding.remedied(says, Safety::Offered, edits);
        }
        finding
    }
}

/// Whether an atom can begin such a value.
pub(crate) fn begins(takes: Takes, atom: &Atom, sources: &Sources) -> bool {
    if matches!(atom.kind, AtomKind::Unknown) {
        return true;
    }
    let is_name = matches!(atom.kind, AtomKind::Name | AtomKind::Path);
    match takes {
        Takes::Name | Takes::Reference(_) | Takes::Arrow => is_name,
        Takes::Rule => matches!(atom.kind, AtomKind::Rule),
        Takes::Word(words) => is_name && words.contains(&sources.text(atom.span)),
        Takes::Text => matches!(atom.kind, AtomKind::Text),
        Takes::Date => matches!(atom.kind, AtomKind::Date),
        Takes::Quantity(_)
        | Takes::Sided(..)
        | Takes::Range(_)
        | Takes::SidedRange(..)
        | Takes::Place
        | Takes::Size
        | Takes::Load
        | Takes::Count => matches!(atom.kind, AtomKind::Measure(_)),
    }
}

/// Reads a value from the atoms, of which the first begins it.
pub(crate) fn read_value(takes: Takes, atoms: &[Atom], sources: &Sources) -> Read {
    let Some(first) = atoms.first() else {
        return Read { value: Err(Wrong::found("nothing more".into())), used: 0 };
    };
    if matches!(first.kind, AtomKind::Unknown) {
        let value = Value::new(Kind::Unknown(Unknown::Written), first.span);
        return Read { value: Ok(value), used: 1 };
    }
    let text = sources.text(first.span);
    let one = |kind: Result<Kind, Box<Wrong>>| Read {
        value: kind.map(|kind| Value::new(kind, first.span)),
        used: 1,
    };
    match takes {
        // Names are bound later; a reference is a name until then.
        Takes::Name | Takes::Reference(_) => one(Ok(Kind::Name(text.into()))),
        Takes::Rule => one(Ok(Kind::Rule(text.into()))),
        Takes::Word(words) => one(words
            .iter()
            .find(|word| **word == text)
            .map(|word| Kind::Word(word))
            .ok_or_else(|| Wrong::found(found(first, sources)))),
        Takes::Text => one(Ok(Kind::Text(unquoted(text)))),
        Takes::Date => {
            one(text.parse().map(Kind::Date).map_err(|_| no_date(first, sources)))
        }
        Takes::Arrow => way(atoms, sources),
        Takes::Place => place(atoms, sources),
        Takes::Load => load(atoms, sources),
        Takes::Quantity(_)
        | Takes::Sided(..)
        | Takes::Range(_)
        | Takes::SidedRange(..)
        | Takes::Size
        | Takes::Count => {
            if let AtomKind::Measure(measure) = &first.kind {
                number(takes, first, measure, sources)
            } else {
                one(Err(Wrong::found(found(first, sources))))
            }
        }
    }
}

fn number(takes: Takes, atom: &Atom, measure: &Measure, sources: &Sources) -> Read {
    let kind = match takes {
        Takes::Count => count(atom, measure, sources),
        Takes::Size => sizes(atom, measure, sources),
        Takes::Range(of) => ends(atom, measure, sources, of, &[]),
        Takes::SidedRange(of, axes) => ends(atom, measure, sources, of, axes),
        Takes::Sided(of, axes) => {
            single(atom, measure, sources, of, axes).map(Kind::Quantity)
        }
        Takes::Quantity(of) => {
            single(atom, measure, sources, of, &[]).map(Kind::Quantity)
        }
        Takes::Place
        | Takes::Load
        | Takes::Name
        | Takes::Reference(_)
        | Takes::Rule
        | Takes::Word(_)
        | Takes::Text
        | Takes::Date
        | Takes::Arrow => Err(Wrong::found(found(atom, sources))),
    };
    Read { value: finish(kind, atom.span, measure.about), used: 1 }
}

/// A number without a unit is not known; a rule says so, with what was probably meant.
fn finish(
    kind: Result<Kind, Box<Wrong>>,
    span: Span,
    about: bool,
) -> Result<Value, Box<Wrong>> {
    match kind {
        Ok(kind) => Ok(Value { about, ..Value::new(kind, span) }),
        Err(wrong) if wrong.rule == NO_UNIT => {
            Ok(Value::new(Kind::Unknown(Unknown::NoUnit), span))
        }
        Err(wrong) => Err(wrong),
    }
}

const NO_UNIT: &str = "doc/value-without-unit";

fn no_quantity(why: &NoQuantity, atom: &Atom, sources: &Sources) -> Box<Wrong> {
    let impossible = |span: Span, wanted: &str| {
        let says = format!("expected {wanted}, found {}", quoted(span, sources));
        Wrong::says("read/impossible-value", span, says)
    };
    match *why {
        NoQuantity::NoUnit => Wrong::says(NO_UNIT, atom.span, String::new()),
        NoQuantity::UnknownUnit(span, meant) => {
            let says = format!("expected a unit, found {}", quoted(span, sources));
            let wrong = Wrong::says("read/unknown-unit", span, says);
            match meant {
                Some(meant) => wrong.meant(span, meant),
                None => wrong,
            }
        }
        NoQuantity::NoNumber(span) => {
            impossible(span, "a number that can be reckoned with")
        }
        NoQuantity::TooCold(span) => {
            impossible(span, "a temperature above -273.15 °C, the coldest there is")
        }
        NoQuantity::Minus(span) => impossible(span, "a number without a sign").advised(
            "a place says its side in a word (30 mm left); only °C and dBm go below nought",
        ),
        NoQuantity::Spread(span) => {
            let says = format!(
                "expected a spread in % or in a unit like that of its value, found {}",
                quoted(span, sources)
            );
            Wrong::says("read/expected", span, says)
        }
        NoQuantity::SideOfSpread(side, value) => {
            let word = sources.text(side);
            let says = format!(
                "expected `{word}` behind the value, found it behind the spread"
            );
            let start = sources.text(atom.span).get(..side.start - atom.span.start);
            let spaces = start.map_or(0, |text| text.len() - text.trim_end().len());
            let gone =
                Edit { span: Span { start: side.start - spaces, ..side }, text: "".into() };
            let put = Edit { span: value.after(), text: format!(" {word}") };
            let mut wrong = Wrong::says("read/expected", side, says);
            let says = format!("write `{word}` before the ±");
            wrong.remedies.push((says, vec![put, gone]));
            wrong
        }
    }
}

fn single(
    atom: &Atom,
    measure: &Measure,
    sources: &Sources,
    of: &[Dimension],
    axes: &[Axis],
) -> Result<Quantity, Box<Wrong>> {
    if !matches!(measure.more, More::None | More::Spread(_)) {
        return Err(Wrong::found(format!("{}, more than one", found(atom, sources))));
    }
    let quantity = numbers::single(measure, sources)
        .map_err(|why| no_quantity(&why, atom, sources))?;
    fits(&quantity, atom, sources, of, axes)?;
    Ok(quantity)
}

fn fits(
    quantity: &Quantity,
    atom: &Atom,
    sources: &Sources,
    of: &[Dimension],
    axes: &[Axis],
) -> Result<(), Box<Wrong>> {
    if !of.is_empty() && !of.contains(&quantity.dimension()) {
        return Err(Wrong::found(found(atom, sources)));
    }
    match quantity.axis() {
        None if axes.is_empty() => Ok(()),
        Some(axis) if axes.contains(&axis) => Ok(()),
        None => Err(without_side(atom, sources, axes)),
        Some(_) if axes.is_empty() => Err(with_side(atom, sources)),
        Some(_) => Err(Wrong::found(quoted(atom.span, sources))),
    }
}

/// A length that goes no way, and says one; leaving it out is offered.
fn with_side(atom: &Atom, sources: &Sources) -> Box<Wrong> {
    let mut wrong = Wrong::found(format!("{} with a side", quoted(atom.span, sources)));
    let AtomKind::Measure(measure) = &atom.kind else { return wrong };
    let number = measure.first.unit.unwrap_or(measure.first.number);
    if let (Some(side), More::None | More::Spread(_)) =
        (measure.first.side, &measure.more)
    {
        let edit = Edit { span: Span { start: number.end, ..side }, text: "".into() };
        let says = format!("leave out `{}`", sources.text(side));
        wrong.remedies.push((says, vec![edit]));
    }
    wrong
}

/// A length that does not say which way it goes; every way is offered.
fn without_side(atom: &Atom, sources: &Sources, axes: &[Axis]) -> Box<Wrong> {
    let found = format!("{} without a side", quoted(atom.span, sources));
    let mut wrong = Wrong::found(found);
    let AtomKind::Measure(measure) = &atom.kind else { return wrong };
    let amount = match &measure.more {
        More::UpTo(last) => last,
        More::None | More::By(_) | More::Spread(_) => &measure.first,
    };
    let place = amount.unit.unwrap_or(amount.number).after();
    for side in Side::ALL.iter().filter(|side| axes.contains(&side.axis())) {
        let word = side.word();
        let edit = Edit { span: place, text: format!(" {word}") };
        wrong.remedies.push((format!("write `{word}` behind it"), vec![edit]));
    }
    wrong
}

fn ends(
    atom: &Atom,
    measure: &Measure,
    sources: &Sources,
    of: Dimension,
    axes: &[Axis],
) -> Result<Kind, Box<Wrong>> {
    if matches!(measure.more, More::By(_)) {
        return Err(Wrong::found(found(atom, sources)));
    }
    let (low, high) = numbers::range(measure, sources)
        .map_err(|why| no_quantity(&why, atom, sources))?;
    fits(&low, atom, sources, &[of], axes)?;
    fits(&high, atom, sources, &[of], axes)?;
    Ok(Kind::Range(low, high.into()))
}

fn sizes(atom: &Atom, measure: &Measure, sources: &Sources) -> Result<Kind, Box<Wrong>> {
    let sizes = numbers::size(measure, sources)
        .map_err(|why| no_quantity(&why, atom, sources))?;
    for size in &sizes {
        fits(size, atom, sources, &[Dimension::LENGTH], &[])?;
    }
    match sizes.len() {
        2 | 3 => Ok(Kind::Size(sizes)),
        _ => Err(Wrong::found(found(atom, sources))),
    }
}

fn count(atom: &Atom, measure: &Measure, sources: &Sources) -> Result<Kind, Box<Wrong>> {
    let alone = measure.first.unit.is_none()
        && measure.first.side.is_none()
        && measure.more == More::None;
    let number: Option<u32> = sources.text(measure.first.number).parse().ok();
    match number.filter(|number| alone && 0 < *number) {
        Some(number) => Ok(Kind::Count(number)),
        None => Err(Wrong::found(quoted(atom.span, sources))),
    }
}

/// Whether a value of nothing is refused: a part that weighs nothing, a chord of zero.
///
/// Nothing is a fair answer for a place, an angle, a current or a percentage. For these
/// it is a number put in for one that is not known.
pub(crate) fn is_nothing(slot: &Slot, value: &Value) -> bool {
    let takes_none = match slot.takes {
        Takes::Quantity(of) => of.iter().any(|one| SOMETHING.contains(one)),
        Takes::Size => true,
        Takes::Sided(..)
        | Takes::Range(_)
        | Takes::SidedRange(..)
        | Takes::Place
        | Takes::Load
        | Takes::Count
        | Takes::Name
        | Takes::Reference(_)
        | Takes::Rule
        | Takes::Word(_)
        | Takes::Text
        | Takes::Date
        | Takes::Arrow => false,
    };
    let is_outline = matches!(slot.name, "chord" | "width" | "height");
    let is_none = |quantity: &Quantity| quantity.si() <= 0.0;
    match &value.kind {
        Kind::Quantity(quantity) => {
            (takes_none || is_outline && quantity.axis().is_none()) && is_none(quantity)
        }
        Kind::Size(sizes) => takes_none && sizes.iter().any(is_none),
        Kind::Range(..)
        | Kind::Place(_)
        | Kind::Load(..)
        | Kind::Count(_)
        | Kind::Name(_)
        | Kind::Reference(..)
        | Kind::Rule(_)
        | Kind::Word(_)
        | Kind::Text(_)
        | Kind::Date(_)
        | Kind::Way(..)
        | Kind::Unknown(_) => false,
    }
}

/// What nothing aboard has none of.
const SOMETHING: &[Dimension] = &[
    Dimension::MASS,
    Dimension::AREA,
    Dimension::SPEED,
    Dimension::CHARGE,
    Dimension::CELLS,
    Dimension::VOLTAGE,
    Dimension::RESISTANCE,
    Dimension::RESISTANCE_PER_CELL,
    Dimension::FREQUENCY,
    Dimension::TORQUE,
    Dimension::SPEED_CONSTANT,
    Dimension::MULTIPLE,
];

fn unquoted(text: &str) -> String {
    let inner =
        text.strip_prefix('"').and_then(|text| text.strip_suffix('"')).unwrap_or(text);
    let mut out = String::with_capacity(inner.len());
    let mut escaped = false;
    for letter in inner.chars() {
        if escaped || letter != '\\' {
            out.push(letter);
            escaped = false;
        } else {
            escaped = true;
        }
    }
    out
}

fn no_date(atom: &Atom, sources: &Sources) -> Box<Wrong> {
    let found = quoted(atom.span, sources);
    let says = format!("expected a date that exists, found {found}");
    Wrong::says("read/impossible-value", atom.span, says)
}

//! One value: the atoms that a slot takes, read as what it takes.

use trimsheet_quantity::{Axis, Dimension, Quantity};
use trimsheet_source::{Finding, Level, Safety, Sources, Span};
use trimsheet_syntax::{Arrow, Atom, AtomKind, Measure, More};

use crate::build::{Date, Kind, Phase, Place, Unknown, Value};
use crate::describe::{found, quoted};
use crate::numbers::{self, NoQuantity};
use crate::vocabulary::Takes;

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
    /// A word that was probably meant, and where to write it.
    meant: Option<(Span, &'static str)>,
    /// The place, where it is less than the whole value.
    pub(crate) span: Option<Span>,
}

impl Wrong {
    fn found(found: String) -> Box<Wrong> {
        Box::new(Wrong {
            found,
            says: None,
            rule: "read/expected",
            meant: None,
            span: None,
        })
    }

    fn says(rule: &'static str, span: Span, says: String) -> Box<Wrong> {
        let (found, says, span) = (String::new(), Some(says), Some(span));
        Box::new(Wrong { found, says, rule, meant: None, span })
    }

    pub(crate) fn finding(self, takes: Takes, after: &str, span: Span) -> Finding {
        let headline = self.says.unwrap_or_else(|| {
            format!("expected {} after `{after}`, found {}", takes.says(), self.found)
        });
        let finding = Finding::new(self.rule, Level::Error, span, headline);
        match self.meant {
            None => finding,
            Some((at, word)) => finding.remedied(
                format!("if `{word}` was meant, write that"),
                Safety::Offered,
                vec![trimsheet_source::Edit { span: at, text: word.into() }],
            ),
        }
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
            one(date(text).map(Kind::Date).ok_or_else(|| no_date(first, sources)))
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
            single(atom, measure, sources, &[of], axes).map(Kind::Quantity)
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
    match *why {
        NoQuantity::NoUnit => Wrong::says(NO_UNIT, atom.span, String::new()),
        NoQuantity::UnknownUnit(span, meant) => {
            let says = format!("expected a unit, found {}", quoted(span, sources));
            let mut wrong = Wrong::says("read/unknown-unit", span, says);
            wrong.meant = meant.map(|meant| (span, meant));
            wrong
        }
        NoQuantity::NoNumber(span) => Wrong::says(
            "read/impossible-value",
            span,
            format!(
                "expected a number that can be reckoned with, found {}",
                quoted(span, sources)
            ),
        ),
        NoQuantity::Minus(span) => Wrong::says(
            "read/impossible-value",
            span,
            format!(
                "expected a number without a sign, found {}: only °C and dBm may be below nothing, and a place has a side",
                quoted(span, sources)
            ),
        ),
        NoQuantity::Spread(span) => Wrong::says(
            "read/expected",
            span,
            format!("expected a spread like its value, found {}", quoted(span, sources)),
        ),
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
        None => {
            Err(Wrong::found(format!("{} without a side", quoted(atom.span, sources))))
        }
        Some(_) if axes.is_empty() => {
            Err(Wrong::found(format!("{} with a side", quoted(atom.span, sources))))
        }
        Some(_) => Err(Wrong::found(quoted(atom.span, sources))),
    }
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
    Ok(Kind::Range(low, high))
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
    let number = sources.text(measure.first.number).parse().ok().filter(|_| alone);
    number.map(Kind::Count).ok_or_else(|| Wrong::found(quoted(atom.span, sources)))
}

/// One to three sided lengths, each on an axis of its own.
fn place(atoms: &[Atom], sources: &Sources) -> Read {
    let mut along = None;
    let mut across = None;
    let mut upward = None;
    let mut about = false;
    let mut used = 0;
    let mut span = atoms.first().map(|atom| atom.span);
    for atom in atoms {
        let AtomKind::Measure(measure) = &atom.kind else { break };
        used += 1;
        span = span.map(|start| start.to(atom.span));
        let all = &[Axis::Length, Axis::Side, Axis::Height, Axis::Out];
        let quantity = match single(atom, measure, sources, &[Dimension::LENGTH], all) {
            Ok(quantity) => quantity,
            Err(wrong) => {
                let value = finish(Err(wrong), atom.span, false);
                return Read { value, used };
            }
        };
        about |= measure.about;
        let slot = match quantity.axis() {
            Some(Axis::Side | Axis::Out) => &mut across,
            Some(Axis::Height) => &mut upward,
            Some(Axis::Length) | None => &mut along,
        };
        if slot.replace(quantity).is_some() {
            let says =
                format!("{} a second time on the same axis", quoted(atom.span, sources));
            return Read { value: Err(Wrong::found(says)), used };
        }
    }
    let value = match (along, span) {
        (Some(along), Some(span)) => {
            let place = Place { along, across, upward };
            Ok(Value { about, ..Value::new(Kind::Place(place), span) })
        }
        _ => Err(Wrong::found("no length ahead or aft".into())),
    };
    Read { value, used }
}

/// A current and its phase.
fn load(atoms: &[Atom], sources: &Sources) -> Read {
    let Some(atom) = atoms.first() else {
        return Read { value: Err(Wrong::found("nothing more".into())), used: 0 };
    };
    let AtomKind::Measure(measure) = &atom.kind else {
        return Read { value: Err(Wrong::found(found(atom, sources))), used: 1 };
    };
    let current = match single(atom, measure, sources, &[Dimension::CURRENT], &[]) {
        Ok(current) => current,
        Err(wrong) => {
            return Read { value: finish(Err(wrong), atom.span, false), used: 1 };
        }
    };
    let word = atoms.get(1).map_or("", |atom| sources.text(atom.span));
    let (phase, used) = match word {
        "steady" => (Ok(Phase::Steady), 2),
        "working" => (Ok(Phase::Working), 2),
        "stalled" => (Ok(Phase::Stalled), 2),
        "for" => (seconds(atoms.get(2), sources), 3),
        _ => (Err(Wrong::found(format!("{} alone", quoted(atom.span, sources)))), 1),
    };
    let used = used.min(atoms.len());
    let end = used
        .checked_sub(1)
        .and_then(|last| atoms.get(last))
        .map_or(atom.span, |a| a.span);
    let value = phase.map(|phase| Value {
        about: measure.about,
        ..Value::new(Kind::Load(current, phase), atom.span.to(end))
    });
    Read { value, used }
}

fn seconds(atom: Option<&Atom>, sources: &Sources) -> Result<Phase, Box<Wrong>> {
    let Some(atom) = atom else {
        return Err(Wrong::found("`for` and nothing more".into()));
    };
    let AtomKind::Measure(measure) = &atom.kind else {
        return Err(Wrong::found(found(atom, sources)));
    };
    single(atom, measure, sources, &[Dimension::TIME], &[]).map(Phase::For)
}

fn way(atoms: &[Atom], sources: &Sources) -> Read {
    let name = |at: usize| {
        let atom = atoms.get(at)?;
        let is_name = matches!(atom.kind, AtomKind::Name | AtomKind::Path);
        is_name.then(|| sources.text(atom.span).to_owned())
    };
    let arrow = atoms.get(1).and_then(|atom| {
        if let AtomKind::Arrow(arrow) = atom.kind { Some(arrow) } else { None }
    });
    let span =
        atoms.first().zip(atoms.get(2)).map(|(first, last)| first.span.to(last.span));
    let value = match (name(0), arrow, name(2), span) {
        (Some(from), Some(Arrow::To | Arrow::Both), Some(to), Some(span)) => {
            Ok(Value::new(Kind::Way(from, to), span))
        }
        (Some(to), Some(Arrow::From), Some(from), Some(span)) => {
            Ok(Value::new(Kind::Way(from, to), span))
        }
        _ => {
            let first =
                atoms.first().map_or_else(String::new, |atom| quoted(atom.span, sources));
            return Read { value: Err(Wrong::found(format!("{first} alone"))), used: 1 };
        }
    };
    Read { value, used: 3 }
}

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
    let says =
        format!("expected a day of the calendar, found {}", quoted(atom.span, sources));
    Wrong::says("read/impossible-value", atom.span, says)
}

/// Reads a day that exists, after ISO 8601.
pub(crate) fn date(text: &str) -> Option<Date> {
    let (day_text, time_text) = match text.split_once('T') {
        Some((day, time)) => (day, Some(time)),
        None => (text, None),
    };
    let mut parts = day_text.split('-');
    let year: u16 = parts.next()?.parse().ok()?;
    let month: u8 = parts.next()?.parse().ok()?;
    let day: u8 = parts.next()?.parse().ok()?;
    let leap =
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return None,
    };
    let time = match time_text {
        None => None,
        Some(text) => {
            let (hour, minute) = text.split_once(':')?;
            let time: (u8, u8) = (hour.parse().ok()?, minute.parse().ok()?);
            Some(time).filter(|(hour, minute)| *hour < 24 && *minute < 60)
        }
    };
    let has_time = time_text.is_some() == time.is_some();
    (has_time && (1..=days).contains(&day)).then_some(Date { year, month, day, time })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_of_the_calendar_are_dates() {
        assert!(date("2028-02-29").is_some());
        assert!(date("2026-02-29").is_none());
        assert!(date("2100-02-29").is_none());
        assert!(date("2026-13-01").is_none());
        assert!(date("2026-03-14T24:00").is_none());
        assert_eq!(date("2026-03-14T09:30").unwrap().to_string(), "2026-03-14T09:30");
    }
}

//! Values of more than one atom: places, currents with their phases, ways.
//!
//! Each reads as many atoms as belong to it even where one of them is wrong, so that the
//! rest of the value is not taken for something else.

use trimsheet_quantity::{Axis, Dimension};
use trimsheet_source::{Edit, Sources, nearest};
use trimsheet_syntax::{Arrow, Atom, AtomKind};

use super::{NO_UNIT, Read, Wrong, finish, single};
use crate::build::{Kind, Phase, Place, Unknown, Value};
use crate::describe::{found, quoted};

/// One to three sided lengths, each on an axis of its own.
pub(super) fn place(atoms: &[Atom], sources: &Sources) -> Read {
    let is_measure = |atom: &&Atom| matches!(atom.kind, AtomKind::Measure(_));
    let used = atoms.iter().take_while(is_measure).count();
    let measures = atoms.get(..used).unwrap_or(atoms);
    Read { value: place_of(measures, sources), used }
}

fn place_of(atoms: &[Atom], sources: &Sources) -> Result<Value, Box<Wrong>> {
    let span = match atoms {
        [] => return Err(Wrong::found("nothing more".into())),
        [only] => only.span,
        [first, .., last] => first.span.to(last.span),
    };
    let (mut along, mut across, mut upward, mut about) = (None, None, None, false);
    for atom in atoms {
        let AtomKind::Measure(measure) = &atom.kind else { continue };
        let all = &[Axis::Length, Axis::Side, Axis::Height, Axis::Out];
        let quantity = match single(atom, measure, sources, &[Dimension::LENGTH], all) {
            Ok(quantity) => quantity,
            Err(wrong) if wrong.rule == NO_UNIT => {
                return Ok(Value::new(Kind::Unknown(Unknown::NoUnit), span));
            }
            Err(mut wrong) => {
                wrong.span = wrong.span.or(Some(atom.span));
                return Err(wrong);
            }
        };
        about |= measure.about;
        let slot = match quantity.axis() {
            Some(Axis::Side | Axis::Out) => &mut across,
            Some(Axis::Height) => &mut upward,
            Some(Axis::Length) | None => &mut along,
        };
        if slot.replace(quantity).is_some() {
            let found = quoted(atom.span, sources);
            let says =
                format!("expected each way once in a place, found {found} as well");
            return Err(Wrong::says("read/expected", atom.span, says));
        }
    }
    let Some(along) = along else {
        let found = quoted(span, sources);
        return Err(Wrong::found(format!("{found}, with no length ahead or aft")));
    };
    let place = Place { along, across, upward };
    Ok(Value { about, ..Value::new(Kind::Place(place.into()), span) })
}

/// A current and its phase.
pub(super) fn load(atoms: &[Atom], sources: &Sources) -> Read {
    let Some((atom, behind)) = atoms.split_first() else {
        return Read { value: Err(Wrong::found("nothing more".into())), used: 0 };
    };
    let AtomKind::Measure(measure) = &atom.kind else {
        return Read { value: Err(Wrong::found(found(atom, sources))), used: 1 };
    };
    let (phase, words) = phase(atom, behind, sources);
    let used = 1 + words;
    let last = atoms.get(words).map_or(atom.span, |last| last.span);
    let current = single(atom, measure, sources, &[Dimension::CURRENT], &[]);
    let kind = match (current, phase) {
        (Err(mut wrong), _) => {
            wrong.span = wrong.span.or(Some(atom.span));
            Err(wrong)
        }
        (Ok(current), phase) => phase.map(|phase| Kind::Load(current, phase.into())),
    };
    Read { value: finish(kind, atom.span.to(last), measure.about), used }
}

/// When a current flows, and how many atoms say so.
fn phase(
    current: &Atom,
    behind: &[Atom],
    sources: &Sources,
) -> (Result<Phase, Box<Wrong>>, usize) {
    let word = behind.first().map_or("", |atom| sources.text(atom.span));
    match word {
        "steady" => (Ok(Phase::Steady), 1),
        "working" => (Ok(Phase::Working), 1),
        "stalled" => (Ok(Phase::Stalled), 1),
        "for" => (seconds(behind.get(1), sources), behind.len().min(2)),
        _ => (Err(no_phase(current, behind.first(), sources)), 0),
    }
}

fn no_phase(current: &Atom, behind: Option<&Atom>, sources: &Sources) -> Box<Wrong> {
    let text = quoted(current.span, sources);
    let word = behind.filter(|atom| matches!(atom.kind, AtomKind::Name));
    let Some(atom) = word else {
        let mut wrong = Wrong::found(format!("{text} alone"));
        for phase in ["steady", "working", "stalled"] {
            let edit = Edit { span: current.span.after(), text: format!(" {phase}") };
            wrong.remedies.push((format!("write `{phase}` behind it"), vec![edit]));
        }
        return wrong;
    };
    let says = format!(
        "expected steady, working, stalled or `for` and seconds after {text}, found {}",
        found(atom, sources)
    );
    let wrong = Wrong::says("read/expected", atom.span, says);
    let near = nearest(sources.text(atom.span), ["steady", "working", "stalled", "for"]);
    match near {
        Some(near) => wrong.meant(atom.span, near),
        None => wrong,
    }
}

fn seconds(atom: Option<&Atom>, sources: &Sources) -> Result<Phase, Box<Wrong>> {
    let Some(atom) = atom else {
        return Err(Wrong::found("`for` and nothing more".into()));
    };
    let time = match &atom.kind {
        AtomKind::Measure(measure) => {
            single(atom, measure, sources, &[Dimension::TIME], &[])
        }
        AtomKind::Text
        | AtomKind::Date
        | AtomKind::Unknown
        | AtomKind::Arrow(_)
        | AtomKind::Source(_)
        | AtomKind::Rule
        | AtomKind::Path
        | AtomKind::Name
        | AtomKind::LeftOpen
        | AtomKind::Stray => Err(Wrong::found(String::new())),
    };
    time.map(Phase::For).map_err(|wrong| {
        if wrong.says.is_some() {
            return wrong;
        }
        let says = format!("expected a time after `for`, found {}", found(atom, sources));
        Wrong::says("read/expected", atom.span, says)
    })
}

pub(super) fn way(atoms: &[Atom], sources: &Sources) -> Read {
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
        (Some(from), Some(arrow @ (Arrow::To | Arrow::Both)), Some(to), Some(span)) => {
            Ok(Value::new(Kind::Way(from, to, arrow), span))
        }
        (Some(to), Some(Arrow::From), Some(from), Some(span)) => {
            Ok(Value::new(Kind::Way(from, to, Arrow::From), span))
        }
        _ => {
            let first =
                atoms.first().map_or_else(String::new, |atom| quoted(atom.span, sources));
            return Read { value: Err(Wrong::found(format!("{first} alone"))), used: 1 };
        }
    };
    Read { value, used: 3 }
}

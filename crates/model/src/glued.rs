//! Words that the grammar took for the unit of a number, and that the row knows.
//!
//! The word after a number is its unit: the grammar knows no better. In `chord 290
//! leading-edge 0 mm aft` a unit was forgotten, and what stands in its place leads the
//! next value; the row tells, so that one slip stays one finding.

use std::borrow::Cow;

use trimsheet_quantity::Unit;
use trimsheet_source::{Sources, Span};
use trimsheet_syntax::{Amount, Atom, AtomKind, Measure, More};

use crate::matching::is_optional_word;
use crate::vocabulary::{Row, Takes};

/// The atoms, with every number parted from a word of the row that stands for its unit.
pub(crate) fn unglue<'a>(
    row: &'static Row,
    atoms: &'a [Atom],
    sources: &Sources,
) -> Cow<'a, [Atom]> {
    let is_glued = |atom: &Atom| word_for_unit(row, atom, sources).is_some();
    if !atoms.iter().any(is_glued) {
        return Cow::Borrowed(atoms);
    }
    let mut out = Vec::with_capacity(atoms.len() + 1);
    for atom in atoms {
        match (word_for_unit(row, atom, sources), &atom.kind) {
            (Some(word), AtomKind::Measure(measure)) => {
                let (number, measure) = without_unit(measure);
                let span = Span { end: number.end, ..atom.span };
                out.push(Atom { span, kind: AtomKind::Measure(Box::new(measure)) });
                out.push(Atom { span: word, kind: AtomKind::Name });
            }
            _ => out.push(atom.clone()),
        }
    }
    Cow::Owned(out)
}

/// The word of the row that stands where the last unit of a measure should.
fn word_for_unit(row: &'static Row, atom: &Atom, sources: &Sources) -> Option<Span> {
    let AtomKind::Measure(measure) = &atom.kind else { return None };
    let last = last(measure);
    let unit = last.unit.filter(|_| last.side.is_none())?;
    let word = sources.text(unit);
    let known = row.slots.iter().any(|slot| {
        (slot.led && slot.name == word)
            || matches!(slot.takes, Takes::Word(words)
                if is_optional_word(slot) && words.contains(&word))
            || (matches!(slot.takes, Takes::Load) && is_phase(word))
    });
    (known && Unit::read(word).is_none()).then_some(unit)
}

/// Whether a word says when a current flows.
fn is_phase(word: &str) -> bool {
    matches!(word, "steady" | "working" | "stalled" | "for")
}

fn last(measure: &Measure) -> Amount {
    match &measure.more {
        More::None => measure.first,
        More::UpTo(last) | More::Spread(last) => *last,
        More::By(sizes) => sizes.last().copied().unwrap_or(measure.first),
    }
}

/// The measure without its last unit, and where its last number stands.
fn without_unit(measure: &Measure) -> (Span, Measure) {
    let mut out = measure.clone();
    let amount = match &mut out.more {
        More::None => Some(&mut out.first),
        More::UpTo(last) | More::Spread(last) => Some(last),
        More::By(sizes) => sizes.last_mut(),
    };
    if let Some(amount) = amount {
        amount.unit = None;
    }
    (last(measure).number, out)
}

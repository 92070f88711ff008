//! A change with a range in it, tried at one value after the other.

use trimsheet_model::quantity::{Axis, Quantity, Side, Unit, read_number};
use trimsheet_source::{Finding, Span};
use trimsheet_syntax::{Amount, Atom, AtomKind, Measure, More, parse};

use super::overlay::Overlay;
use super::phrase::expected;
use super::{Done, NotChanged, Workshop};
use crate::check::{Opened, Settings, open_with, tidy};
use crate::engines::Engines;
use crate::host::Host;

/// Why nothing can be swept.
pub type NoSweep = NotChanged;

/// A change that is tried at many values: `main at 30..75 mm aft`.
pub struct Sweep<'a> {
    workshop: Workshop<'a>,
    text: String,
    phrase: String,
    /// Where in the phrase the range stands.
    range: std::ops::Range<usize>,
    low: Quantity,
    high: Quantity,
}

impl<'a> Sweep<'a> {
    /// Reads a phrase that has one range in it, in all loadouts or for one.
    ///
    /// # Errors
    /// The spec cannot be read, the loadout is not there, or the phrase is not understood.
    pub fn read(
        host: &'a dyn Host,
        path: &'a str,
        phrase: &str,
        loadout: Option<&'a str>,
        settings: &'a Settings,
    ) -> Result<Sweep<'a>, NoSweep> {
        let engines = Engines::default();
        let mut workshop = Workshop { host, path, loadout, settings, engines };
        let text = crate::load::text(host, &tidy(path)).map_err(NotChanged::Trouble)?;
        let mut opened = workshop.open(&text)?;
        workshop.knows_loadout(&opened)?;
        let phrase = phrase.trim().to_owned();
        let file = opened.sources.add("CHANGE 1", phrase.as_str());
        let found = find(&opened, Span { file, start: 0, end: phrase.len() });
        match found {
            Ok((range, low, high)) => {
                Ok(Sweep { workshop, text, phrase, range, low, high })
            }
            Err(finding) => {
                Err(NotChanged::NotUnderstood(Box::new(opened.sources), vec![*finding]))
            }
        }
    }

    /// The phrase.
    pub fn phrase(&self) -> &str {
        &self.phrase
    }

    /// Both ends of the range, the one that is further ahead or less first.
    pub fn ends(&self) -> (&Quantity, &Quantity) {
        (&self.low, &self.high)
    }

    /// The spec with the change made at one value.
    ///
    /// # Errors
    /// The phrase is not understood.
    pub fn at(&mut self, value: &Quantity) -> Result<(Done, Opened), NoSweep> {
        let mut phrase = self.phrase.clone();
        phrase.replace_range(self.range.clone(), &value.to_string());
        let (done, text) = self.workshop.one(&self.text, &phrase, 1)?;
        let Workshop { host, path, settings, engines, .. } = &mut self.workshop;
        let overlay = Overlay::new(*host, path, text);
        let opened =
            open_with(&overlay, path, engines, settings).map_err(NotChanged::Trouble)?;
        Ok((done, opened))
    }
}

type Found = (std::ops::Range<usize>, Quantity, Quantity);

/// The one range of a phrase.
fn find(opened: &Opened, phrase: Span) -> Result<Found, Box<Finding>> {
    let text = opened.sources.text(phrase);
    let tree = parse(phrase.file, text);
    let heads = tree.lines.iter().filter_map(|line| line.head.as_ref());
    let ranges: Vec<(&Atom, &Measure, &Amount)> = heads
        .flat_map(|head| &head.atoms)
        .filter_map(|atom| {
            let AtomKind::Measure(measure) = &atom.kind else { return None };
            let More::UpTo(last) = &measure.more else { return None };
            Some((atom, &**measure, last))
        })
        .collect();
    let (atom, measure, last) = match ranges.as_slice() {
        [one] => *one,
        [] => {
            let says = "expected a range to go through, as in `main at 30..75 mm aft`, found none";
            return Err(expected(phrase, says.to_owned()));
        }
        [_, (second, ..), ..] => {
            let says = "expected one range to go through, found a second";
            return Err(expected(second.span, says.to_owned()));
        }
    };
    let last_read = amount(opened, last, None);
    let first_read = amount(opened, &measure.first, Some(last));
    let (Some(first), Some(last)) = (first_read, last_read) else {
        let found = opened.sources.text(atom.span);
        let says = format!(
            "expected two numbers with a unit, as in 30..75 mm aft or 0..60 g, found `{found}`"
        );
        return Err(expected(atom.span, says));
    };
    if first.compare(&last).is_err() {
        let says = format!("expected two of a kind, found {first} and {last}");
        return Err(expected(atom.span, says));
    }
    let (low, high) = if first.si() <= last.si() { (first, last) } else { (last, first) };
    if high.si() - low.si() <= high.si().abs() * 1e-9 {
        let says = format!("expected two ends of a range, found {low} twice");
        return Err(expected(atom.span, says));
    }
    Ok((atom.span.start..atom.span.end, low, high))
}

/// A number with its unit and its side, which the left end takes from the right.
fn amount(opened: &Opened, amount: &Amount, lender: Option<&Amount>) -> Option<Quantity> {
    let text = |span: Span| opened.sources.text(span);
    let value = read_number(text(amount.number))?;
    let unit = amount.unit.or(lender.and_then(|lender| lender.unit))?;
    let unit = Unit::read(text(unit))?;
    let side = amount.side.or(lender.and_then(|lender| lender.side));
    let side = side.and_then(|side| Side::from_word(text(side)));
    let quantity = Quantity::new(value, &unit);
    Some(match side {
        Some(side) => quantity.on_side(side),
        None => quantity.with_axis(None::<Axis>),
    })
}

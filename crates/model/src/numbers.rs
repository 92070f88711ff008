//! From a measure of the tree to quantities: units read, sides turned into signs.

use trimsheet_quantity::{Dimension, Quantity, Side, Unit, nearest_unit, read_number};
use trimsheet_source::{Sources, Span};
use trimsheet_syntax::{Amount, Measure, More};

/// Why an amount could not be read as a quantity.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NoQuantity {
    /// Nothing says what the number counts.
    NoUnit,
    /// What stands behind the number is no unit; the nearest that is one.
    UnknownUnit(Span, Option<&'static str>),
    /// The number is too large, or divides by zero.
    NoNumber(Span),
    /// A minus, where a side is meant.
    Minus(Span),
    /// A spread in a unit of another dimension than its value.
    Spread(Span),
    /// A side behind the spread, which belongs behind the value at the second place.
    SideOfSpread(Span, Span),
    /// Colder than can be.
    TooCold(Span),
}

/// No number of an aircraft is larger, in SI units; products of a few stay finite.
const LARGEST: f64 = 1e15;

/// What an amount takes from the one on its right where it does not say it itself.
#[derive(Clone, Copy, Default)]
pub(crate) struct Lent {
    unit: Option<Span>,
    side: Option<Span>,
}

/// The first number of a measure, with its spread.
pub(crate) fn single(
    measure: &Measure,
    sources: &Sources,
) -> Result<Quantity, NoQuantity> {
    match &measure.more {
        More::Spread(spread) => {
            if let Some(side) = spread.side {
                let value = measure.first.unit.unwrap_or(measure.first.number);
                return Err(NoQuantity::SideOfSpread(side, value));
            }
            let lent = Lent {
                unit: spread.unit.filter(|unit| !is_percent(*unit, sources)),
                side: None,
            };
            let value = amount(&measure.first, lent, sources)?;
            with_spread(value, spread, sources)
        }
        More::None | More::UpTo(_) | More::By(_) => {
            amount(&measure.first, Lent::default(), sources)
        }
    }
}

/// Both ends of a range, sorted; one number is a range of itself.
pub(crate) fn range(
    measure: &Measure,
    sources: &Sources,
) -> Result<(Quantity, Quantity), NoQuantity> {
    let More::UpTo(last) = &measure.more else {
        let only = single(measure, sources)?;
        return Ok((only.clone(), only));
    };
    let last_read = amount(last, Lent::default(), sources)?;
    let first =
        amount(&measure.first, Lent { unit: last.unit, side: last.side }, sources)?;
    let in_order = first.si() <= last_read.si();
    Ok(if in_order { (first, last_read) } else { (last_read, first) })
}

/// The two or three lengths of a size.
pub(crate) fn size(
    measure: &Measure,
    sources: &Sources,
) -> Result<Vec<Quantity>, NoQuantity> {
    let mut amounts = vec![measure.first];
    if let More::By(more) = &measure.more {
        amounts.extend(more.iter().copied());
    }
    let unit = amounts.last().and_then(|last| last.unit);
    amounts.iter().map(|one| amount(one, Lent { unit, side: None }, sources)).collect()
}

fn amount(
    amount: &Amount,
    lent: Lent,
    sources: &Sources,
) -> Result<Quantity, NoQuantity> {
    let text = sources.text(amount.number);
    let number = read_number(text).ok_or(NoQuantity::NoNumber(amount.number))?;
    let unit_span = amount.unit.or(lent.unit).ok_or(NoQuantity::NoUnit)?;
    let unit_text = sources.text(unit_span);
    let unit = Unit::read(unit_text)
        .ok_or_else(|| NoQuantity::UnknownUnit(unit_span, nearest_unit(unit_text)))?;
    if text.starts_with('-') && !unit.may_be_negative() {
        return Err(NoQuantity::Minus(amount.number));
    }
    let quantity = Quantity::new(number, &unit);
    if LARGEST < quantity.si().abs() {
        return Err(NoQuantity::NoNumber(amount.number));
    }
    if unit.dimension() == Dimension::TEMPERATURE && quantity.si() < 0.0 {
        return Err(NoQuantity::TooCold(amount.number));
    }
    let side =
        amount.side.or(lent.side).and_then(|side| Side::from_word(sources.text(side)));
    Ok(match side {
        Some(side) => quantity.on_side(side),
        None => quantity,
    })
}

fn with_spread(
    value: Quantity,
    spread: &Amount,
    sources: &Sources,
) -> Result<Quantity, NoQuantity> {
    let at = spread.unit.unwrap_or(spread.number);
    let text = sources.text(spread.number);
    let number = read_number(text).ok_or(NoQuantity::NoNumber(spread.number))?;
    if number < 0.0 {
        return Err(NoQuantity::Minus(spread.number));
    }
    let percent = spread.unit.is_some_and(|unit| is_percent(unit, sources));
    if percent && value.unit().text() != "%" {
        let si = value.si().abs() * number / 100.0;
        if LARGEST < si {
            return Err(NoQuantity::NoNumber(spread.number));
        }
        return Ok(value.with_spread_si(si));
    }
    let text = sources.text(spread.unit.ok_or(NoQuantity::NoUnit)?);
    let unit = Unit::read(text)
        .ok_or_else(|| NoQuantity::UnknownUnit(at, nearest_unit(text)))?;
    let with = value.with_spread_in(number, &unit).ok_or(NoQuantity::Spread(at))?;
    let is_small = with.spread_si().is_some_and(|si| si <= LARGEST);
    if is_small { Ok(with) } else { Err(NoQuantity::NoNumber(spread.number)) }
}

fn is_percent(unit: Span, sources: &Sources) -> bool {
    sources.text(unit) == "%"
}

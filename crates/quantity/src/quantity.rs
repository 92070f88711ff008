//! A number that knows what it measures, how sure it is and which way it goes.

use std::cmp::Ordering;
use std::fmt::{Display, Formatter, Result as Written};

use crate::number::{spread_text, value_text};
use crate::{Axis, Dimension, Side, Unit, Unlike};

/// A number with its unit, and its spread and axis where it has them.
///
/// Two are equal with `==` if they are written alike; whether they measure the same is
/// asked with [`Quantity::compare`].
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    // Finite, and within LARGEST either way.
    si: f64,
    // The same, and not negative.
    spread: Option<f64>,
    unit: Unit,
    axis: Option<Axis>,
}

/// What no measure of an aircraft exceeds, in any unit. Far enough below the largest
/// double that turning it into another unit stays finite.
const LARGEST: f64 = 1e200;

impl Quantity {
    /// A number in `unit`.
    #[must_use]
    pub fn new(value: f64, unit: &Unit) -> Quantity {
        Quantity::from_si(unit.to_si(value), unit)
    }

    /// A number in SI units, to be shown in `unit`.
    ///
    /// What is no number counts as the largest there is. A power of nought has no
    /// number in dBm, and is shown in watts.
    #[must_use]
    pub fn from_si(si: f64, unit: &Unit) -> Quantity {
        let si = held(si);
        let fits = 0.0 < si || !unit.is_logarithmic();
        let unit = if fits { unit.clone() } else { unit.of_difference() };
        Quantity { si, spread: None, unit, axis: None }
    }

    /// The number in SI units; for a place, positive is aft, right or up.
    ///
    /// A C rating is per second here, so that times a charge it is a current.
    #[must_use]
    pub fn si(&self) -> f64 {
        self.si
    }

    /// The number in its own unit.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.unit.of_si(self.si)
    }

    /// The number in another unit, if that measures the same.
    #[must_use]
    pub fn value_in(&self, unit: &Unit) -> Option<f64> {
        self.in_unit(unit).map(|quantity| quantity.value())
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }

    /// The unit it is shown in.
    #[must_use]
    pub fn unit(&self) -> &Unit {
        &self.unit
    }

    /// The axis along which it goes, if it goes one way.
    #[must_use]
    pub fn axis(&self) -> Option<Axis> {
        self.axis
    }

    /// The expanded spread (coverage factor 2) in SI units.
    #[must_use]
    pub fn spread_si(&self) -> Option<f64> {
        self.spread
    }

    /// The expanded spread (coverage factor 2) in its own unit, as a difference.
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        self.spread.map(|spread| self.unit.step_of_si(spread, self.si))
    }

    /// The same with this expanded spread, in SI units.
    #[must_use]
    pub fn with_spread_si(self, spread: f64) -> Quantity {
        Quantity { spread: Some(held(spread).abs()), ..self }
    }

    /// The same with an expanded spread in `unit`, as a difference: `2 °C` is 2 K.
    ///
    /// `None` if the unit measures something else.
    #[must_use]
    pub fn with_spread_in(self, spread: f64, unit: &Unit) -> Option<Quantity> {
        if unit.dimension() != self.dimension() {
            return None;
        }
        let spread = unit.step_to_si(spread, self.si);
        Some(self.with_spread_si(spread))
    }

    /// The same without a spread.
    #[must_use]
    pub fn without_spread(self) -> Quantity {
        Quantity { spread: None, ..self }
    }

    /// The same along another axis, or along none; the sign stays.
    #[must_use]
    pub fn with_axis(self, axis: Option<Axis>) -> Quantity {
        Quantity { axis, ..self }
    }

    /// A length as it was written, on the side that stands behind it.
    #[must_use]
    pub fn on_side(self, side: Side) -> Quantity {
        let si = self.si * side.sign();
        Quantity { si, axis: Some(side.axis()), ..self }
    }

    /// The same shown in another unit, if that measures the same.
    #[must_use]
    pub fn in_unit(&self, unit: &Unit) -> Option<Quantity> {
        let same = unit.dimension() == self.dimension();
        same.then(|| Quantity {
            spread: self.spread,
            axis: self.axis,
            ..Quantity::from_si(self.si, unit)
        })
    }

    /// The sum, in the unit of this one.
    ///
    /// A place and a plain length make a place.
    ///
    /// # Errors
    /// Different dimensions, two different axes, or a sum that is too large.
    pub fn plus(&self, other: &Quantity) -> Result<Quantity, Unlike> {
        self.go_together(other)?;
        let axis = self.axis.or(other.axis);
        self.sum(self.si + other.si, other, &self.unit, axis)
    }

    /// The difference, in the unit of this one, or in kelvins for two in °C.
    ///
    /// Two places on one axis make a plain length, which is negative where the other
    /// lies further aft, right or up. A place less a plain length is a place.
    ///
    /// # Errors
    /// Different dimensions, two different axes, or a difference that is too large.
    pub fn minus(&self, other: &Quantity) -> Result<Quantity, Unlike> {
        self.go_together(other)?;
        let axis = if other.axis.is_some() { None } else { self.axis };
        let unit = match other.unit.may_be_negative() {
            true => self.unit.of_difference(),
            false => self.unit.clone(),
        };
        self.sum(self.si - other.si, other, &unit, axis)
    }

    fn sum(
        &self,
        si: f64,
        other: &Quantity,
        unit: &Unit,
        axis: Option<Axis>,
    ) -> Result<Quantity, Unlike> {
        let spread = joined(self.spread, 1.0, other.spread, 1.0);
        finished(si, spread, unit, axis)
    }

    /// The product, in the unit that builders use for it.
    ///
    /// A share leaves the other's unit as it is. A product that is a length or a moment
    /// keeps the axis, if one of the two has one.
    #[must_use]
    pub fn times(&self, other: &Quantity) -> Quantity {
        let dimension = self.dimension().times(other.dimension());
        let unit = if other.dimension() == Dimension::NONE {
            self.unit.clone()
        } else if self.dimension() == Dimension::NONE {
            other.unit.clone()
        } else {
            Unit::for_dimension(dimension)
        };
        let axis = match (self.axis, other.axis) {
            (Some(axis), None) | (None, Some(axis)) => kept_axis(axis, dimension),
            (Some(_), Some(_)) | (None, None) => None,
        };
        let spread = joined(self.spread, other.si, other.spread, self.si);
        let product = Quantity::from_si(self.si * other.si, &unit);
        Quantity { spread: spread.map(held), axis, ..product }
    }

    /// The quotient, in the unit that builders use for it.
    ///
    /// A share below leaves the unit as it is. A quotient that is a length or a moment
    /// keeps the axis of this one.
    ///
    /// # Errors
    /// Division by nought, or a quotient that is too large.
    pub fn over(&self, other: &Quantity) -> Result<Quantity, Unlike> {
        if other.si == 0.0 {
            let (what, by) = (self.to_string(), other.to_string());
            return Err(Unlike::DivisionByZero { what, by });
        }
        let dimension = self.dimension().over(other.dimension());
        let unit = match other.dimension() == Dimension::NONE {
            true => self.unit.clone(),
            false => Unit::for_dimension(dimension),
        };
        let axis = match (self.axis, other.axis) {
            (Some(axis), None) => kept_axis(axis, dimension),
            (Some(_) | None, Some(_)) | (None, None) => None,
        };
        let si = self.si / other.si;
        let spread = joined(self.spread, 1.0 / other.si, other.spread, si / other.si);
        finished(si, spread, &unit, axis)
    }

    /// So many times this, with as many times the spread.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Quantity {
        let spread = self.spread.map(|spread| held(spread * factor).abs());
        let scaled = Quantity::from_si(self.si * factor, &self.unit);
        Quantity { spread, axis: self.axis, ..scaled }
    }

    /// The same with the other sign; a place comes to lie on the other side.
    #[must_use]
    pub fn negated(&self) -> Quantity {
        self.scaled(-1.0)
    }

    /// The size without a sign, and without an axis.
    #[must_use]
    pub fn magnitude(&self) -> Quantity {
        Quantity { si: self.si.abs(), axis: None, ..self.clone() }
    }

    /// The number with two digits, or three if the first is a one, without its spread.
    #[must_use]
    pub fn rough(&self) -> Quantity {
        let two = format!("{:.1e}", self.value());
        let begins_with_one = two.trim_start_matches('-').starts_with('1');
        let text = if begins_with_one { format!("{:.2e}", self.value()) } else { two };
        let value = text.parse().unwrap_or(self.value());
        Quantity::new(value, &self.unit).with_axis(self.axis)
    }

    /// Which of the two is larger; further aft, right or up, for places.
    ///
    /// Numbers that agree in the first twelve digits are equal, so that what the last
    /// bit of a sum does never decides about a limit. A plain length compares with a
    /// place by its sign.
    ///
    /// # Errors
    /// Different dimensions, or two different axes.
    pub fn compare(&self, other: &Quantity) -> Result<Ordering, Unlike> {
        self.go_together(other)?;
        Ok(ordered(self.si, other.si))
    }

    /// Whether it is above the other, wherever in their spreads both really lie.
    ///
    /// # Errors
    /// Different dimensions, or two different axes.
    pub fn surely_above(&self, other: &Quantity) -> Result<bool, Unlike> {
        self.go_together(other)?;
        Ok(ordered(self.lower_end(), other.upper_end()) == Ordering::Greater)
    }

    /// Whether it could be above the other, somewhere in their spreads.
    ///
    /// # Errors
    /// Different dimensions, or two different axes.
    pub fn possibly_above(&self, other: &Quantity) -> Result<bool, Unlike> {
        self.go_together(other)?;
        Ok(ordered(self.upper_end(), other.lower_end()) == Ordering::Greater)
    }

    /// Whether it is below the other, wherever in their spreads both really lie.
    ///
    /// # Errors
    /// Different dimensions, or two different axes.
    pub fn surely_below(&self, other: &Quantity) -> Result<bool, Unlike> {
        self.go_together(other)?;
        Ok(ordered(self.upper_end(), other.lower_end()) == Ordering::Less)
    }

    /// Whether it could be below the other, somewhere in their spreads.
    ///
    /// # Errors
    /// Different dimensions, or two different axes.
    pub fn possibly_below(&self, other: &Quantity) -> Result<bool, Unlike> {
        self.go_together(other)?;
        Ok(ordered(self.lower_end(), other.upper_end()) == Ordering::Less)
    }

    /// The value, its side, and its spread: `161 mm aft ± 3 mm`.
    #[must_use]
    pub fn with_spread(&self) -> String {
        match self.spread() {
            Some(spread) => {
                let spread = in_words(&spread_text(spread), self.spread_unit());
                format!("{self} ± {spread}")
            }
            None => self.to_string(),
        }
    }

    // A spread of a power in dBm is one in decibels.
    fn spread_unit(&self) -> &str {
        if self.unit.is_logarithmic() { "dB" } else { self.unit.text() }
    }

    fn lower_end(&self) -> f64 {
        self.si - self.spread.unwrap_or(0.0)
    }

    fn upper_end(&self) -> f64 {
        self.si + self.spread.unwrap_or(0.0)
    }

    fn go_together(&self, other: &Quantity) -> Result<(), Unlike> {
        let (expected, is) = (self.dimension(), other.dimension());
        if expected != is {
            let found = other.to_string();
            return Err(Unlike::Dimensions { expected, found, is });
        }
        match (self.axis, other.axis) {
            (Some(expected), Some(is)) if expected != is => {
                Err(Unlike::Axes { expected, found: other.to_string(), is })
            }
            (Some(_) | None, Some(_) | None) => Ok(()),
        }
    }
}

impl Display for Quantity {
    /// Writes the value without its spread, and with no more digits than the spread
    /// deserves: `161 mm aft`, `1334 g`, `11.4 %`, `4S`.
    fn fmt(&self, f: &mut Formatter<'_>) -> Written {
        let text = value_text(self.value(), self.spread());
        let Some(axis) = self.axis else {
            return f.write_str(&in_words(&text, self.unit.text()));
        };
        // What prints as 0 lies on no side, and is written as the positive one.
        let sign = if text == "0" { 0.0 } else { self.si };
        let side = axis.side(sign).word();
        let text = match axis {
            Axis::Length | Axis::Side | Axis::Height => text.trim_start_matches('-'),
            Axis::Out => &text,
        };
        write!(f, "{} {side}", in_words(text, self.unit.text()))
    }
}

/// A number and its unit, with a space but in `4S` and `3°`.
fn in_words(number: &str, unit: &str) -> String {
    match unit {
        "S" | "°" => format!("{number}{unit}"),
        _ => format!("{number} {unit}"),
    }
}

fn kept_axis(axis: Axis, dimension: Dimension) -> Option<Axis> {
    (dimension == Dimension::LENGTH || dimension == Dimension::MOMENT).then_some(axis)
}

/// The spread of what depends on two others with these sensitivities, taken as
/// independent (JCGM 100:2008, equation 10).
fn joined(one: Option<f64>, per_one: f64, two: Option<f64>, per_two: f64) -> Option<f64> {
    if one.is_none() && two.is_none() {
        return None;
    }
    Some(libm::hypot(one.unwrap_or(0.0) * per_one, two.unwrap_or(0.0) * per_two))
}

fn finished(
    si: f64,
    spread: Option<f64>,
    unit: &Unit,
    axis: Option<Axis>,
) -> Result<Quantity, Unlike> {
    let is_small = |value: f64| value.abs() <= LARGEST;
    if !is_small(si) || !spread.is_none_or(is_small) {
        return Err(Unlike::TooLarge);
    }
    Ok(Quantity { spread, axis, ..Quantity::from_si(si, unit) })
}

/// The nearest number that a quantity may hold.
fn held(value: f64) -> f64 {
    if value.is_nan() { LARGEST } else { value.clamp(-LARGEST, LARGEST) }
}

fn ordered(one: f64, two: f64) -> Ordering {
    if (one - two).abs() <= 1e-12 * one.abs().max(two.abs()) {
        return Ordering::Equal;
    }
    one.total_cmp(&two)
}

#[cfg(test)]
mod tests;

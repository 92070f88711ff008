//! A number with all that makes it unsure, each by its name.

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::source::Span;

/// One thing that makes a number unsure.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is: `drag of wing`.
    pub name: String,
    /// Where it stands, if it stands anywhere.
    pub at: Option<Span>,
    /// By how much the number moves when this moves by its spread; with its sign, so
    /// that what comes in twice adds up or cancels.
    pub moves: f64,
}

/// A number in SI units with what makes it unsure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unsure {
    /// The number.
    pub value: f64,
    /// What makes it unsure, each name once.
    pub parts: Vec<Part>,
}

impl Unsure {
    /// A number that nothing makes unsure.
    #[must_use]
    pub fn exact(value: f64) -> Unsure {
        Unsure { value, parts: Vec::new() }
    }

    /// A number with its spread.
    #[must_use]
    pub fn of(name: &str, at: Option<Span>, value: f64, spread: f64) -> Unsure {
        Unsure { value, parts: vec![Part { name: name.to_owned(), at, moves: spread }] }
    }

    /// What follows from this number alone: its value, and how that answers to a small
    /// change of this.
    #[must_use]
    pub fn then(&self, value: f64, slope: f64) -> Unsure {
        let moved = |part: &Part| Part { moves: part.moves * slope, ..part.clone() };
        Unsure { value, parts: self.parts.iter().map(moved).collect() }
    }

    /// This and another number together.
    #[must_use]
    pub fn plus(mut self, other: &Unsure) -> Unsure {
        self.value += other.value;
        for part in &other.parts {
            match self.parts.iter_mut().find(|own| own.name == part.name) {
                Some(own) => own.moves += part.moves,
                None => self.parts.push(part.clone()),
            }
        }
        self
    }

    /// This without another number.
    #[must_use]
    pub fn minus(self, other: &Unsure) -> Unsure {
        self.plus(&other.then(-other.value, -1.0))
    }

    /// The product with another number.
    #[must_use]
    pub fn times(&self, other: &Unsure) -> Unsure {
        let both = self.then(0.0, other.value).plus(&other.then(0.0, self.value));
        Unsure { value: self.value * other.value, ..both }
    }

    /// One over this number.
    #[must_use]
    pub fn inverse(&self) -> Unsure {
        self.then(1.0 / self.value, -1.0 / (self.value * self.value))
    }

    /// The spread: the root of the sum of the squares (JCGM 100, equation 10).
    #[must_use]
    pub fn spread(&self) -> f64 {
        self.parts.iter().map(|part| part.moves * part.moves).sum::<f64>().sqrt()
    }

    /// What widens it most, and its share of the variance.
    #[must_use]
    pub fn widest(&self) -> Option<(&Part, f64)> {
        let whole = self.spread();
        let size = |part: &&Part| part.moves.abs();
        let widest =
            self.parts.iter().max_by(|one, two| size(one).total_cmp(&size(two)))?;
        let share = widest.moves / whole;
        Some((widest, share * share)).filter(|_| 0.0 < whole)
    }

    /// The quantity, in the unit in which builders read this dimension.
    #[must_use]
    pub fn quantity(&self, dimension: Dimension) -> Quantity {
        self.in_unit(&Unit::for_dimension(dimension))
    }

    /// The quantity in a unit.
    #[must_use]
    pub fn in_unit(&self, unit: &Unit) -> Quantity {
        Quantity::from_si(self.value, unit).with_spread_si(self.spread())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_in_twice_cancels_or_adds_up() {
        let mass = Unsure::of("mass", None, 3.0, 0.1);
        let none = mass.clone().minus(&mass);
        assert!(none.value.abs() < 1e-15 && none.spread() < 1e-15);
        let squared = mass.times(&mass);
        assert!((squared.spread() - 0.6).abs() < 1e-12);
        assert!((mass.times(&mass.inverse()).spread()) < 1e-15);
    }

    #[test]
    fn what_is_unsure_by_itself_adds_as_squares_and_the_larger_is_named() {
        let sum = Unsure::of("a", None, 1.0, 3.0).plus(&Unsure::of("b", None, 1.0, 4.0));
        assert!((sum.spread() - 5.0).abs() < 1e-12);
        let (widest, share) = sum.widest().unwrap();
        assert_eq!(widest.name, "b");
        assert!((share - 0.64).abs() < 1e-12);
        assert_eq!(Unsure::exact(2.0).widest(), None);
    }
}

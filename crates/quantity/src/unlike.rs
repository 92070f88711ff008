//! Why two quantities do not go together.

use std::fmt::{Display, Formatter, Result};

use crate::{Axis, Dimension};

/// Why an operation on two quantities has no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unlike {
    /// They measure different things.
    Dimensions {
        /// What the first one is.
        expected: Dimension,
        /// The second one, as it is printed.
        found: String,
        /// What the second one is.
        is: Dimension,
    },
    /// They lie along different axes.
    Axes {
        /// The axis of the first one.
        expected: Axis,
        /// The second one, as it is printed.
        found: String,
        /// The axis of the second one.
        is: Axis,
    },
    /// The second one is nought, and the first cannot be divided by it.
    DivisionByZero {
        /// The first one, as it is printed.
        what: String,
        /// The second one, as it is printed.
        by: String,
    },
    /// The result is larger than anything that is measured on an aircraft.
    TooLarge,
}

impl Display for Unlike {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        match self {
            Unlike::Dimensions { expected, found, is } => {
                write!(f, "{} was expected, {found} is {}", expected.says(), is.says())
            }
            Unlike::Axes { expected, found, is } => {
                write!(f, "{} was expected, {found} is {}", expected.says(), is.says())
            }
            Unlike::DivisionByZero { what, by } => {
                write!(f, "{what} cannot be divided by {by}, which is nought")
            }
            Unlike::TooLarge => f.write_str("the result is too large to be a measure"),
        }
    }
}

impl std::error::Error for Unlike {}

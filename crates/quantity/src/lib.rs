//! Numbers with a dimension, a spread and a side.
//!
//! A [`Unit`] is read from the text that a builder wrote, a [`Quantity`] is a number in
//! such a unit, and arithmetic on quantities refuses what does not go together: a mass
//! is not added to a length, nor a place along the length to a place to the side.
//! A spread is an expanded uncertainty with coverage factor 2 (NIST Technical Note
//! 1297, section 6), so the standard uncertainty is half of it; it is carried through
//! sums and products as JCGM 100:2008, equation 10 says for independent inputs.
//!
//! Inside, everything is in SI units; a quantity keeps the unit it was written in, and
//! is printed in it. Every number is finite: what comes out larger than `1e200` is held
//! there by what cannot fail, and is [`Unlike::TooLarge`] from what can.
//! Nothing here knows parts, lines or files.
//!
//! ```
//! use trimsheet_quantity::{Quantity, Side, Unit};
//!
//! let inch = Unit::read("in").ok_or("a unit")?;
//! let gram = Unit::read("g").ok_or("a unit")?;
//! let place = Quantity::new(3.5, &inch).on_side(Side::Ahead);
//! assert_eq!(place.to_string(), "3.5 in ahead");
//! let moment = place.times(&Quantity::new(40.0, &gram));
//! assert_eq!(moment.to_string(), "3556 g.mm ahead");
//! let error = place.plus(&Quantity::new(40.0, &gram)).unwrap_err();
//! assert_eq!(error.to_string(), "a length was expected, 40 g is a mass");
//! # Ok::<(), &str>(())
//! ```

mod dimension;
mod number;
mod quantity;
mod side;
mod table;
mod unit;
mod unlike;

pub use dimension::Dimension;
pub use number::read_number;
pub use quantity::Quantity;
pub use side::{Axis, Side};
pub use table::{UNITS, UnitRow};
pub use unit::{Unit, nearest_unit};
pub use unlike::Unlike;

/// The standard acceleration of free fall in m/s² (SI Brochure, 9th edition; exact).
pub const STANDARD_GRAVITY: f64 = 9.80665;

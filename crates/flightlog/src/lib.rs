//! Columns of a flight log to what was flown, in one pass and constant memory.
//!
//! A [`Mapping`] says which column is what, in which unit; [`read`] takes the log from
//! anything that can be read, finds out its delimiter, decimal mark and form of time,
//! and gives a [`Reading`]: the form, every row that could not be used with its sort and
//! line, and what was [`Flown`]. It knows no spec and no plan, and opens no file.
//!
//! One line is one row: a quoted field ends with its line, so a cut row costs one row
//! and not the rest of the file. Sums run, windows have a fixed length, and a histogram
//! doubles the width of its bins when it is outgrown, so memory is the same for a
//! minute and for a year.
//!
//! ```
//! use trimsheet_flightlog::{Channel, Column, Mapping, read};
//! use trimsheet_quantity::Unit;
//!
//! let column = |header: &str, unit| Column::plain(header, Unit::read(unit));
//! let mapping = Mapping::new(column("when", "s"))
//!     .with(Channel::Amps, column("drawn", "A"));
//! let log = "when,drawn\n0,4\n1800,4\n3600,4\n";
//! let reading = read(log.as_bytes(), &mapping).map_err(|no_log| no_log.to_string())?;
//! assert_eq!(reading.rows.good, 3);
//! assert_eq!(reading.flown.charge.map(|charge| charge.to_string()).as_deref(), Some("4 Ah"));
//! # Ok::<(), String>(())
//! ```

mod fields;
mod flown;
mod form;
mod lines;
mod mapping;
mod no_log;
mod number;
mod order;
mod reading;
mod rows;
mod time;

pub use flown::{
    CLIMB, Cruise, Extent, Flown, Lowest, Measure, Moment, Rest, STEADY, SteadyBy, WINDOW,
};
pub use form::{Decimal, Delimiter, Form};
pub use mapping::{Channel, Column, Mapping};
pub use no_log::{ColumnFault, FaultSort, NoLog};
pub use reading::{Reading, read};
pub use rows::{BadRow, Example, Gap, Gaps, Rows, SHOWN, SORTS};
pub use time::TimeForm;

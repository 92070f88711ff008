//! The mass and balance sheet: everything aboard, and where it balances.
//!
//! A [`Sheet`] is made from facts, and is plain data. [`text()`] writes it for a person
//! at the bench, [`json()`](json::json) for a program and [`csv()`](csv::csv) for a
//! spreadsheet, each a pure function. Limits stand beside the numbers that they are for;
//! whether one is kept is the business of rules, and no verdict stands here.
//!
//! What is not known stays so: the sheet lists what is known, and says of every total
//! that cannot be given because of which line.

mod aligned;
pub mod as_built;
pub mod csv;
pub mod debrief;
mod drawing;
pub mod json;
mod make;
mod number;
mod page;
mod sheet;
pub mod sweep;
mod text;
pub mod throws;
pub mod trial;
pub mod wiring;

pub use number::Number;
pub use sheet::{
    AsWeighed, Band, Change, Contributor, Corner, Distance, Estimate, Item, Limit, Line,
    Loadout, NotSaid, Sheet, Source, Total, Units,
};
pub use text::text;
pub use trimsheet_facts as facts;
pub use trimsheet_flightlog as flightlog;

//! A spec understood as an aircraft.
//!
//! The [`vocabulary`] says which words there are; [`resolve()`] groups the lines of a tree
//! into entries, matches their atoms to the rows of the table, binds names, follows
//! `include` and `like`, and makes two of a pair. Every value keeps its place, its source
//! and its spread. Nothing fails because a file is half written: what could not be read
//! is a finding, and counts as not known.
//!
//! What follows from a build is the business of the `facts` crate.

mod build;
mod date;
mod describe;
mod gather;
mod glued;
mod limit;
mod matching;
mod messages;
mod numbers;
pub mod reading;
mod resolve;
mod spread;
mod stage;
mod values;
pub mod vocabulary;

pub use build::{
    Build, Entry, EntryId, Fact, Half, Kind, Phase, Place, Source, Unknown, Value,
};
pub use date::{Date, NoDate};
pub use matching::read_alone;
pub use resolve::{
    Document, Include, PROOF_FORM, includes, is_proof, packs_named, resolve, resolve_with,
};
pub use spread::{UNSTATED, planned_spread};
pub use stage::Stage;
pub use {
    trimsheet_quantity as quantity, trimsheet_source as source,
    trimsheet_syntax as syntax,
};

//! The chain: find the files, read them and what they include, understand, judge.
//!
//! Everything outside comes through one [`Host`], and everything said comes back as one
//! [`Checked`], in the same order whatever the number of threads. What is shown of it,
//! and how, is the business of the programs that call [`check()`].

mod baseline;
mod bundle;
pub mod change;
mod check;
mod crew;
mod engines;
mod figures;
mod host;
mod load;
mod merge;
mod packs;
mod pages;
pub mod pictures;
mod proof;
mod reference;

pub use baseline::{Rebased, baseline};
pub use bundle::{Bundle, NoBundle, Taken, Wanting, bundle};
pub use check::{Checked, Locked, Opened, Settings, check, open};
pub use host::{Host, Memory, Trouble};
pub use load::proof_of;
pub use packs::{NoPack, read_pack};
pub use pages::pages;
pub use proof::{NotSigned, Signed, Signing, drawn, grounds, sign};
pub use {trimsheet_facts as facts, trimsheet_source as source};
pub use {
    trimsheet_model as model, trimsheet_rules as rules, trimsheet_script as script,
};

//! Rules: what they are, in which order they run, and how serious what they find is.
//!
//! A rule is data here: an id, a title, what it is about, levels by stage, parameters.
//! What it does is a script, and the `script` crate runs it: [`judge()`] is given that as
//! a function, so that nothing here knows a script, and nothing here knows a tree.

mod judge;
mod known;
mod layer;
pub mod lock;
pub mod manifest;
mod pack;
mod rule;
mod settings;

pub use judge::{
    Draft, Ended, Fault, Judgement, Outcome, ask, conclude, judge, subjects,
};
pub use known::{facts_sum, named};
pub use layer::{Layer, Owner};
pub use manifest::Manifest;
pub use pack::{MANIFEST, Pack, PackFile, STEPS, core, is_part};
pub use rule::{Levels, Parameter, Rule, Tighter};
pub use settings::{Raise, Set, Settings, Waiver, settings};
pub use {trimsheet_facts as facts, trimsheet_source as source};

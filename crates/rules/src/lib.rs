//! Rules: what they are, in which order they run, and how serious what they find is.
//!
//! A rule is data here: an id, a title, what it is about, levels by stage, parameters.
//! What it does is a script, and the `script` crate runs it: [`judge()`] is given that as
//! a function, so that nothing here knows a script, and nothing here knows a tree.

mod judge;
mod pack;
mod rule;
mod settings;

pub use judge::{Draft, Ended, Fault, Judgement, Outcome, judge};
pub use pack::{About, Pack, PackFile, core};
pub use rule::{Levels, Parameter, Rule};
pub use settings::{Setting, Settings, settings};
pub use {trimsheet_facts as facts, trimsheet_source as source};

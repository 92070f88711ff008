//! One test of a page: its files, what they must give, and where each stands.

use crate::{Mark, Settings};

/// One test: what stands under one heading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Case {
    /// The headings above it and its own, joined by ` / `.
    pub name: String,
    /// The line of its heading.
    pub line: usize,
    /// What was set for it and for the headings above.
    pub settings: Settings,
    /// Its files; the first is the one that is checked.
    pub files: Vec<Spec>,
    /// Texts that the check must give.
    pub blocks: Vec<Block>,
    /// Runs of the program, which [`run`](fn@crate::run) leaves alone.
    pub consoles: Vec<Console>,
}

/// One file of a test.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spec {
    /// Its name, as findings show it.
    pub name: String,
    /// Its lines, without marks.
    pub lines: Vec<SpecLine>,
    /// The marks that stood in it, in order.
    pub marks: Vec<Mark>,
}

/// One line of a file of a test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpecLine {
    /// The text, without its mark.
    pub text: String,
    /// The line of the page.
    pub line: usize,
}

/// A block whose text the check must give.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What it shows.
    pub shown: Shown,
    /// The line of the opening fence.
    pub line: usize,
    /// The line of the closing fence.
    pub end_line: usize,
    /// What stands between them.
    pub text: String,
}

/// What a block shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The findings, as a terminal shows them.
    Snapshot,
    /// The spec after its safe edits.
    Fixed,
    /// The spec after one remedy.
    Remedied(Name),
}

/// Which remedy is meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Name {
    /// Its number, from 1, over the remedies of all findings in order.
    Number(usize),
    /// Part of its sentence.
    Part(String),
}

/// A `console` block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Console {
    /// The line of the opening fence.
    pub line: usize,
    /// The commands, in order.
    pub steps: Vec<Step>,
}

/// One command of a `console` block, and what it must print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The line of the command.
    pub line: usize,
    /// The command behind `$`.
    pub command: String,
    /// The lines that follow it, each ended by a line break.
    pub expected: String,
}

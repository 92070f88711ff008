//! Text to a lossless, flat tree: lines, the facts on them, and the atoms of each.
//!
//! [`parse`] is a pure function that cannot fail. A line is read alone, by the grammar
//! in `grammar/trimsheet.pest`; what no rule of the grammar reads is kept as a stray.
//! The tree holds stretches of the text and no text of its own: the pieces of a
//! [`Tree`] and the gaps between them are the file, byte for byte.
//!
//! Nothing here knows a unit, an entry or a fact. Which words mean something, and what
//! may follow them, is the vocabulary's business: see the `model` crate.

mod grammar;
mod tree;

pub use grammar::{parse, parse_where};
pub use tree::{Amount, Arrow, Atom, AtomKind, Fact, Line, Measure, More, Tree};

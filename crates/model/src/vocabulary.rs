//! The form of the vocabulary: which words there are, and what may follow each.
//!
//! The table itself stands in `table`. Everything that has to do with a word is
//! derived from its row: whether it may stand there, what is expected behind it, how a
//! rule calls what it read, the published reference. Adding a fact is adding a row.

mod declared;
pub mod reference;
mod table;

use std::collections::HashMap;
use std::sync::LazyLock;

use trimsheet_quantity::{Axis, Dimension};

pub use declared::{Declared, Vocabulary, is_taken, rule_name};

use crate::describe::any_of;
use crate::stage::Stage;

/// A word that opens an entry, a fact or a source, and what may follow it.
#[derive(Debug)]
pub struct Row {
    /// The word.
    pub word: &'static str,
    /// The entries that it is a fact about; `part motor` is one kind of part.
    /// A row with nothing here opens an entry, one within [`SOURCE`] a source.
    pub within: &'static [&'static str],
    /// What follows the word.
    pub slots: &'static [Slot],
    /// Whether one entry may say it more than once.
    pub often: bool,
    /// The stage from which an entry that says it must know it.
    pub since: Option<Stage>,
    /// Whether it is the builder's business alone: a copy for others leaves it out.
    pub private: bool,
    /// What it means, in a sentence.
    pub says: &'static str,
    /// One line that shows it; for a fact, without its entry.
    pub example: &'static str,
}

/// What a source row stands within: the brackets behind a value.
pub const SOURCE: &str = "[]";

/// The entries that record something with its day, which somebody can sign.
pub const RECORDS: &[&str] =
    &["weighed", "balanced", "done", "saved", "checked", "ran", "flew"];

/// One thing that follows a word.
#[derive(Debug)]
pub struct Slot {
    /// What rules call it, and the word that leads it if it is `led`.
    pub name: &'static str,
    /// Whether the name stands before it in the text.
    pub led: bool,
    /// What it takes.
    pub takes: Takes,
    /// Whether it must be there, may be, or may be many times.
    pub need: Need,
}

/// Whether a slot must be filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Exactly one.
    Must,
    /// One or none.
    May,
    /// One or more, one behind the other; none too, where another slot stands before it.
    Many,
}

/// What a slot takes.
#[derive(Clone, Copy, Debug)]
pub enum Takes {
    /// `92 g`: a number with a unit of one of these dimensions; none named is any.
    Quantity(&'static [Dimension]),
    /// `85 mm ahead`: a number with a unit of one of these dimensions, and a side on one
    /// of these axes.
    Sided(&'static [Dimension], &'static [Axis]),
    /// `3S..4S`: two numbers, both ends included.
    Range(Dimension),
    /// `142..158 mm aft`: two numbers, each with a side.
    SidedRange(Dimension, &'static [Axis]),
    /// `85 mm ahead 30 mm left`: one to three sided lengths from the datum.
    Place,
    /// `128 x 42 x 30 mm`: lengths along, across and upward, or any two.
    Size,
    /// `24 A for 20 s`, `17 A steady`: a current and its phase.
    Load,
    /// `14`: a bare number, alone in its fact.
    Count,
    /// `linnet`: a new name.
    Name,
    /// `board.serial2`: something that one of these entries names.
    Reference(&'static [&'static str]),
    /// `balance/outside-band`
    Rule,
    /// One of a closed list of words.
    Word(&'static [&'static str]),
    /// `"Linnet 1100"`
    Text,
    /// `2026-03-14`
    Date,
    /// `receiver.data -> board.serial2`
    Arrow,
}

impl Takes {
    /// What is expected, as a message says it: `a length`, `one of hand, bungee`.
    pub fn says(self) -> String {
        match self {
            Takes::Quantity([]) => "a number with its unit".into(),
            Takes::Quantity(of) => any_dimension(of),
            Takes::Sided(of, axes) => {
                format!("{} with its side ({})", any_dimension(of), sides(axes))
            }
            Takes::Range(of) => format!("{}, or two with .. between", of.says()),
            Takes::SidedRange(of, axes) => {
                format!("{} from .. to with its side ({})", of.says(), sides(axes))
            }
            Takes::Place => "a place (85 mm ahead 30 mm left)".into(),
            Takes::Size => "a size (128 x 42 x 30 mm)".into(),
            Takes::Load => "a current with its phase (17 A steady)".into(),
            Takes::Count => "a whole number from 1 up".into(),
            Takes::Name => "a name".into(),
            Takes::Reference(entries) => {
                format!("the name of {}", any_of(entries))
            }
            Takes::Rule => "the name of a rule (balance/outside-band)".into(),
            Takes::Word([word]) => format!("`{word}`"),
            Takes::Word(words) if words.len() > 8 => {
                let some = words.iter().take(5).copied().collect::<Vec<_>>().join(", ");
                format!("one of {some} and {} more words", words.len() - 5)
            }
            Takes::Word(words) => format!("one of {}", words.join(", ")),
            Takes::Text => "a text in quotes".into(),
            Takes::Date => "a date (2026-03-14)".into(),
            Takes::Arrow => "two names with -> between them".into(),
        }
    }
}

fn any_dimension(of: &[Dimension]) -> String {
    let names: Vec<String> = of.iter().map(|one| one.says()).collect();
    names.join(" or ")
}

fn sides(axes: &[Axis]) -> String {
    let words: Vec<&str> = axes
        .iter()
        .map(|axis| match axis {
            Axis::Length => "ahead or aft",
            Axis::Side => "left or right",
            Axis::Height => "up or down",
            Axis::Out => "out",
        })
        .collect();
    words.join(", ")
}

impl Row {
    /// Whether the row opens an entry.
    pub fn opens_entry(&self) -> bool {
        self.within.is_empty()
    }

    /// Whether the row is a fact about entries of this word, of whatever kind.
    pub fn fits(&self, entry: &str) -> bool {
        self.within.iter().any(|within| within.split(' ').next() == Some(entry))
    }

    /// The kinds of part that the row belongs to, if it belongs to only some.
    pub fn kinds(&self, entry: &str) -> Vec<&'static str> {
        let with_kind = self.within.iter().filter_map(|within| within.split_once(' '));
        with_kind.filter(|(of, _)| *of == entry).map(|(_, kind)| kind).collect()
    }

    /// The slot that gives an entry its name.
    pub fn name_slot(&self) -> Option<&'static Slot> {
        let first = self.slots.first();
        first.filter(|slot| {
            self.opens_entry() && !slot.led && matches!(slot.takes, Takes::Name)
        })
    }
}

/// The row that opens an entry with this word.
pub fn entry(word: &str) -> Option<&'static Row> {
    of_word(word).find(|row| row.opens_entry())
}

/// The row of a fact about an entry.
pub fn fact(entry: &str, word: &str) -> Option<&'static Row> {
    of_word(word).find(|row| row.fits(entry))
}

fn of_word(word: &str) -> impl Iterator<Item = &'static Row> {
    WORDS.get(word).into_iter().flatten().copied()
}

/// The rows by their words: reading a spec asks for each of its words several times.
static WORDS: LazyLock<HashMap<&str, Vec<&Row>>> = LazyLock::new(|| {
    let mut words: HashMap<&str, Vec<&Row>> = HashMap::new();
    for row in table::rows() {
        words.entry(row.word).or_default().push(row);
    }
    words
});

/// Every fact that an entry may say.
pub fn facts(entry: &str) -> impl Iterator<Item = &'static Row> {
    table::rows().filter(move |row| row.fits(entry))
}

/// The example of a row as a small spec: a fact stands below an entry that may say it.
pub fn example_of(row: &Row) -> String {
    let Some(within) = row.within.first() else { return row.example.to_owned() };
    if *within == SOURCE {
        return format!("part x: mass 3 g {}", row.example);
    }
    let (word, kind) = within.split_once(' ').unwrap_or((within, ""));
    let opening = entry(word).map_or(word, |entry| entry.example);
    let head = opening.split(':').next().unwrap_or(word);
    let kind = if kind.is_empty() { String::new() } else { format!("kind {kind}; ") };
    format!("{head}\n    {kind}{}", row.example)
}

/// The kinds that a part can be.
pub fn part_kinds() -> &'static [&'static str] {
    let kind = fact("part", "kind").and_then(|row| row.slots.first());
    match kind.map(|slot| slot.takes) {
        Some(Takes::Word(words)) => words,
        Some(_) | None => &[],
    }
}

/// The kind of part that a word names.
pub fn part_kind(word: &str) -> Option<&'static str> {
    part_kinds().iter().copied().find(|kind| *kind == word)
}

/// Every row: of entries, of facts and of sources.
pub fn rows() -> impl Iterator<Item = &'static Row> {
    table::rows()
}

/// The row of a source.
pub fn source(word: &str) -> Option<&'static Row> {
    fact(SOURCE, word)
}

/// The words that open entries.
pub fn entry_words() -> impl Iterator<Item = &'static str> {
    table::rows().filter(|row| row.opens_entry()).map(|row| row.word)
}

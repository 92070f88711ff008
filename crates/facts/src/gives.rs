//! What kind of thing a rule gets when it asks for something by name.
//!
//! Every row of the table of computed facts names one of these, and what the vocabulary
//! lets a builder write has one by what its row takes. The published reference and the
//! look through a script before it runs both come from here.

use trimsheet_model::quantity::{Axis, Dimension};
pub use trimsheet_model::vocabulary::rule_name;
use trimsheet_model::vocabulary::{self, Need, Row, Slot, Takes, Vocabulary};

use crate::computed::{self, Computed};

/// What kind of thing something is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gives {
    /// The whole aircraft.
    Build,
    /// An entry that one of these words opens.
    Entry(&'static [&'static str]),
    /// The same, or a list of both halves where it is a pair.
    Named(&'static [&'static str]),
    /// A number with a unit of one of these dimensions; none named is any.
    Quantity(&'static [Dimension]),
    /// Two numbers, and the axis they lie on if it is one.
    Range(Dimension, Option<Axis>),
    /// One to three sided lengths from the datum.
    Place,
    /// Lengths along, across and upward, or any two.
    Size,
    /// A word, a name or a text.
    Words(Among),
    /// A day.
    Date,
    /// A whole number.
    Count,
    /// Yes or no.
    Flag,
    /// Several of a kind.
    List(&'static Gives),
    /// Several that belong together, each by its name.
    Record(&'static [Field]),
    /// Any value that the spec states as a number with a unit, known or not.
    Value,
    /// A line of this word that an entry of the first word states, by its first value;
    /// its other slots can be asked for.
    Line(&'static str, &'static str),
}

/// Which words something may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Among {
    /// Any words at all.
    Any,
    /// One of a list.
    These(&'static [&'static str]),
    /// A word that opens an entry.
    Entries,
    /// A word of the vocabulary, of an entry or of a fact.
    Facts,
    /// The name of a source, or `no source`.
    Sources,
    /// The name of a stage, or `no stage`.
    Stages,
}

/// One of the things in a record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// What rules call it.
    pub name: &'static str,
    /// What it is.
    pub gives: Gives,
    /// What it means, in a sentence.
    pub says: &'static str,
}

impl Among {
    /// The words, if they are of a list.
    pub fn words(self) -> Option<Vec<&'static str>> {
        match self {
            Among::Any => None,
            Among::These(words) => Some(words.to_vec()),
            Among::Entries => Some(vocabulary::entry_words().collect()),
            Among::Facts => Some(vocabulary::rows().map(|row| row.word).collect()),
            Among::Sources => {
                let all = vocabulary::facts(vocabulary::SOURCE).map(|row| row.word);
                Some(all.chain(["no source"]).collect())
            }
            Among::Stages => {
                let all = trimsheet_model::Stage::WORDS.iter().copied();
                Some(all.chain(["no stage"]).collect())
            }
        }
    }
}

impl Gives {
    /// What it is, as the reference and a message say it: `a mass`, `a list of records`.
    pub fn says(self) -> String {
        match self {
            Gives::Build => "the whole aircraft".into(),
            Gives::Entry([]) => "an entry".into(),
            Gives::Entry(words) => with_article(words),
            Gives::Named(words) => {
                format!("{}, or a list of both where it is a pair", with_article(words))
            }
            Gives::Quantity([]) => "a number with its unit".into(),
            Gives::Quantity(of) => {
                let names: Vec<String> = of.iter().map(|one| one.says()).collect();
                names.join(" or ")
            }
            Gives::Range(of, Some(_)) => format!("a range of places, each {}", of.says()),
            Gives::Range(of, None) => format!("a range, each end {}", of.says()),
            Gives::Place => "a place".into(),
            Gives::Size => "a size".into(),
            Gives::Words(Among::Any) => "words".into(),
            Gives::Words(Among::These(words)) => format!("a word: {}", words.join(", ")),
            Gives::Words(Among::Entries) => "a word that opens an entry".into(),
            Gives::Words(Among::Facts) => "a word of the language".into(),
            Gives::Words(Among::Sources) => "a source, or `no source`".into(),
            Gives::Words(Among::Stages) => "a stage, or `no stage`".into(),
            Gives::Date => "a date".into(),
            Gives::Count => "a whole number".into(),
            Gives::Flag => "yes or no".into(),
            Gives::List(of) => format!("a list of {}", of.several()),
            Gives::Record(_) => "a record".into(),
            Gives::Value => "a value, known or not".into(),
            Gives::Line(on, word) => {
                format!("a `{word}` of a {on}, with all that its line says")
            }
        }
    }

    /// What several of it are, behind `a list of`.
    fn several(self) -> String {
        match self {
            Gives::Entry([]) => "entries".into(),
            Gives::Entry(words) | Gives::Named(words) => {
                words.iter().map(|word| plural(word)).collect::<Vec<_>>().join(" and ")
            }
            Gives::Quantity([one]) => {
                let says = one.says();
                let noun = says.split_once(' ').map_or("", |(_, noun)| noun);
                plural(noun)
            }
            Gives::Quantity(_) => "numbers with their units".into(),
            Gives::Range(..) => "ranges".into(),
            Gives::Place => "places".into(),
            Gives::Size => "sizes".into(),
            Gives::Words(_) => "words".into(),
            Gives::Date => "dates".into(),
            Gives::Count => "whole numbers".into(),
            Gives::Record(_) => "records".into(),
            Gives::Value => "values".into(),
            Gives::Line(on, word) => {
                format!("`{word}`s of a {on}, each with all that its line says")
            }
            Gives::Build | Gives::Flag | Gives::List(_) => self.says(),
        }
    }

    /// What a slot of the vocabulary gives, once.
    pub fn slot(slot: &Slot) -> Gives {
        match slot.takes {
            Takes::Quantity(of) => Gives::Quantity(of),
            Takes::Sided(of, _) => Gives::Quantity(of),
            Takes::Load => Gives::Quantity(&[Dimension::CURRENT]),
            Takes::Range(of) => Gives::Range(of, None),
            Takes::SidedRange(of, axes) => {
                let [axis] = axes else { return Gives::Range(of, None) };
                Gives::Range(of, Some(*axis))
            }
            Takes::Place => Gives::Place,
            Takes::Size => Gives::Size,
            Takes::Count => Gives::Count,
            Takes::Reference(entries) => reference(entries),
            Takes::Word(words) => Gives::Words(Among::These(words)),
            Takes::Name | Takes::Rule | Takes::Text | Takes::Arrow => {
                Gives::Words(Among::Any)
            }
            Takes::Date => Gives::Date,
        }
    }
}

/// Only a part and a surface may be a pair.
fn reference(entries: &'static [&'static str]) -> Gives {
    if entries.iter().any(|word| matches!(*word, "part" | "surface")) {
        Gives::Named(entries)
    } else {
        Gives::Entry(entries)
    }
}

fn with_article(words: &[&str]) -> String {
    let all =
        words.iter().map(|word| match word.starts_with(['a', 'e', 'i', 'o', 'u']) {
            true => format!("an {word}"),
            false => format!("a {word}"),
        });
    all.collect::<Vec<_>>().join(" or ")
}

fn plural(word: &str) -> String {
    match word.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'o']) => format!("{stem}ies"),
        Some(_) | None => format!("{word}s"),
    }
}

/// Something that can be asked of an entry or of the build, by its name in rules.
#[derive(Clone, Copy, Debug)]
pub enum Asked {
    /// It follows from what the spec says.
    Computed(&'static Computed),
    /// The builder writes it: the first value of the first such line.
    Said(&'static Row),
    /// The builder may write it often: a list of the first value of each line.
    AllSaid(&'static Row),
    /// The first entry of this word.
    First(&'static str),
    /// Every entry of this word.
    Every(&'static str),
}

/// What a name means when it is asked of an entry of this word, or of `build`.
pub fn asked(vocabulary: &Vocabulary, on: &str, name: &str) -> Option<Asked> {
    if let Some(row) = computed::find(on, name) {
        return Some(Asked::Computed(row));
    }
    if on == "build" {
        let word = name.replace('_', "-");
        let one = vocabulary::entry(&word).map(|row| Asked::First(row.word));
        let every = || word.strip_suffix('s').and_then(vocabulary::entry);
        return one.or_else(|| every().map(|row| Asked::Every(row.word)));
    }
    let row = vocabulary.fact_called(on, name)?;
    Some(if row.often { Asked::AllSaid(row) } else { Asked::Said(row) })
}

/// Every name that can be asked of an entry of this word, or of `build`.
pub fn names(vocabulary: &Vocabulary, on: &str) -> Vec<String> {
    let computed = computed::names(on);
    if on == "build" {
        let words = vocabulary::entry_words().map(|word| word.replace('-', "_"));
        let words = words.flat_map(|word| [format!("{word}s"), word]);
        return words.chain(computed).collect();
    }
    vocabulary.facts(on).map(rule_name).chain(computed).collect()
}

/// Another slot of the line that a value stands in, by its name in rules, and whether it
/// is a list.
///
/// A slot that names an entry stands for that entry, and for its line first.
pub fn beside(row: &'static Row, name: &str) -> Option<(&'static Slot, bool)> {
    let word = name.replace('_', "-");
    let slot = row.slots.iter().find(|slot| slot.name == word)?;
    Some((slot, slot.need == Need::Many))
}

impl Asked {
    /// What kind of thing it is, as the reference says it.
    pub fn says(self) -> String {
        match self {
            Asked::Computed(row) => row.gives.says(),
            Asked::Said(row) => match row.slots.first() {
                Some(slot) => Gives::slot(slot).says(),
                None => Gives::Flag.says(),
            },
            Asked::AllSaid(row) => match row.slots.first() {
                Some(slot) => format!("a list of {}", Gives::slot(slot).several()),
                None => format!("a list of {}", Gives::Flag.says()),
            },
            Asked::First(word) => with_article(&[word]),
            Asked::Every(word) => format!("a list of {}", plural(word)),
        }
    }
}

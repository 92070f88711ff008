//! A spec, understood: entries with facts whose values keep their place and their source.
//!
//! The model is generic on purpose. Which entries and facts exist stands in the
//! vocabulary, so a value is found by the word that the builder wrote, and a rule
//! reaches it by the same word.

use trimsheet_quantity::Quantity;
use trimsheet_source::Span;
use trimsheet_syntax::Arrow;

use crate::date::Date;
use crate::stage::Stage;
use crate::vocabulary::{Row, Takes, Vocabulary};

/// One entry among those of a [`Build`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(pub usize);

/// Everything that a spec and its includes say.
#[derive(Clone, Debug, Default)]
pub struct Build {
    /// The entries, pairs already in two, in the order of the text; what stands on an
    /// included shelf comes behind.
    pub entries: Vec<Entry>,
    /// The stretch that stands for the whole aircraft: the `model` line, or the first.
    pub whole: Option<Span>,
    /// The words that it was read with.
    pub vocabulary: Vocabulary,
}

/// Something that a builder wrote about: a wing, a part, a loadout.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The row of its word.
    pub row: &'static Row,
    /// What it is called; an entry without a name goes by its word.
    pub name: String,
    /// What stands in its head.
    pub head: Fact,
    /// What is said about it, in the order of the text.
    pub facts: Vec<Fact>,
    /// Facts that were said again, each with the index of the first.
    pub repeats: Vec<(usize, Fact)>,
    /// Whether it belongs to this aircraft, rather than to a shelf that was included.
    pub aboard: bool,
    /// Which half of a pair it is, where it is one.
    pub half: Option<Half>,
}

/// One half of a pair, as the pilot sees it from behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// The left one.
    Left,
    /// The right one.
    Right,
}

impl Half {
    /// Both halves, as their entries stand in a build.
    pub const ALL: [Half; 2] = [Half::Left, Half::Right];

    /// The word for it behind the pair's name.
    pub fn word(self) -> &'static str {
        match self {
            Half::Left => "left",
            Half::Right => "right",
        }
    }
}

/// A word and the values that followed it.
#[derive(Clone, Debug)]
pub struct Fact {
    /// The row of its word.
    pub row: &'static Row,
    /// From the word to its last value.
    pub span: Span,
    /// The values, each with the name of its slot, in the order of the text.
    pub values: Vec<(&'static str, Value)>,
    /// Whether something in it could not be read: what it lacks is then not known.
    pub damaged: bool,
    /// The `like` through which it came, if it was taken from another entry.
    pub via: Option<Span>,
}

/// A value with its place, and where it comes from.
#[derive(Clone, Debug)]
pub struct Value {
    /// What it is.
    pub kind: Kind,
    /// Where it stands.
    pub span: Span,
    /// Where it comes from, if that is said.
    pub source: Option<Box<Source>>,
    /// Whether it is `about`: reckoned with, and still not known.
    pub about: bool,
    /// Whether its spread was not written but assumed from its source.
    pub assumed: bool,
    /// The `like` through which it came.
    pub via: Option<Span>,
}

/// What a value is. What few values have is boxed: a spec has a thousand values, and
/// rules copy them many times over.
#[derive(Clone, Debug)]
pub enum Kind {
    /// `92 g`, `11 mm up`
    Quantity(Quantity),
    /// `142..158 mm aft`, the end that is further ahead, inward or less first.
    Range(Quantity, Box<Quantity>),
    /// `85 mm ahead 30 mm left`
    Place(Box<Place>),
    /// `128 x 42 x 30 mm`
    Size(Vec<Quantity>),
    /// `24 A for 20 s`
    Load(Quantity, Box<Phase>),
    /// `14`
    Count(u32),
    /// `linnet`
    Name(String),
    /// `nose`, and the entry that it names; a pair's name means both.
    Reference(String, Vec<EntryId>),
    /// `balance/outside-band`
    Rule(String),
    /// `tailless`
    Word(&'static str),
    /// `"Linnet 1100"`, without its quotes.
    Text(String),
    /// `2026-03-14`
    Date(Date),
    /// `receiver.data -> board.serial2`: from where, to where, and how that is written.
    Way(String, String, Arrow),
    /// Not known, and why not.
    Unknown(Unknown),
}

/// Why a value is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// The builder wrote `?`.
    Written,
    /// The text could not be read, and a finding says so.
    Damaged,
    /// A number without a unit.
    NoUnit,
    /// It is said twice, and not alike.
    Conflict,
}

/// A place, from the datum: aft, right and up are positive.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Ahead or aft.
    pub along: Quantity,
    /// Left or right, or out from the centre line; the centre line where it is not said.
    pub across: Option<Quantity>,
    /// Up or down; the chord line where it is not said.
    pub upward: Option<Quantity>,
}

/// For how long a current flows.
#[derive(Clone, Debug, PartialEq)]
pub enum Phase {
    /// For as long as the pack lasts.
    Steady,
    /// While a servo moves.
    Working,
    /// While a servo is held.
    Stalled,
    /// For so many seconds.
    For(Quantity),
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The word: `weighed`.
    pub word: &'static str,
    /// When.
    pub date: Option<Date>,
    /// On which instrument.
    pub on: Option<String>,
    /// Where it is said.
    pub span: Span,
}

impl Build {
    /// The entry with this id.
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(id.0)
    }

    /// Every entry that is part of this aircraft, with its id.
    pub fn aboard(&self) -> impl Iterator<Item = (EntryId, &Entry)> {
        let all = self.entries.iter().enumerate();
        all.filter(|(_, entry)| entry.aboard).map(|(at, entry)| (EntryId(at), entry))
    }

    /// Every entry of this word that is part of this aircraft.
    pub fn of_word<'a>(
        &'a self,
        word: &'a str,
    ) -> impl Iterator<Item = (EntryId, &'a Entry)> {
        self.aboard().filter(move |(_, entry)| entry.row.word == word)
    }

    /// The stage that the spec says the build has reached.
    pub fn stage(&self) -> Option<Stage> {
        let (_, model) = self.of_word("model").next()?;
        Stage::from_word(model.fact("stage")?.first()?.text()?)
    }

    /// Whether the file is about an aircraft, rather than a shelf of parts.
    pub fn is_aircraft(&self) -> bool {
        self.aboard()
            .any(|(_, entry)| matches!(entry.row.word, "model" | "wing" | "loadout"))
    }
}

impl Entry {
    /// Where the entry opens.
    pub fn span(&self) -> Span {
        self.head.span
    }

    /// What the entry says under this word, the first time.
    pub fn fact(&self, word: &str) -> Option<&Fact> {
        self.facts.iter().find(|fact| fact.row.word == word)
    }

    /// Everything that the entry says under this word.
    pub fn all<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Fact> {
        self.facts.iter().filter(move |fact| fact.row.word == word)
    }

    /// Whether the entry says this word, as in `optional`.
    pub fn says(&self, word: &str) -> bool {
        self.fact(word).is_some()
    }

    /// Whether what it is like is not known, so that what it does not say itself is not
    /// known either, rather than absent.
    pub fn is_damaged(&self) -> bool {
        let takes_like = self.row.slots.iter().any(|slot| slot.name == "like");
        let like = self.head.slot("like");
        takes_like && self.head.damaged
            || like.is_some_and(|like| matches!(like.kind, Kind::Unknown(_)))
    }

    /// What a message calls it: `motor`, or its word where it has no name.
    pub fn title(&self) -> String {
        if self.name == self.row.word || self.name.is_empty() {
            format!("the {}", self.row.word)
        } else {
            format!("{} {}", self.row.word, self.name)
        }
    }

    /// The kind of a part, where it says it.
    pub fn kind(&self) -> Option<&'static str> {
        let Kind::Word(word) = self.fact("kind")?.first()?.kind else { return None };
        Some(word)
    }
}

impl Fact {
    /// The first value.
    pub fn first(&self) -> Option<&Value> {
        self.values.first().map(|(_, value)| value)
    }

    /// The value of a slot, the first time.
    pub fn slot(&self, name: &str) -> Option<&Value> {
        self.values.iter().find(|(slot, _)| *slot == name).map(|(_, value)| value)
    }

    /// Every value of a slot.
    pub fn slots<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Value> {
        self.values.iter().filter(move |(slot, _)| *slot == name).map(|(_, value)| value)
    }
}

impl Value {
    /// A value that could not be read.
    pub(crate) fn damaged(span: Span) -> Value {
        Value::new(Kind::Unknown(Unknown::Damaged), span)
    }

    /// A value that nothing is known about but what it is and where it stands.
    pub(crate) fn new(kind: Kind, span: Span) -> Value {
        Value { kind, span, source: None, about: false, assumed: false, via: None }
    }

    /// The quantity, if it is one and is known.
    pub fn quantity(&self) -> Option<&Quantity> {
        let (Kind::Quantity(quantity) | Kind::Load(quantity, _)) = &self.kind else {
            return None;
        };
        Some(quantity)
    }

    /// Both ends, if it is a range and is known.
    pub fn range(&self) -> Option<(&Quantity, &Quantity)> {
        let Kind::Range(low, high) = &self.kind else { return None };
        Some((low, high))
    }

    /// The place, if it is one and is known.
    pub fn place(&self) -> Option<&Place> {
        let Kind::Place(place) = &self.kind else { return None };
        Some(place)
    }

    /// The entries that it names: none, one, or both halves of a pair.
    pub fn targets(&self) -> &[EntryId] {
        let Kind::Reference(_, ids) = &self.kind else { return &[] };
        ids
    }

    /// The words that it is, if it is a word, a name or a text.
    pub fn text(&self) -> Option<&str> {
        if let Kind::Word(word) = &self.kind {
            return Some(word);
        }
        let (Kind::Name(text)
        | Kind::Text(text)
        | Kind::Rule(text)
        | Kind::Reference(text, _)) = &self.kind
        else {
            return None;
        };
        Some(text)
    }

    /// Why it is not known, if it is not.
    pub fn unknown(&self) -> Option<Unknown> {
        let Kind::Unknown(why) = self.kind else { return None };
        Some(why)
    }

    /// The day, if it is one.
    pub fn date(&self) -> Option<Date> {
        let Kind::Date(date) = self.kind else { return None };
        Some(date)
    }

    /// Whether it is known, as far as `about` is not.
    pub fn is_known(&self) -> bool {
        !self.about && !matches!(self.kind, Kind::Unknown(_))
    }
}

impl Takes {
    /// Whether a value of it carries a spread and so wants a source.
    pub fn is_measured(self) -> bool {
        match self {
            Takes::Quantity(_)
            | Takes::Sided(..)
            | Takes::Range(_)
            | Takes::SidedRange(..)
            | Takes::Place
            | Takes::Size
            | Takes::Load => true,
            Takes::Count
            | Takes::Name
            | Takes::Reference(_)
            | Takes::Rule
            | Takes::Word(_)
            | Takes::Text
            | Takes::Date
            | Takes::Arrow => false,
        }
    }
}

//! The shape of what was read.

use trimsheet_source::Span;

/// A file as lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Tree {
    /// Every line, empty ones included, in order.
    pub lines: Vec<Line>,
}

/// One line of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The line without its break.
    pub span: Span,
    /// What begins in column 1, which opens an entry: `part motor`.
    pub head: Option<Fact>,
    /// What stands behind the head's mark, or on an indented line.
    pub facts: Vec<Fact>,
    /// From `#` to the end of the line.
    pub comment: Option<Span>,
}

/// A word and what follows it: `mass 86 g [weighed]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// From the first atom to the last.
    pub span: Span,
    /// At least one.
    pub atoms: Vec<Atom>,
}

/// The smallest thing that is read: a word, a measure, a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Atom {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: AtomKind,
}

/// What an atom is, each shown by the text that it stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum AtomKind {
    /// `"Linnet 1100"`, quotes included.
    Text,
    /// `2026-03-14` or `2026-03-14T09:30`.
    Date,
    /// `86 g`, `142..158 mm aft`, `128 x 42 x 30 mm`, `about 36 g ± 6 g`.
    Measure(Box<Measure>),
    /// `?`
    Unknown,
    /// `->`
    Arrow(Arrow),
    /// `[weighed 2026-03-06 on scale-a]`, with what stands in it.
    Source(Vec<Atom>),
    /// `balance/outside-band`
    Rule,
    /// `board.serial2`
    Path,
    /// `motor`
    Name,
    /// A `"` or `[` that is never closed, with the rest of the line.
    LeftOpen,
    /// `@@`, `3-way`: whatever nothing else reads.
    Stray,
}

/// Which way a join goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrow {
    /// `->`
    To,
    /// `<-`
    From,
    /// `<->`
    Both,
}

/// One number or several that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Whether `about` stands before it.
    pub about: bool,
    /// The first number.
    pub first: Amount,
    /// What follows it.
    pub more: More,
}

/// What may follow the first number of a measure.
#[derive(Clone, Debug, PartialEq)]
pub enum More {
    /// `86 g`
    None,
    /// `142..158 mm`
    UpTo(Amount),
    /// `9 x 5 in`
    By(Vec<Amount>),
    /// `45 g ± 5 g`
    Spread(Amount),
}

/// A number with the unit and the side that stand behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// `3 1/2`
    pub number: Span,
    /// `mm`
    pub unit: Option<Span>,
    /// `aft`
    pub side: Option<Span>,
}

impl Tree {
    /// Every stretch that was read as something, in order and without overlaps.
    ///
    /// These and the gaps between them, which hold marks and white space, are the file.
    pub fn pieces(&self) -> impl Iterator<Item = Span> {
        self.lines.iter().flat_map(|line| {
            let facts = line.head.iter().chain(&line.facts);
            facts
                .flat_map(|fact| fact.atoms.iter().map(|atom| atom.span))
                .chain(line.comment)
        })
    }
}

//! The one diagnostic type: what is wrong, where, because of what, and what to do.
//!
//! A finding is plain data. How it is drawn, in which colours and in which format,
//! is the business of the `output` crate.

use crate::{Edit, Span};

/// How serious a finding is, the least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Good to know.
    Note,
    /// Look at it before the next stage.
    Warning,
    /// The spec contradicts itself, or something asked of it.
    Error,
    /// Do not fly.
    Stop,
}

impl Level {
    /// Every level, the least first.
    pub const ALL: [Level; 4] = [Level::Note, Level::Warning, Level::Error, Level::Stop];

    /// The word for it in rules, on the command line and in reports.
    pub fn word(self) -> &'static str {
        match self {
            Level::Note => "note",
            Level::Warning => "warning",
            Level::Error => "error",
            Level::Stop => "stop",
        }
    }

    /// The level that a word names.
    pub fn from_word(word: &str) -> Option<Level> {
        Level::ALL.into_iter().find(|level| level.word() == word)
    }
}

impl std::fmt::Display for Level {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

/// What a finding is called, as in `balance/outside-band`: a group and the fault.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub String);

impl RuleId {
    /// The id with this text.
    pub fn new(text: impl Into<String>) -> RuleId {
        RuleId(text.into())
    }
}

impl std::fmt::Display for RuleId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// A number behind a label, for readers that are programs.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What it is the value of, as in `loadout.balance.x`.
    pub name: String,
    /// The value in `unit`; for a place, positive is aft, right or up.
    pub value: f64,
    /// The unit, as the language writes it.
    pub unit: String,
    /// The expanded spread (coverage factor 2) in `unit`, where it is known.
    pub spread: Option<f64>,
    /// Where the value comes from, as in `weighed`; a computed value has none.
    pub source: Option<String>,
}

/// A stretch of a file with a few words about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The stretch.
    pub span: Span,
    /// The words; may be empty on a primary label.
    pub text: String,
    /// The number that stands there or was worked out for it.
    pub value: Option<Measured>,
}

impl Label {
    /// A label with words and no number.
    pub fn new(span: Span, text: impl Into<String>) -> Label {
        Label { span, text: text.into(), value: None }
    }
}

/// A finding that somebody lets pass: with a reason, and until a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Waived {
    /// What was found.
    pub finding: Finding,
    /// The reason, where it stands.
    pub because: Label,
    /// Who answers for it.
    pub by: String,
    /// The last day on which it holds, after ISO 8601.
    pub until: String,
}

/// Whether an edit may be made without asking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Safety {
    /// The same build in another spelling.
    Safe,
    /// The aircraft changes: a person must choose it.
    Offered,
}

impl Safety {
    /// The word for it in reports.
    pub fn word(self) -> &'static str {
        match self {
            Safety::Safe => "safe",
            Safety::Offered => "offered",
        }
    }
}

/// Something that can be done with hands, and how it is written down when done.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// The sentence, with its numbers.
    pub says: String,
    /// What would change in the spec; empty where nothing can be written for it.
    pub edits: Vec<Edit>,
    /// Whether the edit may be made without asking.
    pub safety: Safety,
}

/// One thing that is wrong, or worth knowing, at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is called.
    pub rule: RuleId,
    /// How serious it is.
    pub level: Level,
    /// A sentence that stands alone.
    pub headline: String,
    /// The builder's own line that it is about.
    pub primary: Label,
    /// The other lines that caused it.
    pub because: Vec<Label>,
    /// What to do, the cheapest first.
    pub remedies: Vec<Remedy>,
    /// What is not certain about it and what to measure next; `None` is certain.
    pub likely: Option<String>,
}

/// A rule that could not judge something, because it read what is not known.
///
/// Not a finding: nothing is wrong yet. It is counted and shown with its line, so that
/// silence is never taken for a pass.
#[derive(Clone, Debug, PartialEq)]
pub struct CannotSay {
    /// The rule.
    pub rule: RuleId,
    /// What it was asked about, as in `loadout ferry`.
    pub about: Label,
    /// The line whose value is not known, and which value that is.
    pub because: Label,
}

/// What was worked out about something, whether or not a rule finds fault with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// What it is about, as in `loadout ferry`.
    pub about: Label,
    /// The numbers in a sentence, with the limits that stand in the spec.
    pub says: String,
    /// The numbers, for readers that are programs.
    pub numbers: Vec<Measured>,
}

impl Finding {
    /// A finding with a primary label and nothing else yet.
    pub fn new(
        rule: impl Into<String>,
        level: Level,
        span: Span,
        headline: impl Into<String>,
    ) -> Finding {
        Finding {
            rule: RuleId::new(rule),
            level,
            headline: headline.into(),
            primary: Label::new(span, ""),
            because: Vec::new(),
            remedies: Vec::new(),
            likely: None,
        }
    }

    /// The same, with words under the primary label.
    #[must_use]
    pub fn labelled(mut self, text: impl Into<String>) -> Finding {
        self.primary.text = text.into();
        self
    }

    /// The same, with another line that caused it.
    #[must_use]
    pub fn because(mut self, span: Span, text: impl Into<String>) -> Finding {
        self.because.push(Label::new(span, text));
        self
    }

    /// The same, with advice that needs no edit.
    #[must_use]
    pub fn advised(mut self, says: impl Into<String>) -> Finding {
        let (says, edits) = (says.into(), Vec::new());
        self.remedies.push(Remedy { says, edits, safety: Safety::Offered });
        self
    }

    /// The same, with a remedy that can be written into the spec.
    #[must_use]
    pub fn remedied(
        mut self,
        says: impl Into<String>,
        safety: Safety,
        edits: Vec<Edit>,
    ) -> Finding {
        self.remedies.push(Remedy { says: says.into(), edits, safety });
        self
    }
}

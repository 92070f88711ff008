//! How far a build has come.

/// The stages of a build, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// On paper.
    Planned,
    /// Parts proved on the bench.
    Bench,
    /// Built in.
    Installed,
    /// Balanced on a stand.
    Balanced,
    /// Ready for the field.
    Ready,
    /// Flown.
    Flown,
}

impl Stage {
    /// Every stage, in order.
    pub const ALL: [Stage; 6] = [
        Stage::Planned,
        Stage::Bench,
        Stage::Installed,
        Stage::Balanced,
        Stage::Ready,
        Stage::Flown,
    ];

    /// The words, in order.
    pub const WORDS: &'static [&'static str] =
        &["planned", "bench", "installed", "balanced", "ready", "flown"];

    /// The word for it in a spec and in rules.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Planned => "planned",
            Stage::Bench => "bench",
            Stage::Installed => "installed",
            Stage::Balanced => "balanced",
            Stage::Ready => "ready",
            Stage::Flown => "flown",
        }
    }

    /// The stage that a word names.
    pub fn from_word(word: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.word() == word)
    }
}

impl std::fmt::Display for Stage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

//! Who speaks: the layers in which rules and what is set for them lie upon each other.

/// Whose rules a pack holds, in the order in which the layers apply.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// The rules that are built into the program.
    Core,
    /// What the designer of a kit states of it.
    Kit,
    /// What a club wants.
    #[default]
    Club,
    /// One builder's own habits.
    Personal,
}

impl Layer {
    /// Every layer that a pack can lie in; the core is none.
    pub const OF_PACKS: [Layer; 3] = [Layer::Kit, Layer::Club, Layer::Personal];

    /// The word for it in `pack.toml` and in lists.
    pub fn word(self) -> &'static str {
        match self {
            Layer::Core => "core",
            Layer::Kit => "kit",
            Layer::Club => "club",
            Layer::Personal => "personal",
        }
    }
}

/// Who has set something: an issue of a pack, or the spec itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Owner {
    /// A pack, as its name and its issue.
    Pack(String),
    /// The spec.
    Model,
}

impl std::fmt::Display for Owner {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Owner::Pack(name) => f.write_str(name),
            Owner::Model => f.write_str("this model"),
        }
    }
}

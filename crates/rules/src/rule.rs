//! What a rule is, apart from what it does.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use std::borrow::Cow;

use trimsheet_facts::model::Stage;
use trimsheet_facts::model::quantity::Quantity;
use trimsheet_source::{Level, RuleId, RuleText, Span};

use crate::layer::Layer;

/// A rule, as its script's constants and its page state it.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Its group and its fault: `balance/outside-band`; before it the pack's name, but
    /// for the core's.
    pub id: RuleId,
    /// The pack that it comes with, as its name and its issue.
    pub pack: String,
    /// The layer of that pack.
    pub layer: Layer,
    /// The first line of its script: what is wrong when it fires.
    pub title: String,
    /// What it is called for: `build`, `value`, or words that open entries.
    pub about: Vec<String>,
    /// A fact, by its name in rules: only for entries that say it the rule is called.
    pub said: Option<String>,
    /// How serious what it finds is, by stage.
    pub levels: Levels,
    /// Whether a spec may waive it with a reason.
    pub waivable: bool,
    /// What a later layer or a spec may set.
    pub parameters: Vec<Parameter>,
    /// The stretch that stands for the script.
    pub script: Span,
    /// The text of its page.
    pub page: Cow<'static, str>,
}

impl Rule {
    /// What it says of itself to people.
    pub fn text(&self) -> RuleText {
        let level = self.levels.steps().map(|(_, level)| level).max();
        let (id, title, page) = (self.id.clone(), self.title.clone(), self.page.clone());
        RuleText { id, title, level, page }
    }
}

/// A number that a rule leaves to be set.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// What it is called.
    pub name: String,
    /// Its value where nobody sets it.
    pub default: Quantity,
    /// Which way it can be set without letting more pass.
    pub tighter: Tighter,
}

/// Which way a parameter makes its rule stricter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tighter {
    /// `3 mm or more`: a later layer may ask for more.
    More,
    /// `3 mm or less`: a later layer may allow less.
    Less,
    /// It is no limit, and may be set either way.
    Either,
}

impl Tighter {
    /// What stands behind the value in a script, as in `3 mm or more`.
    pub fn words(self) -> &'static str {
        match self {
            Tighter::More => " or more",
            Tighter::Less => " or less",
            Tighter::Either => "",
        }
    }

    /// Whether a value lets pass what `than` does not; unlike values do not compare.
    pub fn is_loosened(self, value: &Quantity, than: &Quantity) -> bool {
        let order = value.compare(than).ok();
        match self {
            Tighter::More => order == Some(Ordering::Less),
            Tighter::Less => order == Some(Ordering::Greater),
            Tighter::Either => false,
        }
    }
}

/// From which stage on a rule speaks, and how seriously.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Levels(BTreeMap<Stage, Level>);

impl Levels {
    /// Levels that each hold from their stage on.
    pub fn new(levels: impl IntoIterator<Item = (Stage, Level)>) -> Levels {
        Levels(levels.into_iter().collect())
    }

    /// The level at a stage; before the first stage that is named, a rule is silent.
    pub fn at(&self, stage: Stage) -> Option<Level> {
        self.0.range(..=stage).next_back().map(|(_, level)| *level)
    }

    /// Every step, in order.
    pub fn steps(&self) -> impl Iterator<Item = (Stage, Level)> {
        self.0.iter().map(|(stage, level)| (*stage, *level))
    }
}

impl std::fmt::Display for Levels {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let steps: Vec<String> =
            self.steps().map(|(stage, level)| format!("{level} from {stage}")).collect();
        f.write_str(&steps.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_holds_from_its_stage_to_the_next_that_is_named() {
        let levels =
            Levels::new([(Stage::Bench, Level::Warning), (Stage::Ready, Level::Stop)]);
        assert_eq!(levels.at(Stage::Planned), None);
        assert_eq!(levels.at(Stage::Balanced), Some(Level::Warning));
        assert_eq!(levels.at(Stage::Flown), Some(Level::Stop));
        assert_eq!(levels.to_string(), "warning from bench, stop from ready");
    }
}

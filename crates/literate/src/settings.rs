//! What a `toml` block sets for the tests of its heading and below.

use serde::Deserialize;
use toml::value::Datetime;
use trimsheet_project::source::RuleId;

/// How findings begin that always count: those of reading, and those about rules that
/// could not run.
const ALWAYS: [&str; 3] = ["read/", "doc/value-without-unit", "rules/"];

/// What is set for one test.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    /// The stage to judge for, where the spec's own is not to be used.
    pub stage: Option<String>,
    /// The packs that apply besides the built-in one.
    pub packs: Vec<String>,
    /// The day of the check, as `2026-03-14`.
    pub date: Option<String>,
    /// The spec that stands before the test's own.
    pub base: Option<String>,
    /// Whether whatever cannot be said must be marked too.
    pub strict: bool,
    /// The rules that count, each a name or a beginning with `*`; `None` is all.
    pub only: Option<Vec<String>>,
}

/// The block as it is written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    stage: Option<String>,
    packs: Option<Vec<String>>,
    date: Option<Datetime>,
    base: Option<String>,
    strict: Option<bool>,
    only: Option<Vec<String>>,
}

impl Settings {
    /// These settings with those of a block on top.
    ///
    /// An empty `base` is none.
    ///
    /// # Errors
    /// The line within the block, from 1, and what is wrong there.
    pub(crate) fn with(&self, block: &str) -> Result<Settings, (usize, String)> {
        let written: Written = toml::from_str(block).map_err(|error| {
            let before = error.span().and_then(|span| block.get(..span.start));
            let line = before.unwrap_or("").matches('\n').count() + 1;
            (line, format!("these settings cannot be read: {}", error.message()))
        })?;
        let base = written.base.or_else(|| self.base.clone());
        Ok(Settings {
            stage: written.stage.or_else(|| self.stage.clone()),
            packs: written.packs.unwrap_or_else(|| self.packs.clone()),
            date: written.date.map(|date| date.to_string()).or_else(|| self.date.clone()),
            base: base.filter(|base| !base.is_empty()),
            strict: written.strict.unwrap_or(self.strict),
            only: written.only.or_else(|| self.only.clone()),
        })
    }

    /// Whether findings of a rule count; those of reading, and those about rules that
    /// could not run, always do.
    pub(crate) fn counts(&self, rule: &RuleId) -> bool {
        let Some(only) = &self.only else {
            return true;
        };
        ALWAYS.iter().any(|beginning| rule.0.starts_with(beginning))
            || only.iter().any(|name| match name.strip_suffix('*') {
                Some(beginning) => rule.0.starts_with(beginning),
                None => rule.0 == *name,
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_adds_to_what_was_set_above() {
        let above = Settings::default()
            .with("stage = \"ready\"\ndate = 2026-05-02\nbase = \"plain.trim\"")
            .unwrap();
        let below = above.with("stage = \"bench\"\nbase = \"\"").unwrap();
        assert_eq!(below.stage.as_deref(), Some("bench"));
        assert_eq!(below.date.as_deref(), Some("2026-05-02"));
        assert_eq!((above.base.as_deref(), below.base), (Some("plain.trim"), None));
    }

    #[test]
    fn a_setting_that_is_not_known_is_named_with_its_line() {
        let (line, says) =
            Settings::default().with("strict = true\nstages = 3").unwrap_err();
        assert_eq!(line, 2);
        assert!(says.contains("unknown field `stages`"), "{says}");
    }

    #[test]
    fn only_the_rules_named_count_besides_reading() {
        let only = |list: &str| Settings::default().with(list).unwrap();
        let groups = only("only = [\"balance/*\", \"radio/silent\"]");
        let counts = |id: &str| groups.counts(&RuleId::new(id));
        assert!(counts("balance/outside-band") && counts("radio/silent"));
        assert!(counts("read/expected") && counts("rules/fault"));
        assert!(!counts("radio/silent-too") && !counts("power/too-long"));
        assert!(!only("only = []").counts(&RuleId::new("balance/outside-band")));
    }
}

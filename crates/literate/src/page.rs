//! A page, and what can be said against it.

use std::fmt;

use trimsheet_project::source::RuleId;

use crate::{Block, Case};

/// One Markdown file of tests.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Where it stands, with `/` between the parts.
    pub path: String,
    /// The rule that the page is about, if it stands in a pack below `rules/`.
    ///
    /// Its cases show only findings of this rule and of reading, unless their settings
    /// say otherwise.
    pub rule: Option<RuleId>,
    /// The tests, in the order of the page.
    pub cases: Vec<Case>,
    /// The page as it stands, to write accepted blocks into.
    pub(crate) text: String,
}

/// What is wrong on a page, or with what it expects.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// The line of the page, from 1.
    pub line: usize,
    /// What was expected and what was found; may have several lines.
    pub says: String,
}

impl Problem {
    pub(crate) fn new(line: usize, says: impl Into<String>) -> Problem {
        Problem { line, says: says.into() }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.says)
    }
}

impl Page {
    /// The text of the page with other texts in some of its blocks.
    pub(crate) fn with_blocks(&self, accepted: &[(&Block, String)]) -> String {
        let mut out = Vec::new();
        let mut inside = None;
        for (line, text) in (1..).zip(self.text.lines()) {
            if inside.is_some_and(|end| line < end) {
                continue;
            }
            inside = None;
            out.push(text);
            if let Some((block, text)) = accepted.iter().find(|(at, _)| at.line == line) {
                out.extend(text.trim_end().lines());
                inside = Some(block.end_line);
            }
        }
        out.into_iter().flat_map(|line| [line, "\n"]).collect()
    }
}

/// The name of a page without its folders and its ending.
pub(crate) fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.strip_suffix(".md").unwrap_or(name)
}

/// The rule whose page stands at a path: the parts after `rules/` and the pack.
///
/// `rules/core/balance/outside-band.md` is about `balance/outside-band`; a page of
/// another pack is about a rule whose name begins with the pack's.
pub(crate) fn rule_of(path: &str) -> Option<RuleId> {
    let parts: Vec<&str> = path.strip_suffix(".md")?.split('/').collect();
    let [.., folder, pack, group, fault] = parts.as_slice() else {
        return None;
    };
    match (*folder, *pack) {
        ("rules", "core") => Some(RuleId::new(format!("{group}/{fault}"))),
        ("rules", pack) => Some(RuleId::new(format!("{pack}/{group}/{fault}"))),
        (_, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(path: &str) -> Option<String> {
        rule_of(path).map(|rule| rule.0)
    }

    #[test]
    fn a_page_below_rules_is_about_the_rule_of_its_name() {
        let core = rule("rules/core/balance/outside-band.md");
        assert_eq!(core.as_deref(), Some("balance/outside-band"));
        let club = rule("examples/rules/fenside/balance/spare.md");
        assert_eq!(club.as_deref(), Some("fenside/balance/spare"));
        assert_eq!(rule("tests/literate/reading/units.md"), None);
        assert_eq!(rule("rules/core/README.md"), None);
    }
}

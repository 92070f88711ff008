//! Which kinds of example a rule's page has.

use trimsheet_project::source::RuleId;

use crate::{Case, Claim, Page};

/// The kinds of example on a page; a rule needs at least the first two.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "four questions about one page")]
pub struct Examples {
    /// One in which the rule finds something.
    pub fires: bool,
    /// One in which it finds nothing and nothing keeps it from judging.
    pub stays_quiet: bool,
    /// One whose spread lies across the limit: a finding that is only likely, or a
    /// heading that says so with the word "straddle".
    pub straddles: bool,
    /// One in which an unknown value keeps it from judging.
    pub unknown: bool,
}

/// The kinds of example on a page, told by the marks for the page's rule.
///
/// On a page that is about no rule the marks of all rules count. Whether the examples
/// hold is for [`run`](fn@crate::run) to say.
pub fn kinds(page: &Page) -> Examples {
    let mut examples = Examples::default();
    for case in page.cases.iter().filter(|case| !case.files.is_empty()) {
        let fires = has(case, |claim| is_finding(claim, page.rule.as_ref()));
        let unknown = has(case, |claim| is_unsaid(claim, page.rule.as_ref()));
        let likely = fires && has(case, |claim| matches!(claim, Claim::Likely(_)));
        examples.fires |= fires;
        examples.unknown |= unknown;
        examples.stays_quiet |= !fires && !unknown;
        examples.straddles |= likely || case.name.to_lowercase().contains("straddl");
    }
    examples
}

fn has(case: &Case, asked: impl Fn(&Claim) -> bool) -> bool {
    case.files.iter().flat_map(|file| &file.marks).any(|mark| asked(&mark.claim))
}

fn is_finding(claim: &Claim, of: Option<&RuleId>) -> bool {
    matches!(claim, Claim::Finding { rule, .. } if of.is_none_or(|of| of == rule))
}

fn is_unsaid(claim: &Claim, of: Option<&RuleId>) -> bool {
    matches!(claim, Claim::CannotSay(rule) if of.is_none_or(|of| of == rule))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read;

    fn examples(page: &str) -> Examples {
        kinds(&read("rules/core/a/b.md", page).unwrap())
    }

    #[test]
    fn a_page_has_the_kinds_of_example_that_its_marks_show() {
        let all = "# A\n## Behind\n```trim\nx #~ stop: [a/b]\n```\n## Inside\n```trim\nx\n\
             ```\n## Straddles\n```trim\nx #~ stop: [a/b] #~ likely: \"y\"\n```\n## Unknown\n\
             ```trim\nx #~ cannot say: [a/b]\n```\n";
        let found = examples(all);
        assert!(found.fires && found.stays_quiet && found.straddles && found.unknown);
    }

    #[test]
    fn an_example_that_cannot_say_is_not_one_that_stays_quiet() {
        let found = examples("# A\n```trim\nx #~ cannot say: [a/b]\n```\n");
        assert_eq!(found, Examples { unknown: true, ..Examples::default() });
    }

    #[test]
    fn findings_of_other_rules_do_not_show_that_the_rule_fires() {
        let found = examples("# A\n```trim\nx #~ error: [read/expected]\n```\n");
        assert_eq!(found, Examples { stays_quiet: true, ..Examples::default() });
    }
}

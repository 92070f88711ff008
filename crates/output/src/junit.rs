//! A report as `JUnit` XML, which servers that run checks read to count what passes.
//!
//! A suite is a spec, and a case is a rule that ran over it: its class is the rule's
//! group. A case *fails* where the rule finds something at or above the level that makes
//! the run fail, and is *skipped* where it could not say; what is less serious or let
//! pass stands in its output. A rule that was asked about nothing has no case, because it
//! has not passed; what reading finds has a case of its own. A file that could not be
//! checked is a case with an error.
//!
//! What was worked out stands in the output of the suite, with the caution that a green
//! list is no release to fly.
//!
//! XML 1.0 has no place for most control characters, not even escaped: they are shown as
//! signs, as at a terminal.

use std::collections::BTreeMap;

use trimsheet_source::{CannotSay, Finding, Judged, Waived};

use crate::{Report, clean, counted, lines::line, ruler::Ruler, words};

const CAUTION: &str = "A check is no release to fly: it sees what is written, not the \
aircraft. Inspect it; local rules decide.";

/// Writes a report as `JUnit` XML.
pub fn junit(report: &Report<'_>) -> String {
    let ruler = Ruler::new(report.sources);
    let mut all = Counts::default();
    let mut suites = String::new();
    for (path, says) in report.troubles {
        let counts = Counts { tests: 1, errors: 1, ..Counts::default() };
        let says = format!("cannot check {path}: {says}");
        suites.push_str(&format!(
            "  <testsuite name=\"{path}\"{counts}>\n    <testcase classname=\"read\" \
             name=\"read\">\n      <error message=\"{}\"/>\n    </testcase>\n  \
             </testsuite>\n",
            attribute(&says),
            path = attribute(path),
        ));
        all.add(&counts);
    }
    for judged in report.judged {
        let suite = Suite::new(report, judged);
        suites.push_str(&suite.written(&ruler, report, judged));
        all.add(&suite.counts);
    }
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <testsuites name=\"trimsheet\"{all}>\n{suites}</testsuites>\n"
    )
}

/// How many cases there are, and what they came to.
#[derive(Default)]
struct Counts {
    tests: usize,
    failures: usize,
    errors: usize,
    skipped: usize,
}

impl Counts {
    fn add(&mut self, more: &Counts) {
        self.tests += more.tests;
        self.failures += more.failures;
        self.errors += more.errors;
        self.skipped += more.skipped;
    }
}

impl std::fmt::Display for Counts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            " tests=\"{}\" failures=\"{}\" errors=\"{}\" skipped=\"{}\"",
            self.tests, self.failures, self.errors, self.skipped
        )
    }
}

/// A rule over one spec, and what it came to.
#[derive(Default)]
struct Case<'a> {
    failing: Vec<&'a Finding>,
    lesser: Vec<&'a Finding>,
    waived: Vec<&'a Waived>,
    unsaid: Vec<&'a CannotSay>,
}

/// A spec, by the rules that spoke or kept quiet.
struct Suite<'a> {
    cases: BTreeMap<&'a str, Case<'a>>,
    counts: Counts,
}

impl<'a> Suite<'a> {
    fn new(report: &Report<'a>, judged: &'a Judged) -> Suite<'a> {
        let ran = judged.ran.iter().map(|rule| (rule.0.as_str(), Case::default()));
        let mut cases: BTreeMap<&str, Case<'_>> = ran.collect();
        for finding in judged.findings.iter().filter_map(|at| report.findings.get(*at)) {
            let case = cases.entry(&finding.rule.0).or_default();
            let fails = report.summary.fail_at <= finding.level;
            let list = if fails { &mut case.failing } else { &mut case.lesser };
            list.push(finding);
        }
        for waived in judged.waived.iter().filter_map(|at| report.waived.get(*at)) {
            cases.entry(&waived.finding.rule.0).or_default().waived.push(waived);
        }
        for silent in judged.cannot_say.iter().filter_map(|at| report.cannot_say.get(*at))
        {
            cases.entry(&silent.rule.0).or_default().unsaid.push(silent);
        }
        let failures = cases.values().filter(|case| !case.failing.is_empty()).count();
        let skipped = cases.values().filter(|case| case.is_skipped()).count();
        let counts = Counts { tests: cases.len(), failures, errors: 0, skipped };
        Suite { cases, counts }
    }

    fn written(&self, ruler: &Ruler<'_>, report: &Report<'_>, of: &Judged) -> String {
        let mut text = format!(
            "  <testsuite name=\"{}\"{}>\n",
            attribute(ruler.path(of.spec)),
            self.counts
        );
        for (rule, case) in &self.cases {
            let group = rule.rsplit_once('/').map_or(*rule, |(group, _)| group);
            let (group, rule) = (attribute(group), attribute(rule));
            let inside = case.written(ruler);
            text.push_str(&format!(
                "    <testcase classname=\"{group}\" name=\"{rule}\""
            ));
            text.push_str(&if inside.is_empty() {
                "/>\n".to_owned()
            } else {
                format!(">\n{inside}    </testcase>\n")
            });
        }
        let of_it = |one: &&trimsheet_source::Figures| one.about.span.file == of.spec;
        let figures = report.figures.iter().filter(of_it);
        let mut out: Vec<String> = figures.map(|one| clean::visible(&one.says)).collect();
        out.push(CAUTION.into());
        let out = element("system-out", "", &out.join("\n"));
        text + &format!("    {out}  </testsuite>\n")
    }
}

impl Case<'_> {
    fn is_skipped(&self) -> bool {
        self.failing.is_empty() && !self.unsaid.is_empty()
    }

    /// What stands in the case; nothing where the rule has passed.
    fn written(&self, ruler: &Ruler<'_>) -> String {
        let mut text = String::new();
        if let Some((first, more)) = self.failing.split_first() {
            let worst = self.failing.iter().map(|finding| finding.level).max();
            let kind = worst.unwrap_or(first.level).word();
            let says = and_more(&first.headline, more.len());
            let found = self.failing.iter().map(|one| found(ruler, one));
            let found = found.collect::<Vec<_>>().join("\n");
            let attributes = format!(" type=\"{kind}\" message=\"{}\"", attribute(&says));
            text.push_str(&format!("      {}", element("failure", &attributes, &found)));
        } else if let Some((first, more)) = self.unsaid.split_first() {
            let says = and_more(&words::unsaid(first), more.len());
            text.push_str(&format!(
                "      <skipped message=\"{}\"/>\n",
                attribute(&says)
            ));
        }
        let lesser = self.lesser.iter().map(|one| found(ruler, one));
        let waived = self.waived.iter().map(|one| {
            let line = line(ruler, &one.finding);
            format!("waived: {line} ({})", words::reason(one))
        });
        // The only one stands in the case already, where that is skipped.
        let again =
            if self.is_skipped() && self.unsaid.len() == 1 { 0 } else { usize::MAX };
        let unsaid = self.unsaid.iter().take(again).map(|one| words::unsaid(one));
        let out: Vec<String> = lesser.chain(waived).chain(unsaid).collect();
        if !out.is_empty() {
            let out = element("system-out", "", &out.join("\n"));
            text.push_str(&format!("      {out}"));
        }
        text
    }
}

/// A finding with all that belongs to it, the first line with its place.
fn found(ruler: &Ruler<'_>, finding: &Finding) -> String {
    let mut text = line(ruler, finding);
    for line in words::whole(ruler, finding).iter().skip(1) {
        text.push_str(&format!("\n  {line}"));
    }
    text
}

fn and_more(says: &str, more: usize) -> String {
    match more {
        0 => says.to_owned(),
        more => format!("{says} ({} of this rule)", counted(more, "more", "more")),
    }
}

/// An element with a text in it, and a line break behind it.
fn element(name: &str, attributes: &str, text: &str) -> String {
    format!("<{name}{attributes}>{}</{name}>\n", escaped(text))
}

/// A text as the value of an attribute.
fn attribute(text: &str) -> String {
    escaped(&clean::visible(text)).replace('"', "&quot;")
}

/// A text as it stands between tags.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\n' => out.push('\n'),
            '\u{fffe}' | '\u{ffff}' => out.push(char::REPLACEMENT_CHARACTER),
            other => clean::push_visible(&mut out, other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use trimsheet_source::{FileId, Label, Level, RuleId, Sources, Span};

    use super::*;

    /// What a report of one spec holds, from its first case on.
    fn cases(findings: &[Finding], unsaid: &[CannotSay]) -> String {
        let mut sources = Sources::default();
        let spec = sources.add("a<b>.trim", "part wing\n");
        let ran = ["wing/one", "wing/two"].map(RuleId::new).to_vec();
        let judged = Judged {
            spec,
            ran,
            findings: (0..findings.len()).collect(),
            waived: Vec::new(),
            cannot_say: (0..unsaid.len()).collect(),
        };
        let report = Report {
            judged: std::slice::from_ref(&judged),
            cannot_say: unsaid,
            ..Report::of(&sources, findings)
        };
        let text = junit(&report);
        let start = text.find("    <testcase").unwrap();
        let end = text.rfind("    <system-out>").unwrap();
        assert!(text.contains("<testsuite name=\"a&lt;b&gt;.trim\""));
        text.get(start..end).unwrap().to_owned()
    }

    fn span() -> Span {
        Span { file: FileId(0), start: 5, end: 9 }
    }

    #[test]
    fn a_rule_that_ran_and_says_nothing_is_a_case_that_passes() {
        assert_eq!(
            cases(&[], &[]),
            "    <testcase classname=\"wing\" name=\"wing/one\"/>\n    \
             <testcase classname=\"wing\" name=\"wing/two\"/>\n"
        );
    }

    #[test]
    fn the_level_asked_for_decides_between_a_failure_and_a_word_in_passing() {
        let found = [
            Finding::new("wing/one", Level::Error, span(), "far \u{1}\u{ffff} & <out>"),
            Finding::new("wing/two", Level::Warning, span(), "near"),
        ];
        assert_eq!(
            cases(&found, &[]),
            "    <testcase classname=\"wing\" name=\"wing/one\">\n      \
             <failure type=\"error\" message=\"far ␁\u{fffd} &amp; &lt;out&gt;\">\
             a&lt;b&gt;.trim:1:6: error[wing/one]: far ␁\u{fffd} &amp; &lt;out&gt;\
             </failure>\n    </testcase>\n    \
             <testcase classname=\"wing\" name=\"wing/two\">\n      \
             <system-out>a&lt;b&gt;.trim:1:6: warning[wing/two]: near</system-out>\n    \
             </testcase>\n"
        );
    }

    #[test]
    fn a_rule_that_cannot_say_is_skipped_and_never_passes() {
        let unsaid = CannotSay {
            rule: RuleId::new("wing/two"),
            about: Label::new(span(), "wing"),
            because: Label::new(span(), "its mass is not known"),
        };
        let text = cases(&[], &[unsaid.clone(), unsaid]);
        assert!(text.contains(
            "<skipped message=\"cannot say whether wing passes, because its mass is not \
             known (1 more of this rule)\"/>"
        ));
    }
}

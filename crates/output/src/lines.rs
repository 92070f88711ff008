//! A report as one line for each finding, for editors and for whatever splits lines.
//!
//! ```text
//! PATH:LINE:COLUMN: LEVEL[RULE]: HEADLINE
//! PATH:LINE:COLUMN: cannot say: RULE about SOMETHING: WHAT IS NOT KNOWN
//! ```
//!
//! Columns count characters from 1. What to do and what caused it is in the other forms.

use trimsheet_source::{Finding, Span};

use crate::{Report, clean, ruler::Ruler, unsaid};

/// Writes each finding on a line of its own, then each value that is not known.
pub fn lines(report: &Report<'_>) -> String {
    let ruler = Ruler::new(report.sources);
    let findings = report.findings.iter().map(|finding| line(&ruler, finding));
    let groups = unsaid::groups(&ruler, report.cannot_say);
    let unsaid = groups.iter().map(|group| {
        format!("{}: cannot say: {}", place(&ruler, group.span()), group.says())
    });
    findings.chain(unsaid).flat_map(|line| [line, "\n".into()]).collect()
}

/// A finding on one line, with its place.
pub(crate) fn line(ruler: &Ruler<'_>, finding: &Finding) -> String {
    format!(
        "{}: {}[{}]: {}",
        place(ruler, finding.primary.span),
        finding.level,
        clean::visible(&finding.rule.0),
        clean::visible(&finding.headline),
    )
}

/// Where a stretch begins, as compilers write it.
pub(crate) fn place(ruler: &Ruler<'_>, span: Span) -> String {
    let spot = ruler.start(span);
    format!("{}:{}:{}", clean::visible(ruler.path(span.file)), spot.line, spot.column)
}

#[cfg(test)]
mod tests {
    use trimsheet_source::{CannotSay, FileId, Label, Level, RuleId, Sources};

    use super::*;

    #[test]
    fn a_finding_is_one_line_whatever_stands_in_it() {
        let mut sources = Sources::default();
        let file = sources.add("odd.trim", "µ𝄞 wing\n");
        let span = Span { file, start: 7, end: 11 };
        let finding =
            Finding::new("wing/odd", Level::Stop, span, "two\nlines \u{1b}[2J\r");
        let unsaid = CannotSay {
            rule: RuleId::new("wing/mass"),
            about: Label::new(span, "wing"),
            because: Label::new(Span { file: FileId(0), start: 0, end: 2 }, "no mass"),
        };
        let report = Report {
            cannot_say: &[unsaid],
            ..Report::of(&sources, std::slice::from_ref(&finding))
        };
        assert_eq!(
            lines(&report),
            "odd.trim:1:4: stop[wing/odd]: two lines ␛[2J␍\n\
             odd.trim:1:1: cannot say: wing/mass about wing: no mass\n"
        );
    }
}

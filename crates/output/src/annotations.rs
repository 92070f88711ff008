//! A report as workflow commands, which a code host's runner reads off the output of a
//! step and shows beside the lines of a change.
//!
//! ```text
//! ::error file=whinchat.trim,line=23,col=1,endLine=23,title=stop%3A balance/outside-band::"ferry" …
//! ```
//!
//! The host shows ten errors, ten warnings and ten notices of a step and drops the rest
//! without a word, so the worst come first and what is left out is counted on a plain
//! line. Both the form and the limits are from the host's documentation of workflow
//! commands, from memory.

use trimsheet_source::{Finding, Level, Span};

use crate::{Report, counted, ruler::Ruler, summary::summary, unsaid, words};

/// How many of a kind are shown.
const MOST: usize = 10;

/// The kinds, the worst first, and what several of them are called.
const KINDS: [(&str, &str); 3] =
    [("error", "errors"), ("warning", "warnings"), ("notice", "notices")];

/// Writes a report as workflow commands, the worst first, and the closing lines plainly.
pub fn annotations(report: &Report<'_>) -> String {
    let ruler = Ruler::new(report.sources);
    let troubles = report.troubles.iter().map(|(path, says)| {
        let file = property(path);
        let says = data(&format!("cannot check {path}: {says}"));
        ("error", format!("::error file={file},title=cannot check::{says}"))
    });
    let mut findings: Vec<&Finding> = report.findings.iter().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let findings = findings.into_iter().map(|finding| of_finding(&ruler, finding));
    let groups = unsaid::groups(&ruler, report.cannot_say);
    let unsaid = groups.iter().map(|group| {
        command(&ruler, "notice", group.span(), "cannot say", &group.says())
    });
    let mut text = String::new();
    let mut counts = KINDS.map(|(kind, many)| (kind, many, 0));
    for (kind, line) in troubles.chain(findings).chain(unsaid) {
        for (_, _, count) in counts.iter_mut().filter(|(known, ..)| *known == kind) {
            *count += 1;
            if *count <= MOST {
                text.push_str(&line);
                text.push('\n');
            }
        }
    }
    let more: Vec<String> = counts
        .into_iter()
        .filter(|(.., count)| MOST < *count)
        .map(|(one, many, count)| counted(count - MOST, one, many))
        .collect();
    if !more.is_empty() {
        text.push_str(&format!(
            "{} more, which would not be shown here: --format text shows all.\n",
            more.join(", ")
        ));
    }
    text + &summary(report)
}

fn of_finding(ruler: &Ruler<'_>, finding: &Finding) -> (&'static str, String) {
    let kind = match finding.level {
        Level::Stop | Level::Error => "error",
        Level::Warning => "warning",
        Level::Note => "notice",
    };
    let title = format!("{}: {}", finding.level, finding.rule);
    let says = words::whole(ruler, finding).join("\n");
    command(ruler, kind, finding.primary.span, &title, &says)
}

fn command(
    ruler: &Ruler<'_>,
    kind: &'static str,
    span: Span,
    title: &str,
    says: &str,
) -> (&'static str, String) {
    let (start, end) = (ruler.start(span), ruler.end(span));
    // A column is read as one of the only line, so over several lines there is none.
    let column = (start.line == end.line).then(|| format!(",col={}", start.column));
    let line = format!(
        "::{kind} file={},line={}{},endLine={},title={}::{}",
        property(ruler.path(span.file)),
        start.line,
        column.unwrap_or_default(),
        end.line,
        property(title),
        data(says),
    );
    (kind, line)
}

/// A text as it stands behind the second pair of colons.
fn data(text: &str) -> String {
    text.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

/// A text as the value of a property, where colons and commas would end it.
fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}

#[cfg(test)]
mod tests {
    use trimsheet_source::Sources;

    use super::*;

    fn written(path: &str, found: &[(Level, &str)]) -> String {
        let mut sources = Sources::default();
        let file = sources.add(path, "part wing\npart camera\n");
        let findings: Vec<Finding> = found
            .iter()
            .map(|(level, says)| {
                Finding::new("a/b", *level, Span { file, start: 15, end: 21 }, *says)
            })
            .collect();
        annotations(&Report::of(&sources, &findings))
    }

    #[test]
    fn what_would_end_a_command_or_a_property_is_escaped() {
        let text = written("50%, a:b.trim", &[(Level::Stop, "100 %, so: ::stop\r\nx")]);
        let first = text.lines().next().unwrap();
        assert_eq!(
            first,
            "::error file=50%25%2C a%3Ab.trim,line=2,col=6,endLine=2,title=stop%3A a/b\
             ::100 %25, so: ::stop␍ x"
        );
    }

    #[test]
    fn the_worst_come_first_and_what_is_left_out_is_counted() {
        let mut found = vec![(Level::Note, "n"); 12];
        found.push((Level::Error, "e"));
        found.extend(vec![(Level::Warning, "w"); 11]);
        found.push((Level::Stop, "s"));
        let text = written("a.trim", &found);
        let kinds: Vec<&str> =
            text.lines().filter_map(|line| line.get(2..line.find(' ')?)).collect();
        assert_eq!(kinds.iter().filter(|kind| **kind == "warning").count(), 10);
        assert_eq!(kinds.iter().filter(|kind| **kind == "notice").count(), 10);
        assert!(
            text.starts_with("::error file=a.trim,line=2,col=6,endLine=2,title=stop")
        );
        assert!(text.contains("\n1 warning, 2 notices more, which would not be shown"));
        assert!(text.ends_with("1 stop, 1 error, 11 warnings, 12 notes in 0 files.\n"));
    }
}

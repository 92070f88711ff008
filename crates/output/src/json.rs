//! A report for a program: the form `trimsheet-findings`, version 1.
//!
//! One UTF-8 JSON object, ended by a line break. The keys stand in the order given
//! here, every key is always there, and what does not apply is `null` or an empty list.
//! The same report gives the same bytes.
//!
//! ```text
//! {
//!   "form": "trimsheet-findings",
//!   "version": 1,
//!   "summary": { … },
//!   "findings": [ … ],
//!   "waived": [ … ],
//!   "cannot_say": [ … ],
//!   "figures": [ … ]
//! }
//! ```
//!
//! # What a reader can rely on
//!
//! `form` and `version` come first: refuse a form or a version that is not known.
//! The version rises when a key goes away, changes its type or its meaning.
//! It does not rise when a key is added, so pass over keys that are not known.
//! Rule ids, the words of levels, sources and units are stable; headlines, labels and
//! remedies are sentences for people and may be worded differently at any time.
//!
//! Texts from specs and rules are given as they are, with JSON's escapes and no others.
//! A program that prints them to a terminal must make control characters visible.
//!
//! # summary
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `stage` | string or null | the stage judged for, as asked on the command line |
//! | `fail_at` | string | the lowest level that makes the run fail |
//! | `failed` | boolean | whether a finding has that level or a higher one |
//! | `stops`, `errors`, `warnings`, `notes` | integers | findings of each level |
//! | `waived` | integer | findings that somebody lets pass |
//! | `loosened` | integer | limits that are loosened, with a reason and until a day |
//! | `cannot_say` | integer | judgements that could not be made |
//! | `files` | integer | spec files checked |
//! | `estimated` | integer | values that rest on an estimate |
//! | `unknown` | integer | values that are not known |
//! | `proved` | integer | steps with a record that still holds |
//!
//! That `failed` is false does not mean that the aircraft may fly: it means that no rule
//! has said it must not. Read it together with `cannot_say` and the last three.
//!
//! # findings
//!
//! In the order in which they are shown to people.
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `rule` | string | what it is called, as in `balance/outside-band` |
//! | `level` | string | `note`, `warning`, `error` or `stop`, the least first |
//! | `headline` | string | a sentence that stands alone |
//! | `likely` | string or null | what is not certain about it; null is certain |
//! | `primary` | label | the builder's own line that it is about |
//! | `because` | list of labels | the other lines that caused it |
//! | `remedies` | list | what to do, the cheapest first |
//!
//! A **label** is a stretch of a file with a few words:
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `file` | string | the path as shown to people, with `/` between its parts |
//! | `start` | place | where the stretch begins |
//! | `end` | place | one past where it ends; equal to `start` for an empty stretch |
//! | `text` | string | the words; may be empty |
//! | `value` | value or null | the number that stands there or was worked out for it |
//!
//! A **place** counts in three ways: `line` from 1, `column` in characters (Unicode
//! scalar values) from 1, and `byte` in the whole file from 0. Bytes are those of the
//! text as UTF-8; a file that is not UTF-8 was read with U+FFFD for what is not.
//!
//! A **value** is a number behind a label:
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `name` | string | what it is the value of, as in `loadout.balance.x` |
//! | `value` | number or null | in `unit`; for a place, positive is aft, right or up |
//! | `unit` | string | the unit, as the language writes it; empty for a plain number |
//! | `spread` | number or null | expanded spread, coverage factor 2, in `unit` |
//! | `source` | string or null | where it comes from, as in `weighed`; null is computed |
//!
//! JSON has no infinity and no "not a number": such a `value` or `spread` is null.
//!
//! A **remedy** is something that can be done with hands:
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `says` | string | the sentence, with its numbers |
//! | `safety` | string | `safe`: the same build in other words; `offered`: see below |
//! | `edits` | list of edits | how it is written down when done; may be empty |
//!
//! An `offered` remedy changes the aircraft, so a person must choose it before its
//! edits are made. The edits of one remedy belong together and do not overlap: make
//! all of them or none, from the last to the first in each file. An **edit** has
//! `file`, `start` and `end` as a label does, and `text`, which takes the place of the
//! stretch. Between remedies, make one and check again.
//!
//! # waived
//!
//! Findings that somebody lets pass, each with `finding` (as above), `because` (the label
//! of the reason, with its words), `by` (string, who answers for it) and `until` (string,
//! the last day on which it holds, after ISO 8601). They are not among `findings`, and do
//! not make a run fail.
//!
//! # `cannot_say`
//!
//! Judgements that could not be made, each with `rule` (string), `about` (the label of
//! what it was asked about) and `because` (the label of the line whose value is not
//! known, with the words for it). Nothing is wrong there yet, and nothing has passed.
//!
//! # `figures`
//!
//! What was worked out for each loadout, whether or not a rule finds fault with it:
//! `about` (label), `says` (a sentence for people) and `numbers` (list of values, each
//! named, as in `ferry.balance.x`). A loadout whose masses and places are not all known
//! has none. No number here is a verdict.

use serde::Serialize;
use trimsheet_source::{self as source, Level, Span};

use crate::ruler::{Ruler, Spot};
use crate::{Report, summary::count};

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-findings";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a report as JSON, in the form that the [module](mod@crate::json) describes.
#[expect(clippy::expect_used, reason = "it fails only for maps with odd keys: none here")]
pub fn json(report: &Report<'_>) -> String {
    let ruler = Ruler::new(report.sources);
    let document = Document::new(&ruler, report);
    let text = serde_json::to_string_pretty(&document);
    let mut text = text.expect("structs of numbers, texts and lists are always written");
    text.push('\n');
    text
}

/// The whole report.
#[derive(Serialize)]
struct Document<'a> {
    form: &'static str,
    version: u32,
    summary: Summary<'a>,
    findings: Vec<Finding<'a>>,
    waived: Vec<Waived<'a>>,
    cannot_say: Vec<CannotSay<'a>>,
    figures: Vec<Figures<'a>>,
}

/// What is said once about the run.
#[derive(Serialize)]
struct Summary<'a> {
    stage: Option<&'a str>,
    fail_at: &'static str,
    failed: bool,
    stops: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    waived: usize,
    loosened: usize,
    cannot_say: usize,
    files: usize,
    estimated: usize,
    unknown: usize,
    proved: usize,
}

/// One finding.
#[derive(Serialize)]
struct Finding<'a> {
    rule: &'a str,
    level: &'static str,
    headline: &'a str,
    likely: Option<&'a str>,
    primary: Label<'a>,
    because: Vec<Label<'a>>,
    remedies: Vec<Remedy<'a>>,
}

/// A finding that somebody lets pass.
#[derive(Serialize)]
struct Waived<'a> {
    finding: Finding<'a>,
    because: Label<'a>,
    by: &'a str,
    until: &'a str,
}

/// A judgement that could not be made.
#[derive(Serialize)]
struct CannotSay<'a> {
    rule: &'a str,
    about: Label<'a>,
    because: Label<'a>,
}

/// What was worked out about something.
#[derive(Serialize)]
struct Figures<'a> {
    about: Label<'a>,
    says: &'a str,
    numbers: Vec<Value<'a>>,
}

/// A stretch of a file with a few words about it.
#[derive(Serialize)]
struct Label<'a> {
    file: &'a str,
    start: Place,
    end: Place,
    text: &'a str,
    value: Option<Value<'a>>,
}

/// A place in a file.
#[derive(Serialize)]
struct Place {
    line: usize,
    column: usize,
    byte: usize,
}

/// The number behind a label.
#[derive(Serialize)]
struct Value<'a> {
    name: &'a str,
    value: f64,
    unit: &'a str,
    spread: Option<f64>,
    source: Option<&'a str>,
}

/// Something that can be done.
#[derive(Serialize)]
struct Remedy<'a> {
    says: &'a str,
    safety: &'static str,
    edits: Vec<Edit<'a>>,
}

/// A change to a file.
#[derive(Serialize)]
struct Edit<'a> {
    file: &'a str,
    start: Place,
    end: Place,
    text: &'a str,
}

impl<'a> Document<'a> {
    fn new(ruler: &Ruler<'a>, report: &'a Report<'a>) -> Document<'a> {
        let findings = report.findings.iter();
        let cannot_say = report.cannot_say.iter();
        Document {
            form: FORM,
            version: VERSION,
            summary: Summary::new(report),
            findings: findings.map(|finding| Finding::new(ruler, finding)).collect(),
            waived: report.waived.iter().map(|one| Waived::new(ruler, one)).collect(),
            cannot_say: cannot_say.map(|unsaid| CannotSay::new(ruler, unsaid)).collect(),
            figures: report.figures.iter().map(|one| Figures::new(ruler, one)).collect(),
        }
    }
}

impl<'a> Summary<'a> {
    fn new(report: &'a Report<'a>) -> Summary<'a> {
        let summary = &report.summary;
        let fail_at = summary.fail_at;
        Summary {
            stage: summary.stage.as_deref(),
            fail_at: fail_at.word(),
            failed: report.findings.iter().any(|finding| fail_at <= finding.level),
            stops: count(report, Level::Stop),
            errors: count(report, Level::Error),
            warnings: count(report, Level::Warning),
            notes: count(report, Level::Note),
            waived: report.waived.len(),
            loosened: summary.loosened,
            cannot_say: report.cannot_say.len(),
            files: summary.files,
            estimated: summary.estimated,
            unknown: summary.unknown,
            proved: summary.proved,
        }
    }
}

impl<'a> Finding<'a> {
    fn new(ruler: &Ruler<'a>, finding: &'a source::Finding) -> Finding<'a> {
        let because = finding.because.iter();
        let remedies = finding.remedies.iter();
        Finding {
            rule: &finding.rule.0,
            level: finding.level.word(),
            headline: &finding.headline,
            likely: finding.likely.as_deref(),
            primary: Label::new(ruler, &finding.primary),
            because: because.map(|label| Label::new(ruler, label)).collect(),
            remedies: remedies.map(|remedy| Remedy::new(ruler, remedy)).collect(),
        }
    }
}

impl<'a> Waived<'a> {
    fn new(ruler: &Ruler<'a>, waived: &'a source::Waived) -> Waived<'a> {
        Waived {
            finding: Finding::new(ruler, &waived.finding),
            because: Label::new(ruler, &waived.because),
            by: &waived.by,
            until: &waived.until,
        }
    }
}

impl<'a> CannotSay<'a> {
    fn new(ruler: &Ruler<'a>, unsaid: &'a source::CannotSay) -> CannotSay<'a> {
        CannotSay {
            rule: &unsaid.rule.0,
            about: Label::new(ruler, &unsaid.about),
            because: Label::new(ruler, &unsaid.because),
        }
    }
}

impl<'a> Figures<'a> {
    fn new(ruler: &Ruler<'a>, figures: &'a source::Figures) -> Figures<'a> {
        Figures {
            about: Label::new(ruler, &figures.about),
            says: &figures.says,
            numbers: figures.numbers.iter().map(Value::new).collect(),
        }
    }
}

impl<'a> Label<'a> {
    fn new(ruler: &Ruler<'a>, label: &'a source::Label) -> Label<'a> {
        let (file, start, end) = stretch(ruler, label.span);
        let value = label.value.as_ref().map(Value::new);
        Label { file, start, end, text: &label.text, value }
    }
}

impl<'a> Value<'a> {
    fn new(measured: &'a source::Measured) -> Value<'a> {
        Value {
            name: &measured.name,
            value: measured.value,
            unit: &measured.unit,
            spread: measured.spread,
            source: measured.source.as_deref(),
        }
    }
}

impl<'a> Remedy<'a> {
    fn new(ruler: &Ruler<'a>, remedy: &'a source::Remedy) -> Remedy<'a> {
        let edits = remedy.edits.iter().map(|edit| Edit::new(ruler, edit)).collect();
        Remedy { says: &remedy.says, safety: remedy.safety.word(), edits }
    }
}

impl<'a> Edit<'a> {
    fn new(ruler: &Ruler<'a>, edit: &'a source::Edit) -> Edit<'a> {
        let (file, start, end) = stretch(ruler, edit.span);
        Edit { file, start, end, text: &edit.text }
    }
}

impl From<Spot> for Place {
    fn from(spot: Spot) -> Place {
        Place { line: spot.line, column: spot.column, byte: spot.byte }
    }
}

fn stretch<'a>(ruler: &Ruler<'a>, span: Span) -> (&'a str, Place, Place) {
    (ruler.path(span.file), ruler.start(span).into(), ruler.end(span).into())
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json as expected};
    use trimsheet_source::{Measured, RuleId, Safety, Sources};

    use super::*;

    fn written(findings: &[source::Finding], unsaid: &[source::CannotSay]) -> String {
        let mut sources = Sources::default();
        sources.add("linnet.trim", "µ wing\npart camera\n");
        let summary = crate::Summary {
            stage: Some("balanced".into()),
            fail_at: Level::Error,
            files: 1,
            estimated: 3,
            unknown: 2,
            loosened: 0,
            proved: 0,
        };
        json(&Report { cannot_say: unsaid, summary, ..Report::of(&sources, findings) })
    }

    fn span(start: usize, end: usize) -> Span {
        Span { file: source::FileId(0), start, end }
    }

    fn value_of(text: &str, pointer: &str) -> Value {
        serde_json::from_str::<Value>(text).unwrap().pointer(pointer).unwrap().clone()
    }

    #[test]
    fn the_form_and_its_version_come_first_and_a_line_break_last() {
        let text = written(&[], &[]);
        assert!(text.starts_with(
            "{\n  \"form\": \"trimsheet-findings\",\n  \"version\": 1,\n  \"summary\": {"
        ));
        assert!(text.ends_with(
            "  \"findings\": [],\n  \"waived\": [],\n  \"cannot_say\": [],\n  \"figures\": []\n}\n"
        ));
    }

    #[test]
    fn the_summary_says_whether_the_run_failed() {
        let warning = source::Finding::new("a/b", Level::Warning, span(0, 0), "");
        let stop = source::Finding::new("a/b", Level::Stop, span(0, 0), "");
        let text = written(std::slice::from_ref(&warning), &[]);
        assert_eq!(value_of(&text, "/summary/failed"), expected!(false));
        let summary = value_of(&written(&[warning, stop], &[]), "/summary");
        assert_eq!(
            summary,
            expected!({
                "stage": "balanced", "fail_at": "error", "failed": true,
                "stops": 1, "errors": 0, "warnings": 1, "notes": 0, "waived": 0,
                "loosened": 0, "cannot_say": 0,
                "files": 1, "estimated": 3, "unknown": 2, "proved": 0,
            })
        );
    }

    #[test]
    fn a_finding_is_written_with_all_that_it_holds() {
        let edit = source::Edit { span: span(8, 8), text: "\"\u{1b}".into() };
        let mut finding = source::Finding::new("a/b", Level::Stop, span(3, 7), "far")
            .labelled("it")
            .because(span(8, 12), "so")
            .remedied("move it", Safety::Offered, vec![edit]);
        finding.likely = Some("weigh it".into());
        finding.primary.value = Some(Measured {
            name: "wing.span".into(),
            value: 1.5,
            unit: "mm".into(),
            spread: Some(f64::INFINITY),
            source: None,
        });
        let eighth = expected!({"line": 2, "column": 1, "byte": 8});
        assert_eq!(
            value_of(&written(&[finding], &[]), "/findings/0"),
            expected!({
                "rule": "a/b", "level": "stop", "headline": "far", "likely": "weigh it",
                "primary": {
                    "file": "linnet.trim",
                    "start": {"line": 1, "column": 3, "byte": 3},
                    "end": {"line": 1, "column": 7, "byte": 7},
                    "text": "it",
                    "value": {"name": "wing.span", "value": 1.5, "unit": "mm",
                              "spread": null, "source": null},
                },
                "because": [{
                    "file": "linnet.trim", "start": eighth,
                    "end": {"line": 2, "column": 5, "byte": 12},
                    "text": "so", "value": null,
                }],
                "remedies": [{
                    "says": "move it", "safety": "offered",
                    "edits": [{"file": "linnet.trim", "start": eighth, "end": eighth,
                               "text": "\"\u{1b}"}],
                }],
            })
        );
    }

    #[test]
    fn a_judgement_that_could_not_be_made_names_both_lines() {
        let unsaid = source::CannotSay {
            rule: RuleId::new("a/b"),
            about: source::Label::new(span(3, 7), "the wing"),
            because: source::Label::new(span(13, 19), "no mass"),
        };
        let text = written(&[], &[unsaid]);
        assert_eq!(value_of(&text, "/summary/cannot_say"), expected!(1));
        assert_eq!(value_of(&text, "/cannot_say/0/about/text"), expected!("the wing"));
        assert_eq!(value_of(&text, "/cannot_say/0/because/start/line"), expected!(2));
    }
}

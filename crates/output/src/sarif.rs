//! A report as SARIF 2.1.0, the OASIS standard for what checkers find.
//!
//! Numbers in brackets are sections of the standard. How ours maps to its words:
//!
//! | here | there |
//! | --- | --- |
//! | stop, error; warning; note | `level` `error`; `warning`; `note` (3.27.10), and our own word in `properties.level` |
//! | a rule could not say | a result of `kind` `open` (3.27.9) and level `none` |
//! | because | `relatedLocations` (3.27.22) |
//! | an edit of a remedy | `fixes` (3.27.30); what is only said stands in the message |
//! | waived | a result with `suppressions` (3.35), which name the reason |
//! | a file that could not be checked | a notification (3.58), and no successful execution |
//!
//! Rules are listed if a result names them. Columns count code points, and messages are
//! plain text in which control characters are shown as signs.
//! That there are no results does not mean that the aircraft may fly: what a person is
//! told at the end of a run stands in `properties.summary` of the run.

mod fingerprint;
mod place;

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;
use trimsheet_source::{CannotSay, Finding, Label, Level, Remedy, RuleId, Waived};

use crate::{Report, clean, ruler::Ruler, summary::summary, words};
use fingerprint::Fingerprints;
use place::{ArtifactLocation, Location, Region};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";

/// Writes a report as SARIF.
#[expect(clippy::expect_used, reason = "it fails only for maps with odd keys: none here")]
pub fn sarif(report: &Report<'_>) -> String {
    let ruler = Ruler::new(report.sources);
    let log = Log { schema: SCHEMA, version: "2.1.0", runs: [Run::new(&ruler, report)] };
    let text = serde_json::to_string_pretty(&log);
    text.expect("structs of numbers, texts and lists are always written") + "\n"
}

#[derive(Serialize)]
struct Log<'a> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'a> {
    tool: Tool<'a>,
    invocations: [Invocation; 1],
    column_kind: &'static str,
    results: Vec<Outcome<'a>>,
    properties: RunProperties,
}

#[derive(Serialize)]
struct RunProperties {
    summary: String,
}

#[derive(Serialize)]
struct Tool<'a> {
    driver: Driver<'a>,
}

#[derive(Serialize)]
struct Driver<'a> {
    name: &'static str,
    version: &'static str,
    rules: Vec<Descriptor<'a>>,
}

/// A rule.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Descriptor<'a> {
    id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    short_description: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    default_configuration: Option<Configuration>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<Help<'a>>,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

/// A page, which is Markdown that can be read as it stands.
#[derive(Serialize)]
struct Help<'a> {
    text: &'a str,
    markdown: &'a str,
}

/// How the run went.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Invocation {
    execution_successful: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    tool_execution_notifications: Vec<Notification>,
}

#[derive(Serialize)]
struct Notification {
    level: &'static str,
    message: Text,
    locations: [Location; 1],
}

/// A result.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Outcome<'a> {
    rule_id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rule_index: Option<usize>,
    kind: &'static str,
    level: &'static str,
    message: Text,
    locations: [Location; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<Fix<'a>>,
    partial_fingerprints: PartialFingerprints,
    suppressions: Vec<Suppression>,
    #[serde(skip_serializing_if = "Option::is_none")]
    properties: Option<Properties>,
}

#[derive(Serialize)]
struct PartialFingerprints {
    #[serde(rename = "entryAndFact/v1")]
    entry_and_fact: String,
}

#[derive(Serialize)]
struct Properties {
    level: &'static str,
}

#[derive(Serialize)]
struct Suppression {
    kind: &'static str,
    status: &'static str,
    justification: String,
    location: Location,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Fix<'a> {
    description: Text,
    artifact_changes: Vec<ArtifactChange<'a>>,
    properties: FixProperties,
}

#[derive(Serialize)]
struct FixProperties {
    safety: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ArtifactChange<'a> {
    artifact_location: ArtifactLocation,
    replacements: Vec<Replacement<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Replacement<'a> {
    deleted_region: Region,
    inserted_content: Inserted<'a>,
}

#[derive(Serialize)]
struct Inserted<'a> {
    text: &'a str,
}

/// A message.
#[derive(Serialize)]
struct Text {
    text: String,
}

impl Text {
    fn new(text: String) -> Text {
        Text { text }
    }
}

impl<'a> Run<'a> {
    fn new(ruler: &Ruler<'a>, report: &'a Report<'a>) -> Run<'a> {
        let found = report.findings.iter().map(|finding| &finding.rule);
        let waived = report.waived.iter().map(|waived| &waived.finding.rule);
        let unsaid = report.cannot_say.iter().map(|unsaid| &unsaid.rule);
        let named: BTreeSet<&RuleId> = found.chain(waived).chain(unsaid).collect();
        let index: BTreeMap<&RuleId, usize> = named.iter().copied().zip(0..).collect();
        let rules = named.into_iter().map(|id| Descriptor::new(report, id)).collect();
        let driver =
            Driver { name: "trimsheet", version: env!("CARGO_PKG_VERSION"), rules };
        let mut known = Fingerprints::default();
        let findings = report.findings.iter();
        let mut results: Vec<Outcome<'_>> =
            findings.map(|one| Outcome::found(ruler, one, &mut known)).collect();
        let waived = report.waived.iter();
        results.extend(waived.map(|one| Outcome::waived(ruler, one, &mut known)));
        let mut known = Fingerprints::default();
        let unsaid = report.cannot_say.iter();
        results.extend(unsaid.map(|one| Outcome::open(ruler, one, &mut known)));
        for result in &mut results {
            result.rule_index = index.get(&RuleId::new(result.rule_id)).copied();
        }
        Run {
            tool: Tool { driver },
            invocations: [Invocation::new(report)],
            column_kind: "unicodeCodePoints",
            results,
            properties: RunProperties { summary: summary(report).trim().to_owned() },
        }
    }
}

impl Invocation {
    fn new(report: &Report<'_>) -> Invocation {
        let troubles = report.troubles.iter().map(|(path, says)| Notification {
            level: "error",
            message: Text::new(clean::visible(&format!("cannot check {path}: {says}"))),
            locations: [Location::of_file(path)],
        });
        Invocation {
            execution_successful: report.troubles.is_empty(),
            tool_execution_notifications: troubles.collect(),
        }
    }
}

impl<'a> Descriptor<'a> {
    fn new(report: &'a Report<'a>, id: &'a RuleId) -> Descriptor<'a> {
        let rule = report.rules.iter().find(|rule| rule.id == *id);
        let level = rule.and_then(|rule| rule.level);
        Descriptor {
            id: &id.0,
            short_description: rule.map(|rule| Text::new(clean::visible(&rule.title))),
            default_configuration: level
                .map(|level| Configuration { level: word(level) }),
            help: rule.map(|rule| Help { text: rule.prose(), markdown: rule.prose() }),
        }
    }
}

impl<'a> Outcome<'a> {
    fn found(
        ruler: &Ruler<'a>,
        finding: &'a Finding,
        known: &mut Fingerprints,
    ) -> Outcome<'a> {
        let headline = std::iter::once(clean::visible(&finding.headline));
        let says: Vec<String> = headline.chain(words::advice(finding)).collect();
        let span = finding.primary.span;
        let because = finding.because.iter().zip(1..);
        let remedies = finding.remedies.iter();
        Outcome {
            rule_id: &finding.rule.0,
            rule_index: None,
            kind: "fail",
            level: word(finding.level),
            message: Text::new(says.join("\n")),
            locations: [Location::new(ruler, &finding.primary, None)],
            related_locations: because
                .map(|(label, id)| Location::new(ruler, label, Some(id)))
                .collect(),
            fixes: remedies.filter_map(|remedy| Fix::new(ruler, remedy)).collect(),
            partial_fingerprints: PartialFingerprints {
                entry_and_fact: known.next(ruler, &finding.rule, span),
            },
            suppressions: Vec::new(),
            properties: Some(Properties { level: finding.level.word() }),
        }
    }

    fn waived(
        ruler: &Ruler<'a>,
        waived: &'a Waived,
        known: &mut Fingerprints,
    ) -> Outcome<'a> {
        let its_own = waived.because.span.file == waived.finding.primary.span.file;
        let suppression = Suppression {
            // A waiver stands in the spec, or in a pack that speaks for many.
            kind: if its_own { "inSource" } else { "external" },
            status: "accepted",
            justification: words::reason(waived),
            location: Location::new(ruler, &waived.because, None),
        };
        let found = Outcome::found(ruler, &waived.finding, known);
        Outcome { suppressions: vec![suppression], ..found }
    }

    fn open(
        ruler: &Ruler<'a>,
        unsaid: &'a CannotSay,
        known: &mut Fingerprints,
    ) -> Outcome<'a> {
        let about = Label::new(unsaid.about.span, unsaid.about.text.clone());
        Outcome {
            rule_id: &unsaid.rule.0,
            rule_index: None,
            kind: "open",
            level: "none",
            message: Text::new(words::unsaid(unsaid)),
            locations: [Location::new(ruler, &about, None)],
            related_locations: vec![Location::new(ruler, &unsaid.because, Some(1))],
            fixes: Vec::new(),
            partial_fingerprints: PartialFingerprints {
                entry_and_fact: known.next(ruler, &unsaid.rule, unsaid.about.span),
            },
            suppressions: Vec::new(),
            properties: None,
        }
    }
}

impl<'a> Fix<'a> {
    /// What a remedy writes, file by file; nothing if it writes nothing.
    fn new(ruler: &Ruler<'a>, remedy: &'a Remedy) -> Option<Fix<'a>> {
        let mut files: BTreeMap<_, Vec<Replacement<'_>>> = BTreeMap::new();
        for edit in &remedy.edits {
            files.entry(edit.span.file).or_default().push(Replacement {
                deleted_region: Region::new(ruler, edit.span),
                inserted_content: Inserted { text: &edit.text },
            });
        }
        let changes = files.into_iter().map(|(file, replacements)| ArtifactChange {
            artifact_location: ArtifactLocation::new(ruler.path(file)),
            replacements,
        });
        (!remedy.edits.is_empty()).then(|| Fix {
            description: Text::new(clean::visible(&remedy.says)),
            artifact_changes: changes.collect(),
            properties: FixProperties { safety: remedy.safety.word() },
        })
    }
}

/// The standard's word for a level.
fn word(level: Level) -> &'static str {
    match level {
        Level::Stop | Level::Error => "error",
        Level::Warning => "warning",
        Level::Note => "note",
    }
}

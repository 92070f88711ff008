//! Waivers: findings that somebody lets pass, with a reason, until a day.

use trimsheet_facts::model::{Build, Date, Entry, EntryId};
use trimsheet_source::{Finding, Label, Level, Span, Waived};

use crate::layer::Owner;
use crate::rule::Rule;

/// That one rule's findings about an entry may pass.
#[derive(Clone, Debug)]
pub struct Waiver {
    /// The rule that is named, and where.
    pub rule: (String, Span),
    /// The entries that it is about; a pack's is about every one.
    pub on: Option<Vec<EntryId>>,
    /// The reason, and where it stands.
    pub because: Option<(String, Span)>,
    /// Who answers for it.
    pub by: Option<String>,
    /// The last day on which it holds.
    pub until: Option<Date>,
    /// What stands for it.
    pub span: Span,
    /// Who waives.
    pub owner: Owner,
}

impl Waiver {
    /// Reads an entry; one whose rule or place could not be read has its findings.
    pub(super) fn read(entry: &Entry) -> Option<Waiver> {
        let rule = entry.head.slot("rule")?;
        let on = entry.head.slot("on")?.targets().to_vec();
        let because = entry.fact("because").and_then(|fact| fact.first());
        let by = entry.fact("by");
        let text = |value: &trimsheet_facts::model::Value| {
            value.text().filter(|text| !text.trim().is_empty()).map(str::to_owned)
        };
        (!on.is_empty()).then_some(Waiver {
            rule: (rule.text()?.to_owned(), rule.span),
            on: Some(on),
            because: because.and_then(|value| Some((text(value)?, value.span))),
            by: by.and_then(|by| text(by.slot("name")?)),
            until: by.and_then(|by| by.slot("until")?.date()),
            span: entry.span(),
            owner: Owner::Model,
        })
    }

    /// Why it does not hold, if it does not.
    pub(super) fn does_not_hold(
        &self,
        rule: &Rule,
        today: Option<Date>,
    ) -> Option<Finding> {
        let id = &rule.id;
        if !rule.waivable {
            let says = format!("{id} cannot be waived");
            let advice =
                format!("mend what it finds; `trimsheet explain {id}` says why and how");
            return Some(
                not_held("rules/waiver-forbidden", self.rule.1, says).advised(advice),
            );
        }
        let missing = [
            (self.because.is_none(), "because: the reason"),
            (self.by.is_none(), "by: who answers for it"),
            (self.until.is_none(), "until: the last day on which it holds"),
        ];
        let missing: Vec<&str> =
            missing.into_iter().filter(|(is, _)| *is).map(|(_, says)| says).collect();
        if !missing.is_empty() {
            let says = format!(
                "the waiver of {id} lets nothing pass before it says {}",
                missing.join(", ")
            );
            return Some(not_held("rules/waiver-unexplained", self.span, says).advised(
                "write in your own words why this may be as it is; nobody else can know",
            ));
        }
        let (until, today) = (self.until?, today?.day_only());
        (until.day_only() < today).then(|| {
            let says = format!(
                "the waiver of {id} held until {until}, {} ago",
                days(today.days_after(until))
            );
            not_held("rules/waiver-expired", self.span, says).advised(
                "look at the aircraft again: mend what was waived, or give the waiver a new day and say why",
            )
        })
    }

    /// Whether it is about a finding: one about its entry, or one that stands there.
    fn covers(&self, finding: &Finding, about: Option<EntryId>, build: &Build) -> bool {
        if finding.rule.0 != self.rule.0 {
            return false;
        }
        let Some(on) = &self.on else { return true };
        let stands = |id: &EntryId| {
            build.entry(*id).is_some_and(|entry| is_within(entry, finding.primary.span))
        };
        let is_model = |id: &EntryId| {
            about.is_none()
                && build.entry(*id).is_some_and(|entry| entry.row.word == "model")
        };
        on.iter().any(|id| about == Some(*id) || stands(id) || is_model(id))
    }
}

fn days(count: i64) -> String {
    if count == 1 { "1 day".into() } else { format!("{count} days") }
}

/// Whether a place is in an entry.
fn is_within(entry: &Entry, span: Span) -> bool {
    let facts = std::iter::once(&entry.head).chain(&entry.facts);
    facts.filter(|fact| fact.via.is_none()).any(|fact| {
        fact.span.file == span.file
            && fact.span.start <= span.start
            && span.end <= fact.span.end
    })
}

fn not_held(id: &str, span: Span, says: String) -> Finding {
    Finding::new(id, Level::Error, span, says)
}

/// The findings that remain, and those that are waived.
pub(crate) struct Applied {
    pub(crate) findings: Vec<Finding>,
    pub(crate) waived: Vec<Waived>,
    /// Which of the waivers had something to waive.
    pub(crate) needed: Vec<bool>,
}

/// Lets pass what waivers cover; each finding comes with what it is about.
pub(crate) fn apply(
    waivers: &[Waiver],
    findings: Vec<(Finding, Option<EntryId>)>,
    build: &Build,
) -> Applied {
    let mut applied = Applied {
        findings: Vec::new(),
        waived: Vec::new(),
        needed: vec![false; waivers.len()],
    };
    for (finding, about) in findings {
        let covering = waivers.iter().zip(&mut applied.needed);
        let covering =
            covering.filter(|(waiver, _)| waiver.covers(&finding, about, build));
        let mut first = None;
        for (waiver, needed) in covering {
            *needed = true;
            first = first.or(Some(waiver));
        }
        match first {
            None => applied.findings.push(finding),
            Some(waiver) => applied.waived.push(waived(finding, waiver)),
        }
    }
    applied
}

fn waived(finding: Finding, waiver: &Waiver) -> Waived {
    let (reason, span) = waiver.because.clone().unwrap_or((String::new(), waiver.span));
    Waived {
        finding,
        because: Label::new(span, reason),
        by: waiver.by.clone().unwrap_or_default(),
        until: waiver.until.map_or(String::new(), |until| until.to_string()),
    }
}

//! Known findings: what an old model had when it was first checked, let pass until a day.
//!
//! A line of the proof names a rule, what it is about, and the check sum of the facts that
//! the rule read. Once any of these facts changes, the finding counts again.

use std::collections::BTreeMap;

use trimsheet_facts::model::{Date, Value};
use trimsheet_facts::{Facts, Grounds, Known, Reads, sealed};
use trimsheet_source::{Finding, Label, Level, Span, Waived};

use crate::rule::Rule;
use crate::settings::Settings;

/// A line that lets a finding pass.
#[derive(Clone, Debug)]
struct Line {
    by: String,
    until: Date,
    facts: String,
    span: Span,
    needed: bool,
}

/// The known findings of a spec, by their rule and what they are about.
#[derive(Debug, Default)]
pub(crate) struct Baseline {
    lines: BTreeMap<(String, String), Vec<Line>>,
    /// The lines that held until a day before today.
    expired: Vec<(Span, Date)>,
}

impl Baseline {
    pub(crate) fn read(facts: &Facts) -> Baseline {
        let mut baseline = Baseline::default();
        for (_, entry) in facts.build.of_word("known") {
            let slot = |name| entry.head.slot(name);
            let text = |name| slot(name).and_then(Value::text).map(str::to_owned);
            let until = slot("until").and_then(Value::date);
            // A line that does not say all of it has its findings, and hides none.
            let (Some(rule), Some(of), Some(by), Some(sum), Some(until)) =
                (text("rule"), text("of"), text("by"), text("facts"), until)
            else {
                continue;
            };
            let span = entry.span();
            if facts.today.is_some_and(|today| until.day_only() < today.day_only()) {
                baseline.expired.push((span, until));
                continue;
            }
            let line = Line { by, until, facts: sum, span, needed: false };
            baseline.lines.entry((rule, of)).or_default().push(line);
        }
        baseline
    }

    /// What lets a finding pass, if it is known: its rule can be waived, and it read what
    /// it read when it became known.
    pub(crate) fn covers(
        &mut self,
        rule: &Rule,
        of: &str,
        sum: &dyn Fn() -> String,
    ) -> Option<impl Fn(Finding) -> Waived + use<>> {
        let lines = self.lines.get_mut(&(rule.id.0.clone(), of.to_owned()))?;
        let sum = sum();
        let line = lines.iter_mut().find(|line| line.facts == sum && rule.waivable)?;
        line.needed = true;
        let Line { by, until, span, .. } = line.clone();
        Some(move |finding| Waived {
            finding,
            because: Label::new(span, "known since before it was checked"),
            by: by.clone(),
            until: until.to_string(),
        })
    }

    /// What is wrong with the lines: some held until a day, some hide nothing any more.
    pub(crate) fn findings(&self) -> Vec<Finding> {
        let gone = self.lines.values().flatten().filter(|line| !line.needed);
        let gone: Vec<Span> = gone.map(|line| line.span).collect();
        let mut findings = Vec::new();
        if let Some((span, until)) = self.expired.first() {
            let count = self.expired.len();
            let says = match count {
                1 => format!(
                    "a known finding was let pass until {until}, and counts again"
                ),
                _ => format!(
                    "{count} known findings were let pass until {until} or another day, and count again"
                ),
            };
            let finding =
                Finding::new("rules/known-expired", Level::Warning, *span, says);
            findings.push(finding.advised("mend what they say; `trimsheet baseline --prune` takes the old lines out"));
        }
        if let Some(span) = gone.first() {
            let says = match gone.len() {
                1 => "a known finding is no longer as it was, or is gone".to_owned(),
                count => format!(
                    "{count} known findings are no longer as they were, or are gone"
                ),
            };
            let finding = Finding::new("rules/known-unneeded", Level::Note, *span, says);
            findings.push(
                finding.advised("take the lines out with `trimsheet baseline --prune`"),
            );
        }
        findings
    }

    /// The lines that hide nothing: those that expired, and those that nothing needs.
    pub(crate) fn idle(&self) -> Vec<Span> {
        let gone = self.lines.values().flatten().filter(|line| !line.needed);
        let expired = self.expired.iter().map(|(span, _)| *span);
        expired.chain(gone.map(|line| line.span)).collect()
    }
}

/// The check sum of what a rule read, and of what is set for it.
pub fn facts_sum(
    rule: &Rule,
    settings: &Settings,
    facts: &Facts,
    reads: &Reads,
) -> String {
    let mut sum = facts.sum_of(reads);
    for parameter in &rule.parameters {
        if let Some(set) = settings.parameter(&rule.id, &parameter.name) {
            sum.push_str(&format!(" {} {}", parameter.name, set.value));
        }
    }
    sealed(&sum, &Grounds::new())
}

/// What a known finding is about, as its line says it.
pub fn named(of: &Known, facts: &Facts) -> String {
    let entry = of.entry().and_then(|id| facts.build.entry(id));
    let title = entry.map(trimsheet_facts::model::Entry::title);
    let title = title.unwrap_or_else(|| of.to_string());
    if of.entry().is_some() || title == "the aircraft" {
        return title;
    }
    // A value by its name and not by what it says: `motor.mass`.
    of.name.clone()
}

//! Checks one test of a page.

use trimsheet_output::{Colour, Look, Report, findings};
use trimsheet_project as project;
use trimsheet_project::model::Stage;
use trimsheet_project::rules::Pack;
use trimsheet_project::source::Edit;

use crate::difference::difference;
use crate::judge::{Judge, Judged, judge};
use crate::subject::Subject;
use crate::{Block, Case, Page, Problem, Settings, Shown, asserted, remedies};

/// The columns that a snapshot is drawn for.
pub const WIDTH: usize = 90;

/// What came of one test.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What is not as the page expects, in the order of its lines; empty is a pass.
    pub problems: Vec<Problem>,
    /// The page with the blocks of this test as they were found, where any differs.
    ///
    /// Marks are never rewritten: what is right about a finding is for a person to say.
    pub rewritten: Option<String>,
}

/// Checks one test of a page under the rules of the built-in pack.
///
/// `bases` gives the text of a base by its name.
pub fn run(page: &Page, case: &Case, bases: &dyn Fn(&str) -> Option<String>) -> Outcome {
    run_under(page, case, bases, &project::Settings::default().packs)
}

/// Checks one test of a page under the rules of some packs.
///
/// The test may choose among them by their names; without that all apply, in order.
pub fn run_under(
    page: &Page,
    case: &Case,
    bases: &dyn Fn(&str) -> Option<String>,
    packs: &[Pack],
) -> Outcome {
    run_with(page, case, bases, &|files, settings| judge(packs, files, settings))
}

/// Carries out every remedy of one test as the spec would stand at a stage, and says which
/// do not keep their promise.
///
/// All rules count, whatever the test looks at, and its marks and blocks do not.
pub fn promises_at(
    case: &Case,
    bases: &dyn Fn(&str) -> Option<String>,
    packs: &[Pack],
    stage: Stage,
) -> Vec<Problem> {
    promises_with(&at_stage(case, stage), bases, &|files, settings| {
        judge(packs, files, settings)
    })
    .unwrap_or_else(|problem| vec![problem])
}

/// The same test with its spec at a stage, and with all rules.
fn at_stage(case: &Case, stage: Stage) -> Case {
    let stage = Some(stage.word().to_owned());
    let settings = Settings { stage, only: None, ..case.settings.clone() };
    Case { settings, ..case.clone() }
}

fn promises_with(
    case: &Case,
    bases: &dyn Fn(&str) -> Option<String>,
    judge: &Judge<'_>,
) -> Result<Vec<Problem>, Problem> {
    if case.files.is_empty() {
        return Ok(Vec::new());
    }
    let subject = Subject::new(case, bases)?;
    let judged = judge(&subject.texts(), &case.settings)
        .map_err(|says| Problem::new(case.line, says))?;
    Ok(remedies::promises(case, &subject, &judged, judge))
}

/// Checks one test with a check of the caller's.
pub(crate) fn run_with(
    page: &Page,
    case: &Case,
    bases: &dyn Fn(&str) -> Option<String>,
    judge: &Judge<'_>,
) -> Outcome {
    if case.files.is_empty() {
        return Outcome { problems: Vec::new(), rewritten: None };
    }
    tried(page, case, bases, judge)
        .unwrap_or_else(|problem| Outcome { problems: vec![problem], rewritten: None })
}

fn tried(
    page: &Page,
    case: &Case,
    bases: &dyn Fn(&str) -> Option<String>,
    judge: &Judge<'_>,
) -> Result<Outcome, Problem> {
    let subject = Subject::new(case, bases)?;
    let counted = |files: &[(String, String)], settings: &Settings| {
        judge(files, settings).map(|judged| only_what_counts(judged, settings))
    };
    let judged = counted(&subject.texts(), &case.settings)
        .map_err(|says| Problem::new(case.line, says))?;
    let mut problems = asserted::compare(case, &subject, &judged);
    let mut accepted = Vec::new();
    for block in &case.blocks {
        match shown(case, &subject, &judged, &block.shown) {
            Err(says) => problems.push(Problem::new(block.line, says)),
            Ok(found) => {
                let difference = difference(&block.text, &found);
                if !difference.is_empty() {
                    problems.push(differs(block, &difference));
                    accepted.push((block, found));
                }
            }
        }
    }
    problems.extend(remedies::promises(case, &subject, &judged, &counted));
    problems.sort();
    let rewritten = (!accepted.is_empty()).then(|| page.with_blocks(&accepted));
    Ok(Outcome { problems, rewritten })
}

fn differs(block: &Block, difference: &str) -> Problem {
    let name = match block.shown {
        Shown::Snapshot => "snapshot",
        Shown::Fixed => "fixed",
        Shown::Remedied(_) => "remedied",
    };
    let says = format!(
        "the `{name}` block differs: `-` is expected, `+` was found\n{difference}"
    );
    Problem::new(block.line, says)
}

fn only_what_counts(mut judged: Judged, settings: &Settings) -> Judged {
    judged.findings.retain(|finding| settings.counts(&finding.rule));
    judged.cannot_say.retain(|unsaid| settings.counts(&unsaid.rule));
    judged.waived.retain(|waived| settings.counts(&waived.finding.rule));
    judged
}

/// The text that a block must have.
fn shown(
    case: &Case,
    subject: &Subject<'_>,
    judged: &Judged,
    shown: &Shown,
) -> Result<String, String> {
    let after = |edits: &[Edit]| {
        subject
            .shown(&judged.sources, edits)
            .map_err(|_| "the edits cross from the base into the example".to_owned())
    };
    match shown {
        Shown::Snapshot => Ok(snapshot(judged, &case.settings)),
        Shown::Fixed => {
            let sources = &judged.sources;
            after(&remedies::safe_edits(subject, sources, &judged.findings))
        }
        Shown::Remedied(name) => after(&remedies::named(&judged.findings, name)?.edits),
    }
}

/// The findings as a terminal shows them, without the closing lines.
fn snapshot(judged: &Judged, settings: &Settings) -> String {
    let report = Report {
        cannot_say: if settings.strict { &judged.cannot_say } else { &[] },
        waived: &judged.waived,
        ..Report::of(&judged.sources, &judged.findings)
    };
    findings(&report, &Look { colour: Colour::Plain, width: WIDTH })
}

#[cfg(test)]
mod tests;

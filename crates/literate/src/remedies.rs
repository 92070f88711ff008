//! What remedies and safe edits make of a spec, and whether they keep their promise.

use trimsheet_project::source::{Edit, Finding, Remedy, RuleId, Safety, Sources};

use crate::judge::{Judge, Judged};
use crate::subject::Subject;
use crate::{Case, Name, Problem};

/// The safe edits of all findings that can be made together, the first ones first.
pub(crate) fn safe_edits(
    subject: &Subject<'_>,
    sources: &Sources,
    findings: &[Finding],
) -> Vec<Edit> {
    let mut made = Vec::new();
    for finding in findings {
        let mut remedies = finding.remedies.iter();
        let safe = remedies.find(|r| r.safety == Safety::Safe && !r.edits.is_empty());
        let Some(safe) = safe else {
            continue;
        };
        let mut with = made.clone();
        with.extend(safe.edits.clone());
        if subject.edited(sources, &with).is_ok() {
            made = with;
        }
    }
    made
}

/// The remedy that a block names, or why there is none.
pub(crate) fn named<'a>(
    findings: &'a [Finding],
    name: &Name,
) -> Result<&'a Remedy, String> {
    let mut remedies = findings.iter().flat_map(|finding| &finding.remedies);
    let remedy = match name {
        Name::Number(number) => number.checked_sub(1).and_then(|at| remedies.nth(at)),
        Name::Part(part) => remedies.find(|remedy| remedy.says.contains(part.as_str())),
    };
    remedy.filter(|remedy| !remedy.edits.is_empty()).ok_or_else(|| listed(findings, name))
}

fn listed(findings: &[Finding], name: &Name) -> String {
    let wanted = match name {
        Name::Number(number) => format!("a remedy number {number}"),
        Name::Part(part) => format!("a remedy with the words \"{part}\""),
    };
    let remedies = findings.iter().flat_map(|finding| &finding.remedies);
    let found: Vec<String> = (1..)
        .zip(remedies)
        .map(|(number, remedy)| {
            let edit = if remedy.edits.is_empty() { " (without an edit)" } else { "" };
            format!("\n    {number} {}{edit}", remedy.says)
        })
        .collect();
    let found = if found.is_empty() { " none".into() } else { found.concat() };
    format!("expected {wanted} that has an edit\nfound{found}")
}

/// Carries out every remedy that has an edit, each alone, and checks its promise.
pub(crate) fn promises(
    case: &Case,
    subject: &Subject<'_>,
    judged: &Judged,
    judge: &Judge<'_>,
) -> Vec<Problem> {
    let remedies = judged
        .findings
        .iter()
        .flat_map(|finding| finding.remedies.iter().map(move |remedy| (finding, remedy)));
    remedies
        .filter(|(_, remedy)| !remedy.edits.is_empty())
        .filter_map(|(finding, remedy)| {
            let after = subject.edited(&judged.sources, &remedy.edits);
            let after = after.map_err(|_| "its edits overlap or miss the text".into());
            let after = after.and_then(|files| judge(&files, &case.settings));
            let broken =
                after.map_or_else(Some, |after| kept(finding, judged, &after).err())?;
            let says = format!(
                "{}[{}] promises \"{}\", but {broken}",
                finding.level, finding.rule, remedy.says
            );
            Some(Problem::new(case.line, says))
        })
        .collect()
}

/// Whether one finding of the rule is gone and none that is worse has come.
fn kept(finding: &Finding, before: &Judged, after: &Judged) -> Result<(), String> {
    let of_rule = |judged: &Judged| {
        judged.findings.iter().filter(|other| other.rule == finding.rule).count()
    };
    if of_rule(before) <= of_rule(after) {
        let mut left = after.findings.iter().filter(|other| other.rule == finding.rule);
        let left = left.next().map_or("", |left| &left.headline);
        return Err(format!("with it the rule still finds: {left}"));
    }
    // Counted by rule: what goes elsewhere makes nothing good that comes.
    let worse = |judged: &Judged, rule: &RuleId| {
        let found = judged.findings.iter();
        found.filter(|other| other.rule == *rule && finding.level < other.level).count()
    };
    let come = after.findings.iter().filter(|other| {
        finding.level < other.level
            && worse(before, &other.rule) < worse(after, &other.rule)
            && !before.findings.iter().any(|old| {
                (&old.rule, old.level, &old.headline)
                    == (&other.rule, other.level, &other.headline)
            })
    });
    let come: Vec<String> = come
        .map(|other| format!("{}[{}]: {}", other.level, other.rule, other.headline))
        .collect();
    if !come.is_empty() {
        return Err(format!("with it comes {}", come.join(", ")));
    }
    Ok(())
}

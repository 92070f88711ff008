//! Several reports made one: files by their path, findings in one order, each once.

use std::collections::BTreeMap;

use trimsheet_source::{CannotSay, FileId, Finding, Label, Level, Sources, Span, Waived};

use crate::check::Checked;

/// The most findings of rules that are kept of one file.
const MOST: usize = 1_000;

/// Puts reports together, whatever files they share.
pub(crate) fn merge(all: Vec<Checked>) -> Checked {
    let mut out = Checked::default();
    let mut ids: BTreeMap<String, Vec<FileId>> = BTreeMap::new();
    for one in all {
        let mut map: BTreeMap<FileId, FileId> = BTreeMap::new();
        for (old, file) in one.sources.iter() {
            // Two packs may stand at one place, one of them in the program itself.
            let same = ids.entry(file.path.clone()).or_default();
            let known = same.iter().copied().find(|id| {
                out.sources.file(*id).is_some_and(|known| known.text == file.text)
            });
            let new = known.unwrap_or_else(|| {
                let id = out.sources.add(file.path.clone(), file.text.clone());
                same.push(id);
                id
            });
            map.insert(old, new);
        }
        let moved = |span: &mut Span| {
            if let Some(new) = map.get(&span.file) {
                span.file = *new;
            }
        };
        out.findings.extend(
            one.findings.into_iter().map(|finding| move_finding(finding, &moved)),
        );
        out.waived.extend(one.waived.into_iter().map(|mut waived| {
            moved(&mut waived.because.span);
            Waived { finding: move_finding(waived.finding, &moved), ..waived }
        }));
        out.cannot_say.extend(one.cannot_say.into_iter().map(|mut silent| {
            moved(&mut silent.about.span);
            moved(&mut silent.because.span);
            silent
        }));
        out.figures.extend(one.figures.into_iter().map(|mut figures| {
            moved(&mut figures.about.span);
            figures
        }));
        out.files += one.files;
        out.loosened += one.loosened;
        out.estimated += one.estimated;
        out.unknown += one.unknown;
        out.proved += one.proved;
        out.troubles.extend(one.troubles);
    }
    in_order(&mut out);
    out
}

/// The finding with its places moved.
pub(crate) fn move_finding(mut finding: Finding, moved: &impl Fn(&mut Span)) -> Finding {
    let labels = std::iter::once(&mut finding.primary).chain(&mut finding.because);
    labels.for_each(|label: &mut Label| moved(&mut label.span));
    for remedy in &mut finding.remedies {
        remedy.edits.iter_mut().for_each(|edit| moved(&mut edit.span));
    }
    finding
}

/// By file, place and rule; said twice is said once.
fn in_order(checked: &mut Checked) {
    let sources = &checked.sources;
    checked.findings.sort_by(|a, b| key(a, sources).cmp(&key(b, sources)));
    checked.findings.dedup();
    checked
        .waived
        .sort_by(|a, b| key(&a.finding, sources).cmp(&key(&b.finding, sources)));
    checked.waived.dedup();
    checked
        .cannot_say
        .sort_by(|a, b| silent_key(a, sources).cmp(&silent_key(b, sources)));
    checked.cannot_say.dedup();
    checked.troubles.sort();
    keep_most(checked);
}

type Key<'a> = (&'a str, usize, usize, &'a str, &'a str);

fn key<'a>(finding: &'a Finding, sources: &'a Sources) -> Key<'a> {
    let span = finding.primary.span;
    (sources.path(span.file), span.start, span.end, &finding.rule.0, &finding.headline)
}

fn silent_key<'a>(silent: &'a CannotSay, sources: &'a Sources) -> Key<'a> {
    let span = silent.about.span;
    (sources.path(span.file), span.start, span.end, &silent.rule.0, &silent.because.text)
}

/// Keeps what rules find in one file to what a person can read, and counts the rest.
///
/// What reading finds is bounded where it is found, so that it is never held in memory.
fn keep_most(checked: &mut Checked) {
    let mut counts: BTreeMap<FileId, (usize, Span)> = BTreeMap::new();
    checked.findings.retain(|finding| {
        if finding.rule.0.starts_with("read/") {
            return true;
        }
        let span = finding.primary.span;
        let (count, _) = counts.entry(span.file).or_insert((0, span));
        *count += 1;
        *count <= MOST
    });
    for (count, first) in counts.into_values().filter(|(count, _)| *count > MOST) {
        let says =
            format!("{} more findings of rules in this file are not shown", count - MOST);
        let span = Span { start: 0, end: 0, ..first };
        let at = checked.findings.partition_point(|finding| {
            checked.sources.path(finding.primary.span.file)
                <= checked.sources.path(first.file)
        });
        let finding = Finding::new("rules/too-many", Level::Error, span, says);
        let finding = finding.advised("mend the first ones, then check again");
        checked.findings.insert(at, finding);
    }
}

//! Reports made one: files by their path, findings in one order, each once.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use trimsheet_source::{
    CannotSay, FileId, Finding, Judged, Label, Level, RuleId, RuleText, Sources, Span,
    Waived,
};

use crate::check::Checked;
use crate::pages::text;

/// The most findings of rules that are kept of one file.
const MOST: usize = 1_000;

/// What was said, each with the specs of which it was: their places among the judged.
type Said<T> = Vec<(T, Vec<usize>)>;

/// What several reports say.
#[derive(Default)]
struct All {
    findings: Said<Finding>,
    waived: Said<Waived>,
    cannot_say: Said<CannotSay>,
    rules: BTreeMap<RuleId, RuleText>,
}

/// Puts reports of one spec each together, whatever files they share.
pub(crate) fn merge(reports: Vec<Checked>) -> Checked {
    let mut out = Checked::default();
    let mut all = All::default();
    let mut ids: BTreeMap<String, Vec<FileId>> = BTreeMap::new();
    let is_alone = reports.iter().filter(|one| 0 < one.files).count() == 1;
    for mut one in reports {
        // Where there is but one spec, nothing has to be moved.
        if is_alone && 0 < one.files {
            out.sources = std::mem::take(&mut one.sources);
            all.take(&mut out, one, &|_| {});
            continue;
        }
        let mut map: BTreeMap<FileId, FileId> = BTreeMap::new();
        for (old, file) in one.sources.iter() {
            // Two packs may stand at one place, one of them in the program itself.
            let same = ids.entry(file.path.clone()).or_default();
            let known = same.iter().copied().find(|id| {
                out.sources.file(*id).is_some_and(|known| known.text == file.text)
            });
            let taken = || {
                let id = out.sources.share(&one.sources, old);
                same.extend(id);
                id
            };
            map.extend(known.or_else(taken).map(|new| (old, new)));
        }
        let moved = |span: &mut Span| {
            if let Some(new) = map.get(&span.file) {
                span.file = *new;
            }
        };
        all.take(&mut out, one, &moved);
    }
    all.settle(&mut out);
    out
}

impl All {
    /// Takes in what one report says, and counts the rest of it.
    fn take(&mut self, out: &mut Checked, one: Checked, moved: &impl Fn(&mut Span)) {
        let of = || vec![out.judged.len()];
        let findings = one.findings.into_iter();
        self.findings
            .extend(findings.map(|finding| (move_finding(finding, moved), of())));
        self.waived.extend(one.waived.into_iter().map(|mut waived| {
            moved(&mut waived.because.span);
            (Waived { finding: move_finding(waived.finding, moved), ..waived }, of())
        }));
        self.cannot_say.extend(one.cannot_say.into_iter().map(|mut silent| {
            moved(&mut silent.about.span);
            moved(&mut silent.because.span);
            (silent, of())
        }));
        for rule in one.rules {
            self.rules.entry(rule.id.clone()).or_insert(rule);
        }
        out.judged.extend(one.judged.into_iter().map(|judged| {
            let mut span = Span { file: judged.spec, start: 0, end: 0 };
            moved(&mut span);
            let (findings, waived, cannot_say) = (Vec::new(), Vec::new(), Vec::new());
            Judged { spec: span.file, findings, waived, cannot_say, ..judged }
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

    /// Puts all in order, and says of each spec where that stands which is about it.
    fn settle(mut self, out: &mut Checked) {
        let sources = &out.sources;
        in_order(&mut self.findings, |a, b| key(a, sources).cmp(&key(b, sources)));
        in_order(&mut self.waived, |a, b| {
            key(&a.finding, sources).cmp(&key(&b.finding, sources))
        });
        in_order(&mut self.cannot_say, |a, b| {
            silent_key(a, sources).cmp(&silent_key(b, sources))
        });
        keep_most(&mut self.findings, sources);
        for (finding, _) in &self.findings {
            if !self.rules.contains_key(&finding.rule)
                && let Some(text) = text(&finding.rule)
            {
                self.rules.insert(finding.rule.clone(), text);
            }
        }
        let judged = &mut out.judged;
        out.findings = placed(self.findings, judged, |one| &mut one.findings);
        out.waived = placed(self.waived, judged, |one| &mut one.waived);
        out.cannot_say = placed(self.cannot_say, judged, |one| &mut one.cannot_say);
        out.rules = self.rules.into_values().collect();
        out.troubles.sort();
    }
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

/// In this order; said twice is said once, and of both specs.
fn in_order<T: PartialEq>(said: &mut Said<T>, order: impl Fn(&T, &T) -> Ordering) {
    said.sort_by(|(one, _), (other, _)| order(one, other));
    said.dedup_by(|(again, its), (kept, specs)| {
        let is_same = again == kept;
        if is_same {
            specs.append(its);
            specs.dedup();
        }
        is_same
    });
}

/// What was said; of each spec is kept at which places.
fn placed<T>(
    said: Said<T>,
    judged: &mut [Judged],
    list: impl Fn(&mut Judged) -> &mut Vec<usize>,
) -> Vec<T> {
    let mut all = Vec::with_capacity(said.len());
    for (what, specs) in said {
        for spec in specs {
            if let Some(judged) = judged.get_mut(spec) {
                list(judged).push(all.len());
            }
        }
        all.push(what);
    }
    all
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
fn keep_most(findings: &mut Said<Finding>, sources: &Sources) {
    let mut counts: BTreeMap<FileId, (usize, Span, Vec<usize>)> = BTreeMap::new();
    findings.retain(|(finding, specs)| {
        if finding.rule.0.starts_with("read/") {
            return true;
        }
        let span = finding.primary.span;
        let (count, _, of) = counts.entry(span.file).or_insert((0, span, Vec::new()));
        *count += 1;
        if MOST < *count {
            of.extend(specs);
        }
        *count <= MOST
    });
    for (count, first, mut specs) in counts.into_values() {
        if count <= MOST {
            continue;
        }
        let says =
            format!("{} more findings of rules in this file are not shown", count - MOST);
        let span = Span { start: 0, end: 0, ..first };
        let at = findings.partition_point(|(finding, _)| {
            sources.path(finding.primary.span.file) <= sources.path(first.file)
        });
        let finding = Finding::new("rules/too-many", Level::Error, span, says);
        let finding = finding.advised("mend the first ones, then check again");
        specs.sort_unstable();
        specs.dedup();
        findings.insert(at, (finding, specs));
    }
}

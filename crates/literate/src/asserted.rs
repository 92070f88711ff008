//! What is marked against what was found, both ways.

use trimsheet_project::source::{CannotSay, Finding, RuleId, Span, Waived};

use crate::judge::Judged;
use crate::subject::{Place, Subject};
use crate::{Case, Claim, Mark, Problem, Spec};

/// Every mark that is not met and every finding that is not marked.
pub(crate) fn compare(
    case: &Case,
    subject: &Subject<'_>,
    judged: &Judged,
) -> Vec<Problem> {
    let mut matching = Matching {
        case,
        subject,
        judged,
        marked: vec![false; judged.findings.len()],
        unsaid: vec![false; judged.cannot_say.len()],
        waived: vec![false; judged.waived.len()],
    };
    let mut marks: Vec<(&Spec, &Mark)> = case
        .files
        .iter()
        .flat_map(|spec| spec.marks.iter().map(move |mark| (spec, mark)))
        .collect();
    // The longer a text, the fewer findings have it: those choose first.
    marks.sort_by_key(|(_, mark)| std::cmp::Reverse(said(&mark.claim).len()));
    let mut problems: Vec<Problem> =
        marks.into_iter().filter_map(|(spec, mark)| matching.meet(spec, mark)).collect();
    problems.extend(matching.unexpected());
    problems.sort();
    problems
}

fn said(claim: &Claim) -> &str {
    match claim {
        Claim::Finding { says, .. } => says,
        Claim::Because(says) | Claim::Remedy(says) | Claim::Likely(says) => says,
        Claim::CannotSay(_) | Claim::Waived(_) => "",
    }
}

struct Matching<'a> {
    case: &'a Case,
    subject: &'a Subject<'a>,
    judged: &'a Judged,
    /// Whether each finding has its mark.
    marked: Vec<bool>,
    /// Whether each rule that cannot say has its mark.
    unsaid: Vec<bool>,
    /// Whether each waived finding has its mark.
    waived: Vec<bool>,
}

impl Matching<'_> {
    /// Looks for what meets a mark; says what stands there instead if nothing does.
    fn meet(&mut self, spec: &Spec, mark: &Mark) -> Option<Problem> {
        let met = match &mark.claim {
            Claim::Finding { .. } => self.meet_finding(spec, mark),
            Claim::CannotSay(rule) => self.meet_unsaid(spec, mark, rule),
            Claim::Waived(rule) => self.meet_waived(spec, mark, rule),
            Claim::Because(says) => self.judged.findings.iter().any(|finding| {
                let mut labels = finding.because.iter();
                labels.any(|l| self.is_at(l.span, spec, mark) && l.text.contains(says))
            }),
            Claim::Remedy(says) => self.here(spec, mark).any(|finding| {
                finding.remedies.iter().any(|remedy| remedy.says.contains(says))
            }),
            Claim::Likely(says) => self.here(spec, mark).any(|finding| {
                finding.likely.as_ref().is_some_and(|likely| likely.contains(says))
            }),
        };
        if met {
            return None;
        }
        let expected = expectation(&mark.claim);
        let found = self.instead(spec, mark);
        Some(Problem::new(mark.line, format!("expected {expected}\n{found}")))
    }

    fn meet_finding(&mut self, spec: &Spec, mark: &Mark) -> bool {
        let at = self.judged.findings.iter().zip(&self.marked).position(
            |(finding, marked)| {
                !marked
                    && is_meant(&mark.claim, finding)
                    && self.is_at(finding.primary.span, spec, mark)
            },
        );
        take(&mut self.marked, at)
    }

    fn meet_unsaid(&mut self, spec: &Spec, mark: &Mark, rule: &RuleId) -> bool {
        // One unknown line may silence a rule about several things: one mark is enough.
        let met: Vec<bool> = self
            .judged
            .cannot_say
            .iter()
            .map(|unsaid| {
                unsaid.rule == *rule && self.is_at(unsaid.because.span, spec, mark)
            })
            .collect();
        for (unsaid, met) in self.unsaid.iter_mut().zip(&met) {
            *unsaid |= met;
        }
        met.contains(&true)
    }

    fn meet_waived(&mut self, spec: &Spec, mark: &Mark, rule: &RuleId) -> bool {
        let at = self.judged.waived.iter().zip(&self.waived).position(
            |(Waived { finding, .. }, marked)| {
                !marked
                    && finding.rule == *rule
                    && self.is_at(finding.primary.span, spec, mark)
            },
        );
        take(&mut self.waived, at)
    }

    /// The findings whose primary label touches the line of a mark.
    fn here(&self, spec: &Spec, mark: &Mark) -> impl Iterator<Item = &Finding> {
        let findings = self.judged.findings.iter();
        findings.filter(move |finding| self.is_at(finding.primary.span, spec, mark))
    }

    fn is_at(&self, span: Span, spec: &Spec, mark: &Mark) -> bool {
        match self.subject.place(&self.judged.sources, span) {
            Place::Example { spec: other, first, last } => {
                other.name == spec.name && (first..=last).contains(&mark.at)
            }
            Place::Base { .. } | Place::Elsewhere { .. } => false,
        }
    }

    /// What was found that may have been meant: at the line, or of the rule elsewhere.
    fn instead(&self, spec: &Spec, mark: &Mark) -> String {
        let mut found: Vec<String> = self.here(spec, mark).map(described).collect();
        found.extend(self.labels_at(spec, mark));
        if let Claim::Finding { rule, .. } = &mark.claim {
            let elsewhere = self.judged.findings.iter().filter(|finding| {
                finding.rule == *rule && !self.is_at(finding.primary.span, spec, mark)
            });
            found.extend(elsewhere.map(|finding| {
                let place = self.told(finding.primary.span);
                format!("{}, but {place}", described(finding))
            }));
        }
        if let Claim::CannotSay(rule) = &mark.claim {
            let unsaid =
                self.judged.cannot_say.iter().filter(|unsaid| unsaid.rule == *rule);
            found.extend(unsaid.map(|unsaid| {
                format!("{}, but {}", silence(unsaid), self.told(unsaid.because.span))
            }));
        }
        if found.is_empty() {
            return "found nothing here".into();
        }
        format!("found {}", found.join("\n  and "))
    }

    fn labels_at(&self, spec: &Spec, mark: &Mark) -> Vec<String> {
        let labels = self.judged.findings.iter().flat_map(|finding| &finding.because);
        labels
            .filter(|label| self.is_at(label.span, spec, mark))
            .map(|label| format!("because \"{}\"", label.text))
            .collect()
    }

    /// Everything that was found and has no mark.
    fn unexpected(&self) -> Vec<Problem> {
        let findings = self.judged.findings.iter().zip(&self.marked);
        let findings = findings.filter(|(_, marked)| !**marked).map(|(finding, _)| {
            let span = finding.primary.span;
            let form = format!("{}: [{}] \"…\"", finding.level, finding.rule);
            self.unmarked(span, &described(finding), &form)
        });
        let unsaid = self.judged.cannot_say.iter().zip(&self.unsaid);
        let strict = self.case.settings.strict;
        let unsaid =
            unsaid.filter(|(_, marked)| strict && !**marked).map(|(unsaid, _)| {
                let form = format!("cannot say: [{}]", unsaid.rule);
                self.unmarked(unsaid.because.span, &silence(unsaid), &form)
            });
        let waived = self.judged.waived.iter().zip(&self.waived);
        let waived = waived.filter(|(_, marked)| !**marked).map(|(waived, _)| {
            let finding = &waived.finding;
            let form = format!("waived: [{}]", finding.rule);
            let what = format!("waived {}", described(finding));
            self.unmarked(finding.primary.span, &what, &form)
        });
        findings.chain(unsaid).chain(waived).collect()
    }

    fn unmarked(&self, span: Span, what: &str, form: &str) -> Problem {
        let place = self.subject.place(&self.judged.sources, span);
        match place {
            Place::Example { spec, first, .. } => {
                let line = page_line(spec, first).unwrap_or(self.case.line);
                let says = format!(
                    "found {what}\nexpected nothing; if it is right, mark the line with \
                     `#~ {form}`"
                );
                Problem::new(line, says)
            }
            Place::Base { .. } | Place::Elsewhere { .. } => {
                let says = format!(
                    "found {what}, {}\nexpected nothing outside the example; repeat the \
                     entry in the example to mark it there",
                    self.told(span)
                );
                Problem::new(self.case.line, says)
            }
        }
    }

    /// Where a stretch stands, as a person is told.
    fn told(&self, span: Span) -> String {
        match self.subject.place(&self.judged.sources, span) {
            Place::Example { spec, first, .. } => match page_line(spec, first) {
                Some(line) => format!("at line {line} of the page"),
                None => format!("at the end of {}", spec.name),
            },
            Place::Base { line } => {
                let base = self.case.settings.base.as_deref().unwrap_or("the base");
                format!("at line {line} of {base}")
            }
            Place::Elsewhere { path, line } => format!("at line {line} of {path}"),
        }
    }
}

/// The line of the page on which a line of a file stands; the end is its last line.
fn page_line(spec: &Spec, at: usize) -> Option<usize> {
    spec.lines.get(at).or(spec.lines.last()).map(|line| line.line)
}

fn take(taken: &mut [bool], at: Option<usize>) -> bool {
    let place = at.and_then(|at| taken.get_mut(at));
    let found = place.is_some();
    if let Some(place) = place {
        *place = true;
    }
    found
}

fn is_meant(claim: &Claim, finding: &Finding) -> bool {
    match claim {
        Claim::Finding { level, rule, says } => {
            *level == finding.level
                && *rule == finding.rule
                && (finding.headline.contains(says)
                    || finding.primary.text.contains(says))
        }
        Claim::Because(_)
        | Claim::Remedy(_)
        | Claim::Likely(_)
        | Claim::CannotSay(_)
        | Claim::Waived(_) => false,
    }
}

fn expectation(claim: &Claim) -> String {
    match claim {
        Claim::Finding { level, rule, says } if says.is_empty() => {
            format!("{level}[{rule}]")
        }
        Claim::Finding { level, rule, says } => {
            format!("{level}[{rule}] with the words \"{says}\"")
        }
        Claim::Because(says) => format!("a cause here with the words \"{says}\""),
        Claim::Remedy(says) => format!("a remedy with the words \"{says}\""),
        Claim::Likely(says) => format!("a likelihood with the words \"{says}\""),
        Claim::CannotSay(rule) => {
            format!("that [{rule}] cannot say because of this line")
        }
        Claim::Waived(rule) => format!("a waived [{rule}]"),
    }
}

/// A finding with everything that a mark can speak of.
fn described(finding: &Finding) -> String {
    let mut out = format!("{}[{}]: {}", finding.level, finding.rule, finding.headline);
    if !finding.primary.text.is_empty() {
        out.push_str(&format!(" ({})", finding.primary.text));
    }
    for remedy in &finding.remedies {
        out.push_str(&format!("\n      remedy: {}", remedy.says));
    }
    if let Some(likely) = &finding.likely {
        out.push_str(&format!("\n      likely: {likely}"));
    }
    out
}

fn silence(unsaid: &CannotSay) -> String {
    let (rule, about, because) = (&unsaid.rule, &unsaid.about.text, &unsaid.because.text);
    format!("that [{rule}] cannot say about {about}: {because}")
}

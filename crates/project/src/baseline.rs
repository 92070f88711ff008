//! The baseline of an old model: its findings of today, written down to be let pass.

use trimsheet_model::Date;
use trimsheet_rules::{Judgement, facts_sum, judge, named};
use trimsheet_source::{Finding, Level, Span};

use crate::check::{Opened, Settings, open};
use crate::host::Host;
use crate::proof::{Beside, NotSigned, begun, quoted, unread};

/// A proof whose lines of known findings are those of today.
#[derive(Debug)]
pub struct Rebased {
    /// Where the proof stands.
    pub path: String,
    /// What was there before; nothing if there was no proof yet.
    pub before: Option<String>,
    /// What is to stand there.
    pub text: String,
    /// How many findings became known.
    pub added: usize,
    /// How many lines were taken out.
    pub pruned: usize,
    /// How many findings no baseline lets pass: their rules cannot be waived.
    pub firm: usize,
}

/// Writes the findings of today behind the proof, in memory, and takes out what is idle.
///
/// # Errors
/// Why nothing is to be written.
pub fn baseline(
    host: &dyn Host,
    spec: &str,
    by: &str,
    until: Option<Date>,
    settings: &Settings,
) -> Result<Rebased, NotSigned> {
    let past = until.zip(settings.today).filter(|(until, today)| until < today);
    if let Some((until, today)) = past {
        let says =
            format!("{until} lies in the past, and today is {today}: nothing would pass");
        return Err(NotSigned::Asked(says));
    }
    let far = until.zip(settings.today);
    if let Some((until, _)) = far.filter(|(until, today)| YEAR < until.days_after(*today))
    {
        let says = format!(
            "{until} is more than a year away: somebody has to look again before that"
        );
        return Err(NotSigned::Asked(says));
    }
    let Beside { spec, path, before, opened } = Beside::open(host, spec, settings)?;
    let (judgement, found) = judged(&opened);
    let mut text = begun(before.as_deref());
    let idle =
        judgement.idle.iter().filter(|span| opened.sources.path(span.file) == path);
    let idle: Vec<Span> = idle.copied().collect();
    let pruned = prune(&mut text, idle);
    let (mut added, mut firm) = (0, 0);
    for Found { rule, of, sum, waivable } in found {
        let Some(until) = until else { continue };
        if !waivable {
            firm += 1;
            continue;
        }
        added += 1;
        let (of, sum) = (quoted(&of), quoted(&sum));
        text.push_str(&format!("known {rule} {of} by {by} until {until} facts {sum}\n"));
    }
    let rebased = Rebased { path, before, text, added, pruned, firm };
    let overlay = crate::change::Overlay::new(host, &rebased.path, rebased.text.clone());
    unread(&open(&overlay, &spec, settings).map_err(NotSigned::Spec)?, &rebased.path)?;
    Ok(rebased)
}

/// The longest that a finding is let pass unseen, in days: common practice, no source.
const YEAR: i64 = 366;

/// What one rule found about one thing.
struct Found {
    rule: String,
    of: String,
    sum: String,
    waivable: bool,
}

/// What the rules find that is neither waived nor known.
fn judged(opened: &Opened) -> (Judgement, Vec<Found>) {
    let Opened { facts, rules, sources, .. } = opened;
    let mut called = Vec::new();
    let mut machine = rules.scripts.machine();
    let judgement = judge(&rules.rules, &rules.packs, facts, |rule, about, settings| {
        let outcome = machine.call(rule, about, facts, settings, sources);
        let level = settings.level(rule, facts.stage);
        if !outcome.drafts.is_empty() && level.is_some_and(|level| Level::Note <= level) {
            let sum = facts_sum(rule, settings, facts, &outcome.reads);
            let of = named(about, facts);
            let (rule, waivable) = (rule.id.0.clone(), rule.waivable);
            called.push(Found { rule, of, sum, waivable });
        }
        outcome
    });
    let stays = |finding: &Finding, rule: &str| finding.rule.0 == rule;
    called.retain(|one| judgement.findings.iter().any(|it| stays(it, &one.rule)));
    let known: Vec<(String, String, String)> = opened
        .facts
        .build
        .of_word("known")
        .filter(|(_, entry)| !judgement.idle.contains(&entry.span()))
        .filter_map(|(_, entry)| {
            let text = |slot| Some(entry.head.slot(slot)?.text()?.to_owned());
            Some((text("rule")?, text("of")?, text("facts")?))
        })
        .collect();
    called.retain(|one| {
        !known
            .iter()
            .any(|(rule, of, sum)| (rule, of, sum) == (&one.rule, &one.of, &one.sum))
    });
    (judgement, called)
}

/// Takes whole lines out of a text; how many.
fn prune(text: &mut String, mut spans: Vec<Span>) -> usize {
    spans.sort_by_key(|span| std::cmp::Reverse(span.start));
    let mut count = 0;
    for span in spans {
        let start = text.get(..span.start).and_then(|before| before.rfind('\n'));
        let start = start.map_or(0, |at| at + 1);
        let end = text.get(span.start..).and_then(|rest| rest.find('\n'));
        let end = end.map_or(text.len(), |at| span.start + at + 1);
        if text.is_char_boundary(start) && text.is_char_boundary(end) {
            text.replace_range(start..end, "");
            count += 1;
        }
    }
    count
}

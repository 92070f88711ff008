//! Running the rules over a build: order, levels, and what becomes of silence.

use trimsheet_facts::model::{EntryId, Stage, Unknown};
use trimsheet_facts::{Facts, Known, NotKnown, Reads, What, Why};
use trimsheet_source::{CannotSay, Finding, Label, Level, Remedy, RuleId, Span, Waived};

use crate::known::{Baseline, facts_sum, named};
use crate::manifest::Manifest;
use crate::rule::Rule;
use crate::settings::{Settings, apply, settings};

/// What one call of a rule came to.
#[derive(Debug, Default)]
pub struct Outcome {
    /// What it found.
    pub drafts: Vec<Draft>,
    /// How it ended.
    pub ended: Ended,
    /// The facts that it read.
    pub reads: Reads,
}

impl Outcome {
    /// Whether there is nothing to tell anybody.
    fn is_silent(&self) -> bool {
        self.drafts.is_empty() && matches!(self.ended, Ended::Said)
    }
}

/// A finding as a script makes it: without its id and its level.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    /// The sentence that stands alone.
    pub headline: String,
    /// Where: the builder's own line first, then where it was taken from.
    pub places: Vec<Label>,
    /// The other lines that caused it.
    pub because: Vec<Label>,
    /// What to do.
    pub remedies: Vec<Remedy>,
    /// What is not certain.
    pub likely: Option<String>,
    /// The most serious that this one finding is, whatever the rule's level.
    pub at_most: Option<Level>,
}

/// How a call of a rule ended.
#[derive(Clone, Debug, Default)]
pub enum Ended {
    /// It ran to its end.
    #[default]
    Said,
    /// It read what is not known.
    CannotSay(NotKnown),
    /// The script itself is at fault.
    Fault(Fault),
}

/// A fault in a script.
#[derive(Clone, Debug)]
pub struct Fault {
    /// What kind of fault: `rules/fault`, `rules/out-of-bounds`.
    pub rule: &'static str,
    /// What is wrong with the script.
    pub says: String,
    /// Where in the script.
    pub span: Span,
}

/// What the rules had to say about a build.
#[derive(Clone, Debug, Default)]
pub struct Judgement {
    /// What they found, unsorted.
    pub findings: Vec<Finding>,
    /// What they found and somebody lets pass.
    pub waived: Vec<Waived>,
    /// What they could not judge.
    pub cannot_say: Vec<CannotSay>,
    /// The rules that were asked about something and came to an end, in their order.
    pub ran: Vec<RuleId>,
    /// How many limits the spec or a pack loosens, with a reason and until a day.
    pub loosened: usize,
    /// Lines of known findings that hide nothing any more.
    pub idle: Vec<Span>,
}

/// Calls every rule for each thing that it is about, in the order of rules and text.
pub fn judge(
    rules: &[Rule],
    packs: &[Manifest],
    facts: &Facts,
    mut call: impl FnMut(&Rule, &Known, &Settings) -> Outcome,
) -> Judgement {
    conclude(rules, packs, facts, |rule, settings| ask(rule, facts, settings, &mut call))
}

/// Calls a rule for each thing that it is about, in the order of the text, at the stage of
/// the build; a script that is at fault is so for everything, and is not called again.
/// What it read is kept where it found something.
pub fn ask(
    rule: &Rule,
    facts: &Facts,
    settings: &Settings,
    mut call: impl FnMut(&Rule, &Known, &Settings) -> Outcome,
) -> Vec<Outcome> {
    let mut came_to = Vec::new();
    if settings.level(rule, facts.stage).is_none() {
        return came_to;
    }
    for subject in subjects(rule, facts) {
        let mut outcome = call(rule, &subject, settings);
        // What was read matters to nobody where nothing was found.
        if outcome.drafts.is_empty() {
            outcome.reads = Reads::default();
        }
        let is_at_fault = matches!(outcome.ended, Ended::Fault(_));
        came_to.push(outcome);
        if is_at_fault {
            break;
        }
    }
    came_to
}

/// Makes of what each rule came to, as [`ask`] gives it, what the rules have to say.
pub fn conclude(
    rules: &[Rule],
    packs: &[Manifest],
    facts: &Facts,
    asked: impl FnMut(&Rule, &Settings) -> Vec<Outcome>,
) -> Judgement {
    let (settings, findings) = settings(&facts.build, rules, packs, facts.today);
    let mut judge = Judge {
        facts,
        settings,
        found: Vec::new(),
        cannot_say: Vec::new(),
        ran: Vec::new(),
        baseline: Baseline::read(facts),
        known: Vec::new(),
    };
    judge.run(rules, asked);
    let Judge { settings, found, cannot_say, ran, baseline, known, .. } = judge;
    let applied = apply(settings.waivers(), found, &facts.build);
    let mut judgement = Judgement {
        findings,
        waived: applied.waived,
        cannot_say,
        ran,
        loosened: settings.loosened(),
        idle: baseline.idle(),
    };
    judgement.waived.extend(known);
    judgement.findings.extend(applied.findings);
    judgement.findings.extend(baseline.findings());
    for (waiver, _) in
        settings.waivers().iter().zip(applied.needed).filter(|(_, needed)| !needed)
    {
        let was_judged = is_judged(&waiver.rule.0, rules, &settings, facts.stage)
            && !judgement.cannot_say.iter().any(|one| one.rule.0 == waiver.rule.0);
        // A pack's is for many models, and one of them may need it.
        if waiver.on.is_some() && was_judged {
            judgement.findings.push(unneeded(&waiver.rule.0, waiver.span));
        }
    }
    judgement
}

fn is_judged(id: &str, rules: &[Rule], settings: &Settings, stage: Stage) -> bool {
    let rule = rules.iter().find(|rule| rule.id.0 == id);
    rule.is_some_and(|rule| settings.level(rule, stage).is_some())
}

fn unneeded(id: &str, span: Span) -> Finding {
    let says = format!("{id} finds nothing here that has to be waived");
    Finding::new("rules/waiver-unneeded", Level::Warning, span, says)
        .advised("take the waiver out; it would hide the fault if it came back")
}

/// The rules at work on one build.
struct Judge<'a> {
    facts: &'a Facts,
    settings: Settings,
    /// Each finding with the entry that it is about, where it is about one.
    found: Vec<(Finding, Option<EntryId>)>,
    cannot_say: Vec<CannotSay>,
    ran: Vec<RuleId>,
    baseline: Baseline,
    /// What the baseline lets pass.
    known: Vec<Waived>,
}

impl Judge<'_> {
    fn run(
        &mut self,
        rules: &[Rule],
        mut asked: impl FnMut(&Rule, &Settings) -> Vec<Outcome>,
    ) {
        for rule in rules {
            let Some(level) = self.settings.level(rule, self.facts.stage) else {
                continue;
            };
            let outcomes = asked(rule, &self.settings);
            let mut came_to_an_end = !outcomes.is_empty();
            // Most rules have nothing to say, whatever they are about.
            let about = match outcomes.iter().all(Outcome::is_silent) {
                true => Vec::new(),
                false => subjects(rule, self.facts),
            };
            for (subject, outcome) in about.iter().zip(outcomes) {
                // What a script that is at fault said on the way counts for nothing.
                if let Ended::Fault(fault) = outcome.ended {
                    self.found.push((fault_finding(rule, &fault), None));
                    came_to_an_end = false;
                    break;
                }
                let about = subject.about();
                let drafts = outcome.drafts.into_iter();
                let found = drafts.map(|draft| finding(&rule.id, level, draft, subject));
                let found: Vec<Finding> = found.flatten().collect();
                self.take(rule, subject, about, found, &outcome.reads);
                if let Ended::CannotSay(why) = outcome.ended {
                    self.silent(rule, level, subject, &why);
                }
            }
            self.ran.extend(came_to_an_end.then(|| rule.id.clone()));
        }
    }

    /// Takes in what one call found, or lets it pass where all of it is known.
    fn take(
        &mut self,
        rule: &Rule,
        subject: &Known,
        about: Option<EntryId>,
        found: Vec<Finding>,
        reads: &Reads,
    ) {
        if found.is_empty() {
            return;
        }
        let of = named(subject, self.facts);
        let (settings, facts) = (&self.settings, self.facts);
        let sum = || facts_sum(rule, settings, facts, reads);
        match self.baseline.covers(rule, &of, &sum) {
            Some(known) => self.known.extend(found.into_iter().map(known)),
            None => self.found.extend(found.into_iter().map(|one| (one, about))),
        }
    }

    fn silent(&mut self, rule: &Rule, level: Level, of: &Known, why: &NotKnown) {
        let facts = self.facts;
        let Some(span) = of.span.or(why.span) else { return };
        let because = why.span.unwrap_or(span);
        // What could not be read has a finding already, and that is enough.
        let damaged = why.why == Why::Unknown(Unknown::Damaged);
        if facts.stage >= Stage::Ready && level == Level::Stop && !damaged {
            let about = title(of, facts);
            let says = format!("cannot say whether {about} passes, because {}", why.says);
            let finding = Finding::new(rule.id.0.clone(), Level::Stop, span, says)
                .because(because, why.says.clone())
                .advised("find out what is missing, on the aircraft itself where it can be, and write it down");
            self.found.push((finding, of.about()));
        }
        self.cannot_say.push(CannotSay {
            rule: rule.id.clone(),
            about: Label::new(span, title(of, facts)),
            because: Label::new(because, why.says.clone()),
        });
    }
}

/// Everything that a rule is about.
pub fn subjects(rule: &Rule, facts: &Facts) -> Vec<Known> {
    let mut all = Vec::new();
    for about in &rule.about {
        match about.as_str() {
            // A shelf of parts is no aircraft, and lacks nothing that one must have.
            "build" if facts.build.is_aircraft() => all.push(facts.whole()),
            "build" => {}
            "value" => {
                if let Ok(Known { what: What::List(values), .. }) =
                    facts.of(&facts.whole(), "values")
                {
                    all.extend(values.iter().cloned());
                }
            }
            word => {
                let entries = facts.of_word(word).map(|(id, _)| facts.known_entry(id));
                all.extend(entries);
            }
        }
    }
    if let Some(said) = &rule.said {
        all.retain(|one| facts.may_say(one, said));
    }
    all
}

fn title(of: &Known, facts: &Facts) -> String {
    let entry = of.entry().and_then(|id| facts.build.entry(id));
    entry.map_or_else(|| of.to_string(), trimsheet_facts::model::Entry::title)
}

fn finding(id: &RuleId, level: Level, draft: Draft, about: &Known) -> Option<Finding> {
    let mut places = draft.places.into_iter();
    let primary = places.next().or_else(|| about.labels("").into_iter().next())?;
    Some(Finding {
        rule: id.clone(),
        level: draft.at_most.map_or(level, |most| level.min(most)),
        headline: draft.headline,
        primary,
        because: places.chain(draft.because).collect(),
        remedies: draft.remedies,
        likely: draft.likely,
    })
}

fn fault_finding(rule: &Rule, fault: &Fault) -> Finding {
    let says = format!("the rule {} could not run: {}", rule.id, fault.says);
    Finding::new(fault.rule, Level::Error, fault.span, says)
        .advised("mend the script, or tell whoever wrote the rule; every other rule ran")
}

//! What is set for one model: parameters, raised levels and waivers, and by whom.
//!
//! Packs speak first, in the order of their layers, and the spec last. Whoever speaks
//! later may tighten freely, with a reason. What would let pass what an earlier layer
//! does not is a waiver: it says who answers for it and until when, it ends, and it is
//! counted wherever findings are counted.

mod waivers;

use std::collections::BTreeMap;

use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::model::{Build, Date, Entry, Stage};
use trimsheet_source::{Finding, Level, RuleId, Span, nearest};

use crate::layer::Owner;
use crate::manifest::Manifest;
use crate::rule::{Parameter, Rule};

pub use waivers::Waiver;
pub(crate) use waivers::apply;

/// Everything that is set for one model.
#[derive(Clone, Debug, Default)]
pub struct Settings {
    parameters: BTreeMap<(RuleId, String), Set>,
    raises: Vec<Raise>,
    waivers: Vec<Waiver>,
}

/// A parameter of a rule, as a pack or a spec sets it.
#[derive(Clone, Debug)]
pub struct Set {
    /// The rule that is named, and where.
    pub rule: (String, Span),
    /// The parameter that is named, and where.
    pub parameter: (String, Span),
    /// The value.
    pub value: Quantity,
    /// Where the value stands.
    pub span: Span,
    /// The reason.
    pub because: String,
    /// Who answers for it, if it loosens a limit.
    pub by: Option<String>,
    /// The last day on which it may.
    pub until: Option<Date>,
    /// Who sets it.
    pub owner: Owner,
}

/// The level of a rule that a pack raises, from a stage on.
#[derive(Clone, Debug)]
pub struct Raise {
    /// The rule that is named, and where.
    pub rule: (String, Span),
    /// From which stage on.
    pub from: Stage,
    /// The least that its findings are from then on.
    pub to: Level,
    /// Where it is said.
    pub span: Span,
    /// Who raises it.
    pub owner: Owner,
}

impl Settings {
    /// The level of a rule at a stage, as it was raised.
    pub fn level(&self, rule: &Rule, stage: Stage) -> Option<Level> {
        let raised = self.raises.iter().filter(|raise| raise.rule.0 == rule.id.0);
        let raised = raised.filter(|raise| raise.from <= stage).map(|raise| raise.to);
        rule.levels.at(stage).into_iter().chain(raised).max()
    }

    /// Who set a parameter to what, where somebody did.
    pub fn parameter(&self, rule: &RuleId, name: &str) -> Option<&Set> {
        self.parameters.get(&(rule.clone(), name.to_owned()))
    }

    /// The levels of a rule that packs raise.
    pub fn raises(&self, rule: &RuleId) -> impl Iterator<Item = &Raise> {
        self.raises.iter().filter(move |raise| raise.rule.0 == rule.0)
    }

    /// The waivers that hold.
    pub fn waivers(&self) -> &[Waiver] {
        &self.waivers
    }

    /// How many parameters are looser than an earlier layer has them.
    pub fn loosened(&self) -> usize {
        self.parameters.values().filter(|set| set.by.is_some()).count()
    }
}

impl Set {
    /// Who set the value, and what it was: `set by elm-hill 2026; core 0 mm`.
    pub fn says(&self, parameter: &Parameter, rule: &Rule) -> String {
        let by = match &self.owner {
            Owner::Pack(name) => format!("set by {name}"),
            Owner::Model => "set for this model".into(),
        };
        let before = rule.pack.split(' ').next().unwrap_or(&rule.pack);
        format!("{by}; {before} {}", parameter.default)
    }
}

/// Reads what packs and the spec set; what names nothing, or loosens, is a finding.
pub fn settings(
    build: &Build,
    rules: &[Rule],
    packs: &[Manifest],
    today: Option<Date>,
) -> (Settings, Vec<Finding>) {
    let mut settler =
        Settler { rules, today, settings: Settings::default(), findings: Vec::new() };
    for pack in packs {
        pack.sets.iter().for_each(|set| settler.set(set));
        pack.raises.iter().for_each(|raise| settler.raise(raise));
        pack.waivers.iter().for_each(|waiver| settler.waive(waiver));
    }
    // What is missing has a finding from reading already.
    for (_, entry) in build.of_word("set") {
        if let Some(set) = read_set(entry) {
            settler.set(&set);
        }
    }
    for (_, entry) in build.of_word("waive") {
        if let Some(waiver) = Waiver::read(entry) {
            settler.waive(&waiver);
        }
    }
    (settler.settings, settler.findings)
}

fn read_set(entry: &Entry) -> Option<Set> {
    let slot = |name| entry.head.slot(name);
    let text =
        |name| slot(name).and_then(|value| Some((value.text()?.to_owned(), value.span)));
    let value = slot("value")?;
    Some(Set {
        rule: text("rule")?,
        parameter: text("parameter")?,
        value: value.quantity()?.clone(),
        span: value.span,
        because: text("because")?.0,
        by: text("by").map(|(by, _)| by),
        until: slot("until").and_then(trimsheet_facts::model::Value::date),
        owner: Owner::Model,
    })
}

struct Settler<'a> {
    rules: &'a [Rule],
    today: Option<Date>,
    settings: Settings,
    findings: Vec<Finding>,
}

impl Settler<'_> {
    fn rule(&mut self, named: &(String, Span)) -> Option<&Rule> {
        let found = self.rules.iter().find(|rule| rule.id.0 == named.0);
        if found.is_none() {
            self.findings.push(no_rule(self.rules, named));
        }
        found
    }

    fn set(&mut self, set: &Set) {
        let Some(rule) = self.rule(&set.rule).cloned() else { return };
        let found = rule.parameters.iter().find(|one| one.name == set.parameter.0);
        let Some(parameter) = found else {
            self.findings.push(no_parameter(&rule, set));
            return;
        };
        if parameter.default.dimension() != set.value.dimension() {
            self.findings.push(unlike(parameter, set));
            return;
        }
        let key = (rule.id.clone(), parameter.name.clone());
        let earlier = self.settings.parameters.get(&key);
        let before = earlier.map_or(&parameter.default, |set| &set.value);
        let mut set = set.clone();
        if parameter.tighter.is_loosened(&set.value, before) {
            if let Some(finding) = self.not_loosened(&rule, &set, before, earlier) {
                self.findings.push(finding);
                return;
            }
        } else {
            // Nobody has to answer for what lets nothing more pass.
            set.by = None;
        }
        self.settings.parameters.insert(key, set);
    }

    /// Why a value that loosens a limit does not hold, if it does not.
    fn not_loosened(
        &self,
        rule: &Rule,
        set: &Set,
        before: &Quantity,
        earlier: Option<&Set>,
    ) -> Option<Finding> {
        let owner = match earlier {
            Some(earlier) => earlier.owner.to_string(),
            None => rule.pack.clone(),
        };
        let (name, value) = (&set.parameter.0, &set.value);
        let looser = format!("{value} for `{name}` is looser than {before}, by {owner}");
        if !rule.waivable {
            let says = format!("{looser}, and {} cannot be waived", rule.id);
            return Some(loosened("rules/waiver-forbidden", set.span, says).advised(
                format!(
                    "keep {before} or stricter; `trimsheet explain {}` says why",
                    rule.id
                ),
            ));
        }
        match (&set.by, set.until, self.today) {
            (Some(_), Some(until), Some(today)) if until < today.day_only() => {
                let says = format!("{looser}, and held until {until}");
                Some(loosened("rules/waiver-expired", set.span, says).advised(
                    "look whether the reason still holds; then give it a new day, or take the line out",
                ))
            }
            (Some(_), Some(_), _) => None,
            (..) => {
                let says = format!("{looser}, and nobody answers for it");
                Some(loosened("rules/loosened", set.span, says).advised(
                    "say who answers for it and until when, as a waiver does (`by` and `until`), or keep the limit",
                ))
            }
        }
    }

    fn raise(&mut self, raise: &Raise) {
        let Some(rule) = self.rule(&raise.rule).cloned() else { return };
        let now = self.settings.level(&rule, raise.from);
        if let Some(now) = now.filter(|now| raise.to < *now) {
            let says = format!(
                "{} is {now} from {}, and {} would lower it",
                rule.id, raise.from, raise.to
            );
            self.findings.push(loosened("rules/loosened", raise.span, says).advised(
                "a level can only be raised; what should pass for one model is waived there, with a reason",
            ));
            return;
        }
        self.settings.raises.push(raise.clone());
    }

    fn waive(&mut self, waiver: &Waiver) {
        let Some(rule) = self.rule(&waiver.rule) else { return };
        match waiver.does_not_hold(&rule.clone(), self.today) {
            Some(finding) => self.findings.push(finding),
            None => self.settings.waivers.push(waiver.clone()),
        }
    }
}

fn loosened(id: &str, span: Span, says: String) -> Finding {
    Finding::new(id, Level::Error, span, says)
}

fn unlike(parameter: &Parameter, set: &Set) -> Finding {
    let (want, name) = (parameter.default.dimension().says(), &parameter.name);
    let (value, found) = (&set.value, set.value.dimension().says());
    let says = format!("expected {want} for `{name}`, found {value}, {found}");
    Finding::new("rules/setting-unlike", Level::Error, set.span, says)
}

fn no_parameter(rule: &Rule, set: &Set) -> Finding {
    let (name, span) = &set.parameter;
    let says = format!("{} has no parameter called `{name}`", rule.id);
    let finding = Finding::new("rules/unknown-parameter", Level::Error, *span, says);
    let names: Vec<&str> = rule.parameters.iter().map(|one| one.name.as_str()).collect();
    match (nearest(name, names.iter().copied()), names.is_empty()) {
        (Some(near), _) => finding.advised(format!("`{near}` may be meant")),
        (None, false) => finding.advised(format!("it has {}", names.join(", "))),
        (None, true) => finding.advised("it has none that can be set"),
    }
}

fn no_rule(rules: &[Rule], (named, span): &(String, Span)) -> Finding {
    let says = format!("no rule is called {named}");
    let finding = Finding::new("rules/unknown-rule", Level::Error, *span, says);
    match nearest(named, rules.iter().map(|rule| rule.id.0.as_str())) {
        Some(near) => finding.advised(format!("{near} may be meant")),
        None => {
            finding.advised("`trimsheet rules list` shows every rule that applies here")
        }
    }
}

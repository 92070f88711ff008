//! What is set for one model: parameters, raised levels and waivers, and by whom.
//!
//! Packs speak first, in the order of their layers, and the spec last. Whoever speaks
//! later may tighten freely, with a reason. What would let pass what an earlier layer
//! does not is a waiver: it says who answers for it and until when, it ends, and it is
//! counted wherever findings are counted.

mod waivers;

use std::collections::BTreeMap;

use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::model::{Build, Date, Entry, Stage, Unknown, Value};
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
    let mut settler = Settler {
        rules,
        packs,
        today,
        settings: Settings::default(),
        firm: BTreeMap::new(),
        findings: Vec::new(),
    };
    for pack in packs {
        pack.sets.iter().for_each(|set| settler.set(set));
        pack.raises.iter().for_each(|raise| settler.raise(raise));
        pack.waivers.iter().for_each(|waiver| settler.waive(waiver));
    }
    for (_, entry) in build.of_word("set") {
        match read_set(entry) {
            Some(Ok(set)) => settler.set(&set),
            Some(Err(finding)) => settler.findings.push(finding),
            // What is missing or damaged has a finding from reading already.
            None => {}
        }
    }
    for (_, entry) in build.of_word("waive") {
        if let Some(waiver) = Waiver::read(entry) {
            settler.waive(&waiver);
        }
    }
    (settler.settings, settler.findings)
}

fn read_set(entry: &Entry) -> Option<Result<Set, Finding>> {
    let slot = |name| entry.head.slot(name);
    let text =
        |name| slot(name).and_then(|value| Some((value.text()?.to_owned(), value.span)));
    let value = slot("value")?;
    let (rule, parameter) = (text("rule")?, text("parameter")?);
    let quantity = match decided(value, &parameter.0)? {
        Ok(quantity) => quantity,
        Err(finding) => return Some(Err(finding)),
    };
    Some(Ok(Set {
        rule,
        parameter,
        value: quantity,
        span: value.span,
        because: text("because")?.0,
        by: text("by").map(|(by, _)| by),
        until: slot("until").and_then(Value::date),
        owner: Owner::Model,
    }))
}

/// What a parameter is set to, or why that is no limit; none if it could not be read.
fn decided(value: &Value, name: &str) -> Option<Result<Quantity, Finding>> {
    let says = match (value.quantity(), value.unknown()) {
        (Some(_), _) if value.about => {
            format!("expected a number that is decided for `{name}`, found `about`")
        }
        (Some(quantity), _) if quantity.spread().is_some() && !value.assumed => {
            let found = quantity.with_spread();
            format!("expected a number without a spread for `{name}`, found {found}")
        }
        (Some(quantity), _) => return Some(Ok(quantity.clone().without_spread())),
        (None, Some(Unknown::NoUnit)) => {
            format!("expected a number with its unit for `{name}`, found none behind it")
        }
        (None, Some(Unknown::Written)) => {
            format!("expected a number with its unit for `{name}`, found `?`")
        }
        (None, _) => return None,
    };
    let finding = Finding::new("rules/setting-unlike", Level::Error, value.span, says);
    Some(Err(finding.advised(
        "write the number that is to hold, with its unit alone: a limit is decided, not measured",
    )))
}

struct Settler<'a> {
    rules: &'a [Rule],
    packs: &'a [Manifest],
    today: Option<Date>,
    settings: Settings,
    /// The strictest value of each parameter that holds without a waiver.
    firm: BTreeMap<(RuleId, String), Quantity>,
    findings: Vec<Finding>,
}

impl Settler<'_> {
    fn rule(&mut self, named: &(String, Span)) -> Option<&Rule> {
        let found = self.rules.iter().find(|rule| rule.id.0 == named.0);
        if found.is_none() {
            self.findings.push(no_rule(self.rules, self.packs, named));
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
        let firm = self.firm.get(&key).unwrap_or(&parameter.default);
        let mut set = set.clone();
        if parameter.tighter.is_loosened(&set.value, before) {
            if let Some(finding) = self.not_loosened(&rule, &set, before, earlier) {
                self.findings.push(finding);
                return;
            }
        } else if parameter.tighter.is_loosened(&set.value, firm) {
            // It takes back a part of what a waiver let pass: the rest still rests on that.
            set.by = earlier.and_then(|earlier| earlier.by.clone());
            set.until = earlier.and_then(|earlier| earlier.until);
        } else {
            // Nobody has to answer for what lets nothing more pass.
            set.by = None;
            self.firm.insert(key.clone(), set.value.clone());
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
            (Some(_), Some(_), _) if !set.because.trim().is_empty() => None,
            (by, until, _) => {
                let lacks = match (by, until) {
                    (None, _) => "nobody answers for it",
                    (Some(_), None) => "it does not say until when",
                    (Some(_), Some(_)) => "its reason says nothing",
                };
                let says = format!("{looser}, and {lacks}");
                Some(loosened("rules/loosened", set.span, says).advised(
                    "say why, who answers for it and until when, as a waiver does (`because`, `by` and `until`), or keep the limit",
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

fn no_rule(
    rules: &[Rule],
    packs: &[Manifest],
    (named, span): &(String, Span),
) -> Finding {
    let says = format!("no rule is called {named}");
    let finding = Finding::new("rules/unknown-rule", Level::Error, *span, says);
    if named.starts_with("read/") || named.starts_with("rules/") {
        return finding.advised(
            "what begins with read/ or rules/ is about the text of a spec or a pack, and no rule finds it: mend the text",
        );
    }
    let pack = named.split('/').next().unwrap_or(named);
    match nearest(named, rules.iter().map(|rule| rule.id.0.as_str())) {
        Some(near) => finding.advised(format!("{near} may be meant")),
        None if packs.iter().any(|one| one.name == pack) => finding.advised(format!(
            "if it is a rule of {pack}, it could not be loaded, and another finding says why"
        )),
        None => {
            finding.advised("`trimsheet rules list` shows every rule that applies here")
        }
    }
}

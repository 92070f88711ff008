//! Parameters as they are set for one model, and by which line.

use std::collections::BTreeMap;

use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::model::{Build, Entry};
use trimsheet_source::{Finding, Level, RuleId, Span, nearest};

use crate::rule::{Parameter, Rule};

/// The parameters that a spec sets, by rule and name.
pub type Settings = BTreeMap<(RuleId, String), Setting>;

/// A parameter's value, and the line that sets it.
#[derive(Clone, Debug)]
pub struct Setting {
    /// The value.
    pub value: Quantity,
    /// Where it is set.
    pub span: Span,
}

/// Reads the `set` lines of a spec; what names no parameter is a finding.
pub fn settings(build: &Build, rules: &[Rule]) -> (Settings, Vec<Finding>) {
    let mut settings = Settings::new();
    let mut findings = Vec::new();
    for (_, entry) in build.of_word("set") {
        let slot = |name| entry.head.slot(name);
        let named = slot("rule").and_then(|rule| rule.text());
        let parameter = slot("parameter").and_then(|name| name.text());
        let value = slot("value").and_then(|value| Some((value.quantity()?, value.span)));
        // What is missing has a finding from reading already.
        let (Some(named), Some(parameter), Some((value, span))) =
            (named, parameter, value)
        else {
            continue;
        };
        let rule = rules.iter().find(|rule| rule.id.0 == named);
        let found =
            rule.and_then(|rule| rule.parameters.iter().find(|p| p.name == parameter));
        match (rule, found) {
            (Some(rule), Some(found))
                if found.default.dimension() == value.dimension() =>
            {
                let key = (rule.id.clone(), parameter.to_owned());
                settings.insert(key, Setting { value: value.clone(), span });
            }
            (Some(_), Some(found)) => findings.push(unlike(found, value, span)),
            (Some(rule), None) => findings.push(no_parameter(rule, parameter, entry)),
            (None, _) => findings.push(no_rule(rules, named, entry)),
        }
    }
    (settings, findings)
}

fn unlike(parameter: &Parameter, value: &Quantity, span: Span) -> Finding {
    let (want, name) = (parameter.default.dimension().says(), &parameter.name);
    let found = value.dimension().says();
    let says = format!("expected {want} for `{name}`, found {value}, {found}");
    Finding::new("rules/setting-unlike", Level::Error, span, says)
}

fn no_parameter(rule: &Rule, name: &str, entry: &Entry) -> Finding {
    let span = entry.head.slot("parameter").map_or(entry.span(), |value| value.span);
    let says = format!("{} has no parameter called `{name}`", rule.id);
    let finding = Finding::new("rules/unknown-parameter", Level::Error, span, says);
    let names: Vec<&str> = rule.parameters.iter().map(|one| one.name.as_str()).collect();
    match (nearest(name, names.iter().copied()), names.is_empty()) {
        (Some(near), _) => finding.advised(format!("if `{near}` was meant, write that")),
        (None, true) => finding.advised("this rule has nothing that can be set"),
        (None, false) => finding.advised(format!("it has {}", names.join(", "))),
    }
}

fn no_rule(rules: &[Rule], name: &str, entry: &Entry) -> Finding {
    let span = entry.head.slot("rule").map_or(entry.span(), |value| value.span);
    let says = format!("no rule is called `{name}`");
    let finding = Finding::new("rules/unknown-rule", Level::Error, span, says);
    match nearest(name, rules.iter().map(|rule| rule.id.0.as_str())) {
        Some(near) => finding.advised(format!("if `{near}` was meant, write that")),
        None => finding.advised("look up the name in the finding that it is about"),
    }
}

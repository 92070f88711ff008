//! `trimsheet rules list`

use serde::Serialize;
use trimsheet_project::model::Build;
use trimsheet_project::model::vocabulary::Vocabulary;
use trimsheet_project::rules::{Parameter, Rule, Settings, settings};
use trimsheet_project::script::Loaded;
use trimsheet_project::source::{Finding, Sources};
use trimsheet_project::{Opened, open};

use crate::arguments::{Format, List, Under};
use crate::disk::Disk;
use crate::{End, screen};

/// Lists the rules that apply, with levels, parameters and who set them.
pub(crate) fn list(wanted: &List) -> End {
    let Some(in_force) = in_force(wanted.file.as_deref(), &wanted.under) else {
        return End::CouldNotRun;
    };
    match wanted.format {
        Format::Text => screen::show(&text(&in_force)),
        Format::Json => screen::print(&json(&in_force)),
    }
    in_force.end
}

/// The rules that apply, and what is set for them.
pub(crate) struct InForce {
    pub(crate) rules: Vec<Rule>,
    pub(crate) settings: Settings,
    pub(crate) vocabulary: Vocabulary,
    /// Whether all of the packs could be read, and all that is set for them.
    pub(crate) end: End,
}

/// What applies to a spec, or without one what the packs themselves say.
pub(crate) fn in_force(file: Option<&str>, under: &Under) -> Option<InForce> {
    let wanted = super::settings(under)?;
    let Some(file) = file else {
        let mut sources = Sources::default();
        let loaded = trimsheet_project::script::load(&wanted.packs, &mut sources);
        let found = &loaded.findings;
        return Some(set_for(&Build::default(), &loaded, found, &wanted, &sources));
    };
    match open(&Disk, file, &wanted) {
        Ok(Opened { facts, rules, findings, sources, .. }) => {
            Some(set_for(&facts.build, &rules, &findings, &wanted, &sources))
        }
        Err(trouble) => {
            screen::complain(&format!("cannot read {file}: {trouble}"));
            None
        }
    }
}

/// What is set of rules for a build; what is wrong with the packs, or with what is set,
/// is shown beside it.
fn set_for(
    build: &Build,
    loaded: &Loaded,
    found: &[Finding],
    wanted: &trimsheet_project::Settings,
    sources: &Sources,
) -> InForce {
    let (settings, unheld) = settings(build, &loaded.rules, &loaded.packs, wanted.today);
    let found: Vec<Finding> = found.iter().cloned().chain(unheld).collect();
    let rules = loaded.rules.clone();
    let vocabulary = loaded.vocabulary.clone();
    InForce { rules, settings, vocabulary, end: super::warn_of_packs(sources, &found) }
}

/// A parameter as it is here, in words: `spare 3 mm, set by elm-hill 2026; core 0 mm`.
pub(crate) fn parameter(
    rule: &Rule,
    parameter: &Parameter,
    settings: &Settings,
) -> String {
    let limit = parameter.tighter.words();
    match settings.parameter(&rule.id, &parameter.name) {
        Some(set) => format!(
            "{} {}{limit}, {}: \"{}\"",
            parameter.name,
            set.value,
            set.says(parameter, rule),
            set.because
        ),
        None => format!("{} {}{limit}", parameter.name, parameter.default),
    }
}

fn text(in_force: &InForce) -> String {
    let mut out = String::new();
    for rule in &in_force.rules {
        out.push_str(&format!(
            "{}\n    {}\n    about {}; {}",
            rule.id,
            rule.title,
            rule.about.join(", "),
            rule.levels
        ));
        for raise in in_force.settings.raises(&rule.id) {
            out.push_str(&format!(
                "; at least {} from {}, raised by {}",
                raise.to, raise.from, raise.owner
            ));
        }
        out.push_str(&format!("; {} layer, {}", rule.layer.word(), rule.pack));
        out.push_str(if rule.waivable { "\n" } else { "; never waived\n" });
        for one in &rule.parameters {
            out.push_str(&format!(
                "    set: {}\n",
                parameter(rule, one, &in_force.settings)
            ));
        }
    }
    let count = in_force.rules.len();
    out.push_str(&format!("{count} rules\n"));
    out
}

/// The form `trimsheet-rules`, version 1.
#[derive(Serialize)]
struct Listed<'a> {
    form: &'static str,
    version: u32,
    rules: Vec<OneRule<'a>>,
}

#[derive(Serialize)]
struct OneRule<'a> {
    id: &'a str,
    title: &'a str,
    about: &'a [String],
    layer: &'static str,
    pack: &'a str,
    waivable: bool,
    levels: Vec<Step>,
    parameters: Vec<OneParameter<'a>>,
}

#[derive(Serialize)]
struct Step {
    from: &'static str,
    level: &'static str,
    by: Option<String>,
}

#[derive(Serialize)]
struct OneParameter<'a> {
    name: &'a str,
    value: String,
    default: String,
    tighter: &'static str,
    set_by: Option<String>,
    because: Option<&'a str>,
}

fn json(in_force: &InForce) -> String {
    let rules = in_force.rules.iter().map(|rule| one(rule, &in_force.settings));
    let listed = Listed { form: "trimsheet-rules", version: 1, rules: rules.collect() };
    // Plain texts and lists are always written.
    serde_json::to_string_pretty(&listed).unwrap_or_default() + "\n"
}

fn one<'a>(rule: &'a Rule, settings: &'a Settings) -> OneRule<'a> {
    let own = rule.levels.steps().map(|(stage, level)| Step {
        from: stage.word(),
        level: level.word(),
        by: None,
    });
    let raised = settings.raises(&rule.id).map(|raise| Step {
        from: raise.from.word(),
        level: raise.to.word(),
        by: Some(raise.owner.to_string()),
    });
    let parameters = rule.parameters.iter().map(|parameter| {
        let set = settings.parameter(&rule.id, &parameter.name);
        OneParameter {
            name: &parameter.name,
            value: set.map_or(&parameter.default, |set| &set.value).to_string(),
            default: parameter.default.to_string(),
            tighter: parameter.tighter.words().trim(),
            set_by: set.map(|set| set.owner.to_string()),
            because: set.map(|set| set.because.as_str()),
        }
    });
    OneRule {
        id: &rule.id.0,
        title: &rule.title,
        about: &rule.about,
        layer: rule.layer.word(),
        pack: &rule.pack,
        waivable: rule.waivable,
        levels: own.chain(raised).collect(),
        parameters: parameters.collect(),
    }
}

//! What a rule states of itself: its title and its constants, read without running it.

use std::borrow::Cow;

use rhai::{AST, ASTFlags, Dynamic, Position, Stmt};
use trimsheet_rules::facts::model::{Stage, vocabulary};
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, nearest};
use trimsheet_rules::{Layer, Levels, Parameter, Rule, Tighter};

use crate::faults;
use crate::functions::quantity;
use crate::{first_line, program};

/// A rule, if its script states all that a rule must, and what it states wrongly.
pub(crate) struct Read {
    pub(crate) rule: Option<Rule>,
    pub(crate) findings: Vec<Finding>,
}

/// Reads what a script states of its rule: its constants, and that it has a `check`.
pub(crate) fn rule(
    id: &RuleId,
    ast: &AST,
    file: FileId,
    text: &str,
    page: Cow<'static, str>,
) -> Read {
    let mut read = stated(id, program::constants(ast), file, text, page);
    let mut reader = Reader { id, file, text, findings: read.findings };
    reader.strays(ast);
    let has_check =
        ast.iter_functions().any(|f| f.name == "check" && f.params.len() == 3);
    if !has_check {
        reader.say("rules/fault", "check", "expected `fn check(about, build, set)`");
        read.rule = None;
    }
    Read { rule: read.rule, findings: reader.findings }
}

/// Reads the constants of a script, by their names.
pub(crate) fn stated(
    id: &RuleId,
    constants: Vec<(String, Dynamic)>,
    file: FileId,
    text: &str,
    page: Cow<'static, str>,
) -> Read {
    let mut reader = Reader { id, file, text, findings: Vec::new() };
    let title = reader.title();
    let (mut about, mut levels, mut parameters) = (None, None, Vec::new());
    let mut said = None;
    let mut waivable = true;
    for (name, value) in constants {
        match name.as_str() {
            "ABOUT" => about = reader.about(&value),
            "SAID" => said = reader.said(&value),
            "LEVEL" => levels = reader.levels(&value),
            "WAIVABLE" => waivable = reader.waivable(&value),
            "SET" => parameters = reader.parameters(&value),
            _ => {}
        }
    }
    let rule = match (title, about, levels) {
        (Some(title), Some(about), Some(levels)) => Some(Rule {
            id: id.clone(),
            pack: String::new(),
            layer: Layer::default(),
            title,
            about,
            said,
            levels,
            waivable,
            parameters,
            script: first_line(file, text),
            page,
        }),
        (_, about, levels) => {
            if about.is_none() && !reader.has_said("ABOUT") {
                reader.say(
                    "rules/fault",
                    "ABOUT",
                    "expected `const ABOUT`: what it is called for",
                );
            }
            if levels.is_none() && !reader.has_said("LEVEL") {
                reader.say(
                    "rules/fault",
                    "LEVEL",
                    "expected `const LEVEL`: how serious, by stage",
                );
            }
            None
        }
    };
    Read { rule, findings: reader.findings }
}

struct Reader<'a> {
    id: &'a RuleId,
    file: FileId,
    text: &'a str,
    findings: Vec<Finding>,
}

impl Reader<'_> {
    fn title(&mut self) -> Option<String> {
        let line = self.text.lines().find_map(|line| line.strip_prefix("//!"));
        let title = line.map(|line| line.trim().trim_end_matches('.').to_owned());
        let title = title.filter(|title| !title.is_empty());
        if title.is_none() {
            let says = "expected a first line `//! What is wrong.` that names the fault";
            self.say("rules/fault", "//!", says);
        }
        title
    }

    fn about(&mut self, value: &Dynamic) -> Option<Vec<String>> {
        let list = value.clone().try_cast::<rhai::Array>();
        let list = list.unwrap_or_else(|| vec![value.clone()]);
        let words: Vec<String> =
            list.iter().filter_map(|word| word.clone().into_string().ok()).collect();
        if let Some(other) = list.iter().find(|word| !word.is_string()) {
            let found = crate::operators::kind(other);
            let says = format!(
                "expected what the rule is called for, such as \"loadout\", found {found}"
            );
            self.say("rules/fault", "ABOUT", &says);
            return None;
        }
        let known = || vocabulary::entry_words().chain(["build", "value"]);
        for word in &words {
            if !known().any(|known| known == word) {
                let near = nearest(word, known());
                let hint =
                    near.map_or(String::new(), |near| format!("; the nearest is {near}"));
                let says = format!("nothing is called `{word}`, to be called for{hint}");
                self.say("rules/fault", "ABOUT", &says);
                return None;
            }
        }
        if words.is_empty() {
            let says = "expected what the rule is called for, found an empty list";
            self.say("rules/fault", "ABOUT", says);
            return None;
        }
        Some(words)
    }

    fn said(&mut self, value: &Dynamic) -> Option<String> {
        let said = value.clone().into_string().ok();
        if said.is_none() {
            let found = crate::operators::kind(value);
            let says = format!(
                "expected a fact that an entry must say, such as \"mass_limit\", found {found}"
            );
            self.say("rules/fault", "SAID", &says);
        }
        said
    }

    fn levels(&mut self, value: &Dynamic) -> Option<Levels> {
        let map = value.clone().try_cast::<rhai::Map>().unwrap_or_default();
        if map.is_empty() {
            let says = "expected at least one stage and how serious it is then, such as #{ planned: \"warning\" }";
            self.say("rules/fault", "LEVEL", says);
            return None;
        }
        let mut levels = Vec::new();
        for (stage, level) in map {
            let word = level.into_string().unwrap_or_default();
            match (Stage::from_word(&stage), Level::from_word(&word)) {
                (Some(stage), Some(level)) => levels.push((stage, level)),
                (None, _) => {
                    let all = Stage::WORDS.join(", ");
                    self.say(
                        "rules/fault",
                        "LEVEL",
                        &format!("expected one of the stages {all}, found `{stage}`"),
                    );
                    return None;
                }
                (Some(_), None) => {
                    let all = Level::ALL.map(Level::word).join(", ");
                    self.say(
                        "rules/fault",
                        "LEVEL",
                        &format!("expected one of {all}, found `{word}`"),
                    );
                    return None;
                }
            }
        }
        Some(Levels::new(levels))
    }

    fn parameters(&mut self, value: &Dynamic) -> Vec<Parameter> {
        let Some(map) = value.clone().try_cast::<rhai::Map>() else {
            let found = crate::operators::kind(value);
            let says = format!(
                "expected names with their numbers, such as #{{ spare: \"2 mm\" }}, found {found}"
            );
            self.say("rules/fault", "SET", &says);
            return Vec::new();
        };
        let mut parameters = Vec::new();
        for (name, value) in map {
            let text = value.into_string().unwrap_or_default();
            let all = [Tighter::More, Tighter::Less, Tighter::Either];
            let (number, tighter) = all
                .into_iter()
                .find_map(|one| Some((text.strip_suffix(one.words())?, one)))
                .unwrap_or((&text, Tighter::Either));
            match quantity(number) {
                Some(default) => {
                    let name = name.to_string();
                    parameters.push(Parameter { name, default, tighter });
                }
                None => self.say(
                    "rules/fault",
                    "SET",
                    &format!("expected a number with its unit as text for `{name}`, such as \"12 mm or less\""),
                ),
            }
        }
        parameters
    }

    /// What stands outside of every function and is no constant of a rule.
    fn strays(&mut self, ast: &AST) {
        const KNOWN: [&str; 5] = ["ABOUT", "SAID", "LEVEL", "WAIVABLE", "SET"];
        for statement in ast.statements() {
            let Stmt::Var(one, flags, _) = statement else {
                if !matches!(statement, Stmt::Noop(_)) {
                    let says =
                        "it stands outside of every function, where nothing runs it";
                    self.say_at(statement.position(), says);
                }
                continue;
            };
            let name = one.0.name.as_str();
            if !flags.contains(ASTFlags::CONSTANT) {
                let says = format!(
                    "`{name}` stands outside of every function, where no function sees it"
                );
                self.say_at(one.0.pos, &says);
            } else if !KNOWN.contains(&name) {
                let near = nearest(name, KNOWN);
                let hint = near.map_or_else(
                    || format!("; there are {}", KNOWN.join(", ")),
                    |near| format!("; the nearest is {near}"),
                );
                self.say_at(
                    one.0.pos,
                    &format!("`{name}` is no constant of a rule{hint}"),
                );
            }
        }
    }

    fn waivable(&mut self, value: &Dynamic) -> bool {
        value.as_bool().unwrap_or_else(|_| {
            let found = crate::operators::kind(value);
            let says = format!("expected `true` or `false`, found {found}");
            self.say("rules/fault", "WAIVABLE", &says);
            true
        })
    }

    /// A fault at the constant of this name, or at the top where there is none.
    fn say(&mut self, rule: &str, at: &str, says: &str) {
        let span = crate::loading::constant(self.file, self.text, at);
        self.findings.push(faults::not_loaded(rule, self.id, span, says));
    }

    fn say_at(&mut self, position: Position, says: &str) {
        let span = faults::span(position, self.file, self.text);
        self.findings.push(faults::not_loaded("rules/fault", self.id, span, says));
    }

    fn has_said(&self, constant: &str) -> bool {
        let start = self.text.find(&format!("const {constant}"));
        start.is_some_and(|start| {
            self.findings
                .iter()
                .any(|finding| finding.primary.span.start == start + "const ".len())
        })
    }
}

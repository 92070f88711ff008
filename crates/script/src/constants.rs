//! What a rule states of itself: its title and its constants, read without running it.

use rhai::{AST, Dynamic};
use trimsheet_rules::facts::model::{Stage, vocabulary};
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, Span, nearest};
use trimsheet_rules::{Layer, Levels, Parameter, Rule, Tighter};

use crate::first_line;
use crate::functions::quantity;

/// A rule, if its script states all that a rule must, and what it states wrongly.
pub(crate) struct Read {
    pub(crate) rule: Option<Rule>,
    pub(crate) findings: Vec<Finding>,
}

/// Reads the constants of a script.
pub(crate) fn rule(id: &RuleId, ast: &AST, file: FileId, text: &str, page: &str) -> Read {
    let mut reader = Reader { id, file, text, findings: Vec::new() };
    let title = reader.title();
    let (mut about, mut levels, mut parameters) = (None, None, Vec::new());
    let mut waivable = true;
    for (name, _, value) in ast.iter_literal_variables(true, false) {
        match name {
            "ABOUT" => about = reader.about(&value),
            "LEVEL" => levels = reader.levels(&value),
            "WAIVABLE" => waivable = value.as_bool().unwrap_or(true),
            "SET" => parameters = reader.parameters(&value),
            other => reader.unknown(other),
        }
    }
    let has_check =
        ast.iter_functions().any(|f| f.name == "check" && f.params.len() == 3);
    if !has_check {
        reader.say("rules/fault", "check", "expected `fn check(about, build, set)`");
    }
    let rule = match (title, about, levels, has_check) {
        (Some(title), Some(about), Some(levels), true) => Some(Rule {
            id: id.clone(),
            pack: String::new(),
            layer: Layer::default(),
            title,
            about,
            levels,
            waivable,
            parameters,
            script: first_line(file, text),
            page: page.to_owned(),
        }),
        (_, about, levels, _) => {
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
        let words: Vec<String> = match value.clone().try_cast::<rhai::Array>() {
            Some(list) => {
                list.into_iter().filter_map(|word| word.into_string().ok()).collect()
            }
            None => value.clone().into_string().ok().into_iter().collect(),
        };
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
        (!words.is_empty()).then_some(words)
    }

    fn levels(&mut self, value: &Dynamic) -> Option<Levels> {
        let map = value.clone().try_cast::<rhai::Map>()?;
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
        let map = value.clone().try_cast::<rhai::Map>().unwrap_or_default();
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

    fn unknown(&mut self, name: &str) {
        let known = ["ABOUT", "LEVEL", "WAIVABLE", "SET"];
        if let Some(near) = nearest(name, known) {
            self.say(
                "rules/fault",
                name,
                &format!("`{name}` is no constant of a rule; the nearest is {near}"),
            );
        }
    }

    /// A fault at the constant of this name, or at the top where there is none.
    fn say(&mut self, rule: &str, at: &str, says: &str) {
        let start =
            self.text.find(&format!("const {at}")).map(|start| start + "const ".len());
        let top = first_line(self.file, self.text);
        let span = start.map_or(top, |start| Span {
            file: self.file,
            start,
            end: start + at.len(),
        });
        let says = format!("the rule {} could not be loaded: {says}", self.id);
        self.findings.push(Finding::new(rule, Level::Error, span, says).advised(
            "mend the script, or tell whoever wrote the rule; every other rule ran",
        ));
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

//! Rhai as the language of rules.
//!
//! A script sees one kind of value, `value::Value`, whose operators refuse to add or
//! compare unlike things, and which knows its line. It can touch nothing else: no file,
//! no network, no clock, no chance, no printing. Its operations, its depth and its memory
//! are bounded, so that a rule cannot hang and cannot hurt, and what a bound ends is one
//! finding that points into the script.
//!
//! [`load`] reads the constants of each script without running it. [`Scripts::call`]
//! runs one rule for one thing.

mod constants;
mod draft;
mod faults;
mod functions;
mod operators;
mod sandbox;
mod value;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use rhai::{AST, Engine, Scope};
use trimsheet_rules::facts::{Facts, Known};
use trimsheet_rules::source::{FileId, Finding, RuleId, Sources, Span};
use trimsheet_rules::{Ended, Outcome, Pack, Rule, Settings};

pub use functions::{DOCUMENTED, Documented};
pub use trimsheet_rules as rules;

use crate::draft::Draft;
use crate::value::{Table, Value};

/// The rules of some packs, ready to run on one thread.
pub struct Scripts {
    engine: Engine,
    compiled: BTreeMap<RuleId, (AST, FileId)>,
    drafts: Rc<RefCell<Vec<Draft>>>,
}

/// Rules that were loaded, and what is wrong with those that were not.
pub struct Loaded {
    /// Every rule whose script could be read, in the order of their ids.
    pub rules: Vec<Rule>,
    /// How to run them.
    pub scripts: Scripts,
    /// Faults that can be known without running anything.
    pub findings: Vec<Finding>,
}

/// Reads the rules of packs; the text of each script joins the sources.
pub fn load(packs: &[Pack], sources: &mut Sources) -> Loaded {
    let drafts = Rc::new(RefCell::new(Vec::new()));
    let engine = sandbox::engine(&drafts);
    let mut scripts = Scripts { engine, compiled: BTreeMap::new(), drafts };
    let mut rules = Vec::new();
    let mut findings = Vec::new();
    for pack in packs {
        for (name, file) in pack.scripts() {
            let id = if pack.about.name == "core" {
                RuleId::new(name)
            } else {
                RuleId::new(format!("{}/{name}", pack.about.name))
            };
            let path = format!("rules/{}/{}", pack.about.name, file.path);
            let script = sources.add(path, file.text.clone());
            let page = pack.page(name).unwrap_or("");
            match scripts.compile(&id, script, &file.text) {
                Ok(ast) => {
                    let read = constants::rule(&id, &ast, script, &file.text, page);
                    findings.extend(read.findings);
                    if let Some(rule) = read.rule {
                        scripts.compiled.insert(id, (ast, script));
                        rules.push(rule);
                    }
                }
                Err(finding) => findings.push(*finding),
            }
        }
    }
    rules.sort_by(|a, b| a.id.cmp(&b.id));
    Loaded { rules, scripts, findings }
}

impl Scripts {
    fn compile(
        &self,
        id: &RuleId,
        file: FileId,
        text: &str,
    ) -> Result<AST, Box<Finding>> {
        self.engine
            .compile(text)
            .map_err(|error| Box::new(faults::no_parse(id, &error, file, text)))
    }

    /// Runs one rule for one thing.
    pub fn call(
        &self,
        rule: &Rule,
        about: &Known,
        facts: &Rc<Facts>,
        settings: &Settings,
        sources: &Sources,
    ) -> Outcome {
        let Some((ast, file)) = self.compiled.get(&rule.id) else {
            return Outcome {
                drafts: Vec::new(),
                ended: Ended::Said,
                reads: trimsheet_rules::facts::Reads::new(),
            };
        };
        self.drafts.borrow_mut().clear();
        let subject = Value::new(facts, about.clone());
        let build = Value::new(facts, facts.whole());
        let set = Table::new(facts, rule, settings);
        let (result, reads) = facts.watch(|| {
            let mut scope = Scope::new();
            let options = rhai::CallFnOptions::new().eval_ast(false).rewind_scope(true);
            self.engine.call_fn_with_options::<rhai::Dynamic>(
                options,
                &mut scope,
                ast,
                "check",
                (subject, build, set),
            )
        });
        let text = sources.file(*file).map_or("", |file| file.text.as_str());
        let ended = match result {
            Ok(_) => Ended::Said,
            Err(error) => faults::ended(&error, *file, text),
        };
        let drafts =
            self.drafts.borrow_mut().drain(..).map(|draft| draft.take()).collect();
        Outcome { drafts, ended, reads }
    }
}

/// The stretch that stands for a whole script: its first line.
fn first_line(file: FileId, text: &str) -> Span {
    Span { file, start: 0, end: text.find('\n').unwrap_or(text.len()) }
}

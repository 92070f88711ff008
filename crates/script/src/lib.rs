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
mod messages;
mod operators;
mod sandbox;
pub mod scaffold;
mod value;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use rhai::{AST, Engine, Scope};
use trimsheet_rules::facts::model::vocabulary::Vocabulary;
use trimsheet_rules::facts::{Facts, Known};
use trimsheet_rules::manifest::is_plain;
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, Sources, Span};
use trimsheet_rules::{
    Ended, Fault, Layer, MANIFEST, Manifest, Outcome, Pack, Rule, Settings,
};

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
    /// What their packs say of themselves, in the order in which their layers apply.
    pub packs: Vec<Manifest>,
    /// The words that a spec may use under these packs.
    pub vocabulary: Vocabulary,
    /// How to run them.
    pub scripts: Scripts,
    /// Faults that can be known without running anything.
    pub findings: Vec<Finding>,
}

/// Reads packs and their rules; the text of each script joins the sources.
pub fn load(packs: &[Pack], sources: &mut Sources) -> Loaded {
    let drafts = Rc::new(RefCell::new(Vec::new()));
    let engine = sandbox::engine(&drafts);
    let mut findings = Vec::new();
    let mut read: Vec<(Manifest, &Pack)> = Vec::new();
    for pack in packs {
        let path = format!("{}/{MANIFEST}", pack.place);
        let file = sources.add(path, pack.manifest().unwrap_or(""));
        let (manifest, unclear) = Manifest::read(pack, file);
        let twin = read.iter().find(|(other, _)| other.name == manifest.name);
        match twin {
            Some((_, other)) => {
                findings.extend(
                    (other.hash() != pack.hash()).then(|| twice(pack, other, file)),
                );
            }
            None => {
                findings.extend(unclear);
                read.push((manifest, pack));
            }
        }
    }
    // What comes later speaks later; packs of one layer speak in the order given.
    read.sort_by_key(|(manifest, _)| manifest.layer);
    let rows = read.iter().flat_map(|(manifest, _)| manifest.facts.iter().copied());
    let vocabulary = Vocabulary::default().with(rows);
    let scripts = Scripts { engine, compiled: BTreeMap::new(), drafts };
    let mut loader = Loader { scripts, rules: Vec::new(), findings, sources };
    for (manifest, pack) in &read {
        loader.pack(pack, manifest);
    }
    let Loader { scripts, mut rules, findings, .. } = loader;
    rules.sort_by(|a, b| a.id.cmp(&b.id));
    let packs = read.into_iter().map(|(manifest, _)| manifest).collect();
    Loaded { rules, packs, vocabulary, scripts, findings }
}

fn twice(pack: &Pack, other: &Pack, file: FileId) -> Finding {
    let span = Span {
        file,
        start: 0,
        end: pack.manifest().map_or(0, |text| first_line(file, text).end),
    };
    let says = format!(
        "a second pack is called `{}`; the first stands in {}",
        pack.name, other.place
    );
    Finding::new("rules/pack-misnamed", Level::Error, span, says).advised(
        "leave one of them out, or give it a name of its own; this one was not read",
    )
}

struct Loader<'a> {
    scripts: Scripts,
    rules: Vec<Rule>,
    findings: Vec<Finding>,
    sources: &'a mut Sources,
}

impl Loader<'_> {
    fn pack(&mut self, pack: &Pack, manifest: &Manifest) {
        for (name, file) in pack.scripts() {
            let id = match manifest.layer {
                Layer::Core => RuleId::new(name),
                Layer::Kit | Layer::Club | Layer::Personal => {
                    RuleId::new(format!("{}/{name}", manifest.name))
                }
            };
            let script = self
                .sources
                .add(format!("{}/{}", pack.place, file.path), file.text.clone());
            if !is_rule_name(name) {
                self.findings.push(misplaced(&id, script, &file.text));
                continue;
            }
            let page = pack.page(name).unwrap_or("");
            let ast = match self.scripts.compile(&id, script, &file.text) {
                Ok(ast) => ast,
                Err(finding) => {
                    self.findings.push(*finding);
                    continue;
                }
            };
            if let Some(unclean) = messages::in_script(&id, &ast, script, &file.text) {
                self.findings.push(unclean);
                continue;
            }
            let read = constants::rule(&id, &ast, script, &file.text, page);
            self.findings.extend(read.findings);
            if let Some(rule) = read.rule {
                self.scripts.compiled.insert(id, (ast, script));
                let (pack, layer) = (manifest.owner(), manifest.layer);
                self.rules.push(Rule { pack, layer, ..rule });
            }
        }
    }
}

/// Whether a script stands where a rule does: in a group, under the name of its fault.
fn is_rule_name(name: &str) -> bool {
    let mut parts = name.split('/');
    matches!((parts.next(), parts.next(), parts.next()), (Some(group), Some(fault), None)
        if is_plain(group) && is_plain(fault))
}

fn misplaced(id: &RuleId, file: FileId, text: &str) -> Finding {
    let says = format!(
        "the rule {id} could not be loaded: expected its script to be called GROUP/FAULT.rhai"
    );
    Finding::new("rules/fault", Level::Error, first_line(file, text), says).advised(
        "put it in a folder for its group, both named in lower-case letters, digits and hyphens",
    )
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
        let drafts: Vec<trimsheet_rules::Draft> =
            self.drafts.borrow_mut().drain(..).map(|draft| draft.take()).collect();
        let unclean = messages::in_drafts(&drafts, *file, sources);
        let ended = match (result, unclean) {
            (_, Some(says)) => {
                let span = first_line(*file, text);
                Ended::Fault(Fault { rule: "rules/message-unclean", says, span })
            }
            (Ok(_), None) => Ended::Said,
            (Err(error), None) => faults::ended(&error, *file, text),
        };
        Outcome { drafts, ended, reads }
    }
}

/// The stretch that stands for a whole script: its first line.
fn first_line(file: FileId, text: &str) -> Span {
    Span { file, start: 0, end: text.find('\n').unwrap_or(text.len()) }
}

//! Loading packs: their rules, read and looked through before any of them runs.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use rhai::{AST, Dynamic};
use trimsheet_rules::facts::Step;
use trimsheet_rules::facts::gives::rule_name;
use trimsheet_rules::facts::model::vocabulary::Vocabulary;
use trimsheet_rules::manifest::{Stated, is_plain};
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, Sources, Span};
use trimsheet_rules::{Layer, MANIFEST, Manifest, Pack, PackFile, Rule, STEPS};

use crate::look::natives::Natives;
use crate::program::{self, Script};
use crate::{
    Scripts, constants, faults, first_line, functions, look, messages, sandbox, steps,
};

/// Rules that were loaded, and what is wrong with those that were not.
pub struct Loaded {
    /// Every rule whose script could be read, in the order of their ids.
    pub rules: Vec<Rule>,
    /// The steps that their packs ask for, in the order in which a person does them.
    pub steps: Arc<Vec<Step>>,
    /// What their packs say of themselves, in the order in which their layers apply.
    pub packs: Vec<Manifest>,
    /// The words that a spec may use under these packs.
    pub vocabulary: Vocabulary,
    /// How to run them.
    pub scripts: Scripts,
    /// Faults that can be known without running anything.
    pub findings: Vec<Finding>,
}

/// Packs whose manifests were read, and their scripts not yet: a spec can be read by their
/// words while somebody reads their scripts.
pub struct Gathered<'a> {
    /// In the order in which their layers apply.
    packs: Vec<(Manifest, &'a Pack)>,
    /// Their scripts among the sources, in the order of the packs.
    files: Vec<FileId>,
    /// The words that a spec may use under these packs.
    pub vocabulary: Vocabulary,
    findings: Vec<Finding>,
}

/// Reads packs and their rules; the text of each script joins the sources.
pub fn load(packs: &[Pack], sources: &mut Sources) -> Loaded {
    gather(packs, sources).load()
}

/// Reads what packs say of themselves; the text of each script joins the sources.
pub fn gather<'a>(packs: &'a [Pack], sources: &mut Sources) -> Gathered<'a> {
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
    findings.extend(part_facts(&mut read));
    let rows = read.iter().flat_map(|(manifest, _)| &manifest.facts);
    let rows = rows.map(|stated| stated.row);
    let vocabulary = Vocabulary::default().with(rows);
    let mut files = Vec::new();
    for (_, pack) in &read {
        for (_, file) in scripts_of(pack) {
            let path = format!("{}/{}", pack.place, file.path);
            let text = match &file.text {
                Cow::Borrowed(text) => unmarked(text).into(),
                Cow::Owned(text) => unmarked(text).to_owned().into(),
            };
            files.push(sources.add_text(path, text));
        }
    }
    Gathered { packs: read, files, vocabulary, findings }
}

/// The scripts of a pack, those of its steps first.
fn scripts_of(pack: &Pack) -> impl Iterator<Item = (&str, &PackFile)> {
    pack.steps().chain(pack.scripts())
}

impl Gathered<'_> {
    /// Reads the scripts, on the thread on which they will run, and looks for mistakes.
    pub fn load(self) -> Loaded {
        self.loaded(true)
    }

    /// Reads them for a second thread, while the first looks for mistakes in rules, and
    /// may leave some out that are here.
    pub fn load_again(self) -> Loaded {
        self.loaded(false)
    }

    fn loaded(self, looks_at_rules: bool) -> Loaded {
        let Gathered { packs, files, vocabulary, findings } = self;
        let drafts = Rc::new(RefCell::new(Vec::new()));
        let mut engine = sandbox::engine(&drafts);
        let natives = Natives::of(&engine, vocabulary.clone());
        functions::names(&mut engine, program::asked());
        let scripts = Scripts { engine, scripts: BTreeMap::new(), drafts };
        let (rules, steps) = (Vec::new(), Vec::new());
        let files = files.into_iter();
        let mut loader =
            Loader { scripts, natives, looks_at_rules, rules, steps, findings, files };
        for (manifest, pack) in &packs {
            loader.pack(pack, manifest);
        }
        let Loader { scripts, mut rules, mut steps, findings, .. } = loader;
        rules.sort_by(|a, b| a.id.cmp(&b.id));
        steps.sort_by(|a, b| (a.card, a.order, &a.name).cmp(&(b.card, b.order, &b.name)));
        let steps = Arc::new(steps);
        let packs = packs.into_iter().map(|(manifest, _)| manifest).collect();
        Loaded { rules, steps, packs, vocabulary, scripts, findings }
    }
}

/// Takes out facts that rules could not tell from one declared before, and says so.
fn part_facts(read: &mut [(Manifest, &Pack)]) -> Vec<Finding> {
    let mut known: BTreeMap<(&str, String), (&str, String)> = BTreeMap::new();
    let mut findings = Vec::new();
    for (manifest, _) in read {
        let owner = manifest.owner();
        manifest.facts.retain(|Stated { row, word }| {
            let names = || row.within.iter().map(|entry| (*entry, rule_name(row)));
            let Some(((entry, name), (earlier, by))) =
                names().find_map(|key| known.get(&key).map(|other| (key, other)))
            else {
                known.extend(names().map(|key| (key, (row.word, owner.clone()))));
                return true;
            };
            let says = format!(
                "rules would read both `{}` and `{earlier}` of {by} as {}.{name}",
                row.word,
                entry.replace('-', "_")
            );
            let finding = Finding::new("rules/pack-unclear", Level::Error, *word, says);
            findings.push(finding.advised(
                "give one of the two another word; this one is left out until then",
            ));
            false
        });
    }
    findings
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

struct Loader {
    scripts: Scripts,
    natives: Natives,
    looks_at_rules: bool,
    rules: Vec<Rule>,
    steps: Vec<Step>,
    findings: Vec<Finding>,
    /// The scripts among the sources, in the order in which they are taken.
    files: std::vec::IntoIter<FileId>,
}

impl Loader {
    fn pack(&mut self, pack: &Pack, manifest: &Manifest) {
        // What is shipped was looked through by a test, and need not be on every bench.
        let is_shipped = manifest.layer == Layer::Core && pack.is_core();
        let owner = manifest.owner();
        for (name, file) in pack.steps() {
            let Some(script) = self.files.next() else { return };
            let id = RuleId::new(format!("{STEPS}{name}"));
            let text = unmarked(&file.text);
            let one = Unread { id, name, file: script, text, page: None };
            self.step(name, &one, &owner, is_shipped);
        }
        for (name, file) in pack.scripts() {
            let Some(script) = self.files.next() else { return };
            let id = match manifest.layer {
                Layer::Core => RuleId::new(name),
                Layer::Kit | Layer::Club | Layer::Personal => {
                    RuleId::new(format!("{}/{name}", manifest.name))
                }
            };
            let text = unmarked(&file.text);
            let page = pack.page(name);
            let one = Unread { id, name, file: script, text, page };
            let read = match self.scripts.shipped(name, script, is_shipped) {
                Some((script, constants)) => {
                    one.stated(constants).map(|rule| (rule, script))
                }
                None => {
                    let natives = self.looks_at_rules.then_some(&self.natives);
                    self.scripts.read(&one, natives)
                }
            };
            match read {
                Ok((rule, script)) => {
                    self.scripts.scripts.insert(one.id, script);
                    let (pack, layer) = (owner.clone(), manifest.layer);
                    self.rules.push(Rule { pack, layer, ..rule });
                }
                Err(found) => self.findings.extend(found),
            }
        }
    }
}

impl Loader {
    /// Takes a step of a pack in, or says what is wrong with its script.
    fn step(&mut self, name: &str, one: &Unread<'_>, pack: &str, is_shipped: bool) {
        let path = format!("{STEPS}{name}");
        let read = match self.scripts.shipped(&path, one.file, is_shipped) {
            Some((script, constants)) => {
                steps::shipped(name, one, &constants).map(|step| (step, script))
            }
            None => steps::read(&self.scripts.engine, name, one, &self.natives),
        };
        match read {
            Ok((step, _)) if self.steps.iter().any(|known| known.name == step.name) => {
                let says = format!("a second step is called `{name}`");
                let top = first_line(one.file, one.text);
                let finding = Finding::new("rules/fault", Level::Error, top, says);
                self.findings.push(finding.advised(
                    "give it another name: a record names its step, and must mean one",
                ));
            }
            Ok((step, script)) => {
                self.scripts.scripts.insert(RuleId::new(path), script);
                self.steps.push(Step { pack: pack.to_owned(), ..step });
            }
            Err(found) => self.findings.extend(found),
        }
    }
}

/// A text without the mark that some editors put before the first letter, which means
/// nothing.
fn unmarked(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// Whether a script stands where a rule does: in a group, under the name of its fault.
fn is_rule_name(name: &str) -> bool {
    let mut parts = name.split('/');
    matches!((parts.next(), parts.next(), parts.next()), (Some(group), Some(fault), None)
        if is_plain(group) && is_plain(fault))
}

impl Unread<'_> {
    /// What is wrong with the page of a rule, and with its title.
    fn page_and_title(&self) -> Vec<Finding> {
        let page = self.page.map(AsRef::as_ref);
        let (id, top) = (&self.id, first_line(self.file, self.text));
        let missing = look::page::missing(page, self.name);
        let missing =
            missing.map(|says| faults::not_loaded("rules/fault", id, top, &says));
        let unclean = messages::in_page(page, self.name);
        let unclean = unclean
            .map(|says| faults::not_loaded("rules/message-unclean", id, top, &says));
        let in_title = messages::in_title(id, self.file, self.text);
        missing.into_iter().chain(unclean).chain(in_title).collect()
    }

    /// Mistakes in the script of a rule that can be known without running it.
    fn mistakes(&self, ast: &AST, rule: &Rule, natives: &Natives) -> Vec<Finding> {
        let fault =
            |span, says: &str| faults::not_loaded("rules/fault", &self.id, span, says);
        let said = constant(self.file, self.text, "SAID");
        let unsaid = look::unsaid(rule, natives).map(|says| fault(said, &says));
        let others =
            look::look(ast, rule, natives).into_iter().map(|(position, says)| {
                // What is nowhere in the script is about what may be set.
                let span = match position.is_none() {
                    true => constant(self.file, self.text, "SET"),
                    false => faults::span(position, self.file, self.text),
                };
                fault(span, &says)
            });
        unsaid.into_iter().chain(others).collect()
    }

    /// Reads what a shipped script states of its rule.
    fn stated(&self, constants: Vec<(String, Dynamic)>) -> Result<Rule, Vec<Finding>> {
        let page = self.page.cloned().unwrap_or_default();
        let read = constants::stated(&self.id, constants, self.file, self.text, page);
        read.rule.filter(|_| read.findings.is_empty()).ok_or(read.findings)
    }
}

impl Scripts {
    /// A script that was compiled when this was built, and the constants before its
    /// functions.
    ///
    /// The rest was looked through by a test, and is read when it is first called: most of
    /// the shipped rules have nothing to say of most specs.
    fn shipped(
        &self,
        path: &str,
        file: FileId,
        is_shipped: bool,
    ) -> Option<(Script, Vec<(String, Dynamic)>)> {
        let shipped = program::shipped(path).filter(|_| is_shipped)?;
        Some((Script::shipped(file, shipped), shipped.constants()))
    }

    /// Reads one script, or says all that is wrong with it, as far as anybody looks.
    fn read(
        &self,
        one: &Unread<'_>,
        natives: Option<&Natives>,
    ) -> Result<(Rule, Script), Vec<Finding>> {
        let Unread { id, name, file, text, page } = one;
        let top = first_line(*file, text);
        if text.len() > sandbox::SCRIPT {
            let says = format!(
                "it has {} bytes, and a script may have {}",
                text.len(),
                sandbox::SCRIPT
            );
            return Err(vec![faults::not_loaded("rules/out-of-bounds", id, top, &says)]);
        }
        let mut findings = Vec::new();
        if !is_rule_name(name) {
            let says = "expected its script to be called GROUP/FAULT.rhai, both in lower-case letters, digits and hyphens";
            return Err(vec![faults::not_loaded("rules/fault", id, top, says)]);
        }
        if natives.is_some() {
            findings.extend(one.page_and_title());
        }
        let ast = match self.engine.compile(text) {
            Ok(ast) => ast,
            Err(error) => {
                findings.push(faults::no_parse(id, &error, *file, text));
                return Err(findings);
            }
        };
        if natives.is_some() {
            findings.extend(messages::in_script(id, &ast, *file, text));
        }
        let read =
            constants::rule(id, &ast, *file, text, page.cloned().unwrap_or_default());
        let is_whole = read.findings.is_empty();
        findings.extend(read.findings);
        let Some(rule) = read.rule.filter(|_| is_whole) else { return Err(findings) };
        if let Some(natives) = natives {
            findings.extend(one.mistakes(&ast, &rule, natives));
        }
        if findings.is_empty() {
            Ok((rule, Script::of(*file, ast)))
        } else {
            Err(findings)
        }
    }
}

/// A script of a pack, with what stands beside it.
pub(crate) struct Unread<'a> {
    pub(crate) id: RuleId,
    /// Its path in the pack, without its ending.
    name: &'a str,
    pub(crate) file: FileId,
    pub(crate) text: &'a str,
    page: Option<&'a Cow<'static, str>>,
}

/// Where a constant of a script stands, or its first line.
pub(crate) fn constant(file: FileId, text: &str, name: &str) -> Span {
    let start = text.find(&format!("const {name}")).map(|start| start + "const ".len());
    start.map_or(first_line(file, text), |start| Span {
        file,
        start,
        end: start + name.len(),
    })
}

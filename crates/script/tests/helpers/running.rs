//! Runs rules over a small spec, and says what came of it.
#![allow(dead_code, reason = "each file of tests uses some of it")]

use std::rc::Rc;

use trimsheet_script::rules::facts::Facts;
use trimsheet_script::rules::facts::model::{Document, Stage, resolve, syntax};
use trimsheet_script::rules::source::{Finding, Sources};
use trimsheet_script::rules::{Pack, PackFile, judge};
use trimsheet_script::{Loaded, load};

pub(crate) const SPEC: &str = "model test
wing [plan]
    rib 0 mm out  chord 200 mm  leading-edge 0 mm aft
    rib 500 mm out  chord 200 mm  leading-edge 0 mm aft
    band 40..60 mm aft  best 50 mm aft
part motor: kind motor; mass 80 g [weighed]; at 30 mm ahead [measured]
part shell: mass 300 g [weighed]; at 70 mm aft [measured]
part mystery: mass ?; at 10 mm aft
loadout club: without mystery
";

/// Runs rules over a small spec: each finding as `place: rule: headline`.
pub(crate) fn run(scripts: &[(&str, &str)]) -> Vec<String> {
    let (findings, sources) = findings(scripts);
    said(&findings, &sources)
}

/// Findings as `place: rule: headline`.
pub(crate) fn said(findings: &[Finding], sources: &Sources) -> Vec<String> {
    findings
        .iter()
        .map(|finding| {
            let span = finding.primary.span;
            let place = sources.place(span);
            let path = sources.path(span.file);
            format!(
                "{path}:{}:{}: {}: {}",
                place.line, place.column, finding.rule, finding.headline
            )
        })
        .collect()
}

pub(crate) fn findings(scripts: &[(&str, &str)]) -> (Vec<Finding>, Sources) {
    let (loaded, mut sources) = loaded(scripts);
    let facts = facts(SPEC, &mut sources);
    let mut findings = loaded.findings.clone();
    let judgement =
        judge(&loaded.rules, &loaded.packs, &facts, |rule, about, settings| {
            loaded.scripts.machine().call(rule, about, &facts, settings, &sources)
        });
    findings.extend(judgement.findings);
    (findings, sources)
}

/// Facts about a spec that reads without a finding.
pub(crate) fn facts(spec: &str, sources: &mut Sources) -> Rc<Facts> {
    let file = sources.add("test.trim", spec);
    let tree = syntax::parse(file, spec);
    let documents = [Document { file, tree, shelves: Vec::new() }];
    let (build, findings) = resolve(&documents, sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Rc::new(Facts::new(build, Stage::Bench).on("2026-02-04".parse().ok()))
}

/// A pack of a club, in which each script has a page.
pub(crate) fn pack(scripts: &[(&str, &str)]) -> Pack {
    let file = |name: &str, ending: &str, text: &str| PackFile {
        path: format!("{name}.{ending}"),
        text: text.to_owned().into(),
    };
    let files = scripts
        .iter()
        .flat_map(|(name, text)| [file(name, "rhai", text), file(name, "md", PAGE)]);
    Pack::on_trial("club", files)
}

/// Rules of a club, loaded and not run.
pub(crate) fn loaded(scripts: &[(&str, &str)]) -> (Loaded, Sources) {
    let mut sources = Sources::default();
    let loaded = load(&[pack(scripts)], &mut sources);
    (loaded, sources)
}

/// A page with what every page has.
pub(crate) const PAGE: &str = "# A test
## What it checks
## Why it matters
## What to do
## Source
## Examples
### One
```trim
part x
```
";

/// A whole rule about the loadout with this body.
pub(crate) fn rule(body: &str) -> String {
    format!(
        "//! A test.\nconst ABOUT = \"loadout\";\nconst LEVEL = #{{ planned: \"error\" }};\n\
         const SET = #{{ spare: \"5 mm\" }};\nfn check(loadout, build, set) {{ set.spare;\n{body}\n}}\n"
    )
}

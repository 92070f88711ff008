//! What counts as a rule that ran over a spec, and which findings are about it.
#![expect(
    clippy::indexing_slicing,
    reason = "these tests know how many specs they check"
)]

use trimsheet_project::source::{Judged, Level, RuleId};
use trimsheet_project::{Checked, Memory, Settings, check};

const MANIFEST: &str = "name = \"elm-hill\"\nissue = \"2026\"\ntitle = \"t\"\nlicence = \"MIT\"\nneeds = \"0.1\"\nlayer = \"club\"\n";

const PAGE: &str = "# A rule\n\n## What it checks\n\na\n\n## Why it matters\n\nb\n\n## What to do\n\nc\n\n## Source\n\nCommon practice, no source.\n\n## Examples\n\n### Quiet\n\n```trim\nbay slot\n```\n";

/// A rule of a club about some entries, from a stage on.
fn rule(about: &str, stage: &str, does: &str) -> String {
    format!(
        "//! A rule.\nconst ABOUT = \"{about}\";\nconst LEVEL = #{{ {stage}: \"note\" }};\nfn check(it, build, set) {{\n    {does}\n}}\n"
    )
}

/// A club whose rules pass, find something, speak later, are about nothing, cannot say,
/// and are at fault.
fn club() -> Memory {
    let rules = [
        ("passes", rule("bay", "planned", "if it.width < 1.mm { finding(it, `x`); }")),
        ("finds", rule("bay", "planned", "finding(it, `x`);")),
        ("later", rule("bay", "ready", "finding(it, `x`);")),
        ("elsewhere", rule("pack", "planned", "finding(it, `x`);")),
        ("unsure", rule("bay", "planned", "if it.height < 1.mm { finding(it, `x`); }")),
        ("faulty", rule("bay", "planned", "if it.width < 1.g { finding(it, `x`); }")),
    ];
    let host = Memory::new().with("rules/elm-hill/pack.toml", MANIFEST);
    rules.into_iter().fold(host, |host, (name, script)| {
        host.with(&format!("rules/elm-hill/bay/{name}.rhai"), script)
            .with(&format!("rules/elm-hill/bay/{name}.md"), PAGE)
    })
}

const SPEC: &str =
    "model wren\n    rules \"elm-hill\"\nbay slot: width 12 mm [measured]\n";

fn run(host: &Memory, paths: &[&str]) -> Checked {
    let paths: Vec<String> = paths.iter().map(|&path| path.to_owned()).collect();
    check(host, &paths, &Settings::default())
}

fn of_club(rules: impl Iterator<Item = RuleId>) -> Vec<String> {
    let names =
        rules.filter_map(|id| Some(id.0.strip_prefix("elm-hill/bay/")?.to_owned()));
    names.collect()
}

fn found(checked: &Checked, judged: &Judged) -> Vec<RuleId> {
    judged.findings.iter().map(|at| checked.findings[*at].rule.clone()).collect()
}

#[test]
fn a_rule_ran_where_it_was_asked_about_something_and_came_to_an_end() {
    let checked = run(&club().with("wren.trim", SPEC), &["wren.trim"]);
    let judged = &checked.judged[0];
    assert_eq!(checked.sources.path(judged.spec), "wren.trim");
    assert_eq!(of_club(judged.ran.iter().cloned()), ["finds", "passes", "unsure"]);
    let found = found(&checked, judged);
    assert_eq!(of_club(found.iter().cloned()), ["finds"]);
    assert!(found.iter().any(|id| id.0.starts_with("rules/")), "the fault is a finding");
    let unsaid = judged.cannot_say.iter().map(|at| checked.cannot_say[*at].rule.clone());
    assert_eq!(of_club(unsaid), ["unsure"]);
}

#[test]
fn every_spec_keeps_what_is_about_it_and_the_others_do_not() {
    let host = club()
        .with("a.trim", "model a\nbay slot: width 12 mm [measured]\n")
        .with("b.trim", SPEC)
        .with("c.trim", SPEC);
    let checked = run(&host, &["c.trim", "a.trim", "b.trim"]);
    let of = |at: usize| {
        let judged: &Judged = &checked.judged[at];
        (checked.sources.path(judged.spec), of_club(found(&checked, judged).into_iter()))
    };
    assert_eq!(of(0), ("a.trim", Vec::new()));
    assert_eq!(of(1), ("b.trim", vec!["finds".to_owned()]));
    assert_eq!(of(2), ("c.trim", vec!["finds".to_owned()]));
    // The fault of a script is one finding, and is about both that use it.
    let at_fault = |at: usize| {
        let judged: &Judged = &checked.judged[at];
        let mut places = judged.findings.iter();
        places.find(|at| checked.findings[**at].rule.0.starts_with("rules/")).copied()
    };
    assert_eq!(at_fault(0), None);
    assert!(at_fault(1).is_some());
    assert_eq!(at_fault(1), at_fault(2));
}

/// Everything that was found and could not be said, as text.
fn said(checked: &Checked) -> String {
    let Checked { findings, waived, cannot_say, judged, .. } = checked;
    format!("{findings:#?}{waived:#?}{cannot_say:#?}{judged:#?}")
}

#[test]
fn a_second_thread_says_the_same_under_rules_and_steps_that_are_at_fault() {
    let step = |does: &str| {
        format!(
            "//! A step.\nconst CARD = \"bench\";\nconst SAYS = [\"x\"];\nfn card(build, whole) {{\n    {does}\n}}\n"
        )
    };
    let host = club()
        .with("rules/elm-hill/steps/sound.rhai", step("[build.stage.x]"))
        .with("rules/elm-hill/steps/worse.rhai", step("[build.no_such_thing]"))
        .with(
            "rules/elm-hill/bay/mistaken.rhai",
            rule("bay", "planned", "it.no_such_thing;"),
        )
        .with("rules/elm-hill/bay/mistaken.md", PAGE)
        .with(
            "rules/elm-hill/aft/mistaken.rhai",
            rule("bay", "planned", "it.no_such_thing;"),
        )
        .with("rules/elm-hill/aft/mistaken.md", PAGE)
        .with("wren.trim", SPEC)
        .with("worn.trim", "\u{0}\n".repeat(20_000));
    for path in ["wren.trim", "worn.trim", "gone.trim"] {
        let paths = [path.to_owned()];
        let alone = check(&host, &paths, &Settings::default());
        for _ in 0..20 {
            let settings = Settings { threads: 2, ..Settings::default() };
            let helped = check(&host, &paths, &settings);
            assert_eq!(said(&alone), said(&helped), "{path}");
        }
    }
    let alone = run(&host, &["wren.trim"]);
    let at_fault = alone.findings.iter().filter(|one| one.rule.0 == "rules/fault");
    assert!(4 <= at_fault.count(), "{}", said(&alone));
}

#[test]
fn whatever_has_a_finding_says_what_it_is() {
    let checked = run(&club().with("wren.trim", SPEC), &["wren.trim"]);
    let text = |id: &RuleId| checked.rules.iter().find(|rule| rule.id == *id);
    assert!(checked.findings.iter().all(|one| text(&one.rule).is_some()));
    let finds = text(&RuleId::new("elm-hill/bay/finds"));
    let finds = finds.map(|rule| (&*rule.title, rule.level, rule.prose()));
    let prose = PAGE.split("\n## Examples").next().unwrap_or_default().trim();
    assert_eq!(finds, Some(("A rule", Some(Level::Note), prose)));
}

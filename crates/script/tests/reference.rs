//! Everything that the reference of rules shows runs as it stands there.

#[path = "helpers/running.rs"]
mod running;

use trimsheet_script::reference::{asked_behind, examples, page, prose};
use trimsheet_script::rules::facts::gives::{Asked, asked, beside, names};
use trimsheet_script::rules::facts::model::vocabulary::{self, Vocabulary};
use trimsheet_script::rules::judge;

use self::running::{facts, loaded, said};

/// A spec in which everything is said at least once.
const EVERYTHING: &str = include_str!("../../facts/tests/everything.trim");

/// A whole rule about something, which goes by its own name.
fn about(about: &str, body: &str) -> String {
    // The build itself cannot go by one name twice.
    let second = if about == "build" { "whole" } else { "build" };
    format!(
        "//! A test.\nconst ABOUT = \"{about}\";\nconst LEVEL = #{{ planned: \"note\" }};\n\
         fn check({about}, {second}, set) {{\n{body}\n}}\n"
    )
}

/// Rules by number, run over the spec that says everything: what went wrong with each,
/// and how often it found something.
fn run(scripts: &[String]) -> (Vec<String>, Vec<usize>) {
    let names: Vec<String> = (0..scripts.len()).map(|n| format!("a/n{n}")).collect();
    let all: Vec<(&str, &str)> = names
        .iter()
        .zip(scripts)
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let (loaded, mut sources) = loaded(&all);
    let facts = facts(EVERYTHING, &mut sources);
    let ran = judge(&loaded.rules, &loaded.packs, &facts, |rule, about, settings| {
        loaded.scripts.machine().call(rule, about, &facts, settings, &sources)
    });
    let faults = ["rules/fault", "rules/cannot-read", "rules/out-of-bounds"];
    let is_fault = |rule: &str| faults.contains(&rule);
    let (wrong, found): (Vec<_>, Vec<_>) =
        ran.findings.into_iter().partition(|finding| is_fault(&finding.rule.0));
    let mut wrong = said(&wrong, &sources);
    wrong.extend(said(&loaded.findings, &sources));
    let times = names.iter().map(|name| {
        let id = format!("club/{name}");
        found.iter().filter(|finding| finding.rule.0 == id).count()
    });
    let times = times.collect();
    (wrong, times)
}

#[test]
fn every_example_of_a_table_stands_on_the_page_and_runs() {
    let (page, examples) = (page(), examples());
    let scripts: Vec<String> =
        examples.iter().map(|example| about(&example.about, &example.body)).collect();
    let (wrong, times) = run(&scripts);
    assert_eq!(wrong, Vec::<String>::new());
    for (example, times) in examples.iter().zip(times) {
        let shown = example.shown.replace('|', "\\|");
        assert!(page.contains(&shown), "not on the page: {shown}");
        let asks = example.body.starts_with("finding(")
            && !example.shown.starts_with("finding(");
        assert!(!asks || times > 0, "never known: {}", example.shown);
    }
}

#[test]
fn the_script_that_the_page_explains_loads() {
    assert!(page().contains(prose::SCRIPT));
    let (wrong, _) = run(&[prose::SCRIPT.to_owned()]);
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn every_constant_and_every_sentence_of_the_language_loads() {
    let constants = prose::CONSTANTS.split('`').filter(|code| code.starts_with("const "));
    let scripts = constants.map(|shown| {
        let other = match shown {
            set if set.contains("SET") => "set.spare; set.share;",
            _ => "",
        };
        let own = shown.split(' ').nth(1).unwrap_or_default();
        let whole = about("loadout", other);
        let rest: Vec<&str> = whole
            .lines()
            .filter(|line| !line.starts_with(&format!("const {own}")))
            .collect();
        rest.join("\n").replacen("const", &format!("{shown}\nconst"), 1)
    });
    let scripts: Vec<String> = scripts.collect();
    assert_eq!(scripts.len(), 5);
    let (wrong, _) = run(&scripts);
    assert_eq!(wrong, Vec::<String>::new());

    let rows = prose::CHECK
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next());
    let sentences = rows.filter(|code| code.ends_with([';', '}'])).map(|code| {
        let code = code.replace("...", "").replace("a < b", "1 < 2");
        match code.as_str() {
            "continue;" => about("loadout", "for part in build.parts { continue; }"),
            say if say.starts_with("fn ") => format!("{}{say}", about("loadout", "")),
            other => about("loadout", other),
        }
    });
    let sentences: Vec<String> = sentences.collect();
    assert_eq!(sentences.len(), 7);
    let (wrong, _) = run(&sentences);
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn every_fact_of_every_entry_stands_on_the_page_and_can_be_asked() {
    let page = page();
    let mut scripts = Vec::new();
    for word in vocabulary::entry_words() {
        assert!(page.contains(&format!("\n### `{word}`\n")), "{word}");
        for name in names(&Vocabulary::default(), word) {
            let Some(Asked::Said(row) | Asked::AllSaid(row)) =
                asked(&Vocabulary::default(), word, &name)
            else {
                continue;
            };
            let asked = asked_behind(&name);
            assert!(page.contains(&format!("| `{word}{asked}` |")), "{word}.{name}");
            let slots = row.slots.iter().skip(1).map(|slot| slot.name.replace('-', "_"));
            let slots = slots.filter(|slot| beside(row, slot).is_some());
            let ask =
                if row.often { format!("it{asked}[0]") } else { format!("it{asked}") };
            for slot in slots {
                let behind = asked_behind(&slot);
                let body = format!(
                    "if it{asked}.len() > 0 && {ask}.has(\"{slot}\") {{ {ask}{behind}; }}"
                );
                let once = format!(
                    "if it.has(\"{name}\") && {ask}.has(\"{slot}\") {{ {ask}{behind}; }}"
                );
                let body = if row.often { body } else { once };
                scripts.push(about(word, &format!("let it = {word};\n{body}")));
            }
            scripts.push(about(
                word,
                &format!("let it = {word};\nit.has(\"{name}\"); it{asked};"),
            ));
        }
    }
    assert!(scripts.len() > 120, "{}", scripts.len());
    let (wrong, _) = run(&scripts);
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn the_page_says_first_that_it_is_generated() {
    let page = page();
    let first = page.lines().next().unwrap_or_default();
    assert!(first.contains("Generated by `cargo xtask gen`"), "{first}");
}

//! What must be true of the workspace as a whole.
#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "these tests read the workspace's own files"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Which of our crates each crate uses: the table of DEVELOPERS.md, which is read here.
fn table() -> Vec<(String, Option<BTreeSet<String>>)> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let rows = text.lines().filter(|line| line.starts_with("| `"));
    rows.filter_map(|row| {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let [name, _, uses] = cells.as_slice() else { return None };
        let uses = match *uses {
            "all but the shows" => None,
            "–" => Some(BTreeSet::new()),
            list => Some(list.split(", ").map(str::to_owned).collect()),
        };
        Some((name.trim_matches('`').to_owned(), uses))
    })
    .collect()
}

/// Which of our crates a crate uses, by its manifest; tests may use what they like.
fn used(name: &str) -> BTreeSet<String> {
    let manifest = root().join("crates").join(name).join("Cargo.toml");
    let manifest: toml::Table = fs::read_to_string(manifest).unwrap().parse().unwrap();
    let none = toml::Table::new();
    let dependencies =
        manifest.get("dependencies").and_then(|d| d.as_table()).unwrap_or(&none);
    dependencies
        .keys()
        .filter_map(|name| name.strip_prefix("trimsheet-"))
        .map(str::to_owned)
        .collect()
}

fn crates() -> BTreeSet<String> {
    let folders = fs::read_dir(root().join("crates")).unwrap();
    folders.map(|folder| folder.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn the_crates_use_each_other_as_the_table_says() {
    let table = table();
    let named: BTreeSet<String> = table.iter().map(|(name, _)| name.clone()).collect();
    assert_eq!(named, crates(), "the table names every crate and no other");
    let shows = ["output", "report", "server", "cli", "literate", "xtask", "project"];
    for (name, uses) in table {
        let used = used(&name);
        match uses {
            Some(uses) => assert_eq!(used, uses, "{name}"),
            None => {
                let shown: Vec<&String> =
                    used.iter().filter(|one| shows.contains(&one.as_str())).collect();
                assert!(shown.is_empty(), "{name} uses {shown:?}");
            }
        }
    }
}

#[test]
fn what_knows_nothing_of_a_thing_does_not_name_its_library() {
    for (library, only) in [
        ("pest", "syntax"),
        ("rhai", "script"),
        ("codespan-reporting", "output"),
        ("clap", "cli"),
    ] {
        for name in crates().iter().filter(|name| *name != only) {
            let manifest = root().join("crates").join(name).join("Cargo.toml");
            let manifest: toml::Table =
                fs::read_to_string(manifest).unwrap().parse().unwrap();
            let named =
                manifest.get("dependencies").is_some_and(|d| d.get(library).is_some());
            assert!(!named, "{name} uses {library}, which is the business of {only}");
        }
    }
}

#[test]
fn only_output_knows_the_forms_that_others_have_agreed_on() {
    let mut open: Vec<PathBuf> = vec![root().join("crates")];
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()));
            continue;
        }
        let shown = path.to_string_lossy().replace('\\', "/");
        let knows = shown.contains("/output/src/") || !shown.contains("/src/");
        // The program has a word for each form, and hands the report on.
        let chooses = ["/cli/src/arguments.rs", "/cli/src/check.rs"];
        if !knows && !chooses.iter().any(|place| shown.ends_with(place)) {
            let text = fs::read_to_string(&path).unwrap().to_lowercase();
            let known = ["sarif", "junit"].iter().any(|form| text.contains(form));
            assert!(!known, "{shown} knows a form that is the business of output");
        }
    }
}

#[test]
fn generated_files_are_fresh() {
    for (path, text) in trimsheet_xtask::generated() {
        let stands = fs::read_to_string(root().join(path)).unwrap_or_default();
        assert!(stands == text, "{path} is stale: run `cargo xtask gen`");
    }
}

#[test]
fn the_top_level_holds_what_was_agreed_and_nothing_else() {
    let agreed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "crates",
        "grammar",
        "tests",
        "rules",
        "examples",
        "LICENSE",
        "target",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.starts_with('.') || agreed.contains(&name.as_str()), "{name}");
    }
}

#[test]
fn every_rule_has_a_page_with_the_fixed_headings() {
    let core = trimsheet_project::rules::core();
    let rules: Vec<&str> = core.scripts().map(|(rule, _)| rule).collect();
    assert!(rules.len() >= 28, "{} rules", rules.len());
    for rule in rules {
        let page = core.page(rule).unwrap();
        for heading in
            ["What it checks", "Why it matters", "What to do", "Source", "Examples"]
        {
            assert!(
                page.contains(&format!("\n## {heading}\n")),
                "{rule} has no {heading}"
            );
        }
    }
}

/// The reference of rules explains one script, and shows its page.
#[test]
fn the_page_that_the_reference_shows_is_true_of_its_script() {
    use trimsheet_project::script::reference::prose::{EXAMPLE_PAGE, SCRIPT};
    // Each example brings the script with it, as a test of one heading does.
    let script = format!("```rhai rules/club/bay/narrow.rhai\n{SCRIPT}```\n\n");
    let pieces: Vec<&str> = EXAMPLE_PAGE.split("### ").collect();
    let first = pieces.first().copied().unwrap_or_default();
    let examples = pieces.iter().skip(1).map(|one| format!("### {one}\n{script}"));
    let text = format!("{first}{}", examples.collect::<String>());
    let page = trimsheet_literate::read("narrow.md", &text).unwrap();
    assert_eq!(page.cases.len(), 3, "{:#?}", page.cases);
    for case in &page.cases {
        let outcome = trimsheet_literate::run(&page, case, &|_| None);
        assert!(outcome.problems.is_empty(), "{:#?}", outcome.problems);
    }
}

/// Losing a rule, a level or a parameter shows here.
#[test]
fn the_list_of_rules_is_reviewed() {
    let mut sources = trimsheet_project::source::Sources::default();
    let loaded = trimsheet_project::script::load(
        &[trimsheet_project::rules::core()],
        &mut sources,
    );
    assert!(loaded.findings.is_empty(), "{:#?}", loaded.findings);
    let mut text = String::new();
    for rule in &loaded.rules {
        let waivable = if rule.waivable { "" } else { "; never waived" };
        text += &format!(
            "{}: about {}; {}{waivable}",
            rule.id,
            rule.about.join(", "),
            rule.levels
        );
        for parameter in &rule.parameters {
            let tighter = parameter.tighter.words();
            text += &format!("; {} {}{tighter}", parameter.name, parameter.default);
        }
        text.push('\n');
    }
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("rules", text);
    });
}

/// Whatever a finding is called, `trimsheet explain` has something to say of it.
#[test]
fn every_finding_that_no_rule_makes_has_a_page() {
    let mut named = BTreeSet::new();
    for name in crates() {
        let mut open = vec![root().join("crates").join(name).join("src")];
        while let Some(path) = open.pop() {
            if path.is_dir() {
                open.extend(
                    fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()),
                );
            } else {
                named.extend(ids(&fs::read_to_string(path).unwrap()));
            }
        }
    }
    let explained: BTreeSet<String> =
        trimsheet_project::pages().map(|(id, _)| id.to_owned()).collect();
    assert_eq!(named, explained);
}

/// The texts `"read/…"` and `"rules/…"` of a source that are names of findings.
fn ids(text: &str) -> BTreeSet<String> {
    let quoted = text.split('"').skip(1).step_by(2);
    // Where the core pack stands is no finding.
    let quoted = quoted.filter(|text| *text != "rules/core");
    let ids = quoted.filter(|text| {
        let id = text.strip_prefix("read/").or_else(|| text.strip_prefix("rules/"));
        id.is_some_and(|id| {
            !id.is_empty()
                && id.chars().all(|c| c.is_ascii_lowercase() || "-8".contains(c))
        })
    });
    ids.map(str::to_owned).collect()
}

/// The block of a language in a text.
fn block<'a>(text: &'a str, language: &str) -> &'a str {
    let after =
        text.split_once(&format!("```{language}\n")).map_or("", |(_, after)| after);
    after.split_once("```").map_or("", |(block, _)| block)
}

/// What the reference of rules shows of packs is read as it stands there.
#[test]
fn the_pack_and_the_spec_of_the_reference_read_without_a_finding_about_them() {
    use trimsheet_project::{Memory, Settings, check, script::reference::prose};
    let wing =
        "model wren\n    rules \"club\"\nwing\n    club.held by latch since 2026-04-01\n";
    let spec = format!("{wing}{}", block(prose::PACKS, "trim"));
    let host = Memory::new()
        .with("wren.trim", spec)
        .with("rules/club/pack.toml", block(prose::PACKS, "toml"));
    let settings = Settings { today: "2026-11-25".parse().ok(), ..Settings::default() };
    let checked = check(&host, &["wren.trim".to_owned()], &settings);
    let about = |id: &str| id.starts_with("rules/") || id.starts_with("read/");
    let found: Vec<String> = checked
        .findings
        .iter()
        .filter(|one| about(&one.rule.0))
        .map(|one| format!("{}: {}", one.rule, one.headline))
        .collect();
    // The spec has no fins, so nothing of theirs has to be waived.
    assert_eq!(
        found,
        [
            "rules/waiver-unneeded: stability/fin-volume finds nothing here that has to be waived"
        ]
    );
    assert_eq!(checked.loosened, 1);
}

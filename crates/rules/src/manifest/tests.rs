use trimsheet_source::Sources;

use super::*;
use crate::pack::{MANIFEST, PackFile};

const HEAD: &str = r#"name = "elm-hill"
issue = "2026"
title = "What we ask"
licence = "MIT"
needs = "0.1"
layer = "club"
"#;

/// Reads a manifest in the folder `elm-hill`: what it says, and each finding with its line.
fn read(text: &str) -> (Manifest, Vec<String>) {
    let file = PackFile { path: MANIFEST.into(), text: text.to_owned().into() };
    let pack = Pack::on_trial("elm-hill", [file]);
    let mut sources = Sources::default();
    let file = sources.add("pack.toml", text);
    let (manifest, findings) = Manifest::read(&pack, file);
    let told = findings.iter().map(|finding| {
        let line = sources.place(finding.primary.span).line;
        format!("{line}: {}: {}", finding.rule, finding.headline)
    });
    (manifest, told.collect())
}

#[track_caller]
fn says(text: &str, expected: &str) {
    let (_, told) = read(text);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert!(told[0].contains(expected), "{told:#?}\nshould say {expected}");
}

fn fact(form: &str, example: &str) -> String {
    let form = if form.is_empty() { String::new() } else { format!("form = '{form}'\n") };
    format!(
        "{HEAD}\n[[fact]]\nword = \"held\"\nof = [\"wing\", \"part\"]\n{form}says = \"How.\"\nexample = '{example}'\n"
    )
}

#[test]
fn a_pack_that_says_all_of_itself_reads_clean() {
    let (manifest, told) = read(HEAD);
    assert_eq!(told, [""; 0]);
    assert_eq!(manifest.owner(), "elm-hill 2026");
    assert_eq!(manifest.layer, Layer::Club);
}

#[test]
fn what_is_missing_misspelt_or_of_another_kind_is_said_at_its_line() {
    says(
        &HEAD.replace("licence = \"MIT\"\n", ""),
        "1: rules/pack-unclear: expected `licence`",
    );
    let (_, told) = read(&HEAD.replace("issue", "isue"));
    assert!(
        told[1].contains("2: rules/pack-unclear: nothing is called `isue`"),
        "{told:#?}"
    );
    assert!(told[1].contains("the nearest is `issue`"), "{told:#?}");
    says(&HEAD.replace("\"2026\"", "2026"), "2: rules/pack-unclear: expected a text");
    says(&HEAD.replace("\"What we ask\"", "\" \""), "3: rules/pack-unclear");
    says(
        &HEAD.replace("club\"", "team\""),
        "6: rules/pack-unclear: expected one of kit, club",
    );
    says(&HEAD.replace("0.1", "new"), "expected a version such as 0.1 for `needs`");
    says(&HEAD.replace("0.1", "9.0"), "the pack needs trimsheet 9.0, and this is");
    says(&HEAD.replace("elm-hill", "reed"), "says that it is `reed`");
}

#[test]
fn a_text_that_acts_on_a_terminal_or_breaks_its_line_does_not_count() {
    for hidden in ["\\u001b[2J", "\\u202e", "\\n", "\\u200b"] {
        says(
            &HEAD.replace("2026", &format!("2026{hidden}")),
            "2: rules/pack-unclear: expected a text on one line, without hidden characters for `issue`",
        );
    }
}

#[test]
fn a_text_has_an_end() {
    let many: String = (0..80_000).map(|at| format!("a{at} MASS ")).collect();
    says(
        &fact(&many, "elm-hill.held a1 3 g"),
        "expected a text of at most 2000 characters for `form`, found one of",
    );
    says(
        &fact("LENGTH ahead", "elm-hill.held 3 mm ahead"),
        "expected both sides, `ahead|aft`",
    );
}

#[test]
fn what_is_no_toml_is_said_where_it_is_not_and_the_rest_is_read() {
    let (manifest, told) = read(&format!("{HEAD}oops\n"));
    assert!(told.iter().all(|one| one.starts_with("7: ")), "{told:#?}");
    assert_eq!(manifest.issue, "2026");
}

#[test]
fn a_value_that_is_set_wants_a_unit_and_a_reason() {
    let set = |rest: &str| {
        format!(
            "{HEAD}\n[[set]]\nrule = \"balance/lateral\"\nparameter = \"share\"\n{rest}"
        )
    };
    let (manifest, told) = read(&set("value = \"0.2 %\"\nbecause = \"small field\"\n"));
    assert_eq!((manifest.sets.len(), told.len()), (1, 0));
    says(&set("value = \"0.2 %\"\n"), "8: rules/pack-unclear: expected `because`");
    says(&set("value = 3\nbecause = \"x\"\n"), "expected a number with its unit as text");
    says(&set("value = \"3 mn\"\nbecause = \"x\"\n"), "found \"3 mn\"");
    says(
        &set("value = \"3 mm\"\nbecause = \"x\"\nuntil = \"2027-02-30\"\n"),
        "expected a day",
    );
}

#[test]
fn a_fact_takes_whatever_the_language_takes() {
    let forms = [
        ("", "elm-hill.held"),
        ("latch|bolt", "elm-hill.held bolt"),
        ("by latch|bolt  [since DATE]", "elm-hill.held by bolt since 2026-03-01"),
        ("MASS  [at PLACE]", "elm-hill.held 30 g at 40 mm aft"),
        ("LENGTH..LENGTH ahead|aft", "elm-hill.held 10..30 mm aft"),
        ("LENGTH up|down", "elm-hill.held 10 mm up"),
        ("VOLTAGE..VOLTAGE", "elm-hill.held 4..6 V"),
        ("SIZE", "elm-hill.held 10 x 20 mm"),
        ("\"TEXT\"", "elm-hill.held \"by hand\""),
        ("COUNT", "elm-hill.held 3"),
        ("in PART|BAY", "elm-hill.held in nose"),
    ];
    for (form, example) in forms {
        let (manifest, told) = read(&fact(form, example));
        assert_eq!(told, [""; 0], "{form}");
        assert_eq!(manifest.facts[0].row.word, "elm-hill.held");
    }
}

#[test]
fn a_fact_that_is_not_clear_is_left_out_and_said() {
    says(&fact("by LATCH", "x"), "`LATCH` is nothing that a fact can take");
    says(&fact("MASS LENGTH", "x"), "expected a word of its own before `LENGTH`");
    says(&fact("by a|b by c|d", "x"), "`by` stands in it twice");
    says(&fact("[by a|b", "x"), "its brackets do not close");
    says(&fact("by MASS..LENGTH", "x"), "expected the same at both ends");
    says(&fact("NAME aft", "x"), "`aft` can follow a dimension only");
    says(&fact("by", "x"), "expected something behind its last word");
    says(
        &fact("by a|b", "held by a"),
        "its example does not read: expected `elm-hill.held`",
    );
    says(
        &fact("by a|b", "elm-hill.held by c"),
        "its example does not read: expected one of a, b",
    );
    says(
        &fact("by a|b", "elm-hill.held by a").replace("wing", "wings"),
        "the nearest is `wing`",
    );
    let mass = fact("MASS", "mass.limit 3 kg").replace("held", "limit");
    let file =
        PackFile { path: MANIFEST.into(), text: mass.replace("elm-hill", "mass").into() };
    let pack = Pack::on_trial("mass", [file.clone()]);
    let (manifest, told) =
        Manifest::read(&pack, Sources::default().add(MANIFEST, file.text));
    assert_eq!((manifest.facts.len(), told.len()), (0, 1));
    assert!(
        told[0].headline.contains("rules would read `mass.limit` as wing.mass_limit")
    );
    let twice = fact("by a|b", "elm-hill.held by a");
    let more = twice.split_once("[[fact]]").unwrap().1.to_owned();
    says(&format!("{twice}[[fact]]{more}"), "declared a second time");
}

#[test]
fn a_pack_cannot_have_a_name_that_is_no_plain_word() {
    for name in ["Elm", "elm_hill", "2elm", "elm-", "", "read", "rules"] {
        let text = HEAD.replace("elm-hill", name);
        let file = PackFile { path: MANIFEST.into(), text: text.clone().into() };
        let pack = Pack::on_trial(name, [file]);
        let file = Sources::default().add("pack.toml", text);
        let (_, findings) = Manifest::read(&pack, file);
        assert!(findings.iter().any(|one| one.rule.0 == "rules/pack-misnamed"), "{name}");
    }
}

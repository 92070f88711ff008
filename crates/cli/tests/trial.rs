//! `trimsheet try` and `trimsheet balance --sweep`, as a user runs them.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive a process"
)]

use std::path::PathBuf;
use std::process::{Command, Output};

/// Runs the program in the project's own folder.
fn run(words: &[&str]) -> Output {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut program = Command::new(env!("CARGO_BIN_EXE_trimsheet"));
    program.args(words).current_dir(root).env("COLUMNS", "90").env("NO_COLOR", "1");
    program.output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

const SPEC: &str = "examples/whinchat.trim";
const DAY: &str = "--date=2026-11-20";

fn tried(changes: &[&str]) -> Output {
    run(&[&["try", SPEC, DAY], changes].concat())
}

/// What a refused phrase is told, each line without its indent.
fn refused(change: &str) -> String {
    let output = tried(&[change]);
    assert_eq!(output.status.code(), Some(2), "{change}");
    assert_eq!(said(&output), "", "{change}");
    let words = complained(&output);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_pack_that_is_moved_moves_what_follows_and_brings_what_then_is_wrong() {
    let output = tried(&["grey at 60 mm aft", "--loadout", "survey"]);
    let page = said(&output);
    assert_eq!(output.status.code(), Some(1), "{page}");
    for part in [
        "loadout survey, line 198: `fits grey at 122 mm aft` becomes `fits grey at 60 mm",
        "163.9 mm aft ± 1.7 mm  148.5 mm aft ± 1.8 mm    15.4 mm ahead",
        "8.5 mm ± 1.8 mm outside",
        "came       stop[balance/outside-band], line 197",
        "nothing is written",
    ] {
        assert!(page.contains(part), "{part}\n{page}");
    }
    assert!(!page.contains("── ferry"), "{page}");
}

#[test]
fn what_a_change_comes_to_is_what_the_edited_spec_comes_to() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    let text = std::fs::read_to_string(root.join(SPEC)).unwrap();
    let edited =
        text.replace("fits    grey at 122 mm aft", "fits    grey at 110 mm aft [plan]");
    assert_ne!(edited, text);
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("trial");
    std::fs::create_dir_all(folder.join("shelf")).unwrap();
    std::fs::write(folder.join("whinchat.trim"), edited).unwrap();
    let shelf = "examples/shelf/club-parts.trim";
    std::fs::copy(root.join(shelf), folder.join("shelf/club-parts.trim")).unwrap();
    let spec = folder.join("whinchat.trim");
    let packs = ["--rules=examples/rules/whinchat", "--rules=examples/rules/sedge-ford"];
    let sheet =
        run(&[&["balance", spec.to_str().unwrap(), "--loadout=survey"][..], &packs]
            .concat());
    let page = said(&tried(&["grey at 110 mm aft", "--loadout", "survey"]));
    let line = page.lines().find(|line| line.starts_with("balance point")).unwrap();
    let after = line.split("  ").filter(|cell| !cell.is_empty()).nth(2).unwrap().trim();
    assert!(said(&sheet).contains(after), "{after}\n{}", said(&sheet));
}

#[test]
fn several_changes_stand_one_upon_the_other() {
    let page = said(&tried(&["without camera", "servos 20 mm further ahead"]));
    assert!(page.contains("`with camera` becomes `without camera`"), "{page}");
    assert!(
        page.contains(
            "part servos, line 139: `at 202 mm aft 250 mm out` becomes `at 182 mm"
        ),
        "{page}"
    );
    let json = said(&tried(&["without camera", "ballast nose 20 g", "--format", "json"]));
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["form"], "trimsheet-trial");
    assert_eq!(read["changes"].as_array().unwrap().len(), 2);
    assert_eq!(read["loadouts"].as_array().unwrap().len(), 2);
}

#[test]
fn a_change_that_changes_nothing_says_so() {
    let output = tried(&["ballast nose 0 g"]);
    assert_eq!(output.status.code(), Some(0));
    let page = said(&output);
    assert!(
        page.contains("nothing changes") && page.contains("no lead lies in nose"),
        "{page}"
    );
}

#[test]
fn a_place_outside_its_slide_is_tried_and_said() {
    let page = said(&tried(&["grey at 150 mm aft", "--loadout", "survey"]));
    assert!(page.contains("20 mm behind the slide of grey"), "{page}");
    assert!(page.contains("── survey"), "{page}");
}

#[test]
fn a_phrase_that_is_not_understood_is_told_where_and_what_was_expected() {
    for (change, part) in [
        ("gry at 5 mm aft", "found `gry`"),
        ("gry at 5 mm aft", "if `grey` was meant, write that"),
        ("grey at 50 g aft", "found `50 g aft`, a mass"),
        ("grey at 50", "expected a unit behind each number"),
        ("", "expected a change, found nothing"),
        ("grey", "expected what of pack grey is to be otherwise"),
        ("grey sits at 50 mm aft", "expected a fact about pack grey, found `sits`"),
        ("grey 50 mm aft", "expected `at` before a place"),
        ("ballast nse 30 g", "if `nose` was meant, write that"),
        ("without camra", "if `camera` was meant, write that"),
    ] {
        let words = refused(change);
        assert!(words.contains(part), "{change}: {words}");
        assert!(words.contains("CHANGE 1:1:"), "{change}: {words}");
    }
}

#[test]
fn odd_phrases_are_refused_and_write_nothing_to_the_terminal() {
    let long = format!("grey at {} mm aft", "9".repeat(5000));
    let odd = [
        "\u{1b}[31mgrey at 5 mm aft",
        "grey\u{7} at 5 mm aft",
        "((((",
        "grey at 5 mm aft; x",
        &long,
    ];
    for change in odd {
        let output = tried(&[change]);
        let all = said(&output) + &complained(&output);
        assert!(!all.contains('\u{1b}') && !all.contains('\u{7}'), "{all:?}");
        assert_ne!(output.status.code(), None);
    }
}

#[test]
fn a_loadout_or_a_file_that_is_not_there_is_named() {
    let output = tried(&["grey at 60 mm aft", "--loadout", "fery"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("the nearest is ferry"));
    let output = run(&["try", "examples/none.trim", "a at 5 mm aft"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("cannot read examples/none.trim"));
}

#[test]
fn a_sweep_shows_where_the_whole_spread_lies_inside() {
    let page = said(&run(&["balance", SPEC, "--sweep", "grey at 30..130 mm aft"]));
    for part in [
        "from 102 mm aft to 130 mm aft",
        "from 30 mm aft to 62 mm aft",
        "15.9 mm ahead of forward",
        "o balances here",
    ] {
        assert!(page.contains(part), "{part}\n{page}");
    }
    assert!(page.lines().all(|line| line.chars().count() <= 90), "{page}");
}

#[test]
fn the_ends_that_a_sweep_names_are_inside_and_a_step_further_is_not() {
    let ends =
        |place: &str| said(&tried(&[place, "--loadout", "survey", "--format", "json"]));
    let straddles =
        |place: &str| ends(place).contains("balance/uncertainty-straddles-limit");
    assert!(!straddles("grey at 102 mm aft"));
    assert!(straddles("grey at 101 mm aft"));
}

#[test]
fn a_sweep_is_written_for_spreadsheets_and_programs() {
    let words =
        ["balance", SPEC, "--sweep", "ballast nose 0..45 g", "--loadout", "ferry"];
    let table = said(&run(&[&words[..], &["--format", "csv"]].concat()));
    let mut lines = table.lines();
    assert!(lines.next().unwrap().starts_with("loadout,tried at (g),mass (g)"));
    assert!(lines.clone().all(|line| line.starts_with("ferry,")));
    assert_eq!(lines.count(), 10);
    let json = said(&run(&[&words[..], &["--format", "json"]].concat()));
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["form"], "trimsheet-sweep");
    assert_eq!(read["loadouts"][0]["inside"][1]["value"], 22.0);
}

#[test]
fn a_sweep_without_a_range_or_with_nothing_to_move_says_so() {
    let output = run(&["balance", SPEC, "--sweep", "grey at 50 mm aft"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("expected a range to go through"));
    let output = run(&["balance", SPEC, "--sweep", "grey at 5..9 g"]);
    assert_eq!(output.status.code(), Some(2));
}

//! `trimsheet new`: from nothing to a balance, as a new builder goes.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive a process"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder of its own for one test.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("new").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn trimsheet(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn each_layout_begins_with_a_spec_that_checks_clean_and_has_no_number_made_up() {
    let folder = folder("layouts");
    for layout in ["tailless", "conventional", "canard"] {
        let output = trimsheet(&folder, &["new", layout, "--layout", layout]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let said = text(&output.stdout);
        assert!(said.contains(&format!("trimsheet balance {layout}.trim")), "{said}");
        let path = format!("{layout}.trim");
        let spec = fs::read_to_string(folder.join(&path)).unwrap();
        assert!(spec.contains(&format!("layout      {layout}")), "{spec}");
        assert!((50..=75).contains(&spec.lines().count()), "a screen and a half");
        assert!(spec.lines().all(|line| line.chars().count() <= 95), "{spec}");
        for line in spec.lines() {
            let said = line.split('#').next().unwrap();
            let numbers = said
                .split_whitespace()
                .filter(|word| word.starts_with(|first: char| first.is_ascii_digit()));
            // The root rib lies at the datum: that is what a datum is.
            assert!(numbers.into_iter().all(|number| number == "0"), "{line}");
        }
        let checked = trimsheet(&folder, &["check", &path, "--fail-at", "warning"]);
        assert_eq!(checked.status.code(), Some(0), "{}", text(&checked.stdout));
        let sheet = trimsheet(&folder, &["balance", &path]);
        assert_eq!(sheet.status.code(), Some(0), "{}", text(&sheet.stderr));
        assert!(text(&sheet.stdout).contains("cannot say"));
    }
}

/// What a builder measures of a made-up tailless model, line by line: what the line
/// begins with, and what then stands there.
const MEASURED: &[(&str, &str)] = &[
    (
        "    rib         0 mm out",
        "    rib  0 mm out  chord 262 mm  leading-edge 0 mm aft",
    ),
    ("    rib         ?", "    rib  575 mm out  chord 176 mm  leading-edge 214 mm aft"),
    ("    band ", "    band  126..142 mm aft  best 134 mm aft  [plan]"),
    ("part shell:", "part shell: kind structure; mass 418 g; at 168 mm aft"),
    ("part motor:", "part motor: kind motor; mass 62 g; at 288 mm aft"),
    ("part propeller:", "part propeller: kind propeller; mass 13 g; at 312 mm aft"),
    (
        "part controller:",
        "part controller: kind speed-controller; mass 29 g; at 150 mm aft",
    ),
    ("part receiver:", "part receiver: kind receiver; mass 8 g; at 90 mm aft"),
    (
        "part servos:",
        "part servos: kind servo; pair; mass 11 g each; at 150 mm aft 210 mm out",
    ),
    (
        "part wiring:",
        "part wiring: kind wiring; mass 34 g [estimated]; at 118 mm aft [estimated]",
    ),
    ("    mass        ?", "    mass  228 g"),
    ("    slides ", "    slides  8..74 mm aft"),
];

/// The new spec with those lines filled in.
fn filled(folder: &Path) -> String {
    trimsheet(folder, &["new", "linnet"]);
    let spec = fs::read_to_string(folder.join("linnet.trim")).unwrap();
    let mut done = 0;
    let lines = spec.lines().map(|line| {
        let measured = MEASURED.iter().find(|(before, _)| line.starts_with(before));
        done += usize::from(measured.is_some());
        format!("{}\n", measured.map_or(line, |(_, filled)| filled))
    });
    let spec: String = lines.collect();
    assert_eq!(done, MEASURED.len(), "each line is there once:\n{spec}");
    spec
}

/// Σ m x / Σ m of what was measured, with the pack at a place.
fn by_hand(pack_at: f64) -> f64 {
    let parts = [
        (418.0, 168.0),
        (62.0, 288.0),
        (13.0, 312.0),
        (29.0, 150.0),
        (8.0, 90.0),
        (22.0, 150.0),
        (34.0, 118.0),
        (228.0, pack_at),
    ];
    let mass: f64 = parts.iter().map(|(mass, _)| mass).sum();
    parts.iter().map(|(mass, at)| mass * at).sum::<f64>() / mass
}

#[test]
fn a_dozen_measured_lines_give_the_balance_its_bounds_and_what_to_measure_next() {
    assert_eq!(MEASURED.len(), 12);
    let folder = folder("dozen");
    let spec = filled(&folder);
    fs::write(folder.join("linnet.trim"), &spec).unwrap();
    let said = text(&trimsheet(&folder, &["balance", "linnet.trim"]).stdout);
    for pack_at in [8.0, 74.0] {
        let end = format!("{:.1} mm aft", by_hand(pack_at));
        assert!(said.contains(&end), "{end} in\n{said}");
    }
    assert!(said.contains("surer next") && said.contains("weigh wiring"), "{said}");
    let said = text(&trimsheet(&folder, &["check", "linnet.trim"]).stdout);
    assert!(said.contains("worked out: \"first\" weighs at most 814 g"), "{said}");

    // Once the pack has its place there is one balance, and one share of the chord.
    let placed = spec.replace("fits        main", "fits        main at 22 mm aft");
    fs::write(folder.join("linnet.trim"), placed).unwrap();
    let said = text(&trimsheet(&folder, &["balance", "linnet.trim"]).stdout);
    let balance = format!("balance point  {:.1} mm aft ±", by_hand(22.0));
    assert!(said.contains(&balance), "{balance} in\n{said}");
    assert!(said.contains("of the mean chord"), "{said}");
    let checked = trimsheet(&folder, &["check", "linnet.trim"]);
    assert_eq!(checked.status.code(), Some(0), "{}", text(&checked.stdout));
}

#[test]
fn nothing_is_overwritten_and_nothing_half_written_stays() {
    let folder = folder("taken");
    fs::write(folder.join("linnet.trim"), "mine").unwrap();
    let output = trimsheet(&folder, &["new", "linnet"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("is there already and was left as it is"));
    assert_eq!(fs::read_to_string(folder.join("linnet.trim")).unwrap(), "mine");
    fs::create_dir(folder.join("teal.trim")).unwrap();
    assert_eq!(trimsheet(&folder, &["new", "teal"]).status.code(), Some(2));
    assert_eq!(names(&folder), ["linnet.trim", "teal.trim"]);
}

#[cfg(unix)]
#[test]
fn a_link_to_nowhere_is_not_followed() {
    let folder = folder("link");
    std::os::unix::fs::symlink("elsewhere.trim", folder.join("linnet.trim")).unwrap();
    assert_eq!(trimsheet(&folder, &["new", "linnet"]).status.code(), Some(2));
    assert_eq!(names(&folder), ["linnet.trim"]);
}

#[test]
fn a_name_that_is_no_plain_name_or_is_that_of_a_part_is_refused_with_a_reason() {
    let folder = folder("names");
    for (name, says) in [
        ("../linnet", "expected a plain name"),
        ("My Linnet", "expected a plain name"),
        ("linnet.trim", "such as linnet,"),
        ("nul", "choose another name"),
        ("main", "no model can be called main"),
    ] {
        let output = trimsheet(&folder, &["new", name]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        let said = text(&output.stderr);
        assert!(said.contains(says), "{name}: {said}");
    }
    assert!(names(&folder).is_empty());
}

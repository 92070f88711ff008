//! `trimsheet wiring` as a builder uses it.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read files and drive a process"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const SPEC: &str = "model teal
pack main: cells 3S lipo [datasheet]
part controller: kind speed-controller
part motor: kind motor
join power: supply main -> controller; wire 16 awg 90 mm [plan]
join motor-leads: supply controller -> motor; wire 18 awg 60 mm [plan]
";

/// A folder of its own, with the spec in it.
fn folder(name: &str, spec: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("wiring").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("teal.trim"), spec).unwrap();
    folder
}

fn wiring(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["wiring", "teal.trim"])
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn the_sheet_comes_in_every_form_and_with_its_cautions() {
    let folder = folder("forms", SPEC);
    let output = wiring(&folder, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let page = said(&output);
    for part in ["16 awg", "who feeds whom", "Check polarity at every plug with a meter"]
    {
        assert!(page.contains(part), "{part}\n{page}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&said(&wiring(&folder, &["--format", "json"]))).unwrap();
    assert_eq!(json["form"], "trimsheet-wiring");
    let table = said(&wiring(&folder, &["--format", "csv"]));
    assert!(table.lines().nth(1).unwrap().starts_with("power,supply,main,,controller,"));
}

#[test]
fn the_tree_that_the_readme_shows_is_what_its_command_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["wiring", "examples/lapwing.trim"])
        .current_dir(&root)
        .env("COLUMNS", "80")
        .output()
        .unwrap();
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    let (_, rest) = readme.split_once("── who feeds whom").unwrap();
    let (block, _) = rest.split_once("```").unwrap();
    let page = said(&output);
    assert!(page.contains(&format!("── who feeds whom{block}")), "{page}");
}

#[test]
fn a_drawing_is_written_once_and_never_over_another() {
    let folder = folder("once", SPEC);
    let output = wiring(&folder, &["--draw", "wiring.svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let page = said(&output);
    assert!(page.contains("wrote wiring.svg\nPrint it on A4, landscape."), "{page}");
    assert!(page.contains("check polarity with a meter"), "{page}");
    std::fs::write(folder.join("wiring.svg"), "mine").unwrap();
    let output = wiring(&folder, &["--draw", "wiring.svg"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("is there already"));
    assert_eq!(std::fs::read_to_string(folder.join("wiring.svg")).unwrap(), "mine");
    let output = wiring(&folder, &["--draw", "teal.trim"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("ends in .svg for the drawing"));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 2, "nothing else is left");
}

#[test]
fn a_spec_that_joins_nothing_is_not_drawn() {
    let folder = folder("nothing", "model teal\npart motor: kind motor\n");
    let output = wiring(&folder, &["--draw", "wiring.svg"]);
    assert_eq!(output.status.code(), Some(2));
    let words = complained(&output);
    assert!(
        words.contains("no wiring of teal.trim is drawn: the spec joins nothing"),
        "{words}"
    );
    assert_eq!(
        std::fs::read_dir(&folder).unwrap().count(),
        1,
        "no empty drawing is left"
    );
    let output = wiring(&folder, &[]);
    assert_eq!(output.status.code(), Some(0));
    assert!(said(&output).contains("an entry `join` does"), "{}", said(&output));
}

//! `trimsheet cards` as a builder uses it.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive a process"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const SPEC: &str = "model teal: stage bench
part motor: kind motor; mass 60 g [weighed]; at 40 mm ahead [measured]
part receiver: kind receiver; mass 5 g [weighed]; at 40 mm aft [measured]
surface elevons: pair; reflex 2 mm up at root [measured]
";

/// A folder of its own, with the spec in it.
fn folder(name: &str, spec: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cards").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("teal.trim"), spec).unwrap();
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

fn cards(folder: &Path, words: &[&str]) -> Output {
    trimsheet(folder, &[&["cards", "teal.trim"], words].concat())
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn all_cards_come_in_the_order_of_a_build_and_one_by_its_word() {
    let folder = folder("order", SPEC);
    let output = cards(&folder, &["--date", "2026-11-20"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let page = said(&output);
    let heads = ["Build", "Bench", "Home", "Field", "First flight", "After landing"];
    let places: Vec<usize> =
        heads.iter().map(|head| page.find(&format!("── {head}")).unwrap()).collect();
    assert!(places.is_sorted(), "{page}");
    assert!(page.contains("printed 2026-11-20"), "{page}");
    assert!(page.contains("no release to fly"), "{page}");
    // When it is asked for stands behind the name that a record has.
    assert!(page.contains("(rotation, before installed)"), "{page}");
    assert!(page.contains("(crashed)\n"), "{page}");
    let one = said(&cards(&folder, &["home"]));
    assert!(one.contains("── Home") && !one.contains("── Bench"), "{one}");
}

#[test]
fn what_is_signed_is_marked_and_left_out_of_what_is_open_until_it_changes() {
    let folder = folder("open", SPEC);
    let sign = ["signoff", "teal.trim", "rotation", "--by", "KV", "--date", "2026-11-20"];
    let signed = [&sign[..], &["--reading", "propeller off"]].concat();
    assert!(trimsheet(&folder, &signed).status.success());
    let done = said(&cards(&folder, &["bench"]));
    assert!(done.contains("done 2026-11-20 by KV"), "{done}");
    let open = said(&cards(&folder, &["bench", "--open"]));
    assert!(!open.contains("Each motor turns"), "{open}");
    let turned = SPEC.replace("kind motor;", "kind motor; rotates clockwise;");
    std::fs::write(folder.join("teal.trim"), turned).unwrap();
    let again = said(&cards(&folder, &["bench", "--open"]));
    let words = again.split_whitespace().collect::<Vec<&str>>().join(" ");
    let why = "open again: signed 2026-11-20 by KV, and since then part motor: rotates \
               was not said, now \"clockwise\"";
    assert!(words.contains(why), "{again}");
}

#[test]
fn a_card_a_label_and_lists_come_as_pages_and_the_bill_for_a_spreadsheet_too() {
    let folder = folder("papers", SPEC);
    for paper in ["field", "label", "packing", "bill"] {
        let output = cards(&folder, &[paper, "--format", "html"]);
        assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
        let page = said(&output);
        assert!(page.starts_with("<!doctype html>") && page.contains("@page"), "{page}");
        assert!(page.contains("no release to fly"), "{page}");
    }
    let table = said(&cards(&folder, &["bill", "--format", "csv"]));
    assert_eq!(
        table.lines().nth(1),
        Some("motor,1,motor,no,,60,1,weighed,,teal.trim,2"),
        "{table}"
    );
    let output = cards(&folder, &["field", "--format", "csv"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("only the bill comes as csv"));
}

#[test]
fn what_does_not_read_is_said_and_the_card_is_of_the_rest() {
    let folder = folder("damaged", &SPEC.replace("60 g", "60 mm"));
    let output = cards(&folder, &["build"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(complained(&output).contains("expected a mass"), "{}", complained(&output));
    assert!(said(&output).contains("motor: 40 mm ahead"), "{}", said(&output));
    let output = cards(&folder, &["kitchen"]);
    assert_eq!(output.status.code(), Some(2));
}

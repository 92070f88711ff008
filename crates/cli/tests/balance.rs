//! `trimsheet balance` as a person or another program meets it.
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
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("balance").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn trimsheet(folder: &Path, words: &[&str], columns: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", columns)
        .output()
        .unwrap()
}

fn balance(folder: &Path, words: &[&str]) -> (String, String, Option<i32>) {
    let words: Vec<&str> = ["balance"].iter().chain(words).copied().collect();
    let output = trimsheet(folder, &words, "80");
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr), output.status.code())
}

/// 420 x 150 + 240 x 60 over 660 g: 117.3 mm; with the pack at 90 mm 128.2 mm.
const SPEC: &str = "wing [plan]
    band 110..140 mm aft
part shell: mass 420 g [weighed]; at 150 mm aft [measured]
pack main: mass 240 g [weighed]; slides 40..100 mm aft [measured]
loadout survey: fits main at 60 mm aft [plan]
loadout ferry: fits main at 90 mm aft [plan]
";

#[test]
fn a_sheet_comes_as_text_as_json_and_for_a_spreadsheet() {
    let folder = folder("forms");
    fs::write(folder.join("teal.trim"), SPEC).unwrap();
    let (said, complaint, code) = balance(&folder, &["teal.trim"]);
    assert_eq!((complaint.as_str(), code), ("", Some(0)));
    assert!(said.contains("117.3 mm aft") && said.contains("128.2 mm aft"), "{said}");
    let (said, _, _) = balance(&folder, &["teal.trim", "--format", "json"]);
    let sheet: serde_json::Value = serde_json::from_str(&said).unwrap();
    let x = sheet.pointer("/loadouts/0/total/x/value").unwrap().as_f64().unwrap();
    assert!((x - (420.0 * 150.0 + 240.0 * 60.0) / 660.0).abs() < 1e-6, "{x}");
    let (said, _, _) = balance(&folder, &["teal.trim", "--format", "csv"]);
    assert!(said.starts_with("loadout,row,name,count,mass (g),"), "{said}");
    assert_eq!(said.lines().count(), 1 + 2 * 3, "{said}");
}

#[test]
fn one_loadout_can_be_asked_for_and_a_wrong_name_is_told_the_nearest() {
    let folder = folder("loadout");
    fs::write(folder.join("teal.trim"), SPEC).unwrap();
    let (said, _, code) = balance(&folder, &["teal.trim", "--loadout", "ferry"]);
    assert_eq!(code, Some(0));
    assert!(said.contains("── ferry") && !said.contains("── survey"), "{said}");
    let (said, complaint, code) = balance(&folder, &["teal.trim", "--loadout", "fery"]);
    assert_eq!((said.as_str(), code), ("", Some(2)));
    assert!(
        complaint
            .contains("no loadout of teal.trim is called fery; the nearest is ferry"),
        "{complaint}"
    );
    let (_, complaint, _) = balance(&folder, &["teal.trim", "--loadout", "zzzzzz"]);
    assert!(complaint.contains("(it has survey, ferry)"), "{complaint}");
}

#[test]
fn what_could_not_be_read_is_said_beside_the_sheet_of_the_rest() {
    let folder = folder("damaged");
    fs::write(folder.join("teal.trim"), SPEC.replace("420 g", "420 gr")).unwrap();
    let (said, complaint, code) = balance(&folder, &["teal.trim"]);
    assert_eq!(code, Some(1));
    assert!(complaint.contains("error[read/unknown-unit]"), "{complaint}");
    let words: Vec<&str> = said.split_whitespace().collect();
    let words = words.join(" ");
    assert!(words.contains("the mass of part shell is not known (line 3)"), "{said}");
    let (said, _, code) = balance(&folder, &["teal.trim", "--format", "json"]);
    assert_eq!(code, Some(1));
    let sheet: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert!(sheet.pointer("/loadouts/0/total").unwrap().is_null());
}

#[test]
fn a_file_with_more_faults_than_anybody_reads_gets_no_sheet() {
    let folder = folder("too-many");
    let spec = format!("{SPEC}{}", "part x: mass 3 grm; at 4 mm aft\n".repeat(1_200));
    fs::write(folder.join("teal.trim"), spec).unwrap();
    let (said, complaint, code) = balance(&folder, &["teal.trim"]);
    assert_eq!((said.as_str(), code), ("", Some(1)));
    assert!(complaint.contains("no sheet is made of teal.trim"), "{complaint}");
}

#[test]
fn what_cannot_run_says_why() {
    let folder = folder("cannot");
    fs::create_dir_all(folder.join("inner")).unwrap();
    fs::write(folder.join("shelf.trim"), "part a: mass 3 g; at 4 mm aft\n").unwrap();
    for (file, says) in [
        ("nowhere.trim", "there is no such file"),
        ("inner", "cannot read inner"),
        ("shelf.trim", "is about no aircraft"),
    ] {
        let (said, complaint, code) = balance(&folder, &[file]);
        assert_eq!((said.as_str(), code), ("", Some(2)), "{file}");
        assert!(complaint.contains(says), "{complaint}");
        assert!(!complaint.contains("panicked"), "{complaint}");
    }
}

#[test]
fn the_stage_that_is_asked_for_stands_on_the_sheet() {
    let folder = folder("stage");
    fs::write(folder.join("teal.trim"), SPEC).unwrap();
    let (said, _, _) = balance(&folder, &["teal.trim", "--stage", "ready"]);
    assert!(said.contains("judged for the stage ready"), "{said}");
}

#[test]
fn a_narrow_terminal_gets_a_narrow_sheet() {
    let folder = folder("narrow");
    fs::write(folder.join("teal.trim"), SPEC).unwrap();
    let output = trimsheet(&folder, &["balance", "teal.trim"], "60");
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.lines().all(|line| line.chars().count() <= 60), "{said}");
}

//! `trimsheet debrief` as a builder uses it after a flight.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read files and drive a process"
)]

use std::path::Path;
use std::process::{Command, Output};

const LOG: &str = "logs/whinchat-second-flight.csv";

fn debrief(log: &str, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["debrief", "whinchat.trim", log])
        .args(words)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples"))
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A log of its own, in the folder for such things.
fn written(name: &str, log: &str) -> String {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, log).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn the_plan_stands_beside_what_was_flown() {
    let output = debrief(LOG, &["--loadout", "survey"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let page = text(&output.stdout);
    assert!(page.contains("843: 841 used, 2 left out"), "{page}");
    assert!(page.contains("or an open quote: line 501"), "{page}");
    assert!(page.contains("cruise 5.46 A ± 0.12 A [measured"), "{page}");
}

#[test]
fn several_loadouts_and_none_named_leave_the_plan_unsaid() {
    let output = debrief(LOG, &[]);
    let page = text(&output.stdout);
    assert!(page.contains("the spec has several loadouts"), "{page}");
    assert!(!page.contains("to write into the spec"), "{page}");
}

#[test]
fn a_missing_column_is_shown_at_the_line_that_asks_for_it() {
    let header = "time,pack,Drawn,taken,lowest,speed,height,controller,link,stick";
    let log = written("missing.csv", &format!("{header}\n0,1,1,1,1,1,1,1,1,1\n"));
    let output = debrief(&log, &[]);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(
        said.contains("has no column \"drawn\" for amps; \"Drawn\" is near"),
        "{said}"
    );
    assert!(said.contains("amps         \"drawn\" each 1 A"), "{said}");
    assert!(said.contains("\"controller\""), "{said}");
    assert!(output.stdout.is_empty());
}

#[test]
fn programs_get_the_same_figures() {
    let json = text(&debrief(LOG, &["--format", "json"]).stdout);
    assert!(json.contains("\"form\": \"trimsheet-debrief\""), "{json}");
    let csv = text(&debrief(LOG, &["--format", "csv", "--loadout", "survey"]).stdout);
    assert!(csv.contains("\ncruise current,5.6,0.8,5.46,"), "{csv}");
    assert!(csv.contains("\nrows left out,,,1,"), "{csv}");
}

#[test]
fn what_cannot_be_read_is_said_with_its_path() {
    let output = debrief("logs/none.csv", &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("logs/none.csv: cannot read the log"));
    let output = debrief(LOG, &["--log", "recordr"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("the nearest is recorder"));
}

#[test]
fn the_block_that_the_readme_shows_is_what_its_command_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["debrief", "examples/whinchat.trim", "--loadout", "survey"])
        .arg(format!("examples/{LOG}"))
        .current_dir(&root)
        .env("COLUMNS", "80")
        .output()
        .unwrap();
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    let (_, rest) = readme.split_once("── the log").unwrap();
    let (block, _) = rest.split_once("```").unwrap();
    let page = text(&output.stdout);
    assert!(page.contains(&format!("── the log{block}")), "{page}");
}

#[test]
fn a_log_may_come_by_standard_input() {
    let log = std::fs::File::open(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(LOG),
    );
    let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["debrief", "whinchat.trim", "-", "--loadout", "survey"])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples"))
        .stdin(log.unwrap())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("843: 841 used"));
}

/// A plan stands only beside the figure that it is of, whatever columns a log has.
#[test]
fn what_a_log_does_not_hold_lends_its_plan_to_nothing_else() {
    let spec = "model siskin\nwing [plan]\n    trim-speed 13 m/s\n\
        part motor: kind motor\npack main: cells 3S lipo; capacity 2 Ah; resistance 8 mohm/cell\n\
        loadout trip: fits main; cruise 5 A\n\
        log r: time \"t\" each 1 s; ";
    for column in ["amps \"x\" each 1 A", "volts \"x\" each 1 V"] {
        let path = written("bare.trim", &format!("{spec}{column}\n"));
        let rows = (0..120).map(|second| format!("{second},9.5\n"));
        let log = written("bare.csv", &format!("t,x\n{}", rows.collect::<String>()));
        let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
            .args(["debrief", &path, &log])
            .output()
            .unwrap();
        let page = text(&output.stdout);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        for line in page.lines() {
            let of = |what: &str| line.starts_with(what);
            assert!(!of("cruise current") || !line.contains("m/s"), "{page}");
            assert!(!of("time") || !line.contains("Ah"), "{page}");
            assert!(!of("lowest volts  ") || !line.contains("Ah"), "{page}");
        }
    }
}

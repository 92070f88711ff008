//! The program as a person or another program meets it: arguments in, text and status out.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::indexing_slicing,
    reason = "these tests write files and drive a process"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// A folder of its own for one test.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn trimsheet(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "100")
        .env_remove("NO_COLOR")
        .output()
        .unwrap()
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Checks a text as the file `test.trim`, and gives what was said and the status.
fn check(name: &str, spec: impl AsRef<[u8]>) -> (String, i32) {
    let folder = folder(name);
    fs::write(folder.join("test.trim"), spec).unwrap();
    let output = trimsheet(&folder, &["check", "test.trim"]);
    assert!(!complaint(&output).contains("panicked"), "{}", complaint(&output));
    (text(&output), output.status.code().unwrap())
}

fn json(folder: &Path, words: &[&str]) -> Value {
    let output = trimsheet(folder, words);
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A tailless wing whose numbers a test chooses.
struct Wing {
    pack_at: f64,
    lead: Option<f64>,
    aft_limit: f64,
    inches: bool,
}

impl Wing {
    /// Mass in grams and station in millimetres aft of each thing aboard.
    fn things(&self) -> Vec<(f64, f64)> {
        let mut things =
            vec![(430.0, 150.0), (61.0, 310.0), (33.0, 160.0), (248.0, self.pack_at)];
        things.extend(self.lead.map(|grams| (grams, -80.0)));
        things
    }

    fn balance(&self) -> f64 {
        let mass: f64 = self.things().iter().map(|(mass, _)| mass).sum();
        let moment: f64 = self.things().iter().map(|(mass, at)| mass * at).sum();
        moment / mass
    }

    fn spec(&self) -> String {
        let at = |mm: f64| {
            let side = if mm < 0.0 { "ahead" } else { "aft" };
            if self.inches {
                format!("{} in {side}", mm.abs() / 25.4)
            } else {
                format!("{} mm {side}", mm.abs())
            }
        };
        let lead = self
            .lead
            .map_or(String::new(), |grams| format!("; ballast nose {grams} g [weighed]"));
        format!(
            "model teal\n    stage installed\n\
             wing [plan]\n    layout tailless pusher\n\
             \x20   rib 0 mm out  chord 300 mm  leading-edge 0 mm aft\n\
             \x20   rib 600 mm out  chord 200 mm  leading-edge 200 mm aft\n\
             \x20   band 130..{} mm aft\n\
             bay nose: reach 60..100 mm ahead; ballast at 80 mm ahead [measured]\n\
             bay tray: reach 0..200 mm aft\n\
             part shell: kind structure; mass 430 g [weighed]; at {} [measured]\n\
             part motor: kind motor; mass 61 g [weighed]; at {} [measured]\n\
             part board: kind flight-controller; mass 33 g [weighed]; at {} [measured]\n\
             pack main: mass 248 g [weighed]; slides 40..160 mm aft inside tray\n\
             loadout club: fits main at {} [plan]{lead}\n",
            self.aft_limit,
            at(150.0),
            at(310.0),
            at(160.0),
            at(self.pack_at),
        )
    }

    /// What the program says that the balance point is, in millimetres aft, if it is out.
    fn found(&self, name: &str) -> Option<f64> {
        let folder = folder(name);
        fs::write(folder.join("teal.trim"), self.spec()).unwrap();
        let report = json(&folder, &["check", "teal.trim", "--format", "json"]);
        let findings = report["findings"].as_array().unwrap();
        let outside = findings.iter().find(|f| f["rule"] == "balance/outside-band")?;
        let value = &outside["primary"]["value"];
        assert_eq!(value["unit"], "mm", "{outside:#}");
        value["value"].as_f64()
    }
}

const BASE: Wing = Wing { pack_at: 140.0, lead: None, aft_limit: 150.0, inches: false };

#[track_caller]
fn agrees(name: &str, wing: &Wing) {
    let found = wing.found(name).unwrap();
    let expected = wing.balance();
    assert!((found - expected).abs() < 0.01, "found {found}, by hand {expected}");
}

#[test]
fn the_numbers_in_json_agree_with_the_sum_of_moments() {
    agrees("numbers-base", &BASE);
    agrees("numbers-moved", &Wing { pack_at: 120.0, ..BASE });
    agrees("numbers-lead", &Wing { lead: Some(25.0), ..BASE });
    agrees("numbers-inches", &Wing { inches: true, ..BASE });
}

/// Wing, band, pack and five parts: what a first evening has.
const DOZEN: &str = "wing
    rib  0 mm out    chord 250 mm  leading-edge 0 mm aft
    rib  550 mm out  chord 180 mm  leading-edge 200 mm aft
    band 121..138 mm aft
part shell:  mass 402 g; at 168 mm aft
part motor:  mass 60 g;  at 267 mm aft
part board:  mass 20 g;  at 96 mm aft
part esc:    mass 30 g;  at 150 mm aft
part servos: mass 24 g;  at 120 mm aft
pack main:   mass 214 g; slides 0..70 mm aft
";

#[test]
fn a_dozen_lines_already_give_a_balance_and_its_bounds() {
    let folder = folder("dozen");
    fs::write(folder.join("dozen.trim"), DOZEN).unwrap();
    let report = json(&folder, &["check", "dozen.trim", "--format", "json"]);
    let numbers = report["figures"][0]["numbers"].as_array().unwrap();
    let places: Vec<f64> = numbers
        .iter()
        .filter(|number| number["name"] == "as listed.balance.x")
        .map(|number| number["value"].as_f64().unwrap())
        .collect();
    let parts = 402.0 * 168.0 + 60.0 * 267.0 + 20.0 * 96.0 + 30.0 * 150.0 + 24.0 * 120.0;
    let by_hand = |pack_at: f64| (parts + 214.0 * pack_at) / 750.0;
    assert_eq!(places.len(), 2, "{numbers:#?}");
    assert!(
        (places[0] - by_hand(0.0)).abs() < 0.01
            && (places[1] - by_hand(70.0)).abs() < 0.01
    );
    let said = text(&trimsheet(&folder, &["check", "dozen.trim"]));
    assert!(said.contains("worked out: \"as listed\" weighs at most 750 g"), "{said}");
}

#[test]
fn moving_the_pack_or_the_limit_or_adding_lead_clears_the_finding_when_the_sum_says_so() {
    // (430 x 150 + 61 x 310 + 33 x 160 + 248 x 140) / 772 = 159.9 mm, past 150; with the
    // pack at 50 mm it is 131.0, with 80 g of lead at 80 mm ahead 137.4.
    for (wing, name) in [
        (Wing { pack_at: 50.0, ..BASE }, "clears-moved"),
        (Wing { lead: Some(80.0), ..BASE }, "clears-lead"),
        (Wing { aft_limit: 165.0, ..BASE }, "clears-limit"),
    ] {
        let out = wing.balance() > wing.aft_limit || wing.balance() < 130.0;
        assert_eq!(
            wing.found(name).is_some(),
            out,
            "{name} balances at {}",
            wing.balance()
        );
    }
}

#[test]
fn the_status_says_clear_found_or_could_not_run() {
    let folder = folder("status");
    fs::write(folder.join("out.trim"), BASE.spec()).unwrap();
    let code = |words: &[&str]| trimsheet(&folder, words).status.code().unwrap();
    assert_eq!(code(&["check", "out.trim"]), 1);
    assert_eq!(code(&["check", "nowhere.trim"]), 2);
    assert_eq!(code(&["check", "out.trim", "nowhere.trim"]), 2);
    assert_eq!(code(&["check"]), 2);
    assert_eq!(code(&["check", "out.trim", "--stage", "flying"]), 2);
    assert_eq!(code(&["check", "out.trim", "--fail-at", "everything"]), 2);
    fs::write(folder.join("note.trim"), "model x\n").unwrap();
    assert_eq!(
        code(&["check", "note.trim", "--fail-at", "stop", "--stage", "planned"]),
        0
    );
    assert_eq!(code(&["explain", "balance/outside-band"]), 0);
    assert_eq!(code(&["explain", "balance/outside-bnad"]), 2);
}

const FORMATS: [&str; 6] = ["text", "lines", "json", "sarif", "junit", "annotations"];

#[test]
fn the_status_is_the_same_in_every_format() {
    let folder = folder("status-formats");
    fs::write(folder.join("out.trim"), BASE.spec()).unwrap();
    let part = "part motor: mass 80 g [weighed]; at 3 mm aft [measured]\n";
    fs::write(folder.join("part.trim"), part).unwrap();
    for format in FORMATS {
        let status = |words: &[&str]| {
            let words = [&["check", "--format", format], words].concat();
            trimsheet(&folder, &words).status.code().unwrap()
        };
        assert_eq!(status(&["out.trim"]), 1, "{format}");
        assert_eq!(status(&["out.trim", "--fail-at", "stop", "--stage", "bench"]), 0);
        assert_eq!(status(&["out.trim", "--fail-at", "stop", "--stage", "ready"]), 1);
        assert_eq!(status(&["part.trim"]), 0, "{format}");
        assert_eq!(status(&["part.trim", "nowhere.trim"]), 2, "{format}");
        assert_eq!(status(&["nowhere.trim"]), 2, "{format}");
    }
    let output = trimsheet(&folder, &["check", "out.trim", "--format", "xml"]);
    assert_eq!(output.status.code(), Some(2));
    let said = complaint(&output);
    assert!(FORMATS.iter().all(|format| said.contains(format)), "{said}");
}

#[test]
fn a_file_that_cannot_be_checked_is_in_the_reports_that_others_read() {
    let folder = folder("troubles");
    let written = |format: &str| {
        text(&trimsheet(&folder, &["check", "no, where.trim", "--format", format]))
    };
    let sarif: Value = serde_json::from_str(&written("sarif")).unwrap();
    let invocation = &sarif["runs"][0]["invocations"][0];
    assert_eq!(invocation["executionSuccessful"], false);
    let notification = &invocation["toolExecutionNotifications"][0];
    assert_eq!(
        notification["message"]["text"],
        "cannot check no, where.trim: there is no such file or folder"
    );
    let junit = written("junit");
    assert!(junit.contains("tests=\"1\" failures=\"0\" errors=\"1\""), "{junit}");
    let annotations = written("annotations");
    assert!(
        annotations.starts_with("::error file=no%2C where.trim,title=cannot check::"),
        "{annotations}"
    );
}

#[test]
fn lines_hold_findings_alone_and_say_beside_them_what_no_finding_means() {
    let folder = folder("lines");
    let part = "part motor: mass 80 g [weighed]; at 3 mm aft [measured]\n";
    fs::write(folder.join("part.trim"), part).unwrap();
    let output = trimsheet(&folder, &["check", "part.trim", "--format", "lines"]);
    let said = text(&output);
    assert!(said.lines().all(|line| line.contains(": cannot say: ")), "{said}");
    assert!(complaint(&output).contains("Not a release to fly"), "{output:?}");
    let broken = part.replace("80 g", "80 mm");
    fs::write(folder.join("part.trim"), broken).unwrap();
    let output = trimsheet(&folder, &["check", "part.trim", "--format", "lines"]);
    let first = text(&output).lines().next().unwrap().to_owned();
    assert!(first.starts_with("part.trim:1:18: error[read/expected]: "), "{first}");
}

#[test]
fn a_folder_without_specs_is_said_and_not_passed() {
    let folder = folder("empty-folder");
    let output = trimsheet(&folder, &["check", "."]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complaint(&output).contains("found no spec"), "{}", complaint(&output));
}

#[test]
fn a_run_without_findings_says_what_it_is_not() {
    let (said, code) = check(
        "not-a-release",
        "part motor: mass 80 g [weighed]; at 3 mm aft [measured]\n",
    );
    assert_eq!(code, 0);
    assert!(
        said.contains("No finding at or above error. Not a release to fly:"),
        "{said}"
    );
    assert!(said.contains("Inspect the aircraft; local rules decide."), "{said}");
}

#[test]
fn colour_is_only_for_terminals() {
    let (said, _) = check("colour", BASE.spec());
    assert!(!said.contains('\u{1b}'));
}

#[test]
fn the_same_specs_give_the_same_bytes_from_any_folder_and_by_any_way_of_naming_them() {
    let folder = folder("same-bytes");
    fs::create_dir_all(folder.join("a/b")).unwrap();
    for name in ["a/one.trim", "a/two.trim", "a/b/three.trim"] {
        fs::write(folder.join(name), BASE.spec()).unwrap();
    }
    let whole = text(&trimsheet(&folder, &["check", "a"]));
    let named = ["check", "./a/two.trim", "a/b", "a/one.trim"];
    assert_eq!(whole, text(&trimsheet(&folder, &named)));
    let inner = text(&trimsheet(&folder.join("a"), &["check", "."]));
    let path = |text: &str| {
        text.replace("a/one.trim", "one.trim")
            .replace("a/two.trim", "two.trim")
            .replace("a/b/", "b/")
    };
    // Frames are drawn as wide as the paths, so only the words are compared.
    let words =
        |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(words(&path(&whole)), words(&path(&inner)));
}

/// Copies the examples, their packs and their shelf into a folder.
fn copy_examples(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let from = entry.unwrap().path();
        let to = to.join(from.file_name().unwrap());
        if from.is_dir() { copy_examples(&from, &to) } else { drop(fs::copy(from, to)) }
    }
}

#[test]
fn neither_cores_nor_folders_nor_time_zones_change_a_byte() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let whole = |name: &str, threads: &str, zone: &str, format: &str| {
        let folder = folder(name);
        copy_examples(&examples, &folder.join("fleet"));
        let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
            .args(["check", "fleet", "--threads", threads, "--format", format])
            .current_dir(&folder)
            .env("TZ", zone)
            .env("COLUMNS", "100")
            .output()
            .unwrap();
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}", complaint(&output));
        output.stdout
    };
    for format in FORMATS {
        let one = whole("bytes-one", "1", "Pacific/Kiritimati", format);
        let two = whole("bytes-two", "2", "Etc/GMT+12", format);
        let many = whole("bytes-many", "7", "Asia/Kathmandu", format);
        assert!(one.len() > 2000, "{}", one.len());
        assert!(one == two && one == many, "the bytes differ in {format}");
    }
}

#[test]
fn files_that_are_hardly_text_are_read_as_far_as_they_go() {
    let good = BASE.spec();
    let (plain, _) = check("hardly-plain", &good);
    let findings = |said: &str| said.matches("[balance/outside-band]").count();
    assert_eq!(findings(&plain), 1);

    let (said, _) = check("hardly-crlf", good.replace('\n', "\r\n"));
    assert_eq!(findings(&said), 1, "{said}");
    let (said, _) = check("hardly-tabs", good.replace("    ", "\t"));
    assert_eq!(findings(&said), 1, "{said}");
    let (said, _) = check("hardly-no-newline", good.trim_end());
    assert_eq!(findings(&said), 1, "{said}");
    let (said, _) = check("hardly-bom", format!("\u{FEFF}{good}"));
    assert_eq!(findings(&said), 1, "{said}");
    assert!(said.contains("read/byte-order-mark"), "{said}");

    let mut bytes = good.clone().into_bytes();
    bytes.extend(
        b"part odd: note \"\xff\xfe\"; mass 3 g [weighed]; at 150 mm aft [measured]\n",
    );
    let (said, code) = check("hardly-utf8", &bytes);
    assert_eq!(code, 1);
    assert_eq!(said.matches("read/not-utf8").count(), 1, "{said}");
    assert_eq!(findings(&said), 1, "{said}");
}

#[test]
fn an_empty_file_is_told_how_to_begin() {
    for (name, spec) in
        [("empty", ""), ("empty-lines", "\n\n"), ("empty-comment", "# soon\n")]
    {
        let (said, code) = check(name, spec);
        assert_eq!(code, 0, "{said}");
        assert!(said.contains("read/nothing-said"), "{said}");
        assert!(said.contains("begin with `model`"), "{said}");
    }
}

#[test]
fn huge_files_end_with_a_clear_message() {
    let (said, code) =
        check("huge-brackets", format!("part a: mass {}\n", "[".repeat(100_000)));
    assert_eq!(code, 1);
    assert_eq!(said.matches("read/left-open").count(), 1, "{said}");
    assert!(said.len() < 4_000, "{}", said.len());

    let (said, code) =
        check("huge-line", format!("part a: mass {} g\n", "9".repeat(1_000_000)));
    assert_eq!(code, 1);
    assert!(said.contains("read/impossible-value"), "{said}");
    assert!(said.len() < 4_000, "{}", said.len());

    let line = "part x: mass 3 grm; at 4 mm aft; colour red\n";
    let (said, code) = check("huge-file", line.repeat((10 << 20) / line.len()));
    assert_eq!(code, 1);
    // Three findings a line at least, some on the lines and some between the entries: all
    // but the first thousand of each are counted.
    let counts =
        said.split("read/too-many]: ").skip(1).map(|rest| rest.split(' ').next());
    let more: usize = counts.map(|count| count.unwrap().parse::<usize>().unwrap()).sum();
    assert!(more > 2 * (10 << 20) / line.len(), "{more} more");
}

#[test]
fn what_rules_find_in_one_file_is_bounded_and_counted() {
    let part = |at: usize| format!("part p{at}: at 4 mm aft [measured]\n");
    let parts: String = (0..1_200).map(part).collect();
    let (said, code) = check("many-parts", format!("model x\n    stage bench\n{parts}"));
    assert_eq!(code, 1);
    assert_eq!(said.matches("/too-many]").count(), 1);
    assert!(said.contains("rules/too-many"), "{} bytes were said", said.len());
}

#[test]
fn includes_that_fail_are_said_at_their_line_and_the_rest_is_checked() {
    let folder = folder("includes");
    fs::create_dir_all(folder.join("spec/sub")).unwrap();
    fs::write(folder.join("outside.trim"), "part x: mass 3 g\n").unwrap();
    fs::write(
        folder.join("spec/a.trim"),
        "include \"b.trim\"\npart p: mass 3 g [weighed]\n",
    )
    .unwrap();
    fs::write(folder.join("spec/b.trim"), "include \"a.trim\"\n").unwrap();
    let said = text(&trimsheet(&folder, &["check", "spec/a.trim"]));
    assert_eq!(said.matches("read/include-cycle").count(), 1, "{said}");

    for (path, rule) in [
        ("../outside.trim", "read/include-outside"),
        ("/etc/hostname", "read/include-outside"),
        ("c:/x.trim", "read/include-outside"),
        ("missing.trim", "read/include-missing"),
        ("sub", "read/include-missing"),
    ] {
        let spec = format!("include \"{path}\" as x\npart p: mass 3 grm\n");
        fs::write(folder.join("spec/c.trim"), spec).unwrap();
        let output = trimsheet(&folder, &["check", "spec/c.trim"]);
        let said = text(&output);
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert_eq!(said.matches(rule).count(), 1, "{path}: {said}");
        assert!(said.contains("spec/c.trim:1:9"), "{path}: {said}");
        assert!(said.contains("read/unknown-unit"), "{path}: {said}");
    }
}

#[cfg(unix)]
#[test]
fn an_include_cannot_leave_the_folder_by_a_link() {
    let folder = folder("include-link");
    fs::create_dir_all(folder.join("spec")).unwrap();
    fs::write(folder.join("secret.trim"), "part x: mass 3 g\n").unwrap();
    std::os::unix::fs::symlink("../secret.trim", folder.join("spec/link.trim")).unwrap();
    fs::write(folder.join("spec/a.trim"), "include \"link.trim\" as x\n").unwrap();
    let said = text(&trimsheet(&folder, &["check", "spec/a.trim"]));
    assert!(said.contains("read/include-outside"), "{said}");
    let said = text(&trimsheet(&folder.join("spec"), &["check", "a.trim"]));
    assert!(said.contains("read/include-outside"), "{said}");
}

#[test]
fn a_page_is_explained_with_its_levels_and_parameters() {
    let folder = folder("explain");
    let said = text(&trimsheet(&folder, &["explain", "balance/outside-band"]));
    assert!(said.starts_with("balance/outside-band\n"), "{said}");
    assert!(said.contains("Why it matters") && said.contains("Level:"), "{said}");
    assert!(!said.contains("```trim"), "examples are for those who write rules: {said}");
    let output = trimsheet(&folder, &["explain", "balance/outside-bnad"]);
    assert!(complaint(&output).contains("the nearest is balance/outside-band"));
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    use std::process::Stdio;
    let folder = folder("pipe");
    fs::write(folder.join("out.trim"), BASE.spec()).unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["check", "out.trim"])
        .current_dir(&folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(complaint(&output), "");
}

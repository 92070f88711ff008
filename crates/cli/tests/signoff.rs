//! `trimsheet signoff`: what was signed is kept, whatever happens meanwhile.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive processes"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const SPEC: &str = "model linnet: stage bench
part receiver: kind receiver; mass 5 g [weighed]; at 40 mm aft
surface elevons: reflex 2 mm up at root [measured]
loadout survey
loadout ferry
";

/// A check that says how many steps are proved.
const CHECK: [&str; 4] = ["check", "linnet.trim", "--fail-at", "stop"];

/// A folder of its own for one test, with a spec in it.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("signoff").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("linnet.trim"), SPEC).unwrap();
    folder
}

fn command(folder: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trimsheet"));
    command.args(words).current_dir(folder).env("COLUMNS", "80");
    command
}

fn trimsheet(folder: &Path, words: &[&str]) -> Output {
    command(folder, words).output().unwrap()
}

/// Signs the failsafe step by somebody, on a day.
fn signed<'a>(by: &'a str, day: &'a str) -> Vec<&'a str> {
    let words = ["signoff", "linnet.trim", "failsafe", "--by", by, "--date", day];
    words.into_iter().chain(OFF).collect()
}

/// What a record of that step must say.
const OFF: [&str; 6] = [
    "--reading",
    "propeller off",
    "--reading",
    "transmitter off",
    "--reading",
    "seen motor-stopped surfaces-preset control-back",
];

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn proof(folder: &Path) -> String {
    fs::read_to_string(folder.join("linnet.proof")).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_signed_step_is_kept_and_a_change_opens_it_again() {
    let folder = folder("kept");
    let output = trimsheet(&folder, &signed("KV", "2026-03-12"));
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("signed in linnet.proof, resting on"));
    let lines = proof(&folder);
    assert!(lines.starts_with("proof 1\ndone failsafe 2026-03-12 by KV; signed r"));
    assert!(lines.contains("\"surface elevons: reflex\" was \"2 mm up at root"));
    let clear = trimsheet(&folder, &CHECK);
    assert!(text(&clear.stdout).contains("1 step proved"), "{}", text(&clear.stdout));
    fs::write(folder.join("linnet.trim"), SPEC.replace("2 mm up", "3 mm up")).unwrap();
    let open = text(&trimsheet(&folder, &CHECK).stdout);
    assert!(open.contains("[change/recheck-needed]: failsafe of 2026-03-12 is open"));
    assert!(open.contains("nothing proved yet"), "{open}");
}

#[test]
fn what_cannot_be_signed_is_said_and_nothing_is_written() {
    let folder = folder("wrong");
    let base = ["signoff", "linnet.trim", "failsafe", "--by", "KV"];
    let with = |more: &[&'static str]| [&base, more].concat();
    for (words, says) in [
        (with(&[]), "failsafe must say `propeller off` and `transmitter off`"),
        (with(&[&OFF[..], &["--date", "2999-01-01"]].concat()), "lies in the future"),
        (
            with(&[&OFF[2..], &["--reading", "propeller on"]].concat()),
            "failsafe must say `propeller off`",
        ),
        (
            with(&[&OFF[..], &["--reading", "motors ?"]].concat()),
            "`?` says that nobody did",
        ),
        (with(&[&OFF[..], &["--reading", "motors half"]].concat()), "expected one of"),
        (
            with(&[&OFF[..], &["--reading", "mass 3 g"]].concat()),
            "the record does not read",
        ),
        (with(&[&OFF[..], &["--note", "two\nlines"]].concat()), "has no line break"),
        (with(&[&OFF[..], &["--loadout", "ferry"]].concat()), "takes no loadout"),
        (
            vec!["signoff", "linnet.trim", "failsave", "--by", "KV"],
            "the nearest is failsafe",
        ),
        (
            vec!["signoff", "linnet.txt", "failsafe", "--by", "KV"],
            "expected a spec, NAME.trim",
        ),
        (vec!["signoff", "wren.trim", "failsafe", "--by", "KV"], "no such file"),
        ([&base[..4], &["K V"], &OFF].concat(), "the record does not read"),
    ] {
        let output = trimsheet(&folder, &words);
        let said = text(&output.stderr);
        let plain = said.split_whitespace().collect::<Vec<&str>>().join(" ");
        assert!(plain.contains(says), "{words:?}: {said}");
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        assert_eq!(names(&folder), ["linnet.trim"], "{words:?}");
    }
}

#[test]
fn another_receiver_opens_the_failsafe_and_another_part_does_not() {
    let folder = folder("like");
    let shelf = "part six: kind receiver; mass 9 g [weighed]\n\
        part eight: kind receiver; mass 9 g [weighed]\n";
    fs::write(folder.join("shelf.trim"), shelf).unwrap();
    let spec = "model linnet: stage bench\ninclude \"shelf.trim\" as club\n\
        part receiver like club.six: at 40 mm aft [measured]\n";
    let write = |text: &str| fs::write(folder.join("linnet.trim"), text).unwrap();
    write(spec);
    assert!(trimsheet(&folder, &signed("KV", "2026-03-12")).status.success());
    let checked = || text(&trimsheet(&folder, &CHECK).stdout);
    for more in ["part lamp: kind payload; mass 9 g [weighed]\n", "bay tray\n"] {
        write(&format!("{spec}{more}"));
        assert!(checked().contains("1 step proved"), "{more}: {}", checked());
    }
    write(&spec.replace("club.six", "club.eight"));
    let open = checked();
    assert!(open.contains("failsafe of 2026-03-12 is open again"), "{open}");
    write(&format!("{spec}part second like club.eight: at 60 mm aft [measured]\n"));
    let open = checked();
    assert!(open.contains("failsafe of 2026-03-12 is open again"), "{open}");
    assert!(open.contains("every part of kind receiver"), "{open}");
}

#[test]
fn a_step_of_a_loadout_wants_one_with_a_name() {
    let folder = folder("listed");
    fs::write(folder.join("linnet.trim"), "model linnet\npart hub: mass 3 g\n").unwrap();
    let words =
        ["signoff", "linnet.trim", "weighed", "--by", "KV", "--reading", "mass 3 g"];
    let output = trimsheet(&folder, &words);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        said.contains("write how it is flown first, `loadout` with a name"),
        "{said}"
    );
}

#[test]
fn one_of_two_readings_is_enough_where_either_would_do() {
    let folder = folder("either");
    let words = ["signoff", "linnet.trim", "weighed", "--by", "KV", "--loadout", "ferry"];
    let said = text(&trimsheet(&folder, &words).stderr);
    assert!(said.contains("weighed must say `mass` or `reading`"), "{said}");
    for reading in ["mass 412 g [weighed]", "reading stand 412 g at 90 mm aft [weighed]"]
    {
        let output = trimsheet(&folder, &[&words[..], &["--reading", reading]].concat());
        assert!(output.status.success(), "{reading}: {}", text(&output.stderr));
    }
}

#[test]
fn nothing_is_written_behind_a_proof_that_does_not_read() {
    let folder = folder("damaged");
    for damaged in
        ["", "proof 2\n", "proof 1\npart wing: mass 3 g\n", "proof 1\ndoen x\n"]
    {
        fs::write(folder.join("linnet.proof"), damaged).unwrap();
        let output = trimsheet(&folder, &signed("KV", "2026-03-12"));
        assert_eq!(output.status.code(), Some(2), "{damaged:?}");
        assert_eq!(proof(&folder), damaged);
    }
}

#[test]
fn what_is_set_for_a_rule_or_recorded_brings_a_known_finding_back() {
    let folder = folder("known");
    let spec = "model wren: stage installed
part motor: kind motor; mass 80 g; at 3 mm aft [measured]
loadout trip
weighed trip 2026-03-01 by KV: mass 400 g [measured]
";
    let day = ["--date", "2026-03-12"];
    let check = |text_of: &str| {
        fs::write(folder.join("wren.trim"), text_of).unwrap();
        let words = ["check", "wren.trim", "--format", "lines"];
        text(&trimsheet(&folder, &[&words[..], &day].concat()).stdout)
    };
    let (heavy, weighed) = ("[mass/estimate-heavy]", "[mass/sum-vs-weighed]");
    let before = check(spec);
    assert!(before.contains(heavy) && before.contains(weighed), "{before}");
    let taken = ["baseline", "wren.trim", "--by", "KV", "--until", "2026-06-01"];
    assert!(trimsheet(&folder, &[&taken[..], &day].concat()).status.success());
    let known = check(spec);
    assert!(!known.contains(heavy) && !known.contains(weighed), "{known}");
    let set = format!("{spec}set mass/estimate-heavy installed 5 % because \"strict\"\n");
    let strict = check(&set);
    assert!(strict.contains(heavy) && !strict.contains(weighed), "{strict}");
    let again = check(&spec.replace("400 g", "900 g"));
    assert!(again.contains(weighed) && !again.contains(heavy), "{again}");
}

#[test]
fn a_baseline_until_a_day_that_has_passed_or_is_far_away_is_refused() {
    let folder = folder("past");
    for until in ["2020-01-01", "2027-04-01", "9999-12-31"] {
        let words = ["baseline", "linnet.trim", "--by", "KV", "--until", until];
        let output =
            trimsheet(&folder, &[&words[..], &["--date", "2026-03-12"]].concat());
        assert_eq!(output.status.code(), Some(2), "{until}");
    }
    assert_eq!(names(&folder), ["linnet.trim"]);
}

#[test]
fn a_baseline_lets_pass_what_it_knows_until_a_fact_changes_or_the_day_has_passed() {
    let folder = folder("baseline");
    let spec = "model wren: stage installed
datum: origin wing root leading-edge; level chord-line
part motor: kind motor; mass 80 g; at 3 mm aft [measured]
part lamp: kind other; mass 9 g; at 5 mm aft [measured]
";
    fs::write(folder.join("wren.trim"), spec).unwrap();
    let check = |more: &[&str]| {
        let words = ["check", "wren.trim", "--format", "lines"];
        text(&trimsheet(&folder, &[&words[..], more].concat()).stdout)
    };
    let source = "[doc/value-without-source]";
    assert!(check(&[]).contains(source), "{}", check(&[]));
    let day = ["--date", "2026-03-12"];
    let taken = ["baseline", "wren.trim", "--by", "KV", "--until", "2027-01-01"];
    let taken = [&taken[..], &day].concat();
    let output = trimsheet(&folder, &taken);
    assert!(output.status.success(), "{}", text(&output.stderr));
    assert!(!check(&[]).contains(source), "{}", check(&[]));
    // What cannot be waived is not let pass.
    let firm = "[power/rotation-not-proved]";
    assert!(check(&[]).contains(firm), "{}", check(&[]));
    let before = fs::read_to_string(folder.join("wren.proof")).unwrap();
    assert!(trimsheet(&folder, &taken).status.success());
    assert_eq!(before, fs::read_to_string(folder.join("wren.proof")).unwrap());
    fs::write(folder.join("wren.trim"), spec.replace("9 g", "11 g")).unwrap();
    let changed = check(&[]);
    assert!(changed.contains(source), "{changed}");
    // What does not read that mass is known still.
    assert!(!changed.contains("[power/measured-missing]"), "{changed}");
    assert!(changed.contains("[rules/known-unneeded]"), "{changed}");
    let expired = check(&["--date", "2027-01-02"]);
    assert!(expired.contains("[power/measured-missing]"), "{expired}");
    assert!(expired.contains("[rules/known-expired]"), "{expired}");
    assert!(trimsheet(&folder, &["baseline", "wren.trim", "--prune"]).status.success());
    let left = fs::read_to_string(folder.join("wren.proof")).unwrap();
    assert!(left.lines().count() < before.lines().count(), "{left}");
    assert!(!check(&[]).contains("known-unneeded"), "{}", check(&[]));
}

/// A model whose failsafe step is signed on a day, with further lines in its spec.
fn then(name: &str, spec: &str, day: &str) -> String {
    let folder = folder(name);
    assert!(trimsheet(&folder, &signed("KV", day)).status.success());
    fs::write(folder.join("linnet.trim"), format!("{SPEC}{spec}")).unwrap();
    let words = ["cards", "linnet.trim", "home", "--date", "2026-03-20"];
    text(&trimsheet(&folder, &words).stdout)
}

#[test]
fn a_crash_a_repair_and_a_later_record_that_says_otherwise_open_a_step() {
    let day = "2026-03-12T10:00";
    assert!(then("as-it-was", "", day).contains("done 2026-03-12 by KV"));
    let earlier = "done crashed 2026-03-12T09:00 by KV\n";
    assert!(then("earlier", earlier, day).contains("done 2026-03-12 by KV"));
    for (name, later) in [
        ("crashed", "done crashed 2026-03-12T11:00 by KV\n"),
        ("repaired", "done repaired 2026-03-13 by KV\n"),
    ] {
        let card = then(name, later, day);
        assert!(card.contains("open again: signed 2026-03-12 by KV"), "{card}");
    }
    let seen = "propeller off; transmitter off; seen motor-stopped control-back";
    let later = format!("done failsafe 2026-03-12T11:00 by KV: {seen}\n");
    let card = then("later", &later, day);
    assert!(card.contains("but nobody signed it"), "{card}");
    // A record of something else is none of this step.
    let other = "done failsafe 2026-03-12T11:00 by KV: propeller on; motors running\n";
    assert!(then("other", other, day).contains("done 2026-03-12 by KV"));
}

#[test]
fn a_home_check_holds_for_three_days() {
    let folder = folder("days");
    let spec =
        format!("{SPEC}part motor: kind motor; mass 60 g [weighed]; at 9 mm aft\n");
    fs::write(folder.join("linnet.trim"), spec).unwrap();
    let words = ["signoff", "linnet.trim", "home-power-up", "--by", "KV"];
    let readings = ["--date", "2026-03-12", "--reading", "propeller off"];
    let output = trimsheet(&folder, &[&words[..], &readings].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let card = |day: &str| {
        let words = ["cards", "linnet.trim", "home", "--date", day];
        text(&trimsheet(&folder, &words).stdout)
    };
    assert!(card("2026-03-15").contains("done 2026-03-12 by KV"));
    let over = card("2026-03-16");
    assert!(over.contains("it holds for 3 days"), "{over}");
}

#[test]
fn a_reading_names_an_instrument_of_the_spec() {
    let folder = folder("instrument");
    let spec = format!("{SPEC}instrument hook: resolution 2 g\n");
    fs::write(folder.join("linnet.trim"), spec).unwrap();
    let words =
        ["signoff", "linnet.trim", "weighed", "--loadout", "survey", "--by", "KV"];
    let reading = ["--reading", "mass 812 g [weighed on hook]"];
    let output = trimsheet(&folder, &[&words[..], &reading].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
}

#[cfg(unix)]
#[test]
fn a_proof_that_is_protected_stays_as_it_is() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = folder("protected");
    assert!(trimsheet(&folder, &signed("KV", "2026-03-01")).status.success());
    let path = folder.join("linnet.proof");
    let before = proof(&folder);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let output = trimsheet(&folder, &signed("MT", "2026-03-02"));
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("protected from being written to"));
    assert_eq!((proof(&folder), names(&folder).len()), (before, 2));
}

fn git(folder: &Path, words: &[&str]) {
    let all = ["-c", "user.name=KV", "-c", "user.email=kv@example.org"];
    let git = Command::new("git").args(all).args(words).current_dir(folder).output();
    let git = git.unwrap();
    assert!(git.status.success(), "{words:?}: {}", text(&git.stderr));
}

#[test]
fn the_records_of_two_branches_merge_and_none_is_lost() {
    let folder = folder("merge");
    fs::write(folder.join(".gitattributes"), "*.proof merge=union\n").unwrap();
    git(&folder, &["init", "-q", "-b", "main"]);
    assert!(trimsheet(&folder, &signed("KV", "2026-03-01")).status.success());
    git(&folder, &["add", "-A"]);
    git(&folder, &["commit", "-qm", "first"]);
    git(&folder, &["checkout", "-qb", "other"]);
    for day in ["2026-03-02", "2026-03-03"] {
        assert!(trimsheet(&folder, &signed("MT", day)).status.success());
    }
    git(&folder, &["commit", "-qam", "theirs"]);
    git(&folder, &["checkout", "-q", "main"]);
    for day in ["2026-03-04", "2026-03-02"] {
        assert!(trimsheet(&folder, &signed("RT", day)).status.success());
    }
    git(&folder, &["commit", "-qam", "ours"]);
    git(&folder, &["merge", "-q", "other"]);
    let checked = text(&trimsheet(&folder, &CHECK).stdout);
    assert!(checked.contains("5 steps proved"), "{checked}\n{}", proof(&folder));
    assert!(!checked.contains("change/"), "{checked}");
}

#[test]
fn lines_of_a_merge_that_is_not_done_are_named_and_hide_no_record() {
    let folder = folder("marks");
    assert!(trimsheet(&folder, &signed("KV", "2026-03-01")).status.success());
    let lines = proof(&folder).replace("proof 1\n", "proof 1\n<<<<<<< HEAD\n");
    fs::write(folder.join("linnet.proof"), format!("{lines}=======\n>>>>>>> x\n"))
        .unwrap();
    let checked = text(&trimsheet(&folder, &CHECK).stdout);
    assert_eq!(checked.matches("[read/merge-mark]").count(), 3, "{checked}");
    assert!(checked.contains("1 step proved"), "{checked}");
}

#[test]
fn killed_at_any_moment_the_proof_is_whole_before_or_whole_after() {
    let folder = folder("killed");
    assert!(trimsheet(&folder, &signed("KV", "2026-03-01")).status.success());
    let (mut before, mut kept) = (proof(&folder), 0);
    for round in 0..60_u64 {
        let mut child = command(&folder, &signed("MT", "2026-03-02"))
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_micros(round * 997 % 60_000));
        let _ = child.kill();
        child.wait().unwrap();
        let after = proof(&folder);
        if after != before {
            assert!(after.starts_with(&before), "round {round}");
            assert!(after.lines().last().unwrap().starts_with("seal "), "round {round}");
            kept += 1;
        }
        before = after;
    }
    let checked = text(&trimsheet(&folder, &CHECK).stdout);
    assert!(!checked.contains("change/"), "{kept} were kept: {checked}");
}

/// The same with no room on the disk: the system refuses to write.
#[cfg(unix)]
#[test]
fn with_no_room_on_the_disk_the_proof_is_as_it_was() {
    let folder = folder("full");
    let shell = |words: &[&str]| {
        let limit = "trap '' XFSZ; ulimit -f 0; exec \"$0\" \"$@\"";
        let program = env!("CARGO_BIN_EXE_trimsheet");
        let mut sh = Command::new("sh");
        sh.args(["-c", limit, program]).args(words).current_dir(&folder);
        sh.output().unwrap()
    };
    let output = shell(&signed("KV", "2026-03-01"));
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("cannot write linnet.proof: "));
    assert_eq!(names(&folder), ["linnet.trim"]);
    assert!(trimsheet(&folder, &signed("KV", "2026-03-01")).status.success());
    let before = proof(&folder);
    assert_eq!(shell(&signed("MT", "2026-03-02")).status.code(), Some(2));
    assert_eq!((proof(&folder), names(&folder).len()), (before, 2));
}

/// Somebody who may not write there; whoever may do all becomes somebody else first.
#[cfg(unix)]
#[test]
fn in_a_folder_that_is_read_only_the_reason_is_said() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    use std::os::unix::process::CommandExt as _;

    let folder = std::env::temp_dir().join(format!("trimsheet-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("linnet.trim"), SPEC).unwrap();
    let program = folder.join("trimsheet");
    fs::copy(env!("CARGO_BIN_EXE_trimsheet"), &program).unwrap();
    let owner = fs::metadata(&folder).unwrap().uid();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    let mut command = Command::new(&program);
    command.args(signed("KV", "2026-03-01")).current_dir(&folder);
    if owner == 0 {
        command.uid(65_534);
    }
    let output = command.output().unwrap();
    let left = names(&folder);
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
    fs::remove_dir_all(&folder).unwrap();
    let said = text(&output.stderr);
    assert!(said.contains("cannot write linnet.proof: Permission denied"), "{said}");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(left, ["linnet.trim", "trimsheet"]);
}

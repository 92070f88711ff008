//! Packs of rules as a clumsy club member, or somebody who means ill, leaves them on a disk.
#![cfg(unix)]
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive a process"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const SPEC: &str = "model wren\n    rules \"elm-hill\"\nwing\n";

const PAGE: &str = "# Held\n\n## What it checks\n\na\n\n## Why it matters\n\nb\n\n## What to do\n\nc\n\n## Source\n\nCommon practice, no source.\n\n## Examples\n\n### Found\n\n```trim\nwing    #~ warning: [elm-hill/wing/held] \"held\"\n```\n\n### Quiet\n\n```trim\nmodel wren\n```\n";

const RULE: &str = "//! Held.\nconst ABOUT = \"wing\";\nconst LEVEL = #{ planned: \"warning\" };\nfn check(wing, build, set) { finding(wing, \"held\"); }\n";

fn manifest(issue: &str) -> String {
    format!(
        "name = \"elm-hill\"\nissue = \"{issue}\"\ntitle = \"t\"\nlicence = \"MIT\"\nneeds = \"0.1\"\nlayer = \"club\"\n"
    )
}

/// A folder with a spec and the pack that it names.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("packs").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("rules/elm-hill/wing")).unwrap();
    let write = |path: &str, text: &str| fs::write(folder.join(path), text).unwrap();
    write("wren.trim", SPEC);
    write("rules/elm-hill/pack.toml", &manifest("2026"));
    write("rules/elm-hill/wing/held.rhai", RULE);
    write("rules/elm-hill/wing/held.md", PAGE);
    folder
}

/// What is printed, what is complained of, and the status.
fn run(folder: &Path, words: &str) -> (String, String, i32) {
    let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(words.split(' ').map(|word| if word == "''" { "" } else { word }))
        .current_dir(folder)
        .env("COLUMNS", "100")
        .env("TRIMSHEET_RULES", folder.join("own"))
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr), output.status.code().unwrap())
}

#[track_caller]
fn says(folder: &Path, words: &str, status: i32, expected: &str) {
    let (out, complaint, ended) = run(folder, words);
    let all = format!("{out}{complaint}").replace("\n    ", " ");
    assert!(all.contains(expected), "{words} says:\n{all}\nshould say: {expected}");
    assert_eq!(ended, status, "{all}");
}

#[test]
fn what_a_pack_writes_cannot_act_on_the_terminal() {
    let folder = folder("escapes");
    let script = RULE.replace("Held.", "Held \x1b[2J\u{202e}.");
    fs::write(folder.join("rules/elm-hill/wing/held.rhai"), script).unwrap();
    let page = PAGE.replace("# Held", "# Held \x1b[2J\u{202e}");
    fs::write(folder.join("rules/elm-hill/wing/held.md"), page).unwrap();
    let text = manifest("2026\\u001b[2J\\u202e\\nstop[a/b]: c")
        + "[[set]]\nrule = \"balance/lateral\"\nparameter = \"share\"\nvalue = \"0.2 %\"\nbecause = \"\\u001b[2J\\u202e\"\n"
        + "[[fact]]\nword = \"x\"\nof = [\"wing\"]\nform = \"MASS\"\nsays = \"\\u001b[2J\\u202e\"\nexample = \"elm-hill.x 3 kg\"\n";
    fs::write(folder.join("rules/elm-hill/pack.toml"), text).unwrap();
    let spec = format!(
        "{SPEC}set balance/lateral share 0.1 % because \"\x1b[2J{}\"\n",
        '\u{202e}'
    );
    fs::write(folder.join("wren.trim"), spec).unwrap();
    let commands = [
        "check wren.trim",
        "rules list wren.trim",
        "rules list --rules rules/elm-hill",
        "explain balance/lateral --for wren.trim",
        "explain elm-hill/wing/held --for wren.trim",
        "explain elm-hill.x --for wren.trim",
        "rules trace wren.trim balance/lateral",
        "rules trace wren.trim elm-hill/wing/held",
        "rules update .",
        "rules test rules/elm-hill",
    ];
    for words in commands {
        let (out, complaint, _) = run(&folder, words);
        let all = out + &complaint;
        assert!(!all.contains(['\x1b', '\u{202e}']), "{words}:\n{all}");
        assert!(!all.lines().any(|line| line.starts_with("stop[")), "{words}:\n{all}");
    }
}

#[test]
fn a_lock_that_cannot_be_read_is_no_lock_that_is_not_there() {
    let folder = folder("locks");
    let lock = folder.join("rules.lock");
    fs::create_dir(&lock).unwrap();
    says(
        &folder,
        "check wren.trim",
        1,
        "error[rules/lock-unclear]: the lock cannot be used",
    );
    fs::remove_dir(&lock).unwrap();
    std::os::unix::fs::symlink("nowhere", &lock).unwrap();
    says(&folder, "check wren.trim", 1, "it is a link that leads nowhere");
    fs::remove_file(&lock).unwrap();
    std::os::unix::fs::symlink("/dev/zero", &lock).unwrap();
    says(
        &folder,
        "check wren.trim",
        1,
        "the lock cannot be used: it could not be read: it is no file",
    );
    fs::remove_file(&lock).unwrap();
    fs::write(&lock, "form = [").unwrap();
    let (out, _, _) = run(&folder, "check wren.trim");
    assert!(!out.contains("is not in the lock"), "{out}");
}

#[test]
fn a_lock_behind_a_link_is_written_where_the_link_leads() {
    let folder = folder("linked-lock");
    fs::write(folder.join("shared.lock"), "form = 1\n").unwrap();
    std::os::unix::fs::symlink("shared.lock", folder.join("rules.lock")).unwrap();
    says(&folder, "rules update . --write", 0, "Wrote rules.lock");
    assert!(fs::symlink_metadata(folder.join("rules.lock")).unwrap().is_symlink());
    assert!(fs::read_to_string(folder.join("shared.lock")).unwrap().contains("elm-hill"));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 4, "nothing is left beside it");
}

#[test]
fn pipes_among_specs_and_packs_do_not_hold_up_a_check() {
    let folder = folder("pipes");
    for path in ["rules.lock", "rules/elm-hill/wing/more.md", "more.trim"] {
        assert!(
            Command::new("mkfifo").arg(folder.join(path)).status().unwrap().success()
        );
    }
    says(
        &folder,
        "check wren.trim",
        1,
        "wing/more.md: it could not be read: it is no file",
    );
    says(
        &folder,
        "check .",
        2,
        "cannot check more.trim: it could not be read: it is no file",
    );
}

#[test]
fn a_page_that_is_gone_is_said_and_not_the_pack() {
    let folder = folder("gone");
    let page = folder.join("rules/elm-hill/wing/held.md");
    fs::remove_file(&page).unwrap();
    std::os::unix::fs::symlink("nowhere", &page).unwrap();
    let expected = "the pack `elm-hill` cannot be used: wing/held.md: it could not be read: it is a link";
    says(&folder, "check wren.trim", 1, expected);
}

#[test]
fn what_is_not_loaded_is_said_beside_a_list_a_page_and_a_trace() {
    let folder = folder("beside");
    let more = "[[set]]\nrule = \"balance/lateral\"\nparameter = \"shore\"\nvalue = \"0.2 %\"\nbecause = \"x\"\n";
    fs::write(folder.join("rules/elm-hill/pack.toml"), manifest("2026") + more).unwrap();
    says(
        &folder,
        "rules list wren.trim",
        1,
        "balance/lateral has no parameter called `shore`",
    );
    says(&folder, "rules list --rules rules/elm-hill", 1, "no parameter called `shore`");
    says(
        &folder,
        "explain balance/lateral --for wren.trim",
        1,
        "no parameter called `shore`",
    );
    fs::write(folder.join("wren.trim"), SPEC.replace("elm-hill", "elm-hall")).unwrap();
    says(&folder, "rules list wren.trim", 1, "no pack of rules called `elm-hall`");
    says(
        &folder,
        "rules trace wren.trim elm-hill/wing/held",
        2,
        "no pack of rules called `elm-hall`",
    );
}

#[test]
fn a_trace_knows_of_levels_that_packs_raise_and_of_silence() {
    let folder = folder("trace");
    let rule = RULE.replace("planned", "ready");
    fs::write(folder.join("rules/elm-hill/wing/held.rhai"), rule).unwrap();
    let words = "rules trace wren.trim elm-hill/wing/held";
    says(
        &folder,
        words,
        0,
        "silent at the stage planned, and reads nothing there; warning from ready",
    );
    let more = "[[raise]]\nrule = \"elm-hill/wing/held\"\nfrom = \"planned\"\nto = \"note\"\nbecause = \"x\"\n";
    fs::write(folder.join("rules/elm-hill/pack.toml"), manifest("2026") + more).unwrap();
    says(&folder, words, 0, "note at the stage planned");
}

#[test]
fn packs_are_named_by_their_folder_however_one_gets_there() {
    let folder = folder("ways");
    let inner = folder.join("rules/elm-hill/wing");
    says(&inner, "rules test ..", 0, "elm-hill: 2 examples ran, 2 as expected, 0 not");
    says(&folder, "rules test rules/elm-hill/", 0, "elm-hill: 2 examples ran");
    says(
        &folder,
        "rules test rules",
        2,
        "the pack rules cannot be used: it holds no pack.toml",
    );
    says(&folder, "rules test rules/elm", 2, "there is no such folder");
    says(&folder, "rules test ''", 2, "there is no such folder");
    says(
        &folder,
        "check wren.trim --rules ''",
        2,
        "no pack of rules called \"\" was found",
    );
    says(&folder, "check wren.trim --rules rules", 2, "it holds no pack.toml");
    says(&folder, "rules test rules/elm-hill --only helt", 2, "has \"helt\" in its path");
}

#[test]
fn a_new_rule_begins_in_no_folder_whose_pack_could_not_be_read() {
    let folder = folder("new");
    for name in ["core", "rules", "Elm", "/"] {
        let words = format!("rules new wing/no-lock --pack {name}");
        says(&folder.join("rules"), &words, 2, "a pack goes by the name of its folder");
    }
    let inner = folder.join("rules/elm-hill");
    says(&inner, "rules new wing/no-lock --pack ./", 0, "wrote ./wing/no-lock.rhai");
    says(&inner, "rules new wing/no-latch --pack ''", 0, "wrote ./wing/no-latch.rhai");
}

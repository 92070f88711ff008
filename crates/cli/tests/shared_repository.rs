//! What the repository of a design copies: the hook, and the recipe of the README.
//!
//! Nothing is fetched: the hook is put where git looks for one, and of the recipe those
//! lines run that call the program.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::indexing_slicing,
    reason = "these tests write files and drive processes"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use saphyr::{LoadableYamlNode, Yaml};

const GOOD: &str =
    "part motor: kind motor; mass 80 g [weighed]; at 3 mm aft [measured]\n";
const BROKEN: &str = "part motor: kind motor; mass 80 mm; at 3 mm aft [measured]\n";
/// Worth a warning, and no more.
const DOUBTFUL: &str = "part motor: kind motor; mass 80 g; at 3 mm aft [measured]\n";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Runs a program in a repository, with trimsheet on the path and no other git around it.
fn run(repository: &Path, words: &[&str]) -> Output {
    let program = Path::new(env!("CARGO_BIN_EXE_trimsheet")).parent().unwrap();
    let path = std::env::var("PATH").unwrap();
    let mut command = Command::new(words[0]);
    command.args(&words[1..]).current_dir(repository);
    command.env("PATH", format!("{}:{path}", program.display()));
    for name in ["GIT_DIR", "GIT_INDEX_FILE", "GIT_WORK_TREE"] {
        command.env_remove(name);
    }
    command.output().unwrap()
}

fn git(repository: &Path, words: &[&str]) -> Output {
    let who = ["git", "-c", "user.name=Test", "-c", "user.email=test@example.org"];
    run(repository, &[&who, words].concat())
}

fn is_well(output: &Output) -> bool {
    output.status.success()
}

/// A repository of its own for one test.
fn repository(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("specs")).unwrap();
    assert!(is_well(&git(&folder, &["init", "--quiet"])));
    folder
}

fn yaml(text: &str) -> Yaml<'_> {
    Yaml::load_from_str(text).unwrap().remove(0)
}

fn word<'a>(of: &'a Yaml<'_>, key: &str) -> &'a str {
    of[key].as_str().unwrap()
}

fn words<'a>(of: &'a Yaml<'_>, key: &str) -> Vec<&'a str> {
    of[key].as_vec().unwrap().iter().map(|one| one.as_str().unwrap()).collect()
}

/// A file that the README shows, by its name.
fn shown(name: &str) -> String {
    let text = fs::read_to_string(root().join("README.md")).unwrap();
    let (_, rest) = text.split_once(&format!("```yaml {name}\n")).unwrap();
    rest.split("```").next().unwrap().to_owned()
}

#[test]
fn the_hook_lets_a_good_spec_through_and_stops_a_broken_one() {
    let hooks = fs::read_to_string(root().join(".pre-commit-hooks.yaml")).unwrap();
    let hooks = yaml(&hooks);
    let hook = &hooks[0];
    let config = shown(".pre-commit-config.yaml");
    let config = yaml(&config);
    let asked = &config["repos"][0]["hooks"][0];
    assert_eq!(word(asked, "id"), word(hook, "id"));
    assert_eq!(hook["pass_filenames"].as_bool(), Some(false));
    assert!(word(hook, "files").contains(r"\.(trim|proof)$"));

    for (name, arguments) in
        [("hook-plain", words(hook, "args")), ("hook-asked", words(asked, "args"))]
    {
        let repository = repository(name);
        let place = repository.join(".git/hooks/pre-commit");
        let entry = word(hook, "entry");
        let script = format!("#!/bin/sh\nexec {entry} {}\n", arguments.join(" "));
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        fs::write(&place, script).unwrap();
        assert!(is_well(&run(&repository, &["chmod", "+x", ".git/hooks/pre-commit"])));
        let commit = |spec: &str| {
            fs::write(repository.join("specs/teal.trim"), spec).unwrap();
            assert!(is_well(&git(&repository, &["add", "."])));
            git(&repository, &["commit", "--quiet", "-m", "a spec"])
        };
        let good = commit(GOOD);
        assert!(is_well(&good), "{good:?}");
        assert!(is_well(&commit(DOUBTFUL)), "a warning stops nobody");
        let broken = commit(BROKEN);
        assert!(!is_well(&broken));
        let said = String::from_utf8_lossy(&[broken.stdout, broken.stderr].concat())
            .into_owned();
        assert!(said.contains("specs/teal.trim:1:"), "{said}");
        let count = git(&repository, &["rev-list", "--count", "HEAD"]);
        assert_eq!(String::from_utf8_lossy(&count.stdout).trim(), "2");
    }
}

#[test]
fn the_recipe_of_the_readme_fails_where_a_spec_is_broken_and_reports_all_the_same() {
    let recipe = shown(".github/workflows/specs.yml");
    let recipe = yaml(&recipe);
    let steps = recipe["jobs"]["check"]["steps"].as_vec().unwrap();
    let run_lines: Vec<&str> = steps
        .iter()
        .filter_map(|step| {
            step.as_mapping()?
                .iter()
                .find_map(|(key, value)| {
                    (key.as_str() == Some("run")).then(|| value.as_str())
                })
                .flatten()
        })
        .collect();
    let (install, checks) = run_lines.split_first().unwrap();
    assert!(install.starts_with("cargo install --locked "), "{install}");
    let manifest = fs::read_to_string(root().join("crates/cli/Cargo.toml")).unwrap();
    let package = install.split(' ').next_back().unwrap();
    assert!(manifest.contains(&format!("name = \"{package}\"")));

    let repository = repository("recipe");
    let status = |spec: Option<&str>| -> Vec<i32> {
        let place = repository.join("specs/teal.trim");
        let _ = fs::remove_file(&place);
        spec.into_iter().for_each(|spec| fs::write(&place, spec).unwrap());
        let outputs = checks.iter().map(|line| run(&repository, &["sh", "-c", line]));
        outputs.map(|output| output.status.code().unwrap()).collect()
    };
    assert_eq!(status(Some(GOOD)), [0, 0, 0]);
    assert_eq!(status(Some(DOUBTFUL)), [0, 0, 0]);
    assert_eq!(
        status(Some(BROKEN)),
        [1, 0, 0],
        "reports are written, and the check fails"
    );
    let sarif = fs::read_to_string(repository.join("trimsheet.sarif")).unwrap();
    assert!(sarif.contains("\"uri\": \"specs/teal.trim\""), "{sarif}");
    let junit = fs::read_to_string(repository.join("trimsheet.xml")).unwrap();
    assert!(junit.contains("<failure type=\"error\""), "{junit}");
    assert_eq!(status(None), [2, 1, 1], "no spec at all is no pass");
}

//! Every command that the README shows works as it is printed.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read the README and drive a process"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The lines that begin with `$ ` in the blocks of commands.
fn commands() -> Vec<String> {
    let text = fs::read_to_string(root().join("README.md")).unwrap();
    let blocks =
        text.split("```console\n").skip(1).map(|rest| rest.split("```").next().unwrap());
    let lines = blocks.flat_map(str::lines).filter_map(|line| line.strip_prefix("$ "));
    lines.map(str::to_owned).collect()
}

/// The words of a command; what stands in quotes is one.
fn arguments(words: &str) -> Vec<&str> {
    let pieces = words.split('"').enumerate();
    pieces
        .flat_map(|(at, piece)| {
            let is_quoted = at % 2 == 1;
            let whole = is_quoted.then_some(piece);
            let apart = if is_quoted { "" } else { piece };
            whole.into_iter().chain(apart.split_whitespace())
        })
        .collect()
}

#[test]
fn every_command_of_the_readme_runs() {
    let commands = commands();
    assert!(commands.len() >= 5, "{commands:?}");
    for command in &commands {
        // The test command is what runs this very test.
        if command == "cargo test --workspace" {
            continue;
        }
        let words = command
            .strip_prefix("cargo run --release -- ")
            .or_else(|| command.strip_prefix("trimsheet "))
            .unwrap_or_else(|| panic!("what does `{command}` run?"));
        let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
            .args(arguments(words))
            .current_dir(root())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(matches!(output.status.code(), Some(0 | 1)), "{command}: {said}");
        assert!(!output.stdout.is_empty(), "{command} says nothing");
    }
    let first = commands.first().map(String::as_str);
    assert_eq!(first, Some("cargo run --release -- check examples/whinchat.trim"));
    // Without this a bare `cargo run` does not know which program is meant.
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    assert!(manifest.contains("\ndefault-members = [\"crates/cli\"]\n"));
    assert!(commands.iter().any(|command| command == "cargo test --workspace"));
    let ci = fs::read_to_string(root().join(".ci/run")).unwrap();
    assert!(
        ci.contains("\ncargo test --workspace\n"),
        "CI runs the README's test command"
    );
}

//! The walk through a first rule does what it says, from an empty folder on.
//!
//! Its files are written and its commands run in the order of the page. With
//! `TRIMSHEET_ACCEPT=1` what the commands print is written into the page instead.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read a page, write files and drive a process"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// One block of the page: where its lines are, and what its fence says.
struct Block {
    info: String,
    first: usize,
    end: usize,
}

fn page() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../rules/FIRST-RULE.md")
}

/// The blocks between fences; a longer fence may hold shorter ones.
fn blocks(lines: &[String]) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<(usize, String, usize)> = None;
    for (at, line) in lines.iter().enumerate() {
        let ticks = line.chars().take_while(|letter| *letter == '`').count();
        match &open {
            None if ticks >= 3 => {
                open = Some((ticks, line.trim_matches('`').trim().to_owned(), at + 1));
            }
            Some((wanted, info, first)) if ticks == *wanted && line.len() == ticks => {
                blocks.push(Block { info: info.clone(), first: *first, end: at });
                open = None;
            }
            _ => {}
        }
    }
    assert!(open.is_none(), "a fence is left open");
    blocks
}

/// What a command prints, in a folder.
fn run(folder: &Path, command: &str) -> Vec<String> {
    let words = command.strip_prefix("$ trimsheet ").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(words.split_whitespace())
        .current_dir(folder)
        .env("COLUMNS", "90")
        .env("TRIMSHEET_RULES", folder.join("none"))
        .output()
        .unwrap();
    let text = format!(
        "{}{}",
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap()
    );
    text.lines().map(|line| line.trim_end().to_owned()).collect()
}

/// The lines of a console block as they should be.
fn played(folder: &Path, lines: &[String]) -> Vec<String> {
    let commands = lines.iter().filter(|line| line.starts_with("$ "));
    commands
        .flat_map(|command| {
            let printed = run(folder, command);
            std::iter::once(command.clone()).chain(printed)
        })
        .collect()
}

#[test]
fn the_walk_through_a_first_rule_does_what_it_says() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("walk");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let text = fs::read_to_string(page()).unwrap();
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let (mut shown, mut at, mut consoles) = (Vec::new(), 0, 0);
    for block in blocks(&lines) {
        shown.extend_from_slice(&lines[at..block.first]);
        let inside = &lines[block.first..block.end];
        at = block.end;
        match block.info.split_once(' ') {
            Some((_, path)) => {
                let path = folder.join(path);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, inside.join("\n") + "\n").unwrap();
                shown.extend_from_slice(inside);
            }
            None => {
                assert_eq!(block.info, "console", "a block without a name is run");
                shown.extend(played(&folder, inside));
                consoles += 1;
            }
        }
    }
    shown.extend_from_slice(&lines[at..]);
    assert!(4 < consoles);
    let shown = shown.join("\n") + "\n";
    if std::env::var_os("TRIMSHEET_ACCEPT").is_some() {
        fs::write(page(), &shown).unwrap();
    } else {
        for (line, (expected, found)) in text.lines().zip(shown.lines()).enumerate() {
            assert_eq!(expected, found, "line {} of the page", line + 1);
        }
        assert_eq!(text, shown);
    }
}

//! Help, manual pages and completions: all from the one definition of the arguments.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read files and drive a process"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn trimsheet(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet")).args(words).output().unwrap()
}

fn said(words: &[&str]) -> String {
    let output = trimsheet(words);
    assert_eq!(output.status.code(), Some(0), "{words:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// The commands and those below them, each by its words, and the long options of each.
fn commands() -> Vec<(String, Vec<String>)> {
    let mut found = Vec::new();
    below(&trimsheet_cli::command(), "", &mut found);
    assert!(found.len() >= 12, "{found:?}");
    found
}

fn below(above: &clap::Command, words: &str, found: &mut Vec<(String, Vec<String>)>) {
    for command in above.get_subcommands() {
        let words = format!("{words}{}", command.get_name());
        let options = command.get_arguments().filter_map(|one| one.get_long());
        found.push((words.clone(), options.map(str::to_owned).collect()));
        below(command, &format!("{words} "), found);
    }
}

/// The definition of a command, by its words.
fn command_of(words: &str) -> clap::Command {
    let program = trimsheet_cli::command();
    words
        .split(' ')
        .fold(program, |above, word| above.find_subcommand(word).unwrap().clone())
}

#[test]
fn completions_of_every_shell_name_every_command_and_option() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = said(&["completions", shell]);
        for (command, options) in commands() {
            for word in command.split(' ') {
                assert!(script.contains(word), "{shell}: {command}");
            }
            for option in options {
                assert!(script.contains(&option), "{shell}: {command} --{option}");
            }
        }
    }
    assert_eq!(trimsheet(&["completions", "abacus"]).status.code(), Some(2));
}

#[test]
fn the_main_page_names_every_command() {
    let page = said(&["manual"]);
    assert!(page.contains(".TH trimsheet 1") && page.contains(".SH CAUTION"), "{page}");
    for (command, _) in commands().iter().filter(|(command, _)| !command.contains(' ')) {
        let name = command.replace('-', "\\-");
        assert!(page.contains(&format!("trimsheet\\-{name}(1)")), "{command} in\n{page}");
    }
}

#[test]
fn a_page_for_each_command_names_its_options_and_has_its_example() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("manual");
    let _ = fs::remove_dir_all(&folder);
    for _ in 0..2 {
        // A second time writes over the first.
        let written = said(&["manual", "--into", folder.to_str().unwrap()]);
        assert_eq!(written.lines().count(), commands().len() + 1, "{written}");
    }
    let page = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
    assert_eq!(page("trimsheet.1"), said(&["manual"]));
    for (command, options) in commands() {
        let page = page(&format!("trimsheet-{}.1", command.replace(' ', "-")));
        let named = format!("trimsheet {command}").replace('-', "\\-");
        assert!(page.contains(&named), "{page}");
        assert!(page.contains(".SH EXAMPLES"), "{command} has no example");
        let words: Vec<&str> = command.split(' ').chain(["--version"]).collect();
        let is_refused = trimsheet(&words).status.code() == Some(2);
        assert!(is_refused && !page.contains("version"), "{command}: {page}");
        for option in options {
            let option = option.replace('-', "\\-");
            assert!(page.contains(&format!("\\-\\-{option}")), "{command} {option}");
        }
    }
    let files = fs::read_dir(&folder).unwrap().count();
    assert_eq!(files, commands().len() + 1, "nothing half written is left");
}

#[test]
fn the_help_reads_as_it_was_reviewed() {
    let mut all = String::new();
    let mut program = trimsheet_cli::command().term_width(90);
    all += &program.render_long_help().to_string();
    for (name, _) in commands() {
        let shown = format!("trimsheet {name}");
        let mut command = command_of(&name).bin_name(shown).term_width(90);
        all += &format!("\n==== {name} ====\n\n{}", command.render_long_help());
    }
    insta::assert_snapshot!("help", all);
}

#[test]
fn every_option_and_every_command_says_what_it_does() {
    for (name, _) in commands() {
        let command = command_of(&name);
        assert!(command.get_about().is_some(), "{name}");
        let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
        assert!(help.contains(&format!("trimsheet {name}")), "{name} has no example");
        for argument in command.get_arguments() {
            let says = argument.get_help().map(ToString::to_string).unwrap_or_default();
            assert!(says.len() > 8, "{name} {}", argument.get_id());
        }
    }
}

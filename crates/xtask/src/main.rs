//! `cargo xtask gen [--check]` and `cargo xtask new-rule GROUP/NAME`.
#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool of the workshop: it writes files and talks to whoever called it"
)]

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{env, fs};

use trimsheet_xtask::{generated, new_rule};

fn main() -> ExitCode {
    let words: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["gen"] => {
            generated().into_iter().try_for_each(|(path, text)| write(path, &text))
        }
        ["gen", "--check"] => {
            generated().into_iter().try_for_each(|(path, text)| same(path, &text))
        }
        ["new-rule", id] => new_rule(id).and_then(|files| {
            files.iter().try_for_each(|(path, text)| write_new(path, text))
        }),
        _ => Err("expected gen, gen --check, or new-rule GROUP/NAME".into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(says) => {
            eprintln!("xtask: {says}");
            ExitCode::FAILURE
        }
    }
}

fn inside(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}

/// Writes beside, then renames, so that a stop in between leaves the old file whole.
fn write(path: &str, text: &str) -> Result<(), String> {
    let whole = inside(path);
    let beside = whole.with_extension("new");
    let written = whole.parent().map_or(Ok(()), fs::create_dir_all);
    let written = written.and_then(|()| fs::write(&beside, text));
    written
        .and_then(|()| fs::rename(&beside, &whole))
        .map_err(|e| format!("cannot write {path}: {e}"))?;
    println!("wrote {path}");
    Ok(())
}

fn write_new(path: &str, text: &str) -> Result<(), String> {
    if inside(path).exists() {
        return Err(format!("{path} is there already"));
    }
    write(path, text)
}

fn same(path: &str, text: &str) -> Result<(), String> {
    let stands = fs::read_to_string(inside(path)).unwrap_or_default();
    if stands == text {
        Ok(())
    } else {
        Err(format!("{path} is stale: run cargo xtask gen"))
    }
}

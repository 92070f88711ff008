//! Every heading of every Markdown test, as a test of its own.
//!
//! The pages are those of `tests/literate`, of `tests/regressions` and of the rules,
//! and the README.
//! A test is named `PAGE::HEADING / HEADING`, so that filters work.
//! With `TRIMSHEET_ACCEPT=1` blocks that differ are rewritten before the tests run;
//! look at what changed before you keep it.

#![expect(
    clippy::disallowed_methods,
    reason = "the tests read their own pages, and nothing they judge depends on it"
)]

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::{env, fs, io};

use libtest_mimic::{Arguments, Failed, Trial};
use trimsheet_literate::{Page, Problem, kinds, read, run};

/// Where pages are looked for, in every folder below.
const FOLDERS: [&str; 3] = ["tests/literate", "tests/regressions", "rules"];

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let trials = if env::var_os("TRIMSHEET_ACCEPT").is_some() {
        accept().and_then(|()| trials())
    } else {
        trials()
    };
    match trials {
        Ok(trials) => libtest_mimic::run(&arguments, trials).exit_code(),
        Err(error) => {
            libtest_mimic::run(&arguments, vec![unread(&error.to_string())]).exit_code()
        }
    }
}

/// A test that fails because the pages could not be listed or written.
fn unread(why: &str) -> Trial {
    let why = format!("the pages cannot be read or written: {why}");
    Trial::test("pages", move || Err(Failed::from(why)))
}

fn trials() -> io::Result<Vec<Trial>> {
    let mut trials = Vec::new();
    for path in files(".md")? {
        let text = fs::read_to_string(root().join(&path))?;
        match read(&path, &text) {
            Err(problems) => trials
                .push(Trial::test(path.clone(), move || Err(failure(&path, &problems)))),
            Ok(page) => trials.extend(of_page(page)),
        }
    }
    let scripts = files(".rhai")?;
    trials.extend(
        scripts.iter().filter(|script| is_rule(script)).map(|script| has_a_page(script)),
    );
    Ok(trials)
}

fn of_page(page: Page) -> Vec<Trial> {
    let page = Arc::new(page);
    let mut trials: Vec<Trial> = (0..page.cases.len())
        .map(|at| {
            let page = Arc::clone(&page);
            let name = page.cases.get(at).map_or("", |case| &case.name);
            Trial::test(format!("{}::{name}", page.path), move || {
                let problems = page.cases.get(at).map(|case| {
                    run(&page, case, &|name| base(&page.path, name)).problems
                });
                match problems.unwrap_or_default() {
                    none if none.is_empty() => Ok(()),
                    problems => Err(failure(&page.path, &problems)),
                }
            })
        })
        .collect();
    if page.rule.is_some() {
        trials.push(Trial::test(
            format!("{}::has an example that fires and one that stays quiet", page.path),
            move || match kinds(&page) {
                found if !found.fires => Err("no example has the rule's mark".into()),
                found if !found.stays_quiet => Err("no example stays quiet".into()),
                _ => Ok(()),
            },
        ));
    }
    trials
}

fn is_rule(script: &str) -> bool {
    script.starts_with("rules/")
}

fn has_a_page(script: &str) -> Trial {
    let page = script.replace(".rhai", ".md");
    Trial::test(format!("{script}::has a page"), move || {
        let found = root().join(&page).is_file();
        if found { Ok(()) } else { Err(format!("there is no {page}").into()) }
    })
}

fn failure(path: &str, problems: &[Problem]) -> Failed {
    let lines = problems.iter().map(|problem| {
        format!("{path}:{}: {}", problem.line, problem.says.replace('\n', "\n  "))
    });
    lines.collect::<Vec<String>>().join("\n").into()
}

/// Writes what was found into every block that differs.
fn accept() -> io::Result<()> {
    for path in files(".md")? {
        let file = root().join(&path);
        let old = fs::read_to_string(&file)?;
        let mut text = old.clone();
        let mut at = 0;
        // A block that changes length moves the cases below it: read again after each.
        while let Ok(page) = read(&path, &text) {
            let Some(case) = page.cases.get(at) else {
                break;
            };
            let outcome = run(&page, case, &|name| base(&path, name));
            text = outcome.rewritten.unwrap_or(text);
            at += 1;
        }
        if text != old {
            fs::write(&file, text)?;
        }
    }
    Ok(())
}

/// The text of a base: in the folder `bases` beside the page, or beside a folder that
/// the page is in.
fn base(page: &str, name: &str) -> Option<String> {
    let mut folders = Path::new(page).ancestors().skip(1);
    folders.find_map(|folder| {
        fs::read_to_string(root().join(folder).join("bases").join(name)).ok()
    })
}

/// The files below the folders whose names end so, with `/` in their paths, in order.
fn files(ending: &str) -> io::Result<Vec<String>> {
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> =
        FOLDERS.iter().map(|folder| root().join(folder)).collect();
    while let Some(folder) = folders.pop() {
        if !folder.is_dir() {
            continue;
        }
        for child in fs::read_dir(&folder)? {
            let path = child?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                let shown = path.strip_prefix(root()).unwrap_or(&path);
                found.push(shown.to_string_lossy().replace('\\', "/"));
            }
        }
    }
    // What the front page shows is true.
    found.extend(Some("README.md".to_owned()).filter(|page| page.ends_with(ending)));
    found.sort();
    Ok(found)
}

/// The folder of the project.
fn root() -> &'static Path {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here)
}

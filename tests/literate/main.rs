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

use std::iter::{self, repeat};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::{env, fs, io};

use libtest_mimic::{Arguments, Failed, Trial};
use trimsheet_literate::{
    Case, Outcome, Page, Problem, kinds, promises_at, read, run_under,
};
use trimsheet_project::model::Stage;
use trimsheet_project::rules::{Pack, PackFile, core, is_part};

/// Where pages are looked for, in every folder below.
const FOLDERS: [&str; 4] =
    ["tests/literate", "tests/regressions", "rules", "examples/rules"];

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
                let problems =
                    page.cases.get(at).map(|case| outcome(&page, case).problems);
                match problems.unwrap_or_default() {
                    none if none.is_empty() => Ok(()),
                    problems => Err(failure(&page.path, &problems)),
                }
            })
        })
        .collect();
    trials.extend((0..page.cases.len()).map(|at| remedies_hold(&page, at)));
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

/// Every remedy of a test keeps its promise at every stage, whatever the test is about.
fn remedies_hold(page: &Arc<Page>, at: usize) -> Trial {
    let page = Arc::clone(page);
    let name = page.cases.get(at).map_or("", |case| &case.name);
    Trial::test(
        format!("{}::{name}: remedies hold at every stage", page.path),
        move || {
            let bases = |name: &str| base(&page.path, name);
            let packs = packs(&page);
            let mut broken = Vec::new();
            for (stage, case) in Stage::ALL.iter().zip(repeat(page.cases.get(at))) {
                let problems = case.map(|case| promises_at(case, &bases, &packs, *stage));
                broken.extend(problems.into_iter().flatten().map(
                    |Problem { line, says }| Problem {
                        line,
                        says: format!("at the stage {stage} {says}"),
                    },
                ));
            }
            if broken.is_empty() { Ok(()) } else { Err(failure(&page.path, &broken)) }
        },
    )
}

/// The packs that judge a page: the built-in one, and the one that the page stands in.
fn packs(page: &Page) -> Vec<Pack> {
    let own = page.path.strip_prefix("examples/").and_then(pack);
    iter::once(core()).chain(own).collect()
}

/// Checks a test: under the built-in pack, and the one that the page stands in.
fn outcome(page: &Page, case: &Case) -> Outcome {
    let bases = |name: &str| base(&page.path, name);
    run_under(page, case, &bases, &packs(page))
}

/// The pack that a file stands in, below `rules/`.
fn pack(path: &str) -> Option<Pack> {
    let name = path.strip_prefix("rules/")?.split('/').next()?;
    let place = format!("examples/rules/{name}");
    let files = files_of(&place, "").ok()?;
    let files = files.into_iter().filter_map(|path| {
        let inside = path.strip_prefix(&format!("{place}/"))?.to_owned();
        let text = fs::read_to_string(root().join(&path)).ok()?;
        is_part(&inside).then_some(PackFile { path: inside, text: text.into() })
    });
    Some(Pack { name: name.into(), files: files.collect(), place })
}

fn is_rule(script: &str) -> bool {
    let is_step = script.contains("/steps/");
    !is_step && (script.starts_with("rules/") || script.starts_with("examples/rules/"))
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
            let outcome = outcome(&page, case);
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

/// The pages and scripts: files whose names end so, with `/` in their paths, in order.
fn files(ending: &str) -> io::Result<Vec<String>> {
    let mut found = Vec::new();
    for folder in FOLDERS {
        found.extend(files_of(folder, ending)?);
    }
    // What the front page shows is true.
    found.extend(Some("README.md".to_owned()).filter(|page| page.ends_with(ending)));
    // The pages for whoever writes rules are tested where the program and they are made.
    let is_guide =
        |path: &str| path.starts_with("rules/") && path.matches("/").count() == 1;
    found.retain(|path| !is_guide(path));
    found.sort();
    Ok(found)
}

/// The files below a folder whose names end so.
fn files_of(folder: &str, ending: &str) -> io::Result<Vec<String>> {
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = vec![root().join(folder)];
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
    Ok(found)
}

/// The folder of the project.
fn root() -> &'static Path {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here)
}

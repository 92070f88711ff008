//! `trimsheet rules test`

use trimsheet_literate::{Page, Problem, kinds, read, run_under};
use trimsheet_output::{Report, findings};
use trimsheet_project::rules::{Pack, core};
use trimsheet_project::source::Sources;
use trimsheet_project::{Host, read_pack};

use crate::disk::{self, Disk};
use crate::{End, screen};

/// Runs every example of a pack, and refuses a rule that has not enough of them.
pub(crate) fn test(folder: &str, only: Option<&str>, accept: bool) -> End {
    let pack = match read_pack(&Disk, folder) {
        Ok(pack) => pack,
        Err(why) => {
            screen::complain(&format!("the pack {folder} cannot be used: {why}"));
            return End::CouldNotRun;
        }
    };
    let is_wanted =
        |path: &str| path.ends_with(".md") && only.is_none_or(|only| path.contains(only));
    if let Some(only) = only
        && !pack.files.iter().any(|file| is_wanted(&file.path))
    {
        screen::complain(&format!(
            "no page of the pack {folder} has \"{only}\" in its path"
        ));
        return End::CouldNotRun;
    }
    let packs = packs(&pack);
    let loads = show_faults(&packs);
    let mut run = Run {
        pack: &pack,
        packs: &packs,
        ran: 0,
        failed: 0,
        refused: 0,
        unwritten: false,
    };
    for file in pack.files.iter().filter(|file| is_wanted(&file.path)) {
        run.page(&file.path, &file.text, accept);
    }
    let examples = if run.ran == 1 { "example" } else { "examples" };
    screen::print(&format!(
        "{}: {} {examples} ran, {} as expected, {} not\n",
        pack.name,
        run.ran,
        run.ran - run.failed,
        run.failed
    ));
    match (run.unwritten, loads && run.failed + run.refused == 0) {
        (true, _) => End::CouldNotRun,
        (false, true) => End::Clear,
        (false, false) => End::Found,
    }
}

/// The rules that a pack's examples are judged by: its own, and those it stands on.
fn packs(pack: &Pack) -> Vec<Pack> {
    if pack.name == "core" {
        vec![pack_as_core(pack)]
    } else {
        vec![core(), pack.clone()]
    }
}

/// A working copy of the core pack, which is tested in the place of the built-in one.
fn pack_as_core(pack: &Pack) -> Pack {
    Pack { place: core().place, ..pack.clone() }
}

/// Shows what is wrong with the pack itself; whether nothing is.
fn show_faults(packs: &[Pack]) -> bool {
    let mut sources = Sources::default();
    let loaded = trimsheet_project::script::load(packs, &mut sources);
    if loaded.findings.is_empty() {
        return true;
    }
    screen::print(&findings(&Report::of(&sources, &loaded.findings), &screen::look()));
    false
}

struct Run<'a> {
    pack: &'a Pack,
    packs: &'a [Pack],
    ran: usize,
    failed: usize,
    /// Rules that have not enough examples.
    refused: usize,
    /// Whether a page that was accepted could not be written.
    unwritten: bool,
}

impl Run<'_> {
    fn page(&mut self, path: &str, text: &str, accept: bool) {
        // A page below `rules/` is about the rule of its name.
        let shown = format!("rules/{}/{path}", self.pack.name);
        let mut text = text.to_owned();
        let mut at = 0;
        loop {
            let page = match read(&shown, &text) {
                Ok(page) => page,
                Err(problems) => {
                    self.failed += 1;
                    self.ran += 1;
                    self.tell(path, "the page", &problems);
                    return;
                }
            };
            let Some(case) = page.cases.get(at) else {
                self.refuse(path, &page);
                break;
            };
            let name = case.name.rsplit(" / ").next().unwrap_or(&case.name).to_owned();
            let outcome =
                run_under(&page, case, &|base| self.base(path, base), self.packs);
            match outcome.rewritten.filter(|_| accept) {
                // A block that changes its length moves the cases below: read again.
                Some(rewritten) => {
                    text = rewritten;
                    self.write(path, &name, &text);
                }
                None => {
                    self.ran += 1;
                    self.failed += usize::from(!outcome.problems.is_empty());
                    self.tell(path, &name, &outcome.problems);
                    at += 1;
                }
            }
        }
    }

    fn tell(&self, path: &str, name: &str, problems: &[Problem]) {
        if problems.is_empty() {
            screen::show(&format!("{path}: {name}: as expected\n"));
            return;
        }
        screen::show(&format!("{path}: {name}: NOT as expected\n"));
        for problem in problems {
            let says = problem.says.replace('\n', "\n      ");
            let place = format!("{}/{path}:{}", self.pack.place, problem.line);
            screen::show(&format!("    {place}: {says}\n"));
        }
    }

    /// A rule without an example that fires and one that stays quiet proves nothing.
    fn refuse(&mut self, path: &str, page: &Page) {
        let is_rule = self
            .pack
            .files
            .iter()
            .any(|file| file.path.strip_suffix(".rhai") == path.strip_suffix(".md"));
        let found = kinds(page);
        let lacks = match (found.fires, found.stays_quiet) {
            (true, true) => return,
            (false, true) => "an example that it finds something in",
            (true, false) => "an example that it finds nothing in",
            (false, false) => {
                "examples: one that it finds something in, and one in which it does not"
            }
        };
        if is_rule {
            self.refused += 1;
            screen::print(&format!("{path}: refused, because the rule lacks {lacks}\n"));
        }
    }

    /// A base: in the folder `bases` of the page's group, or of the pack.
    fn base(&self, path: &str, name: &str) -> Option<String> {
        let group =
            path.rsplit_once('/').map_or(String::new(), |(group, _)| format!("{group}/"));
        let place = &self.pack.place;
        let tried =
            [format!("{place}/{group}bases/{name}"), format!("{place}/bases/{name}")];
        let bytes = tried.iter().find_map(|path| Disk.read(path).ok())?;
        String::from_utf8(bytes).ok()
    }

    fn write(&mut self, path: &str, name: &str, text: &str) {
        let whole = format!("{}/{path}", self.pack.place);
        match disk::write_over(&self.pack.place, &whole, text) {
            Ok(()) => {
                screen::show(&format!("{path}: {name}: accepted what was found\n"));
            }
            Err(why) => {
                self.unwritten = true;
                screen::complain(&format!("cannot write {whole}: {why}"));
            }
        }
    }
}

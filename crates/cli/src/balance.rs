//! `trimsheet balance`

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::source::{Finding, Level, nearest};
use trimsheet_project::{Opened, open};
use trimsheet_report::{Sheet, csv::csv, json::json, text};

use crate::arguments::{Balance, SheetFormat};
use crate::disk::Disk;
use crate::{End, rules, screen, sweep};

/// Prints the sheet of a spec; what could not be read of it is said first.
pub(crate) fn balance(wanted: &Balance) -> End {
    if let Some(phrase) = &wanted.sweep {
        return sweep::sweep(wanted, phrase);
    }
    let file = &wanted.file;
    let Some(settings) = rules::settings(&wanted.under) else { return End::CouldNotRun };
    let mut opened = match open(&Disk, file, &settings) {
        Ok(opened) => opened,
        Err(trouble) => {
            screen::complain(&format!("cannot read {file}: {trouble}"));
            return End::CouldNotRun;
        }
    };
    in_order(&mut opened);
    let is_damaged = opened.findings.iter().any(|one| one.level >= Level::Error);
    if is_damaged {
        screen::warn(&findings(&opened, wanted));
    }
    // A file with more faults than anybody reads is no spec yet.
    if opened.findings.iter().any(|one| one.rule.0 == TOO_MANY) {
        screen::complain(&format!("no sheet is made of {file} before more of it reads"));
        return End::Found;
    }
    let sheet = match chosen(Sheet::new(&opened.facts, &opened.sources), wanted) {
        Ok(sheet) => sheet,
        Err(says) => {
            screen::complain(&says);
            return End::CouldNotRun;
        }
    };
    screen::print(&match wanted.format {
        SheetFormat::Text => text(&sheet, screen::look().width),
        SheetFormat::Json => json(&sheet),
        SheetFormat::Csv => csv(&sheet),
    });
    if is_damaged { End::Found } else { End::Clear }
}

/// By file and place, each once.
fn in_order(opened: &mut Opened) {
    let key = |finding: &Finding| (finding.primary.span, finding.rule.clone());
    opened.findings.sort_by_key(key);
    opened.findings.dedup();
}

/// The finding that stands for all those of a file that are not shown.
const TOO_MANY: &str = "read/too-many";

fn findings(opened: &Opened, wanted: &Balance) -> String {
    let report = Report {
        sources: &opened.sources,
        findings: &opened.findings,
        cannot_say: &[],
        figures: &[],
        waived: &[],
        summary: Summary {
            stage: wanted.under.stage.map(|stage| stage.word().to_owned()),
            files: 1,
            ..Summary::new(Level::Error)
        },
    };
    terminal(&report, &screen::look())
}

/// The sheet with the loadout that was asked for, or with all of them.
fn chosen(sheet: Sheet, wanted: &Balance) -> Result<Sheet, String> {
    let names: Vec<String> =
        sheet.loadouts.iter().map(|loadout| loadout.name.clone()).collect();
    let Some(wanted_name) = &wanted.loadout else {
        let file = &wanted.file;
        let none = format!(
            "{file} is about no aircraft, so there is nothing to balance: it has no \
             model, no wing and no loadout"
        );
        return if names.is_empty() { Err(none) } else { Ok(sheet) };
    };
    sheet.only(wanted_name).ok_or_else(|| {
        let near = nearest(wanted_name, names.iter().map(String::as_str));
        let near = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
        let names = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
        let file = &wanted.file;
        format!("no loadout of {file} is called {wanted_name}{near} (it has {names})")
    })
}

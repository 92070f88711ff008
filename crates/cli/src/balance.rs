//! `trimsheet balance`

use trimsheet_report::{Sheet, csv::csv, json::json, text};

use crate::arguments::{Balance, SheetFormat};
use crate::opened::{no_such, opened};
use crate::{End, screen, sweep};

/// Prints the sheet of a spec; what could not be read of it is said first.
pub(crate) fn balance(wanted: &Balance) -> End {
    if let Some(phrase) = &wanted.sweep {
        return sweep::sweep(wanted, phrase);
    }
    let (opened, is_damaged) = match opened(&wanted.file, &wanted.under, "sheet") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
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

/// The sheet with the loadout that was asked for, or with all of them.
fn chosen(sheet: Sheet, wanted: &Balance) -> Result<Sheet, String> {
    let file = &wanted.file;
    let names: Vec<String> =
        sheet.loadouts.iter().map(|loadout| loadout.name.clone()).collect();
    let Some(wanted_name) = &wanted.loadout else {
        let none = format!(
            "{file} is about no aircraft, so there is nothing to balance: it has no \
             model, no wing and no loadout"
        );
        return if names.is_empty() { Err(none) } else { Ok(sheet) };
    };
    sheet.only(wanted_name).ok_or_else(|| no_such("loadout", file, wanted_name, &names))
}

//! `trimsheet wiring`

use trimsheet_report::wiring::drawing::drawing;
use trimsheet_report::wiring::{Wiring as Sheet, csv, json, text};

use crate::arguments::{SheetFormat, Wiring};
use crate::opened::opened;
use crate::{End, drawn, screen};

/// Prints the wiring sheet of a spec, or draws it.
pub(crate) fn wiring(wanted: &Wiring) -> End {
    let (opened, is_damaged) = match opened(&wanted.file, &wanted.under, "sheet") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let sheet = Sheet::new(&opened.facts, &opened.sources);
    let end = if is_damaged { End::Found } else { End::Clear };
    if let Some(path) = &wanted.draw {
        return draw(&sheet, wanted, path, end);
    }
    screen::print(&match wanted.format {
        SheetFormat::Text => text(&sheet, screen::look().width),
        SheetFormat::Json => json(&sheet),
        SheetFormat::Csv => csv(&sheet),
    });
    end
}

/// Writes the drawing into a file that is not there yet.
fn draw(sheet: &Sheet, wanted: &Wiring, path: &str, end: End) -> End {
    if drawn::stem(path, "the drawing").is_none() {
        return End::CouldNotRun;
    }
    let drawing = match drawing(sheet) {
        Ok(drawing) => drawing,
        Err(why) => {
            screen::complain(&format!(
                "no wiring of {} is drawn: {why}; see `trimsheet wiring {0}`",
                wanted.file
            ));
            return End::CouldNotRun;
        }
    };
    if !drawn::write(path, &drawing.svg) {
        return End::CouldNotRun;
    }
    screen::print(&format!("Print it on {}.\n{NEXT}", drawing.paper));
    end
}

const NEXT: &str =
    "Take the propeller off, and check polarity with a meter, before a pack is \
                    connected.
";

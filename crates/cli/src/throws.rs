//! `trimsheet throws`

use trimsheet_report::throws::gauge::{Gauges, gauges};
use trimsheet_report::throws::{Throws as Card, csv, json, text};

use crate::arguments::{SheetFormat, Throws};
use crate::opened::{no_such, opened};
use crate::{End, drawn, screen};

/// Prints the throws card of a spec, or writes the gauges of it.
pub(crate) fn throws(wanted: &Throws) -> End {
    let (opened, is_damaged) = match opened(&wanted.file, &wanted.under, "card") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let card = match chosen(Card::new(&opened.facts, &opened.sources), wanted) {
        Ok(card) => card,
        Err(says) => {
            screen::complain(&says);
            return End::CouldNotRun;
        }
    };
    let end = if is_damaged { End::Found } else { End::Clear };
    if let Some(path) = &wanted.gauge {
        return draw(&card, wanted, path, end);
    }
    screen::print(&match wanted.format {
        SheetFormat::Text => text(&card, screen::look().width),
        SheetFormat::Json => json(&card),
        SheetFormat::Csv => csv(&card),
    });
    end
}

/// The card with the surface that was asked for, or with all of them.
fn chosen(card: Card, wanted: &Throws) -> Result<Card, String> {
    let Some(name) = &wanted.surface else { return Ok(card) };
    let names: Vec<String> =
        card.surfaces.iter().map(|surface| surface.name.clone()).collect();
    card.only(name).ok_or_else(|| no_such("surface", &wanted.file, name, &names))
}

/// Writes the gauges, each sheet into a file that is not there yet.
fn draw(card: &Card, wanted: &Throws, path: &str, end: End) -> End {
    let Some(stem) = drawn::stem(path, "the gauges") else { return End::CouldNotRun };
    let Gauges { sheets, left_out } = gauges(card);
    left_out.iter().for_each(|says| screen::complain(says));
    if sheets.is_empty() {
        screen::complain(&format!(
            "there is no throw in {} that a gauge can be drawn of: see `trimsheet throws {0}`",
            wanted.file
        ));
        return End::CouldNotRun;
    }
    for (at, sheet) in sheets.iter().enumerate() {
        let path =
            if at == 0 { path.to_owned() } else { format!("{stem}-{}.svg", at + 1) };
        if !drawn::write(&path, sheet) {
            return End::CouldNotRun;
        }
    }
    screen::print(NEXT);
    if left_out.is_empty() { end } else { End::Found }
}

const NEXT: &str = "Print at 100 %, not fitted to the page, and measure the bar: 50 mm.
Set throws with the propeller off.
";

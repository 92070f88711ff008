//! The mass and balance sheet against published loading sheets: spec text in, sheet out.

use trimsheet_project::{Memory, Settings, open};
use trimsheet_report::{Sheet, csv::csv, text};

use crate::rows::row;

/// A spec with one part for each mass of a row, in pounds and inches.
fn spec(things: &[(f64, f64)]) -> String {
    let mut text = "model loading\nwing: band 9 in aft..20 in aft [plan]\n".to_owned();
    for (at, (mass, station)) in things.iter().enumerate() {
        let side = if *station < 0.0 { "ahead" } else { "aft" };
        text += &format!(
            "part p{at}: mass {mass} lb ± 0.1 lb [weighed]; at {} in {side} ± 0.01 in [measured]\n",
            station.abs()
        );
    }
    text
}

fn assert_sheet(id: &str) {
    let row = row(id);
    let things = row.masses_at_stations();
    let host = Memory::new().with("loading.trim", spec(&things));
    let opened = open(&host, "loading.trim", &Settings::default()).unwrap();
    assert!(opened.findings.is_empty(), "{:#?}", opened.findings);
    let sheet = Sheet::new(&opened.facts, &opened.sources);
    let loadout = &sheet.loadouts[0];
    assert_eq!(loadout.items.len(), things.len());
    let total = loadout.total.as_ref().unwrap();
    let expected = row.numbers("expected");
    row.assert("weight", total.mass.value(), expected[0], 1e-6);
    // The published sheet rounds the moment of each line to a whole number.
    let rounding = 0.5 * f64::from(u32::try_from(things.len()).unwrap());
    row.assert("moment", total.moment.value(), expected[1], rounding);
    row.assert("balance", total.x.value(), *expected.last().unwrap(), row.tolerance());
    assert_eq!(
        (sheet.units.mass.as_str(), sheet.units.length.as_str()),
        ("lb", "in"),
        "the builder's own units"
    );
    // What is printed is the same, in text and for a spreadsheet.
    let said = text(&sheet, 80);
    let printed = said.lines().find(|line| line.starts_with("total")).unwrap();
    let mass = format!("{}", expected[0]);
    assert!(printed.split_whitespace().any(|word| word == mass), "{printed}");
    let table = csv(&sheet);
    let printed = table.lines().find(|line| line.contains(",total,")).unwrap();
    assert!(printed.split(',').any(|cell| cell == mass), "{printed}");
}

/// FAA AC 43.13-1B, figure 10-10. Inputs and result read.
#[test]
fn reference_wb_01_as_a_sheet() {
    assert_sheet("WB-01");
}

/// FAA AC 43.13-1B, figure 10-13. Inputs and totals read; the balance point recomputed,
/// because the page prints 18.6 in where 38466/2100 is 18.32.
#[test]
fn reference_wb_03_as_a_sheet() {
    assert_sheet("WB-03");
}

/// FAA AC 43.13-1B, figure 10-14. Inputs and result read.
#[test]
fn reference_wb_04_as_a_sheet() {
    assert_sheet("WB-04");
}

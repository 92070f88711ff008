//! The mass and balance sheet of the examples, in every form.

use trimsheet_project::{Settings, open};
use trimsheet_report::{Sheet, csv::csv, json::json, text};

use super::{examples, host};

fn sheet(path: &str) -> Sheet {
    let files = examples();
    let opened = open(&host(&files), path, &Settings::default()).unwrap();
    Sheet::new(&opened.facts, &opened.sources)
}

#[test]
fn the_sheet_of_each_aircraft_looks_as_it_was_reviewed() {
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        for name in ["whinchat", "first-evening"] {
            let sheet = sheet(&format!("examples/{name}.trim"));
            insta::assert_snapshot!(format!("{name}.sheet-80.text"), text(&sheet, 80));
            insta::assert_snapshot!(format!("{name}.sheet-60.text"), text(&sheet, 60));
            insta::assert_snapshot!(format!("{name}.sheet.json"), json(&sheet));
            insta::assert_snapshot!(format!("{name}.sheet.csv"), csv(&sheet));
        }
    });
}

#[test]
fn the_sheet_says_the_same_of_the_loadouts_as_the_check() {
    let files = examples();
    let folder = ["examples/whinchat.trim".to_owned()];
    let checked = trimsheet_project::check(&host(&files), &folder, &Settings::default());
    let sheet = sheet("examples/whinchat.trim");
    for (loadout, figures) in sheet.loadouts.iter().zip(&checked.figures) {
        let total = loadout.total.as_ref().unwrap();
        for (name, number) in [("mass", &total.mass), ("balance.x", &total.x)] {
            let name = format!("{}.{name}", loadout.name);
            let said = figures.numbers.iter().find(|one| one.name.ends_with(&name));
            let said = said.unwrap_or_else(|| panic!("{name}: {:#?}", figures.numbers));
            assert!((said.value - number.value()).abs() < 1e-9, "{name}");
        }
    }
    assert_eq!(sheet.loadouts.len(), checked.figures.len());
}

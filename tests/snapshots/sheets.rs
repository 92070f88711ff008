//! The mass and balance sheet of the examples, in every form.

use trimsheet_project::{Settings, open};
use trimsheet_report::wiring::drawing::drawing;
use trimsheet_report::wiring::{self, Wiring};
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
        for name in ["whinchat", "yellowhammer", "lapwing", "first-evening"] {
            let sheet = sheet(&format!("examples/{name}.trim"));
            insta::assert_snapshot!(format!("{name}.sheet-80.text"), text(&sheet, 80));
            insta::assert_snapshot!(format!("{name}.sheet-60.text"), text(&sheet, 60));
        }
        // One of each is read by people; what programs read has one form for all.
        let sheet = sheet("examples/whinchat.trim");
        insta::assert_snapshot!("whinchat.sheet.json", json(&sheet));
        insta::assert_snapshot!("whinchat.sheet.csv", csv(&sheet));
    });
}

#[test]
fn the_wiring_of_each_aircraft_looks_as_it_was_reviewed() {
    let files = examples();
    let wiring = |name: &str| {
        let path = format!("examples/{name}.trim");
        let opened = open(&host(&files), &path, &Settings::default()).unwrap();
        Wiring::new(&opened.facts, &opened.sources)
    };
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        for name in ["whinchat", "yellowhammer", "lapwing", "first-evening"] {
            let wiring = wiring(name);
            insta::assert_snapshot!(
                format!("{name}.wiring-80.text"),
                wiring::text(&wiring, 80)
            );
        }
        let wiring = wiring("lapwing");
        insta::assert_snapshot!("lapwing.wiring.csv", wiring::csv(&wiring));
        insta::assert_snapshot!("lapwing.wiring.svg", drawing(&wiring).unwrap().svg);
    });
}

#[test]
fn the_trainer_as_weighed_is_what_the_hand_computation_says() {
    let sheet = sheet("examples/yellowhammer.trim");
    let weighed = |name: &str| {
        let mut loadouts = sheet.loadouts.iter();
        let loadout = loadouts.find(|loadout| loadout.name == name).unwrap();
        let weighed = loadout.as_weighed.as_ref().unwrap();
        (weighed.mass.as_ref().unwrap().value(), weighed.x.as_ref().unwrap().value())
    };
    let near = |one: (f64, f64), (mass, x): (f64, f64)| {
        assert!((one.0 - mass).abs() < 1e-6 && (one.1 - x).abs() < 1e-6, "{one:?}");
    };
    // Three scales less their blocks, and the hatch: 255 + 650 + 646 + 21 g. It was found
    // to balance at 78 mm aft.
    let circuits = (255.0 + 650.0 + 646.0 + 21.0, 78.0);
    near(weighed("circuits"), circuits);
    // With the pod and the seed, and the pack 2 mm further ahead.
    let moment = circuits.0 * circuits.1 + 48.0 * 84.0 + 92.0 * 80.0 - 342.0 * 2.0;
    let mass = circuits.0 + 48.0 + 92.0;
    near(weighed("sowing"), (mass, moment / mass));
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

//! What was read of a pack, which motor turns a propeller, what a flight takes.
#![expect(clippy::unwrap_used, reason = "these are tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, EntryId, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Why};

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, Stage::Installed)
}

fn called(facts: &Facts, word: &str, name: &str) -> EntryId {
    facts.of_word(word).find(|(_, entry)| entry.name == name).unwrap().0
}

const PACK: &str = "model x\npack main: cells 4S lipo\n\
    checked main 2026-03-01 by MT: volts 15.2 V; cycles 4\n\
    checked main 2026-02-01 by MT: resistance 24 mohm\n";

#[test]
fn the_latest_reading_is_the_latest_that_says_the_word_and_of_each_cell_where_wanted() {
    let facts = facts(PACK);
    let pack = called(&facts, "pack", "main");
    let ohms = facts.latest_reading(pack, "resistance").unwrap().unwrap();
    assert_eq!(ohms.date.to_string(), "2026-02-01");
    // 24 mΩ over four cells in series.
    let of_cell = facts.per_cell(pack, &ohms.value).unwrap();
    assert!((of_cell.quantity().unwrap().si() - 0.006).abs() < 1e-12);
    assert!(facts.latest_reading(pack, "capacity").unwrap().is_none());
}

#[test]
fn a_reading_that_is_not_known_hides_no_earlier_one_as_the_latest() {
    let text = format!("{PACK}checked main 2026-04-01 by MT: resistance ?\n");
    let facts = facts(&text);
    let pack = called(&facts, "pack", "main");
    let why = facts.latest_reading(pack, "resistance").unwrap_err().why;
    assert!(matches!(why, Why::Unknown(_)));
}

#[test]
fn a_propeller_is_turned_by_the_motor_on_its_side_unless_it_names_another() {
    let facts = facts(
        "part motors: kind motor; pair; at 80 mm ahead 200 mm out\n\
         part blades: kind propeller; pair; at 100 mm ahead 200 mm out\n\
         part odd: kind propeller; at 100 mm ahead 200 mm left; turned-by motors.right\n\
         part middle: kind propeller; at 100 mm ahead\n",
    );
    let turner = |name: &str| {
        let part = facts.known_entry(called(&facts, "part", name));
        facts.of(&part, "turner").map(|motor| motor.name)
    };
    assert_eq!(turner("blades.left"), Ok("motors.left".to_owned()));
    assert_eq!(turner("blades.right"), Ok("motors.right".to_owned()));
    assert_eq!(turner("odd"), Ok("motors.right".to_owned()));
    assert_eq!(turner("middle").unwrap_err().why, Why::Impossible);
}

const FLOWN: &str = "model x\npack main: cells 3S lipo; capacity 2.2 Ah\n\
    loadout trip: fits main; cruise 5 A [measured]\n";

#[test]
fn a_flight_takes_its_charge_over_its_time_and_its_plan_is_the_cruise_current() {
    let text = format!("{FLOWN}flew trip 2026-03-02 by MT: lasted 12 min; used 1.4 Ah\n");
    let facts = facts(&text);
    let flew = facts.known_entry(facts.of_word("flew").next().unwrap().0);
    let mean = facts.of(&flew, "mean_current").unwrap();
    let said = |name: &str| mean.field(name).unwrap().quantity().unwrap().si();
    // 1.4 Ah in a fifth of an hour are 7 A, two fifths more than 5 A.
    assert!((said("flown") - 7.0).abs() < 1e-9);
    assert!((said("planned") - 5.0).abs() < 1e-9);
    assert!((said("share") - 0.4).abs() < 1e-9);
}

#[test]
fn a_plan_climbs_no_longer_than_the_flight_lasted() {
    let text = "model x\npack main: cells 3S lipo; capacity 2.2 Ah\n\
        part puller: kind motor; draws 20 A steady\n\
        loadout trip: fits main; cruise 5 A [measured]; climbs 40 s\n\
        flew trip 2026-03-02 by MT: lasted 2 min; used 0.3 Ah\n\
        flew trip 2026-03-03 by MT: lasted 30 s; used 0.3 Ah\n";
    let facts = facts(text);
    let planned = |at: usize| {
        let flew = facts.known_entry(facts.of_word("flew").nth(at).unwrap().0);
        let mean = facts.of(&flew, "mean_current").unwrap();
        mean.field("planned").unwrap().quantity().unwrap().si()
    };
    // 80 s at 5 A and 40 s at 20 A; then all of 30 s at 20 A.
    assert!((planned(0) - 10.0).abs() < 1e-9);
    assert!((planned(1) - 20.0).abs() < 1e-9);
}

#[test]
fn a_record_is_about_the_parts_and_the_packs_that_it_names() {
    let facts = facts(
        "model x\npack main: cells 3S lipo\npart puller: kind motor\n\
         done charged 2026-03-02 by MT: concerns main puller\n",
    );
    let done = facts.known_entry(facts.of_word("done").next().unwrap().0);
    assert_eq!(facts.of(&done, "named_parts").unwrap().to_string(), "puller");
    assert_eq!(facts.of(&done, "named_packs").unwrap().to_string(), "main");
}

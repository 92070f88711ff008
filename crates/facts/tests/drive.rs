//! What drives a loadout: working points, what wins over them, endurance and range.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, NotKnown, What};

const MODEL: &str = r#"model plover
    launch hand
wing [plan]
    layout tailless pusher
    rib 0 mm out chord 220 mm leading-edge 0 mm aft
    rib 600 mm out chord 160 mm leading-edge 20 mm aft
    drag 4 % ± 1 % [estimated]
    trim-speed 12 m/s
    lift-limit 110 % [estimated]
part shell: mass 600 g [weighed]; at 60 mm aft [measured]
part motor: kind motor; mass 70 g [weighed]; at 150 mm ahead [measured]
    speed-constant 900 rpm/V [measured]
    resistance 90 mohm [measured]
    no-load 0.8 A at 10 V [measured]
part controller: kind speed-controller; mass 30 g [weighed]; at 50 mm ahead [measured]
pack main: mass 200 g [weighed]; at 20 mm ahead [measured]
    cells 3S lipo
    capacity 2.0 Ah [datasheet]
    resistance 8 mohm/cell [measured]
join power: supply main -> controller
join motor-leads: supply controller -> motor
"#;

const SCREW: &str = "part screw: kind propeller; mass 12 g [weighed]; at 170 mm ahead [measured]; size 9 x 6 in\n";

fn facts(more: &str) -> Facts {
    read(&format!("{MODEL}{more}"))
}

fn read(text: &str) -> Facts {
    read_at(text, Stage::Planned)
}

fn read_at(text: &str, stage: Stage) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("plover.trim", text);
    let tree = syntax::parse(file, text);
    let documents = [Document { file, tree, shelves: Vec::new() }];
    let (build, findings) = resolve(&documents, &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, stage)
}

/// A fact of the only loadout, with `lines` added to the model with its propeller.
fn asked(lines: &str, name: &str) -> Result<Known, NotKnown> {
    let facts = facts(&format!("{SCREW}{lines}"));
    let (id, _) = facts.of_word("loadout").next().unwrap();
    facts.of(&facts.known_entry(id), name)
}

/// A number of that in SI units, with its spread.
fn number(lines: &str, name: &str, field: &str) -> (f64, f64) {
    let known = asked(lines, name).unwrap();
    let known = if field.is_empty() { &known } else { known.field(field).unwrap() };
    let quantity = known.quantity().unwrap();
    (quantity.si(), quantity.spread_si().unwrap_or(0.0))
}

fn text(lines: &str, name: &str, field: &str) -> String {
    asked(lines, name).unwrap().field(field).unwrap().to_string()
}

const LOADOUT: &str = "loadout trip: fits main";

#[test]
fn time_is_what_may_be_used_less_climbs_over_the_current_less_the_reserve() {
    let lines = "loadout trip: fits main; cruise 5 A; climbs 30 s; reserve 2 min
ran trip 2026-04-01 by KV: current 14 A [measured]\n";
    let (time, _) = number(lines, "endurance", "time");
    // 0.8 of 2 Ah, less 14 A for 30 s, at 5 A, less two minutes.
    let expected = (0.8 * 7200.0 - 14.0 * 30.0) / 5.0 - 120.0;
    assert!((time - expected).abs() < 1e-9, "{time} s");
    let (distance, _) = number(lines, "flight_range", "distance");
    assert!((distance - 12.0 * expected).abs() < 1e-6, "{distance} m");
}

#[test]
fn the_spread_of_the_time_is_that_of_its_parts_and_the_widest_is_named() {
    let lines = "loadout trip: fits main; cruise 5 A ± 0.5 A; reserve 3 min\n";
    let (time, spread) = number(lines, "endurance", "time");
    let lasts = time + 180.0;
    let (usable, unsure) = number(lines, "endurance", "usable");
    let of_charge = unsure / usable;
    let expected = lasts * (0.1_f64 * 0.1 + of_charge * of_charge).sqrt();
    assert!((spread - expected).abs() < 1e-6, "{spread} and {expected}");
    assert_eq!(text(lines, "endurance", "widest"), "cruise of loadout trip");
    let share = lasts * 0.1 / spread;
    assert!((number(lines, "endurance", "widest_share").0 - share * share).abs() < 1e-9);
}

#[test]
fn a_cruise_that_nobody_has_read_is_reckoned_and_one_that_is_stated_counts() {
    let open = "loadout trip: fits main; cruise ?\n";
    let reckoned = number(open, "level_flight", "current").0;
    assert!((number(open, "endurance", "cruise").0 - reckoned).abs() < 1e-9);
    assert_eq!(text(open, "endurance", "cruise_is_stated"), "no");
    let stated = "loadout trip: fits main; cruise 7 A [measured]\n";
    assert!((number(stated, "endurance", "cruise").0 - 7.0).abs() < 1e-9);
    assert!((number(stated, "level_flight", "current").0 - reckoned).abs() < 1e-9);
}

#[test]
fn thrust_in_level_flight_is_the_drag_and_more_drag_and_mass_draw_more() {
    let light = number(LOADOUT, "level_flight", "current").0;
    let heavy = "part tin: mass 300 g [weighed]; at 40 mm aft [measured]\nloadout trip: fits main\n";
    assert!(light < number(heavy, "level_flight", "current").0);
    let slow = "loadout trip: fits main; trim-speed 10 m/s\n";
    assert!(number(slow, "level_flight", "current").0 < light);
}

#[test]
fn a_run_with_a_meter_wins_over_what_is_reckoned_and_the_difference_is_told() {
    let run = "loadout trip: fits main
ran trip 2026-04-01 by KV: current 14 A [measured]; volts 10.8 V [measured]; thrust 6 N [measured]\n";
    assert_eq!(text(LOADOUT, "full_current", "from"), "reckoned");
    assert_eq!(text(run, "full_current", "from"), "measured");
    assert!((number(run, "full_current", "current").0 - 14.0).abs() < 1e-9);
    assert!((number(run, "static_thrust", "").0 - 6.0).abs() < 1e-9);
    assert!((number(run, "full_watts", "").0 - 151.2).abs() < 1e-9);
    let What::List(all) = asked(run, "run_differences").unwrap().what else { panic!() };
    let names: Vec<String> =
        all.iter().map(|one| one.field("what").unwrap().to_string()).collect();
    assert_eq!(names, ["current", "thrust"]);
    // Behind the volts that were read, whatever the pack resists.
    let sturdy = number(run, "full_throttle", "current").0;
    let first = all.first().unwrap().field("reckoned").unwrap().quantity().unwrap().si();
    assert!(0.7 * sturdy < first && first < sturdy, "{first} A and {sturdy} A");
}

#[test]
fn the_latest_reading_of_a_pack_wins_over_its_label() {
    let plain = "loadout trip: fits main; cruise 5 A\n";
    let aged = format!("{plain}checked main 2026-03-01 by KV: cycles 150\n");
    let read = format!(
        "{plain}checked main 2026-03-01 by KV: capacity 1.6 Ah [measured]; resistance 20 mohm/cell [measured]
checked main 2026-04-01 by KV: cycles 160\n"
    );
    let usable = |lines: &str| number(lines, "endurance", "usable").0;
    assert!((usable(plain) - 0.8 * 7200.0).abs() < 1e-9);
    assert!((usable(&aged) - 0.8 * 0.9 * 7200.0).abs() < 1e-9);
    assert!((usable(&read) - 0.8 * 1.6 * 3600.0).abs() < 1e-9);
    let sag = |lines: &str| number(lines, "sag", "each").0;
    assert!(sag(&read) < sag(plain) - 0.1);
}

#[test]
fn a_pack_in_the_cold_sags_further() {
    let at = |warmth: &str| {
        let model = format!("{MODEL}{SCREW}{LOADOUT}\n")
            .replace("    launch hand\n", &format!("    launch hand\n{warmth}"));
        let facts = read(&model);
        let (id, _) = facts.of_word("loadout").next().unwrap();
        let sag = facts.of(&facts.known_entry(id), "sag").unwrap();
        sag.field("each").unwrap().quantity().unwrap().si()
    };
    assert!(
        at("    field-temperature -5 °C\n") < at("    field-temperature 25 °C\n") - 0.05
    );
}

#[test]
fn more_resistance_in_the_leads_draws_less_at_full_throttle() {
    let thin = "loadout trip: fits main\n";
    let of = |wire: &str| {
        let facts =
            facts(&format!("{SCREW}{thin}join more: supply main -> controller{wire}\n"));
        let (id, _) = facts.of_word("loadout").next().unwrap();
        let full = facts.of(&facts.known_entry(id), "full_throttle").unwrap();
        full.field("current").unwrap().quantity().unwrap().si()
    };
    assert!(of("; wire 18 awg 600 mm") < of("") - 0.1);
}

#[test]
fn what_is_reckoned_behind_volts_is_no_surer_than_the_meter_that_read_them() {
    let of_volts = |volts: &str| {
        let run = format!(
            "{LOADOUT}\nran trip 2026-04-01 by KV: current 14 A [measured]; volts {volts} [measured]\n"
        );
        let all = asked(&run, "run_differences").unwrap();
        let What::List(all) = all.what else { panic!() };
        let reckoned = all.first().unwrap().field("reckoned").unwrap();
        let quantity = reckoned.quantity().unwrap();
        (quantity.si(), quantity.spread_si().unwrap())
    };
    let (_, fine) = of_volts("10.8 V ± 0.001 V");
    let (_, coarse) = of_volts("10.8 V ± 0.5 V");
    let by_volts = (of_volts("11.3 V").0 - of_volts("10.3 V").0) / 2.0;
    let expected = (fine * fine + by_volts * by_volts).sqrt();
    assert!((coarse - expected).abs() < 0.01 * expected, "{coarse} and {expected} A");
}

#[test]
fn turns_are_the_most_that_runs_read_back_to_one_on_full_packs() {
    let of = |runs: &str| {
        let lines = format!("{LOADOUT}\n{runs}");
        let rpm = number(&lines, "full_turns", "rpm").0 * 60.0 / std::f64::consts::TAU;
        let flags = ["from", "is_full"].map(|field| text(&lines, "full_turns", field));
        (rpm.round(), flags.join(" "))
    };
    let reckoned =
        number(LOADOUT, "full_throttle", "rpm").0 * 60.0 / std::f64::consts::TAU;
    assert_eq!(of(""), (reckoned.round(), "reckoned yes".into()));
    let half =
        "ran trip 2026-04-03 by KV: rpm 7000 rpm [measured]; volts 10.2 V [measured]\n";
    assert_eq!(of(half), (7000.0, "measured no".into()));
    let bare = "ran trip 2026-04-03 by KV: rpm 7000 rpm [measured]\n";
    assert_eq!(of(bare), (7000.0, "measured no".into()));
    let full =
        "ran trip 2026-04-02 by KV: rpm 8000 rpm [measured]; volts 12.4 V [measured]\n";
    let early =
        "ran trip 2026-04-01 by KV: rpm 9000 rpm [measured]; volts 12.4 V [measured]\n";
    assert_eq!(of(&format!("{early}{full}{half}")), (8000.0, "measured yes".into()));
    assert_eq!(of(&format!("{early}{half}")), (9000.0, "measured yes".into()));
    let open = "ran trip 2026-04-03 by KV: rpm ?; volts 12.4 V [measured]\n";
    assert_eq!(of(open), (reckoned.round(), "reckoned yes".into()));
    // Nine inches at 8000 rpm, from circle and pitch alone.
    let lines = format!("{LOADOUT}\n{full}");
    let tips = number(&lines, "full_speeds", "tip_speed").0;
    assert!((tips - std::f64::consts::PI * 0.2286 * 8000.0 / 60.0).abs() < 1e-6);
    let ahead = number(&lines, "full_speeds", "pitch_speed").0;
    assert!((ahead - 0.1524 * 8000.0 / 60.0).abs() < 1e-6, "{ahead} m/s");
}

/// What keeps the drive from working, with what the line says that it is marked on.
fn faults_of(text: &str) -> Vec<String> {
    let facts = read(text);
    let found = facts.of(&facts.whole(), "drive_faults").unwrap();
    let What::List(all) = found.what else { panic!("no list") };
    all.iter().map(|one| one.field("says").unwrap().to_string()).collect()
}

#[test]
fn what_cannot_work_says_why() {
    assert_eq!(faults_of(&format!("{MODEL}{SCREW}{LOADOUT}\n")), Vec::<String>::new());
    assert_eq!(
        faults_of(&format!("{MODEL}{LOADOUT}\n")),
        ["part motor has no propeller on it"]
    );
    let weak = format!("{MODEL}{SCREW}{LOADOUT}\n").replace("8 mohm/cell", "10 ohm/cell");
    let all = faults_of(&weak);
    let [says] = all.as_slice() else { panic!("{all:?}") };
    assert!(says.starts_with("no working point: its motor has"), "{says}");
    let flat = format!("{MODEL}{SCREW}{LOADOUT}\n").replace("9 x 6 in", "9 x 1 in");
    let all = faults_of(&flat);
    let [says] = all.as_slice() else { panic!("{all:?}") };
    assert!(says.contains("its pitch is 0.11 of its diameter"), "{says}");
}

#[test]
fn a_motor_without_a_propeller_is_a_fault_whatever_else_is_not_known_of_it() {
    let plain = format!("{MODEL}{LOADOUT}\n");
    let fault = ["part motor has no propeller on it"];
    for (word, value) in [
        ("speed-constant", "900 rpm/V"),
        ("resistance", "90 mohm"),
        ("no-load", "0.8 A at 10 V"),
    ] {
        let line = format!("    {word} {value} [measured]\n");
        assert!(plain.contains(&line));
        assert_eq!(faults_of(&plain.replace(&line, &format!("    {word} ?\n"))), fault);
    }
    // Without any constant the spec may be half written, until all of it is installed.
    let bare = plain.lines().filter(|line| {
        let line = line.trim_start();
        let constants = ["speed-constant", "resistance 90", "no-load"];
        !constants.iter().any(|word| line.starts_with(word))
    });
    let bare = bare.collect::<Vec<_>>().join("\n");
    for (stage, count) in
        [(Stage::Planned, 0), (Stage::Bench, 0), (Stage::Installed, 1), (Stage::Flown, 1)]
    {
        let facts = read_at(&bare, stage);
        let found = facts.of(&facts.whole(), "drive_faults").unwrap();
        let What::List(all) = found.what else { panic!("no list") };
        assert_eq!(all.len(), count, "{stage:?}");
    }
    // A propeller that stays at home is one that somebody has written.
    let home = format!("{bare}; without screw\n{SCREW}");
    assert_eq!(faults_of(&home), fault);
}

#[test]
fn what_nobody_knows_of_a_drive_is_neither_a_fault_nor_sound() {
    let open = format!("{MODEL}{SCREW}{LOADOUT}\n").replace("90 mohm", "?");
    assert_eq!(faults_of(&open), Vec::<String>::new());
    let facts = read(&open);
    let (id, _) = facts.of_word("loadout").next().unwrap();
    let why = facts.of(&facts.known_entry(id), "drive_known").unwrap_err();
    assert!(why.says.contains("resistance"), "{why}");
    assert_eq!(asked(LOADOUT, "drive_known").unwrap().to_string(), "yes");
}

const SPARE: &str = "pack rx: mass 40 g [weighed]; at 0 mm aft [measured]; cells 2S nimh; capacity 1 Ah [datasheet]
part ear: kind receiver; mass 8 g [weighed]; at 10 mm aft [measured]; needs 4..9 V 0.1 A steady
join ears: supply rx -> ear
";

#[test]
fn a_pack_that_feeds_no_motor_is_not_counted_to_those_that_do() {
    let plain = "loadout trip: fits main; cruise 5 A [measured]; timer 9 min\n";
    let two = format!(
        "{SPARE}loadout trip: fits main; fits rx; cruise 5 A [measured]; timer 9 min\n"
    );
    for (name, field) in
        [("endurance", "usable"), ("sag", "at_rest"), ("charge_used", "share")]
    {
        let (one, both) = (number(plain, name, field).0, number(&two, name, field).0);
        assert!((one - both).abs() < 1e-9, "{name}.{field}: {one} and {both}");
    }
    let one = number(plain, "full_throttle", "current").0;
    assert!((one - number(&two, "full_throttle", "current").0).abs() < 1e-9);
    let What::List(packs) = asked(&two, "driving_packs").unwrap().what else { panic!() };
    assert_eq!(packs.len(), 1);
}

#[test]
fn climbs_that_use_all_of_the_charge_leave_no_time_and_are_not_unknown() {
    let lines = "loadout trip: fits main; cruise 5 A [measured]; climbs 20 min\n";
    assert!(number(lines, "endurance", "time").0 < 1e-9);
}

#[test]
fn a_pack_older_or_colder_than_anybody_knows_is_not_known() {
    let plain = "loadout trip: fits main; cruise 5 A\n";
    let old = format!("{plain}checked main 2026-03-01 by KV: cycles 601\n");
    let why = asked(&old, "endurance").unwrap_err();
    assert!(why.says.contains("after 601 charges"), "{why}");
    let text = format!("{MODEL}{SCREW}{LOADOUT}\n")
        .replace("    launch hand\n", "    launch hand\n    field-temperature -21 °C\n");
    let facts = read(&text);
    let (id, _) = facts.of_word("loadout").next().unwrap();
    let why = facts.of(&facts.known_entry(id), "sag").unwrap_err();
    assert!(why.says.contains("in that cold"), "{why}");
}

#[test]
fn a_single_measured_row_makes_flight_no_surer_than_an_estimate() {
    let spread = |more: &str| {
        let text = format!("{MODEL}{SCREW}{LOADOUT}\n").replace("size 9 x 6 in", more);
        let facts = read(&text);
        let (id, _) = facts.of_word("loadout").next().unwrap();
        let level = facts.of(&facts.known_entry(id), "level_flight").unwrap();
        level.field("current").unwrap().quantity().unwrap().spread_si().unwrap()
    };
    let one = spread("size 9 x 6 in; coefficients advance 0 % thrust 11 % power 5.5 %");
    assert!(one > 0.8 * spread("size 9 x 6 in"), "{one} A");
}

#[test]
fn what_motors_state_stands_in_where_nobody_knows_what_the_pack_resists() {
    let text = format!("{MODEL}{SCREW}{SPARE}join more: supply main -> ear\n{LOADOUT}\n")
        .replace("resistance 8 mohm/cell", "resistance ?")
        .replace("no-load", "draws 20 A for 20 s [datasheet]\n    no-load");
    let facts = read(&text);
    let (id, _) = facts.of_word("loadout").next().unwrap();
    let full = facts.of(&facts.known_entry(id), "full_current").unwrap();
    assert_eq!(full.field("from").unwrap().to_string(), "stated");
    let amps = |field: &str| full.field(field).unwrap().quantity().unwrap().si();
    assert!((amps("current") - 20.1).abs() < 1e-6, "{} A", amps("current"));
    assert!((amps("beside") - 0.1).abs() < 1e-6, "{} A", amps("beside"));
    // What hangs on its volts is not known all the same.
    let why = facts.power(id).unwrap_err();
    assert!(why.says.contains("resistance of pack main"), "{why}");
}

#[test]
fn a_part_that_nobody_has_weighed_hides_nothing_of_what_drives_it() {
    let lines = "part lamp: mass ?; at 10 mm aft [measured]\nloadout trip: fits main; cruise 5 A [measured]\n";
    assert!(number(lines, "full_throttle", "current").0 > 1.0);
    assert!(number(lines, "sag", "each").0 > 3.0);
    assert!(number(lines, "endurance", "time").0 > 60.0);
}

#[test]
fn motors_that_are_not_alike_are_beyond_this_and_no_fault() {
    let other = "part second: kind motor; mass 50 g [weighed]; at 140 mm ahead [measured]
    speed-constant 1200 rpm/V [measured]
    resistance 90 mohm [measured]
    no-load 0.8 A at 10 V [measured]
part screw-of-it: kind propeller; mass 12 g [weighed]; at 160 mm ahead [measured]; size 9 x 6 in
";
    let text = format!("{MODEL}{SCREW}{other}{LOADOUT}\n");
    assert_eq!(faults_of(&text), Vec::<String>::new());
    let facts = read(&text);
    let (id, _) = facts.of_word("loadout").next().unwrap();
    let why = facts.of(&facts.known_entry(id), "full_throttle").unwrap_err();
    assert!(why.says.contains("not alike"), "{why}");
}

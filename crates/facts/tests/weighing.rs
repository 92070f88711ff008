//! Records of weighing, from their text to a mass and a place.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, NotKnown, What, Why};

/// 1000 g of known parts: 500 g at 100 mm, 200 g at -50 mm, 300 g of pack at 20 mm.
const PLAIN: &str = "\
wing [plan]
    band 40..56 mm aft best 48 mm aft
bay nose [measured]
    reach    60..130 mm ahead
    ballast  at 100 mm ahead most 60 g
part airframe: mass 500 g ± 5 g [weighed]; at 100 mm aft ± 2 mm [measured]
part motor: mass 200 g ± 2 g [weighed]; at 50 mm ahead ± 1 mm [measured]
part camera: mass 100 g ± 1 g [weighed]; at 80 mm ahead ± 1 mm [measured]; optional
pack main
    mass 300 g ± 3 g [weighed]
    slides 40 mm ahead..60 mm aft [plan]
loadout ferry: fits main at 20 mm aft ± 1 mm [measured]; without camera
loadout survey: fits main at 50 mm aft ± 1 mm [measured]; with camera
";

const STAND: &str = "\
weighed ferry 2026-03-01: mass 1010 g ± 2 g [weighed]
balanced ferry 2026-03-01: at 44 mm aft ± 1 mm [measured]; level
";

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let said: Vec<&str> = findings.iter().map(|one| one.headline.as_str()).collect();
    assert!(said.is_empty(), "{said:?}\n{text}");
    Facts::new(build, Stage::Installed)
}

fn with(records: &str) -> Facts {
    facts(&format!("{PLAIN}{records}"))
}

/// The first entry of a word, or the one of a name.
fn entry(facts: &Facts, word: &str, name: &str) -> Known {
    let all = facts.of(&facts.whole(), word).unwrap();
    let What::List(all) = all.what else { panic!("a list was expected") };
    let mut all = all.iter().filter(|one| name.is_empty() || one.name == name);
    all.next().cloned().unwrap()
}

fn asked(facts: &Facts, loadout: &str, name: &str) -> Result<Known, NotKnown> {
    facts.of(&entry(facts, "loadouts", loadout), name)
}

/// Mass in grams and place in millimetres, each with its spread.
fn numbers(record: &Known) -> [f64; 4] {
    let pair = |name: &str| {
        let quantity = record.field(name).unwrap().quantity().unwrap();
        (quantity.si() * 1000.0, quantity.spread_si().unwrap() * 1000.0)
    };
    let (mass, x) = (pair("mass"), pair("x"));
    [mass.0, mass.1, x.0, x.1]
}

fn as_weighed(facts: &Facts, loadout: &str) -> [f64; 4] {
    numbers(&asked(facts, loadout, "as_weighed").unwrap())
}

fn assert_near(found: [f64; 4], expected: [f64; 4]) {
    for (one, two) in found.iter().zip(expected) {
        assert!((one - two).abs() < 1e-6, "found {found:?}, expected {expected:?}");
    }
}

fn words(known: &Known) -> Vec<String> {
    let What::List(all) = &known.what else { panic!("a list was expected") };
    all.iter().map(ToString::to_string).collect()
}

fn cannot_say(facts: &Facts, loadout: &str, name: &str) -> String {
    asked(facts, loadout, name).unwrap_err().says
}

#[test]
fn a_scale_and_a_stand_give_what_they_showed_with_their_spread() {
    let facts = with(STAND);
    assert_near(as_weighed(&facts, "ferry"), [1010.0, 2.0, 44.0, 1.0]);
    let record = asked(&facts, "ferry", "as_weighed").unwrap();
    let base = record.field("base").unwrap();
    assert_eq!(base.to_string(), "ferry weighed 2026-03-01, ferry balanced 2026-03-01");
    let line = PLAIN.len() + STAND.find("balanced").unwrap();
    assert_eq!(base.span.unwrap().start, line);
}

#[test]
fn the_balance_of_the_list_is_the_same_with_records_and_without() {
    let without = facts(PLAIN);
    let with = with(STAND);
    let list = |facts: &Facts| numbers(&asked(facts, "ferry", "balance").unwrap());
    assert_near(list(&without), list(&with));
}

#[test]
fn another_loadout_follows_by_what_is_put_on_and_moved() {
    let facts = with(STAND);
    // 1010 x 44 - 300 x 20 + 300 x 50 + 100 x -80 = 45440, over 1110.
    let at = 45_440.0 / 1110.0;
    let by_hand: f64 = [
        // The scale: what it says in doubt is carried at 44 mm, for a balance at `at`.
        2.0 * (44.0 - at) / 1110.0,
        // The stand.
        1.0 * 1010.0 / 1110.0,
        // The pack has one mass in both places, and two places.
        3.0 * 30.0 / 1110.0,
        300.0 / 1110.0,
        300.0 / 1110.0,
        // The camera, its mass and its place.
        1.0 * (-80.0 - at) / 1110.0,
        100.0 / 1110.0,
    ]
    .iter()
    .map(|part| part * part)
    .sum();
    let mass_spread = (4.0_f64 + 1.0).sqrt();
    let found = as_weighed(&facts, "survey");
    assert_near(found, [1110.0, mass_spread, at, by_hand.sqrt()]);
    let record = asked(&facts, "survey", "as_weighed").unwrap();
    let changes = words(record.field("changes").unwrap());
    assert_eq!(changes, ["take off main", "put on camera", "put on main"]);
}

#[test]
fn what_is_common_may_be_unknown_and_brings_no_spread() {
    let unknown = PLAIN.replace("mass 500 g ± 5 g [weighed]", "mass ?");
    let facts = facts(&format!("{unknown}{STAND}"));
    assert!(asked(&facts, "ferry", "balance").is_err());
    let known = as_weighed(&with(STAND), "survey");
    assert_near(as_weighed(&facts, "survey"), known);
}

#[test]
fn what_was_off_is_put_on_at_its_place_and_what_was_on_is_taken_off() {
    let facts = with(
        "weighed ferry 2026-03-01: mass 710 g ± 2 g [weighed]; without main
balanced ferry 2026-03-01: at 44 mm aft ± 1 mm [measured]; level; with camera
",
    );
    // Weighed without the pack and balanced with it and the camera: 1110 g hung at
    // 44 mm, of which 100 g at -80 mm come off.
    let [mass, _, x, _] = as_weighed(&facts, "ferry");
    assert!((mass - 1010.0).abs() < 1e-9);
    assert!((x - (1110.0 * 44.0 + 8000.0) / 1010.0).abs() < 1e-9);
    let of = |word: &str| {
        let record = entry(&facts, word, "");
        words(&facts.of(&record, "differences").unwrap())
    };
    assert_eq!(of("weigheds"), ["without main"]);
    assert_eq!(of("balanceds"), ["with camera"]);
    let record = entry(&facts, "balanceds", "");
    let flown = facts.of(&record, "as_flown").unwrap();
    assert_eq!(
        flown.field("arithmetic").unwrap().to_string(),
        "ferry 710 g at 44 mm aft (31240 g.mm aft), put on camera 100 g at 44 mm aft \
         (4400 g.mm aft), put on main 300 g at 44 mm aft (13200 g.mm aft), take off \
         camera 100 g at 80 mm ahead (8000 g.mm aft): 1010 g in all with 56840 g.mm aft, \
         which balances at 56.3 mm aft ± 1.1 mm"
    );
}

#[test]
fn a_part_of_an_assembly_that_was_off_is_put_back() {
    let text = "part hatch: mass 50 g ± 1 g [weighed]; at 10 mm aft ± 1 mm [measured]
assembly shell: holds hatch; mass 450 g [weighed]; at 90 mm aft [measured]
loadout all
weighed all 2026-03-01: mass 400 g ± 1 g [weighed]; without hatch
balanced all 2026-03-01: at 100 mm aft ± 1 mm [measured]; without hatch; level
";
    let [mass, _, x, _] = as_weighed(&facts(text), "all");
    assert!((mass - 450.0).abs() < 1e-9);
    assert!((x - 40_500.0 / 450.0).abs() < 1e-9);
}

#[test]
fn lead_that_was_not_on_it_is_put_on_and_other_lead_taken_for_it() {
    let lead = PLAIN.replace(
        "; without camera",
        "; without camera; ballast nose 20 g ± 1 g [weighed] fixed \"glued\"",
    );
    let weighed = |how: &str| {
        let text = format!(
            "{lead}weighed ferry 2026-03-01: mass 1000 g ± 2 g [weighed]{how}
balanced ferry 2026-03-01: at 44 mm aft ± 1 mm [measured]; level{how}
"
        );
        as_weighed(&facts(&text), "ferry")
    };
    let [as_flown, _, x, _] = weighed("");
    assert!((as_flown - 1000.0).abs() < 1e-9 && (x - 44.0).abs() < 1e-9);
    let [bare, _, x, _] = weighed("; no-ballast");
    assert!((bare - 1020.0).abs() < 1e-9);
    assert!((x - (44_000.0 - 2000.0) / 1020.0).abs() < 1e-9);
    let [other, _, x, _] = weighed("; ballast nose 30 g [weighed]");
    assert!((other - 990.0).abs() < 1e-9);
    assert!((x - (44_000.0 + 1000.0) / 990.0).abs() < 1e-9);
}

#[test]
fn readings_on_three_points_give_mass_and_place_less_their_tares() {
    let facts = with(
        "weighed ferry 2026-03-01
    reading nose-wheel 260 g ± 1 g [weighed] at 60 mm ahead ± 1 mm [measured] tare 10 g ± 0 g [weighed]
    reading left-wheel 400 g ± 1 g [weighed] at 80 mm aft ± 1 mm [measured]
    reading right-wheel 350 g ± 1 g [weighed] at 80 mm aft ± 1 mm [measured]
    level
",
    );
    let at = (250.0 * -60.0 + 750.0 * 80.0) / 1000.0;
    let by_hand: f64 = [
        (-60.0 - at) / 1000.0,
        (80.0 - at) / 1000.0,
        (80.0 - at) / 1000.0,
        250.0 / 1000.0,
        400.0 / 1000.0,
        350.0 / 1000.0,
    ]
    .iter()
    .map(|part| part * part)
    .sum();
    let expected = [1000.0, 3.0_f64.sqrt(), at, by_hand.sqrt()];
    assert_near(as_weighed(&facts, "ferry"), expected);
}

#[test]
fn one_end_at_rest_and_the_other_on_a_hook_balance_by_the_lever() {
    let facts = with(
        "balanced ferry 2026-03-01
    mass   1010 g ± 2 g [weighed]
    rests  at 40 mm ahead ± 1 mm [measured]
    hangs  216 g ± 1 g [weighed] at 560 mm aft ± 2 mm [measured] tare 6 g ± 0 g [weighed]
    level
",
    );
    // rest + R (hook - rest)/W, and its spread by hand.
    let at = -40.0 + 210.0 * 600.0 / 1010.0;
    let by_hand: f64 = [
        2.0 * (210.0 * 600.0 / 1010.0) / 1010.0,
        1.0 - 210.0 / 1010.0,
        600.0 / 1010.0,
        2.0 * 210.0 / 1010.0,
    ]
    .iter()
    .map(|part| part * part)
    .sum();
    assert_near(as_weighed(&facts, "ferry"), [1010.0, 2.0, at, by_hand.sqrt()]);
}

#[test]
fn what_hung_nose_down_is_levelled_by_the_height_that_the_list_gives() {
    let high = PLAIN.replace("at 100 mm aft ± 2 mm", "at 100 mm aft 40 mm up ± 2 mm");
    let record = "weighed ferry 2026-03-01: mass 1000 g ± 2 g [weighed]
balanced ferry 2026-03-01: at 44 mm aft ± 1 mm [measured]; nose-down 4 deg ± 1 deg [measured]
";
    let facts = facts(&format!("{high}{record}"));
    // The list balances at 500 x 40 / 1000 = 20 mm up, the supports are at the chord line.
    let [_, _, x, _] = as_weighed(&facts, "ferry");
    assert!((x - (44.0 + 20.0 * 0.069_926_811_943_510_4)).abs() < 1e-9);
}

#[test]
fn the_latest_record_counts_and_of_one_day_the_one_further_down() {
    let facts = with(
        "weighed ferry 2026-03-01: mass 1030 g [weighed]
weighed ferry 2026-02-01: mass 1020 g [weighed]
weighed ferry 2026-03-01: mass 1010 g [weighed]
weighed survey 2026-04-01: mass 1111 g [weighed]
",
    );
    let mass = asked(&facts, "ferry", "mass_as_weighed").unwrap();
    let says = mass.field("says").unwrap().to_string();
    assert_eq!(says, "ferry weighed 2026-03-01");
    let mass = mass.field("mass").unwrap().to_string();
    assert_eq!(mass, "1010 g");
}

#[test]
fn without_a_record_nothing_is_weighed_and_that_is_no_failure() {
    let facts = facts(PLAIN);
    let ferry = entry(&facts, "loadouts", "ferry");
    for name in ["as_weighed", "mass_as_weighed", "mass_off_list", "balance_off_list"] {
        assert_eq!(facts.has(&ferry, name), Ok(false), "{name}");
    }
    let mass_only = with("weighed ferry 2026-03-01: mass 1010 g [weighed]\n");
    let ferry = entry(&mass_only, "loadouts", "ferry");
    assert_eq!(mass_only.has(&ferry, "as_weighed"), Ok(false));
    assert_eq!(mass_only.has(&ferry, "mass_as_weighed"), Ok(true));
}

#[test]
fn what_is_missing_is_said_and_no_number_given() {
    let place = "balanced ferry 2026-03-01: at 44 mm aft [measured]; level\n";
    assert_eq!(
        cannot_say(&with(place), "ferry", "as_weighed"),
        "ferry balanced 2026-03-01, and no record says what it weighs"
    );
    let one = "weighed ferry 2026-03-01: reading 400 g at 80 mm aft [weighed]\n";
    assert_eq!(
        cannot_say(&with(one), "ferry", "mass_as_weighed"),
        "ferry weighed 2026-03-01 has one reading: what the other points carried is not said"
    );
    let unknown = "weighed ferry 2026-03-01: mass ?\n";
    let why = asked(&with(unknown), "ferry", "mass_as_weighed").unwrap_err();
    assert!(matches!(why.why, Why::Unknown(_)));
    let hook = "balanced ferry 2026-03-01: mass 1 kg [weighed]; hangs 200 g at 560 mm aft [weighed]\n";
    assert_eq!(
        cannot_say(&with(hook), "ferry", "as_weighed"),
        "ferry balanced 2026-03-01 does not say where its other end rested: rests at PLACE"
    );
    let camera = PLAIN.replace("mass 100 g ± 1 g [weighed]", "mass ?");
    let why = cannot_say(&facts(&format!("{camera}{STAND}")), "survey", "as_weighed");
    assert_eq!(why, "the mass of part camera is not known");
}

#[test]
fn what_a_record_leaves_open_is_not_taken_for_granted() {
    let open = PLAIN.replace(
        "loadout ferry: fits main at 20 mm aft ± 1 mm [measured]; without camera",
        "loadout ferry",
    );
    let said = |records: &str, name: &str| {
        cannot_say(&facts(&format!("{open}{records}")), "survey", name)
    };
    assert_eq!(
        said(STAND, "as_weighed"),
        "ferry weighed 2026-03-01 does not say with or without camera"
    );
    let stated = STAND.replace("[weighed]", "[weighed]; without camera");
    let stated = stated.replace("level", "level; without camera");
    assert_eq!(
        said(&stated, "as_weighed"),
        "ferry balanced 2026-03-01 does not say where in its slide main was"
    );
    let stated = stated.replace("level", "level; fits main at 20 mm aft [measured]");
    let found = as_weighed(&facts(&format!("{open}{stated}")), "survey");
    assert!((found[2] - 45_440.0 / 1110.0).abs() < 1e-9);
}

#[test]
fn the_difference_to_the_list_counts_what_both_share_only_once() {
    let facts = with(STAND);
    let off = |name: &str| {
        let known = asked(&facts, "ferry", name).unwrap();
        let quantity = known.quantity().unwrap().clone();
        (quantity.si() * 1000.0, quantity.spread_si().unwrap() * 1000.0)
    };
    // 1010 g on the scale, 1000 g on the list, whose doubts are 5, 2 and 3 g.
    let (mass, spread) = off("mass_off_list");
    assert!((mass - 10.0).abs() < 1e-9);
    assert!((spread - (4.0_f64 + 25.0 + 4.0 + 9.0).sqrt()).abs() < 1e-9);
    // The list balances at 46 mm; nothing was changed, so nothing is shared.
    let [_, _, list, unsure] = numbers(&asked(&facts, "ferry", "balance").unwrap());
    let (by, spread) = off("balance_off_list");
    assert!((by - (44.0 - list)).abs() < 1e-9);
    assert!((spread - (1.0 + unsure * unsure).sqrt()).abs() < 1e-9);
}

#[test]
fn an_unlisted_part_is_offered_with_the_doubt_of_its_place() {
    let facts = with(STAND);
    let ways = facts.ways_to_list(&entry(&facts, "loadouts", "ferry")).unwrap();
    let [way] = ways.as_slice() else { panic!("one way was expected") };
    assert_eq!(
        way.edits.first().unwrap().text,
        "part unlisted: kind other; mass 10 g ± 6 g [estimated]; at 15 mm ahead ± 115 mm \
         [estimated]\n"
    );
    assert!(
        way.says.contains("lies anywhere from 130 mm ahead to 100 mm aft: the list then balances at 45.4 mm aft ± 1.6 mm"),
        "{}",
        way.says
    );
    let lighter = with("weighed ferry 2026-03-01: mass 900 g [weighed]\n");
    let ways = lighter.ways_to_list(&entry(&lighter, "loadouts", "ferry"));
    assert!(ways.unwrap().is_empty());
}

#[test]
fn ways_into_the_band_start_from_what_was_measured_and_write_nothing() {
    let aft = STAND.replace("44 mm", "60 mm");
    let facts = with(&aft);
    let ferry = entry(&facts, "loadouts", "ferry");
    let band = facts.of(&ferry, "band").unwrap();
    let ways = facts.as_weighed_ways_into(&ferry, &band).unwrap();
    assert!(ways.iter().all(|way| way.edits.is_empty()));
    // 12 mm of 1010 g are 40.4 mm of the pack's 300 g.
    let first = &ways.first().unwrap().says;
    assert!(first.starts_with("slide main 41 mm ahead, to 21 mm ahead"), "{first}");
}

#[test]
fn a_reading_or_a_part_that_could_not_be_read_is_not_left_out_of_the_sum() {
    let said = |text: &str| {
        let text = format!("{PLAIN}{text}");
        let mut sources = Sources::default();
        let file = sources.add("test.trim", &text);
        let tree = syntax::parse(file, &text);
        let (build, findings) =
            resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
        assert_eq!(findings.len(), 1, "{findings:?}");
        let facts = Facts::new(build, Stage::Installed);
        cannot_say(&facts, "ferry", "as_weighed")
    };
    let readings = "weighed ferry 2026-03-01
    reading nose 250 g at 60 mm ahead [weighed]
    readng left 400 g at 80 mm aft [weighed]
    reading right 350 g at 80 mm aft [weighed]
";
    assert_eq!(said(readings), "the reading of the weighed could not be read");
    let without = STAND.replace("level", "level; without camera @@");
    assert_eq!(said(&without), "the without of the balanced could not be read");
}

//! What a sheet promises: hand-computed numbers, gaps that stay gaps, and plain tables.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of tests, which may fall over"
)]

use std::rc::Rc;

use proptest::prelude::*;
use trimsheet_project::facts::{Known, What};
use trimsheet_project::model::quantity::{Axis, Quantity, Unit};
use trimsheet_project::{Memory, Settings, open};
use trimsheet_report::{AsWeighed, Sheet, csv::csv, json::json, text};

fn sheet_of(path: &str, spec: &str) -> Sheet {
    let host = Memory::new().with(path, spec);
    let opened = open(&host, path, &Settings::default()).unwrap();
    Sheet::new(&opened.facts, &opened.sources)
}

fn sheet(spec: &str) -> Sheet {
    sheet_of("test.trim", spec)
}

const WING: &str = "model teal
wing [plan]
    layout tailless pusher
    rib 0 mm out  chord 300 mm  leading-edge 0 mm aft
    rib 600 mm out  chord 200 mm  leading-edge 100 mm aft
    band 100..140 mm aft  best 120 mm aft
    mass-limit 900 g
";

/// 400 x 150 + 2 x 20 x 100 - 60 x 80 + 300 x 90 = 86200 g mm; over 800 g: 107.75 mm.
const CLOSED: &str =
    "part shell: mass 400 g ± 4 g [weighed]; at 150 mm aft ± 2 mm [measured]
part servos: pair; mass 20 g each [weighed]; at 100 mm aft 250 mm out 8 mm up [measured]
part camera: mass 60 g [estimated]; at 80 mm ahead [measured]; optional
pack main: mass 300 g [weighed]; slides 50..130 mm aft
loadout club: fits main at 90 mm aft [measured]; with camera
";

/// Fails if a phrase is missing, wherever lines are broken and columns stand.
#[track_caller]
fn says(said: &str, phrases: &[&str]) {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for phrase in phrases {
        assert!(words(said).contains(&words(phrase)), "expected `{phrase}` in\n{said}");
    }
}

/// The words of the line that begins with `label`.
fn line<'a>(said: &'a str, label: &str) -> Vec<&'a str> {
    let line = said.lines().find(|line| line.starts_with(label));
    line.unwrap_or_else(|| panic!("no line {label} in\n{said}"))
        .split_whitespace()
        .collect()
}

#[test]
fn the_sheet_is_what_a_hand_computation_says() {
    let sheet = sheet(&format!("{WING}{CLOSED}"));
    let total = sheet.loadouts[0].total.as_ref().unwrap();
    assert!((total.mass.value() - 800.0).abs() < 1e-9);
    assert!((total.moment.value() - 86_200.0).abs() < 1e-6);
    assert!((total.x.value() - 107.75).abs() < 1e-9);
    assert!(total.y.as_ref().unwrap().value().abs() < 1e-9);
    // 40 g of servos 8 mm up: 320 / 800.
    assert!((total.z.as_ref().unwrap().value() - 0.4).abs() < 1e-9);
    // The spread of the sum of moments, with 2 mm for what is measured, 3 % of a length at
    // most, and 1 % or a gram for what is weighed: line by line, then root of the squares.
    let by_hand = [
        4.0 * 150.0,
        2.0 * 400.0,
        2.0 * 100.0,
        2.0 * 40.0,
        12.0 * 80.0,
        2.0 * 60.0,
        3.0 * 90.0,
        2.0 * 300.0,
    ];
    let by_hand = by_hand.iter().map(|one: &f64| one * one).sum::<f64>().sqrt();
    let found = total.moment.spread().unwrap();
    assert!((found - by_hand).abs() < 0.01, "{found} {by_hand}");
}

#[test]
fn the_text_has_the_rows_the_limits_and_no_verdict() {
    let sheet = sheet(&format!("{WING}{CLOSED}"));
    let said = text(&sheet, 80);
    assert_eq!(
        line(&said, "servos (pair)")[..8],
        ["servos", "(pair)", "40", "±", "2", "weighed", "100", "aft"]
    );
    assert_eq!(line(&said, "camera")[4..7], ["estimated", "80", "ahead"]);
    assert_eq!(line(&said, "total").last(), Some(&"aft"));
    says(
        &said,
        &[
            "fits main at 90 mm aft [measured]; with camera (line 12)",
            "250 out",
            "forward  100 mm aft, plan",
            "aft of it",
            "32 mm ahead of it",
            "900 g, plan",
            "g below it",
            "not weighed    camera",
            "6 of 8 masses and places have an assumed spread",
            "coverage factor 2",
            "No release to fly",
        ],
    );
    let words: Vec<&str> = said.split(|letter: char| !letter.is_alphabetic()).collect();
    for verdict in ["OK", "ok", "fine", "safe", "legal", "within", "inside", "good"] {
        assert!(!words.contains(&verdict), "{verdict} in\n{said}");
    }
}

#[test]
fn a_speed_that_nothing_makes_unsure_has_no_more_digits_than_an_estimate() {
    let wing = WING.replace(
        "    mass-limit",
        "    drag 2 % ± 0.4 %\n    lift-limit 50 % ± 0 %\n    mass-limit",
    );
    let said = text(&sheet(&format!("{wing}{CLOSED}")), 200);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, slow) = said.split_once("sinks least, ").unwrap();
    let shown: Vec<&str> = slow.split(' ').take(8).collect();
    let [sink, "m/s", "±", _, "m/s,", "at", speed, "m/s"] = shown[..] else {
        panic!("{shown:?}")
    };
    assert!(sink.len() <= 5 && speed.len() <= 4, "{shown:?}");
    assert!(!said.contains("± 0 m/s"), "{said}");
}

#[test]
fn what_is_open_gives_both_ends_and_their_distances() {
    let sheet = sheet(&format!(
        "{WING}part shell: mass 400 g [weighed]; at 150 mm aft [measured]\n\
         part camera: mass 100 g [weighed]; at 80 mm ahead [measured]; optional\n\
         pack main: mass 300 g [weighed]; slides 50..130 mm aft\n\
         loadout any: fits main\n"
    ));
    let loadout = &sheet.loadouts[0];
    assert!(loadout.total.is_none() && loadout.ways == 4);
    let x: Vec<f64> =
        loadout.corners.iter().map(|corner| corner.total.x.value()).collect();
    // (60000 - 8000 + 300 x 50) / 800 and (60000 + 300 x 130) / 700.
    assert!((x[0] - 67_000.0 / 800.0).abs() < 1e-9, "{x:?}");
    assert!((x[1] - 99_000.0 / 700.0).abs() < 1e-9, "{x:?}");
    let said = text(&sheet, 80);
    says(
        &said,
        &[
            "where main lies, from 50 mm aft to 130 mm aft; with or without camera",
            "with camera, main at 50 mm aft",
            "without camera, main at 130 mm aft",
            "foremost lies",
            "aftmost lies",
            "camera (or not)",
        ],
    );
    assert!(!said.contains("total"), "{said}");
}

#[test]
fn what_is_not_known_leaves_the_total_out_and_the_rest_in() {
    let spec = format!("{WING}{CLOSED}").replace("mass 60 g [estimated]", "mass ?");
    let sheet = sheet(&spec);
    let loadout = &sheet.loadouts[0];
    assert!(loadout.total.is_none() && loadout.corners.is_empty());
    assert!(loadout.wing_loading.is_none() && loadout.chord_share.is_none());
    assert!(loadout.contributors.is_empty());
    let said = text(&sheet, 80);
    says(
        &said,
        &[
            "shell",
            "balance point  cannot say, see below",
            "the mass of part camera is not known (line 10)",
        ],
    );
    assert_eq!(line(&said, "camera")[1..], ["?", "80", "ahead", "±", "2", "?"]);
    let table = csv(&sheet);
    let total = table.lines().find(|line| line.starts_with("club,total")).unwrap();
    assert!(total.starts_with("club,total,,,,,,,,,,,,,,"), "{total}");
    says(total, &["cannot say: the mass of part camera is not known"]);
}

#[test]
fn every_gap_is_named_once_with_its_line() {
    let spec = format!("{WING}{CLOSED}")
        .replace("mass 60 g [estimated]", "mass ?")
        .replace("mass 20 g each [weighed]", "mass ?")
        .replace("fits main at 90 mm aft", "fits main at ?");
    let sheet = sheet(&spec);
    let lines: Vec<usize> = (sheet.loadouts[0].not_said.iter())
        .filter_map(|one| one.line.as_ref().map(|line| line.line))
        .collect();
    assert_eq!(lines, [9, 10, 12]);
    let names: Vec<&str> =
        sheet.loadouts[0].items.iter().map(|item| item.name.as_str()).collect();
    assert!(names.starts_with(&["shell", "servos", "camera"]), "{names:?}");
}

#[test]
fn a_spec_in_inches_and_ounces_is_answered_in_them() {
    let said = text(
        &sheet(
            "wing: band 4..6 in aft [plan]\n\
             part shell: mass 14 oz [weighed]; at 5 1/2 in aft [measured]\n\
             part motor: mass 2 oz [weighed]; at 3 in ahead [measured]\n",
        ),
        80,
    );
    // (14 x 5.5 - 2 x 3) / 16 = 4.4375 in.
    says(&said, &["mass oz", "place in", "moment oz.in", "4.44 in aft"]);
    says(&said, &["the spec names no loadout: flown as it is listed"]);
}

#[test]
fn no_line_is_wider_than_the_terminal_and_nothing_is_lost_in_a_narrow_one() {
    let long = "part a-thing-with-a-name-that-goes-on-and-on-for-ever-and-a-day: mass 7 g; \
                at 5 mm aft\n";
    let sheet = sheet(&format!("{WING}{long}{CLOSED}"));
    for width in [80, 60, 50] {
        let said = text(&sheet, width);
        for line in said.lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
        assert_eq!(line(&said, "total")[1], "807", "{said}");
    }
    says(&text(&sheet, 60), &["from: w weighed, e estimated, - not stated."]);
}

#[test]
fn decimal_points_stand_in_one_column() {
    let said = text(
        &sheet(
            "wing: band 40..60 mm aft [plan]\n\
             part one: mass 7.25 g ± 0.01 g [weighed]; at 5 mm aft [measured]\n\
             part two: mass 125 g ± 1 g [weighed]; at 50 mm aft [measured]\n\
             part three: mass 40.5 g ± 0.1 g [weighed]; at 50 mm aft [measured]\n",
        ),
        80,
    );
    let unit = |name: &str, digits: &str| {
        let line = said.lines().find(|line| line.starts_with(name)).unwrap();
        line.find(digits).unwrap() + digits.split('.').next().unwrap().len()
    };
    let ends = [unit("one", "7.25"), unit("two", "125"), unit("three", "40.5")];
    assert!(ends.iter().all(|end| *end == ends[0]), "{ends:?}\n{said}");
}

#[test]
fn hostile_texts_are_shown_and_never_acted_on() {
    let spec = "model x\n    title \"=cmd\u{1b}[31m|' /C calc'!A0\u{202e}\"\n\
                part a: mass 3 g; at 4 mm aft\n\
                loadout b\n";
    let sheet = sheet_of("=HYPERLINK(1).trim", spec);
    let said = text(&sheet, 80);
    assert!(!said.contains(['\u{1b}', '\u{202e}']), "{said}");
    assert!(said.starts_with("=cmd␛[31m"), "{said}");
    let table = csv(&sheet);
    let mut reader = csv_rows(&table);
    let first = reader.remove(1);
    assert_eq!(first[13], "'=HYPERLINK(1).trim");
    let parsed: serde_json::Value = serde_json::from_str(&json(&sheet)).unwrap();
    assert_eq!(parsed["form"], "trimsheet-sheet");
    assert_eq!(parsed["version"], 1);
    assert!(parsed["title"].as_str().unwrap().starts_with("=cmd\u{1b}"));
}

#[test]
fn a_file_name_that_acts_on_a_terminal_is_shown_wherever_its_lines_are_named() {
    let shelf = "part servo: mass 21 g [weighed]\n";
    let spec = "include \"\u{1b}[2J.trim\" as club\nmodel x\n\
                part a like club.servo: at 4 mm aft\n\
                part b: mass 90 g [weighed]; at 50 mm aft\n";
    let host = Memory::new().with("x.trim", spec).with("\u{1b}[2J.trim", shelf);
    let opened = open(&host, "x.trim", &Settings::default()).unwrap();
    let said = text(&Sheet::new(&opened.facts, &opened.sources), 80);
    assert!(!said.contains('\u{1b}'), "{said}");
    assert_eq!(line(&said, "total")[1], "111", "{said}");
}

#[test]
fn lead_in_a_bay_is_a_line_of_its_own_behind_the_packs() {
    let spec = format!("{WING}bay nose: reach 60..100 mm ahead; ballast at 80 mm ahead [measured]\n{CLOSED}")
        .replace("with camera", "with camera; ballast nose 25 g [weighed]");
    let sheet = sheet(&spec);
    let loadout = &sheet.loadouts[0];
    let last = loadout.items.last().unwrap();
    assert_eq!((last.name.as_str(), last.count), ("ballast in nose", 1));
    // (86200 - 25 x 80) / 825.
    let x = loadout.total.as_ref().unwrap().x.value();
    assert!((x - 84_200.0 / 825.0).abs() < 1e-9, "{x}");
    says(&text(&sheet, 80), &["ballast nose 25 g", "ballast in nose"]);
}

#[test]
fn a_file_that_is_no_aircraft_has_an_empty_sheet() {
    let sheet = sheet("part a: mass 3 g; at 4 mm aft\n");
    assert!(sheet.loadouts.is_empty());
    assert_eq!(csv(&sheet).lines().count(), 1);
}

#[test]
fn one_loadout_can_be_chosen_by_its_name() {
    let both =
        format!("{WING}{CLOSED}loadout home: fits main at 60 mm aft; without camera\n");
    assert_eq!(sheet(&both).loadouts.len(), 2);
    let only = sheet(&both).only("home").unwrap();
    assert_eq!(only.loadouts.len(), 1);
    assert!(sheet(&both).only("nowhere").is_none());
}

fn quantity(value: f64, unit: &str) -> Quantity {
    Quantity::new(value, &Unit::read(unit).unwrap())
}

fn known(what: What) -> Known {
    Known::computed(what, "x", None)
}

/// A record as the fact `as_weighed` gives it.
fn weighing() -> Known {
    let mass = quantity(812.0, "g").with_spread_si(0.001);
    let x = quantity(110.0, "mm").with_axis(Some(Axis::Length)).with_spread_si(0.001);
    let words = |text: &str| known(What::Words(text.to_owned()));
    let change = vec![
        ("says", words("lead put in")),
        ("mass", known(What::Quantity(quantity(12.0, "g")))),
        ("at", known(What::Quantity(quantity(90.0, "mm").with_axis(Some(Axis::Length))))),
    ];
    let changes = vec![known(What::Record(Rc::new(change)))];
    known(What::Record(Rc::new(vec![
        ("mass", known(What::Quantity(mass))),
        ("x", known(What::Quantity(x))),
        ("says", words("put on the scale by MT")),
        ("base", words("club, weighed 2026-02-20")),
        ("changes", known(What::List(Rc::new(changes)))),
    ])))
}

#[test]
fn a_weighing_stands_beside_the_list_with_its_base_its_changes_and_the_difference() {
    let mut sheet = sheet(&format!("{WING}{CLOSED}"));
    let loadout = &mut sheet.loadouts[0];
    assert!(loadout.as_weighed.is_none());
    loadout.as_weighed = Some(AsWeighed::read(&weighing(), loadout.total.as_ref()));
    let said = text(&sheet, 80);
    says(
        &said,
        &[
            "from the list",
            "as weighed",
            "12 g ± 13 g heavier and balances 2 mm ± 3 mm",
            "further aft",
            "based on       club, weighed 2026-02-20",
            "since then     lead put in: 12 g at 90 mm aft",
        ],
    );
    says(&csv(&sheet), &["club,as weighed,,,812,1,,110,1,"]);
    says(&json(&sheet), &["\"further_aft\": {"]);
}

#[test]
fn a_weighing_without_a_stand_has_no_balance_of_its_own() {
    let only_mass = known(What::Record(Rc::new(vec![(
        "mass",
        known(What::Quantity(quantity(812.0, "g"))),
    )])));
    let read = AsWeighed::read(&only_mass, None);
    assert!(read.mass.is_some() && read.x.is_none() && read.further_aft.is_none());
}

fn csv_rows(table: &str) -> Vec<Vec<String>> {
    let mut reader =
        ::csv::ReaderBuilder::new().has_headers(false).from_reader(table.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn number(cell: &str) -> f64 {
    cell.parse().unwrap_or_else(|_| panic!("`{cell}` is no plain number"))
}

/// The first two numbers of a line: what is shown, and half of its last digit.
fn shown(text: &str) -> (f64, f64) {
    let decimals = text.split_once('.').map_or(0, |(_, part)| part.len());
    let last: f64 = format!("1e-{decimals}").parse().unwrap();
    (number(text), last / 2.0)
}

/// Masses in grams or ounces, places in millimetres, singly or in pairs.
fn things() -> impl Strategy<Value = Vec<(u32, i32, bool, bool)>> {
    prop::collection::vec(
        (1_u32..90_000, -6_000_i32..6_000, any::<bool>(), any::<bool>()),
        1..12,
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Σ m x / Σ m of the rows is the balance of the total row and of the text, and the
    /// columns that are shown add up to the totals that are shown, up to rounding.
    #[test]
    fn rows_add_up_to_what_is_printed(things in things()) {
        let mut spec = "wing: band 10..90 mm aft [plan]\n".to_owned();
        for (at, (mass, place, is_pair, is_ounces)) in things.iter().enumerate() {
            let (mass, unit) = (f64::from(*mass) / 100.0, if *is_ounces { "oz" } else { "g" });
            let side = if *place < 0 { "ahead" } else { "aft" };
            let pair = if *is_pair { "pair; " } else { "" };
            let out = if *is_pair { " 80 mm out" } else { "" };
            let each = if *is_pair { " each" } else { "" };
            let place = f64::from(place.abs()) / 10.0;
            spec += &format!("part p{at}: {pair}mass {mass} {unit}{each}; at {place} mm {side}{out}\n");
        }
        let sheet = sheet(&spec);
        let rows = csv_rows(&csv(&sheet));
        let (total, items) = rows[1..].split_last().unwrap();
        prop_assert_eq!(items.len(), things.len());
        let sum = |of: fn(&Vec<String>) -> f64| items.iter().map(of).sum::<f64>();
        let mass = sum(|row| number(&row[4]));
        let moment = sum(|row| number(&row[4]) * number(&row[7]));
        let listed = sum(|row| number(&row[12]));
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs())) * 10.0;
        // Each number has twelve digits, so their sum is as far off as its largest one.
        let tiny = 1e-6 + 1e-10 * sum(|row| number(&row[12]).abs());
        prop_assert!(near(mass, number(&total[4])));
        prop_assert!((moment / mass - number(&total[7])).abs() < 1e-6 + tiny / mass);
        prop_assert!((moment - listed).abs() < tiny && (moment - number(&total[12])).abs() < tiny);

        let said = text(&sheet, 100);
        let lines: Vec<Vec<&str>> = said.lines()
            .map(|line| line.split_whitespace().filter(|word| *word != "(pair)").collect())
            .collect();
        let (mut masses, mut moments, mut slack, mut moment_slack) = (0.0, 0.0, 0.0, 0.0);
        for line in lines.iter().filter(|line| line.last().is_some_and(|word| ["aft", "ahead"].contains(word)) && line[0].starts_with('p') && line.len() > 6) {
            let (value, half) = shown(line[1]);
            masses += value;
            slack += half;
            let (value, half) = shown(line[line.len() - 2]);
            moments += if line.last() == Some(&"ahead") { -value } else { value };
            moment_slack += half;
        }
        let total = lines.iter().find(|line| line.first() == Some(&"total")).unwrap();
        let (value, half) = shown(total[1]);
        prop_assert!((masses - value).abs() <= slack + half + 1e-6, "{masses} {value}\n{said}");
        let (value, half) = shown(total[total.len() - 2]);
        let value = if total.last() == Some(&"ahead") { -value } else { value };
        prop_assert!((moments - value).abs() <= moment_slack + half + 1e-6, "{moments} {value}\n{said}");
    }
}

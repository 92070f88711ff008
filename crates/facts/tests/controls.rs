//! Throws as angles, linkages, and what servo and rod bear.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, NotKnown, What};

/// A wing of a metre with elevons of a quarter of its chord.
const TEXT: &str = "model bittern
wing
    layout tailless
    speed-limit 24 m/s
    rib 0 mm out chord 210 mm leading-edge 0 mm aft
    rib 500 mm out chord 150 mm leading-edge 190 mm aft
part servos: kind servo; pair; mass 12 g each; at 110 mm aft 180 mm out
    torque 2.2 kgf.cm at 5 V
    turns 45 deg per 500 us
    arm-holes 6 mm 8 mm 10 mm
surface elevons: pair; on wing; driven by servos
    reach 130..470 mm out
    hinge-to-edge root 50 mm tip 40 mm
";

/// That wing, and what stands in `lines` of its elevons.
fn facts(lines: &str) -> Facts {
    facts_of(&format!("{TEXT}    {}\n", lines.replace('\n', "\n    ")))
}

fn facts_of(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("bittern.trim", text);
    let tree = syntax::parse(file, text);
    let documents = [Document { file, tree, shelves: Vec::new() }];
    let (build, findings) = resolve(&documents, &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, Stage::Installed)
}

fn asked(facts: &Facts, name: &str) -> Result<Known, NotKnown> {
    let (surface, _) = facts.of_word("surface").next().unwrap();
    facts.of(&facts.known_entry(surface), name)
}

fn list(facts: &Facts, name: &str) -> Vec<Known> {
    let What::List(all) = asked(facts, name).unwrap().what else { panic!("no list") };
    all.to_vec()
}

/// A number of a record, in the unit it has.
fn number(of: &Known, field: &str) -> f64 {
    of.field(field).unwrap().quantity().unwrap().value()
}

fn words<'a>(of: &'a Known, field: &str) -> &'a str {
    let What::Words(words) = &of.field(field).unwrap().what else { panic!("no words") };
    words
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found}, expected {expected}");
}

#[test]
fn eight_millimetres_each_way_on_fifty_are_nine_degrees_up_and_down() {
    let facts = facts("throw full 8 mm each-way at root from flat");
    let all = list(&facts, "travels");
    let ways: Vec<&str> = all.iter().map(|one| words(one, "way")).collect();
    assert_eq!(ways, ["up", "down"]);
    for one in &all {
        // asin(8/50) = 9.2069 deg; 2 x 50 sin(half) = 8.0259; 50 tan = 8.1044.
        near(number(one, "angle"), 9.2069, 1e-4);
        near(number(one, "straight_up"), 8.0, 1e-9);
        near(number(one, "edge_to_edge"), 8.0259, 1e-4);
        near(number(one, "upright_rule"), 8.1044, 1e-4);
    }
}

#[test]
fn sixteen_in_total_are_eight_each_way_and_sixteen_alone_are_not_known() {
    let total = facts("throw full 16 mm total at root from flat");
    near(number(&list(&total, "travels")[0], "straight_up"), 8.0, 1e-9);
    let bare = facts("throw full 16 mm at root from flat");
    let why = asked(&bare, "travels").unwrap_err().says;
    assert!(why.contains("`each-way` or in `total`"), "{why}");
}

#[test]
fn a_throw_is_the_same_angle_however_it_is_read() {
    for line in [
        "throw full 14.886 deg up from flat",
        "throw full 12.845 mm up at root from flat",
        "throw full 12.954 mm up at root from flat read edge-to-edge",
        "throw full 13.291 mm up at root from flat read upright-rule",
    ] {
        near(number(&list(&facts(line), "travels")[0], "angle"), 14.886, 2e-3);
    }
}

#[test]
fn a_throw_from_the_reflex_stands_as_much_further_from_flat() {
    let facts = facts(
        "reflex 2 mm up at root by rod\nthrow full 8 mm each-way at root from reflex\nlinkage arm 10 mm horn 15 mm",
    );
    let all = list(&facts, "travels");
    // A ruler that stands upright adds: 2 and 8 up, 2 less 8.
    near(number(&all[0], "from_flat"), 10.0, 1e-9);
    near(number(&all[1], "from_flat"), 6.0, 1e-9);
    // asin(10/50) - asin(2/50), and asin(2/50) + asin(6/50).
    near(number(&all[0], "angle"), 9.2445, 1e-4);
    near(number(&all[1], "angle"), 9.1845, 1e-4);
    // The rod makes the reflex, so the servo turns by the throw alone.
    let courses = list(&facts, "courses");
    near(number(&courses[0], "angle"), number(&all[0], "angle"), 1e-9);
    near(number(&courses[1], "angle"), number(&all[1], "angle"), 1e-9);
}

#[test]
fn the_transmitter_s_trim_eats_the_travel_that_the_rod_would_not() {
    let facts = facts(
        "reflex 2 mm up at root by trim\nthrow full 8 mm each-way at root from reflex\nlinkage arm 10 mm horn 15 mm",
    );
    let courses = list(&facts, "courses");
    assert!(number(&courses[1], "servo") < number(&courses[0], "servo"));
}

#[test]
fn a_servo_turns_by_the_ratio_of_the_holes_and_says_its_pulse() {
    let facts =
        facts("throw full 8 mm each-way at root from flat\nlinkage arm 10 mm horn 15 mm");
    let courses = list(&facts, "courses");
    // asin(15 sin(9.2069 deg) / 10) = 13.89 deg, but for the swing of a long rod.
    near(number(&courses[0], "servo"), 13.89, 0.1);
    near(number(&courses[0], "share"), 100.0 * 13.89 / 45.0, 0.3);
    let ends = list(&facts, "end_points");
    let (up, down) = (number(&ends[0], "pulse"), number(&ends[1], "pulse"));
    near((up - 1500.0).abs(), 13.89 / 45.0 * 500.0, 1.5);
    assert!((up - 1500.0).signum() != (down - 1500.0).signum());
}

#[test]
fn a_linkage_that_cannot_reach_says_where_and_why_it_stops() {
    let facts =
        facts("throw full 44 mm each-way at root from flat\nlinkage arm 5 mm horn 20 mm");
    for course in list(&facts, "courses") {
        assert!(matches!(course.field("reaches").unwrap().what, What::Flag(false)));
        // The arm goes over centre near a quarter of a turn; the rod is ten horns long.
        assert_eq!(words(&course, "because"), "over-centre");
        near(number(&course, "servo"), 90.0, 3.0);
    }
    let locked = self::facts(
        "throw full 44 mm each-way at root from flat\nlinkage arm 20 mm horn 12 mm",
    );
    let ends = list(&locked, "linkage_ends");
    assert!(ends.iter().all(|end| words(end, "because") == "locked"), "{ends:#?}");
    for end in &ends {
        // asin(12/20) = 36.9 deg, where the horn lies along the rod.
        near(number(end, "servo"), 36.9, 3.0);
        assert!(number(end, "surface").is_finite());
    }
}

#[test]
fn a_linkage_of_nothing_is_not_known_and_never_no_number() {
    for linkage in [
        "linkage arm 10 mm horn 15 mm pivot 0 mm ahead",
        "linkage arm 10 mm horn 15 mm pivot 900 km ahead",
        "linkage arm 10 mm horn 15 mm pivot 5 mm ahead 15 mm up arm-leans 90 deg ahead",
        "linkage arm 10 mm horn 15 mm turns flat pivot 80 mm ahead 10 mm left",
    ] {
        let facts =
            facts(&format!("throw full 8 mm each-way at root from flat\n{linkage}"));
        for name in ["courses", "linkage_ends", "unevenness", "hole_pairs", "end_points"]
        {
            let Ok(known) = asked(&facts, name) else { continue };
            let shown = format!("{:?}", known.what);
            assert!(
                !shown.contains("NaN") && !shown.contains("inf"),
                "{linkage}: {shown}"
            );
        }
    }
}

#[test]
fn a_thin_rod_is_pressed_harder_than_it_bears_and_thicker_ones_are_named() {
    let facts = facts(
        "throw full 8 mm each-way at root from flat\nlinkage arm 10 mm horn 15 mm\npushrod steel dia 1.2 mm free 150 mm",
    );
    let load = asked(&facts, "rod_load").unwrap();
    // 2.2 kgf.cm on 10 mm: 21.57 N. pi^2 E I / L^2 with E 200 GPa and I 0.1018 mm^4: 8.93 N.
    near(number(&load, "push"), 21.575, 0.01);
    near(number(&load, "bears"), 8.93, 0.01);
    let What::List(sizes) = &load.field("sizes").unwrap().what else { panic!() };
    let enough: Vec<f64> = sizes
        .iter()
        .filter(|size| 1.5 * number(&load, "push") <= number(size, "bears"))
        .map(|size| number(size, "dia"))
        .collect();
    assert_eq!(enough, [2.0, 2.5, 3.0, 4.0]);
}

#[test]
fn a_sleeve_stiffens_a_rod_and_half_the_free_length_bears_four_times_as_much() {
    let bears = |lines: &str| {
        let lines = format!("linkage arm 10 mm horn 15 mm\n{lines}");
        number(&asked(&facts(&lines), "rod_load").unwrap(), "bears")
    };
    let bare = bears("pushrod steel dia 1.2 mm free 150 mm");
    near(bears("pushrod steel dia 1.2 mm free 75 mm"), 4.0 * bare, 1e-6);
    let sleeved =
        bears("pushrod steel dia 1.2 mm free 150 mm\nsleeve carbon dia 3 mm inside 2 mm");
    // pi^2 (E I) / L^2 of the tube alone: 120 GPa x 3.191 mm^4 over 150 mm: 167.97 N.
    near(sleeved, bare + 167.97, 0.05);
}

#[test]
fn the_servo_feels_the_hinge_moment_through_the_holes() {
    let facts =
        facts("throw full 10 deg each-way from flat\nlinkage arm 10 mm horn 20 mm");
    let load = asked(&facts, "servo_load").unwrap();
    // q = 352.8 Pa; the integral of c^2 over 340 mm is 6.913e-4 m^3; E = 90/360 of the
    // mean chord there, so that b2 is -0.9473 (Glauert); 10 deg; 0.0981 N m a kgf.cm.
    near(number(&load, "deflection"), 10.0, 1e-6);
    let (moment, torque) = (number(&load, "moment"), number(&load, "torque"));
    // To those 0.4112 kgf.cm the incidence of level flight with 24 g adds 0.3 %.
    near(moment, 0.4125, 2e-4);
    // The servo stands at asin(20 sin 10 deg / 10) = 20.32 deg: 10 cos 20.32 / 20 cos 10.
    near(torque / moment, 0.4761, 5e-4);
    near(number(&load, "has"), 2.2, 1e-9);
    near(number(&load, "times"), 100.0 * 2.2 / torque, 0.1);
}

#[test]
fn the_best_holes_use_most_of_the_turn_and_those_that_do_not_reach_come_last() {
    let facts = facts(
        "throw full 20 deg each-way from flat\nlinkage arm 10 mm horn 15 mm\nhorn-holes 10 mm 15 mm 20 mm",
    );
    let pairs = list(&facts, "hole_pairs");
    assert_eq!(pairs.len(), 9);
    let reaches =
        |pair: &Known| matches!(pair.field("reaches").unwrap().what, What::Flag(true));
    let shares: Vec<f64> = pairs
        .iter()
        .filter(|pair| reaches(pair))
        .map(|pair| number(pair, "share"))
        .collect();
    assert!(shares.is_sorted_by(|a, b| a >= b), "{shares:?}");
    let first = pairs.iter().position(|pair| !reaches(pair)).unwrap();
    assert!(pairs[first..].iter().all(|pair| !reaches(pair)));
}

#[test]
fn a_rudder_goes_left_and_right() {
    let text = "model bittern
fin
    rib 0 mm up chord 90 mm leading-edge 200 mm aft
    rib 120 mm up chord 60 mm leading-edge 230 mm aft
surface rudder: on fin
    hinge-to-edge root 36 mm tip 28 mm
    throw full 25 deg each-way
    linkage arm 9 mm horn 12 mm
";
    let facts = facts_of(text);
    for name in ["travels", "courses", "linkage_ends"] {
        let all = list(&facts, name);
        let ways: Vec<&str> = all.iter().map(|one| words(one, "way")).collect();
        assert_eq!(ways, ["left", "right"], "{name}");
    }
}

#[test]
fn a_servo_s_turn_is_usual_where_it_is_not_said_and_not_known_where_nobody_knows() {
    let text = |turns: &str| {
        let file = facts_of(&TEXT.replace("    turns 45 deg per 500 us\n", turns));
        asked(&file, "servo_turn")
    };
    let stated = text("    turns 55 deg\n").unwrap();
    near(number(&stated, "turn"), 55.0, 1e-9);
    let usual = text("").unwrap();
    near(number(&usual, "turn"), 45.0, 1e-9);
    assert!(matches!(usual.field("is_stated").unwrap().what, What::Flag(false)));
    assert!(text("    turns ?\n").is_err());
}

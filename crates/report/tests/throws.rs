//! What a throws card promises: hand-computed numbers, and no gap without its reason.
#![expect(clippy::unwrap_used, reason = "helpers of tests, which may fall over")]

use trimsheet_project::{Memory, Settings, open};
use trimsheet_report::throws::gauge::gauges;
use trimsheet_report::throws::{Rate, Surface, Throws, csv, json, text};

fn card(spec: &str) -> Throws {
    let host = Memory::new().with("test.trim", spec);
    let opened = open(&host, "test.trim", &Settings::default()).unwrap();
    Throws::new(&opened.facts, &opened.sources)
}

fn first(spec: &str) -> (Surface, Rate) {
    let surface = card(spec).surfaces.remove(0);
    let rate = surface.rates.first().cloned().unwrap();
    (surface, rate)
}

/// Fails if a phrase is missing, wherever lines are broken and columns stand.
#[track_caller]
fn says(said: &str, phrases: &[&str]) {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for phrase in phrases {
        assert!(words(said).contains(&words(phrase)), "expected `{phrase}` in\n{said}");
    }
}

#[track_caller]
fn near(number: f64, expected: f64) {
    assert!((number - expected).abs() < 1e-6, "{number}, expected {expected}");
}

const SERVOS: &str =
    "part servos: kind servo; pair; mass 11 g each; at 150 mm aft 200 mm out
    turns 45 deg per 450 us
";

/// A triangle of 30, 40 and 50 and one of 14, 48 and 50; arm and horn are alike and the
/// rod is parallel to the line between their pivots, so servo and surface turn alike.
const ELEVONS: &str = "surface elevons: pair; on wing; driven by servos
    hinge-to-edge root 50 mm tip 34 mm
    throw full 30 mm up 14 mm down at root from flat
    linkage arm 10 mm horn 10 mm
";

const WING: &str = "model teal
wing: layout tailless pusher
    rib 0 mm out  chord 260 mm  leading-edge 0 mm aft
    rib 560 mm out  chord 190 mm  leading-edge 180 mm aft
";

#[test]
fn three_readings_and_the_angle_are_those_of_the_triangle() {
    let (_, rate) = first(&format!("{WING}{SERVOS}{ELEVONS}"));
    assert_eq!((rate.at.as_deref(), rate.from.as_str()), (Some("root"), "flat"));
    let [up, down] = &rate.ways[..] else { panic!("two ways") };
    near(up.straight_up.value(), 30.0);
    // 2 x 50 x sin(36.87° / 2) = 100 x sqrt(1/10); 50 x 30/40.
    near(up.edge_to_edge.value(), 1000_f64.sqrt());
    near(up.upright_rule.value(), 37.5);
    near(up.angle.value(), 36.869_897_646);
    near(up.height.value(), 30.0);
    near(down.edge_to_edge.value(), 200_f64.sqrt());
    near(down.upright_rule.value(), 50.0 * 14.0 / 48.0);
    near(down.angle.value(), 16.260_204_708);
    near(down.height.value(), -14.0);
}

#[test]
fn a_servo_with_arm_and_horn_alike_turns_as_its_surface_and_its_pulse_follows() {
    let (surface, rate) = first(&format!("{WING}{SERVOS}{ELEVONS}"));
    let [up, down] = &rate.ways[..] else { panic!("two ways") };
    let turn = up.servo.as_ref().unwrap();
    near(turn.by.value(), 36.869_897_646);
    // 36.87 of 45 degrees, at 10 us each.
    near(turn.share.value(), 81.933_105_88);
    near((up.pulse.as_ref().unwrap().length.value() - 1500.0).abs(), 368.698_976_46);
    near(down.servo.as_ref().unwrap().by.value(), 16.260_204_708);
    let curve = surface.linkage.unwrap().curve;
    assert_eq!(curve.len(), 25);
    curve.iter().for_each(|point| near(point.servo.value(), point.surface.value()));
    near(curve[0].servo.value(), 45.0);
    near(curve[12].servo.value(), 0.0);
}

#[test]
fn a_throw_that_the_linkage_does_not_reach_says_what_stops_it() {
    let spec = format!("{WING}{SERVOS}{ELEVONS}").replace("arm 10 mm", "arm 5 mm");
    let (_, rate) = first(&spec);
    let turn = rate.ways[0].servo.clone().unwrap();
    assert_eq!(turn.stopped.as_deref(), Some("over-centre"));
    // An arm of half the horn, square to a long rod: about half of sin 90°, 30 degrees.
    assert!((turn.surface.value() - 30.0).abs() < 2.0, "{turn:?}");
    says(
        &text(&card(&spec), 80),
        &["up is not reached: over centre with the surface turned", "of 36.9 deg"],
    );
}

#[test]
fn both_halves_stand_beside_what_is_stated() {
    let reached = "    measured-throw full left-half 29.6 mm up 14 mm down
    measured-throw full right-half 30.5 mm up
";
    let spec = format!("{WING}{SERVOS}{ELEVONS}{reached}");
    let (_, rate) = first(&spec);
    near(rate.ways[0].reached[0].beyond.value(), -0.4);
    near(rate.ways[0].reached[1].beyond.value(), 0.5);
    near(rate.ways[0].right_beyond_left.as_ref().unwrap().value(), 0.9);
    assert_eq!(rate.ways[1].right_beyond_left, None);
    says(
        &text(&card(&spec), 80),
        &["29.6 mm 0.4 mm less", "30.5 mm 0.5 mm more 0.9 mm more", "not measured"],
    );
}

#[test]
fn a_throw_from_reflex_stands_further_from_flat() {
    let spec = format!("{WING}{SERVOS}{ELEVONS}")
        .replace("from flat", "from reflex")
        .replace("    linkage", "    reflex 14 mm up at root by rod\n    linkage");
    let (surface, rate) = first(&spec);
    near(surface.reflex.unwrap().turned.value(), 16.260_204_708);
    let [up, down] = &rate.ways[..] else { panic!("two ways") };
    // 14 mm and 30 mm above that stand at asin(44/50).
    near(up.stands.value(), 61.642_363_424);
    near(up.height.value(), 44.0);
    near(down.height.value(), 0.0);
    // The rod makes the reflex, so the servo turns by the throw alone.
    near(up.servo.as_ref().unwrap().by.value(), 61.642_363_424 - 16.260_204_708);
}

#[test]
fn a_rudder_goes_left_and_right() {
    let spec = format!(
        "{WING}fin: rib 0 mm up  chord 120 mm  leading-edge 330 mm aft
    rib 130 mm up  chord 80 mm  leading-edge 360 mm aft
surface rudder: on fin
    hinge-to-edge root 40 mm tip 40 mm
    throw full 30 deg each-way
    linkage arm 10 mm horn 10 mm
"
    );
    let (surface, rate) = first(&spec);
    let ways: Vec<&str> = rate.ways.iter().map(|way| way.way.as_str()).collect();
    assert_eq!(ways, ["left", "right"]);
    near(rate.ways[0].straight_up.value(), 20.0);
    near(rate.ways[0].height.value(), -20.0);
    assert_eq!(rate.at, None);
    let ends = surface.linkage.unwrap().ends;
    assert_eq!((ends[0].way.as_str(), ends[1].way.as_str()), ("left", "right"));
    let page = text(&card(&spec), 80);
    says(&page, &["taken to turn 45 deg each way (common practice, no source)"]);
    says(&page, &["anywhere along the edge", "surface left"]);
}

#[test]
fn what_is_not_known_has_its_reason_and_never_a_blank() {
    let spec = format!("{WING}surface flap: on wing\n    throw full 12 mm down\n");
    let page = text(&card(&spec), 80);
    says(&page, &["cannot say", "surface flap says no hinge-to-edge"]);
    let spec = format!("{WING}{SERVOS}{ELEVONS}").replace("linkage arm 10 mm", "play ?");
    let spec = spec.replace(" horn 10 mm", "");
    let page = text(&card(&spec), 80);
    says(&page, &["surface elevons says no linkage", "36.9 deg"]);
    for written in [page, json(&card(&spec)), csv(&card(&spec))] {
        assert!(!written.contains("NaN") && !written.contains("inf"), "{written}");
    }
    says(&text(&card(WING), 80), &["describes no control surface"]);
}

#[test]
fn a_throw_deeper_than_its_surface_is_told_and_not_drawn() {
    let spec = format!("{WING}{SERVOS}{ELEVONS}").replace("30 mm up", "60 mm up");
    says(&text(&card(&spec), 80), &["would stand further from flat than it is deep"]);
    let drawn = gauges(&card(&spec));
    assert!(drawn.sheets.is_empty());
    assert!(drawn.left_out[0].contains("further from flat"), "{:?}", drawn.left_out);
}

#[test]
fn a_page_keeps_within_its_columns() {
    let long = "very long ".repeat(30);
    let spec = format!("{WING}{SERVOS}{ELEVONS}")
        .replace("model teal\n", &format!("model teal\n    title \"{long}\"\n"))
        .replace("elevons", "elevons-of-the-outer-wing-that-are-long");
    for columns in [60, 80, 100, 120] {
        for line in text(&card(&spec), columns).lines() {
            assert!(line.chars().count() <= columns.min(100), "{columns}: {line}");
        }
    }
}

#[test]
fn a_gauge_shows_names_of_the_spec_as_text_and_nothing_more() {
    let title = "    title \"<script>&\u{1b}[31m\"\n";
    let spec = format!("{WING}{SERVOS}{ELEVONS}")
        .replace("model teal\n", &format!("model teal\n{title}"));
    let sheet = gauges(&card(&spec)).sheets.remove(0);
    assert!(sheet.contains("&lt;script&gt;&amp;"), "{sheet}");
    assert!(!sheet.contains("<script") && !sheet.contains('\u{1b}'), "{sheet}");
}

#[test]
fn a_surface_too_large_for_a_sheet_is_named() {
    let spec = format!("{WING}{SERVOS}{ELEVONS}").replace("root 50 mm", "root 120 mm");
    let drawn = gauges(&card(&spec));
    assert!(drawn.sheets.is_empty() && drawn.left_out[0].contains("a sheet has"));
}

//! How a build flies: what must be true of it whatever the numbers are.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, NotKnown, What, Why};

const PLAIN: &str = "\
model knot
    launch hand at 9 m/s [measured]
wing [plan]
    layout      tailless pusher
    rib         0 mm out    chord 240 mm  leading-edge 0 mm aft
    rib         450 mm out  chord 150 mm  leading-edge 150 mm aft
    washout     3 deg
    section     symmetric
    band        80..120 mm aft best 100 mm aft
    drag        3 %
    lift-limit  90 %
    trim-speed  12 m/s
    held        100 mm out
surface elevons [measured]
    pair
    on wing
    hinge-to-edge root 46 mm tip 34 mm
    reach 60..430 mm out
    throw full 12 mm up 9 mm down at root from flat
    reflex 2 mm up at root
part shell: mass 400 g [weighed]; at 110 mm aft [measured]
pack main: mass 200 g [weighed]; at 80 mm aft [measured]
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

/// What the only loadout has by a path of names.
fn asked(text: &str, path: &str) -> Result<Known, NotKnown> {
    let facts = facts(text);
    let loadouts = facts.of(&facts.whole(), "loadouts")?;
    let What::List(all) = loadouts.what else { panic!("a list was expected") };
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    let start = match first {
        "loadout" => all.first().unwrap().clone(),
        other => facts.of(&facts.whole(), other)?,
    };
    let names = rest.split('.').filter(|name| !name.is_empty());
    names.into_iter().try_fold(start, |known, name| facts.of(&known, name))
}

fn number(text: &str, path: &str) -> f64 {
    asked(text, path).unwrap().quantity().unwrap().si()
}

fn near(one: f64, other: f64, within: f64) {
    assert!(
        (one - other).abs() <= within,
        "{one} and {other} differ by more than {within}"
    );
}

/// Nobody can put into text what is nearer than this.
const TIGHT: f64 = 1e-6;

#[test]
fn the_neutral_point_ignores_mass_washout_and_elevons() {
    let plain = number(PLAIN, "neutral_point");
    let changes = [
        ("mass 400 g", "mass 700 g"),
        ("washout     3 deg", "washout     6 deg"),
        ("reflex 2 mm up", "reflex 4 mm up"),
        (
            "section     symmetric",
            "section     cambered; zero-lift 2 deg nose-down; section-moment 5 % nose-down",
        ),
    ];
    for (from, to) in changes {
        near(number(&PLAIN.replace(from, to), "neutral_point"), plain, TIGHT);
    }
}

#[test]
fn the_reflex_that_a_speed_wants_trims_that_speed() {
    let speed = number(PLAIN, "loadout.hands_off.speed");
    let asked_for = format!("trim-speed  {} mm/s", (speed * 1e3).round());
    let wanted =
        number(&PLAIN.replace("trim-speed  12 m/s", &asked_for), "loadout.reflex_wanted");
    near(wanted, 0.002, 2e-6);
}

#[test]
fn more_reflex_flies_slower_and_a_balance_further_ahead_wants_more_of_it() {
    let slower = PLAIN.replace("reflex 2 mm up", "reflex 3 mm up");
    let speed = number(PLAIN, "loadout.hands_off.speed");
    assert!(number(&slower, "loadout.hands_off.speed") < speed);
    let ahead = PLAIN.replace("at 80 mm aft", "at 60 mm aft");
    let wanted = number(PLAIN, "loadout.reflex_wanted");
    assert!(wanted < number(&ahead, "loadout.reflex_wanted"));
}

#[test]
fn the_margin_changes_sign_where_the_balance_meets_the_neutral_point() {
    let point = number(PLAIN, "neutral_point") * 1e3;
    // Shell and pack at one place: it balances there.
    let at = |place: f64| {
        let text = PLAIN.replace("at 110 mm aft", &format!("at {place:.6} mm aft"));
        text.replace("at 80 mm aft", &format!("at {place:.6} mm aft"))
    };
    assert!(0.0 < number(&at(point - 0.01), "loadout.static_margin"));
    assert!(number(&at(point + 0.01), "loadout.static_margin") < 0.0);
    let behind = asked(&at(point + 5.0), "loadout.hands_off").unwrap_err();
    assert_eq!(behind.why, Why::Impossible);
}

#[test]
fn inches_and_millimetres_fly_alike() {
    let inches = PLAIN
        .replace("240 mm", "9.448818897637795 in")
        .replace("450 mm", "17.716535433070867 in");
    for path in ["neutral_point", "loadout.static_margin", "loadout.hands_off.speed"] {
        near(number(&inches, path), number(PLAIN, path), TIGHT);
    }
}

#[test]
fn thin_air_stalls_and_trims_faster_by_the_root_of_its_density() {
    let high =
        PLAIN.replace("[measured]\nwing", "[measured]\n    field-height 2000 m\nwing");
    let thinner = (number(PLAIN, "air.density") / number(&high, "air.density")).sqrt();
    assert!(1.0 < thinner);
    let path = "loadout.hands_off.speed";
    near(number(&high, path), thinner * number(PLAIN, path), TIGHT);
    let warm = high
        .replace("field-height 2000 m", "field-height 2000 m; field-temperature 30 °C");
    assert!(number(&warm, "air.density") < number(&high, "air.density"));
}

#[test]
fn a_glide_goes_as_far_with_any_mass_and_faster_with_more() {
    let heavy = PLAIN.replace("mass 400 g", "mass 1000 g");
    let path = "loadout.glide.distance";
    near(number(&heavy, path), number(PLAIN, path), 1e-3);
    assert!(number(PLAIN, "loadout.glide.speed") < number(&heavy, "loadout.glide.speed"));
    assert!(
        number(PLAIN, "loadout.glide.least_sink") <= number(PLAIN, "loadout.glide.sink")
    );
    assert!(
        number(PLAIN, "loadout.glide.slow_speed") <= number(PLAIN, "loadout.glide.speed")
    );
}

#[test]
fn the_place_to_hold_a_swept_wing_is_counted_from_its_edge_there() {
    // 100 mm out the leading edge lies 100/450 of 150 mm aft.
    let edge = 0.15 * 100.0 / 450.0;
    near(number(PLAIN, "loadout.held_band.forward"), 0.08 - edge, TIGHT);
    near(number(PLAIN, "loadout.held_band.best"), 0.1 - edge, TIGHT);
    let beyond = PLAIN.replace("held        100 mm out", "held        500 mm out");
    assert_eq!(asked(&beyond, "loadout.held_band").unwrap_err().why, Why::Impossible);
}

#[test]
fn a_throw_from_the_reflex_goes_as_much_further() {
    near(number(PLAIN, "pitch_control.most_up"), 0.012, TIGHT);
    let from = PLAIN.replace("at root from flat", "at root from reflex");
    let most = number(&from, "pitch_control.most_up");
    // 2 mm of reflex and 12 mm above that, on an upright ruler.
    near(most, 0.014, TIGHT);
    let unsaid = PLAIN.replace("at root from flat", "at root");
    assert_eq!(asked(&unsaid, "pitch_control.most_up").unwrap_err().why, Why::Impossible);
}

#[test]
fn what_is_not_known_is_not_taken_for_nought() {
    let unknown = [
        ("section     symmetric", "section     ?", "loadout.hands_off"),
        ("section     symmetric", "section     cambered", "loadout.hands_off"),
        ("reflex 2 mm up", "reflex ?", "loadout.hands_off"),
        ("drag        3 %", "drag        ?", "loadout.glide"),
        ("chord 150 mm", "chord ?", "neutral_point"),
        ("layout      tailless", "layout      conventional", "neutral_point"),
        ("washout     3 deg", "washout     ?", "neutral_point"),
        ("reach 60..430 mm out", "reach ?", "loadout.reflex_wanted"),
    ];
    for (from, to, path) in unknown {
        let text = PLAIN.replace(from, to);
        assert_ne!(text, PLAIN);
        assert!(asked(&text, path).is_err(), "{to}: {path}");
    }
    // A section moves no neutral point.
    assert!(asked(&PLAIN.replace("symmetric", "?"), "loadout.static_margin").is_ok());
}

#[test]
fn shapes_that_are_none_say_so_and_extreme_ones_have_numbers() {
    let root = "    rib         0 mm out    chord 240 mm  leading-edge 0 mm aft\n";
    let tip = "    rib         450 mm out  chord 150 mm  leading-edge 150 mm aft\n";
    let with = |ribs: &str| {
        let text = PLAIN.replace(root, "").replace(tip, ribs);
        text.replace("reach 60..430 mm out", "reach 1..2 mm out")
    };
    let none = [
        "    rib 0 mm out chord 240 mm leading-edge 0 mm aft\n",
        "    rib 0 mm out chord 240 mm leading-edge 0 mm aft\n    rib 0 mm out chord 240 mm leading-edge 0 mm aft\n",
    ];
    for ribs in none {
        let why = asked(&with(ribs), "neutral_point").unwrap_err();
        assert!(why.span.is_some(), "{}", why.says);
    }
    // Swept by 80 degrees; an aspect ratio of 0.1; of 60; a pointed tip.
    let extreme = [
        "    rib 0 mm out chord 240 mm leading-edge 0 mm aft\n    rib 100 mm out chord 240 mm leading-edge 567 mm aft\n",
        "    rib 0 mm out chord 1000 mm leading-edge 0 mm aft\n    rib 50 mm out chord 1000 mm leading-edge 0 mm aft\n",
        "    rib 0 mm out chord 100 mm leading-edge 0 mm aft\n    rib 3000 mm out chord 100 mm leading-edge 0 mm aft\n",
        "    rib 0 mm out chord 400 mm leading-edge 0 mm aft\n    rib 300 mm out chord 0.01 mm leading-edge 400 mm aft\n",
    ];
    for ribs in extreme {
        let point = number(&with(ribs), "neutral_point");
        assert!(point.is_finite() && -0.5 < point && point < 1.5, "{ribs}: {point}");
    }
}

#[test]
fn a_fin_alone_has_no_neutral_point() {
    let text = "fin [plan]\n    rib 0 mm up chord 100 mm leading-edge 0 mm aft\n    rib 90 mm up chord 60 mm leading-edge 20 mm aft\npart shell: mass 100 g [weighed]; at 50 mm aft [measured]\n";
    assert!(asked(text, "neutral_point").is_err());
}

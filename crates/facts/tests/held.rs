//! How a build is held together: what must be true of it whatever the numbers are.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::f64::consts::PI;

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::physics::spar::elliptic_root_moment;
use trimsheet_facts::{Facts, Known, NotKnown, What, Why};

const PLAIN: &str = "\
model dunlin
wing [plan]
    layout      tailless pusher
    rib         0 mm out    chord 200 mm  leading-edge 0 mm aft
    rib         600 mm out  chord 200 mm  leading-edge 0 mm aft
surface elevons [plan]
    pair
    on wing
    hinge-to-edge root 40 mm tip 40 mm
    reach 0..400 mm out
    throw full 20 mm up 10 mm down at root from flat
spar joiner: on wing
    diameter 8 mm
    socket 100 mm
    runs from 60 mm aft to 60 mm aft 500 mm out
recess well: cut-into wing; depth 10 mm; thickness 24 mm; at 90 mm aft 150 mm out; size 30 x 20 x 10 mm
part shell: mass 800 g; at 60 mm aft
part screw: kind propeller; mass 12 g; size 8 x 4 in; at 215 mm aft
part box: kind sensor; mass 10 g; size 20 x 20 x 10 mm; at 240 mm aft 130 mm right
loadout heavy
";

fn facts(text: &str) -> Facts {
    let text = text.replace("loadout light: fits none\n", "");
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text.as_str());
    let tree = syntax::parse(file, &text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let said: Vec<&str> = findings.iter().map(|one| one.headline.as_str()).collect();
    assert!(said.is_empty(), "{said:?}\n{text}");
    Facts::new(build, Stage::Installed)
}

fn asked(text: &str, path: &str) -> Result<Known, NotKnown> {
    let facts = facts(text);
    let mut names = path.split('.');
    names.try_fold(facts.whole(), |known, name| {
        if let (What::List(all), Ok(at)) = (&known.what, name.parse::<usize>()) {
            return Ok(all.get(at).unwrap().clone());
        }
        facts.of(&known, name)
    })
}

fn number(text: &str, path: &str) -> f64 {
    asked(text, path).unwrap().quantity().unwrap().si()
}

/// How near a thing of an entry comes to the disc of the only propeller, and how high its
/// edge then stands.
fn near(text: &str, path: &str, what: &str) -> (f64, f64) {
    let What::List(all) = asked(text, &format!("{path}.near_discs")).unwrap().what else {
        panic!("a list was expected")
    };
    let field = |of: &Known, name: &str| of.field(name).cloned().unwrap();
    let one = all.iter().find(|one| field(one, "what").to_string() == what);
    let one = one.unwrap_or_else(|| panic!("{what} is not there"));
    let si = |name: &str| field(one, name).quantity().unwrap().si();
    (si("by"), si("edge"))
}

/// How near the trailing edge of the wing comes at rest.
fn rear_edge(text: &str) -> f64 {
    near(text, "wing", "the trailing edge of the wing").0
}

#[test]
fn the_root_moment_is_a_little_more_than_that_of_an_ellipse_for_a_rectangle() {
    let moment = number(PLAIN, "spar.at_socket.moment");
    let ellipse = elliptic_root_moment(0.822 * 9.80665, 1.2).unwrap();
    let more = moment / ellipse;
    assert!(1.02 < more && more < 1.10, "{more}");
}

#[test]
fn twice_the_depth_is_a_quarter_of_the_pressure_and_twice_the_diameter_half_of_it() {
    let pressure = number(PLAIN, "spar.at_socket.pressure");
    let deeper = PLAIN.replace("socket 100 mm", "socket 200 mm");
    let share = number(&deeper, "spar.at_socket.pressure") / pressure;
    assert!((share - 0.25).abs() < 1e-9, "{share}");
    for thicker in ["diameter 16 mm", "diameter 8 mm; socket 100 mm liner 16 mm"] {
        let text = PLAIN.replace("    socket 100 mm\n", "");
        let text = text.replace("diameter 8 mm", thicker);
        let text = if thicker.contains("socket") {
            text
        } else {
            text.replace("diameter 16 mm", "diameter 16 mm; socket 100 mm")
        };
        let share = number(&text, "spar.at_socket.pressure") / pressure;
        assert!((share - 0.5).abs() < 1e-9, "{share}");
    }
    let pressed = 6.0 * number(PLAIN, "spar.at_socket.moment") / (0.008 * 0.1 * 0.1);
    assert!((pressed / pressure - 1.0).abs() < 1e-9);
}

#[test]
fn a_socket_further_out_has_less_to_bear() {
    let out = PLAIN.replace("socket 100 mm", "socket 100 mm from 200 mm out");
    let path = "spar.at_socket.moment";
    assert!(number(&out, path) < 0.6 * number(PLAIN, path));
}

#[test]
fn washout_does_not_enter_and_spars_alike_share() {
    let path = "spar.at_socket.pressure";
    let pressure = number(PLAIN, path);
    let twisted = PLAIN.replace("wing [plan]\n", "wing [plan]\n    washout 4 deg\n");
    // What a lattice makes of more angle of attack does not depend on how it is twisted.
    assert!((number(&twisted, path) / pressure - 1.0).abs() < 1e-6);
    let two = format!("{PLAIN}spar second: on wing; diameter 8 mm; socket 100 mm\n");
    assert!((number(&two, path) / pressure - 0.5).abs() < 1e-9);
    let no_socket = format!("{PLAIN}spar second: on wing; diameter 8 mm\n");
    assert!((number(&no_socket, path) / pressure - 1.0).abs() < 1e-9);
}

#[test]
fn the_heaviest_loadout_counts_and_a_mass_that_is_not_known_is_no_small_one() {
    let path = "spar.at_socket.moment";
    let camera = "part camera: kind camera; mass 200 g; at 60 mm aft; optional\n";
    let two = format!("{PLAIN}    without camera\nloadout far: with camera\n{camera}");
    let share = number(&two, path) / number(PLAIN, path);
    assert!((share - 1.022 / 0.822).abs() < 1e-9, "{share}");
    assert_eq!(asked(&two, "spar.at_socket.loadout").unwrap().name, "far");
    let why = asked(&two.replace("mass 200 g", "mass ?"), path).unwrap_err();
    assert!(matches!(why.why, Why::Unknown(_)), "{why:?}");
}

/// D/(D⁴ − d⁴).
fn by_section(outer: f64, inner: f64) -> f64 {
    outer / (outer * outer * outer * outer - inner * inner * inner * inner)
}

/// Solid, or a tube: 32 M D/(π (D⁴ − d⁴)), any text on strength of materials.
fn stress(moment: f64, outer: f64, inner: f64) -> f64 {
    32.0 * moment / PI * by_section(outer, inner)
}

#[test]
fn the_root_bends_a_spar_by_its_section_wherever_its_socket_begins() {
    let moment = number(PLAIN, "spar.at_root.moment");
    assert!((moment / number(PLAIN, "spar.at_socket.moment") - 1.0).abs() < 1e-9);
    let out = PLAIN.replace("socket 100 mm", "socket 100 mm from 200 mm out");
    let none = PLAIN.replace("    socket 100 mm\n", "");
    for text in [PLAIN, &out, &none] {
        let found = number(text, "spar.at_root.stress");
        assert!((found / stress(moment, 0.008, 0.0) - 1.0).abs() < 1e-9, "{found}");
    }
    let tube = PLAIN.replace("diameter 8 mm", "diameter 8 mm inner 6 mm");
    let found = number(&tube, "spar.at_root.stress");
    assert!((found / stress(moment, 0.008, 0.006) - 1.0).abs() < 1e-9, "{found}");
}

#[test]
fn spars_that_join_the_halves_share_and_one_inside_a_panel_is_not_known_of() {
    let path = "spar.at_root.stress";
    let whole = number(PLAIN, path);
    let two = format!("{PLAIN}spar second: on wing; diameter 16 mm; socket 100 mm\n");
    // A rod twice as thick is sixteen times as stiff.
    assert!((number(&two, path) / whole - 1.0 / 17.0).abs() < 1e-9);
    let inside = format!("{PLAIN}spar second: on wing; diameter 16 mm\n");
    assert!((number(&inside, path) / whole - 1.0).abs() < 1e-9);
    let glued = two.replace("; socket 100 mm", "").replace("    socket 100 mm\n", "");
    assert!((number(&glued, path) / whole - 1.0 / 17.0).abs() < 1e-9);
    let other = two.replace("    socket 100 mm\n", "");
    let why = asked(&other, path).unwrap_err();
    assert!(matches!(why.why, Why::Impossible), "{why:?}");
}

#[test]
fn a_diameter_that_is_unsure_makes_the_stress_three_times_as_unsure() {
    let spread = |diameter: &str| {
        let text = PLAIN.replace("diameter 8 mm", diameter);
        let text = text.replace("mass 800 g", "mass 800 g ± 0 g");
        let text = text.replace("mass 12 g", "mass 12 g ± 0 g");
        let text = text.replace("mass 10 g", "mass 10 g ± 0 g");
        let stress = asked(&text, "spar.at_root.stress").unwrap();
        let stress = stress.quantity().unwrap();
        stress.spread_si().unwrap() / stress.si()
    };
    let rod = spread("diameter 8 mm ± 0.008 mm");
    assert!((rod - 0.003).abs() < 1e-9, "{rod}");
    // By differences: as far as each diameter is unsure, either way.
    let tube = by_section;
    let by_outer = (tube(7.9992, 6.0) - tube(8.0008, 6.0)) / 2.0 / tube(8.0, 6.0);
    let by_inner = (tube(8.0, 6.0006) - tube(8.0, 5.9994)) / 2.0 / tube(8.0, 6.0);
    let found = spread("diameter 8 mm ± 0.0008 mm inner 6 mm ± 0.0006 mm");
    let both = (by_outer * by_outer + by_inner * by_inner).sqrt();
    assert!((found / both - 1.0).abs() < 1e-6, "{found}");
}

#[test]
fn a_spar_on_no_wing_and_one_without_a_wall_bear_nothing_that_is_known() {
    let path = "spar.at_socket.moment";
    let tail = PLAIN.replace("joiner: on wing", "joiner: on stab")
        + "\
tail stab [plan]
    rib 0 mm out   chord 90 mm leading-edge 500 mm aft
    rib 150 mm out chord 90 mm leading-edge 500 mm aft
";
    assert_eq!(asked(&tail, path).unwrap_err().why, Why::Impossible);
    let hollow = PLAIN.replace("diameter 8 mm", "diameter 8 mm inner 8 mm");
    assert_eq!(asked(&hollow, path).unwrap_err().why, Why::Impossible);
    let unknown = PLAIN.replace("socket 100 mm", "socket ?");
    assert!(matches!(asked(&unknown, path).unwrap_err().why, Why::Unknown(_)));
}

#[test]
fn an_edge_at_rest_is_as_far_ahead_of_the_disc_as_a_ruler_says() {
    assert!((rear_edge(PLAIN) - 0.015).abs() < 1e-9);
    let further = PLAIN.replace("at 215 mm aft", "at 230 mm aft");
    assert!((rear_edge(&further) - 0.030).abs() < 1e-9);
    // A box 20 mm wide whose middle lies 130 mm out reaches in to 120 mm; the blades of
    // 101.6 mm end 18.4 mm short of it, and it begins 15 mm aft of them.
    let corner = (0.0184_f64 * 0.0184 + 0.015 * 0.015).sqrt();
    assert!((near(PLAIN, "parts.2", "part box").0 - corner).abs() < 1e-9);
}

#[test]
fn an_edge_that_swings_into_the_disc_is_found_wherever_it_does() {
    // The disc stands above the hinge line, where only an edge that is up comes to.
    let above = PLAIN
        .replace("at 215 mm aft", "at 196 mm aft 115 mm up")
        .replace("20 mm up 10 mm down", "30 mm up 10 mm down");
    let what = "the edge of surface elevons";
    let (swung, height) = near(&above, "surface", what);
    let rest = rear_edge(&above);
    assert!(swung + 0.005 < rest, "{swung} {rest}");
    assert!(0.01 < height);
    // In the other half it is the same.
    let right = above.replace("196 mm aft 115 mm up", "196 mm aft 60 mm right 115 mm up");
    let left = above.replace("196 mm aft 115 mm up", "196 mm aft 60 mm left 115 mm up");
    let ways = [right, left].map(|text| near(&text, "surface", what).0);
    assert!((ways[0] - ways[1]).abs() < 1e-12);
}

#[test]
fn what_turns_with_the_propeller_is_not_in_its_own_way() {
    let motor = format!(
        "{PLAIN}part motor: kind motor; mass 50 g; size 40 x 28 x 28 mm; at 205 mm aft\n"
    );
    for path in ["parts.1.near_discs", "parts.3.near_discs"] {
        let What::List(all) = asked(&motor, path).unwrap().what else {
            panic!("a list was expected")
        };
        assert_eq!(all.len(), 0, "{path}");
    }
}

#[test]
fn what_is_not_known_of_one_thing_hides_no_other() {
    let lost = PLAIN.replace("at 240 mm aft 130 mm right", "at ?");
    assert!((rear_edge(&lost) - 0.015).abs() < 1e-9);
    let why = asked(&lost, "parts.2.near_discs").unwrap_err();
    assert!(matches!(why.why, Why::Unknown(_)), "{why:?}");
    let throw = PLAIN.replace("20 mm up 10 mm down", "?");
    assert!((rear_edge(&throw) - 0.015).abs() < 1e-9);
}

#[test]
fn a_pair_of_propellers_is_said_once_of_a_wing() {
    let pair = PLAIN.replace(
        "part screw: kind propeller; mass 12 g; size 8 x 4 in; at 215 mm aft",
        "part screws: kind propeller; pair; mass 12 g each; size 8 x 4 in; at 215 mm aft 200 mm out",
    );
    let What::List(all) = asked(&pair, "wing.near_discs").unwrap().what else {
        panic!("a list was expected")
    };
    assert_eq!(all.len(), 2);
    assert!((rear_edge(&pair) - 0.015).abs() < 1e-9);
}

#[test]
fn a_spar_below_a_recess_is_found_on_either_half_and_one_beside_it_is_not() {
    let over = |text: &str| {
        let What::List(all) = asked(text, "recess.over_spars").unwrap().what else {
            panic!("a list was expected")
        };
        all.len()
    };
    assert_eq!(over(PLAIN), 0);
    // 30 mm long about 78 mm aft it reaches from 63 mm on; the spar ends at 64 mm.
    for at in ["at 78 mm aft 150 mm right", "at 78 mm aft 150 mm left"] {
        assert_eq!(over(&PLAIN.replace("at 90 mm aft 150 mm out", at)), 1, "{at}");
    }
    assert_eq!(
        over(&PLAIN.replace("at 90 mm aft 150 mm out", "at 80 mm aft 150 mm out")),
        0
    );
    let past = PLAIN.replace("at 90 mm aft 150 mm out", "at 60 mm aft 520 mm out");
    assert_eq!(over(&past), 0);
    let below = PLAIN.replace("at 90 mm aft 150 mm out", "at 60 mm aft 150 mm out");
    let cover = number(&below, "recess.over_spars.0.cover");
    assert!((cover - 0.008).abs() < 1e-12);
}

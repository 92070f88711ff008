//! What lies near an antenna or a compass: geometry worked out by hand.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, NotKnown, What};

const PLAIN: &str = "\
model dunlin
    link-range 1 km
body
    reach 100 mm ahead..500 mm aft
spar joiner: on wing
    made-of carbon-fibre
    diameter 8 mm
    runs from 60 mm aft to 60 mm aft 500 mm out
part ear: kind receiver; at 120 mm aft; receives 2440 MHz sensitivity -105 dBm sent 20 dBm sender-gain 2 dB
    antenna one from 100 mm aft to 130 mm aft gain 2 dB
    antenna two from 100 mm aft to 100 mm aft 30 mm up gain 5 dB
part voice: kind video-transmitter; at 200 mm aft; sends 787 MHz power 200 mW
    antenna mast from 160 mm aft 40 mm up to 200 mm aft 40 mm up
part finder: kind gnss-receiver; at 160 mm aft 100 mm right
part needle: kind compass; at 100 mm aft 150 mm up
part controller: kind speed-controller; at 40 mm aft
part motor: kind motor; at 90 mm ahead
pack main: size 100 x 34 x 28 mm; slides 0..80 mm aft; cells 3S lipo; resistance 8 mohm/cell
join power: supply main -> controller; wire 16 awg 90 mm; spaced 6 mm
join motor-leads: supply controller -> motor; wire 16 awg 90 mm
loadout trip: fits main; cruise 26 A
";

fn asked(text: &str, path: &str) -> Result<Known, NotKnown> {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, _) = resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let facts = Facts::new(build, Stage::Installed);
    let mut names = path.split('.');
    let name = names.next().unwrap();
    let of = facts.of_word("part").find(|(_, part)| part.name == name);
    let part = facts.known_entry(of.unwrap().0);
    names.try_fold(part, |known, name| facts.of(&known, name))
}

fn records(text: &str, path: &str) -> Vec<Known> {
    let What::List(all) = asked(text, path).unwrap().what else {
        panic!("a list was expected")
    };
    all.to_vec()
}

fn si(of: &Known, name: &str) -> f64 {
    of.field(name).unwrap().quantity().unwrap().si()
}

fn said(of: &Known, name: &str) -> String {
    of.field(name).unwrap().to_string()
}

fn why(text: &str, path: &str) -> String {
    asked(text, path).unwrap_err().says
}

#[test]
fn two_antennas_are_as_far_apart_as_their_nearest_ends() {
    let near = records(PLAIN, "ear.near_senders");
    let by: Vec<f64> = near.iter().map(|near| si(near, "by")).collect();
    // 30 aft and 40 up; 60 aft and 10 up.
    assert!((by[0] - 0.05).abs() < 1e-9 && (by[1] - 0.06083).abs() < 1e-5, "{by:?}");
    assert_eq!(said(&near[0], "sender_antenna"), "antenna mast of part voice");
    assert!((si(&near[0], "power") - 0.2).abs() < 1e-9);
}

#[test]
fn a_satellite_receiver_without_antennas_is_its_own() {
    let near = records(PLAIN, "finder.near_senders");
    assert_eq!(near.len(), 1);
    assert!((si(&near[0], "by") - 0.10770).abs() < 1e-5);
    let made = records(PLAIN, "finder.made_on_air");
    let second = made.iter().find(|one| said(one, "says").starts_with("the second"));
    assert!((si(second.unwrap(), "apart") - 1.42e6).abs() < 1.0);
}

#[test]
fn a_place_that_is_not_known_is_no_distance_and_is_asked_for() {
    let text =
        PLAIN.replace("antenna mast from 160 mm aft 40 mm up to", "antenna mast to");
    assert!(records(&text, "ear.near_senders").is_empty());
    assert_eq!(
        why(&text, "ear.near_senders_known"),
        "where the antenna mast of part voice lies is not said"
    );
    let text = PLAIN.replace(
        "    antenna mast from 160 mm aft 40 mm up to 200 mm aft 40 mm up\n",
        "",
    );
    assert_eq!(why(&text, "ear.near_senders_known"), "part voice says no antenna");
    assert!(asked(PLAIN, "ear.near_senders_known").is_ok());
}

#[test]
fn what_nobody_sends_near_asks_for_no_place() {
    let text = PLAIN.replace("kind video-transmitter", "kind camera");
    let text = text.replace("; sends 787 MHz power 200 mW", "");
    let text = text.replace("antenna one from 100 mm aft to", "antenna one to");
    assert!(asked(&text, "ear.near_senders_known").is_ok());
}

#[test]
fn a_rod_a_box_and_a_lead_are_as_near_as_their_skins() {
    let near = records(PLAIN, "ear.near_conductors");
    let by = |antenna: &str, what: &str| {
        let one = near.iter().find(|one| {
            said(one, "antenna").contains(antenna)
                && said(one, "conductor").contains(what)
        });
        si(one.unwrap_or_else(|| panic!("{what} is not there")), "by")
    };
    // The spar lies 40 ahead of the antenna, and is 4 thick on that side.
    assert!((by("one", "carbon-fibre spar joiner") - 0.036).abs() < 1e-9);
    // The pack may slide until its rear is at 130, so it meets the antenna.
    assert!(by("one", "pack main in loadout trip").abs() < 1e-9);
    // The controller lies 60 ahead of where the antenna begins.
    assert!((by("two", "leads of join motor-leads") - 0.06).abs() < 1e-9);
    assert!(asked(PLAIN, "ear.near_conductors_known").is_ok());
    let placed = PLAIN.replace("fits main;", "fits main at 40 mm aft;");
    let near = records(&placed, "ear.near_conductors");
    let pack = near.iter().find(|one| said(one, "conductor").contains("pack main"));
    assert!((si(pack.unwrap(), "by") - 0.01).abs() < 1e-9);
}

#[test]
fn a_spar_lies_on_both_halves_where_it_runs_outward() {
    let text = PLAIN.replace(
        "runs from 60 mm aft to 60 mm aft 500 mm out",
        "runs from 60 mm aft 50 mm out to 60 mm aft 500 mm out",
    );
    let text = text.replace(
        "antenna one from 100 mm aft to 130 mm aft",
        "antenna one from 60 mm aft 80 mm left to 60 mm aft 90 mm left",
    );
    let near = records(&text, "ear.near_conductors");
    assert!(near.iter().any(|one| si(one, "by").abs() < 1e-9), "{near:?}");
}

#[test]
fn a_spar_of_no_known_making_and_a_pack_of_no_size_are_asked_for() {
    let text = PLAIN.replace("    made-of carbon-fibre\n", "");
    assert_eq!(why(&text, "ear.near_conductors_known"), "spar joiner says no made-of");
    let foam = PLAIN.replace("made-of carbon-fibre", "made-of balsa");
    assert!(asked(&foam, "ear.near_conductors_known").is_ok());
    let text = PLAIN.replace("size 100 x 34 x 28 mm; ", "");
    assert_eq!(why(&text, "ear.near_conductors_known"), "pack main says no size");
}

#[test]
fn two_at_right_angles_are_ninety_degrees_apart_and_a_point_has_no_way() {
    let angles = records(PLAIN, "ear.antenna_angles");
    assert_eq!(angles.len(), 1);
    assert!((si(&angles[0], "angle").to_degrees() - 90.0).abs() < 1e-9);
    let text =
        PLAIN.replace("two from 100 mm aft to 100 mm aft 30 mm up", "two at 100 mm aft");
    assert!(records(&text, "ear.antenna_angles").is_empty());
    assert!(why(&text, "ear.antenna_angles_known").contains("antenna two of part ear"));
}

#[test]
fn a_margin_is_that_of_friis_with_the_antenna_of_least_gain() {
    // 20 dBm, 2 dB at both ends, -105 dBm, 2440 MHz, 1 km: 28.804 dB, as in RF-03.
    let margins = records(PLAIN, "ear.link_margins");
    assert_eq!(margins.len(), 1);
    let margin = margins[0].field("margin").unwrap().quantity().unwrap();
    assert!((margin.value() - 28.804).abs() < 0.05, "{margin}");
    assert_eq!(said(&margins[0], "way"), "up");
    assert!(why(PLAIN, "voice.link_margins_known").contains("no gain"));
}

#[test]
fn a_pair_beside_a_compass_is_far_less_than_one_lead() {
    let leads = records(PLAIN, "needle.near_leads");
    assert_eq!(leads.len(), 1, "the leads of the motor are left out");
    let lead = &leads[0];
    // The pack may lie at 80 aft, 20 ahead of the compass and 150 below it.
    let by = (0.02_f64 * 0.02 + 0.15 * 0.15).sqrt();
    assert!((si(lead, "by") - by).abs() < 1e-9);
    let single = 4e-7 * 26.0 / (2.0 * by);
    assert!((si(lead, "field_if_split") / single - 1.0).abs() < 1e-3);
    assert!((si(lead, "field") / single - 0.006 / by).abs() < 1e-3);
    // The arc tangent of 34.36 uT over 20 uT is 59.8°.
    assert!((si(lead, "turned_if_split").to_degrees() - 59.8).abs() < 0.1);
}

#[test]
fn a_current_that_is_not_known_is_asked_for() {
    let text = PLAIN.replace("cruise 26 A", "cruise ?");
    assert!(asked(&text, "needle.near_leads_known").is_err());
    let text = PLAIN.replace("; wire 16 awg 90 mm; spaced", "; spaced");
    assert!(why(&text, "needle.near_leads_known").contains("join power"));
    let text = PLAIN.replace("controller; at 40 mm aft", "controller; at ?");
    assert!(asked(&text, "needle.near_leads_known").is_err());
}

#[test]
fn a_move_clears_by_what_it_says_and_stays_in_the_airframe() {
    let move_of = |text: &str, distance: f64| -> Vec<String> {
        let mut sources = Sources::default();
        let file = sources.add("test.trim", text);
        let tree = syntax::parse(file, text);
        let (build, _) =
            resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
        let facts = Facts::new(build, Stage::Installed);
        let of = facts.of_word("part").find(|(_, part)| part.name == "finder");
        let part = facts.known_entry(of.unwrap().0);
        let ways = facts.ways_to_clear(&part, "part finder", distance).unwrap();
        ways.into_iter().map(|way| way.says).collect()
    };
    // 100 right and 40 up are 107.7 away, so 53 along make 120.
    let [way] = &move_of(PLAIN, 0.12)[..] else { panic!("one way was expected") };
    assert!(
        way.starts_with("move part finder 53 mm forward, its middle to 107 mm aft"),
        "{way}"
    );
    assert!(move_of(PLAIN, 0.8).is_empty());
}
#[test]
fn a_compass_that_lies_on_a_lead_is_not_passed_over() {
    let text = PLAIN.replace("compass; at 100 mm aft 150 mm up", "compass; at 60 mm aft");
    let leads = records(&text, "needle.near_leads");
    assert_eq!(leads.len(), 1);
    assert!(80.0 < si(&leads[0], "turned").to_degrees());
}

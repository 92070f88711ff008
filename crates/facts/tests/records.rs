//! What was done when, what a join connects, and the other slots of a line.
#![expect(clippy::unwrap_used, reason = "these are tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, What};

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, Stage::Installed)
}

fn first(facts: &Facts, word: &str) -> Known {
    facts.known_entry(facts.of_word(word).next().unwrap().0)
}

fn asked(facts: &Facts, of: &Known, name: &str) -> String {
    facts.of(of, name).map_or_else(|why| format!("? {why}"), |found| found.to_string())
}

fn list(known: &Known) -> Vec<Known> {
    if let What::List(list) = &known.what { list.to_vec() } else { Vec::new() }
}

const DONE: &str = "model x\n\
    done failsafe 2026-03-02 by MT: with SB MT; propeller off\n\
    done season-check 2026-03-09 by MT\n\
    done failsafe 2026-04-01 by SB\n";

#[test]
fn records_come_the_latest_first_and_say_day_step_and_people() {
    let facts = facts(DONE);
    let steps = facts.steps("failsafe").unwrap();
    let said: Vec<[String; 4]> = steps
        .iter()
        .map(|done| {
            ["called", "by", "step", "others"].map(|name| asked(&facts, done, name))
        })
        .collect();
    assert_eq!(
        said,
        [
            ["failsafe of 2026-04-01", "SB", "failsafe", ""],
            ["failsafe of 2026-03-02", "MT", "failsafe", "SB"],
        ]
    );
    assert_eq!(facts.records("done").unwrap().len(), 3);
    assert_eq!(facts.records("balanced").unwrap().len(), 0);
    let date = facts.of(&steps[0], "date").unwrap();
    assert_eq!(asked(&facts, &date, "year"), "2026");
}

#[test]
fn a_record_whose_day_or_step_is_not_known_may_be_the_latest() {
    for line in ["done failsafe ?", "done ? 2026-05-01"] {
        let facts = facts(&format!("{DONE}{line}\n"));
        let why = facts.steps("failsafe").unwrap_err();
        assert!(why.says.ends_with("is not known"), "{line}: {why}");
    }
}

#[test]
fn who_was_there_may_be_unknown() {
    let facts = facts("model x\ndone failsafe 2026-03-02 by MT: with ?\n");
    let said = asked(&facts, &first(&facts, "done"), "others");
    assert_eq!(said, "? who was there besides is not known of failsafe of 2026-03-02");
}

#[test]
fn only_what_can_be_a_record_is_asked_for() {
    let why = facts(DONE).records("loadout").unwrap_err();
    assert!(
        why.says.contains("weighed, balanced, done, saved, checked, ran, flew"),
        "{why}"
    );
}

#[test]
fn a_step_is_no_name_that_something_else_could_mean() {
    let facts = facts(
        "model x\ndone beacon 2026-03-02 by MT\npart beacon: kind transmitter\n\
         loadout day: with beacon\n",
    );
    let day = first(&facts, "loadout");
    assert_eq!(asked(&facts, &day, "parts_aboard"), "beacon");
}

#[test]
fn a_join_leads_from_parts_and_packs_to_both_of_a_pair() {
    let facts = facts(
        "part board: kind receiver\n    port out1 servo\n\
         part servos: kind servo; pair\npack main: cells 3S\npack spare: cells 3S\n\
         join lead: signal board.out1 -> servos; supply pack -> board\n",
    );
    let ways = list(&facts.of(&first(&facts, "join"), "ways").unwrap());
    let said: Vec<String> = ways
        .iter()
        .map(|way| {
            ["carries", "from", "out_of", "to", "into"]
                .map(|name| asked(&facts, way, name))
                .join(" ")
        })
        .collect();
    assert_eq!(
        said,
        [
            "signal board out1 servos.left ",
            "signal board out1 servos.right ",
            "supply main  board ",
            "supply spare  board ",
        ]
    );
}

#[test]
fn behind_a_reference_the_slots_of_its_own_line_come_first() {
    let facts = facts(
        "model x\nbay nose: reach 10..90 mm ahead; width 40 mm\npack main: mass 200 g; at 9 mm aft\n\
         loadout day: fits main at 20 mm aft\n    ballast nose 30 g at 80 mm ahead\n",
    );
    let day = first(&facts, "loadout");
    let lead = list(&facts.of(&day, "ballasts").unwrap());
    assert_eq!(asked(&facts, &lead[0], "mass"), "30 g");
    assert_eq!(asked(&facts, &lead[0], "bay"), "nose");
    assert_eq!(asked(&facts, &lead[0], "width"), "40 mm");
    let fits = list(&facts.of(&day, "fits").unwrap());
    assert_eq!(asked(&facts, &fits[0], "at"), "20 mm aft");
    assert_eq!(asked(&facts, &fits[0], "mass"), "200 g");
}

#[test]
fn a_value_says_of_which_day_its_source_is() {
    let facts = facts(
        "part pod: mass 40 g [weighed 2026-04-01]; at 30 mm aft [measured]\n\
         balanced ? 2026-05-02: at 50 mm aft [measured]\n",
    );
    let pod = first(&facts, "part");
    let (mass, at) = (facts.of(&pod, "mass").unwrap(), facts.of(&pod, "at").unwrap());
    assert_eq!(asked(&facts, &mass, "dated"), "2026-04-01");
    assert!(!facts.has(&at, "dated").unwrap());
    let record = facts.of(&first(&facts, "balanced"), "at").unwrap();
    assert_eq!(asked(&facts, &record, "dated"), "2026-05-02");
}

#[test]
fn certainly_aboard_is_what_no_loadout_leaves_open_weighed_or_not() {
    let facts = facts(
        "model x\npart pod: mass ?\npart rib: mass 3 g\npart lamp: optional\npart camera: optional\n\
         assembly shell: holds pod rib; mass 50 g\n\
         loadout day: with camera\n",
    );
    let day = first(&facts, "loadout");
    assert_eq!(asked(&facts, &day, "parts_aboard"), "pod, rib, camera");
}

#[test]
fn a_throw_says_each_way_by_its_side() {
    let facts = facts(
        "surface elevons: pair\n    throw full 12 mm up 10 mm down at root from reflex\n\
         \x20   throw gentle 7 mm up 6 mm down\n    reflex 2 mm up at root\n",
    );
    let elevons = first(&facts, "surface");
    let throws = list(&facts.of(&elevons, "throws").unwrap());
    let ways: Vec<String> =
        throws.iter().map(|rate| asked(&facts, rate, "ways")).collect();
    assert_eq!(ways, ["12 mm up, 10 mm down", "7 mm up, 6 mm down"]);
    assert_eq!(asked(&facts, &throws[0], "from"), "reflex");
    assert_eq!(asked(&facts, &elevons, "reflex"), "2 mm up");
}

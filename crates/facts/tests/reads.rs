//! Every fact that a rule reads is recorded.

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, What, Why};

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, _) = resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    Facts::new(build, Stage::Installed)
}

const SPEC: &str = "part motor: mass 80 g [weighed]; at 30 mm ahead [measured]\n";

#[test]
fn a_balance_has_read_the_masses_and_places_each_time_it_is_asked_for() {
    let facts = facts(&format!("model x\n{SPEC}"));
    let (loadout, _) = facts.of_word("loadout").next().unwrap();
    let loadout = facts.known_entry(loadout);
    for _ in 0..2 {
        let (balance, reads) = facts.watch(|| facts.of(&loadout, "balance"));
        assert!(balance.is_ok());
        let words: Vec<&str> = reads.all().into_iter().map(|(_, word)| word).collect();
        assert!(words.contains(&"mass") && words.contains(&"at"), "{words:?}");
    }
}

#[test]
fn what_is_asked_of_a_value_has_read_its_fact() {
    let facts = facts(SPEC);
    let What::List(values) = facts.of(&facts.whole(), "values").unwrap().what else {
        panic!("a list was expected");
    };
    let mass = values.iter().find(|value| value.name == "motor.mass").unwrap();
    let (source, reads) = facts.watch(|| facts.of(mass, "has_source"));
    assert!(source.is_ok());
    assert!(reads.all().iter().any(|(_, word)| *word == "mass"), "{reads:?}");
}

#[test]
fn what_a_size_does_not_state_is_not_said_rather_than_unheard_of() {
    let facts = facts("part box: size 40 x 30 x 20 mm\npart screw: size 9 x 6 in\n");
    let parts: Vec<_> =
        facts.of_word("part").map(|(id, _)| facts.known_entry(id)).collect();
    for (part, lacks, has) in [(0, "pitch", "height"), (1, "height", "pitch")] {
        let size = facts.of(&parts[part], "size").unwrap();
        assert_eq!(facts.of(&size, lacks).unwrap_err().why, Why::Absent);
        assert_eq!(facts.has(&size, lacks), Ok(false));
        assert_eq!(facts.has(&size, has), Ok(true));
    }
}

#[test]
fn the_parts_of_a_kind_rest_on_their_list_and_on_no_other_part() {
    let facts = facts("part motor: kind motor\npart lamp: kind payload\n");
    let (parts, reads) = facts.watch(|| facts.parts_of_kind("motor"));
    assert_eq!(parts.unwrap().len(), 1);
    assert!(reads.all().is_empty() && reads.lists().is_empty(), "{reads:?}");
    assert!(reads.kinds().into_iter().eq(["motor"]), "{reads:?}");
    let grounds = facts.grounds(&reads);
    let ground = &grounds["every part of kind motor"];
    assert_eq!(ground.as_deref(), Some("motor"));
}

#[test]
fn a_way_rests_on_what_it_names_and_on_no_other_part() {
    let spec = "part board: kind sensor; port out1 servo\npart lamp: kind payload\n\
        part horn: kind sounder\njoin lead: signal board.out1 -> horn\n";
    let facts = facts(spec);
    let (join, _) = facts.of_word("join").next().unwrap();
    let join = facts.known_entry(join);
    let (ways, reads) = facts.watch(|| facts.of(&join, "ways"));
    assert!(ways.is_ok());
    let names: Vec<String> = facts.grounds(&reads).into_keys().collect();
    for name in ["part board: port", "part board: part", "part horn: part"] {
        assert!(names.iter().any(|one| one == name), "{name}: {names:?}");
    }
    assert!(!names.iter().any(|one| one.contains("lamp") || one == "every part"));
}

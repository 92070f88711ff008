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

//! What is wrong with the supplies of a spec, and at which line that is said.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, What};

/// A controller that feeds a motor from the pack, and a receiver from its rail.
const TEXT: &str = "model dunlin
part motor: kind motor; draws 12 A steady
part controller: kind speed-controller; rail plain 5.0 V 2 A steady
part regulator: kind regulator; rail six ?
part receiver: kind receiver; needs 4.0..8.6 V 0.1 A steady
pack main: mass 120 g; cells 3S lipo
join power: supply main -> controller
join motor-leads: supply controller -> motor
join feed: supply controller -> receiver
loadout trip: fits main
";

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("dunlin.trim", text);
    let tree = syntax::parse(file, text);
    let documents = [Document { file, tree, shelves: Vec::new() }];
    let (build, findings) = resolve(&documents, &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, Stage::Planned)
}

/// Kind, words and marked text of each fault, with `lines` added to that spec.
fn faults(lines: &str) -> Vec<(String, String, String)> {
    let text = format!("{TEXT}{lines}");
    let facts = facts(&text);
    let found = facts.of(&facts.whole(), "power_faults").unwrap();
    let What::List(all) = found.what else { panic!("no list") };
    let said = all.iter().map(|fault| {
        let span = fault.span.unwrap();
        let marked = text.get(span.start..span.end).unwrap().to_owned();
        (words(fault, "kind"), words(fault, "says"), marked)
    });
    said.collect()
}

fn words(of: &Known, field: &str) -> String {
    let What::Words(words) = &of.field(field).unwrap().what else { panic!("no words") };
    words.to_string()
}

#[test]
fn nothing_is_wrong_with_a_plain_chain() {
    assert_eq!(faults(""), []);
}

#[test]
fn a_rail_that_meets_the_pack_is_marked_where_it_leaves_and_not_at_the_motor() {
    let all = faults("join astray: supply main -> receiver\n");
    let [(kind, _, marked)] = all.as_slice() else { panic!("{all:#?}") };
    assert_eq!(kind, "two sources");
    assert!(marked.contains("controller -> receiver"), "{marked}");
}

#[test]
fn a_rail_of_unknown_volts_meets_another_without_volts_being_made_up() {
    let all = faults("join second: supply regulator -> receiver\n");
    let [(kind, says, marked)] = all.as_slice() else { panic!("{all:#?}") };
    assert_eq!(kind, "two sources");
    assert!(says.contains("rail regulator.six "), "{says}");
    assert!(!says.contains("regulator.six of"), "{says}");
    assert!(marked.contains("regulator -> receiver"), "{marked}");
}

#[test]
fn a_pack_without_cells_is_a_fault_only_where_it_feeds_something() {
    let spare = "pack spare: mass 90 g\nloadout long: fits spare\n";
    let uncounted = |lines: &str| {
        let all = faults(lines);
        all.iter().filter(|(kind, ..)| kind == "no cells").count()
    };
    assert_eq!(uncounted(spare), 0);
    let joined = format!("{spare}join other: supply spare -> controller\n");
    assert_eq!(uncounted(&joined), 1);
}

#[test]
fn an_efficiency_that_cannot_be_is_not_known_rather_than_taken_for_another() {
    let text = TEXT
        .replace("5.0 V 2 A steady\n", "5.0 V 2 A steady switching efficiency 120 %\n");
    let facts = facts(&text);
    let (id, _) =
        facts.of_word("part").find(|(_, part)| part.name == "controller").unwrap();
    let why = facts.of(&facts.known_entry(id), "rail_uses_known").unwrap_err();
    assert!(why.says.contains("more power than it takes"), "{}", why.says);
}

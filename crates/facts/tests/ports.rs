//! Who uses which port, what moves together, and what is written for it.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::source::{Remedy, Sources, apply};
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::ports::assign::{Assigned, MOST_USERS, Slot, Wanted, assign};
use trimsheet_facts::{Facts, Known, What};

const BOARD: &str = "\
model rig
part board: kind flight-controller
    port serial1 uart
    port serial2 uart
    port serial3 uart inverts
    port bus1 i2c
    port bus2 i2c
    port out1 servo group a
    port out2 servo group a
    port out3 servo group b
part gnss: kind sensor; port data uart
part radio: kind transmitter; port data uart
part lamp: kind payload; port data uart receives
part compass: kind sensor; port bus i2c address \"0x1E\"
part airspeed: kind sensor; port bus i2c address \"30\"
part flaps: kind servo; pair; port lead servo receives rate 40..60 Hz
part motor-control: kind speed-controller; port lead servo receives rate 200..490 Hz
";

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let said: Vec<&str> = findings.iter().map(|one| one.headline.as_str()).collect();
    assert!(said.is_empty(), "{said:?}\n{text}");
    Facts::new(build, Stage::Bench)
}

fn part(facts: &Facts, name: &str) -> Known {
    let found = facts.of_word("part").find(|(_, part)| part.name == name);
    facts.known_entry(found.unwrap().0)
}

fn list(facts: &Facts, part: &Known, name: &str) -> Vec<Known> {
    let What::List(list) = facts.of(part, name).unwrap().what else {
        panic!("{name} is no list")
    };
    list.to_vec()
}

fn ways(joins: &str) -> (String, Vec<Remedy>) {
    let text = format!("{BOARD}{joins}");
    let facts = facts(&text);
    let ways = facts.ways_to_plug(&part(&facts, "board"));
    (text, ways)
}

/// The joins as they are once the one way is written.
fn plugged(joins: &str) -> String {
    let (text, ways) = ways(joins);
    let [way] = ways.as_slice() else { panic!("{ways:?}") };
    assert!(!way.edits.is_empty(), "{}", way.says);
    apply(&text, &way.edits).unwrap().replace(BOARD, "")
}

#[test]
fn who_comes_first_stays() {
    let joins =
        "join a: signal gnss -> board.serial1\njoin b: signal radio -> board.serial1\n";
    assert_eq!(
        plugged(joins),
        joins.replace("radio -> board.serial1", "radio -> board.serial2")
    );
}

#[test]
fn every_arrow_keeps_its_way() {
    let joins =
        "join a: signal gnss -> board.serial1\njoin b: signal board.serial1 <- radio\n";
    assert_eq!(
        plugged(joins),
        joins.replace("board.serial1 <- radio", "board.serial2 <- radio")
    );
    let joins = "join a: signal gnss -> board.serial1\njoin b: signal board.serial1 <-> radio.data\n";
    assert_eq!(
        plugged(joins),
        joins.replace("board.serial1 <-> radio", "board.serial2 <-> radio")
    );
}

#[test]
fn both_ways_of_one_device_move_together() {
    let joins = "\
join a: signal gnss -> board.serial1; signal board.serial1 -> lamp
join b: signal radio -> board.serial1; signal board.serial1 -> radio
";
    let moved = joins.replace("radio -> board.serial1", "radio -> board.serial2");
    let moved = moved.replace("board.serial1 -> radio", "board.serial2 -> radio");
    assert_eq!(plugged(joins), moved);
}

#[test]
fn a_second_listener_moves_with_the_one_it_listens_to() {
    // Whoever keeps half of a port that another talks on belongs to both.
    let joins = "\
join a: signal radio -> board.serial3; signal board.serial3 -> radio
join b: signal gnss -> board.serial3; signal board.serial3 -> lamp
";
    let moved = joins.replace("gnss -> board.serial3", "gnss -> board.serial1");
    assert_eq!(
        plugged(joins),
        moved.replace("board.serial3 -> lamp", "board.serial1 -> lamp")
    );
}

#[test]
fn a_divided_output_moves_whole() {
    let joins = "\
join a: signal board.out1 -> motor-control
join b: signal board.out2 -> flaps divided
";
    let text = plugged(joins);
    assert_eq!(text, joins.replace("board.out2", "board.out3"));
}

#[test]
fn one_line_of_two_users_is_not_written() {
    let (_, ways) = ways("join a: signal board.out1 -> flaps\n");
    let [way] = ways.as_slice() else { panic!("{ways:?}") };
    assert!(way.says.contains("flaps.right from out1 to out2"), "{}", way.says);
    assert!(way.edits.is_empty());
}

#[test]
fn an_address_is_a_number() {
    let joins =
        "join a: signal compass <-> board.bus1\njoin b: signal airspeed <-> board.bus1\n";
    let text = format!("{BOARD}{joins}");
    let facts = facts(&text);
    assert_eq!(list(&facts, &part(&facts, "board"), "address_clashes").len(), 1);
    assert!(list(&facts, &part(&facts, "board"), "double_booked").is_empty());
    assert_eq!(
        plugged(joins),
        joins.replace("airspeed <-> board.bus1", "airspeed <-> board.bus2")
    );
}

#[test]
fn a_bus_moves_whole() {
    let joins = "join a: signal compass <-> board.serial1\njoin b: signal gauge <-> board.serial1\n";
    let gauge = "part gauge: kind sensor; port bus i2c address \"0x28\"\n";
    let joins = format!("{gauge}{joins}");
    assert_eq!(plugged(&joins), joins.replace("board.serial1", "board.bus1"));
}

#[test]
fn what_goes_back_into_the_same_part_stays() {
    let joins = "join a: signal board.serial1 -> board.serial2\njoin b: signal radio <-> board.serial2\n";
    assert_eq!(
        plugged(joins),
        joins.replace("radio <-> board.serial2", "radio <-> board.serial3")
    );
    let (_, ways) = ways("join a: signal board.serial1 -> board.bus1\n");
    assert_eq!(ways.len(), 1);
    assert!(ways.iter().all(|way| way.edits.is_empty()), "{ways:?}");
}

#[test]
fn what_is_not_known_ends_only_what_needs_it() {
    let text = BOARD.replace("port serial1 uart", "port serial1 uart speed ?");
    let joins =
        "join a: signal gnss -> board.serial1\njoin b: signal radio -> board.serial1\n";
    let facts_of = |text: &str| facts(&format!("{text}{joins}"));
    let (one, two) = (
        facts_of(&text),
        facts_of(&text.replace(
            "kind transmitter; port data uart",
            "kind transmitter; port data uart speed 57.6..115.2 kBd",
        )),
    );
    let board = part(&one, "board");
    assert_eq!(list(&one, &board, "double_booked").len(), 1);
    assert_eq!(list(&two, &board, "double_booked").len(), 1);
    // Its speed counts only where a device states one.
    assert_eq!(
        one.ways_to_plug(&board).iter().map(|way| way.edits.len()).collect::<Vec<_>>(),
        [1]
    );
    let ways = two.ways_to_plug(&board);
    let [way] = ways.as_slice() else { panic!("{ways:?}") };
    assert_eq!(
        way.says,
        "which ports fit cannot be said: the port of part board is not known"
    );
    assert!(way.edits.is_empty());
}

#[test]
fn whoever_has_no_port_is_named_with_what_it_needs() {
    let text = "\
model rig
part board: kind flight-controller; port s1 uart; port s2 i2c
part ear: kind receiver; port data uart sends inverted
join a: signal ear -> board.s1
";
    let facts = facts(text);
    let ways = facts.ways_to_plug(&part(&facts, "board"));
    let [way] = ways.as_slice() else { panic!("{ways:?}") };
    assert!(
        way.says
            .contains("left for ear that receives, speaks uart, takes an inverted line"),
        "{}",
        way.says
    );
}

#[test]
fn nobody_needs_nothing_and_too_many_are_said() {
    assert_eq!(assign(&[], &[]), Assigned::All(Vec::new()));
    let wanted = Wanted { now: 0, signals: 1, takes: Vec::new(), rates: None };
    assert_eq!(assign(&[], std::slice::from_ref(&wanted)), Assigned::Without(vec![0]));
    let all = vec![wanted; MOST_USERS + 1];
    assert_eq!(assign(&[Slot { group: None, rates: None }], &all), Assigned::TooMany);
}

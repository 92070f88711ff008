//! What a wiring sheet promises: a row for each way, no gap filled in, and a drawing on
//! which no word lies over another.
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "helpers of tests, which may fall over"
)]

use std::fmt::Write;

use proptest::prelude::*;
use trimsheet_output::clean::width;
use trimsheet_project::{Memory, Settings, open};
use trimsheet_report::wiring::drawing::{Drawn, LETTER, drawing};
use trimsheet_report::wiring::{Wiring, csv, json, text};

fn sheet(spec: &str) -> Wiring {
    let host = Memory::new().with("test.trim", spec);
    let opened = open(&host, "test.trim", &Settings::default()).unwrap();
    Wiring::new(&opened.facts, &opened.sources)
}

/// An example, with the shelf that it takes its parts from.
#[expect(clippy::disallowed_methods, reason = "this test reads the examples")]
fn example(name: &str) -> Wiring {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let read = |path: &str| std::fs::read_to_string(root.join(path)).unwrap();
    let (path, shelf) =
        (format!("examples/{name}.trim"), "examples/shelf/club-parts.trim");
    let host = Memory::new().with(path.as_str(), read(&path)).with(shelf, read(shelf));
    let opened = open(&host, &path, &Settings::default()).unwrap();
    Wiring::new(&opened.facts, &opened.sources)
}

/// Fails if a phrase is missing, wherever lines are broken and columns stand.
#[track_caller]
fn says(said: &str, phrases: &[&str]) {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for phrase in phrases {
        assert!(words(said).contains(&words(phrase)), "expected `{phrase}` in\n{said}");
    }
}

const TEAL: &str = "model teal
pack main: cells 3S lipo
part controller: kind speed-controller
    rail plain 5.0 V 3 A steady
part motor: kind motor
    draws 12 A steady
part receiver: kind receiver
    needs 4.0..9.0 V 0.1 A steady
    port out1 servo
    port out2 servo
    port bus uart inverts speed 9.6..921.6 kBd level 3.3 V
part servos: kind servo; pair
    needs 4.8..7.4 V 0.3 A working
part lamp: kind payload
    needs 5 V..6 V 0.2 A steady
join power: supply pack -> controller; wire 16 awg 90 mm; leads minus black plus red
join motor-leads: supply controller -> motor; wire 18 awg ?
join throttle: signal receiver.out1 -> controller; supply controller.plain -> receiver
    leads minus brown plus red signal orange
    plug  three-way sockets turned \"brown down\" marked
    photo \"photos/throttle.jpg\" 2026-02-20
join servo-leads: signal receiver.out2 -> servos divided reversed; supply receiver -> servos
";

#[test]
fn each_way_of_each_join_has_a_row() {
    let wiring = sheet(TEAL);
    let ways: usize = wiring.joins.iter().map(|join| join.ways.len()).sum();
    assert_eq!(ways, 8, "two halves of a pair are two ways");
    let table = csv(&wiring);
    assert_eq!(table.lines().count(), 1 + ways, "{table}");
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[3],
        "throttle,signal,receiver,out1,controller,,,\
         \"minus brown, plus red, signal orange\",three-way,sockets,marked,brown down,,,,\
         photos/throttle.jpg,2026-02-20,18,"
    );
    let page = text(&wiring, 100);
    says(
        &page,
        &["throttle signal receiver.out1 controller", "supply controller.plain receiver"],
    );
    says(&page, &["signal receiver.out2 servos.left divided, reversed"]);
    says(
        &page,
        &["three-way sockets, \"brown down\", marked photos/throttle.jpg, 2026-02-20"],
    );
}

#[test]
fn what_is_not_said_is_a_question_and_no_number() {
    let page = text(&sheet(TEAL), 100);
    says(&page, &["motor-leads 18 awg ? ?", "throttle ? ? minus brown, plus red"]);
    says(&page, &["no plug said of: power, motor-leads, servo-leads"]);
    says(&page, &["no photograph said of: power, motor-leads, servo-leads"]);
    let read: serde_json::Value = serde_json::from_str(&json(&sheet(TEAL))).unwrap();
    assert_eq!(read["form"], "trimsheet-wiring");
    assert_eq!(read["joins"][1]["gauge"]["value"], 18.0);
    assert!(read["joins"][1]["length"].is_null());
}

#[test]
fn the_port_map_says_who_is_on_a_port_and_which_are_free() {
    let page = text(&sheet(TEAL), 100);
    says(&page, &["receiver out1 servo signal to controller, throttle"]);
    says(&page, &["bus uart, can be inverted, 9.6 kBd to 921.6 kBd, free level 3.3 V"]);
    says(&page, &["controller plain rail 5 V supply to receiver, throttle"]);
    let spec = TEAL.replace("receiver.out2 ->", "receiver.out9 ->");
    // A lead whose socket is not known may be on any of them.
    let page = text(&sheet(&spec), 100);
    says(&page, &["out2 servo free, as far as the joins can be read"]);
    says(
        &page,
        &["where join servo-leads leads: the signal of join servo-leads is not known"],
    );
    assert!(drawing(&sheet(&spec)).unwrap().svg.contains(">out2 free?<"));
}

#[test]
fn the_tree_grows_from_the_packs_through_rails() {
    let page = text(&sheet(TEAL), 100);
    let (_, tree) = page.split_once("who feeds whom").unwrap();
    let shape: Vec<&str> = tree
        .lines()
        .skip(2)
        .take(7)
        .map(|line| line.get(..22).unwrap_or(line).trim_end())
        .collect();
    let expected = [
        "main (pack 3S lipo)",
        "  controller",
        "    motor",
        "    plain (rail 5 V)",
        "      receiver",
        "        servos.left",
        "        servos.right",
    ];
    assert_eq!(shape, expected, "{page}");
    says(tree, &["fed by nothing that the spec says: lamp"]);
}

#[test]
fn rings_lifted_leads_and_outlets_fed_apart_are_told_as_they_are() {
    let spec = "model teal
pack main: cells 3S lipo
part one: kind regulator
part two: kind regulator
part board: kind flight-controller
    outlet servos 5 A steady apart
    outlet lamps 1 A steady
part servo: kind servo
part lamp: kind payload
join a: supply one -> two
join b: supply two -> one
join c: supply main -> board
join d: supply board.lamps -> lamp
join e: supply board.servos -> servo
join f: supply two -> board.servos lifted
";
    let page = text(&sheet(spec), 100);
    let (_, tree) = page.split_once("who feeds whom").unwrap();
    // The outlet that is fed apart has nothing of the pack that feeds its board.
    says(tree, &["main (pack 3S lipo) board c ?, ? lamps (outlet) lamp d ?, ?"]);
    says(tree, &["board.servos (fed by nothing that the spec says) servo e ?, ?"]);
    says(tree, &["board.servos (ground only, plus lifted) f", "one (as above) b"]);
}

#[test]
fn a_spec_without_joins_says_so_and_draws_nothing() {
    let wiring = sheet("model teal\npart motor: kind motor\n");
    says(
        &text(&wiring, 80),
        &["The spec joins nothing to anything; an entry `join` does."],
    );
    assert!(drawing(&wiring).unwrap_err().contains("joins nothing to anything"));
    assert_eq!(csv(&wiring).lines().count(), 1);
}

#[test]
fn a_join_that_leads_nowhere_says_why() {
    let spec = format!(
        "{TEAL}join odd: wire 20 awg 90 mm\njoin worse: supply nobody -> motor\n"
    );
    let page = text(&sheet(&spec), 100);
    says(&page, &["where join odd leads: the spec says no signal and no supply of it"]);
    says(&page, &["odd ?", "worse ?"]);
    assert!(drawing(&sheet(&spec)).is_ok());
}

#[test]
fn a_page_keeps_within_its_columns() {
    let long = "very-long-name-".repeat(12);
    let spec = TEAL.replace("servos", &format!("{long}s")).replace("throttle", &long);
    for columns in [60, 80, 100, 120] {
        for line in text(&sheet(&spec), columns).lines() {
            assert!(width(line) <= columns.min(100), "{columns}: {line}");
        }
    }
}

#[test]
fn names_are_shown_as_text_and_nothing_more() {
    let spec = TEAL
        .replace("model teal\n", "model teal\n    title \"<b>&\u{1b}[31m\"\n")
        .replace("brown down", "=1+1<script>");
    let svg = drawing(&sheet(&spec)).unwrap().svg;
    assert!(svg.contains("&lt;b&gt;&amp;"), "{svg}");
    assert!(!svg.contains("<b>") && !svg.contains('\u{1b}'), "{svg}");
    assert!(csv(&sheet(&spec)).contains("'=1+1<script>"), "a formula is none");
    assert!(!text(&sheet(&spec), 80).contains('\u{1b}'));
}

#[test]
fn amps_and_volts_are_those_of_the_circuit_worked_out_by_hand() {
    // 3S at 4.2 V is 12.6 V, less 2 A through 3 x 10 mohm and nothing else.
    let spec = "model teal
pack main: cells 3S lipo; resistance 10 mohm/cell
part lamp: kind payload
    needs 5 V..15 V 2 A steady
join power: supply main -> lamp; wire 14 awg 10 mm resists 1 mohm/m
loadout day: fits main
";
    let wiring = sheet(spec);
    let flow = &wiring.flows[0];
    let volts = flow.branches[0].volts[0].as_ref().unwrap().value();
    assert!((volts - (12.6 - 2.0 * 0.03)).abs() < 1e-3, "{volts}: {flow:#?}");
    let amps = flow.branches[1].amps[0].as_ref().unwrap().value();
    assert!((amps - 2.0).abs() < 1e-6, "{amps}");
    says(&text(&wiring, 100), &["amps and volts, day (estimates)", "lamp 2.0 A 12.5 V"]);
    // Another lamp of which nobody says what it takes: no nought stands for that.
    let spec = spec.replace(
        "join power",
        "part torch: kind payload\njoin more: supply main -> torch; wire 14 awg 10 mm\njoin power",
    );
    let page = text(&sheet(&spec), 100);
    says(&page, &["lamp 2.0 A ≤ 12.5 V", "torch ? ≤ 12.5 V"]);
    says(&page, &["cannot say all amps and volts: torch says neither needs nor draws"]);
}

#[test]
fn what_flows_is_no_number_where_it_is_not_known() {
    let spec = format!("{TEAL}loadout day: fits main\n");
    let page = text(&sheet(&spec), 100);
    let (_, flows) = page.split_once("amps and volts, day (estimates)").unwrap();
    says(flows, &["cannot say"]);
    assert!(!flows.contains("NaN") && !flows.contains("inf"), "{flows}");
}

/// A rectangle: left, top, right, bottom.
type Area = [f64; 4];

fn meet(one: &Area, other: &Area) -> bool {
    let fine = 1e-3;
    one[0] + fine < other[2]
        && other[0] + fine < one[2]
        && one[1] + fine < other[3]
        && other[1] + fine < one[3]
}

fn holds(outer: &Area, inner: &Area) -> bool {
    let fine = 1e-2;
    outer[0] <= inner[0] + fine
        && outer[1] <= inner[1] + fine
        && inner[2] <= outer[2] + fine
        && inner[3] <= outer[3] + fine
}

/// What stands on a drawing.
struct Seen {
    page: Area,
    boxes: Vec<Area>,
    tags: Vec<Area>,
    words: Vec<(Area, f64, String)>,
    /// Each line as points.
    lines: Vec<Vec<[f64; 2]>>,
}

fn attribute<'a>(element: &'a str, name: &str) -> Option<&'a str> {
    let (_, rest) = element.split_once(&format!(" {name}=\""))?;
    Some(rest.split_once('"')?.0)
}

fn number(element: &str, name: &str) -> f64 {
    attribute(element, name).unwrap().trim_end_matches("mm").parse().unwrap()
}

fn seen(svg: &str) -> Seen {
    let first = svg.lines().next().unwrap();
    let page = [0.0, 0.0, number(first, "width"), number(first, "height")];
    let (mut boxes, mut tags, mut words, mut lines) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for element in svg.lines() {
        if element.starts_with("<rect") && attribute(element, "rx").is_some() {
            let [x, y] = ["x", "y"].map(|name| number(element, name));
            let area =
                [x, y, x + number(element, "width"), y + number(element, "height")];
            let is_box = attribute(element, "stroke-width") == Some("0.4");
            if is_box { boxes.push(area) } else { tags.push(area) }
        } else if element.starts_with("<text") {
            let content =
                element.split_once('>').unwrap().1.strip_suffix("</text>").unwrap();
            let content =
                content.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
            let [x, y, size] = ["x", "y", "font-size"].map(|name| number(element, name));
            let wide = LETTER * size * f64::from(u32::try_from(width(&content)).unwrap());
            let left = match attribute(element, "text-anchor") {
                Some("middle") => x - wide / 2.0,
                Some("end") => x - wide,
                _ => x,
            };
            words.push((
                [left, y - 0.76 * size, left + wide, y + 0.24 * size],
                size,
                content,
            ));
        } else if element.starts_with("<path") && element.contains("stroke=\"black\"") {
            lines.push(points(attribute(element, "d").unwrap()));
        }
    }
    Seen { page, boxes, tags, words, lines }
}

/// A path of M, L and C as points along it.
fn points(path: &str) -> Vec<[f64; 2]> {
    let mut all: Vec<[f64; 2]> = Vec::new();
    let path = ["M", "L", "C"].iter().fold(path.to_owned(), |path, letter| {
        path.replace(letter, &format!("|{letter} "))
    });
    for piece in path.split('|').skip(1) {
        let (letter, rest) = piece.split_once(' ').unwrap();
        let numbers: Vec<f64> =
            rest.split_whitespace().map(|one| one.parse().unwrap()).collect();
        let last = all.last().copied();
        // A straight piece is a bend whose handles lie at its ends.
        let handles = match (letter, last) {
            ("M", _) => {
                all.push([numbers[0], numbers[1]]);
                continue;
            }
            ("L", Some(from)) => [from[0], from[1], numbers[0], numbers[1]],
            ("C", Some(_)) => [numbers[0], numbers[1], numbers[2], numbers[3]],
            other => panic!("{other:?}"),
        };
        let (from, to) = (last.unwrap(), &numbers[numbers.len() - 2..]);
        all.extend((1..=40).map(|step| {
            let share = f64::from(step) / 40.0;
            let rest = 1.0 - share;
            [0, 1].map(|axis| {
                rest * rest * rest * from[axis]
                    + 3.0 * rest * rest * share * handles[axis]
                    + 3.0 * rest * share * share * handles[2 + axis]
                    + share * share * share * to[axis]
            })
        }));
    }
    all
}

/// Fails unless every word of a drawing can be read, and every line be followed.
fn can_be_read(drawn: &Drawn) {
    let seen = seen(&drawn.svg);
    words_are_clear(&seen);
    plates_are_apart(&seen);
    lines_are_clear(&seen);
}

fn words_are_clear(seen: &Seen) {
    let points = 72.0 / 25.4;
    for (at, (one, size, says)) in seen.words.iter().enumerate() {
        assert!(7.5 <= size * points + 1e-9, "{says} is {size} mm high");
        assert!(holds(&seen.page, one), "{says} leaves the page: {one:?}");
        for (other, _, also) in &seen.words[at + 1..] {
            assert!(!meet(one, other), "{says} lies over {also}");
        }
        for area in seen.boxes.iter().chain(&seen.tags) {
            assert!(!meet(one, area) || holds(area, one), "{says} lies over {area:?}");
        }
    }
}

fn plates_are_apart(seen: &Seen) {
    let plates: Vec<&Area> = seen.boxes.iter().chain(&seen.tags).collect();
    for (at, one) in plates.iter().enumerate() {
        assert!(holds(&seen.page, one), "{one:?} leaves the page");
        for other in &plates[at + 1..] {
            assert!(!meet(one, other), "{one:?} lies over {other:?}");
        }
    }
}

fn lines_are_clear(seen: &Seen) {
    for [x, y] in seen.lines.iter().flatten().copied() {
        let point = [x, y];
        let is_in = |area: &Area| {
            let [left, top, right, bottom] = *area;
            left + 1e-2 < x && x < right - 1e-2 && top + 1e-2 < y && y < bottom - 1e-2
        };
        assert!(holds(&seen.page, &[x, y, x, y]), "a line leaves the page: {point:?}");
        assert!(!seen.boxes.iter().any(is_in), "a line crosses a box: {point:?}");
        for tag in seen.tags.iter().filter(|tag| is_in(tag)) {
            let middle = f64::midpoint(tag[1], tag[3]);
            assert!((middle - y).abs() < 1e-2, "a line crosses a tag: {point:?}");
        }
    }
}

#[test]
fn a_small_drawing_can_be_read() {
    let drawn = drawing(&sheet(TEAL)).unwrap();
    assert_eq!(drawn.paper, "A4, landscape");
    can_be_read(&drawn);
    // The names, and the number of each join at both ends of its ways.
    for name in
        ["main", "controller", "servos.left", "out1 servo", "bus free", "plain 5 V"]
    {
        assert!(drawn.svg.contains(&format!(">{name}<")), "{name}\n{}", drawn.svg);
    }
    assert_eq!(drawn.svg.matches(">P1<").count(), 2);
    assert!(drawn.svg.contains(">1 power: 16 awg, 90 mm, black red<"), "{}", drawn.svg);
    assert!(
        drawn.svg.contains("with the propeller") || drawn.svg.contains("propeller off")
    );
}

#[test]
fn each_example_is_drawn_on_a4_and_can_be_read() {
    for name in ["whinchat", "lapwing", "yellowhammer", "first-evening"] {
        let drawn = drawing(&example(name)).unwrap();
        assert_eq!(drawn.paper, "A4, landscape", "{name}");
        can_be_read(&drawn);
    }
}

#[test]
fn each_example_feeds_whatever_needs_power() {
    for name in ["whinchat", "lapwing", "yellowhammer", "first-evening"] {
        assert_eq!(example(name).unfed, Vec::<String>::new(), "{name}");
    }
}

/// A spec of parts and joins between them, and as many sockets as it takes.
fn dense(parts: usize, joins: &[(usize, usize, usize, bool)], name: &str) -> String {
    let mut spec = "model dense\npack main: cells 4S lipo\n".to_owned();
    for part in 0..parts {
        let _ = writeln!(spec, "part {name}{part}: kind sensor");
        for port in 0..part % 5 {
            let _ = writeln!(spec, "    port p{port} uart");
        }
    }
    for (at, (from, to, socket, is_power)) in joins.iter().enumerate() {
        let carries = if *is_power { "supply" } else { "signal" };
        let (from, to) = (from % parts, to % parts);
        let socket = if socket % 3 == 0 { String::new() } else { format!(".p{socket}") };
        let from = if from == 0 && *is_power {
            "main".to_owned()
        } else {
            format!("{name}{from}{socket}")
        };
        let lifted = if *is_power && at % 7 == 3 { " lifted" } else { "" };
        let _ = writeln!(
            spec,
            "join j{at}: {carries} {from} -> {name}{to}{lifted}; wire 24 awg {} mm",
            100 + at
        );
    }
    spec
}

#[test]
fn a_board_with_everything_on_it_can_be_read() {
    let star: Vec<_> = (1..24).map(|to| (0, to, to % 4, to % 2 == 0)).collect();
    let chain: Vec<_> = (1..8).map(|to| (to - 1, to, 0, true)).collect();
    let ring: Vec<_> = (0..9).map(|from| (from, from + 1, 1, from % 2 == 0)).collect();
    let all: Vec<_> = (0..7)
        .flat_map(|from| (0..7).map(move |to| (from, to, from, to < from)))
        .collect();
    for (parts, joins) in [(24, star), (8, chain), (9, ring), (7, all)] {
        let drawn = drawing(&sheet(&dense(parts, &joins, "part-"))).unwrap();
        can_be_read(&drawn);
    }
}

#[test]
fn what_no_paper_holds_is_not_drawn() {
    let many: Vec<_> = (0..200).map(|at| (at % 9, at % 7 + 1, 0, false)).collect();
    let why = drawing(&sheet(&dense(10, &many, "p"))).unwrap_err();
    assert!(why.contains("has room for 160"), "{why}");
    let long: Vec<_> = (1..60).map(|to| (to - 1, to, 0, true)).collect();
    let why = drawing(&sheet(&dense(60, &long, "p"))).unwrap_err();
    assert!(why.contains("more than the largest paper has"), "{why}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn whatever_is_joined_can_be_read_and_is_drawn_alike_each_time(
        parts in 1_usize..14,
        joins in prop::collection::vec((0_usize..14, 0_usize..14, 0_usize..6, any::<bool>()), 1..45),
        name in "[a-z][a-z-]{0,22}[a-z]",
    ) {
        let spec = dense(parts, &joins, &name);
        if let Ok(drawn) = drawing(&sheet(&spec)) {
            can_be_read(&drawn);
            prop_assert_eq!(&drawn.svg, &drawing(&sheet(&spec)).unwrap().svg);
        }
        for line in text(&sheet(&spec), 80).lines() {
            prop_assert!(width(line) <= 80, "{}", line);
        }
    }
}

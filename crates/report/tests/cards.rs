//! What cards promise: every line of a step stands on a page, what can hurt stands above
//! what it is about, and nothing that a spec holds acts on a terminal or a page.
#![expect(clippy::unwrap_used, reason = "helpers of tests, which may fall over")]

use trimsheet_facts::Card as Word;
use trimsheet_project::{Memory, Settings, drawn, open};
use trimsheet_report::cards::{
    Card, Cards, Change, Line, Record, State, Step, html, text,
};
use trimsheet_report::facts as trimsheet_facts;
use trimsheet_report::papers::{self, bill};

/// The cards of a spec under the core pack.
fn cards(spec: &str) -> Cards {
    let host = Memory::new().with("test.trim", spec);
    let opened = open(&host, "test.trim", &Settings::default()).unwrap();
    let steps = drawn(&opened).unwrap();
    let day = "2026-11-20".parse().ok();
    Cards::new(&opened.facts, &opened.sources, &steps, day)
}

/// A card of made-up steps.
fn made_up(steps: Vec<Step>) -> Cards {
    Cards {
        title: "Teal".into(),
        file: "teal.trim".into(),
        revision: Some("A 2026-11-01".into()),
        printed: Some("2026-11-20".into()),
        packs: vec!["core 2026-11".into()],
        cards: vec![Card { word: Word::Bench, steps }],
    }
}

fn step(lines: Vec<Line>) -> Step {
    Step {
        name: "first-power".into(),
        title: "First power".into(),
        loadout: None,
        asked: ", before installed".into(),
        caution: Some("Propeller off.".into()),
        lines,
        silent: None,
        says: vec!["propeller ____".into()],
        state: State::Open,
    }
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}

#[test]
fn every_line_stands_in_the_text_and_once_on_a_page() {
    let lines = |count: usize| {
        let line = |at| Line::Tick(format!("line number {at}: read ____ V of ____ V"));
        (0..count).map(line).collect()
    };
    for count in [0, 1, 3, 7, 30, 31, 32, 60, 200] {
        let cards = made_up(vec![step(lines(count)), step(lines(4)), step(lines(count))]);
        let (page, words) = (html(&cards), plain(&text(&cards, 80)));
        for at in 0..count {
            let line = format!("line number {at}: read");
            let times = if at < 4 { 3 } else { 2 };
            assert_eq!(page.matches(&line).count(), times, "{count}: {line}");
            assert_eq!(words.matches(&line).count(), times, "{count}: {line}");
        }
        assert_eq!(page.matches("seen by").count(), 3, "{count}");
    }
}

#[test]
fn a_step_that_goes_on_says_so_and_says_again_what_can_hurt() {
    let lines = (0..60).map(|at| Line::Tick(format!("line {at}"))).collect();
    let page = html(&made_up(vec![step(lines)]));
    let pages = page.matches("<section>").count();
    assert!(1 < pages, "{pages}");
    assert_eq!(page.matches("CAUTION").count(), pages);
    assert_eq!(page.matches("First power, continued").count(), pages - 1);
    for at in 1..=pages {
        assert!(page.contains(&format!("<b>{at} of {pages}</b>")), "{at}");
    }
    assert_eq!(page.matches("A card is a reminder, no release to fly").count(), pages);
    assert_eq!(page.matches("Teal, revision A 2026-11-01</p>").count(), pages);
    assert_eq!(page.matches("steps of core 2026-11, printed 2026-11-20").count(), pages);
}

#[test]
fn a_line_to_fill_in_is_drawn_and_a_caution_among_the_lines_is_set_apart() {
    let lines =
        vec![Line::Tick("reads ____ V".into()), Line::Caution("it is hot".into())];
    let cards = made_up(vec![step(lines)]);
    let page = html(&cards);
    assert!(page.contains("<i></i>reads <u></u> V</p>"), "{page}");
    assert!(page.contains("<p class=\"caution\"><b>CAUTION</b> it is hot</p>"), "{page}");
    assert!(text(&cards, 80).contains("\nCAUTION     it is hot\n"));
}

#[test]
fn each_state_is_said_with_its_day_and_why() {
    let record = || Record { date: "2026-11-02".into(), by: Some("KV".into()) };
    let change = Change {
        fact: "surface elevons: reflex".into(),
        was: Some("2 mm up".into()),
        now: None,
    };
    let why = "a line of it was lost or changed";
    let all = [
        (
            State::Unsigned(record()),
            "open: recorded 2026-11-02 by KV, but nobody signed it",
        ),
        (
            State::Unsealed(record(), why.into()),
            "open: signed 2026-11-02 by KV, but a line",
        ),
        (
            State::Reopened(record(), vec![change]),
            "since then surface elevons: reflex was \"2 mm up\", now not said",
        ),
        (State::Proved(record()), "done 2026-11-02 by KV"),
    ];
    for (state, says) in all {
        let is_proved = matches!(state, State::Proved(_));
        let cards = made_up(vec![Step { state, ..step(Vec::new()) }]);
        let words = plain(&text(&cards, 80));
        assert!(words.contains(says), "{words}");
        let page =
            plain(&html(&cards).replace("</p>", " ").replace("<p class=\"state\">", " "));
        assert!(page.contains(says), "{page}");
        assert_eq!(page.contains("<i class=\"done\">done</i>"), is_proved);
        assert_eq!(cards.open().cards.is_empty(), is_proved);
    }
}

#[test]
fn what_a_spec_holds_acts_on_no_terminal_and_on_no_page() {
    let evil = "<script>x</script> \u{1b}[31m & \u{202e}";
    let spec = format!(
        "model teal: title \"{evil}\"\npart motor: kind motor; title \"{evil}\"\n\
         setting: failsafe motor off\njoin a: supply motor -> motor; plug x turned \"{evil}\"\n\
         loadout a\n"
    );
    let cards = cards(&spec);
    let host = Memory::new().with("test.trim", spec.as_str());
    let opened = open(&host, "test.trim", &Settings::default()).unwrap();
    let (facts, sources) = (&opened.facts, &opened.sources);
    let bill = bill::bill(facts, sources, None);
    let label = papers::label(facts, sources, None);
    let packing = papers::packing(facts, sources, None);
    for page in
        [html(&cards), papers::html(&label), papers::html(&packing), bill::html(&bill)]
    {
        assert!(!page.contains("<script") && !page.contains('\u{1b}'), "{page}");
        assert!(page.contains("&lt;script&gt;"), "{page}");
    }
    for text in [
        text(&cards, 80),
        papers::text(&label, 80),
        papers::text(&packing, 80),
        bill::text(&bill, 80),
    ] {
        assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'), "{text}");
    }
}

#[test]
fn a_step_is_asked_only_where_there_is_something_that_it_is_for() {
    let has = |spec: &str, title: &str| plain(&text(&cards(spec), 80)).contains(title);
    let glider = "model teal\nwing: removable no\n";
    for title in ["Each motor turns", "Failsafe", "joiners"] {
        assert!(!has(glider, title), "{title}");
    }
    assert!(has("model teal\npart m: kind motor\n", "Each motor turns the right way"));
    assert!(has("model teal\npart r: kind receiver\n", "Failsafe: transmitter off"));
    assert!(has("model teal\nspar s: socket 40 mm\n", "Joiners and sockets looked at"));
    // A kind that cannot be read may be that of a motor.
    assert!(has("model teal\npart m: kind motr\n", "Each motor turns the right way"));
}

#[test]
fn what_a_card_cannot_say_is_a_box_and_the_other_lines_stand() {
    let spec = "model teal\npart gyro: kind flight-controller; at ?\n\
        part receiver: kind receiver; at 40 mm aft\n";
    let words = plain(&text(&cards(spec).only(Word::Build), 80));
    let box_of = "gyro: ____ (the place of part gyro is not known)";
    assert!(words.contains(box_of) || words.contains("gyro: ____ ("), "{words}");
    assert!(words.contains("receiver: 40 mm aft"), "{words}");
}

#[test]
fn a_bill_counts_a_pair_as_two_and_says_what_weighs_nothing_known() {
    let spec = "model teal\npart servos: kind servo; pair; mass 12 g each [weighed]\n\
        part links: kind linkage; pair; mass 9 g together [weighed]\n\
        part lamp: kind payload; mass ?; optional\npack main: mass 204 g [weighed]\n";
    let host = Memory::new().with("test.trim", spec);
    let opened = open(&host, "test.trim", &Settings::default()).unwrap();
    let bill = bill::bill(&opened.facts, &opened.sources, None);
    let table = bill::csv(&bill);
    let rows: Vec<&str> = table.lines().skip(1).collect();
    let begins = [
        "servos,2,servo,no,,24,",
        "links,2,linkage,no,,9,",
        "lamp,1,payload,yes,,,,not stated",
        "main,1,pack,no,,204,",
    ];
    assert_eq!(rows.len(), begins.len(), "{table}");
    for (row, begin) in rows.iter().zip(begins) {
        assert!(row.starts_with(begin), "{row}");
    }
}

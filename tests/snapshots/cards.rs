//! The cards and the papers of the examples.

use trimsheet_project::{Opened, Settings, drawn, open};
use trimsheet_report::cards::{Cards, html, text};
use trimsheet_report::papers::{self, bill};

use super::{examples, host};

const EXAMPLES: [&str; 4] = ["whinchat", "yellowhammer", "lapwing", "first-evening"];

fn opened(name: &str) -> Opened {
    let files = examples();
    let today = "2026-11-25".parse().ok();
    let settings = Settings { today, ..Settings::default() };
    open(&host(&files), &format!("examples/{name}.trim"), &settings).unwrap()
}

fn cards(opened: &Opened) -> Cards {
    let steps = drawn(opened).unwrap();
    let (facts, sources) = (&opened.facts, &opened.sources);
    Cards::new(facts, sources, &steps, opened.facts.today)
}

#[test]
fn the_cards_of_each_aircraft_look_as_they_were_reviewed() {
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        for name in EXAMPLES {
            let cards = cards(&opened(name));
            insta::assert_snapshot!(format!("{name}.cards-80.text"), text(&cards, 80));
        }
        // One of each is looked at as a page; what holds for it holds for all.
        let cards = cards(&opened("whinchat"));
        insta::assert_snapshot!("whinchat.cards.html", html(&cards));
    });
}

#[test]
fn the_papers_of_each_aircraft_look_as_they_were_reviewed() {
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        for name in EXAMPLES {
            let opened = opened(name);
            let (facts, sources, day) = (&opened.facts, &opened.sources, opened.facts.today);
            let label = papers::label(facts, sources, day);
            let packing = papers::packing(facts, sources, day);
            let bill = bill::bill(facts, sources, day);
            let all = [
                papers::text(&label, 80),
                papers::text(&packing, 80),
                bill::text(&bill, 80),
                bill::csv(&bill),
            ];
            insta::assert_snapshot!(format!("{name}.papers-80.text"), all.join("\n\n"));
        }
    });
}

/// No script of a step ends before its lines: what it cannot say is a line.
#[test]
fn every_step_of_every_example_says_what_there_is_to_do() {
    for name in EXAMPLES {
        let opened = opened(name);
        for step in drawn(&opened).unwrap() {
            assert_eq!(step.silent, None, "{name}: {}", step.title);
            assert!(!step.lines.is_empty(), "{name}: {}", step.title);
        }
    }
}

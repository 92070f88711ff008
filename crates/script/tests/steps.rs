//! What the steps of the core pack promise, and what is wrong with a step is said.

#[path = "helpers/running.rs"]
mod running;

use trimsheet_script::load;
use trimsheet_script::rules::facts::model::vocabulary;
use trimsheet_script::rules::facts::{Card, OfStep, Step};
use trimsheet_script::rules::source::Sources;
use trimsheet_script::rules::{PackFile, core};

use self::running::{loaded, said};

fn steps() -> Vec<Step> {
    let loaded = load(&[core()], &mut Sources::default());
    loaded.steps.iter().cloned().collect()
}

/// The steps of which power is on with hands or furniture near, whatever the card says.
const POWERED_INDOORS: [&str; 11] = [
    "bench-proof",
    "polarity",
    "first-power",
    "rotation",
    "throttle-ends",
    "directions",
    "corrections",
    "throws",
    "linkages",
    "failsafe",
    "home-power-up",
];

#[test]
fn where_power_is_on_indoors_the_propeller_is_off_and_the_record_says_so() {
    let steps = steps();
    for name in POWERED_INDOORS {
        let step = steps.iter().find(|step| step.name == name).unwrap();
        let caution = step.caution.as_deref().unwrap_or_default();
        assert!(caution.starts_with("Propeller off"), "{name}: {caution}");
        assert!(step.says.iter().any(|says| says == "propeller off"), "{name}");
    }
}

#[test]
fn full_power_comes_right_behind_the_range_walk() {
    let steps = steps();
    let walk = steps.iter().position(|step| step.name == "range-check").unwrap();
    let next = steps.into_iter().nth(walk + 1).unwrap();
    assert_eq!(next.name, "full-power");
}

#[test]
fn a_run_at_full_throttle_is_a_step_of_its_own_outdoors_with_somebody() {
    let steps = steps();
    let run = steps.iter().find(|step| step.name == "full-throttle").unwrap();
    for says in ["with", "outdoors", "restrained", "prop-plane-clear"] {
        assert!(run.says.iter().any(|one| one == says), "{says}");
    }
    let caution = run.caution.as_deref().unwrap_or_default();
    assert!(caution.starts_with("Outdoors, tied down, nobody in the plane"), "{caution}");
}

#[test]
fn what_a_record_must_say_is_a_fact_of_that_record() {
    for step in steps() {
        for says in step.says.iter().flat_map(|says| says.split(" or ")) {
            let word = says.split_whitespace().next().unwrap();
            let row = vocabulary::fact(step.record, word);
            assert!(row.is_some(), "{}: {} {word}", step.name, step.record);
        }
    }
}

#[test]
fn every_card_has_steps_in_an_order_of_their_own() {
    let steps = steps();
    for card in Card::ALL {
        let own = steps.iter().filter(|step| step.card == card);
        let orders: Vec<u32> = own.map(|step| step.order).collect();
        assert!(!orders.is_empty(), "{}", card.word());
        let is_clear = orders.windows(2).all(|two| two.first() < two.last());
        assert!(is_clear, "{}: {orders:?}", card.word());
    }
}

#[test]
fn what_a_rule_or_a_reader_needs_is_asked_for_by_name() {
    let steps = steps();
    for name in [
        "polarity",
        "rotation",
        "throttle-ends",
        "failsafe",
        "range-check",
        "full-power",
        "proved",
        "directions",
        "corrections",
        "look-over",
        "home-power-up",
        "joiner-look",
    ] {
        assert!(steps.iter().any(|step| step.name == name), "{name}");
    }
    let of_loadouts = steps.iter().filter(|step| step.of == OfStep::Loadout);
    let records: Vec<&str> = of_loadouts.map(|step| step.record).collect();
    assert_eq!(records, ["weighed", "balanced", "ran", "flew"]);
}

#[test]
fn a_shipped_step_states_the_same_read_by_its_head_alone_as_read_whole() {
    let mut copy = core();
    copy.files.push(PackFile { path: "NOTES.md".into(), text: "".into() });
    let whole = load(&[copy], &mut Sources::default());
    assert_eq!(steps(), *whole.steps);
}

#[test]
fn what_is_wrong_with_a_step_is_said_at_its_constant() {
    let head = "//! A look.\n\nconst CARD = \"home\";\nconst BEFORE = \"ready\";\n";
    let body = "\nfn card(build, whole) {\n    [\"look\"]\n}\n";
    for (constant, says) in [
        ("const WHERE = [\"motr\"];", "expected a kind of part, an entry, or an entry"),
        ("const WHERE = [\"spar.sokcet\"];", "found `spar.sokcet`"),
        ("const RESTS = [\"motor.antena\"];", "found `motor.antena`"),
        ("const RESTS = [\"motr.like\"];", "expected an entry or a kind of part"),
        ("const CARD2 = 1;", "`CARD2` is no constant of a step; the nearest is CARD"),
    ] {
        let text = format!("{head}{constant}\n{body}");
        let (loaded, sources) = loaded(&[("steps/look", &text)]);
        let all = said(&loaded.findings, &sources);
        let is_said = all.iter().any(|one| one.contains(says));
        assert!(is_said && all.len() == 1, "{constant}: {all:#?}");
        assert!(loaded.steps.is_empty(), "{constant}");
    }
    for constant in [
        "const WHERE = [\"motor\", \"join\", \"spar.socket\"];",
        "const RESTS = [\"motor.like\", \"join.like\", \"servo.at\", \"surface.reflex\"];",
    ] {
        let text = format!("{head}{constant}\n{body}");
        let (loaded, sources) = loaded(&[("steps/look", &text)]);
        assert_eq!(said(&loaded.findings, &sources), Vec::<String>::new(), "{constant}");
        assert_eq!(loaded.steps.len(), 1, "{constant}");
    }
}

//! A trace says what a rule read, in order, each once.
#![expect(clippy::unwrap_used, reason = "helpers of tests")]

#[path = "helpers/running.rs"]
mod running;

use trimsheet_script::Read;
use trimsheet_script::rules::{Ended, Outcome, Settings, settings};

use self::running::{SPEC, facts, loaded, rule};

/// What a rule with this body reads of the loadout of a spec, and what it comes to.
fn trace(spec: &str, body: &str) -> (Outcome, Vec<Read>, Vec<String>) {
    let (loaded, mut sources) = loaded(&[("a/first", &rule(body))]);
    assert!(loaded.findings.is_empty(), "{:#?}", loaded.findings);
    let facts = facts(spec, &mut sources);
    let (settings, _): (Settings, _) =
        settings(&facts.build, &loaded.rules, &loaded.packs, None);
    let (id, _) = facts.of_word("loadout").next().unwrap();
    let about = facts.known_entry(id);
    let first = loaded.rules.first().unwrap();
    let (outcome, reads) =
        loaded.scripts.machine().trace(first, &about, &facts, &settings, &sources);
    let again = loaded.scripts.machine().call(first, &about, &facts, &settings, &sources);
    assert_eq!(again.reads.all(), outcome.reads.all(), "a trace changes nothing");
    assert_eq!(again.drafts.len(), outcome.drafts.len(), "a trace changes nothing");
    let shown = reads.iter().map(|read| {
        let place = read.span.map(|span| {
            let place = sources.place(span);
            format!(" ({}:{})", sources.path(span.file), place.line)
        });
        format!("{} = {}{}", read.asked, read.came, place.unwrap_or_default())
    });
    let shown = shown.collect();
    (outcome, reads, shown)
}

#[test]
fn what_a_rule_reads_is_listed_in_order_with_its_place() {
    let (outcome, _, shown) = trace(
        SPEC,
        "let x = loadout.balance.x;
         if x > build.wing.band.aft - set.spare { finding(x, \"x\"); }
         if loadout.has(\"mass_limit\") { finding(x, \"y\"); }",
    );
    assert!(matches!(outcome.ended, Ended::Said));
    assert_eq!(
        shown,
        [
            "set.spare = 5 mm (rules/club/a/first.rhai:1)",
            "loadout.balance = mass, x, y, z, roll_inertia, pitch_inertia, yaw_inertia, says, contributors (test.trim:9)",
            "loadout.balance.x = 48.9 mm aft ± 1.7 mm (test.trim:9)",
            "build.wing = the wing (test.trim:2)",
            "build.wing.band = 40 mm to 60 mm aft (test.trim:5)",
            "build.wing.band.aft = 60 mm aft (test.trim:5)",
            "loadout.has(\"mass_limit\") = no (test.trim:9)",
        ]
    );
}

#[test]
fn what_is_read_again_is_listed_once() {
    let (_, reads, shown) = trace(SPEC, "loadout.mass; loadout.mass; loadout.mass;");
    assert_eq!(
        reads.iter().filter(|read| read.asked == "loadout.mass").count(),
        1,
        "{shown:#?}"
    );
}

#[test]
fn what_is_not_known_says_why_and_ends_the_list() {
    let (outcome, _, shown) = trace(
        SPEC,
        "for part in build.parts { finding(part, `${part.mass}`); } loadout.mass;",
    );
    assert!(matches!(outcome.ended, Ended::CannotSay(_)));
    assert_eq!(
        shown.last().unwrap(),
        "build.parts[2].mass = the mass of part mystery is not known (test.trim:8)"
    );
}

#[test]
fn functions_and_parameters_that_are_set_are_listed() {
    let spec =
        format!("{SPEC}set club/a/first spare 3 mm because \"it is known better\"\n");
    let (_, _, shown) = trace(
        &spec,
        "loadout.ways_into(build.wing.band);
         build.of_kind(\"motor\")[0].mass;
         build.wing.band.narrowed(set.spare).aft;
         build.share_of_chord(build.wing.band.aft);
         loadout.has_most(\"mass\");
         loadout.crowding(2.mm);",
    );
    for expected in [
        "set.spare = 3 mm (test.trim:10)",
        "build.of_kind(\"motor\") = 1 of them (test.trim:1)",
        "build.of_kind(\"motor\")[0].mass = 80 g ± 1 g (test.trim:6)",
        "build.wing.band.narrowed(3 mm) = 43 mm to 57 mm aft (test.trim:5)",
        "build.wing.band.narrowed(3 mm).aft = 57 mm aft (test.trim:5)",
        "build.share_of_chord(60 mm aft) = 30 % (test.trim:5)",
        "loadout.has_most(\"mass\") = yes (test.trim:9)",
        "loadout.crowding(2 mm) = 0 of them (test.trim:9)",
    ] {
        assert!(shown.iter().any(|one| one == expected), "{expected}\n{shown:#?}");
    }
    assert!(
        shown
            .iter()
            .any(|one| one.starts_with("loadout.ways_into(40 mm to 60 mm aft) ="))
    );
}

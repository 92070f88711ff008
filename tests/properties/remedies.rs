//! A remedy that reading offers is a promise.

use proptest::prelude::*;
use trimsheet_model::source::{Safety, apply};

use crate::portrait::{Read, portrait, read};
use crate::specs::{FLAWED, GOOD, cases, mutated};

/// Lines with one thing wrong each, whose finding offers something.
const FLAWS: &[&str] = &[
    "prt a: mass 5 g",
    "part a mass 5 g",
    "part a: mass 36 gr",
    "part a: mas 5 g",
    "part a: mass 3,5 g",
    "part a: mass 1,700 g",
    "part a: mass 0 g",
    "part a: mass 5 g at 3 mm aft",
    "part a: mass 5 g [wieghed]",
    "part a: at 196 mm ± 4 mm aft",
    "part a: at 95 mm",
    "part a: at 95 mm aft 3 mm out",
    "part a: pair; at 95 mm aft 3 mm left",
    "part a: pair; mass 5 g",
    "part a: title Marsh hen 2",
    "part a: title \"x\\y\"",
    "part a: kind moter",
    "part a: draws 3 A",
    "part a: draws 3 A stedy",
    "part base1\npart a like base2",
    "pack mian\nloadout a: fits main",
    "part b: port data\njoin a: signal b.dta -> b",
    "wing: rib 0 mm out chord 3 mm",
    "wing: rib 0 mm out chord 3 mm aft leading-edge 0 mm aft",
    "wing: rib 0 mm out chrd 3 mm leading-edge 0 mm aft",
    "wing: layout tailless pushr",
    "wing: band 88..104 mm",
    "part a\nmass 5 g",
    "part a\nmass 5 g; at 3 mm aft [plan]",
    "assume mas [weighed]",
    "assume mass",
    "\u{FEFF}part a",
];

/// How often something is said.
fn count(read: &Read, rule: &str, headline: &str) -> usize {
    let same = |one: &&trimsheet_model::source::Finding| {
        one.rule.0 == rule && one.headline == headline
    };
    read.findings.iter().filter(same).count()
}

/// Makes every edit that is offered, each on its own; the number of edits.
fn assert_remedies_hold(text: &str) -> usize {
    let before = read(text);
    let mut made = 0;
    for finding in &before.findings {
        for remedy in finding.remedies.iter().filter(|one| !one.edits.is_empty()) {
            made += 1;
            let text = apply(before.text(), &remedy.edits).unwrap();
            let after = read(&text);
            let (rule, headline) = (&finding.rule.0, &finding.headline);
            let (then, now) =
                (count(&before, rule, headline), count(&after, rule, headline));
            assert!(now < then, "{headline}: {} left it there:\n{text}", remedy.says);
            if remedy.safety == Safety::Safe {
                let (one, two) = (portrait(&before.build), portrait(&after.build));
                assert_eq!(one, two, "{headline}: {} changed:\n{text}", remedy.says);
            }
        }
    }
    made
}

#[test]
fn each_flaw_has_one_finding_that_offers_an_edit_which_clears_it() {
    for flaw in FLAWS {
        let said = read(flaw).said();
        assert_eq!(said.len(), 1, "{flaw}: {said:#?}");
        assert_ne!(assert_remedies_hold(flaw), 0, "{flaw} is offered nothing");
        let name = |text: &str| text.trim_start_matches('\u{FEFF}').to_owned();
        // Where the name of an entry stands in the flaw, the finding is the same in company.
        let company = format!("{}\n\nbay company: width 3 mm\n", name(flaw));
        assert_remedies_hold(&company);
    }
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn an_edit_that_is_offered_clears_its_finding(text in mutated()) {
        assert_remedies_hold(&text);
    }

    #[test]
    fn what_is_offered_holds_in_the_midst_of_a_spec(
        flaw in prop::sample::select(FLAWS),
        base in prop::sample::select(&[GOOD, FLAWED][..]),
        is_first in any::<bool>(),
    ) {
        let flaw = flaw.trim_start_matches('\u{FEFF}');
        let text = match is_first {
            true => format!("{flaw}\n{base}"),
            false => format!("{base}{flaw}\n"),
        };
        assert_remedies_hold(&text);
    }
}

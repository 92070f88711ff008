//! What is said about a spec as it is read, and what counts as not known.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "helpers of tests"
)]

#[path = "helpers/spec.rs"]
mod spec;

use spec::{Read, read, read_with};
use trimsheet_model::quantity::Axis;
use trimsheet_model::{Entry, Fact, Kind, Unknown, Value};

fn quiet(text: &str) -> Read {
    let spec = read(text);
    assert_eq!(spec.said(), [""; 0], "{text}");
    spec
}

fn si(value: &Value) -> f64 {
    value.quantity().unwrap().si()
}

fn close(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-12, "{found} is not {wanted}");
}

fn why(value: &Value) -> Unknown {
    let Kind::Unknown(why) = value.kind else { panic!("{value:?} is known") };
    why
}

fn spread(value: &Value) -> f64 {
    value.quantity().unwrap().spread_si().unwrap()
}

fn source(fact: &Fact, slot: &str) -> Option<String> {
    let source = fact.slot(slot).unwrap().source.as_ref()?;
    let date = source.date.map_or(String::new(), |date| format!(" {date}"));
    let on = source.on.as_ref().map_or(String::new(), |on| format!(" on {on}"));
    Some(format!("{}{date}{on}", source.word))
}

fn mass<'a>(spec: &'a Read, name: &str) -> &'a Value {
    spec.entry(name).fact("mass").unwrap().first().unwrap()
}

// ---- One damage, one finding ----

#[test]
fn a_value_of_another_dimension_says_what_was_expected_and_found() {
    let spec = read("wing\n  rib 0 mm out  chord 300 g  leading-edge 5 mm aft\n");
    let said = "2: read/expected: expected a length after `chord`, found `300 g`, a mass";
    assert_eq!(spec.said(), [said]);
    let rib = spec.entry("wing").fact("rib").unwrap();
    assert_eq!(why(rib.slot("chord").unwrap()), Unknown::Damaged);
    close(si(rib.slot("leading-edge").unwrap()), 0.005);
}

#[test]
fn a_forgotten_unit_is_not_known_and_the_word_behind_it_is_read() {
    let spec = quiet(
        "wing\n  rib 0 mm out  chord 300 leading-edge 5 mm aft\npart a: mass 5 each; at 95 aft\n  draws 17 steady  24 A for 20 s\n",
    );
    let rib = spec.entry("wing").fact("rib").unwrap();
    assert_eq!(why(rib.slot("chord").unwrap()), Unknown::NoUnit);
    close(si(rib.slot("leading-edge").unwrap()), 0.005);
    assert_eq!(why(mass(&spec, "a")), Unknown::NoUnit);
    let a = spec.entry("a");
    assert_eq!(a.fact("mass").unwrap().slot("counted").unwrap().text(), Some("each"));
    assert_eq!(why(a.fact("at").unwrap().first().unwrap()), Unknown::NoUnit);
    let loads: Vec<&Value> = a.fact("draws").unwrap().slots("loads").collect();
    assert_eq!((why(loads[0]), si(loads[1])), (Unknown::NoUnit, 24.0));
}

#[test]
fn a_word_that_is_no_unit_costs_one_finding_and_hides_what_follows() {
    let spec = read("part a: mass 36 gr at 3 mm aft\n");
    assert_eq!(spec.said(), ["1: read/unknown-unit: expected a unit, found `gr`"]);
    assert_eq!(spec.fixed(0, 0), "part a: mass 36 g at 3 mm aft\n");
    assert!(spec.entry("a").fact("at").unwrap().damaged, "`at` may have been meant");
}

#[test]
fn what_follows_an_open_quote_or_bracket_is_not_known_rather_than_absent() {
    for text in [
        "part a: kind motor; title \"big one; mass 5 g; at 3 mm aft\n",
        "part a: kind motor; poles 14 [kit; mass 5 g; at 3 mm aft\n",
        "part a \"x: mass 5 g; at 3 mm aft\n",
    ] {
        let spec = read(text);
        assert_eq!(spec.said().len(), 1, "{:?}", spec.said());
        assert!(spec.said()[0].starts_with("1: read/left-open: this "));
        let a = &spec.build.entries[0];
        assert!(a.fact("mass").unwrap().damaged && a.fact("at").unwrap().damaged);
        assert!(a.fact("size").is_none());
    }
}

#[test]
fn what_follows_a_stray_in_its_fact_is_not_known_and_other_facts_are_read() {
    let spec = read("part a: at 3 mm aft @@ inside b; mass 5 g\n");
    let said = "1: read/expected: expected `inside`, `;` or the end of the line after `at`, found `@@`";
    assert_eq!(spec.said(), [said]);
    let at = spec.entry("a").fact("at").unwrap();
    assert!(at.damaged && at.slot("inside").is_none() && at.first().is_some());
    close(si(mass(&spec, "a")), 0.005);
}

#[test]
fn a_misspelt_fact_is_not_known_rather_than_absent() {
    let spec = read("part a: mas 5 g\n");
    let said = "1: read/unknown-fact: expected a fact about a part, found `mas`";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0), "part a: mass 5 g\n");
    assert!(spec.entry("a").fact("mass").unwrap().damaged);
}

#[test]
fn a_source_that_cannot_be_read_is_no_better_than_a_guess() {
    let spec = read(
        "instrument s: resolution 1 g\nassume mass [weighed on s]\npart a: mass 500 g [wieghed]\npart b: mass 500 g\n",
    );
    let said = "3: read/expected: expected a source, one of weighed, measured, datasheet, kit, plan, estimated, copied, found `wieghed`";
    assert_eq!(spec.said(), [said]);
    close(spread(mass(&spec, "a")), 0.1);
    assert!(spread(mass(&spec, "b")) < 0.001);
}

#[test]
fn a_backslash_that_stands_for_nothing_is_named() {
    let spec = read("part a: title \"x\\y\"\n");
    let said = r#"1: read/left-open: expected `\"` or `\\` in this text, found a `\` before something else"#;
    assert_eq!(spec.said(), [said]);
    assert_eq!(read(&spec.fixed(0, 0)).said(), [""; 0]);
}

#[test]
fn bytes_that_were_no_utf8_cost_one_finding_a_line() {
    for text in [
        "part a: mass 5\u{FFFD} g",
        "p\u{FFFD}rt a: mass 5 g",
        "part a: mass 5 g [we\u{FFFD}ghed]",
        "part a: kind mo\u{FFFD}or; m\u{FFFD}ss 5 g; title \"caf\u{FFFD}\"",
    ] {
        let said = ["1: read/not-utf8: expected text in UTF-8, found bytes that are not"];
        assert_eq!(read(text).said(), said, "{text}");
    }
}

// ---- Lines ----

#[test]
fn a_line_in_column_1_that_is_near_an_entry_opens_it() {
    let spec = read("wing\nprt a: mass 5 g\n");
    let said = "2: read/unknown-entry: expected a word that opens an entry, such as part, wing or loadout, found `prt`";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0), "wing\npart a: mass 5 g\n");
    close(si(mass(&spec, "a")), 0.005);
}

#[test]
fn a_line_in_column_1_that_is_near_nothing_closes_nothing() {
    let spec = read("part a\nzzz qqq: mass 7 g\n  mass 5 g\n  band 3..4 mm aft\n  xxx\n");
    assert_eq!(spec.lines(), [2, 5], "{:?}", spec.said());
    close(si(mass(&spec, "a")), 0.005);
}

#[test]
fn a_fact_behind_junk_that_the_entry_has_already_is_nobodys() {
    let spec = read("part a: mass 5 g\nzzz b\n  mass 7 g\n");
    assert_eq!(spec.lines(), [2]);
    assert_eq!(why(mass(&spec, "a")), Unknown::Damaged);
}

#[test]
fn a_fact_in_column_1_is_read_where_the_entry_above_lacks_it() {
    let spec = read("part a\nmass 5 g\n");
    let said =
        "2: read/not-indented: expected an entry in column 1, found `mass`, a fact";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0), "part a\n    mass 5 g\n");
    close(si(mass(&spec, "a")), 0.005);
    let again = read("part a: mass 3 g\nmass 5 g\n");
    assert_eq!(again.lines(), [2]);
    close(si(mass(&again, "a")), 0.003);
}

#[test]
fn the_word_of_a_fact_is_no_slip_of_an_entry() {
    let spec = read("wing\npair\n  washout 2 deg\n");
    let said = "2: read/unknown-entry: expected an entry in column 1, found `pair`, a fact of a part or a surface";
    assert_eq!(spec.said(), [said]);
    assert!(spec.entry("wing").says("washout"));
}

#[test]
fn a_fact_above_every_entry_belongs_to_none() {
    let said = "1: read/fact-without-entry: expected an entry above `mass`, found none that is open";
    assert_eq!(read("  mass 5 g; at 3 mm aft\npart a\n").said(), [said]);
    let said = "1: read/no-entry: expected a word that opens an entry before `:`";
    assert_eq!(read(": mass 5 g").said(), [said]);
}

#[test]
fn a_fact_of_another_entry_says_whose_it_is() {
    let said = "1: read/fact-not-here: `band` is said of a wing or a loadout, and stands here under an assembly";
    assert_eq!(read("assembly a: band 3..4 mm aft").said(), [said]);
}

#[test]
fn a_forgotten_mark_is_offered() {
    let spec = read("part a mass 5 g at 3 mm aft");
    let said = "1: read/expected: expected `like`, `:` or the end of the line after `part`, found `mass`, a word";
    assert_eq!(spec.said(), [said]);
    let spec = read(&spec.fixed(0, 0));
    assert_eq!(spec.lines().len(), 1);
    assert_eq!(spec.fixed(0, 0), "part a: mass 5 g; at 3 mm aft");
}

#[test]
fn an_empty_file_says_nothing_yet() {
    for text in ["", "\n\n", "# a plan\r\n"] {
        let said =
            "1: read/nothing-said: expected a model and its parts, found nothing yet";
        assert_eq!(read(text).said(), [said]);
    }
}

// ---- Sources ----

#[test]
fn a_source_covers_the_values_before_it_back_to_the_source_before() {
    let spec = quiet(
        "assume rib [estimated]\nwing [plan]\n  rib 0 mm out  chord 300 mm [measured 2026-03-02]  leading-edge 0 mm aft [kit]  height 3 mm up\n  washout 2 deg\ntail\n  rib 0 mm out chord 3 mm leading-edge 0 mm aft\nbody: width 3 mm\n",
    );
    let wing = spec.entry("wing");
    let rib = wing.fact("rib").unwrap();
    assert_eq!(source(rib, "out").as_deref(), Some("measured 2026-03-02"));
    assert_eq!(source(rib, "chord").as_deref(), Some("measured 2026-03-02"));
    assert_eq!(source(rib, "leading-edge").as_deref(), Some("kit"));
    assert_eq!(source(rib, "height").as_deref(), Some("plan"), "the head comes next");
    assert_eq!(source(wing.fact("washout").unwrap(), "angle").as_deref(), Some("plan"));
    let rib = spec.entry("tail").fact("rib").unwrap();
    assert_eq!(source(rib, "chord").as_deref(), Some("estimated"), "then the file");
    assert_eq!(source(spec.entry("body").fact("width").unwrap(), "width"), None);
}

#[test]
fn a_source_with_nothing_to_cover_is_said() {
    let spec = read("wing [plan] [kit]\npart a: mass [weighed] 5 g\n");
    let said = [
        "1: read/source-covers-nothing: `[kit]` is a second source for the same `wing`",
        "2: read/source-covers-nothing: expected a value before `[weighed]`: a source covers what stands before it",
    ];
    assert_eq!(spec.said(), said);
}

#[test]
fn a_dated_record_lends_its_date() {
    let spec = quiet(
        "instrument s: resolution 1 g\nassume mass [weighed on s]\nloadout all\nweighed all 2026-03-14 by KV: mass 900 g\nbalanced all 2026-03-15: at 90 mm aft [measured 2026-03-16]; level\n",
    );
    let mass = spec.entry("weighed").fact("mass").unwrap();
    assert_eq!(source(mass, "mass").as_deref(), Some("weighed 2026-03-14 on s"));
    let at = spec.entry("balanced").fact("at").unwrap();
    assert_eq!(source(at, "place").as_deref(), Some("measured 2026-03-16"));
}

#[test]
fn an_assumption_names_a_fact_and_a_source() {
    let spec = read(
        "assume mas [weighed]\nassume mass\nassume at [plan]\nassume at [kit]\nassume band [plam]\n",
    );
    let said = [
        "5: read/expected: expected a source, one of weighed, measured, datasheet, kit, plan, estimated, copied, found `plam`",
        "1: read/expected: expected the word of a fact after `assume`, found `mas`",
        "2: read/expected: expected a source in brackets after `assume mass`, found none",
        "4: read/name-twice: `at` is assumed a second time, from another source",
    ];
    assert_eq!(spec.said(), said);
}

#[test]
fn an_instrument_that_nobody_has_is_said_once() {
    let spec = read("part a [weighed on s]: mass 5 g; at 3 mm aft\n");
    assert_eq!(spec.said(), ["1: read/unknown-name: no instrument is called `s`"]);
}

// ---- Values ----

#[test]
fn not_known_is_a_value_and_about_is_reckoned_with() {
    let spec = quiet(
        "part a: mass about 36 g ± 6 g; at ?; size ?; kind ?\npack b: cells 3S ?\npart c: needs ?; draws ?; count ?\n",
    );
    let mass = mass(&spec, "a");
    assert!(mass.about && !mass.is_known());
    close(si(mass), 0.036);
    close(spread(mass), 0.006);
    let a = spec.entry("a");
    for word in ["at", "size", "kind"] {
        assert_eq!(why(a.fact(word).unwrap().first().unwrap()), Unknown::Written);
    }
    let cells = spec.entry("b").fact("cells").unwrap();
    assert_eq!(why(cells.slot("chemistry").unwrap()), Unknown::Written);
}

#[test]
fn what_the_left_leaves_out_it_takes_from_the_right() {
    let spec = quiet(
        "part a: mass 45 ± 5 g; size 9 x 5 in; at 3 mm aft\npack b: slides 20..60 mm aft\nbay c: reach 20 mm ahead..140 mm aft\nbay d: reach 95..10 mm ahead\n",
    );
    close(si(mass(&spec, "a")), 0.045);
    close(spread(mass(&spec, "a")), 0.005);
    let ends = |name: &str, fact: &str| {
        let value = spec.entry(name).fact(fact).unwrap().first().unwrap();
        let Kind::Range(low, high) = &value.kind else { panic!("{value:?}") };
        (low.si(), high.si())
    };
    assert_eq!(ends("b", "slides"), (0.02, 0.06));
    assert_eq!(ends("c", "reach"), (-0.02, 0.14));
    assert_eq!(ends("d", "reach"), (-0.095, -0.01), "in either order");
    let size = spec.entry("a").fact("size").unwrap().first().unwrap();
    let Kind::Size(sizes) = &size.kind else { panic!("{size:?}") };
    close(sizes[0].si(), 9.0 * 0.0254);
}

#[test]
fn what_the_right_leaves_out_is_not_known() {
    let spec = quiet("part a: mass 45 g ± 5\npack b: slides 30 mm aft..75\n");
    assert_eq!(why(mass(&spec, "a")), Unknown::NoUnit);
    let slides = spec.entry("b").fact("slides").unwrap();
    assert_eq!(why(slides.first().unwrap()), Unknown::NoUnit);
}

#[test]
fn percent_of_a_spread_is_of_the_value_and_points_of_a_percentage() {
    let spec = quiet("wing: lift-limit 95 % ± 10 %\npart a: mass 50 g ± 10 %\n");
    close(spread(mass(&spec, "a")), 0.005);
    let limit = spec.entry("wing").fact("lift-limit").unwrap().first().unwrap();
    close(spread(limit), 0.1);
}

#[test]
fn a_side_stands_before_the_spread() {
    let spec = read("part a: at 138 mm ± 4 mm aft inside b\nbay b\n");
    let said =
        "1: read/expected: expected `aft` behind the value, found it behind the spread";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0), "part a: at 138 mm aft ± 4 mm inside b\nbay b\n");
    quiet(&spec.fixed(0, 0));
}

#[test]
fn a_length_without_its_side_is_offered_each() {
    let spec = read("wing: band 88..104 mm; mean-chord 200 mm aft\n");
    let said = [
        "1: read/expected: expected a length from .. to with its side (ahead or aft) after `band`, found `88..104 mm` without a side",
        "1: read/expected: expected a length after `mean-chord`, found `200 mm aft` with a side",
    ];
    assert_eq!(spec.said(), said);
    let first = &spec.findings[0].remedies;
    let says: Vec<&str> = first.iter().map(|one| one.says.as_str()).collect();
    assert_eq!(says, ["write `ahead` behind it", "write `aft` behind it"]);
    assert!(spec.fixed(0, 1).starts_with("wing: band 88..104 mm aft;"));
    assert_eq!(spec.fixed(1, 0), "wing: band 88..104 mm; mean-chord 200 mm\n");
}

#[test]
fn only_degrees_and_decibels_go_below_nought() {
    quiet("part a: warmest -5 °C; sends 868 MHz power -3 dBm\n");
    let spec = read("part a: mass -5 g; at -30 mm aft\npart b: warmest -300 °C\n");
    let said = [
        "1: read/impossible-value: expected a number without a sign, found `-5`",
        "1: read/impossible-value: expected a number without a sign, found `-30`",
        "2: read/impossible-value: expected a temperature above -273.15 °C, the coldest there is, found `-300`",
    ];
    assert_eq!(spec.said(), said);
}

#[test]
fn a_place_goes_each_way_once() {
    let spec = quiet("part a: at 85 mm ahead 30 mm left 5 mm up\npart b: at 3 mm aft\n");
    let at = spec.entry("a").fact("at").unwrap().first().unwrap();
    let Kind::Place(place) = &at.kind else { panic!("{at:?}") };
    close(place.along.si(), -0.085);
    close(place.across.as_ref().unwrap().si(), -0.03);
    close(place.upward.as_ref().unwrap().si(), 0.005);
    let at = spec.entry("b").fact("at").unwrap().first().unwrap();
    let Kind::Place(place) = &at.kind else { panic!("{at:?}") };
    assert!(place.across.is_none() && place.upward.is_none());
    let spec = read(
        "part c: at 5 mm up\npart d: at 3 mm aft 4 mm ahead\npart e: at 3 gr aft 4 mm up\n",
    );
    let said = [
        "1: read/expected: expected a place (85 mm ahead 30 mm left) after `at`, found `5 mm up`, with no length ahead or aft",
        "2: read/expected: expected each way once in a place, found `4 mm ahead` as well",
        "3: read/unknown-unit: expected a unit, found `gr`",
    ];
    assert_eq!(spec.said(), said);
}

#[test]
fn a_comma_in_a_number_is_offered_as_a_point_or_as_none() {
    let spec = read("part a: mass 3,5 g\npart b: mass 1,700 g\n");
    let said = "1: read/expected: expected a mass after `mass`, found `3,5`";
    assert_eq!(spec.said()[0], said);
    assert_eq!(spec.findings[0].remedies.len(), 1);
    assert_eq!(spec.fixed(0, 0), "part a: mass 3.5 g\npart b: mass 1,700 g\n");
    assert_eq!(spec.fixed(1, 1), "part a: mass 3,5 g\npart b: mass 1700 g\n");
}

#[test]
fn a_current_says_when_it_flows() {
    let spec =
        read("part a: draws 3 A\npart b: draws 3 A stedy\npart c: draws 3 A for 3 g\n");
    let said = [
        "1: read/expected: expected a current with its phase (17 A steady) after `draws`, found `3 A` alone",
        "2: read/expected: expected steady, working, stalled or `for` and seconds after `3 A`, found `stedy`, a word",
        "3: read/expected: expected a time after `for`, found `3 g`, a mass",
    ];
    assert_eq!(spec.said(), said);
    quiet(&spec.fixed(0, 0).replace("stedy", "steady").replace("3 g", "3 s"));
}

#[test]
fn volts_may_stand_without_a_current_or_with_several() {
    let spec =
        quiet("part a: needs 5..6 V\npart b: needs 5..6 V 1 A working 2 A stalled\n");
    assert_eq!(spec.entry("b").fact("needs").unwrap().slots("load").count(), 2);
}

#[test]
fn impossible_values_are_not_taken() {
    let huge = "9".repeat(30);
    let spec = read(&format!(
        "part a: mass {huge} g\npart b: mass 1/0 g\npart c: mass 0 g\npart d: count 0\nwing: rib 0 mm out chord 0 mm leading-edge 0 mm aft\nmodel m: revision A 2026-02-30\n"
    ));
    let said = [
        format!("1: read/impossible-value: expected a number that can be reckoned with, found `{huge}`"),
        "2: read/impossible-value: expected a number that can be reckoned with, found `1/0`".into(),
        "3: read/impossible-value: expected a mass above nothing after `mass`, found `0 g`".into(),
        "4: read/expected: expected a whole number from 1 up after `count`, found `0`".into(),
        "5: read/impossible-value: expected a length above nothing after `chord`, found `0 mm`".into(),
        "6: read/impossible-value: expected a date that exists, found `2026-02-30`".into(),
    ];
    assert_eq!(spec.said(), said);
    for name in ["a", "b", "c"] {
        assert_eq!(why(mass(&spec, name)), Unknown::Damaged);
    }
}

#[test]
fn a_text_without_quotes_is_offered_them() {
    let spec = read("model m: title Marsh hen 2\n");
    let said = "1: read/expected: expected a text in quotes after `title`, found `Marsh`, a word";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0), "model m: title \"Marsh hen 2\"\n");
}

#[test]
fn a_led_value_that_is_missing_is_named() {
    let spec = read("wing: rib 0 mm out chord 3 mm\n");
    let said = "1: read/expected: expected `leading-edge` with a length with its side (ahead or aft) after `rib`, found only `rib 0 mm out chord 3 mm`";
    assert_eq!(spec.said(), [said]);
    quiet(&spec.fixed(0, 0));
}

#[test]
fn what_is_said_twice_and_not_alike_is_not_known() {
    let spec = quiet("part a: mass 5 g;  mass  5  g\npart b: mass 5 g; mass 6 g\n");
    close(si(mass(&spec, "a")), 0.005);
    assert_eq!(why(mass(&spec, "b")), Unknown::Conflict);
    assert_eq!(spec.entry("b").repeats.len(), 1);
}

#[test]
fn a_fact_of_one_kind_of_part_is_not_said_of_another() {
    let spec = read("part a: kind servo; poles 14\npart b: kind motor; poles 14\n");
    let said =
        "1: read/fact-not-here: `poles` is said of a motor, and a is of kind servo";
    assert_eq!(spec.said(), [said]);
}

// ---- Like ----

#[test]
fn like_takes_what_an_entry_does_not_say_itself() {
    let spec = quiet(
        "part a [datasheet]: kind servo; mass 10 g [weighed]; torque 2 kgf.cm\npart b like a: mass 12 g\npart c like b\n",
    );
    let c = spec.entry("c");
    close(si(mass(&spec, "c")), 0.012);
    assert_eq!(c.kind(), Some("servo"));
    let torque = c.fact("torque").unwrap();
    assert_eq!(source(torque, "torque").as_deref(), Some("datasheet"));
    assert!(torque.via.is_some() && spec.entry("b").fact("mass").unwrap().via.is_none());
}

#[test]
fn a_copied_value_keeps_its_source_and_is_spread_like_a_copy() {
    let spec = quiet(
        "instrument s: resolution 1 g\nassume mass [weighed on s]\npart a: mass 100 g\npart b like a\npart c: mass 100 g ± 1 g\npart d like c\n",
    );
    let mass_of = |name: &str| spec.entry(name).fact("mass").unwrap();
    assert_eq!(source(mass_of("b"), "mass").as_deref(), Some("weighed on s"));
    assert!(spread(mass(&spec, "a")) < 0.001);
    close(spread(mass(&spec, "b")), 0.01);
    close(spread(mass(&spec, "d")), 0.001);
}

#[test]
fn like_a_name_that_nobody_has_makes_what_is_absent_not_known() {
    let spec = read("part servo: mass 5 g\npart a like srvo: mass 3 g\npart b like a\n");
    assert_eq!(spec.said(), ["2: read/unknown-name: no part is called `srvo`"]);
    quiet(&spec.fixed(0, 0));
    let damaged = |name: &str| spec.entry(name).is_damaged();
    assert!(damaged("a") && damaged("b") && !damaged("servo"));
    let lost = read("part x\npart a @@ like x\n");
    assert_eq!(lost.lines(), [2]);
    assert!(lost.entry("a").is_damaged());
}

#[test]
fn entries_that_are_like_each_other_are_said_once() {
    let spec = read(
        "part a like b: mass 3 g\npart b like a\npart c like c\npart d like a: size ?\n",
    );
    let said = [
        "1: read/like-itself: part a is like itself, by way of part b",
        "3: read/like-itself: part c is like itself",
    ];
    assert_eq!(spec.said(), said);
    assert!(spec.build.entries.iter().all(Entry::is_damaged));
}

#[test]
fn a_part_is_like_one_on_a_shelf_whose_assumptions_stay_there() {
    let shelf = "assume mass [weighed]\npart servo: kind servo; mass 9 g\n";
    let spec = read_with(
        "include \"club/shelf.trim\" as club\nassume mass [plan]\npart a like club.servo\npart b like club.srvo\n",
        &[("club", shelf)],
    );
    assert_eq!(spec.said(), ["4: read/unknown-name: no part is called `club.srvo`"]);
    assert!(spec.fixed(0, 0).ends_with("part b like club.servo\n"));
    let mass = spec.entry("a").fact("mass").unwrap();
    assert_eq!(source(mass, "mass").as_deref(), Some("weighed"));
    assert!(spec.entry("a").aboard && !spec.entry("servo").aboard);
}

#[test]
fn names_on_a_shelf_that_could_not_be_read_are_quiet_and_not_known() {
    let spec = read(
        "include \"shelf.trim\"\npart a like shelf.servo\njoin j: supply shelf.x -> a\n",
    );
    assert_eq!(spec.said(), [""; 0]);
    assert!(spec.entry("a").is_damaged());
}

#[test]
fn two_files_must_not_go_by_one_name() {
    let spec = read_with(
        "include \"a/x.trim\"\ninclude \"b/x.trim\"\npart x\nmodel a\nmodel b\n",
        &[("x", ""), ("x", "")],
    );
    let said = [
        "2: read/name-twice: a second thing is called `x`, the name of this file",
        "3: read/name-twice: a second entry is called `x`",
        "5: read/name-twice: a second `model` stands in this file, which is about one aircraft",
    ];
    assert_eq!(spec.said(), said);
}

// ---- Pairs ----

#[test]
fn a_pair_is_two_and_either_half_may_differ() {
    let spec = quiet(
        "part s: kind servo; pair; mass 21 g each; at 96 mm aft 160 mm out\npart s.left: mass 22 g\nloadout l: with s\n",
    );
    close(si(mass(&spec, "s.left")), 0.022);
    close(si(mass(&spec, "s.right")), 0.021);
    let with = spec.entry("l").fact("with").unwrap().first().unwrap();
    assert_eq!(with.targets().len(), 2);
    let at = spec.entry("s.left").fact("at").unwrap().first().unwrap();
    let Kind::Place(place) = &at.kind else { panic!("{at:?}") };
    assert_eq!(place.across.as_ref().unwrap().axis(), Some(Axis::Out));
}

#[test]
fn the_mass_of_a_pair_is_of_each_or_of_both() {
    let spec = read("part s: pair; mass 21 g\npart t: pair; mass 21 g together\n");
    let said = "1: read/each-or-together: is this mass of each of the two s, or of both together?";
    assert_eq!(spec.said(), [said]);
    assert_eq!(spec.fixed(0, 0).lines().next(), Some("part s: pair; mass 21 g each"));
    assert_eq!(why(mass(&spec, "s.left")), Unknown::Damaged);
}

#[test]
fn a_pair_lies_out_and_one_part_left_or_right() {
    let spec =
        read("part s: pair; at 3 mm aft 5 mm left\npart t: at 3 mm aft 5 mm out\n");
    let said = [
        "1: read/side-of-a-pair: expected `out` in this place, found `left`: part s is a pair, one to each side",
        "2: read/side-of-a-pair: expected `left` or `right` in this place, found `out`: part t is no pair",
    ];
    assert_eq!(spec.said(), said);
    assert!(spec.fixed(0, 0).starts_with("part s: pair; at 3 mm aft 5 mm out\n"));
    assert!(spec.fixed(1, 1).ends_with("part t: at 3 mm aft 5 mm right\n"));
}

#[test]
fn a_half_of_no_pair_is_said() {
    let said = "1: read/unknown-name: expected a pair called `s`, of which `s.left` is one half, found none";
    assert_eq!(read("part s.left: mass 3 g\npart s\n").said(), [said]);
    let said =
        "1: read/expected: expected a name without a point after `part`, found `s.top`";
    assert_eq!(read("part s.top\n").said(), [said]);
}

#[test]
fn whether_it_is_a_pair_may_be_lost_and_costs_one_finding() {
    let spec = read("part s: @@ pair; mass 5 g\npart s.left: mass 3 g\n");
    assert_eq!(spec.lines(), [1]);
    assert_eq!(why(mass(&spec, "s")), Unknown::Damaged);
}

// ---- Names ----

#[test]
fn a_name_that_nobody_has_is_offered_the_nearest_of_its_kind() {
    let spec = read(
        "pack mian\npart maim\nloadout l: fits main at 3 mm aft; with main\npart main2\n",
    );
    let said = [
        "3: read/unknown-name: no pack is called `main`",
        "3: read/unknown-name: no part is called `main`",
    ];
    assert_eq!(spec.said(), said);
    assert!(spec.fixed(0, 0).contains("fits mian at"));
    assert!(spec.fixed(1, 0).contains("with maim"));
    let said = "2: read/expected: expected the name of a wing, a tail or a fin, found `a`, a part";
    assert_eq!(read("part a\nsurface s: on a\n").said(), [said]);
}

#[test]
fn a_way_goes_between_parts_their_sockets_and_whichever_pack_is_fitted() {
    let text =
        "part a: port data\npart b\njoin j: signal a.data -> b; supply pack <-> b\n";
    quiet(text);
    let spec = read(&text.replace("a.data", "a.dta"));
    assert_eq!(spec.said(), ["3: read/unknown-name: nothing aboard is called `a.dta`"]);
    assert_eq!(spec.fixed(0, 0), text);
    let said = "2: read/expected: expected two names with -> between them after `signal`, found `a` alone";
    assert_eq!(read("part a\njoin j: signal a b\n").said(), [said]);
}

#[test]
fn two_things_of_one_name_are_said_and_records_have_none() {
    let spec = read(
        "wing\nwing\nloadout l\nweighed l 2026-03-14: mass 9 g\nweighed l 2026-03-15: mass 9 g\n",
    );
    assert_eq!(spec.said(), ["2: read/name-twice: a second entry is called `wing`"]);
}

#[test]
fn a_byte_order_mark_is_passed_over_and_offered_to_be_dropped() {
    let spec = read("\u{FEFF}part a: mass 5 g\r\n\tat 3\u{A0}mm aft\r\n");
    let said = "1: read/byte-order-mark: an invisible byte-order mark stands at the start of the file; it was passed over";
    assert_eq!(spec.said(), [said]);
    quiet(&spec.fixed(0, 0));
    assert!(spec.entry("a").says("at"));
}

#[test]
fn only_the_first_thousand_findings_are_kept_and_the_rest_counted() {
    let spec = read(&"zzz\n".repeat(5000));
    assert_eq!(spec.findings.len(), 1001);
    let said = "1001: read/too-many: 4000 more findings from here on are not shown";
    assert_eq!(spec.said().last().map(String::as_str), Some(said));
}

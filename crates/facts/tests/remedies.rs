//! What remedies promise, and that they keep it when they are carried out.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use trimsheet_facts::model::quantity::{Quantity, Unit};
use trimsheet_facts::model::source::{Remedy, Sources, apply};
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, Known, What};

/// A wing whose balance goes by 0.29 mm for each millimetre of the pack.
const PLAIN: &str = "\
wing [plan]
    band 50..64 mm aft best 57 mm aft
bay nose [measured]
    reach    60..130 mm ahead
    ballast  at 110 mm ahead most 60 g
part airframe: mass 400 g [weighed]; at 120 mm aft [measured]
part motor: mass 90 g [weighed]; at 120 mm ahead [measured]
pack main
    mass 200 g [weighed]
    slides 40 mm ahead..60 mm aft [plan]
";

fn with(loadout: &str) -> String {
    format!("{PLAIN}{loadout}\n")
}

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let said: Vec<&str> = findings.iter().map(|one| one.headline.as_str()).collect();
    assert!(said.is_empty(), "{said:?}\n{text}");
    Facts::new(build, Stage::Installed)
}

fn loadout(facts: &Facts, name: &str) -> Known {
    let loadouts = facts.of(&facts.whole(), "loadouts").unwrap();
    let What::List(all) = loadouts.what else { panic!("a list was expected") };
    all.iter().find(|one| one.name == name).cloned().unwrap()
}

fn ways(text: &str, name: &str) -> Vec<Remedy> {
    let facts = facts(text);
    let loadout = loadout(&facts, name);
    let band = facts.of(&loadout, "band").unwrap();
    facts.ways_into(&loadout, &band).unwrap()
}

fn stops(text: &str, name: &str) -> Vec<Remedy> {
    let facts = facts(text);
    let loadout = loadout(&facts, name);
    let band = facts.of(&loadout, "band").unwrap();
    facts.stops_inside(&loadout, &band).unwrap()
}

fn said(ways: &[Remedy]) -> Vec<&str> {
    ways.iter().map(|way| way.says.as_str()).collect()
}

fn carried_out(text: &str, way: &Remedy) -> String {
    assert!(!way.edits.is_empty(), "no edit: {}", way.says);
    apply(text, &way.edits).unwrap()
}

/// Every corner of a loadout, each as its place and its spread in millimetres.
fn corners(text: &str, name: &str) -> Vec<(f64, f64)> {
    let facts = facts(text);
    let corners = facts.of(&loadout(&facts, name), "corners").unwrap();
    let What::List(all) = corners.what else { panic!("a list was expected") };
    let places = all.iter().map(|one| one.field("x").unwrap().quantity().unwrap());
    places.map(|x| (x.si() * 1000.0, x.spread_si().unwrap() * 1000.0)).collect()
}

fn assert_inside(text: &str, name: &str, (low, high): (f64, f64)) {
    for (x, spread) in corners(text, name) {
        assert!(low < x - spread && x + spread < high, "{x} ± {spread}\n{text}");
    }
}

#[test]
fn every_way_that_is_carried_out_brings_the_whole_spread_inside() {
    for place in ["40 mm ahead", "20 mm ahead", "37 mm aft", "50 mm aft", "60 mm aft"] {
        let text = with(&format!("loadout field: fits main at {place} [plan]"));
        let ways = ways(&text, "field");
        let edited: Vec<&Remedy> =
            ways.iter().filter(|way| !way.edits.is_empty()).collect();
        assert!(!edited.is_empty(), "{place}: {:?}", said(&ways));
        for way in edited {
            assert_inside(&carried_out(&text, way), "field", (50.0, 64.0));
        }
    }
}

#[test]
fn the_first_way_aims_at_best_and_the_second_is_the_least() {
    let text = with("loadout field: fits main at 50 mm aft [plan]");
    let ways = ways(&text, "field");
    assert!(ways[0].says.starts_with("slide main 40 mm ahead, to 10 mm aft"));
    assert!(ways[0].says.ends_with("the best place"), "{}", ways[0].says);
    // One millimetre less, and the spread would reach across the limit.
    assert!(ways[1].says.starts_with("slide main 21 mm ahead, to 29 mm aft"));
    let short = with("loadout field: fits main at 30 mm aft [plan]");
    let (x, spread) = corners(&short, "field")[0];
    assert!(64.0 < x + spread, "{x} ± {spread}");
}

#[test]
fn lead_is_the_fewest_whole_grams_that_keep_the_promise() {
    let text = with("loadout field: fits main at 50 mm aft [plan]");
    let ways = ways(&text, "field");
    let least = ways.last().unwrap();
    assert!(least.says.starts_with("add 24 g of lead in bay nose"), "{}", least.says);
    assert!(carried_out(&text, least).contains("[plan]; ballast nose 24 g [plan]"));
    let short =
        with("loadout field: fits main at 50 mm aft [plan]; ballast nose 23 g [plan]");
    let (x, spread) = corners(&short, "field")[0];
    assert!(64.0 < x + spread, "{x} ± {spread}");
}

#[test]
fn a_way_that_saves_only_a_few_millimetres_is_no_other_way() {
    let narrow = with("loadout field: fits main at 50 mm aft [plan]")
        .replace("band 50..64 mm aft best 57", "band 55..58.5 mm aft best 57");
    let ways = ways(&narrow, "field");
    let slides: Vec<&str> =
        said(&ways).into_iter().filter(|way| way.starts_with("slide")).collect();
    assert_eq!(slides.len(), 1, "{slides:?}");
}

#[test]
fn no_way_is_offered_where_the_spread_is_wider_than_the_band() {
    let narrow = with("loadout field: fits main at 50 mm aft [plan]")
        .replace("band 50..64 mm aft best 57", "band 56..58 mm aft best 57");
    let ways = ways(&narrow, "field");
    assert!(ways.iter().all(|way| way.edits.is_empty()), "{:?}", said(&ways));
}

#[test]
fn a_move_that_the_slide_stops_says_so_and_where_best_would_be() {
    let text = with("loadout field: fits main at 50 mm aft [plan]")
        .replace("slides 40 mm ahead..60", "slides 20 mm aft..60");
    let ways = ways(&text, "field");
    let says = &ways[0].says;
    assert!(says.contains("to 20 mm aft, the end of its slide"), "{says}");
    assert!(says.ends_with("57 mm aft, the best place, would need it at 10 mm aft"));
    assert_inside(&carried_out(&text, &ways[0]), "field", (50.0, 64.0));
}

#[test]
fn a_slide_that_ends_too_early_is_said_without_an_edit_and_last() {
    let text = with("loadout field: fits main at 50 mm aft [plan]")
        .replace("slides 40 mm ahead..60", "slides 36 mm aft..60");
    let ways = ways(&text, "field");
    let last = ways.last().unwrap();
    assert!(last.says.starts_with("main alone does not reach: its slide ends at 36 mm"));
    assert!(last.edits.is_empty() && !ways[0].edits.is_empty(), "{:?}", said(&ways));
}

#[test]
fn lead_is_bounded_by_the_room_in_its_bay() {
    let text = with("loadout field: fits main at 50 mm aft [plan]");
    let little = text.replace("most 60 g", "most 30 g");
    let way = ways(&little, "field").into_iter().find(|way| way.says.starts_with("add"));
    let says = way.unwrap().says;
    assert!(says.contains("add 30 g") && says.contains("all that the bay leaves room"));
    let none = text.replace("most 60 g", "most 10 g");
    let ways = ways(&none, "field");
    let last = ways.last().unwrap();
    assert!(last.says.contains("would need 48 g at 110 mm ahead"), "{}", last.says);
    assert!(last.says.ends_with("the bay leaves room for 10 g") && last.edits.is_empty());
}

#[test]
fn lead_leaves_the_spread_of_the_mass_below_the_limit() {
    let text = with("loadout field: fits main at 50 mm aft [plan]; mass-limit 720 g");
    let ways = ways(&text, "field");
    let lead: Vec<&str> =
        said(&ways).into_iter().filter(|way| way.starts_with("add")).collect();
    assert!(lead[0].contains("add 25 g of lead"), "{lead:?}");
    let room = "all that the mass limit leaves room for: 715 g in all (mass limit 720 g)";
    assert!(lead[0].contains(room), "{lead:?}");
}

#[test]
fn lead_that_is_there_already_is_counted_and_can_be_taken_out() {
    let behind =
        with("loadout field: fits main at 50 mm aft [plan]; ballast nose 20 g [plan]");
    let more = ways(&behind, "field");
    let more = more.iter().find(|way| way.says.starts_with("add")).unwrap();
    assert!(more.says.starts_with("add 28 g of lead in bay nose"), "{}", more.says);
    assert!(carried_out(&behind, more).contains("ballast nose 48 g [plan]"));
    let ahead =
        with("loadout field: fits main at 30 mm aft [plan]; ballast nose 60 g [plan]");
    let less = ways(&ahead, "field");
    let less = less.iter().find(|way| way.says.starts_with("take")).unwrap();
    assert!(less.says.starts_with("take 37 g of lead out of bay nose"), "{}", less.says);
    assert!(less.says.contains("leaving 23 g"), "{}", less.says);
    assert_inside(&carried_out(&ahead, less), "field", (50.0, 64.0));
}

#[test]
fn taking_all_the_lead_out_leaves_its_line_to_the_builder() {
    let text =
        with("loadout field: fits main at 10 mm aft [plan]; ballast nose 40 g [plan]");
    let ways = ways(&text, "field");
    let all = ways.iter().find(|way| way.says.starts_with("take all 40 g")).unwrap();
    assert!(all.says.contains("balances at 56.8 mm aft"), "{}", all.says);
    assert!(all.edits.is_empty());
}

#[test]
fn what_somebody_has_measured_or_weighed_is_never_rewritten() {
    let text = with(
        "loadout field: fits main at 50 mm aft [measured]; ballast nose 5 g [weighed]",
    );
    let ways = ways(&text, "field");
    assert!(said(&ways).iter().any(|way| way.starts_with("slide main")));
    assert!(ways.iter().all(|way| way.edits.is_empty()), "{:?}", said(&ways));
}

#[test]
fn a_place_of_the_part_itself_is_changed_for_one_loadout_only() {
    let text = "\
wing [plan]
    band 50..64 mm aft best 57 mm aft
part airframe: mass 400 g [weighed]; at 70 mm aft [measured]
part tray: mass 200 g [weighed]; at 60 mm aft [plan]; slides 40 mm ahead..60 mm aft [plan]
loadout near: band 60..70 mm aft best 65 mm aft [plan]
loadout far: note \"nothing but the tray\"
";
    let ways = ways(text, "far");
    let after = carried_out(text, &ways[0]);
    assert!(after.contains("note \"nothing but the tray\"; places tray at "), "{after}");
    assert_inside(&after, "far", (50.0, 64.0));
    assert_eq!(corners(text, "near"), corners(&after, "near"));
}

#[test]
fn a_pack_without_a_place_gets_one_behind_its_name() {
    let text = with("loadout field: fits main; mass-limit 2 kg")
        .replace("    slides", "    at 50 mm aft [plan]\n    slides");
    let after = carried_out(&text, &ways(&text, "field")[0]);
    assert!(after.contains("fits main at 10 mm aft [plan]; mass-limit"), "{after}");
    assert_inside(&after, "field", (50.0, 64.0));
}

#[test]
fn both_of_a_pair_slide_together() {
    let text = "\
wing [plan]
    band 50..64 mm aft best 57 mm aft
part airframe: mass 400 g [weighed]; at 70 mm aft [measured]
part cells: pair; mass 100 g each [weighed]; slides 40 mm ahead..60 mm aft [plan]
    at 60 mm aft 90 mm out [plan]
";
    let ways = ways(text, "as listed");
    assert!(ways[0].says.starts_with("slide cells "), "{}", ways[0].says);
    let after = carried_out(text, &ways[0]);
    assert!(after.contains(" aft 90 mm out [plan]"), "{after}");
    assert_inside(&after, "as listed", (50.0, 64.0));
}

#[test]
fn a_part_of_the_band_that_is_kept_spare_is_kept_by_remedies() {
    let text = with("loadout field: fits main at 50 mm aft [plan]");
    let facts = facts(&text);
    let field = loadout(&facts, "field");
    let band = facts.of(&field, "band").unwrap();
    let spare = Quantity::new(3.0, &Unit::read("mm").unwrap());
    let inner = facts.narrowed(&band, &spare).unwrap();
    let ways = facts.ways_into(&field, &inner).unwrap();
    assert_eq!(ways.len(), 2, "{:?}", said(&ways));
    for way in &ways {
        assert_inside(&carried_out(&text, way), "field", (53.0, 61.0));
    }
}

#[test]
fn inches_and_ounces_stay_what_the_builder_writes() {
    let text = "\
wing [plan]
    band 2..2.5 in aft best 2.25 in aft
bay nose [measured]
    ballast at 4.3 in ahead most 2 oz
part airframe: mass 14 oz [weighed]; at 4.7 in aft [measured]
part motor: mass 3.2 oz [weighed]; at 4.7 in ahead [measured]
pack main: mass 7 oz [weighed]; slides 1.6 in ahead..2.4 in aft [plan]
loadout field: fits main at 2 in aft [plan]
";
    let ways = ways(text, "field");
    assert!(ways.iter().any(|way| way.says.contains(" oz of lead")), "{:?}", said(&ways));
    for way in &ways {
        assert!(!way.says.contains("mm"), "{}", way.says);
        assert_inside(&carried_out(text, way), "field", (50.8, 63.5));
    }
}

#[test]
fn a_shorter_slide_keeps_every_corner_inside_with_its_spread() {
    let text = with("loadout field: fits main");
    let stops = stops(&text, "field");
    let after = carried_out(&text, &stops[0]);
    assert!(after.contains("slides 8 mm ahead..30 mm aft [plan]"), "{after}");
    assert_inside(&after, "field", (50.0, 64.0));
}

#[test]
fn where_no_one_stop_serves_it_is_said_which_serves_what() {
    let text = with(
        "part camera: mass 60 g [weighed]; at 80 mm ahead [measured]; optional\n\
         loadout field: fits main",
    );
    let stops = stops(&text, "field");
    let says = &stops[0].says;
    assert!(says.starts_with("no one place of main serves them all"), "{says}");
    assert!(says.contains("without camera only from 8 mm ahead to 30 mm aft"), "{says}");
    assert!(says.contains("with camera only from 31 mm aft to 60 mm aft"), "{says}");
    assert!(stops[0].edits.is_empty());
}

#[test]
fn a_slide_is_not_rewritten_under_a_loadout_that_lies_beyond_it() {
    let text =
        with("loadout field: fits main\nloadout far: fits main at 55 mm aft [plan]");
    let stops = stops(&text, "field");
    assert!(stops[0].says.starts_with("fit stops"), "{:?}", said(&stops));
    assert!(stops[0].edits.is_empty());
}

#[test]
fn the_stretch_of_a_slide_that_was_measured_is_advice_only() {
    let text = with("loadout field: fits main")
        .replace("60 mm aft [plan]", "60 mm aft [measured]");
    let stops = stops(&text, "field");
    assert!(stops[0].edits.is_empty(), "{:?}", said(&stops));
}

/// The ends of a computed range in whole millimetres aft, if there is one.
fn range(text: &str, about: &str, name: &str) -> Option<(f64, f64)> {
    let facts = facts(text);
    let lists = ["loadouts", "packs"].map(|list| facts.of(&facts.whole(), list).unwrap());
    let mut entries = lists.into_iter().flat_map(|list| {
        let What::List(all) = list.what else { panic!("a list was expected") };
        all.to_vec()
    });
    let about = entries.find(|one| one.name == about).unwrap();
    let What::Range(from, to) = facts.of(&about, name).ok()?.what else {
        panic!("a range was expected")
    };
    Some(((from.si() * 1000.0).round(), (to.si() * 1000.0).round()))
}

#[test]
fn the_range_of_a_pack_is_every_place_that_keeps_the_whole_spread_inside() {
    let at = |place: i32| {
        let side = if place < 0 { "ahead" } else { "aft" };
        with(&format!("loadout field: fits main at {} mm {side} [plan]", place.abs()))
    };
    let (from, to) = range(&at(0), "field", "pack_range").unwrap();
    assert_eq!((from, to), (-8.0, 29.0));
    for place in -40..=60 {
        let is_in = corners(&at(place), "field")
            .iter()
            .all(|(x, spread)| 50.0 < x - spread && x + spread < 64.0);
        assert_eq!(is_in, (from..=to).contains(&f64::from(place)), "{place} mm aft");
    }
}

#[test]
fn a_pack_that_two_loadouts_fit_has_what_their_ranges_have_in_common() {
    let camera = |mass: u8| {
        with(&format!(
            "part camera: mass {mass} g [weighed]; at 80 mm ahead [measured]; optional\n\
             loadout field: fits main at 10 mm aft [plan]; without camera\n\
             loadout photo: fits main at 40 mm aft [plan]; with camera"
        ))
    };
    let text = camera(30);
    let (field, photo) =
        (range(&text, "field", "pack_range"), range(&text, "photo", "pack_range"));
    let ((_, to), (from, _)) = (field.unwrap(), photo.unwrap());
    assert!(from < to, "{from} to {to}");
    assert_eq!(range(&text, "main", "common_range"), Some((from, to)));
    assert_eq!(range(&camera(60), "main", "common_range"), None);
}

fn saving(text: &str) -> Vec<Remedy> {
    let facts = facts(text);
    let field = loadout(&facts, "field");
    facts.ways_to_save_lead(&field).unwrap()
}

#[test]
fn a_move_that_spares_all_lead_goes_no_further_than_it_must() {
    let text = with(
        "loadout field: fits main at 30 mm aft [plan]\n    \
         ballast nose 20 g [plan] fixed \"bolted\"",
    );
    let ways = saving(&text);
    // 20 g × (110 + 57.7) mm = 200 g × 16.8 mm
    assert!(
        ways[0]
            .says
            .starts_with("slide main 17 mm ahead, to 13 mm aft and take all 20 g"),
        "{:?}",
        said(&ways)
    );
}

#[test]
fn a_pack_that_lies_where_two_loadouts_share_it_stays_there() {
    let text = with(
        "part camera: mass 60 g [weighed]; at 80 mm ahead [measured]; optional\n\
         loadout field: fits main at 35 mm aft [plan]; without camera\n    \
         ballast nose 20 g [plan] fixed \"bolted\" removable yes\n\
         loadout photo: fits main at 35 mm aft [plan]; with camera",
    );
    assert!(saving(&text).is_empty(), "{:?}", said(&saving(&text)));
    let alone =
        text.replace("35 mm aft [plan]; with camera", "45 mm aft [plan]; with camera");
    assert_eq!(saving(&alone).len(), 1);
}

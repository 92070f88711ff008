//! What was worked out for each loadout: the answer that comes before any rule.
//!
//! A dozen lines already give a balance and its bounds. Nothing here is a verdict: the
//! limits that the spec states stand beside the numbers, and that is all.

use trimsheet_facts::model::Entry;
use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::{Facts, Known, NotKnown, What};
use trimsheet_source::{Figures, Label, Measured};

/// The figures of every loadout whose masses and places are known.
pub(crate) fn figures(facts: &Facts) -> Vec<Figures> {
    let loadouts = facts.of_word("loadout").map(|(id, _)| facts.known_entry(id));
    loadouts.filter_map(|loadout| of_loadout(facts, &loadout).ok()).collect()
}

fn of_loadout(facts: &Facts, loadout: &Known) -> Result<Figures, NotKnown> {
    let mut numbers = Vec::new();
    let mass = facts.of(loadout, "mass")?;
    let is_open = matches!(facts.of(loadout, "is_open")?.what, What::Flag(true));
    let mut says = format!("\"{}\" weighs ", loadout.name);
    says.push_str(if is_open { "at most " } else { "" });
    says.push_str(&spread(&mass));
    numbers.extend(mass.measured());
    if is_open {
        let (foremost, aftmost) =
            (facts.of(loadout, "foremost")?, facts.of(loadout, "aftmost")?);
        let ends = [("from", foremost), ("to", aftmost)];
        says.push_str(", balances");
        for (word, corner) in ends {
            let (x, way) = (facts.of(&corner, "x")?, facts.of(&corner, "says")?);
            says.push_str(&format!(" {word} {} ({way})", spread(&x)));
            numbers.extend(x.measured());
        }
    } else {
        let balance = facts.of(loadout, "balance")?;
        says.push_str(&format!(", balances at {}", spread(&facts.of(&balance, "x")?)));
        numbers.extend(axes(facts, &balance));
    }
    for (name, words) in [("chord_share", " of the mean chord"), ("wing_loading", "")] {
        if let Ok(number) = facts.of(loadout, name) {
            says.push_str(&format!(", {number}{words}"));
            numbers.extend(number.measured());
        }
    }
    if let Ok(band) = facts.of(loadout, "band") {
        says.push_str(&format!("; its band is {band}"));
    }
    let title = loadout.entry().and_then(|id| facts.build.entry(id)).map(Entry::title);
    let span = loadout.span.ok_or_else(|| NotKnown::no_such("no place"))?;
    let about = Label::new(span, title.unwrap_or_default());
    Ok(Figures { about, says, numbers })
}

/// The balance point on three axes, and the inertias about it.
fn axes(facts: &Facts, balance: &Known) -> Vec<Measured> {
    let names = ["x", "y", "z", "roll_inertia", "pitch_inertia", "yaw_inertia"];
    let known = names.iter().filter_map(|name| facts.of(balance, name).ok());
    known.filter_map(|one| one.measured()).collect()
}

fn spread(known: &Known) -> String {
    known.quantity().map_or_else(|| known.to_string(), Quantity::with_spread)
}

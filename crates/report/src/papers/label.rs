//! The label for the hatch: what has to be looked up with the hatch open.

use trimsheet_facts::Facts;
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Date, EntryId};

use super::{Kind, Paper, Section, asked, list, texts};
use crate::throws::{Rate, Surface, Throws};

/// Makes the label of an aircraft: loadouts, balance, throws and alarms.
pub fn label(facts: &Facts, sources: &Sources, printed: Option<Date>) -> Paper {
    let loadouts = facts.of_word("loadout").map(|(id, entry)| (id, entry.name.clone()));
    let loadouts: Vec<(EntryId, String)> = loadouts.collect();
    let balance = bands(facts, &loadouts);
    let loadouts = loadouts.into_iter().map(|(id, name)| (name, loadout(facts, id)));
    let throws = Throws::new(facts, sources);
    let throws = throws
        .surfaces
        .iter()
        .flat_map(|surface| surface.rates.iter().map(move |rate| throw(surface, rate)));
    let alarms = facts.of_word("setting").map(|(id, _)| id).collect::<Vec<EntryId>>();
    let alarms = alarms.into_iter().flat_map(|id| list(facts, id, "alarms"));
    let alarms = alarms.map(|alarm| {
        let volts = asked(facts, &alarm, "volts").unwrap_or_else(|| "?".to_owned());
        (alarm.to_string(), volts)
    });
    let sections = vec![
        section("loadouts", loadouts.collect()),
        section("balance", or_none(balance)),
        section("throws", or_none(throws.collect())),
        section("alarms", or_none(alarms.collect())),
    ];
    Paper::new(Kind::Label, facts, sources, printed, sections)
}

fn section(title: &str, lines: Vec<(String, String)>) -> Section {
    Section { title: title.to_owned(), lines }
}

/// That nothing is stated is said: a gap would read as if there were nothing to know.
fn or_none(lines: Vec<(String, String)>) -> Vec<(String, String)> {
    match lines.is_empty() {
        true => vec![(String::new(), "the spec states none".to_owned())],
        false => lines,
    }
}

/// Where the pack lies, and what is aboard.
fn loadout(facts: &Facts, id: EntryId) -> String {
    let mut says = Vec::new();
    for pack in list(facts, id, "fits") {
        let at = asked(facts, &pack, "at").map(|at| format!(" at {at}"));
        says.push(format!("{pack}{}", at.unwrap_or_default()));
    }
    let entry = facts.build.entry(id);
    for word in ["with", "without"] {
        let parts = entry.into_iter().flat_map(|entry| texts(entry, word));
        let parts: Vec<&str> = parts.collect();
        says.extend((!parts.is_empty()).then(|| format!("{word} {}", parts.join(", "))));
    }
    for lead in list(facts, id, "ballasts") {
        let mass = asked(facts, &lead, "mass").map(|mass| format!(", {mass}"));
        says.push(format!("lead in {lead}{}", mass.unwrap_or_default()));
    }
    says.join("; ")
}

/// Where each loadout is to balance; one line where that is the same for all.
fn bands(facts: &Facts, loadouts: &[(EntryId, String)]) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for (id, name) in loadouts {
        let Ok(band) = facts.of(&facts.known_entry(*id), "band") else { continue };
        let best = asked(facts, &band, "best").map(|best| format!(", best {best}"));
        all.push((name.clone(), format!("{band}{}", best.unwrap_or_default())));
    }
    let is_one = all.len() == loadouts.len() && all.windows(2).all(is_same);
    match all.first() {
        Some((_, says)) if is_one => vec![("in every loadout".to_owned(), says.clone())],
        Some(_) | None => all,
    }
}

fn is_same(two: &[(String, String)]) -> bool {
    two.first().map(|(_, says)| says) == two.last().map(|(_, says)| says)
}

/// How far a surface goes at a rate.
fn throw(surface: &Surface, rate: &Rate) -> (String, String) {
    let ways: Vec<String> = rate
        .ways
        .iter()
        .map(|way| format!("{} {}", way.stated.0.magnitude(), way.way))
        .collect();
    let at = rate.at.as_ref().map(|at| format!(" at {at}"));
    let from = match (&surface.reflex, rate.from.as_str()) {
        (Some(reflex), "reflex") => format!("reflex ({})", reflex.stated.0),
        _ => "flat".to_owned(),
    };
    let says = format!("{}{} from {from}", ways.join(", "), at.unwrap_or_default());
    (format!("{} {}", surface.name, rate.name), says)
}

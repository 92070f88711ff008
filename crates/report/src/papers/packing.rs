//! The packing list: what goes to the field.

use trimsheet_facts::Facts;
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Date, Entry, EntryId, Value};

use super::{Kind, Paper, Section, list, texts};

/// Makes the packing list of an aircraft: what each loadout takes, tools and papers.
pub fn packing(facts: &Facts, sources: &Sources, printed: Option<Date>) -> Paper {
    let loadouts = facts.of_word("loadout").map(|(id, entry)| (id, entry.name.clone()));
    let loadouts: Vec<(EntryId, String)> = loadouts.collect();
    let mut sections = vec![plain("model", model(facts))];
    for (id, name) in loadouts {
        sections.push(plain(&format!("for {name}"), taken(facts, id)));
    }
    sections.push(plain("tools", tools(facts)));
    sections.push(plain("papers", papers(facts)));
    // Common practice, no source.
    let always = [
        "transmitter, charged",
        "meter",
        "tape, a knife, spare propeller",
        "a box that does not burn, for a pack that was hurt",
        "first-aid kit, water, eye cover",
        "telephone, charged, and where to send help",
    ];
    sections.push(plain("always", always.map(str::to_owned).into()));
    Paper::new(Kind::Packing, facts, sources, printed, sections)
}

fn plain(title: &str, lines: Vec<String>) -> Section {
    let lines = lines.into_iter().map(|says| (String::new(), says)).collect();
    Section { title: title.to_owned(), lines }
}

/// What comes off for the way there.
fn model(facts: &Facts) -> Vec<String> {
    let mut lines = vec!["the model, hatches shut".to_owned()];
    for (_, wing) in facts.of_word("wing") {
        let panels: Vec<&str> = texts(wing, "panels").collect();
        if !panels.is_empty() {
            lines.push(panels.join(", "));
        }
        lines.extend(texts(wing, "fastened").map(|by| format!("for the panels: {by}")));
    }
    lines
}

/// What a loadout takes that is not always aboard.
fn taken(facts: &Facts, id: EntryId) -> Vec<String> {
    let packs = list(facts, id, "fits").into_iter().map(|pack| pack.to_string());
    let entry = facts.build.entry(id);
    let parts = entry.into_iter().flat_map(|entry| texts(entry, "with"));
    let leads = list(facts, id, "ballasts");
    let leads = leads.into_iter().map(|lead| format!("lead for {lead}"));
    packs.chain(parts.map(str::to_owned)).chain(leads).collect()
}

/// A tool for each sort of fastener: which one it is, the spec does not say.
fn tools(facts: &Facts) -> Vec<String> {
    let tool = |(_, entry): (EntryId, &Entry)| {
        let held: Vec<&str> = texts(entry, "holds").collect();
        let held = if held.is_empty() {
            String::new()
        } else {
            format!(" ({})", held.join(", "))
        };
        format!("the tool for {}{held}", entry.name)
    };
    facts.of_word("fastener").map(tool).collect()
}

/// What somebody may ask to see.
fn papers(facts: &Facts) -> Vec<String> {
    let mut lines = vec!["cards: field, first-flight, after".to_owned()];
    let models = facts.of_word("model").chain(facts.of_word("part"));
    for (_, entry) in models {
        for fact in entry.all("relies-on") {
            let rule = fact.slot("rule").and_then(Value::text).unwrap_or("?");
            let looked = fact.slot("date").and_then(Value::date);
            let looked = looked.map(|day| format!(", looked up {day}"));
            let line = format!("{}: {rule}{}", entry.name, looked.unwrap_or_default());
            lines.push(line);
        }
    }
    lines
}

//! As built: where a model departs from its reference, for its designer to read.
//!
//! What both say alike is left out. Masses and balances that follow stand beside each
//! other for each loadout of the same name.

use trimsheet_facts::model::source::Sources;
use trimsheet_facts::{Facts, Known, What};
use trimsheet_output::clean::visible;
use trimsheet_output::wrap::rows;

use crate::csv::harmless;

/// A model beside the reference that it follows.
#[derive(Clone, Debug, PartialEq)]
pub struct AsBuilt {
    /// The file of the model.
    pub file: String,
    /// What the model is called, with its revision.
    pub model: String,
    /// What it follows, as it says.
    pub follows: String,
    /// What differs, by entry, in the order of the spec.
    pub entries: Vec<Differing>,
    /// What follows of that for each loadout that both have.
    pub results: Vec<String>,
}

/// An entry that is not as in the reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Differing {
    /// The entry, as in `pack main`.
    pub of: String,
    /// Each fact that differs.
    pub facts: Vec<Fact>,
}

/// A fact that is not as in the reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Its word; empty where the whole entry stands only in one of the two.
    pub word: String,
    /// What the reference says, if it says something.
    pub reference: Option<String>,
    /// What was built, if it says something.
    pub built: Option<String>,
    /// The line of the spec, from 1.
    pub line: Option<usize>,
}

impl AsBuilt {
    /// Compares a model with its reference; none where it follows no spec.
    pub fn new(facts: &Facts, sources: &Sources) -> Option<AsBuilt> {
        let reference = facts.reference()?;
        let (_, model) = facts.build.of_word("model").next()?;
        let text = |word: &str| {
            let first = model.fact(word).and_then(|fact| fact.first());
            first.and_then(|value| value.text()).unwrap_or("").to_owned()
        };
        let mut entries: Vec<Differing> = Vec::new();
        for one in facts.departures() {
            let line = one.span.map(|span| sources.place(span).line);
            let word = one.fact.map_or(String::new(), str::to_owned);
            let fact = Fact { word, reference: one.reference, built: one.built, line };
            match entries.iter_mut().find(|known| known.of == one.of) {
                Some(known) => known.facts.push(fact),
                None => entries.push(Differing { of: one.of, facts: vec![fact] }),
            }
        }
        let title = match (text("title"), text("revision")) {
            (title, revision) if title.is_empty() => format!("{} {revision}", model.name),
            (title, revision) => format!("{title} {revision}"),
        };
        Some(AsBuilt {
            file: sources.path(model.span().file).to_owned(),
            model: title.trim().to_owned(),
            follows: text("follows"),
            entries,
            results: results(facts, reference),
        })
    }
}

/// Mass and balance of each loadout, beside those of the reference.
fn results(facts: &Facts, reference: &Facts) -> Vec<String> {
    let mut all = Vec::new();
    for (id, loadout) in facts.of_word("loadout") {
        let theirs = reference.of_word("loadout").find(|(_, it)| it.name == loadout.name);
        let Some((other, _)) = theirs else { continue };
        let (own, theirs) = (facts.known_entry(id), reference.known_entry(other));
        let mass = beside(
            "mass",
            &asked(facts, &own, &["mass"]),
            &asked(reference, &theirs, &["mass"]),
        );
        let place = ["balance", "x"];
        let balance = beside(
            "balance",
            &asked(facts, &own, &place),
            &asked(reference, &theirs, &place),
        );
        all.push(format!("\"{}\": {mass}; {balance}", loadout.name));
    }
    all
}

fn beside(what: &str, built: &str, reference: &str) -> String {
    if built == reference {
        return format!("{what} {built}, as in the reference");
    }
    format!("{what} {built} (reference {reference})")
}

/// What facts say, or that they cannot.
fn asked(facts: &Facts, of: &Known, names: &[&str]) -> String {
    let mut known = of.clone();
    for name in names {
        match facts.of(&known, name) {
            Ok(next) => known = next,
            Err(why) => return format!("not known, because {}", why.says),
        }
    }
    if let What::Quantity(quantity) = &known.what {
        quantity.with_spread()
    } else {
        known.to_string()
    }
}

/// Writes it for a person, within so many columns.
pub fn text(built: &AsBuilt, width: usize) -> String {
    let width = width.clamp(50, 100);
    let mut out = format!(
        "{} as built, beside {}\n",
        visible(&built.model),
        visible(&built.follows)
    );
    let count: usize = built.entries.iter().map(|one| one.facts.len()).sum();
    out += &match count {
        0 => "nothing differs\n".to_owned(),
        1 => "1 fact differs\n".to_owned(),
        count => format!("{count} facts differ\n"),
    };
    for entry in &built.entries {
        out += &format!("\n{}\n", visible(&entry.of));
        for Fact { word, reference, built: own, line } in &entry.facts {
            let line = line.map_or(String::new(), |line| format!("  (line {line})"));
            let says = match (word.is_empty(), reference, own) {
                (true, None, _) => format!("only here{line}"),
                (true, Some(_), _) => "only in the reference".to_owned(),
                (false, reference, own) => {
                    let said = |text: &Option<String>| {
                        text.as_deref().map_or("not said".to_owned(), visible)
                    };
                    format!("{word}: {}; reference: {}{line}", said(own), said(reference))
                }
            };
            for (at, row) in rows(&says, width - 2, width - 4).into_iter().enumerate() {
                out += &format!("{}{row}\n", if at == 0 { "  " } else { "    " });
            }
        }
    }
    if !built.results.is_empty() {
        out += "\nworked out\n";
    }
    for says in &built.results {
        for (at, row) in
            rows(&visible(says), width - 2, width - 4).into_iter().enumerate()
        {
            out += &format!("{}{row}\n", if at == 0 { "  " } else { "    " });
        }
    }
    out
}

/// Writes it as comma-separated values: a row for each fact that differs.
pub fn csv(built: &AsBuilt) -> String {
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    let heads = ["entry", "fact", "reference", "built", "line"].map(str::to_owned);
    let rows = built.entries.iter().flat_map(|entry| {
        entry.facts.iter().map(|Fact { word, reference, built: own, line }| {
            let said = |text: &Option<String>| harmless(text.as_deref().unwrap_or(""));
            let line = line.map_or(String::new(), |line| line.to_string());
            [harmless(&entry.of), word.clone(), said(reference), said(own), line]
        })
    });
    for row in std::iter::once(heads).chain(rows) {
        // Writing to memory does not fail, and every row has the same columns.
        let _ = writer.write_record(&row);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

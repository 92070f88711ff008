//! Facts that rule packs add to the vocabulary, under their own name.
//!
//! A pack says of each fact what the table says of the built-in ones, and how it is
//! written in the notation of the published reference: `by latch|bolt  [since DATE]`.
//! From then on it is read, checked, suggested and reached by rules like any other.
//!
//! Rows are kept for as long as the program runs, each distinct one once: everything
//! that was read points at the row of its word, and packs are few.

use std::collections::{BTreeMap, HashMap};
use std::sync::{LazyLock, Mutex, PoisonError};

use trimsheet_quantity::{Axis, Dimension, Side};

use super::{Need, Row, Slot, Takes, entry_words, fact, facts, source, table};
use crate::Stage;

/// The words of the language, and those that packs declare.
#[derive(Clone, Debug, Default)]
pub struct Vocabulary {
    declared: Vec<&'static Row>,
}

/// What a pack says of a fact that it adds.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Declared {
    /// The word in a spec, the pack's name before it: `elm-hill.held`.
    pub word: String,
    /// The entries that may say it.
    pub of: Vec<String>,
    /// What follows the word, as the reference writes it: `by latch|bolt  [since DATE]`.
    pub form: String,
    /// What it means, in a sentence.
    pub says: String,
    /// One line that shows it, without its entry.
    pub example: String,
    /// The stage from which an entry that says it must know it.
    pub since: Option<Stage>,
    /// Whether one entry may say it more than once.
    pub often: bool,
    /// Whether a copy for others leaves it out.
    pub private: bool,
}

impl Vocabulary {
    /// The same words and some more.
    #[must_use]
    pub fn with(mut self, rows: impl IntoIterator<Item = &'static Row>) -> Vocabulary {
        self.declared.extend(rows);
        self
    }

    /// The facts that packs declare.
    pub fn declared(&self) -> &[&'static Row] {
        &self.declared
    }

    /// The row of a fact about an entry, by the word of a spec.
    pub fn fact(&self, entry: &str, word: &str) -> Option<&'static Row> {
        let declared = || self.of(entry).find(|row| row.word == word);
        fact(entry, word).or_else(declared)
    }

    /// The row of a fact about an entry, by the name that rules use.
    pub fn fact_called(&self, entry: &str, name: &str) -> Option<&'static Row> {
        let built_in = CALLED.get(name).into_iter().flatten();
        let declared = self.declared.iter().filter(|row| rule_name(row) == name);
        built_in.chain(declared).copied().find(|row| row.fits(entry))
    }

    /// Every fact that an entry may say.
    pub fn facts<'a>(
        &'a self,
        entry: &'a str,
    ) -> impl Iterator<Item = &'static Row> + 'a {
        facts(entry).chain(self.of(entry))
    }

    /// The entries that know a fact of this word.
    pub(crate) fn owners(&self, word: &str) -> Vec<&'static str> {
        let rows = table::rows().chain(self.declared.iter().copied());
        let mut owners = Vec::new();
        for row in rows.filter(|row| row.word == word) {
            for owner in row.within.iter().filter_map(|within| within.split(' ').next()) {
                if owner != super::SOURCE && !owners.contains(&owner) {
                    owners.push(owner);
                }
            }
        }
        owners
    }

    fn of<'a>(&'a self, entry: &'a str) -> impl Iterator<Item = &'static Row> + 'a {
        self.declared.iter().copied().filter(move |row| row.fits(entry))
    }
}

/// The built-in facts by the names that rules use: they ask for thousands in one check.
static CALLED: LazyLock<HashMap<String, Vec<&Row>>> = LazyLock::new(|| {
    let mut called: HashMap<String, Vec<&Row>> = HashMap::new();
    for row in table::rows() {
        called.entry(rule_name(row)).or_default().push(row);
    }
    called
});

/// What rules call a fact: its word with underscores, in the plural where it may be said
/// often, as `throws`; `sends` stays as it is.
pub fn rule_name(row: &Row) -> String {
    let name = row.word.replace(['-', '.'], "_");
    if row.often && !name.ends_with('s') { format!("{name}s") } else { name }
}

impl Declared {
    /// The row of the fact.
    ///
    /// # Errors
    /// What of it cannot be: an entry that there is not, a form that means nothing.
    pub fn row(&self) -> Result<&'static Row, String> {
        static KEPT: Mutex<BTreeMap<Declared, &'static Row>> =
            Mutex::new(BTreeMap::new());
        let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(row) = kept.get(self) {
            return Ok(row);
        }
        let row: &'static Row = Box::leak(Box::new(self.made()?));
        kept.insert(self.clone(), row);
        Ok(row)
    }

    fn made(&self) -> Result<Row, String> {
        let of = self.of.iter().map(|entry| entry_word(entry));
        let within: Vec<&'static str> = of.collect::<Result<_, _>>()?;
        if within.is_empty() {
            return Err("expected the entries that may say it, found none".into());
        }
        Ok(Row {
            word: keep(&self.word),
            within: within.leak(),
            slots: slots(&self.form)?.leak(),
            often: self.often,
            private: self.private,
            since: self.since,
            says: keep(&self.says),
            example: keep(&self.example),
        })
    }
}

fn entry_word(word: &str) -> Result<&'static str, String> {
    entry_words().find(|known| *known == word).ok_or_else(|| {
        let near = trimsheet_source::nearest(word, entry_words());
        let hint =
            near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
        format!("expected a word that opens an entry, found `{word}`{hint}")
    })
}

/// The slots that a form writes: one without a word before it, then those that are led.
fn slots(form: &str) -> Result<Vec<Slot>, String> {
    let spaced = form.replace('[', " [ ").replace(']', " ] ");
    let mut words = spaced.split_whitespace().peekable();
    let mut slots: Vec<Slot> = Vec::new();
    let mut need = Need::Must;
    while let Some(word) = words.next() {
        match (word, need) {
            ("[", Need::Must) => need = Need::May,
            ("]", Need::May) => need = Need::Must,
            ("[" | "]", _) => return Err("its brackets do not close in pairs".into()),
            _ => {
                let led = is_leader(word);
                let takes_word = if led { words.next().unwrap_or("") } else { word };
                let sides = words.next_if(|next| is_sides(next));
                let takes = takes(takes_word, sides)?;
                if !led && !slots.is_empty() {
                    return Err(format!(
                        "expected a word of its own before `{takes_word}`, which is not the first"
                    ));
                }
                let name = if led { keep(word) } else { "value" };
                if slots.iter().any(|slot| slot.name == name) {
                    return Err(format!("`{name}` stands in it twice"));
                }
                slots.push(Slot { name, led, takes, need });
            }
        }
    }
    if need == Need::May {
        Err("its brackets do not close in pairs".into())
    } else {
        Ok(slots)
    }
}

/// Whether a word leads what follows it: lower case, and no choice between words.
fn is_leader(word: &str) -> bool {
    let is_plain = |letter: char| {
        letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-'
    };
    word.starts_with(|letter: char| letter.is_ascii_lowercase())
        && word.chars().all(is_plain)
}

fn is_sides(word: &str) -> bool {
    word.split('|').all(|side| Side::ALL.iter().any(|known| known.word() == side))
}

fn takes(word: &str, sides: Option<&str>) -> Result<Takes, String> {
    let (low, range) = match word.split_once("..") {
        Some((low, high)) if low == high => (low, true),
        Some(_) => return Err(format!("expected the same at both ends of `{word}`")),
        None => (word, false),
    };
    if let Some(dimension) = super::reference::dimension_in_capitals(low) {
        if let Some(whole) = sides.and_then(whole_axes) {
            return Err(format!(
                "expected both sides, `{whole}`, since a spec may say either"
            ));
        }
        let one = |dimension| -> &'static [Dimension] { vec![dimension].leak() };
        return Ok(match (range, sides) {
            (false, None) => Takes::Quantity(one(dimension)),
            (false, Some(sides)) => Takes::Sided(one(dimension), axes(sides)),
            (true, None) => Takes::Range(dimension),
            (true, Some(sides)) => Takes::SidedRange(dimension, axes(sides)),
        });
    }
    let takes = match word {
        "QUANTITY" => Takes::Quantity(&[]),
        "PLACE" => Takes::Place,
        "SIZE" => Takes::Size,
        "COUNT" => Takes::Count,
        "NAME" => Takes::Name,
        "\"TEXT\"" => Takes::Text,
        "DATE" => Takes::Date,
        choice if choice.starts_with(|letter: char| letter.is_ascii_lowercase()) => {
            let words: Vec<&'static str> = choice.split('|').map(keep).collect();
            if !words.iter().all(|word| is_leader(word)) {
                return Err(format!(
                    "expected plain words in lower case, found `{choice}`"
                ));
            }
            Takes::Word(words.leak())
        }
        "" => return Err("expected something behind its last word".into()),
        entries => {
            let words = entries.split('|').map(|entry| entry_word(&entry.to_lowercase()));
            let words: Vec<&'static str> = words.collect::<Result<_, _>>().map_err(|_| {
                format!("`{entries}` is nothing that a fact can take; the reference shows what is")
            })?;
            Takes::Reference(words.leak())
        }
    };
    match sides {
        Some(sides) => {
            Err(format!("`{sides}` can follow a dimension only, such as LENGTH"))
        }
        None => Ok(takes),
    }
}

/// The sides with those that lie across from them, where some of those are missing.
fn whole_axes(sides: &str) -> Option<String> {
    let axes = axes(sides);
    let whole: Vec<&str> = Side::ALL
        .iter()
        .filter(|side| axes.contains(&side.axis()))
        .map(|side| side.word())
        .collect();
    let is_whole = whole.iter().all(|word| sides.split('|').any(|side| side == *word));
    (!is_whole).then(|| whole.join("|"))
}

fn axes(sides: &str) -> &'static [Axis] {
    let mut axes: Vec<Axis> = Vec::new();
    for side in Side::ALL.iter().filter(|side| sides.split('|').any(|s| s == side.word()))
    {
        if !axes.contains(&side.axis()) {
            axes.push(side.axis());
        }
    }
    axes.leak()
}

fn keep(text: &str) -> &'static str {
    text.to_owned().leak()
}

/// Whether a word could be taken for a unit, a side or another mark of the language.
pub fn is_taken(word: &str) -> bool {
    trimsheet_quantity::Unit::read(word).is_some()
        || Side::ALL.iter().any(|side| side.word() == word)
        || matches!(word, "about" | "x")
        || source(word).is_some()
}

/// The dimension of a quantity, as the forms of the reference write it.
pub(crate) fn known_dimensions() -> impl Iterator<Item = Dimension> {
    trimsheet_quantity::UNITS.iter().map(|unit| unit.dimension)
}

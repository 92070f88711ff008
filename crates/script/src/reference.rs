//! The published reference of rules, made from what is registered and from the tables.
//!
//! Entries, facts, what follows from them, functions, units and bounds come from where
//! the engine takes them, so that the page cannot go stale. What no table holds stands
//! as prose in [`prose`]. Every example on the page is one of [`examples`], or one of the
//! blocks that `prose` holds, and a test runs them all.

pub mod prose;

use trimsheet_rules::facts::computed::{
    CROWDING, Computed, OF_VALUES, Property, computed,
};
use trimsheet_rules::facts::gives::{Asked, Field, Gives, asked, beside, rule_name};
use trimsheet_rules::facts::model::Stage;
use trimsheet_rules::facts::model::quantity::{UNITS as ALL_UNITS, Unit};
use trimsheet_rules::facts::model::vocabulary::reference::{code, table};
use trimsheet_rules::facts::model::vocabulary::{self, Row, Vocabulary};
use trimsheet_rules::source::Level;

use crate::functions::{DOCUMENTED, Documented, LANGUAGE, MOST_FINDINGS, UNITS};
use crate::operators::OPERATORS;
use crate::{bounds, sandbox};

/// The text of the reference, in Markdown.
pub fn page() -> String {
    let mut page = String::from(prose::START);
    page += &format!("\n```rhai\n{}```\n", prose::SCRIPT);
    page += prose::CONSTANTS;
    page += &levels();
    page += prose::CHECK;
    page += prose::UNKNOWN;
    page += &functions();
    page += &build();
    page += prose::ENTRIES;
    for word in vocabulary::entry_words() {
        page += &entry(word);
    }
    page += &values();
    page += &records();
    page += &units();
    page += &bounds();
    page += prose::MISTAKES;
    page += prose::PAGE;
    page += &format!("\n````markdown\n{}````\n", prose::EXAMPLE_PAGE);
    page += prose::STEPS;
    page += prose::PACKS;
    page
}

/// An example of the page: what a rule is about, and a body of its `check` that uses it.
#[derive(Clone, Debug)]
pub struct Example {
    /// What the rule is about; the first value of `check` goes by this name.
    pub about: String,
    /// The body.
    pub body: String,
    /// What of it stands on the page.
    pub shown: String,
}

/// Every example that stands in a table of the page.
pub fn examples() -> Vec<Example> {
    let asked = computed().map(|row| row.example);
    let asked = asked.chain(OF_VALUES.iter().map(|one| one.example)).map(|shown| {
        let about = shown.split('.').next().unwrap_or(shown).to_owned();
        let body = format!("finding({about}, `${{{shown}}}`);");
        Example { about, body, shown: shown.to_owned() }
    });
    let called = DOCUMENTED.iter().chain(LANGUAGE).chain(OPERATORS).map(|one| Example {
        about: "loadout".to_owned(),
        body: one.example.to_owned(),
        shown: one.example.to_owned(),
    });
    let units = ALL_UNITS.iter().map(|unit| {
        let shown = format!("quantity(\"12 {}\")", unit.word);
        let body = format!("let number = {shown};");
        Example { about: "loadout".to_owned(), body, shown }
    });
    let short = UNITS.iter().map(|word| {
        let shown = format!("12.{word}");
        let body = format!("let number = {shown};");
        Example { about: "loadout".to_owned(), body, shown }
    });
    asked.chain(called).chain(units).chain(short).collect()
}

fn levels() -> String {
    let levels =
        Level::ALL.map(|level| vec![code(level.word()), prose::level(level).into()]);
    let stages =
        Stage::ALL.map(|stage| vec![code(stage.word()), prose::stage(stage).into()]);
    [
        table(&["stage", "the build"], stages),
        table(&["level", "what it asks for"], levels),
    ]
    .concat()
}

fn functions() -> String {
    let heads = ["form", "what it does", "example"];
    let rows = |all: &[Documented]| {
        let rows = all.iter().map(|one| {
            vec![in_code(one.form), one.says.to_owned(), in_code(one.example)]
        });
        table(&heads, rows)
    };
    [
        prose::FUNCTIONS,
        &rows(DOCUMENTED),
        prose::OPERATORS,
        &rows(OPERATORS),
        prose::LISTS,
        &rows(LANGUAGE),
    ]
    .concat()
}

/// Code that may hold a backtick itself.
fn in_code(text: &str) -> String {
    if text.contains('`') { format!("`` {text} ``") } else { code(text) }
}

fn build() -> String {
    let of_build = computed().filter(|row| row.on == "build").map(computed_row);
    let entries = vocabulary::entry_words().filter_map(vocabulary::entry).map(|row| {
        let one = row.word.replace('-', "_");
        vec![
            code(&format!("build.{one}")),
            code(&format!("build.{one}s")),
            row.says.into(),
        ]
    });
    [
        prose::BUILD,
        &table(&ASKED, of_build),
        prose::BUILD_ENTRIES,
        &table(&["the first", "a list of all", "what it is"], entries),
    ]
    .concat()
}

const ASKED: [&str; 4] = ["asked as", "comes as", "what it means", "example"];

fn computed_row(row: &Computed) -> Vec<String> {
    vec![
        code(&format!("{}.{}", if row.on == "*" { "part" } else { row.on }, row.name)),
        row.gives.says(),
        row.says.into(),
        code(row.example),
    ]
}

/// What can be asked of one entry: what follows from it, then what the builder writes.
fn entry(word: &str) -> String {
    let Some(row) = vocabulary::entry(word) else { return String::new() };
    let mut out = format!("\n### `{word}`\n\n{}\n", row.says);
    let computed: Vec<_> =
        computed().filter(|row| row.on == word).map(computed_row).collect();
    if !computed.is_empty() {
        out += &table(&ASKED, computed.clone());
    }
    let facts = vocabulary::facts(word);
    let facts: Vec<_> = facts.filter_map(|row| fact_row(word, row)).collect();
    if computed.is_empty() && facts.is_empty() {
        out += prose::NOTHING;
    }
    if !facts.is_empty() {
        let heads =
            ["asked as", "comes as", "what the builder says with it", "and of that"];
        out += &table(&heads, facts);
    }
    out
}

/// Words of facts that the script language keeps for itself.
const TAKEN: [&str; 3] = ["throw", "until", "with"];

/// How something of a value is asked for by its name: behind a point, or in brackets
/// where the script language has another use for the word.
pub fn asked_behind(name: &str) -> String {
    if TAKEN.contains(&name) { format!("[\"{name}\"]") } else { format!(".{name}") }
}

fn fact_row(word: &str, row: &'static Row) -> Option<Vec<String>> {
    let name = rule_name(row);
    let found = asked(&Vocabulary::default(), word, &name)?;
    // A row of the same word may stand before this one; a computed fact certainly does.
    let is_own =
        matches!(found, Asked::Said(own) | Asked::AllSaid(own) if std::ptr::eq(own, row));
    let slots = row.slots.iter().skip(1).filter_map(|slot| {
        let name = slot.name.replace('-', "_");
        let (slot, many) = beside(row, &name)?;
        let of = Gives::slot(slot);
        let says = if many { format!("a list, each {}", of.says()) } else { of.says() };
        Some(format!("{} {says}", code(&asked_behind(&name))))
    });
    let slots: Vec<String> = slots.collect();
    is_own.then(|| {
        vec![
            code(&format!("{word}{}", asked_behind(&name))),
            found.says(),
            row.says.into(),
            slots.join("; "),
        ]
    })
}

fn values() -> String {
    let of = |on: &str| {
        let rows = OF_VALUES.iter().filter(|one| one.on == on).map(|one: &Property| {
            vec![
                code(&format!(".{}", one.name)),
                one.gives.says(),
                one.says.into(),
                code(one.example),
            ]
        });
        table(&ASKED, rows)
    };
    let every = computed().filter(|row| row.on == "*").map(computed_row);
    let mut out = format!("{}{}", prose::EVERY_ENTRY, table(&ASKED, every));
    out += prose::VALUES;
    out += &of("value");
    for (on, says) in prose::KINDS {
        out += &format!("\n### {says}\n");
        out += &of(on);
    }
    out
}

/// Every record, once, by where it comes from.
fn records() -> String {
    let mut out = String::from(prose::RECORDS);
    let mut seen: Vec<&[Field]> = Vec::new();
    for row in computed() {
        if let Some(fields) = fields(row.gives).filter(|fields| !seen.contains(fields)) {
            seen.push(fields);
            let same = computed().filter(|one| self::fields(one.gives) == Some(fields));
            let from = same.map(|one| code(&format!("{}.{}", one.on, one.name)));
            out += &record(&from.collect::<Vec<_>>().join(", "), fields);
        }
    }
    if let Some(fields) = fields(CROWDING) {
        out += &record(&code("loadout.crowding(clearance)"), fields);
    }
    out
}

fn fields(gives: Gives) -> Option<&'static [Field]> {
    if let Gives::Record(fields) = gives {
        return Some(fields);
    }
    if let Gives::List(of) = gives { fields(*of) } else { None }
}

fn record(from: &str, fields: &[Field]) -> String {
    let mut rows = Vec::new();
    for field in fields {
        rows.push(vec![
            code(&asked_behind(field.name)),
            field.gives.says(),
            field.says.into(),
        ]);
        for inner in self::fields(field.gives).into_iter().flatten() {
            let name = code(&format!(
                "{}[0]{}",
                asked_behind(field.name),
                asked_behind(inner.name)
            ));
            rows.push(vec![name, inner.gives.says(), inner.says.into()]);
        }
    }
    let heads = ["asked as", "comes as", "what it means"];
    format!("\n### {}\n{}", from.replace("*.", "part."), table(&heads, rows))
}

fn units() -> String {
    let rows = ALL_UNITS.iter().map(|unit| {
        let word = if unit.word == "%" { "percent" } else { unit.word };
        let short = UNITS.contains(&word).then(|| code(&format!("12.{word}")));
        let long = code(&format!("quantity(\"12 {}\")", unit.word));
        vec![unit.says.into(), unit.dimension.says(), short.unwrap_or_default(), long]
    });
    let has_row =
        |word: &str| ALL_UNITS.iter().any(|unit| unit.word == word) || word == "percent";
    let joined = UNITS.iter().filter(|word| !has_row(word)).map(|word| {
        let measures = Unit::read(word).map(|unit| unit.dimension().says());
        let long = code(&format!("quantity(\"12 {word}\")"));
        let short = code(&format!("12.{word}"));
        vec!["joined of others".into(), measures.unwrap_or_default(), short, long]
    });
    let rows = rows.chain(joined);
    let heads = ["unit", "measures", "in short", "as a text"];
    [prose::UNITS, &table(&heads, rows)].concat()
}

fn bounds() -> String {
    let row = |what: &str, most: String| vec![what.to_owned(), most];
    let rows = [
        row("bytes of a script", sandbox::SCRIPT.to_string()),
        row("steps of one call of `check`", bounds::OPERATIONS.to_string()),
        row("findings of one call", MOST_FINDINGS.to_string()),
        row(
            "functions that call each other, one within the other",
            bounds::CALLS.to_string(),
        ),
        row("brackets and operators within each other", bounds::EXPRESSION.to_string()),
        row("bytes of a text", bounds::TEXT.to_string()),
        row("things in a list, with the lists inside it", bounds::LIST.to_string()),
        row("names in a map", bounds::MAP.to_string()),
        row("names made by `let` at one time", bounds::NAMES.to_string()),
        row("functions of a script", bounds::FUNCTIONS.to_string()),
    ];
    [prose::BOUNDS, &table(&["what", "at most"], rows)].concat()
}

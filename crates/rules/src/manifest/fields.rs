//! The fields of a table of `pack.toml`, each read as what it must be, at its place.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};
use trimsheet_facts::model::Date;
use trimsheet_facts::model::quantity::{Quantity, Unit, read_number};
use trimsheet_source::{FileId, Finding, Level, Span, is_hidden, nearest};

/// A value with its place.
#[derive(Clone, Debug)]
pub(super) struct Said<T> {
    pub(super) value: T,
    pub(super) span: Span,
}

/// One table, and which of its fields have been asked for.
pub(super) struct Fields<'a> {
    table: DeTable<'a>,
    /// What stands for the table: its first line.
    pub(super) span: Span,
    known: RefCell<BTreeSet<&'static str>>,
}

/// The longest text that a field may hold, in characters.
const LONGEST: usize = 2_000;

/// That `pack.toml` is not clear somewhere.
pub(super) fn unclear(span: Span, says: impl Into<String>) -> Finding {
    Finding::new("rules/pack-unclear", Level::Error, span, says)
}

impl<'a> Fields<'a> {
    /// Reads the text of a whole file.
    pub(super) fn read(
        text: &'a str,
        file: FileId,
        findings: &mut Vec<Finding>,
    ) -> Fields<'a> {
        let (table, errors) = DeTable::parse_recoverable(text);
        let first = Span { file, start: 0, end: text.lines().next().map_or(0, str::len) };
        for error in errors {
            let span = error.span().map_or(first, |range| within(file, range));
            let says = error.message().trim_end().replace('\n', ", ");
            findings.push(unclear(span, format!("this does not read as TOML: {says}")));
        }
        Fields { table: table.into_inner(), span: first, known: RefCell::default() }
    }

    fn value(&self, key: &'static str) -> Option<(&DeValue<'a>, Span)> {
        self.known.borrow_mut().insert(key);
        let (_, value) = self.table.iter().find(|(name, _)| name.as_ref() == key)?;
        Some((value.get_ref(), within(self.span.file, value.span())))
    }

    fn must(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<(&DeValue<'a>, Span)> {
        let found = self.value(key);
        if found.is_none() {
            findings
                .push(unclear(self.span, format!("expected `{key}` here, found none")));
        }
        found
    }

    /// Whether a field is there, be it what it must be or not.
    pub(super) fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// A text that must be there.
    pub(super) fn text(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Said<String>> {
        self.must(key, findings)?;
        self.optional_text(key, findings)
    }

    /// A text that may be there.
    pub(super) fn optional_text(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Said<String>> {
        let (value, span) = self.value(key)?;
        let text = value.as_str().filter(|text| !text.trim().is_empty());
        if let Some(count) =
            text.map(|text| text.chars().count()).filter(|c| *c > LONGEST)
        {
            let says = format!(
                "expected a text of at most {LONGEST} characters for `{key}`, found one of {count}"
            );
            findings.push(unclear(span, says));
            return None;
        }
        // It is shown wherever the pack is named, as plain text on one line.
        let is_plain = text.is_none_or(|text| !text.chars().any(is_hidden));
        let wanted = match is_plain {
            true => "a text that says something",
            false => "a text on one line, without hidden characters",
        };
        let text = text.filter(|_| is_plain);
        let text = expected(text, wanted, key, value, span, findings)?;
        Some(Said { value: text.to_owned(), span })
    }

    /// One of some words, which must be there.
    pub(super) fn word(
        &self,
        key: &'static str,
        words: &[&'static str],
        findings: &mut Vec<Finding>,
    ) -> Option<&'static str> {
        self.must(key, findings)?;
        self.optional_word(key, words, findings)
    }

    /// One of some words, which may be there.
    pub(super) fn optional_word(
        &self,
        key: &'static str,
        words: &[&'static str],
        findings: &mut Vec<Finding>,
    ) -> Option<&'static str> {
        let (value, span) = self.value(key)?;
        let found =
            value.as_str().and_then(|text| words.iter().find(|word| **word == text));
        let wanted = format!("one of {}", words.join(", "));
        expected(found.copied(), &wanted, key, value, span, findings)
    }

    /// A list of texts that must be there.
    pub(super) fn texts(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Said<Vec<String>>> {
        let (value, span) = self.must(key, findings)?;
        let list = value.as_array().and_then(|list| {
            let texts = list.iter().map(|one| one.get_ref().as_str().map(str::to_owned));
            texts.collect::<Option<Vec<String>>>()
        });
        let list = expected(list, "a list of texts", key, value, span, findings)?;
        Some(Said { value: list, span })
    }

    /// Yes or no; no where it is not said.
    pub(super) fn flag(&self, key: &'static str, findings: &mut Vec<Finding>) -> bool {
        let Some((value, span)) = self.value(key) else { return false };
        let flag = expected(value.as_bool(), "true or false", key, value, span, findings);
        flag.unwrap_or(false)
    }

    /// A number with its unit, as text, which must be there.
    pub(super) fn quantity(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Said<Quantity>> {
        let (value, span) = self.must(key, findings)?;
        let quantity = value.as_str().and_then(quantity);
        let wanted = "a number with its unit as text, such as \"12 mm\"";
        let quantity = expected(quantity, wanted, key, value, span, findings)?;
        Some(Said { value: quantity, span })
    }

    /// A day that may be there.
    pub(super) fn optional_date(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Date> {
        let (value, span) = self.value(key)?;
        let text = match (value.as_datetime(), value.as_str()) {
            (Some(date), _) => date.to_string(),
            (None, text) => text.unwrap_or("").to_owned(),
        };
        let date = text.parse().ok();
        expected(date, "a day, such as 2027-03-01", key, value, span, findings)
    }

    /// The tables of a list, as in `[[set]]`.
    pub(super) fn tables(
        &self,
        key: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Vec<Fields<'a>> {
        let Some((value, span)) = self.value(key) else { return Vec::new() };
        let tables = value.as_array().and_then(|list| {
            let tables = list.iter().map(|one| {
                let table = one.get_ref().as_table()?.clone();
                let span = within(self.span.file, one.span());
                Some(Fields { table, span, known: RefCell::default() })
            });
            tables.collect::<Option<Vec<_>>>()
        });
        let wanted = format!("tables that each begin with [[{key}]]");
        expected(tables, &wanted, key, value, span, findings).unwrap_or_default()
    }

    /// Says of each field that nobody asked for that it means nothing here.
    pub(super) fn rest(&self, findings: &mut Vec<Finding>) {
        let known = self.known.borrow();
        for (name, _) in &self.table {
            if known.contains(name.as_ref().as_ref()) {
                continue;
            }
            let near = nearest(name.as_ref(), known.iter().copied());
            let hint =
                near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
            let span = within(self.span.file, name.span());
            let says = format!("nothing is called `{}` here{hint}", name.as_ref());
            findings.push(unclear(span, says));
        }
    }
}

/// The value, or a finding that something else was found.
fn expected<T>(
    value: Option<T>,
    wanted: &str,
    key: &str,
    found: &DeValue<'_>,
    span: Span,
    findings: &mut Vec<Finding>,
) -> Option<T> {
    if value.is_none() {
        let found = match found.as_str() {
            Some(text) => format!("\"{text}\""),
            None => format!("{} {}", article(found.type_str()), found.type_str()),
        };
        findings
            .push(unclear(span, format!("expected {wanted} for `{key}`, found {found}")));
    }
    value
}

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'i', 'o']) { "an" } else { "a" }
}

fn within(file: FileId, range: Range<usize>) -> Span {
    Span { file, start: range.start, end: range.end }
}

/// Reads `80 mm` or `12 %`.
pub(crate) fn quantity(text: &str) -> Option<Quantity> {
    let text = text.trim();
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '/')))?;
    let (number, unit) = text.split_at_checked(end)?;
    Some(Quantity::new(read_number(number)?, &Unit::read(unit.trim())?))
}

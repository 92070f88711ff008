//! Texts that give something away about a person: how to write, call or visit them.
//!
//! Only the look of a text is judged. A comment is no text of the spec, and what stands on
//! a photograph nobody sees here.

use std::collections::BTreeSet;

use trimsheet_model::{Fact, Kind, Value};

use crate::facts::Facts;
use crate::known::{Known, record, words};

/// Facts whose texts are made of digits and tell nothing of anybody.
const ONLY_DIGITS: [&str; 2] = ["sha-256", "port"];

/// The fewest digits of a telephone number. Common practice, no source.
const DIGITS_OF_A_NUMBER: usize = 8;

/// The digits behind the point from which a place is one on the globe: four are some
/// 10 m of latitude, of which a degree has 111 km.
const DIGITS_OF_A_PLACE: usize = 4;

impl Facts {
    /// The texts that look as though they tell how to reach somebody.
    pub(crate) fn private_texts(&self) -> Vec<Known> {
        let mut found = Vec::new();
        let mut seen = BTreeSet::new();
        for (id, entry) in self.build.aboard() {
            // What a record rests on stands in the spec, and is looked at there.
            if matches!(entry.row.word, "rests" | "seal" | "known") {
                continue;
            }
            for fact in std::iter::once(&entry.head).chain(&entry.facts) {
                if ONLY_DIGITS.contains(&fact.row.word) {
                    continue;
                }
                self.note(id, fact.row.word);
                for (value, text, holds) in private_in(fact) {
                    // What came by `like`, and both halves of a pair, stand in one line.
                    if !seen.insert(value.span) {
                        continue;
                    }
                    let fields = vec![
                        ("text", words(text, value.span)),
                        ("holds", words(holds, value.span)),
                    ];
                    found.push(record(fields, "private_text", value.span));
                }
            }
        }
        found
    }
}

/// The texts of a fact that give something away, and what that looks like.
pub fn private_in(fact: &Fact) -> impl Iterator<Item = (&Value, &str, &'static str)> {
    let values = fact.values.iter().filter(|_| !ONLY_DIGITS.contains(&fact.row.word));
    values.filter_map(|(_, value)| {
        let Kind::Text(text) = &value.kind else { return None };
        Some((value, text.as_str(), given_away(text)?))
    })
}

/// What a text looks like, if it gives something away.
pub fn given_away(text: &str) -> Option<&'static str> {
    if text.split_whitespace().any(is_mail) {
        Some("an address of mail")
    } else if decimals(text) >= 2 {
        Some("a place on the globe")
    } else if is_number(text) {
        Some("a telephone number")
    } else {
        None
    }
}

/// `somebody@somewhere.land`
fn is_mail(word: &str) -> bool {
    let Some((name, place)) = word.split_once('@') else { return false };
    let place = place.trim_end_matches(|c: char| !c.is_alphanumeric());
    name.ends_with(char::is_alphanumeric)
        && place.split_once('.').is_some_and(|(a, b)| !a.is_empty() && !b.is_empty())
}

/// How many numbers of a text have as many decimals as a place on the globe.
fn decimals(text: &str) -> usize {
    let numbers = text.split(|c: char| !c.is_ascii_digit() && c != '.');
    let is_fine = |number: &&str| {
        number.split_once('.').is_some_and(|(whole, behind)| {
            (1..=3).contains(&whole.len())
                && behind.len() >= DIGITS_OF_A_PLACE
                && !behind.contains('.')
        })
    };
    numbers.filter(is_fine).count()
}

/// Whether a run of digits is long enough, and begins as a number that is dialled does.
fn is_number(text: &str) -> bool {
    let joins = |c: char| matches!(c, ' ' | '-' | '/' | '(' | ')');
    let runs = text.split(|c: char| !c.is_ascii_digit() && c != '+' && !joins(c));
    let is_dialled = |run: &str| {
        let run: String = run.chars().filter(|c| !joins(*c)).collect();
        let begins = run.starts_with('+') || run.starts_with('0');
        begins && run.chars().filter(char::is_ascii_digit).count() >= DIGITS_OF_A_NUMBER
    };
    runs.into_iter().any(is_dialled)
}

#[cfg(test)]
mod tests {
    use super::given_away;

    #[test]
    fn what_looks_like_a_way_to_somebody_is_found() {
        for (text, holds) in [
            ("write to rt@club.example, please", "an address of mail"),
            ("if found: +00 151 / 234 567", "a telephone number"),
            ("call 0151-2345678", "a telephone number"),
            ("home at 12.34567, -45.6789", "a place on the globe"),
        ] {
            assert_eq!(given_away(text), Some(holds), "{text}");
        }
    }

    #[test]
    fn what_only_has_digits_in_it_is_left_alone() {
        for text in [
            "photos/whinchat-2026-10-03-001.jpg",
            "settings/board.txt",
            "licence-free band plan of our country, 433 MHz, 10 mW",
            "sheets 1 to 4, 2026-10-11",
            "held @ the tail",
            "0.3456 of it",
            "",
        ] {
            assert_eq!(given_away(text), None, "{text}");
        }
    }
}

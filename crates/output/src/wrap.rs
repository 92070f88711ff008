//! Breaking a sentence into rows.

use crate::clean;

/// The rows of a text, the first within `first` columns and the others within `rest`.
///
/// Rows break at spaces, but never between a number and what it counts, nor behind `±`,
/// so that a value stays beside its unit and its spread beside its sign. A word that is wider than a row is cut.
pub fn rows(text: &str, first: usize, rest: usize) -> Vec<String> {
    let mut rows = Vec::new();
    let mut row = String::new();
    for word in words(text) {
        let room = if rows.is_empty() { first } else { rest };
        let gap = usize::from(!row.is_empty());
        if clean::width(&row) + gap + clean::width(word) <= room {
            row.extend((gap == 1).then_some(' '));
            row.push_str(word);
            continue;
        }
        if !row.is_empty() {
            rows.push(std::mem::take(&mut row));
        }
        row = cut(word, rest, &mut rows);
    }
    rows.push(row);
    rows
}

/// Puts a word that is wider than a row into rows of its own, and returns its end.
fn cut(word: &str, room: usize, rows: &mut Vec<String>) -> String {
    let mut row = String::new();
    let mut used = 0;
    for character in word.chars() {
        let columns = clean::columns(character);
        if room < used + columns && !row.is_empty() {
            rows.push(std::mem::take(&mut row));
            used = 0;
        }
        row.push(character);
        used += columns;
    }
    row
}

/// The pieces between which a row may end.
fn words(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let text = rest?;
        let end = text
            .match_indices(' ')
            .map(|(at, _)| at)
            .find(|at| !holds_on(text.get(..*at).unwrap_or("")));
        let (word, behind) = match end {
            Some(at) => (text.get(..at)?, text.get(at + 1..)),
            None => (text, None),
        };
        rest = behind;
        Some(word)
    })
}

/// Whether a text belongs together with what stands behind it.
fn holds_on(text: &str) -> bool {
    text.ends_with(|last: char| last.is_ascii_digit() || last == '±')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_break_at_spaces_and_keep_within_their_columns() {
        assert_eq!(rows("weigh the wiring next", 12, 9), ["weigh the", "wiring", "next"]);
        assert_eq!(rows("", 12, 9), [""]);
    }

    #[test]
    fn a_number_stays_beside_its_unit() {
        assert_eq!(rows("slide it 36 mm aft", 12, 12), ["slide it", "36 mm aft"]);
    }

    #[test]
    fn a_word_that_is_wider_than_a_row_is_cut() {
        assert_eq!(rows("a bbbbbbb c", 3, 3), ["a", "bbb", "bbb", "b c"]);
    }
}

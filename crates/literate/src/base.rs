//! Which entries of a base an example leaves standing.
//!
//! Entries are told apart by their text alone: a line that begins in column 1 opens
//! one, and its word and name are its first two words. A mark such as `:`, a source and
//! a number are no names, so `wing [plan]` goes by its word; so does `model`, because a
//! file has one. What such a line means is not known here.

use crate::SpecLine;

/// Some lines of a base that belong together, each with its number from 1.
pub(crate) type Entry<'a> = Vec<(usize, &'a str)>;

/// The entries of a base that the example does not replace, in order.
///
/// What stands before the first entry, such as a comment, counts as one that stays.
pub(crate) fn kept<'a>(base: &'a str, example: &[SpecLine]) -> Vec<Entry<'a>> {
    let replaced: Vec<Vec<&str>> =
        example.iter().filter_map(|line| name(&line.text)).collect();
    let mut entries: Vec<Entry<'a>> = Vec::new();
    for line in (1..).zip(base.lines()) {
        match entries.last_mut() {
            Some(entry) if name(line.1).is_none() => entry.push(line),
            _ => entries.push(vec![line]),
        }
    }
    let head = |entry: &Entry<'a>| entry.first().and_then(|(_, text)| name(text));
    entries.retain(|entry| head(entry).is_none_or(|name| !replaced.contains(&name)));
    entries
}

/// The word and the name that an entry opens with, if the line opens one.
fn name(line: &str) -> Option<Vec<&str>> {
    let indented = line.starts_with(|c: char| c.is_whitespace() || c == '#');
    if indented || line.is_empty() {
        return None;
    }
    let head = line.split([':', ';', '#']).next().unwrap_or(line);
    let is_name = |word: &&str| word.starts_with(|c: char| c.is_alphabetic() || c == '"');
    let mut words = head.split_whitespace();
    let word = words.next()?;
    let name = words.next().filter(is_name).filter(|_| word != "model");
    Some([word].into_iter().chain(name).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(base: &str, example: &str) -> Vec<usize> {
        let example: Vec<SpecLine> =
            example.lines().map(|text| SpecLine { text: text.into(), line: 1 }).collect();
        kept(base, &example).concat().into_iter().map(|(line, _)| line).collect()
    }

    const BASE: &str =
        "# plain\nwing [plan]\n    band 1..2 mm aft\n\npart motor: mass 9 g\npart prop\n";

    #[test]
    fn an_entry_of_the_example_replaces_the_whole_entry_of_that_word_and_name() {
        assert_eq!(lines(BASE, "wing\n    mass-limit 3 g"), [1, 5, 6]);
        assert_eq!(lines(BASE, "part motor; mass 8 g\npart prop"), [1, 2, 3, 4]);
    }

    #[test]
    fn a_file_has_one_model_whatever_it_is_called() {
        assert_eq!(lines("model plain\npart a", "model kite"), [2]);
    }

    #[test]
    fn an_entry_of_another_name_replaces_nothing() {
        assert_eq!(
            lines(BASE, "part motors\npart\nwing left\n  part prop"),
            [1, 2, 3, 4, 5, 6]
        );
    }
}

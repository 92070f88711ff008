//! One line of a file, cut down to what fits and can be seen.
//!
//! ```text
//! the line    part pack: mass 210 g  ⟨ESC⟩[0m …a million more characters
//! the strip   …pack: mass 210 g  ␛[0m…
//! ```
//!
//! The drawing underlines bytes of the strip, so a strip knows where each byte of its
//! line has gone. The work depends on the room, not on the length of the line.

use std::ops::Range;

use crate::clean::{columns, push_visible};

/// Where the next column divisible by this is, a tab ends.
const TAB: usize = 4;

/// What is shown of one line.
pub(crate) struct Strip {
    /// The text, without tabs and hidden characters.
    pub(crate) text: String,
    /// Pairs of a byte of the line and the byte of the text where it is shown, rising.
    stops: Vec<(usize, usize)>,
}

impl Strip {
    /// Cuts a line to `room` columns, around `focus` where it has to be shortened.
    pub(crate) fn cut(line: &str, focus: &Range<usize>, room: usize) -> Strip {
        let window = window(line, focus, room);
        let mut strip = Strip { text: String::new(), stops: Vec::new() };
        let mut column = 0;
        if 0 < window.start {
            strip.stops.push((0, 0));
            strip.text.push('…');
            column = 1;
        }
        let shown = line.get(window.clone()).unwrap_or("");
        for (at, character) in shown.char_indices() {
            strip.stops.push((window.start + at, strip.text.len()));
            column += strip.show(character, column);
        }
        strip.stops.push((window.end, strip.text.len()));
        if window.end < line.len() {
            strip.text.push('…');
        }
        strip
    }

    /// Where a stretch of the line is in the text; what is cut off is at the ellipsis.
    pub(crate) fn shown(&self, stretch: &Range<usize>) -> Range<usize> {
        let behind = self.stops.partition_point(|(byte, _)| *byte <= stretch.start);
        let start = self.stops.get(behind.saturating_sub(1)).map_or(0, |stop| stop.1);
        let at = self.stops.partition_point(|(byte, _)| *byte < stretch.end);
        let end = self.stops.get(at).map_or(self.text.len(), |stop| stop.1);
        start..end.max(start)
    }

    /// Appends a character at a column and says how many columns it takes.
    fn show(&mut self, character: char, column: usize) -> usize {
        if character != '\t' {
            push_visible(&mut self.text, character);
            return columns(character);
        }
        let spaces = TAB - column % TAB;
        self.text.extend(std::iter::repeat_n(' ', spaces));
        spaces
    }
}

/// The bytes of a line that fit into `room` columns with an ellipsis at each cut end.
fn window(line: &str, focus: &Range<usize>, room: usize) -> Range<usize> {
    if fitting(line.chars(), room) == line.len() {
        return 0..line.len();
    }
    let room = room.saturating_sub(2);
    let (before, from) = (line.get(..focus.start), line.get(focus.start..));
    let (before, from) = (before.unwrap_or(line), from.unwrap_or(""));
    // A third of the room is for what leads up to the place, unless the stretch itself
    // needs it, or nothing much follows that could use the rest.
    let marked = line.get(focus.clone()).unwrap_or("");
    let marked = taken(marked, fitting(marked.chars(), room));
    let following = taken(from, fitting(from.chars(), room));
    let lead = (room / 3).min(room.saturating_sub(marked));
    let lead = lead.max(room.saturating_sub(following));
    let start = before.len() - fitting(before.chars().rev(), lead);
    let rest = line.get(start..).unwrap_or("");
    start..start + fitting(rest.chars(), room)
}

/// How many bytes of these characters fit into so many columns.
fn fitting(characters: impl Iterator<Item = char>, room: usize) -> usize {
    let mut used = 0;
    characters
        .take_while(|character| {
            used += most_columns(*character);
            used <= room
        })
        .map(char::len_utf8)
        .sum()
}

/// How many columns the first so many bytes of a text take.
fn taken(text: &str, bytes: usize) -> usize {
    text.get(..bytes).unwrap_or("").chars().map(most_columns).sum()
}

fn most_columns(character: char) -> usize {
    if character == '\t' { TAB } else { columns(character) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_fits_is_shown_whole_with_its_tabs_as_spaces() {
        let strip = Strip::cut("a\tb\u{1b}c", &(2..3), 40);
        assert_eq!(strip.text, "a   b␛c");
        assert_eq!(strip.text.get(strip.shown(&(2..3))), Some("b"));
        assert_eq!(strip.text.get(strip.shown(&(4..5))), Some("c"));
        assert_eq!(strip.shown(&(5..5)), 9..9);
    }

    #[test]
    fn a_long_line_is_cut_on_both_sides_of_the_place() {
        let line = format!("{}HERE{}", "a".repeat(500_000), "b".repeat(500_000));
        let strip = Strip::cut(&line, &(500_000..500_004), 20);
        assert_eq!(strip.text, "…aaaaaaHERE\u{62}bbbbbbb…");
        assert_eq!(strip.text.get(strip.shown(&(500_000..500_004))), Some("HERE"));
    }

    #[test]
    fn a_place_near_an_end_leaves_that_end_uncut() {
        let line = "abcdefghijklmnopqrstuvwxyz";
        assert_eq!(Strip::cut(line, &(1..2), 12).text, "abcdefghij…");
        assert_eq!(Strip::cut(line, &(26..26), 12).text, "…qrstuvwxyz");
    }

    #[test]
    fn what_is_cut_off_is_marked_at_the_ellipsis() {
        let line = "abcdefghijklmnopqrstuvwxyz";
        let strip = Strip::cut(line, &(12..14), 12);
        assert_eq!(strip.text, "…jklmnopqrs…");
        assert_eq!(strip.text.get(strip.shown(&(1..3))), Some("…"));
        assert_eq!(strip.text.get(strip.shown(&(24..26))), Some("…"));
        assert_eq!(strip.text.get(strip.shown(&(12..26))), Some("mnopqrs…"));
    }

    #[test]
    fn wide_characters_are_never_cut_in_two() {
        let line = "翼".repeat(300);
        let strip = Strip::cut(&line, &(300..303), 20);
        assert_eq!(strip.text, "…翼翼翼翼翼翼翼翼翼…");
    }
}

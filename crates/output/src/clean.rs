//! Text from a spec or a rule, made safe to show in a terminal.
//!
//! Such text may hold anything: sequences that move the cursor or recolour what was
//! printed before, or marks that reverse the order of letters so that a line reads
//! differently from what it says. They are shown as visible signs instead.

use std::fmt::Write as _;

use trimsheet_source::is_hidden;

/// The longest message that is shown in full, in characters.
const LONGEST_MESSAGE: usize = 2000;

/// A message on one line: line breaks become spaces, hidden characters become visible.
///
/// A message of more than 2000 characters ends in an ellipsis, because a name quoted
/// in it can be as long as its file.
pub fn visible(text: &str) -> String {
    let mut out = String::with_capacity(text.len().min(LONGEST_MESSAGE));
    for (at, character) in text.chars().enumerate() {
        if at == LONGEST_MESSAGE {
            out.push('…');
            break;
        }
        match character {
            '\n' | '\t' => out.push(' '),
            other => push_visible(&mut out, other),
        }
    }
    out
}

/// A text of several lines, each made fit to be shown; a tab becomes a space.
pub fn visible_lines(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let bare = line.strip_suffix('\n').unwrap_or(line);
        let bare = bare.strip_suffix('\r').unwrap_or(bare);
        out.push_str(&visible(bare));
        if line.ends_with('\n') {
            out.push('\n');
        }
    }
    out
}

/// Appends a character, or the sign that stands for one that cannot be seen.
pub(crate) fn push_visible(out: &mut String, character: char) {
    let code = u32::from(character);
    if !is_hidden(character) {
        out.push(character);
    } else if code < 0x20 {
        // Unicode has a picture for each of the first 32 control characters.
        out.extend(char::from_u32(0x2400 + code));
    } else if character == '\u{7f}' {
        out.push('␡');
    } else {
        // Writing to a string cannot fail.
        let _ = write!(out, "<U+{code:04X}>");
    }
}

/// How many columns a character takes when shown, rather too many than too few.
pub fn columns(character: char) -> usize {
    match character {
        hidden if is_hidden(hidden) => 8,
        '\u{1100}'..='\u{115f}' | '\u{2e80}'.. => 2,
        _ => 1,
    }
}

/// How many columns a text takes when shown, rather too many than too few.
pub fn width(text: &str) -> usize {
    text.chars().map(columns).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characters_that_act_on_a_terminal_become_signs() {
        assert_eq!(visible("a\u{1b}[31m\u{7}b"), "a␛[31m␇b");
        assert_eq!(visible("\u{7f}\u{9b}2J"), "␡<U+009B>2J");
        assert_eq!(visible("gear\u{202e}raeg"), "gear<U+202E>raeg");
    }

    #[test]
    fn a_message_stays_on_one_line() {
        assert_eq!(visible("one\ntwo\tthree\r"), "one two three␍");
    }

    #[test]
    fn a_text_keeps_its_lines() {
        assert_eq!(visible_lines("a\u{1b}[2J\r\n\n\tb\n"), "a␛[2J\n\n b\n");
        assert_eq!(visible_lines("a"), "a");
    }

    #[test]
    fn a_message_without_end_is_cut() {
        let long = "x".repeat(1_000_000);
        assert_eq!(visible(&long).chars().count(), LONGEST_MESSAGE + 1);
    }
}

//! What codespan draws with: its lines, with our words in the header, and wrapped.
//!
//! codespan has five fixed words for how serious something is, and writes messages as
//! long as they are. It tells its writer what each piece is for, so both are settled
//! here: what it writes as the header's word is replaced by ours, and a message between
//! [`START`] and [`END`] is broken into rows that keep the border and the pointers to
//! other labels on their left.
//!
//! ```text
//! 31 │     band  142..158 mm aft  [plan]
//!    │           ----------------  the band that was agreed on
//!    │                             when the wing was drawn
//! ```
//!
//! A line is held back until it ends, so it never has white space at its end.

use std::io::{self, Write};

use codespan_reporting::diagnostic::{LabelStyle, Severity};
use codespan_reporting::term::termcolor::{Color, ColorSpec, WriteColor};
use codespan_reporting::term::{Styles, WriteStyle};

use crate::{clean, wrap};

/// Stands before a message that may be wrapped. No shown text holds this character.
pub(crate) const START: char = '\u{2}';

/// Stands behind a message that may be wrapped. No shown text holds this character.
pub(crate) const END: char = '\u{3}';

/// How far the second row of a headline is indented.
const HANGING: usize = 4;

/// A label is wrapped in place if it has at least so many columns, else put further left.
const ROOMY: usize = 32;

/// What a character is for, and so which colour it has.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ink {
    Nothing,
    Name(Severity),
    Headline,
    Number,
    Bullet,
    Border,
    Label(Severity, LabelStyle),
}

/// A writer for codespan.
pub(crate) struct Pen<W> {
    out: W,
    styles: Styles,
    width: usize,
    /// What stands in the header instead of codespan's word.
    name: String,
    ink: Ink,
    /// What is written now is codespan's word for the severity.
    muted: bool,
    /// The line as far as it is written.
    line: Vec<(char, Ink)>,
    /// The message as far as it is written, while inside one.
    message: Option<String>,
}

impl<W: WriteColor> Pen<W> {
    /// A pen that keeps within so many columns where it can.
    pub(crate) fn new(out: W, width: usize) -> Pen<W> {
        Pen {
            out,
            styles: styles(),
            width,
            name: String::new(),
            ink: Ink::Nothing,
            muted: false,
            line: Vec::new(),
            message: None,
        }
    }

    /// Says what stands in the next header, as in `stop[balance/outside-band]`.
    pub(crate) fn name(&mut self, name: String) {
        self.name = name;
    }

    /// Writes an entry of its own: a coloured name, a colon, and a sentence.
    pub(crate) fn entry(&mut self, name: &str, sentence: &str) -> io::Result<()> {
        self.put(name, Ink::Name(Severity::Help));
        let colon = if name.is_empty() { "" } else { ": " };
        self.put(colon, Ink::Nothing);
        self.lay(sentence, HANGING)?;
        self.end_line()
    }

    /// Writes an empty line.
    pub(crate) fn gap(&mut self) -> io::Result<()> {
        self.end_line()
    }

    /// Gives back what was written to, after the last line.
    pub(crate) fn finish(mut self) -> io::Result<W> {
        if !self.line.is_empty() {
            self.end_line()?;
        }
        Ok(self.out)
    }

    fn put(&mut self, text: &str, ink: Ink) {
        self.line.extend(text.chars().map(|character| (character, ink)));
    }

    fn take(&mut self, character: char) -> io::Result<()> {
        match (character, &mut self.message) {
            (START, _) => self.message = Some(String::new()),
            (END, message) => {
                let text = message.take().unwrap_or_default();
                return self.message_ends(&text);
            }
            (_, Some(message)) => message.push(character),
            ('\n', None) => return self.end_line(),
            (_, None) => self.line.push((character, self.ink)),
        }
        Ok(())
    }

    fn message_ends(&mut self, text: &str) -> io::Result<()> {
        let at = self.line.len();
        let room = self.width.saturating_sub(at);
        let needed = clean::width(text);
        if needed <= room {
            self.put(text, self.ink);
            return Ok(());
        }
        if self.ink == Ink::Headline {
            return self.lay(text, HANGING);
        }
        if ROOMY <= room {
            return self.lay(text, at);
        }
        // The label stands too far to the right: its words go below it, as far to the
        // right as they fit.
        let border = self.line.iter().position(|(_, ink)| *ink == Ink::Border);
        let gutter = border.map_or(0, |border| border + 2);
        let indent = gutter.max(self.width.saturating_sub(needed));
        self.next_row(indent)?;
        self.lay(text, indent)
    }

    /// Writes a text from here on, its later rows indented.
    fn lay(&mut self, text: &str, indent: usize) -> io::Result<()> {
        let ink = self.ink;
        let first = self.width.saturating_sub(self.line.len());
        let rest = self.width.saturating_sub(indent);
        for (number, row) in wrap::rows(text, first, rest).iter().enumerate() {
            if 0 < number {
                self.next_row(indent)?;
            }
            self.put(row, ink);
        }
        Ok(())
    }

    /// Goes to the next line, with the border and the pointers of this one.
    fn next_row(&mut self, indent: usize) -> io::Result<()> {
        let mut kept = self.line.clone();
        kept.resize(indent, (' ', Ink::Nothing));
        for place in &mut kept {
            if place.0 != '│' || matches!(place.1, Ink::Name(_) | Ink::Nothing) {
                *place = (' ', Ink::Nothing);
            }
        }
        self.end_line()?;
        self.line = kept;
        Ok(())
    }

    fn end_line(&mut self) -> io::Result<()> {
        let line = std::mem::take(&mut self.line);
        let length = line.iter().rposition(|(character, _)| *character != ' ');
        let shown = length.and_then(|last| line.get(..=last)).unwrap_or(&[]);
        for run in shown.chunk_by(|left, right| left.1 == right.1) {
            self.write_run(run)?;
        }
        self.out.write_all(b"\n")
    }

    fn write_run(&mut self, run: &[(char, Ink)]) -> io::Result<()> {
        let text: String = run.iter().map(|(character, _)| character).collect();
        let ink = run.first().map_or(Ink::Nothing, |(_, ink)| *ink);
        match self.colour(ink).cloned() {
            Some(colour) if !text.trim().is_empty() => {
                self.out.set_color(&colour)?;
                self.out.write_all(text.as_bytes())?;
                self.out.reset()
            }
            Some(_) | None => self.out.write_all(text.as_bytes()),
        }
    }

    fn colour(&self, ink: Ink) -> Option<&ColorSpec> {
        match ink {
            Ink::Nothing => None,
            Ink::Name(severity) => Some(self.styles.header(severity)),
            Ink::Headline => Some(self.styles.header_message()),
            Ink::Number => Some(self.styles.line_number()),
            Ink::Bullet => Some(self.styles.note_bullet()),
            Ink::Border => Some(self.styles.source_border()),
            Ink::Label(severity, style) => Some(self.styles.label(severity, style)),
        }
    }
}

/// Our colours: codespan's, but the same on every system, and none of them dark blue.
fn styles() -> Styles {
    let mut quiet = ColorSpec::new();
    quiet.set_fg(Some(Color::Cyan));
    let mut error = ColorSpec::new();
    error.set_fg(Some(Color::Magenta));
    let mut error_name = error.clone();
    error_name.set_bold(true).set_intense(true);
    Styles {
        header_error: error_name,
        primary_label_error: error,
        secondary_label: quiet.clone(),
        line_number: quiet.clone(),
        source_border: quiet.clone(),
        note_bullet: quiet,
        ..Styles::default()
    }
}

impl<W: WriteColor> Write for Pen<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if !self.muted {
            for character in String::from_utf8_lossy(bytes).chars() {
                self.take(character)?;
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

impl<W: WriteColor> WriteStyle for Pen<W> {
    fn set_header(&mut self, severity: Severity) -> io::Result<()> {
        let name = std::mem::take(&mut self.name);
        self.put(&name, Ink::Name(severity));
        self.muted = true;
        Ok(())
    }

    fn set_header_message(&mut self) -> io::Result<()> {
        self.muted = false;
        self.ink = Ink::Headline;
        Ok(())
    }

    fn set_line_number(&mut self) -> io::Result<()> {
        self.ink = Ink::Number;
        Ok(())
    }

    fn set_note_bullet(&mut self) -> io::Result<()> {
        self.ink = Ink::Bullet;
        Ok(())
    }

    fn set_source_border(&mut self) -> io::Result<()> {
        self.ink = Ink::Border;
        Ok(())
    }

    fn set_label(&mut self, severity: Severity, style: LabelStyle) -> io::Result<()> {
        self.ink = Ink::Label(severity, style);
        Ok(())
    }

    fn reset(&mut self) -> io::Result<()> {
        self.ink = Ink::Nothing;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use codespan_reporting::term::termcolor::NoColor;

    use super::*;

    fn written(width: usize, draw: impl Fn(&mut Pen<NoColor<Vec<u8>>>)) -> String {
        let mut pen = Pen::new(NoColor::new(Vec::new()), width);
        draw(&mut pen);
        String::from_utf8(pen.finish().unwrap().into_inner()).unwrap()
    }

    #[test]
    fn the_word_in_the_header_is_ours() {
        let text = written(40, |pen| {
            pen.name("stop[a/b]".into());
            pen.set_header(Severity::Bug).unwrap();
            write!(pen, "bug").unwrap();
            write!(pen, "[x]").unwrap();
            pen.set_header_message().unwrap();
            writeln!(pen, ": {START}it balances too far back, by 36 mm{END}").unwrap();
        });
        assert_eq!(text, "stop[a/b]: it balances too far back, by\n    36 mm\n");
    }

    #[test]
    fn a_wrapped_label_keeps_the_border_and_other_pointers() {
        let text = written(40, |pen| {
            pen.set_label(Severity::Error, LabelStyle::Secondary).unwrap();
            write!(pen, "  │ │ {START}weigh the wiring and then the receiver{END}")
                .unwrap();
        });
        assert_eq!(text, "  │ │ weigh the wiring and then the\n  │ │ receiver\n");
    }

    #[test]
    fn a_label_far_to_the_right_has_its_words_below() {
        let text = written(40, |pen| {
            pen.set_source_border().unwrap();
            write!(pen, "  │ ").unwrap();
            pen.set_label(Severity::Error, LabelStyle::Primary).unwrap();
            write!(pen, "                 ^^^^^^^^^^^^ {START}eleven parts{END}")
                .unwrap();
        });
        assert_eq!(
            text,
            "  │                  ^^^^^^^^^^^^\n  │                         eleven parts\n"
        );
    }
}

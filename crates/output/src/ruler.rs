//! Lines and columns, found without reading a long line from its start each time.
//!
//! [`File::place`] counts the characters of the line before the place. A machine can
//! write a spec as one line of a megabyte with a thousand findings in it, so the
//! characters are counted here once, in blocks, and a place then costs one block.

use std::cell::OnceCell;

use trimsheet_source::{File, FileId, Sources, Span};

/// How many bytes are counted together.
const BLOCK: usize = 4096;

/// A place in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spot {
    /// The line, from 1.
    pub(crate) line: usize,
    /// The column in characters, from 1.
    pub(crate) column: usize,
    /// The byte in the file, from 0, at the edge of a character.
    pub(crate) byte: usize,
}

/// Finds places in the files of one report.
pub(crate) struct Ruler<'a> {
    sources: &'a Sources,
    /// For each file that was asked about, how many characters begin before each of its
    /// blocks.
    before: Vec<OnceCell<Vec<usize>>>,
}

impl<'a> Ruler<'a> {
    /// A ruler for these files, each of which is read once at most.
    pub(crate) fn new(sources: &'a Sources) -> Ruler<'a> {
        let before = sources.iter().map(|_| OnceCell::new()).collect();
        Ruler { sources, before }
    }

    /// The file, if it is one of these.
    pub(crate) fn file(&self, id: FileId) -> Option<&'a File> {
        self.sources.file(id)
    }

    /// The name under which a file is shown; empty if it is not one of these.
    pub(crate) fn path(&self, id: FileId) -> &'a str {
        self.sources.path(id)
    }

    /// Where a stretch begins; the very first place if its file is not known.
    pub(crate) fn start(&self, span: Span) -> Spot {
        self.spot(span.file, span.start)
    }

    /// Where a stretch ends; never before its start.
    pub(crate) fn end(&self, span: Span) -> Spot {
        self.spot(span.file, span.end.max(span.start))
    }

    fn spot(&self, id: FileId, byte: usize) -> Spot {
        let Some(file) = self.file(id) else {
            return Spot { line: 1, column: 1, byte: 0 };
        };
        let byte = char_boundary(&file.text, byte);
        let line = line_of(file, byte);
        let start = file.line_range(line).start;
        let column = self.characters(id, file, byte) - self.characters(id, file, start);
        Spot { line, column: column + 1, byte }
    }

    /// How many characters begin before a byte.
    fn characters(&self, id: FileId, file: &File, byte: usize) -> usize {
        let blocks = usize::try_from(id.0).ok().and_then(|at| self.before.get(at));
        let block = byte / BLOCK;
        let blocks = blocks.map(|counted| counted.get_or_init(|| blocks_of(&file.text)));
        let before = blocks.and_then(|blocks| blocks.get(block)).copied().unwrap_or(0);
        let rest = file.text.as_bytes().get(block * BLOCK..byte).unwrap_or(&[]);
        before + beginnings(rest)
    }
}

fn blocks_of(text: &str) -> Vec<usize> {
    let mut before = vec![0];
    let mut count = 0;
    for block in text.as_bytes().chunks(BLOCK) {
        count += beginnings(block);
        before.push(count);
    }
    before
}

/// How many of these bytes begin a character; the others of a character are 10xxxxxx.
fn beginnings(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0b1100_0000 != 0b1000_0000).count()
}

/// The line, from 1, on which a byte stands.
fn line_of(file: &File, byte: usize) -> usize {
    let (mut here, mut beyond) = (1, file.line_count() + 1);
    while here + 1 < beyond {
        let middle = here.midpoint(beyond);
        if file.line_range(middle).start <= byte {
            here = middle;
        } else {
            beyond = middle;
        }
    }
    here
}

/// The byte, or the nearest ahead of it at which a character begins.
pub(crate) fn char_boundary(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ruler_agrees_with_counting_from_the_start_of_the_line() {
        let mut sources = Sources::default();
        let text = format!("first\r\n{}x\n\nµ𝄞", "aµ𝄞".repeat(3000));
        let id = sources.add("a", text.as_str());
        let ruler = Ruler::new(&sources);
        let file = sources.file(id).unwrap();
        for byte in (0..text.len() + 9).step_by(7).chain([5, 6, 7, text.len()]) {
            let (spot, place) = (ruler.spot(id, byte), file.place(byte));
            assert_eq!((spot.line, spot.column), (place.line, place.column), "{byte}");
        }
    }

    #[test]
    fn a_file_that_is_not_there_has_only_a_beginning() {
        let sources = Sources::default();
        let span = Span { file: FileId(4), start: 9, end: 12 };
        let spot = Ruler::new(&sources).end(span);
        assert_eq!(spot, Spot { line: 1, column: 1, byte: 0 });
    }
}

//! Files that were read, and places in them.
//!
//! Offsets are bytes into the text as it stands in memory. People count lines and
//! columns from one and in characters; editors count columns in UTF-16 units: both
//! are worked out here, from a list of line starts, and nowhere else.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

/// One file among those of a [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of bytes in one file, end not included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// The first byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The stretch from the start of this one to the end of `other`, in this file.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        Span { end: other.end.max(self.end), ..self }
    }

    /// The empty stretch just behind this one, where something may be put in.
    #[must_use]
    pub fn after(self) -> Span {
        Span { start: self.end, ..self }
    }
}

/// A place as people and editors count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The column in UTF-16 code units, from 0, as editors ask for it.
    pub utf16: usize,
}

/// One file: its name as shown to people, and its text.
#[derive(Clone, Debug)]
pub struct File {
    /// The path as it is shown, with `/` between its parts.
    pub path: String,
    /// The text; bytes that were not UTF-8 are U+FFFD here.
    pub text: Cow<'static, str>,
    /// Found when somebody first asks for a line: most rule scripts are never shown.
    line_starts: OnceLock<Vec<usize>>,
}

impl File {
    fn new(path: String, text: Cow<'static, str>) -> File {
        File { path, text, line_starts: OnceLock::new() }
    }

    fn line_starts(&self) -> &[usize] {
        self.line_starts.get_or_init(|| {
            let breaks = self.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
            std::iter::once(0).chain(breaks.map(|(at, _)| at + 1)).collect()
        })
    }

    /// Where a byte stands; an offset past the end is the end.
    pub fn place(&self, offset: usize) -> Place {
        let offset = self.char_boundary(offset);
        let line = self.line_starts().partition_point(|start| *start <= offset);
        let start = self.line_starts().get(line.saturating_sub(1)).copied().unwrap_or(0);
        let before = self.text.get(start..offset).unwrap_or("");
        Place {
            line,
            column: before.chars().count() + 1,
            utf16: before.encode_utf16().count(),
        }
    }

    /// The bytes of a line, counted from 1, without its line break.
    pub fn line_range(&self, line: usize) -> std::ops::Range<usize> {
        let start = self.line_starts().get(line.saturating_sub(1)).copied();
        let start = start.unwrap_or(self.text.len());
        let next = self.line_starts().get(line).copied().unwrap_or(self.text.len() + 1);
        let text = self.text.get(start..next - 1).unwrap_or("");
        start..start + text.strip_suffix('\r').unwrap_or(text).len()
    }

    /// How many lines the file has; an empty file has one.
    pub fn line_count(&self) -> usize {
        self.line_starts().len()
    }

    fn char_boundary(&self, offset: usize) -> usize {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    }
}

/// All the files that one check has read: the spec, what it includes, rule scripts.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Arc<File>>,
}

impl Sources {
    /// Takes a file in and says which it is.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<String>) -> FileId {
        self.add_text(path, Cow::Owned(text.into()))
    }

    /// The same, where the text may be part of the program and is not copied then.
    pub fn add_text(
        &mut self,
        path: impl Into<String>,
        text: Cow<'static, str>,
    ) -> FileId {
        self.push(Arc::new(File::new(path.into(), text)))
    }

    /// Takes in a file of other sources, which both have from then on.
    pub fn share(&mut self, other: &Sources, id: FileId) -> Option<FileId> {
        let file = other.shared(id)?;
        Some(self.push(Arc::clone(file)))
    }

    fn push(&mut self, file: Arc<File>) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(file);
        id
    }

    fn shared(&self, id: FileId) -> Option<&Arc<File>> {
        self.files.get(usize::try_from(id.0).ok()?)
    }

    /// The file, if it is one of these.
    pub fn file(&self, id: FileId) -> Option<&File> {
        self.shared(id).map(Arc::as_ref)
    }

    /// The name under which a file is shown; empty if it is not one of these.
    pub fn path(&self, id: FileId) -> &str {
        self.file(id).map_or("", |file| &file.path)
    }

    /// The text of a stretch; empty where there is none.
    pub fn text(&self, span: Span) -> &str {
        self.file(span.file)
            .and_then(|file| file.text.get(span.start..span.end))
            .unwrap_or("")
    }

    /// Where a stretch begins.
    pub fn place(&self, span: Span) -> Place {
        let nowhere = Place { line: 1, column: 1, utf16: 0 };
        self.file(span.file).map_or(nowhere, |file| file.place(span.start))
    }

    /// Every file with its id, in the order in which they were taken in.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &File)> {
        (0..).map(FileId).zip(self.files.iter().map(Arc::as_ref))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_lines_characters_and_utf16_units() {
        let file = File::new("a".into(), "one\r\nµ𝄞x\n".into());
        assert_eq!(file.place(0), Place { line: 1, column: 1, utf16: 0 });
        let x = file.text.find('x').unwrap();
        assert_eq!(file.place(x), Place { line: 2, column: 3, utf16: 3 });
        assert_eq!(file.place(999).line, 3);
        assert_eq!(file.line_range(1), 0..3);
        assert_eq!(file.text.get(file.line_range(2)), Some("µ𝄞x"));
        assert_eq!(file.line_range(3), file.text.len()..file.text.len());
    }
}

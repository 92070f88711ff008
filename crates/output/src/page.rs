//! The few lines that one finding is about, as files for codespan to draw from.
//!
//! codespan measures a whole line for every label on it, and writes it as it stands.
//! So it never sees the files themselves: for each finding it gets a page of strips,
//! which keep the line numbers of the files that they were cut from.
//!
//! A label that goes over several lines is drawn on its first: a block is known by the
//! line that opens it, and a box around all its lines would hide the others.

use std::collections::BTreeSet;
use std::ops::Range;

use codespan_reporting::diagnostic::{Label as Drawn, LabelStyle};
use codespan_reporting::files::{Error, Files, Location};
use trimsheet_source::{File, FileId, Label};

use crate::pen::{END, START};
use crate::{clean, ruler::Ruler, strip::Strip};

/// One label on its line.
struct Mark<'a> {
    style: LabelStyle,
    text: String,
    file: FileId,
    source: &'a File,
    location: Location,
    /// What is underlined, in bytes of the line.
    stretch: Range<usize>,
}

/// The lines of one file that are shown.
struct Sheet {
    name: String,
    /// The place that is named above the lines.
    location: Location,
    text: String,
    /// Line numbers and where in the text the lines are, both rising.
    lines: Vec<(usize, Range<usize>)>,
}

/// The lines that one finding is about.
pub(crate) struct Page {
    sheets: Vec<Sheet>,
    /// The labels on them, as codespan wants them.
    pub(crate) labels: Vec<Drawn<usize>>,
}

impl Page {
    /// Gathers the lines for a primary label and others, in `width` columns.
    ///
    /// Labels in files that are not known are left out.
    pub(crate) fn new(
        ruler: &Ruler<'_>,
        primary: &Label,
        others: &[Label],
        width: usize,
    ) -> Page {
        let first = Mark::new(ruler, primary, LabelStyle::Primary);
        let others = others.iter().map(|it| Mark::new(ruler, it, LabelStyle::Secondary));
        let marks: Vec<Mark<'_>> =
            std::iter::once(first).chain(others).flatten().collect();
        let last = marks.iter().map(|mark| mark.location.line_number).max();
        let digits = last.unwrap_or(1).to_string().len();
        // Behind a line number come a space, the border and another space.
        let room = width.saturating_sub(digits + 3);
        let mut page = Page { sheets: Vec::new(), labels: Vec::new() };
        let mut done: Vec<FileId> = Vec::new();
        for mark in &marks {
            if !done.contains(&mark.file) {
                done.push(mark.file);
                page.add_sheet(ruler, mark, &marks, room);
            }
        }
        page
    }

    /// Adds the lines of the file of `first`, which comes first among its marks.
    fn add_sheet(
        &mut self,
        ruler: &Ruler<'_>,
        first: &Mark<'_>,
        marks: &[Mark<'_>],
        room: usize,
    ) {
        let marks: Vec<&Mark<'_>> =
            marks.iter().filter(|mark| mark.file == first.file).collect();
        let id = self.sheets.len();
        let mut sheet = Sheet {
            name: clean::visible(ruler.path(first.file)),
            location: first.location,
            text: String::new(),
            lines: Vec::new(),
        };
        for number in line_numbers(&marks) {
            let line = first.source.text.get(first.source.line_range(number));
            let on_line =
                || marks.iter().filter(|mark| mark.location.line_number == number);
            let focus = on_line().next().map_or(0..0, |mark| mark.stretch.clone());
            let strip = Strip::cut(line.unwrap_or(""), &focus, room);
            let start = sheet.text.len();
            self.labels.extend(on_line().map(|mark| mark.drawn(id, start, &strip)));
            sheet.text.push_str(&strip.text);
            sheet.lines.push((number, start..sheet.text.len()));
            sheet.text.push('\n');
        }
        self.sheets.push(sheet);
    }

    fn sheet(&self, id: usize) -> Result<&Sheet, Error> {
        self.sheets.get(id).ok_or(Error::FileMissing)
    }
}

/// The lines that are shown: those with marks, and single lines between them, which
/// codespan shows rather than leave out.
fn line_numbers(marks: &[&Mark<'_>]) -> BTreeSet<usize> {
    let marked: BTreeSet<usize> =
        marks.iter().map(|mark| mark.location.line_number).collect();
    let between = marked.iter().filter(|line| marked.contains(&(*line + 2)));
    let between: Vec<usize> = between.map(|line| line + 1).collect();
    marked.into_iter().chain(between).collect()
}

impl<'a> Mark<'a> {
    fn new(ruler: &Ruler<'a>, label: &Label, style: LabelStyle) -> Option<Mark<'a>> {
        let source = ruler.file(label.span.file)?;
        let (start, end) = (ruler.start(label.span), ruler.end(label.span));
        let line = source.line_range(start.line);
        let first = start.byte.min(line.end);
        let shown = source.text.get(first..end.byte.min(line.end)).unwrap_or("");
        // A stretch over several lines ends with the words of its first.
        let shown = if start.line < end.line { shown.trim_end() } else { shown };
        Some(Mark {
            style,
            text: clean::visible(&label.text),
            file: label.span.file,
            source,
            location: Location { line_number: start.line, column_number: start.column },
            stretch: first - line.start..first - line.start + shown.len(),
        })
    }

    fn drawn(&self, sheet: usize, line_start: usize, strip: &Strip) -> Drawn<usize> {
        let shown = strip.shown(&self.stretch);
        let range = line_start + shown.start..line_start + shown.end;
        let label = Drawn::new(self.style, sheet, range);
        if self.text.is_empty() {
            return label;
        }
        label.with_message(format_args!("{START}{}{END}", self.text))
    }
}

impl<'a> Files<'a> for Page {
    type FileId = usize;
    type Name = &'a str;
    type Source = &'a str;

    fn name(&'a self, id: usize) -> Result<&'a str, Error> {
        Ok(&self.sheet(id)?.name)
    }

    fn source(&'a self, id: usize) -> Result<&'a str, Error> {
        Ok(&self.sheet(id)?.text)
    }

    fn line_index(&'a self, id: usize, byte: usize) -> Result<usize, Error> {
        let lines = &self.sheet(id)?.lines;
        let behind = lines.partition_point(|(_, range)| range.start <= byte);
        let line = lines.get(behind.saturating_sub(1));
        line.map(|(number, _)| number - 1).ok_or(Error::FileMissing)
    }

    fn line_range(&'a self, id: usize, index: usize) -> Result<Range<usize>, Error> {
        let lines = &self.sheet(id)?.lines;
        let missing = Error::LineTooLarge { given: index, max: lines.len() };
        let at = lines.binary_search_by_key(&(index + 1), |(number, _)| *number);
        let line = at.ok().and_then(|at| lines.get(at));
        line.map(|(_, range)| range.clone()).ok_or(missing)
    }

    fn location(&'a self, id: usize, _byte: usize) -> Result<Location, Error> {
        // codespan asks only for the place to name above a file's lines.
        Ok(self.sheet(id)?.location)
    }
}

//! The files of a test as they are checked, and the way back from them to the page.

use std::ops::Range;

use trimsheet_project::source::{Conflict, Edit, Sources, Span, apply};

use crate::{Case, Problem, Spec, base};

/// The files of one test, its base joined on.
pub(crate) struct Subject<'a> {
    pub(crate) files: Vec<Joined<'a>>,
}

/// One file as it is checked.
pub(crate) struct Joined<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) text: String,
    /// For each line that comes from the base, its number there.
    base_lines: Vec<usize>,
    /// The bytes of each entry of the base, then those of the example.
    parts: Vec<Range<usize>>,
}

/// Where a finding of a check stands.
pub(crate) enum Place<'a> {
    /// On these lines of a file of the test, from 0; past the last is the end.
    Example { spec: &'a Spec, first: usize, last: usize },
    /// On a line of the base.
    Base { line: usize },
    /// In a file that the page does not hold.
    Elsewhere { path: String, line: usize },
}

impl<'a> Subject<'a> {
    /// Joins the files of a test with its base.
    ///
    /// # Errors
    /// The base that the test names is not there.
    pub(crate) fn new(
        case: &'a Case,
        bases: &dyn Fn(&str) -> Option<String>,
    ) -> Result<Subject<'a>, Problem> {
        let base = match &case.settings.base {
            None => String::new(),
            Some(name) => bases(name).ok_or_else(|| {
                Problem::new(case.line, format!("there is no base `{name}`"))
            })?,
        };
        let bases = std::iter::once(base.as_str()).chain(std::iter::repeat(""));
        let files = case.files.iter().zip(bases);
        Ok(Subject { files: files.map(|(spec, base)| Joined::new(spec, base)).collect() })
    }

    /// The names and texts of the files, the one to check first.
    pub(crate) fn texts(&self) -> Vec<(String, String)> {
        let pair = |file: &Joined<'_>| (file.spec.name.clone(), file.text.clone());
        self.files.iter().map(pair).collect()
    }

    /// Where a stretch of the checked files stands on the page.
    pub(crate) fn place(&self, sources: &Sources, span: Span) -> Place<'a> {
        let end = Span { start: span.end.saturating_sub(1).max(span.start), ..span };
        let (first, last) = (sources.place(span).line, sources.place(end).line);
        let path = sources.path(span.file);
        let Some(joined) = self.files.iter().find(|joined| joined.spec.name == path)
        else {
            return Place::Elsewhere { path: path.into(), line: first };
        };
        if let Some(line) = joined.base_lines.get(first.saturating_sub(1)) {
            return Place::Base { line: *line };
        }
        let index = |line: usize| line.saturating_sub(joined.base_lines.len() + 1);
        Place::Example { spec: joined.spec, first: index(first), last: index(last) }
    }

    /// The texts of the files after some edits, in the order of [`Subject::texts`].
    pub(crate) fn edited(
        &self,
        sources: &Sources,
        edits: &[Edit],
    ) -> Result<Vec<(String, String)>, Conflict> {
        self.files
            .iter()
            .map(|file| {
                let edits = edits_of(file, sources, edits);
                Ok((file.spec.name.clone(), apply(&file.text, &edits)?))
            })
            .collect()
    }

    /// The files after some edits as a block shows them: the first file without the
    /// entries of its base that stayed as they were, then the other files that changed.
    pub(crate) fn shown(
        &self,
        sources: &Sources,
        edits: &[Edit],
    ) -> Result<String, Conflict> {
        let mut out = String::new();
        for (at, file) in self.files.iter().enumerate() {
            let edits = edits_of(file, sources, edits);
            if at == 0 {
                out.push_str(&file.shown(&edits)?);
            } else if !edits.is_empty() {
                let text = apply(&file.text, &edits)?;
                out.push_str(&format!("\n# {}\n{text}", file.spec.name));
            }
        }
        Ok(out)
    }
}

fn edits_of(file: &Joined<'_>, sources: &Sources, edits: &[Edit]) -> Vec<Edit> {
    let here = |edit: &&Edit| sources.path(edit.span.file) == file.spec.name;
    edits.iter().filter(here).cloned().collect()
}

impl<'a> Joined<'a> {
    fn new(spec: &'a Spec, base: &str) -> Joined<'a> {
        let mut joined = Joined {
            spec,
            text: String::new(),
            base_lines: Vec::new(),
            parts: Vec::new(),
        };
        for entry in base::kept(base, &spec.lines) {
            let start = joined.text.len();
            for (line, text) in entry {
                joined.base_lines.push(line);
                joined.push(text);
            }
            joined.parts.push(start..joined.text.len());
        }
        let start = joined.text.len();
        for line in &spec.lines {
            joined.push(&line.text);
        }
        joined.parts.push(start..joined.text.len());
        joined
    }

    fn push(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// The example after edits, below the entries of the base that they change.
    fn shown(&self, edits: &[Edit]) -> Result<String, Conflict> {
        let mut out = String::new();
        let mut from = 0;
        for (at, part) in (1..).zip(&self.parts) {
            let is_example = at == self.parts.len();
            // What is put in between two entries belongs to the later of them.
            let upto = if is_example { usize::MAX } else { part.end };
            let edits: Vec<Edit> = edits
                .iter()
                .filter(|edit| from <= edit.span.start && edit.span.start < upto)
                .map(|edit| shifted(edit, part.start))
                .collect();
            if is_example || !edits.is_empty() {
                let text = self.text.get(part.clone()).unwrap_or("");
                out.push_str(&apply(text, &edits)?);
            }
            from = upto;
        }
        Ok(out)
    }
}

/// An edit of a text that begins `by` bytes further on.
fn shifted(edit: &Edit, by: usize) -> Edit {
    let shift = |offset: usize| offset.saturating_sub(by);
    let span = Span {
        file: edit.span.file,
        start: shift(edit.span.start),
        end: shift(edit.span.end),
    };
    Edit { span, text: edit.text.clone() }
}

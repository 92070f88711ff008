//! Reads a text, for tests that look at what came of it.

use trimsheet_model::source::{FileId, Finding, Sources, apply};
use trimsheet_model::{Build, Document, Entry, resolve};

/// What came of a text.
pub(crate) struct Read {
    pub(crate) build: Build,
    pub(crate) findings: Vec<Finding>,
    sources: Sources,
}

/// Reads a text.
pub(crate) fn read(text: &str) -> Read {
    read_with(text, &[])
}

/// Reads a text and the shelves that it includes, each with the name it goes by.
pub(crate) fn read_with(text: &str, shelves: &[(&str, &str)]) -> Read {
    let mut sources = Sources::default();
    let names = shelves.iter().enumerate();
    let of_spec = names.map(|(at, (name, _))| ((*name).to_owned(), at + 1)).collect();
    let mut documents = vec![document("test.trim", text, of_spec, &mut sources)];
    for (name, text) in shelves {
        documents.push(document(name, text, Vec::new(), &mut sources));
    }
    let (build, findings) = resolve(&documents, &sources);
    Read { build, findings, sources }
}

fn document(
    path: &str,
    text: &str,
    shelves: Vec<(String, usize)>,
    sources: &mut Sources,
) -> Document {
    let file = sources.add(path, text);
    let tree = trimsheet_model::syntax::parse(file, text);
    Document { file, tree, shelves }
}

impl Read {
    /// Each finding as `line: rule: headline`.
    pub(crate) fn said(&self) -> Vec<String> {
        let lines = self.lines().into_iter().zip(&self.findings);
        lines
            .map(|(line, finding)| {
                format!("{line}: {}: {}", finding.rule, finding.headline)
            })
            .collect()
    }

    /// The line of each finding.
    pub(crate) fn lines(&self) -> Vec<usize> {
        let spans = self.findings.iter().map(|finding| finding.primary.span);
        spans.map(|span| self.sources.place(span).line).collect()
    }

    /// The text after the edits of a remedy of a finding.
    pub(crate) fn fixed(&self, finding: usize, remedy: usize) -> String {
        let file = self.sources.file(FileId(0)).unwrap();
        let remedy = &self.findings[finding].remedies[remedy];
        assert!(!remedy.edits.is_empty(), "{} has no edit", remedy.says);
        apply(&file.text, &remedy.edits).unwrap()
    }

    /// The first entry of a name.
    pub(crate) fn entry(&self, name: &str) -> &Entry {
        self.build.entries.iter().find(|entry| entry.name == name).unwrap()
    }
}

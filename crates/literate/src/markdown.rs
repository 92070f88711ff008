//! Markdown as this crate needs it: headings, and the fenced blocks under each.
//!
//! Blocks must begin in column 1, so that a line of a block is a line of the page: what
//! is accepted can be written back, and a mark's line is never in doubt.

use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd};
use trimsheet_project::source::{FileId, Sources, Span};

use crate::Problem;

/// A heading and what stands under it, up to the next; or what stands before the first.
#[derive(Debug, Default)]
pub(crate) struct Section {
    /// From 1 for the outermost heading; 0 before the first.
    pub(crate) depth: usize,
    pub(crate) title: String,
    pub(crate) line: usize,
    pub(crate) fences: Vec<Fence>,
}

/// A fenced block.
#[derive(Debug)]
pub(crate) struct Fence {
    /// What stands behind the opening fence.
    pub(crate) info: String,
    /// The line of the opening fence.
    pub(crate) line: usize,
    /// The line of the closing fence.
    pub(crate) end_line: usize,
    /// The lines between them.
    pub(crate) lines: Vec<String>,
}

impl Fence {
    /// What stands between the fences, each line ended by a line break.
    pub(crate) fn text(&self) -> String {
        self.lines.iter().flat_map(|line| [line, "\n"]).collect()
    }
}

/// The sections of a page, the one before the first heading included.
pub(crate) fn sections(text: &str) -> (Vec<Section>, Vec<Problem>) {
    let mut sources = Sources::default();
    let file = sources.add("", text);
    let mut reading =
        Reading { sources, file, sections: vec![Section::default()], in_title: false };
    let mut problems = Vec::new();
    for (event, range) in Parser::new(text).into_offset_iter() {
        let span = Span { file, start: range.start, end: range.end };
        problems.extend(reading.take(event, span));
    }
    (reading.sections, problems)
}

struct Reading {
    sources: Sources,
    file: FileId,
    sections: Vec<Section>,
    in_title: bool,
}

impl Reading {
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "most of Markdown is prose here, whatever is added to it"
    )]
    fn take(&mut self, event: Event<'_>, span: Span) -> Option<Problem> {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                self.in_title = true;
                let line = self.sources.place(span).line;
                let section =
                    Section { depth: level as usize, line, ..Section::default() };
                self.sections.push(section);
            }
            Event::End(TagEnd::Heading(_)) => self.in_title = false,
            Event::Text(text) | Event::Code(text) if self.in_title => {
                self.sections.last_mut()?.title.push_str(&text);
            }
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                return match self.fence(info.trim(), span) {
                    Ok(fence) => {
                        self.sections.last_mut()?.fences.push(fence);
                        None
                    }
                    Err(problem) => Some(problem),
                };
            }
            _ => {}
        }
        None
    }

    fn fence(&self, info: &str, span: Span) -> Result<Fence, Problem> {
        let place = self.sources.place(span);
        if place.column != 1 {
            let says = "this block is indented; let its fence begin in column 1";
            return Err(Problem::new(place.line, says));
        }
        let text = self.sources.text(Span { file: self.file, ..span }).trim_end();
        let mut lines: Vec<String> = text.lines().skip(1).map(Into::into).collect();
        let closing = lines.pop().unwrap_or_default();
        let closing = closing.trim();
        if closing.len() < 3 || closing.contains(|c| c != '`' && c != '~') {
            return Err(Problem::new(place.line, "this block is never closed"));
        }
        let end_line = place.line + lines.len() + 1;
        Ok(Fence { info: info.into(), line: place.line, end_line, lines })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_stand_under_their_headings_with_their_lines() {
        let (sections, problems) = sections(
            "# Top `code`\n\nprose\n\n```trim a.trim\nx\n\n  y\n```\n## Below\n~~~toml\n~~~\n",
        );
        assert_eq!(problems, []);
        let [before, top, below] = sections.as_slice() else { panic!("{sections:?}") };
        assert!(before.fences.is_empty());
        assert_eq!((top.depth, top.title.as_str(), top.line), (1, "Top code", 1));
        let fence = &top.fences[0];
        assert_eq!(
            (fence.info.as_str(), fence.line, fence.end_line),
            ("trim a.trim", 5, 9)
        );
        assert_eq!(fence.text(), "x\n\n  y\n");
        assert_eq!((below.depth, below.fences[0].end_line), (2, 12));
    }

    #[test]
    fn a_block_that_is_indented_or_left_open_is_refused() {
        let (_, problems) = sections("- list\n\n  ```trim\n  a\n  ```\n\n```trim\nb\n");
        let lines: Vec<usize> = problems.iter().map(|problem| problem.line).collect();
        assert_eq!(lines, [3, 7], "{problems:?}");
    }
}

//! Places as SARIF has them: addresses of files, and regions in them.

use serde::Serialize;
use trimsheet_source::{File, Label, Span};

use super::Text;
use crate::clean;
use crate::ruler::{Ruler, Spot};

/// A place with the words for it.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Location {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<usize>,
    physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Text>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct PhysicalLocation {
    artifact_location: ArtifactLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    region: Option<Region>,
}

/// A file.
#[derive(Serialize)]
pub(super) struct ArtifactLocation {
    uri: String,
}

/// A stretch of a file: lines and columns from 1, the end column one past the last.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

impl Location {
    /// Where a label points, with its words; a number lets others refer to it.
    pub(super) fn new(ruler: &Ruler<'_>, label: &Label, id: Option<usize>) -> Location {
        let says = clean::visible(&label.text);
        let physical_location = PhysicalLocation {
            artifact_location: ArtifactLocation::new(ruler.path(label.span.file)),
            region: Some(Region::new(ruler, label.span)),
        };
        let message = (!says.is_empty()).then(|| Text::new(says));
        Location { id, physical_location, message }
    }

    /// A file as a whole.
    pub(super) fn of_file(path: &str) -> Location {
        let artifact_location = ArtifactLocation::new(path);
        let physical_location = PhysicalLocation { artifact_location, region: None };
        Location { id: None, physical_location, message: None }
    }
}

impl ArtifactLocation {
    pub(super) fn new(path: &str) -> ArtifactLocation {
        ArtifactLocation { uri: uri(path) }
    }
}

impl Region {
    pub(super) fn new(ruler: &Ruler<'_>, span: Span) -> Region {
        let place = |spot| match ruler.file(span.file) {
            Some(file) => place(file, spot),
            None => (spot.line, spot.column),
        };
        let (start_line, start_column) = place(ruler.start(span));
        let (end_line, end_column) = place(ruler.end(span));
        Region { start_line, start_column, end_line, end_column }
    }
}

/// A line and a column as the standard counts them (3.30.2).
fn place(file: &File, spot: Spot) -> (usize, usize) {
    // What ends the last line begins none: behind it is the last line still.
    let is_behind = 1 < spot.line && spot.byte == file.text.len() && spot.column == 1;
    let (line, column) = if is_behind {
        let line = spot.line - 1;
        let last = file.text.get(file.line_range(line).start..).unwrap_or("");
        (line, last.chars().count() + 1)
    } else {
        (spot.line, spot.column)
    };
    // A byte order mark takes up no column.
    let has_mark = line == 1 && file.text.starts_with('\u{feff}');
    (line, column.saturating_sub(usize::from(has_mark)).max(1))
}

/// The address of a file, after RFC 3986: relative where the path is.
fn uri(path: &str) -> String {
    let is_drive = path.as_bytes().get(1) == Some(&b':')
        && path.as_bytes().first().is_some_and(u8::is_ascii_alphabetic);
    let mut out = match (path.starts_with('/'), is_drive) {
        (true, _) => "file://".to_owned(),
        (false, true) => "file:///".to_owned(),
        (false, false) => String::new(),
    };
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' => out.push(char::from(byte)),
            b'/' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use trimsheet_source::Sources;

    use super::*;

    #[test]
    fn an_address_is_relative_and_escaped_where_it_must_be() {
        assert_eq!(uri("examples/whinchat.trim"), "examples/whinchat.trim");
        assert_eq!(uri("größe 50%#.trim"), "gr%C3%B6%C3%9Fe%2050%25%23.trim");
        assert_eq!(uri("a:b.trim"), "file:///a%3Ab.trim");
        assert_eq!(uri("/home/a b.trim"), "file:///home/a%20b.trim");
        assert_eq!(uri("C:/a.trim"), "file:///C%3A/a.trim");
    }

    #[test]
    fn columns_count_code_points_and_no_byte_order_mark() {
        let mut sources = Sources::default();
        let text = "\u{feff}e\u{301}🛩x\r\ny";
        let file = sources.add("a.trim", text);
        let ruler = Ruler::new(&sources);
        let start = text.find('x').unwrap();
        let region = Region::new(&ruler, Span { file, start, end: text.len() });
        assert_eq!((region.start_line, region.start_column), (1, 4));
        assert_eq!((region.end_line, region.end_column), (2, 2));
        let behind = "\u{feff}a\r\n";
        let file = sources.add("b.trim", behind);
        let ruler = Ruler::new(&sources);
        let span = Span { file, start: behind.len(), end: behind.len() };
        let region = Region::new(&ruler, span);
        assert_eq!((region.start_line, region.start_column), (1, 4));
        assert_eq!((region.end_line, region.end_column), (1, 4));
    }

    #[test]
    fn a_byte_order_mark_has_no_width() {
        let mut sources = Sources::default();
        let file = sources.add("a.trim", "\u{feff}wing");
        let ruler = Ruler::new(&sources);
        let mark = Region::new(&ruler, Span { file, start: 0, end: 3 });
        assert_eq!((mark.start_column, mark.end_column), (1, 1));
    }
}

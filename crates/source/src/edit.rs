//! Changes to a text, and how they are carried out.

use crate::Span;

/// Puts `text` in the place of what stands in `span`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Edit {
    /// What is replaced; empty where something is only put in.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// Why edits could not be carried out together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Conflict {
    /// Two edits touch the same bytes.
    Overlap,
    /// An edit reaches outside the text or into the middle of a character.
    OutOfText,
}

/// The text after all the edits, which must belong to one file.
///
/// # Errors
/// Two edits that touch the same bytes, or one that does not fit the text, change
/// nothing at all.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, Conflict> {
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort_by_key(|edit| (edit.span.start, edit.span.end));
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for edit in edits {
        if edit.span.start < done {
            return Err(Conflict::Overlap);
        }
        let kept = text.get(done..edit.span.start).ok_or(Conflict::OutOfText)?;
        text.get(edit.span.start..edit.span.end).ok_or(Conflict::OutOfText)?;
        out.push_str(kept);
        out.push_str(&edit.text);
        done = edit.span.end;
    }
    out.push_str(text.get(done..).ok_or(Conflict::OutOfText)?);
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::FileId;

    fn edit(start: usize, end: usize, text: &str) -> Edit {
        Edit { span: Span { file: FileId(0), start, end }, text: text.into() }
    }

    #[test]
    fn edits_are_made_together_whatever_their_order() {
        let edits = [edit(5, 6, "X"), edit(0, 1, "ab"), edit(3, 3, "-")];
        assert_eq!(apply("012345", &edits).as_deref(), Ok("ab12-34X"));
    }

    #[test]
    fn edits_that_touch_each_other_change_nothing() {
        assert_eq!(
            apply("012", &[edit(0, 2, ""), edit(1, 3, "")]),
            Err(Conflict::Overlap)
        );
        assert_eq!(apply("012", &[edit(1, 9, "")]), Err(Conflict::OutOfText));
    }
}

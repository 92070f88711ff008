//! Which rules ran over which spec: what a pass is, for readers that count passes.

use std::borrow::Cow;

use crate::{FileId, Level, RuleId};

/// A spec that was judged, with the rules that ran and what they came to.
///
/// What is said of the spec is told by its place in the lists of the whole report,
/// where several specs may share it: a fault in a file that two of them include.
/// A rule that ran and is found at none of these places has passed here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The spec.
    pub spec: FileId,
    /// The rules that were asked about something in it and came to an end, in order.
    pub ran: Vec<RuleId>,
    /// Which of the findings are about it.
    pub findings: Vec<usize>,
    /// Which of the waived findings are about it.
    pub waived: Vec<usize>,
    /// Which of the judgements that could not be made are about it.
    pub cannot_say: Vec<usize>,
}

/// What a rule says of itself, whether or not it has found anything.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleText {
    /// What it is called.
    pub id: RuleId,
    /// What is wrong when it fires, in a sentence.
    pub title: String,
    /// The most serious that it can be; `None` where that depends on what is found.
    pub level: Option<Level>,
    /// Its page, in Markdown, with whatever is there for tests.
    pub page: Cow<'static, str>,
}

impl RuleText {
    /// The part of the page that is for everybody: all before its examples, which are
    /// for tests and for whoever writes rules.
    pub fn prose(&self) -> &str {
        let end = self.page.find("\n## Examples").unwrap_or(self.page.len());
        self.page.get(..end).unwrap_or(&self.page).trim()
    }
}

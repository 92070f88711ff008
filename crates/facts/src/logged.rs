//! What the spec says of the columns of a flight log.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Value};

use crate::facts::Facts;
use crate::known::NotKnown;

/// A column of a flight log, as a line of a `log` says it.
#[derive(Clone, Debug, PartialEq)]
pub struct LogColumn {
    /// What stands in it: `volts`, `amps`.
    pub word: &'static str,
    /// What stands at its head.
    pub head: String,
    /// What a one in it means, where that is said.
    pub each: Option<Quantity>,
    /// The line that says it.
    pub span: Span,
}

impl Facts {
    /// The columns that a `log` names, in the order of its lines.
    ///
    /// # Errors
    /// That the head of a column, or what a one in it means, is not known.
    pub fn log_columns(&self, log: EntryId) -> Result<Vec<LogColumn>, NotKnown> {
        let entry = self.entry(log)?;
        let mut columns = Vec::new();
        for fact in &entry.facts {
            self.note(log, fact.row.word);
            let Some(head) = self.slot(entry, fact, "head")?.and_then(Value::text) else {
                continue;
            };
            let each = self.slot(entry, fact, "each")?.and_then(Value::quantity);
            columns.push(LogColumn {
                word: fact.row.word,
                head: head.to_owned(),
                each: each.cloned(),
                span: fact.span,
            });
        }
        self.must(log, "time")?;
        Ok(columns)
    }
}

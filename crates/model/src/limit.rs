//! A bound on how much is said about one file.
//!
//! Ten megabytes that are no spec at all must not become ten million findings. Nobody
//! reads more than the first few, and the rest are counted, so nothing is hidden.

use trimsheet_source::{Finding, Level};

/// How many findings about one file are kept.
const MOST: usize = 1000;

/// Findings, of which the first thousand are kept and the rest are counted.
#[derive(Default)]
pub(crate) struct Limited {
    kept: Vec<Finding>,
    more: usize,
}

impl Limited {
    /// Takes a finding in.
    pub(crate) fn push(&mut self, finding: Finding) {
        self.kept.push(finding);
        self.bound();
    }

    /// Takes several in.
    pub(crate) fn extend(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.kept.extend(findings);
        self.bound();
    }

    /// Whether nothing more is kept, so that no more help need be thought of.
    pub(crate) fn is_full(&self) -> bool {
        MOST < self.kept.len()
    }

    /// Lets go of what is too much; one more is kept, to say where the rest begin.
    fn bound(&mut self) {
        let excess = self.kept.len().saturating_sub(MOST + 1);
        self.more += excess;
        self.kept.truncate(MOST + 1);
    }

    /// What was kept, and one finding for all the rest.
    pub(crate) fn all(mut self) -> Vec<Finding> {
        if self.kept.len() <= MOST {
            return self.kept;
        }
        if let Some(last) = self.kept.pop() {
            let says =
                format!("{} more findings from here on are not shown", self.more + 1);
            let rest =
                Finding::new("read/too-many", Level::Error, last.primary.span, says);
            self.kept.push(rest.advised("correct the first of them, and check again"));
        }
        self.kept
    }
}

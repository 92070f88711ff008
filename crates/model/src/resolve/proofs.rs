//! The proof beside a spec: what of it counts, and in which form it must be.

use trimsheet_source::{FileId, Finding, Level, Span};

use crate::build::{Entry, Kind};
use crate::vocabulary::RECORDS;

/// The form of proofs that this program writes and reads.
pub const PROOF_FORM: u32 = 1;

/// Whether a path is that of a proof: its name ends in `.proof`.
pub fn is_proof(path: &str) -> bool {
    path.ends_with(".proof")
}

/// Takes out what is no record, and says so: an aircraft is described by its spec alone.
///
/// A proof of another form is not read at all.
pub(super) fn keep_records(file: FileId, entries: &mut Vec<Entry>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let form = entries.iter().find(|entry| entry.row.word == "proof");
    if let Some(says) = not_read(form) {
        let top = Span { file, start: 0, end: 0 };
        let span = form.map_or(top, Entry::span);
        let finding = Finding::new("read/proof-form", Level::Error, span, says);
        findings.push(finding.advised(
            "begin the file with `proof 1`, or read it with the program that wrote it; until then none of its records counts",
        ));
        entries.clear();
        return findings;
    }
    entries.retain(|entry| {
        let word = entry.row.word;
        let belongs = RECORDS.contains(&word)
            || matches!(word, "proof" | "rests" | "seal" | "known");
        if !belongs {
            let says = format!("expected records in a proof, found {}", entry.title());
            let finding =
                Finding::new("read/not-a-record", Level::Error, entry.span(), says);
            findings.push(finding.advised("move it into the spec; here it is not read"));
        }
        belongs
    });
    findings
}

/// Why the records of a proof cannot be read, if they cannot.
fn not_read(form: Option<&Entry>) -> Option<String> {
    let Some(form) = form else {
        return Some("expected `proof 1`, which says in which form this file is written, found no such line".into());
    };
    match form.head.first().map(|value| &value.kind) {
        Some(Kind::Count(PROOF_FORM)) => None,
        Some(Kind::Count(other)) => {
            Some(format!("expected a proof of form {PROOF_FORM}, found form {other}"))
        }
        Some(_) | None => {
            Some("it is not known in which form this proof is written".into())
        }
    }
}

//! What of a spec is left out of a copy for others.
//!
//! Two things say that a fact is private: its row in the vocabulary, and the rule
//! `doc/private-data`, which looks at texts. What that rule does not see, on shelves, in a
//! reference and behind `#`, is looked at here in the same way. The whole fact goes, and a remark behind it,
//! which may be about it; the head of its entry stays, and every other line keeps its number. A signed record that rests on such
//! a fact goes with all its lines, because the fact stands in them, and a record without
//! them would not be whole.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_facts::given_away;
use trimsheet_model::{Document, Entry, Fact, Value, is_proof};
use trimsheet_source::{Edit, FileId, Sources, Span};
use trimsheet_syntax::Line;

/// The rule that finds private texts.
pub(super) const RULE: &str = "doc/private-data";

/// Something that is left out of a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// What it is: `` `relies-on` of model heron ``.
    pub what: String,
    /// The file that says it.
    pub path: String,
    /// The line there, from 1.
    pub line: usize,
}

/// What is to be cut out of the files of a spec.
#[derive(Default)]
pub(super) struct Cut {
    pub(super) taken: Vec<Taken>,
    /// Records that go with the facts that they rest on.
    pub(super) records: BTreeSet<String>,
    /// Where the facts and remarks begin, and where they end.
    ends: BTreeMap<(FileId, usize), usize>,
    /// The facts under the names that a proof gives them.
    names: BTreeSet<String>,
}

impl Cut {
    /// Looks for what is private; `told` are the places of private texts.
    pub(super) fn new(
        entries: &[&Entry],
        sources: &Sources,
        told: &BTreeSet<(String, usize)>,
    ) -> Cut {
        let mut cut = Cut::default();
        let holds_told = |fact: &Fact| {
            let path = sources.path(fact.span.file);
            let within = fact.span.start..fact.span.end;
            told.iter().any(|(of, at)| of == path && within.contains(at))
        };
        for entry in entries {
            let again = entry.repeats.iter().map(|(_, fact)| fact);
            for fact in entry.facts.iter().chain(again) {
                if fact.row.private || holds_told(fact) {
                    cut.take(entry, fact, sources);
                }
            }
        }
        for entry in entries {
            let rested = entry.head.slot("fact").and_then(Value::text);
            let is_rest = entry.row.word == "rests"
                && rested.is_some_and(|fact| cut.names.contains(fact));
            let begins = |fact: &Fact| (fact.span.file, fact.span.start);
            let says =
                entry.facts.iter().any(|fact| cut.ends.contains_key(&begins(fact)));
            if is_rest || says {
                cut.records.extend(record_of(entry).map(str::to_owned));
            }
        }
        cut
    }

    fn take(&mut self, entry: &Entry, fact: &Fact, sources: &Sources) {
        self.names.insert(format!("{}: {}", entry.title(), fact.row.word));
        self.note(
            fact.span,
            format!("`{}` of {}", fact.row.word, entry.title()),
            sources,
        );
    }

    /// Notes what goes; both halves of a pair, and what came by `like`, stand in one line.
    fn note(&mut self, span: Span, what: String, sources: &Sources) {
        if self.ends.insert((span.file, span.start), span.end).is_none() {
            self.taken.push(Taken {
                what,
                path: sources.path(span.file).to_owned(),
                line: sources.place(span).line,
            });
        }
    }

    /// Looks through the remarks behind `#` as well, which no rule sees.
    pub(super) fn remarks(&mut self, document: &Document, sources: &Sources) {
        for remark in document.tree.lines.iter().filter_map(|line| line.comment) {
            if let Some(holds) = given_away(sources.text(remark)) {
                self.note(
                    remark,
                    format!("a remark that seems to hold {holds}"),
                    sources,
                );
            }
        }
    }

    /// Whether a place in a file goes with a fact.
    pub(super) fn covers(&self, sources: &Sources, path: &str, at: usize) -> bool {
        self.ends.iter().any(|((file, start), end)| {
            sources.path(*file) == path && (*start..*end).contains(&at)
        })
    }

    /// Whether a fact goes.
    pub(super) fn holds(&self, fact: &Fact) -> bool {
        self.ends.contains_key(&(fact.span.file, fact.span.start))
    }

    /// The edits that make the copy of a file.
    pub(super) fn edits(
        &self,
        document: &Document,
        entries: &[&Entry],
        sources: &Sources,
    ) -> Vec<Edit> {
        let gone = self.lines_of_records(document, entries, sources);
        let mut edits = Vec::new();
        for line in &document.tree.lines {
            if gone.contains(&line.span.start) {
                edits.push(line.span);
            } else {
                edits.extend(self.of_line(line));
            }
        }
        edits.into_iter().map(|span| Edit { span, text: String::new() }).collect()
    }

    /// Where in a proof the lines of records that go begin.
    fn lines_of_records(
        &self,
        document: &Document,
        entries: &[&Entry],
        sources: &Sources,
    ) -> BTreeSet<usize> {
        if !is_proof(sources.path(document.file)) {
            return BTreeSet::new();
        }
        let inside = entries.iter().filter(|entry| entry.span().file == document.file);
        let is_gone = |entry: &&&Entry| {
            record_of(entry).is_some_and(|record| self.records.contains(record))
        };
        inside.filter(is_gone).map(|entry| entry.span().start).collect()
    }

    /// What is cut out of a line.
    fn of_line(&self, line: &Line) -> Vec<Span> {
        let is_out = |fact: &trimsheet_syntax::Fact| {
            self.ends.contains_key(&(fact.span.file, fact.span.start))
        };
        let Some(last) = line.facts.last().filter(|_| line.facts.iter().any(is_out))
        else {
            let goes =
                |remark: &Span| self.ends.contains_key(&(remark.file, remark.start));
            return line.comment.filter(goes).into_iter().collect();
        };
        let mut out = Vec::new();
        match (&line.head, line.facts.iter().all(is_out)) {
            (None, true) => return vec![line.span],
            (Some(head), true) => {
                out.push(Span { start: head.span.end, end: last.span.end, ..line.span });
            }
            (_, false) => {
                let mut kept: Option<usize> = None;
                let nexts = line.facts.iter().skip(1).map(|fact| fact.span.start);
                let nexts = nexts.chain([last.span.end]);
                for (fact, next) in line.facts.iter().zip(nexts) {
                    let span = match kept {
                        // The mark before it goes with it, or else the one behind it.
                        Some(before) => Span { start: before, ..fact.span },
                        None => Span { end: next, ..fact.span },
                    };
                    let is_out = is_out(fact);
                    out.extend(is_out.then_some(span));
                    let end = fact.span.end;
                    kept = if is_out { kept.map(|_| end) } else { Some(end) };
                }
            }
        }
        let remark = line.comment.map(|comment| Span { start: last.span.end, ..comment });
        out.extend(remark);
        out
    }
}

/// The record that an entry is, or that a line of a proof is about.
fn record_of(entry: &Entry) -> Option<&str> {
    let signed = entry.fact("signed").and_then(|signed| signed.slot("record"));
    signed.or_else(|| entry.head.slot("record")).and_then(Value::text)
}

#[cfg(test)]
mod tests {
    use trimsheet_model::resolve;
    use trimsheet_source::apply;
    use trimsheet_syntax::parse;

    use super::*;

    const NONE: &str = "proof 1\n";

    /// The copies of a spec and a proof; what is told stands in the spec.
    fn copies(spec: &str, proof: &str, told: &[&str]) -> (Cut, String, String) {
        let mut sources = Sources::default();
        let mut document = |path: &str, text: &str| {
            let file = sources.add(path, text);
            Document { file, tree: parse(file, text), shelves: Vec::new() }
        };
        let documents = [document("x.trim", spec), document("x.proof", proof)];
        let (build, findings) = resolve(&documents, &sources);
        assert!(findings.is_empty(), "{findings:?}");
        let told = told.iter().map(|text| spec.find(text).unwrap());
        let told = told.map(|at| ("x.trim".to_owned(), at)).collect();
        let entries: Vec<&Entry> = build.entries.iter().collect();
        let cut = Cut::new(&entries, &sources, &told);
        let [spec, proof] = documents.map(|document| {
            let edits = cut.edits(&document, &entries, &sources);
            apply(&sources.file(document.file).unwrap().text, &edits).unwrap()
        });
        (cut, spec, proof)
    }

    #[test]
    fn a_private_fact_goes_wherever_it_stands_and_every_line_stays_in_its_place() {
        let spec = "\
model x [plan]  # a
    relies-on \"our law\" 2026-02-01  # looked up by RT
    stage planned
part a: relies-on \"p\"; mass 3 g [weighed]  # remark
part b: mass 3 g [weighed]; relies-on \"p\"
part c: relies-on \"p\"; relies-on \"q\"
part d
    kind servo; relies-on \"p\"; relies-on \"q\"; count 2
    relies-on \"q\"; mass 3 g [plan]
";
        let copy = "\
model x [plan]  # a

    stage planned
part a: mass 3 g [weighed]
part b: mass 3 g [weighed]
part c
part d
    kind servo; count 2
    mass 3 g [plan]
";
        let (cut, spec, _) = copies(spec, NONE, &[]);
        assert_eq!(spec, copy);
        let lines: Vec<usize> = cut.taken.iter().map(|taken| taken.line).collect();
        assert_eq!(lines, [2, 4, 5, 6, 6, 8, 8, 9]);
        assert_eq!(cut.taken.first().unwrap().what, "`relies-on` of model x");
    }

    #[test]
    fn a_fact_whose_text_is_told_to_be_private_goes_and_others_of_its_word_stay() {
        let spec = "model x\n    note \"glue\"\n    note \"call 0151\"\n";
        let (cut, copy, _) = copies(spec, NONE, &["\"call 0151\""]);
        assert_eq!(copy, "model x\n    note \"glue\"\n\n");
        assert_eq!(cut.taken.len(), 1);
    }

    #[test]
    fn a_record_that_rests_on_a_private_fact_goes_with_all_its_lines() {
        let spec = "model x\n    relies-on \"our law\"\n    stage planned\n";
        let kept = "done range 2026-02-02 by MT; signed r2\nseal r2 \"b\"\n";
        let gone = "done failsafe 2026-02-01 by MT; signed r1\n\
                    rests r1 \"model x: relies-on\" was \"our law\"\nseal r1 \"a\"\n";
        let proof = format!("proof 1\n{gone}{kept}");
        let (cut, _, copy) = copies(spec, &proof, &[]);
        assert_eq!(copy, format!("proof 1\n\n\n\n{kept}"));
        assert_eq!(cut.records.len(), 1);
    }
}

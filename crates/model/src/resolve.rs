//! From the entries of several files to one build.
//!
//! In order: each file is gathered; `like` is followed; pairs become two; sources and
//! their spreads are settled; names are bound. Each step only adds to what the step
//! before it made, so a finding of one is never a consequence of another's.

mod inherit;
mod names;
mod pairs;
mod proofs;
mod sources;

use trimsheet_source::{FileId, Finding, Level, Sources, Span, nearest};
use trimsheet_syntax::{AtomKind, Tree};

use crate::build::{Build, Entry, Kind, Value};
use crate::gather::gather;
use crate::limit::Limited;
use crate::values;
use crate::vocabulary::{self, Takes, Vocabulary};

pub use proofs::{PROOF_FORM, is_proof};

/// A file that was read, with the shelves that it includes.
#[derive(Clone, Debug)]
pub struct Document {
    /// The file.
    pub file: FileId,
    /// Its text, as lines.
    pub tree: Tree,
    /// What it includes: the name it goes by, and which of the documents it is.
    pub shelves: Vec<(String, usize)>,
}

/// A line that includes another file.
#[derive(Clone, Debug, PartialEq)]
pub struct Include {
    /// What stands in the quotes.
    pub path: String,
    /// Where that stands.
    pub span: Span,
    /// The name that the file goes by: what `as` says, or the name of the file.
    pub name: String,
}

/// Finds which files a tree includes.
///
/// A word that is near `include` is read as that, as it is when entries are read.
pub fn includes(tree: &Tree, sources: &Sources) -> Vec<Include> {
    let heads = tree.lines.iter().filter_map(|line| line.head.as_ref());
    let mut found = Vec::new();
    for head in heads {
        let mut atoms = head.atoms.iter();
        let is_include =
            atoms.next().is_some_and(|word| opens_include(sources.text(word.span)));
        let path = atoms.next().filter(|atom| matches!(atom.kind, AtomKind::Text));
        let (true, Some(path)) = (is_include, path) else { continue };
        let read = values::read_value(Takes::Text, std::slice::from_ref(path), sources);
        let Ok(Kind::Text(text)) = read.value.map(|value| value.kind) else { continue };
        let led = atoms.next().is_some_and(|word| sources.text(word.span) == "as");
        let given = atoms.next().filter(|_| led).map(|name| sources.text(name.span));
        let name = given.unwrap_or(file_name(&text)).to_owned();
        found.push(Include { path: text, span: path.span, name });
    }
    found
}

/// Finds which packs of rules a spec asks for, each with its place.
pub fn packs_named(tree: &Tree, sources: &Sources) -> Vec<(String, Span)> {
    let facts = tree.lines.iter().flat_map(|line| &line.facts);
    let mut found: Vec<(String, Span)> = Vec::new();
    for fact in facts {
        let mut atoms = fact.atoms.iter();
        let is_rules =
            atoms.next().is_some_and(|word| sources.text(word.span) == "rules");
        let name = atoms.next().filter(|atom| matches!(atom.kind, AtomKind::Text));
        let (true, Some(name)) = (is_rules, name) else { continue };
        let read = values::read_value(Takes::Text, std::slice::from_ref(name), sources);
        if let Ok(Kind::Text(text)) = read.value.map(|value| value.kind)
            && !found.iter().any(|(known, _)| *known == text)
        {
            found.push((text, name.span));
        }
    }
    found
}

fn opens_include(word: &str) -> bool {
    word == "include"
        || vocabulary::entry(word).is_none()
            && nearest(word, vocabulary::entry_words()) == Some("include")
}

/// The name of a file, without its folders and its ending.
fn file_name(path: &str) -> &str {
    let file = path.rsplit('/').next().unwrap_or(path);
    file.strip_suffix(".trim").unwrap_or(file)
}

/// The name that an included file goes by, where its line could be read.
fn include_name(entry: &Entry) -> Option<String> {
    let given = entry.head.slot("as").map(Value::text);
    let path = entry.head.slot("file").and_then(Value::text);
    given.unwrap_or(path.map(file_name)).map(str::to_owned)
}

/// Understands the documents, of which the first is the spec, as one build.
pub fn resolve(documents: &[Document], texts: &Sources) -> (Build, Vec<Finding>) {
    resolve_with(documents, texts, &Vocabulary::default())
}

/// The same, with facts that packs declare.
pub fn resolve_with(
    documents: &[Document],
    texts: &Sources,
    vocabulary: &Vocabulary,
) -> (Build, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut entries: Vec<Entry> = Vec::new();
    for (index, document) in documents.iter().enumerate() {
        let gathered = gather(&document.tree, texts, vocabulary);
        findings.extend(byte_order_mark(document.file, texts));
        if index == 0 && gathered.entries.is_empty() && gathered.findings.is_empty() {
            findings.push(nothing_said(document.file));
        }
        findings.extend(gathered.findings);
        let mut own = gathered.entries;
        let is_proof = is_proof(texts.path(document.file));
        if is_proof && index > 0 {
            findings.extend(proofs::keep_records(document.file, &mut own));
        }
        let aboard = index == 0 || is_proof;
        entries.extend(own.into_iter().map(|entry| Entry { aboard, ..entry }));
    }
    let mut between = Limited::default();
    names::name_twice(&entries, &mut between);
    inherit::follow_like(&mut entries, documents, texts, &mut between);
    pairs::make_two(&mut entries, texts, &mut between);
    inherit::check_kinds(&entries, &mut between);
    sources::settle(&mut entries, documents, texts, &mut between);
    names::bind(&mut entries, documents, texts, &mut between);
    findings.extend(between.all());
    let whole = whole(&entries, documents);
    (Build { entries, whole, vocabulary: vocabulary.clone() }, findings)
}

/// The stretch that stands for the aircraft as a whole.
fn whole(entries: &[Entry], documents: &[Document]) -> Option<Span> {
    let aboard = || entries.iter().filter(|entry| entry.aboard);
    let model =
        aboard().find(|entry| entry.row.word == "model").or_else(|| aboard().next());
    let start =
        || documents.first().map(|first| Span { file: first.file, start: 0, end: 0 });
    model.map(Entry::span).or_else(start)
}

fn nothing_said(file: FileId) -> Finding {
    let span = Span { file, start: 0, end: 0 };
    Finding::new(
        "read/nothing-said",
        Level::Warning,
        span,
        "expected a model and its parts, found nothing yet",
    )
    .advised(
        "begin with `model` and a name, a `wing` with its ribs and band, and the parts",
    )
}

/// An invisible mark that some editors put at the start of a file.
fn byte_order_mark(file: FileId, texts: &Sources) -> Option<Finding> {
    let span = Span { file, start: 0, end: '\u{FEFF}'.len_utf8() };
    (texts.text(span) == "\u{FEFF}").then(|| {
        Finding::new(
            "read/byte-order-mark",
            Level::Note,
            span,
            "an invisible byte-order mark stands at the start of the file; it was passed over",
        )
        .remedied(
            "save the file as UTF-8 without it",
            trimsheet_source::Safety::Safe,
            vec![trimsheet_source::Edit { span, text: String::new() }],
        )
    })
}

//! What a signed record promises: a change opens exactly what rests on it.
//!
//! Every step of every example is signed as the spec stands. Then each single fact of the
//! spec and of its shelf is made unknown, one at a time: the records whose step reads that
//! fact are open again, all others hold, and the card of a step whose record holds says
//! what it said. No card falls silent for one fact that is not known.
#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "these tests read the workspace's own files"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use trimsheet_facts::{Facts, Proved};
use trimsheet_model::source::{Edit, FileId, Finding, Sources, Span, apply};
use trimsheet_model::vocabulary::{self, RECORDS};
use trimsheet_model::{Document, EntryId, includes, resolve_with, syntax};
use trimsheet_project::{Memory, Opened, Settings, Signing, drawn, grounds, open, sign};

const EXAMPLES: [&str; 4] = [
    "examples/first-evening.trim",
    "examples/lapwing.trim",
    "examples/whinchat.trim",
    "examples/yellowhammer.trim",
];

/// Facts that make other entries, or are said of how the text is read: what changes with
/// them is more than themselves.
const MORE_THAN_ITSELF: [&str; 1] = ["pair"];

fn settings() -> Settings {
    Settings { today: "2026-11-25".parse().ok(), ..Settings::default() }
}

fn host() -> Memory {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut host = Memory::new();
    let mut open = vec!["examples".to_owned()];
    while let Some(path) = open.pop() {
        let place = root.join(&path);
        if place.is_dir() {
            let inside = fs::read_dir(&place).unwrap();
            let names = inside.map(|one| one.unwrap().file_name());
            open.extend(names.map(|name| format!("{path}/{}", name.to_string_lossy())));
        } else if !path.ends_with(".proof") {
            host = host.with(&path, fs::read(place).unwrap());
        }
    }
    host
}

/// The proof of an example whose every step was signed as it stands.
fn all_signed(host: &Memory, spec: &str) -> (Memory, BTreeMap<String, BTreeSet<String>>) {
    let mut host = host.clone();
    let opened = open(&host, spec, &settings()).unwrap();
    let mut rests = BTreeMap::new();
    for done in opened.facts.steps_done().unwrap() {
        let step = done.step;
        // Of several words with `or` between them the first is said.
        let said = |words: &String| {
            let word = words.split(" or ").next().unwrap();
            let row = vocabulary::fact(step.record, word);
            row.map_or(word, |row| row.example).to_owned()
        };
        let readings = step.says.iter().map(said);
        let name = |id: EntryId| opened.facts.build.entry(id).unwrap().name.clone();
        let wanted = Signing {
            step: step.name.clone(),
            loadout: done.loadout.map(name),
            by: "KV".into(),
            date: "2026-11-25".parse().ok(),
            note: None,
            readings: readings.collect(),
        };
        let signed = sign(&host, spec, &wanted, &settings()).unwrap_or_else(|why| {
            panic!("{spec}: {} is not signed: {why}", step.name);
        });
        let facts = grounds(&opened, step, done.loadout).into_keys().collect();
        assert_eq!(facts, signed.grounds.into_keys().collect(), "{}", step.name);
        rests.insert(done.title(&opened.facts), facts);
        host = host.with(&signed.path, signed.text);
    }
    (host, rests)
}

/// A spec that was read before, with a text in the place of one of its files.
fn read_again(before: &Opened, file: FileId, text: &str) -> Opened {
    let mut sources = Sources::default();
    for (id, known) in before.sources.iter() {
        sources.add(&*known.path, if id == file { text } else { &*known.text });
    }
    let spec = before.facts.build.whole.unwrap().file;
    let is_read = |id: &FileId| {
        let path = sources.path(*id);
        path.ends_with(".trim") || path.ends_with(".proof")
    };
    let mut files: Vec<FileId> =
        sources.iter().map(|(id, _)| id).filter(is_read).collect();
    files.sort_by_key(|id| *id != spec);
    let document = |id: &FileId| {
        let text = &sources.file(*id).unwrap().text;
        Document { file: *id, tree: syntax::parse(*id, text), shelves: Vec::new() }
    };
    let mut documents: Vec<Document> = files.iter().map(document).collect();
    let wanted = includes(&documents[0].tree, &sources);
    for include in wanted {
        let end = |id: &FileId| sources.path(*id).ends_with(&include.path);
        let at = files.iter().position(end).unwrap();
        documents[0].shelves.push((include.name, at));
    }
    let (build, _) = resolve_with(&documents, &sources, &before.rules.vocabulary);
    let facts = Facts::new(build, before.facts.stage).on(before.facts.today);
    let facts = facts.from_texts(sources.clone());
    let facts = facts.asked_for(Arc::clone(&before.rules.steps));
    Opened {
        sources,
        facts: Rc::new(facts),
        findings: Vec::new(),
        rules: Rc::clone(&before.rules),
        packs: before.packs.clone(),
        spec: before.spec,
    }
}

/// Every fact of a spec once, with the names that a proof gives it.
fn facts(opened: &Opened) -> BTreeMap<Span, (Edit, BTreeSet<String>)> {
    let mut all: BTreeMap<Span, (Edit, BTreeSet<String>)> = BTreeMap::new();
    for (_, entry) in opened.facts.build.aboard() {
        let word = entry.row.word;
        let is_own = !RECORDS.contains(&word)
            && !matches!(
                word,
                "rests"
                    | "seal"
                    | "proof"
                    | "waive"
                    | "set"
                    | "assume"
                    | "instrument"
                    | "include"
            );
        for fact in entry.facts.iter().filter(|_| is_own) {
            if MORE_THAN_ITSELF.contains(&fact.row.word) {
                continue;
            }
            let edit = match fact.first() {
                Some(value) => Edit { span: value.span, text: "?".into() },
                None => Edit { span: fact.span, text: String::new() },
            };
            if opened.sources.text(edit.span) == "?" {
                continue;
            }
            let name = format!("{}: {}", entry.title(), fact.row.word);
            let known = all.entry(fact.span).or_insert((edit, BTreeSet::new()));
            known.1.insert(name);
            // A part of no known kind is missing from the list of those of its kind.
            let kind = entry.kind().filter(|_| fact.row.word == "kind");
            known.1.extend(kind.map(|kind| format!("every part of kind {kind}")));
        }
    }
    all
}

/// What each card says, and whether its record holds.
fn cards(opened: &Opened) -> BTreeMap<String, (Vec<String>, bool)> {
    let all = drawn(opened).unwrap();
    let one = |card: trimsheet_facts::Drawn<'_>| {
        let holds = matches!(card.done.proved, Proved::Holds(_));
        // What is not known is a line, and takes no other with it.
        assert_eq!(card.silent, None, "{}", card.title);
        (card.title, (card.lines, holds))
    };
    all.into_iter().map(one).collect()
}

fn assert_opens_exactly(spec: &str) {
    let (host, rests) = all_signed(&host(), spec);
    let opened = open(&host, spec, &settings()).unwrap();
    let path = |one: &Finding| opened.sources.path(one.primary.span.file).to_owned();
    assert!(opened.findings.iter().all(|one| !path(one).ends_with(".proof")));
    let before = cards(&opened);
    assert!(before.values().all(|(_, holds)| *holds), "{spec}: {before:#?}");
    let mut wrong = Vec::new();
    let facts = facts(&opened);
    assert!(60 < facts.len(), "{spec} has {} facts", facts.len());
    for (span, (edit, names)) in facts {
        let text = &opened.sources.file(span.file).unwrap().text;
        let was = opened.sources.text(span).to_owned();
        let text = apply(text, std::slice::from_ref(&edit)).unwrap();
        let changed = read_again(&opened, span.file, &text);
        for (title, (lines, holds)) in cards(&changed) {
            // A part whose kind is not known may ask for a step that nobody signed.
            let Some(rests) = rests.get(&title) else { continue };
            let reads = rests.intersection(&names).next().is_some();
            if holds == reads {
                let is = if reads { "holds" } else { "is open" };
                wrong.push(format!("{title} {is} without `{was}` ({names:?})"));
            }
            if holds && lines != before[&title].0 {
                wrong.push(format!(
                    "{title} holds, and says another thing without `{was}`: {lines:?}"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{spec}:\n{}", wrong.join("\n"));
}

#[test]
fn each_fact_of_the_first_evening_opens_exactly_what_rests_on_it() {
    assert_opens_exactly(EXAMPLES[0]);
}

#[test]
fn each_fact_of_the_lapwing_opens_exactly_what_rests_on_it() {
    assert_opens_exactly(EXAMPLES[1]);
}

#[test]
fn each_fact_of_the_whinchat_opens_exactly_what_rests_on_it() {
    assert_opens_exactly(EXAMPLES[2]);
}

#[test]
fn each_fact_of_the_yellowhammer_opens_exactly_what_rests_on_it() {
    assert_opens_exactly(EXAMPLES[3]);
}

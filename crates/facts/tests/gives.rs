//! Everything that a rule can ask for is of the kind that the tables say.
#![expect(clippy::unwrap_used, reason = "helpers of tests")]

use std::rc::Rc;
use std::sync::Arc;

use trimsheet_facts::computed::{CROWDING, OF_VALUES, computed};
use trimsheet_facts::gives::{Asked, Gives, asked, beside, names};
use trimsheet_facts::model::quantity::{Axis, Dimension};
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::vocabulary::{self, Vocabulary};
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Card, Facts, Known, OfStep, Step, What};

fn facts() -> Facts {
    let text = include_str!("everything.trim");
    let mut sources = Sources::default();
    let file = sources.add("everything.trim", text);
    let tree = syntax::parse(file, text);
    let documents = [Document { file, tree, shelves: Vec::new() }];
    let (build, findings) = resolve(&documents, &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    let facts = Facts::new(build, Stage::Bench).on("2026-02-04".parse().ok());
    let facts = facts.from_texts(sources).asked_for(Arc::new(vec![throws()]));
    let missing = ["photos/gone.jpg".to_owned()].into_iter().collect();
    facts.following(Some(reference())).without_files(missing)
}

/// What the model follows: it has nothing in common with it.
fn reference() -> Facts {
    let text = "part motor: mass 3 g\npack main: mass 3 g\n";
    let mut sources = Sources::default();
    let file = sources.add("drawings.trim", text);
    let tree = syntax::parse(file, text);
    let (build, _) = resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    Facts::new(build, Stage::Planned).from_texts(sources)
}

/// A step that is asked for: which there are is for packs to say.
fn throws() -> Step {
    Step {
        name: "throws".into(),
        title: "Throws measured".into(),
        pack: "core".into(),
        card: Card::Bench,
        before: Some(Stage::Bench),
        order: 1,
        of: OfStep::Build,
        only: Vec::new(),
        record: "done",
        says: Vec::new(),
        holds: None,
        after: None,
        script: "5c0ffee0".into(),
        rests: Vec::new(),
        rules: Vec::new(),
        caution: None,
    }
}

/// What is wrong with a thing that should be of a kind.
fn unlike(gives: Gives, known: &Known, facts: &Facts) -> Option<String> {
    let wrong =
        || Some(format!("{} is no {}: {:?}", known.name, gives.says(), known.what));
    let is = match (gives, &known.what) {
        (Gives::Build, What::Build)
        | (Gives::Place, What::Place(_))
        | (Gives::Size, What::Size(_))
        | (Gives::Date, What::Date(_))
        | (Gives::Count, What::Count(_))
        | (Gives::Flag, What::Flag(_))
        | (Gives::Line(..), What::Words(_))
        | (Gives::Value, What::Quantity(_) | What::Range(..) | What::Place(_))
        | (Gives::Value, What::Size(_) | What::Unknown(_) | What::Count(_)) => true,
        (Gives::Entry(words) | Gives::Named(words), What::Entry(_)) => {
            words.is_empty() || words.contains(&facts.word(known).unwrap())
        }
        (Gives::Quantity(of), What::Quantity(quantity)) => {
            of.is_empty() || of.contains(&quantity.dimension())
        }
        (Gives::Range(of, axis), What::Range(low, high)) => {
            low.dimension() == of && high.dimension() == of && low.axis() == axis
        }
        (Gives::Words(among), What::Words(words)) => {
            among.words().is_none_or(|all| all.contains(&words.as_str()))
        }
        (Gives::Named(words), What::List(list)) => {
            return list.iter().find_map(|one| unlike(Gives::Entry(words), one, facts));
        }
        (Gives::List(of), What::List(list)) => {
            return list.iter().find_map(|one| unlike(*of, one, facts));
        }
        (Gives::Record(fields), What::Record(has)) => {
            let found = has.iter().find_map(|(name, known)| {
                let field = fields.iter().find(|field| field.name == *name);
                match field {
                    Some(field) => unlike(field.gives, known, facts),
                    None => Some(format!("{name} is no field of {}", known.name)),
                }
            });
            let lacks = fields.iter().find(|field| {
                let may_lack = field.name.starts_with("room_");
                !may_lack && has.iter().all(|(name, _)| *name != field.name)
            });
            return found.or_else(|| lacks.map(|field| format!("no {}", field.name)));
        }
        _ => return wrong(),
    };
    if is { None } else { wrong() }
}

fn entries(facts: &Facts, word: &str) -> Vec<Known> {
    match word {
        "build" => vec![facts.whole()],
        "*" => vocabulary::entry_words().flat_map(|word| entries(facts, word)).collect(),
        word => facts.of_word(word).map(|(id, _)| facts.known_entry(id)).collect(),
    }
}

#[test]
fn every_computed_fact_gives_what_its_row_says() {
    let facts = facts();
    for row in computed() {
        let all = entries(&facts, row.on);
        let known: Vec<Known> =
            all.iter().filter_map(|one| facts.of(one, row.name).ok()).collect();
        assert!(!known.is_empty(), "{}.{}: nothing known", row.on, row.name);
        let is_empty =
            |known: &Known| matches!(&known.what, What::List(l) if l.is_empty());
        let shown = row.name == "outline_faults" || !known.iter().all(is_empty);
        assert!(shown, "{}.{}: only empty lists", row.on, row.name);
        let wrong = known.iter().find_map(|one| unlike(row.gives, one, &facts));
        assert_eq!(wrong, None, "{}.{}", row.on, row.name);
    }
}

#[test]
fn every_fact_of_the_vocabulary_gives_what_its_row_takes() {
    let facts = facts();
    let mut seen = 0;
    for word in vocabulary::entry_words() {
        for one in entries(&facts, word) {
            for name in names(&Vocabulary::default(), word) {
                let asked = asked(&Vocabulary::default(), word, &name).unwrap();
                let (Asked::Said(row) | Asked::AllSaid(row)) = asked else { continue };
                let Ok(known) = facts.of(&one, &name) else { continue };
                seen += 1;
                let gives = row.slots.first().map_or(Gives::Flag, Gives::slot);
                let wrong = match (&asked, &known.what) {
                    (Asked::AllSaid(_), What::List(list)) => {
                        list.iter().find_map(|one| unlike(gives, one, &facts))
                    }
                    _ => unlike(gives, &known, &facts),
                };
                assert_eq!(wrong, None, "{word}.{name}");
            }
        }
    }
    assert!(seen > 150, "{seen}");
}

#[test]
fn every_slot_beside_a_value_gives_what_it_takes() {
    let facts = facts();
    let mut seen = 0;
    for word in vocabulary::entry_words() {
        for one in entries(&facts, word) {
            for row in vocabulary::facts(word).filter(|row| !row.often) {
                let Ok(known) = facts.of(&one, &row.word.replace('-', "_")) else {
                    continue;
                };
                for slot in row.slots.iter().skip(1) {
                    let name = slot.name.replace('-', "_");
                    let Some((_, many)) = beside(row, &name) else { continue };
                    let Ok(found) = facts.of(&known, &name) else { continue };
                    seen += 1;
                    let wrong = match (&found.what, many) {
                        (What::List(list), true) => list
                            .iter()
                            .find_map(|one| unlike(Gives::slot(slot), one, &facts)),
                        _ => unlike(Gives::slot(slot), &found, &facts),
                    };
                    assert_eq!(wrong, None, "{word}.{}.{name}", row.word);
                }
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

#[test]
fn every_property_of_a_value_gives_what_its_row_says() {
    let facts = facts();
    let What::List(values) = facts.of(&facts.whole(), "values").unwrap().what else {
        unreachable!("a list");
    };
    // No number of a spec is a day, but the days that numbers come from are asked too.
    let dated = values.iter().filter_map(|value| facts.of(value, "dated").ok());
    let values: Vec<Known> = values.iter().cloned().chain(dated).collect();
    for one in OF_VALUES {
        let found: Vec<Known> =
            values.iter().filter_map(|value| facts.of(value, one.name).ok()).collect();
        assert!(!found.is_empty(), "{}: of no value", one.name);
        let wrong = found.iter().find_map(|known| unlike(one.gives, known, &facts));
        assert_eq!(wrong, None, "{}", one.name);
    }
}

#[test]
fn crowding_gives_what_its_record_says() {
    let facts = facts();
    for loadout in entries(&facts, "loadout") {
        let crowds = facts.crowding(&loadout, 0.002).unwrap();
        assert!(!crowds.is_empty());
        let list = Known::computed(What::List(Rc::new(crowds)), "crowding", None);
        assert_eq!(unlike(CROWDING, &list, &facts), None);
    }
}

#[test]
fn a_kind_is_said_as_a_person_would() {
    for (gives, says) in [
        (Gives::Quantity(&[Dimension::MASS]), "a mass"),
        (
            Gives::List(&Gives::Entry(&["assembly", "part"])),
            "a list of assemblies and parts",
        ),
        (Gives::List(&Gives::Record(&[])), "a list of records"),
        (
            Gives::Range(Dimension::LENGTH, Some(Axis::Length)),
            "a range of places, each a length",
        ),
        (Gives::Named(&["part"]), "a part, or a list of both where it is a pair"),
    ] {
        assert_eq!(gives.says(), says);
    }
}

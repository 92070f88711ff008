//! What the functions of the host take and give.

use trimsheet_rules::facts::computed::CROWDING;
use trimsheet_rules::facts::gives::{asked, names};
use trimsheet_rules::facts::model::quantity::{Dimension, nearest_unit};
use trimsheet_rules::facts::model::vocabulary::{self, Takes, Vocabulary};
use trimsheet_rules::source::{Level, nearest};

use super::kind::{Kind, Line, Of};
use super::names::hint;
use super::operators::{among, like};
use crate::functions::quantity;

/// What a function of the host wants at one place.
#[derive(Clone, Copy)]
enum Want {
    /// Anything of the model.
    Model,
    Text,
    Finding,
    List,
    /// A number with a unit; none named is any.
    Number(Option<Dimension>),
    Range,
    Loadout,
    Build,
    Date,
}

const LENGTH: Want = Want::Number(Some(Dimension::LENGTH));
const ANGLE: Want = Want::Number(Some(Dimension::ANGLE));
const SHARE: Want = Want::Number(Some(Dimension::NONE));
const NUMBER: Want = Want::Number(None);

/// What a function of the host takes, the value before the point first.
const HOST: &[(&str, &[Want])] = &[
    ("finding", &[Want::Model, Want::Text]),
    ("label", &[Want::Finding, Want::Text]),
    ("number", &[Want::Finding, NUMBER_OR_WORDS]),
    ("because", &[Want::Finding, Want::Model, Want::Text]),
    ("remedy", &[Want::Finding, Want::Text]),
    ("remedy", &[Want::Finding, Want::Text, Want::Model, Want::Text]),
    ("replan", &[Want::Finding, Want::Text, Want::Model, Want::Text]),
    ("remedies", &[Want::Finding, Want::List]),
    ("likely", &[Want::Finding, Want::Text]),
    ("at_most", &[Want::Finding, Want::Text]),
    ("has", &[Want::Model, Want::Text]),
    ("quantity", &[Want::Text]),
    ("surely_above", &[NUMBER, NUMBER]),
    ("surely_below", &[NUMBER, NUMBER]),
    ("possibly_above", &[NUMBER, NUMBER]),
    ("possibly_below", &[NUMBER, NUMBER]),
    ("narrowed", &[Want::Range, NUMBER]),
    ("ways_into", &[Want::Loadout, Want::Range]),
    ("moves_into", &[Want::Loadout, Want::Range]),
    ("as_weighed_ways_into", &[Want::Loadout, Want::Range]),
    ("ways_to_list", &[Want::Loadout]),
    ("ways_to_plug", &[Want::Model]),
    ("ways_to_turn", &[Want::Model, Want::Model]),
    ("stops_inside", &[Want::Loadout, Want::Range]),
    ("ways_with_lead", &[Want::Loadout]),
    ("ways_to_save_lead", &[Want::Loadout]),
    ("ways_to_share", &[Want::Loadout, Want::Loadout]),
    ("ways_to_lengthen", &[Want::Model, LENGTH]),
    ("ways_to_clear", &[Want::Model, Want::Model, LENGTH]),
    ("stall_speed", &[Want::Loadout, SHARE]),
    ("turning_stall_speed", &[Want::Loadout, SHARE, ANGLE]),
    ("edge_for", &[Want::Loadout, SHARE]),
    ("crowding", &[Want::Loadout, LENGTH]),
    ("has_most", &[Want::Loadout, Want::Text]),
    ("share_of_chord", &[Want::Build, LENGTH]),
    ("of_kind", &[Want::Build, Want::Text]),
    ("records", &[Want::Build, Want::Text]),
    ("steps", &[Want::Build, Want::Text]),
    ("date", &[Want::Text]),
    ("days_after", &[Want::Date, Want::Date]),
    ("time_after", &[Want::Date, Want::Date]),
];

/// Whatever is given, a number that is none is left out.
const NUMBER_OR_WORDS: Want = Want::Model;

/// What a call of a function of the host comes to.
///
/// `given` are the values, the one before the point first. A function that is not the
/// host's own may come to anything.
///
/// # Errors
/// Which value is not what the function takes, by its place, and why.
pub(crate) fn called(
    name: &str,
    given: &[Kind],
    vocabulary: &Vocabulary,
) -> Result<Kind, (usize, String)> {
    let host =
        HOST.iter().find(|(own, wants)| *own == name && wants.len() == given.len());
    let Some((_, wants)) = host else { return Ok(library(name, given)) };
    for (at, (want, kind)) in wants.iter().zip(given).enumerate() {
        want.met_by(kind).map_err(|says| (at, format!("`{name}` {says}")))?;
    }
    if let (
        true,
        Some((Kind::Value(Of::Quantity(a), _), Kind::Value(Of::Quantity(b), _))),
    ) = (is_comparison(name), given.first().zip(given.get(1)))
        && !like(a, b)
    {
        let (a, b) = (Kind::quantity(a.clone()), Kind::quantity(b.clone()));
        return Err((1, format!("{} cannot be compared with {}", a.says(), b.says())));
    }
    gives(name, given, vocabulary).map_err(|says| (1, says))
}

fn is_comparison(name: &str) -> bool {
    matches!(name, "surely_above" | "surely_below" | "possibly_above" | "possibly_below")
}

fn gives(name: &str, given: &[Kind], vocabulary: &Vocabulary) -> Result<Kind, String> {
    let text = |at: usize| match given.get(at) {
        Some(Kind::Text(Some(text))) => Some(text.as_ref()),
        _ => None,
    };
    Ok(match name {
        "at_most" => {
            let words = Level::ALL.map(Level::word);
            among(&words, text(1)).map_err(|_| {
                let found = text(1).unwrap_or("");
                format!("expected one of {}, found `{found}`", words.join(", "))
            })?;
            Kind::Finding
        }
        "finding" | "label" | "number" | "because" | "remedy" | "replan" | "remedies"
        | "likely" => Kind::Finding,
        "has_most" => text(1).map_or(Ok(Kind::Flag), |text| most(text, vocabulary))?,
        "has" | "surely_above" | "surely_below" | "possibly_above" | "possibly_below" => {
            Kind::Flag
        }
        "quantity" => text(0).map_or(Ok(Kind::quantity(Vec::new())), read)?,
        "narrowed" => given.first().cloned().unwrap_or(Kind::Any),
        "ways_into"
        | "moves_into"
        | "as_weighed_ways_into"
        | "ways_to_list"
        | "ways_to_plug"
        | "ways_to_turn"
        | "stops_inside"
        | "ways_with_lead"
        | "ways_to_save_lead"
        | "ways_to_share"
        | "ways_to_lengthen"
        | "ways_to_clear" => Kind::list(Kind::Remedy),
        "date" => Kind::Value(Of::Date, Line::Nowhere),
        "days_after" | "time_after" => Kind::quantity(vec![Dimension::TIME]),
        "steps" => Kind::list(Kind::entry(vec!["done"])),
        "records" => Kind::list(Kind::entry(match text(1) {
            Some("weighed") => vec!["weighed"],
            Some("balanced") => vec!["balanced"],
            Some("done") => vec!["done"],
            Some("saved") => vec!["saved"],
            Some("checked") => vec!["checked"],
            Some("ran") => vec!["ran"],
            Some("flew") => vec!["flew"],
            _ => vec!["weighed", "balanced", "done", "saved", "checked", "ran", "flew"],
        })),
        "stall_speed" | "turning_stall_speed" => Kind::quantity(vec![Dimension::SPEED]),
        "edge_for" => Kind::quantity(vec![Dimension::LENGTH]),
        "crowding" => Kind::of(CROWDING, Line::Nowhere),
        "share_of_chord" => Kind::quantity(vec![Dimension::NONE]),
        "of_kind" => {
            of_kind(text(1))?;
            Kind::list(Kind::entry(vec!["part"]))
        }
        _ => Kind::Any,
    })
}

fn most(name: &str, vocabulary: &Vocabulary) -> Result<Kind, String> {
    if asked(vocabulary, "loadout", name).is_some() {
        return Ok(Kind::Flag);
    }
    let names = names(vocabulary, "loadout");
    let near = nearest(name, names.iter().map(String::as_str));
    Err(format!("a loadout has nothing called `{name}`{}", hint(near)))
}

fn read(text: &str) -> Result<Kind, String> {
    if let Some(read) = quantity(text) {
        return Ok(Kind::quantity(vec![read.dimension()]));
    }
    let unit = text.trim().trim_start_matches(|c: char| {
        c.is_ascii_digit() || matches!(c, '.' | '-' | '/' | ' ')
    });
    let near = nearest_unit(unit).filter(|_| !unit.is_empty());
    Err(format!("expected a number with its unit, found \"{text}\"{}", hint(near)))
}

fn of_kind(word: Option<&str>) -> Result<(), String> {
    let kinds = vocabulary::fact("part", "kind").and_then(|row| row.slots.first());
    let Some(Takes::Word(words)) = kinds.map(|slot| slot.takes) else { return Ok(()) };
    match word.filter(|word| !words.contains(word)) {
        None => Ok(()),
        Some(word) => {
            let near = nearest(word, words.iter().copied());
            Err(format!("no kind of part is called `{word}`{}", hint(near)))
        }
    }
}

/// What those functions of lists and texts come to that rules use most.
fn library(name: &str, given: &[Kind]) -> Kind {
    match (name, given.first()) {
        ("len" | "index_of", Some(Kind::List(_) | Kind::Text(_))) => Kind::Number(None),
        ("extract", Some(list @ Kind::List(_))) => list.clone(),
        ("contains" | "is_empty", Some(Kind::List(_) | Kind::Text(_))) => Kind::Flag,
        _ => Kind::Any,
    }
}

impl Want {
    fn met_by(self, kind: &Kind) -> Result<(), String> {
        if kind.is_open() || self.is(kind) {
            return Ok(());
        }
        let help = match (self, kind) {
            (Want::Text, Kind::Value(..) | Kind::Number(_)) => {
                "; a text holds it as `${it}` between backticks"
            }
            _ => "",
        };
        Err(format!("wants {}, found {}{help}", self.says(), kind.says()))
    }

    fn is(self, kind: &Kind) -> bool {
        let Kind::Value(of, _) = kind else {
            return match self {
                Want::Text => matches!(kind, Kind::Text(_)),
                Want::Finding => matches!(kind, Kind::Finding),
                Want::List => matches!(kind, Kind::List(_)),
                Want::Model
                | Want::Number(_)
                | Want::Range
                | Want::Loadout
                | Want::Build
                | Want::Date => false,
            };
        };
        match self {
            Want::Model => true,
            Want::Text | Want::Finding | Want::List => false,
            Want::Number(None) => matches!(of, Of::Quantity(_) | Of::Stated),
            Want::Number(Some(one)) => {
                let of_one = |of: &[Dimension]| like(of, &[one]);
                matches!(of, Of::Quantity(of) if of_one(of)) || *of == Of::Stated
            }
            Want::Date => matches!(of, Of::Date),
            Want::Range => matches!(of, Of::Range(..) | Of::Stated),
            Want::Loadout => {
                let is_one =
                    |words: &[&str]| words.is_empty() || words.contains(&"loadout");
                matches!(of, Of::Entry(words) if is_one(words))
            }
            Want::Build => true,
        }
    }

    fn says(self) -> String {
        match self {
            Want::Model => "a value, an entry or the build".into(),
            Want::Text => "a text".into(),
            Want::Finding => "a finding before its point".into(),
            Want::List => "a list".into(),
            Want::Number(None) => "a number with its unit".into(),
            Want::Number(Some(one)) => one.says(),
            Want::Range => "a range".into(),
            Want::Date => "a date".into(),
            Want::Loadout => "a loadout before its point".into(),
            Want::Build => "the build before its point".into(),
        }
    }
}

//! What a name behind a point comes to, or that there is no such name.

use trimsheet_rules::Parameter;
use trimsheet_rules::facts::computed::{OF_VALUES, Property, property};
use trimsheet_rules::facts::gives::{Gives, asked, beside, names};
use trimsheet_rules::facts::model::quantity::{Axis, Unit};
use trimsheet_rules::facts::model::vocabulary::{Vocabulary, entry_words};
use trimsheet_rules::source::nearest;

use super::kind::{Kind, Line, Of, slot_names};
use super::natives::Natives;
use crate::functions::UNITS;

/// What a number can be asked for beside what stands in its line.
const OF_NUMBERS: [&str; 4] = ["with_spread", "exact", "rough", "magnitude"];

/// What something has by this name.
///
/// # Errors
/// That it has nothing by this name, whatever it turns out to be.
pub(crate) fn named(
    of: &Kind,
    name: &str,
    set: &[Parameter],
    natives: &Natives,
) -> Result<Kind, String> {
    match of {
        Kind::Never | Kind::Any | Kind::Finding | Kind::Remedy => Ok(Kind::Any),
        Kind::Number(_) => unit(name, natives),
        Kind::Nothing | Kind::Flag | Kind::Text(_) | Kind::List(_) => {
            if natives.has_getter(name) {
                Ok(Kind::Any)
            } else {
                Err(no_such(&of.says(), name, &[]))
            }
        }
        Kind::Set => parameter(name, set),
        Kind::Value(of, line) => of_value(of, *line, name, &natives.vocabulary),
    }
}

fn parameter(name: &str, set: &[Parameter]) -> Result<Kind, String> {
    let found = set.iter().find(|parameter| parameter.name == name);
    let found =
        found.map(|parameter| Kind::quantity(vec![parameter.default.dimension()]));
    found.ok_or_else(|| {
        let near = nearest(name, set.iter().map(|parameter| parameter.name.as_str()));
        let hint = hint(near);
        format!("the rule has no parameter called `{name}` in SET{hint}")
    })
}

fn unit(name: &str, natives: &Natives) -> Result<Kind, String> {
    if UNITS.contains(&name) {
        let text = if name == "percent" { "%" } else { name };
        let unit = Unit::read(text);
        return Ok(unit.map_or(Kind::Any, |unit| Kind::quantity(vec![unit.dimension()])));
    }
    if natives.has_getter(name) {
        return Ok(Kind::Any);
    }
    let near = nearest(name, UNITS.iter().copied());
    let hint = near.map_or_else(
        || format!("; there are {}", UNITS.join(", ")),
        |near| format!("; the nearest is `{near}`"),
    );
    Err(format!(
        "no unit behind a point is called `{name}`{hint}; quantity(\"12 km/h\") takes every unit that a spec may use"
    ))
}

fn of_value(
    of: &Of,
    line: Line,
    name: &str,
    vocabulary: &Vocabulary,
) -> Result<Kind, String> {
    // What names an entry stands for its line first.
    let is_slot = match line {
        Line::Nowhere => false,
        Line::In(row) => beside(row, name).is_some(),
        Line::Unsure => slot_names(vocabulary).any(|slot| slot == name),
    };
    if let (Of::Entry(_), true, Some(kind)) =
        (of, is_slot, in_line(line, name, vocabulary))
    {
        return Ok(kind);
    }
    match of {
        Of::Build => of_words(&["build"], "the build", name, vocabulary),
        Of::Entry(words) if words.is_empty() => {
            let all: Vec<&str> = entry_words().collect();
            of_words(&all, "an entry", name, vocabulary)
        }
        Of::Entry(words) => of_words(words, &of.says(), name, vocabulary),
        Of::Record(fields) => {
            let field = fields.iter().find(|field| field.name == name);
            let names: Vec<String> =
                fields.iter().map(|field| field.name.to_owned()).collect();
            field
                .map(|field| Kind::of(field.gives, Line::Nowhere))
                .ok_or_else(|| no_such("the record", name, &names))
        }
        Of::Quantity(_)
        | Of::Range(..)
        | Of::Place
        | Of::Size
        | Of::Words(_)
        | Of::Date
        | Of::Stated => of_line(of, line, name, vocabulary),
    }
}

/// What every one of these entries has by a name, or those that have it.
fn of_words(
    words: &[&str],
    says: &str,
    name: &str,
    vocabulary: &Vocabulary,
) -> Result<Kind, String> {
    let found =
        words.iter().filter_map(|word| asked(vocabulary, word, name)).map(Kind::asked);
    found.reduce(Kind::join).ok_or_else(|| {
        let all: Vec<String> =
            words.iter().flat_map(|word| names(vocabulary, word)).collect();
        no_such(says, name, &all)
    })
}

fn of_line(
    of: &Of,
    line: Line,
    name: &str,
    vocabulary: &Vocabulary,
) -> Result<Kind, String> {
    if let (Of::Quantity(dimensions), true) = (of, OF_NUMBERS.contains(&name)) {
        return Ok(match name {
            "with_spread" => Kind::Text(None),
            _ => Kind::quantity(dimensions.clone()),
        });
    }
    if let Some(kind) = in_line(line, name, vocabulary) {
        return Ok(kind);
    }
    if let Some(part) = parts(of).find(|part| part.name == name) {
        return Ok(match (of, part.gives) {
            (Of::Quantity(same), _) => Kind::Value(Of::Quantity(same.clone()), line),
            (Of::Range(dimension, _), _) => {
                Kind::Value(Of::Quantity(vec![*dimension]), line)
            }
            (_, gives) => Kind::of(gives, line),
        });
    }
    if *of == Of::Stated && may_be(name, vocabulary) {
        return Ok(property("value", name)
            .map_or(Kind::Any, |one| Kind::of(one.gives, Line::Nowhere)));
    }
    let mut all: Vec<String> = parts(of).map(|part| part.name.to_owned()).collect();
    if let Of::Quantity(_) = of {
        all.extend(OF_NUMBERS.iter().map(|name| (*name).to_owned()));
    }
    all.extend(names_in(line, vocabulary));
    Err(no_such(&of.says(), name, &all))
}

/// What the line of a value has by this name: another slot, or what every value has.
fn in_line(line: Line, name: &str, vocabulary: &Vocabulary) -> Option<Kind> {
    match line {
        Line::Nowhere => None,
        Line::In(row) => {
            let every = property("value", name);
            let every = every.map(|one| Kind::of(one.gives, Line::Nowhere));
            every.or_else(|| {
                let (slot, many) = beside(row, name)?;
                let kind = Kind::of(Gives::slot(slot), Line::In(row));
                Some(if many { Kind::list(kind) } else { kind })
            })
        }
        Line::Unsure => {
            let some = property("value", name).is_some()
                || slot_names(vocabulary).any(|slot| slot == name);
            some.then_some(Kind::Any)
        }
    }
}

fn names_in(line: Line, vocabulary: &Vocabulary) -> Vec<String> {
    let every = OF_VALUES.iter().filter(|one| one.on == "value");
    let every = every.map(|one| one.name.to_owned());
    match line {
        Line::Nowhere => Vec::new(),
        Line::In(row) => {
            let slots = row.slots.iter().map(|slot| slot.name.replace('-', "_"));
            every.chain(slots).collect()
        }
        Line::Unsure => every.chain(slot_names(vocabulary)).collect(),
    }
}

/// The parts that a value of this kind has, wherever it stands.
fn parts(of: &Of) -> impl Iterator<Item = &'static Property> {
    let (on, is_place) = match of {
        Of::Quantity(_) => ("number", false),
        Of::Range(_, axis) => ("range", *axis == Some(Axis::Length)),
        Of::Place => ("place", false),
        Of::Size => ("size", false),
        Of::Date => ("date", false),
        Of::Build | Of::Entry(_) | Of::Words(_) | Of::Record(_) | Of::Stated => {
            ("", false)
        }
    };
    OF_VALUES.iter().filter(move |one| {
        one.on == on && (is_place || !matches!(one.name, "forward" | "aft"))
    })
}

/// Whether a value of which only its being one is known can have this name.
fn may_be(name: &str, vocabulary: &Vocabulary) -> bool {
    OF_VALUES.iter().any(|one| one.name == name)
        || OF_NUMBERS.contains(&name)
        || slot_names(vocabulary).any(|slot| slot == name)
}

fn no_such(of: &str, name: &str, known: &[String]) -> String {
    let near = nearest(name, known.iter().map(String::as_str));
    format!("{of} has nothing called `{name}`{}", hint(near))
}

/// The end of a sentence that names the nearest word, if there is one.
pub(crate) fn hint(near: Option<&str>) -> String {
    near.map_or(String::new(), |near| format!("; the nearest is `{near}`"))
}

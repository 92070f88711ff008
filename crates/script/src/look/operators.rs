//! What an operator makes of two things, or that they do not go together.
//!
//! The same rules as `crate::operators` enforces while a script runs.

use trimsheet_rules::facts::model::quantity::Dimension;
use trimsheet_rules::source::nearest;

use super::kind::{Kind, Line, Of};
use super::names::hint;

/// What an operator with two sides comes to.
///
/// # Errors
/// That the two sides do not go together, whatever their values turn out to be.
pub(crate) fn operated(operator: &str, a: &Kind, b: &Kind) -> Result<Kind, String> {
    match operator {
        "==" | "!=" | "<" | "<=" | ">" | ">=" => {
            compared(operator, a, b).map(|()| Kind::Flag)
        }
        "+" | "-" | "*" | "/" => reckoned(operator, a, b),
        _ => Ok(Kind::Any),
    }
}

/// Whether two things can be compared.
fn compared(operator: &str, a: &Kind, b: &Kind) -> Result<(), String> {
    let equality = matches!(operator, "==" | "!=");
    let unlike = || Err(format!("{} cannot be compared with {}", a.says(), b.says()));
    match (a, b) {
        (Kind::Any | Kind::Never, _) | (_, Kind::Any | Kind::Never) => Ok(()),
        (Kind::Number(_), Kind::Number(_)) | (Kind::List(_), Kind::List(_)) => Ok(()),
        (Kind::Text(_), Kind::Text(_)) | (Kind::Flag, Kind::Flag) if equality => Ok(()),
        (Kind::Value(of, _), Kind::Text(text))
        | (Kind::Text(text), Kind::Value(of, _))
            if equality =>
        {
            with_text(of, text.as_deref()).unwrap_or_else(unlike)
        }
        (Kind::Value(a, _), Kind::Value(b, _)) => {
            if go_together(a, b, equality) {
                Ok(())
            } else {
                unlike()
            }
        }
        (
            Kind::Nothing
            | Kind::Flag
            | Kind::Number(_)
            | Kind::Text(_)
            | Kind::List(_)
            | Kind::Finding
            | Kind::Remedy
            | Kind::Set
            | Kind::Value(..),
            _,
        ) => unlike(),
    }
}

/// Words against a text; nothing where it is no words.
fn with_text(of: &Of, text: Option<&str>) -> Option<Result<(), String>> {
    match of {
        Of::Words(Some(words)) => Some(among(words, text)),
        Of::Words(None) | Of::Stated => Some(Ok(())),
        Of::Build
        | Of::Entry(_)
        | Of::Quantity(_)
        | Of::Range(..)
        | Of::Place
        | Of::Size
        | Of::Date
        | Of::Record(_) => None,
    }
}

/// Whether a text is one of the words that something can be.
pub(crate) fn among(words: &[&str], text: Option<&str>) -> Result<(), String> {
    let Some(text) = text.filter(|text| !words.contains(text)) else { return Ok(()) };
    let near = nearest(text, words.iter().copied());
    let hint = near.map_or_else(
        || format!("; it is one of {}", some(words)),
        |near| hint(Some(near)),
    );
    Err(format!("it is never \"{text}\"{hint}"))
}

fn some(words: &[&str]) -> String {
    let first: Vec<&str> = words.iter().take(12).copied().collect();
    let more = words.len().saturating_sub(first.len());
    let all = first.join(", ");
    if more == 0 { all } else { format!("{all} and {more} more") }
}

fn go_together(a: &Of, b: &Of, equality: bool) -> bool {
    match (a, b) {
        (Of::Stated, _) | (_, Of::Stated) | (Of::Date, Of::Date) => true,
        (Of::Words(_), Of::Words(_)) => equality,
        (Of::Quantity(a), Of::Quantity(b)) => like(a, b),
        (
            Of::Build
            | Of::Entry(_)
            | Of::Quantity(_)
            | Of::Range(..)
            | Of::Place
            | Of::Size
            | Of::Words(_)
            | Of::Date
            | Of::Record(_),
            _,
        ) => false,
    }
}

/// Whether two numbers may be of one dimension; none named is any.
pub(crate) fn like(a: &[Dimension], b: &[Dimension]) -> bool {
    a.is_empty() || b.is_empty() || a.iter().any(|one| b.contains(one))
}

fn reckoned(operator: &str, a: &Kind, b: &Kind) -> Result<Kind, String> {
    let is_sum = matches!(operator, "+" | "-");
    match (a, b) {
        (Kind::Any | Kind::Never, _) | (_, Kind::Any | Kind::Never) => Ok(Kind::Any),
        (Kind::Number(_), Kind::Number(_)) => Ok(Kind::Number(None)),
        (Kind::Text(_), _) | (_, Kind::Text(_)) if operator == "+" => {
            Ok(Kind::Text(None))
        }
        (Kind::List(_), Kind::List(_)) if operator == "+" => {
            Ok(a.clone().join(b.clone()))
        }
        (Kind::Value(one, _), Kind::Value(two, _)) => both(operator, one, two),
        (Kind::Value(of, _), Kind::Number(_)) if !is_sum => scaled(of),
        (Kind::Number(_), Kind::Value(of, _)) if operator == "*" => scaled(of),
        (Kind::Value(..), Kind::Number(_)) | (Kind::Number(_), Kind::Value(..)) => {
            Err(cannot(operator, a, b))
        }
        (Kind::Value(..), Kind::Text(_) | Kind::Flag | Kind::Nothing)
        | (Kind::Text(_) | Kind::Flag | Kind::Nothing, Kind::Value(..)) => {
            Err(cannot(operator, a, b))
        }
        (_, _) => Ok(Kind::Any),
    }
}

fn cannot(operator: &str, a: &Kind, b: &Kind) -> String {
    let (a, b) = (a.says(), b.says());
    match operator {
        "+" => format!("{a} and {b} cannot be added"),
        "-" => format!("{b} cannot be taken from {a}"),
        "*" => format!("{a} and {b} cannot be multiplied"),
        _ => format!("{a} cannot be divided by {b}"),
    }
}

fn scaled(of: &Of) -> Result<Kind, String> {
    Ok(dimensions(of)?.map_or(Kind::Any, |of| Kind::quantity(of.to_vec())))
}

/// The dimensions that a number may have; nothing where it may be no number at all.
fn dimensions(of: &Of) -> Result<Option<&[Dimension]>, String> {
    match of {
        Of::Quantity(dimensions) => Ok(Some(dimensions)),
        Of::Stated => Ok(None),
        Of::Build
        | Of::Entry(_)
        | Of::Range(..)
        | Of::Place
        | Of::Size
        | Of::Words(_)
        | Of::Date
        | Of::Record(_) => {
            Err(format!("expected a number with its unit, found {}", of.says()))
        }
    }
}

fn both(operator: &str, a: &Of, b: &Of) -> Result<Kind, String> {
    let (Some(one), Some(two)) = (dimensions(a)?, dimensions(b)?) else {
        return Ok(Kind::Any);
    };
    if matches!(operator, "+" | "-") {
        if !like(one, two) {
            let (a, b) = (
                Kind::Value(a.clone(), Line::Nowhere),
                Kind::Value(b.clone(), Line::Nowhere),
            );
            return Err(cannot(operator, &a, &b));
        }
        let known = if one.is_empty() { two } else { one };
        return Ok(Kind::quantity(known.to_vec()));
    }
    let ([one], [two]) = (one, two) else { return Ok(Kind::quantity(Vec::new())) };
    let of = if operator == "*" { one.times(*two) } else { one.over(*two) };
    Ok(Kind::quantity(vec![of]))
}

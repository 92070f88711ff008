//! Faults of scripts, as findings that point into them.

use rhai::{EvalAltResult, ParseError, Position};
use trimsheet_rules::facts::NotKnown;
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, Span, nearest};
use trimsheet_rules::{Ended, Fault};

use crate::first_line;
use crate::functions::DOCUMENTED;

/// A script that cannot be read as a script.
pub(crate) fn no_parse(
    id: &RuleId,
    error: &ParseError,
    file: FileId,
    text: &str,
) -> Finding {
    let span = span(error.position(), file, text);
    let says =
        format!("the rule {id} cannot be read: {}", plain(&error.err_type().to_string()));
    Finding::new("rules/cannot-read", Level::Error, span, says)
        .advised("mend the script, or tell whoever wrote the rule; every other rule ran")
}

/// That a rule is not loaded, because of a mistake in its script.
pub(crate) fn not_loaded(rule: &str, id: &RuleId, span: Span, says: &str) -> Finding {
    let says = format!("the rule {id} could not be loaded: {says}");
    Finding::new(rule, Level::Error, span, says)
        .advised("mend the script, or tell whoever wrote the rule; every other rule ran")
}

/// How a call ended that did not run to its end.
pub(crate) fn ended(error: &EvalAltResult, file: FileId, text: &str) -> Ended {
    let (inner, position) = innermost(error);
    if let Some(why) = not_known(inner) {
        return Ended::CannotSay(why);
    }
    let (rule, says) = says(inner);
    Ended::Fault(Fault { rule, says, span: span(position, file, text) })
}

/// Whether a call ended because something is not known, which is no fault of the script.
pub(crate) fn is_not_known(error: &EvalAltResult) -> bool {
    not_known(innermost(error).0).is_some()
}

fn not_known(inner: &EvalAltResult) -> Option<NotKnown> {
    let EvalAltResult::ErrorRuntime(value, _) = inner else { return None };
    value.clone().try_cast::<NotKnown>()
}

/// The error that a call of a function within functions ended with, and where.
fn innermost(error: &EvalAltResult) -> (&EvalAltResult, Position) {
    let mut at = error;
    let mut position = error.position();
    while let EvalAltResult::ErrorInFunctionCall(_, _, inner, _) = at {
        at = inner;
        if !inner.position().is_none() {
            position = inner.position();
        }
    }
    (at, position)
}

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "the script language's own enum, which grows without us"
)]
fn says(error: &EvalAltResult) -> (&'static str, String) {
    const BOUNDS: &str = "rules/out-of-bounds";
    match error {
        EvalAltResult::ErrorRuntime(value, _) => ("rules/fault", value.to_string()),
        EvalAltResult::ErrorTooManyOperations(_) => (
            BOUNDS,
            "it does not come to an end within the operations that a rule may take"
                .into(),
        ),
        EvalAltResult::ErrorStackOverflow(_) => {
            (BOUNDS, "its functions call each other deeper than a rule may".into())
        }
        EvalAltResult::ErrorDataTooLarge(what, _) => {
            (BOUNDS, format!("{} grows larger than a rule may make it", plain(what)))
        }
        EvalAltResult::ErrorTooManyVariables(_) => {
            (BOUNDS, "it has more variables at a time than a rule may".into())
        }
        EvalAltResult::ErrorFunctionNotFound(signature, _) => {
            ("rules/fault", unknown_function(signature))
        }
        EvalAltResult::ErrorPropertyNotFound(name, _)
        | EvalAltResult::ErrorDotExpr(name, _) => {
            ("rules/fault", format!("there is nothing called `{name}` here"))
        }
        other => ("rules/fault", plain(&other.to_string())),
    }
}

fn unknown_function(signature: &str) -> String {
    let name = signature.split(['(', ' ']).next().unwrap_or(signature);
    let known = || DOCUMENTED.iter().flat_map(|one| called(one.form));
    if known().any(|known| known == name) || !name.starts_with(char::is_alphabetic) {
        return format!(
            "`{}` cannot be worked out with these values",
            short_types(signature)
        );
    }
    let near = nearest(name, known());
    let hint = near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
    format!("no function is called `{name}`{hint}")
}

/// The names of the functions in a documented form: `a.surely_above(b)`.
fn called(form: &str) -> impl Iterator<Item = &str> {
    form.split('(').filter_map(|before| before.rsplit([' ', '.', ',']).next())
}

/// The names of types without the paths that the compiler gives them.
fn short_types(signature: &str) -> String {
    let mut out = String::new();
    let mut word = String::new();
    for letter in signature.chars() {
        if letter.is_alphanumeric() || matches!(letter, '_' | ':') {
            word.push(letter);
        } else {
            out.push_str(word.rsplit("::").next().unwrap_or(""));
            word.clear();
            out.push(letter);
        }
    }
    out.push_str(word.rsplit("::").next().unwrap_or(""));
    out
}

/// A message of the script language, in the middle of a sentence of ours.
fn plain(message: &str) -> String {
    let mut letters = message.chars();
    let first = letters.next().map(|letter| letter.to_lowercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

/// The rest of the word at a position, which counts lines and characters from 1.
pub(crate) fn span(position: Position, file: FileId, text: &str) -> Span {
    let (Some(line), Some(column)) = (position.line(), position.position()) else {
        return first_line(file, text);
    };
    let start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or("");
    let before: usize = line.chars().take(column - 1).map(char::len_utf8).sum();
    let rest = line.get(before..).unwrap_or("");
    let word =
        rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
    let length = word.max(rest.chars().next().map_or(0, char::len_utf8));
    Span { file, start: start + before, end: start + before + length }
}

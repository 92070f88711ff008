//! Operators that refuse unlike things.
//!
//! Left to itself, the script language compares values of unlike types and says false:
//! a rule that never fires. So every comparison of two types that do not belong together
//! is registered here, to end the call with a fault.

use std::cmp::Ordering;

use rhai::{Dynamic, Engine, FLOAT, INT, ImmutableString};
use trimsheet_rules::facts::What;
use trimsheet_rules::facts::model::quantity::{Quantity, Unlike};

use crate::functions::{Documented, doc};
use crate::value::{Given, Value, fault};

/// What operators do, as the reference describes it.
pub const OPERATORS: &[Documented] = &[
    doc(
        "a + b, a - b",
        "Two numbers of one kind. Two places make the length between them; a place and a length make a place.",
        "let room = build.wing.band.aft - build.wing.band.forward;",
    ),
    doc(
        "a * b, a / b",
        "Any two numbers; the unit follows. A number without a unit scales.",
        "let moment = loadout.mass * loadout.balance.x; let half = loadout.mass / 2;",
    ),
    doc(
        "-a",
        "The same number on the other side of nought.",
        "let other = -loadout.balance.x;",
    ),
    doc(
        "a < b, a <= b, a > b, a >= b",
        "Two numbers of one kind, without their spread.",
        "if loadout.balance.x > build.wing.band.aft { finding(loadout, \"x\"); }",
    ),
    doc(
        "a == b, a != b",
        "Two numbers of one kind, or a word and a text.",
        "if build.wing.layout == \"tailless\" { finding(loadout, \"x\"); }",
    ),
    doc(
        "a && b, a || b, !a",
        "And, or, not: of yes or no.",
        "if loadout.is_open && !build.has(\"tail\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "text + value",
        "A text with a value behind it.",
        "finding(loadout, \"it weighs \" + loadout.mass);",
    ),
];

/// Registers every operator.
pub(crate) fn register(engine: &mut Engine) {
    arithmetic(engine);
    comparisons(engine);
    let text = |value: &mut Value| value.known.to_string();
    engine.register_fn("to_string", text);
    engine.register_fn("to_debug", text);
    engine.register_fn("+", |text: &str, value: Value| format!("{text}{}", value.known));
    engine.register_fn("+", |value: Value, text: &str| format!("{}{text}", value.known));
    engine.register_fn("!", |yes: bool| !yes);
}

fn arithmetic(engine: &mut Engine) {
    engine.register_fn("+", |a: Value, b: Value| both(&a, &b, Quantity::plus));
    engine.register_fn("-", |a: Value, b: Value| both(&a, &b, Quantity::minus));
    engine.register_fn("*", |a: Value, b: Value| both(&a, &b, |a, b| Ok(a.times(b))));
    engine.register_fn("/", |a: Value, b: Value| both(&a, &b, Quantity::over));
    engine.register_fn("-", |a: Value| -> Given<Value> {
        Ok(a.worked_out(a.quantity()?.negated()))
    });
    engine.register_fn("*", |a: Value, b: FLOAT| scaled(&a, b));
    engine.register_fn("*", |a: FLOAT, b: Value| scaled(&b, a));
    engine.register_fn("*", |a: Value, b: INT| scaled(&a, float(b)));
    engine.register_fn("*", |a: INT, b: Value| scaled(&b, float(a)));
    engine.register_fn("/", |a: Value, b: FLOAT| divided(&a, b));
    engine.register_fn("/", |a: Value, b: INT| divided(&a, float(b)));
    for operator in ["+", "-"] {
        engine.register_fn(operator, |a: Value, b: FLOAT| bare(&a, &b.to_string()));
        engine.register_fn(operator, |a: Value, b: INT| bare(&a, &b.to_string()));
        engine.register_fn(operator, |a: FLOAT, b: Value| bare(&b, &a.to_string()));
        engine.register_fn(operator, |a: INT, b: Value| bare(&b, &a.to_string()));
    }
    // Half of five is two and a half.
    engine.register_fn("/", |a: INT, b: INT| quotient(float(a), float(b)));
    engine.register_fn("/", |a: FLOAT, b: FLOAT| quotient(a, b));
    engine.register_fn("/", |a: FLOAT, b: INT| quotient(a, float(b)));
    engine.register_fn("/", |a: INT, b: FLOAT| quotient(float(a), b));
}

fn both(
    a: &Value,
    b: &Value,
    work: impl Fn(&Quantity, &Quantity) -> Result<Quantity, Unlike>,
) -> Given<Value> {
    let quantity =
        work(a.quantity()?, b.quantity()?).map_err(|why| fault(why.to_string()))?;
    Ok(a.worked_out(quantity))
}

fn scaled(value: &Value, by: FLOAT) -> Given<Value> {
    Ok(value.worked_out(value.quantity()?.scaled(by)))
}

fn divided(value: &Value, by: FLOAT) -> Given<Value> {
    if by == 0.0 {
        return Err(fault(format!("{} is divided by nothing", value.known)));
    }
    scaled(value, 1.0 / by)
}

fn quotient(a: FLOAT, b: FLOAT) -> Given<FLOAT> {
    if b == 0.0 {
        return Err(fault("a number is divided by nothing"));
    }
    Ok(a / b)
}

fn bare(value: &Value, number: &str) -> Given<Value> {
    Err(fault(format!(
        "{} was expected, {number} is a number without a unit",
        value.kind()
    )))
}

/// A whole number of a script, which is a count and small.
fn float(count: INT) -> FLOAT {
    i32::try_from(count).map_or(FLOAT::INFINITY, FLOAT::from)
}

fn comparisons(engine: &mut Engine) {
    compare(engine, "<", Ordering::is_lt);
    compare(engine, "<=", Ordering::is_le);
    compare(engine, ">", Ordering::is_gt);
    compare(engine, ">=", Ordering::is_ge);
    compare(engine, "==", Ordering::is_eq);
    compare(engine, "!=", Ordering::is_ne);
}

fn compare(engine: &mut Engine, operator: &str, holds: fn(Ordering) -> bool) {
    let equality = matches!(operator, "==" | "!=");
    // Everything is refused but what follows.
    engine.register_fn(operator, |a: Dynamic, b: Dynamic| -> Given<bool> {
        Err(unlike(&kind(&a), &kind(&b)))
    });
    engine.register_fn(operator, move |a: INT, b: INT| holds(a.cmp(&b)));
    engine.register_fn(operator, move |a: FLOAT, b: FLOAT| holds(a.total_cmp(&b)));
    engine.register_fn(operator, move |a: INT, b: FLOAT| holds(float(a).total_cmp(&b)));
    engine.register_fn(operator, move |a: FLOAT, b: INT| holds(a.total_cmp(&float(b))));
    engine.register_fn(operator, move |a: Value, b: Value| -> Given<bool> {
        if let (What::Words(a), What::Words(b), true) =
            (&a.known.what, &b.known.what, equality)
        {
            return Ok(holds(a.cmp(b)));
        }
        if let (What::Date(a), What::Date(b)) = (&a.known.what, &b.known.what) {
            return Ok(holds(a.cmp(b)));
        }
        let order =
            a.quantity()?.compare(b.quantity()?).map_err(|why| fault(why.to_string()))?;
        Ok(holds(order))
    });
    if equality {
        engine.register_fn(operator, move |a: bool, b: bool| holds(a.cmp(&b)));
        engine.register_fn(operator, move |a: ImmutableString, b: ImmutableString| {
            holds(a.as_str().cmp(b.as_str()))
        });
        engine.register_fn(operator, move |a: Value, b: ImmutableString| {
            words(&a, &b, holds)
        });
        engine.register_fn(operator, move |a: ImmutableString, b: Value| {
            words(&b, &a, holds)
        });
    }
}

fn words(value: &Value, text: &str, holds: fn(Ordering) -> bool) -> Given<bool> {
    let What::Words(own) = &value.known.what else {
        return Err(unlike(&value.kind(), &format!("the text \"{text}\"")));
    };
    Ok(holds(own.as_str().cmp(text)))
}

fn unlike(a: &str, b: &str) -> Box<rhai::EvalAltResult> {
    fault(format!("{a} cannot be compared with {b}"))
}

/// What a message calls a value of a script.
pub(crate) fn kind(value: &Dynamic) -> String {
    if let Some(value) = value.clone().try_cast::<Value>() {
        return value.kind();
    }
    if value.is_int() || value.is_float() {
        return format!("the number {value}");
    }
    match value.type_name() {
        "string" => format!("the text \"{value}\""),
        "bool" => "yes or no".into(),
        "array" => "a list".into(),
        "()" => "nothing".into(),
        other => other.rsplit("::").next().unwrap_or(other).to_lowercase(),
    }
}

//! The one kind of value that a script handles.

use std::rc::Rc;

use rhai::{Dynamic, EvalAltResult};
use trimsheet_rules::facts::model::Date;
use trimsheet_rules::facts::model::quantity::Quantity;
use trimsheet_rules::facts::{Facts, Known, NotKnown, What, Why};
use trimsheet_rules::{Rule, Settings};

use crate::trace::Asked;

/// Something known, with the facts that can say more of it.
#[derive(Clone)]
pub(crate) struct Value {
    /// Where more can be asked; a number that the script itself wrote has nowhere.
    facts: Option<Rc<Facts>>,
    pub(crate) known: Known,
    /// How the script came by it, while what it reads is written down.
    asked: Option<Asked>,
}

/// What a fallible host function gives back.
pub(crate) type Given<T> = Result<T, Box<EvalAltResult>>;

impl Value {
    pub(crate) fn new(facts: &Rc<Facts>, known: Known) -> Value {
        Value { facts: Some(Rc::clone(facts)), known, asked: None }
    }

    /// The same, with what is read of it written down.
    pub(crate) fn asked_as(self, asked: Option<Asked>) -> Value {
        Value { asked, ..self }
    }

    /// A number that the script itself wrote.
    pub(crate) fn written(quantity: Quantity) -> Value {
        let known =
            Known::computed(What::Quantity(quantity), "a number of the script", None);
        Value { facts: None, known, asked: None }
    }

    /// A day that the script itself wrote.
    pub(crate) fn day(date: Date) -> Value {
        let known = Known::computed(What::Date(date), "a day of the script", None);
        Value { facts: None, known, asked: None }
    }

    /// The day that it is; anything else is a mistake of the script.
    pub(crate) fn date(&self) -> Given<Date> {
        if let What::Date(date) = &self.known.what {
            return Ok(*date);
        }
        let says = format!("a date was expected, {} is {}", self.known.name, self.kind());
        Err(fault(says))
    }

    pub(crate) fn facts(&self) -> Given<&Rc<Facts>> {
        self.facts.as_ref().ok_or_else(|| fault("a number of the script has no facts"))
    }

    /// A quantity worked out from this value; it stands where this value stands.
    pub(crate) fn worked_out(&self, quantity: Quantity) -> Value {
        let (name, span) = (self.known.name.clone(), self.known.span);
        let mut known = Known::computed(What::Quantity(quantity), name, span);
        known.via = self.known.via;
        Value { facts: self.facts.clone(), known, asked: None }
    }

    /// What it has by this name; yes or no, counts and lists become the script's own.
    pub(crate) fn get(&self, name: &str) -> Given<Dynamic> {
        if let What::Quantity(quantity) = &self.known.what {
            match name {
                "with_spread" => return Ok(quantity.with_spread().into()),
                "exact" => {
                    let exact = quantity.clone().without_spread();
                    return Ok(Dynamic::from(self.worked_out(exact)));
                }
                "rough" => return Ok(Dynamic::from(self.worked_out(quantity.rough()))),
                "magnitude" => {
                    return Ok(Dynamic::from(self.worked_out(quantity.magnitude())));
                }
                _ => {}
            }
        }
        let facts = self.facts()?;
        let found = facts.of(&self.known, name);
        let asked = self.noted(&format_args!(".{name}"), &found);
        Ok(self.give_as(found.map_err(raise)?, asked))
    }

    /// Writes down an answer, if anybody wants to know; what it is come by then.
    pub(crate) fn noted(
        &self,
        step: &dyn std::fmt::Display,
        answer: &Result<Known, NotKnown>,
    ) -> Option<Asked> {
        let asked = self.asked.as_ref()?.then(&step.to_string());
        asked.answered(self.facts.as_ref()?, answer);
        Some(asked)
    }

    /// Writes down an answer of yes or no.
    pub(crate) fn noted_flag(
        &self,
        step: &dyn std::fmt::Display,
        answer: &Result<bool, NotKnown>,
    ) {
        let known = |flag: &bool| Known::computed(What::Flag(*flag), "", self.known.span);
        if self.asked.is_some() {
            self.noted(step, &answer.as_ref().map(known).map_err(NotKnown::clone));
        }
    }

    /// Something of the same build, as the script meets it.
    pub(crate) fn give_as(&self, known: Known, asked: Option<Asked>) -> Dynamic {
        match known.what {
            What::Flag(flag) => flag.into(),
            What::Count(count) => count.into(),
            What::List(list) => {
                let values = list.iter().enumerate().map(|(index, one)| {
                    let asked =
                        asked.as_ref().map(|asked| asked.then(&format!("[{index}]")));
                    self.give_as(one.clone(), asked)
                });
                Dynamic::from_array(values.collect())
            }
            What::Build
            | What::Entry(_)
            | What::Quantity(_)
            | What::Range(..)
            | What::Place(_)
            | What::Size(_)
            | What::Words(_)
            | What::Date(_)
            | What::Record(_)
            | What::Unknown(_) => {
                Dynamic::from(Value { facts: self.facts.clone(), known, asked })
            }
        }
    }

    /// The quantity that it is; anything else is a mistake of the script.
    pub(crate) fn quantity(&self) -> Given<&Quantity> {
        self.known.quantity().ok_or_else(|| {
            fault(format!(
                "a number with a unit was expected, {} is {}",
                self.known.name,
                self.kind()
            ))
        })
    }

    /// What kind of thing it is, for messages to whoever writes rules.
    pub(crate) fn kind(&self) -> String {
        match &self.known.what {
            What::Build => "the whole aircraft".into(),
            What::Entry(_) => {
                let word = self.facts.as_ref().and_then(|facts| facts.word(&self.known));
                format!("a {}", word.unwrap_or("entry"))
            }
            What::Quantity(quantity) => quantity.dimension().says(),
            What::Range(..) => "a range".into(),
            What::Place(_) => "a place".into(),
            What::Size(_) => "a size".into(),
            What::Words(_) => "words".into(),
            What::Date(_) => "a date".into(),
            What::Count(_) => "a count".into(),
            What::Flag(_) => "yes or no".into(),
            What::List(_) => "a list".into(),
            What::Record(_) => "a record".into(),
            What::Unknown(_) => "not known".into(),
        }
    }
}

/// Ends a call because something is not known; a name that nothing has is a mistake.
pub(crate) fn raise(why: NotKnown) -> Box<EvalAltResult> {
    if why.why == Why::NoSuch {
        return fault(why.says);
    }
    EvalAltResult::ErrorRuntime(Dynamic::from(why), rhai::Position::NONE).into()
}

/// Ends a call because the script is mistaken.
pub(crate) fn fault(says: impl Into<String>) -> Box<EvalAltResult> {
    EvalAltResult::ErrorRuntime(says.into().into(), rhai::Position::NONE).into()
}

/// The parameters of a rule, as they are set for this model.
#[derive(Clone)]
pub(crate) struct Table {
    facts: Rc<Facts>,
    values: Rc<Vec<(String, Known)>>,
    asked: Option<Asked>,
}

impl Table {
    pub(crate) fn new(facts: &Rc<Facts>, rule: &Rule, settings: &Settings) -> Table {
        let values = rule.parameters.iter().map(|parameter| {
            let set = settings.parameter(&rule.id, &parameter.name);
            let quantity = set.map_or(&parameter.default, |set| &set.value);
            let span = Some(set.map_or(rule.script, |set| set.span));
            let what = What::Quantity(quantity.clone());
            let known = Known::computed(what, &parameter.name, span);
            let says = set.map(|set| set.says(parameter, rule));
            (parameter.name.clone(), known.owned(says))
        });
        Table { facts: Rc::clone(facts), values: Rc::new(values.collect()), asked: None }
    }

    /// The same, with what is read of it written down.
    pub(crate) fn asked_as(self, asked: Option<Asked>) -> Table {
        Table { asked, ..self }
    }

    pub(crate) fn get(&self, name: &str) -> Given<Value> {
        let found = self.values.iter().find(|(own, _)| own == name);
        let known = found.map(|(_, known)| known.clone());
        if let (Some(asked), Some(known)) = (&self.asked, &known) {
            asked.then(&format!(".{name}")).answered(&self.facts, &Ok(known.clone()));
        }
        known.map(|known| Value::new(&self.facts, known)).ok_or_else(|| {
            let names: Vec<&str> =
                self.values.iter().map(|(name, _)| name.as_str()).collect();
            let near = trimsheet_rules::source::nearest(name, names.iter().copied());
            let hint =
                near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
            fault(format!("the rule has no parameter called `{name}` in SET{hint}"))
        })
    }
}

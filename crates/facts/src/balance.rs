//! The balance of a loadout, as rules read it: a record of quantities with their spread.

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_physics::balance::{Balance, Contribution, Item};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Fitted, MOST, Open};

impl Facts {
    /// The balance of a loadout that leaves nothing open.
    pub(crate) fn balance(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let fitted = self.fitted(loadout)?;
        if let Some(choice) = fitted.choices.first() {
            let name = self.choice_name(&fitted, choice.items.first().copied());
            let says = match choice.open {
                Open::Slide(..) => {
                    format!("the place of {name} in its slide is not stated")
                }
                Open::Optional => format!("with or without {name} is not stated"),
            };
            return Err(NotKnown::impossible(says, Some(choice.span)));
        }
        let balance = fitted.balance(&[])?;
        Ok(self.balance_record(loadout, &fitted, &balance, String::new()))
    }

    /// The balance of each way to make the choices that a loadout leaves open.
    pub(crate) fn corners(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let ways = fitted.ways().ok_or_else(|| {
            let says = format!(
                "{} choices are open and at most {MOST} are looked at: let the loadout state some",
                fitted.choices.len()
            );
            NotKnown::impossible(says, self.entry(loadout).ok().map(|entry| entry.span()))
        })?;
        let mut corners = Vec::new();
        for chosen in ways {
            let says = self.corner_name(&fitted, &chosen);
            let balance = fitted.balance(&chosen)?;
            corners.push(self.balance_record(loadout, &fitted, &balance, says));
        }
        Ok(corners)
    }

    /// The corner that lies furthest ahead, or furthest aft.
    pub(crate) fn outermost(
        &self,
        loadout: EntryId,
        aft: f64,
    ) -> Result<Known, NotKnown> {
        let corners = self.corners(loadout)?;
        let place = |corner: &Known| {
            let x = corner.field("x").and_then(Known::quantity).map_or(0.0, Quantity::si);
            x * aft
        };
        let best = corners.into_iter().reduce(|best, corner| {
            if place(&corner) > place(&best) { corner } else { best }
        });
        best.ok_or_else(|| NotKnown::impossible("nothing is aboard", None))
    }

    /// The balance in flight after something was let go or has moved.
    pub(crate) fn in_flight(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let ways = fitted.ways().unwrap_or_default();
        let mut after = Vec::new();
        for (index, aboard) in fitted.items.iter().enumerate() {
            let drops = !aboard.is_ballast && self.says_if_part(aboard, "drops")?;
            let moves = self.retracted(aboard)?;
            if !drops && moves.is_none() {
                continue;
            }
            for chosen in &ways {
                let items: Vec<Item> = fitted
                    .items_when(chosen)
                    .filter(|(at, _)| !(drops && *at == index))
                    .map(|(at, item)| {
                        if at == index {
                            moves.map_or(item, |m| moved(item, m))
                        } else {
                            item
                        }
                    })
                    .collect();
                let balance = fitted.balance_of(&items)?;
                let verb = if drops { "let go" } else { "moved" };
                let says = format!("after {} was {verb}", aboard.name);
                let mut record = self.balance_record(loadout, &fitted, &balance, says);
                record.span = Some(self.entry(aboard.entry)?.span());
                after.push(record);
            }
        }
        Ok(after)
    }

    fn says_if_part(
        &self,
        aboard: &Aboard,
        word: &'static str,
    ) -> Result<bool, NotKnown> {
        let is_part = self.entry(aboard.entry)?.row.word == "part";
        if is_part { self.says(aboard.entry, word) } else { Ok(false) }
    }

    /// Where a part is after it has moved in flight, along the length.
    fn retracted(&self, aboard: &Aboard) -> Result<Option<f64>, NotKnown> {
        if !self.says_if_part(aboard, "retracts")? {
            return Ok(None);
        }
        let entry = self.entry(aboard.entry)?;
        let fact = self.must(aboard.entry, "retracts")?;
        let to = self.slot(entry, fact, "to")?;
        Ok(to.and_then(|to| {
            if let trimsheet_model::Kind::Place(place) = &to.kind {
                Some(place.along.si())
            } else {
                None
            }
        }))
    }

    fn choice_name(&self, fitted: &Fitted, item: Option<usize>) -> String {
        let aboard = item.and_then(|item| fitted.items.get(item));
        aboard.map_or_else(String::new, |aboard| aboard.name.clone())
    }

    fn corner_name(&self, fitted: &Fitted, chosen: &[bool]) -> String {
        let choices = fitted.choices.iter().zip(chosen);
        let says = choices.map(|(choice, second)| {
            let name = self.choice_name(fitted, choice.items.first().copied());
            match (&choice.open, second) {
                (Open::Optional, true) => format!("with {name}"),
                (Open::Optional, false) => format!("without {name}"),
                (Open::Slide(low, _), false) => format!("{name} at {low}"),
                (Open::Slide(_, high), true) => format!("{name} at {high}"),
            }
        });
        says.collect::<Vec<_>>().join(", ")
    }

    /// The numbers of one balance: `mass`, `x`, `y`, `z`, `largest`, and what else follows.
    fn balance_record(
        &self,
        loadout: EntryId,
        fitted: &Fitted,
        balance: &Balance,
        says: String,
    ) -> Known {
        let entry = self.build.entry(loadout);
        let span = entry.map(trimsheet_model::Entry::span);
        let name = entry.map_or("", |entry| &entry.name);
        let length = self.length_unit();
        let [x, y, z] = balance.at;
        let [ux, uy, uz] = balance.at_spread;
        let place = |value: f64, spread: f64, axis: Axis| {
            let quantity = Quantity::from_si(value, &length).with_spread_si(spread);
            What::Quantity(quantity.with_axis(Some(axis)))
        };
        let mass = Quantity::from_si(balance.mass, &self.mass_unit());
        let inertia = Unit::for_dimension(Dimension::INERTIA);
        let about = |value: f64| What::Quantity(Quantity::from_si(value, &inertia));
        let fields = [
            ("mass", What::Quantity(mass.with_spread_si(balance.mass_spread))),
            ("x", place(x, ux, Axis::Length)),
            ("y", place(y, uy, Axis::Side)),
            ("z", place(z, uz, Axis::Height)),
            ("roll_inertia", about(balance.inertia.xx)),
            ("pitch_inertia", about(balance.inertia.yy)),
            ("yaw_inertia", about(balance.inertia.zz)),
            ("says", What::Words(says)),
            ("contributors", What::List(Rc::new(contributors(fitted, balance, &length)))),
        ];
        let known = fields.into_iter().map(|(field, what)| {
            (field, Known::computed(what, format!("{name}.balance.{field}"), span))
        });
        let record: Vec<_> = known.collect();
        Known::computed(What::Record(Rc::new(record)), format!("{name}.balance"), span)
    }

    /// The mass of what is aboard that nobody has weighed, measured or read off a sheet.
    pub(crate) fn guessed_mass(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let guessed = fitted.items.iter().filter(|aboard| is_guess(aboard));
        let mass: f64 = guessed.map(|aboard| aboard.item.mass.value).sum();
        let quantity = Quantity::from_si(mass, &self.mass_unit());
        let span = self.entry(loadout)?.span();
        Ok(Known::computed(What::Quantity(quantity), "guessed_mass", Some(span)))
    }

    /// The mass of a loadout, whatever it leaves open about places.
    pub(crate) fn mass(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let heaviest = self
            .corners(loadout)?
            .into_iter()
            .filter_map(|corner| corner.field("mass").cloned())
            .reduce(|a, b| if si(&b) > si(&a) { b } else { a });
        let mut mass =
            heaviest.ok_or_else(|| NotKnown::impossible("nothing is aboard", None))?;
        mass.name = format!("{}.mass", self.entry(loadout)?.name);
        Ok(mass)
    }
}

fn si(known: &Known) -> f64 {
    known.quantity().map_or(0.0, Quantity::si)
}

fn moved(item: Item, along: f64) -> Item {
    let [x, y, z] = item.at;
    let x = trimsheet_physics::balance::Term { value: along, ..x };
    Item { at: [x, y, z], ..item }
}

fn is_guess(aboard: &Aboard) -> bool {
    let source = aboard.mass.source.as_ref().map(|source| source.word);
    aboard.mass.about || matches!(source, None | Some("estimated" | "copied"))
}

/// What makes the balance unsure along the length, the most important first.
fn contributors(fitted: &Fitted, balance: &Balance, length: &Unit) -> Vec<Known> {
    let matter = balance.contributions.iter().filter(|part| part.share > 0.0);
    matter.filter_map(|part| contributor(fitted, part, length)).collect()
}

fn contributor(fitted: &Fitted, part: &Contribution, length: &Unit) -> Option<Known> {
    let variable = fitted.variables.get(part.variable)?;
    let place = |what| located(what, &variable.says, variable.span, variable.via);
    let share = Unit::read("%").map(|unit| Quantity::from_si(part.share, &unit))?;
    let [spread, ..] = part.spread;
    let fields = vec![
        ("says", place(What::Words(variable.says.clone()))),
        ("share", place(What::Quantity(share))),
        ("moves", place(What::Quantity(Quantity::from_si(spread, length)))),
    ];
    Some(place(What::Record(Rc::new(fields))))
}

fn located(what: What, name: &str, span: Option<Span>, via: Option<Span>) -> Known {
    Known { via, ..Known::computed(what, name, span) }
}

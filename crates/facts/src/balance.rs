//! The balance of a loadout, as rules read it: a record of quantities with their spread.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Value};
use trimsheet_physics::balance::{Balance, Contribution, Item};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Choice, Fitted, MOST, Open};

impl Facts {
    /// The balance of a loadout that leaves nothing open.
    pub(crate) fn balance(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let fitted = self.fitted(loadout)?;
        if let Some(choice) = fitted.choices.first() {
            let name = self.choice_name(&fitted, choice);
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
    pub(crate) fn new_corners(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let ways = fitted.ways().ok_or_else(|| {
            let says = format!(
                "{} choices are open and at most {MOST} are looked at: let the loadout state some",
                fitted.choices.len()
            );
            NotKnown::impossible(says, self.entry(loadout).ok().map(Entry::span))
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
        let best = corners.iter().reduce(|best, corner| {
            if place(corner) > place(best) { corner } else { best }
        });
        best.cloned().ok_or_else(|| NotKnown::impossible("nothing is aboard", None))
    }

    /// The balance in flight after something was let go or has moved; `before` is where
    /// it balanced until then.
    pub(crate) fn in_flight(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let moves: Result<Vec<_>, NotKnown> =
            fitted.items.iter().map(|aboard| self.retracted(aboard)).collect();
        let moves = moves?;
        let mut after = Vec::new();
        for (index, aboard) in fitted.items.iter().enumerate() {
            let drops = !aboard.is_ballast && self.says_if_part(aboard, "drops")?;
            let goes = moves.get(index).copied().flatten();
            // Both of a pair move at once: they go by the same line.
            let is_second =
                goes.is_some() && moves.iter().take(index).any(|m| *m == goes);
            if (!drops && goes.is_none()) || is_second {
                continue;
            }
            for chosen in fitted.ways().unwrap_or_default() {
                let is_aboard = fitted.items_when(&chosen).any(|(at, _)| at == index);
                if !is_aboard {
                    continue;
                }
                let items: Vec<Item> = fitted
                    .items_when(&chosen)
                    .filter(|(at, _)| !(drops && *at == index))
                    .map(|(at, item)| {
                        let own = moves.get(at).copied().flatten();
                        own.filter(|own| goes == Some(*own))
                            .map_or(item, |(x, _)| moved(item, x))
                    })
                    .collect();
                let verb = if drops { "is let go" } else { "has moved" };
                let corner = self.corner_name(&fitted, &chosen);
                let corner =
                    if corner.is_empty() { corner } else { format!(", {corner}") };
                let name = match aboard.name.rsplit_once('.') {
                    Some((pair, _)) if goes.is_some() => pair,
                    Some(_) | None => &aboard.name,
                };
                let says = format!("once {name} {verb}{corner}");
                let record = |balance: &Balance, says: String| {
                    self.balance_record(loadout, &fitted, balance, says)
                };
                let before = record(&fitted.balance(&chosen)?, String::new());
                let mut then = record(&fitted.balance_of(&items)?, says);
                then.span = Some(self.entry(aboard.entry)?.span());
                if let (What::Record(fields), Some(x)) =
                    (&mut then.what, before.field("x"))
                {
                    Rc::make_mut(fields).push(("before", x.clone()));
                }
                after.push(then);
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

    /// Where a part is after it has moved in flight, along the length, and by which line.
    fn retracted(&self, aboard: &Aboard) -> Result<Option<(f64, Span)>, NotKnown> {
        if !self.says_if_part(aboard, "retracts")? {
            return Ok(None);
        }
        let entry = self.entry(aboard.entry)?;
        let fact = self.must(aboard.entry, "retracts")?;
        let to = self.slot(entry, fact, "to")?;
        Ok(to.and_then(|to| {
            if let trimsheet_model::Kind::Place(place) = &to.kind {
                Some((place.along.si(), to.span))
            } else {
                None
            }
        }))
    }

    /// What a choice is about; both halves of a pair go by the pair's name.
    pub(crate) fn choice_name(&self, fitted: &Fitted, choice: &Choice) -> String {
        let first = choice.items.first().and_then(|item| fitted.items.get(*item));
        let name = first.map_or("", |aboard| aboard.name.as_str());
        match name.rsplit_once('.') {
            Some((pair, _)) if choice.items.len() > 1 => pair.to_owned(),
            Some(_) | None => name.to_owned(),
        }
    }

    /// One way to make a choice, in words: `with camera`, `main at 75 mm aft`.
    pub(crate) fn choice_says(
        &self,
        fitted: &Fitted,
        choice: &Choice,
        second: bool,
    ) -> String {
        let name = self.choice_name(fitted, choice);
        match (&choice.open, second) {
            (Open::Optional, true) => format!("with {name}"),
            (Open::Optional, false) => format!("without {name}"),
            (Open::Slide(low, _), false) => format!("{name} at {low}"),
            (Open::Slide(_, high), true) => format!("{name} at {high}"),
        }
    }

    fn corner_name(&self, fitted: &Fitted, chosen: &[bool]) -> String {
        let choices = fitted.choices.iter().zip(chosen);
        let says =
            choices.map(|(choice, second)| self.choice_says(fitted, choice, *second));
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
        let span = entry.map(Entry::span);
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

    /// The masses behind [`Facts::guessed_mass`], each line once, the heaviest first.
    pub(crate) fn guesses(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let mut guesses: Vec<(f64, &Aboard)> = Vec::new();
        for aboard in fitted.items.iter().filter(|aboard| is_guess(aboard)) {
            let same =
                |(_, seen): &&mut (f64, &Aboard)| seen.mass.span == aboard.mass.span;
            match guesses.iter_mut().find(same) {
                // Both halves of a pair are one line.
                Some((mass, _)) => *mass += aboard.item.mass.value,
                None => guesses.push((aboard.item.mass.value, aboard)),
            }
        }
        guesses.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        let known = guesses.into_iter().map(|(mass, aboard)| {
            let quantity = Quantity::from_si(mass, &self.mass_unit());
            let (span, via) = (Some(aboard.mass.span), aboard.mass.via);
            let source = aboard.mass.source.as_ref().map(|source| source.word);
            let place = |what: What| {
                let name = format!("{}.mass", aboard.name);
                Known { via, source, ..Known::computed(what, name, span) }
            };
            let fields = vec![
                ("of", place(What::Words(aboard.name.clone()))),
                ("mass", place(What::Quantity(quantity))),
            ];
            place(What::Record(Rc::new(fields)))
        });
        Ok(known.collect())
    }

    /// What is always aboard weighs so much, packs left out, as far as it is known.
    pub(crate) fn dry_mass(&self) -> Result<Known, NotKnown> {
        let held = self.held()?;
        let mut mass = 0.0;
        self.note_list("part");
        self.note_list("assembly");
        for (id, entry) in self.build.aboard() {
            let is_part = entry.row.word == "part";
            let counts = is_part && !held.contains(&id) && !self.says(id, "optional")?;
            if !(counts || entry.row.word == "assembly") {
                continue;
            }
            // What is not known cannot be counted, and has findings of its own.
            let Ok(known) = self.of(&self.known_entry(id), "mass") else { continue };
            let together = self.must(id, "mass")?.slot("counted").and_then(Value::text)
                == Some("together");
            let share = if together && entry.half.is_some() { 0.5 } else { 1.0 };
            mass += si(&known) * share;
        }
        let span = self.build.whole;
        if mass <= 0.0 {
            return Err(NotKnown::impossible("no part has a mass yet", span));
        }
        let mass = Quantity::from_si(mass, &self.mass_unit());
        Ok(Known::computed(What::Quantity(mass), "dry_mass", span))
    }

    /// Whether no loadout before this one has as much of a computed quantity, and none
    /// after it has more; loadouts of which it is not known do not count.
    ///
    /// # Errors
    /// What of this loadout is not known, or that the name is of no quantity.
    pub fn has_most(&self, loadout: &Known, name: &str) -> Result<bool, NotKnown> {
        let own = si(&self.of(loadout, name)?);
        let mut is_before = true;
        for (id, _) in self.of_word("loadout") {
            if loadout.entry() == Some(id) {
                is_before = false;
            } else if let Ok(other) = self.of(&self.known_entry(id), name)
                && (own < si(&other) || is_before && own <= si(&other))
            {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The mass of a loadout, whatever it leaves open about places.
    pub(crate) fn mass(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let heaviest = self
            .corners(loadout)?
            .iter()
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
pub(crate) fn contributors(
    fitted: &Fitted,
    balance: &Balance,
    length: &Unit,
) -> Vec<Known> {
    let matter = balance.contributions.iter().filter(|part| part.share > 0.0);
    matter.filter_map(|part| contributor(fitted, part, length)).collect()
}

fn contributor(fitted: &Fitted, part: &Contribution, length: &Unit) -> Option<Known> {
    let variable = fitted.variables.get(part.variable)?;
    let place = |what| located(what, &variable.says, variable.span, variable.via);
    let share = Quantity::from_si(part.share, &Facts::percent());
    let [spread, ..] = part.spread;
    let fields = vec![
        ("says", place(What::Words(variable.says.clone()))),
        ("share", place(What::Quantity(share))),
        ("moves", place(What::Quantity(Quantity::from_si(spread, length)))),
        ("act", place(What::Words(variable.act.clone()))),
    ];
    Some(place(What::Record(Rc::new(fields))))
}

fn located(what: What, name: &str, span: Option<Span>, via: Option<Span>) -> Known {
    Known { via, ..Known::computed(what, name, span) }
}

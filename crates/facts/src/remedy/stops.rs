//! Shorter slides, so that no place that is left open brings the balance point outside.

use trimsheet_model::quantity::{Axis, Quantity, Unit};
use trimsheet_model::source::{Edit, Remedy};
use trimsheet_model::{Fact, Value};
use trimsheet_physics::balance::Item;

use super::ways::Way;
use super::writing::planned_edit;
use super::{Point, TINY, Work, in_steps, step};
use crate::facts::Facts;
use crate::known::{Known, NotKnown};
use crate::loadout::{Choice, Chosen, Open};

/// A stretch of a slide, in metres aft.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
}

impl Facts {
    /// The shorter slides that keep every corner of a loadout inside a band, each with
    /// its whole spread; where none does, which stretch serves which choice.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn stops_inside(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let band = self.band(band)?;
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.fitted(id)?;
        let work =
            Work { facts: self, loadout: id, fitted: &fitted, band, by_list: true };
        let mut ways = Vec::new();
        for (index, choice) in fitted.choices.iter().enumerate() {
            ways.extend(work.shorter(index, choice)?);
        }
        ways.sort_by_key(Way::is_short);
        Ok(ways.into_iter().map(Way::into_remedy).collect())
    }
}

impl Work<'_> {
    /// A shorter slide for one choice, where one keeps every corner inside.
    fn shorter(&self, index: usize, choice: &Choice) -> Result<Option<Way>, NotKnown> {
        let Open::Slide(low, high) = &choice.open else { return Ok(None) };
        let mut inside = Stretch { from: low.si(), to: high.si() };
        let mut each = Vec::new();
        for chosen in self.fitted.ways().unwrap_or_default() {
            if chosen.get(index).copied().unwrap_or(false) {
                continue;
            }
            let Some(one) = self.stretch(index, &chosen, (low, high))? else {
                return Ok(None);
            };
            inside.from = inside.from.max(one.from);
            inside.to = inside.to.min(one.to);
            each.push((chosen, one));
        }
        let Some((from, to)) = in_whole_steps(inside, low.unit()) else {
            return Ok(self.say_each(index, choice, low.unit(), &each));
        };
        let name = self.facts.choice_name(self.fitted, choice);
        let says = format!(
            "fit stops so that {name} slides only from {from} to {to}: every corner is \
             then inside with its whole spread"
        );
        Ok(Some(Way::whole(says, self.stop_edit(choice, &from, &to)?)))
    }

    /// Where in its slide a thing keeps the whole spread inside, the rest as chosen.
    ///
    /// The moment goes with the place, so two ends give every place between.
    fn stretch(
        &self,
        index: usize,
        chosen: &[bool],
        (low, high): (&Quantity, &Quantity),
    ) -> Result<Option<Stretch>, NotKnown> {
        let mut other = chosen.to_vec();
        other.get_mut(index).into_iter().for_each(|end| *end = true);
        let (front, rear) = (self.corner(chosen)?, self.corner(&other)?);
        let travel = high.si() - low.si();
        let rate = (rear.x - front.x) / travel;
        if travel <= 0.0 || rate <= 0.0 {
            return Ok(None);
        }
        let spread = front.spread.max(rear.spread);
        let at = |x: f64| low.si() + (x - front.x) / rate;
        Ok(Some(Stretch {
            from: low.si().max(at(self.band.low + spread)),
            to: high.si().min(at(self.band.high - spread)),
        }))
    }

    fn corner(&self, chosen: &[bool]) -> Result<Point, NotKnown> {
        let items: Vec<Item> =
            self.fitted.items_when(chosen).map(|(_, item)| item).collect();
        self.point(&items, &[])
    }

    /// Says that no one stretch serves, and which serves which choice.
    fn say_each(
        &self,
        index: usize,
        choice: &Choice,
        unit: &Unit,
        each: &[(Chosen, Stretch)],
    ) -> Option<Way> {
        let name = self.facts.choice_name(self.fitted, choice);
        let parts: Vec<String> = each
            .iter()
            .map(|(chosen, stretch)| {
                let others = self.fitted.choices.iter().zip(chosen).enumerate();
                let says: Vec<String> = others
                    .filter(|(at, _)| *at != index)
                    .map(|(_, (other, second))| {
                        self.facts.choice_says(self.fitted, other, *second)
                    })
                    .collect();
                let where_to = match in_whole_steps(*stretch, unit) {
                    Some((from, to)) => format!("only from {from} to {to}"),
                    None => "nowhere".to_owned(),
                };
                format!("{} {where_to}", says.join(" and ")).trim_start().to_owned()
            })
            .collect();
        let serves = parts.join(", ");
        (each.len() > 1).then(|| {
            Way::short(format!(
                "no one place of {name} serves them all: it keeps the whole spread \
                 inside {serves}; give each way its own loadout, and its own stop"
            ))
        })
    }

    /// Writes a shorter slide, unless some loadout states a place beyond it.
    fn stop_edit(
        &self,
        choice: &Choice,
        from: &Quantity,
        to: &Quantity,
    ) -> Result<Vec<Edit>, NotKnown> {
        let item = choice.items.first().and_then(|item| self.fitted.items.get(*item));
        let Some(item) = item else { return Ok(Vec::new()) };
        if !self.all_places_within(item.entry, from.si(), to.si()) {
            return Ok(Vec::new());
        }
        let slides = self.facts.fact(item.entry, "slides")?;
        let value: Option<&Value> = slides.and_then(Fact::first);
        let edit = value.and_then(|value| planned_edit(value, &format!("{from}..{to}")));
        Ok(edit.into_iter().collect())
    }
}

/// The ends of a stretch in whole steps, rounded inward; none where nothing is left.
fn in_whole_steps(stretch: Stretch, unit: &Unit) -> Option<(Quantity, Quantity)> {
    let step = step(unit);
    let from = (in_steps(stretch.from, unit) - TINY).ceil() * step;
    let to = (in_steps(stretch.to, unit) + TINY).floor() * step;
    let end = |value: f64| Quantity::new(value, unit).with_axis(Some(Axis::Length));
    (from < to).then(|| (end(from), end(to)))
}

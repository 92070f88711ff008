//! Between which places a pack serves a loadout, and whether one place serves several.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::source::Remedy;
use trimsheet_model::{Entry, EntryId};

use super::lead::{Amount, Spot};
use super::sliding::Sliding;
use super::ways::{Group, Way, ranked};
use super::{Aim, Point, TINY, Work, in_steps, step};
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, Why};
use crate::loadout::Fitted;

/// Between which places a thing keeps the whole spread inside, in metres aft.
#[derive(Clone, Copy)]
pub(super) struct Reach {
    pub(super) from: f64,
    pub(super) to: f64,
    /// Where it balances best, or nearest to it.
    best: f64,
}

impl Reach {
    /// Whether a place, in metres aft, serves.
    pub(super) fn holds(self, at: f64) -> bool {
        self.from - TINY <= at && at <= self.to + TINY
    }
}

/// The one pack of a loadout that slides, and where it serves.
struct Serves {
    pack: EntryId,
    /// Where it lies, if the loadout says so.
    at: Option<f64>,
    reach: Reach,
}

/// One place of the pack for two loadouts, with lead in one of them.
struct Shared<'a> {
    leaded: Work<'a>,
    other: Work<'a>,
    place: f64,
    spot: Spot,
    amount: Amount,
}

impl Facts {
    /// Between which places the one pack of a loadout keeps its whole spread inside the
    /// band, planned as they are; rounded inward.
    pub(crate) fn pack_range(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let serves = self.serves(loadout)?;
        let name = format!("{}.pack_range", self.entry(loadout)?.name);
        Ok(self.range(serves.reach.from, serves.reach.to, &name, loadout))
    }

    /// Between which places a pack serves every loadout that fits it.
    pub(crate) fn common_range(&self, pack: EntryId) -> Result<Known, NotKnown> {
        let mut all: Option<Reach> = None;
        for (loadout, _) in self.of_word("loadout") {
            let fits = self.stowed_packs(crate::stowed::State::flown(loadout));
            if !fits.is_ok_and(|fits| fits.iter().any(|one| one.entry == pack)) {
                continue;
            }
            let reach = self.serves(loadout)?.reach;
            all = Some(all.map_or(reach, |all| Reach {
                from: all.from.max(reach.from),
                to: all.to.min(reach.to),
                best: all.best,
            }));
        }
        let name = &self.entry(pack)?.name;
        let found = all.filter(|all| all.from <= all.to + TINY);
        let found = found.ok_or_else(|| NotKnown {
            why: Why::Absent,
            says: format!("no one place of {name} serves every loadout that fits it"),
            span: self.entry(pack).ok().map(Entry::span),
        })?;
        Ok(self.range(found.from, found.to, &format!("{name}.common_range"), pack))
    }

    /// The other loadouts that fit the same pack, and how far one place of it is from
    /// serving both.
    pub(crate) fn pack_shared(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        if !self.fitted(loadout)?.choices.is_empty() {
            return Ok(Vec::new());
        }
        let Ok(own) = self.serves(loadout) else { return Ok(Vec::new()) };
        let mut all = Vec::new();
        for other in self.other_loadouts(loadout) {
            let Ok(theirs) = self.serves(other.id) else { continue };
            if theirs.pack == own.pack {
                all.push(self.shared_record(loadout, &own, other.id, &theirs)?);
            }
        }
        Ok(all)
    }

    fn shared_record(
        &self,
        loadout: EntryId,
        own: &Serves,
        other: EntryId,
        theirs: &Serves,
    ) -> Result<Known, NotKnown> {
        let span = Some(self.entry(loadout)?.span());
        let unit = self.length_unit();
        let length = |si: f64| What::Quantity(Quantity::from_si(si, &unit));
        let apart =
            (own.reach.from - theirs.reach.to).max(theirs.reach.from - own.reach.to);
        let left_at = theirs.at.unwrap_or(theirs.reach.best);
        let fitted = self.fitted(loadout)?;
        let there = self.work_in_band(loadout, &fitted)?;
        let there = match there.pack()? {
            Some(sliding) => there.then(&sliding, left_at)?,
            None => there.now()?,
        };
        let is_in = |one: &Serves| one.at.is_none_or(|at| one.reach.holds(at));
        let x = self.station(there.x).with_spread_si(there.spread);
        let place = |what| Known::computed(what, "pack_shared", span);
        let fields = vec![
            ("other", self.known_entry(other)),
            ("pack", self.known_entry(own.pack)),
            ("range", self.range(own.reach.from, own.reach.to, "range", loadout)),
            (
                "their_range",
                self.range(theirs.reach.from, theirs.reach.to, "range", other),
            ),
            ("serves_both", place(What::Flag(apart <= TINY))),
            ("apart", place(length(apart.max(0.0)))),
            ("is_inside", place(What::Flag(is_in(own)))),
            ("best", place(What::Quantity(self.station(own.reach.best)))),
            ("left_at", place(What::Quantity(self.station(left_at)))),
            ("x", place(What::Quantity(x))),
        ];
        Ok(Known::computed(What::Record(Rc::new(fields)), "pack_shared", span))
    }

    /// The ways to fly two loadouts that no one place of their pack serves: a place for
    /// each, then the least lead with which one place serves both.
    ///
    /// # Errors
    /// What of one of the loadouts is not known.
    pub fn ways_to_share(
        &self,
        loadout: &Known,
        other: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let (Some(one), Some(two)) = (loadout.entry(), other.entry()) else {
            return Ok(Vec::new());
        };
        let (fitted_one, fitted_two) = (self.fitted(one)?, self.fitted(two)?);
        let one = self.work_in_band(one, &fitted_one)?;
        let two = self.work_in_band(two, &fitted_two)?;
        let mut ways = Vec::new();
        for work in [&one, &two] {
            ways.extend(work.own_place()?);
        }
        let mut ways: Vec<Remedy> = ways.into_iter().map(Way::into_remedy).collect();
        ways.extend(ranked(self.leads_to_share(&one, &two)?));
        Ok(ways)
    }

    /// The least lead with which one place serves both, in the one or in the other.
    fn leads_to_share(
        &self,
        one: &Work<'_>,
        two: &Work<'_>,
    ) -> Result<Vec<Group>, NotKnown> {
        let mut groups = Vec::new();
        let mut short = Vec::new();
        for (leaded, other) in [(one, two), (two, one)] {
            let (Some(sliding), Some(place)) =
                (leaded.pack()?, leaded.nearest_place_of(other)?)
            else {
                continue;
            };
            let fitted = leaded.moved(&sliding, place);
            let work = leaded.after(&fitted);
            match work.best_spot()? {
                Some(spot) => {
                    let Some(amount) = work.amount(&spot, Aim::JustInside)? else {
                        continue;
                    };
                    let other = other.after(other.fitted);
                    let added = amount.total - spot.already;
                    let leaded = work.after(&fitted);
                    let shared = Shared { leaded, other, place, spot, amount };
                    let way = shared.way()?;
                    groups.push(Group { ways: vec![way], added, ..Group::default() });
                }
                None => short.extend(work.no_lead_to_share(place)?.map(Group::short)),
            }
        }
        // What is out of reach is only told where nothing reaches.
        let all = if groups.is_empty() { short } else { groups };
        Ok(all)
    }

    /// Where the one pack of a loadout serves it.
    fn serves(&self, loadout: EntryId) -> Result<Serves, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let absent = |says: String| NotKnown {
            why: Why::Absent,
            says,
            span: self.entry(loadout).ok().map(Entry::span),
        };
        let name = &self.entry(loadout)?.name;
        let mut serves: Option<Serves> = None;
        for chosen in fitted.ways().unwrap_or_default() {
            let closed = fitted.closed(&chosen);
            let work = self.work_in_band(loadout, &closed)?;
            let sliding = work.pack()?;
            let sliding = sliding
                .ok_or_else(|| absent(format!("no one pack slides in \"{name}\"")))?;
            let reach = work.reach(&sliding)?.ok_or_else(|| {
                let pack = sliding.name();
                absent(format!(
                    "no place of {pack} in its slide keeps the whole spread of \"{name}\" inside its band"
                ))
            })?;
            let pack = sliding.first.entry;
            let open = fitted.choices.iter().flat_map(|choice| &choice.items);
            let is_open = open
                .filter_map(|index| fitted.items.get(*index))
                .any(|item| item.entry == pack);
            let at = (!is_open).then(|| sliding.now());
            let old = serves.as_ref().map_or(reach, |serves| serves.reach);
            let (from, to) = (old.from.max(reach.from), old.to.min(reach.to));
            if to < from {
                return Err(absent(format!(
                    "no one place of {} serves every choice that \"{name}\" leaves open",
                    sliding.name()
                )));
            }
            let best = old.best.clamp(from, to);
            serves = Some(Serves { pack, at, reach: Reach { from, to, best } });
        }
        serves.ok_or_else(|| absent(format!("no one pack slides in \"{name}\"")))
    }

    pub(super) fn work_in_band<'a>(
        &'a self,
        loadout: EntryId,
        fitted: &'a Fitted,
    ) -> Result<Work<'a>, NotKnown> {
        let band = self.of(&self.known_entry(loadout), "band")?;
        Ok(Work { facts: self, loadout, fitted, band: self.band(&band)?, by_list: true })
    }

    fn range(&self, from: f64, to: f64, name: &str, about: EntryId) -> Known {
        let span = self.entry(about).ok().map(Entry::span);
        let unit = self.length_unit();
        let end = |si: f64| {
            let axis = Some(trimsheet_model::quantity::Axis::Length);
            Quantity::from_si(si, &unit).with_axis(axis)
        };
        Known::computed(What::Range(end(from), end(to).into()), name, span)
    }
}

impl<'a> Work<'a> {
    /// The one pack aboard, where there is but one and it slides.
    pub(super) fn pack(&self) -> Result<Option<Sliding<'a>>, NotKnown> {
        let mut packs = self.fitted.items.iter().filter(|one| {
            !one.is_ballast
                && self.facts.entry(one.entry).is_ok_and(|entry| entry.row.word == "pack")
        });
        let (Some(pack), None) = (packs.next(), packs.next()) else { return Ok(None) };
        Ok(self.sliding()?.into_iter().find(|one| one.first.entry == pack.entry))
    }

    /// Between which places a thing keeps the whole spread inside; none where nowhere in
    /// its slide. The ends are whole steps, rounded inward, or the ends of the slide.
    pub(super) fn reach(&self, sliding: &Sliding<'_>) -> Result<Option<Reach>, NotKnown> {
        let (low, high) = (sliding.low.si(), sliding.high.si());
        let (Some(from), Some(to)) = (
            self.end_of_reach(sliding, low, self.band.low, 1.0)?,
            self.end_of_reach(sliding, high, self.band.high, -1.0)?,
        ) else {
            return Ok(None);
        };
        if to < from {
            return Ok(None);
        }
        let best = self.wanted(sliding, self.band.best)?.unwrap_or(from);
        let unit = self.facts.length_unit();
        let best = unit.to_si(in_steps(best, &unit).round() * step(&unit));
        Ok(Some(Reach { from, to, best: best.clamp(from, to) }))
    }

    /// The outermost place on one side, `inward` being the way back into the band.
    fn end_of_reach(
        &self,
        sliding: &Sliding<'_>,
        end: f64,
        limit: f64,
        inward: f64,
    ) -> Result<Option<f64>, NotKnown> {
        if self.is_inside(self.then(sliding, end)?) {
            return Ok(Some(end));
        }
        let (low, high) = (sliding.low.si(), sliding.high.si());
        let mut at = end;
        for _ in 0..3 {
            let spread = self.then(sliding, at)?.spread;
            let Some(wanted) = self.wanted(sliding, limit + inward * spread)? else {
                return Ok(None);
            };
            at = wanted.clamp(low, high);
        }
        let unit = self.facts.length_unit();
        let steps = in_steps(at, &unit) * inward;
        let first = (steps - TINY).ceil() * inward;
        for more in 0..4 {
            let place = unit.to_si((first + inward * f64::from(more)) * step(&unit));
            let is_there = low - TINY <= place && place <= high + TINY;
            if is_there && self.is_inside(self.then(sliding, place)?) {
                return Ok(Some(place));
            }
        }
        Ok(None)
    }

    /// The place that serves another loadout and lies nearest to those that serve this.
    fn nearest_place_of(&self, other: &Work<'_>) -> Result<Option<f64>, NotKnown> {
        let (Some(own), Some(theirs)) = (self.pack()?, other.pack()?) else {
            return Ok(None);
        };
        let (own, theirs) = (self.reach(&own)?, other.reach(&theirs)?);
        Ok(own.zip(theirs).map(|(own, theirs)| {
            if theirs.to < own.from { theirs.to } else { theirs.from }
        }))
    }

    /// Says where the pack serves this loadout, and moves it there from anywhere else.
    fn own_place(&self) -> Result<Option<Way>, NotKnown> {
        let Some(pack) = self.pack()? else { return Ok(None) };
        let Some(reach) = self.reach(&pack)? else { return Ok(None) };
        let (name, loadout) = (pack.name(), &self.facts.entry(self.loadout)?.name);
        let is_there = reach.holds(pack.now());
        let (from, to) = (self.station(reach.from), self.station(reach.to));
        let best = self.station(reach.best);
        if is_there {
            let says = format!(
                "for \"{loadout}\" keep {name} between {from} and {to}, best at {best}: \
                 it lies at {}",
                self.station(pack.now())
            );
            return Ok(Some(Way::whole(says, Vec::new())));
        }
        // Written into the spec it would leave two places, which is what the finding is about.
        let then = self.then(&pack, reach.best)?;
        let says = format!(
            "for \"{loadout}\" slide {}: balances at {}; anywhere between {from} and {to} \
             keeps its whole spread inside",
            self.move_words(&pack, reach.best, false),
            self.with_spread(then)
        );
        Ok(Some(Way::whole(says, Vec::new())))
    }

    /// Says how much lead one place for both would need, where no bay has room for it.
    fn no_lead_to_share(&self, place: f64) -> Result<Option<Way>, NotKnown> {
        let now = self.now()?;
        let target = self.target(now, now.spread, Aim::JustInside);
        let mut least: Option<(f64, Spot)> = None;
        for spot in self.spots()? {
            let Some(total) = self.wanted_lead(&spot, target)? else { continue };
            if least.as_ref().is_none_or(|(best, _)| total < *best) {
                least = Some((total, spot));
            }
        }
        let Some((total, spot)) = least else { return Ok(None) };
        let unit = self.facts.mass_unit();
        let rounded = Quantity::new((in_steps(total, &unit)).ceil() * step(&unit), &unit);
        let room = spot.room.map_or_else(String::new, |room| {
            format!(", and {} leaves room for {}", spot.room_of, floor(room, &unit))
        });
        let name = &self.facts.entry(self.loadout)?.name;
        Ok(Some(Way::short(format!(
            "lead does not give one place for both: with the pack at {} \"{name}\" would \
             need {rounded} or more in bay {} at {}{room}",
            self.station(place),
            self.facts.entry(spot.bay)?.name,
            self.station(spot.at)
        ))))
    }
}

fn floor(si: f64, unit: &Unit) -> Quantity {
    Quantity::new((in_steps(si, unit) + TINY).floor() * step(unit), unit)
}

impl Shared<'_> {
    /// Advice: written into the spec, the lead would ask for more than the finding does,
    /// for how it is held and how it comes out.
    fn way(&self) -> Result<Way, NotKnown> {
        let Shared { leaded, other, place, spot, amount } = self;
        let facts = leaded.facts;
        let (one, two) =
            (&facts.entry(leaded.loadout)?.name, &facts.entry(other.loadout)?.name);
        let Some(pack) = other.pack()? else {
            return Err(NotKnown::no_such("no pack slides"));
        };
        let there = other.then(&pack, *place)?;
        let says = format!(
            "or one place for both: {} at {} in both, and {} in \"{one}\" alone: {}, \
             balances at {}, and \"{two}\" without it at {}{}",
            pack.name(),
            leaded.station(*place),
            leaded.lead_words(spot, amount)?,
            leaded.in_all(amount.then.mass),
            leaded.with_spread(amount.then),
            other.with_spread(there),
            self.left_in(&pack)?
        );
        Ok(Way::whole(says, Vec::new()))
    }

    /// What becomes of the other loadout if the lead is left in for it.
    fn left_in(&self, pack: &Sliding<'_>) -> Result<String, NotKnown> {
        let fitted = self.other.moved(pack, self.place);
        let work = self.other.after(&fitted);
        let spot = self.spot.over(work.items());
        let then: Point = work.with_lead(&spot, self.amount.total)?;
        let spoilt = work.spoilt(then)?;
        Ok(match spoilt {
            Some(spoilt) => format!("; left in, it spoils {spoilt}"),
            None => String::new(),
        })
    }
}

/// So many metres or kilograms as a value that follows from a loadout.
pub(super) fn worked_out(
    si: f64,
    spread: f64,
    unit: &Unit,
    name: &'static str,
    about: &Known,
) -> Known {
    let mut quantity = Quantity::from_si(si, unit);
    if 0.0 < spread {
        quantity = quantity.with_spread_si(spread);
    }
    if unit.dimension() == Dimension::LENGTH {
        quantity = quantity.with_axis(Some(trimsheet_model::quantity::Axis::Length));
    }
    Known::computed(What::Quantity(quantity), name, about.span)
}

//! What the lift of the wing does to a spar: at the root, and at the mouth of its socket.
//!
//! How lift is spread along the span comes from the lattice, as angle of attack spreads
//! it; washout, which moves lift inward when it is pulled out of a dive, is left out, and
//! so is what the panels themselves weigh: both on the side of more. So is the tail: the
//! wing is taken to carry all there is.

use std::f64::consts::PI;
use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::lattice::{State, StripLoad};
use trimsheet_physics::round::Round;
use trimsheet_physics::spar::{
    NoMoment, bending_moment, bending_stress, lift_at, socket_pressure,
};

use super::Shape;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// The section of a spar, and its diameters in m.
struct Section {
    round: Round,
    outer: Unsure,
    inner: Unsure,
}

/// A spar in its socket, in m.
struct Socketed {
    section: Section,
    /// How thick that is which presses on the foam: the spar, or the liner around it.
    presses: Unsure,
    depth: Unsure,
    mouth: f64,
}

/// A number and its spread.
type Unsure = (f64, f64);

impl Facts {
    /// What a spar bears at the mouth of its socket in level flight, by the heaviest
    /// loadout.
    pub(crate) fn at_socket(&self, spar: &Known) -> Result<Known, NotKnown> {
        let id = spar.entry().ok_or_else(|| NotKnown::no_such("no spar"))?;
        let own = self.socketed(id)?;
        let wing = self.carried_wing(id)?;
        let (loadout, mass) = self.heaviest()?;
        let weighs = mass.quantity().map_or((0.0, 0.0), with_spread);
        let moment = self.moment_at(own.mouth, weighs.0, spar)?;
        let share = share_of(&own.section, &self.joining(id, wing)?);
        let pressure = socket_pressure(moment * share, own.presses.0, own.depth.0);
        let no_socket = || NotKnown::impossible("the socket has no depth", spar.span);
        let pressure = pressure.ok_or_else(no_socket)?;
        // By the powers with which each enters 6 M/(d L²).
        let unsure = |(value, spread): Unsure, power: f64| power * spread / value;
        let shares =
            [unsure(weighs, 1.0), unsure(own.presses, 1.0), unsure(own.depth, 2.0)];
        let unsure = together(&shares);
        let pressure = in_unit(pressure, "kPa", Dimension::PRESSURE)
            .with_spread_si(pressure * unsure);
        let known = |what: What| Known::computed(what, "at_socket", spar.span);
        let mut fields = self.bent_by(moment, share, loadout, spar);
        fields.push(("pressure", known(What::Quantity(pressure))));
        Ok(known(What::Record(Rc::new(fields))))
    }

    /// What a spar bears at the root in level flight, by the heaviest loadout.
    pub(crate) fn at_root(&self, spar: &Known) -> Result<Known, NotKnown> {
        let id = spar.entry().ok_or_else(|| NotKnown::no_such("no spar"))?;
        let own = self.section(id)?;
        let beside = self.joining(id, self.carried_wing(id)?)?;
        let (loadout, mass) = self.heaviest()?;
        let weighs = mass.quantity().map_or((0.0, 0.0), with_spread);
        let moment = self.moment_at(0.0, weighs.0, spar)?;
        let share = share_of(&own, &beside);
        let too_large = || NotKnown::impossible("the stress is too large", spar.span);
        let stress = bending_stress(moment * share, &own.round).ok_or_else(too_large)?;
        let unsure = together(&[weighs.1 / weighs.0, unsure_of_section(&own, &beside)]);
        let stress =
            in_unit(stress, "MPa", Dimension::PRESSURE).with_spread_si(stress * unsure);
        let known = |what: What| Known::computed(what, "at_root", spar.span);
        let mut fields = self.bent_by(moment, share, loadout, spar);
        fields.push(("stress", known(What::Quantity(stress))));
        Ok(known(What::Record(Rc::new(fields))))
    }

    /// What bends a spar, in N m, which share of it it takes, and by which loadout.
    fn bent_by(
        &self,
        moment: f64,
        share: f64,
        loadout: EntryId,
        spar: &Known,
    ) -> Vec<(&'static str, Known)> {
        let moment = in_unit(moment, "N.m", Dimension::TORQUE);
        vec![
            ("moment", Known::computed(What::Quantity(moment), "moment", spar.span)),
            ("share", self.share((share, 0.0), spar)),
            ("loadout", self.known_entry(loadout)),
        ]
    }

    /// The moment that bends a half at a station in level flight, in N m.
    fn moment_at(&self, station: f64, mass: f64, spar: &Known) -> Result<f64, NotKnown> {
        let loads = spread_of_lift(&*self.shape()?);
        let says = "nothing is aboard that the wing could lift";
        let lift = lift_at(1.0, mass);
        let lift = lift.ok_or_else(|| NotKnown::impossible(says, spar.span))?;
        bending_moment(&loads, lift, station)
            .map_err(|why| NotKnown::impossible(no_moment(why), spar.span))
    }

    /// The loadout that can weigh most, and how much that is.
    fn heaviest(&self) -> Result<(EntryId, Known), NotKnown> {
        let mut all = Vec::new();
        for (id, _) in self.of_word("loadout") {
            all.push((id, self.mass(id)?));
        }
        let si = |(_, mass): &(EntryId, Known)| mass.quantity().map_or(0.0, Quantity::si);
        let most = all.into_iter().max_by(|one, two| si(one).total_cmp(&si(two)));
        most.ok_or_else(|| NotKnown::impossible("there is no loadout", self.build.whole))
    }

    /// The wing that a spar carries.
    fn carried_wing(&self, spar: EntryId) -> Result<EntryId, NotKnown> {
        let entry = self.entry(spar)?;
        let fact = self.must(spar, "on")?;
        let on = self.slot(entry, fact, "what")?;
        let on = on.and_then(|on| on.targets().first().copied());
        let wing = self.wing_id()?;
        on.filter(|on| *on == wing).ok_or_else(|| {
            let says =
                format!("{} is on no wing, so no lift is known of it", entry.title());
            NotKnown::impossible(says, Some(fact.span))
        })
    }

    /// The sections of the other spars that join the halves of a wing with this one: those
    /// with a socket if it has one, or all if none has.
    fn joining(&self, spar: EntryId, wing: EntryId) -> Result<Vec<Section>, NotKnown> {
        let own = self.says(spar, "socket")?;
        let mut all = Vec::new();
        for (other, entry) in self.of_word("spar") {
            let Some(on) = self.fact(other, "on")? else { continue };
            let on = self.slot(entry, on, "what")?;
            if other == spar || !on.is_some_and(|on| on.targets().contains(&wing)) {
                continue;
            }
            match (own, self.says(other, "socket")?) {
                (true, false) => {}
                (true, true) | (false, false) => all.push(self.section(other)?),
                (false, true) => return Err(inside_a_panel(self.entry(spar)?, entry)),
            }
        }
        Ok(all)
    }

    fn section(&self, spar: EntryId) -> Result<Section, NotKnown> {
        let (entry, fact) = (self.entry(spar)?, self.must(spar, "diameter")?);
        let outer = self.length(entry, fact, "outer")?.unwrap_or_default();
        let inner = self.length(entry, fact, "inner")?.unwrap_or_default();
        let round = Round::tube(outer.0, inner.0).ok_or_else(|| {
            let says = format!("{} has no wall between its diameters", entry.title());
            NotKnown::impossible(says, Some(fact.span))
        })?;
        Ok(Section { round, outer, inner })
    }

    fn socketed(&self, spar: EntryId) -> Result<Socketed, NotKnown> {
        let section = self.section(spar)?;
        let (entry, fact) = (self.entry(spar)?, self.must(spar, "socket")?);
        let depth = self.length(entry, fact, "depth")?;
        let depth = depth.ok_or_else(|| absent(entry, "depth of its socket"))?;
        let mouth = self.length(entry, fact, "from")?.map_or(0.0, |mouth| mouth.0);
        let liner = self.length(entry, fact, "liner")?;
        let presses = liner.unwrap_or(section.outer);
        Ok(Socketed { section, presses, depth, mouth })
    }

    /// A length in one slot of a fact, in m, if the line has it.
    fn length(
        &self,
        entry: &Entry,
        fact: &Fact,
        slot: &str,
    ) -> Result<Option<Unsure>, NotKnown> {
        let value = self.slot(entry, fact, slot)?;
        Ok(value.and_then(Value::quantity).map(with_spread))
    }
}

/// Which share of the moment a spar takes: by stiffness, as if all were of one material.
fn share_of(own: &Section, beside: &[Section]) -> f64 {
    own.round.second_moment() / stiffness_of(own, beside)
}

fn stiffness_of(own: &Section, beside: &[Section]) -> f64 {
    let others: f64 = beside.iter().map(|other| other.round.second_moment()).sum();
    own.round.second_moment() + others
}

/// How unsure the stress in a spar is by the diameters of all, as a share of it.
///
/// The stress goes with D/ΣI, and I with D⁴ − d⁴.
fn unsure_of_section(own: &Section, beside: &[Section]) -> f64 {
    let all = stiffness_of(own, beside);
    let stiffer = |diameter: f64| PI / 16.0 * diameter * diameter * diameter / all;
    let mut shares = vec![
        own.outer.1 * (1.0 / own.outer.0 - stiffer(own.outer.0)),
        own.inner.1 * stiffer(own.inner.0),
    ];
    for other in beside {
        let both = [other.outer, other.inner];
        shares.extend(both.map(|(value, spread)| spread * stiffer(value)));
    }
    together(&shares)
}

/// Independent spreads taken together.
fn together(shares: &[f64]) -> f64 {
    shares.iter().map(|share| share * share).sum::<f64>().sqrt()
}

fn inside_a_panel(own: &Entry, other: &Entry) -> NotKnown {
    let says = format!(
        "{} has no socket and {} has one, so it is not known what crosses the root",
        own.title(),
        other.title()
    );
    NotKnown::impossible(says, Some(own.span()))
}

/// What each strip of the wing carries of more angle of attack.
fn spread_of_lift(shape: &Shape) -> Vec<StripLoad> {
    let at = |angle_of_attack: f64| {
        let state = State { angle_of_attack, ..State::default() };
        shape.symmetric.loads(&state)
    };
    let both = at(1.0).into_iter().zip(at(0.0));
    // The wing is the first surface of the lattice.
    let of_wing = both.filter(|(load, _)| load.surface == 0);
    of_wing
        .map(|(load, still)| StripLoad { lift: load.lift - still.lift, ..load })
        .collect()
}

fn in_unit(si: f64, unit: &str, dimension: Dimension) -> Quantity {
    let unit = Unit::read(unit).unwrap_or_else(|| Unit::for_dimension(dimension));
    Quantity::from_si(si, &unit)
}

fn with_spread(quantity: &Quantity) -> Unsure {
    (quantity.si(), quantity.spread_si().unwrap_or(0.0))
}

fn no_moment(why: NoMoment) -> &'static str {
    match why {
        NoMoment::NoLift => "the wing does not lift, so nothing bends its spar",
        NoMoment::OtherHalf => "the mouth of the socket lies on the other half",
        NoMoment::TooLarge => "the lift is too large to reckon with",
    }
}

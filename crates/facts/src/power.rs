//! What flows where in each phase of a flight, and what keeps it from flowing.
//!
//! The supplies of the joins, the rails and outlets of the parts and the packs that a
//! loadout fits make a net, put together in `net`. What each part takes in a phase
//! stands in `demand`; [`trimsheet_physics::network`] works out what flows, `uses`
//! gathers that by rail, lead and part, and `known` hands it to rules.
//!
//! A pack is full on the bench and at the launch, has the volts of its label in cruise,
//! and is nearly empty at the landing. What no number is known of counts as nought, so
//! that a limit that is passed without it is found; whoever asks then learns what is
//! missing.

mod demand;
mod known;
mod net;
mod uses;

use std::collections::BTreeMap;
use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_physics::pack::Charge;

use self::net::Net;
use crate::facts::Facts;
use crate::known::NotKnown;

/// The rails that feed each part, with their volts and their lines.
pub(crate) type FedRails = BTreeMap<EntryId, Result<Vec<(Quantity, Span)>, NotKnown>>;

/// A phase in which the aircraft is under power.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// On the bench, motors still.
    Bench,
    /// Ready to start, motors still.
    Armed,
    /// Motors at their most, servos at work.
    Launch,
    /// Level flight.
    Cruise,
    /// Motors still, servos at work, the pack nearly empty.
    Landing,
    /// As at the landing with a full pack, but every servo stalls.
    Jammed,
}

impl Phase {
    /// The phases of every flight, in their order.
    pub const FLOWN: [Phase; 5] =
        [Phase::Bench, Phase::Armed, Phase::Launch, Phase::Cruise, Phase::Landing];

    /// Every phase that is reckoned.
    const ALL: [Phase; 6] = [
        Phase::Bench,
        Phase::Armed,
        Phase::Launch,
        Phase::Cruise,
        Phase::Landing,
        Phase::Jammed,
    ];

    /// What it is called.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Phase::Bench => "bench",
            Phase::Armed => "armed",
            Phase::Launch => "launch",
            Phase::Cruise => "cruise",
            Phase::Landing => "landing",
            Phase::Jammed => "jammed",
        }
    }

    /// When it is, behind a current: `2 A at the launch`.
    #[must_use]
    pub fn when(self) -> &'static str {
        match self {
            Phase::Bench => "on the bench",
            Phase::Armed => "once armed",
            Phase::Launch => "at the launch",
            Phase::Cruise => "in cruise",
            Phase::Landing => "at the landing",
            Phase::Jammed => "with every servo stalled",
        }
    }

    /// How much is left in the packs.
    fn charge(self) -> Charge {
        match self {
            Phase::Bench | Phase::Armed | Phase::Launch | Phase::Jammed => Charge::Full,
            Phase::Cruise => Charge::Nominal,
            Phase::Landing => Charge::Low,
        }
    }
}

/// What flows in a loadout.
#[derive(Debug)]
pub struct Power {
    /// What is wrong with the net, in the order of the spec.
    pub faults: Vec<Fault>,
    /// Packs that stand side by side, each with an earlier one that it meets with no rail
    /// between; those that have other volts when full are a fault instead.
    pub together: Vec<(EntryId, EntryId)>,
    /// What each rail gives.
    pub rails: Vec<RailUse>,
    /// What flows along each supply whose leads have a gauge and a length.
    pub leads: Vec<LeadUse>,
    /// What each part is fed with.
    pub fed: Vec<Fed>,
    /// What each pack gives.
    pub packs: Vec<PackUse>,
    /// What each speed controller passes to its motors.
    pub controllers: Vec<Through>,
    /// What is not known of the leads of a join.
    pub unknown_leads: Vec<(EntryId, NotKnown)>,
    /// What is not known of what packs resist; they then count as packs usually do.
    pub(crate) unknown_packs: Vec<NotKnown>,
}

/// Something that keeps a net from being one.
#[derive(Clone, Debug)]
pub struct Fault {
    /// What is wrong.
    pub kind: FaultKind,
    /// In words.
    pub says: String,
    /// Where.
    pub at: Span,
    /// The other line that makes it so, and what that is.
    pub because: Option<(Span, String)>,
    /// The entry that it is about.
    pub about: EntryId,
}

/// What can be wrong with a net.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultKind {
    /// Nothing feeds a part that needs to be fed.
    NoSource,
    /// Two rails, or a rail and a pack, meet.
    TwoSources,
    /// Packs that meet have other volts than each other.
    UnequalPacks,
    /// A rail is made from itself.
    FedByItself,
    /// Rails are made from each other.
    Loop,
    /// A lead is said to resist nothing.
    NoResistance,
    /// A pack does not say its cells.
    NoCells,
    /// A rail is to give more volts than it has.
    TooFewVolts,
    /// More is asked for than can be brought.
    Collapses,
    /// A rail is named that the part has not.
    NoSuchRail,
    /// It is not said which of several rails is meant.
    WhichRail,
}

impl FaultKind {
    /// What rules call each.
    pub const WORDS: &[&str] = &[
        "no source",
        "two sources",
        "unequal packs",
        "fed by itself",
        "loop",
        "no resistance",
        "no cells",
        "too few volts",
        "collapses",
        "no such rail",
        "which rail",
    ];

    /// What rules call it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            FaultKind::NoSource => "no source",
            FaultKind::TwoSources => "two sources",
            FaultKind::UnequalPacks => "unequal packs",
            FaultKind::FedByItself => "fed by itself",
            FaultKind::Loop => "loop",
            FaultKind::NoResistance => "no resistance",
            FaultKind::NoCells => "no cells",
            FaultKind::TooFewVolts => "too few volts",
            FaultKind::Collapses => "collapses",
            FaultKind::NoSuchRail => "no such rail",
            FaultKind::WhichRail => "which rail",
        }
    }
}

/// A current in a phase, with its spread.
#[derive(Clone, Debug)]
pub struct At {
    /// The phase.
    pub phase: Phase,
    /// The current.
    pub amps: Quantity,
    /// The volts: of a rail what it is made from, of a lead what it loses, else what
    /// there is.
    pub volts: Quantity,
    /// The heat that it makes.
    pub heat: Quantity,
}

/// What a rail gives.
#[derive(Clone, Debug)]
pub struct RailUse {
    /// The part that has it.
    pub part: EntryId,
    /// Its name.
    pub name: String,
    /// Its line.
    pub line: Span,
    /// The volts that it gives.
    pub volts: Quantity,
    /// `linear`, `switching`, or nothing where that is not said.
    pub making: String,
    /// What it can give for as long as you like.
    pub steady: Option<Quantity>,
    /// What it can give for some seconds, and for how many.
    pub burst: Option<(Quantity, Quantity)>,
    /// By phase.
    pub by_phase: Vec<At>,
    /// Who takes from it, and how much by phase.
    pub users: Vec<User>,
    /// What is not known of what they take.
    pub not_known: Vec<NotKnown>,
    /// What is not known of what they take once stalled.
    pub not_known_jammed: Vec<NotKnown>,
}

/// A part that takes a current.
#[derive(Clone, Debug)]
pub struct User {
    /// The part.
    pub part: EntryId,
    /// What it takes, by phase.
    pub amps: Vec<(Phase, Quantity)>,
}

/// What flows along a supply.
#[derive(Clone, Debug)]
pub struct LeadUse {
    /// The join.
    pub join: EntryId,
    /// The names on its line.
    pub names: Span,
    /// Where it comes from and where it goes to.
    pub ends: (EntryId, EntryId),
    /// The gauge of its wire.
    pub gauge: f64,
    /// Its length, one way.
    pub length: Quantity,
    /// What it resists, both ways, in Ω.
    pub resistance: f64,
    /// The volts that it begins with, by phase.
    pub begins: Vec<(Phase, f64)>,
    /// By phase; the volts are those that it loses.
    pub by_phase: Vec<At>,
    /// What is not known of what it carries.
    pub not_known: Vec<NotKnown>,
}

/// What a part is fed with.
#[derive(Clone, Debug)]
pub struct Fed {
    /// The part.
    pub part: EntryId,
    /// The pack that it hangs on without a rail between, if it does.
    pub pack: Option<EntryId>,
    /// The volts of that pack when it is full and nothing is drawn.
    pub full: Option<Quantity>,
    /// Its volts and its current by phase.
    pub by_phase: Vec<At>,
}

/// What a pack gives.
#[derive(Clone, Debug)]
pub struct PackUse {
    /// The pack.
    pub pack: EntryId,
    /// Whether its inner resistance was assumed.
    pub is_assumed: bool,
    /// By phase.
    pub by_phase: Vec<At>,
    /// What is not known of what it gives.
    pub not_known: Vec<NotKnown>,
}

/// What a speed controller passes to its motors.
#[derive(Clone, Debug)]
pub struct Through {
    /// The controller.
    pub part: EntryId,
    /// Its motors.
    pub motors: Vec<EntryId>,
    /// What flows in level flight.
    pub cruise: Quantity,
    /// The most that flows, and for how long if that is said.
    pub most: (Quantity, Option<Quantity>),
    /// What flows for as long as you like.
    pub steady: Option<Quantity>,
}

impl Facts {
    /// The rails that feed a part, each with its volts and its line; none where no join
    /// leads up to a rail. What has no rail of its own passes on what it is fed with, and
    /// a motor has the volts of the pack, through its controller.
    ///
    /// Fails where a supply comes from one of several rails and does not say from which,
    /// or where the volts are not known.
    pub(crate) fn rails_of(
        &self,
        part: EntryId,
    ) -> Result<Vec<(Quantity, Span)>, NotKnown> {
        let all = self.fed_rails_once(|| {
            let parts: Vec<EntryId> = self.of_word("part").map(|(id, _)| id).collect();
            let net = Net::joined(self, parts.clone(), Vec::new())?;
            let of = |part: EntryId| (part, net.rails_to(part));
            Ok(Rc::new(parts.into_iter().map(of).collect()))
        })?;
        all.get(&part).cloned().unwrap_or(Ok(Vec::new()))
    }

    /// What flows in a loadout, in each phase.
    ///
    /// # Errors
    /// What of the loadout, its packs or its joins is not known.
    pub fn power(&self, loadout: EntryId) -> Result<Rc<Power>, NotKnown> {
        let power = self.power_on_usual_packs(loadout)?;
        power
            .unknown_packs
            .first()
            .map_or_else(|| Ok(Rc::clone(&power)), |why| Err(why.clone()))
    }

    /// The same where a pack need not say what it resists: what hangs on its volts is then
    /// not to be read, while who meets whom and what is drawn with motors still hardly
    /// move with it.
    pub(crate) fn power_on_usual_packs(
        &self,
        loadout: EntryId,
    ) -> Result<Rc<Power>, NotKnown> {
        self.power_once(loadout, || Ok(Rc::new(Net::new(self, loadout)?.solved()?)))
    }
}

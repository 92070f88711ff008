//! The table of computed facts: what follows from a build, by the name rules use.
//!
//! Together with the vocabulary this is everything that a rule can read. Adding a
//! formula's result for rules is adding a row.

use std::collections::HashMap;
use std::rc::Rc;
use std::sync::LazyLock;

use trimsheet_model::quantity::Dimension;
use trimsheet_model::{EntryId, Stage};
use trimsheet_physics::loading;

mod afterwards;
mod controls;
mod drive;
mod driven;
mod flight;
mod formulas;
mod held;
mod joints;
mod ports;
mod power;
mod proof;
mod radio;
mod records;
mod remedies;
mod values;
mod weighings;

pub use self::records::CROWDING;
use self::records::{
    BALANCE, CORNERS, EXTENT, GUESSES, IN_FLIGHT, MASS, PLANFORM, REPEATS, SHARE, WAYS,
    WORDS,
};
pub use self::values::{OF_VALUES, Property, property};
use crate::facts::Facts;
use crate::gives::{Among, Gives};
use crate::known::{Known, NotKnown, What};

/// A fact that follows from others.
#[derive(Debug)]
pub struct Computed {
    /// The entry that it is about, `build` for the whole, or `value` for every value.
    pub on: &'static str,
    /// What rules call it.
    pub name: &'static str,
    /// What it is.
    pub gives: Gives,
    /// What it means, in a sentence.
    pub says: &'static str,
    /// How it is asked for; what stands first is named after the entry.
    pub example: &'static str,
    pub(crate) work: Work,
}

pub(crate) type Work = fn(&Facts, &Known) -> Result<Known, NotKnown>;

const fn row(
    on: &'static str,
    name: &'static str,
    gives: Gives,
    says: &'static str,
    example: &'static str,
    work: Work,
) -> Computed {
    Computed { on, name, gives, says, example, work }
}

/// Every computed fact but those of records of weighing.
const COMPUTED: &[Computed] = &[
    row(
        "build",
        "stage",
        Gives::Words(Among::These(Stage::WORDS)),
        "The stage that the build is judged for.",
        "build.stage",
        |facts, build| Ok(words(facts.stage.word(), build)),
    ),
    row(
        "build",
        "today",
        Gives::Date,
        "The day on which the build is judged.",
        "build.today",
        |facts, build| {
            let today = facts.today.ok_or_else(|| {
                NotKnown::impossible("it is not said which day it is", build.span)
            })?;
            Ok(Known::computed(What::Date(today), "today", build.span))
        },
    ),
    row(
        "build",
        "extent",
        EXTENT,
        "How far bodies, bays and ribs reach.",
        "build.extent.front",
        |facts, _| facts.extent(),
    ),
    row(
        "build",
        "dry_mass",
        MASS,
        "What is always aboard, packs left out, as far as its mass is known.",
        "build.dry_mass",
        |facts, _| facts.dry_mass(),
    ),
    row(
        "build",
        "values",
        Gives::List(&Gives::Value),
        "Every number with a unit that the spec states.",
        "build.values.len()",
        |facts, build| {
            let all = What::List(facts.values());
            Ok(Known::computed(all, &build.name, build.span))
        },
    ),
    row(
        "loadout",
        "balance",
        BALANCE,
        "The balance with its spread; not known while the loadout leaves something open.",
        "loadout.balance.x",
        |facts, of| facts.balance(id(of)?),
    ),
    row(
        "loadout",
        "mass",
        MASS,
        "All that is aboard; the most of it, where options are open.",
        "loadout.mass",
        |facts, of| facts.mass(id(of)?),
    ),
    row(
        "loadout",
        "corners",
        CORNERS,
        "A balance for each way to make the choices that the loadout leaves open.",
        "loadout.corners[0].says",
        |facts, of| {
            let all = What::List(facts.corners(id(of)?)?);
            Ok(Known::computed(all, &of.name, of.span))
        },
    ),
    row(
        "loadout",
        "foremost",
        BALANCE,
        "The corner that balances furthest ahead.",
        "loadout.foremost.x",
        |facts, of| facts.outermost(id(of)?, -1.0),
    ),
    row(
        "loadout",
        "aftmost",
        BALANCE,
        "The corner that balances furthest aft.",
        "loadout.aftmost.x.with_spread",
        |facts, of| facts.outermost(id(of)?, 1.0),
    ),
    row(
        "loadout",
        "is_open",
        Gives::Flag,
        "Whether the loadout leaves a slide or an option open.",
        "loadout.is_open",
        |facts, of| {
            let open = !facts.fitted(id(of)?)?.choices.is_empty();
            Ok(flag(open, of))
        },
    ),
    row(
        "loadout",
        "packs",
        Gives::List(&Gives::Entry(&["pack"])),
        "The packs that are aboard.",
        "loadout.packs[0].mass",
        |facts, of| {
            let fitted = facts.fitted(id(of)?)?;
            let packs = fitted.items.iter().map(|item| facts.known_entry(item.entry));
            let packs = packs.filter(|pack| facts.word(pack) == Some("pack"));
            Ok(list(packs.collect(), of))
        },
    ),
    row(
        "loadout",
        "aboard",
        Gives::List(&Gives::Entry(&["part", "pack", "assembly"])),
        "The parts, packs and assemblies whose mass counts.",
        "loadout.aboard[0].title",
        |facts, of| {
            let aboard = facts.aboard(id(of)?)?;
            Ok(list(aboard.into_iter().map(|id| facts.known_entry(id)).collect(), of))
        },
    ),
    row(
        "loadout",
        "parts_aboard",
        Gives::List(&Gives::Entry(&["part"])),
        "The parts that are certainly aboard, weighed or not, and those that an assembly holds; what the loadout leaves open is not among them.",
        "loadout.parts_aboard.len()",
        |facts, of| Ok(list(facts.parts_aboard(id(of)?)?, of)),
    ),
    row(
        "loadout",
        "guessed_mass",
        MASS,
        "The mass aboard that is estimated, copied, `about`, or of no stated source.",
        "loadout.guessed_mass",
        |facts, of| facts.guessed_mass(id(of)?),
    ),
    row(
        "loadout",
        "guessed_share",
        SHARE,
        "The guessed mass as a share of all that is aboard.",
        "loadout.guessed_share",
        |facts, of| facts.guessed_share(id(of)?),
    ),
    row(
        "loadout",
        "guesses",
        GUESSES,
        "What makes up the guessed mass, the heaviest first.",
        "loadout.guesses[0].mass",
        |facts, of| Ok(list(facts.guesses(id(of)?)?, of)),
    ),
    row(
        "loadout",
        "wing_loading",
        Gives::Quantity(&[Dimension::AREA_LOADING]),
        "The mass over the wing area.",
        "loadout.wing_loading",
        |facts, of| facts.loading(of, loading::wing_loading, Dimension::AREA_LOADING),
    ),
    row(
        "loadout",
        "size_free_loading",
        Gives::Quantity(&[Dimension::VOLUME_LOADING]),
        "The mass over the wing area to the power 3/2, which compares models of any size.",
        "loadout.size_free_loading",
        |facts, of| {
            facts.loading(of, loading::size_free_loading, Dimension::VOLUME_LOADING)
        },
    ),
    row(
        "loadout",
        "chord_share",
        SHARE,
        "Where on the mean chord the balance point is.",
        "loadout.chord_share",
        |facts, of| {
            let balance = facts.balance(id(of)?)?;
            let x = balance.field("x").and_then(Known::quantity);
            let (x, spread) =
                x.map_or((0.0, 0.0), |x| (x.si(), x.spread_si().unwrap_or(0.0)));
            let share = facts.chord_share(x)?;
            // The outline is as the ribs say; only the balance point makes this unsure.
            let spread = (facts.chord_share(x + spread)?.si() - share.si()).abs();
            let share = share.with_spread_si(spread);
            Ok(Known::computed(What::Quantity(share), "chord_share", of.span))
        },
    ),
    row(
        "loadout",
        "in_flight",
        IN_FLIGHT,
        "A balance for each thing that is let go or moves in flight.",
        "loadout.in_flight[0].before",
        |facts, of| Ok(list(facts.in_flight(id(of)?)?, of)),
    ),
    row("wing", "planform", PLANFORM, OUTLINE, "wing.planform.area", |facts, of| {
        facts.planform(id(of)?)
    }),
    row("tail", "planform", PLANFORM, OUTLINE, "tail.planform.area", |facts, of| {
        facts.planform(id(of)?)
    }),
    row("fin", "planform", PLANFORM, OUTLINE, "fin.planform.area", |facts, of| {
        facts.planform(id(of)?)
    }),
    row(
        "wing",
        "outline_faults",
        Gives::List(&WORDS),
        FAULTS,
        "wing.outline_faults.len()",
        |facts, of| Ok(list(facts.outline_faults(id(of)?)?, of)),
    ),
    row(
        "tail",
        "outline_faults",
        Gives::List(&WORDS),
        FAULTS,
        "tail.outline_faults.len()",
        |facts, of| Ok(list(facts.outline_faults(id(of)?)?, of)),
    ),
    row(
        "fin",
        "outline_faults",
        Gives::List(&WORDS),
        FAULTS,
        "fin.outline_faults.len()",
        |facts, of| Ok(list(facts.outline_faults(id(of)?)?, of)),
    ),
    row(
        "tail",
        "volume",
        SHARE,
        "Tail area times its arm from the wing, over wing area and mean chord.",
        "tail.volume",
        Facts::tail_volume,
    ),
    row(
        "fin",
        "volume",
        SHARE,
        "Fin area times its arm from the wing, over wing area and span.",
        "fin.volume",
        Facts::fin_volume,
    ),
    row(
        "part",
        "is_held",
        Gives::Flag,
        "Whether an assembly counts its mass already.",
        "part.is_held",
        |facts, of| {
            let held = facts.held()?.contains(&id(of)?);
            Ok(flag(held, of))
        },
    ),
    row(
        "part",
        "twin",
        Gives::Entry(&["part"]),
        "Of a left half, declared or named so: the right half.",
        "part.twin.name",
        |facts, of| facts.twin(id(of)?),
    ),
    row(
        "part",
        "side",
        Gives::Words(Among::These(&["left", "right", "centre"])),
        "On which side of the centre line it is: `left`, `right` or `centre`.",
        "part.side",
        |facts, of| Ok(words(facts.side(id(of)?)?, of)),
    ),
    row(
        "part",
        "fed_volts",
        Gives::List(&Gives::Quantity(&[Dimension::VOLTAGE])),
        "The volts of each rail that feeds it, nearest first; what has no rail of its own passes on what it is fed with.",
        "part.fed_volts.len()",
        |facts, of| Ok(list(facts.fed_volts(id(of)?)?, of)),
    ),
    row(
        "*",
        "word",
        Gives::Words(Among::Entries),
        "The word that opens the entry.",
        "part.word",
        |facts, of| Ok(words(facts.entry(id(of)?)?.row.word, of)),
    ),
    row("*", "name", WORDS, "What the entry is called.", "part.name", |facts, of| {
        let entry = facts.entry(id(of)?)?;
        Ok(words(&entry.name, of))
    }),
    row(
        "*",
        "title",
        WORDS,
        "What a message calls the entry: its word and its name.",
        "part.title",
        |facts, of| {
            let entry = facts.entry(id(of)?)?;
            Ok(words(&entry.title(), of))
        },
    ),
    row(
        "join",
        "ways",
        WAYS,
        "Each signal and each supply, of a pair both.",
        "join.ways[0].carries",
        |facts, of| Ok(list(facts.ways(id(of)?)?, of)),
    ),
    row(
        "*",
        "repeats",
        REPEATS,
        "Facts that were said a second time.",
        "part.repeats.len()",
        Facts::repeats,
    ),
];

const OUTLINE: &str = "What its ribs enclose; of a fin, one half.";
const FAULTS: &str = "What keeps the ribs from making an outline, a sentence each.";

/// Every computed fact.
pub fn computed() -> impl Iterator<Item = &'static Computed> {
    COMPUTED
        .iter()
        .chain(afterwards::ROWS)
        .chain(controls::ROWS)
        .chain(drive::ROWS)
        .chain(driven::ROWS)
        .chain(flight::ROWS)
        .chain(held::ROWS)
        .chain(joints::ROWS)
        .chain(ports::ROWS)
        .chain(power::ROWS)
        .chain(radio::ROWS)
        .chain(remedies::ROWS)
        .chain(weighings::ROWS)
        .chain(weighings::WEIGHED)
        .chain(weighings::BALANCED)
        .chain(weighings::DONE)
        .chain(proof::ROWS)
        .chain(proof::DEPARTURES)
        .chain(proof::OF_RECORDS.iter().copied().flatten())
        .chain(weighings::OTHERS)
}

/// The computed fact of this name about an entry of this word.
pub(crate) fn find(on: &str, name: &str) -> Option<&'static Computed> {
    NAMED.get(name)?.iter().copied().find(|row| applies(row, on))
}

/// The computed facts by their names: rules ask for thousands in one check.
static NAMED: LazyLock<HashMap<&str, Vec<&Computed>>> = LazyLock::new(|| {
    let mut named: HashMap<&str, Vec<&Computed>> = HashMap::new();
    for row in computed() {
        named.entry(row.name).or_default().push(row);
    }
    named
});

/// The names of the computed facts about an entry of this word.
pub(crate) fn names(on: &str) -> impl Iterator<Item = String> {
    let of_values = OF_VALUES.iter().filter(move |_| on == "value").map(|one| one.name);
    let of_entry = computed().filter(move |row| applies(row, on)).map(|row| row.name);
    of_entry.chain(of_values).map(str::to_owned)
}

fn applies(row: &Computed, on: &str) -> bool {
    row.on == on || (row.on == "*" && !matches!(on, "build" | "value"))
}

/// The entry that something is.
pub(crate) fn id(of: &Known) -> Result<EntryId, NotKnown> {
    of.entry().ok_or_else(|| NotKnown::no_such(format!("{} is no entry", of.name)))
}

fn words(text: &str, of: &Known) -> Known {
    Known::computed(What::Words(text.to_owned()), &of.name, of.span)
}

fn flag(value: bool, of: &Known) -> Known {
    Known::computed(What::Flag(value), &of.name, of.span)
}

fn list(all: Vec<Known>, of: &Known) -> Known {
    Known::computed(What::List(Rc::new(all)), &of.name, of.span)
}

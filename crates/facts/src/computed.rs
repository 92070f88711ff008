//! The table of computed facts: what follows from a build, by the name rules use.
//!
//! Together with the vocabulary this is everything that a rule can read. Adding a
//! formula's result for rules is adding a row.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{EntryId, Fact, Kind, Unknown};
use trimsheet_physics::loading;

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};

/// A fact that follows from others.
pub struct Computed {
    /// The entry that it is about, `build` for the whole, or `value` for every value.
    pub on: &'static str,
    /// What rules call it.
    pub name: &'static str,
    /// What it is: `a mass`, `a list of records`.
    pub gives: &'static str,
    /// What it means, in a sentence.
    pub says: &'static str,
    pub(crate) work: Work,
}

pub(crate) type Work = fn(&Facts, &Known) -> Result<Known, NotKnown>;

const fn row(
    on: &'static str,
    name: &'static str,
    gives: &'static str,
    says: &'static str,
    work: Work,
) -> Computed {
    Computed { on, name, gives, says, work }
}

/// Every computed fact.
pub const COMPUTED: &[Computed] = &[
    row(
        "build",
        "stage",
        "a word",
        "The stage that the build is judged for.",
        |facts, build| Ok(words(facts.stage.word(), build)),
    ),
    row(
        "build",
        "today",
        "a date",
        "The day on which the build is judged.",
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
        "a record",
        "`front` and `rear`: how far bodies, bays and ribs reach.",
        |facts, _| facts.extent(),
    ),
    row(
        "build",
        "dry_mass",
        "a mass",
        "What is always aboard, packs left out, as far as its mass is known.",
        |facts, _| facts.dry_mass(),
    ),
    row(
        "build",
        "values",
        "a list of values",
        "Every number with a unit that the spec states.",
        |facts, build| Ok(list(facts.values(), build)),
    ),
    row(
        "loadout",
        "balance",
        "a record",
        "`mass`, `x`, `y`, `z` with spread, inertias, and the `contributors` to the spread of x, the largest first: `says`, `share`, `moves`, and `act`, which makes it surer; not known while the loadout leaves something open.",
        |facts, of| facts.balance(id(of)?),
    ),
    row(
        "loadout",
        "mass",
        "a mass",
        "All that is aboard; the most of it, where options are open.",
        |facts, of| facts.mass(id(of)?),
    ),
    row(
        "loadout",
        "corners",
        "a list of records",
        "A balance for each way to make the choices that the loadout leaves open; `says` names it.",
        |facts, of| Ok(list(facts.corners(id(of)?)?, of)),
    ),
    row(
        "loadout",
        "foremost",
        "a record",
        "The corner that balances furthest ahead.",
        |facts, of| facts.outermost(id(of)?, -1.0),
    ),
    row(
        "loadout",
        "aftmost",
        "a record",
        "The corner that balances furthest aft.",
        |facts, of| facts.outermost(id(of)?, 1.0),
    ),
    row(
        "loadout",
        "is_open",
        "yes or no",
        "Whether the loadout leaves a slide or an option open.",
        |facts, of| {
            let open = !facts.fitted(id(of)?)?.choices.is_empty();
            Ok(flag(open, of))
        },
    ),
    row(
        "loadout",
        "packs",
        "a list of entries",
        "The packs that are aboard.",
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
        "a list of entries",
        "The parts, packs and assemblies whose mass counts.",
        |facts, of| {
            let fitted = facts.fitted(id(of)?)?;
            let items = fitted.items.iter().filter(|item| !item.is_ballast);
            Ok(list(items.map(|item| facts.known_entry(item.entry)).collect(), of))
        },
    ),
    row(
        "loadout",
        "guessed_mass",
        "a mass",
        "The mass aboard that is estimated, copied, `about`, or of no stated source.",
        |facts, of| facts.guessed_mass(id(of)?),
    ),
    row(
        "loadout",
        "guessed_share",
        "a share",
        "The guessed mass as a share of all that is aboard.",
        |facts, of| facts.guessed_share(id(of)?),
    ),
    row(
        "loadout",
        "guesses",
        "a list of records",
        "`of` and `mass` of what makes up the guessed mass, the heaviest first.",
        |facts, of| Ok(list(facts.guesses(id(of)?)?, of)),
    ),
    row(
        "loadout",
        "wing_loading",
        "a mass per area",
        "The mass over the wing area.",
        |facts, of| facts.loading(of, loading::wing_loading, Dimension::AREA_LOADING),
    ),
    row(
        "loadout",
        "size_free_loading",
        "a mass per volume",
        "The mass over the wing area to the power 3/2, which compares models of any size.",
        |facts, of| {
            facts.loading(of, loading::size_free_loading, Dimension::VOLUME_LOADING)
        },
    ),
    row(
        "loadout",
        "chord_share",
        "a share",
        "Where on the mean chord the balance point is.",
        |facts, of| {
            let balance = facts.balance(id(of)?)?;
            let x =
                balance.field("x").and_then(Known::quantity).map_or(0.0, Quantity::si);
            let share = facts.chord_share(x)?;
            Ok(Known::computed(What::Quantity(share), "chord_share", of.span))
        },
    ),
    row(
        "loadout",
        "in_flight",
        "a list of records",
        "A balance for each thing that is let go or moves in flight; `says` names it, and `before` is the place of the balance until then.",
        |facts, of| Ok(list(facts.in_flight(id(of)?)?, of)),
    ),
    row("wing", "planform", "a record", PLANFORM, |facts, of| facts.planform(id(of)?)),
    row("tail", "planform", "a record", PLANFORM, |facts, of| facts.planform(id(of)?)),
    row("fin", "planform", "a record", PLANFORM, |facts, of| facts.planform(id(of)?)),
    row("wing", "outline_faults", "a list of words", FAULTS, |facts, of| {
        Ok(list(facts.outline_faults(id(of)?)?, of))
    }),
    row("tail", "outline_faults", "a list of words", FAULTS, |facts, of| {
        Ok(list(facts.outline_faults(id(of)?)?, of))
    }),
    row("fin", "outline_faults", "a list of words", FAULTS, |facts, of| {
        Ok(list(facts.outline_faults(id(of)?)?, of))
    }),
    row(
        "tail",
        "volume",
        "a share",
        "Tail area times its arm from the wing, over wing area and mean chord.",
        Facts::tail_volume,
    ),
    row(
        "fin",
        "volume",
        "a share",
        "Fin area times its arm from the wing, over wing area and span.",
        Facts::fin_volume,
    ),
    row(
        "part",
        "is_held",
        "yes or no",
        "Whether an assembly counts its mass already.",
        |facts, of| {
            let held = facts.held()?.contains(&id(of)?);
            Ok(flag(held, of))
        },
    ),
    row(
        "part",
        "twin",
        "an entry",
        "Of a left half, declared or named so: the right half.",
        |facts, of| facts.twin(id(of)?),
    ),
    row(
        "part",
        "side",
        "a word",
        "On which side of the centre line it is: `left`, `right` or `centre`.",
        |facts, of| Ok(words(facts.side(id(of)?)?, of)),
    ),
    row("*", "word", "a word", "The word that opens the entry.", |facts, of| {
        Ok(words(facts.entry(id(of)?)?.row.word, of))
    }),
    row("*", "name", "words", "What the entry is called.", |facts, of| {
        let entry = facts.entry(id(of)?)?;
        Ok(words(&entry.name, of))
    }),
    row(
        "*",
        "title",
        "words",
        "What a message calls the entry: its word and its name.",
        |facts, of| {
            let entry = facts.entry(id(of)?)?;
            Ok(words(&entry.title(), of))
        },
    ),
    row(
        "*",
        "repeats",
        "a list of records",
        "`first`, `again` and whether they `differ`: facts that were said a second time.",
        Facts::repeats,
    ),
    row(
        "loadout",
        "as_weighed",
        "a record",
        "By the latest records, with what was changed since taken off and put on: `mass` and `x` with spread, `says` which records, `base` at their line, `is_own` where they are of this loadout, `changes`, all `steps` of the sum (`says`, `mass`, `at`, `moment`), the `arithmetic` in words, and the `contributors` to the spread.",
        |facts, of| facts.as_weighed(id(of)?),
    ),
    row(
        "loadout",
        "mass_as_weighed",
        "a record",
        "By the latest record that gives a mass, with what was changed since: `mass` with spread, `says` which record, `base` at its line, `is_own`, and `changes`.",
        |facts, of| facts.mass_as_weighed(id(of)?),
    ),
    row(
        "loadout",
        "mass_off_list",
        "a mass",
        "How much more than the list the scale says, with the spread of the difference; below nought where it says less.",
        |facts, of| facts.mass_off_list(id(of)?),
    ),
    row(
        "loadout",
        "balance_off_list",
        "a length",
        "How much further aft than the list the records say that it balances, with the spread of the difference; below nought where it is further ahead.",
        |facts, of| facts.balance_off_list(id(of)?),
    ),
    row(
        "weighed",
        "loadout",
        "an entry",
        "The loadout that the record is of.",
        |facts, of| facts.loadout_of(id(of)?),
    ),
    row(
        "weighed",
        "called",
        "words",
        "What a message calls the record: the loadout, what was done, the day.",
        |facts, of| facts.called_of(id(of)?),
    ),
    row(
        "weighed",
        "gives_place",
        "yes or no",
        "Whether the record says where it balances.",
        |facts, of| facts.places_it(id(of)?),
    ),
    row(
        "weighed",
        "measured_mass",
        "a mass",
        "What the scales showed, less the tares.",
        |facts, of| facts.measured_mass(id(of)?),
    ),
    row(
        "weighed",
        "measured_place",
        "a place",
        "Where it balanced as it was, neither levelled nor corrected.",
        |facts, of| facts.measured_place(id(of)?),
    ),
    row(
        "weighed",
        "as_flown",
        "a record",
        "The measurement corrected to its loadout as it flies: `mass`, `x`, `changes`, `steps`, `arithmetic`, as of `as_weighed`.",
        |facts, of| facts.as_flown(id(of)?),
    ),
    row(
        "weighed",
        "correction",
        "words",
        "The arithmetic that brings the record to its loadout as it flies: masses, stations, moments and what they come to.",
        |facts, of| facts.correction(id(of)?),
    ),
    row(
        "weighed",
        "differences",
        "a list of words",
        "In what the aircraft was not as its loadout flies.",
        |facts, of| facts.differences(id(of)?),
    ),
    row(
        "weighed",
        "rests_on_plan",
        "a list of words",
        "What lay where, by the loadout's word, when that is only planned; each stands at the planned value.",
        |facts, of| facts.rests_on_plan(id(of)?),
    ),
    row(
        "balanced",
        "loadout",
        "an entry",
        "The loadout that the record is of.",
        |facts, of| facts.loadout_of(id(of)?),
    ),
    row(
        "balanced",
        "called",
        "words",
        "What a message calls the record: the loadout, what was done, the day.",
        |facts, of| facts.called_of(id(of)?),
    ),
    row(
        "balanced",
        "gives_place",
        "yes or no",
        "Whether the record says where it balances.",
        |facts, of| facts.places_it(id(of)?),
    ),
    row(
        "balanced",
        "measured_mass",
        "a mass",
        "What the scales showed, less the tares.",
        |facts, of| facts.measured_mass(id(of)?),
    ),
    row(
        "balanced",
        "measured_place",
        "a place",
        "Where it balanced as it was, neither levelled nor corrected.",
        |facts, of| facts.measured_place(id(of)?),
    ),
    row(
        "balanced",
        "as_flown",
        "a record",
        "The measurement corrected to its loadout as it flies: `mass`, `x`, `changes`, `steps`, `arithmetic`, as of `as_weighed`.",
        |facts, of| facts.as_flown(id(of)?),
    ),
    row(
        "balanced",
        "correction",
        "words",
        "The arithmetic that brings the record to its loadout as it flies: masses, stations, moments and what they come to.",
        |facts, of| facts.correction(id(of)?),
    ),
    row(
        "balanced",
        "differences",
        "a list of words",
        "In what the aircraft was not as its loadout flies.",
        |facts, of| facts.differences(id(of)?),
    ),
    row(
        "balanced",
        "rests_on_plan",
        "a list of words",
        "What lay where, by the loadout's word, when that is only planned; each stands at the planned value.",
        |facts, of| facts.rests_on_plan(id(of)?),
    ),
];

const PLANFORM: &str = "`area`, `span`, `aspect_ratio`, `mean_chord`, its `leading_edge`, and `mean_chord_out`.";
const FAULTS: &str = "What keeps the ribs from making an outline, a sentence each.";

/// What every value can say of itself.
pub const OF_VALUES: &[(&str, &str, &str)] = &[
    ("entry", "an entry", "The entry that it is about."),
    ("of", "words", "What a message calls that entry."),
    ("fact", "a word", "The word of its line."),
    ("called", "words", "What a message calls it: `mass`, `place`, `rib chord`."),
    ("source", "a word", "Where it comes from."),
    ("has_source", "yes or no", "Whether its source is stated."),
    ("is_assumed", "yes or no", "Whether its spread was assumed from its source."),
    ("is_about", "yes or no", "Whether it is `about`."),
    ("is_unknown", "yes or no", "Whether the builder wrote `?` or `about`."),
    ("is_known", "yes or no", "Whether it can be reckoned with; an `about` can."),
    ("has_no_unit", "yes or no", "Whether it is a number without a unit."),
    (
        "wants",
        "words",
        "What a builder would write behind a number there: `mm`, `mm aft`.",
    ),
    (
        "wants_only_a_unit",
        "yes or no",
        "Whether one unit behind the number makes it whole.",
    ),
    ("is_needed", "yes or no", "Whether the stage that is judged wants it known."),
    ("is_needed_later", "yes or no", "Whether some stage wants it known."),
    ("needed_from", "a word", "The stage from which it is wanted."),
    ("spread", "a quantity", "Its expanded spread, coverage factor 2."),
    ("low", "a quantity", "The lower end of a range."),
    ("high", "a quantity", "The upper end of a range."),
    ("forward", "a place", "The end of a range that is further ahead."),
    ("aft", "a place", "The end of a range that is further aft."),
    ("x", "a place", "Of a place: ahead or aft."),
    ("y", "a place", "Of a place: left or right."),
    ("z", "a place", "Of a place: up or down."),
    ("length", "a length", "Of a size: along."),
    ("width", "a length", "Of a size: across."),
    ("height", "a length", "Of a size: upward."),
    ("diameter", "a length", "Of a propeller's size."),
    ("pitch", "a length", "Of a propeller's size."),
    ("count", "a count", "Of a list: how many."),
];

/// The computed fact of this name about an entry of this word.
pub(crate) fn find(on: &str, name: &str) -> Option<&'static Computed> {
    COMPUTED.iter().find(|row| row.name == name && applies(row, on))
}

/// The names of the computed facts about an entry of this word.
pub(crate) fn names(on: &str) -> impl Iterator<Item = String> {
    let of_values =
        OF_VALUES.iter().filter(move |_| on == "value").map(|(name, ..)| *name);
    let of_entry =
        COMPUTED.iter().filter(move |row| applies(row, on)).map(|row| row.name);
    of_entry.chain(of_values).map(str::to_owned)
}

fn applies(row: &Computed, on: &str) -> bool {
    row.on == on || (row.on == "*" && !matches!(on, "build" | "value"))
}

fn id(of: &Known) -> Result<EntryId, NotKnown> {
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

impl Facts {
    /// The word that opens an entry.
    pub fn word(&self, known: &Known) -> Option<&'static str> {
        self.build.entry(known.entry()?).map(|entry| entry.row.word)
    }

    fn wing(&self) -> Result<Known, NotKnown> {
        self.of(&self.whole(), "wing")
    }

    /// The area, the mean chord and the rest of the wing's outline, in SI units.
    fn wing_outline(&self) -> Result<trimsheet_physics::planform::Planform, NotKnown> {
        self.outline(id(&self.wing()?)?)
    }

    fn loading(
        &self,
        of: &Known,
        formula: fn(f64, f64) -> Option<f64>,
        dimension: Dimension,
    ) -> Result<Known, NotKnown> {
        let mass = self.mass(id(of)?)?;
        let spread = mass.quantity().and_then(Quantity::spread_si).unwrap_or(0.0);
        let mass = mass.quantity().map_or(0.0, Quantity::si);
        let area = self.wing_outline()?.area;
        let none = || NotKnown::impossible("the wing has no area", of.span);
        let loading = formula(mass, area).ok_or_else(none)?;
        let spread = formula(spread, area).ok_or_else(none)?;
        let quantity = Quantity::from_si(loading, &Unit::for_dimension(dimension));
        let quantity = quantity.with_spread_si(spread);
        Ok(Known::computed(
            What::Quantity(quantity),
            format!("{}.loading", of.name),
            of.span,
        ))
    }

    /// The guessed mass of a loadout as a share of its mass.
    fn guessed_share(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let (part, all) = (self.guessed_mass(loadout)?, self.mass(loadout)?);
        let si = |known: &Known| known.quantity().map_or(0.0, Quantity::si);
        let share = si(&part) / si(&all);
        let share = Quantity::from_si(share, &Unit::for_dimension(Dimension::NONE));
        Ok(Known::computed(What::Quantity(share), "guessed_share", part.span))
    }

    /// The stall speed of a loadout at a greatest lift coefficient, at sea level.
    ///
    /// The speed goes with the root of both, so each lends it half its own share of
    /// spread.
    ///
    /// # Errors
    /// What of mass and outline is not known.
    pub fn stall_speed(
        &self,
        loadout: &Known,
        lift_limit: &Quantity,
    ) -> Result<Known, NotKnown> {
        let mass = self.mass(id(loadout)?)?;
        let si = |known: &Quantity| known.si();
        let unsure = |known: &Quantity| known.spread_si().unwrap_or(0.0) / known.si();
        let (weighs, lift) = (mass.quantity().map_or(0.0, si), lift_limit.si());
        let area = self.wing_outline()?.area;
        let speed = loading::stall_speed(weighs, area, loading::SEA_LEVEL_DENSITY, lift);
        let says = "no lift, so no stall speed";
        let speed = speed.ok_or_else(|| NotKnown::impossible(says, loadout.span))?;
        let (of_mass, of_lift) =
            (mass.quantity().map_or(0.0, unsure), unsure(lift_limit));
        let shares = (of_mass * of_mass + of_lift * of_lift).sqrt();
        let quantity = Quantity::from_si(speed, &Unit::for_dimension(Dimension::SPEED));
        let quantity = quantity.with_spread_si(speed * shares / 2.0);
        Ok(Known::computed(What::Quantity(quantity), "stall_speed", loadout.span))
    }

    fn tail_volume(&self, tail: &Known) -> Result<Known, NotKnown> {
        let (wing, own) = (self.wing_outline()?, self.outline(id(tail)?)?);
        let arm = own.station(0.25) - wing.station(0.25);
        let volume =
            loading::tail_volume(own.area, arm.abs(), wing.area, wing.mean_chord);
        self.volume(tail, volume)
    }

    fn fin_volume(&self, fin: &Known) -> Result<Known, NotKnown> {
        let (wing, own) = (self.wing_outline()?, self.outline(id(fin)?)?);
        let arm = own.station(0.25) - wing.station(0.25);
        let volume = loading::fin_volume(own.area / 2.0, arm.abs(), wing.area, wing.span);
        self.volume(fin, volume)
    }

    fn volume(&self, of: &Known, volume: Option<f64>) -> Result<Known, NotKnown> {
        let volume = volume
            .ok_or_else(|| NotKnown::impossible("the wing has no area", of.span))?;
        let quantity = Quantity::from_si(volume, &Unit::for_dimension(Dimension::NONE));
        Ok(Known::computed(
            What::Quantity(quantity),
            format!("{}.volume", of.name),
            of.span,
        ))
    }

    fn repeats(&self, of: &Known) -> Result<Known, NotKnown> {
        let entry = self.entry(id(of)?)?;
        let pairs = entry.repeats.iter().filter_map(|(first, again)| {
            let first = entry.facts.get(*first)?;
            let place = |fact: &Fact| {
                let word = What::Words(fact.row.word.into());
                Known::computed(word, fact.row.word, Some(fact.span))
            };
            let differ = first
                .values
                .iter()
                .any(|(_, value)| matches!(value.kind, Kind::Unknown(Unknown::Conflict)));
            let fields = vec![
                ("first", place(first)),
                ("again", place(again)),
                ("differ", flag(differ, of)),
            ];
            Some(Known::computed(
                What::Record(Rc::new(fields)),
                first.row.word,
                Some(again.span),
            ))
        });
        Ok(list(pairs.collect(), of))
    }
}

//! What is aboard in a loadout, and what it leaves open.

use std::collections::BTreeMap;

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Half, Kind, Place, Value};
use trimsheet_physics::balance::{Balance, Item, NoBalance, Term, balance};

use crate::facts::{Facts, absent};
use crate::known::NotKnown;
use crate::stowed::{State, Stowed};

mod listing;

pub use listing::{Listed, Listing};

/// Everything aboard, and the choices that the loadout does not make.
#[derive(Clone, Debug)]
pub(crate) struct Fitted {
    pub(crate) items: Vec<Aboard>,
    pub(crate) choices: Vec<Choice>,
    pub(crate) variables: Vec<Variable>,
}

/// One thing aboard.
#[derive(Clone, Debug)]
pub(crate) struct Aboard {
    /// The part, the pack, the assembly, or the bay that lead lies in.
    pub(crate) entry: EntryId,
    pub(crate) name: String,
    pub(crate) item: Item,
    /// The value of its mass, for its source and its place.
    pub(crate) mass: Value,
    /// The stretch that says where it is.
    pub(crate) placed: Span,
    pub(crate) is_ballast: bool,
}

/// A number that was written once, and what it is called.
#[derive(Clone, Debug)]
pub(crate) struct Variable {
    pub(crate) says: String,
    /// What makes it surer: `weigh the wiring`.
    pub(crate) act: String,
    pub(crate) span: Option<Span>,
    pub(crate) via: Option<Span>,
    pub(crate) spread: f64,
    /// Where it comes from, if that is said.
    pub(crate) source: Option<&'static str>,
    /// Whether the spread was assumed from the source.
    pub(crate) assumed: bool,
}

/// Something that the loadout leaves open.
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    /// Which items; both halves of a pair are one choice.
    pub(crate) items: Vec<usize>,
    pub(crate) open: Open,
    pub(crate) span: Span,
}

/// What is open about an item.
#[derive(Clone, Debug)]
pub(crate) enum Open {
    /// Where in its slide it is.
    Slide(Quantity, Quantity),
    /// Whether it is aboard.
    Optional,
}

/// Which way a choice was made: the second end of a slide, or aboard.
pub(crate) type Chosen = Vec<bool>;

impl Fitted {
    /// Works out what is aboard.
    pub(crate) fn new(facts: &Facts, loadout: EntryId) -> Result<Fitted, NotKnown> {
        let mut fitter = Fitter::new(facts);
        for stowed in facts.stowed(State::flown(loadout))? {
            fitter.take(&stowed)?;
        }
        Ok(fitter.out)
    }

    /// The balance with the choices made in one way.
    pub(crate) fn balance(&self, chosen: &[bool]) -> Result<Balance, NotKnown> {
        let items: Vec<Item> = self.items_when(chosen).map(|(_, item)| item).collect();
        self.balance_of(&items)
    }

    /// The items that are aboard with the choices made in one way.
    pub(crate) fn items_when<'a>(
        &'a self,
        chosen: &'a [bool],
    ) -> impl Iterator<Item = (usize, Item)> + 'a {
        self.items.iter().enumerate().filter_map(move |(index, aboard)| {
            let mut item = aboard.item;
            for (choice, second) in self.choices.iter().zip(chosen) {
                match &choice.open {
                    Open::Optional if choice.items.contains(&index) && !second => {
                        return None;
                    }
                    Open::Slide(low, high) if choice.items.contains(&index) => {
                        let end = if *second { high } else { low };
                        let [along, across, upward] = item.at;
                        item.at = [Term { value: end.si(), ..along }, across, upward];
                    }
                    Open::Optional | Open::Slide(..) => {}
                }
            }
            Some((index, item))
        })
    }

    /// The balance of items that share the variables of this loadout.
    pub(crate) fn balance_of(&self, items: &[Item]) -> Result<Balance, NotKnown> {
        self.balance_with(items, &[])
    }

    /// The same of items that use variables with these spreads besides.
    pub(crate) fn balance_with(
        &self,
        items: &[Item],
        added: &[f64],
    ) -> Result<Balance, NotKnown> {
        let own = self.variables.iter().map(|variable| variable.spread);
        let spreads: Vec<f64> = own.chain(added.iter().copied()).collect();
        balance(items, &spreads).map_err(|why| {
            let says = match why {
                NoBalance::Nothing => "nothing is aboard, so there is no balance",
                NoBalance::NoMass => "what is aboard has no mass, so there is no balance",
                NoBalance::TooLarge | NoBalance::NoSpread { .. } => {
                    "the masses and places are too large to reckon with"
                }
            };
            NotKnown::impossible(says, None)
        })
    }

    /// The index of one more variable, which only a spread is known of.
    pub(crate) fn more(&mut self, spread: f64) -> usize {
        let (says, act) = (String::new(), String::new());
        let (span, via, source, assumed) = (None, None, None, false);
        let more = Variable { says, act, span, via, spread, source, assumed };
        self.variables.push(more);
        self.variables.len() - 1
    }

    /// The same with the choices made in one way, and so with none.
    pub(crate) fn closed(&self, chosen: &[bool]) -> Fitted {
        let items = self.items_when(chosen).filter_map(|(index, item)| {
            Some(Aboard { item, ..self.items.get(index)?.clone() })
        });
        let variables = self.variables.clone();
        Fitted { items: items.collect(), choices: Vec::new(), variables }
    }

    /// Every way to make the choices; none where there are too many to look at.
    pub(crate) fn ways(&self) -> Option<Vec<Chosen>> {
        let count =
            u32::try_from(self.choices.len()).ok().filter(|count| *count <= MOST)?;
        let ways = (0..1_u32 << count)
            .map(|bits| (0..count).map(|bit| bits >> bit & 1 == 1).collect());
        Some(ways.collect())
    }
}

/// How many open choices are looked at in all their combinations.
pub(crate) const MOST: u32 = 10;

/// Gathers items, whose numbers share variables wherever they were written once.
pub(crate) struct Fitter<'a> {
    facts: &'a Facts,
    pub(crate) out: Fitted,
    /// The variable of each value, by where it stands and on which axis.
    keys: BTreeMap<(Span, u8), usize>,
}

impl<'a> Fitter<'a> {
    pub(crate) fn new(facts: &'a Facts) -> Fitter<'a> {
        let out =
            Fitted { items: Vec::new(), choices: Vec::new(), variables: Vec::new() };
        Fitter { facts, out, keys: BTreeMap::new() }
    }

    /// Takes a thing aboard, at a place that is stated for it, or its own.
    pub(crate) fn take(&mut self, stowed: &Stowed<'_>) -> Result<(), NotKnown> {
        match stowed.lead {
            Some((who, fact)) => self.lead(who, fact, stowed)?,
            None => self.fit(stowed.entry, stowed.at)?,
        }
        if stowed.is_open {
            let span = self.facts.entry(stowed.entry)?.span();
            self.open(Open::Optional, span);
        }
        if stowed.is_missing
            && let Some(last) = self.out.items.last_mut()
        {
            last.item = last.item.taken_away();
        }
        Ok(())
    }

    /// What a thing is called, and its mass with the value that states it.
    pub(crate) fn weight(
        &mut self,
        stowed: &Stowed<'_>,
    ) -> Result<(String, Term, Value), NotKnown> {
        if let Some((who, fact)) = stowed.lead {
            let who = self.facts.entry(who)?;
            let mass = self.facts.slot(who, fact, "mass")?;
            let mass = mass.ok_or_else(|| absent(who, "mass of its ballast"))?;
            let name = format!("ballast in {}", self.facts.entry(stowed.entry)?.name);
            let term = self.mass(&name, mass, 1.0)?;
            return Ok((name, term, mass.clone()));
        }
        let entry = self.facts.entry(stowed.entry)?;
        let fact = self.facts.must(stowed.entry, "mass")?;
        let mass =
            self.facts.slot(entry, fact, "mass")?.ok_or_else(|| absent(entry, "mass"))?;
        let together = fact.slot("counted").and_then(Value::text) == Some("together");
        let share = if together && entry.half.is_some() { 0.5 } else { 1.0 };
        let term = self.mass(&entry.name, mass, share)?;
        let term = if stowed.is_missing { term.negated() } else { term };
        Ok((entry.name.clone(), term, mass.clone()))
    }

    fn lead(
        &mut self,
        who: EntryId,
        fact: &Fact,
        stowed: &Stowed<'_>,
    ) -> Result<(), NotKnown> {
        let who = self.facts.entry(who)?;
        self.facts
            .slot(who, fact, "mass")?
            .ok_or_else(|| absent(who, "mass of its ballast"))?;
        let at = match stowed.at {
            Some(at) => at,
            None => {
                let place = self.facts.must(stowed.entry, "ballast")?;
                let bay = self.facts.entry(stowed.entry)?;
                let at = self.facts.slot(bay, place, "at")?;
                at.ok_or_else(|| absent(bay, "place for ballast"))?
            }
        };
        let (name, term, mass) = self.weight(stowed)?;
        let at_terms = self.at(&name, Where::At(at), None)?;
        self.out.items.push(Aboard {
            entry: stowed.entry,
            name,
            item: Item { mass: term, at: at_terms, size: None },
            mass,
            placed: at.span,
            is_ballast: true,
        });
        Ok(())
    }

    fn fit(&mut self, id: EntryId, at: Option<&Value>) -> Result<(), NotKnown> {
        let entry = self.facts.entry(id)?;
        let plain =
            Stowed { entry: id, at, lead: None, is_open: false, is_missing: false };
        let (name, term, mass) = self.weight(&plain)?;
        let own =
            self.facts.fact(id, "at")?.map(|fact| self.facts.slot(entry, fact, "place"));
        let own = own.transpose()?.flatten();
        let slide = self.facts.fact(id, "slides")?;
        let (at, open) = match (at.or(own), slide) {
            (Some(place), _) => (Where::At(place), None),
            (None, Some(slide)) => {
                let range = self.facts.slot(entry, slide, "range")?;
                let range = range.ok_or_else(|| absent(entry, "range of its slide"))?;
                let Kind::Range(low, high) = &range.kind else {
                    return Err(absent(entry, "range of its slide"));
                };
                let open = Open::Slide(low.clone(), (**high).clone());
                (Where::Slide(low, range.span), Some((open, range.span)))
            }
            (None, None) => return Err(absent(entry, "place (`at`)")),
        };
        let placed = at.span();
        let at = self.at(&name, at, entry.half)?;
        let item = Item { mass: term, at, size: self.facts.size(id)? };
        self.out.items.push(Aboard {
            entry: id,
            name,
            item,
            mass,
            placed,
            is_ballast: false,
        });
        if let Some((open, span)) = open {
            self.open(open, span);
        }
        Ok(())
    }

    /// Leaves something open about the last item; what one line leaves open is one choice.
    fn open(&mut self, open: Open, span: Span) {
        let Some(item) = self.out.items.len().checked_sub(1) else { return };
        let same = |choice: &&mut Choice| choice.span == span;
        match self.out.choices.iter_mut().find(same) {
            Some(choice) => choice.items.push(item),
            None => self.out.choices.push(Choice { items: vec![item], open, span }),
        }
    }

    /// A mass, of which only a share may count.
    pub(crate) fn mass(
        &mut self,
        name: &str,
        mass: &Value,
        share: f64,
    ) -> Result<Term, NotKnown> {
        let quantity = mass.quantity();
        let weight =
            quantity.ok_or_else(|| NotKnown::impossible("no mass", Some(mass.span)))?;
        let says = format!("the mass of {name}");
        let variable = self.variable(mass, 0, &says, weight);
        Ok(Term { value: weight.si() * share, variable, weight: share })
    }

    fn at(
        &mut self,
        name: &str,
        at: Where<'_>,
        half: Option<Half>,
    ) -> Result<[Term; 3], NotKnown> {
        let fixed = self.fixed();
        match at {
            Where::Slide(low, _) => Ok([Term { value: low.si(), ..fixed }, fixed, fixed]),
            Where::At(value) => {
                let Kind::Place(place) = &value.kind else {
                    return Err(NotKnown::impossible("no place", Some(value.span)));
                };
                Ok(self.place(name, value, place, half, fixed))
            }
        }
    }

    /// The place that a value states.
    pub(crate) fn stated(
        &mut self,
        name: &str,
        value: &Value,
    ) -> Result<[Term; 3], NotKnown> {
        self.at(name, Where::At(value), None)
    }

    fn place(
        &mut self,
        name: &str,
        value: &Value,
        place: &Place,
        half: Option<Half>,
        fixed: Term,
    ) -> [Term; 3] {
        let says = format!("the place of {name}");
        let mut term = |axis: u8, quantity: &Quantity| {
            let mirrored = quantity.axis() == Some(Axis::Out) && half == Some(Half::Left);
            let weight = if mirrored { -1.0 } else { 1.0 };
            let variable = self.variable(value, axis, &says, quantity);
            Term { value: quantity.si() * weight, variable, weight }
        };
        let along = term(1, &place.along);
        let across = place.across.as_ref().map_or(fixed, |across| term(2, across));
        let upward = place.upward.as_ref().map_or(fixed, |upward| term(3, upward));
        [along, across, upward]
    }

    /// The variable of a value: a value that was written once is one variable.
    fn variable(
        &mut self,
        value: &Value,
        axis: u8,
        says: &str,
        quantity: &Quantity,
    ) -> usize {
        if let Some(known) = self.keys.get(&(value.span, axis)).copied() {
            self.name_pair(known, value, axis, says);
            return known;
        }
        let index = self.out.variables.len();
        self.keys.insert((value.span, axis), index);
        self.out.variables.push(Variable {
            says: says.to_owned(),
            act: act(value, axis, says),
            span: Some(value.span),
            via: value.via,
            spread: quantity.spread_si().unwrap_or(0.0),
            source: value.source.as_ref().map(|source| source.word),
            assumed: value.assumed,
        });
        index
    }

    /// What both halves of a pair share goes by the name of the pair.
    fn name_pair(&mut self, known: usize, value: &Value, axis: u8, says: &str) {
        let Some(variable) = self.out.variables.get_mut(known) else { return };
        let pair = says.strip_suffix(".right");
        if let Some(pair) = pair.filter(|_| variable.says.ends_with(".left")) {
            variable.act = act(value, axis, pair);
            variable.says = pair.to_owned();
        }
    }

    /// A number that nothing makes unsure: the end of a slide, the centre line.
    pub(crate) fn fixed(&mut self) -> Term {
        let (says, act) = (String::new(), String::new());
        let (span, via, source) = (None, None, None);
        let none = Variable { says, act, span, via, spread: 0.0, source, assumed: false };
        self.out.variables.push(none);
        Term { value: 0.0, variable: self.out.variables.len() - 1, weight: 0.0 }
    }
}

/// What a person can do so that a number becomes surer.
fn act(value: &Value, axis: u8, says: &str) -> String {
    let source = value.source.as_ref().map(|source| source.word);
    // A finer scale for the one on the shelf would say no more about the one aboard.
    if value.via.is_some() {
        let verb = if axis == 0 { "weigh" } else { "measure" };
        return format!("{verb} {says} itself").replace("weigh the mass of ", "weigh ");
    }
    match (axis, source) {
        (0, Some("weighed")) => format!("weigh {says} on a finer scale"),
        (0, _) => format!("weigh {says}"),
        (_, Some("measured")) => format!("measure {says} more finely"),
        (..) => format!("measure {says}"),
    }
    .replace("weigh the mass of ", "weigh ")
}

/// Where a thing is.
#[derive(Clone, Copy)]
enum Where<'a> {
    At(&'a Value),
    Slide(&'a Quantity, Span),
}

impl Where<'_> {
    fn span(&self) -> Span {
        match self {
            Where::At(value) => value.span,
            Where::Slide(_, span) => *span,
        }
    }
}

impl Facts {
    /// The parts whose mass an assembly counts already.
    pub(crate) fn held(&self) -> Result<Vec<EntryId>, NotKnown> {
        let mut held = Vec::new();
        for (id, assembly) in self.of_word("assembly") {
            self.fact(id, "holds")?;
            for fact in assembly.all("holds") {
                for (_, value) in &fact.values {
                    held.extend(self.known_value(assembly, fact, value)?.targets());
                }
            }
        }
        Ok(held)
    }

    /// The box of a part in metres, if three sizes of it are known.
    fn size(&self, id: EntryId) -> Result<Option<[f64; 3]>, NotKnown> {
        let Some(value) = self.fact(id, "size")?.and_then(Fact::first) else {
            return Ok(None);
        };
        let Kind::Size(sizes) = &value.kind else { return Ok(None) };
        let si: Vec<f64> = sizes.iter().map(Quantity::si).collect();
        Ok(<[f64; 3]>::try_from(si).ok())
    }
}

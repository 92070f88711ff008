//! What is aboard in a loadout, and what it leaves open.

use std::collections::BTreeMap;

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Fact, Half, Kind, Place, Value};
use trimsheet_physics::balance::{Balance, Item, NoBalance, Term, balance};

use crate::facts::{Facts, absent};
use crate::known::NotKnown;

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
        let mut fitter = Fitter {
            facts,
            loadout,
            out: Fitted { items: Vec::new(), choices: Vec::new(), variables: Vec::new() },
            keys: BTreeMap::new(),
        };
        fitter.parts()?;
        fitter.packs()?;
        fitter.ballast()?;
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
        let spreads: Vec<f64> =
            self.variables.iter().map(|variable| variable.spread).collect();
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

struct Fitter<'a> {
    facts: &'a Facts,
    loadout: EntryId,
    out: Fitted,
    /// The variable of each value, by where it stands and on which axis.
    keys: BTreeMap<(Span, u8), usize>,
}

impl Fitter<'_> {
    fn parts(&mut self) -> Result<(), NotKnown> {
        let held = self.facts.held()?;
        let all: Vec<EntryId> = self
            .facts
            .build
            .aboard()
            .filter(|(_, e)| is_weighed(e))
            .map(|(id, _)| id)
            .collect();
        let with = self.named("with")?;
        let without = self.named("without")?;
        for id in all {
            if held.contains(&id) || without.contains(&id) {
                continue;
            }
            self.fit(id, None)?;
            let is_open = self.facts.says(id, "optional")? && !with.contains(&id);
            if is_open {
                let span = self.facts.entry(id)?.span();
                self.open(Open::Optional, span);
            }
        }
        Ok(())
    }

    fn packs(&mut self) -> Result<(), NotKnown> {
        let loadout = self.facts.entry(self.loadout)?;
        self.facts.fact(self.loadout, "fits")?;
        let fits: Vec<&Fact> = loadout.all("fits").collect();
        if fits.is_empty() {
            let packs: Vec<EntryId> =
                self.facts.of_word("pack").map(|(id, _)| id).collect();
            return match packs.as_slice() {
                [] => Ok(()),
                [only] => self.fit(*only, None),
                _ => Err(absent(loadout, "fits, and there are several packs")),
            };
        }
        for fact in fits {
            let Some(pack) = self.facts.slot(loadout, fact, "pack")? else { continue };
            let at = self.facts.slot(loadout, fact, "at")?;
            for id in pack.targets() {
                self.fit(*id, at)?;
            }
        }
        Ok(())
    }

    fn ballast(&mut self) -> Result<(), NotKnown> {
        let loadout = self.facts.entry(self.loadout)?;
        self.facts.fact(self.loadout, "ballast")?;
        for fact in loadout.all("ballast") {
            let bay = self.facts.slot(loadout, fact, "bay")?;
            let Some(bay) = bay.and_then(|bay| bay.targets().first()).copied() else {
                continue;
            };
            let mass = self.facts.slot(loadout, fact, "mass")?;
            let mass = mass.ok_or_else(|| absent(loadout, "mass of its ballast"))?;
            let at = match self.facts.slot(loadout, fact, "at")? {
                Some(at) => at,
                None => {
                    let place = self.facts.must(bay, "ballast")?;
                    let bay = self.facts.entry(bay)?;
                    let at = self.facts.slot(bay, place, "at")?;
                    at.ok_or_else(|| absent(bay, "place for ballast"))?
                }
            };
            let name = format!("ballast in {}", self.facts.entry(bay)?.name);
            let item = self.item(&name, mass, 1.0, Where::At(at), None)?;
            self.out.items.push(Aboard {
                entry: bay,
                name,
                item,
                mass: mass.clone(),
                placed: at.span,
                is_ballast: true,
            });
        }
        Ok(())
    }

    /// The entries that a fact of the loadout names.
    fn named(&self, word: &'static str) -> Result<Vec<EntryId>, NotKnown> {
        self.facts.fact(self.loadout, word)?;
        let loadout = self.facts.entry(self.loadout)?;
        let mut found = Vec::new();
        for fact in loadout.all(word) {
            for (_, value) in &fact.values {
                found.extend(self.facts.known_value(loadout, fact, value)?.targets());
            }
        }
        Ok(found)
    }

    /// Where the loadout itself says that a part is.
    fn placed(&self, id: EntryId) -> Result<Option<&Value>, NotKnown> {
        self.facts.fact(self.loadout, "places")?;
        let loadout = self.facts.build.entry(self.loadout);
        for fact in loadout.into_iter().flat_map(|loadout| loadout.all("places")) {
            let part = fact.slot("part").is_some_and(|part| part.targets().contains(&id));
            if part && let Some(loadout) = loadout {
                return self.facts.slot(loadout, fact, "at");
            }
        }
        Ok(None)
    }

    /// Takes a part or a pack aboard, at a place that the loadout states, or its own.
    fn fit(&mut self, id: EntryId, at: Option<&Value>) -> Result<(), NotKnown> {
        let entry = self.facts.entry(id)?;
        let fact = self.facts.must(id, "mass")?;
        let mass =
            self.facts.slot(entry, fact, "mass")?.ok_or_else(|| absent(entry, "mass"))?;
        let together = fact.slot("counted").and_then(Value::text) == Some("together");
        let share = if together && entry.half.is_some() { 0.5 } else { 1.0 };
        let own_place = self.placed(id)?.cloned();
        let own =
            self.facts.fact(id, "at")?.map(|fact| self.facts.slot(entry, fact, "place"));
        let own = own.transpose()?.flatten();
        let place = at.or(own_place.as_ref()).or(own);
        let slide = self.facts.fact(id, "slides")?;
        let (at, open) = match (place, slide) {
            (Some(place), _) => (Where::At(place), None),
            (None, Some(slide)) => {
                let range = self.facts.slot(entry, slide, "range")?;
                let range = range.ok_or_else(|| absent(entry, "range of its slide"))?;
                let Kind::Range(low, high) = &range.kind else {
                    return Err(absent(entry, "range of its slide"));
                };
                let open = Open::Slide(low.clone(), high.clone());
                (Where::Slide(low, range.span), Some((open, range.span)))
            }
            (None, None) => return Err(absent(entry, "place (`at`)")),
        };
        let placed = at.span();
        let item = self.item(&entry.name, mass, share, at, entry.half)?;
        let item = Item { size: self.facts.size(id)?, ..item };
        let (name, mass) = (entry.name.clone(), mass.clone());
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

    fn item(
        &mut self,
        name: &str,
        mass: &Value,
        share: f64,
        at: Where<'_>,
        half: Option<Half>,
    ) -> Result<Item, NotKnown> {
        let quantity = mass.quantity();
        let weight =
            quantity.ok_or_else(|| NotKnown::impossible("no mass", Some(mass.span)))?;
        let says = format!("the mass of {name}");
        let variable = self.variable(mass, 0, &says, weight);
        let mass = Term { value: weight.si() * share, variable, weight: share };
        let fixed = self.fixed();
        let at = match at {
            Where::Slide(low, _) => [Term { value: low.si(), ..fixed }, fixed, fixed],
            Where::At(value) => {
                let Kind::Place(place) = &value.kind else {
                    return Err(NotKnown::impossible("no place", Some(value.span)));
                };
                self.place(name, value, place, half, fixed)
            }
        };
        Ok(Item { mass, at, size: None })
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
        if let Some(known) = self.keys.get(&(value.span, axis)) {
            return *known;
        }
        let index = self.out.variables.len();
        self.keys.insert((value.span, axis), index);
        self.out.variables.push(Variable {
            says: says.to_owned(),
            act: act(value, axis, says),
            span: Some(value.span),
            via: value.via,
            spread: quantity.spread_si().unwrap_or(0.0),
        });
        index
    }

    /// A number that nothing makes unsure: the end of a slide, the centre line.
    fn fixed(&mut self) -> Term {
        let (says, act) = (String::new(), String::new());
        let none = Variable { says, act, span: None, via: None, spread: 0.0 };
        self.out.variables.push(none);
        Term { value: 0.0, variable: self.out.variables.len() - 1, weight: 0.0 }
    }
}

/// What a person can do so that a number becomes surer.
fn act(value: &Value, axis: u8, says: &str) -> String {
    let source = value.source.as_ref().map(|source| source.word);
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

fn is_weighed(entry: &Entry) -> bool {
    matches!(entry.row.word, "part" | "assembly")
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

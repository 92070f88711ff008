//! Which things are aboard, and who says where: of a loadout as it flies, or as it was
//! when it was measured.
//!
//! Nothing about a thing itself is looked up here, neither its mass nor its own place, so
//! that two states can be told apart where much of what they share is not known.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Value};

use crate::facts::{Facts, absent, lost};
use crate::known::{Known, NotKnown};

/// A loadout as it flies, or as it was for a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct State {
    pub(crate) loadout: EntryId,
    /// The record that says how it was then.
    pub(crate) record: Option<EntryId>,
}

/// One thing aboard.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stowed<'a> {
    /// The part, the pack, the assembly, or the bay that lead lies in.
    pub(crate) entry: EntryId,
    /// Where it is, if the loadout or the record says that.
    pub(crate) at: Option<&'a Value>,
    /// The line of the lead, if it is lead, and the entry that says it.
    pub(crate) lead: Option<(EntryId, &'a Fact)>,
    /// Whether it is not stated to be aboard or not.
    pub(crate) is_open: bool,
    /// Whether it is missing from the assembly that counts its mass.
    pub(crate) is_missing: bool,
}

/// The entry, the line of the lead, and whether it is missing.
pub(crate) type WeightKey = (EntryId, Option<Span>, bool);

impl Stowed<'_> {
    /// What tells it from others: two of one key have one mass and one place.
    ///
    /// A pack that two loadouts state at one place was not moved.
    pub(crate) fn key(&self) -> (WeightKey, Option<[Option<f64>; 3]>) {
        let place = self.at.and_then(Value::place).map(|place| {
            let si = |side: &Option<Quantity>| side.as_ref().map(Quantity::si);
            [Some(place.along.si()), si(&place.across), si(&place.upward)]
        });
        (self.weight_key(), place)
    }

    /// What tells its mass from others.
    pub(crate) fn weight_key(&self) -> WeightKey {
        (self.entry, self.lead.map(|(_, fact)| fact.span), self.is_missing)
    }
}

impl State {
    /// A loadout as it flies.
    pub(crate) fn flown(loadout: EntryId) -> State {
        State { loadout, record: None }
    }

    /// Who can say something about this state, the first to be believed first.
    fn sayers(self) -> impl Iterator<Item = EntryId> {
        self.record.into_iter().chain([self.loadout])
    }
}

impl Facts {
    /// Everything that is aboard in a state.
    pub(crate) fn stowed(&self, state: State) -> Result<Vec<Stowed<'_>>, NotKnown> {
        let mut all = self.stowed_parts(state)?;
        all.extend(self.stowed_packs(state)?);
        all.extend(self.stowed_lead(state)?);
        Ok(all)
    }

    /// The parts, packs and assemblies that are aboard as a loadout flies.
    pub(crate) fn aboard(&self, loadout: EntryId) -> Result<Vec<EntryId>, NotKnown> {
        let state = State::flown(loadout);
        let (parts, packs) = (self.stowed_parts(state)?, self.stowed_packs(state)?);
        Ok(parts.iter().chain(&packs).map(|stowed| stowed.entry).collect())
    }

    pub(crate) fn stowed_parts(&self, state: State) -> Result<Vec<Stowed<'_>>, NotKnown> {
        let held = self.held()?;
        let with = self.named(state.loadout, "with")?;
        let without = self.named(state.loadout, "without")?;
        let (was_with, was_without) = match state.record {
            Some(record) => (self.named(record, "with")?, self.named(record, "without")?),
            None => (Vec::new(), Vec::new()),
        };
        let mut all = Vec::new();
        self.note_list("part");
        self.note_list("assembly");
        for (id, entry) in self.build.aboard() {
            if !matches!(entry.row.word, "part" | "assembly") {
                continue;
            }
            let was_off = was_without.contains(&id);
            let is_missing = held.contains(&id);
            let is_off = was_off || without.contains(&id) && !was_with.contains(&id);
            // What an assembly holds counts with it, and only its absence by itself.
            let counts = if is_missing { was_off } else { !is_off };
            if !counts {
                continue;
            }
            let is_stated = with.contains(&id) || was_with.contains(&id) || is_missing;
            let is_open = !is_stated && self.says(id, "optional")?;
            let at = self.placed(state, id)?;
            all.push(Stowed { entry: id, at, lead: None, is_open, is_missing });
        }
        Ok(all)
    }

    /// The parts that are certainly aboard, whatever is known of their mass.
    pub(crate) fn parts_aboard(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let with = self.named(loadout, "with")?;
        let without = self.named(loadout, "without")?;
        let mut all = Vec::new();
        for (id, _) in self.of_word("part") {
            let is_open = self.says(id, "optional")? && !with.contains(&id);
            if !is_open && !without.contains(&id) {
                all.push(self.known_entry(id));
            }
        }
        Ok(all)
    }

    pub(crate) fn stowed_packs(&self, state: State) -> Result<Vec<Stowed<'_>>, NotKnown> {
        let mut fits: Vec<(EntryId, Option<&Value>)> = Vec::new();
        let mut is_said = false;
        for who in state.sayers() {
            let said = self.fitting(who)?;
            if !is_said {
                is_said = !said.is_empty();
                fits = said;
                continue;
            }
            // A record that names the pack alone leaves its place to the loadout.
            for (pack, at) in &mut fits {
                let same = said.iter().find(|(other, _)| other == pack);
                *at = at.or(same.and_then(|(_, at)| *at));
            }
        }
        if !is_said {
            let packs: Vec<EntryId> = self.of_word("pack").map(|(id, _)| id).collect();
            fits = match packs.as_slice() {
                [] => Vec::new(),
                [only] => vec![(*only, None)],
                _ => {
                    let loadout = self.entry(state.loadout)?;
                    return Err(absent(loadout, "fits, and there are several packs"));
                }
            };
        }
        let off = match state.record {
            Some(record) => self.named(record, "without")?,
            None => Vec::new(),
        };
        fits.retain(|(pack, _)| !off.contains(pack));
        let stowed = fits.into_iter().map(|(entry, at)| {
            let at = at.map_or_else(|| self.placed(state, entry), |at| Ok(Some(at)))?;
            Ok(Stowed { entry, at, lead: None, is_open: false, is_missing: false })
        });
        stowed.collect()
    }

    /// The packs that an entry says are fitted, and where.
    fn fitting(&self, who: EntryId) -> Result<Vec<(EntryId, Option<&Value>)>, NotKnown> {
        self.fact(who, "fits")?;
        let entry = self.entry(who)?;
        let mut all = Vec::new();
        for fact in entry.all("fits") {
            let Some(pack) = self.slot(entry, fact, "pack")? else { continue };
            let at = self.slot(entry, fact, "at")?;
            all.extend(pack.targets().iter().map(|id| (*id, at)));
        }
        Ok(all)
    }

    pub(crate) fn stowed_lead(&self, state: State) -> Result<Vec<Stowed<'_>>, NotKnown> {
        if let Some(record) = state.record
            && self.says(record, "no-ballast")?
        {
            return Ok(Vec::new());
        }
        for who in state.sayers() {
            self.fact(who, "ballast")?;
            let entry = self.entry(who)?;
            let mut all = Vec::new();
            for fact in entry.all("ballast") {
                let bay = self.slot(entry, fact, "bay")?;
                let Some(bay) = bay.and_then(|bay| bay.targets().first()) else {
                    continue;
                };
                all.push(Stowed {
                    entry: *bay,
                    at: self.slot(entry, fact, "at")?,
                    lead: Some((who, fact)),
                    is_open: false,
                    is_missing: false,
                });
            }
            if !all.is_empty() {
                return Ok(all);
            }
        }
        Ok(Vec::new())
    }

    /// The entries that the lines of one word of an entry name, both halves of a pair.
    pub(crate) fn named(
        &self,
        who: EntryId,
        word: &'static str,
    ) -> Result<Vec<EntryId>, NotKnown> {
        self.fact(who, word)?;
        let entry = self.entry(who)?;
        let mut found = Vec::new();
        for fact in entry.all(word) {
            if fact.damaged {
                return Err(lost(entry, word, fact.span));
            }
            for (_, value) in &fact.values {
                found.extend(self.known_value(entry, fact, value)?.targets());
            }
        }
        Ok(found)
    }

    /// Where the loadout or the record itself says that a part is.
    fn placed(&self, state: State, id: EntryId) -> Result<Option<&Value>, NotKnown> {
        for who in state.sayers() {
            self.fact(who, "places")?;
            let entry = self.entry(who)?;
            for fact in entry.all("places") {
                let part = fact.slot("part");
                if part.is_some_and(|part| part.targets().contains(&id)) {
                    return self.slot(entry, fact, "at");
                }
            }
        }
        Ok(None)
    }
}

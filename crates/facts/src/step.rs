//! The steps that a pack asks for: what a person does with the model, and how far that is.
//!
//! What a step says on its card is a script's business; here stands when it is asked for,
//! which record proves it, and whether that record still holds.

use trimsheet_model::{Date, EntryId, Stage, Value, vocabulary};

use crate::facts::Facts;
use crate::known::NotKnown;
use crate::proof::Change;

/// The cards, in the order of a build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Card {
    /// What is marked, cut and proved before the glue.
    Build,
    /// What is proved on the bench.
    Bench,
    /// What is looked at before leaving for the field.
    Home,
    /// What is done at the field before each flying day.
    Field,
    /// What belongs to the first flight.
    FirstFlight,
    /// What is done after landing.
    After,
}

impl Card {
    /// Every card, in order.
    pub const ALL: [Card; 6] = [
        Card::Build,
        Card::Bench,
        Card::Home,
        Card::Field,
        Card::FirstFlight,
        Card::After,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Card::Build => "build",
            Card::Bench => "bench",
            Card::Home => "home",
            Card::Field => "field",
            Card::FirstFlight => "first-flight",
            Card::After => "after",
        }
    }

    /// The card that a word names.
    pub fn from_word(word: &str) -> Option<Card> {
        Card::ALL.into_iter().find(|card| card.word() == word)
    }
}

/// What stands for how an entry opens, among the facts that a step rests on.
pub const LIKE: &str = "like";

/// What is asked for once of the whole aircraft, or once of each loadout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfStep {
    /// Once.
    Build,
    /// Of each way in which it is flown.
    Loadout,
}

/// A step that a pack asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it goes by, in records too: `failsafe`.
    pub name: String,
    /// What is done, in a few words.
    pub title: String,
    /// The pack that asks for it.
    pub pack: String,
    /// The card that it stands on.
    pub card: Card,
    /// The stage that is not reached without it; none where it is signed only when it
    /// happened, as a crash is.
    pub before: Option<Stage>,
    /// Its place among the steps of its card.
    pub order: u32,
    /// What it is asked of.
    pub of: OfStep,
    /// The word of the record that proves it.
    pub record: &'static str,
    /// It is asked only where one of these is there: a kind of part, an entry, or an entry
    /// that says a fact, as in `spar.socket`.
    pub only: Vec<String>,
    /// Facts that its record must say, by their words; ` or ` between two asks for one.
    pub says: Vec<String>,
    /// Facts that it rests on whatever its card shows: the word of an entry or a kind of
    /// part, and the word of a fact, or `like` for how its entry opens.
    pub rests: Vec<(String, String)>,
    /// Rules on whose facts it rests as well.
    pub rules: Vec<String>,
    /// What can hurt, said before anything else.
    pub caution: Option<String>,
}

/// How far a step is.
#[derive(Clone, Debug, PartialEq)]
pub enum Proved {
    /// Nobody says that it was done.
    Open,
    /// A record says so that nobody signed: what it rested on is not known.
    Unsigned(EntryId),
    /// A signed record says so, but its lines are not those that were signed.
    Unsealed(EntryId, &'static str),
    /// A signed record says so, and what it rested on has changed.
    Reopened(EntryId, Vec<Change>),
    /// A signed record says so, and nothing that it rested on has changed.
    Holds(EntryId),
}

/// A step of one aircraft or of one loadout, and how far it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Done<'a> {
    /// The step.
    pub step: &'a Step,
    /// The loadout, if it is asked of each.
    pub loadout: Option<EntryId>,
    /// How far it is.
    pub proved: Proved,
    /// The day of the record that counts.
    pub date: Option<Date>,
}

impl Done<'_> {
    /// What is done, and to which loadout where the spec has several.
    pub fn title(&self, facts: &Facts) -> String {
        let title = &self.step.title;
        let is_one = facts.build.of_word("loadout").count() <= 1;
        let loadout = self.loadout.filter(|_| !is_one);
        let loadout = loadout.and_then(|id| facts.build.entry(id));
        loadout.map_or(title.clone(), |loadout| format!("{title}, {}", loadout.name))
    }
}

impl Facts {
    /// Every step with how far it is, in the order in which a person does them.
    ///
    /// # Errors
    /// That the head of a record is not known, which may be one of them.
    pub fn steps_done(&self) -> Result<Vec<Done<'_>>, NotKnown> {
        let mut all = Vec::new();
        for step in self.steps.iter().filter(|step| self.is_asked(step)) {
            match step.of {
                OfStep::Build => all.push(self.done(step, None)?),
                OfStep::Loadout => {
                    for (loadout, _) in self.of_word("loadout") {
                        all.push(self.done(step, Some(loadout))?);
                    }
                }
            }
        }
        Ok(all)
    }

    /// Whether there is something that a step is for; what cannot be read may be that.
    fn is_asked(&self, step: &Step) -> bool {
        step.only.is_empty() || step.only.iter().any(|word| self.may_be_there(word))
    }

    fn may_be_there(&self, word: &str) -> bool {
        if let Some((entry, fact)) = word.split_once('.') {
            let row = self.build.vocabulary.fact(entry, fact).map(|row| row.word);
            let says = |id| row.is_some_and(|fact| self.says(id, fact).unwrap_or(true));
            return self.of_word(entry).any(|(id, _)| says(id));
        }
        match vocabulary::part_kind(word) {
            // A part whose kind is not known may be of this one.
            Some(kind) => self.of_word("part").any(|(_, part)| {
                part.kind().map_or(part.says("kind"), |own| own == kind)
            }),
            None => self.of_word(word).next().is_some(),
        }
    }

    /// The steps that the packs ask for, in the order in which a person does them.
    pub fn steps_asked(&self) -> &[Step] {
        &self.steps
    }

    /// How far one step is: the latest record counts, of one day a signed one that holds.
    fn done<'a>(
        &self,
        step: &'a Step,
        loadout: Option<EntryId>,
    ) -> Result<Done<'a>, NotKnown> {
        let mut best: Option<((Date, u8), Proved)> = None;
        for record in self.records(step.record)? {
            let Some(id) = record.entry() else { continue };
            if !self.is_of(id, step, loadout)? {
                continue;
            }
            let head = &self.entry(id)?.head;
            let Some(date) = head.slot("date").and_then(Value::date) else { continue };
            let proved = self.proved(id)?;
            let key = (date.day_only(), rank(&proved));
            if best.as_ref().is_none_or(|(known, _)| *known < key) {
                best = Some((key, proved));
            }
        }
        let date = best.as_ref().map(|((date, _), _)| *date);
        let proved = best.map_or(Proved::Open, |(_, proved)| proved);
        Ok(Done { step, loadout, proved, date })
    }

    fn is_of(
        &self,
        record: EntryId,
        step: &Step,
        loadout: Option<EntryId>,
    ) -> Result<bool, NotKnown> {
        let is_step = step.record != "done"
            || self.in_head(record, "step")?.to_string() == step.name;
        let of = self.entry(record)?.head.slot("loadout").map(Value::targets);
        let fits = loadout
            .is_none_or(|loadout| of.is_none_or(|targets| targets.contains(&loadout)));
        Ok(is_step && fits)
    }

    /// What a record is worth.
    ///
    /// # Errors
    /// That its line could not be read.
    pub fn proved(&self, record: EntryId) -> Result<Proved, NotKnown> {
        if self.signed(record)?.is_none() {
            return Ok(Proved::Unsigned(record));
        }
        if let Some(why) = self.unsealed(record)? {
            return Ok(Proved::Unsealed(record, why));
        }
        let changes = self.changes_since(record)?;
        Ok(match changes.is_empty() {
            true => Proved::Holds(record),
            false => Proved::Reopened(record, changes),
        })
    }
}

/// Of records of one day the best counts.
fn rank(proved: &Proved) -> u8 {
    match proved {
        Proved::Open => 0,
        Proved::Unsigned(_) => 1,
        Proved::Unsealed(..) => 2,
        Proved::Reopened(..) => 3,
        Proved::Holds(_) => 4,
    }
}

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
    /// Facts that its record must say, each by its word and what must stand behind it, as in
    /// `propeller off`; ` or ` between two asks for one of them.
    pub says: Vec<String>,
    /// For how many days its record holds; none holds until something changes.
    pub holds: Option<u32>,
    /// The step after which it has to be done: done before that, it is open again.
    pub after: Option<String>,
    /// The check sum of its script: a step that asks for something else is not proved.
    pub script: String,
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
    /// A signed record says so, and what it says is over: its days have passed, the model
    /// was broken or mended since, or what it comes after was done again.
    Lapsed(EntryId, String),
    /// A signed record says so, and nothing that it rested on has changed.
    Holds(EntryId),
}

/// After these nothing that was proved by hand is taken for proved: common practice, no
/// source.
const BREAKS: [&str; 3] = ["crashed", "repaired", "taken-apart"];

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

/// A step as it stands on its card.
#[derive(Clone, Debug)]
pub struct Drawn<'a> {
    /// The step, and how far it is.
    pub done: Done<'a>,
    /// Its title, with its loadout where the spec has several.
    pub title: String,
    /// What its card says: `____` is a box to fill in, and `!` begins a caution.
    pub lines: Vec<String>,
    /// Why its card says no more, if a fact that it needs is not known or its script failed.
    pub silent: Option<String>,
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

    /// How far one step is: the latest record counts, of one day without hours the best.
    fn done<'a>(
        &self,
        step: &'a Step,
        loadout: Option<EntryId>,
    ) -> Result<Done<'a>, NotKnown> {
        let mut best: Option<(Date, Proved)> = None;
        for record in self.records(step.record)? {
            let Some(id) = record.entry() else { continue };
            if !self.is_of(id, step, loadout)? || !self.says_all(id, step)? {
                continue;
            }
            let head = &self.entry(id)?.head;
            let Some(date) = head.slot("date").and_then(Value::date) else { continue };
            let proved = self.proved(id)?;
            let is_better = best.as_ref().is_none_or(|(known, other)| {
                is_later(date, *known)
                    || !is_later(*known, date) && rank(other) < rank(&proved)
            });
            if is_better {
                best = Some((date, proved));
            }
        }
        let date = best.as_ref().map(|(date, _)| *date);
        let proved = match best {
            Some((date, Proved::Holds(id))) => match self.lapsed(step, date)? {
                Some(why) => Proved::Lapsed(id, why),
                None => Proved::Holds(id),
            },
            Some((_, proved)) => proved,
            None => Proved::Open,
        };
        Ok(Done { step, loadout, proved, date: date.map(Date::day_only) })
    }

    /// Why what a record of a day says is over, if it is.
    fn lapsed(&self, step: &Step, done: Date) -> Result<Option<String>, NotKnown> {
        let days = self.today.map(|today| today.days_after(done));
        if let (Some(holds), Some(days)) = (step.holds, days)
            && i64::from(holds) < days
        {
            let holds = match holds {
                0 => "the day on which it was done".to_owned(),
                1 => "a day".to_owned(),
                holds => format!("{holds} days"),
            };
            return Ok(Some(format!("it holds for {holds}")));
        }
        if let Some(after) = &step.after
            && let Some(date) =
                self.last_done(&[after])?.filter(|date| is_later(*date, done))
        {
            return Ok(Some(format!("{after} was done again on {date}")));
        }
        if step.before.is_none() && step.card == Card::After {
            return Ok(None);
        }
        let broke = self.last_done(&BREAKS)?.filter(|date| is_later(*date, done));
        Ok(broke.map(|date| format!("it crashed, was repaired or taken apart on {date}")))
    }

    /// When one of some steps was done last.
    fn last_done(&self, steps: &[&str]) -> Result<Option<Date>, NotKnown> {
        let mut latest: Option<Date> = None;
        for record in self.records("done")? {
            let Some(id) = record.entry() else { continue };
            let step = self.head_value(id, "step")?.text().unwrap_or("");
            let date = self.entry(id)?.head.slot("date").and_then(Value::date);
            let Some(date) = date.filter(|_| steps.contains(&step)) else {
                continue;
            };
            if latest.is_none_or(|known| is_later(date, known)) {
                latest = Some(date);
            }
        }
        Ok(latest)
    }

    /// Whether a record says all that its step asks for, and knows it.
    fn says_all(&self, record: EntryId, step: &Step) -> Result<bool, NotKnown> {
        let entry = self.entry(record)?;
        let texts = entry.facts.iter().filter(|fact| !fact.damaged);
        let texts: Vec<&str> = texts.map(|fact| self.texts.text(fact.span)).collect();
        Ok(step.says.iter().all(|asked| is_said(asked, &texts)))
    }

    fn is_of(
        &self,
        record: EntryId,
        step: &Step,
        loadout: Option<EntryId>,
    ) -> Result<bool, NotKnown> {
        let is_step = step.record != "done"
            || self.head_value(record, "step")?.text() == Some(&step.name);
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
        if let Some(known) = self.worth.borrow().get(&record) {
            return Ok(known.clone());
        }
        let worth = self.worth_of(record)?;
        self.worth.borrow_mut().insert(record, worth.clone());
        Ok(worth)
    }

    fn worth_of(&self, record: EntryId) -> Result<Proved, NotKnown> {
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

/// Whether a day, or an hour of one day, lies behind another; without hours a day is one.
fn is_later(date: Date, other: Date) -> bool {
    match (date.days_after(other), date.time, other.time) {
        (0, Some(time), Some(than)) => than < time,
        (days, _, _) => 0 < days,
    }
}

/// Whether one of some facts, as they are written, says what is asked for: its word, and
/// each word that must stand behind it. What is not known says nothing.
pub fn is_said(asked: &str, facts: &[&str]) -> bool {
    asked.split(" or ").any(|one| {
        let mut wanted = one.split_whitespace();
        let word = wanted.next();
        let wanted: Vec<&str> = wanted.collect();
        facts.iter().any(|fact| {
            let mut words = fact.split_whitespace();
            let is_this = words.next() == word;
            let behind: Vec<&str> = words.collect();
            is_this
                && !behind.contains(&"?")
                && wanted.iter().all(|word| behind.contains(word))
        })
    })
}

/// Of records of one day the best counts.
fn rank(proved: &Proved) -> u8 {
    match proved {
        Proved::Open => 0,
        Proved::Unsigned(_) => 1,
        Proved::Unsealed(..) => 2,
        Proved::Reopened(..) => 3,
        Proved::Lapsed(..) => 4,
        Proved::Holds(_) => 5,
    }
}

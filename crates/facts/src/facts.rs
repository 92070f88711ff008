//! A build, and everything that follows from it, worked out when it is asked for.
//!
//! Every fact that is read on the way is remembered: the rules need to know what a
//! finding rests on, and the lines that a computation read are the lines to point at.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::{Arc, OnceLock};

use trimsheet_model::quantity::{Dimension, Unit};
use trimsheet_model::source::{Sources, Span};
use trimsheet_model::{
    Build, Date, Entry, EntryId, Fact, Kind, Stage, Unknown, Value, vocabulary,
};

use crate::drive::{Driving, Flown};
use crate::flight::Shape;
use crate::known::{Known, NotKnown, What, Why};
use crate::loadout::Fitted;
use crate::ports::{Plugged, Signals};
use crate::power::{FedRails, Power};
use crate::step::{Proved, Step};

/// One fact of one entry, whether it is said or not.
pub type FactId = (EntryId, &'static str);

/// The facts that a computation has read.
#[derive(Clone, Debug, Default)]
pub struct Reads {
    /// As they were read, one again and again: far more are noted than are ever asked for.
    own: Vec<FactId>,
    /// The words of which every entry was gone through: one more, and the answer changes.
    lists: Vec<&'static str>,
    /// The kinds of which every part was gone through; of other parts nothing was read.
    kinds: Vec<&'static str>,
    /// What was read once for several that ask; nobody copies it for each.
    shared: Vec<Arc<Reads>>,
}

impl Reads {
    /// Each fact, once.
    pub fn all(&self) -> BTreeSet<FactId> {
        let mut all: BTreeSet<FactId> = self.own.iter().copied().collect();
        self.shared.iter().for_each(|shared| all.extend(shared.all()));
        all
    }

    /// The words of which every entry was gone through.
    pub fn lists(&self) -> BTreeSet<&'static str> {
        let mut all: BTreeSet<&'static str> = self.lists.iter().copied().collect();
        self.shared.iter().for_each(|shared| all.extend(shared.lists()));
        all
    }

    /// The kinds of which every part was gone through.
    pub fn kinds(&self) -> BTreeSet<&'static str> {
        let mut all: BTreeSet<&'static str> = self.kinds.iter().copied().collect();
        self.shared.iter().for_each(|shared| all.extend(shared.kinds()));
        all
    }

    /// The same, with what else was read.
    #[must_use]
    pub fn and(mut self, other: Reads) -> Reads {
        self.shared.push(Arc::new(other));
        self
    }

    fn share(&mut self, reads: &Arc<Reads>) {
        if !self.shared.iter().any(|known| Arc::ptr_eq(known, reads)) {
            self.shared.push(Arc::clone(reads));
        }
    }
}

/// Notes down one more. A loop reads the same few over and over: room is made before more
/// is taken. Words are told apart by where they stand, which is sooner done than reading
/// them; that one word may stand twice does no harm.
fn note<T: Copy, K: Ord>(noted: &mut Vec<T>, one: T, key: impl Fn(&T) -> K) {
    const FEW: usize = 256;
    if FEW <= noted.len() && noted.len() == noted.capacity() {
        noted.sort_unstable_by_key(&key);
        noted.dedup_by_key(|one| key(one));
        noted.reserve(noted.len());
    }
    noted.push(one);
}

/// A build with what follows from it.
#[derive(Debug)]
pub struct Facts {
    /// What the spec says.
    pub build: Arc<Build>,
    /// The stage that it is judged for.
    pub stage: Stage,
    /// The day that it is judged on, where that is known.
    pub today: Option<Date>,
    /// The texts that it was read from: what a record rests on is compared as written.
    pub(crate) texts: Sources,
    /// The steps that the packs ask for, in the order in which a person does them.
    pub(crate) steps: Arc<Vec<Step>>,
    /// The photos that it names and that are not there, as it names them.
    pub(crate) missing: BTreeSet<String>,
    /// The reference spec that it follows, where that is a spec that could be read.
    pub(crate) reference: Option<Rc<Facts>>,
    /// The entries aboard, by their word: rules ask for them again and again.
    by_word: BTreeMap<&'static str, Vec<EntryId>>,
    reads: RefCell<Reads>,
    fitted: RefCell<BTreeMap<EntryId, Remembered<Fitted>>>,
    /// The corners of each loadout: nearly every rule about loadouts asks for them.
    corners: RefCell<BTreeMap<EntryId, Remembered<Vec<Known>>>>,
    /// What flows in each loadout: several rules and every part ask for it.
    power: RefCell<BTreeMap<EntryId, Remembered<Power>>>,
    /// What drives each loadout, as it stands and as it flies.
    driving: RefCell<BTreeMap<EntryId, Remembered<Driving>>>,
    flown: RefCell<BTreeMap<EntryId, Remembered<Flown>>>,
    /// The rails that feed each part.
    fed_rails: OnceCell<Remembered<FedRails>>,
    /// Every value that the spec states, gathered once: several rules ask for them.
    stated: OnceCell<Rc<Vec<Known>>>,
    /// Every signal, found once: each part with ports asks for its own.
    signals: OnceCell<(Rc<Signals>, Arc<Reads>)>,
    /// What is offered for the ports of a part: each of its findings asks for it.
    plugged: RefCell<BTreeMap<EntryId, Remembered<Plugged>>>,
    /// What a lattice says of the shape, solved once for all threads: that takes
    /// milliseconds.
    shape: Arc<OnceLock<Shared<Shape>>>,
    /// What each signed record is worth: every rule about steps asks for it.
    pub(crate) worth: RefCell<BTreeMap<EntryId, Proved>>,
    /// The entries aboard by what messages call them, which is how a proof names them.
    pub(crate) titled: OnceCell<BTreeMap<String, EntryId>>,
    /// What names in joins may mean: each wire asks for both its ends.
    pub(crate) called: OnceCell<BTreeMap<String, Vec<EntryId>>>,
}

/// What was worked out once, and which facts that read.
type Remembered<T> = (Result<Rc<T>, NotKnown>, Arc<Reads>);

/// The same, for all threads.
type Shared<T> = (Result<Arc<T>, NotKnown>, Arc<Reads>);

impl Facts {
    /// Takes a build to answer questions about it.
    ///
    /// A spec that names no loadout is flown as it is listed: one loadout stands for
    /// that, so that the answer comes early.
    pub fn new(mut build: Build, stage: Stage) -> Facts {
        let is_listed = build.of_word("loadout").next().is_none();
        if let (true, true, Some(whole), Some(row)) =
            (is_listed, build.is_aircraft(), build.whole, vocabulary::entry("loadout"))
        {
            let values = Vec::new();
            let head = Fact { row, span: whole, values, damaged: false, via: None };
            build.entries.push(Entry {
                row,
                name: "as listed".into(),
                head,
                facts: Vec::new(),
                repeats: Vec::new(),
                aboard: true,
                half: None,
            });
        }
        Facts::over(Arc::new(build), stage)
    }

    /// A build that has a loadout, with nothing worked out yet.
    fn over(build: Arc<Build>, stage: Stage) -> Facts {
        let mut by_word: BTreeMap<&'static str, Vec<EntryId>> = BTreeMap::new();
        for (id, entry) in build.aboard() {
            by_word.entry(entry.row.word).or_default().push(id);
        }
        let (signals, plugged) = (OnceCell::new(), RefCell::default());
        let (reads, fitted) = (RefCell::default(), RefCell::default());
        let (corners, power) = (RefCell::default(), RefCell::default());
        let (driving, flown) = (RefCell::default(), RefCell::default());
        let (stated, fed_rails) = (OnceCell::new(), OnceCell::new());
        Facts {
            build,
            stage,
            today: None,
            texts: Sources::default(),
            steps: Arc::default(),
            reference: None,
            missing: BTreeSet::new(),
            worth: RefCell::default(),
            titled: OnceCell::new(),
            called: OnceCell::new(),
            by_word,
            reads,
            fitted,
            corners,
            power,
            driving,
            flown,
            fed_rails,
            stated,
            signals,
            plugged,
            shape: Arc::default(),
        }
    }

    /// The same with nothing worked out yet, for another thread, which makes it: what was
    /// worked out stays on its thread, but for what takes longest.
    pub fn afresh(&self) -> Box<dyn FnOnce() -> Facts + Send> {
        let (build, stage, today) = (Arc::clone(&self.build), self.stage, self.today);
        let (texts, missing) = (self.texts.clone(), self.missing.clone());
        let (steps, shape) = (Arc::clone(&self.steps), Arc::clone(&self.shape));
        let reference = self.reference.as_ref().map(|facts| facts.afresh());
        Box::new(move || Facts {
            today,
            texts,
            steps,
            missing,
            reference: reference.map(|facts| Rc::new(facts())),
            shape,
            ..Facts::over(build, stage)
        })
    }

    /// The same, judged on a day.
    #[must_use]
    pub fn on(self, today: Option<Date>) -> Facts {
        Facts { today, ..self }
    }

    /// The same, read from these texts.
    #[must_use]
    pub fn from_texts(self, texts: Sources) -> Facts {
        Facts { texts, ..self }
    }

    /// The same, with photos that are not where it says.
    #[must_use]
    pub fn without_files(self, missing: BTreeSet<String>) -> Facts {
        Facts { missing, ..self }
    }

    /// The same, following a reference.
    #[must_use]
    pub fn following(self, reference: Option<Facts>) -> Facts {
        Facts { reference: reference.map(Rc::new), ..self }
    }

    /// The same, asked for these steps.
    #[must_use]
    pub fn asked_for(self, steps: Arc<Vec<Step>>) -> Facts {
        Facts { steps, ..self }
    }

    /// Every entry of this word that is part of this aircraft, with its id.
    pub fn of_word(&self, word: &str) -> impl Iterator<Item = (EntryId, &Entry)> {
        self.note_list(word);
        let ids = self.by_word.get(word).into_iter().flatten();
        ids.filter_map(|id| Some((*id, self.build.entry(*id)?)))
    }

    /// The unit in which rules read shares.
    pub(crate) fn percent() -> Unit {
        Unit::read("%").unwrap_or_else(|| Unit::for_dimension(Dimension::NONE))
    }

    /// Does something, and says which facts it read.
    pub fn watch<T>(&self, work: impl FnOnce() -> T) -> (T, Reads) {
        let before = self.reads.take();
        let done = work();
        let reads = self.reads.replace(before);
        (done, reads)
    }

    /// Remembers that a fact was read.
    pub(crate) fn note(&self, entry: EntryId, word: &'static str) {
        let key = |(entry, word): &FactId| (*entry, word.as_ptr());
        note(&mut self.reads.borrow_mut().own, (entry, word), key);
    }

    /// Remembers that every entry of a word was gone through.
    pub(crate) fn note_list(&self, word: &str) {
        if let Some((word, _)) = self.by_word.get_key_value(word) {
            note(&mut self.reads.borrow_mut().lists, word, |word| word.as_ptr());
        } else if let Some(row) = vocabulary::entry(word) {
            note(&mut self.reads.borrow_mut().lists, row.word, |word| word.as_ptr());
        }
    }

    /// Remembers that every part of a kind was gone through.
    pub(crate) fn note_kind(&self, kind: &'static str) {
        note(&mut self.reads.borrow_mut().kinds, kind, |word| word.as_ptr());
    }

    /// Every value aboard that is a number with a unit, known or not, each line once.
    pub(crate) fn values(&self) -> Rc<Vec<Known>> {
        Rc::clone(self.stated.get_or_init(|| Rc::new(self.gathered_values())))
    }

    /// What is aboard in a loadout, worked out once.
    pub(crate) fn fitted(&self, loadout: EntryId) -> Result<Rc<Fitted>, NotKnown> {
        self.once(&self.fitted, loadout, || Fitted::new(self, loadout).map(Rc::new))
    }

    /// The balance of each way to make the choices that a loadout leaves open, worked out
    /// once.
    pub(crate) fn corners(&self, loadout: EntryId) -> Result<Rc<Vec<Known>>, NotKnown> {
        self.once(&self.corners, loadout, || self.new_corners(loadout).map(Rc::new))
    }

    /// Every signal of the spec, found once.
    pub(crate) fn signals_once(&self, work: impl FnOnce() -> Signals) -> Rc<Signals> {
        let (signals, reads) =
            self.signals.get_or_init(|| self.remembered(|| Rc::new(work())));
        self.reads.borrow_mut().share(reads);
        Rc::clone(signals)
    }

    /// What is offered for the ports of a part, worked out once.
    pub(crate) fn plugged_once(
        &self,
        part: EntryId,
        work: impl FnOnce() -> Result<Rc<Plugged>, NotKnown>,
    ) -> Result<Rc<Plugged>, NotKnown> {
        self.once(&self.plugged, part, work)
    }

    /// What flows in a loadout, worked out once.
    pub(crate) fn power_once(
        &self,
        loadout: EntryId,
        work: impl FnOnce() -> Result<Rc<Power>, NotKnown>,
    ) -> Result<Rc<Power>, NotKnown> {
        self.once(&self.power, loadout, work)
    }

    /// What drives a loadout, worked out once.
    pub(crate) fn driving_once(
        &self,
        loadout: EntryId,
        work: impl FnOnce() -> Result<Rc<Driving>, NotKnown>,
    ) -> Result<Rc<Driving>, NotKnown> {
        self.once(&self.driving, loadout, work)
    }

    /// Level flight of a loadout, worked out once.
    pub(crate) fn flown_once(
        &self,
        loadout: EntryId,
        work: impl FnOnce() -> Result<Rc<Flown>, NotKnown>,
    ) -> Result<Rc<Flown>, NotKnown> {
        self.once(&self.flown, loadout, work)
    }

    /// Something about an entry; whoever asks again reads the same facts again.
    fn once<T>(
        &self,
        memory: &RefCell<BTreeMap<EntryId, Remembered<T>>>,
        entry: EntryId,
        work: impl FnOnce() -> Result<Rc<T>, NotKnown>,
    ) -> Result<Rc<T>, NotKnown> {
        let known = memory.borrow().get(&entry).map(|(answer, reads)| {
            self.reads.borrow_mut().share(reads);
            answer.clone()
        });
        known.unwrap_or_else(|| {
            let (answer, reads) = self.remembered(work);
            self.reads.borrow_mut().share(&reads);
            memory.borrow_mut().insert(entry, (answer.clone(), reads));
            answer
        })
    }

    /// What a lattice says of the shape; whoever asks again reads the same facts again.
    pub(crate) fn shape_once(
        &self,
        work: impl FnOnce() -> Result<Arc<Shape>, NotKnown>,
    ) -> Result<Arc<Shape>, NotKnown> {
        let (shape, reads) = self.shape.get_or_init(|| self.remembered(work));
        self.reads.borrow_mut().share(reads);
        shape.clone()
    }

    /// The rails that feed each part, worked out once.
    pub(crate) fn fed_rails_once(
        &self,
        work: impl FnOnce() -> Result<Rc<FedRails>, NotKnown>,
    ) -> Result<Rc<FedRails>, NotKnown> {
        let (rails, reads) = self.fed_rails.get_or_init(|| self.remembered(work));
        self.reads.borrow_mut().share(reads);
        rails.clone()
    }

    fn remembered<T>(&self, work: impl FnOnce() -> T) -> (T, Arc<Reads>) {
        let (done, reads) = self.watch(work);
        (done, Arc::new(reads))
    }

    /// The entry with this id; every id that a build gives out has one.
    pub(crate) fn entry(&self, id: EntryId) -> Result<&Entry, NotKnown> {
        self.build.entry(id).ok_or_else(|| NotKnown::no_such("no such entry"))
    }

    /// The first fact of a word that an entry says; what is damaged is not absent.
    ///
    /// # Errors
    /// That it may have stood in what could not be read.
    pub fn fact(
        &self,
        id: EntryId,
        word: &'static str,
    ) -> Result<Option<&Fact>, NotKnown> {
        self.note(id, word);
        let entry = self.entry(id)?;
        let Some(fact) = entry.fact(word) else {
            return if entry.is_damaged() {
                Err(lost(entry, word, entry.span()))
            } else {
                Ok(None)
            };
        };
        if fact.values.is_empty() && fact.damaged {
            return Err(lost(entry, word, fact.span));
        }
        Ok(Some(fact))
    }

    /// The same, where it must be said.
    ///
    /// # Errors
    /// That nobody says it, or that it could not be read.
    pub fn must(&self, id: EntryId, word: &'static str) -> Result<&Fact, NotKnown> {
        let entry = self.entry(id)?;
        self.fact(id, word)?.ok_or_else(|| absent(entry, word))
    }

    /// Whether an entry says a word, as in `optional`.
    ///
    /// # Errors
    /// That it may have stood in what could not be read.
    pub fn says(&self, id: EntryId, word: &'static str) -> Result<bool, NotKnown> {
        Ok(self.fact(id, word)?.is_some())
    }

    /// The value of a slot, if the fact has it; what a damaged fact lacks is not known.
    pub(crate) fn slot<'a>(
        &self,
        entry: &Entry,
        fact: &'a Fact,
        slot: &str,
    ) -> Result<Option<&'a Value>, NotKnown> {
        match fact.slot(slot) {
            Some(value) => self.known_value(entry, fact, value).map(Some),
            None if fact.damaged => Err(lost(entry, fact.row.word, fact.span)),
            None => Ok(None),
        }
    }

    /// A value, where it is known.
    pub(crate) fn known_value<'a>(
        &self,
        entry: &Entry,
        fact: &Fact,
        value: &'a Value,
    ) -> Result<&'a Value, NotKnown> {
        let Kind::Unknown(why) = value.kind else { return Ok(value) };
        let word = fact.row.word;
        let says = format!("the {word} of {} is not known", entry.title());
        let span = Some(value.via.unwrap_or(value.span));
        Err(NotKnown { why: Why::Unknown(why), says, span })
    }

    /// The unit that a builder of this spec thinks lengths in.
    pub fn length_unit(&self) -> Unit {
        let wing = self.of_word("wing").next().map(|(_, wing)| wing);
        let band = wing.and_then(|wing| wing.fact("band")?.first());
        let unit = band.and_then(Value::range).map(|(low, _)| low.unit().clone());
        unit.unwrap_or_else(|| Unit::for_dimension(Dimension::LENGTH))
    }

    /// The unit that a builder of this spec thinks masses in.
    pub fn mass_unit(&self) -> Unit {
        let parts =
            self.of_word("part").filter_map(|(_, part)| part.fact("mass")?.first());
        let first = parts.filter_map(Value::quantity).next();
        first.map_or_else(
            || Unit::for_dimension(Dimension::MASS),
            |mass| mass.unit().clone(),
        )
    }

    /// The whole aircraft, as a rule meets it.
    pub fn whole(&self) -> Known {
        Known::computed(What::Build, "build", self.build.whole)
    }

    /// An entry, as a rule meets it.
    pub fn known_entry(&self, id: EntryId) -> Known {
        let entry = self.build.entry(id);
        let name = entry.map_or("", |entry| &entry.name);
        Known::computed(What::Entry(id), name, entry.map(Entry::span))
    }
}

/// That nobody has said a fact of an entry.
pub(crate) fn absent(entry: &Entry, word: &str) -> NotKnown {
    let says = format!("{} says no {word}", entry.title());
    NotKnown { why: Why::Absent, says, span: Some(entry.span()) }
}

/// That a fact may have stood in what could not be read.
pub(crate) fn lost(entry: &Entry, word: &str, span: Span) -> NotKnown {
    let says = format!("the {word} of {} could not be read", entry.title());
    NotKnown { why: Why::Unknown(Unknown::Damaged), says, span: Some(span) }
}

//! Which motor turns a propeller, and what tells a speed controller its throttle.

use std::rc::Rc;

use trimsheet_model::{Entry, EntryId};

use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, record, words};

impl Facts {
    /// The motor that a propeller sits on: the one that it names, or of all motors the
    /// only one, or the one on its side.
    pub(crate) fn turner(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let entry = self.entry(part)?;
        if entry.kind() != Some("propeller") {
            return Err(absent(entry, "motor"));
        }
        let mut motors = self.named(part, "turned-by")?;
        if motors.is_empty() {
            let all = self.parts_of_kind("motor")?;
            motors = all.iter().filter_map(Known::entry).collect();
        }
        if motors.is_empty() {
            return Err(absent(entry, "motor"));
        }
        if let [only] = motors.as_slice() {
            return Ok(self.known_entry(*only));
        }
        let side = self.side_by_name(part)?;
        let mut on_side = Vec::new();
        for motor in motors {
            if self.side_by_name(motor)? == side {
                on_side.push(motor);
            }
        }
        if let [only] = on_side.as_slice() {
            return Ok(self.known_entry(*only));
        }
        let says = format!("which motor turns {} is not said", entry.title());
        Err(NotKnown::impossible(says, Some(entry.span())))
    }

    /// The side that the name of a part says, or else its place.
    fn side_by_name(&self, part: EntryId) -> Result<&'static str, NotKnown> {
        let name = &self.entry(part)?.name;
        let mut sides = ["left", "right"].into_iter();
        match sides.find(|side| name.ends_with(side)) {
            Some(side) => Ok(side),
            None => self.side(part),
        }
    }

    /// Each signal that tells a speed controller its throttle.
    pub(crate) fn throttles(&self) -> Result<Vec<Known>, NotKnown> {
        let mut all = Vec::new();
        let is_controller = |id: EntryId| {
            let kind = self.build.entry(id).and_then(Entry::kind);
            kind == Some("speed-controller")
        };
        for way in self.all_ways()? {
            if way.carries != "signal" || !is_controller(way.to.entry) {
                continue;
            }
            let from = self.entry(way.from.entry)?;
            let socket = way.from.socket;
            let named = format!("{}.{socket}", from.name);
            let out = if socket.is_empty() { &from.name } else { &named };
            let fields = vec![
                ("controller", self.known_entry(way.to.entry)),
                ("from", self.known_entry(way.from.entry)),
                ("out", words(out, way.names)),
            ];
            all.push(record(fields, "throttle", way.names));
        }
        Ok(all)
    }

    /// The parts that a record names; none where it means all of its kind.
    pub(crate) fn named_parts(&self, of: &Known) -> Result<Known, NotKnown> {
        self.concerned(of, "part", "parts")
    }

    /// The packs that a record names; none where it may mean any.
    pub(crate) fn named_packs(&self, of: &Known) -> Result<Known, NotKnown> {
        self.concerned(of, "pack", "packs")
    }

    fn concerned(&self, of: &Known, word: &str, name: &str) -> Result<Known, NotKnown> {
        let named = self.named(id(of)?, "concerns")?.into_iter();
        let named = named.map(|one| self.known_entry(one));
        let all = named.filter(|one| self.word(one) == Some(word)).collect();
        Ok(Known::computed(What::List(Rc::new(all)), name, of.span))
    }
}

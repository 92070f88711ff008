//! Recesses, and the spars that pass below them.

use std::rc::Rc;

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{EntryId, Kind, Value};
use trimsheet_physics::clearance::line_to_rectangle;

use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

impl Facts {
    /// The spars whose line passes below a recess, each with how deep it lies there.
    ///
    /// A spar is taken to lie in the middle of the thickness. Both halves are alike, so a
    /// spar of the other half counts as well.
    pub(crate) fn over_spars(&self, recess: &Known) -> Result<Known, NotKnown> {
        let id = recess.entry().ok_or_else(|| NotKnown::no_such("no recess"))?;
        let into = self.targets(id, "cut-into", "what")?;
        let mut found = Vec::new();
        for (spar, entry) in self.of_word("spar") {
            let same =
                self.targets(spar, "on", "what")?.iter().any(|on| into.contains(on));
            if !same || !self.says(spar, "runs")? {
                continue;
            }
            let thick = self.number_of(spar, "diameter", "outer")?;
            if !self.meets(id, spar, thick / 2.0)? {
                continue;
            }
            let cover = (self.number_of(id, "thickness", "thickness")? - thick) / 2.0;
            let cover = Quantity::from_si(cover.max(0.0), &self.length_unit());
            let span = entry.fact("runs").map(|runs| runs.span);
            let fields = vec![
                ("spar", self.known_entry(spar)),
                ("cover", Known::computed(What::Quantity(cover), "cover", span)),
            ];
            found.push(Known::computed(What::Record(Rc::new(fields)), "over", span));
        }
        let list = What::List(Rc::new(found));
        Ok(Known::computed(list, "over_spars", recess.span))
    }

    /// Whether the line of a spar passes nearer to a recess than so far, in m.
    fn meets(
        &self,
        recess: EntryId,
        spar: EntryId,
        within: f64,
    ) -> Result<bool, NotKnown> {
        let entry = self.entry(recess)?;
        let (middle, _) = self.middle_of(recess, "at")?;
        let size = self.slot(entry, self.must(recess, "size")?, "size")?;
        let Some(Kind::Size(sizes)) = size.map(|size| &size.kind) else {
            return Err(absent(entry, "size"));
        };
        let side = |at: usize| sizes.get(at).map_or(0.0, Quantity::si);
        let (from, to) = (self.end(spar, "from")?, self.end(spar, "to")?);
        let ways = [middle.right, -middle.right].map(|right| {
            line_to_rectangle((from, to), (middle.aft, right), (side(0), side(1)))
        });
        Ok(ways.into_iter().flatten().any(|way| way < within))
    }

    /// One end of the middle line of a spar, aft and to the right, in m.
    fn end(&self, spar: EntryId, slot: &str) -> Result<(f64, f64), NotKnown> {
        let entry = self.entry(spar)?;
        let end = self.slot(entry, self.must(spar, "runs")?, slot)?;
        let end = end.and_then(Value::place).ok_or_else(|| absent(entry, "line"))?;
        Ok((end.along.si(), end.across.as_ref().map_or(0.0, Quantity::si)))
    }

    /// A number that an entry must state, in SI units.
    pub(crate) fn number_of(
        &self,
        of: EntryId,
        word: &'static str,
        slot: &str,
    ) -> Result<f64, NotKnown> {
        let entry = self.entry(of)?;
        let value = self.slot(entry, self.must(of, word)?, slot)?;
        let number = value.and_then(Value::quantity).map(Quantity::si);
        number.ok_or_else(|| absent(entry, word))
    }

    /// The entries that a fact names; none where it is not said.
    fn targets(
        &self,
        of: EntryId,
        word: &'static str,
        slot: &str,
    ) -> Result<Vec<EntryId>, NotKnown> {
        let Some(fact) = self.fact(of, word)? else { return Ok(Vec::new()) };
        let named = self.slot(self.entry(of)?, fact, slot)?;
        Ok(named.map(|named| named.targets().to_vec()).unwrap_or_default())
    }
}

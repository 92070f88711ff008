//! What was read of a pack, and when.

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{Date, EntryId};

use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, record};

/// One reading of a pack, from a record `checked`.
#[derive(Clone, Debug)]
pub struct Reading {
    /// What was read, as it is written, at its line.
    pub value: Known,
    /// The record.
    pub record: EntryId,
    /// Its day.
    pub date: Date,
}

impl Facts {
    /// Every reading of a pack, the latest first: its `volts` at rest, its `resistance`,
    /// its `capacity`, its `cycles`.
    ///
    /// # Errors
    /// That a reading is not known, or the day of a record, or which pack one is of.
    pub fn readings(
        &self,
        pack: EntryId,
        word: &'static str,
    ) -> Result<Vec<Reading>, NotKnown> {
        let mut all = Vec::new();
        for record in self.records("checked")? {
            let Some(id) = record.entry() else { continue };
            if self.named_in_head(id, "pack")?.entry() != Some(pack) {
                continue;
            }
            let date = self.in_head(id, "date")?;
            let (Some(fact), What::Date(date)) = (self.fact(id, word)?, date.what) else {
                continue;
            };
            let facts = &self.entry(id)?.facts;
            let index = facts.iter().position(|one| std::ptr::eq(one, fact));
            let value = self.value(id, index.unwrap_or(0), 0)?;
            all.push(Reading { value, record: id, date });
        }
        Ok(all)
    }

    /// The latest reading of a pack; none where nobody has read that of it.
    ///
    /// # Errors
    /// As of [`Facts::readings`].
    pub fn latest_reading(
        &self,
        pack: EntryId,
        word: &'static str,
    ) -> Result<Option<Reading>, NotKnown> {
        Ok(self.readings(pack, word)?.into_iter().next())
    }

    /// How many cells a pack has in series.
    pub(crate) fn count_of_cells(&self, pack: EntryId) -> Result<f64, NotKnown> {
        let cells = self.cells_of(pack)?.map(|(count, _)| count);
        let entry = self.entry(pack)?;
        cells.filter(|count| *count >= 1.0).ok_or_else(|| absent(entry, "cells"))
    }

    /// Volts or ohms of a pack as those of one of its cells; what is written of one cell
    /// stays as it is.
    ///
    /// # Errors
    /// That they are of the whole pack, and its cells are not known.
    pub fn per_cell(&self, pack: EntryId, value: &Known) -> Result<Known, NotKnown> {
        let Some(of_pack) = value.quantity() else { return Ok(value.clone()) };
        let unit = match of_pack.dimension() {
            Dimension::VOLTAGE => Unit::for_dimension(Dimension::VOLTAGE_PER_CELL),
            Dimension::RESISTANCE => Unit::for_dimension(Dimension::RESISTANCE_PER_CELL),
            _ => return Ok(value.clone()),
        };
        let cells = self.count_of_cells(pack)?;
        let of_cell = Quantity::from_si(of_pack.si() / cells, &unit);
        let spread = of_pack.spread_si().unwrap_or(0.0) / cells;
        let what = What::Quantity(of_cell.with_spread_si(spread));
        Ok(Known { what, ..value.clone() })
    }

    /// The records of a pack that was looked at, the latest first.
    pub(crate) fn checks(&self, of: &Known) -> Result<Vec<Known>, NotKnown> {
        let pack = id(of)?;
        let mut all = Vec::new();
        for record in self.records("checked")? {
            let Some(id) = record.entry() else { continue };
            if self.named_in_head(id, "pack")?.entry() == Some(pack) {
                all.push(record);
            }
        }
        Ok(all)
    }

    /// Readings of a pack as rules read them, the latest first, of each cell.
    pub(crate) fn read_of(
        &self,
        of: &Known,
        word: &'static str,
    ) -> Result<Vec<Known>, NotKnown> {
        let pack = id(of)?;
        let mut all = Vec::new();
        for reading in self.readings(pack, word)? {
            let Some(span) = reading.value.span else { continue };
            let fields = vec![
                ("value", self.per_cell(pack, &reading.value)?),
                ("date", Known::computed(What::Date(reading.date), "date", Some(span))),
                ("record", self.known_entry(reading.record)),
            ];
            all.push(record(fields, word, span));
        }
        Ok(all)
    }
}

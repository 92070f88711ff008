//! What the aircraft weighs and where it balances by scale and stand, as rules read it.
//!
//! A record is of one loadout, as that flies but for what the record says. The latest
//! record that gives a place, with the latest that gives a mass, is the base; what is
//! aboard then and not now is taken off by its moment, what is aboard now and was not is
//! put on. What is common to both cancels: it may be unknown, and brings no spread.
//! The list of parts gives a balance of its own, in [`balance`](crate::balance), which
//! nothing here changes.
//!
//! Which records count stands here, what they add up to in [`sheet`], what a record says
//! of itself in [`record`], and what becomes of a difference to the list in [`listed`].

mod listed;
mod record;
mod sheet;

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{Date, Entry, EntryId, Kind, Value};
use trimsheet_physics::balance::Balance;

use crate::balance::contributors;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, Why};
use crate::loadout::Aboard;
use sheet::{Net, Sheet};

/// The records that a measured balance rests on; they may be one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Base {
    pub(crate) mass: EntryId,
    pub(crate) place: EntryId,
}

impl Facts {
    /// The mass and the balance of a loadout by the latest records, with what was changed.
    pub(crate) fn as_weighed(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let base = self.base(loadout)?;
        let sheet = Sheet::of_changes(self, base, loadout)?;
        let span = self.entry(loadout)?.span();
        let is_own = self.record_loadout(base.place)? == loadout;
        let mut fields = self.balanced_fields(&sheet, Some(span))?;
        fields.extend(self.base_fields(base, Some(span))?);
        fields
            .push(("is_own", Known::computed(What::Flag(is_own), "is_own", Some(span))));
        Ok(self.record("as_weighed", fields, Some(span)))
    }

    /// The mass of a loadout by the latest record that gives one.
    pub(crate) fn mass_as_weighed(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let record = self.mass_base(loadout)?;
        let sheet = Sheet::of_mass(self, record, loadout)?;
        let span = self.entry(loadout)?.span();
        let is_own = self.record_loadout(record)? == loadout;
        let mut fields = vec![("mass", self.total_mass(&sheet, Some(span)))];
        let base = Base { mass: record, place: record };
        fields.extend(self.base_fields(base, Some(span))?);
        fields.push(("changes", self.changes(&sheet, Some(span))));
        fields
            .push(("is_own", Known::computed(What::Flag(is_own), "is_own", Some(span))));
        Ok(self.record("mass_as_weighed", fields, Some(span)))
    }

    /// The records that a loadout's measured balance rests on: its own, or the latest.
    pub(crate) fn base(&self, loadout: EntryId) -> Result<Base, NotKnown> {
        let place = self.latest(Facts::gives_place, loadout)?.ok_or_else(|| {
            let says = "no record says where it balances";
            NotKnown { why: Why::Absent, says: says.into(), span: self.build.whole }
        })?;
        self.base_at(place)
    }

    /// Whether a record of a loadout itself says where it balances.
    pub(crate) fn is_measured(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(loadout)?.span());
        let place = self.latest(Facts::gives_place, loadout)?;
        let of = place.map(|place| self.record_loadout(place)).transpose()?;
        let is_own = What::Flag(of == Some(loadout));
        Ok(Known::computed(is_own, "is_measured", span))
    }

    /// Whether any record of a loadout says where it balances, be it the latest or not.
    pub(crate) fn is_placed_by_record(&self, loadout: EntryId) -> Result<bool, NotKnown> {
        for record in self.records_of(loadout) {
            if self.gives_place(record)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The records of a loadout, as far as they say of which they are.
    pub(crate) fn records_of(&self, loadout: EntryId) -> impl Iterator<Item = EntryId> {
        let all = self.of_word("weighed").chain(self.of_word("balanced"));
        all.map(|(id, _)| id)
            .filter(move |id| self.record_loadout(*id).is_ok_and(|of| of == loadout))
    }

    /// The records behind the place that one of them gives.
    pub(crate) fn base_at(&self, place: EntryId) -> Result<Base, NotKnown> {
        if self.gives_mass(place)? {
            return Ok(Base { mass: place, place });
        }
        let loadout = self.record_loadout(place)?;
        let mass = self.latest(Facts::gives_mass, loadout)?.ok_or_else(|| {
            let called = self.called(place);
            let says = format!("{called}, and no record says what it weighs");
            NotKnown::impossible(says, self.build.entry(place).map(Entry::span))
        })?;
        Ok(Base { mass, place })
    }

    /// The record that a loadout's measured mass rests on.
    pub(crate) fn mass_base(&self, loadout: EntryId) -> Result<EntryId, NotKnown> {
        self.latest(Facts::gives_mass, loadout)?.ok_or_else(|| {
            let says = "no record says what it weighs";
            NotKnown { why: Why::Absent, says: says.into(), span: self.build.whole }
        })
    }

    /// The latest record that gives something: of this loadout, or else of any.
    fn latest(
        &self,
        gives: fn(&Facts, EntryId) -> Result<bool, NotKnown>,
        loadout: EntryId,
    ) -> Result<Option<EntryId>, NotKnown> {
        let (mut own, mut any): (Option<Dated>, Option<Dated>) = (None, None);
        for (id, entry) in self.of_word("weighed").chain(self.of_word("balanced")) {
            if !gives(self, id)? {
                continue;
            }
            // Of two on one day the one that stands further down was written later.
            let date = entry.head.slot("date").and_then(Value::date);
            let dated = (date, entry.span().start, id);
            if self.record_loadout(id)? == loadout {
                own = own.max(Some(dated));
            }
            any = any.max(Some(dated));
        }
        Ok(own.or(any).map(|(_, _, id)| id))
    }

    /// The loadout that a record is of.
    pub(crate) fn record_loadout(&self, record: EntryId) -> Result<EntryId, NotKnown> {
        let entry = self.entry(record)?;
        let loadout = self.slot(entry, &entry.head, "loadout")?;
        loadout.and_then(|value| value.targets().first()).copied().ok_or_else(|| {
            let says = format!("{} does not say of which loadout it is", entry.title());
            NotKnown::impossible(says, Some(entry.span()))
        })
    }

    fn gives_mass(&self, record: EntryId) -> Result<bool, NotKnown> {
        Ok(self.says(record, "mass")? || self.reads_points(record)?)
    }

    fn gives_place(&self, record: EntryId) -> Result<bool, NotKnown> {
        if self.entry(record)?.row.word == "weighed" {
            return self.reads_points(record);
        }
        Ok(self.says(record, "at")? || self.says(record, "hangs")?)
    }

    /// Whether a record gives readings of several points.
    pub(crate) fn reads_points(&self, record: EntryId) -> Result<bool, NotKnown> {
        Ok(self.entry(record)?.row.word == "weighed" && self.says(record, "reading")?)
    }

    /// What a message calls a record: `survey balanced 2026-02-20`.
    pub(crate) fn called(&self, record: EntryId) -> String {
        let Some(entry) = self.build.entry(record) else { return String::new() };
        if entry.row.word == "done" {
            let date = entry.head.slot("date").and_then(Value::date);
            let of = date.map_or(String::new(), |date| format!(" of {date}"));
            return format!("{}{of}", entry.name);
        }
        let named = ["loadout", "pack", "part"].map(|slot| entry.head.slot(slot));
        let what = named.into_iter().flatten().find_map(Value::text).unwrap_or("it");
        match entry.head.slot("date").map(|date| &date.kind) {
            Some(Kind::Date(date)) => format!("{what} {} {date}", entry.row.word),
            Some(_) | None => format!("{what} {}", entry.row.word),
        }
    }
}

/// A record by its day and its place in the text.
type Dated = (Option<Date>, usize, EntryId);

/// What a record holds, by name.
type Fields = Vec<(&'static str, Known)>;

impl Facts {
    fn record(&self, name: &str, fields: Fields, span: Option<Span>) -> Known {
        Known::computed(What::Record(Rc::new(fields)), name, span)
    }

    /// `mass`, `x`, what makes it unsure, and the arithmetic.
    fn balanced_fields(
        &self,
        sheet: &Sheet,
        span: Option<Span>,
    ) -> Result<Fields, NotKnown> {
        let balance = sheet.balance()?;
        let unsure = contributors(&sheet.fitted, &balance, &self.length_unit());
        let arithmetic = What::Words(self.arithmetic(sheet, &balance));
        let list = |all: Vec<Known>| What::List(Rc::new(all));
        let steps = sheet.steps().map(|step| self.step(step, span)).collect();
        Ok(vec![
            ("mass", self.total_mass(sheet, span)),
            ("x", Known::computed(What::Quantity(self.point(&balance)), "x", span)),
            ("contributors", Known::computed(list(unsure), "contributors", span)),
            ("arithmetic", Known::computed(arithmetic, "arithmetic", span)),
            ("steps", Known::computed(list(steps), "steps", span)),
            ("changes", self.changes(sheet, span)),
        ])
    }

    fn base_fields(&self, base: Base, span: Option<Span>) -> Result<Fields, NotKnown> {
        let (mass, place) = (self.called(base.mass), self.called(base.place));
        let says =
            if base.mass == base.place { place } else { format!("{mass}, {place}") };
        let words = |span| Known::computed(What::Words(says.clone()), "base", span);
        let own = Some(self.entry(base.place)?.span());
        Ok(vec![("base", words(own)), ("says", words(span))])
    }

    fn total_mass(&self, sheet: &Sheet, span: Option<Span>) -> Known {
        let (mass, spread) = sheet.mass();
        let mass = Quantity::from_si(mass, &self.mass_unit()).with_spread_si(spread);
        Known::computed(What::Quantity(mass), "mass", span)
    }

    fn point(&self, balance: &Balance) -> Quantity {
        let ([x, ..], [spread, ..]) = (balance.at, balance.at_spread);
        self.station(x).with_spread_si(spread)
    }

    pub(crate) fn station(&self, si: f64) -> Quantity {
        Quantity::from_si(si, &self.length_unit()).with_axis(Some(Axis::Length))
    }

    /// One line of the arithmetic; a mass that is taken away is less than none.
    fn step(&self, step: &Aboard, span: Option<Span>) -> Known {
        let [along, ..] = step.item.at;
        let mass = step.item.mass.value;
        let known =
            |what: What, name: &str| Known::computed(what, name, Some(step.placed));
        let quantity =
            |quantity: Quantity, name: &str| known(What::Quantity(quantity), name);
        let shown = Quantity::from_si(mass, &self.mass_unit());
        let fields = vec![
            ("says", known(What::Words(step.name.clone()), "says")),
            ("mass", quantity(shown, "mass")),
            ("at", quantity(self.station(along.value), "at")),
            ("moment", quantity(self.moment(mass * along.value), "moment")),
        ];
        self.record(&step.name, fields, span)
    }

    fn changes(&self, sheet: &Sheet, span: Option<Span>) -> Known {
        let all = sheet.changes().map(|step| self.step(step, span)).collect();
        Known::computed(What::List(Rc::new(all)), "changes", span)
    }

    /// A moment in the units that this builder weighs and measures in, if there is one.
    fn moment(&self, si: f64) -> Quantity {
        let (mass, length) = (self.mass_unit(), self.length_unit());
        let unit = Unit::read(&format!("{}.{}", mass.text(), length.text()));
        let unit = unit.filter(|unit| unit.dimension() == Dimension::MOMENT);
        let unit = unit.unwrap_or_else(|| Unit::for_dimension(Dimension::MOMENT));
        Quantity::from_si(si, &unit).with_axis(Some(Axis::Length))
    }

    /// The sum of the masses in words.
    fn mass_arithmetic(&self, sheet: &Sheet) -> String {
        let lines: Vec<String> = sheet
            .net()
            .map(|net| format!("{} {}", net.name, self.net_mass(&net)))
            .collect();
        let (total, spread) = sheet.mass();
        let total = Quantity::from_si(total, &self.mass_unit()).with_spread_si(spread);
        format!("{}: {} in all", lines.join(", "), total.with_spread())
    }

    /// The whole sum in words: masses, stations, moments, and what they come to.
    fn arithmetic(&self, sheet: &Sheet, balance: &Balance) -> String {
        let lines: Vec<String> = sheet
            .net()
            .map(|net| {
                format!(
                    "{} {} at {} ({})",
                    net.name,
                    self.net_mass(&net),
                    self.station(net.along),
                    rounded(&self.moment(net.mass() * net.along)),
                )
            })
            .collect();
        let [moment, ..] = balance.moment;
        format!(
            "{}: {} in all with {}, which balances at {}",
            lines.join(", "),
            Quantity::from_si(balance.mass, &self.mass_unit()),
            rounded(&self.moment(moment)),
            self.point(balance).with_spread(),
        )
    }

    /// A mass in words, and what it was before its tare was taken off.
    fn net_mass(&self, net: &Net<'_>) -> String {
        let mass = |si: f64| Quantity::from_si(si.abs(), &self.mass_unit());
        let whole = mass(net.mass());
        match net.tare {
            Some(tare) => format!("{whole} ({} less {})", mass(net.gross), mass(tare)),
            None => whole.to_string(),
        }
    }
}

/// A moment without digits behind the point, where it has enough before it.
fn rounded(moment: &Quantity) -> Quantity {
    let value = moment.value();
    let value = if value.abs() < 100.0 { value } else { value.round() };
    Quantity::new(value, moment.unit()).with_axis(moment.axis())
}

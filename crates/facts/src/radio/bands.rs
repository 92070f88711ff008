//! What meets on the air: products of senders, neighbours in a band, and links.

use trimsheet_model::quantity::{Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Value};
use trimsheet_physics::radio::{self, Link, POSITION_SIGNAL, Product};

use super::{Found, Sent, at_line, list_of, no_band, unit_of};
use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, record, words};

impl Facts {
    /// The bands that a part listens on; of a satellite receiver that names none, the
    /// common one.
    fn heard(&self, part: EntryId) -> Result<Found<(Quantity, Span)>, NotKnown> {
        let mut found = Found::none();
        self.fact(part, "receives")?;
        let entry = self.entry(part)?;
        for fact in entry.all("receives") {
            let band = self.slot(entry, fact, "band");
            let band = band.map(|band| band.and_then(Value::quantity).cloned());
            let band = band.ok().flatten().ok_or_else(|| no_band(entry, fact.span));
            found.take(band.map(|band| (band, fact.span)));
        }
        if entry.fact("receives").is_some() {
            return Ok(found);
        }
        found.take(if self.is_kind(part, &["gnss-receiver"])? {
            let signal = Quantity::from_si(POSITION_SIGNAL, &unit_of("MHz"));
            Ok((signal, entry.span()))
        } else {
            Err(absent(entry, "receives"))
        });
        Ok(found)
    }

    fn all_sent(&self) -> Result<Found<Sent>, NotKnown> {
        let mut all = Found::none();
        for (part, _) in self.of_word("part") {
            let sent = self.sent(part)?;
            all.all.extend(sent.all);
            all.not_known.extend(sent.not_known);
        }
        Ok(all)
    }

    /// What the senders aboard make besides their own bands, against each band that a
    /// part listens on.
    pub(crate) fn made_on_air(&self, of: &Known) -> Result<Known, NotKnown> {
        let heard = self.heard(id(of)?)?.all;
        let sent: Vec<Sent> =
            self.all_sent()?.all.into_iter().filter(|one| one.band.is_some()).collect();
        let bands = sent.iter().filter_map(|one| one.band.as_ref().map(Quantity::si));
        let products = radio::products(&bands.collect::<Vec<f64>>());
        let mut all = Vec::new();
        for (band, line) in heard {
            for product in &products {
                all.extend(self.product(product, &sent, &band, line));
            }
        }
        Ok(list_of(all, "made_on_air", of))
    }

    fn product(
        &self,
        product: &Product,
        sent: &[Sent],
        band: &Quantity,
        line: Span,
    ) -> Option<Known> {
        let first = sent.get(product.first.0)?;
        let unit = band.unit();
        let at = Quantity::from_si(product.frequency, unit);
        let apart = Quantity::from_si((product.frequency - band.si()).abs(), unit);
        let fields = vec![
            ("says", words(&self.product_says(product, sent)?, line)),
            ("frequency", at_line(What::Quantity(at), line)),
            ("band", at_line(What::Quantity(band.clone()), line)),
            ("apart", at_line(What::Quantity(apart), line)),
            ("sender", at_line(self.known_entry(first.part).what, first.line)),
        ];
        Some(record(fields, "made_on_air", line))
    }

    /// A product in words: `the second harmonic of the 787 MHz of part video`.
    fn product_says(&self, product: &Product, sent: &[Sent]) -> Option<String> {
        let one = |(at, times): (usize, i32)| -> Option<String> {
            let sent = sent.get(at)?;
            let title = self.entry(sent.part).ok()?.title();
            let often = if times.abs() == 2 { "twice " } else { "" };
            Some(format!("{often}the {} of {title}", sent.band.as_ref()?))
        };
        let Some(second) = product.second else {
            let (at, times) = product.first;
            let which = if times == 2 { "second" } else { "third" };
            return Some(format!("the {which} harmonic of {}", one((at, 1))?));
        };
        Some(match (product.first, second) {
            (first, second) if first.1 < 0 => {
                format!("{} less {}", one(second)?, one(first)?)
            }
            (first, second) if second.1 < 0 => {
                format!("{} less {}", one(first)?, one(second)?)
            }
            (first, second) => format!("{} and {} together", one(first)?, one(second)?),
        })
    }

    /// Whether all bands are known that a part listens on and that others send on.
    pub(crate) fn made_on_air_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let mut sent = self.all_sent()?;
        if !sent.all.is_empty() {
            sent.not_known.extend(self.heard(id(of)?)?.not_known);
        }
        sent.known(of)
    }

    /// How far apart each band that a part listens on and each that another part sends on
    /// are.
    pub(crate) fn band_neighbours(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut all = Vec::new();
        let sent = self.all_sent()?.all;
        for (own, line) in self.heard(part)?.all {
            for other in sent.iter().filter(|other| other.part != part) {
                let Some(band) = &other.band else { continue };
                let apart = (band.si() - own.si()).abs() / own.si();
                let apart = Quantity::from_si(apart, &Facts::percent());
                let fields = vec![
                    ("own", at_line(What::Quantity(own.clone()), line)),
                    ("sender", self.known_entry(other.part)),
                    ("band", at_line(What::Quantity(band.clone()), other.line)),
                    ("apart", at_line(What::Quantity(apart), line)),
                ];
                all.push(record(fields, "band_neighbour", line));
            }
        }
        Ok(list_of(all, "band_neighbours", of))
    }

    /// By how much each link of a part is stronger than the weakest that is heard, at the
    /// range that the model states: up to it by what it receives, down from it by what it
    /// sends.
    pub(crate) fn link_margins(&self, of: &Known) -> Result<Known, NotKnown> {
        Ok(list_of(self.radio_links(of)?.all, "link_margins", of))
    }

    /// Whether all is known of the links of a part.
    pub(crate) fn link_margins_known(&self, of: &Known) -> Result<Known, NotKnown> {
        self.radio_links(of)?.known(of)
    }

    fn radio_links(&self, of: &Known) -> Result<Found<Known>, NotKnown> {
        let part = id(of)?;
        let mut found = Found::none();
        let Some((model, model_entry)) = self.of_word("model").next() else {
            return Ok(found);
        };
        let range = self.must(model, "link-range")?;
        let range = self.slot(model_entry, range, "distance")?.and_then(Value::quantity);
        let range = range.ok_or_else(|| absent(model_entry, "link-range"))?;
        for word in ["receives", "sends"] {
            self.fact(part, word)?;
            for fact in self.entry(part)?.all(word) {
                found.take(self.radio_link(part, fact, range));
            }
        }
        Ok(found)
    }

    fn radio_link(
        &self,
        part: EntryId,
        fact: &Fact,
        range: &Quantity,
    ) -> Result<Known, NotKnown> {
        let entry = self.entry(part)?;
        let number = |slot: &str| -> Result<Quantity, NotKnown> {
            let value = self.slot(entry, fact, slot)?.and_then(Value::quantity);
            value.cloned().ok_or_else(|| {
                let word = fact.row.word;
                let says = format!("`{word}` of {} states no {slot}", entry.title());
                NotKnown::impossible(says, Some(fact.span))
            })
        };
        let (band, own_gain) = (number("band")?, self.least_gain(part)?);
        let is_up = fact.row.word == "receives";
        let link = if is_up {
            Link {
                frequency: band.si(),
                sent: number("sent")?.si(),
                sender_gain: number("sender-gain")?.si(),
                hearer_gain: own_gain,
                sensitivity: number("sensitivity")?.si(),
            }
        } else {
            Link {
                frequency: band.si(),
                sent: number("power")?.si(),
                sender_gain: own_gain,
                hearer_gain: number("hearer-gain")?.si(),
                sensitivity: number("heard")?.si(),
            }
        };
        let none = || {
            let says = format!("the link of {} has no margin in numbers", entry.title());
            NotKnown::impossible(says, Some(fact.span))
        };
        let margin = link.margin(range.si()).ok_or_else(none)?;
        let loss = radio::free_space_loss(band.si(), range.si()).ok_or_else(none)?;
        // A loss of 100 dB is a ratio of ten to the tenth.
        let ratio = Unit::read("dB").map(|unit| Quantity::new(loss, &unit));
        let loss = ratio.ok_or_else(none)?;
        let decibels = |si: f64| Quantity::from_si(si, &unit_of("dB"));
        let known = |quantity: Quantity| at_line(What::Quantity(quantity), fact.span);
        let fields = vec![
            ("way", words(if is_up { "up" } else { "down" }, fact.span)),
            ("band", known(band)),
            ("range", known(range.clone())),
            ("loss", known(loss)),
            ("margin", known(decibels(margin))),
        ];
        Ok(record(fields, "link_margin", fact.span))
    }

    /// The gain of the antenna of a part, of several the least, as a ratio.
    fn least_gain(&self, part: EntryId) -> Result<f64, NotKnown> {
        let entry = self.entry(part)?;
        let mut least: Option<f64> = None;
        self.must(part, "antenna")?;
        for fact in entry.all("antenna") {
            let gain = self.slot(entry, fact, "gain")?.and_then(Value::quantity);
            let gain = gain.ok_or_else(|| {
                let says = format!("{} states no gain", self.antenna_title(entry, fact));
                NotKnown::impossible(says, Some(fact.span))
            })?;
            least = Some(least.map_or(gain.si(), |least| least.min(gain.si())));
        }
        least.ok_or_else(|| absent(entry, "antenna"))
    }
}

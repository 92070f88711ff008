//! From a log and facts to a debrief.

use trimsheet_facts::model::EntryId;
use trimsheet_facts::model::quantity::{Dimension, Quantity, Unit};
use trimsheet_facts::model::source::{Sources, Span};
use trimsheet_facts::{Facts, Known, NotKnown};
use trimsheet_flightlog::{
    Channel, Cruise, Decimal, Delimiter, Flown, Measure, Moment, Reading, SORTS,
    SteadyBy, TimeForm, WINDOW,
};

use super::{Debrief, Empty, Figure, Gap, LeftOut, Log, Offer, Wanted};
use crate::make::{Heading, heading};
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

pub(super) fn debrief(
    facts: &Facts,
    sources: &Sources,
    wanted: &Wanted,
    (path, reading): (&str, &Reading),
    loadout: Option<EntryId>,
) -> Debrief {
    let Heading { title, file, revision, stage } = heading(facts, sources);
    let mut maker =
        Maker { facts, sources, loadout, figures: Vec::new(), not_said: Vec::new() };
    if loadout.is_none() && 1 < facts.of_word("loadout").count() {
        maker.not_said.push(NotSaid {
            what: "what was planned".to_owned(),
            why: "the spec has several loadouts, and none was named with --loadout"
                .to_owned(),
            line: None,
        });
    }
    let is_thin = 2 * reading.rows.good < reading.rows.all();
    if is_thin {
        maker.not_said.push(NotSaid {
            what: "what was flown".to_owned(),
            why: "more than half of the rows of the log could not be used: see what was \
                  left out before any figure is believed"
                .to_owned(),
            line: None,
        });
    }
    maker.flown(&reading.flown);
    maker.without_gaps(reading);
    for more in &wanted.more {
        maker.not_said.push(NotSaid {
            what: format!("the column \"{}\"", more.head),
            why: format!("one column of {} is read, the first", more.word),
            line: maker.line(more.span),
        });
    }
    let cruise = reading.flown.cruise.as_ref();
    Debrief {
        log: log(wanted, path, reading, maker.line(wanted.span)),
        loadout: loadout.and_then(|id| Some(facts.build.entry(id)?.name.clone())),
        cruise_from: cruise.map(windows),
        offer: cruise
            .filter(|_| !is_thin)
            .and_then(|cruise| maker.offer(cruise, path, reading)),
        figures: maker.figures,
        not_said: maker.not_said,
        title,
        file,
        revision,
        stage,
    }
}

fn log(wanted: &Wanted, path: &str, reading: &Reading, line: Option<Line>) -> Log {
    let (rows, gaps) = (&reading.rows, &reading.gaps);
    let seconds = |seconds: f64| number(&steps(&in_unit(seconds, "s"), 0.1));
    let left_out = SORTS.into_iter().filter(|sort| 0 < rows.count(*sort));
    let empty = wanted.mapping.columns().filter_map(|(channel, _)| {
        let count = rows.without(channel);
        (0 < count).then(|| Empty { channel: channel.name().to_owned(), count })
    });
    Log {
        path: path.to_owned(),
        name: wanted.name.clone(),
        line,
        form: form(reading),
        rows: rows.all(),
        used: rows.good,
        left_out: left_out
            .map(|sort| LeftOut {
                count: rows.count(sort),
                says: sort.says().to_owned(),
                first: rows
                    .examples(sort)
                    .iter()
                    .map(|row| format!("line {}{}", row.line, row.at()))
                    .collect(),
            })
            .collect(),
        blank: rows.blank,
        gaps: gaps
            .first
            .iter()
            .map(|gap| Gap { line: gap.line, lasts: seconds(gap.seconds) })
            .collect(),
        gap_count: gaps.count,
        gap_time: seconds(gaps.seconds),
        empty: empty.collect(),
    }
}

fn form(reading: &Reading) -> String {
    let delimiter = match reading.form.delimiter {
        Delimiter::Comma => "commas between fields",
        Delimiter::Semicolon => "semicolons between fields",
        Delimiter::Tab => "tabs between fields",
    };
    let decimal = match reading.form.decimal {
        Decimal::Point => "decimal points",
        Decimal::Comma => "decimal commas",
    };
    let time = match &reading.form.time {
        TimeForm::Counter(unit) => format!("time as a count in {}", unit.text()),
        TimeForm::Clock => "time of day".to_owned(),
        TimeForm::Date => "date and time".to_owned(),
    };
    format!("{delimiter}, {decimal}, {time}")
}

fn windows(cruise: &Cruise) -> String {
    let steady = match cruise.by {
        SteadyBy::Height => "whose height changes by less than 1 m/s",
        SteadyBy::Current => "whose current stays within 15 % of its mean",
    };
    format!(
        "the median of {} windows of {WINDOW} s under power, {steady}; its spread is twice \
         the range between their quartiles over 1.349",
        cruise.windows
    )
}

struct Maker<'a> {
    facts: &'a Facts,
    sources: &'a Sources,
    loadout: Option<EntryId>,
    figures: Vec<Figure>,
    not_said: Vec<NotSaid>,
}

impl Maker<'_> {
    fn line(&self, span: Span) -> Option<Line> {
        let file = self.sources.path(span.file).to_owned();
        Some(Line { file, line: self.sources.place(span).line })
    }

    /// Every figure, in the order in which a flight is talked over.
    fn flown(&mut self, flown: &Flown) {
        self.add("time", Some(&flown.duration), 0.1);
        self.add("under power", flown.under_power.as_ref(), 0.1);
        if let (Some(figure), Some(idle)) = (self.figures.last_mut(), &flown.idle) {
            figure.note = Some(format!("above {idle}"));
        }
        self.add("charge used", flown.charge.as_ref(), 0.001);
        if flown.charge.is_some() {
            let usable = self.asked("charge", "endurance", "usable");
            self.beside(usable, "planned is the most that it may use");
        }
        self.add("charge, by the log's own count", flown.used.as_ref(), 0.001);
        let cruise = flown.cruise.as_ref();
        self.add("cruise current", cruise.map(|cruise| &cruise.amps), 0.01);
        if cruise.is_some() {
            let planned = self.stated_cruise();
            self.beside(planned, "");
        }
        let speed = cruise.and_then(|one| one.speed.as_ref());
        self.add("cruise speed", speed, 0.1);
        if speed.is_some() {
            let planned = self.asked("cruise speed", "trim_speed", "");
            self.beside(planned, "as the log counts it; planned is through the air");
        }
        self.moment("peak current", flown.peak_amps.as_ref(), 0.01);
        self.add("highest current over 1 s", flown.amps_over_1_s.as_ref(), 0.01);
        self.add("highest current over 10 s", flown.amps_over_10_s.as_ref(), 0.01);
        if flown.amps_over_10_s.is_some() {
            let full = self.asked("full throttle", "full_current", "current");
            self.beside(full, "planned is full throttle at a stand");
        }
        self.volts(flown);
        self.add("resistance by fit", flown.resistance.as_ref(), 0.1);
        if flown.resistance.is_some() {
            let resistance = self.planned("resistance", "resistance");
            self.beside(resistance, "without leads");
        }
        self.extents(flown);
    }

    /// Says beside what is summed how long nothing was summed.
    fn without_gaps(&mut self, reading: &Reading) {
        if reading.gaps.count == 0 {
            return;
        }
        let gone = steps(&in_unit(reading.gaps.seconds, "s"), 0.1);
        let says = format!("{gone} of gaps not counted");
        let summed =
            self.figures.iter_mut().filter(|one| one.what.as_str() == "charge used");
        for figure in summed {
            let before = figure.note.take().map(|before| format!("{before}; "));
            figure.note = Some(format!("{}{says}", before.unwrap_or_default()));
        }
    }

    fn volts(&mut self, flown: &Flown) {
        let lowest = flown.lowest_volts.as_ref();
        self.moment("lowest volts", lowest.map(|lowest| &lowest.volts), 0.01);
        let amps = lowest.and_then(|lowest| lowest.amps.as_ref());
        if let (Some(figure), Some(amps)) = (self.figures.last_mut(), amps) {
            let at = figure.note.take().unwrap_or_default();
            figure.note = Some(format!("{at}, at {}", steps(amps, 0.01)));
        }
        let cells = flown.extent(Channel::CellVolts).map(|extent| &extent.least);
        if cells.is_some() {
            self.moment("lowest volts of a cell", cells, 0.001);
        } else if let (Some(lowest), Some(cells)) = (lowest, self.cells())
            && let Measure::Quantity(volts) = &lowest.volts.value
        {
            let mean = Quantity::from_si(volts.si() / cells, volts.unit());
            self.add("lowest volts of a cell", Some(&mean), 0.001);
            self.note("the mean of its cells; the weakest one is lower");
        }
        if cells.is_none() && (lowest.is_none() || self.cells().is_none()) {
            return self.at_rest(flown);
        }
        let sag = self.asked("sag", "sag", "each");
        let volts = Unit::for_dimension(Dimension::VOLTAGE);
        let sag = sag.map(|(each, span)| {
            let of_one = Quantity::from_si(each.si(), &volts);
            (of_one.with_spread_si(each.spread_si().unwrap_or(0.0)), span)
        });
        self.planned_beside(sag, "planned is full throttle at half charge");
        self.at_rest(flown);
    }

    fn at_rest(&mut self, flown: &Flown) {
        for (what, rest) in [
            ("volts before power", &flown.rest_before),
            ("volts after power", &flown.rest_after),
        ] {
            self.add(what, rest.as_ref().map(|rest| &rest.volts), 0.01);
            if let Some(rest) = rest {
                self.note(&format!("after {} at rest", steps(&rest.lasts, 0.1)));
            }
        }
    }

    fn extents(&mut self, flown: &Flown) {
        let greatest = |channel| flown.extent(channel).map(|extent| &extent.greatest);
        self.moment("warmest", greatest(Channel::Temperature), 0.1);
        let weakest = flown.extent(Channel::Quality).map(|extent| &extent.least);
        self.moment("weakest radio", weakest, 0.1);
        self.moment("greatest height", greatest(Channel::Height), 0.1);
        self.moment("greatest speed", greatest(Channel::Speed), 0.1);
        self.moment("greatest throttle", greatest(Channel::Throttle), 0.1);
    }

    fn add(&mut self, what: &str, flown: Option<&Quantity>, step: f64) {
        let Some(flown) = flown else { return };
        self.figures.push(Figure {
            what: what.to_owned(),
            planned: None,
            flown: Some(number(&steps(flown, step))),
            bare: None,
            difference: None,
            note: None,
            line: None,
        });
    }

    fn moment(&mut self, what: &str, moment: Option<&Moment>, step: f64) {
        let Some(moment) = moment else { return };
        let (flown, bare) = match &moment.value {
            Measure::Quantity(flown) => (Some(number(&steps(flown, step))), None),
            Measure::Bare(bare) => (None, Some(*bare)),
        };
        let note = format!("{} in, line {}", steps(&moment.at, 0.1), moment.line);
        self.figures.push(Figure {
            what: what.to_owned(),
            planned: None,
            flown,
            bare,
            difference: None,
            note: Some(note),
            line: None,
        });
    }

    fn note(&mut self, says: &str) {
        if let Some(figure) = self.figures.last_mut() {
            figure.note = Some(says.to_owned());
        }
    }

    /// Puts the plan beside the last figure.
    fn beside(&mut self, planned: Option<(Quantity, Option<Span>)>, note: &str) {
        let Some((planned, span)) = planned else { return };
        let line = span.and_then(|span| self.line(span));
        let Some(figure) = self.figures.last_mut() else { return };
        let Some(flown) = &figure.flown else { return };
        let Some(planned) = planned.in_unit(flown.0.unit()) else { return };
        figure.difference = flown.0.minus(&planned).ok().map(Number);
        figure.planned = Some(Number(planned));
        figure.line = line;
        if !note.is_empty() {
            figure.note = Some(note.to_owned());
        }
    }

    /// The same behind a note that says where that was.
    fn planned_beside(&mut self, planned: Option<(Quantity, Option<Span>)>, note: &str) {
        let is_planned = planned.is_some();
        self.beside(planned, "");
        if let (Some(figure), true) = (self.figures.last_mut(), is_planned) {
            let before = figure.note.take().map(|before| format!("{before}; "));
            figure.note = Some(format!("{}{note}", before.unwrap_or_default()));
        }
    }

    /// A number of the loadout, or of a record that a fact of it is.
    fn asked(
        &mut self,
        what: &str,
        fact: &str,
        field: &str,
    ) -> Option<(Quantity, Option<Span>)> {
        let loadout = self.facts.known_entry(self.loadout?);
        let asked = self.facts.of(&loadout, fact).and_then(|record| match field {
            "" => Ok(record),
            field => self.facts.of(&record, field),
        });
        let said = asked.map_err(|why| self.cannot(&format!("the planned {what}"), &why));
        let said = said.ok()?;
        Some((said.quantity()?.clone(), said.span))
    }

    /// The sum over the packs of the loadout, where each states it.
    fn planned(
        &mut self,
        word: &'static str,
        what: &str,
    ) -> Option<(Quantity, Option<Span>)> {
        let packs = self.packs()?;
        let [pack] = packs.as_slice() else { return None };
        let asked = self.facts.of(pack, word);
        let said = asked
            .map_err(|why| self.cannot(&format!("the planned {what}"), &why))
            .ok()?;
        let stated = said.quantity()?.clone();
        if stated.dimension() == Dimension::RESISTANCE_PER_CELL {
            let cells = self.cells()?;
            let unit = Unit::for_dimension(Dimension::RESISTANCE);
            let whole = Quantity::from_si(stated.si() * cells, &unit);
            let spread = stated.spread_si().unwrap_or(0.0) * cells;
            return Some((whole.with_spread_si(spread), said.span));
        }
        Some((stated, said.span))
    }

    fn packs(&self) -> Option<Vec<Known>> {
        let loadout = self.facts.known_entry(self.loadout?);
        Some(self.facts.of(&loadout, "packs").ok()?.list().to_vec())
    }

    /// How many cells the one pack of the loadout has in series.
    fn cells(&self) -> Option<f64> {
        let packs = self.packs()?;
        let [pack] = packs.as_slice() else { return None };
        let cells = self.facts.of(pack, "cells").ok()?;
        cells.quantity().map(Quantity::si).filter(|cells| 0.5 < *cells)
    }

    fn stated_cruise(&mut self) -> Option<(Quantity, Option<Span>)> {
        let loadout = self.facts.known_entry(self.loadout?);
        match self.facts.of(&loadout, "cruise") {
            Ok(said) => Some((said.quantity()?.clone(), said.span)),
            // Where nobody has written it, drag and drive say what to expect.
            Err(_) => self.asked("cruise current", "level_flight", "current"),
        }
    }

    fn cannot(&mut self, what: &str, why: &NotKnown) {
        let line = why.span.and_then(|span| self.line(span));
        // One line keeps many things from being planned, and is named once.
        if self.not_said.iter().any(|one| one.line == line && one.why == why.says) {
            return;
        }
        let why = why.says.clone();
        self.not_said.push(NotSaid { what: what.to_owned(), why, line });
    }

    /// The line with the measured cruise current, and the one that it takes the place of.
    fn offer(&self, cruise: &Cruise, path: &str, reading: &Reading) -> Option<Offer> {
        let entry = self.facts.build.entry(self.loadout?)?;
        let fact = entry.fact("cruise");
        let day = reading.day.as_ref().map_or(String::new(), |day| format!("{day} "));
        // Where a log lies on one machine is no word for a spec that is passed on.
        let name = path.rsplit(['/', '\\']).next().unwrap_or(path);
        let is_whole = path.starts_with(['/', '\\']) || path.contains(":\\");
        let path = if is_whole { name } else { path };
        // A path with a mark that ends a text cannot stand in one.
        let of = if path
            .chars()
            .any(|mark| mark == '"' || mark == '\\' || mark.is_control())
        {
            String::new()
        } else {
            format!("of \"{path}\"")
        };
        let source = format!("measured {day}{of}");
        let amps = number(&steps(&cruise.amps, 0.01));
        Some(Offer {
            under: entry.title(),
            line: fact.and_then(|fact| self.line(fact.span)),
            says: format!("cruise {amps} [{}]", source.trim_end()),
        })
    }
}

fn in_unit(si: f64, unit: &str) -> Quantity {
    let unit = Unit::read(unit).unwrap_or_else(|| Unit::for_dimension(Dimension::TIME));
    Quantity::from_si(si, &unit)
}

fn number(quantity: &Quantity) -> Number {
    Number(quantity.clone())
}

/// Rounded to steps of its unit; what instruments show behind them is noise.
fn steps(quantity: &Quantity, step: f64) -> Quantity {
    let count = (quantity.value() / step).round();
    let per = (1.0 / step).round();
    let rounded = Quantity::new(count / per, quantity.unit());
    match quantity.spread() {
        // A spread of less than a step is shown as a step.
        Some(spread) => rounded
            .clone()
            .with_spread_in(spread.max(step), quantity.unit())
            .unwrap_or(rounded),
        None => rounded,
    }
}

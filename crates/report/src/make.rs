//! From facts to a sheet.

mod drive;
mod flight;
mod items;
mod limits;

use trimsheet_facts::model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_facts::model::source::{Sources, Span};
use trimsheet_facts::model::{Entry, EntryId, Kind};
use trimsheet_facts::{Facts, Known, Listing, NotKnown, What, Why};

use crate::number::Number;
use crate::sheet::{
    AsWeighed, Change, Contributor, Corner, Line, Loadout, NotSaid, Sheet, Source, Total,
    Units,
};

/// The sheet of an aircraft.
pub(crate) fn sheet(facts: &Facts, sources: &Sources) -> Sheet {
    let maker = Maker { facts, sources, moment: moment_unit(facts) };
    let Heading { title, file, revision, stage } = heading(facts, sources);
    let datum = facts.of_word("datum").next().map(|(_, datum)| datum);
    let loadouts = facts.of_word("loadout").map(|(id, entry)| maker.loadout(id, entry));
    Sheet {
        title,
        file,
        revision,
        stage,
        datum: datum
            .and_then(|datum| words(datum, "origin", &["surface", "where", "edge"])),
        level: datum.and_then(|datum| words(datum, "level", &["line"])),
        units: Units {
            mass: facts.mass_unit().text().to_owned(),
            length: facts.length_unit().text().to_owned(),
            moment: maker.moment.text().to_owned(),
        },
        loadouts: loadouts.collect(),
    }
}

/// What stands above every page about an aircraft.
pub(crate) struct Heading {
    pub(crate) title: String,
    pub(crate) file: String,
    pub(crate) revision: Option<String>,
    pub(crate) stage: String,
}

/// What stands above a page about an aircraft.
pub(crate) fn heading(facts: &Facts, sources: &Sources) -> Heading {
    let model = facts.of_word("model").next().map(|(_, model)| model);
    let title = model.and_then(|model| model.fact("title")?.first()?.text());
    let title = title.or(model.map(|model| model.name.as_str()));
    let file = facts.build.whole.map_or("", |whole| sources.path(whole.file));
    Heading {
        title: title.unwrap_or_default().to_owned(),
        file: file.to_owned(),
        revision: model.and_then(|model| words(model, "revision", &["letter", "date"])),
        stage: facts.stage.word().to_owned(),
    }
}

/// The builder's unit of mass times that of length.
fn moment_unit(facts: &Facts) -> Unit {
    let text = format!("{}.{}", facts.mass_unit().text(), facts.length_unit().text());
    let unit = Unit::read(&text);
    let unit = unit.filter(|unit| unit.dimension() == Dimension::MOMENT);
    unit.unwrap_or_else(|| Unit::for_dimension(Dimension::MOMENT))
}

/// The words in some slots of a fact, if it has any.
fn words(entry: &Entry, fact: &str, slots: &[&str]) -> Option<String> {
    let fact = entry.fact(fact)?;
    let value = |slot: &&str| {
        let value = fact.slot(slot)?;
        let text = value.text().map(str::to_owned);
        text.or_else(|| value.date().map(|date| date.to_string()))
    };
    let found: Vec<String> = slots.iter().filter_map(value).collect();
    (!found.is_empty()).then(|| found.join(" "))
}

/// What it takes to make a sheet.
struct Maker<'a> {
    facts: &'a Facts,
    sources: &'a Sources,
    moment: Unit,
}

impl Maker<'_> {
    fn loadout(&self, id: EntryId, entry: &Entry) -> Loadout {
        let known = self.facts.known_entry(id);
        let listing = self.facts.listed(id);
        let items = self.items(&listing);
        let balance = self.facts.of(&known, "balance").ok();
        let is_whole = listing.not_known.is_empty();
        let balance = balance.filter(|_| is_whole);
        let total = balance.as_ref().and_then(|record| self.total(record, &listing));
        let total = total.map(|total| Total {
            moment: self.with_spread(total.moment, &listing),
            ..total
        });
        let mut not_said = self.unsaid(&listing);
        let corners = match total {
            None if is_whole => self.corners(&known, &listing, &mut not_said),
            None | Some(_) => Vec::new(),
        };
        let ends = corners.iter().map(|corner| (corner.says.as_str(), &corner.total));
        let all: Vec<(&str, &Total)> =
            total.iter().map(|total| ("", total)).chain(ends).collect();
        let aftmost = self.facts.of(&known, "aftmost").ok().filter(|_| is_whole);
        let contributors = self.contributors(balance.as_ref().or(aftmost.as_ref()));
        let of_wing = self.of_wing(&known, total.as_ref(), is_whole, &mut not_said);
        let (chord_share, wing_loading) = of_wing;
        let band = self.band(&known, &all, &mut not_said);
        let ways = self.list(&known, "corners").len();
        let flight = self.flight(&known, &mut not_said);
        let drive = self.drive(&known, &mut not_said);
        Loadout {
            name: entry.name.clone(),
            line: (entry.row.word == "loadout"
                && Some(entry.span()) != self.facts.build.whole)
                .then(|| self.line(Some(entry.span())))
                .flatten(),
            is: self.says(entry),
            open: open(&items),
            ways: if corners.is_empty() { 0 } else { ways },
            chord_share,
            wing_loading,
            mass_limit: self.mass_limit(&known, &all),
            band,
            contributors,
            values: listing.values,
            assumed: listing.assumed,
            as_weighed: self.weighed(&known, total.as_ref(), &mut not_said),
            items,
            total,
            corners,
            flight,
            drive,
            remedies: self.remedies(&known, balance.as_ref()),
            not_said,
        }
    }

    /// The line that a stretch begins on.
    fn line(&self, span: Option<Span>) -> Option<Line> {
        let span = span?;
        let file = self.sources.path(span.file).to_owned();
        Some(Line { file, line: self.sources.place(span).line })
    }

    /// What the loadout says that it is, in its own words.
    fn says(&self, entry: &Entry) -> Vec<String> {
        let words = ["fits", "places", "with", "without", "ballast"];
        let facts = entry.facts.iter().filter(|fact| words.contains(&fact.row.word));
        facts
            .map(|fact| {
                let text = self.sources.text(fact.span);
                text.split_whitespace().collect::<Vec<_>>().join(" ")
            })
            .collect()
    }

    fn list(&self, known: &Known, name: &str) -> Vec<Known> {
        let found = self.facts.of(known, name).map(|known| known.what);
        let Ok(What::List(list)) = found else { return Vec::new() };
        list.to_vec()
    }

    /// The sum that a balance record states.
    fn total(&self, record: &Known, listing: &Listing) -> Option<Total> {
        let number = |name: &str| {
            record.field(name).and_then(Known::quantity).cloned().map(Number)
        };
        let (mass, x) = (number("mass")?, number("x")?);
        let says =
            |axis: fn(&trimsheet_facts::Listed) -> bool| listing.items.iter().any(axis);
        let y = number("y").filter(|_| says(|item| item.at[1].is_some()));
        let z = number("z").filter(|_| says(|item| item.at[2].is_some()));
        let moment = Quantity::from_si(mass.0.si() * x.0.si(), &self.moment);
        let moment = Number(moment.with_axis(Some(Axis::Length)));
        Some(Total { mass, moment, x, y, z })
    }

    fn corners(
        &self,
        known: &Known,
        listing: &Listing,
        not_said: &mut Vec<NotSaid>,
    ) -> Vec<Corner> {
        let corner = |name: &str| {
            let record = self.facts.of(known, name)?;
            let says = record.field("says").map_or(String::new(), ToString::to_string);
            Ok(self.total(&record, listing).map(|total| Corner { says, total }))
        };
        let ends: Result<Vec<_>, NotKnown> =
            ["foremost", "aftmost"].map(corner).into_iter().collect();
        ends.map(|ends| ends.into_iter().flatten().collect()).unwrap_or_else(|why| {
            not_said.push(self.not_said("the mass and the balance point", &why));
            Vec::new()
        })
    }

    fn contributors(&self, record: Option<&Known>) -> Vec<Contributor> {
        let Some(What::List(list)) =
            record.and_then(|record| record.field("contributors")).map(|one| &one.what)
        else {
            return Vec::new();
        };
        let contributor = |one: &Known| {
            let number = |name: &str| {
                one.field(name).and_then(Known::quantity).cloned().map(Number)
            };
            let words =
                |name: &str| one.field(name).map_or(String::new(), ToString::to_string);
            Some(Contributor {
                says: words("says"),
                share: number("share")?,
                moves: number("moves")?,
                act: words("act"),
                line: self.line(one.via.or(one.span)),
            })
        };
        list.iter().filter_map(contributor).collect()
    }

    /// Ways into the band, where the whole spread is not inside.
    fn remedies(&self, loadout: &Known, balance: Option<&Known>) -> Vec<String> {
        let x = balance.and_then(|record| record.field("x")?.quantity());
        let band = self.facts.of(loadout, "band").ok();
        let (Some(x), Some(band)) = (x, band) else { return Vec::new() };
        let What::Range(low, high) = &band.what else { return Vec::new() };
        let spread = x.spread_si().unwrap_or(0.0);
        if low.si() <= x.si() - spread && x.si() + spread <= high.si() {
            return Vec::new();
        }
        let ways = self.facts.ways_into(loadout, &band).unwrap_or_default();
        ways.into_iter().map(|way| way.says).collect()
    }

    /// What keeps the sum from being made, and what is taken for nought.
    fn unsaid(&self, listing: &Listing) -> Vec<NotSaid> {
        let what = "the total mass and the balance point";
        let mut all: Vec<NotSaid> =
            listing.not_known.iter().map(|why| self.not_said(what, why)).collect();
        let is_said = |axis: usize| {
            let mut places = listing.items.iter().filter_map(|item| item.at.get(axis));
            places.any(Option::is_some)
        };
        let (what, word) = match (is_said(1), is_said(2)) {
            (true, true) => return all,
            (false, true) => ("the balance to the side", "a side"),
            (true, false) => ("the height of the balance", "a height"),
            (false, false) => {
                ("the balance to the side and its height", "a side or a height")
            }
        };
        let why = format!("no line of what is aboard says {word}");
        all.push(NotSaid { what: what.to_owned(), why, line: None });
        all
    }

    fn not_said(&self, what: &str, why: &NotKnown) -> NotSaid {
        let (what, line) = (what.to_owned(), self.line(why.span));
        NotSaid { what, why: why.says.clone(), line }
    }

    /// What a scale and a stand said, where the facts know it.
    fn weighed(
        &self,
        known: &Known,
        total: Option<&Total>,
        not_said: &mut Vec<NotSaid>,
    ) -> Option<AsWeighed> {
        match self.facts.of(known, "as_weighed") {
            Ok(record) => Some(as_weighed(&record, total)),
            Err(why) => {
                if matches!(why.why, Why::Unknown(_)) {
                    not_said.push(self.not_said("what it is as weighed", &why));
                }
                None
            }
        }
    }
}

/// What the loadout leaves open, in words.
fn open(items: &[crate::sheet::Item]) -> Vec<String> {
    let slides = items.iter().filter_map(|item| {
        let (low, high) = item.slide.as_ref()?;
        Some(format!("where {} lies, from {} to {}", item.name, low.0, high.0))
    });
    let options = items.iter().filter(|item| item.is_open);
    slides.chain(options.map(|item| format!("with or without {}", item.name))).collect()
}

/// Reads the record of the fact `as_weighed`.
pub(crate) fn as_weighed(record: &Known, total: Option<&Total>) -> AsWeighed {
    let number = |of: &Known, name: &str| {
        of.field(name).and_then(Known::quantity).cloned().map(Number)
    };
    let words = |of: &Known, name: &str| {
        let words = of.field(name).map(ToString::to_string);
        words.filter(|words| !words.is_empty())
    };
    let changes = record.field("changes").map(|changes| &changes.what);
    let changes = match changes {
        Some(What::List(list)) => list.to_vec(),
        Some(_) | None => Vec::new(),
    };
    let change = |one: &Known| Change {
        says: words(one, "says").unwrap_or_else(|| one.to_string()),
        mass: number(one, "mass"),
        at: number(one, "at"),
    };
    let (mass, x) = (number(record, "mass"), number(record, "x"));
    let less = |one: &Option<Number>, listed: Option<&Number>| {
        let (one, listed) = (one.as_ref()?, listed?);
        one.0.minus(&listed.0).ok()?.in_unit(listed.0.unit()).map(Number)
    };
    AsWeighed {
        says: words(record, "says"),
        base: words(record, "base"),
        heavier: less(&mass, total.map(|total| &total.mass)),
        further_aft: less(&x, total.map(|total| &total.x)),
        mass,
        x,
        changes: changes.iter().map(change).collect(),
    }
}

/// The source that a word names; what is `about` is not known yet, wherever it is from.
pub(crate) fn source(word: Option<&str>, is_about: bool) -> Source {
    if is_about {
        return Source::About;
    }
    let named = Source::ALL.into_iter().find(|source| Some(source.word()) == word);
    named.unwrap_or(Source::Unstated)
}

/// How often a part is meant by its one entry.
pub(crate) fn count(entry: Option<&Entry>) -> u32 {
    let value = entry.and_then(|entry| entry.fact("count")?.first());
    match value.map(|value| &value.kind) {
        Some(Kind::Count(count)) => *count,
        Some(_) | None => 1,
    }
}

//! Changes that loadouts have a say in: what is aboard, and where it lies.

use trimsheet_model::quantity::{Axis, Quantity, Unit};
use trimsheet_model::vocabulary::{self, Row};
use trimsheet_model::{Entry, EntryId, Fact, Place, Value};
use trimsheet_source::{Finding, Span};

use super::edits::{Editor, New, Whose, Written, axes, cannot, kept, known_place, order};

impl<'a> Editor<'a> {
    /// The loadouts that are meant: all, or the one that was asked for.
    fn loadouts(&self) -> Vec<(EntryId, &'a Entry)> {
        let all = self.opened.facts.of_word("loadout");
        let wanted = self.loadout;
        all.filter(|(_, entry)| wanted.is_none_or(|name| entry.name == name)).collect()
    }

    /// Whether the spec names no loadout, so that it is flown as it is listed.
    fn is_listed(&self) -> bool {
        let mut all = self.opened.facts.of_word("loadout");
        all.all(|(_, entry)| entry.head.values.is_empty())
    }

    pub(super) fn of_loadouts(&mut self, fact: &Fact) -> Written<()> {
        for (id, _) in self.loadouts() {
            self.of_loadout(id, fact)?;
        }
        Ok(())
    }

    /// A fact of one loadout.
    pub(super) fn of_loadout(&mut self, id: EntryId, fact: &Fact) -> Written<()> {
        let Some(entry) = self.entry(id) else { return Ok(()) };
        match fact.row.word {
            "with" => self.aboard(entry, fact, "without"),
            "without" => self.aboard(entry, fact, "with"),
            "ballast" => self.lead(entry, fact),
            "fits" => return self.fits(entry, fact),
            _ => {
                let old = kept(entry, fact, &self.opened.sources);
                let news = self.news(fact);
                self.write(Whose::whole(entry), fact.row, old, &news);
            }
        }
        Ok(())
    }

    /// Takes parts aboard, or leaves them at home.
    fn aboard(&mut self, loadout: &'a Entry, fact: &Fact, opposite: &str) {
        let word = fact.row.word;
        let named = |fact: &Fact| -> Vec<String> {
            let names = fact.values.iter().filter_map(|(_, value)| value.text());
            names.map(str::to_owned).collect()
        };
        let mut wanted = named(fact);
        let said: Vec<String> = loadout.all(word).flat_map(named).collect();
        wanted.retain(|name| !said.contains(name));
        let all = named(fact);
        for other in loadout.all(opposite) {
            let (gone, rest): (Vec<String>, Vec<String>) =
                named(other).into_iter().partition(|name| all.contains(name));
            if gone.is_empty() {
                continue;
            }
            if !rest.is_empty() {
                let text = format!("{opposite} {}", rest.join(" "));
                self.put(&loadout.title(), other.span, &text);
            } else if wanted.is_empty() {
                self.take_out(loadout, other);
            } else {
                let text = format!("{word} {}", wanted.join(" "));
                self.put(&loadout.title(), other.span, &text);
                wanted.clear();
            }
        }
        if !wanted.is_empty() {
            let news: Vec<New> = wanted
                .iter()
                .map(|name| New { slot: "parts", text: name.clone(), source: None })
                .collect();
            self.write(Whose::whole(loadout), fact.row, None, &news);
        }
    }

    /// Lead in a bay, in the place of what lies there; none of it takes the line out.
    fn lead(&mut self, loadout: &'a Entry, fact: &Fact) {
        let is_none = fact.slot("mass").is_none();
        let mass = fact.slot("mass").and_then(Value::quantity).map(Quantity::si);
        let old = kept(loadout, fact, &self.opened.sources);
        let bay = fact.slot("bay").and_then(Value::text).unwrap_or_default().to_owned();
        match (is_none, old) {
            (true, Some(old)) => self.take_out(loadout, old),
            (true, None) => {
                self.note(format!("no lead lies in {bay} in {}", loadout.title()));
            }
            (_, old) => {
                let news = self.news(fact);
                self.write(Whose::whole(loadout), fact.row, old, &news);
                self.note_room(fact, mass);
            }
        }
    }

    /// Says where a bay leaves room for less.
    fn note_room(&mut self, fact: &Fact, mass: Option<f64>) {
        let bay = fact.slot("bay").and_then(|bay| bay.targets().first());
        let Some(bay) = bay.and_then(|id| self.entry(*id)) else { return };
        let most = bay.fact("ballast").and_then(|fact| fact.slot("most"));
        let Some((most, room)) = most.and_then(|most| Some((most, most.quantity()?)))
        else {
            return;
        };
        if mass.is_some_and(|mass| room.si() < mass) {
            let line = self.opened.sources.place(most.span).line;
            let (title, room) = (bay.title(), room.clone().without_spread());
            self.note(format!("{title} leaves room for {room} (line {line})"));
        }
    }

    /// Another pack, or the same at another place.
    fn fits(&mut self, loadout: &'a Entry, fact: &Fact) -> Written<()> {
        let same = kept(loadout, fact, &self.opened.sources);
        let fitted: Vec<&Fact> = loadout.all("fits").collect();
        let news = self.news(fact);
        let pack = fact.slot("pack");
        if let (Some(place), Some(id)) = (
            fact.slot("at").and_then(Value::place),
            pack.and_then(|pack| pack.targets().first()),
        ) {
            self.note_slide(*id, place.along.si());
        }
        match (same, fitted.as_slice()) {
            (Some(same), _) => {
                self.write(Whose::whole(loadout), fact.row, Some(same), &news);
            }
            (None, []) => self.write(Whose::whole(loadout), fact.row, None, &news),
            (None, [only]) => {
                // Where the other pack lay says nothing of this one.
                let title = loadout.title();
                let text = self.alone(fact.row, &news);
                self.put(&title, only.span, &text);
            }
            (None, [..]) => {
                let says = format!(
                    "expected one pack in {} to take the place of, found {}",
                    loadout.title(),
                    fitted.len()
                );
                return Err(cannot(fact.span, says, "change the spec itself for this"));
            }
        }
        Ok(())
    }

    /// Where a pack lies: loadouts say that, where there are some.
    pub(super) fn pack_at(
        &mut self,
        id: EntryId,
        fact: &Fact,
        place: &Value,
    ) -> Written<()> {
        if self.is_listed() {
            if let Some(entry) = self.entry(id) {
                self.own_place(id, Whose::whole(entry), fact, place);
            }
            return Ok(());
        }
        if let Some((_, inside)) = fact.values.iter().find(|(slot, _)| *slot != "place") {
            let says = format!(
                "expected nothing behind the place of a pack, found `{}`",
                self.opened.text(inside.span)
            );
            let do_this = "a loadout says only where the pack lies: leave it out";
            return Err(cannot(inside.span, says, do_this));
        }
        let places = self.pack_places(id);
        if places.is_empty() {
            return Err(self.fits_nowhere(id, fact.span));
        }
        for (loadout, old) in places {
            let base = old.and_then(|old| old.slot("at")).or_else(|| self.own_at(id));
            let text = self.place_text(place, base);
            self.place_pack(id, loadout, old, text, place);
        }
        if let Some((_, place)) = known_place(Some(place)) {
            self.note_slide(id, place.along.si());
        }
        Ok(())
    }

    /// The loadouts that a pack is fitted in, with the line that says so.
    fn pack_places(&self, id: EntryId) -> Vec<(&'a Entry, Option<&'a Fact>)> {
        let is_only = self.opened.facts.of_word("pack").count() == 1;
        let fits = |entry: &'a Entry| {
            let names = |fact: &&Fact| {
                fact.slot("pack").is_some_and(|pack| pack.targets().contains(&id))
            };
            match entry.all("fits").find(names) {
                Some(fact) => Some((entry, Some(fact))),
                None if is_only && !entry.says("fits") => Some((entry, None)),
                None => None,
            }
        };
        self.loadouts().into_iter().filter_map(|(_, entry)| fits(entry)).collect()
    }

    fn place_pack(
        &mut self,
        id: EntryId,
        loadout: &'a Entry,
        old: Option<&Fact>,
        text: String,
        place: &Value,
    ) {
        let (Some(row), Some(entry)) =
            (vocabulary::fact("loadout", "fits"), self.entry(id))
        else {
            return;
        };
        let mut news = vec![self.at("at", text, place)];
        if old.is_none() {
            let text = entry.name.clone();
            news.insert(0, New { slot: "pack", text, source: None });
        }
        self.write(Whose::whole(loadout), row, old, &news);
    }

    fn fits_nowhere(&self, id: EntryId, span: Span) -> Box<Finding> {
        let name = self.entry(id).map_or("", |entry| entry.name.as_str());
        let who = match self.loadout {
            Some(loadout) => format!("loadout {loadout} to fit {name}"),
            None => format!("a loadout that fits {name}"),
        };
        let says = format!("expected {who}, found none, so it lies nowhere");
        cannot(span, says, &format!("write `fits {name} at …` to fit it"))
    }

    /// Where a part lies: its own line, and what loadouts say of it besides.
    pub(super) fn part_at(
        &mut self,
        id: EntryId,
        whose: Whose<'a>,
        fact: &Fact,
        place: &Value,
    ) -> Written<()> {
        if self.loadout.is_none() || self.is_listed() {
            self.own_place(id, whose, fact, place);
        }
        self.stated_places(id, whose, fact.span, |editor, old| {
            Ok(Some(editor.place_text(place, old.or_else(|| editor.own_at(id)))))
        })?;
        if let Some((_, place)) = known_place(Some(place)) {
            self.note_slide(id, place.along.si());
        }
        Ok(())
    }

    /// The place that an entry says of itself.
    fn own_place(&mut self, id: EntryId, whose: Whose<'a>, fact: &Fact, place: &Value) {
        let text = self.place_text(place, self.own_at(id));
        let mut news = self.news(fact);
        for new in news.iter_mut().filter(|new| new.slot == "place") {
            new.text.clone_from(&text);
        }
        self.write(whose, fact.row, whose.entry.fact("at"), &news);
        if let Some((_, place)) = known_place(Some(place)) {
            self.note_slide(id, place.along.si());
        }
    }

    /// Rewrites what loadouts say of where a part is; one that alone is meant says it then,
    /// if it did not before.
    fn stated_places(
        &mut self,
        id: EntryId,
        whose: Whose<'a>,
        span: Span,
        text: impl Fn(&Editor<'a>, Option<&Value>) -> Written<Option<String>>,
    ) -> Written<()> {
        let Some(row) = vocabulary::fact("loadout", "places") else { return Ok(()) };
        for (_, loadout) in self.loadouts() {
            let names = |fact: &&Fact| {
                fact.slot("part").is_some_and(|part| part.targets().contains(&id))
            };
            let old = loadout.all("places").find(names);
            if old.is_none() && (self.loadout.is_none() || self.is_listed()) {
                continue;
            }
            if whose.entry.row.word != "part" {
                let says = format!("expected a part, found {}", whose.entry.title());
                let do_this = "a loadout can move parts only: leave out --loadout";
                return Err(cannot(span, says, do_this));
            }
            let base = old.and_then(|old| old.slot("at"));
            let Some(text) = text(self, base)? else { continue };
            let mut news = vec![New { slot: "at", text, source: None }];
            if old.is_none() {
                let text = whose.entry.name.clone();
                news.insert(0, New { slot: "part", text, source: None });
            }
            self.write(Whose::whole(loadout), row, old, &news);
        }
        Ok(())
    }

    /// The place that an entry states of itself.
    fn own_at(&self, id: EntryId) -> Option<&'a Value> {
        self.entry(id)?.fact("at")?.slot("place")
    }

    fn at(&self, slot: &'static str, text: String, place: &Value) -> New {
        let source = place.source.as_ref();
        New {
            slot,
            text,
            source: source.map(|source| self.opened.text(source.span).to_owned()),
        }
    }

    fn alone(&self, row: &'static Row, news: &[New]) -> String {
        self.merged(row, None, news)
    }

    /// Moves something from where it is, both of a pair alike.
    pub(super) fn further(
        &mut self,
        ids: &[EntryId],
        by: &Quantity,
        span: Span,
    ) -> Written<()> {
        for id in ids {
            let Some(entry) = self.entry(*id) else { continue };
            let is_fitted = entry.row.word == "pack" && !self.is_listed();
            if is_fitted {
                self.pack_further(*id, by, span)?;
                continue;
            }
            let whose = self.whose(*id, ids).unwrap_or(Whose::whole(entry));
            self.part_further(*id, whose, by, span)?;
        }
        Ok(())
    }

    fn pack_further(&mut self, id: EntryId, by: &Quantity, span: Span) -> Written<()> {
        let places = self.pack_places(id);
        if places.is_empty() {
            return Err(self.fits_nowhere(id, span));
        }
        for (loadout, old) in places {
            let base = old.and_then(|old| old.slot("at")).or_else(|| self.own_at(id));
            let Some((value, place)) = known_place(base) else {
                return Err(self.lies_nowhere(id, &loadout.title(), span));
            };
            let text = self.moved(id, value, place, by, span)?;
            self.place_pack(
                id,
                loadout,
                old,
                text,
                &Value { source: None, ..value.clone() },
            );
        }
        Ok(())
    }

    fn part_further(
        &mut self,
        id: EntryId,
        whose: Whose<'a>,
        by: &Quantity,
        span: Span,
    ) -> Written<()> {
        let own = self.own_at(id);
        let Some((value, place)) = known_place(own) else {
            return Err(self.lies_nowhere(id, &whose.entry.title(), span));
        };
        if self.loadout.is_none() || self.is_listed() {
            let text = self.moved(id, value, place, by, span)?;
            let news = [New { slot: "place", text, source: None }];
            let old = whose.entry.fact("at");
            if let Some(row) = old.map(|old| old.row) {
                self.write(whose, row, old, &news);
            }
        }
        self.stated_places(id, whose, span, |editor, old| {
            let Some((value, place)) = known_place(old.or(own)) else { return Ok(None) };
            editor.moved_text(id, value, place, by, span).map(Some)
        })
    }

    /// Where something is then, and whether its slide reaches so far.
    fn moved(
        &mut self,
        id: EntryId,
        value: &Value,
        place: &Place,
        by: &Quantity,
        span: Span,
    ) -> Written<String> {
        let text = self.moved_text(id, value, place, by, span)?;
        if by.axis() == Some(Axis::Length) {
            self.note_slide(id, place.along.si() + by.si());
        }
        Ok(text)
    }

    fn moved_text(
        &self,
        id: EntryId,
        value: &Value,
        place: &Place,
        by: &Quantity,
        span: Span,
    ) -> Written<String> {
        let axis = by.axis().unwrap_or(Axis::Length);
        let now = match axis {
            Axis::Length => Some(&place.along),
            Axis::Side | Axis::Out => place.across.as_ref(),
            Axis::Height => place.upward.as_ref(),
        };
        let unit = now.map_or_else(|| by.unit().clone(), |now| now.unit().clone());
        let si = now.map_or(0.0, Quantity::si) + by.si();
        let own = now.and_then(Quantity::axis).unwrap_or(axis);
        if own != axis {
            let title = self.entry(id).map_or(String::new(), Entry::title);
            let says = format!("expected a way that {title} can go, found {by}");
            let do_this = "a pair goes `out`, one part goes `left` or `right`";
            return Err(cannot(span, says, do_this));
        }
        let to = station(si, &unit, axis);
        let mut pieces = axes(self.opened.text(value.span));
        pieces.retain(|(one, _)| *one != order(axis));
        pieces.push((order(axis), to));
        pieces.sort_by_key(|(axis, _)| *axis);
        let texts: Vec<String> = pieces.into_iter().map(|(_, text)| text).collect();
        Ok(texts.join(" "))
    }

    fn lies_nowhere(&self, id: EntryId, title: &str, span: Span) -> Box<Finding> {
        let name = self.entry(id).map_or("", |entry| entry.name.as_str());
        let says = format!(
            "expected a place that {name} is moved from, found that {title} leaves it open"
        );
        cannot(span, says, &format!("write `{name} at …` instead"))
    }
}

/// A place along one axis, as it is written; what rounding left is taken off.
fn station(si: f64, unit: &Unit, axis: Axis) -> String {
    Quantity::from_si(si, unit).with_axis(Some(axis)).to_string()
}

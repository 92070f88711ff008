//! What a join connects: which parts, and by which of their sockets.

use std::rc::Rc;

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Kind, Value};

use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// One end of a way: an entry, and the socket of it that is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct End<'a> {
    /// The part or the pack.
    pub entry: EntryId,
    /// Its port, its rail or its outlet; nothing where none is named.
    pub socket: &'a str,
}

/// One signal or one supply of a join, between two ends.
#[derive(Clone, Copy, Debug)]
pub struct Way<'a> {
    /// The join.
    pub join: EntryId,
    /// `signal` or `supply`.
    pub carries: &'static str,
    /// Where it comes from.
    pub from: End<'a>,
    /// Where it goes to.
    pub to: End<'a>,
    /// The line.
    pub line: &'a Fact,
    /// The two names on it.
    pub names: Span,
}

impl Way<'_> {
    /// Whether its line says this word: `lifted`, `divided`, `reversed`.
    #[must_use]
    pub fn is(&self, word: &str) -> bool {
        self.line.values.iter().any(|(_, value)| value.text() == Some(word))
    }
}

impl Facts {
    /// Each signal and each supply of a join, from one part to another.
    pub(crate) fn ways(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let name = &self.entry(join)?.name;
        let all = self.connections(join)?.into_iter().map(|way| {
            let fields = vec![
                ("carries", text(way.carries, way.line.span)),
                ("from", self.known_entry(way.from.entry)),
                ("out_of", text(way.from.socket, way.names)),
                ("to", self.known_entry(way.to.entry)),
                ("into", text(way.to.socket, way.names)),
            ];
            let what = What::Record(Rc::new(fields));
            Known::computed(what, format!("{name}.{}", way.carries), Some(way.names))
        });
        Ok(all.collect())
    }

    /// Each signal and each supply of every join, in the order of the spec.
    ///
    /// # Errors
    /// What of them could not be read.
    pub fn all_ways(&self) -> Result<Vec<Way<'_>>, NotKnown> {
        let mut all = Vec::new();
        for (join, _) in self.of_word("join") {
            all.extend(self.connections(join)?);
        }
        Ok(all)
    }

    /// Each signal and each supply of a join; of a pair, both.
    ///
    /// # Errors
    /// What of them could not be read.
    pub fn connections(&self, join: EntryId) -> Result<Vec<Way<'_>>, NotKnown> {
        let mut all = Vec::new();
        for carries in ["signal", "supply"] {
            self.fact(join, carries)?;
            let entry = self.entry(join)?;
            for fact in entry.all(carries) {
                let Some(value) = self.slot(entry, fact, "way")? else { continue };
                let Kind::Way(from, to) = &value.kind else { continue };
                let (line, names) = (fact, value.span);
                let pairs = paired(self.ends(from), self.ends(to)).into_iter();
                all.extend(pairs.map(|(from, to)| Way {
                    join,
                    carries,
                    from,
                    to,
                    line,
                    names,
                }));
            }
        }
        Ok(all)
    }

    /// The rails that feed a part, each with its volts and its line, nearest first;
    /// none where no join leads up to a rail.
    ///
    /// What has no rail of its own passes on what it is fed with. A motor has the volts
    /// of the pack, through its controller, and no rail. Fails where a supply comes from
    /// one of several rails and does not say from which, or where the volts are not known.
    pub(crate) fn rails_of(
        &self,
        part: EntryId,
    ) -> Result<Vec<(Quantity, Span)>, NotKnown> {
        self.fact(part, "kind")?;
        let mut rails = Vec::new();
        if self.entry(part)?.kind() == Some("motor") {
            return Ok(rails);
        }
        let ways = self.all_ways()?.into_iter();
        let is_fed = |way: &Way<'_>| way.carries == "supply" && !way.is("lifted");
        let supplies: Vec<Way<'_>> = ways.filter(is_fed).collect();
        let (mut met, mut next) = (vec![part], 0);
        while let Some(fed) = met.get(next).copied() {
            next += 1;
            for way in supplies.iter().filter(|way| way.to.entry == fed) {
                match self.rail(&way.from, way.names)? {
                    Some(rail) => rails.push(rail),
                    None if met.contains(&way.from.entry) => {}
                    None => met.push(way.from.entry),
                }
            }
        }
        Ok(rails)
    }

    /// The volts of each rail that feeds a part, as rules read them.
    pub(crate) fn fed_volts(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let rails = self.rails_of(part)?.into_iter();
        let known = |(volts, line)| {
            Known::computed(What::Quantity(volts), "fed_volts", Some(line))
        };
        Ok(rails.map(known).collect())
    }

    /// The rail that a supply comes from, if what it comes from has any.
    fn rail(
        &self,
        from: &End<'_>,
        names: Span,
    ) -> Result<Option<(Quantity, Span)>, NotKnown> {
        self.fact(from.entry, "rail")?;
        let entry = self.entry(from.entry)?;
        let is_meant = |fact: &&Fact| {
            let name = fact.slot("name").and_then(Value::text);
            from.socket.is_empty() || name == Some(from.socket)
        };
        let mut rails = entry.all("rail").filter(is_meant);
        let Some(rail) = rails.next() else { return Ok(None) };
        if rails.next().is_some() {
            let says =
                format!("{} has several rails, and which one is not said", entry.title());
            return Err(NotKnown::impossible(&says, Some(names)));
        }
        let volts = self.slot(entry, rail, "volts")?.and_then(Value::quantity);
        let volts = volts.ok_or_else(|| absent(entry, "rail"))?;
        Ok(Some((volts.clone(), rail.span)))
    }

    /// What a name in a way means: a thing, both halves of a pair, whichever pack is
    /// fitted, or a socket of one of these.
    fn ends<'a>(&self, name: &'a str) -> Vec<End<'a>> {
        let whole = self.called_so(name);
        if !whole.is_empty() {
            return whole.into_iter().map(|entry| End { entry, socket: "" }).collect();
        }
        let Some((owner, socket)) = name.rsplit_once('.') else { return Vec::new() };
        self.called_so(owner).into_iter().map(|entry| End { entry, socket }).collect()
    }

    fn called_so(&self, name: &str) -> Vec<EntryId> {
        let things = self.of_word("part").chain(self.of_word("pack"));
        let is_meant = |own: &str, word: &str| {
            let half = own.rsplit_once('.').map(|(pair, _)| pair);
            own == name || half == Some(name) || (name == "pack" && word == "pack")
        };
        let meant = things.filter(|(_, entry)| is_meant(&entry.name, entry.row.word));
        meant.map(|(id, _)| id).collect()
    }
}

/// Every combination of two ends; the halves of two pairs meet on their own side.
fn paired<'a>(from: Vec<End<'a>>, to: Vec<End<'a>>) -> Vec<(End<'a>, End<'a>)> {
    if from.len() == to.len() {
        return from.into_iter().zip(to).collect();
    }
    let all = from.iter().flat_map(|one| to.iter().map(|other| (*one, *other)));
    all.collect()
}

fn text(words: &str, span: Span) -> Known {
    Known::computed(What::Words(words.to_owned()), words, Some(span))
}

//! What a join connects: which parts, and by which of their sockets.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Kind};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, words};

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
                ("carries", words(way.carries, way.line.span)),
                ("from", self.known_entry(way.from.entry)),
                ("out_of", words(way.from.socket, way.names)),
                ("to", self.known_entry(way.to.entry)),
                ("into", words(way.to.socket, way.names)),
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
        let mut all = self.carried(join, "signal")?;
        all.extend(self.carried(join, "supply")?);
        Ok(all)
    }

    /// Each signal of a join, or each supply.
    pub(crate) fn carried(
        &self,
        join: EntryId,
        carries: &'static str,
    ) -> Result<Vec<Way<'_>>, NotKnown> {
        let mut all = Vec::new();
        self.fact(join, carries)?;
        let entry = self.entry(join)?;
        for fact in entry.all(carries) {
            let Some(value) = self.slot(entry, fact, "way")? else { continue };
            let Kind::Way(from, to, _) = &value.kind else { continue };
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
        Ok(all)
    }

    /// The volts of each rail that feeds a part, as rules read them.
    pub(crate) fn fed_volts(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let rails = self.rails_of(part)?.into_iter();
        let known = |(volts, line)| {
            Known::computed(What::Quantity(volts), "fed_volts", Some(line))
        };
        Ok(rails.map(known).collect())
    }

    /// What a name in a way means: a thing, both halves of a pair, whichever pack is
    /// fitted, or a socket of one of these.
    fn ends<'a>(&self, name: &'a str) -> Vec<End<'a>> {
        let whole = self.called_so(name);
        if !whole.is_empty() {
            return whole.into_iter().map(|entry| End { entry, socket: "" }).collect();
        }
        let Some((owner, socket)) = name.rsplit_once('.') else { return Vec::new() };
        let owners = self.called_so(owner);
        // Without the line of its socket the name means nothing.
        for owner in &owners {
            ["port", "rail", "outlet"]
                .into_iter()
                .for_each(|word| self.note(*owner, word));
        }
        owners.into_iter().map(|entry| End { entry, socket }).collect()
    }

    /// What a name means. It rests on what it means being there, and on no other part: a
    /// spec gives a name once.
    fn called_so(&self, name: &str) -> Vec<EntryId> {
        let called = self.called.get_or_init(|| self.watch(|| self.new_called()).0);
        let meant = called.get(name).cloned().unwrap_or_default();
        for id in &meant {
            if let Some(entry) = self.build.entry(*id) {
                self.note(*id, entry.row.word);
            }
        }
        if name == "pack" {
            self.note_list("pack");
        }
        meant
    }

    /// Parts and packs by what they can be called: their names, the names of their pairs,
    /// and `pack` for every pack.
    fn new_called(&self) -> BTreeMap<String, Vec<EntryId>> {
        let mut called: BTreeMap<String, Vec<EntryId>> = BTreeMap::new();
        for (id, entry) in self.of_word("part").chain(self.of_word("pack")) {
            let own = entry.name.as_str();
            let pair = own.rsplit_once('.').map(|(pair, _)| pair);
            let pack = (entry.row.word == "pack").then_some("pack");
            let names: BTreeSet<&str> =
                [Some(own), pair, pack].into_iter().flatten().collect();
            for name in names {
                called.entry(name.to_owned()).or_default().push(id);
            }
        }
        called
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

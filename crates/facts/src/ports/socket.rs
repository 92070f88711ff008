//! The ports that parts declare, and the signals between them.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::syntax::Arrow;
use trimsheet_model::{Entry, EntryId, Fact, Kind, Value};

use crate::facts::Facts;
use crate::joined::End;
use crate::known::{Known, NotKnown};

/// A port that a part declares.
#[derive(Clone, Copy, Debug)]
pub(super) struct Port<'a> {
    pub(super) owner: EntryId,
    pub(super) entry: &'a Entry,
    pub(super) fact: &'a Fact,
    /// Which of the facts of its part it is.
    pub(super) index: usize,
}

impl<'a> Port<'a> {
    /// The name printed on it.
    pub(super) fn name(&self) -> &'a str {
        self.fact.slot("name").and_then(Value::text).unwrap_or("")
    }

    /// `board.serial2`
    pub(super) fn title(&self) -> String {
        format!("{}.{}", self.entry.name, self.name())
    }

    pub(super) fn is(&self, other: &Port<'_>) -> bool {
        self.owner == other.owner && self.index == other.index
    }
}

/// The half of a port that a signal takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Half {
    Sends,
    Receives,
}

impl Half {
    pub(super) fn word(self) -> &'static str {
        match self {
            Half::Sends => "sends",
            Half::Receives => "receives",
        }
    }
}

/// One direction of one signal, with the port at each end, if that end declares any.
#[derive(Clone, Debug)]
pub(super) struct Signal<'a> {
    pub(super) join: EntryId,
    /// Its line, and where the two names stand on it.
    pub(super) line: &'a Fact,
    pub(super) names: Span,
    pub(super) from: EntryId,
    pub(super) to: EntryId,
    pub(super) out: Result<Option<Port<'a>>, NotKnown>,
    pub(super) into: Result<Option<Port<'a>>, NotKnown>,
    /// Whether it is the way back of one that goes both ways.
    pub(super) is_back: bool,
}

impl Signal<'_> {
    /// How its line writes the way: the two names, and the arrow between them.
    pub(super) fn written(&self) -> Option<(&str, &str, Arrow)> {
        written(self.line)
    }

    /// Whether one output is divided between it and others.
    pub(super) fn is_divided(&self) -> bool {
        self.line.values.iter().any(|(_, value)| value.text() == Some("divided"))
    }
}

fn written(line: &Fact) -> Option<(&str, &str, Arrow)> {
    let Kind::Way(from, to, arrow) = &line.slot("way")?.kind else { return None };
    Some((from, to, *arrow))
}

/// Which port an end of a signal means: its part, and which of its facts.
type Meant = Result<Option<(EntryId, usize)>, NotKnown>;

/// A signal as it is remembered, by where it stands.
#[derive(Clone, Debug)]
struct Link {
    join: EntryId,
    line: usize,
    names: Span,
    from: EntryId,
    to: EntryId,
    out: Meant,
    into: Meant,
    is_back: bool,
}

/// The signals of each join, in the order of the spec, and those of each part.
#[derive(Clone, Debug, Default)]
pub(crate) struct Signals {
    joins: BTreeMap<EntryId, Result<Vec<Link>, NotKnown>>,
    parts: BTreeMap<EntryId, Vec<Link>>,
    first_lost: Option<NotKnown>,
}

impl Facts {
    /// Every port that a part declares, those whose name is not known left out.
    pub(super) fn ports(&self, part: EntryId) -> Result<Vec<Port<'_>>, NotKnown> {
        self.fact(part, "port")?;
        let entry = self.entry(part)?;
        let facts = entry.facts.iter().enumerate();
        let ports = facts.filter(|(_, fact)| fact.row.word == "port");
        let ports = ports.map(|(index, fact)| Port { owner: part, entry, fact, index });
        let mut known = BTreeSet::new();
        let named = ports.filter(|port| !port.name().is_empty());
        Ok(named.filter(|port| known.insert(port.name())).collect())
    }

    /// The signals of a join, one that goes both ways as two.
    pub(super) fn signals(&self, join: EntryId) -> Result<Vec<Signal<'_>>, NotKnown> {
        let all = self.signals_once(|| self.found_signals());
        let links = all.joins.get(&join).cloned().unwrap_or(Ok(Vec::new()))?;
        self.signals_of(&links)
    }

    /// The signals that come out of a part or go into it.
    pub(super) fn signals_at(&self, part: EntryId) -> Result<Vec<Signal<'_>>, NotKnown> {
        let all = self.signals_once(|| self.found_signals());
        match (&all.first_lost, all.parts.get(&part)) {
            (Some(lost), _) => Err(lost.clone()),
            (None, Some(links)) => self.signals_of(links),
            (None, None) => Ok(Vec::new()),
        }
    }

    fn signals_of(&self, links: &[Link]) -> Result<Vec<Signal<'_>>, NotKnown> {
        let mut all = Vec::new();
        for link in links {
            let line = self.entry(link.join)?.facts.get(link.line);
            let Some(line) = line else { continue };
            let Link { join, names, from, to, is_back, .. } = *link;
            let (out, into) = (self.meant(&link.out), self.meant(&link.into));
            all.push(Signal { join, line, names, from, to, out, into, is_back });
        }
        Ok(all)
    }

    fn meant(&self, port: &Meant) -> Result<Option<Port<'_>>, NotKnown> {
        let Some((owner, index)) = port.clone()? else { return Ok(None) };
        let entry = self.entry(owner)?;
        let fact = entry.facts.get(index);
        Ok(fact.map(|fact| Port { owner, entry, fact, index }))
    }

    fn found_signals(&self) -> Signals {
        let mut all = Signals::default();
        for (join, _) in self.of_word("join") {
            let links = self.links(join);
            match &links {
                Ok(links) => {
                    for link in links {
                        let other = (link.from != link.to).then_some(link.to);
                        for end in std::iter::once(link.from).chain(other) {
                            all.parts.entry(end).or_default().push(link.clone());
                        }
                    }
                }
                Err(why) if all.first_lost.is_none() => {
                    all.first_lost = Some(why.clone());
                }
                Err(_) => {}
            }
            all.joins.insert(join, links);
        }
        all
    }

    fn links(&self, join: EntryId) -> Result<Vec<Link>, NotKnown> {
        let mut all = Vec::new();
        let entry = self.entry(join)?;
        for way in self.carried(join, "signal")? {
            let line = entry.facts.iter().position(|fact| std::ptr::eq(fact, way.line));
            let link = Link {
                join,
                line: line.unwrap_or(entry.facts.len()),
                names: way.names,
                from: way.from.entry,
                to: way.to.entry,
                out: self.port_at(&way.from, way.names),
                into: self.port_at(&way.to, way.names),
                is_back: false,
            };
            let back =
                matches!(written(way.line), Some((_, _, Arrow::Both))).then(|| Link {
                    from: link.to,
                    to: link.from,
                    out: link.into.clone(),
                    into: link.out.clone(),
                    is_back: true,
                    ..link.clone()
                });
            all.push(link);
            all.extend(back);
        }
        Ok(all)
    }

    /// The port that an end means: the one named, or the only one.
    fn port_at(&self, end: &End<'_>, names: Span) -> Meant {
        let entry = self.entry(end.entry)?;
        if entry.row.word != "part" {
            return Ok(None);
        }
        self.fact(end.entry, "port")?;
        let facts = entry.facts.iter().enumerate();
        let mut ports = facts.filter(|(_, fact)| fact.row.word == "port");
        if !end.socket.is_empty() {
            let is_it =
                |fact: &Fact| fact.slot("name").and_then(Value::text) == Some(end.socket);
            let named = ports.find(|(_, fact)| is_it(fact));
            return Ok(named.map(|(index, _)| (end.entry, index)));
        }
        match (ports.next(), ports.next()) {
            (Some((index, _)), None) => Ok(Some((end.entry, index))),
            (None, _) => Ok(None),
            (Some(_), Some(_)) => {
                let title = entry.title();
                let says =
                    format!("{title} has several ports, and which one is not said");
                Err(NotKnown::impossible(&says, Some(names)))
            }
        }
    }

    /// What a port says in one of its slots, as a rule meets it.
    pub(super) fn port_line(&self, port: &Port<'_>) -> Result<Known, NotKnown> {
        let known = self.value(port.owner, port.index, 0)?;
        Ok(Known { name: port.title(), ..known })
    }

    fn port_slot<'a>(
        &self,
        port: &Port<'a>,
        slot: &str,
    ) -> Result<Option<&'a Value>, NotKnown> {
        self.slot(port.entry, port.fact, slot)
    }

    /// A word or a text of a port: `protocol`, `way`, `idle`, `group`.
    pub(super) fn port_text<'a>(
        &self,
        port: &Port<'a>,
        slot: &str,
    ) -> Result<Option<&'a str>, NotKnown> {
        Ok(self.port_slot(port, slot)?.and_then(Value::text))
    }

    /// The protocol of a port.
    pub(super) fn speaks<'a>(
        &self,
        port: &Port<'a>,
    ) -> Result<Option<&'a str>, NotKnown> {
        self.port_text(port, "protocol")
    }

    /// A range of a port in hertz: `speed`, `rate`.
    pub(super) fn port_range(
        &self,
        port: &Port<'_>,
        slot: &str,
    ) -> Result<Option<(f64, f64)>, NotKnown> {
        let range = self.port_slot(port, slot)?.and_then(Value::range);
        Ok(range.map(|(low, high)| (low.si(), high.si())))
    }

    /// The volts of a port: `level`, `bears`.
    pub(super) fn port_volts<'a>(
        &self,
        port: &Port<'a>,
        slot: &str,
    ) -> Result<Option<&'a Quantity>, NotKnown> {
        Ok(self.port_slot(port, slot)?.and_then(Value::quantity))
    }

    /// Whether a port has a half at all; one that says neither way has both.
    pub(super) fn has_half(&self, port: &Port<'_>, half: Half) -> Result<bool, NotKnown> {
        Ok(self.port_text(port, "way")?.is_none_or(|way| way == half.word()))
    }
}

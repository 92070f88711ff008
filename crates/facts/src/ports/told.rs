//! What rules ask of ports and signals.

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::source::Span;

use super::socket::{Half, Port};
use super::users::Use;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, record, words};

/// A range of pulse rates, with who works on it.
struct Range {
    who: String,
    low: f64,
    high: f64,
    line: Known,
    /// The signal that it is about.
    at: Span,
}

impl Facts {
    /// Each signal of a join, with the ports at its ends.
    pub(crate) fn signal_ports(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let mut all = Vec::new();
        for signal in self.signals(join)? {
            let names = signal.names;
            let (out, into) = (signal.out.clone()?, signal.into.clone()?);
            let called = |port: &Option<Port<'_>>, entry: EntryId| match port {
                Some(port) => port.title(),
                None => self.known_entry(entry).name,
            };
            let (from, to) = (signal.from, signal.to);
            let (out_of, goes_into) = (called(&out, from), called(&into, to));
            let says = format!("{out_of} to {goes_into}");
            let fields = vec![
                ("says", words(&says, names)),
                ("from", self.known_entry(from)),
                ("out_of", words(&out_of, names)),
                ("out_ports", self.port_lines(out.as_slice(), names)?),
                ("to", self.known_entry(to)),
                ("into", words(&goes_into, names)),
                ("in_ports", self.port_lines(into.as_slice(), names)?),
                ("is_back", flag(signal.is_back, names)),
            ];
            all.push(record(fields, &says, names));
        }
        Ok(all)
    }

    fn port_lines(&self, ports: &[Port<'_>], at: Span) -> Result<Known, NotKnown> {
        let lines: Result<Vec<Known>, NotKnown> =
            ports.iter().map(|port| self.port_line(port)).collect();
        Ok(Known::computed(What::List(Rc::new(lines?)), "ports", Some(at)))
    }

    /// Each half of a port of a part that more than one user wants.
    pub(crate) fn double_booked(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let uses = self.uses(part)?;
        let mut all = Vec::new();
        for port in self.ports(part)? {
            for half in [Half::Sends, Half::Receives] {
                let own =
                    uses.iter().filter(|one| one.port.is(&port) && one.half == half);
                let own: Vec<&Use<'_>> = own.collect();
                let crowd = crowd(&own, |a, b| self.is_in_the_way(a, b))?;
                let Some(at) = crowd.get(1).map(|one| one.signal.names) else {
                    continue;
                };
                let fields = vec![
                    ("name", words(&port.title(), at)),
                    ("half", words(half.word(), at)),
                    ("port", self.port_line(&port)?),
                    ("uses", self.use_names(&crowd)),
                ];
                all.push(record(fields, &port.title(), at));
            }
        }
        Ok(all)
    }

    /// Each address that more than one device on a bus of a part answers to.
    pub(crate) fn address_clashes(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let uses = self.uses(part)?;
        let mut all = Vec::new();
        for port in self.ports(part)? {
            // A device that talks both ways answers once.
            let mut own: Vec<&Use<'_>> = Vec::new();
            for one in uses.iter().filter(|one| one.port.is(&port)) {
                let is_same = |known: &&Use<'_>| match (&known.other, &one.other) {
                    (Some(a), Some(b)) => a.is(b),
                    (None, _) | (_, None) => false,
                };
                if !own.iter().any(is_same) {
                    own.push(one);
                }
            }
            while let Some(first) = own.first().copied() {
                let mut alike = vec![first];
                for one in own.iter().skip(1) {
                    if self.has_same_address(first, one)? {
                        alike.push(one);
                    }
                }
                own.retain(|one| !alike.iter().any(|known| std::ptr::eq(*known, *one)));
                let other = first.other.as_ref();
                if let (Some(at), Some(other)) =
                    (alike.get(1).map(|one| one.signal.names), other)
                {
                    let address = self.port_text(other, "address")?.unwrap_or("");
                    let fields = vec![
                        ("name", words(&port.title(), at)),
                        ("address", words(address, at)),
                        ("uses", self.use_names(&alike)),
                    ];
                    all.push(record(fields, &port.title(), at));
                }
            }
        }
        Ok(all)
    }

    /// Each timer of a part whose outputs are to have pulse rates that no one rate meets:
    /// the two that are furthest apart.
    pub(crate) fn group_clashes(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let uses = self.uses(part)?;
        // The pulses are made where they come out.
        let uses: Vec<Use<'_>> =
            uses.into_iter().filter(|one| one.half == Half::Sends).collect();
        let used = self.ports(part)?.into_iter();
        let used = used.filter(|port| uses.iter().any(|one| one.port.is(port)));
        let used: Vec<Port<'_>> = used.collect();
        let mut all = Vec::new();
        let mut done: Vec<&str> = Vec::new();
        for port in &used {
            let group = self.port_text(port, "group")?;
            if group.is_some_and(|group| done.contains(&group)) {
                continue;
            }
            done.extend(group);
            let mut ranges = Vec::new();
            let mut members = Vec::new();
            for other in &used {
                let is_it = other.is(port)
                    || group.is_some() && self.port_text(other, "group")? == group;
                if is_it {
                    members.push(other.name());
                    ranges.extend(self.ranges(other, &uses)?);
                }
            }
            all.extend(clash(&ranges, port, group, &members));
        }
        Ok(all)
    }

    /// The pulse rates that a port and what hangs on it state.
    fn ranges(&self, port: &Port<'_>, uses: &[Use<'_>]) -> Result<Vec<Range>, NotKnown> {
        let mut all = Vec::new();
        let devices = uses.iter().filter(|one| one.port.is(port));
        let devices: Vec<&Use<'_>> = devices.collect();
        let own = devices.first().map(|one| (*port, port.title(), one.signal.names));
        let others = devices.iter().filter_map(|one| {
            let who = format!("{} on {}", self.device_name(one), port.name());
            Some((one.other?, who, one.signal.names))
        });
        for (stated, who, at) in own.into_iter().chain(others) {
            let Some((low, high)) = self.port_range(&stated, "rate")? else { continue };
            let slots = stated.fact.values.iter();
            let rate = slots.map(|(slot, _)| *slot).position(|slot| slot == "rate");
            let line = self.value(stated.owner, stated.index, rate.unwrap_or(0))?;
            all.push(Range { who, low, high, line, at });
        }
        Ok(all)
    }

    /// The ports of a part that no signal uses.
    pub(crate) fn unused_ports(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let uses = self.uses(part)?;
        let ports = self.ports(part)?.into_iter();
        let unused = ports.filter(|port| !uses.iter().any(|one| one.port.is(port)));
        unused.map(|port| self.port_line(&port)).collect()
    }

    /// Who uses something, each at its own line.
    fn use_names(&self, uses: &[&Use<'_>]) -> Known {
        let names = uses.iter().map(|one| {
            let name = match &one.other {
                Some(other) => other.title(),
                None => self.device_name(one),
            };
            words(&name, one.signal.names)
        });
        Known::computed(What::List(Rc::new(names.collect())), "uses", None)
    }
}

/// Those of some uses that are in the way of at least one other.
fn crowd<'a, 'b>(
    uses: &[&'a Use<'b>],
    meet: impl Fn(&Use<'b>, &Use<'b>) -> Result<bool, NotKnown>,
) -> Result<Vec<&'a Use<'b>>, NotKnown> {
    let mut crowd = Vec::new();
    for (at, one) in uses.iter().enumerate() {
        for (index, other) in uses.iter().enumerate() {
            if index != at && meet(one, other)? {
                crowd.push(*one);
                break;
            }
        }
    }
    Ok(crowd)
}

/// The two ranges that are furthest apart, if no rate lies in all of them.
fn clash(
    ranges: &[Range],
    port: &Port<'_>,
    group: Option<&str>,
    members: &[&str],
) -> Option<Known> {
    let fast = ranges.iter().max_by(|a, b| a.low.total_cmp(&b.low))?;
    let slow = ranges.iter().min_by(|a, b| a.high.total_cmp(&b.high))?;
    if fast.low <= slow.high * (1.0 + 1e-9) {
        return None;
    }
    let at = fast.at;
    let fields = vec![
        ("group", words(group.unwrap_or(""), at)),
        ("ports", words(&members.join(", "), at)),
        ("slow", words(&slow.who, slow.at)),
        ("slow_rate", slow.line.clone()),
        ("fast", words(&fast.who, fast.at)),
        ("fast_rate", fast.line.clone()),
    ];
    Some(record(fields, &port.title(), at))
}

fn flag(value: bool, at: Span) -> Known {
    Known::computed(What::Flag(value), "flag", Some(at))
}

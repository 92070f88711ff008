//! Who uses a port of a part, who shares it, and who is in the way of whom.

use trimsheet_model::EntryId;
use trimsheet_model::source::Span;

use super::socket::{Half, Port, Signal};
use crate::facts::Facts;
use crate::known::NotKnown;

/// One signal at one of a part's ports.
#[derive(Clone, Debug)]
pub(super) struct Use<'a> {
    pub(super) signal: Signal<'a>,
    pub(super) port: Port<'a>,
    pub(super) half: Half,
    /// What is at the other end, and which port of it, if it declares any.
    pub(super) device: EntryId,
    pub(super) other: Option<Port<'a>>,
}

/// Signals at one port that may share it, and so move together.
#[derive(Clone, Debug)]
pub(super) struct User<'a> {
    pub(super) port: Port<'a>,
    pub(super) uses: Vec<Use<'a>>,
}

impl User<'_> {
    /// How many arrows it is written with.
    pub(super) fn lines(&self) -> usize {
        let mut spans: Vec<Span> = Vec::new();
        for one in &self.uses {
            if !spans.contains(&one.signal.names) {
                spans.push(one.signal.names);
            }
        }
        spans.len()
    }

    /// Whether only a bus lets them share.
    pub(super) fn is_crowd(&self) -> bool {
        let of = |half| self.uses.iter().filter(move |one| one.half == half);
        let is_whole = |one: &Use<'_>| !one.signal.is_divided();
        of(Half::Receives).count() > 1
            || of(Half::Sends).count() > 1 && of(Half::Sends).any(is_whole)
    }

    /// The names of what it is made of: `gnss`, `gnss and telemetry`.
    pub(super) fn title(&self, facts: &Facts) -> String {
        let mut names: Vec<String> = Vec::new();
        for one in &self.uses {
            let name = facts.device_name(one);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let last = names.pop().unwrap_or_default();
        if names.is_empty() { last } else { format!("{} and {last}", names.join(", ")) }
    }
}

/// Each signal of a part is compared with each: so many are looked through.
const MOST_SIGNALS: usize = 400;

impl Facts {
    /// What a use is for: the name of the part at its other end.
    pub(super) fn device_name(&self, one: &Use<'_>) -> String {
        self.build.entry(one.device).map_or_else(String::new, |entry| entry.name.clone())
    }

    /// Every use of a port of a part, in the order of the spec.
    pub(super) fn uses(&self, part: EntryId) -> Result<Vec<Use<'_>>, NotKnown> {
        let mut all = Vec::new();
        if self.ports(part)?.is_empty() {
            return Ok(all);
        }
        let signals = self.signals_at(part)?;
        if MOST_SIGNALS < signals.len() {
            let says = format!(
                "{} has more signals than are looked through",
                self.entry(part)?.title()
            );
            return Err(NotKnown::impossible(&says, Some(self.entry(part)?.span())));
        }
        for signal in signals {
            let (from, to) = (signal.from, signal.to);
            if from == part
                && let Some(port) = signal.out.clone()?
            {
                let other = signal.into.clone()?;
                let (signal, half) = (signal.clone(), Half::Sends);
                all.push(Use { signal, port, half, device: to, other });
            }
            if to == part
                && let Some(port) = signal.into.clone()?
            {
                let other = signal.out.clone()?;
                all.push(Use { signal, port, half: Half::Receives, device: from, other });
            }
        }
        Ok(all)
    }

    /// The users of a part's ports: what may share a port now is one of them.
    pub(super) fn port_users<'a>(
        &self,
        uses: &[Use<'a>],
    ) -> Result<Vec<User<'a>>, NotKnown> {
        let mut of_devices: Vec<User<'a>> = Vec::new();
        for one in uses {
            let mut found = None;
            for (at, user) in of_devices.iter().enumerate() {
                let same = user.uses.iter().all(|own| own.device == one.device);
                if found.is_none() && same && self.can_join(user, one)? {
                    found = Some(at);
                }
            }
            match found.and_then(|at| of_devices.get_mut(at)) {
                Some(user) => user.uses.push(one.clone()),
                None => {
                    of_devices.push(User { port: one.port, uses: vec![one.clone()] });
                }
            }
        }
        self.together(of_devices)
    }

    /// Puts together whoever may share.
    fn together<'a>(&self, all: Vec<User<'a>>) -> Result<Vec<User<'a>>, NotKnown> {
        let mut users: Vec<User<'a>> = Vec::new();
        for one in all {
            let mut found = None;
            for (at, user) in users.iter().enumerate() {
                if found.is_some() {
                    break;
                }
                let mut can = true;
                for own in &one.uses {
                    can = can && self.can_join(user, own)?;
                }
                found = can.then_some(at);
            }
            match found.and_then(|at| users.get_mut(at)) {
                Some(user) => user.uses.extend(one.uses),
                None => users.push(one),
            }
        }
        Ok(users)
    }

    fn can_join(&self, user: &User<'_>, one: &Use<'_>) -> Result<bool, NotKnown> {
        if !user.port.is(&one.port) {
            return Ok(false);
        }
        for own in &user.uses {
            if self.is_in_the_way(own, one)? || self.has_same_address(own, one)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Whether two uses of one port want the same half, which serves one.
    pub(super) fn is_in_the_way(
        &self,
        one: &Use<'_>,
        other: &Use<'_>,
    ) -> Result<bool, NotKnown> {
        if !one.port.is(&other.port) || one.half != other.half {
            return Ok(false);
        }
        let is_divided = |of: &Use<'_>| of.signal.is_divided();
        if one.half == Half::Sends && is_divided(one) && is_divided(other) {
            return Ok(false);
        }
        Ok(!(self.hangs_on_bus(one, &one.port)?
            && self.hangs_on_bus(other, &other.port)?))
    }

    /// Whether a use would be of a bus at a port: by what the other end speaks, or else
    /// by what the port does.
    pub(super) fn hangs_on_bus(
        &self,
        one: &Use<'_>,
        port: &Port<'_>,
    ) -> Result<bool, NotKnown> {
        let other = match &one.other {
            Some(other) => self.speaks(other)?,
            None => None,
        };
        let speaks = other.map_or_else(|| self.speaks(port), |other| Ok(Some(other)))?;
        Ok(speaks.is_some_and(|speaks| matches!(speaks, "i2c" | "can")))
    }

    /// Whether two devices on one bus answer to the same address.
    pub(super) fn has_same_address(
        &self,
        one: &Use<'_>,
        other: &Use<'_>,
    ) -> Result<bool, NotKnown> {
        let (Some(ours), Some(theirs)) = (&one.other, &other.other) else {
            return Ok(false);
        };
        if ours.is(theirs) || !one.port.is(&other.port) {
            return Ok(false);
        }
        let is_numbered = self.speaks(&one.port)? == Some("i2c")
            || self.speaks(ours)? == Some("i2c") && self.speaks(theirs)? == Some("i2c");
        if !is_numbered {
            return Ok(false);
        }
        let (a, b) =
            (self.port_text(ours, "address")?, self.port_text(theirs, "address")?);
        Ok(a.zip(b).is_some_and(|(a, b)| number(a) == number(b)))
    }

    /// The pulse rates that all of a user's devices work on, in hertz; the lower end is
    /// above the higher where no rate suits them all.
    pub(super) fn rates_of(
        &self,
        user: &User<'_>,
    ) -> Result<Option<(f64, f64)>, NotKnown> {
        let mut common: Option<(f64, f64)> = None;
        for other in user.uses.iter().filter_map(|one| one.other.as_ref()) {
            let Some((low, high)) = self.port_range(other, "rate")? else { continue };
            let (least, most) = common.unwrap_or((low, high));
            common = Some((low.max(least), high.min(most)));
        }
        Ok(common)
    }
}

/// An address as a number where it is one, `0x1E` and `30` alike, or as it is written.
fn number(address: &str) -> Result<u32, String> {
    let text = address.trim().to_lowercase();
    let read = match text.strip_prefix("0x") {
        Some(digits) => u32::from_str_radix(digits, 16),
        None => text.parse(),
    };
    read.map_err(|_| text)
}

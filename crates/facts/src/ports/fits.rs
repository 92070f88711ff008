//! Which port of a part takes which of its users.

use trimsheet_model::quantity::Quantity;

use super::socket::{Half, Port};
use super::users::{Use, User};
use crate::facts::Facts;
use crate::known::NotKnown;

impl Facts {
    /// Whether a port would take a user: each of its signals, with what is at the other
    /// end. What goes back into the same part stays where it is.
    pub(super) fn port_takes(
        &self,
        port: &Port<'_>,
        user: &User<'_>,
    ) -> Result<bool, NotKnown> {
        let stays = user.uses.iter().any(|one| one.device == port.owner);
        if stays && !port.is(&user.port) {
            return Ok(false);
        }
        let is_crowd = user.is_crowd();
        for one in &user.uses {
            if is_crowd && !self.hangs_on_bus(one, port)? {
                return Ok(false);
            }
            if !self.has_half(port, one.half)? {
                return Ok(false);
            }
            if !self.speaks_as_now(port, one)? {
                return Ok(false);
            }
            if let Some(other) = &one.other
                && !self.takes_other(port, one, other)?
            {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Whether a port speaks what the one in use does, where the other end does not say
    /// what it speaks: a servo without a port of its own stays among outputs for servos.
    fn speaks_as_now(&self, port: &Port<'_>, one: &Use<'_>) -> Result<bool, NotKnown> {
        if let Some(other) = &one.other
            && self.port_text(other, "protocol")?.is_some()
        {
            return Ok(true);
        }
        Ok(self.port_text(port, "protocol")? == self.port_text(&one.port, "protocol")?)
    }

    fn takes_other(
        &self,
        port: &Port<'_>,
        one: &Use<'_>,
        other: &Port<'_>,
    ) -> Result<bool, NotKnown> {
        let ports = [port, other, &one.port];
        let speaks = |port: &Port<'_>, slot: &str| {
            Ok(self.port_text(port, slot)?.map(str::to_lowercase))
        };
        let speed = |port: &Port<'_>, slot: &str| self.port_range(port, slot);
        let volts = |port: &Port<'_>, slot: &str| {
            Ok(self.port_volts(port, slot)?.map(Quantity::si))
        };
        let level = match one.half {
            Half::Sends => agree(ports, ["level", "bears"], volts, |a, b| a <= b),
            Half::Receives => agree(ports, ["bears", "level"], volts, |a, b| b <= a),
        };
        Ok(agree(ports, ["protocol"; 2], speaks, |a, b| a == b)?
            && self.takes_idle(port, other)?
            && agree(ports, ["speed"; 2], speed, |a, b| a.0 <= b.1 && b.0 <= a.1)?
            && agree(ports, ["framing"; 2], speaks, |a, b| a == b)?
            && level?)
    }

    /// Whether two ports idle alike, or one of them can turn the line over.
    pub(super) fn takes_idle(
        &self,
        one: &Port<'_>,
        other: &Port<'_>,
    ) -> Result<bool, NotKnown> {
        let (a, b) = (self.port_text(one, "idle")?, self.port_text(other, "idle")?);
        Ok(a == b || a == Some("inverts") || b == Some("inverts"))
    }
}

/// Whether what a port states agrees with what the other end states, if that states
/// anything. A port that does not state what the one in use does is not taken in its
/// place.
fn agree<T>(
    [port, other, now]: [&Port<'_>; 3],
    [its, others]: [&str; 2],
    read: impl Fn(&Port<'_>, &str) -> Result<Option<T>, NotKnown>,
    holds: impl Fn(&T, &T) -> bool,
) -> Result<bool, NotKnown> {
    let Some(other) = read(other, others)? else { return Ok(true) };
    match read(port, its)? {
        Some(port) => Ok(holds(&port, &other)),
        None => Ok(read(now, its)?.is_none()),
    }
}

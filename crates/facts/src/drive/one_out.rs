//! One motor out of several: the speed below which the rudder no longer holds the others.

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Axis, Dimension, Quantity, Side};
use trimsheet_physics::yaw::{Fin, least_speed};

use super::Unsure;
use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, record};

impl Facts {
    /// What is left when the motor furthest out on one side stops: the moment of the other
    /// side, and the speed below which the rudder does not hold it.
    pub(crate) fn one_motor_out(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let motors = self.of_kind(own, "motor")?;
        let mut out: f64 = 0.0;
        for motor in &motors {
            out = out.max(self.middle_of(*motor, "at")?.0.right.abs());
        }
        let none = || {
            let says = "every motor sits on the centre line, or there is but one";
            NotKnown::impossible(says, loadout.span)
        };
        let count = u32::try_from(motors.len()).map_or(1.0, f64::from);
        if out <= 0.0 || motors.len() < 2 {
            return Err(none());
        }
        let thrust = self.static_thrust(loadout)?;
        let si = |known: &Known| known.quantity().map_or(0.0, Quantity::si);
        let spread = thrust.quantity().and_then(Quantity::spread_si).unwrap_or(0.0);
        let each = Unsure::of("thrust", thrust.span, si(&thrust), spread);
        let each = each.then(each.value / count, 1.0 / count);
        let (fin, line) = self.fin_of(own)?;
        let moment = each.value * out;
        let speed = least_speed(moment, &fin, self.density()?);
        let says = "no fin with a rudder stands behind the balance point, so nothing holds \
                    the motor that still pulls";
        let at = self.entry(own)?.span();
        let speed = speed.ok_or_else(|| NotKnown::impossible(says, Some(at)))?;
        let of = |number: Unsure, dimension: Dimension| {
            let what = What::Quantity(number.quantity(dimension));
            Known::computed(what, "number", Some(at))
        };
        let held = each.then(speed, speed / (2.0 * each.value));
        let fields = vec![
            ("thrust", of(each, Dimension::FORCE)),
            ("out", of(Unsure::exact(out), Dimension::LENGTH)),
            ("speed", of(held, Dimension::SPEED)),
            (
                "rudder",
                Known {
                    span: line.span,
                    ..of(Unsure::exact(fin.rudder), Dimension::ANGLE)
                },
            ),
        ];
        Ok(record(fields, "one_motor_out", at))
    }

    /// All fins as one, with the rudder that goes least far.
    fn fin_of(&self, loadout: EntryId) -> Result<(Fin, Known), NotKnown> {
        let balance = self.balance(loadout)?;
        let x = balance.field("x").and_then(Known::quantity).map_or(0.0, Quantity::si);
        let (mut area, mut moment) = (0.0, 0.0);
        for (id, _) in self.of_word("fin") {
            let own = self.outline(id)?;
            area += own.area / 2.0;
            moment += own.area / 2.0 * (own.station(0.25) - x);
        }
        let mut rudder: Option<(f64, Known)> = None;
        for (id, _) in self.of_word("surface") {
            let known = self.known_entry(id);
            if self.edge_axis(id)? != Axis::Side {
                continue;
            }
            let throws = self.throws(id)?;
            let most = |side: Side| {
                let to = throws.iter().filter(|throw| throw.side == side);
                to.map(|throw| throw.angle_from_flat().abs()).fold(0.0, f64::max)
            };
            let least = most(Side::Left).min(most(Side::Right));
            if rudder.as_ref().is_none_or(|(before, _)| least < *before) {
                rudder = Some((least, known));
            }
        }
        let span = Some(self.entry(loadout)?.span());
        let says =
            "nothing holds the nose when one motor stops: the spec describes no rudder";
        let (angle, line) = rudder.ok_or_else(|| NotKnown::impossible(says, span))?;
        let arm = if 0.0 < area { moment / area } else { 0.0 };
        Ok((Fin { area, arm, rudder: angle }, line))
    }
}

//! What kind of thing a number measures, as exponents over nine base kinds.
//!
//! Beside the kinds of the SI there are four that the workshop needs told apart: the
//! angle, the cell of a pack, the wire gauge, and the multiple of a pack's capacity
//! that a label calls C. Three choices follow, each so that builders' products come
//! out as they expect:
//!
//! - **A torque is an energy per angle**, so that it is never taken for an energy.
//!   A force times a length is a torque here (in this domain it nearly always is one),
//!   and a torque times an angle is an energy.
//! - **Revolutions are an angle**: rpm is an angle per time and `rpm/V` an angle per
//!   time and voltage, so that a current over a speed constant is a torque.
//!   A frequency is a plain number per time.
//! - **A rating is per time**: `1 C` empties a pack in one hour. A rating times a
//!   charge is a current, and a current over a charge is a rating.

/// Exponents over mass, length, time, current, temperature, angle, cell, gauge and
/// multiple.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dimension([i8; 9]);

impl Dimension {
    // Those that `times` and `over` compare with are spelled out: a constant cannot be
    // made by a function that needs it.

    /// A plain ratio, as a percentage is one.
    pub const NONE: Dimension = Dimension([0; 9]);
    /// A mass.
    pub const MASS: Dimension = Dimension([1, 0, 0, 0, 0, 0, 0, 0, 0]);
    /// A length.
    pub const LENGTH: Dimension = Dimension([0, 1, 0, 0, 0, 0, 0, 0, 0]);
    /// A time.
    pub const TIME: Dimension = Dimension([0, 0, 1, 0, 0, 0, 0, 0, 0]);
    /// A current.
    pub const CURRENT: Dimension = Dimension([0, 0, 0, 1, 0, 0, 0, 0, 0]);
    /// A temperature.
    pub const TEMPERATURE: Dimension = Dimension([0, 0, 0, 0, 1, 0, 0, 0, 0]);
    /// An angle.
    pub const ANGLE: Dimension = Dimension([0, 0, 0, 0, 0, 1, 0, 0, 0]);
    /// A number of cells.
    pub const CELLS: Dimension = Dimension([0, 0, 0, 0, 0, 0, 1, 0, 0]);
    /// A wire gauge: the number itself, which says nothing of its size.
    pub const GAUGE: Dimension = Dimension([0, 0, 0, 0, 0, 0, 0, 1, 0]);
    /// A multiple of a pack's capacity per hour, as in `30 C`; in SI per second.
    pub const MULTIPLE: Dimension = Dimension([0, 0, -1, 0, 0, 0, 0, 0, 1]);
    /// An area.
    pub const AREA: Dimension = Dimension::LENGTH.times(Dimension::LENGTH);
    /// A volume.
    pub const VOLUME: Dimension = Dimension::AREA.times(Dimension::LENGTH);
    /// A speed.
    pub const SPEED: Dimension = Dimension::LENGTH.over(Dimension::TIME);
    /// An acceleration.
    pub const ACCELERATION: Dimension = Dimension::SPEED.over(Dimension::TIME);
    /// A force.
    pub const FORCE: Dimension = Dimension([1, 1, -2, 0, 0, 0, 0, 0, 0]);
    /// An energy.
    pub const ENERGY: Dimension = Dimension([1, 2, -2, 0, 0, 0, 0, 0, 0]);
    /// A torque: an energy per angle.
    pub const TORQUE: Dimension = Dimension([1, 2, -2, 0, 0, -1, 0, 0, 0]);
    /// A pressure, or a stress.
    pub const PRESSURE: Dimension = Dimension::FORCE.over(Dimension::AREA);
    /// A power.
    pub const POWER: Dimension = Dimension::ENERGY.over(Dimension::TIME);
    /// A voltage.
    pub const VOLTAGE: Dimension = Dimension::POWER.over(Dimension::CURRENT);
    /// A resistance.
    pub const RESISTANCE: Dimension = Dimension::VOLTAGE.over(Dimension::CURRENT);
    /// A charge, as the capacity of a pack is one.
    pub const CHARGE: Dimension = Dimension([0, 0, 1, 1, 0, 0, 0, 0, 0]);
    /// A capacitance.
    pub const CAPACITANCE: Dimension = Dimension::CHARGE.over(Dimension::VOLTAGE);
    /// A magnetic flux density, as a compass feels it.
    pub const MAGNETIC_FIELD: Dimension =
        Dimension::MASS.over(Dimension::CHARGE).over(Dimension::TIME);
    /// A frequency: a plain number per time.
    pub const FREQUENCY: Dimension = Dimension::NONE.over(Dimension::TIME);
    /// An angular speed: an angle per time.
    pub const ANGULAR_SPEED: Dimension = Dimension::ANGLE.over(Dimension::TIME);
    /// The speed constant of a motor: an angular speed per voltage.
    pub const SPEED_CONSTANT: Dimension =
        Dimension::ANGULAR_SPEED.over(Dimension::VOLTAGE);
    /// A voltage per cell.
    pub const VOLTAGE_PER_CELL: Dimension = Dimension::VOLTAGE.over(Dimension::CELLS);
    /// A resistance per cell.
    pub const RESISTANCE_PER_CELL: Dimension =
        Dimension::RESISTANCE.over(Dimension::CELLS);
    /// A resistance per length, as of a wire.
    pub const RESISTANCE_PER_LENGTH: Dimension =
        Dimension::RESISTANCE.over(Dimension::LENGTH);
    /// A mass per length, as of a spar.
    pub const MASS_PER_LENGTH: Dimension = Dimension::MASS.over(Dimension::LENGTH);
    /// A mass per area, as a wing loading is one.
    pub const AREA_LOADING: Dimension = Dimension::MASS.over(Dimension::AREA);
    /// A mass per volume, as a size-free wing loading is one.
    pub const VOLUME_LOADING: Dimension = Dimension::DENSITY;
    /// A density.
    pub const DENSITY: Dimension = Dimension::MASS.over(Dimension::VOLUME);
    /// A moment of a mass about the datum.
    pub const MOMENT: Dimension = Dimension::MASS.times(Dimension::LENGTH);
    /// A moment of inertia.
    pub const INERTIA: Dimension = Dimension::MASS.times(Dimension::AREA);
    /// A power per mass.
    pub const POWER_LOADING: Dimension = Dimension::POWER.over(Dimension::MASS);
    /// An energy per mass.
    pub const ENERGY_PER_MASS: Dimension = Dimension::ENERGY.over(Dimension::MASS);

    /// The dimension of a product; see the module for what a force times a length is.
    #[must_use]
    pub const fn times(self, other: Dimension) -> Dimension {
        if self.pairs(other, Dimension::FORCE, Dimension::LENGTH) {
            return Dimension::TORQUE;
        }
        if self.pairs(other, Dimension::MULTIPLE, Dimension::CHARGE) {
            return Dimension::CURRENT;
        }
        let ([a, b, c, d, e, f, g, h, i], [j, k, l, m, n, o, p, q, r]) =
            (self.0, other.0);
        Dimension([
            a.saturating_add(j),
            b.saturating_add(k),
            c.saturating_add(l),
            d.saturating_add(m),
            e.saturating_add(n),
            f.saturating_add(o),
            g.saturating_add(p),
            h.saturating_add(q),
            i.saturating_add(r),
        ])
    }

    /// The dimension of a quotient: what [`Dimension::times`] puts together, this
    /// takes apart.
    #[must_use]
    pub const fn over(self, other: Dimension) -> Dimension {
        if self.same(Dimension::TORQUE) {
            if other.same(Dimension::LENGTH) {
                return Dimension::FORCE;
            }
            if other.same(Dimension::FORCE) {
                return Dimension::LENGTH;
            }
        }
        if self.same(Dimension::CURRENT) && other.same(Dimension::CHARGE) {
            return Dimension::MULTIPLE;
        }
        if self.same(Dimension::CURRENT) && other.same(Dimension::MULTIPLE) {
            return Dimension::CHARGE;
        }
        let [a, b, c, d, e, f, g, h, i] = other.0;
        let inverse = Dimension([
            a.saturating_neg(),
            b.saturating_neg(),
            c.saturating_neg(),
            d.saturating_neg(),
            e.saturating_neg(),
            f.saturating_neg(),
            g.saturating_neg(),
            h.saturating_neg(),
            i.saturating_neg(),
        ]);
        self.times(inverse)
    }

    const fn pairs(self, other: Dimension, one: Dimension, two: Dimension) -> bool {
        (self.same(one) && other.same(two)) || (self.same(two) && other.same(one))
    }

    const fn same(self, other: Dimension) -> bool {
        let ([a, b, c, d, e, f, g, h, i], [j, k, l, m, n, o, p, q, r]) =
            (self.0, other.0);
        let first = a == j && b == k && c == l && d == m && e == n;
        first && f == o && g == p && h == q && i == r
    }

    /// What a quantity of this dimension is, as in "a mass" or "a voltage per cell".
    #[must_use]
    pub fn says(self) -> String {
        match NAMED.iter().find(|(dimension, ..)| *dimension == self) {
            Some((_, says, _)) => (*says).to_owned(),
            None => format!("a quantity in {}", self.in_base_units().0),
        }
    }

    /// The unit that builders use for it, if it has one of its own.
    pub(crate) fn usual_unit(self) -> Option<&'static str> {
        let named = NAMED.iter().find(|(dimension, ..)| *dimension == self);
        named.map(|(_, _, unit)| *unit)
    }

    /// Its unit made of base units, and how many of it make one SI unit.
    pub(crate) fn in_base_units(self) -> (String, f64) {
        let [mass, length, time, current, temperature, angle, cell, gauge, multiple] =
            self.0;
        // One C is one per hour: its time stands in its name.
        let time = time.saturating_add(multiple);
        let hours = libm::pow(3600.0, f64::from(multiple));
        // C comes first above and last below, so that no part of the product reads as
        // a rating times a charge, which is a current.
        let mut parts = [
            ("C", multiple),
            ("kg", mass),
            ("m", length),
            ("s", time),
            ("A", current),
            ("K", temperature),
            ("rad", angle),
            ("cell", cell),
            ("awg", gauge),
        ];
        let above = parts.iter().filter(|(_, exponent)| 0 < *exponent);
        let above: Vec<String> = above.map(|(base, n)| powered(base, *n)).collect();
        let mut text = above.join(".");
        parts.rotate_left(1);
        for (base, exponent) in parts.iter().filter(|(_, exponent)| *exponent < 0) {
            if text.is_empty() {
                text = format!("{base}^{exponent}");
            } else {
                text.push('/');
                text.push_str(&powered(base, exponent.saturating_neg()));
            }
        }
        (text, hours)
    }
}

fn powered(base: &str, exponent: i8) -> String {
    if exponent == 1 { base.to_owned() } else { format!("{base}{exponent}") }
}

/// Dimensions with a name, and the unit that builders use for them.
const NAMED: &[(Dimension, &str, &str)] = &[
    (Dimension::NONE, "a share", "%"),
    (Dimension::MASS, "a mass", "g"),
    (Dimension::LENGTH, "a length", "mm"),
    (Dimension::TIME, "a time", "s"),
    (Dimension::CURRENT, "a current", "A"),
    (Dimension::TEMPERATURE, "a temperature", "°C"),
    (Dimension::ANGLE, "an angle", "deg"),
    (Dimension::CELLS, "a number of cells", "S"),
    (Dimension::GAUGE, "a wire gauge", "awg"),
    (Dimension::MULTIPLE, "a C rating", "C"),
    (Dimension::AREA, "an area", "dm2"),
    (Dimension::VOLUME, "a volume", "cm3"),
    (Dimension::SPEED, "a speed", "m/s"),
    (Dimension::ACCELERATION, "an acceleration", "m/s2"),
    (Dimension::FORCE, "a force", "N"),
    (Dimension::ENERGY, "an energy", "Wh"),
    (Dimension::TORQUE, "a torque", "kgf.cm"),
    (Dimension::PRESSURE, "a pressure", "Pa"),
    (Dimension::POWER, "a power", "W"),
    (Dimension::VOLTAGE, "a voltage", "V"),
    (Dimension::RESISTANCE, "a resistance", "mohm"),
    (Dimension::CHARGE, "a charge", "Ah"),
    (Dimension::CAPACITANCE, "a capacitance", "uF"),
    (Dimension::MAGNETIC_FIELD, "a magnetic field", "uT"),
    (Dimension::FREQUENCY, "a frequency", "Hz"),
    (Dimension::ANGULAR_SPEED, "an angular speed", "rpm"),
    (Dimension::SPEED_CONSTANT, "a speed constant", "rpm/V"),
    (Dimension::VOLTAGE_PER_CELL, "a voltage per cell", "V/cell"),
    (Dimension::RESISTANCE_PER_CELL, "a resistance per cell", "mohm/cell"),
    (Dimension::RESISTANCE_PER_LENGTH, "a resistance per length", "mohm/m"),
    (Dimension::MASS_PER_LENGTH, "a mass per length", "g/m"),
    (Dimension::AREA_LOADING, "a mass per area", "g/dm2"),
    (Dimension::DENSITY, "a mass per volume", "kg/m3"),
    (Dimension::MOMENT, "a moment of mass", "g.mm"),
    (Dimension::INERTIA, "a moment of inertia", "g.m2"),
    (Dimension::POWER_LOADING, "a power per mass", "W/kg"),
    (Dimension::ENERGY_PER_MASS, "an energy per mass", "Wh/kg"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torque_is_not_an_energy() {
        let torque = Dimension::FORCE.times(Dimension::LENGTH);
        assert_eq!(torque, Dimension::LENGTH.times(Dimension::FORCE));
        assert_eq!(torque.says(), "a torque");
        assert_eq!(torque.over(Dimension::LENGTH), Dimension::FORCE);
        assert_eq!(torque.over(Dimension::FORCE), Dimension::LENGTH);
        assert_eq!(torque.times(Dimension::ANGLE).says(), "an energy");
        assert_eq!(torque.times(Dimension::ANGULAR_SPEED), Dimension::POWER);
    }

    #[test]
    fn a_current_over_a_speed_constant_is_a_torque() {
        assert_eq!(Dimension::CURRENT.over(Dimension::SPEED_CONSTANT), Dimension::TORQUE);
    }

    #[test]
    fn a_rating_times_a_charge_is_a_current() {
        let current = Dimension::MULTIPLE.times(Dimension::CHARGE);
        assert_eq!(current, Dimension::CURRENT);
        assert_eq!(current.over(Dimension::CHARGE), Dimension::MULTIPLE);
    }

    #[test]
    fn dimensions_with_a_name_differ_from_each_other() {
        for (at, (one, ..)) in NAMED.iter().enumerate() {
            assert!(NAMED[at + 1..].iter().all(|(other, ..)| one != other), "{one:?}");
        }
    }

    #[test]
    fn a_dimension_without_a_name_says_its_base_units() {
        assert_eq!(
            Dimension::MASS.times(Dimension::VOLUME).says(),
            "a quantity in kg.m3"
        );
        let slope = Dimension::NONE.over(Dimension::LENGTH);
        assert_eq!(slope.says(), "a quantity in m^-1");
        let mixed = Dimension::VOLTAGE.over(Dimension::VOLUME);
        assert_eq!(mixed.says(), "a quantity in kg/m/s3/A");
    }
}

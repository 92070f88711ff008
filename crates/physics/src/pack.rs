//! Batteries by their label: the volts of a cell, the current of a rating, the energy; and
//! how a pack differs from its label when it is half used, loaded, cold or old.

/// What a cell is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chemistry {
    /// Lithium polymer, charged to 4.20 V.
    LithiumPolymer,
    /// Lithium polymer that is charged higher, to 4.35 V.
    HighVoltage,
    /// Lithium ion in cans, charged to 4.20 V.
    LithiumIon,
    /// Lithium iron phosphate.
    IronPhosphate,
    /// Nickel metal hydride.
    NickelHydride,
}

/// How much is left in a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Charge {
    /// Fresh from the charger.
    Full,
    /// As its label names its volts.
    Nominal,
    /// As far down as it is flown.
    Low,
}

/// The volts of one cell, at rest when full, else with a load.
///
/// Defaults, which a maker's figure overrides. Full and nominal: 4.20 V and 3.6 to 3.7 V
/// are what makers state of lithium cells, and IEC 61960-3 leaves the limits to them;
/// from memory. Low, and all figures of the other chemistries: common practice, no source.
#[must_use]
pub fn cell_volts(chemistry: Chemistry, charge: Charge) -> f64 {
    let [full, nominal, low] = match chemistry {
        Chemistry::LithiumPolymer => [4.20, 3.7, 3.3],
        Chemistry::HighVoltage => [4.35, 3.8, 3.3],
        Chemistry::LithiumIon => [4.20, 3.6, 3.0],
        Chemistry::IronPhosphate => [3.65, 3.2, 2.8],
        Chemistry::NickelHydride => [1.45, 1.2, 1.0],
    };
    match charge {
        Charge::Full => full,
        Charge::Nominal => nominal,
        Charge::Low => low,
    }
}

/// The current that a rating promises, in A: of a charge in C (ampere seconds), and a
/// rating as so many times the charge in an hour, in 1/h.
///
/// Source: IEC 61434, which defines It = C / 1 h; from memory. A label is a promise of
/// its printer, and no measurement.
#[must_use]
pub fn rated_current(charge: f64, per_hour: f64) -> f64 {
    charge / 3600.0 * per_hour
}

/// The energy of a pack, in J: its charge in C, times its nominal volts.
///
/// Source: watt hours are volts times ampere hours, 49 CFR 171.8.
#[must_use]
pub fn energy(charge: f64, volts: f64) -> f64 {
    charge * volts
}

/// How far the volts at rest of one cell may be from [`open_circuit_volts`], in V, but for
/// a full one: twice the standard deviation. Common practice, no source.
pub const OPEN_CIRCUIT_SPREAD: f64 = 0.05;

/// The volts of one cell at rest, with a share of its charge left, 0 to 1.
///
/// Common practice, no source: cells of one chemistry differ by [`OPEN_CIRCUIT_SPREAD`],
/// and near empty the volts fall so fast that a table says little. Straight between its
/// points; full as [`cell_volts`] says, which is the volts that the charger stops at, and
/// cells of iron phosphate lose the last of those as soon as they rest. A share above 1 is
/// taken as full, one below 0 as empty.
#[must_use]
pub fn open_circuit_volts(chemistry: Chemistry, charge: f64) -> f64 {
    const SHARES: [f64; 8] = [0.0, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95, 1.0];
    let full = cell_volts(chemistry, Charge::Full);
    let volts = match chemistry {
        Chemistry::LithiumPolymer => [3.30, 3.58, 3.68, 3.74, 3.83, 4.02, 4.15, full],
        Chemistry::HighVoltage => [3.30, 3.60, 3.70, 3.76, 3.87, 4.12, 4.29, full],
        Chemistry::LithiumIon => [3.00, 3.20, 3.32, 3.46, 3.67, 3.96, 4.12, full],
        Chemistry::IronPhosphate => [2.80, 3.05, 3.16, 3.22, 3.28, 3.33, 3.36, full],
        Chemistry::NickelHydride => [1.05, 1.16, 1.20, 1.24, 1.28, 1.33, 1.38, full],
    };
    // What is no number is empty too.
    let charge = charge.max(0.0);
    let points = SHARES.iter().zip(volts);
    let mut below = None;
    for (share, volts) in points {
        match below {
            Some((from, low)) if charge < *share => {
                let along = (charge - from) / (share - from);
                return low + along * (volts - low);
            }
            Some(_) | None => below = Some((*share, volts)),
        }
    }
    full
}

/// The volts of a pack in V that has so many at rest, resists some Ω and gives some A.
///
/// After a second or so of one load; a load of minutes adds what the cells lag behind.
#[must_use]
pub fn loaded_volts(at_rest: f64, resistance: f64, current: f64) -> f64 {
    at_rest - resistance * current
}

/// The temperature at which the resistance of a pack is stated, in K.
pub const RATED_TEMPERATURE: f64 = 298.15;

/// How far [`resistance_factor`] may be out, as a share of its difference from 1: twice
/// the standard deviation. Common practice, no source.
pub const RESISTANCE_FACTOR_SPREAD: f64 = 0.4;

/// How many times the resistance at 25 °C a lithium pack has at a temperature in K.
///
/// exp(B (1/T − 1/298.15 K)) with B of 2300 K, the law of Arrhenius: twice at 0 °C and 2.8
/// times at −10 °C. Common practice, no source. `None` below −20 °C and above 60 °C.
#[must_use]
pub fn resistance_factor(temperature: f64) -> Option<f64> {
    const STEEPNESS: f64 = 2300.0;
    let exponent = STEEPNESS * (1.0 / temperature - 1.0 / RATED_TEMPERATURE);
    (253.15..=333.15).contains(&temperature).then(|| libm::exp(exponent))
}

/// How far [`capacity_left`] may be out, as a share of what is lost: twice the standard
/// deviation. Common practice, no source.
pub const FADE_SPREAD: f64 = 0.6;

/// The share of its first charge that a lithium pack still takes after so many cycles.
///
/// A fifth is lost in 300 cycles, in a line: from memory of what makers state, and
/// standards count the life of a cell down to 60 or 80 % of its rating. How hot, how far
/// down and how full a pack was kept moves that by far more than its label. `None` below 0
/// and above 600 cycles.
#[must_use]
pub fn capacity_left(cycles: f64) -> Option<f64> {
    (0.0..=600.0).contains(&cycles).then(|| 1.0 - 0.2 * cycles / 300.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Chemistry; 5] = [
        Chemistry::LithiumPolymer,
        Chemistry::HighVoltage,
        Chemistry::LithiumIon,
        Chemistry::IronPhosphate,
        Chemistry::NickelHydride,
    ];

    #[test]
    fn volts_at_rest_grow_with_the_charge_and_end_where_labels_do() {
        for chemistry in ALL {
            let at = |share: f64| open_circuit_volts(chemistry, share);
            let full = cell_volts(chemistry, Charge::Full);
            assert!((at(1.0) - full).abs() < 1e-12 && (at(1.5) - full).abs() < 1e-12);
            assert!((at(-0.5) - at(0.0)).abs() < 1e-12);
            assert!((at(f64::NAN) - at(0.0)).abs() < 1e-12);
            for step in 0..1000 {
                let share = f64::from(step) / 1000.0;
                assert!(at(share) < at(share + 0.001), "{chemistry:?} {share}");
            }
            // With a load a cell has fewer volts than at rest.
            assert!(cell_volts(chemistry, Charge::Low) <= at(0.0));
            assert!(cell_volts(chemistry, Charge::Nominal) <= at(0.5));
        }
        let half = open_circuit_volts(Chemistry::LithiumPolymer, 0.5);
        assert!((3.75..=3.85).contains(&half));
        let between = open_circuit_volts(Chemistry::LithiumPolymer, 0.35);
        assert!((between - 3.785).abs() < 1e-12);
    }

    #[test]
    fn a_cold_pack_resists_more() {
        let at = |celsius: f64| resistance_factor(celsius + 273.15).unwrap();
        assert!((at(25.0) - 1.0).abs() < 1e-12);
        assert!((at(0.0) - 2.03).abs() < 0.01 && (at(-10.0) - 2.79).abs() < 0.01);
        assert!(at(40.0) < 1.0);
        for none in [0.0, -5.0, 250.0, 340.0, f64::NAN] {
            assert_eq!(resistance_factor(none), None);
        }
    }

    #[test]
    fn an_old_pack_holds_less() {
        assert!((capacity_left(0.0).unwrap() - 1.0).abs() < 1e-12);
        assert!((capacity_left(300.0).unwrap() - 0.8).abs() < 1e-12);
        for none in [-1.0, 601.0, f64::NAN] {
            assert_eq!(capacity_left(none), None);
        }
    }

    #[test]
    fn a_load_takes_volts() {
        assert!((loaded_volts(12.6, 0.02, 30.0) - 12.0).abs() < 1e-12);
    }
}

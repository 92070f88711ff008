//! Batteries by their label: the volts of a cell, the current of a rating, the energy.

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

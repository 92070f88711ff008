//! What spread a value has when its line states none.
//!
//! Spreads are expanded uncertainties with coverage factor 2: the bounds that a builder
//! would bet on, 95 times in a hundred (NIST TN 1297, section 6). Where an instrument is
//! named, half a step of its resolution is the limit of a rectangular distribution, so
//! u = step / √12 (NIST TN 1297, section 4.6). All other figures here are common
//! practice, no source; reports show them as assumed.

use trimsheet_quantity::Dimension;

/// The assumed spread of values from one source: the larger of a fixed and a relative one.
pub(crate) struct Assumed {
    /// The word of the source.
    pub(crate) source: &'static str,
    /// The least spread of a mass.
    pub(crate) mass_kilograms: f64,
    /// The spread of every length.
    pub(crate) length_metres: f64,
    /// The spread of everything else, and of a large mass, as a share of the value.
    pub(crate) share: f64,
}

/// A value whose source nobody states is no better than a guess.
pub const UNSTATED: &str = "estimated";

/// Common practice, no source.
pub(crate) const ASSUMED: &[Assumed] = &[
    Assumed {
        source: "weighed",
        mass_kilograms: 0.001,
        length_metres: 0.002,
        share: 0.01,
    },
    Assumed {
        source: "measured",
        mass_kilograms: 0.001,
        length_metres: 0.002,
        share: 0.03,
    },
    Assumed {
        source: "datasheet",
        mass_kilograms: 0.001,
        length_metres: 0.002,
        share: 0.05,
    },
    Assumed { source: "kit", mass_kilograms: 0.001, length_metres: 0.002, share: 0.05 },
    Assumed { source: "plan", mass_kilograms: 0.001, length_metres: 0.002, share: 0.05 },
    Assumed {
        source: "copied",
        mass_kilograms: 0.002,
        length_metres: 0.005,
        share: 0.10,
    },
    Assumed {
        source: UNSTATED,
        mass_kilograms: 0.002,
        length_metres: 0.010,
        share: 0.20,
    },
];

/// Dimensions that are counted or printed on a label, and have no spread of their own.
const EXACT: &[Dimension] = &[
    Dimension::NONE,
    Dimension::CELLS,
    Dimension::GAUGE,
    Dimension::MULTIPLE,
    Dimension::TEMPERATURE,
    Dimension::FREQUENCY,
];

/// The spread, in SI units, that a value from this source is taken to have.
///
/// `size` is the value's magnitude in SI units, `resolution` the step of the instrument
/// that it was taken with, if one of its dimension is named.
pub(crate) fn assumed(
    source: Option<&str>,
    dimension: Dimension,
    size: f64,
    resolution: Option<f64>,
) -> Option<f64> {
    if EXACT.contains(&dimension) {
        return None;
    }
    if let Some(step) = resolution {
        return Some(2.0 * step / 12.0_f64.sqrt());
    }
    let source = source.unwrap_or(UNSTATED);
    let row = ASSUMED.iter().find(|row| row.source == source)?;
    // Places are held to a fixed bound: a part far from the datum is not held worse.
    if dimension == Dimension::LENGTH {
        return Some(row.length_metres);
    }
    let fixed = if dimension == Dimension::MASS { row.mass_kilograms } else { 0.0 };
    Some(fixed.max(size.abs() * row.share))
}

/// The spread, in SI units, that a value marked `[plan]` is taken to have.
pub fn planned_spread(size: f64, dimension: Dimension) -> f64 {
    assumed(Some("plan"), dimension, size, None).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_instrument_says_more_than_a_habit() {
        let by_scale =
            assumed(Some("weighed"), Dimension::MASS, 0.5, Some(0.001)).unwrap();
        assert!((by_scale - 0.000_577_35).abs() < 1e-8);
        assert_eq!(assumed(Some("weighed"), Dimension::MASS, 0.5, None), Some(0.005));
        assert_eq!(assumed(None, Dimension::MASS, 0.5, None), Some(0.1));
        assert_eq!(assumed(None, Dimension::CELLS, 3.0, None), None);
    }
}

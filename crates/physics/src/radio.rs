//! What radio loses on its way, what two senders make together, and what a lead does to a
//! compass.
//!
//! Distances here are those of free space: ground, trees and the model itself take more.
//! So a margin is the most that can be hoped for, and never a promise.

use std::f64::consts::PI;

/// The speed of light, in m/s; exact, by the definition of the metre.
pub const LIGHT_SPEED: f64 = 299_792_458.0;

/// The magnetic constant, in T m/A: 4π · 10⁻⁷, to nine digits.
pub const MAGNETIC_CONSTANT: f64 = 4e-7 * PI;

/// The horizontal part of the field of the earth that a compass turns by, in T.
///
/// It is about this in middle latitudes, more near the equator and nought at the poles;
/// common practice, no source.
pub const EARTH_HORIZONTAL: f64 = 20e-6;

/// Where the civil signal of most satellites for finding a position lies, in Hz.
///
/// Source: IS-GPS-200, its L1 carrier; from memory.
pub const POSITION_SIGNAL: f64 = 1_575.42e6;

/// What a radio wave loses between two antennas that send alike in all directions, in dB:
/// 20 log (4π d f/c).
///
/// `frequency` in Hz and `distance` in m. Nearer than some wavelengths it says nothing.
/// Source: ITU-R P.525-5, free-space basic transmission loss; its constant of 32.4 is
/// 32.4478 here. `None` if a number is not above nought.
#[must_use]
pub fn free_space_loss(frequency: f64, distance: f64) -> Option<f64> {
    let wavelengths = 4.0 * PI * distance * frequency / LIGHT_SPEED;
    let is_there = 0.0 < frequency && 0.0 < distance && wavelengths.is_finite();
    is_there.then(|| 20.0 * libm::log10(wavelengths))
}

/// A sender and whoever hears it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// In Hz.
    pub frequency: f64,
    /// In W.
    pub sent: f64,
    /// By how much the antenna of the sender gathers it, as a ratio.
    pub sender_gain: f64,
    /// The same of whoever hears it.
    pub hearer_gain: f64,
    /// The weakest that is still heard, in W.
    pub sensitivity: f64,
}

impl Link {
    /// How much stronger than the weakest it arrives from so far away, in m, as a ratio.
    ///
    /// Source: Friis, "A note on a simple transmission formula", 1946. `None` if a number
    /// is not above nought.
    #[must_use]
    pub fn margin(&self, distance: f64) -> Option<f64> {
        let loss = free_space_loss(self.frequency, distance)?;
        let all = [self.sent, self.sender_gain, self.hearer_gain, self.sensitivity];
        let is_there = all.iter().all(|one| 0.0 < *one && one.is_finite());
        let budget = self.sent * self.sender_gain * self.hearer_gain / self.sensitivity;
        let margin = budget * libm::pow(10.0, -loss / 10.0);
        (is_there && margin.is_finite()).then_some(margin)
    }
}

/// A frequency that senders make besides their own, alone or two together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Product {
    /// So many times the frequency of the first.
    pub first: (usize, i32),
    /// So many times that of a second is added, or taken off where it is below nought.
    pub second: Option<(usize, i32)>,
    /// What that comes to, in Hz.
    pub frequency: f64,
}

/// The second and third harmonic of each sender, and the sums and differences of each two
/// up to the third order: f ± g, 2f ± g and f ± 2g.
///
/// Source: the products of a curved characteristic up to its cube; any textbook of radio.
/// What comes to nought or less, or is no number, is left out.
#[must_use]
pub fn products(senders: &[f64]) -> Vec<Product> {
    let mut all = Vec::new();
    for (index, own) in senders.iter().enumerate() {
        for times in [2, 3] {
            let frequency = f64::from(times) * own;
            all.push(Product { first: (index, times), second: None, frequency });
        }
        for (other, second) in senders.iter().enumerate().skip(index + 1) {
            for (a, b) in [(1, 1), (1, -1), (2, 1), (2, -1), (1, 2), (1, -2)] {
                let sum = f64::from(a) * own + f64::from(b) * second;
                // Of a difference that is below nought the other way round is meant.
                let (a, b) = if sum < 0.0 { (-a, -b) } else { (a, b) };
                let second = Some((other, b));
                all.push(Product { first: (index, a), second, frequency: sum.abs() });
            }
        }
    }
    all.retain(|one| 0.0 < one.frequency && one.frequency.is_finite());
    all
}

/// The magnetic flux density beside a single long lead, in T: µ0 I/2πd.
///
/// `current` in A, `distance` in m from its middle. A short lead makes less. Source: the
/// law of Biot and Savart, any textbook. `None` if the distance is not above nought.
#[must_use]
pub fn beside_single_lead(current: f64, distance: f64) -> Option<f64> {
    let field = MAGNETIC_CONSTANT * current.abs() / (2.0 * PI * distance);
    (0.0 < distance && field.is_finite()).then_some(field)
}

/// The same beside two leads that carry one current there and back, `spacing` m apart from
/// middle to middle: µ0 I s/2πd².
///
/// Good from three times the spacing on. Nearer than the spacing it is that of a single
/// lead, the nearer of the two.
#[must_use]
pub fn beside_pair(current: f64, spacing: f64, distance: f64) -> Option<f64> {
    let single = beside_single_lead(current, distance)?;
    (0.0 <= spacing).then(|| single * (spacing / distance).min(1.0))
}

/// The most that a field turns a compass by, in radians: atan (B/Bh), where it lies square
/// to the horizontal part `horizontal` of that of the earth.
#[must_use]
pub fn heading_error(field: f64, horizontal: f64) -> f64 {
    libm::atan2(field.abs(), horizontal.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twice_as_far_costs_six_decibels_and_so_does_twice_the_frequency() {
        let loss = free_space_loss(868e6, 400.0).unwrap();
        let six = 20.0 * libm::log10(2.0);
        assert!((free_space_loss(868e6, 800.0).unwrap() - loss - six).abs() < 1e-9);
        assert!((free_space_loss(1736e6, 400.0).unwrap() - loss - six).abs() < 1e-9);
    }

    #[test]
    fn what_is_nowhere_or_silent_has_no_link() {
        assert_eq!(free_space_loss(868e6, 0.0), None);
        assert_eq!(free_space_loss(f64::NAN, 10.0), None);
        let link = Link {
            frequency: 868e6,
            sent: 0.1,
            sender_gain: 1.0,
            hearer_gain: 1.0,
            sensitivity: 0.0,
        };
        assert_eq!(link.margin(100.0), None);
        let link = Link { sensitivity: 1e-12, ..link };
        assert_eq!(link.margin(-1.0), None);
        // Ten times the power is ten times the margin.
        let more = Link { sent: 1.0, ..link };
        let times = more.margin(100.0).unwrap() / link.margin(100.0).unwrap();
        assert!((times - 10.0).abs() < 1e-9);
    }

    #[test]
    fn two_senders_make_four_harmonics_and_six_sums() {
        let all = products(&[868e6, 2440e6]);
        assert_eq!(all.len(), 10);
        let has = |frequency: f64| {
            all.iter().any(|one| (one.frequency - frequency).abs() < 1.0)
        };
        let [f, g] = [868e6, 2440e6];
        let wanted =
            [2.0 * f, 3.0 * f, 2.0 * g, 3.0 * g, g - f, g + f, 2.0 * f + g, 2.0 * g - f];
        assert!(wanted.into_iter().all(has), "{all:?}");
        assert!(has(g - 2.0 * f) && has(2.0 * g + f));
        for one in &all {
            let sum = f64::from(one.first.1) * [f, g][one.first.0];
            let more =
                one.second.map_or(0.0, |(at, times)| f64::from(times) * [f, g][at]);
            assert!((sum + more - one.frequency).abs() < 1.0, "{one:?}");
        }
    }

    #[test]
    fn two_senders_on_one_frequency_make_no_difference_of_nought() {
        assert!(products(&[868e6, 868e6]).iter().all(|one| 0.0 < one.frequency));
        assert!(products(&[]).is_empty());
    }

    #[test]
    fn a_pair_is_a_single_lead_against_another() {
        // Two leads in line with the compass: the difference of two single ones.
        let (current, spacing, distance) = (26.0, 0.006, 0.15);
        let near = beside_single_lead(current, distance - spacing / 2.0).unwrap();
        let far = beside_single_lead(current, distance + spacing / 2.0).unwrap();
        let pair = beside_pair(current, spacing, distance).unwrap();
        assert!((pair / (near - far) - 1.0).abs() < 1e-3, "{pair}");
        let touching = beside_pair(current, 0.2, 0.1).unwrap();
        assert!((touching - beside_single_lead(current, 0.1).unwrap()).abs() < 1e-15);
        assert_eq!(beside_pair(current, -0.1, 0.1), None);
        assert_eq!(beside_pair(current, 0.1, 0.0), None);
    }

    #[test]
    fn a_field_as_strong_as_that_of_the_earth_turns_by_half_a_right_angle() {
        let turned = heading_error(EARTH_HORIZONTAL, EARTH_HORIZONTAL);
        assert!((turned - PI / 4.0).abs() < 1e-12);
        assert!(heading_error(0.0, EARTH_HORIZONTAL).abs() < 1e-15);
    }
}

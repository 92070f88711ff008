//! Draws that are the same on every machine, for checks by Monte Carlo (JCGM 101).

/// A source of draws: a linear congruential generator modulo 2^64, with the multiplier
/// of Knuth's MMIX, from memory. Only its upper bits are used.
pub(crate) struct Random(pub u64);

impl Random {
    /// A draw that is even between 0 and 1, both excluded.
    pub(crate) fn even(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let upper = u32::try_from(self.0 >> 32).unwrap();
        (f64::from(upper) + 0.5) / 4_294_967_296.0
    }

    /// A normal draw with mean 0 and standard deviation 1 (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let size = (-2.0 * libm::log(self.even())).sqrt();
        size * libm::cos(2.0 * std::f64::consts::PI * self.even())
    }
}

#[test]
fn normal_draws_have_their_mean_and_deviation() {
    let mut random = Random(1);
    let draws: Vec<f64> = (0..100_000).map(|_| random.normal()).collect();
    let mean = draws.iter().sum::<f64>() / 1e5;
    let variance = draws.iter().map(|draw| draw * draw).sum::<f64>() / 1e5;
    // Four standard errors of each.
    assert!(mean.abs() < 0.0127 && (variance - 1.0).abs() < 0.0179);
}

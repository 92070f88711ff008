//! How far an edge moves when its surface turns.
//!
//! Heights are straight up from where the edge lies flat, as an upright ruler that
//! follows the edge reads them; up is positive. Angles are about the hinge, in radians,
//! trailing edge down positive, as everywhere in this crate.

/// How high the edge of a surface stands at an angle, in m: −c sin δ.
///
/// `depth` is from the hinge to the edge, in m.
#[must_use]
pub fn edge_height(depth: f64, angle: f64) -> f64 {
    -depth * libm::sin(angle)
}

/// The angle at which the edge of a surface stands so high.
///
/// `None` if it stands further from flat than it is deep.
#[must_use]
pub fn angle_of_edge(depth: f64, height: f64) -> Option<f64> {
    let within = height.abs() <= depth && 0.0 < depth;
    within.then(|| -libm::asin(height / depth))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_that_stands_up_is_turned_against_the_count_of_angles() {
        let angle = angle_of_edge(0.05, 0.01).unwrap();
        assert!(angle < 0.0);
        assert!((edge_height(0.05, angle) - 0.01).abs() < 1e-15);
    }

    #[test]
    fn an_edge_stands_no_further_than_it_is_deep() {
        assert_eq!(angle_of_edge(0.05, 0.051), None);
        assert_eq!(angle_of_edge(0.0, 0.0), None);
        assert_eq!(angle_of_edge(0.05, f64::NAN), None);
        assert!(angle_of_edge(0.05, -0.05).is_some());
    }
}

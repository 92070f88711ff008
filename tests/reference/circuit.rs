//! Nets of leads and sources, against worked circuits of textbooks.

use trimsheet_physics::network::Network;

fn assert_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "found {found}, expected {expected}");
}

/// `OpenStax`, "College Physics", section 21.3, the worked example of Kirchhoff's rules:
/// 18 V behind 3 Ω and 45 V behind 2 Ω into 6 Ω. Currents of 4.75, −3.50 and 8.25 A.
/// From memory; recomputed.
#[test]
fn two_sources_into_one_resistance() {
    let mut net = Network::default();
    let (joint, lamp) = (net.node(), net.node());
    let weak = net.source(joint, 18.0, 3.0);
    let strong = net.source(joint, 45.0, 2.0);
    // The resistance leads back to the return: as a lead to a source of next to nothing.
    let common = net.lead(joint, lamp, 6.0);
    net.source(lamp, f64::MIN_POSITIVE, 0.0);
    let flow = net.solve().unwrap();
    assert_near(flow.amps(common), 4.75);
    assert_near(flow.amps(weak), -3.5);
    assert_near(flow.amps(strong), 8.25);
}

/// Hayt, Kemmerly and Durbin, "Engineering Circuit Analysis", section 4.1, the first
/// example of nodal analysis: 3.1 A and 1.4 A into two points of 2 Ω and 1 Ω to the
/// return with 5 Ω between, which stand at 5 V and 2 V. From memory; recomputed.
///
/// A current source beside a resistance is put in as the source of volts that it equals.
#[test]
fn two_points_of_an_example_of_nodal_analysis() {
    let mut net = Network::default();
    let (one, other) = (net.node(), net.node());
    net.source(one, 3.1 * 2.0, 2.0);
    net.source(other, 1.4 * 1.0, 1.0);
    let between = net.lead(one, other, 5.0);
    let flow = net.solve().unwrap();
    assert_near(flow.volts(one), 5.0);
    assert_near(flow.volts(other), 2.0);
    assert_near(flow.amps(between), 0.6);
}

//! Shapes that nobody builds: an error that says why, or a number that is right.

use std::f64::consts::PI;

use super::*;

fn rib(out: f64, leading_edge: f64, chord: f64) -> Rib {
    Rib { out, up: 0.0, leading_edge, chord, incidence: 0.0 }
}

fn surface(ribs: Vec<Rib>) -> Surface {
    Surface { ribs, flap: None, grid: Grid::WING }
}

/// A wing of two ribs, its mean chord being 1; stations count from its apex.
fn wing(aspect_ratio: f64, tip_edge: f64, taper: f64) -> (Symmetric, Antisymmetric) {
    let root = 2.0 / (1.0 + taper);
    let ribs = vec![rib(0.0, 0.0, root), rib(aspect_ratio / 2.0, tip_edge, taper * root)];
    let reference =
        Reference { area: aspect_ratio, chord: 1.0, span: aspect_ratio, station: 0.0 };
    Lattice::new(&[surface(ribs)], reference).unwrap().both().unwrap()
}

fn is_near(found: f64, expected: f64, share: f64) -> bool {
    (found / expected - 1.0).abs() < share
}

/// R. T. Jones, NACA Report 835 (1946): π AR/2, for damping in roll −π AR/32, and for a
/// pointed wing a neutral point at two thirds of its root.
#[test]
fn very_short_wings_have_the_lift_of_slender_ones() {
    let (found, rolling) = wing(0.1, 0.0, 1.0);
    let slope = found.angle_of_attack.lift;
    assert!(is_near(slope, PI * 0.1 / 2.0, 0.002), "{slope}");
    assert!(is_near(rolling.roll_rate, -PI * 0.1 / 32.0, 0.005));

    // A root of 2 and no chord at the tip.
    let (found, rolling) = wing(0.1, 2.0, 0.0);
    let slope = found.angle_of_attack.lift;
    assert!(is_near(slope, PI * 0.1 / 2.0, 0.03), "{slope}");
    assert!(is_near(found.neutral_point().unwrap(), 4.0 / 3.0, 0.02));
    assert!(is_near(rolling.roll_rate, -PI * 0.1 / 32.0, 0.03));
}

/// E. O. Tuck, J. Austral. Math. Soc. B 35 (1993), for large aspect ratios, and below
/// the lifting line of an ellipse.
#[test]
fn very_long_wings_have_the_lift_of_a_line() {
    let (found, _) = wing(60.0, 0.0, 1.0);
    let slope = found.angle_of_attack.lift;
    let log = libm::log(60.0);
    let tuck = 2.0 * PI - PI / 60.0 * (log + 2.5620) + 1.404 / 3600.0 * (log + 3.645);
    assert!(is_near(slope, tuck, 0.005), "{slope}, {tuck}");
    assert!(slope < 2.0 * PI * 60.0 / 62.0);
    assert!((found.neutral_point().unwrap() - 0.25).abs() < 0.001);
}

/// A wing of any length swept by 80 degrees has at most 2π cos Λ (simple sweep), and
/// about what DATCOM's formula says, which lies some per cent above a lattice.
#[test]
fn sharply_swept_wings_have_the_lift_of_simple_sweep() {
    let tangent = libm::tan(80_f64.to_radians());
    let endless = 2.0 * PI * libm::cos(80_f64.to_radians());
    let slope = |long: f64, to: f64| {
        wing(long, to * long / 2.0 * tangent, 1.0).0.angle_of_attack.lift
    };
    let long = slope(60.0, 1.0);
    assert!(long < endless && 0.95 * endless < long, "{long}, {endless}");
    let root = (4.0 + 16.0 * (1.0 + tangent * tangent)).sqrt();
    let datcom = 2.0 * PI * 4.0 / (2.0 + root);
    let (aft, ahead) = (slope(4.0, 1.0), slope(4.0, -1.0));
    assert!(aft < datcom && 0.9 * datcom < aft, "{aft}, {datcom}");
    // Munk: a wing lifts as much in the reversed stream.
    assert!(is_near(ahead, aft, 0.01), "{aft}, {ahead}");
}

fn tapered(scale: f64) -> Result<(Symmetric, Antisymmetric), NoLattice> {
    let ribs = vec![
        Rib { incidence: 0.1, ..rib(0.0, 0.0, scale) },
        rib(2.0 * scale, scale, 0.5 * scale),
    ];
    let flap = Some(Flap { inner: scale, outer: 1.9 * scale, chord_share: 0.2 });
    let reference = Reference {
        area: 3.0 * scale * scale,
        chord: scale,
        span: 4.0 * scale,
        station: 0.0,
    };
    let surface = Surface { flap, grid: Grid::TAIL, ..surface(ribs) };
    Lattice::new(&[surface], reference)?.both()
}

#[test]
fn every_size_has_the_same_coefficients_or_says_that_it_has_none() {
    let (one, rolling) = tapered(1.0).unwrap();
    let same = |found: f64, expected: f64| is_near(found, expected, 1e-9);
    for exponent in -310_i32..=300 {
        let scale = libm::pow(10.0, f64::from(exponent));
        match tapered(scale) {
            Ok((found, rolls)) => {
                assert!((-6..=5).contains(&exponent), "{exponent}");
                assert!(same(found.angle_of_attack.lift, one.angle_of_attack.lift));
                assert!(same(found.flaps[0].hinge.moment, one.flaps[0].hinge.moment));
                assert!(same(rolls.roll_rate, rolling.roll_rate));
                let neutral = found.neutral_point().unwrap() / scale;
                assert!(same(neutral, one.neutral_point().unwrap()));
            }
            Err(NoLattice::TooLarge) => assert!(5 < exponent),
            // The square of the smallest is nought, so that there is no area either.
            Err(NoLattice::NoReference) => assert!(exponent < -160),
            Err(why) => {
                assert!((-165..-6).contains(&exponent), "{exponent}");
                assert_eq!(why, NoLattice::NoArea { surface: 0 });
            }
        }
    }
}

#[test]
fn a_step_that_is_not_quite_one_is_taken_for_one() {
    let solve = |gap: f64| {
        let ribs = vec![
            rib(0.0, 0.0, 1.0),
            rib(1.0, 0.0, 1.0),
            rib(1.0 + gap, 0.1, 0.8),
            rib(2.0, 0.1, 0.8),
        ];
        let reference = Reference { area: 3.6, chord: 0.9, span: 4.0, station: 0.0 };
        let lattice = Lattice::new(&[surface(ribs)], reference).unwrap();
        (lattice.panels(), lattice.symmetric().unwrap())
    };
    let (panels, step) = solve(0.0);
    for gap in [1e-15, 1e-12, 1e-10] {
        let (found_panels, found) = solve(gap);
        assert_eq!(found_panels, panels);
        assert!(is_near(found.angle_of_attack.lift, step.angle_of_attack.lift, 1e-8));
    }
}

/// Fins lift sideways only, so a lattice of nothing else has no neutral point.
#[test]
fn fins_alone_have_no_lift_and_no_neutral_point() {
    let fin = |out| vec![rib(out, 0.0, 0.2), Rib { up: 0.3, ..rib(out, 0.1, 0.1) }];
    let reference = Reference { area: 0.1, chord: 0.2, span: 1.0, station: 0.0 };
    let solve = |out| Lattice::new(&[surface(fin(out))], reference)?.both();
    let (found, rolling) = solve(0.3).unwrap();
    assert_eq!(found.angle_of_attack, Effect { lift: 0.0, moment: 0.0 });
    assert_eq!((found.neutral_point(), found.zero_lift_angle()), (None, None));
    assert!(rolling.roll_rate < 0.0);
    assert_eq!(solve(0.0).unwrap_err(), NoLattice::NoSpan { surface: 0 });
}

/// A tip without chord, with a flap that runs out into it.
#[test]
fn a_pointed_wing_with_a_flap_to_its_tip_has_an_answer() {
    let ribs = vec![rib(0.0, 0.0, 0.5), rib(0.4, 0.5, 0.0)];
    let flap = Some(Flap { inner: 0.1, outer: 0.4, chord_share: 0.25 });
    let reference = Reference { area: 0.2, chord: 0.333, span: 0.8, station: 0.3 };
    let lattice = Lattice::new(&[Surface { flap, ..surface(ribs) }], reference).unwrap();
    let (found, rolling) = lattice.both().unwrap();
    // Aspect ratio 3.2: below its lifting line, and above two thirds of it.
    let line = 2.0 * PI * 3.2 / 5.2;
    let slope = found.angle_of_attack.lift;
    assert!(2.0 / 3.0 * line < slope && slope < line, "{slope}");
    let flap = found.flaps[0].hinge;
    assert!(0.0 < flap.lift && flap.lift < slope && flap.moment < 0.0);
    assert!(rolling.flaps[0].hinge < 0.0);
    let state = State { angle_of_attack: 0.1, ..State::default() };
    let loads = found.loads(&state);
    assert!(loads.iter().all(|load| 0.0 < load.lift && load.lift.is_finite()));
}

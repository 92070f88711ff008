use super::*;

fn rib(out: f64, leading_edge: f64, chord: f64, incidence: f64) -> Rib {
    Rib { out, up: 0.0, leading_edge, chord, incidence }
}

fn grid() -> Grid {
    Grid { spanwise: 8, chordwise: 5, ..Grid::WING }
}

fn swept(scale: f64, washout: f64) -> (Surface, Reference) {
    let ribs = vec![
        rib(0.0, 0.0, 0.28 * scale, 0.0),
        rib(0.5 * scale, 0.25 * scale, 0.15 * scale, -washout),
    ];
    let flap = Flap { inner: 0.2 * scale, outer: 0.48 * scale, chord_share: 0.25 };
    let reference = Reference {
        area: 0.215 * scale * scale,
        chord: 0.22 * scale,
        span: scale,
        station: 0.16 * scale,
    };
    (Surface { ribs, flap: Some(flap), grid: grid() }, reference)
}

fn near(one: f64, two: f64) -> bool {
    (one - two).abs() <= 1e-9 * (1.0 + two.abs())
}

fn why(change: impl Fn(&mut Surface, &mut Reference)) -> NoLattice {
    let (mut surface, mut reference) = swept(1.0, 0.05);
    change(&mut surface, &mut reference);
    Lattice::new(&[surface], reference).unwrap_err()
}

#[test]
fn a_larger_wing_has_a_neutral_point_further_aft_and_the_same_coefficients() {
    let solve = |scale: f64| {
        let (surface, reference) = swept(scale, 0.05);
        let lattice = Lattice::new(&[surface], reference).unwrap();
        (lattice.symmetric().unwrap(), lattice.antisymmetric().unwrap())
    };
    let ((small, small_roll), (large, large_roll)) = (solve(1.0), solve(3.7));
    assert!(near(large.neutral_point().unwrap(), 3.7 * small.neutral_point().unwrap()));
    assert!(near(large.angle_of_attack.lift, small.angle_of_attack.lift));
    assert!(near(large.incidence.moment, small.incidence.moment));
    assert!(near(large.pitch_rate.moment, small.pitch_rate.moment));
    assert!(near(large.flaps[0].hinge.lift, small.flaps[0].hinge.lift));
    assert!(near(large_roll.roll_rate, small_roll.roll_rate));
}

#[test]
fn the_neutral_point_ignores_washout_and_the_moment_does_not() {
    let solve = |washout: f64| {
        let (surface, reference) = swept(1.0, washout);
        Lattice::new(&[surface], reference).unwrap().symmetric().unwrap()
    };
    let (flat, washed) = (solve(0.0), solve(0.05));
    assert!(near(flat.neutral_point().unwrap(), washed.neutral_point().unwrap()));
    assert!(flat.zero_lift_moment().unwrap().abs() < 1e-12);
    assert!(0.001 < washed.zero_lift_moment().unwrap());
    assert!(0.0 < washed.zero_lift_angle().unwrap());
}

#[test]
fn an_elevon_that_goes_up_lifts_the_nose_and_the_hinge_gives_less_than_the_stream() {
    let (surface, reference) = swept(1.0, 0.0);
    let found = Lattice::new(&[surface], reference).unwrap().symmetric().unwrap();
    let neutral = found.neutral_point().unwrap();
    let up = State { flaps: vec![-0.1], ..State::default() };
    assert!(0.0 < found.effect(&up).moment_about(neutral, &reference));
    assert!(found.effect(&up).lift < 0.0);
    let flap = found.flaps[0];
    assert!(0.0 < flap.hinge.lift && flap.hinge.lift < flap.streamwise.lift);
}

#[test]
fn turning_is_damped_and_a_right_aileron_down_rolls_left() {
    let (surface, reference) = swept(1.0, 0.0);
    let lattice = Lattice::new(&[surface], reference).unwrap();
    let roll = lattice.antisymmetric().unwrap();
    assert!(roll.roll_rate < 0.0 && roll.flaps[0].streamwise < 0.0);
    assert!(lattice.symmetric().unwrap().pitch_rate.moment < 0.0);
}

#[test]
fn a_roll_settles_where_damping_holds_the_ailerons() {
    let solve = |scale: f64| {
        let (surface, reference) = swept(scale, 0.0);
        Lattice::new(&[surface], reference).unwrap().antisymmetric().unwrap()
    };
    let small = solve(1.0);
    let rate = small.steady_roll(&[-0.1], 14.0).unwrap();
    assert!(0.0 < rate, "the right aileron is up: {rate}");
    let rolled = rate * small.reference.span / (2.0 * 14.0);
    let left_over = small.roll_rate * rolled + small.flaps[0].hinge * -0.1;
    assert!(left_over.abs() < 1e-12, "{left_over}");
    assert!(near(small.steady_roll(&[-0.1], 28.0).unwrap(), 2.0 * rate));
    assert!(near(small.steady_roll(&[0.2], 14.0).unwrap(), -2.0 * rate));
    assert!(near(solve(2.0).steady_roll(&[-0.1], 14.0).unwrap(), rate / 2.0));
    assert!(near(small.steady_roll(&[], 14.0).unwrap(), 0.0));
    assert_eq!(small.steady_roll(&[f64::NAN], 14.0), None);
}

/// A flap of the whole chord and span is a wing whose halves are turned oppositely.
#[test]
fn a_wing_that_is_all_aileron_rolls_as_fast_as_its_halves_are_turned() {
    let (mut surface, reference) = swept(1.0, 0.0);
    surface.flap = Some(Flap { inner: 0.0, outer: 0.5, chord_share: 1.0 });
    let lattice = Lattice::new(&[surface], reference).unwrap();
    let found = lattice.antisymmetric().unwrap();
    let rolled = -found.flaps[0].streamwise / found.roll_rate;
    // By strips alone: y c over y² c, times b/2, of a chord that tapers by 0.464.
    let strips = (1.0 / 2.0 - 0.464 / 3.0) / (1.0 / 3.0 - 0.464 / 4.0);
    assert!((-rolled / strips - 1.0).abs() < 0.1, "{rolled}, {strips}");
}

#[test]
fn the_loads_of_the_strips_add_up_to_the_lift() {
    let (surface, reference) = swept(1.0, 0.05);
    let found = Lattice::new(&[surface], reference).unwrap().symmetric().unwrap();
    let state = State { angle_of_attack: 0.1, pitch_rate: 0.01, flaps: vec![-0.05] };
    let loads = found.loads(&state);
    let half: f64 = loads.iter().map(|one| one.lift * one.chord * one.width).sum();
    assert!(near(2.0 * half / reference.area, found.effect(&state).lift));
    assert!(0.0 < found.induced_drag(&state));
}

#[test]
fn a_tail_in_the_plane_of_the_wing_moves_the_neutral_point_aft() {
    let (wing, reference) = swept(1.0, 0.0);
    let alone = Lattice::new(std::slice::from_ref(&wing), reference)
        .unwrap()
        .symmetric()
        .unwrap();
    let ribs = vec![rib(0.0, 0.9, 0.12, 0.0), rib(0.2, 0.9, 0.12, 0.0)];
    let tail = Surface { ribs, flap: None, grid: Grid::TAIL };
    let both = Lattice::new(&[wing, tail], reference).unwrap().symmetric().unwrap();
    let moved = both.neutral_point().unwrap() - alone.neutral_point().unwrap();
    // In the wash of the wing a tail does less than it would alone.
    assert!(0.02 < moved && moved < 0.15, "{moved}");
}

#[test]
fn moving_the_datum_moves_every_station_alike_and_no_coefficient() {
    let solve = |moved: f64| {
        let (mut surface, mut reference) = swept(1.0, 0.05);
        surface.ribs.iter_mut().for_each(|rib| rib.leading_edge += moved);
        reference.station += moved;
        Lattice::new(&[surface], reference).unwrap().both().unwrap()
    };
    let ((here, here_roll), (there, there_roll)) = (solve(0.0), solve(-3.5));
    let moved = here.neutral_point().unwrap() - there.neutral_point().unwrap();
    assert!(near(moved, 3.5));
    for (one, two) in [
        (here.angle_of_attack, there.angle_of_attack),
        (here.incidence, there.incidence),
        (here.pitch_rate, there.pitch_rate),
        (here.flaps[0].hinge, there.flaps[0].hinge),
    ] {
        assert!(near(one.lift, two.lift) && near(one.moment, two.moment));
    }
    assert!(near(here_roll.roll_rate, there_roll.roll_rate));
}

/// How far two surfaces differ: lift slope as a share, neutral point in mean chords.
fn apart(one: &Surface, two: &Surface, reference: Reference) -> [f64; 2] {
    let solve = |surface: &Surface| {
        let surfaces = [Surface { grid: Grid::WING, ..surface.clone() }];
        let found = Lattice::new(&surfaces, reference).unwrap().symmetric().unwrap();
        (found.angle_of_attack.lift, found.neutral_point().unwrap())
    };
    let ((slope, neutral), (other, moved)) = (solve(one), solve(two));
    [other / slope - 1.0, (moved - neutral) / reference.chord].map(f64::abs)
}

#[test]
fn a_panel_split_in_two_changes_no_more_than_the_grid_errs() {
    let (surface, reference) = swept(1.0, 0.05);
    let mut split = surface.clone();
    split.ribs.insert(1, rib(0.25, 0.125, 0.215, -0.025));
    let [lift, neutral] = apart(&surface, &split, reference);
    assert!(lift < 1e-4 && neutral < 1e-4, "{lift}, {neutral}");
}

#[test]
fn a_flap_at_rest_changes_no_more_than_the_grid_errs() {
    let (surface, reference) = swept(1.0, 0.05);
    let plain = Surface { flap: None, ..surface.clone() };
    let [lift, neutral] = apart(&surface, &plain, reference);
    // The strip left between this flap and the tip is narrow, and strips that are not
    // even err more.
    assert!(lift < 0.006 && neutral < 0.0025, "{lift}, {neutral}");
}

#[test]
fn lift_ahead_of_the_neutral_point_steadies_and_behind_it_upsets() {
    let (surface, reference) = swept(1.0, 0.0);
    let found = Lattice::new(&[surface], reference).unwrap().symmetric().unwrap();
    let neutral = found.neutral_point().unwrap();
    let about = |station| found.angle_of_attack.moment_about(station, &reference);
    assert!(about(neutral - 1e-6) < 0.0 && 0.0 < about(neutral + 1e-6));
    assert!(about(neutral).abs() < 1e-12);
}

#[test]
fn both_at_once_are_one_after_the_other() {
    let (surface, reference) = swept(1.0, 0.05);
    let lattice = Lattice::new(&[surface], reference).unwrap();
    let apart = (lattice.symmetric().unwrap(), lattice.antisymmetric().unwrap());
    assert_eq!(lattice.both().unwrap(), apart);
}

#[test]
fn shapes_that_have_no_lattice_say_why() {
    let (surface, ribs) =
        (0, |surface: &mut Surface, ribs: Vec<Rib>| surface.ribs = ribs);
    let root = rib(0.0, 0.0, 0.2, 0.0);
    assert_eq!(why(|s, _| s.ribs.truncate(1)), NoLattice::TooFewRibs { surface });
    assert_eq!(why(|s, _| s.ribs.reverse()), NoLattice::NotInOrder { surface, rib: 1 });
    let twice = NoLattice::CoincidentRibs { surface, rib: 1 };
    assert_eq!(why(|s, _| ribs(s, vec![root, root])), twice);
    let step = rib(0.0, 0.0, 0.1, 0.0);
    assert_eq!(why(|s, _| ribs(s, vec![root, step])), NoLattice::NoSpan { surface });
    let fin = Rib { up: 0.3, ..root };
    assert_eq!(why(|s, _| ribs(s, vec![root, fin])), NoLattice::NoSpan { surface });
    let thin = vec![rib(0.0, 0.0, 0.0, 0.0), rib(1.0, 0.0, 0.0, 0.0)];
    assert_eq!(why(|s, _| ribs(s, thin.clone())), NoLattice::NoArea { surface });
    let negative = NoLattice::NegativeChord { surface, rib: 1 };
    assert_eq!(why(|s, _| s.ribs[1].chord = -0.1), negative);
    assert_eq!(why(|s, _| s.ribs[1].incidence = f64::NAN), NoLattice::TooLarge);
    assert_eq!(why(|_, reference| reference.area = 0.0), NoLattice::NoReference);
    assert_eq!(why(|s, _| s.grid.chordwise = 0), NoLattice::NoPanels { surface });
    assert_eq!(why(|s, _| s.grid.spanwise = u16::MAX), NoLattice::TooManyPanels);
    let outer = |s: &mut Surface, _: &mut Reference| {
        s.flap = Some(Flap { inner: 0.2, outer: 0.9, chord_share: 0.2 });
    };
    assert_eq!(why(outer), NoLattice::NoFlap { surface });
    let (_, reference) = swept(1.0, 0.0);
    assert_eq!(Lattice::new(&[], reference).unwrap_err(), NoLattice::NoSurface);
}

use super::*;
use crate::space::Point;

/// An elevon as it is built: arm 10 mm, horn 15 mm, rod about 120 mm.
fn plane() -> Plane {
    Plane {
        arm: 0.010,
        horn: 0.015,
        hinge_aft: 0.120,
        hinge_up: 0.0,
        arm_lean: 0.0,
        horn_lean: 0.0,
        rod: Rod::ClosedAtNeutral,
    }
}

fn built(change: impl Fn(&mut Plane)) -> Linkage {
    let mut given = plane();
    change(&mut given);
    given.linkage().unwrap()
}

fn degrees(angle: f64) -> f64 {
    angle.to_degrees()
}

/// The rod between the pins, worked out from where they stand.
fn stretched(linkage: &Linkage, servo: f64, surface: f64) -> f64 {
    linkage.horn().pin(surface).minus(linkage.arm().pin(servo)).length()
}

#[test]
fn a_parallelogram_turns_the_surface_as_the_servo_turns() {
    let equal = built(|plane| plane.horn = plane.arm);
    for servo in [-80.0, -45.0, 0.0, 30.0, 89.0_f64] {
        let position = equal.position(servo.to_radians()).unwrap();
        assert!((degrees(position.surface) - servo).abs() < 1e-9);
        assert!((position.slope() - 1.0).abs() < 1e-9);
    }
}

#[test]
fn an_arm_longer_than_the_horn_ends_locked_and_a_shorter_one_over_centre() {
    let strong = built(|plane| (plane.arm, plane.horn) = (0.020, 0.010));
    let weak = built(|plane| (plane.arm, plane.horn) = (0.010, 0.020));
    let Senses { negative, positive } = strong.ends();
    assert_eq!((negative.stop, positive.stop), (Stop::Locked, Stop::Locked));
    let Senses { negative, positive } = weak.ends();
    assert_eq!((negative.stop, positive.stop), (Stop::OverCentre, Stop::OverCentre));
    for (linkage, joint) in [(strong, Joint::Horn), (weak, Joint::Arm)] {
        for end in [linkage.ends().negative, linkage.ends().positive] {
            let inside = linkage.position(end.servo * 0.9999).unwrap();
            let (tightest, angle) = inside.tightest();
            assert_eq!(tightest, joint);
            assert!(degrees(angle) < 2.0, "{}", degrees(angle));
            let beyond = Err(NoAngle::Beyond(end));
            assert_eq!(linkage.surface(end.servo * 1.0001), beyond);
            assert_eq!(linkage.servo(end.surface * 1.0001), beyond);
        }
    }
}

#[test]
fn the_angle_at_which_it_locks_is_the_one_from_the_triangle_at_full_stretch() {
    let linkage = built(|plane| (plane.arm, plane.horn) = (0.020, 0.010));
    let Senses { negative, positive } = linkage.ends();
    let (arm, hinge) = (0.020, 0.120);
    // From arm's pin to hinge the rod goes past it by the horn, or lacks the horn.
    for (end, way) in
        [(negative, linkage.rod() + 0.010), (positive, linkage.rod() - 0.010)]
    {
        let cosine = (arm * arm + hinge * hinge - way * way) / (2.0 * arm * hinge);
        // Counted from upright, the hinge lies a right angle aft.
        let expected = FRAC_PI_2 - libm::acos(cosine);
        assert!((end.servo - expected).abs() < 1e-9, "{end:?} {expected}");
    }
}

#[test]
fn what_is_found_keeps_the_rod_as_long_as_it_is() {
    let linkages = [plane().linkage().unwrap(), twisted(), rodded(0.1215), rodded(0.118)];
    for linkage in linkages {
        let Senses { negative, positive } = linkage.ends();
        for step in 0..=100 {
            let share = f64::from(step) / 100.0;
            let servo = negative.servo + (positive.servo - negative.servo) * share;
            let surface = linkage.surface(servo).unwrap();
            let rod = stretched(&linkage, servo, surface);
            assert!((rod - linkage.rod()).abs() < 1e-9, "{servo} {surface} {rod}");
        }
    }
}

/// Nothing square to anything: a servo that lies flat, a swept hinge, a horn off it.
fn twisted() -> Linkage {
    let servo = Axis {
        through: Point { aft: 0.11, right: 0.20, up: 0.004 },
        direction: Point { aft: 0.1, right: 0.9, up: -0.3 },
    };
    let hinge = Axis {
        through: Point { aft: 0.21, right: 0.213, up: 0.009 },
        direction: Point { aft: 0.4, right: 1.0, up: 0.05 },
    };
    let arm = Crank::leaning(servo, Point::UP, 0.011, 0.15).unwrap();
    let horn = Crank::standing(hinge, Point::UP, 0.016, 0.003).unwrap();
    Linkage::new(arm, horn, Rod::ClosedAtNeutral).unwrap()
}

fn rodded(rod: f64) -> Linkage {
    built(|plane| plane.rod = Rod::Long(rod))
}

#[test]
fn a_rod_that_is_long_puts_the_surface_down_and_a_short_one_up() {
    assert!(rodded(0.1215).rest() > 0.05 && rodded(0.118).rest() < -0.05);
    let surface = rodded(0.1215).surface(0.0).unwrap();
    assert!((surface - rodded(0.1215).rest()).abs() < 1e-15);
    let servo = rodded(0.1215).servo(surface).unwrap();
    assert!(servo.abs() < 1e-12);
}

#[test]
fn a_rod_that_does_not_meet_says_which_would() {
    let why = |rod: f64| Plane { rod: Rod::Long(rod), ..plane() }.linkage().unwrap_err();
    let NoLinkage::DoesNotMeet { shortest, longest } = why(0.2) else { panic!() };
    assert!((longest - shortest - 0.030).abs() < 1e-12);
    let out = (0.120_f64 * 0.120 + 0.010 * 0.010).sqrt();
    assert!((shortest - (out - 0.015)).abs() < 1e-12);
    assert_eq!(why(0.01), why(0.2));
    assert!(rodded(shortest + 1e-4).rest() < rodded(longest - 1e-4).rest());
    assert_eq!(why(shortest), NoLinkage::DeadAtNeutral(Joint::Horn));
}

#[test]
fn a_horn_behind_its_hinge_gives_unequal_throws_and_one_above_it_nearly_equal_ones() {
    let throws = |behind: f64| {
        let lean = libm::atan2(behind, 0.015);
        let linkage = built(|plane| plane.horn_lean = lean);
        linkage.throws(30_f64.to_radians()).unwrap()
    };
    let (above, behind) = (throws(0.0), throws(0.004));
    assert!(above.unevenness().unwrap() < 0.01);
    assert!(0.05 < behind.unevenness().unwrap());
    assert!(behind.up < behind.down);
    assert_eq!(Throws { down: 0.1, up: 0.0 }.unevenness(), None);
}

#[test]
fn the_first_angle_that_binds_has_the_limit_and_all_before_it_more() {
    for linkage in [plane().linkage().unwrap(), twisted(), rodded(0.1215)] {
        let limit = 25_f64.to_radians();
        let bindings = linkage.bindings(limit).unwrap();
        for binding in [bindings.negative.unwrap(), bindings.positive.unwrap()] {
            let position = linkage.position(binding.servo).unwrap();
            let (joint, angle) = position.tightest();
            assert_eq!(joint, binding.joint);
            assert!((angle - limit).abs() < 1e-9, "{angle}");
            assert!((position.surface - binding.surface).abs() < 1e-9);
            let course = linkage.course(0.0, binding.servo * 0.999, 200).unwrap();
            assert!(course.iter().all(|position| limit < position.tightest().1));
        }
    }
}

#[test]
fn a_limit_of_nought_binds_at_the_ends_and_one_of_a_right_angle_at_once() {
    let linkage = twisted();
    let at_ends = linkage.bindings(0.0).unwrap();
    let ends = linkage.ends();
    assert!((at_ends.positive.unwrap().servo - ends.positive.servo).abs() < 1e-5);
    assert!((at_ends.negative.unwrap().servo - ends.negative.servo).abs() < 1e-5);
    let at_once = linkage.bindings(FRAC_PI_2).unwrap();
    assert!(at_once.positive.unwrap().servo.abs() < 1e-12);
    assert_eq!(linkage.bindings(f64::NAN), Err(NoAngle::NotANumber));
}

#[test]
fn the_servo_holds_against_the_air_and_the_rod_is_pressed_or_pulled() {
    let linkage = plane().linkage().unwrap();
    let position = linkage.position(0.3).unwrap();
    // Air that pushes the edge up, against a surface that is down.
    let (hinge_moment, torque) = (-0.06, position.holding_torque(-0.06).unwrap());
    assert!(0.0 < torque && torque < 0.06, "the horn is longer than the arm");
    let push = position.push_against(hinge_moment).unwrap();
    assert!(0.0 < push, "the rod pushes the horn aft, which holds the edge down");
    assert!((position.push_of_torque(torque).unwrap() - push).abs() < 1e-12);
}

#[test]
fn no_moment_and_no_torque_have_no_force() {
    let position = plane().linkage().unwrap().position(0.3).unwrap();
    for none in [f64::NAN, f64::INFINITY] {
        assert_eq!(position.holding_torque(none), None);
        assert_eq!(position.push_against(none), None);
        assert_eq!(position.push_of_torque(none), None);
    }
    let over = Position { arm_lever: 0.0, ..position };
    assert_eq!(over.push_of_torque(0.1), None);
}

#[test]
fn an_arm_that_lies_across_goes_over_centre_where_its_pin_is_highest_and_lowest() {
    let servo = Axis { through: Point::default(), direction: Point::AFT };
    let hinge = Axis { through: Point::UP.times(0.1), direction: Point::RIGHT };
    let arm = Crank::new(servo, Point::RIGHT.times(0.010)).unwrap();
    let horn = Crank::standing(hinge, Point::AFT, 0.030, 0.0).unwrap();
    let linkage = Linkage::new(arm, horn, Rod::ClosedAtNeutral).unwrap();
    let Senses { negative, positive } = linkage.ends();
    assert_eq!((negative.stop, positive.stop), (Stop::OverCentre, Stop::OverCentre));
    for end in [negative, positive] {
        assert!((degrees(end.servo).abs() - 90.0).abs() < 10.0, "{end:?}");
    }
}

#[test]
fn arm_and_horn_that_go_round_together_end_at_half_a_turn() {
    // Both longer than what lies between their axes: they drag each other round.
    let drag = Plane { arm: 0.030, horn: 0.028, hinge_aft: 0.005, ..plane() };
    let drag = Plane { horn_lean: 1.0, ..drag }.linkage().unwrap();
    for end in [drag.ends().negative, drag.ends().positive] {
        assert_eq!(end.stop, Stop::HalfTurn);
        let turned = end.servo.abs().max(end.surface.abs());
        assert!((turned - PI).abs() < 1e-8, "{end:?}");
        assert!((drag.surface(end.servo).unwrap() - end.surface).abs() < 1e-9);
    }
}

#[test]
fn parts_that_make_no_linkage_say_which_is_wrong() {
    let why = |change: &dyn Fn(&mut Plane)| {
        let mut given = plane();
        change(&mut given);
        given.linkage().unwrap_err()
    };
    let no_arm = |why| NoLinkage::NoCrank(Joint::Arm, why);
    assert_eq!(why(&|plane| plane.arm = 0.0), no_arm(NoCrank::OnAxis));
    assert_eq!(why(&|plane| plane.arm = -0.01), no_arm(NoCrank::OnAxis));
    assert_eq!(why(&|plane| plane.arm = f64::NAN), no_arm(NoCrank::TooLarge));
    let too_large = NoLinkage::NoCrank(Joint::Horn, NoCrank::TooLarge);
    assert_eq!(why(&|plane| plane.hinge_aft = f64::INFINITY), too_large);
    assert_eq!(why(&|plane| plane.rod = Rod::Long(f64::NAN)), NoLinkage::TooLarge);
    assert_eq!(why(&|plane| plane.rod = Rod::Long(-1.0)), NoLinkage::NoRod);
    assert_eq!(
        why(&|plane| (plane.hinge_aft, plane.horn) = (0.0, 0.010)),
        NoLinkage::NoRod
    );
    assert_eq!(
        why(&|plane| plane.arm_lean = FRAC_PI_2 - libm::atan2(0.015, 0.120)),
        NoLinkage::DeadAtNeutral(Joint::Arm)
    );
    let axis = Axis { through: Point::default(), direction: Point::default() };
    assert_eq!(Crank::new(axis, Point::UP), Err(NoCrank::NoDirection));
    let axis = Axis { direction: Point::UP, ..axis };
    assert_eq!(Crank::standing(axis, Point::UP, 0.1, 0.0), Err(NoCrank::NotUpright));
    assert_eq!(Crank::new(axis, Point::UP), Err(NoCrank::OnAxis));
}

#[test]
fn an_angle_that_is_no_number_has_no_counterpart() {
    let linkage = plane().linkage().unwrap();
    for angle in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(linkage.surface(angle), Err(NoAngle::NotANumber));
        assert_eq!(linkage.servo(angle), Err(NoAngle::NotANumber));
        assert_eq!(linkage.throws(angle), Err(NoAngle::NotANumber));
        assert_eq!(linkage.course(0.0, angle, 3), Err(NoAngle::NotANumber));
    }
    assert_eq!(linkage.course(0.1, 0.2, 0).unwrap().len(), 1);
}

fn wanted(up: f64, down: f64, usable: f64) -> Wanted {
    let [up, down, usable] = [up, down, usable].map(f64::to_radians);
    Wanted { up, down, usable }
}

#[test]
fn holes_are_sorted_by_how_much_of_the_servo_they_use() {
    let linkage = plane().linkage().unwrap();
    let (arms, horns) = ([0.007, 0.009, 0.011], [0.013, 0.017, 0.021]);
    let pairs = hole_pairs(&linkage, &arms, &horns, wanted(15.0, 15.0, 40.0));
    assert_eq!(pairs.len(), 9);
    let reach = pairs.iter().take_while(|pair| pair.fit == Fit::Reaches).count();
    assert!(0 < reach && reach < 9);
    let (reaching, others) = pairs.split_at(reach);
    assert!(reaching.windows(2).all(|two| two[1].share <= two[0].share));
    assert!(others.windows(2).all(|two| two[0].share <= two[1].share));
    let last = others.last().unwrap();
    assert_eq!((last.arm, last.horn, last.fit), (0.007, 0.021, Fit::NeedsMore));
    for pair in &pairs {
        // What it says comes true.
        let linkage = linkage.with_holes(pair.arm, pair.horn).unwrap();
        let up = linkage.surface(pair.servo_up.unwrap()).unwrap();
        let down = linkage.surface(pair.servo_down.unwrap()).unwrap();
        assert!((degrees(up) + 15.0).abs() < 1e-9 && (degrees(down) - 15.0).abs() < 1e-9);
    }
}

#[test]
fn holes_that_never_come_so_far_and_holes_on_the_axis_say_so() {
    let linkage = plane().linkage().unwrap();
    let pairs = hole_pairs(&linkage, &[0.010, 0.0], &[0.03], wanted(30.0, 30.0, 45.0));
    let [never, none] = &pairs[..] else { panic!() };
    assert!(matches!(never.fit, Fit::Ends(NoAngle::Beyond(_))) && never.rod.is_some());
    let no_arm = NoLinkage::NoCrank(Joint::Arm, NoCrank::OnAxis);
    assert_eq!((none.fit, none.rod), (Fit::NoLinkage(no_arm), None));
    let pairs = hole_pairs(&linkage, &[0.01], &[0.015], wanted(f64::NAN, 1.0, 1.0));
    assert_eq!(pairs[0].fit, Fit::Ends(NoAngle::NotANumber));
    let pairs = hole_pairs(&linkage, &[0.01], &[0.015], wanted(1.0, 1.0, 0.0));
    assert_eq!((pairs[0].fit, pairs[0].share), (Fit::NeedsMore, None));
}

//! What holds of every linkage: it neither makes nor loses work, it knows no plane and
//! no size, and its mirror image does the same.

use proptest::prelude::*;
use trimsheet_physics::linkage::{
    Axis, Crank, Joint, Linkage, NoAngle, Plane, Rod, Stop, Wanted, hole_pairs,
};
use trimsheet_physics::space::Point;

use crate::specs::cases;

fn point(range: std::ops::Range<f64>) -> impl Strategy<Value = Point> {
    [range.clone(), range.clone(), range].prop_map(|[aft, right, up]| Point {
        aft,
        right,
        up,
    })
}

/// Linkages in space, of which no two directions have anything to do with each other.
fn spatial() -> impl Strategy<Value = Linkage> {
    let turning = || (point(-1.0..1.0), point(-0.02..0.02));
    let parts = (turning(), turning(), point(-0.1..0.1));
    let joined = parts.prop_map(|((servo, arm), (hinge, horn), apart)| {
        let axis = |through, direction| Axis { through, direction };
        let start = Point { aft: 0.3, right: 0.2, up: 0.01 };
        let arm = Crank::new(axis(start, servo), start.plus(arm)).ok()?;
        let start = start.plus(apart);
        let horn = Crank::new(axis(start, hinge), start.plus(horn)).ok()?;
        Linkage::new(arm, horn, Rod::ClosedAtNeutral).ok()
    });
    joined.prop_filter_map("no linkage", |linkage| linkage)
}

fn plane() -> impl Strategy<Value = Plane> {
    let lengths = (5.0..25.0, 6.0..30.0, 40.0..250.0, -20.0..20.0);
    let leans = (-0.5..0.5, -0.5..0.5);
    (lengths, leans).prop_map(
        |((arm, horn, hinge_aft, hinge_up), (arm_lean, horn_lean))| Plane {
            arm: arm / 1e3,
            horn: horn / 1e3,
            hinge_aft: hinge_aft / 1e3,
            hinge_up: hinge_up / 1e3,
            arm_lean,
            horn_lean,
            rod: Rod::ClosedAtNeutral,
        },
    )
}

/// Servo angles over the whole travel, but for its very ends.
fn travel(linkage: &Linkage) -> Vec<f64> {
    let ends = linkage.ends();
    let (from, to) = (ends.negative.servo, ends.positive.servo);
    (1..40).map(|step| from + (to - from) * f64::from(step) / 40.0).collect()
}

/// The surface angle of a plane linkage, by intersecting two circles in the plane.
fn by_circles(plane: &Plane, rod: f64, servo: f64, near: f64) -> Option<f64> {
    let lean = plane.arm_lean + servo;
    let (x, z) = (plane.arm * libm::sin(lean), plane.arm * libm::cos(lean));
    let (dx, dz) = (plane.hinge_aft - x, plane.hinge_up - z);
    let apart = (dx * dx + dz * dz).sqrt();
    let along = (apart * apart + rod * rod - plane.horn * plane.horn) / (2.0 * apart);
    let beside = rod * rod - along * along;
    if beside < 0.0 {
        return None;
    }
    let found = [1.0, -1.0].map(|side| {
        let off = side * beside.sqrt();
        let px = x + (along * dx - off * dz) / apart - plane.hinge_aft;
        let pz = z + (along * dz + off * dx) / apart - plane.hinge_up;
        libm::remainder(libm::atan2(px, pz) - plane.horn_lean, 2.0 * std::f64::consts::PI)
    });
    let off = |angle: f64| (angle - near).abs();
    Some(if off(found[0]) < off(found[1]) { found[0] } else { found[1] })
}

fn near(one: f64, two: f64, within: f64) -> bool {
    (one - two).abs() <= within * (1.0 + two.abs())
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn work_at_the_servo_is_work_at_the_hinge_all_the_way(linkage in spatial()) {
        for servo in travel(&linkage) {
            let position = linkage.position(servo).unwrap();
            if position.tightest().1 < 0.05 {
                continue;
            }
            // The slope is the ratio of two small ways.
            let step = 1e-6;
            let ways = [servo - step, servo + step].map(|at| linkage.surface(at));
            let [Ok(before), Ok(after)] = ways else { continue };
            let slope = (after - before) / (2.0 * step);
            prop_assert!(near(position.slope(), slope, 1e-3), "{position:?} {slope}");
            // And the ratio of torques, by the force along the rod alone.
            let hinge_moment = -0.07;
            let (arm, horn) = (linkage.arm(), linkage.horn());
            let (arm_pin, horn_pin) = (arm.pin(servo), horn.pin(position.surface));
            let push = horn_pin.minus(arm_pin).direction().unwrap()
                .times(position.push_against(hinge_moment).unwrap());
            // A pin moves by the force's share along its way: torque is force times that.
            let way = |crank: &Crank, angle: f64| {
                crank.pin(angle + 1e-6).minus(crank.pin(angle - 1e-6)).times(0.5e6)
            };
            let on_horn = push.dot(way(horn, position.surface));
            prop_assert!(near(on_horn, -hinge_moment, 1e-6), "{on_horn}");
            let on_arm = -push.dot(way(arm, servo));
            let torque = position.holding_torque(hinge_moment).unwrap();
            prop_assert!(near(on_arm + torque, 0.0, 1e-6 * (1.0 + torque.abs())));
        }
    }

    #[test]
    fn a_servo_and_its_surface_turn_each_other_and_never_turn_back(linkage in spatial()) {
        let course: Vec<f64> =
            travel(&linkage).iter().map(|at| linkage.surface(*at).unwrap()).collect();
        let rises = course[0] < course[1];
        for two in course.windows(2) {
            prop_assert_eq!(two[0] < two[1], rises, "{:?}", &course);
            // No jump to another branch: less than half a turn in a fortieth of it.
            prop_assert!((two[1] - two[0]).abs() < 2.0, "{:?}", &course);
        }
        for (servo, surface) in travel(&linkage).into_iter().zip(course) {
            let rod = linkage.horn().pin(surface).minus(linkage.arm().pin(servo));
            prop_assert!(near(rod.length(), linkage.rod(), 1e-9));
            let tightest = linkage.position(servo).unwrap().tightest().1;
            let back = linkage.servo(surface).unwrap();
            prop_assert!((back - servo).abs() < 1e-9 / (tightest * tightest));
        }
    }

    #[test]
    fn it_ends_where_a_joint_is_dead_and_not_before(linkage in spatial()) {
        for end in [linkage.ends().negative, linkage.ends().positive] {
            let last = linkage.position(end.servo * (1.0 - 1e-7)).unwrap();
            match end.stop {
                Stop::Locked => prop_assert!(last.horn_transmission < 2e-3, "{last:?}"),
                Stop::OverCentre => prop_assert!(last.arm_transmission < 2e-3, "{last:?}"),
                Stop::HalfTurn => {
                    let turned = end.servo.abs().max(end.surface.abs());
                    prop_assert!(near(turned, std::f64::consts::PI, 1e-9));
                }
            }
            prop_assert_eq!(linkage.surface(end.servo * 1.001), Err(NoAngle::Beyond(end)));
        }
        for servo in travel(&linkage) {
            prop_assert!(0.0 < linkage.position(servo).unwrap().tightest().1);
        }
    }

    #[test]
    fn nothing_binds_before_the_angle_that_is_named(
        linkage in spatial(), limit in 0.05..1.2_f64
    ) {
        let bindings = linkage.bindings(limit).unwrap();
        for binding in [bindings.negative, bindings.positive].into_iter().flatten() {
            let there = linkage.position(binding.servo).unwrap();
            if binding.servo.abs() < 1e-12 {
                prop_assert!(there.tightest().1 <= limit + 1e-9);
                continue;
            }
            let at = match binding.joint {
                Joint::Arm => there.arm_transmission,
                Joint::Horn => there.horn_transmission,
            };
            prop_assert!(near(at, limit, 1e-6), "{there:?} {limit}");
            for position in linkage.course(0.0, binding.servo * 0.9999, 50).unwrap() {
                prop_assert!(limit - 1e-9 < position.tightest().1);
            }
        }
    }

    #[test]
    fn in_a_plane_it_is_the_plane_linkage_wherever_the_plane_lies(
        plane in plane(),
        axis in point(-1.0..1.0),
        upright in point(-1.0..1.0),
        place in point(-2.0..2.0),
    ) {
        let (Some(along), Some(_)) = (axis.direction(), upright.direction()) else {
            return Ok(());
        };
        let square = upright.minus(along.times(upright.dot(along)));
        prop_assume!(0.1 < square.length());
        let up = square.direction().unwrap();
        let aft = along.cross(up);
        let hinge = aft.times(plane.hinge_aft).plus(up.times(plane.hinge_up));
        let at = |through: Point| Axis { through, direction: axis };
        // Along their axes arm and horn may be drawn anywhere, as long as they meet.
        let arm = Crank::leaning(at(place), upright, plane.arm, plane.arm_lean);
        let horn =
            Crank::leaning(at(place.plus(hinge)), upright, plane.horn, plane.horn_lean);
        let (Ok(arm), Ok(horn)) = (arm, horn) else { panic!("no arms: {plane:?}") };
        let spatial = Linkage::new(arm, horn, Rod::ClosedAtNeutral);
        let (Ok(spatial), Ok(flat)) = (spatial, plane.linkage()) else {
            return Ok(());
        };
        let mut last = 0.0;
        for step in 0..60 {
            let servo = f64::from(step) / 60.0 * flat.ends().positive.servo;
            let surface = flat.surface(servo).unwrap();
            let other = by_circles(&plane, flat.rod(), servo, last).unwrap();
            prop_assert!(near(surface, other, 1e-6), "{servo}: {surface}, {other}");
            prop_assert!(near(spatial.surface(servo).unwrap(), surface, 1e-6));
            last = surface;
        }
    }

    #[test]
    fn the_mirror_image_on_the_other_half_has_equal_throws(linkage in spatial()) {
        let other = linkage.mirrored();
        // Built anew from mirrored places, not only said to be the same.
        let axis = |crank: &Crank| {
            let (zero, quarter) = (crank.pin(0.0), crank.pin(std::f64::consts::FRAC_PI_2));
            let centre = zero.plus(crank.pin(std::f64::consts::PI)).times(0.5);
            let direction = zero.minus(centre).cross(quarter.minus(centre)).times(1e4);
            (Axis { through: centre, direction }, zero)
        };
        let [arm, horn] = [other.arm(), other.horn()].map(|crank| {
            let (axis, pin) = axis(crank);
            Crank::new(axis, pin).unwrap()
        });
        let built = Linkage::new(arm, horn, Rod::ClosedAtNeutral).unwrap();
        for servo in travel(&linkage) {
            let (one, two) = (linkage.position(servo).unwrap(), other.surface(servo));
            prop_assert_eq!(Ok(one.surface), two);
            if 0.05 < one.tightest().1 {
                prop_assert!(near(built.surface(servo).unwrap(), one.surface, 1e-6));
            }
            let pins = linkage.horn().pin(one.surface).minus(other.horn().pin(one.surface));
            prop_assert!(pins.aft.abs() < 1e-12 && pins.up.abs() < 1e-12);
        }
    }

    #[test]
    fn a_larger_linkage_turns_the_same_and_has_longer_levers(
        plane in plane(), times in 0.2..5.0_f64
    ) {
        let large = Plane {
            arm: times * plane.arm,
            horn: times * plane.horn,
            hinge_aft: times * plane.hinge_aft,
            hinge_up: times * plane.hinge_up,
            ..plane
        };
        let (Ok(small), Ok(large)) = (plane.linkage(), large.linkage()) else {
            return Ok(());
        };
        prop_assert_eq!(small.ends().positive.stop, large.ends().positive.stop);
        for servo in travel(&small) {
            let (one, two) = (small.position(servo).unwrap(), large.position(servo));
            let two = two.unwrap();
            prop_assert!(near(one.surface, two.surface, 1e-6));
            prop_assert!(near(times * one.arm_lever, two.arm_lever, 1e-6));
            prop_assert!(near(times * one.horn_lever, two.horn_lever, 1e-6));
        }
    }

    #[test]
    fn a_stiffer_pair_of_holes_loads_the_servo_less(plane in plane(), up in 0.05..0.3_f64) {
        let Ok(linkage) = plane.linkage() else { return Ok(()) };
        let wanted = Wanted { up, down: up, usable: 0.8 };
        let (arms, horns) = ([0.006, 0.010], [0.012, 0.020]);
        for pair in hole_pairs(&linkage, &arms, &horns, wanted) {
            let Some(servo) = pair.servo_up else { continue };
            let linkage = linkage.with_holes(pair.arm, pair.horn).unwrap();
            let position = linkage.position(servo).unwrap();
            prop_assert!(near(position.surface, -up, 1e-9));
            // Work up to there is the integral of the torque: a surface that is pushed
            // with 1 N m all the way takes as much as the servo gives.
            let steps = linkage.course(0.0, servo, 400).unwrap();
            let torque = |at: usize| steps[at].holding_torque(1.0).unwrap();
            let each = servo / 400.0;
            let work: f64 = (0..200)
                .map(|pair| {
                    let at = 2 * pair;
                    let three = torque(at) + 4.0 * torque(at + 1) + torque(at + 2);
                    each * three / 3.0
                })
                .sum();
            prop_assert!(near(work, up, 1e-6), "{work}");
        }
    }

    #[test]
    fn whatever_the_numbers_are_there_is_an_answer_or_a_reason(
        numbers in prop::array::uniform9(prop_oneof![
            Just(0.0), Just(-0.0), Just(f64::NAN), Just(f64::INFINITY),
            Just(f64::NEG_INFINITY), Just(1e-300), Just(1e300), Just(-1.0), Just(0.01),
            Just(f64::MIN_POSITIVE), Just(1e6), Just(1e-6), Just(0.1), -1.0..1.0
        ])
    ) {
        let [arm, horn, hinge_aft, hinge_up, arm_lean, horn_lean, rod, servo, limit] = numbers;
        for rod in [Rod::ClosedAtNeutral, Rod::Long(rod)] {
            let plane = Plane { arm, horn, hinge_aft, hinge_up, arm_lean, horn_lean, rod };
            let Ok(linkage) = plane.linkage() else { continue };
            prop_assert!(linkage.ends().positive.surface.is_finite());
            if let Ok(position) = linkage.position(servo) {
                prop_assert!(position.surface.is_finite() && position.slope().is_finite());
                prop_assert!(position.tightest().1.is_finite());
            }
            if let Ok(angle) = linkage.servo(servo) {
                prop_assert!(angle.is_finite());
            }
            let bindings = linkage.bindings(limit);
            prop_assert_eq!(bindings.is_err(), limit.is_nan());
            let wanted = Wanted { up: servo, down: limit, usable: 0.8 };
            prop_assert_eq!(hole_pairs(&linkage, &[arm, rod_of(rod)], &[horn], wanted).len(), 2);
        }
    }
}

fn rod_of(rod: Rod) -> f64 {
    match rod {
        Rod::ClosedAtNeutral => 0.01,
        Rod::Long(length) => length,
    }
}

//! What quantities do, in the words of those who use them.

use std::cmp::Ordering;

use crate::{Axis, Dimension, Quantity, Side, Unit, Unlike};

fn quantity(value: f64, unit: &str) -> Quantity {
    Quantity::new(value, &Unit::read(unit).unwrap())
}

fn aft(value: f64) -> Quantity {
    quantity(value, "mm").on_side(Side::Aft)
}

fn ahead(value: f64) -> Quantity {
    quantity(value, "mm").on_side(Side::Ahead)
}

fn spread(value: f64, spread: f64, unit: &str) -> Quantity {
    let unit = Unit::read(unit).unwrap();
    Quantity::new(value, &unit).with_spread_in(spread, &unit).unwrap()
}

#[test]
fn a_place_prints_its_side_and_never_a_sign() {
    assert_eq!(aft(161.0).to_string(), "161 mm aft");
    assert_eq!(ahead(30.0).to_string(), "30 mm ahead");
    assert_eq!(ahead(0.0).to_string(), "0 mm aft");
    assert_eq!(aft(0.1).minus(&quantity(0.1, "mm")).unwrap().to_string(), "0 mm aft");
    let left = quantity(45.0, "mm").on_side(Side::Left);
    assert_eq!(left.to_string(), "45 mm left");
    assert_eq!(left.negated().to_string(), "45 mm right");
    assert_eq!(quantity(190.0, "mm").on_side(Side::Out).to_string(), "190 mm out");
}

#[test]
fn a_spread_prints_behind_the_side() {
    let place = aft(161.2).with_spread_si(0.003);
    assert_eq!(place.to_string(), "161 mm aft");
    assert_eq!(place.with_spread(), "161 mm aft ± 3 mm");
    assert_eq!(spread(14.0, 2.0, "dBm").with_spread(), "14 dBm ± 2 dB");
    assert_eq!(spread(20.0, 2.0, "°C").with_spread(), "20 °C ± 2 °C");
    assert_eq!(quantity(1334.0, "g").with_spread(), "1334 g");
}

#[test]
fn a_quantity_prints_in_the_unit_it_was_written_in() {
    assert_eq!(quantity(3.5, "in").to_string(), "3.5 in");
    assert_eq!(quantity(4.0, "S").to_string(), "4S");
    assert_eq!(quantity(11.4, "%").to_string(), "11.4 %");
    assert_eq!(quantity(-5.0, "°C").to_string(), "-5 °C");
    assert_eq!(quantity(22.0, "AWG").to_string(), "22 AWG");
}

#[test]
fn unlike_things_are_not_added_or_compared() {
    let error = quantity(5.0, "g").plus(&quantity(12.0, "mm")).unwrap_err();
    assert_eq!(error.to_string(), "a mass was expected, 12 mm is a length");
    let left = quantity(30.0, "mm").on_side(Side::Left);
    let error = aft(12.0).compare(&left).unwrap_err();
    assert_eq!(
        error.to_string(),
        "a length ahead or aft was expected, 30 mm left is a length left or right"
    );
}

#[test]
fn sums_keep_the_unit_of_the_first() {
    let sum = quantity(1.0, "in").plus(&quantity(25.4, "mm")).unwrap();
    assert_eq!(sum.to_string(), "2 in");
    let less = quantity(1.0, "kg").minus(&quantity(250.0, "g")).unwrap();
    assert_eq!(less.to_string(), "0.75 kg");
}

#[test]
fn two_places_are_a_length_apart_and_a_place_moves_by_a_length() {
    let apart = aft(30.0).minus(&ahead(12.0)).unwrap();
    assert_eq!((apart.axis(), apart.to_string().as_str()), (None, "42 mm"));
    let moved = ahead(12.0).plus(&quantity(20.0, "mm")).unwrap();
    assert_eq!(moved.to_string(), "8 mm aft");
    let moved = aft(12.0).minus(&quantity(20.0, "mm")).unwrap();
    assert_eq!(moved.to_string(), "8 mm ahead");
}

#[test]
fn moments_over_a_mass_are_a_place() {
    let (one, two) = (quantity(100.0, "g"), quantity(300.0, "g"));
    let moment = one.times(&ahead(40.0)).plus(&two.times(&aft(80.0))).unwrap();
    assert_eq!(moment.to_string(), "20000 g.mm aft");
    let place = moment.over(&one.plus(&two).unwrap()).unwrap();
    assert_eq!(place.to_string(), "50 mm aft");
}

#[test]
fn a_share_leaves_the_unit_as_it_is() {
    let quarter = quantity(25.0, "%");
    assert_eq!(quantity(2.0, "in").times(&quarter).to_string(), "0.5 in");
    assert_eq!(quarter.times(&quantity(2.0, "in")).to_string(), "0.5 in");
    assert_eq!(quantity(2.0, "in").over(&quarter).unwrap().to_string(), "8 in");
    let share = quantity(1.0, "in").over(&quantity(50.8, "mm")).unwrap();
    assert_eq!(share.to_string(), "50 %");
}

#[test]
fn a_rating_times_a_capacity_is_a_current() {
    let current = quantity(30.0, "C").times(&quantity(2200.0, "mAh"));
    assert_eq!(current.to_string(), "66 A");
    let rating = quantity(66.0, "A").over(&quantity(2.2, "Ah")).unwrap();
    assert_eq!(rating.to_string(), "30 C");
}

#[test]
fn a_weight_on_an_arm_is_a_torque() {
    let torque = quantity(2.0, "kgf").times(&quantity(11.0, "mm"));
    assert_eq!(torque.to_string(), "2.2 kgf.cm");
    assert_eq!(torque.over(&quantity(1.0, "cm")).unwrap().dimension(), Dimension::FORCE);
}

#[test]
fn spreads_add_as_squares() {
    let sum = spread(10.0, 3.0, "g").plus(&spread(20.0, 4.0, "g")).unwrap();
    assert_eq!(sum.with_spread(), "30 g ± 5 g");
    let product = spread(10.0, 0.3, "V").times(&spread(10.0, 0.4, "A"));
    assert_eq!(product.with_spread(), "100 W ± 5 W");
    let quotient = spread(10.0, 0.3, "V").over(&spread(10.0, 0.4, "A")).unwrap();
    assert!((quotient.spread_si().unwrap() - 0.05).abs() < 1e-12);
    assert_eq!(quantity(1.0, "g").plus(&quantity(1.0, "g")).unwrap().spread_si(), None);
}

#[test]
fn a_difference_of_temperatures_is_in_kelvins() {
    let rise = quantity(60.0, "°C").minus(&quantity(20.0, "°C")).unwrap();
    assert_eq!(rise.to_string(), "40 K");
    let warmer = quantity(20.0, "°C").plus(&rise).unwrap();
    assert_eq!(warmer.to_string(), "60 °C");
    let colder = quantity(20.0, "°C").minus(&rise).unwrap();
    assert_eq!(colder.to_string(), "-20 °C");
}

#[test]
fn no_power_at_all_is_shown_in_watts() {
    let nothing = quantity(10.0, "dBm").minus(&quantity(10.0, "mW")).unwrap();
    assert_eq!(nothing.to_string(), "0 W");
}

#[test]
fn division_by_nought_and_what_is_too_large_are_refused() {
    let error = quantity(5.0, "g").over(&quantity(0.0, "mm")).unwrap_err();
    assert_eq!(error.to_string(), "5 g cannot be divided by 0 mm, which is nought");
    let huge = quantity(1e199, "kg");
    assert_eq!(huge.scaled(9.0).plus(&huge.scaled(9.0)), Err(Unlike::TooLarge));
    assert_eq!(huge.over(&quantity(1e-9, "m")), Err(Unlike::TooLarge));
    let held = huge.times(&huge);
    assert!(held.si().is_finite() && held.value().is_finite());
    assert!(quantity(f64::NAN, "g").si().is_finite());
    assert_eq!(quantity(f64::INFINITY, "m").to_string(), "1.000e200 m");
}

#[test]
fn the_last_bit_of_a_sum_decides_nothing() {
    let sum = quantity(0.1, "A").plus(&quantity(0.2, "A")).unwrap();
    assert_eq!(sum.compare(&quantity(0.3, "A")), Ok(Ordering::Equal));
    assert_eq!(sum.surely_above(&quantity(0.3, "A")), Ok(false));
    assert_eq!(sum.possibly_above(&quantity(0.3, "A")), Ok(false));
    assert_eq!(quantity(1.0, "in").compare(&quantity(2.0, "cm")), Ok(Ordering::Greater));
    assert_eq!(ahead(5.0).compare(&aft(2.0)), Ok(Ordering::Less));
}

#[test]
fn above_is_sure_or_possible_as_the_spreads_overlap() {
    let limit = quantity(158.0, "mm");
    let near = spread(161.0, 4.0, "mm");
    assert_eq!(near.surely_above(&limit), Ok(false));
    assert_eq!(near.possibly_above(&limit), Ok(true));
    assert_eq!(near.surely_below(&limit), Ok(false));
    assert_eq!(near.possibly_below(&limit), Ok(true));
    let far = spread(161.0, 2.0, "mm");
    assert_eq!(far.surely_above(&limit), Ok(true));
    assert_eq!(far.possibly_below(&limit), Ok(false));
    assert_eq!(limit.surely_below(&far), Ok(true));
}

#[test]
fn a_size_has_no_side() {
    let size = ahead(5.0).with_spread_si(0.001).magnitude();
    assert_eq!((size.with_spread().as_str(), size.axis()), ("5 mm ± 1 mm", None));
    assert_eq!(ahead(5.0).axis(), Some(Axis::Length));
}

#[test]
fn a_quantity_is_shown_in_another_unit_of_the_same_dimension_only() {
    let place = aft(25.4).with_spread_si(0.00254);
    let inch = Unit::read("in").unwrap();
    assert_eq!(place.in_unit(&inch).unwrap().with_spread(), "1 in aft ± 0.1 in");
    assert_eq!(place.value_in(&Unit::read("g").unwrap()), None);
    assert_eq!(quantity(1.0, "g").with_spread_in(1.0, &inch), None);
}

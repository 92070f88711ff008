//! How a model glides: drag from lift, and from both the speeds that are worth knowing.
//!
//! The drag of a whole model is taken as one part that does not depend on lift and one
//! that grows with its square: CD = CD0 + k CL². That is fair between a fast glide and
//! the first signs of a stall, and knows nothing of the stall itself: a speed below it
//! is answered like any other, unless the caller gives the largest lift coefficient.
//!
//! Lift is taken as the weight. At a glide ratio of 8 that makes speeds 0.4 % too high,
//! and at 4 by 1.5 %. Every answer is as good as CD0, which is most often an estimate.
//!
//! Source: Anderson, "Aircraft Performance and Design", sections 5.4, 5.8 and 5.9; from
//! memory, and checked against the lowest of many points.

/// A parabolic drag polar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Polar {
    /// CD0: the drag coefficient of the whole model without lift.
    pub zero_lift_drag: f64,
    /// k: what the square of the lift coefficient adds; 1/(π e AR) for a wing.
    pub induced_factor: f64,
}

/// What a model weighs for its wing, and the air that it flies in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flight {
    /// Weight over wing area, in N/m².
    pub loading: f64,
    /// Of the air, in kg/m³.
    pub density: f64,
}

/// A steady glide without power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glide {
    /// The lift coefficient.
    pub lift: f64,
    /// The drag coefficient.
    pub drag: f64,
    /// How far it goes for each unit of height: lift over drag.
    pub ratio: f64,
    /// Through the air, in m/s.
    pub speed: f64,
    /// How fast it loses height, in m/s.
    pub sink: f64,
}

impl Polar {
    /// The drag coefficient at a lift coefficient: CD0 + k CL².
    #[must_use]
    pub fn drag(&self, lift: f64) -> f64 {
        self.zero_lift_drag + self.induced_factor * lift * lift
    }

    /// The glide at a lift coefficient: V = sqrt(2 W/(ρ S CL)), sink V CD/CL.
    ///
    /// `None` without lift, weight, area, air or drag.
    #[must_use]
    pub fn glide(&self, lift: f64, flight: &Flight) -> Option<Glide> {
        let drag = self.drag(lift);
        let squared = 2.0 * flight.loading / (flight.density * lift);
        let numbers = [self.zero_lift_drag, lift, drag, flight.loading, flight.density];
        let is_answered = 0.0 <= self.induced_factor
            && numbers.iter().all(|number| 0.0 < *number && number.is_finite());
        let speed = squared.sqrt();
        let glide =
            Glide { lift, drag, ratio: lift / drag, speed, sink: speed * drag / lift };
        (is_answered && glide.speed.is_finite() && glide.sink.is_finite())
            .then_some(glide)
    }

    /// The glide at a speed in m/s: CL = 2 W/(ρ S V²), however large that is.
    ///
    /// `None` as for [`Polar::glide`], and without speed.
    #[must_use]
    pub fn glide_at(&self, speed: f64, flight: &Flight) -> Option<Glide> {
        if speed <= 0.0 {
            return None;
        }
        self.glide(2.0 * flight.loading / (flight.density * speed * speed), flight)
    }

    /// The glide that goes furthest in still air: CL = sqrt(CD0/k), ratio 1/(2 sqrt(CD0 k)).
    ///
    /// If the wing has no more than `lift_max`, and that is less, the furthest glide is at
    /// that: compare [`Glide::lift`] with it to see. `None` also if nothing is induced.
    #[must_use]
    pub fn best_glide(&self, flight: &Flight, lift_max: Option<f64>) -> Option<Glide> {
        let squared = self.zero_lift_drag / self.induced_factor;
        self.glide(up_to(squared.sqrt(), lift_max), flight)
    }

    /// The glide that lasts longest: CL = sqrt(3 CD0/k), where CL³/CD² is largest.
    ///
    /// That is often more than a small wing has, so it is worth giving `lift_max`; it works
    /// as for [`Polar::best_glide`].
    #[must_use]
    pub fn least_sink(&self, flight: &Flight, lift_max: Option<f64>) -> Option<Glide> {
        let squared = 3.0 * self.zero_lift_drag / self.induced_factor;
        self.glide(up_to(squared.sqrt(), lift_max), flight)
    }
}

/// Below both best lifts a glide only gets worse, so a limit is where it is best.
fn up_to(lift: f64, lift_max: Option<f64>) -> f64 {
    match lift_max {
        Some(most) if most < lift => most,
        Some(_) | None => lift,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POLAR: Polar = Polar { zero_lift_drag: 0.024, induced_factor: 0.071 };
    const FLIGHT: Flight = Flight { loading: 37.0, density: 1.19 };

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() <= 1e-12 * two.abs()
    }

    /// Many glides, a ten-thousandth of a lift coefficient apart.
    fn sampled() -> impl Iterator<Item = Glide> {
        (1..=30_000).filter_map(|step| POLAR.glide(f64::from(step) / 10_000.0, &FLIGHT))
    }

    #[test]
    fn no_sampled_glide_goes_further_than_the_best() {
        let best = POLAR.best_glide(&FLIGHT, None).unwrap();
        let found = sampled().max_by(|a, b| a.ratio.total_cmp(&b.ratio)).unwrap();
        assert!((found.lift - best.lift).abs() <= 1e-4 && found.ratio <= best.ratio);
        assert!(near(best.ratio, 1.0 / (2.0 * (0.024_f64 * 0.071).sqrt())));
        assert!(near(best.drag, 2.0 * 0.024));
    }

    #[test]
    fn no_sampled_glide_sinks_slower_than_the_least() {
        let least = POLAR.least_sink(&FLIGHT, None).unwrap();
        let found = sampled().min_by(|a, b| a.sink.total_cmp(&b.sink)).unwrap();
        assert!((found.lift - least.lift).abs() <= 1e-4 && least.sink <= found.sink);
        assert!(near(least.drag, 4.0 * 0.024));
        // Slower than the best glide by the fourth root of three.
        let best = POLAR.best_glide(&FLIGHT, None).unwrap();
        assert!(near(best.speed / least.speed, 3_f64.sqrt().sqrt()));
    }

    #[test]
    fn the_glide_at_the_speed_of_a_glide_is_that_glide() {
        let there = POLAR.glide(0.37, &FLIGHT).unwrap();
        let back = POLAR.glide_at(there.speed, &FLIGHT).unwrap();
        assert!(near(back.lift, 0.37) && near(back.sink, there.sink));
        assert!(near(there.speed / there.sink, there.ratio));
    }

    #[test]
    fn speeds_grow_with_the_root_of_the_loading_and_ratios_do_not() {
        let heavy = Flight { loading: 4.0 * FLIGHT.loading, ..FLIGHT };
        for glide in [Polar::best_glide, Polar::least_sink] {
            let light = glide(&POLAR, &FLIGHT, None).unwrap();
            let heavy = glide(&POLAR, &heavy, None).unwrap();
            assert!(near(heavy.speed, 2.0 * light.speed));
            assert!(near(heavy.sink, 2.0 * light.sink) && near(heavy.ratio, light.ratio));
        }
    }

    #[test]
    fn a_limit_of_lift_holds_only_where_it_is_reached() {
        let free = POLAR.least_sink(&FLIGHT, None).unwrap();
        assert!(0.9 < free.lift);
        assert_eq!(POLAR.least_sink(&FLIGHT, Some(1.2)), Some(free));
        let held = POLAR.least_sink(&FLIGHT, Some(0.9)).unwrap();
        assert!(near(held.lift, 0.9));
        let below = sampled().filter(|glide| glide.lift <= 0.9);
        assert!(below.into_iter().all(|glide| held.sink <= glide.sink + 1e-12));
    }

    #[test]
    fn what_has_no_answer_is_none() {
        for lift in [0.0, -0.3, f64::NAN, f64::INFINITY] {
            assert_eq!(POLAR.glide(lift, &FLIGHT), None);
        }
        assert_eq!(POLAR.glide_at(0.0, &FLIGHT), None);
        assert_eq!(POLAR.glide_at(-9.0, &FLIGHT), None);
        assert_eq!(POLAR.glide_at(f64::NAN, &FLIGHT), None);
        let weightless = Flight { loading: 0.0, ..FLIGHT };
        assert_eq!(POLAR.best_glide(&weightless, None), None);
        let endless = Polar { induced_factor: 0.0, ..POLAR };
        assert_eq!(endless.best_glide(&FLIGHT, None), None);
        assert!(endless.least_sink(&FLIGHT, Some(0.8)).is_some());
        let negative = Polar { induced_factor: -0.1, ..POLAR };
        assert_eq!(negative.best_glide(&FLIGHT, None), None);
        let none = Polar { zero_lift_drag: 0.0, ..POLAR };
        assert_eq!(none.best_glide(&FLIGHT, None), None);
    }
}

//! Propellers by their coefficients: T = CT ρ n² D⁴, P = CP ρ n³ D⁵, over the advance
//! ratio J = V/(n D), with n in revolutions per second.
//!
//! A propeller is a table: rows that somebody measured, or an estimate from its pitch and
//! its diameter. Between two rows coefficients are linear, and before the first row they
//! are those of the first. Beyond the last row thrust and power fall on along the line
//! of the last two; power that would rise there is held instead. Thrust may fall below
//! nought, which is a brake, but power never does: how a propeller that the air drives
//! turns a motor is not said here. Nor is power ever less than what the same thrust asks
//! of an ideal disc. Coefficients change with revolutions too, by the Reynolds number:
//! the published propeller below gains a tenth of its static thrust from 1500 to 6000 rpm.
//!
//! The estimate is rough, and its numbers are common practice, no source: they were chosen
//! for two blades of the usual width, so that they meet the one published propeller of
//! the reference rows (pitch 0.75 of its diameter) and a figure of merit of 0.57 for
//! blades that do not stall. Thrust falls in a line, 0.2 for each advance ratio, and ends
//! where the model would advance by its pitch. Above 0.135 the blades stall and thrust
//! stays there, while power grows on with the pitch: 0.125 (p/D)^1.5 at rest, falling in a
//! line to a fifth of that where thrust ends.
//!
//! Sources: the coefficients are those of W. F. Durand's NACA reports and of every table
//! since; the ideal disc is the momentum theory of Rankine and Froude, in any text on
//! propellers. From memory.

use std::f64::consts::{PI, TAU};
use std::fmt;

/// How far an estimate may be from a propeller, as a share of 1 of its static
/// coefficient, at any advance ratio: twice the standard deviation.
///
/// Common practice, no source: propellers of equal size and pitch differ by their outline
/// and their sections. Three or four blades are outside of it.
pub const ESTIMATE_SPREAD: f64 = 0.2;

/// What an estimate loses of its thrust coefficient for each advance ratio.
const THRUST_SLOPE: f64 = 0.2;

/// Where the blades of an estimate stall.
const MOST_THRUST: f64 = 0.135;

/// The static power coefficient of an estimate whose pitch is its diameter.
const STATIC_POWER: f64 = 0.125;

/// What an estimate keeps of its static power where thrust ends.
const POWER_LEFT: f64 = 0.2;

/// The least and the largest pitch over diameter that an estimate is for.
pub const ESTIMATED_PITCHES: [f64; 2] = [0.2, 1.2];

/// One row of a propeller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficients {
    /// J = V/(n D).
    pub advance: f64,
    /// CT = T/(ρ n² D⁴).
    pub thrust: f64,
    /// CP = P/(ρ n³ D⁵).
    pub power: f64,
}

/// A propeller that answers at every advance ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct Propeller {
    diameter: f64,
    rows: Vec<Coefficients>,
    /// How many of the rows were measured; what follows them is estimated.
    measured: usize,
}

/// Why a propeller cannot be made of what is said of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoPropeller {
    /// The diameter is none, or not above nought.
    NoDiameter,
    /// The pitch is none, or not above nought.
    NoPitch,
    /// The pitch over the diameter is further out than any estimate here is good for.
    PitchOutside(f64),
    /// There is no row.
    NoRows,
    /// A number of this row is none, or its advance ratio is negative; counted from 1.
    NotANumber(usize),
    /// The advance ratio of this row is not above that of the row before it.
    NotInOrder(usize),
    /// This row gives more thrust than an ideal disc would for its power.
    MoreThanIdeal {
        /// Which row, counted from 1.
        row: usize,
        /// The power coefficient that its thrust asks for at least.
        least: f64,
    },
    /// The first row has no thrust above nought.
    NoThrust,
    /// Nothing says where thrust ends: it does not fall from the last row but one to the
    /// last, or there is one row only, and it is not static, or beyond the pitch.
    NoEnd,
}

impl fmt::Display for NoPropeller {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [least, most] = ESTIMATED_PITCHES;
        match self {
            NoPropeller::NoDiameter => to.write_str("its diameter is not above nought"),
            NoPropeller::NoPitch => to.write_str("its pitch is not above nought"),
            NoPropeller::PitchOutside(ratio) => write!(
                to,
                "its pitch is {ratio:.2} of its diameter, and an estimate is for {least} \
                 to {most}"
            ),
            NoPropeller::NoRows => to.write_str("it has no row of coefficients"),
            NoPropeller::NotANumber(row) => {
                write!(to, "a number of its row {row} is none, or is negative")
            }
            NoPropeller::NotInOrder(row) => {
                write!(
                    to,
                    "the advance ratio of its row {row} is not above the one before"
                )
            }
            NoPropeller::MoreThanIdeal { row, least } => write!(
                to,
                "its row {row} gives more thrust than its power can: an ideal disc \
                 needs a power coefficient of {least:.4}"
            ),
            NoPropeller::NoThrust => to.write_str("its first row has no thrust"),
            NoPropeller::NoEnd => {
                to.write_str("its rows do not say at which advance ratio thrust ends")
            }
        }
    }
}

impl std::error::Error for NoPropeller {}

impl Propeller {
    /// A propeller of some m, as it was measured: rows by ascending advance ratio.
    ///
    /// One row must be static; thrust then falls off as the estimate does, scaled to it,
    /// of the pitch whose estimate has the same power for its thrust.
    ///
    /// # Errors
    ///
    /// The first [`NoPropeller`] that is found.
    pub fn measured(diameter: f64, rows: Vec<Coefficients>) -> Result<Self, NoPropeller> {
        let propeller = Self::of_rows(diameter, rows)?;
        if propeller.falls() {
            return Ok(propeller);
        }
        match propeller.rows.as_slice() {
            [only] if only.advance <= 0.0 => {
                let pitch = pitch_of_static(only.power / only.thrust);
                propeller.ended(&estimate(pitch))
            }
            _ => Err(NoPropeller::NoEnd),
        }
    }

    /// The same where the pitch in m is known: it says where thrust ends, if the rows
    /// do not.
    ///
    /// # Errors
    ///
    /// The first [`NoPropeller`] that is found.
    pub fn measured_of_pitch(
        diameter: f64,
        pitch: f64,
        rows: Vec<Coefficients>,
    ) -> Result<Self, NoPropeller> {
        let propeller = Self::of_rows(diameter, rows)?;
        if propeller.falls() {
            return Ok(propeller);
        }
        propeller.ended(&estimate(pitch_ratio(diameter, pitch)?))
    }

    /// An estimate for a propeller of some m with a pitch in m: see [`ESTIMATE_SPREAD`].
    ///
    /// # Errors
    ///
    /// [`NoPropeller`] without a diameter or a pitch, and for a pitch beyond
    /// [`ESTIMATED_PITCHES`].
    pub fn estimated(diameter: f64, pitch: f64) -> Result<Self, NoPropeller> {
        let rows = estimate(pitch_ratio(diameter, pitch)?);
        Ok(Self { diameter, rows, measured: 0 })
    }

    fn of_rows(diameter: f64, rows: Vec<Coefficients>) -> Result<Self, NoPropeller> {
        if !is_above(diameter) {
            return Err(NoPropeller::NoDiameter);
        }
        let mut before = None;
        for (at, row) in rows.iter().enumerate() {
            let Coefficients { advance, thrust, power } = *row;
            if !(0.0 <= advance
                && [advance, thrust, power].iter().all(|one| one.is_finite()))
            {
                return Err(NoPropeller::NotANumber(at + 1));
            }
            if before.is_some_and(|before| advance <= before) {
                return Err(NoPropeller::NotInOrder(at + 1));
            }
            let least = ideal_power(advance, thrust);
            if power < least {
                return Err(NoPropeller::MoreThanIdeal { row: at + 1, least });
            }
            before = Some(advance);
        }
        match rows.first() {
            None => Err(NoPropeller::NoRows),
            Some(first) if first.thrust <= 0.0 => Err(NoPropeller::NoThrust),
            Some(_) => Ok(Self { diameter, measured: rows.len(), rows }),
        }
    }

    /// Whether thrust falls from the last row but one to the last.
    fn falls(&self) -> bool {
        matches!(self.rows.as_slice(), [.., one, last] if last.thrust < one.thrust)
    }

    /// Falls off behind the last row as an estimate does, scaled to that row.
    fn ended(mut self, estimate: &[Coefficients]) -> Result<Self, NoPropeller> {
        let last = *self.rows.last().ok_or(NoPropeller::NoRows)?;
        let there = between(estimate, last.advance).ok_or(NoPropeller::NoEnd)?;
        let (thrust, power) = (last.thrust / there.thrust, last.power / there.power);
        if !(is_above(there.thrust) && is_above(thrust) && is_above(power)) {
            return Err(NoPropeller::NoEnd);
        }
        let behind = estimate.iter().filter(|row| last.advance < row.advance);
        self.rows.extend(behind.map(|row| Coefficients {
            thrust: row.thrust * thrust,
            power: row.power * power,
            ..*row
        }));
        Ok(self)
    }

    /// The same with so many times its thrust and its power at every advance ratio.
    #[must_use]
    pub fn scaled(&self, thrust: f64, power: f64) -> Self {
        let times = |row: &Coefficients| Coefficients {
            thrust: row.thrust * thrust,
            power: row.power * power,
            ..*row
        };
        Self { rows: self.rows.iter().map(times).collect(), ..*self }
    }

    /// In m.
    #[must_use]
    pub fn diameter(&self) -> f64 {
        self.diameter
    }

    /// Whether an advance ratio lies among what was measured; beside it all is estimated.
    #[must_use]
    pub fn is_measured_at(&self, advance: f64) -> bool {
        let measured = self.rows.get(..self.measured).unwrap_or_default();
        match (measured.first(), measured.last()) {
            (Some(first), Some(last)) => {
                first.advance <= advance && advance <= last.advance
            }
            (Some(_) | None, None) | (None, Some(_)) => false,
        }
    }

    /// The coefficients at an advance ratio, which is a number.
    #[must_use]
    pub fn coefficients(&self, advance: f64) -> Coefficients {
        let found = between(&self.rows, advance);
        let Coefficients { thrust, power, .. } =
            found.unwrap_or(Coefficients { advance, thrust: 0.0, power: 0.0 });
        let power = power.max(ideal_power(advance, thrust));
        Coefficients { advance, thrust, power }
    }

    /// The advance ratio at which thrust ends: with more of it the propeller is a brake.
    #[must_use]
    pub fn last_advance(&self) -> f64 {
        let pulling = self.rows.iter().rposition(|row| 0.0 < row.thrust).unwrap_or(0);
        // Where every row pulls, the line of the last two says where that ends.
        let from = pulling.min(self.rows.len().saturating_sub(2));
        match self.rows.get(from..) {
            Some([one, two, ..]) => {
                let each = (one.thrust - two.thrust) / (two.advance - one.advance);
                one.advance + one.thrust / each
            }
            Some(_) | None => 0.0,
        }
    }

    /// At a speed in m/s and so many rev/s; a propeller that stands has none.
    fn working(&self, revolutions: f64, speed: f64) -> Coefficients {
        let advance = speed / (revolutions * self.diameter);
        if 0.0 < revolutions && advance.is_finite() {
            return self.coefficients(advance);
        }
        Coefficients { advance: 0.0, thrust: 0.0, power: 0.0 }
    }

    /// Thrust in N, in air of some kg/m³, at so many rev/s and a speed in m/s.
    ///
    /// Nought when it stands: what drag it then has is not said.
    #[must_use]
    pub fn thrust(&self, density: f64, revolutions: f64, speed: f64) -> f64 {
        let tip = revolutions * self.diameter;
        let area = self.diameter * self.diameter;
        self.working(revolutions, speed).thrust * density * tip * tip * area
    }

    /// The power of its shaft in W, as [`Propeller::thrust`].
    #[must_use]
    pub fn power(&self, density: f64, revolutions: f64, speed: f64) -> f64 {
        TAU * revolutions * self.torque(density, revolutions, speed)
    }

    /// The torque of its shaft in N m, as [`Propeller::thrust`].
    #[must_use]
    pub fn torque(&self, density: f64, revolutions: f64, speed: f64) -> f64 {
        let tip = revolutions * self.diameter;
        let volume = self.diameter * self.diameter * self.diameter;
        self.working(revolutions, speed).power * density * tip * tip * volume / TAU
    }
}

fn is_above(number: f64) -> bool {
    0.0 < number && number.is_finite()
}

/// Pitch over diameter, if an estimate is good for it.
fn pitch_ratio(diameter: f64, pitch: f64) -> Result<f64, NoPropeller> {
    if !is_above(diameter) {
        return Err(NoPropeller::NoDiameter);
    }
    if !is_above(pitch) {
        return Err(NoPropeller::NoPitch);
    }
    let ratio = pitch / diameter;
    let [least, most] = ESTIMATED_PITCHES;
    // A hair more, because inches that were turned into metres were rounded.
    match least - 1e-9 <= ratio && ratio <= most + 1e-9 {
        true => Ok(ratio),
        false => Err(NoPropeller::PitchOutside(ratio)),
    }
}

/// The rows of an estimate for a pitch over diameter.
fn estimate(pitch: f64) -> Vec<Coefficients> {
    let power = STATIC_POWER * pitch * pitch.sqrt();
    let row = |advance: f64| Coefficients {
        advance,
        thrust: MOST_THRUST.min(THRUST_SLOPE * (pitch - advance)),
        power: power * (1.0 - (1.0 - POWER_LEFT) * advance / pitch),
    };
    let stall = pitch - MOST_THRUST / THRUST_SLOPE;
    let knee = (0.0 < stall).then_some(stall);
    [Some(0.0), knee, Some(pitch)].into_iter().flatten().map(row).collect()
}

/// The pitch over diameter whose estimate has this static power for its thrust, CP/CT, or
/// the nearest that there is.
fn pitch_of_static(ratio: f64) -> f64 {
    let flowing = ratio * THRUST_SLOPE / STATIC_POWER;
    let pitch = flowing * flowing;
    let stalled = ratio * MOST_THRUST / STATIC_POWER;
    let [least, most] = ESTIMATED_PITCHES;
    match pitch <= MOST_THRUST / THRUST_SLOPE {
        true => pitch.max(least),
        false => libm::cbrt(stalled * stalled).min(most),
    }
}

/// A row between two of a table, or beyond its ends.
fn between(rows: &[Coefficients], advance: f64) -> Option<Coefficients> {
    let above = rows.partition_point(|row| row.advance <= advance);
    let first = rows.first().filter(|_| above == 0);
    if let Some(first) = first {
        return Some(Coefficients { advance, ..*first });
    }
    let is_beyond = above == rows.len();
    let from = (above - 1).min(rows.len().saturating_sub(2));
    let Some([one, two, ..]) = rows.get(from..) else {
        return rows.last().map(|row| Coefficients { advance, ..*row });
    };
    let share = (advance - one.advance) / (two.advance - one.advance);
    let thrust = one.thrust + share * (two.thrust - one.thrust);
    let power = one.power + share * (two.power - one.power);
    let power = if is_beyond { power.min(two.power).max(0.0) } else { power };
    Some(Coefficients { advance, thrust, power })
}

/// The power coefficient that a thrust asks for at least: CT (J/2 + sqrt(J²/4 + 2 CT/π)).
///
/// Source: momentum theory of an open disc; nought without thrust.
#[must_use]
pub fn ideal_power(advance: f64, thrust: f64) -> f64 {
    let thrust = thrust.max(0.0);
    let half = advance.max(0.0) / 2.0;
    thrust * (half + (half * half + 2.0 * thrust / PI).sqrt())
}

/// How fast the tips of a propeller of some m move at so many rev/s, in m/s, when it does
/// not advance.
#[must_use]
pub fn tip_speed(diameter: f64, revolutions: f64) -> f64 {
    PI * diameter * revolutions
}

/// How fast a propeller would advance by its pitch in m at so many rev/s, in m/s.
#[must_use]
pub fn pitch_speed(pitch: f64, revolutions: f64) -> f64 {
    pitch * revolutions
}

/// How near a static propeller comes to an ideal disc: sqrt(2/π) CT^1.5/CP.
///
/// `None` without thrust or power.
#[must_use]
pub fn figure_of_merit(thrust: f64, power: f64) -> Option<f64> {
    (is_above(thrust) && is_above(power)).then(|| ideal_power(0.0, thrust) / power)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(advance: f64, thrust: f64, power: f64) -> Coefficients {
        Coefficients { advance, thrust, power }
    }

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() <= 1e-12
    }

    #[test]
    fn rows_are_joined_by_lines_and_fall_on_behind_the_last() {
        let rows = vec![row(0.1, 0.12, 0.08), row(0.3, 0.08, 0.07), row(0.5, 0.03, 0.04)];
        let propeller = Propeller::measured(0.3, rows).unwrap();
        let at = |advance| propeller.coefficients(advance);
        assert!(near(at(0.0).thrust, 0.12) && near(at(0.0).power, 0.08));
        assert!(near(at(0.2).thrust, 0.10) && near(at(0.2).power, 0.075));
        assert!(near(at(0.5).thrust, 0.03) && near(at(0.5).power, 0.04));
        assert!(near(at(0.6).thrust, 0.005) && near(at(0.6).power, 0.025));
        assert!(near(at(0.8).thrust, -0.045) && near(at(0.8).power, 0.0));
        assert!(near(propeller.last_advance(), 0.62));
        assert!(propeller.is_measured_at(0.1) && propeller.is_measured_at(0.5));
        assert!(!propeller.is_measured_at(0.09) && !propeller.is_measured_at(0.51));
    }

    #[test]
    fn thrust_always_has_its_price() {
        // The line of power would end before that of thrust.
        let rows = vec![row(0.0, 0.1, 0.08), row(0.2, 0.08, 0.03)];
        let propeller = Propeller::measured(0.3, rows).unwrap();
        for step in 1..100 {
            let advance = f64::from(step) / 100.0;
            let Coefficients { thrust, power, .. } = propeller.coefficients(advance);
            assert!(thrust.max(0.0) * advance <= power && 0.0 <= power);
        }
        // One that would grow is held.
        let rows = vec![row(0.0, 0.1, 0.06), row(0.2, 0.08, 0.07)];
        let propeller = Propeller::measured(0.3, rows).unwrap();
        assert!(near(propeller.coefficients(0.4).power, 0.07));
    }

    #[test]
    fn an_estimate_has_the_figure_of_merit_it_says_until_it_stalls() {
        for pitch in [0.2, 0.4, 0.6] {
            let found =
                Propeller::estimated(0.25, 0.25 * pitch).unwrap().coefficients(0.0);
            let merit = figure_of_merit(found.thrust, found.power).unwrap();
            assert!((merit - 0.571).abs() < 0.001);
        }
        let stalled = Propeller::estimated(0.25, 0.25).unwrap();
        let found = stalled.coefficients(0.0);
        assert!(near(found.thrust, 0.135) && near(found.power, 0.125));
        assert!(near(stalled.coefficients(0.3).thrust, 0.135));
        assert!(near(stalled.last_advance(), 1.0));
    }

    /// Efficiencies are below 1, and torque grows with revolutions at every speed, which
    /// makes a working point the only one.
    #[test]
    fn an_estimate_is_possible_everywhere() {
        for step in 0..=100 {
            let pitch = 0.2 + 0.01 * f64::from(step);
            let propeller = Propeller::estimated(1.0, pitch).unwrap();
            let mut last = 0.0;
            for step in 1..400 {
                let revolutions = 0.05 * f64::from(step);
                let advance = 1.0 / revolutions;
                let Coefficients { thrust, power, .. } = propeller.coefficients(advance);
                assert!(thrust.max(0.0) * advance <= 0.85 * power || power <= 0.0);
                let torque = propeller.torque(1.2, revolutions, 1.0);
                assert!(last <= torque);
                last = torque;
            }
        }
    }

    #[test]
    fn one_static_row_falls_off_as_the_estimate_that_it_resembles() {
        let estimated = Propeller::estimated(0.3, 0.15).unwrap();
        let first = estimated.coefficients(0.0);
        let alike = Propeller::measured(0.3, vec![first]).unwrap();
        let known = Propeller::measured_of_pitch(0.3, 0.15, vec![first]).unwrap();
        for advance in [0.0, 0.2, 0.45, 0.6] {
            let expected = estimated.coefficients(advance);
            for found in [&alike, &known] {
                let found = found.coefficients(advance);
                assert!(near(found.thrust, expected.thrust));
                assert!(near(found.power, expected.power));
            }
        }
        assert!(alike.is_measured_at(0.0) && !alike.is_measured_at(0.01));
        let double = row(0.0, 2.0 * first.thrust, 3.0 * first.power);
        let double = Propeller::measured_of_pitch(0.3, 0.15, vec![double]).unwrap();
        assert!(near(double.last_advance(), 0.5));
        let expected = 2.0 * estimated.coefficients(0.3).thrust;
        assert!(near(double.coefficients(0.3).thrust, expected));
        // Stalled blades are found again as well.
        let steep = Propeller::estimated(0.3, 0.27).unwrap();
        let alike = Propeller::measured(0.3, vec![steep.coefficients(0.0)]).unwrap();
        assert!(near(alike.last_advance(), 0.9));
    }

    #[test]
    fn rows_that_are_no_propeller_say_why() {
        let refused =
            |rows: &[Coefficients]| Propeller::measured(0.3, rows.to_vec()).unwrap_err();
        assert_eq!(refused(&[]), NoPropeller::NoRows);
        let one = row(0.0, 0.1, 0.06);
        assert_eq!(refused(&[one, one]), NoPropeller::NotInOrder(2));
        let none = row(0.2, f64::NAN, 0.05);
        assert_eq!(refused(&[one, none]), NoPropeller::NotANumber(2));
        assert_eq!(refused(&[row(-0.1, 0.1, 0.06)]), NoPropeller::NotANumber(1));
        let much = refused(&[one, row(0.4, 0.09, 0.036)]);
        assert!(
            matches!(much, NoPropeller::MoreThanIdeal { row: 2, least } if 0.036 < least)
        );
        assert_eq!(refused(&[row(0.0, 0.0, 0.06)]), NoPropeller::NoThrust);
        assert_eq!(refused(&[row(0.2, 0.1, 0.06)]), NoPropeller::NoEnd);
        assert_eq!(refused(&[one, row(0.2, 0.1, 0.07)]), NoPropeller::NoEnd);
    }

    #[test]
    fn sizes_that_are_no_propeller_say_why() {
        let one = row(0.0, 0.1, 0.06);
        assert_eq!(Propeller::measured(0.0, vec![one]), Err(NoPropeller::NoDiameter));
        assert_eq!(Propeller::estimated(-0.2, 0.1), Err(NoPropeller::NoDiameter));
        assert_eq!(Propeller::estimated(0.2, f64::NAN), Err(NoPropeller::NoPitch));
        let steep = Propeller::estimated(0.2, 0.3).unwrap_err();
        assert!(matches!(steep, NoPropeller::PitchOutside(ratio) if near(ratio, 1.5)));
        let late = Propeller::measured_of_pitch(0.3, 0.15, vec![row(0.6, 0.1, 0.09)]);
        assert_eq!(late, Err(NoPropeller::NoEnd));
    }

    #[test]
    fn a_propeller_that_stands_pulls_nothing() {
        let propeller = Propeller::estimated(0.25, 0.12).unwrap();
        assert!(near(propeller.thrust(1.2, 0.0, 9.0), 0.0));
        assert!(near(propeller.torque(1.2, 0.0, 9.0), 0.0));
        assert!(near(propeller.power(1.2, -1.0, 9.0), 0.0));
    }
}

//! The linkage of a surface, as its line describes it: what the servo does for a throw.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis as BodyAxis, Quantity, Unit};
use trimsheet_model::{EntryId, Fact, Kind, Value};
use trimsheet_physics::linkage::{
    Axis, Crank, Fit, HolePair, Joint, Linkage, NoAngle, NoLinkage, Position, Rod, Stop,
    Wanted, hole_pairs,
};
use trimsheet_physics::pulse::{NEUTRAL, Pulses};
use trimsheet_physics::space::Point;

use super::throws::{Throw, angle, number, sided, words};
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, Why};

/// A throw, and where the servo has to stand for it.
pub(super) struct Course {
    pub(super) throw: Throw,
    /// The surface's angle from where it stands with the servo at neutral.
    pub(super) from_neutral: f64,
    pub(super) position: Result<Position, NoAngle>,
}

impl Facts {
    /// The linkage of a surface, both arms in one picture: the hinge line at the origin,
    /// the servo where its pivot is said to be, or so far ahead that it does not matter.
    pub(super) fn linkage(&self, surface: EntryId) -> Result<Linkage, NotKnown> {
        let entry = self.entry(surface)?;
        let fact = self.must(surface, "linkage")?;
        let (arm, horn) = (
            self.must_number(entry, fact, "arm")?,
            self.must_number(entry, fact, "horn")?,
        );
        let leans = self.number(entry, fact, "arm-leans")?.unwrap_or(0.0);
        let stands = self.number(entry, fact, "horn-stands")?.unwrap_or(0.0);
        let pin = Point { aft: stands, right: 0.0, up: horn };
        let pivot = match self.slot(entry, fact, "pivot")?.map(|value| &value.kind) {
            Some(Kind::Place(place)) => Point {
                aft: place.along.si(),
                right: place.across.as_ref().map_or(0.0, Quantity::si),
                up: place.upward.as_ref().map_or(0.0, Quantity::si),
            },
            // Arm and horn then stand square to a rod that is long beside both.
            Some(_) | None => {
                Point { aft: stands - LONG * arm.max(horn), right: 0.0, up: horn - arm }
            }
        };
        let turns = self.slot(entry, fact, "turns")?.and_then(Value::text);
        let (direction, upright) = match turns {
            Some("flat") => (Point::UP, Point::RIGHT),
            Some(_) | None => (Point::RIGHT, Point::UP),
        };
        let none = |why| no_linkage(why, fact, &entry.title());
        let axis = Axis { through: pivot, direction };
        let arm = Crank::square(axis, upright, arm, leans, pin)
            .map_err(|why| none(NoLinkage::NoCrank(Joint::Arm, why)))?;
        let hinge = Axis { through: Point::default(), direction: Point::RIGHT };
        let horn = Crank::standing(hinge, Point::UP, horn, stands)
            .map_err(|why| none(NoLinkage::NoCrank(Joint::Horn, why)))?;
        Linkage::new(arm, horn, Rod::ClosedAtNeutral).map_err(none)
    }

    /// Each throw, and where the servo has to stand for it.
    pub(super) fn courses_of(&self, surface: EntryId) -> Result<Vec<Course>, NotKnown> {
        let linkage = self.linkage(surface)?;
        let zero = self.servo_neutral(surface)?;
        let throws = self.throws(surface)?.into_iter();
        let courses = throws.map(|throw| {
            let from_neutral = throw.angle_from_flat() - zero;
            let position =
                linkage.servo(from_neutral).and_then(|servo| linkage.position(servo));
            Course { throw, from_neutral, position }
        });
        Ok(courses.collect())
    }

    /// Where the surface stands with the servo at neutral: the rod makes the reflex,
    /// unless it is said that the transmitter's trim does.
    pub(super) fn servo_neutral(&self, surface: EntryId) -> Result<f64, NotKnown> {
        let Some(reflex) = self.fact(surface, "reflex")? else { return Ok(0.0) };
        let entry = self.entry(surface)?;
        match self.slot(entry, reflex, "by")?.and_then(Value::text) {
            Some("trim") => Ok(0.0),
            Some(_) | None => self.reflex_angle(surface),
        }
    }

    /// How far the servo's arm may turn each way, in radians: as it is stated, or else by
    /// common practice.
    pub(super) fn usable(&self, surface: EntryId) -> Result<f64, NotKnown> {
        Ok(self.stated_turn(surface)?.unwrap_or(USABLE))
    }

    /// What the spec says of it; what it says and nobody knows yet is not known.
    fn stated_turn(&self, surface: EntryId) -> Result<Option<f64>, NotKnown> {
        let stated = self.servo(surface).and_then(|servo| {
            let (entry, fact) = (self.entry(servo)?, self.must(servo, "turns")?);
            self.must_number(entry, fact, "angle")
        });
        match stated {
            Err(NotKnown { why: Why::Absent, .. }) => Ok(None),
            other => other.map(Some),
        }
    }

    /// How far the servo's arm may turn each way, and whether the spec says so.
    pub(crate) fn servo_turn(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let fields = vec![
            ("turn", angle(self.usable(id)?)),
            ("is_stated", flag(self.stated_turn(id)?.is_some())),
        ];
        Ok(record(fields, "servo_turn", surface.span))
    }

    /// The servo of a surface; of a pair the first.
    pub(super) fn servo(&self, surface: EntryId) -> Result<EntryId, NotKnown> {
        let entry = self.entry(surface)?;
        let fact = self.must(surface, "driven")?;
        let by = fact.first().map(|value| self.known_value(entry, fact, value));
        let by = by.transpose()?.and_then(|value| value.targets().first().copied());
        by.ok_or_else(|| absent(entry, "servo"))
    }

    /// What the servo does for each throw, as rules read it.
    pub(crate) fn courses(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let usable = self.usable(id)?;
        let courses = self.courses_of(id)?;
        let all = courses.iter().map(|course| {
            let throw = &course.throw;
            let (servo, reached, because) = match &course.position {
                Ok(position) => (position.servo, position.surface, "reached"),
                Err(NoAngle::Beyond(end)) => (end.servo, end.surface, stop(end.stop)),
                Err(NoAngle::NotANumber) => (0.0, 0.0, "no number"),
            };
            let transmission = |of: fn(&Position) -> f64| {
                angle(course.position.as_ref().map_or(0.0, of))
            };
            let fields = vec![
                ("throw", throw.said.clone()),
                ("rate", words(&throw.rate)),
                ("way", words(throw.side.word())),
                ("angle", angle(course.from_neutral.abs())),
                ("reaches", flag(course.position.is_ok())),
                ("because", words(because)),
                ("servo", angle(servo.abs())),
                ("surface", angle(reached.abs())),
                ("share", share(servo.abs() / usable)),
                ("arm_transmission", transmission(|at| at.arm_transmission)),
                ("horn_transmission", transmission(|at| at.horn_transmission)),
            ];
            record(fields, "course", throw.said.span)
        });
        Ok(list(all.collect(), "courses", surface))
    }

    /// Up against down for the same turn of the servo, at the largest throw.
    pub(crate) fn unevenness(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let linkage = self.linkage(id)?;
        let turned =
            |course: &Course| course.position.as_ref().map_or(0.0, |at| at.servo.abs());
        let most = self.courses_of(id)?.iter().map(turned).fold(0.0, f64::max);
        let throws = linkage.throws(most).map_err(|_| {
            NotKnown::impossible("the linkage ends before its throw", surface.span)
        })?;
        let span = self.must(id, "linkage")?.span;
        let fields = vec![
            ("servo", angle(most)),
            ("up", angle(throws.up.abs())),
            ("down", angle(throws.down.abs())),
            ("share", share(throws.unevenness().unwrap_or(0.0).abs())),
        ];
        Ok(record(fields, "unevenness", Some(span)))
    }

    /// Every hole of the arm with every hole of the horn, the best first.
    pub(crate) fn hole_pairs(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let servo = self.servo(id)?;
        let (arms, horns) =
            (self.holes(servo, "arm-holes")?, self.holes(id, "horn-holes")?);
        let linkage = self.linkage(id)?;
        let mut wanted = Wanted { up: 0.0, down: 0.0, usable: self.usable(id)? };
        for course in self.courses_of(id)? {
            wanted.up = wanted.up.max(-course.from_neutral);
            wanted.down = wanted.down.max(course.from_neutral);
        }
        let span = self.must(id, "linkage")?.span;
        let pairs = hole_pairs(&linkage, &arms, &horns, wanted);
        let all = pairs.iter().map(|pair| {
            let HolePair { arm, horn, servo_up, servo_down, share: used, fit, .. } = pair;
            let turned = |servo: &Option<f64>| servo.map_or(0.0, f64::abs);
            let fields = vec![
                ("arm", number(self.metres(*arm), "arm")),
                ("horn", number(self.metres(*horn), "horn")),
                ("reaches", flag(matches!(fit, Fit::Reaches))),
                ("servo", angle(turned(servo_up).max(turned(servo_down)))),
                ("share", share(used.unwrap_or(0.0))),
            ];
            record(fields, "holes", Some(span))
        });
        Ok(list(all.collect(), "hole_pairs", surface))
    }

    fn holes(&self, of: EntryId, word: &'static str) -> Result<Vec<f64>, NotKnown> {
        let entry = self.entry(of)?;
        let fact = self.must(of, word)?;
        let values =
            fact.values.iter().map(|(_, value)| self.known_value(entry, fact, value));
        let values = values.map(|value| Ok(value?.quantity().map_or(0.0, Quantity::si)));
        values.collect()
    }

    /// The pulse for each throw, and how much of all the way that is.
    pub(crate) fn end_points(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let servo = self.servo(id)?;
        let (entry, fact) = (self.entry(servo)?, self.must(servo, "turns")?);
        let stated = |slot| {
            self.slot(entry, fact, slot).map(|value| value.and_then(Value::quantity))
        };
        let (turns, full) = (stated("angle")?, stated("per")?);
        let (Some(turns), Some(full)) = (turns, full) else {
            return Err(absent(entry, "pulse for its turn"));
        };
        let pulses = Pulses {
            neutral: NEUTRAL,
            per_radian: full.si() / turns.si(),
            full: full.si(),
        };
        let all = self.courses_of(id)?.into_iter().filter_map(|course| {
            let servo = course.position.ok()?.servo;
            let micro = Unit::read("us")?;
            let fields = vec![
                ("throw", course.throw.said.clone()),
                ("rate", words(&course.throw.rate)),
                ("way", words(course.throw.side.word())),
                (
                    "pulse",
                    number(Quantity::from_si(pulses.pulse(servo)?, &micro), "pulse"),
                ),
                ("share", share(pulses.share(servo)?)),
            ];
            Some(record(fields, "end_point", course.throw.said.span))
        });
        Ok(list(all.collect(), "end_points", surface))
    }

    /// Where the surface stops, either way, and why.
    pub(crate) fn linkage_ends(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let span = self.must(id, "linkage")?.span;
        let ends = self.linkage(id)?.ends();
        let is_upright = self.is_upright(id)?;
        let axis = if is_upright { BodyAxis::Side } else { BodyAxis::Height };
        let all = [ends.negative, ends.positive].map(|end| {
            let side = axis.side(if is_upright { end.surface } else { -end.surface });
            let fields = vec![
                ("way", words(side.word())),
                ("servo", angle(end.servo.abs())),
                ("surface", angle(end.surface.abs())),
                ("because", words(stop(end.stop))),
            ];
            record(fields, "end", Some(span))
        });
        Ok(list(all.to_vec(), "linkage_ends", surface))
    }

    /// Servo and surface from end to end of what the servo is used for, as rules read it.
    pub(crate) fn curve(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let (linkage, axis) = (self.linkage(id)?, self.edge_axis(id)?);
        let span = self.must(id, "linkage")?.span;
        let none = || NotKnown::impossible("the linkage has no course", Some(span));
        let (usable, ends) = (self.usable(id)?, linkage.ends());
        // Where it ends the slope has no bounds: the last point lies a little before it.
        let most = |end: f64| usable.min(end.abs() * NEARLY);
        let halves = [-most(ends.negative.servo), most(ends.positive.servo)];
        let mut all = Vec::new();
        for to in halves {
            all.push(linkage.course(0.0, to, HALF_A_CURVE).map_err(|_| none())?);
        }
        let positive = all.pop().unwrap_or_default();
        let negative = all.pop().unwrap_or_default();
        let mut course: Vec<Position> = negative.into_iter().skip(1).rev().collect();
        course.extend(positive);
        // The servo counts by the way to which it takes the edge, whichever way it turns.
        let sense = course.iter().map(Position::slope).sum::<f64>().signum();
        if sense < 0.0 {
            course.reverse();
        }
        let points = course.iter().map(|at| {
            let fields = vec![
                ("servo", sided(sense * at.servo, axis)),
                ("surface", sided(at.surface, axis)),
                ("slope", share(at.slope().abs())),
            ];
            record(fields, "point", Some(span))
        });
        Ok(list(points.collect(), "curve", surface))
    }
}

/// How many steps each half of a curve has.
const HALF_A_CURVE: u16 = 12;

/// How near to its end a linkage is followed.
const NEARLY: f64 = 0.999;

fn no_linkage(why: NoLinkage, fact: &Fact, title: &str) -> NotKnown {
    let says = match why {
        NoLinkage::NoCrank(Joint::Arm, _) => "the arm of its servo has no length",
        NoLinkage::NoCrank(Joint::Horn, _) => "its horn has no height",
        NoLinkage::NoRod => "the holes of arm and horn lie on one another",
        NoLinkage::DoesNotMeet { .. } => "the rod does not reach from arm to horn",
        NoLinkage::DeadAtNeutral(Joint::Arm) => "at neutral rod and arm lie in one line",
        NoLinkage::DeadAtNeutral(Joint::Horn) => {
            "at neutral rod and horn lie in one line"
        }
        NoLinkage::TooLarge => "a length of it is no length of a linkage",
    };
    NotKnown::impossible(
        format!("the linkage of {title} moves nothing: {says}"),
        Some(fact.span),
    )
}

pub(super) fn stop(stop: Stop) -> &'static str {
    match stop {
        Stop::Locked => "locked",
        Stop::OverCentre => "over-centre",
        Stop::HalfTurn => "half-turn",
    }
}

pub(super) fn entry_of(surface: &Known) -> Result<EntryId, NotKnown> {
    surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))
}

pub(super) fn record(
    fields: Vec<(&'static str, Known)>,
    name: &str,
    span: Option<trimsheet_model::source::Span>,
) -> Known {
    Known::computed(What::Record(Rc::new(fields)), name, span)
}

pub(super) fn list(all: Vec<Known>, name: &str, of: &Known) -> Known {
    Known::computed(What::List(Rc::new(all)), name, of.span)
}

pub(super) fn flag(is_so: bool) -> Known {
    Known::computed(What::Flag(is_so), "flag", None)
}

pub(super) fn share(of_one: f64) -> Known {
    number(Quantity::from_si(of_one, &Facts::percent()), "share")
}

/// How far a servo's arm is used each way, in radians: 45° (common practice, no source).
const USABLE: f64 = std::f64::consts::FRAC_PI_4;

/// How many arms long a rod is taken to be whose servo has no stated place.
const LONG: f64 = 10.0;

//! How a loadout flies, from facts to a line each.

use trimsheet_facts::model::quantity::{Quantity, Unit};
use trimsheet_facts::{Known, NotKnown, Why};

use super::Maker;
use crate::number::Number;
use crate::sheet::{Estimate, NotSaid};

/// One line: what it is, the number, the sentence.
type Line = Result<(String, Quantity, String), NotKnown>;

impl Maker<'_> {
    /// What can be said of how a loadout flies. What the spec does not go into is left
    /// out; what it goes into and leaves unknown is said to be missing.
    pub(super) fn flight(
        &self,
        loadout: &Known,
        not_said: &mut Vec<NotSaid>,
    ) -> Vec<Estimate> {
        let lines = [
            ("the neutral point", self.neutral_point()),
            ("the static margin", self.margin(loadout)),
            ("the stall speed", self.stall(loadout)),
            ("the speed with the stick let go", self.let_go(loadout)),
            ("the reflex for the trim speed", self.wanted(loadout)),
            ("what is left at the stall", self.left(loadout)),
            ("the roll", self.roll(loadout)),
            ("the glide", self.glide(loadout)),
            ("where to hold it", self.held(loadout)),
        ];
        let mut flight = Vec::new();
        for (what, line) in lines {
            match line {
                Ok((of, value, says)) => {
                    flight.push(Estimate { of, value: Number(value), says });
                }
                // An open loadout says so elsewhere, as does a spec without an outline.
                Err(why) if matches!(why.why, Why::Unknown(_)) => {
                    self.gap(what, &why, not_said);
                }
                Err(_) => {}
            }
        }
        flight
    }

    /// Something that keeps a thing from being said; one gap keeps many things from it, and
    /// is named once.
    pub(super) fn gap(&self, what: &str, why: &NotKnown, not_said: &mut Vec<NotSaid>) {
        let gap = self.not_said(what, why);
        if !not_said.iter().any(|one| one.line == gap.line) {
            not_said.push(gap);
        }
    }

    fn neutral_point(&self) -> Line {
        let place = quantity(&self.facts.of(&self.facts.whole(), "neutral_point")?)?;
        let says = place.with_spread();
        Ok(("neutral point".into(), place, says))
    }

    fn margin(&self, loadout: &Known) -> Line {
        let least = quantity(&self.facts.of(loadout, "least_margin")?)?;
        let most = quantity(&self.facts.of(loadout, "most_margin")?)?;
        let least_says = least.with_spread();
        let is_one = (least.si() - most.si()).abs() < 1e-9;
        let says = if is_one {
            format!("{least_says} of the mean chord")
        } else {
            format!("from {least_says} to {} of the mean chord", most.with_spread())
        };
        Ok(("static margin".into(), least, says))
    }

    fn stall(&self, loadout: &Known) -> Line {
        let limit = quantity(&self.of_wing_fact("lift_limit")?)?;
        let speed = quantity(&self.facts.stall_speed(loadout, &limit)?)?;
        let bank = Unit::read("deg").map(|unit| Quantity::new(45.0, &unit));
        let bank = bank.ok_or_else(|| NotKnown::no_such("no bank"))?;
        let turning = quantity(&self.facts.turning_stall_speed(loadout, &limit, &bank)?)?;
        let says = format!(
            "{} at a lift coefficient of {limit}, {} in a turn banked {bank}",
            speed.with_spread(),
            turning.with_spread()
        );
        Ok(("stalls at".into(), speed, says))
    }

    fn let_go(&self, loadout: &Known) -> Line {
        let record = self.facts.of(loadout, "hands_off")?;
        let speed = quantity(&self.facts.of(&record, "speed")?)?;
        let surface = self.facts.of(&self.facts.whole(), "pitch_control")?;
        let reflex = quantity(&self.facts.of(&surface, "reflex")?)?.without_spread();
        let says = format!(
            "flies level at {} with {} {reflex}",
            speed.with_spread(),
            surface.name
        );
        Ok(("let go".into(), speed, says))
    }

    fn wanted(&self, loadout: &Known) -> Line {
        let speed = quantity(&self.facts.of(loadout, "trim_speed")?)?;
        let edge = quantity(&self.facts.of(loadout, "reflex_wanted")?)?;
        let surface = self.facts.of(&self.facts.whole(), "pitch_control")?;
        let says = format!("{} at {}", surface.name, edge.with_spread());
        Ok((format!("for {speed}"), edge, says))
    }

    fn left(&self, loadout: &Known) -> Line {
        // A foreplane holds the nose with its edge down: the most up says nothing of it.
        if self.of_wing_fact("layout")?.to_string() == "canard" {
            return Err(NotKnown::no_such("a foreplane"));
        }
        let limit = quantity(&self.of_wing_fact("lift_limit")?)?;
        let needed = quantity(&self.facts.edge_for(loadout, &limit)?)?;
        let surface = self.facts.of(&self.facts.whole(), "pitch_control")?;
        let most = quantity(&self.facts.of(&surface, "most_up")?)?;
        let left =
            most.minus(&needed).map_err(|why| NotKnown::no_such(why.to_string()))?;
        let says = format!(
            "{} at {} to hold the nose, and {} is the most that its rates give",
            surface.name,
            needed.with_spread(),
            most.rough()
        );
        Ok(("at the stall".into(), left, says))
    }

    fn roll(&self, loadout: &Known) -> Line {
        let rate = quantity(&self.facts.of(loadout, "roll_rate")?)?;
        let speed = quantity(&self.facts.of(loadout, "trim_speed")?)?;
        let says = format!("{} at {speed} with the stick full over", rate.rough());
        Ok(("rolls at".into(), rate, says))
    }

    fn glide(&self, loadout: &Known) -> Line {
        let glide = self.facts.of(loadout, "glide")?;
        let number =
            |name: &str| self.facts.of(&glide, name).and_then(|one| quantity(&one));
        let distance = number("distance")?;
        let says = format!(
            "{} from a height of 100 m, at {}; sinks least, {}, at {}",
            estimate(&distance),
            estimate(&number("speed")?),
            estimate(&number("least_sink")?),
            estimate(&number("slow_speed")?),
        );
        Ok(("glides".into(), distance, says))
    }

    fn held(&self, loadout: &Known) -> Line {
        let band = self.facts.of(loadout, "held_band")?;
        let held = quantity(&self.of_wing_fact("held")?)?;
        let number = |name: &str| band.field(name).and_then(Known::quantity).cloned();
        let (Some(forward), Some(aft)) = (number("forward"), number("aft")) else {
            return Err(NotKnown::no_such("no band"));
        };
        let best = number("best").map(|best| format!(", best {best}"));
        let says = format!(
            "{held}: between {forward} and {aft}{} behind the leading edge there",
            best.unwrap_or_default()
        );
        Ok(("hold it".into(), forward, says))
    }

    fn of_wing_fact(&self, name: &str) -> Result<Known, NotKnown> {
        let wing = self.facts.of(&self.facts.whole(), "wing")?;
        self.facts.of(&wing, name)
    }
}

pub(super) fn quantity(known: &Known) -> Result<Quantity, NotKnown> {
    let none = || NotKnown::no_such(format!("{} is no number", known.name));
    known.quantity().cloned().ok_or_else(none)
}

/// An estimate with its spread; without one it has no more digits than an estimate may.
fn estimate(number: &Quantity) -> String {
    match number.spread_si() {
        Some(spread) if 0.0 < spread => number.with_spread(),
        Some(_) | None => number.rough().to_string(),
    }
}

//! What a loadout draws and how long that lasts, from facts to a line each.

use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::{Known, NotKnown, What, Why};

use super::Maker;
use super::flight::quantity;
use crate::number::Number;
use crate::sheet::{NotSaid, Planned, Widest};

/// One line: what it is, the number, the sentence, and what makes it unsure most.
type Line = Result<(&'static str, Quantity, String, Option<Widest>), NotKnown>;

impl Maker<'_> {
    /// What can be said of what drives a loadout, if it has a motor.
    ///
    /// Cruise, endurance and range are what a flight is planned by: where they cannot be
    /// said, the sheet says why, whether the spec leaves a line unknown or has none.
    pub(super) fn drive(
        &self,
        loadout: &Known,
        not_said: &mut Vec<NotSaid>,
    ) -> Vec<Planned> {
        let has_motor = self.facts.parts_of_kind("motor");
        if !has_motor.is_ok_and(|motors| !motors.is_empty()) {
            return Vec::new();
        }
        let lines = [
            ("full throttle", false, self.full(loadout)),
            ("the launch at half charge", false, self.sag(loadout)),
            ("the cruise current", true, self.cruise(loadout)),
            ("the endurance", true, self.endurance(loadout)),
            ("the range", true, self.range(loadout)),
            ("the top speed", false, self.top(loadout)),
            ("the best speeds", false, self.best(loadout)),
        ];
        let mut drive = Vec::new();
        for (what, is_planned_by, line) in lines {
            match line {
                Ok((of, value, says, widest)) => {
                    let (of, value) = (of.to_owned(), Number(value));
                    drive.push(Planned { of, value, says, widest });
                }
                Err(why) if is_planned_by || matches!(why.why, Why::Unknown(_)) => {
                    self.gap(what, &why, not_said);
                }
                Err(_) => {}
            }
        }
        drive
    }

    fn full(&self, loadout: &Known) -> Line {
        let record = self.facts.of(loadout, "full_current")?;
        let (current, from) =
            (self.number(&record, "current")?, self.word(&record, "from")?);
        let mut says = format!("{}, {from}", current.with_spread());
        if let Ok(thrust) = self.facts.of(loadout, "static_thrust") {
            says += &format!("; pulls {}", quantity(&thrust)?.with_spread());
        }
        if let Ok(full) = self.facts.of(loadout, "full_throttle") {
            let (rpm, tips) =
                (self.number(&full, "rpm")?, self.number(&full, "tip_speed")?);
            says += &format!(
                "; {} at a stand and the tips at {}, as reckoned",
                rpm.with_spread(),
                tips.rough()
            );
        }
        Ok(("full throttle", current, says, None))
    }

    fn sag(&self, loadout: &Known) -> Line {
        let sag = self.facts.of(loadout, "sag")?;
        let each = self.number(&sag, "each")?;
        let says = format!(
            "{} at full throttle with the packs half empty, {} in all",
            each.with_spread(),
            self.number(&sag, "volts")?.with_spread()
        );
        Ok(("sags to", each, says, None))
    }

    fn cruise(&self, loadout: &Known) -> Line {
        let level = self.facts.of(loadout, "level_flight");
        let reckoned = level.and_then(|level| {
            Ok(format!(
                "reckoned {} at {} with the throttle at {}",
                self.number(&level, "current")?.with_spread(),
                self.number(&level, "speed")?.without_spread(),
                self.number(&level, "throttle")?.rough()
            ))
        });
        let stated = self.facts.of(loadout, "cruise");
        match (stated, reckoned) {
            (Ok(stated), reckoned) => {
                let source = stated.source.unwrap_or("no source");
                let current = quantity(&stated)?;
                let beside = reckoned.map_or(String::new(), |says| format!("; {says}"));
                let says = format!("{}, {source}{beside}", current.with_spread());
                Ok(("cruise", current, says, None))
            }
            (Err(_), Ok(reckoned)) => {
                let level = self.facts.of(loadout, "level_flight")?;
                let current = self.number(&level, "current")?;
                Ok(("cruise", current, reckoned, None))
            }
            // `cruise ?` says that nobody has read it: what keeps it from being reckoned is
            // the line to fill in.
            (Err(_), Err(why)) => Err(why),
        }
    }

    fn endurance(&self, loadout: &Known) -> Line {
        let endurance = self.facts.of(loadout, "endurance")?;
        let usual = |name: &str| match self.flag(&endurance, name) {
            true => "",
            false => " (usual)",
        };
        let climbs = match self.flag(&endurance, "has_climbs") {
            true => format!("{} for climbs", self.number(&endurance, "climbs")?.rough()),
            false => "no climbs counted".to_owned(),
        };
        let time = self.number(&endurance, "time")?;
        let says = format!(
            "{} in level flight and {} in reserve{}, of {}, {} of the charge; {climbs}",
            time.with_spread(),
            self.number(&endurance, "reserve")?,
            usual("reserve_is_stated"),
            self.number(&endurance, "usable")?.with_spread(),
            self.number(&endurance, "share")?.rough()
        );
        let widest = self.widest(&endurance)?;
        Ok(("endurance", time, says, widest))
    }

    fn range(&self, loadout: &Known) -> Line {
        let range = self.facts.of(loadout, "flight_range")?;
        let distance = self.number(&range, "distance")?;
        let widest = self.widest(&range)?;
        let says = format!("{} in still air in that time", distance.with_spread());
        Ok(("range", distance, says, widest))
    }

    fn top(&self, loadout: &Known) -> Line {
        let top = quantity(&self.facts.of(loadout, "top_speed")?)?;
        let level = self.facts.of(loadout, "level_flight")?;
        let says = format!(
            "{}; climbs at {} at full throttle and {}",
            top.with_spread(),
            self.number(&level, "climb")?.with_spread(),
            self.number(&level, "speed")?.without_spread()
        );
        Ok(("top speed", top, says, None))
    }

    fn best(&self, loadout: &Known) -> Line {
        let best = self.facts.of(loadout, "best_speeds")?;
        let longest = self.number(&best, "longest")?;
        let says = format!(
            "longest at {} ({}), furthest at {} ({})",
            longest.rough(),
            self.number(&best, "longest_current")?.rough(),
            self.number(&best, "furthest")?.rough(),
            self.number(&best, "furthest_current")?.rough()
        );
        Ok(("flies", longest, says, None))
    }

    /// What makes a number of a record unsure most.
    fn widest(&self, record: &Known) -> Result<Option<Widest>, NotKnown> {
        if !self.flag(record, "has_widest") {
            return Ok(None);
        }
        let share = Number(self.number(record, "widest_share")?);
        let what = self.facts.of(record, "widest")?;
        let line = self.line(what.span);
        Ok(Some(Widest { says: what.to_string(), share, line }))
    }

    fn number(&self, record: &Known, name: &str) -> Result<Quantity, NotKnown> {
        quantity(&self.facts.of(record, name)?)
    }

    fn word(&self, record: &Known, name: &str) -> Result<String, NotKnown> {
        Ok(self.facts.of(record, name)?.to_string())
    }

    fn flag(&self, record: &Known, name: &str) -> bool {
        matches!(record.field(name).map(|field| &field.what), Some(What::Flag(true)))
    }
}

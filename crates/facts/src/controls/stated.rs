//! What the lines of a surface say of its throws, laid beside each other.
//!
//! Nothing here asks from where a throw counts: a limit and a half that was measured are
//! read as their throw is, so that they can be compared before all of it is known.

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Side};
use trimsheet_model::{EntryId, Fact, Kind, Value};
use trimsheet_physics::linkage::{NoAngle, Stop};
use trimsheet_physics::throw::edge_height;

use super::linkage::{entry_of, flag, list, record, share, stop};
use super::throws::{ALIKE, angle, number, words};
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// One number of a line about ways, and which way it goes.
pub(super) struct Stated<'a> {
    pub(super) fact: &'a Fact,
    pub(super) value: &'a Value,
    pub(super) rate: &'a str,
    way: &'static str,
    pub(super) known: Known,
}

impl Facts {
    /// The numbers of all lines of a word, in the order of the text.
    pub(super) fn stated(
        &self,
        surface: EntryId,
        word: &str,
    ) -> Result<Vec<Stated<'_>>, NotKnown> {
        let entry = self.entry(surface)?;
        let mut all = Vec::new();
        for (at, fact) in entry.facts.iter().enumerate() {
            if fact.row.word != word {
                continue;
            }
            self.note(surface, fact.row.word);
            let rate = self.slot(entry, fact, "rate")?.and_then(Value::text);
            for (index, (slot, value)) in fact.values.iter().enumerate() {
                if !matches!(*slot, "ways" | "both") {
                    continue;
                }
                let value = self.known_value(entry, fact, value)?;
                let (Kind::Quantity(said) | Kind::Range(said, _)) = &value.kind else {
                    continue;
                };
                all.push(Stated {
                    fact,
                    value,
                    rate: rate.unwrap_or_default(),
                    way: way_of(said),
                    known: self.value(surface, at, index)?,
                });
            }
        }
        Ok(all)
    }

    /// Each number that the throws of a surface state, and what angle it would be.
    pub(crate) fn throw_numbers(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let (root, tip) = self.hinge_to_edge(id)?;
        let mut all = Vec::new();
        for stated in self.stated(id, "throw")? {
            let Some(said) = stated.value.quantity() else { continue };
            let is_angle = said.dimension() == Dimension::ANGLE;
            let turned = |depth: f64| {
                let turned =
                    self.turned(id, stated.fact, said, said.si().abs(), (depth, 0.0));
                turned.map(|turned| angle(turned.abs()))
            };
            let fields = vec![
                ("said", stated.known.clone()),
                ("rate", words(stated.rate)),
                ("way", words(stated.way)),
                ("is_angle", flag(is_angle)),
                ("angle_at_root", turned(root)?),
                ("angle_at_tip", turned(tip)?),
            ];
            all.push(record(fields, "throw_number", stated.known.span));
        }
        Ok(list(all, "throw_numbers", surface))
    }

    /// Each throw that the kit limits, with its limits, both as the throw is measured.
    pub(crate) fn limited_throws(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let throws = self.stated(id, "throw")?;
        let mut all = Vec::new();
        for limit in self.stated(id, "throw-limit")? {
            let Kind::Range(one, other) = &limit.value.kind else { continue };
            let (one, other) = (one.si().abs(), other.si().abs());
            let is_same = |throw: &&Stated<'_>| {
                throw.rate == limit.rate
                    && matches!(throw.way, "both") | (throw.way == limit.way)
            };
            for throw in throws.iter().filter(is_same) {
                let Some(size) = self.size_as_length(id, throw)? else { continue };
                let fields = vec![
                    ("throw", throw.known.clone()),
                    ("limit", limit.known.clone()),
                    ("rate", words(limit.rate)),
                    ("way", words(limit.way)),
                    ("size", number(size, "size")),
                    ("low", number(self.metres(one.min(other)), "low")),
                    ("high", number(self.metres(one.max(other)), "high")),
                ];
                all.push(record(fields, "limited_throw", throw.known.span));
            }
        }
        Ok(list(all, "limited_throws", surface))
    }

    /// How far an edge goes one way by a stated throw, with its spread; of degrees, how high
    /// it then stands at the end where it is measured. `None` without the way of counting,
    /// which is asked for by itself.
    fn size_as_length(
        &self,
        surface: EntryId,
        throw: &Stated<'_>,
    ) -> Result<Option<Quantity>, NotKnown> {
        let Some(said) = throw.value.quantity() else { return Ok(None) };
        let entry = self.entry(surface)?;
        let counted = self.slot(entry, throw.fact, "counted")?.and_then(Value::text);
        let share = match (throw.way, counted) {
            ("both", None) => return Ok(None),
            ("both", Some("total")) => 0.5,
            _ => 1.0,
        };
        let size = said.si().abs() * share;
        if said.dimension() == Dimension::ANGLE {
            let depth = self.depth_at(surface, throw.fact, size)?;
            return Ok(Some(self.metres(edge_height(depth, size).abs())));
        }
        let spread = said.spread_si().map_or(0.0, |spread| spread * share);
        Ok(Some(self.metres(size).with_spread_si(spread)))
    }

    /// How far the two halves of a pair were found to go, beside each other.
    pub(crate) fn halves(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let entry = self.entry(id)?;
        let reached = self.stated(id, "measured-throw")?;
        let is_half = |stated: &Stated<'_>, word: &str| -> Result<bool, NotKnown> {
            let half = self.slot(entry, stated.fact, "half")?.and_then(Value::text);
            Ok(half == Some(word))
        };
        let mut all = Vec::new();
        for left in &reached {
            if !is_half(left, "left-half")? {
                continue;
            }
            for right in &reached {
                let is_same = right.rate == left.rate && right.way == left.way;
                if !is_same || !is_half(right, "right-half")? {
                    continue;
                }
                let (Some(one), Some(other)) =
                    (self.size_as_length(id, left)?, self.size_as_length(id, right)?)
                else {
                    continue;
                };
                let apart = (one.si() - other.si()).abs();
                let most = one.si().max(other.si());
                let fields = vec![
                    ("left", left.known.clone()),
                    ("right", right.known.clone()),
                    ("rate", words(left.rate)),
                    ("way", words(left.way)),
                    (
                        "further",
                        words(if one.si() < other.si() { "right" } else { "left" }),
                    ),
                    ("apart", number(self.metres(apart), "apart")),
                    ("share", share(if most > 0.0 { apart / most } else { 0.0 })),
                ];
                all.push(record(fields, "half", left.known.span));
            }
        }
        Ok(list(all, "halves", surface))
    }

    /// How far the commands of a mix move an edge together, against what it may and can do.
    pub(crate) fn combined(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let mix = self.must(id, "mix")?;
        let throws = self.throws(id)?;
        let reaches = self.reach_of(id)?;
        let mut all = Vec::new();
        for side in [Side::Up, Side::Down] {
            let ways = throws.iter().filter(|throw| throw.side == side);
            let most = ways.max_by(|a, b| a.angle.abs().total_cmp(&b.angle.abs()));
            let (Some(most), Some((asks, count))) = (most, self.commands(id, side)?)
            else {
                continue;
            };
            let size = if side == Side::Up { asks.si() } else { -asks.si() };
            let at = (most.depth, most.neutral);
            let turned = self.turned(id, mix, &asks, size, at)?;
            let edge = |angle: f64| {
                let height = |turned: f64| edge_height(most.depth, most.neutral + turned);
                number(self.metres((height(angle) - height(0.0)).abs()), "edge")
            };
            // Counted from where the throw counts, as the mix is.
            let reach = reaches.iter().find(|reach| reach.side == side);
            let reached = reach.map_or(0.0, |reach| reach.from_flat - most.neutral);
            let fields = vec![
                ("way", words(side.word())),
                ("commands", count_of(count)),
                ("edge", edge(turned)),
                ("throw", most.said.clone()),
                ("throw_edge", edge(most.angle)),
                ("has_linkage", flag(reach.is_some())),
                ("linkage_edge", edge(reached)),
            ];
            all.push(record(fields, "combined", Some(mix.span)));
        }
        Ok(list(all, "combined", surface))
    }

    /// What the commands of a mix ask for together one way, and how many they are.
    fn commands(
        &self,
        id: EntryId,
        side: Side,
    ) -> Result<Option<(Quantity, usize)>, NotKnown> {
        let (entry, mix) = (self.entry(id)?, self.must(id, "mix")?);
        let mut stated = Vec::new();
        for slot in ["pitch", "roll", "yaw", "flap"] {
            let found = self.slot(entry, mix, slot)?.and_then(Value::quantity);
            // Flaps only fall.
            stated.extend(found.filter(|_| slot != "flap" || matches!(side, Side::Down)));
        }
        let Some(first) = stated.first() else { return Ok(None) };
        if stated.iter().any(|one| one.dimension() != first.dimension()) {
            let says = "the mix is stated partly in degrees";
            return Err(NotKnown::impossible(says, Some(mix.span)));
        }
        let sum = stated.iter().map(|one| one.si().abs()).sum();
        Ok(Some((Quantity::from_si(sum, first.unit()), stated.len())))
    }

    /// How far each way a surface comes while its servo turns as far as it may.
    pub(crate) fn linkage_reach(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        self.must(id, "linkage")?;
        let all = self.reach_of(id)?.into_iter().map(|reach| {
            let fields = vec![
                ("way", words(reach.side.word())),
                ("servo", angle(reach.servo)),
                ("surface", angle(reach.from_neutral.abs())),
                ("because", words(reach.because)),
            ];
            record(fields, "reach", surface.span)
        });
        Ok(list(all.collect(), "linkage_reach", surface))
    }

    /// The same, either way; nothing where no linkage is stated.
    fn reach_of(&self, id: EntryId) -> Result<Vec<Reach>, NotKnown> {
        if self.fact(id, "linkage")?.is_none() {
            return Ok(Vec::new());
        }
        let (linkage, usable) = (self.linkage(id)?, self.usable(id)?);
        let zero = self.servo_neutral(id)?;
        let reach = |servo: f64| {
            let (surface, servo, because) = match linkage.surface(servo) {
                Ok(surface) => (surface, servo, "turned"),
                Err(NoAngle::Beyond(end)) => (end.surface, end.servo, stop(end.stop)),
                Err(NoAngle::NotANumber) => (0.0, 0.0, stop(Stop::HalfTurn)),
            };
            Reach {
                side: if surface < 0.0 { Side::Up } else { Side::Down },
                from_neutral: surface,
                from_flat: zero + surface,
                servo: servo.abs(),
                because,
            }
        };
        Ok(vec![reach(usable), reach(-usable)])
    }

    /// Whether the edge is as deep at both ends, so that it matters not where it is measured.
    pub(crate) fn is_even(&self, surface: &Known) -> Result<Known, NotKnown> {
        let (root, tip) = self.hinge_to_edge(entry_of(surface)?)?;
        Ok(flag((root - tip).abs() < ALIKE))
    }

    /// Where its edge stands with the stick let go, straight up from flat.
    pub(crate) fn reflex_edge(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let (entry, fact) = (self.entry(id)?, self.must(id, "reflex")?);
        let value = self.slot(entry, fact, "edge")?;
        let said = value.and_then(Value::quantity);
        let said = said.ok_or_else(|| absent(entry, "reflex"))?;
        let edge = match said.dimension() == Dimension::ANGLE {
            false => said.clone(),
            true => {
                let depth = self.depth_at(id, fact, said.si().abs())?;
                let up = edge_height(depth, said.si().abs()).abs();
                self.metres(up.copysign(said.si())).with_axis(Some(Axis::Height))
            }
        };
        let what = What::Quantity(edge);
        Ok(Known::computed(
            what,
            format!("{}.reflex", surface.name),
            value.map(|value| value.span),
        ))
    }
}

/// How far a surface comes one way while its servo turns as far as it may.
struct Reach {
    side: Side,
    from_neutral: f64,
    from_flat: f64,
    servo: f64,
    because: &'static str,
}

fn way_of(said: &Quantity) -> &'static str {
    said.axis().map_or("both", |axis| axis.side(said.si()).word())
}

fn count_of(count: usize) -> Known {
    let count = i64::try_from(count).unwrap_or(i64::MAX);
    Known::computed(What::Count(count), "count", None)
}

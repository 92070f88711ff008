//! How near what hears comes to what sends, and how antennas of one part lie.

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::{Remedy, Safety};
use trimsheet_physics::space::Point;

use super::{Active, Found, at_line, both, list_of, maybe, unit_of};
use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, record, words};

/// In m; how finely and how far a better place is looked for.
const STEP: f64 = 1e-3;
const STEPS: u16 = 3000;

impl Facts {
    /// For each antenna of a part and each band that another part sends on: how near the
    /// nearest antenna of that part comes.
    pub(crate) fn near_senders(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let own = self.hearing(part)?.all;
        let mut all = Vec::new();
        for sender in self.senders_but(part)? {
            let antennas = self.antennas(sender)?.all;
            for one in &own {
                let way = |other: &&Active| one.at.to_stretch(&other.at);
                let nearest = antennas.iter().min_by(|a, b| way(a).total_cmp(&way(b)));
                let Some(nearest) = nearest else { continue };
                let by = self.long(way(&nearest), both(one.unsure, nearest.unsure));
                for sent in self.sent(sender)?.all {
                    let (has_band, band) = maybe(sent.band, "MHz", sent.line);
                    let (has_power, power) = maybe(sent.power, "mW", sent.line);
                    let fields = vec![
                        ("antenna", words(&one.title, one.line)),
                        ("sender", self.known_entry(sender)),
                        ("sender_antenna", words(&nearest.title, nearest.line)),
                        ("by", at_line(by.clone(), one.line)),
                        ("has_band", has_band),
                        ("band", band),
                        ("has_power", has_power),
                        ("power", power),
                    ];
                    all.push(record(fields, "near_sender", one.line));
                }
            }
        }
        Ok(list_of(all, "near_senders", of))
    }

    /// Whether all is known of where a part hears and others send.
    pub(crate) fn near_senders_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut found: Found<Active> = Found::none();
        let senders = self.senders_but(part)?;
        if !senders.is_empty() {
            found = self.hearing(part)?;
        }
        for sender in senders {
            let antennas = self.antennas(sender)?;
            if antennas.all.is_empty() && antennas.not_known.is_empty() {
                found
                    .not_known
                    .push(crate::facts::absent(self.entry(sender)?, "antenna"));
            }
            found.not_known.extend(antennas.not_known);
        }
        found.known(of)
    }

    /// The shortest move along the aircraft with which an antenna keeps so far from every
    /// antenna that sends and whose place is known: a sentence, or none where no place in
    /// the airframe does.
    ///
    /// # Errors
    /// That it is no part, or that how far the airframe reaches is not known.
    pub fn ways_to_clear(
        &self,
        part: &Known,
        antenna: &str,
        distance: f64,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let part = id(part)?;
        let own = self.hearing(part)?.all;
        let Some(own) = own.into_iter().find(|one| one.title == antenna) else {
            return Ok(Vec::new());
        };
        let mut others = Vec::new();
        for sender in self.senders_but(part)? {
            others.extend(self.antennas(sender)?.all);
        }
        let Ok(extent) = self.extent() else { return Ok(Vec::new()) };
        let end = |name: &str| extent.field(name).and_then(Known::quantity);
        let (Some(front), Some(rear)) = (end("front"), end("rear")) else {
            return Ok(Vec::new());
        };
        let reach = front.si()..=rear.si();
        let is_clear = |by: f64| {
            let moved = own.at.moved(Point::AFT.times(by));
            reach.contains(&moved.from.aft)
                && reach.contains(&moved.to.aft)
                && others.iter().all(|other| distance <= moved.to_stretch(&other.at))
        };
        let steps = (1..=STEPS).map(|step| f64::from(step) * STEP);
        let way = steps.flat_map(|step| [step, -step]).find(|by| is_clear(*by));
        Ok(way.map(|by| self.move_along(&own, by, distance)).into_iter().collect())
    }

    fn move_along(&self, own: &Active, by: f64, distance: f64) -> Remedy {
        let unit = self.length_unit();
        let long = |si: f64| Quantity::from_si(si, &unit);
        let way = if by < 0.0 { "forward" } else { "aft" };
        let middle = own.at.middle().aft + by;
        let station = long(middle).with_axis(Some(Axis::Length));
        let says = format!(
            "move {} {} {way}, its middle to {station}: there it keeps {} from each antenna that sends",
            own.title,
            long(by.abs()),
            long(distance),
        );
        Remedy { says, edits: Vec::new(), safety: Safety::Offered }
    }

    /// The angle between each two antennas of a part whose ways are known.
    pub(crate) fn antenna_angles(&self, of: &Known) -> Result<Known, NotKnown> {
        let own = self.antennas(id(of)?)?.all;
        let unit = unit_of("deg");
        let mut all = Vec::new();
        for (at, one) in own.iter().enumerate() {
            for other in own.iter().skip(at + 1) {
                let Some(angle) = one.at.angle_to(&other.at) else { continue };
                let angle = What::Quantity(Quantity::from_si(angle, &unit));
                let fields = vec![
                    ("first", words(&one.title, one.line)),
                    ("second", words(&other.title, other.line)),
                    ("angle", at_line(angle, one.line)),
                ];
                all.push(record(fields, "antenna_angle", one.line));
            }
        }
        Ok(list_of(all, "antenna_angles", of))
    }

    /// Whether all is known of how the antennas of a part lie, where it has several.
    pub(crate) fn antenna_angles_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part: EntryId = id(of)?;
        let mut own = self.antennas(part)?;
        let count = self.entry(part)?.all("antenna").count();
        if count < 2 {
            own.not_known.clear();
        }
        for one in own.all.iter().filter(|_| 1 < count) {
            if one.at.way().direction().is_none() {
                let says = format!(
                    "which way the {} lies is not said, from where to where",
                    one.title
                );
                own.not_known.push(NotKnown::impossible(says, Some(one.line)));
            }
        }
        own.known(of)
    }
}

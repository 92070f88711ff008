//! What a flight took, beside what it was to take.

use trimsheet_model::quantity::Dimension;

use super::charge::{flag, number, unit};
use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, record};

impl Facts {
    /// The mean current of a flight, and that of its plan.
    pub(crate) fn mean_current(&self, of: &Known) -> Result<Known, NotKnown> {
        let flew = id(of)?;
        let span = self.entry(flew)?.span();
        let used = self.number_of(flew, "used", "charge")?;
        let lasted = self.number_of(flew, "lasted", "time")?;
        let loadout = id(&self.named_in_head(flew, "loadout")?)?;
        let (cruise, is_stated) = self.cruise_current(loadout)?;
        let climbs = self.climbs_of(loadout)?.min(lasted);
        let full = if climbs > 0.0 { self.climb_current(loadout)?.0 } else { 0.0 };
        let planned = (cruise.value * (lasted - climbs) + full * climbs) / lasted;
        if planned.is_nan() || planned <= 0.0 {
            let says = format!("{} plans to draw no current", self.called(loadout));
            return Err(NotKnown::impossible(says, Some(span)));
        }
        let amps = |si: f64| number(si, &unit("A", Dimension::CURRENT), span);
        let more = (used / lasted - planned) / planned;
        let fields = vec![
            ("flown", amps(used / lasted)),
            ("planned", amps(planned)),
            ("share", number(more, &Facts::percent(), span)),
            ("planned_is_stated", flag(is_stated, span)),
        ];
        Ok(record(fields, "mean_current", span))
    }
}

//! What a flight took, beside what it was to take.

use trimsheet_model::quantity::{Dimension, Quantity, Unit};

use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, flag, number, record, unit};

impl Facts {
    /// The mean current of a flight, and that of its plan.
    pub(crate) fn mean_current(&self, of: &Known) -> Result<Known, NotKnown> {
        let flew = id(of)?;
        let span = self.entry(flew)?.span();
        let used = self.number_of(flew, "used", "charge")?;
        let lasted = self.number_of(flew, "lasted", "time")?;
        let loadout = id(&self.named_in_head(flew, "loadout")?)?;
        let (cruise, is_stated) = self.cruise_current(loadout)?;
        let climbs = self.unsure(loadout, "climbs", "time")?;
        let climbs = climbs.map_or(0.0, |climbs| climbs.value).min(lasted);
        let full = if climbs > 0.0 { self.full_current(loadout)?.0.value } else { 0.0 };
        let planned = (cruise.value * (lasted - climbs) + full * climbs) / lasted;
        if planned.is_nan() || planned <= 0.0 {
            let says = format!("{} plans to draw no current", self.called(loadout));
            return Err(NotKnown::impossible(says, Some(span)));
        }
        let in_unit = |si: f64, unit: &Unit| number(Quantity::from_si(si, unit), span);
        let amps = |si: f64| in_unit(si, &unit("A", Dimension::CURRENT));
        let more = (used / lasted - planned) / planned;
        let fields = vec![
            ("flown", amps(used / lasted)),
            ("planned", amps(planned)),
            ("share", in_unit(more, &Facts::percent())),
            ("planned_is_stated", flag(is_stated, Some(span))),
        ];
        Ok(record(fields, "mean_current", span))
    }
}

//! What keeps a drive from working, and what of it nobody knows.

use std::rc::Rc;

use trimsheet_model::EntryId;

use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, Why, flag, record, words};

/// What rules call each sort of fault.
pub(crate) const DRIVE_FAULTS: &[&str] = &["propellers", "numbers"];

impl Facts {
    /// What keeps motors, propellers and packs from working together, each once.
    pub(crate) fn drive_faults(&self, build: &Known) -> Result<Known, NotKnown> {
        let mut all: Vec<Known> = Vec::new();
        for (loadout, _) in self.of_word("loadout") {
            let Err((kind, why)) = self.works(loadout) else { continue };
            let is_said = all.iter().any(|one| one.name == why.says);
            if let (Why::Impossible, false, Some(at)) = (&why.why, is_said, why.span) {
                let fields =
                    vec![("kind", words(kind, at)), ("says", words(&why.says, at))];
                all.push(record(fields, &why.says, at));
            }
        }
        Ok(Known::computed(What::List(Rc::new(all)), "drive_faults", build.span))
    }

    /// Whether all is known that tells if a drive works; what keeps it from working is no
    /// lack of that.
    pub(crate) fn drive_known(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        if !self.of_kind(own, "motor")?.is_empty()
            && let Err((_, why)) = self.works(own)
            && why.why != Why::Impossible
        {
            return Err(why);
        }
        Ok(flag(true, loadout.span))
    }

    /// Whether what drives a loadout has a working point; else why not, and which sort of
    /// fault that is where it is one.
    fn works(&self, loadout: EntryId) -> Result<(), (&'static str, NotKnown)> {
        let motors = self.of_kind(loadout, "motor").map_err(|why| ("numbers", why))?;
        self.propellers_on(loadout, &motors).map_err(|why| ("propellers", why))?;
        let driving = self.driving(loadout).map_err(|why| ("numbers", why))?;
        driving
            .standing
            .as_ref()
            .map_or_else(|why| Err(("numbers", why.clone())), |_| Ok(()))
    }
}

//! Ways as they are offered, and which comes first.

use trimsheet_model::source::{Edit, Remedy, Safety};

/// A way, and whether it does not reach far enough.
pub(super) struct Way {
    remedy: Remedy,
    short: bool,
}

/// Ways that do the same thing, further or less far; they stay together.
#[derive(Default)]
pub(super) struct Group {
    pub(super) ways: Vec<Way>,
    /// The mass that the least of them adds, in kilograms; below nought if it takes off.
    pub(super) added: f64,
    /// How many things are moved, and how far in all, in metres.
    pub(super) moved: u8,
    pub(super) distance: f64,
    /// Whether another loadout leaves its band by it.
    pub(super) spoils: bool,
}

impl Way {
    pub(super) fn whole(says: String, edits: Vec<Edit>) -> Way {
        let remedy = Remedy { says, edits, safety: Safety::Offered };
        Way { remedy, short: false }
    }

    pub(super) fn short(says: String) -> Way {
        let remedy = Remedy { says, edits: Vec::new(), safety: Safety::Offered };
        Way { remedy, short: true }
    }

    pub(super) fn is_short(&self) -> bool {
        self.short
    }

    pub(super) fn into_remedy(self) -> Remedy {
        self.remedy
    }
}

impl Group {
    pub(super) fn short(way: Way) -> Group {
        Group { ways: vec![way], ..Group::default() }
    }

    /// The same as advice, with nothing written into the spec.
    pub(super) fn in_words(&mut self) {
        for way in &mut self.ways {
            way.remedy.edits.clear();
        }
    }

    /// Whether one of its ways brings the whole spread inside.
    pub(super) fn reaches(&self) -> bool {
        self.ways.iter().any(|way| !way.short)
    }
}

/// All ways: what can be done before what does not reach far enough, what spoils no
/// other loadout first, then by added mass, by how many things are moved, by how far.
pub(super) fn ranked(mut groups: Vec<Group>) -> Vec<Remedy> {
    groups.sort_by(|one, other| {
        let early = |group: &Group| (!group.reaches(), group.spoils);
        early(one)
            .cmp(&early(other))
            .then(one.added.total_cmp(&other.added))
            .then(one.moved.cmp(&other.moved))
            .then(one.distance.total_cmp(&other.distance))
    });
    groups.into_iter().flat_map(|group| group.ways).map(Way::into_remedy).collect()
}

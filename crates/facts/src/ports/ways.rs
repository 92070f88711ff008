//! Other ports for the users of a part, and how that is written into the spec.

use std::rc::Rc;

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::{Edit, Remedy, Safety, Span};
use trimsheet_model::syntax::Arrow;
use trimsheet_model::{EntryId, Value};

use super::assign::{Assigned, MOST_PORTS, MOST_USERS, Slot, Wanted, assign};
use super::socket::{Half, Port, Signal};
use super::users::{Use, User};
use crate::facts::Facts;
use crate::known::{Known, NotKnown};

/// What is offered for the ports of a part, if anything is to be said, and whether that
/// is a way out.
pub(crate) type Plugged = Option<(bool, Remedy)>;

impl Facts {
    /// How every user of a part gets a port that fits, with the fewest signals changed;
    /// of a signal, how that is done at either end. Nothing where each user has one, a
    /// sentence where one of them can have none, or where that is not known: it must not
    /// hide what is wrong.
    pub fn ways_to_plug(&self, of: &Known) -> Vec<Remedy> {
        let ends = [of.field("to"), of.field("from")].into_iter().flatten();
        let parts = of.entry().into_iter().chain(ends.filter_map(Known::entry));
        let found = parts.filter_map(|part| {
            let way = self.plugged_once(part, || self.ways_of_part(part).map(Rc::new));
            match way {
                Ok(way) => way.as_ref().clone(),
                Err(why) => {
                    let says = format!("which ports fit cannot be said: {}", why.says);
                    Some((false, in_words(says)))
                }
            }
        });
        let found: Vec<(bool, Remedy)> = found.collect();
        // What cannot be done at one end is no news where it can at the other.
        let is_any = found.iter().any(|(is_way, _)| *is_way);
        let found = found.into_iter().filter(|(is_way, _)| *is_way || !is_any);
        found.map(|(_, remedy)| remedy).collect()
    }

    /// The way for a part, if anything is to be said, and whether it is one.
    fn ways_of_part(&self, part: EntryId) -> Result<Plugged, NotKnown> {
        let ports = self.ports(part)?;
        if ports.len() < 2 {
            return Ok(None);
        }
        let users = self.port_users(&self.uses(part)?)?;
        let name = &self.entry(part)?.name;
        let assigned = if MOST_PORTS < ports.len() || MOST_USERS < users.len() {
            Assigned::TooMany
        } else {
            let (slots, wanted) = self.tables(&ports, &users)?;
            assign(&slots, &wanted)
        };
        let chosen = match assigned {
            Assigned::All(chosen) => chosen,
            Assigned::Without(without) => {
                let left = without.first().and_then(|user| users.get(*user));
                let says = left.map(|user| self.without_port(name, user)).transpose()?;
                return Ok(says.map(|says| (false, in_words(says))));
            }
            Assigned::TooMany => {
                let says = format!(
                    "{name} has more ports and users than are looked through for a way out"
                );
                return Ok(Some((false, in_words(says))));
            }
        };
        let targets = chosen.iter().map(|port| ports.get(*port).copied());
        let moved = users.iter().zip(targets).filter_map(|(user, port)| {
            port.filter(|port| !port.is(&user.port)).map(|port| (user, port))
        });
        let moved: Vec<(&User<'_>, Port<'_>)> = moved.collect();
        if moved.is_empty() {
            return Ok(None);
        }
        Ok(Some((true, self.plugged(name, &moved)?)))
    }

    /// Ports and users as tables; timers are numbered as they come.
    fn tables(
        &self,
        ports: &[Port<'_>],
        users: &[User<'_>],
    ) -> Result<(Vec<Slot>, Vec<Wanted>), NotKnown> {
        let mut groups: Vec<&str> = Vec::new();
        let mut slots = Vec::new();
        for port in ports {
            let group = self.port_text(port, "group")?.map(|group| {
                groups.iter().position(|known| *known == group).unwrap_or_else(|| {
                    groups.push(group);
                    groups.len() - 1
                })
            });
            slots.push(Slot { group, rates: self.port_range(port, "rate")? });
        }
        let mut wanted = Vec::new();
        for user in users {
            let takes: Result<Vec<bool>, NotKnown> =
                ports.iter().map(|port| self.port_takes(port, user)).collect();
            let now = ports.iter().position(|port| port.is(&user.port));
            wanted.push(Wanted {
                now: now.unwrap_or(ports.len()),
                signals: user.lines(),
                takes: takes?,
                rates: self.rates_of(user)?,
            });
        }
        Ok((slots, wanted))
    }

    fn plugged(
        &self,
        part: &str,
        moved: &[(&User<'_>, Port<'_>)],
    ) -> Result<Remedy, NotKnown> {
        let moves = moved.iter().map(|(user, port)| {
            let (title, from) = (user.title(self), user.port.name());
            format!("{title} from {from} to {}", port.name())
        });
        let moves = moves.collect::<Vec<_>>().join(", ");
        let at_once = if moved.len() > 1 { ", all of it" } else { "" };
        let says = format!(
            "with nothing powered, move on {part}{at_once}: {moves}; then every lead there has a port that fits it"
        );
        let mut edits: Option<Vec<Edit>> = Some(Vec::new());
        for (user, port) in moved {
            let own = self.plug_edits(user, port)?;
            edits = edits.zip(own).map(|(all, own)| [all, own].concat());
        }
        Ok(Remedy { says, edits: edits.unwrap_or_default(), safety: Safety::Offered })
    }

    /// Writes another port into every line of a user, where that changes no one else's.
    fn plug_edits(
        &self,
        user: &User<'_>,
        port: &Port<'_>,
    ) -> Result<Option<Vec<Edit>>, NotKnown> {
        let mut edits: Vec<Edit> = Vec::new();
        for one in &user.uses {
            let span = one.signal.names;
            if edits.iter().any(|edit| edit.span == span) {
                continue;
            }
            let all = self.signals(one.signal.join)?;
            let lines = all.iter().filter(|signal| signal.names == span).count();
            let own = user.uses.iter().filter(|one| one.signal.names == span).count();
            let text = if lines == own { one.with_port(port.name()) } else { None };
            let Some(text) = text.filter(|_| self.is_own_line(&one.signal)) else {
                return Ok(None);
            };
            edits.push(Edit { span, text });
        }
        Ok(Some(edits))
    }

    /// Whether a line stands in the spec itself, and was not taken from elsewhere.
    fn is_own_line(&self, signal: &Signal<'_>) -> bool {
        let line = signal.line;
        let is_here = |value: &Value| value.via.is_none();
        let file = self.build.whole.map(|whole| whole.file);
        line.via.is_none()
            && line.values.iter().all(|(_, value)| is_here(value))
            && file == Some(signal.names.file)
    }

    fn without_port(&self, part: &str, user: &User<'_>) -> Result<String, NotKnown> {
        let has = |half| user.uses.iter().any(|one| one.half == half);
        let halves = match (has(Half::Sends), has(Half::Receives)) {
            (true, true) => "sends and receives",
            (true, false) => "sends",
            (false, true) | (false, false) => "receives",
        };
        let mut wants = vec![halves.to_owned()];
        let other = user.uses.iter().find_map(|one| one.other.as_ref());
        if let Some(other) = other {
            let protocol = self.port_text(other, "protocol")?;
            wants.extend(protocol.map(|protocol| format!("speaks {protocol}")));
            if self.port_text(other, "idle")? == Some("inverted") {
                wants.push("takes an inverted line".to_owned());
            }
        }
        let (title, wants) = (user.title(self), wants.join(", "));
        Ok(format!(
            "however its users are moved, no port of {part} is left for {title} that {wants} and agrees with it in all else: do without one of them, or put one in the place of {part} that has more"
        ))
    }

    /// Turns the arrow of a signal that goes the wrong way, where it is known to fit the
    /// other way round.
    pub fn ways_to_turn(&self, join: &Known, signal: &Known) -> Vec<Remedy> {
        let Some((id, names)) = join.entry().zip(signal.span) else { return Vec::new() };
        let way = self.way_to_turn(id, names);
        way.ok().flatten().into_iter().collect()
    }

    fn way_to_turn(
        &self,
        join: EntryId,
        names: Span,
    ) -> Result<Option<Remedy>, NotKnown> {
        let all = self.signals(join)?.into_iter();
        let same: Vec<Signal<'_>> = all.filter(|one| one.names == names).collect();
        let mut flows = Vec::new();
        for one in &same {
            flows.push(
                self.goes(one.out.as_ref(), Half::Sends)?
                    && self.goes(one.into.as_ref(), Half::Receives)?,
            );
        }
        let Some(first) = same.first() else { return Ok(None) };
        let Some((from, to, _)) = first.written() else { return Ok(None) };
        let (says, text) = match flows.as_slice() {
            [false] if self.fits_turned(first)? => {
                let says =
                    format!("if it goes from {to} to {from}, turn the arrow round");
                (says, format!("{to} -> {from}"))
            }
            [true, false] => {
                let says = format!("if it only goes from {from} to {to}, say so");
                (says, format!("{from} -> {to}"))
            }
            [false, true] => {
                let says = format!("if it only goes from {to} to {from}, say so");
                (says, format!("{to} -> {from}"))
            }
            _ => return Ok(None),
        };
        let is_own = self.is_own_line(first);
        let edit = Edit { span: first.names, text };
        let edits = if is_own { vec![edit] } else { Vec::new() };
        Ok(Some(Remedy { says, edits, safety: Safety::Offered }))
    }

    /// Whether an end has a half; an end without ports has both.
    fn goes(
        &self,
        end: Result<&Option<Port<'_>>, &NotKnown>,
        half: Half,
    ) -> Result<bool, NotKnown> {
        match end {
            Ok(Some(port)) => self.has_half(port, half),
            Ok(None) => Ok(true),
            Err(why) => Err(why.clone()),
        }
    }

    /// Whether a signal that goes the wrong way fits the other way round: both ends have
    /// that half, nobody else has it, and neither gets more volts than it bears.
    fn fits_turned(&self, signal: &Signal<'_>) -> Result<bool, NotKnown> {
        let (out, into) = (signal.into.clone()?, signal.out.clone()?);
        if !self.goes(Ok(&out), Half::Sends)? || !self.goes(Ok(&into), Half::Receives)? {
            return Ok(false);
        }
        if let (Some(out), Some(into)) = (&out, &into) {
            let level = self.port_volts(out, "level")?.map(Quantity::si);
            let bears = self.port_volts(into, "bears")?.map(Quantity::si);
            if level.zip(bears).is_some_and(|(level, bears)| bears < level) {
                return Ok(false);
            }
        }
        for (port, other, half) in [(out, into, Half::Sends), (into, out, Half::Receives)]
        {
            let Some(port) = port else { continue };
            let device = other.map_or(signal.from, |other| other.owner);
            let turned = Use { signal: signal.clone(), port, half, device, other };
            for one in self.uses(port.owner)? {
                if one.signal.names != signal.names
                    && self.is_in_the_way(&one, &turned)?
                {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    }
}

impl Use<'_> {
    /// The way as its line writes it, with another port of this part.
    fn with_port(&self, name: &str) -> Option<String> {
        let (from, to, arrow) = self.signal.written()?;
        let is_from = (self.half == Half::Sends) != self.signal.is_back;
        let renamed = |written: &str| {
            let (owner, socket) = written.rsplit_once('.').unwrap_or((written, ""));
            // A part with one port need not name it.
            let owner = if socket == self.port.name() { owner } else { written };
            format!("{owner}.{name}")
        };
        let (from, to) = if is_from {
            (renamed(from), to.to_owned())
        } else {
            (from.to_owned(), renamed(to))
        };
        Some(match arrow {
            Arrow::To => format!("{from} -> {to}"),
            Arrow::From => format!("{to} <- {from}"),
            Arrow::Both => format!("{from} <-> {to}"),
        })
    }
}

fn in_words(says: String) -> Remedy {
    Remedy { says, edits: Vec::new(), safety: Safety::Offered }
}

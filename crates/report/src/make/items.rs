//! The lines of a sheet: one for each thing aboard, a pair on one line.

use std::collections::BTreeMap;

use trimsheet_facts::model::Half;
use trimsheet_facts::model::quantity::{Axis, Quantity};
use trimsheet_facts::model::source::Span;
use trimsheet_facts::{Listed, Listing};

use super::{Maker, count, source};
use crate::number::Number;
use crate::sheet::Item;

impl Maker<'_> {
    pub(super) fn items(&self, listing: &Listing) -> Vec<Item> {
        let mut items = Vec::new();
        let mut rest = listing.items.as_slice();
        while let [first, behind @ ..] = rest {
            rest = behind;
            match behind {
                [second, others @ ..] if is_alike(first, second) => {
                    items.push(self.pair(second));
                    rest = others;
                }
                _ => items.push(self.item(first)),
            }
        }
        items
    }

    fn item(&self, listed: &Listed) -> Item {
        let number = |quantity: &Option<Quantity>| quantity.clone().map(Number);
        let [x, y, z] = &listed.at;
        let ends = |(low, high): &(Quantity, Quantity)| {
            (Number(low.clone()), Number(high.clone()))
        };
        Item {
            name: listed.name.clone(),
            count: if listed.is_ballast {
                1
            } else {
                count(self.facts.build.entry(listed.entry))
            },
            is_pair: false,
            mass: number(&listed.mass),
            source: source(listed.mass_source, listed.is_about),
            x: number(x),
            y: number(y),
            z: number(z),
            moment: self.moment(listed.mass.as_ref(), x.as_ref()),
            slide: listed.slide.as_ref().map(ends),
            is_open: listed.is_open,
            line: self.line(listed.span),
            not_known: listed.not_known.as_ref().map(|why| why.says.clone()),
        }
    }

    /// Both halves of a pair, given the right one: twice the mass, and as far out.
    fn pair(&self, right: &Listed) -> Item {
        let [x, y, z] = &right.at;
        let mass = right.mass.as_ref().map(|mass| mass.scaled(2.0));
        let out = y.as_ref().map(|y| y.clone().with_axis(Some(Axis::Out)));
        let name = right.name.rsplit_once('.').map_or(&*right.name, |(pair, _)| pair);
        let both = Listed {
            name: name.to_owned(),
            mass,
            at: [x.clone(), out, z.clone()],
            ..right.clone()
        };
        let item = self.item(&both);
        Item { count: item.count.saturating_mul(2), is_pair: true, ..item }
    }

    /// The moment of a thing, unsure by its mass and by its place (JCGM 100:2008,
    /// equation 10).
    fn moment(&self, mass: Option<&Quantity>, x: Option<&Quantity>) -> Option<Number> {
        let (mass, x) = (mass?, x?);
        let spread = |one: &Quantity| one.spread_si().unwrap_or(0.0);
        let (by_mass, by_place) = (spread(mass) * x.si(), spread(x) * mass.si());
        let spread = (by_mass * by_mass + by_place * by_place).sqrt();
        let moment = Quantity::from_si(mass.si() * x.si(), &self.moment);
        Some(Number(moment.with_axis(Some(Axis::Length)).with_spread_si(spread)))
    }

    /// A sum of moments with its spread: what one line says is wrong everywhere alike, so
    /// that adds up before squaring (JCGM 100:2008, section 5.2).
    pub(super) fn with_spread(&self, moment: Number, listing: &Listing) -> Number {
        let mut by_line: BTreeMap<(Option<Span>, u8), f64> = BTreeMap::new();
        for item in &listing.items {
            let (Some(mass), [Some(x), ..]) = (&item.mass, &item.at) else { continue };
            let spread = |one: &Quantity| one.spread_si().unwrap_or(0.0);
            *by_line.entry((item.span, 0)).or_default() += spread(mass) * x.si();
            *by_line.entry((item.placed, 1)).or_default() += spread(x) * mass.si();
        }
        let spread: f64 = by_line.values().map(|part| part * part).sum();
        Number(moment.0.with_spread_si(spread.sqrt()))
    }
}

/// Whether these are the halves of a pair, of one mass and equally far aft.
fn is_alike(left: &Listed, right: &Listed) -> bool {
    let pair =
        |listed: &Listed| listed.name.rsplit_once('.').map(|(pair, _)| pair.to_owned());
    let across = |listed: &Listed| {
        let [x, y, z] = &listed.at;
        let si = |one: &Option<Quantity>| one.as_ref().map(Quantity::si);
        (si(x), si(y), si(z))
    };
    let ((x, y, z), (own_x, own_y, own_z)) = (across(left), across(right));
    left.half == Some(Half::Left)
        && right.half == Some(Half::Right)
        && pair(left) == pair(right)
        && left.span == right.span
        && left.is_open == right.is_open
        && left.not_known.is_none() == right.not_known.is_none()
        && left.slide == right.slide
        && x == own_x
        && z == own_z
        && y.map(|y| -y) == own_y
}

//! `trimsheet balance --sweep`

use trimsheet_project::change::{NotChanged, Sweep};
use trimsheet_project::model::quantity::Quantity;
use trimsheet_report::sweep::{Step, Sweep as Shown, Swept, csv, json, text};
use trimsheet_report::{Loadout, Number, Sheet};

use crate::arguments::{Balance, SheetFormat};
use crate::disk::Disk;
use crate::trial::refused;
use crate::{End, rules, screen};

/// About how many values are shown.
const ABOUT: f64 = 12.0;

/// How often the end of a range is halved: a thousandth of a step is near enough.
const HALVINGS: usize = 10;

/// Tries a change at many values, and shows what each comes to.
pub(crate) fn sweep(wanted: &Balance, phrase: &str) -> End {
    let Some(settings) = rules::settings(&wanted.under) else { return End::CouldNotRun };
    let (file, loadout) = (&wanted.file, wanted.loadout.as_deref());
    let shown = Sweep::read(&Disk, file, phrase, loadout, &settings)
        .and_then(|sweep| Run { sweep, loadout }.all());
    let shown = match shown {
        Ok(shown) => shown,
        Err(why) => return refused(file, why),
    };
    if shown.loadouts.is_empty() {
        screen::complain(&format!(
            "no loadout of {file} changes with it, or what it comes to cannot be said: see `trimsheet balance {file}`"
        ));
        return End::CouldNotRun;
    }
    screen::print(&match wanted.format {
        SheetFormat::Text => text(&shown, screen::look().width),
        SheetFormat::Json => json(&shown),
        SheetFormat::Csv => csv(&shown),
    });
    End::Clear
}

struct Run<'a> {
    sweep: Sweep<'a>,
    loadout: Option<&'a str>,
}

impl Run<'_> {
    fn all(mut self) -> Result<Shown, NotChanged> {
        let (low, high) = self.sweep.ends();
        let values = round_values(low, high);
        let mut sheets = Vec::new();
        for value in values {
            let sheet = self.sheet(&value)?;
            sheets.push((value, sheet));
        }
        let names: Vec<String> = sheets.first().map_or(Vec::new(), |(_, sheet)| {
            sheet.loadouts.iter().map(|one| one.name.clone()).collect()
        });
        let mut loadouts = Vec::new();
        for name in names {
            let is_asked = self.loadout.is_none_or(|wanted| wanted == name);
            let swept = if is_asked { self.one(&name, &sheets)? } else { None };
            loadouts.extend(swept);
        }
        let file = sheets.first().map_or(String::new(), |(_, sheet)| sheet.file.clone());
        Ok(Shown { file, phrase: self.sweep.phrase().to_owned(), loadouts })
    }

    fn sheet(&mut self, value: &Quantity) -> Result<Sheet, NotChanged> {
        let (_, opened) = self.sweep.at(value)?;
        Ok(Sheet::new(&opened.facts, &opened.sources))
    }

    /// One loadout at all values; none where nothing moves, or nothing can be said.
    fn one(
        &mut self,
        name: &str,
        sheets: &[(Quantity, Sheet)],
    ) -> Result<Option<Swept>, NotChanged> {
        let step = |(value, sheet): &(Quantity, Sheet)| {
            Step::of(Number(value.clone()), called(sheet, name)?)
        };
        let steps: Vec<Step> = sheets.iter().filter_map(step).collect();
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            return Ok(None);
        };
        let is_still = (first.x.0.si() - last.x.0.si()).abs() < 1e-9
            && (first.mass.0.si() - last.mass.0.si()).abs() < 1e-9;
        if is_still {
            return Ok(None);
        }
        let limits = sheets.first().and_then(|(_, sheet)| called(sheet, name));
        let limits = limits.map_or([None, None, None], Swept::limits);
        let inside = self.inside(name, &steps, &limits)?;
        Ok(Some(Swept { name: name.to_owned(), limits, steps, inside }))
    }

    /// Between which values the whole spread lies inside: from the first step inside to
    /// the last, and each end halved on toward the step that is outside.
    fn inside(
        &mut self,
        name: &str,
        steps: &[Step],
        limits: &[Option<Number>; 3],
    ) -> Result<Option<(Number, Number)>, NotChanged> {
        let is_in = |step: &Step| step.room(limits).is_some_and(|room| 0.0 < room);
        let (Some(first), Some(last)) =
            (steps.iter().position(is_in), steps.iter().rposition(is_in))
        else {
            return Ok(None);
        };
        let mut end = |inside: usize, outside: Option<usize>| {
            let Some(within) = steps.get(inside) else { return Ok(None) };
            let Some(beyond) = outside.and_then(|at| steps.get(at)) else {
                return Ok(Some(within.value.clone()));
            };
            let (mut near, mut far) = (within.value.0.clone(), beyond.value.0.clone());
            for _ in 0..HALVINGS {
                let middle = between(&near, &far);
                let sheet = self.sheet(&middle)?;
                let step = called(&sheet, name)
                    .and_then(|one| Step::of(Number(middle.clone()), one));
                if step.is_some_and(|step| is_in(&step)) {
                    near = middle;
                } else {
                    far = middle;
                }
            }
            Ok(Some(Number(settable(&near, &far))))
        };
        let from = end(first, first.checked_sub(1))?;
        let to = end(last, Some(last + 1))?;
        Ok(from.zip(to))
    }
}

fn called<'s>(sheet: &'s Sheet, name: &str) -> Option<&'s Loadout> {
    sheet.loadouts.iter().find(|one| one.name == name)
}

fn between(one: &Quantity, other: &Quantity) -> Quantity {
    let middle = f64::midpoint(one.si(), other.si());
    Quantity::from_si(middle, one.unit()).with_axis(one.axis())
}

/// The nearest whole unit on the side of `near`, which is inside.
fn settable(near: &Quantity, far: &Quantity) -> Quantity {
    let value = near.value();
    let whole = if far.si() < near.si() { value.ceil() } else { value.floor() };
    Quantity::new(whole, near.unit()).with_axis(near.axis())
}

/// Round values from one end to the other, both ends among them.
fn round_values(low: &Quantity, high: &Quantity) -> Vec<Quantity> {
    let unit = low.unit();
    let of = |value: f64| Quantity::new(value, unit).with_axis(low.axis());
    let (from, to) = (unit.of_si(low.si()), unit.of_si(high.si()));
    let step = round_step((to - from) / ABOUT);
    let mut values = vec![of(from)];
    let mut next = ((from / step).floor() + 1.0) * step;
    while next < to - step / 1e6 {
        values.push(of(next));
        next += step;
    }
    values.push(of(to));
    values
}

/// The step of 1, 2 or 5 times a power of ten that is not below a width.
fn round_step(width: f64) -> f64 {
    let mut step = 1e-9;
    loop {
        for times in [1.0, 2.0, 5.0] {
            if width <= step * times || 1e12 < step {
                return step * times;
            }
        }
        step *= 10.0;
    }
}

//! The table of everything aboard.

use super::{Foot, Page};
use crate::aligned::{Align, Column, Grid, WORDS};
use crate::number::Number;
use crate::sheet::{Item, Loadout, Sheet, Source};

/// A number and its spread.
const WITH_SPREAD: &[Align] = &[Align::Point, Align::Point];
/// A number, its side and its spread.
const PLACE: &[Align] = &[Align::Point, Align::Left, Align::Point];
/// A number and its side.
const SIDED: &[Align] = &[Align::Point, Align::Left];

/// How much of the table is shown, the most first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Room {
    Words,
    Letters,
    NoSpreadOfPlaces,
}

pub(super) fn items(page: &mut Page<'_>, sheet: &Sheet, loadout: &Loadout) {
    if loadout.items.is_empty() {
        page.sentences("Nothing is aboard.");
        return;
    }
    let rooms = [Room::Words, Room::Letters, Room::NoSpreadOfPlaces];
    let grids = rooms.map(|room| (room, grid(sheet, loadout, room)));
    let fits = grids.iter().find(|(_, grid)| grid.width() <= page.width);
    let [.., least] = &grids;
    let (room, grid) = fits.unwrap_or(least);
    if Room::Words < *room {
        let sources = loadout.items.iter().map(|item| item.source);
        page.letters.extend(sources);
    }
    let foot = if loadout.total.is_some() { Foot::Sum } else { Foot::None };
    page.grid(grid.clone(), foot);
}

fn grid(sheet: &Sheet, loadout: &Loadout, room: Room) -> Grid {
    let column = |head: String, pieces| Column { head, pieces };
    let units = &sheet.units;
    let place = if room < Room::NoSpreadOfPlaces { PLACE } else { SIDED };
    let mut rows: Vec<Vec<Vec<String>>> =
        loadout.items.iter().map(|item| row(item, room)).collect();
    if let Some(total) = &loadout.total {
        rows.push(vec![
            vec!["total".to_owned()],
            with_spread(Some(&total.mass)),
            vec![String::new()],
            at(Some(&total.x), room),
            sided(Some(&total.moment)),
        ]);
    }
    Grid {
        columns: vec![
            column("aboard".to_owned(), WORDS),
            column(format!("mass {}", units.mass), WITH_SPREAD),
            column("from".to_owned(), WORDS),
            column(format!("place {}", units.length), place),
            column(format!("moment {}", units.moment), SIDED),
        ],
        rows,
        gives_way: 0,
    }
}

fn row(item: &Item, room: Room) -> Vec<Vec<String>> {
    let place = match (&item.slide, &item.x) {
        (Some(_), _) => vec!["open".to_owned()],
        (None, x) => at(x.as_ref(), room),
    };
    let moment = if item.slide.is_some() {
        vec!["open".to_owned()]
    } else {
        sided(item.moment.as_ref())
    };
    vec![
        vec![name(item)],
        with_spread(item.mass.as_ref()),
        vec![from(item, room)],
        place,
        moment,
    ]
}

/// Its name, and how many there are: `servos (pair)`, `bolts (6)`, `camera (open)`.
fn name(item: &Item) -> String {
    let name = item.name.clone();
    let mut more = Vec::new();
    match (item.is_pair, item.count) {
        (true, 0..=2) => more.push("pair".to_owned()),
        (true, count) => more.push(format!("pair, {count}")),
        (false, 0..=1) => {}
        (false, count) => more.push(count.to_string()),
    }
    if item.is_open {
        more.push("or not".to_owned());
    }
    if more.is_empty() { name } else { format!("{name} ({})", more.join(", ")) }
}

/// Where the mass comes from; a mass that is not there comes from nowhere.
fn from(item: &Item, room: Room) -> String {
    let is_nowhere = item.mass.is_none() && item.source == Source::Unstated;
    match room {
        _ if is_nowhere => String::new(),
        Room::Words => item.source.word().to_owned(),
        Room::Letters | Room::NoSpreadOfPlaces => item.source.letter().to_owned(),
    }
}

fn with_spread(number: Option<&Number>) -> Vec<String> {
    match number {
        Some(number) => vec![number.digits(), number.spread_digits()],
        None => vec!["?".to_owned()],
    }
}

fn at(number: Option<&Number>, room: Room) -> Vec<String> {
    let mut pieces = sided(number);
    if let Some(number) = number.filter(|_| room < Room::NoSpreadOfPlaces) {
        pieces.push(number.spread_digits());
    }
    pieces
}

fn sided(number: Option<&Number>) -> Vec<String> {
    match number {
        Some(number) => vec![number.digits(), number.side()],
        None => vec!["?".to_owned()],
    }
}

/// What lies beside the centre line or off the chord line: only there does it matter.
pub(super) fn off_centre(page: &mut Page<'_>, sheet: &Sheet, loadout: &Loadout) {
    let off = |number: &Option<Number>| {
        number
            .as_ref()
            .filter(|number| number.0.si() != 0.0)
            .map_or(Vec::new(), |number| vec![number.digits(), number.side()])
    };
    let rows = loadout.items.iter().filter_map(|item| {
        let (y, z) = (off(&item.y), off(&item.z));
        let is_off = !y.is_empty() || !z.is_empty();
        is_off.then(|| vec![vec![name(item)], y, z])
    });
    let rows: Vec<_> = rows.collect();
    if rows.is_empty() {
        return;
    }
    page.gap();
    let unit = &sheet.units.length;
    let column = |head: String, pieces| Column { head, pieces };
    let columns = vec![
        column("off the centre line".to_owned(), WORDS),
        column(format!("side {unit}"), SIDED),
        column(format!("height {unit}"), SIDED),
    ];
    page.grid(Grid { columns, rows, gives_way: 0 }, Foot::None);
}

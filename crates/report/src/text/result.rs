//! What it comes to: totals, limits, the spread and what to measure next.

use super::{Foot, Page};
use crate::aligned::{Align, Column, Grid, WORDS};
use crate::number::Number;
use crate::sheet::{Distance, Limit, Loadout, NotSaid, Sheet, Total};

/// A number with its side or its words behind it.
const PHRASE: &[Align] = &[Align::Point, Align::Left];
const PLACE: &[Align] = &[Align::Point, Align::Left, Align::Point];
const WITH_SPREAD: &[Align] = &[Align::Point, Align::Point];

/// How many contributors are shown one by one.
const MOST: usize = 6;

/// How many lines are named that keep one thing from being said.
const MOST_GAPS: usize = 12;

/// What adds less than this to the variance, in percent, is not worth a walk to the bench.
const LEAST_SHARE: f64 = 0.5;

/// The mass and the balance point, or both ends of it.
pub(super) fn figures(page: &mut Page<'_>, loadout: &Loadout) {
    if !loadout.open.is_empty() {
        page.entry("open", &loadout.open.join("; "));
    }
    if let Some(total) = &loadout.total {
        page.entry("mass", &total.mass.to_string());
        page.entry("balance point", &point(total));
    } else if !loadout.not_said.iter().any(|one| one.line.is_some())
        || !loadout.corners.is_empty()
    {
        page.entry("balance point", &format!("open: {} ways looked at", loadout.ways));
    } else {
        page.entry("mass", "cannot say, see below");
        page.entry("balance point", "cannot say, see below");
    }
    for (label, corner) in ["foremost", "aftmost"].iter().zip(&loadout.corners) {
        let total = &corner.total;
        page.entry(label, &format!("{}, {}: {}", point(total), total.mass, corner.says));
    }
    if let Some(share) = &loadout.chord_share {
        page.entry("on the chord", &format!("{share} of the mean chord"));
    }
    if let Some(loading) = &loadout.wing_loading {
        let most = if loadout.corners.is_empty() { "" } else { "at most " };
        page.entry("wing loading", &format!("{most}{loading}"));
    }
    let guesses: Vec<&str> = (loadout.items.iter())
        .filter(|item| item.mass.is_some() && item.source.is_guess())
        .map(|item| item.name.as_str())
        .collect();
    if !guesses.is_empty() {
        page.entry("not weighed", &guesses.join(", "));
    }
    if 0 < loadout.assumed {
        let (assumed, all) = (loadout.assumed, loadout.values);
        let says = format!("{assumed} of {all} masses and places have an assumed spread");
        page.entry("assumed", &says);
    }
}

fn point(total: &Total) -> String {
    let beside = |number: &Option<Number>, nought: &str| {
        let number = number.as_ref()?;
        let is_nought = number.digits() == "0";
        Some(if is_nought { nought.to_owned() } else { number.to_string() })
    };
    let y = beside(&total.y, "on the centre line");
    let z = beside(&total.z, "at the height of the datum");
    let all: Vec<String> =
        std::iter::once(total.x.to_string()).chain(y).chain(z).collect();
    all.join(", ")
}

/// Ways into the band.
pub(super) fn remedies(page: &mut Page<'_>, loadout: &Loadout) {
    if loadout.remedies.is_empty() {
        return;
    }
    page.gap();
    page.sentences("its whole spread is not inside the band; ways there:");
    for (at, way) in loadout.remedies.iter().enumerate() {
        page.entry(&format!("{}", at + 1), way);
    }
}

/// How it flies, as far as its shape tells.
pub(super) fn flight(page: &mut Page<'_>, loadout: &Loadout) {
    if loadout.flight.is_empty() {
        return;
    }
    page.gap();
    page.sentences("estimates from the shape, without body, propeller and friction:");
    for one in &loadout.flight {
        page.entry(&one.of, &one.says);
    }
}

/// What drives it, and how long that lasts.
pub(super) fn drive(page: &mut Page<'_>, loadout: &Loadout) {
    if loadout.drive.is_empty() {
        return;
    }
    page.gap();
    page.sentences(
        "current, time and way; an estimate but where it says measured or stated:",
    );
    for one in &loadout.drive {
        let widest = one.widest.as_ref().map(|widest| {
            let line = widest.line.as_ref().map(|line| format!(", {}", page.place(line)));
            let (says, share) = (&widest.says, widest.share.value());
            let line = line.unwrap_or_default();
            format!("; unsure most by the {says} ({share:.0} % of that{line})")
        });
        page.entry(&one.of, &format!("{}{}", one.says, widest.unwrap_or_default()));
    }
}

/// Each limit with its value and how far away it is; whether it is kept is for rules.
pub(super) fn limits(page: &mut Page<'_>, loadout: &Loadout) {
    let band = loadout.band.iter().flat_map(|band| {
        let best = band.best.as_ref().map(|best| ("best", best));
        [("forward", &band.forward)].into_iter().chain(best).chain([("aft", &band.aft)])
    });
    let mut rows: Vec<Vec<Vec<String>>> = Vec::new();
    for (name, limit) in band {
        rows.push(limit_row(name, limit, ["ahead of it", "aft of it"]));
    }
    if let Some(limit) = &loadout.mass_limit {
        rows.push(limit_row("mass", limit, ["below it", "above it"]));
    }
    if rows.is_empty() {
        return;
    }
    page.gap();
    let column = |head: &str, pieces| Column { head: head.to_owned(), pieces };
    let mut columns = vec![column("limit", WORDS), column("the spec says", PHRASE)];
    let heads: &[&str] = match (&loadout.total, loadout.corners.as_slice()) {
        (Some(_), _) => &["this lies"],
        (None, []) => &[],
        (None, _) => &["foremost lies", "aftmost lies"],
    };
    columns.extend(heads.iter().map(|head| column(head, PHRASE)));
    page.grid(Grid { columns, rows, gives_way: 0 }, Foot::None);
}

fn limit_row(name: &str, limit: &Limit, words: [&str; 2]) -> Vec<Vec<String>> {
    let unit = limit.at.0.unit().text();
    let side = limit.at.side();
    let gap = if side.is_empty() { "" } else { " " };
    let source = limit.source.word();
    let at = vec![limit.at.digits(), format!("{unit}{gap}{side}, {source}")];
    let mut row = vec![vec![name.to_owned()], at];
    row.extend(limit.distances.iter().map(|distance| apart(distance, words)));
    row
}

fn apart(distance: &Distance, [less, more]: [&str; 2]) -> Vec<String> {
    let by = &distance.by;
    let unit = by.0.unit().text();
    let digits = by.magnitude().digits();
    let word = if digits == "0" {
        "away"
    } else if by.0.si() < 0.0 {
        less
    } else {
        more
    };
    vec![digits, format!("{unit} {word}")]
}

/// What the scale and the stand said, beside the list.
pub(super) fn as_weighed(page: &mut Page<'_>, sheet: &Sheet, loadout: &Loadout) {
    let Some(weighed) = &loadout.as_weighed else { return };
    page.gap();
    let column = |head: String, pieces| Column { head, pieces };
    let columns = vec![
        column("two ways".to_owned(), WORDS),
        column(format!("mass {}", sheet.units.mass), WITH_SPREAD),
        column(format!("balance {}", sheet.units.length), PLACE),
    ];
    let mass = |number: Option<&Number>| {
        number.map_or(vec!["?".to_owned()], |one| vec![one.digits(), one.spread_digits()])
    };
    let place = |number: Option<&Number>| {
        number.map_or(vec!["?".to_owned()], |one| {
            vec![one.digits(), one.side(), one.spread_digits()]
        })
    };
    let total = loadout.total.as_ref();
    let row = |name: &str, m: Option<&Number>, x: Option<&Number>| {
        vec![vec![name.to_owned()], mass(m), place(x)]
    };
    let rows = vec![
        row("from the list", total.map(|total| &total.mass), total.map(|total| &total.x)),
        row("as weighed", weighed.mass.as_ref(), weighed.x.as_ref()),
    ];
    page.grid(Grid { columns, rows, gives_way: 0 }, Foot::None);
    let phrase = |number: &Number, [less, more]: [&str; 2]| {
        let by = number.magnitude();
        let word = if number.0.si() < 0.0 { less } else { more };
        format!("{by} {word}")
    };
    let heavier = weighed.heavier.iter().map(|by| phrase(by, ["lighter", "heavier"]));
    let aft =
        weighed.further_aft.iter().map(|by| phrase(by, ["further ahead", "further aft"]));
    let differs: Vec<String> = heavier.chain(aft).collect();
    if !differs.is_empty() {
        page.entry(
            "difference",
            &format!("as weighed it is {}", differs.join(" and balances ")),
        );
    }
    // What the records are called mostly is where they are, too: once is enough.
    let base = weighed.base.as_ref().filter(|base| Some(*base) != weighed.says.as_ref());
    for (label, says) in [("as weighed", weighed.says.as_ref()), ("based on", base)] {
        if let Some(says) = says {
            page.entry(label, says);
        }
    }
    for change in &weighed.changes {
        // The words say what was taken off, so the mass needs no sign.
        let mass = change.mass.as_ref().map(Number::magnitude);
        let numbers = mass.iter().chain(&change.at).map(ToString::to_string);
        let numbers: Vec<String> = numbers.collect();
        let colon = if numbers.is_empty() { "" } else { ": " };
        page.entry(
            "since then",
            &format!("{}{colon}{}", change.says, numbers.join(" at ")),
        );
    }
}

/// What makes the balance point unsure, and what to measure next.
pub(super) fn contributors(page: &mut Page<'_>, sheet: &Sheet, loadout: &Loadout) {
    let matter =
        loadout.contributors.iter().take_while(|one| LEAST_SHARE <= one.share.value());
    let count = matter.count().min(MOST);
    let (shown, rest) = loadout.contributors.split_at(count);
    if shown.is_empty() {
        return;
    }
    page.gap();
    let rows = shown.iter().map(|one| {
        let share = format!("{:.0}", one.share.value());
        let line = one.line.as_ref().map(|line| format!(" ({})", page.place(line)));
        let act = format!("{}{}", one.act, line.unwrap_or_default());
        vec![vec![share], vec![one.moves.as_spread()], vec![act]]
    });
    let column = |head: String, pieces| Column { head, pieces };
    let what = if loadout.corners.is_empty() { "" } else { ", for the aftmost" };
    let grid = Grid {
        columns: vec![
            column("share %".to_owned(), &[Align::Point]),
            column(format!("alone {}", sheet.units.length), &[Align::Point]),
            column(format!("surer next{what}"), WORDS),
        ],
        rows: rows.collect(),
        gives_way: 2,
    };
    page.grid(grid, Foot::None);
    if !rest.is_empty() {
        let share: f64 = rest.iter().map(|one| one.share.value()).sum();
        let share = if share < 0.5 {
            "less than 1 %".to_owned()
        } else {
            format!("{share:.0} %")
        };
        page.sentences(&format!("and {} more, together {share}", rest.len()));
    }
}

/// What cannot be said, and because of which line.
pub(super) fn not_said(page: &mut Page<'_>, loadout: &Loadout) {
    if loadout.not_said.is_empty() {
        return;
    }
    page.gap();
    let same = |one: &NotSaid, next: &NotSaid| one.what == next.what;
    for gaps in loadout.not_said.chunk_by(same) {
        let what = gaps.first().map_or("", |one| one.what.as_str());
        let why = gaps.iter().take(MOST_GAPS).map(|one| {
            let line = one.line.as_ref().map(|line| format!(" ({})", page.place(line)));
            format!("{}{}", one.why, line.unwrap_or_default())
        });
        let why: Vec<String> = why.collect();
        let more = gaps.len().saturating_sub(MOST_GAPS);
        let more =
            if more == 0 { String::new() } else { format!("; and {more} more lines") };
        page.entry("cannot say", &format!("{what}: {}{more}", why.join("; ")));
    }
}

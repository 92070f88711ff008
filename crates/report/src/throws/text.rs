//! The throws card for a person with a rule at the edge.

use std::fmt::Write;

use trimsheet_facts::model::quantity::{Dimension, Quantity};
use trimsheet_output::clean::width;

use super::{End, Linkage, Point, Rate, Surface, Throws, Turn, Way};
use crate::number::Number;
use crate::page::{Page, place};

/// Writes a card within so many columns; fewer than 60 are taken as 60, more than 100 as
/// 100.
pub fn text(throws: &Throws, columns: usize) -> String {
    let mut page = Page::new(columns);
    let revision = throws.revision.as_ref().map(|says| format!(", revision {says}"));
    let title = match throws.title.as_str() {
        "" => "aircraft without a name",
        title => title,
    };
    page.say(&format!("{title}{}: throws", revision.unwrap_or_default()));
    page.say(&format!("{}, judged for the stage {}", throws.file, throws.stage));
    if throws.surfaces.is_empty() {
        page.gap();
        page.say("The spec describes no control surface; an entry `surface` does.");
        return page.out;
    }
    for surface in &throws.surfaces {
        one(&mut page, throws, surface);
    }
    page.rule("how the numbers came");
    page.say(
        "Angles follow from the depth of a surface, and the three readings from the angle: \
         straight up is how far the edge stands from the line that it counts from, edge to \
         edge the straight way between its two places, and the upright rule what a rule \
         shows that stands where the edge lay. Pulses count from 1500 us, and whether a \
         longer one lifts depends on how the servo lies. What the servo does is an estimate: rod, arm and horn do not bend \
         in it, and nothing has play. Measure at the edge.",
    );
    page.say("Set throws with the propeller off. No release to fly; local rules decide.");
    page.out
}

fn one(page: &mut Page, throws: &Throws, surface: &Surface) {
    page.rule(&surface.name);
    let pair = if surface.is_pair { ", a pair" } else { "" };
    let on = surface.on.as_ref().map_or(String::new(), |on| format!("hinged to {on}"));
    let line = surface.line.as_ref().map(|line| place(&throws.file, line));
    let is = format!("{on}{pair}");
    let is = is.trim_start_matches(", ");
    let is = if is.is_empty() { "control surface" } else { is };
    page.entry("surface", &format!("{is}{}", line.unwrap_or_default()));
    if let Some([root, tip]) = &surface.depths {
        let depths = format!("{} at the root, {} at the tip", root.0, tip.0);
        page.entry("depth", &format!("from hinge to edge {depths}"));
    }
    if let Some(reflex) = &surface.reflex {
        let by = match reflex.by.as_deref() {
            Some("trim") => "made by the transmitter's trim",
            Some(_) => "made by the rod",
            None => "taken as made by the rod, which the spec does not say",
        };
        let turned = measure(&reflex.turned);
        page.entry("reflex", &format!("{}, {turned} from flat, {by}", reflex.stated.0));
    }
    if let Some(linkage) = &surface.linkage {
        joined(page, linkage);
    }
    for rate in &surface.rates {
        rate_of(page, throws, rate, surface);
    }
    for not_said in &surface.not_said {
        let line = not_said.line.as_ref().map(|line| place(&throws.file, line));
        let says = format!("{}: {}", not_said.what, not_said.why);
        page.gap();
        page.entry("cannot say", &format!("{says}{}", line.unwrap_or_default()));
    }
    if let Some(linkage) = &surface.linkage {
        chart(page, linkage, surface);
    }
}

fn joined(page: &mut Page, linkage: &Linkage) {
    if let (Some(arm), Some(horn)) = (&linkage.arm, &linkage.horn) {
        let best = linkage.best_holes.as_ref();
        let is_same = |[a, h]: &&[Number; 2]| is_near(a, arm) && is_near(h, horn);
        let best = match best {
            Some(best) if is_same(&best) => ", the best use of the servo".to_owned(),
            Some([arm, horn]) => {
                format!("; arm {}, horn {} use the servo best", arm.0, horn.0)
            }
            None => String::new(),
        };
        page.entry("holes", &format!("arm {}, horn {}{best}", arm.0, horn.0));
    }
    let usable = &linkage.usable.0;
    page.entry("servo", &if linkage.is_usable_stated {
        format!("turns {usable} each way")
    } else {
        format!(
            "taken to turn {usable} each way (common practice, no source), because the \
             spec says no `turns` of it"
        )
    });
    if !linkage.is_placed {
        page.entry(
            "",
            "its place is not stated (`pivot`): arm and horn are taken as square to a long \
             rod",
        );
    }
    for end in &linkage.ends {
        page.entry(
            if end.way == "up" || end.way == "left" { "stops" } else { "" },
            &stops(end),
        );
    }
}

fn is_near(one: &Number, other: &Number) -> bool {
    (one.0.si() - other.0.si()).abs() < 1e-6
}

fn stops(end: &End) -> String {
    let at = format!("servo {}, surface {}", measure(&end.servo), measure(&end.surface));
    match end.because.as_str() {
        "locked" => format!("{}: locked at {at}: the servo stalls there", end.way),
        "over-centre" => {
            format!("{}: over centre at {at}: past it the edge comes back", end.way)
        }
        _ => format!("{}: nothing stops it within half a turn", end.way),
    }
}

fn rate_of(page: &mut Page, throws: &Throws, rate: &Rate, surface: &Surface) {
    page.gap();
    let at = match rate.at.as_deref() {
        Some(at) => format!("at the {at}"),
        None => "anywhere along the edge".to_owned(),
    };
    let from = match (&surface.reflex, rate.from.as_str()) {
        (Some(reflex), "reflex") => format!("reflex ({})", reflex.stated.0),
        _ => "flat".to_owned(),
    };
    page.say(&format!(
        "rate {}{}: {at}, {} from the hinge; counted from {from}, read {}",
        rate.name,
        rate.line.as_ref().map(|line| place(&throws.file, line)).unwrap_or_default(),
        rate.depth.0,
        rate.read.replace('-', " "),
    ));
    edges(page, rate);
    servos(page, rate, surface);
    found(page, rate);
}

/// What a rule reads at the edge; the column that the spec states is the rule's own.
fn edges(page: &mut Page, rate: &Rate) {
    let heads = [
        "edge",
        "stated",
        "straight up",
        "edge to edge",
        "upright rule",
        "turns",
        "from flat",
    ];
    let row = |way: &Way| {
        vec![
            [way.way.clone(), String::new()],
            cell(&way.stated.0.magnitude()),
            cell(&way.straight_up.0),
            cell(&way.edge_to_edge.0),
            cell(&way.upright_rule.0),
            cell(&way.angle.0),
            sided(&way.height),
        ]
    };
    page.table(&heads, &rate.ways.iter().map(row).collect::<Vec<_>>());
}

fn servos(page: &mut Page, rate: &Rate, surface: &Surface) {
    if rate.ways.iter().all(|way| way.servo.is_none()) {
        return;
    }
    let heads = [
        "servo",
        "turns",
        "of its turn",
        "rod to arm",
        "rod to horn",
        "pulse",
        "of full",
    ];
    let cell_of = |number: Option<&Number>| {
        number.map_or([String::new(), String::new()], |number| cell(&number.0))
    };
    let row = |way: &Way| {
        let servo = way.servo.as_ref();
        vec![
            [way.way.clone(), String::new()],
            cell_of(servo.map(|turn| &turn.by)),
            cell_of(servo.map(|turn| &turn.share)),
            cell_of(servo.and_then(|turn| turn.rod_to_arm.as_ref())),
            cell_of(servo.and_then(|turn| turn.rod_to_horn.as_ref())),
            cell_of(way.pulse.as_ref().map(|pulse| &pulse.length)),
            way.pulse.as_ref().map_or([String::new(), String::new()], |pulse| {
                let sign = if pulse.share.0.si() < 0.0 { "-" } else { "+" };
                let [number, unit] = cell(&pulse.share.0.magnitude());
                [format!("{sign}{number}"), unit]
            }),
        ]
    };
    page.gap();
    page.table(&heads, &rate.ways.iter().map(row).collect::<Vec<_>>());
    for way in &rate.ways {
        let wanted = from_neutral(way, surface).abs();
        let wanted = Number(Quantity::from_si(wanted, way.angle.0.unit()));
        let stopped = |turn: &Turn| {
            Some(format!(
                "{} is not reached: {} with the surface turned {} from servo neutral, of \
                 {} that it should",
                way.way,
                turn.stopped.as_ref()?.replace('-', " "),
                measure(&turn.surface),
                measure(&wanted),
            ))
        };
        if let Some(says) = way.servo.as_ref().and_then(stopped) {
            page.say(&says);
        }
    }
}

/// What was found at the halves, beside what is stated.
fn found(page: &mut Page, rate: &Rate) {
    if rate.ways.iter().all(|way| way.reached.is_empty()) {
        return;
    }
    let heads =
        ["found", "left", "than stated", "right", "than stated", "right than left"];
    let row = |way: &Way| {
        let mut cells = vec![[way.way.clone(), String::new()]];
        for half in ["left", "right"] {
            let found = way.reached.iter().find(|one| one.half == half);
            let empty = || [String::from("not measured"), String::new()];
            cells.push(found.map_or_else(empty, |one| cell(&one.found.0.magnitude())));
            cells.push(
                found.map_or([String::new(), String::new()], |one| more(&one.beyond)),
            );
        }
        let beyond = way.right_beyond_left.as_ref();
        cells.push(beyond.map_or([String::new(), String::new()], more));
        cells
    };
    page.gap();
    page.table(&heads, &rate.ways.iter().map(row).collect::<Vec<_>>());
}

/// A difference with its sign in words: `0.4 mm less`.
fn more(number: &Number) -> [String; 2] {
    let [digits, unit] = cell(&number.0.magnitude());
    let is_nought = digits.chars().all(|digit| matches!(digit, '0' | '.'));
    let word = match (is_nought, number.0.si() < 0.0) {
        (true, _) => "",
        (false, true) => " less",
        (false, false) => " more",
    };
    [digits, format!("{unit}{word}")]
}

/// A number and the side it lies on.
fn sided(number: &Number) -> [String; 2] {
    let [digits, unit] = cell(&number.0.magnitude());
    [digits, format!("{unit} {}", number.side()).trim_end().to_owned()]
}

/// Digits, and the unit behind them: as many digits as a rule or a protractor shows.
fn cell(quantity: &Quantity) -> [String; 2] {
    let (unit, dimension) = (quantity.unit().text(), quantity.dimension());
    let decimals = match unit {
        "mm" | "deg" => 1,
        "%" | "us" => 0,
        _ if dimension == Dimension::NONE => 0,
        _ => 2,
    };
    [format!("{:.decimals$}", quantity.value()), unit.to_owned()]
}

/// The same as one phrase, with its side.
pub(super) fn measure(number: &Number) -> String {
    let [digits, unit] = sided(number);
    format!("{digits} {unit}")
}

/// A row for each turn of the servo: `o` is the surface, `.` where it would be if it
/// went on as about neutral, `|` the largest throws, `:` neutral.
fn chart(page: &mut Page, linkage: &Linkage, surface: &Surface) {
    let points: Vec<&Point> = linkage.curve.iter().step_by(2).collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    let ways = surface.rates.iter().flat_map(|rate| &rate.ways);
    let turns: Vec<f64> = ways.map(|way| from_neutral(way, surface)).collect();
    let straight = straight(linkage);
    let of = |point: &Point| point.surface.0.si();
    let all = points.iter().flat_map(|point| [of(point), straight * point.servo.0.si()]);
    let all: Vec<f64> = all.chain(turns.iter().copied()).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (from, to) = (first.servo.side(), last.servo.side());
    let label = 16;
    let room = page.columns.saturating_sub(label + 1).min(64);
    if high - low < 1e-6 {
        return;
    }
    // Up is positive and stands on the left, left is negative and does as well.
    let is_height = of(first) > of(last);
    let place = |turn: f64| {
        let share = (turn - low) / (high - low);
        crate::sweep::column(if is_height { 1.0 - share } else { share }, room)
    };
    page.gap();
    let head = format!("surface {from}");
    let rest = (room + 1).saturating_sub(width(&head));
    let _ = writeln!(page.out, "{:label$}{head}{to:>rest$}", "servo");
    let most = turns.iter().copied().fold(0.0, f64::max);
    let least = turns.iter().copied().fold(0.0, f64::min);
    for point in &points {
        let mut cells = vec![' '; room + 1];
        let mut put = |at: usize, sign: char| {
            if let Some(cell) = cells.get_mut(at) {
                *cell = sign;
            }
        };
        put(place(0.0), ':');
        [most, least]
            .into_iter()
            .filter(|turn| *turn != 0.0)
            .for_each(|turn| put(place(turn), '|'));
        put(place(straight * point.servo.0.si()), '.');
        put(place(of(point)), 'o');
        let row: String = cells.into_iter().collect();
        let is_neutral = point.servo.0.si().abs() < 1e-9;
        let label = if is_neutral { "neutral".to_owned() } else { measure(&point.servo) };
        let _ = writeln!(page.out, "{label:>13}   {}", row.trim_end());
    }
    let ends = (measure(&first.surface), measure(&last.surface));
    page.say(&format!(
        "o the surface, from {} to {} of servo neutral; . in proportion, as about \
         neutral; | largest throws; : neutral",
        ends.0, ends.1
    ));
}

/// How fast the surface turns about neutral.
fn straight(linkage: &Linkage) -> f64 {
    let middle = linkage.curve.windows(3).find_map(|three| {
        let [before, at, after] = three else { return None };
        let is_neutral = at.servo.0.si().abs() < 1e-9;
        let turned = after.servo.0.si() - before.servo.0.si();
        let surface = after.surface.0.si() - before.surface.0.si();
        is_neutral.then_some(surface / turned)
    });
    middle.filter(|slope| slope.is_finite()).unwrap_or(0.0)
}

/// How far a throw turns the surface from where the servo's neutral has it; up and right
/// are positive.
fn from_neutral(way: &Way, surface: &Surface) -> f64 {
    let reflex = surface.reflex.as_ref();
    let made = reflex.filter(|reflex| reflex.by.as_deref() != Some("trim"));
    way.stands.0.si() - made.map_or(0.0, |reflex| reflex.turned.0.si())
}

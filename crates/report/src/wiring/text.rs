//! The wiring sheet for a person with a soldering iron.

use trimsheet_facts::power::Phase;

use super::tree::name;
use super::{Branch, Figures, Flow, Join, Plug, Socket, Thing, Way, Wiring};
use crate::number::Number;
use crate::page::{Page, place};

/// Writes a sheet within so many columns; fewer than 60 are taken as 60, more than 100 as
/// 100.
pub fn text(wiring: &Wiring, columns: usize) -> String {
    let mut page = Page::new(columns);
    let revision = wiring.revision.as_ref().map(|says| format!(", revision {says}"));
    let title = match wiring.title.as_str() {
        "" => "aircraft without a name",
        title => title,
    };
    page.say(&format!("{title}{}: wiring", revision.unwrap_or_default()));
    page.say(&format!("{}, judged for the stage {}", wiring.file, wiring.stage));
    if wiring.joins.is_empty() {
        page.gap();
        page.say("The spec joins nothing to anything; an entry `join` does.");
    } else {
        ways(&mut page, wiring);
        leads(&mut page, wiring);
        plugs(&mut page, wiring);
    }
    ports(&mut page, wiring);
    power(&mut page, wiring);
    flows(&mut page, wiring);
    let not_said = wiring.joins.iter().filter_map(|join| join.not_said.as_ref());
    for (at, one) in not_said.enumerate() {
        if at == 0 {
            page.rule("cannot say");
        }
        let line = one.line.as_ref().map(|line| place(&wiring.file, line));
        page.say(&format!("{}: {}{}", one.what, one.why, line.unwrap_or_default()));
    }
    page.rule("before a pack is connected");
    for caution in CAUTIONS {
        page.say(caution);
    }
    page.out
}

/// What stands on every sheet, and on every drawing.
pub(super) const CAUTIONS: [&str; 2] = [
    "Take the propeller off. Check polarity at every plug with a meter, and plus against \
     minus for a short, before a pack is connected.",
    "This is what the spec says, not what is soldered; a lead that it leaves out is not \
     here. No release to fly; local rules decide.",
];

/// A number as the builder wrote it; what nobody says is a question, as on other sheets.
pub(super) fn known(number: Option<&Number>) -> String {
    number.map_or("?".to_owned(), |number| number.0.to_string())
}

fn ways(page: &mut Page, wiring: &Wiring) {
    page.rule("who is joined to whom");
    let mut rows = Vec::new();
    for join in &wiring.joins {
        for (at, way) in join.ways.iter().enumerate() {
            rows.push(vec![
                if at == 0 { join.name.clone() } else { String::new() },
                way.carries.clone(),
                name(&way.from),
                name(&way.to),
                remarks(way),
            ]);
        }
        if join.ways.is_empty() {
            rows.push(vec![join.name.clone(), "?".to_owned()]);
        }
    }
    page.list(&["join", "carries", "from", "to", "note"], &rows);
}

/// What is said of a way besides its ends: `divided, reversed`.
pub(super) fn remarks(way: &Way) -> String {
    let all = [
        (way.is_divided, "divided"),
        (way.is_reversed, "reversed"),
        (way.is_lifted, "lifted"),
    ];
    let said: Vec<&str> =
        all.iter().filter(|(is_so, _)| *is_so).map(|(_, says)| *says).collect();
    said.join(", ")
}

fn leads(page: &mut Page, wiring: &Wiring) {
    page.rule("leads");
    let row = |join: &Join| {
        let extended = join.extended.as_ref().map(|length| length.0.to_string());
        vec![
            join.name.clone(),
            known(join.gauge.as_ref()),
            known(join.length.as_ref()),
            extended.unwrap_or_default(),
            match colours(join).as_str() {
                "" => "?".to_owned(),
                colours => colours.to_owned(),
            },
        ]
    };
    let rows: Vec<Vec<String>> = wiring.joins.iter().map(row).collect();
    page.list(
        &["join", "gauge", "one way", "extended", "in the order of the pins"],
        &rows,
    );
}

/// The leads in the order of the pins: `minus black, plus red, signal white`.
pub(super) fn colours(join: &Join) -> String {
    let lead = |lead: &super::Lead| {
        format!("{} {}", lead.carries, lead.colour.as_deref().unwrap_or("?"))
    };
    join.leads.iter().map(lead).collect::<Vec<_>>().join(", ")
}

fn plugs(page: &mut Page, wiring: &Wiring) {
    page.rule("plugs and photographs");
    let row = |join: &Join| {
        let photo = join.photo.as_ref().map(|photo| {
            let file = photo.file.clone().unwrap_or("?".to_owned());
            let date = photo.date.clone().unwrap_or("day not said".to_owned());
            format!("{file}, {date}")
        });
        let plug = join.plug.as_ref().map(says_plug);
        (plug.is_some() || photo.is_some()).then(|| {
            vec![join.name.clone(), plug.unwrap_or_default(), photo.unwrap_or_default()]
        })
    };
    let rows: Vec<Vec<String>> = wiring.joins.iter().filter_map(row).collect();
    page.list(&["join", "plug", "photograph"], &rows);
    let without = |is_without: fn(&&Join) -> bool| {
        let all = wiring.joins.iter().filter(is_without);
        all.map(|join| join.name.as_str()).collect::<Vec<_>>().join(", ")
    };
    for (names, what) in [
        (without(|join| join.plug.is_none()), "no plug said of"),
        (without(|join| join.photo.is_none()), "no photograph said of"),
    ] {
        if !names.is_empty() {
            page.say(&format!("{what}: {names}"));
        }
    }
}

/// A plug in words: `three-way sockets, marked, goes in "black outboard"`.
pub(super) fn says_plug(plug: &Plug) -> String {
    let family = plug.family.clone().unwrap_or("?".to_owned());
    let family = match &plug.gender {
        Some(gender) => format!("{family} {gender}"),
        None => family,
    };
    let turned = plug.turned.as_ref().map(|turned| format!("\"{turned}\""));
    let carries = plug.carries.as_ref().map(|amps| format!("carries {}", amps.0));
    let all = [Some(family), turned, plug.kept.clone(), carries];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn ports(page: &mut Page, wiring: &Wiring) {
    let is_listed = |thing: &&Thing| !thing.sockets.is_empty();
    let things: Vec<&Thing> = wiring.things.iter().filter(is_listed).collect();
    if things.is_empty() {
        return;
    }
    page.rule("ports, rails and outlets");
    let mut rows = Vec::new();
    for thing in things {
        for (at, socket) in thing.sockets.iter().enumerate() {
            rows.push(vec![
                if at == 0 { thing.name.clone() } else { String::new() },
                socket.name.clone(),
                speaks(socket),
                who(wiring, socket),
            ]);
        }
    }
    page.list(&["part", "socket", "speaks or gives", "who is on it"], &rows);
}

/// What a socket speaks or gives; a port of which that is not said has a question.
fn speaks(socket: &Socket) -> String {
    match (socket.is.as_str(), socket.says.as_str()) {
        ("port", "") => "?".to_owned(),
        ("port", says) => says.to_owned(),
        (is, "") => is.to_owned(),
        (is, says) => format!("{is} {says}"),
    }
}

/// Who is on a socket: `gyro, by roll-lead; free` where nobody is.
fn who(wiring: &Wiring, socket: &Socket) -> String {
    if socket.is_free() {
        let whole =
            if wiring.is_whole() { "" } else { ", as far as the joins can be read" };
        return format!("free{whole}");
    }
    let one = |on: &super::Occupant| {
        format!("{} {} {}, {}", on.carries, on.goes, name(&on.other), on.join)
    };
    socket.on.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn power(page: &mut Page, wiring: &Wiring) {
    if wiring.tree.is_empty() && wiring.unfed.is_empty() {
        return;
    }
    page.rule("who feeds whom");
    let row = |branch: &Branch| {
        let wire = branch.join.as_ref().map(|_| {
            let (gauge, length) = (&branch.gauge, &branch.length);
            format!("{}, {}", known(gauge.as_ref()), known(length.as_ref()))
        });
        vec![
            format!("{}{}", "  ".repeat(branch.depth), grown(branch)),
            branch.join.clone().unwrap_or_default(),
            wire.unwrap_or_default(),
        ]
    };
    let rows: Vec<Vec<String>> = wiring.tree.iter().map(row).collect();
    page.list(&["supply", "through", "wire, one way"], &rows);
    if !wiring.unfed.is_empty() {
        page.say(&format!(
            "fed by nothing that the spec says: {}",
            wiring.unfed.join(", ")
        ));
    }
}

/// Amps and volts along the tree, a column for each phase.
fn flows(page: &mut Page, wiring: &Wiring) {
    for flow in &wiring.flows {
        page.rule(&format!("amps and volts, {} (estimates)", flow.name));
        let branches = wiring.tree.iter().zip(&flow.branches);
        let rows =
            branches.filter_map(|(branch, figures)| figure_row(flow, branch, figures));
        let rows: Vec<Vec<String>> = rows.collect();
        // Where no current is known, there is nothing to show by phase.
        if flow.branches.iter().flat_map(|one| &one.amps).flatten().any(is_some_current) {
            let phases = Phase::FLOWN.map(Phase::word);
            let heads: Vec<&str> = std::iter::once("supply").chain(phases).collect();
            page.list(&heads, &rows);
        }
        for one in &flow.not_said {
            let line = one.line.as_ref().map(|line| place(&wiring.file, line));
            let line = line.unwrap_or_default();
            page.say(&format!("cannot say {}: {}{line}", one.what, one.why));
        }
    }
    if wiring.flows.iter().any(|flow| !flow.branches.is_empty()) {
        page.gap();
        page.say(
            "Amps are those in the lead to a part, or out of a rail or a pack, volts those \
             at it: the pack full from the bench to the launch, as its label says in cruise, \
             nearly empty at the landing, motors still but at the launch and in cruise. \
             ≥ is the least and ≤ the most where something is not known.",
        );
    }
}

fn is_some_current(amps: &Number) -> bool {
    0.005 <= amps.0.si()
}

/// A row of figures; none where there is no figure, or where they stand further up.
fn figure_row(flow: &Flow, branch: &Branch, figures: &Figures) -> Option<Vec<String>> {
    let cell = |(amps, volts): (&Option<Number>, &Option<Number>)| {
        let amps =
            amps.as_ref().map(|amps| match (figures.is_least, is_some_current(amps)) {
                (true, true) => format!("≥ {}", digits(amps, "A")),
                (true, false) => "?".to_owned(),
                (false, _) => digits(amps, "A"),
            });
        let most = if flow.is_whole { "" } else { "≤ " };
        let volts = volts.as_ref().map(|volts| format!("{most}{}", digits(volts, "V")));
        amps.into_iter().chain(volts).collect::<Vec<_>>().join(" ")
    };
    let cells: Vec<String> = figures.amps.iter().zip(&figures.volts).map(cell).collect();
    if branch.is_above || cells.iter().all(String::is_empty) {
        return None;
    }
    let name = format!("{}{}", "  ".repeat(branch.depth), branch.name);
    Some(std::iter::once(name).chain(cells).collect())
}

/// A number with as many digits as a meter shows.
fn digits(number: &Number, unit: &str) -> String {
    let value = number.0.si();
    let decimals = if value.abs() < 1.0 { 2 } else { 1 };
    let text = format!("{value:.decimals$}");
    let is_nought = text.chars().all(|digit| matches!(digit, '-' | '0' | '.'));
    if is_nought { format!("0 {unit}") } else { format!("{text} {unit}") }
}

/// What stands in the tree: `grey (pack, 4S lipo)`.
fn grown(branch: &Branch) -> String {
    let is = match (branch.is.as_str(), branch.says.as_str()) {
        ("part", _) => String::new(),
        ("source", _) => "fed by nothing that the spec says".to_owned(),
        (is, "") => is.to_owned(),
        (is, says) => format!("{is} {says}"),
    };
    let lifted = if branch.is_lifted { "ground only, plus lifted" } else { "" };
    let above = if branch.is_above { "as above" } else { "" };
    let all: Vec<&str> =
        [is.as_str(), lifted, above].into_iter().filter(|one| !one.is_empty()).collect();
    if all.is_empty() {
        return branch.name.clone();
    }
    format!("{} ({})", branch.name, all.join(", "))
}

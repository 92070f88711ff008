//! `trimsheet bundle`

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::model::Date;
use trimsheet_project::source::Level;
use trimsheet_project::{
    Bundle as Copies, NoBundle, Opened, Settings, Wanting, bundle as gathered,
};
use trimsheet_report::cards::html;
use trimsheet_report::papers::bill;
use trimsheet_report::wiring::{self, drawing::drawing};
use trimsheet_report::{Sheet, text};

use crate::arguments::{Bundle, Under};
use crate::disk::{Disk, NotWritten, is_taken, write_folder, write_new};
use crate::{End, cards, rules, screen};

/// The width of papers in a bundle, the same wherever it is made.
const WIDTH: usize = 80;

/// Writes a bundle whole or not at all, and says what is in it and what is not.
pub(crate) fn bundle(wanted: &Bundle) -> End {
    let under = Under { date: wanted.date, ..Under::default() };
    let Some(settings) = rules::settings(&under) else { return End::CouldNotRun };
    let into = wanted.into.trim_end_matches('/');
    let written = copies(wanted, into, &settings).and_then(|copies| {
        write(&copies, into)?;
        Ok(copies)
    });
    match written {
        Ok(copies) => {
            screen::show(&said(&copies, into));
            End::Clear
        }
        Err(lines) => {
            lines.iter().for_each(|line| screen::complain(line));
            End::CouldNotRun
        }
    }
}

/// The copies with the papers that are made of them, or what stands in the way.
fn copies(
    wanted: &Bundle,
    into: &str,
    settings: &Settings,
) -> Result<Copies, Vec<String>> {
    if into.is_empty() || is_taken(into) {
        return Err(vec![not_written(into, &NotWritten::Taken)]);
    }
    let wanting = Wanting { photos: !wanted.without_photos, proof: wanted.with_proof };
    let mut copies =
        gathered(&Disk, &wanted.file, wanting, settings).map_err(|why| lines(&why))?;
    let opened = copies.opened(settings);
    let opened =
        opened.map_err(|trouble| vec![format!("cannot read the copy: {trouble}")])?;
    let day = wanted.date.unwrap_or_else(screen::today);
    let papers = papers(&opened, day);
    let named = |name: &str, other: &str| {
        vec![format!(
            "{other} has the name of the paper {name} that is put into a bundle; give it another name, and nothing was written"
        )]
    };
    for paper in &papers {
        let bytes = paper.content.clone().into_bytes();
        copies.add(paper.name, bytes).map_err(|other| named(paper.name, &other))?;
    }
    let made: Vec<(&str, &str)> =
        papers.iter().map(|paper| (paper.name, paper.says)).collect();
    copies.lay_page(&made, day).map_err(|other| named("README.txt", &other))?;
    Ok(copies)
}

/// A paper that is made of the copy.
struct Paper {
    name: &'static str,
    says: &'static str,
    content: String,
}

/// Every paper that goes into a bundle: here each new one joins.
///
/// They are made of the copy, so nothing stands on them that was left out of it.
fn papers(copy: &Opened, day: Date) -> Vec<Paper> {
    let mut papers = Vec::new();
    let mut add = |name, says, content| papers.push(Paper { name, says, content });
    let sheet = Sheet::new(&copy.facts, &copy.sources);
    if !sheet.loadouts.is_empty() {
        let says = "everything aboard, and where it balances";
        add("balance.txt", says, text(&sheet, WIDTH));
    }
    let sheet = wiring::Wiring::new(&copy.facts, &copy.sources);
    if let Ok(drawn) = drawing(&sheet) {
        add("wiring.txt", "who is joined to whom", wiring::text(&sheet, WIDTH));
        add("wiring.svg", "the same as a drawing, to print", drawn.svg);
    }
    if let Ok(sheet) = cards::sheet(copy, Some(day)) {
        add("cards.html", "what to do, step by step, to print on A5", html(&sheet));
    }
    let bill = bill::bill(&copy.facts, &copy.sources, Some(day));
    add("bill.csv", "every part and pack, for a spreadsheet", bill::csv(&bill));
    papers
}

fn write(copies: &Copies, into: &str) -> Result<(), Vec<String>> {
    let written = if is_zip(into) {
        let Some(zip) = copies.zipped() else {
            let says = "more than a zip can hold; name a folder instead";
            return Err(vec![format!("cannot write {into}: it would be {says}")]);
        };
        write_new(into, zip)
    } else {
        write_folder(into, &copies.files)
    };
    written.map_err(|why| vec![not_written(into, &why)])
}

fn is_zip(into: &str) -> bool {
    into.to_ascii_lowercase().ends_with(".zip")
}

fn not_written(into: &str, why: &NotWritten) -> String {
    match why {
        NotWritten::Taken if into.is_empty() => {
            "expected a folder to make or a zip to write behind --into".into()
        }
        NotWritten::Taken => format!(
            "{into} is there already and was left as it is; choose another name, or move \
             it away first"
        ),
        NotWritten::Refused(_) => format!("cannot write {into}: {why}"),
    }
}

/// Why there is no bundle, a line each.
fn lines(why: &NoBundle) -> Vec<String> {
    match why {
        NoBundle::Unread(sources, findings) => {
            let report = Report {
                summary: Summary { files: 1, ..Summary::new(Level::Error) },
                ..Report::of(sources, findings)
            };
            screen::warn(&terminal(&report, &screen::look()));
            vec![why.to_string()]
        }
        NoBundle::Refused(lines) => {
            let last = "nothing was written; --without-photos leaves photographs out";
            lines.iter().cloned().chain([last.to_owned()]).collect()
        }
        NoBundle::Spec(_) | NoBundle::Asked(_) => vec![why.to_string()],
    }
}

/// What was written, and what whoever gives it away should know.
fn said(copies: &Copies, into: &str) -> String {
    let mut out = format!("wrote {into}: {}\n", counted(copies.files.len(), "file"));
    let mut list = |head: &str, items: &[String]| {
        if !items.is_empty() {
            out += &format!("\n{head}\n");
            items.iter().for_each(|item| out += &format!("  {item}\n"));
        }
    };
    let mut with: Vec<String> = copies.files.keys().cloned().collect();
    with.retain(|path| !path.starts_with("rules/"));
    with.extend(copies.packs.iter().map(|pack| format!("the pack {pack}")));
    list("in it:", &with);
    let mut left: Vec<String> = copies
        .taken
        .iter()
        .map(|one| format!("{}:{}: {}, private", one.path, one.line, one.what))
        .collect();
    if copies.records > 0 {
        let records = counted(copies.records, "signed record");
        left.push(format!("{records} resting on what is private"));
    }
    left.extend(copies.left.iter().cloned());
    list("left out:", &left);
    let mut look = copies.stays.clone();
    if !copies.people.is_empty() {
        let names: Vec<&str> = copies.people.iter().map(String::as_str).collect();
        look.push(format!(
            "people under the names that records give them: {}",
            names.join(", ")
        ));
    }
    look.push("titles, notes and remarks behind #, as they stand in the spec".into());
    if !copies.photos.is_empty() {
        let count = counted(copies.photos.len(), "photograph");
        look.push(format!(
            "{count}: place, time and camera are taken out of the files; faces, plates and numbers in the picture are not"
        ));
    }
    list("still in it, look it through before you give it away:", &look);
    list("checked, the copy has these findings that yours has not:", &copies.come);
    list("and has not these that yours has:", &copies.gone);
    out
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

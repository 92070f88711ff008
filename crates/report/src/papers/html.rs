//! A label on A7 to glue in, a packing list on A5.

use std::fmt::Write;

use super::{FOOT, Kind, Paper, Section};
use crate::cards::{document, rows, said};

/// Writes a paper as one HTML document, which needs nothing but itself.
pub fn html(paper: &Paper) -> String {
    let sheet = match paper.kind {
        Kind::Label => Look {
            style: LABEL,
            wide: 34.0,
            room: 15.5,
            head: 1.3,
            gap: 0.0,
            row: "line",
        },
        Kind::Packing => Look {
            style: PACKING,
            wide: 33.0,
            room: 34.0,
            head: 1.6,
            gap: 0.15,
            row: "tick",
        },
    };
    let pages = pages(paper, &sheet);
    let mut body = String::new();
    for (at, sections) in pages.iter().enumerate() {
        let number = match pages.len() {
            1 => String::new(),
            count => format!("{} of {count}", at + 1),
        };
        page(&mut body, paper, &number, sections, &sheet);
    }
    document(&format!("{}: {}", paper.model, paper.title()), sheet.style, &body)
}

/// How a paper looks, and how much of it finds room on a sheet.
struct Look {
    style: &'static str,
    /// How wide a row is, in ems.
    wide: f64,
    /// How many rows a sheet has.
    room: f64,
    /// How many rows a heading takes, and the gap above a line.
    head: f64,
    gap: f64,
    /// The class of a line.
    row: &'static str,
}

/// The sheets, each with what stands on it; a heading stands above its lines again where
/// they go on.
fn pages(paper: &Paper, look: &Look) -> Vec<Vec<Section>> {
    let mut pages: Vec<Vec<Section>> = vec![Vec::new()];
    let mut used = 0.0;
    for section in &paper.sections {
        let mut is_begun = false;
        for line in &section.lines {
            let high = rows(&format!("{}: {}", line.0, line.1), look.wide) + look.gap;
            let head = if is_begun { 0.0 } else { look.head };
            let mut fits = used + head + high <= look.room;
            if !fits && 0.0 < used {
                pages.push(Vec::new());
                (used, is_begun, fits) = (0.0, false, true);
            }
            let head = if is_begun { 0.0 } else { look.head };
            used += head + high;
            let Some(page) = pages.last_mut() else { continue };
            match page.last_mut().filter(|_| is_begun && fits) {
                Some(own) => own.lines.push(line.clone()),
                None => page.push(Section {
                    title: section.title.clone(),
                    lines: vec![line.clone()],
                }),
            }
            is_begun = true;
        }
    }
    pages
}

fn page(
    out: &mut String,
    paper: &Paper,
    number: &str,
    sections: &[Section],
    look: &Look,
) {
    let head = match paper.kind {
        Kind::Label => said(&paper.model),
        Kind::Packing => format!("{}</h1><h1>{}", paper.title(), said(&paper.model)),
    };
    let _ = writeln!(
        out,
        "<section>\n<header><h1>{head}</h1><b>{}</b><p>{}</p></header>",
        said(number),
        said(&paper.made)
    );
    for section in sections {
        let _ = writeln!(out, "<h2>{}</h2>", said(&section.title));
        for (about, says) in &section.lines {
            let about = match about.as_str() {
                "" => String::new(),
                about => format!("<b>{}</b> ", said(about)),
            };
            let _ = writeln!(
                out,
                "<p class=\"{}\"><i></i>{about}{}</p>",
                look.row,
                said(says)
            );
        }
    }
    let _ = writeln!(out, "<footer>{FOOT}</footer>\n</section>");
}

/// A strip of A7: cut out, and glued where the hatch opens.
const LABEL: &str = "@page { size: 105mm 74mm; margin: 0; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: 8pt/1.25 Arial, Helvetica, sans-serif; color: #000; background: #fff; }
section { position: relative; width: 105mm; min-height: 73.8mm; padding: 3mm 4mm 7mm;
  break-after: page; border: 0.3mm dashed #000; }
section:last-child { break-after: auto; }
header { position: relative; border-bottom: 0.4mm solid #000; }
header h1 { font-size: 10pt; line-height: 1.2; padding-right: 14mm; }
header > b { position: absolute; right: 0; top: 0; }
header p { font-size: 7pt; }
h2 { font-size: 8pt; margin-top: 0.9mm; }
i { display: none; }
footer { position: absolute; left: 4mm; right: 4mm; bottom: 2mm; font-size: 6.5pt; }
@media screen { body { padding: 4mm; } section { margin-bottom: 4mm; } }
";

/// A list to tick off.
const PACKING: &str = "@page { size: 148mm 210mm; margin: 0; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: 10.5pt/1.3 Arial, Helvetica, sans-serif; color: #000; background: #fff; }
section { position: relative; width: 148mm; min-height: 209.5mm; padding: 9mm 9mm 16mm;
  break-after: page; }
section:last-child { break-after: auto; }
header { border-bottom: 0.6mm solid #000; padding-bottom: 1.5mm; position: relative; }
header h1 { font-size: 15pt; line-height: 1.2; padding-right: 20mm; }
header h1 + h1 { font-size: 10.5pt; }
header > b { position: absolute; right: 0; top: 1mm; }
header p { font-size: 9pt; }
h2 { font-size: 11pt; margin-top: 2.6mm; break-after: avoid; }
.tick { position: relative; padding-left: 7mm; margin-top: 0.6mm; break-inside: avoid; }
.tick i { position: absolute; left: 0.4mm; top: 0.5mm; width: 3.8mm; height: 3.8mm;
  border: 0.35mm solid #000; }
footer { position: absolute; left: 9mm; right: 9mm; bottom: 6mm; font-size: 8.5pt;
  border-top: 0.3mm solid #000; padding-top: 1mm; }
@media screen { body { padding: 4mm; } section { margin-bottom: 4mm; } }
";

//! The cards as pages of A5, black on white, to print and to take along.

use std::fmt::Write;

use trimsheet_output::clean::visible;

use super::layout::{Block, pages};
use super::{Cards, FILL, FOOT, title};
use crate::drawing::escaped;

/// Writes the cards as one HTML document, a page of A5 after the other, which needs
/// nothing but itself.
pub fn html(cards: &Cards) -> String {
    let mut body = String::new();
    for card in &cards.cards {
        let pages = pages(card);
        for (at, blocks) in pages.iter().enumerate() {
            let number = format!("{} of {}", at + 1, pages.len());
            let head = [title(card.word), &number, &cards.head(), &cards.made()];
            page(&mut body, head, blocks);
        }
    }
    if cards.cards.is_empty() {
        let head = ["Cards", "1 of 1", &cards.head(), &cards.made()];
        page(&mut body, head, &[Block::State("No step is open.".to_owned())]);
    }
    document(&format!("{}: cards", cards.head()), STYLE, &body)
}

/// A document that needs nothing but itself.
pub(crate) fn document(title: &str, style: &str, body: &str) -> String {
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <title>{}</title>\n<style>\n{style}</style>\n</head>\n<body>\n{body}</body>\n</html>\n",
        said(title)
    )
}

fn page(out: &mut String, [title, number, model, made]: [&str; 4], blocks: &[Block]) {
    let _ = writeln!(
        out,
        "<section>\n<header><h1>{}</h1><b>{}</b><p>{}</p><p>{}</p></header>",
        said(title),
        said(number),
        said(model),
        said(made)
    );
    for block in blocks {
        let _ = match block {
            Block::Title { text, is_done, goes_on } => {
                let done = if *is_done { "<i class=\"done\">done</i>" } else { "" };
                let on = if *goes_on { ", continued" } else { "" };
                writeln!(out, "<h2>{done}{}{on}</h2>", said(text))
            }
            Block::State(text) => writeln!(out, "<p class=\"state\">{}</p>", said(text)),
            Block::Caution(text) => {
                writeln!(out, "<p class=\"caution\"><b>CAUTION</b> {}</p>", said(text))
            }
            Block::Tick(text) => {
                writeln!(out, "<p class=\"tick\"><i></i>{}</p>", said(text))
            }
            Block::Silent(text) => {
                writeln!(out, "<p class=\"tick\"><i></i>Cannot say: {}</p>", said(text))
            }
            Block::Sign(text) => writeln!(out, "<p class=\"sign\">{}</p>", said(text)),
        };
    }
    let _ = writeln!(out, "<footer>{FOOT}</footer>\n</section>");
}

/// A text that can stand between marks; `____` becomes a line to fill in.
pub(crate) fn said(text: &str) -> String {
    escaped(&visible(text)).replace(FILL, "<u></u>")
}

/// How it looks: no colour, nothing that a printer cannot print.
const STYLE: &str = "@page { size: 148mm 210mm; margin: 0; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: 10.5pt/1.3 Arial, Helvetica, sans-serif; color: #000; background: #fff; }
section { position: relative; width: 148mm; min-height: 209.5mm; padding: 9mm 9mm 16mm;
  break-after: page; }
section:last-child { break-after: auto; }
header { border-bottom: 0.6mm solid #000; padding-bottom: 1.5mm; position: relative; }
header h1 { font-size: 15pt; line-height: 1.2; padding-right: 20mm; }
header b { position: absolute; right: 0; top: 1mm; }
header p { font-size: 9pt; line-height: 1.25; }
h2 { font-size: 12pt; line-height: 1.25; margin-top: 3.4mm; break-after: avoid; }
h2 .done { font-style: normal; font-size: 9pt; border: 0.4mm solid #000; border-radius: 1mm;
  padding: 0 1.2mm; margin-right: 1.6mm; }
p { break-inside: avoid; }
.state { font-style: italic; padding-left: 7mm; margin-bottom: 0.4mm; }
.caution { border: 0.7mm solid #000; padding: 0.8mm 2mm; margin: 1mm 0; font-weight: 600; }
.caution b { letter-spacing: 0.08em; margin-right: 1mm; }
.tick { position: relative; padding-left: 7mm; margin-top: 1.2mm; }
.tick i { position: absolute; left: 0.4mm; top: 0.5mm; width: 3.8mm; height: 3.8mm;
  border: 0.35mm solid #000; }
.sign { margin-top: 2.6mm; padding-left: 7mm; }
u { display: inline-block; width: 19mm; height: 1em; border-bottom: 0.3mm solid #000;
  text-decoration: none; vertical-align: baseline; }
footer { position: absolute; left: 9mm; right: 9mm; bottom: 6mm; font-size: 8.5pt;
  line-height: 1.25; border-top: 0.3mm solid #000; padding-top: 1mm; }
@media screen {
  body { background: #ddd; padding: 4mm; }
  section { background: #fff; margin: 0 auto 4mm; }
}
";

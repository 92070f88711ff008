//! The debrief for a spreadsheet: a row for each figure, and for each sort of row left out.

use csv::{Terminator, WriterBuilder};

use super::Debrief;
use crate::csv::harmless;
use crate::number::Number;

/// Writes a debrief as comma-separated values: figures first, then `rows used`, and what
/// was left out with its count as flown and its sort as the note.
pub fn csv(debrief: &Debrief) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    // Writing to memory does not fail, and every row has the same columns.
    let _ =
        writer.write_record(["what", "planned", "flown", "difference", "unit", "note"]);
    let value = |number: &Option<Number>| {
        number.as_ref().map_or(String::new(), |number| number.value().to_string())
    };
    for figure in &debrief.figures {
        let flown = match figure.bare {
            Some(bare) => bare.to_string(),
            None => value(&figure.flown),
        };
        let unit = figure.flown.as_ref().map_or("", |flown| flown.0.unit().text());
        let _ = writer.write_record([
            harmless(&figure.what),
            value(&figure.planned),
            flown,
            value(&figure.difference),
            unit.to_owned(),
            harmless(figure.note.as_deref().unwrap_or_default()),
        ]);
    }
    let mut count = |what: &str, count: u64, note: &str| {
        let count = count.to_string();
        let _ = writer.write_record([what, "", &count, "", "", &harmless(note)]);
    };
    count("rows", debrief.log.rows, "");
    count("rows used", debrief.log.used, "");
    for sort in &debrief.log.left_out {
        count(
            "rows left out",
            sort.count,
            &format!("{}: {}", sort.says, sort.first.join("; ")),
        );
    }
    count("gaps", debrief.log.gap_count, "");
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

//! A drawing in millimetres, as SVG: a few strokes and words, black on white.

use std::fmt::Write;

use trimsheet_output::clean::{visible, width};

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stroke {
    /// What is measured against.
    Bold,
    /// A throw.
    Thin,
    /// What the stick lets go to.
    Dashed,
    /// A help for the eye.
    Hair,
    /// What joins two places.
    Dots,
    /// Where to cut.
    Cut,
    /// What carries power.
    Power,
    /// What carries a signal.
    Signal,
    /// What carries power's way back, and no plus.
    Ground,
}

/// In which face the words of a drawing are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Font {
    /// As the system shows plain text.
    Plain,
    /// With letters that are all as wide as each other.
    Typewriter,
}

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    /// They begin where they are put.
    Plain,
    /// The same, heavier.
    Bold,
    /// Their middle is where they are put.
    Middle,
    /// They end where they are put.
    ToTheRight,
}

/// A drawing that is being made; places are from its upper left corner, in mm.
pub(crate) struct Drawing {
    out: String,
}

impl Drawing {
    /// An empty white sheet.
    pub(crate) fn new(width: f64, height: f64, font: Font) -> Drawing {
        let (wide, high) = (number(width), number(height));
        let font = match font {
            Font::Plain => "sans-serif",
            Font::Typewriter => "monospace",
        };
        let out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" \
             height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\" \
             font-family=\"{font}\" fill=\"black\">\n\
             <rect width=\"{wide}\" height=\"{high}\" fill=\"white\"/>\n"
        );
        Drawing { out }
    }

    pub(crate) fn line(&mut self, from: [f64; 2], to: [f64; 2], stroke: Stroke) {
        let [x, y] = from.map(number);
        let [to_x, to_y] = to.map(number);
        let _ = writeln!(
            self.out,
            "<path d=\"M{x} {y}L{to_x} {to_y}\" fill=\"none\" stroke=\"black\" {}/>",
            look(stroke)
        );
    }

    /// A frame along which to cut.
    pub(crate) fn frame(&mut self, [x, y]: [f64; 2], [width, height]: [f64; 2]) {
        let (left, top, wide, high) =
            (number(x), number(y), number(width), number(height));
        let _ = writeln!(
            self.out,
            "<rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{high}\" \
             fill=\"none\" stroke=\"black\" {}/>",
            look(Stroke::Cut)
        );
    }

    /// A ring with a cross.
    pub(crate) fn hinge(&mut self, [x, y]: [f64; 2]) {
        let _ = writeln!(
            self.out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"1.5\" fill=\"white\" stroke=\"black\" {}/>",
            number(x),
            number(y),
            look(Stroke::Thin)
        );
        self.line([x - 3.0, y], [x + 3.0, y], Stroke::Hair);
        self.line([x, y - 3.0], [x, y + 3.0], Stroke::Hair);
    }

    /// A bar of a length, with a tick at each centimetre.
    pub(crate) fn measured(&mut self, [x, y]: [f64; 2], length: f64) {
        self.line([x, y], [x + length, y], Stroke::Thin);
        for (end, stroke) in [(x, Stroke::Thin), (x + length, Stroke::Thin)] {
            self.line([end, y - 2.5], [end, y + 2.5], stroke);
        }
        let mut at = 10.0;
        while at < length {
            self.line([x + at, y - 1.0], [x + at, y + 1.0], Stroke::Hair);
            at += 10.0;
        }
    }

    /// A text, no larger than `size` and small enough for `room`, whatever font comes.
    pub(crate) fn text(&mut self, [x, y]: [f64; 2], size: f64, room: f64, text: &str) {
        let text = visible(text);
        let letters = f64::from(u32::try_from(width(&text)).unwrap_or(u32::MAX));
        let size = size.min(room / (letters.max(1.0) * LETTER));
        let _ = writeln!(
            self.out,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\">{}</text>",
            number(x),
            number(y),
            number(size),
            escaped(&text)
        );
    }

    /// A text as large as it is said to be; the caller has measured it.
    pub(crate) fn words(&mut self, [x, y]: [f64; 2], size: f64, ink: Ink, text: &str) {
        let set = match ink {
            Ink::Plain => "",
            Ink::Bold => " font-weight=\"bold\"",
            Ink::Middle => " text-anchor=\"middle\"",
            Ink::ToTheRight => " text-anchor=\"end\"",
        };
        let _ = writeln!(
            self.out,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{set}>{}</text>",
            number(x),
            number(y),
            number(size),
            escaped(&visible(text))
        );
    }

    /// A line of straight pieces with bends between them, on a white ground that parts it
    /// from what it crosses. `bulge` is added where two pieces meet end to end.
    pub(crate) fn cable(
        &mut self,
        straights: &[[[f64; 2]; 2]],
        bulge: [f64; 2],
        stroke: Stroke,
    ) {
        let mut path = String::new();
        let mut last: Option<[f64; 2]> = None;
        for [from, to] in straights {
            let [x, y] = *from;
            match last {
                None => {
                    let _ = write!(path, "M{} {}", number(x), number(y));
                }
                Some([before, height]) => {
                    let half = if before < x { (x - before) / 2.0 } else { bulge[0] };
                    let back = if before < x { x - half } else { x + half };
                    let _ = write!(
                        path,
                        "C{} {} {} {} {} {}",
                        number(before + half),
                        number(height),
                        number(back),
                        number(y),
                        number(x),
                        number(y)
                    );
                }
            }
            let [x, y] = *to;
            let _ = write!(path, "L{} {}", number(x), number(y));
            last = Some(*to);
        }
        for (ink, look) in [("white", "stroke-width=\"1.5\""), ("black", look(stroke))] {
            let _ = writeln!(
                self.out,
                "<path d=\"{path}\" fill=\"none\" stroke=\"{ink}\" {look}/>"
            );
        }
    }

    /// A white plate with a rim.
    pub(crate) fn plate(
        &mut self,
        [x, y]: [f64; 2],
        [width, height]: [f64; 2],
        rim: Stroke,
    ) {
        let (left, top, wide, high) =
            (number(x), number(y), number(width), number(height));
        let _ = writeln!(
            self.out,
            "<rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{high}\" \
             rx=\"0.8\" fill=\"white\" stroke=\"black\" {}/>",
            look(rim)
        );
    }

    /// The head of an arrow that points to a place and reaches `back` from it.
    pub(crate) fn arrow(&mut self, [x, y]: [f64; 2], back: f64) {
        let (tail, half) = (x + back * 0.8, back.abs() * 0.36);
        let _ = writeln!(
            self.out,
            "<path d=\"M{} {}L{} {}L{2} {}Z\"/>",
            number(x),
            number(y),
            number(tail),
            number(y - half),
            number(y + half)
        );
    }

    /// The file.
    pub(crate) fn finish(mut self) -> String {
        self.out.push_str("</svg>\n");
        self.out
    }
}

/// How wide a letter is of its height, at most, on the average of a wide font.
const LETTER: f64 = 0.6;

fn look(stroke: Stroke) -> &'static str {
    match stroke {
        Stroke::Bold => "stroke-width=\"0.4\"",
        Stroke::Thin => "stroke-width=\"0.25\"",
        Stroke::Dashed => "stroke-width=\"0.25\" stroke-dasharray=\"1.6 0.8\"",
        Stroke::Hair => "stroke-width=\"0.12\"",
        Stroke::Dots => "stroke-width=\"0.12\" stroke-dasharray=\"0.3 0.9\"",
        Stroke::Cut => "stroke-width=\"0.15\" stroke-dasharray=\"3 2\"",
        Stroke::Power => "stroke-width=\"0.8\"",
        Stroke::Signal => "stroke-width=\"0.25\"",
        Stroke::Ground => "stroke-width=\"0.6\" stroke-dasharray=\"2 1.2\"",
    }
}

/// A place to a thousandth of a millimetre.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Words as a text of the drawing.
pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

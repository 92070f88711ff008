//! JPEG: segments that each begin with a mark of two bytes and a length.
//!
//! Source: ITU-T T.81 annex B, and T.871 for the `JFIF` segment; from memory. The segments
//! of applications hold what cameras add: EXIF and XMP, IPTC, previews, further pictures.

use super::NoPicture::{CutOff, Damaged};
use super::{NoPicture, array, taken, turned};

pub(super) const BEGINS: [u8; 3] = [0xFF, 0xD8, 0xFF];

const START: u8 = 0xD8;
const END: u8 = 0xD9;
const SCAN: u8 = 0xDA;
const EXIF: &[u8] = b"Exif\0\0";

/// What is kept of a picture.
#[derive(Default)]
struct Kept {
    /// The segment that says how wide a pixel is, without its preview.
    opening: Vec<u8>,
    turned: Option<u8>,
    body: Vec<u8>,
    has_frame: bool,
    has_scan: bool,
}

pub(super) fn stripped(bytes: &[u8]) -> Result<Vec<u8>, NoPicture> {
    let (_, mut rest) = taken(bytes, 2)?;
    let mut kept = Kept::default();
    loop {
        let (mark, after) = mark(rest)?;
        if mark == END {
            // What stands behind the end are films, and pictures with notes of their own.
            return kept.written();
        }
        let (length, _) = array::<2>(after)?;
        let length = usize::from(u16::from_be_bytes(length));
        let (segment, after) = taken(after, length)?;
        let content = segment.get(2..).ok_or(Damaged("a length is too short"))?;
        kept.segment(mark, content)?;
        rest = after;
        if mark == SCAN {
            let (scan, after) = taken(rest, scan_length(rest)?)?;
            kept.body.extend(scan);
            rest = after;
        }
    }
}

/// The mark that stands here, which may have filling before it.
fn mark(bytes: &[u8]) -> Result<(u8, &[u8]), NoPicture> {
    let filling = bytes.iter().take_while(|byte| **byte == 0xFF).count();
    let (_, rest) = taken(bytes, filling)?;
    let ([mark], rest) = array(rest)?;
    if filling == 0 || mark == 0 {
        return Err(Damaged("a segment is wanted where none begins"));
    }
    Ok((mark, rest))
}

/// How long the pixels of a scan are: up to a mark that is no restart and no filled byte.
fn scan_length(bytes: &[u8]) -> Result<usize, NoPicture> {
    let pairs = bytes.iter().zip(bytes.iter().skip(1));
    let is_mark = |(first, second): (&u8, &u8)| {
        *first == 0xFF && !matches!(*second, 0 | 0xD0..=0xD7 | 0xFF)
    };
    pairs.into_iter().position(is_mark).ok_or(CutOff)
}

impl Kept {
    fn segment(&mut self, mark: u8, content: &[u8]) -> Result<(), NoPicture> {
        match mark {
            0xE0 if content.starts_with(b"JFIF\0") && self.opening.is_empty() => {
                let opening = content.get(..12).ok_or(CutOff)?;
                put(&mut self.opening, mark, &[opening, &[0, 0]]);
            }
            0xE1 if content.starts_with(EXIF) => {
                self.turned = self.turned.or(turned::turned(content));
            }
            // What the colours mean, and how they were mixed.
            0xE2 if content.starts_with(b"ICC_PROFILE\0") => {
                put(&mut self.body, mark, &[content]);
            }
            0xEE if content.starts_with(b"Adobe") => {
                put(&mut self.body, mark, &[content.get(..12).ok_or(CutOff)?]);
            }
            // All else that applications write, and remarks.
            0xE0..=0xEF | 0xFE => {}
            0xC4 | 0xCC | 0xDB..=0xDD => put(&mut self.body, mark, &[content]),
            0xC0..=0xCF => {
                self.has_frame = true;
                put(&mut self.body, mark, &[content]);
            }
            SCAN if self.has_frame => {
                self.has_scan = true;
                put(&mut self.body, mark, &[content]);
            }
            _ => return Err(Damaged("a segment is of a sort that is not known")),
        }
        Ok(())
    }

    fn written(self) -> Result<Vec<u8>, NoPicture> {
        if !self.has_scan {
            return Err(Damaged("it holds no pixels"));
        }
        let mut out = vec![0xFF, START];
        out.extend(self.opening);
        if let Some(turned) = self.turned {
            put(&mut out, 0xE1, &[EXIF, &turned::exif(turned)]);
        }
        out.extend(self.body);
        out.extend([0xFF, END]);
        Ok(out)
    }
}

/// Writes a segment; what is kept of one is never longer than it was.
fn put(out: &mut Vec<u8>, mark: u8, content: &[&[u8]]) {
    let length = 2 + content.iter().map(|part| part.len()).sum::<usize>();
    let length = u16::try_from(length).unwrap_or(u16::MAX);
    out.extend([0xFF, mark]);
    out.extend(length.to_be_bytes());
    out.extend(content.iter().copied().flatten());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(mark: u8, content: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        put(&mut out, mark, &[content]);
        out
    }

    /// The pixels of an invented picture: tables, a frame, and a scan with a restart.
    fn pixels() -> Vec<u8> {
        let scan = [1, 2, 0xFF, 0, 3, 0xFF, 0xD0, 4, 0xFF, 0xD9];
        [
            segment(0xDB, &[0; 65]),
            segment(0xC0, &[8, 0, 8, 0, 8, 1, 1, 0x11, 0]),
            segment(0xC4, &[0; 20]),
            segment(SCAN, &[1, 1, 0, 0, 63, 0]),
            scan.to_vec(),
        ]
        .concat()
    }

    fn picture(segments: &[Vec<u8>]) -> Vec<u8> {
        [vec![0xFF, START], segments.concat(), pixels()].concat()
    }

    #[test]
    fn what_a_camera_adds_goes_and_the_pixels_stay() {
        let with_preview =
            [b"JFIF\0\x01\x02\x01\0\x48\0\x48\x01\x01".as_slice(), &[9; 3]].concat();
        let plain = segment(0xE0, b"JFIF\0\x01\x02\x01\0\x48\0\x48\0\0");
        let exif = [EXIF, &turned::exif(1), b"51 north"].concat();
        let colours = segment(0xE2, b"ICC_PROFILE\0\x01\x01abc");
        let mixed = b"Adobe\0\x64\0\0\0\0\x01";
        let bytes = picture(&[
            segment(0xE0, &with_preview),
            segment(0xE0, b"JFXX\0\x10preview"),
            segment(0xE1, &exif),
            segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<home/>"),
            colours.clone(),
            segment(0xE2, b"MPF\0second"),
            segment(0xED, b"Photoshop 3.0\08BIM"),
            segment(0xEE, &[mixed.as_slice(), b"more"].concat()),
            segment(0xFE, b"taken at home"),
            vec![0xFF, 0xFF],
        ]);
        let bytes = [bytes, b"a film behind the end".to_vec()].concat();
        let kept = [plain, colours, segment(0xEE, mixed)];
        assert_eq!(stripped(&bytes).unwrap(), picture(&kept));
        assert_eq!(stripped(&picture(&kept)).unwrap(), picture(&kept));
    }

    #[test]
    fn which_way_it_is_turned_stays_alone() {
        let exif = [EXIF, &turned::exif(6), b"51 north"].concat();
        let only = segment(0xE1, &[EXIF, &turned::exif(6)].concat());
        assert_eq!(
            stripped(&picture(&[segment(0xE1, &exif)])).unwrap(),
            picture(&[only])
        );
    }

    #[test]
    fn a_picture_that_breaks_off_anywhere_is_refused() {
        let whole = picture(&[segment(0xE1, &[EXIF, &turned::exif(6)].concat())]);
        for length in 2..whole.len() {
            let refused = stripped(&whole[..length]);
            assert!(refused.is_err(), "{length}");
        }
    }

    #[test]
    fn what_is_not_built_as_it_should_be_is_refused() {
        let no_scan = [vec![0xFF, START, 0xFF, END]].concat();
        assert_eq!(stripped(&no_scan), Err(Damaged("it holds no pixels")));
        let odd = picture(&[segment(0xF7, b"x")]);
        let unknown = Damaged("a segment is of a sort that is not known");
        assert_eq!(stripped(&odd), Err(unknown));
        let junk = picture(&[vec![7, 7]]);
        assert_eq!(
            stripped(&junk),
            Err(Damaged("a segment is wanted where none begins"))
        );
        let short = picture(&[vec![0xFF, 0xE1, 0, 1]]);
        assert_eq!(stripped(&short), Err(Damaged("a length is too short")));
    }
}

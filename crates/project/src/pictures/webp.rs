//! WebP: chunks of a RIFF file, each with a word of four letters and a length.
//!
//! Source: RFC 9649, 2.3 to 2.7; from memory. A first chunk of flags says which others
//! there are. Moving pictures hold chunks in chunks, and are not looked into.

use super::NoPicture::{CutOff, Damaged};
use super::{NoPicture, array, size, taken, turned};

/// The flags of EXIF and of XMP, in the first byte of `VP8X`.
const HAS_EXIF: u8 = 0x08;
const HAS_XMP: u8 = 0x04;

pub(super) fn stripped(bytes: &[u8]) -> Result<Vec<u8>, NoPicture> {
    let (_, rest) = taken(bytes, 4)?;
    let (length, rest) = array::<4>(rest)?;
    let (inside, _) = taken(rest, size(u32::from_le_bytes(length))?)?;
    let (_, mut rest) = taken(inside, 4)?;
    let (mut flags, mut body, mut turned, mut has_pixels) =
        (None, Vec::new(), None, false);
    while !rest.is_empty() {
        let (word, after) = array::<4>(rest)?;
        let (length, after) = array::<4>(after)?;
        let (content, after) = taken(after, size(u32::from_le_bytes(length))?)?;
        // A chunk of an odd length has one byte more.
        let (_, after) = taken(after, content.len() % 2)?;
        rest = after;
        match &word {
            b"VP8X" => flags = Some(content.first_chunk::<10>().ok_or(CutOff)?),
            b"ICCP" | b"ALPH" => put(&mut body, word, content),
            b"VP8 " | b"VP8L" => {
                has_pixels = true;
                put(&mut body, word, content);
            }
            b"EXIF" => turned = turned.or(turned::turned(content)),
            b"ANIM" | b"ANMF" => return Err(Damaged("it is a moving WebP picture")),
            _ => {}
        }
    }
    if !has_pixels {
        return Err(Damaged("it holds no pixels"));
    }
    let turned = turned.filter(|_| flags.is_some());
    let mut out = b"WEBP".to_vec();
    if let Some([first, others @ ..]) = flags {
        let first = first & !(HAS_EXIF | HAS_XMP);
        let first = if turned.is_some() { first | HAS_EXIF } else { first };
        put(&mut out, *b"VP8X", &[&[first], others.as_slice()].concat());
    }
    out.extend(body);
    if let Some(turned) = turned {
        put(&mut out, *b"EXIF", &turned::exif(turned));
    }
    let mut whole = Vec::new();
    put(&mut whole, *b"RIFF", &out);
    Ok(whole)
}

/// Writes a chunk; what is kept of one is never longer than it was.
fn put(out: &mut Vec<u8>, word: [u8; 4], content: &[u8]) {
    out.extend(word);
    out.extend(u32::try_from(content.len()).unwrap_or(u32::MAX).to_le_bytes());
    out.extend(content);
    out.extend(std::iter::repeat_n(0, content.len() % 2));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
        let mut inside = b"WEBP".to_vec();
        for (word, content) in chunks {
            put(&mut inside, **word, content);
        }
        let mut out = Vec::new();
        put(&mut out, *b"RIFF", &inside);
        out
    }

    const PIXELS: (&[u8; 4], &[u8]) = (b"VP8L", &[0x2F, 1, 2]);

    #[test]
    fn notes_go_and_the_pixels_and_the_way_it_is_turned_stay() {
        let exif = [b"Exif\0\0".to_vec(), turned::exif(6), b"51 north".to_vec()].concat();
        let colours: (&[u8; 4], &[u8]) = (b"ICCP", b"abc");
        let bytes = picture(&[
            (b"VP8X", &[0x2C, 0, 0, 0, 1, 0, 0, 1, 0, 0]),
            colours,
            PIXELS,
            (b"EXIF", &exif),
            (b"XMP ", b"<home/>"),
            (b"memo", b"x"),
        ]);
        let bytes = [bytes, b"behind the end".to_vec()].concat();
        let flags = [0x28, 0, 0, 0, 1, 0, 0, 1, 0, 0];
        let turned = turned::exif(6);
        let kept = picture(&[(b"VP8X", &flags), colours, PIXELS, (b"EXIF", &turned)]);
        assert_eq!(stripped(&bytes).unwrap(), kept);
        assert_eq!(stripped(&picture(&[PIXELS])).unwrap(), picture(&[PIXELS]));
    }

    #[test]
    fn what_is_cut_off_or_moves_is_refused() {
        let whole = picture(&[PIXELS]);
        for length in 12..whole.len() {
            let refused = stripped(&whole[..length]);
            assert_eq!(refused, Err(CutOff), "{length}");
        }
        assert_eq!(stripped(&picture(&[])), Err(Damaged("it holds no pixels")));
        let moving = picture(&[(b"ANIM", &[0; 6]), PIXELS]);
        assert_eq!(stripped(&moving), Err(Damaged("it is a moving WebP picture")));
    }
}

//! PNG: chunks that each carry a length, a word of four letters and a check sum.
//!
//! Source: W3C, Portable Network Graphics (third edition), 5 and 11; from memory. Texts,
//! the time and EXIF have chunks of their own, and so may anything else.

use super::NoPicture::Damaged;
use super::{NoPicture, array, size, taken, turned};

pub(super) const BEGINS: [u8; 8] = *b"\x89PNG\r\n\x1A\n";

/// Pixels, what their numbers mean, and moving pictures.
const KEPT: [&[u8; 4]; 19] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP",
    b"sBIT", b"bKGD", b"hIST", b"pHYs", b"cICP", b"mDCV", b"cLLI", b"acTL", b"fcTL",
    b"fdAT",
];

pub(super) fn stripped(bytes: &[u8]) -> Result<Vec<u8>, NoPicture> {
    let (_, mut rest) = taken(bytes, BEGINS.len())?;
    let (mut out, mut turned, mut has_pixels) = (BEGINS.to_vec(), None, false);
    loop {
        let (length, after) = array::<4>(rest)?;
        let (word, after) = array::<4>(after)?;
        let (content, after) = taken(after, size(u32::from_be_bytes(length))?)?;
        let (sum, after) = array::<4>(after)?;
        if u32::from_be_bytes(sum) != check_sum(&word, content) {
            return Err(Damaged("a check sum does not fit"));
        }
        if out.len() == BEGINS.len() && &word != b"IHDR" {
            return Err(Damaged("it does not begin with its size"));
        }
        if &word == b"eXIf" {
            turned = turned.or(turned::turned(content));
        }
        if &word == b"IDAT" && !has_pixels {
            has_pixels = true;
            if let Some(turned) = turned {
                put(&mut out, b"eXIf", &turned::exif(turned));
            }
        }
        let is_kept = KEPT.contains(&&word);
        if is_kept {
            put(&mut out, &word, content);
        } else if word.first().is_some_and(u8::is_ascii_uppercase) {
            return Err(Damaged("a chunk is of a sort that is not known"));
        }
        if &word == b"IEND" {
            let whole = has_pixels.then_some(out);
            return whole.ok_or(Damaged("it holds no pixels"));
        }
        rest = after;
    }
}

fn check_sum(word: &[u8; 4], content: &[u8]) -> u32 {
    let mut sum = crc32fast::Hasher::new();
    sum.update(word);
    sum.update(content);
    sum.finalize()
}

/// Writes a chunk; what is kept of one is never longer than it was.
fn put(out: &mut Vec<u8>, word: &[u8; 4], content: &[u8]) {
    out.extend(u32::try_from(content.len()).unwrap_or(u32::MAX).to_be_bytes());
    out.extend(word);
    out.extend(content);
    out.extend(check_sum(word, content).to_be_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
        let mut out = BEGINS.to_vec();
        for (word, content) in chunks {
            put(&mut out, word, content);
        }
        out
    }

    const SIZE: (&[u8; 4], &[u8]) = (b"IHDR", &[0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]);
    const PIXELS: (&[u8; 4], &[u8]) = (b"IDAT", &[1, 2, 3]);
    const END: (&[u8; 4], &[u8]) = (b"IEND", &[]);

    #[test]
    fn texts_the_time_and_the_place_go_and_the_pixels_stay() {
        let bytes = picture(&[
            SIZE,
            (b"gAMA", &[0, 0, 0, 1]),
            (b"tEXt", b"Author\0RT"),
            (b"zTXt", b"Place\0\0x"),
            (b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0<home/>"),
            (b"tIME", &[7; 7]),
            (b"eXIf", &turned::exif(1)),
            (b"meMo", b"private"),
            PIXELS,
            PIXELS,
            END,
        ]);
        let bytes = [bytes, b"behind the end".to_vec()].concat();
        let kept = [SIZE, (b"gAMA", &[0, 0, 0, 1][..]), PIXELS, PIXELS, END];
        assert_eq!(stripped(&bytes).unwrap(), picture(&kept));
    }

    #[test]
    fn which_way_it_is_turned_stays_alone() {
        let exif = [turned::exif(8), b"51 north".to_vec()].concat();
        let bytes = picture(&[SIZE, (b"eXIf", &exif), PIXELS, END]);
        let kept = picture(&[SIZE, (b"eXIf", &turned::exif(8)), PIXELS, END]);
        assert_eq!(stripped(&bytes).unwrap(), kept);
    }

    #[test]
    fn what_is_cut_off_damaged_or_unknown_is_refused() {
        let whole = picture(&[SIZE, PIXELS, END]);
        for length in BEGINS.len()..whole.len() {
            let refused = stripped(&whole[..length]);
            assert_eq!(refused, Err(NoPicture::CutOff), "{length}");
        }
        let mut spoilt = whole;
        spoilt[20] ^= 1;
        assert_eq!(stripped(&spoilt), Err(Damaged("a check sum does not fit")));
        for (chunks, why) in [
            (vec![PIXELS, END], "it does not begin with its size"),
            (vec![SIZE, END], "it holds no pixels"),
            (vec![SIZE, (b"NEWs", &[1][..])], "a chunk is of a sort that is not known"),
        ] {
            assert_eq!(stripped(&picture(&chunks)), Err(Damaged(why)));
        }
    }
}

//! Photographs with nothing in them but what shows them.
//!
//! Cameras write into a picture where it was taken, when, with which camera, and a small
//! picture of what was later cut away. All that is no pixel is left out here; the pixels
//! stay byte for byte as they are. What is kept is listed, not what is dropped, so a sort
//! of note that nobody here has heard of is dropped too.
//!
//! Two things stay besides pixels, because a picture looks wrong without them: which way
//! it is turned, and the colours that its numbers mean.

mod jpeg;
mod png;
mod turned;
mod webp;

/// Why no copy of a picture was made that says nothing else.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPicture {
    /// Its first bytes are those of something else.
    #[error("it is neither a JPEG nor a PNG nor a WebP picture")]
    Unknown,
    /// It ends in the middle.
    #[error("it breaks off before its end")]
    CutOff,
    /// It is not built as its form wants.
    #[error("it is damaged, or of a sort that is not looked into: {0}")]
    Damaged(&'static str),
}

/// The picture without whatever else stands in its file.
///
/// # Errors
/// It is no picture of a known form, or not built as its form wants.
pub fn stripped(bytes: &[u8]) -> Result<Vec<u8>, NoPicture> {
    if bytes.starts_with(&jpeg::BEGINS) {
        jpeg::stripped(bytes)
    } else if bytes.starts_with(&png::BEGINS) {
        png::stripped(bytes)
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        webp::stripped(bytes)
    } else {
        Err(NoPicture::Unknown)
    }
}

/// The first bytes, and what follows them.
fn taken(bytes: &[u8], count: usize) -> Result<(&[u8], &[u8]), NoPicture> {
    bytes.split_at_checked(count).ok_or(NoPicture::CutOff)
}

/// The first bytes as many as wanted, and what follows them.
fn array<const COUNT: usize>(bytes: &[u8]) -> Result<([u8; COUNT], &[u8]), NoPicture> {
    let (first, rest) = bytes.split_first_chunk().ok_or(NoPicture::CutOff)?;
    Ok((*first, rest))
}

/// A size of 32 bits as one of this machine.
fn size(size: u32) -> Result<usize, NoPicture> {
    usize::try_from(size).map_err(|_| NoPicture::CutOff)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small picture of each form, which way it is turned in it.
    fn pictures() -> [Vec<u8>; 3] {
        let exif = turned::exif(6);
        let mut jpeg = b"\xFF\xD8\xFF\xE1\0\x22Exif\0\0".to_vec();
        jpeg.extend(&exif);
        jpeg.extend(b"\xFF\xC0\0\x05\x08\0\x01\xFF\xDA\0\x03\x01\x07\xFF\0\xFF\xD9");
        let mut png = b"\x89PNG\r\n\x1A\n".to_vec();
        for (word, content) in
            [(b"IHDR", &b"x"[..]), (b"eXIf", &exif), (b"IDAT", b"y"), (b"IEND", b"")]
        {
            png.extend(u32::try_from(content.len()).unwrap().to_be_bytes());
            png.extend(word);
            png.extend(content);
            png.extend(crc32fast::hash(&[word, content].concat()).to_be_bytes());
        }
        let mut webp = b"RIFF\x42\0\0\0WEBPVP8X\x0A\0\0\0\x08\0\0\0\0\0\0\0\0\0".to_vec();
        webp.extend(b"VP8L\x02\0\0\0ab");
        webp.extend(b"EXIF\x1A\0\0\0");
        webp.extend(exif);
        [jpeg, png, webp]
    }

    #[test]
    fn a_clean_picture_stays_as_it_is() {
        for picture in pictures() {
            assert_eq!(stripped(&picture).as_ref(), Ok(&picture));
        }
    }

    #[test]
    fn whatever_byte_is_changed_what_comes_is_clean_or_refused() {
        for picture in pictures() {
            for at in 0..picture.len() {
                for byte in [0, 1, 6, 0x7F, 0x80, 0xD8, 0xD9, 0xDA, 0xE1, 0xFF] {
                    let mut changed = picture.clone();
                    changed[at] = byte;
                    if let Ok(clean) = stripped(&changed) {
                        assert_eq!(stripped(&clean), Ok(clean.clone()), "{at} {byte}");
                        assert!(clean.len() <= changed.len(), "{at} {byte}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        for bytes in [&b""[..], b"RIFF", b"GIF89a", b"\xFF\xD8", b"\0\0\0\x18ftypheic"] {
            assert_eq!(stripped(bytes), Err(NoPicture::Unknown));
        }
    }
}

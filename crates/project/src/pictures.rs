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

//! Which way a picture is turned: the one tag of EXIF that a picture cannot do without.
//!
//! EXIF is a TIFF file in small: a byte order, and a list of tags of twelve bytes each.
//! Source: JEITA CP-3451 (Exif 2.2), 4.5.4 and 4.6.2; from memory.

/// The tag that says how the first row and column lie, from 1, upright, to 8.
const TAG: u16 = 0x0112;
/// The type of a value of 16 bits.
const SHORT: u16 = 3;

/// How a picture is turned, if its EXIF says so and it is not upright.
pub(super) fn turned(exif: &[u8]) -> Option<u8> {
    // Some writers put the mark of JPEG before it elsewhere too.
    let exif = exif.strip_prefix(b"Exif\0\0").unwrap_or(exif);
    let is_little = exif.starts_with(b"II*\0");
    if !is_little && !exif.starts_with(b"MM\0*") {
        return None;
    }
    let short = |at: usize| {
        let two = *exif.get(at..)?.first_chunk()?;
        Some(if is_little { u16::from_le_bytes(two) } else { u16::from_be_bytes(two) })
    };
    let four = *exif.get(4..)?.first_chunk()?;
    let list =
        if is_little { u32::from_le_bytes(four) } else { u32::from_be_bytes(four) };
    let list = usize::try_from(list).ok()?;
    for index in 0..usize::from(short(list)?) {
        let tag = list.checked_add(2 + 12 * index)?;
        if short(tag)? == TAG && short(tag.checked_add(2)?)? == SHORT {
            let way = u8::try_from(short(tag.checked_add(8)?)?).ok()?;
            return (2..=8).contains(&way).then_some(way);
        }
    }
    None
}

/// An EXIF that says which way a picture is turned, and nothing else.
pub(super) fn exif(turned: u8) -> Vec<u8> {
    let mut out = b"MM\0*".to_vec();
    out.extend(8_u32.to_be_bytes());
    out.extend(1_u16.to_be_bytes());
    out.extend(TAG.to_be_bytes());
    out.extend(SHORT.to_be_bytes());
    out.extend(1_u32.to_be_bytes());
    out.extend(u16::from(turned).to_be_bytes());
    // The value fills its four bytes, and no other list follows.
    out.extend([0; 6]);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again_in_both_orders_of_bytes() {
        for way in 2..=8 {
            assert_eq!(turned(&exif(way)), Some(way));
        }
        let mut little = b"II*\0\x08\0\0\0\x02\0".to_vec();
        little.extend(b"\x0F\x01\x02\0\x03\0\0\0ab\0\0");
        little.extend(b"\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0");
        assert_eq!(turned(&little), Some(6));
    }

    #[test]
    fn upright_pictures_and_broken_lists_say_nothing() {
        assert_eq!(turned(&exif(1)), None);
        assert_eq!(turned(&exif(9)), None);
        assert_eq!(turned(b""), None);
        let whole = exif(6);
        for length in 0..whole.len() - 8 {
            assert_eq!(turned(&whole[..length]), None, "{length}");
        }
        let mut far = exif(6);
        far.splice(4..8, [0xFF; 4]);
        assert_eq!(turned(&far), None);
    }
}

//! Where things are, and what is wrong with them.
//!
//! A [`Span`] is a stretch of bytes in one file of a [`Sources`], and a [`Finding`]
//! is everything that trimsheet has to say about such a stretch: how serious it is,
//! what it is, because of which other lines, and what to do.
//! It is the only kind of diagnostic in the project: reading, rules and faults in
//! rule scripts all end as findings.
//!
//! Nothing here knows the language, draws anything, or touches a disk.

mod edit;
mod file;
mod finding;
mod judged;

pub use edit::{Conflict, Edit, apply};
pub use file::{File, FileId, Place, Sources, Span};
pub use finding::{
    CannotSay, Figures, Finding, Label, Level, Measured, Remedy, RuleId, Safety, Waived,
};
pub use judged::{Judged, RuleText};

/// The word of `known` that is nearest to `word`, if one is near enough to suggest.
///
/// Near enough means at most one slip in three letters (Damerau and Levenshtein's
/// distance, where two neighbours changed over count as one slip). Ties go to the
/// earlier word, so the answer does not depend on anything but the list.
pub fn nearest<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let word = word.to_lowercase();
    let letters = word.chars().count();
    // A word of a thousand letters is not a slip of anything.
    if letters > 40 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let its = candidate.chars().count();
        let allowed = if its < 3 { 0 } else { (its.max(letters) / 3).min(3) };
        // Every letter that one word has more is a slip at least.
        if its.abs_diff(letters) > allowed {
            continue;
        }
        let slips = strsim::osa_distance(&word, &candidate.to_lowercase());
        if slips <= allowed && best.is_none_or(|(fewest, _)| slips < fewest) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Whether a character acts on a terminal or on the order of reading instead of showing.
///
/// Line breaks and tabs are among them.
pub fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{ad}' | '\u{61c}' | '\u{feff}'
            | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{e0000}'..='\u{e007f}'
        )
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn the_nearest_word_is_suggested_and_a_far_one_is_not() {
        let known = ["mass", "band", "balance", "at"];
        assert_eq!(nearest("mas", known), Some("mass"));
        assert_eq!(nearest("blance", known), Some("balance"));
        assert_eq!(nearest("qqq", known), None);
        assert_eq!(nearest("t", known), None);
        assert_eq!(nearest("kind", ["wing"]), None, "two slips in four letters");
    }
}

//! Where rules of the air of some countries speak of a model's mass, height and place, as
//! they were read.
//!
//! Pointers only, so that a builder knows what to look up: rules differ from country to
//! country and change, and none of this is a judgement. How each was read
//! stands beside it.

use std::rc::Rc;

use crate::facts::Facts;
use crate::known::{Known, What, words};

/// A place where something is written that a builder may have to know.
struct Pointer {
    topic: &'static str,
    country: &'static str,
    reference: &'static str,
    says: &'static str,
    read: &'static str,
}

const fn pointer(
    topic: &'static str,
    country: &'static str,
    reference: &'static str,
    says: &'static str,
    read: &'static str,
) -> Pointer {
    Pointer { topic, country, reference, says, read }
}

/// Read clause by clause.
const COPY: &str = "read in a copy dated 2026-09-21";
/// Read by somebody else.
const SUMMARY: &str = "read in a summary, no day noted";
/// Read, and nobody wrote down when.
const UNDATED: &str = "read, no day noted";

const POINTERS: &[Pointer] = &[
    pointer(
        "mass",
        "EU",
        "Reg. (EU) 2019/947 Art. 14(5)",
        "registration of operators from 250 g on, above 80 J into a person, or with a sensor that can capture personal data",
        COPY,
    ),
    pointer(
        "mass",
        "EU",
        "Reg. (EU) 2019/947 UAS.OPEN.020(5)(a) and 040(4)(a)",
        "privately built: below 250 g and 19 m/s, or below 25 kg",
        COPY,
    ),
    pointer(
        "mass",
        "UK",
        "assimilated Reg. (EU) 2019/947 Art. 14(5)(a)(ii) as amended by S.I. 2025/1106",
        "registration from 100 g on with a camera, since 2026",
        COPY,
    ),
    pointer(
        "mass",
        "USA",
        "14 CFR 48.15(b) and 107.3",
        "flown only under 49 USC 44809, no registration up to 0.55 lb (249.5 g) at take-off; small is below 55 lb (24.9 kg)",
        COPY,
    ),
    pointer(
        "mass",
        "Canada",
        "CAR 900.01 and 900.13",
        "registration from 250 g on; small is up to 25 kg",
        COPY,
    ),
    pointer(
        "mass",
        "Australia",
        "CASR 101.022 and 101.023",
        "steps at 250 g, 2 kg, 25 kg and 150 kg",
        COPY,
    ),
    pointer("height", "EU", "Reg. (EU) 2019/947 UAS.OPEN.010(2)", "120 m", SUMMARY),
    pointer(
        "height",
        "EU",
        "Reg. (EU) 2019/947 UAS.OPEN.010(4)",
        "unmanned sailplanes below 10 kg: 120 m above the pilot",
        COPY,
    ),
    pointer("height", "USA", "49 USC 44809", "400 ft in class G airspace", SUMMARY),
    pointer(
        "place",
        "EU",
        "Reg. (EU) 2019/947 UAS.OPEN.040(1) and (2)",
        "nobody uninvolved endangered, 150 m from where people live, work or rest",
        UNDATED,
    ),
    pointer(
        "place",
        "EU",
        "Reg. (EU) 2019/947 Art. 16",
        "what clubs and associations are authorised for",
        SUMMARY,
    ),
];

impl Facts {
    /// Every pointer, as a rule meets it.
    pub(crate) fn legal_pointers(&self, of: &Known) -> Vec<Known> {
        let shown = |pointer: &Pointer| {
            let text = |text: &str| match of.span {
                Some(span) => words(text, span),
                None => Known::computed(What::Words(text.to_owned()), "words", None),
            };
            let fields = vec![
                ("topic", text(pointer.topic)),
                ("country", text(pointer.country)),
                ("reference", text(pointer.reference)),
                ("says", text(pointer.says)),
                ("read", text(pointer.read)),
            ];
            Known::computed(What::Record(Rc::new(fields)), "legal_pointer", of.span)
        };
        POINTERS.iter().map(shown).collect()
    }
}

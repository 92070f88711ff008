//! A sheet for a program: the form `trimsheet-sheet`, version 1.
//!
//! One UTF-8 JSON object, ended by a line break: `form`, `version`, and then the keys of
//! a [`Sheet`] in the order of its fields, which are documented there. Every key is
//! always there; what does not apply is `null` or an empty list. The same sheet gives
//! the same bytes.
//!
//! ```text
//! {
//!   "form": "trimsheet-sheet",
//!   "version": 1,
//!   "title": …, "file": …, "revision": …, "stage": …, "datum": …, "level": …,
//!   "units": { "mass": …, "length": …, "moment": … },
//!   "loadouts": [
//!     { "name": …, "line": …, "is": [ … ], "items": [ … ], "open": [ … ],
//!       "total": …, "corners": [ … ], "ways": …, "chord_share": …, "wing_loading": …,
//!       "mass_limit": …, "band": …, "remedies": [ … ], "contributors": [ … ], "values": …, "assumed": …,
//!       "as_weighed": …, "flight": [ … ], "drive": [ … ], "not_said": [ … ] }
//!   ]
//! }
//! ```
//!
//! # What a reader can rely on
//!
//! `form` and `version` come first: refuse a form or a version that is not known.
//! The version rises when a key goes away, changes its type or its meaning.
//! It does not rise when a key is added, so pass over keys that are not known.
//! Words of sources and units are stable; `is`, `open`, `says`, `act`, `what`, `why` and
//! `not_known` are sentences for people and may be worded differently at any time.
//!
//! # Numbers
//!
//! | key | type | meaning |
//! | --- | --- | --- |
//! | `value` | number | in `unit`; for a place or a moment, positive is aft, right or up |
//! | `spread` | number or null | expanded spread, coverage factor 2, in `unit` |
//! | `unit` | string | the unit, as the language writes it |
//!
//! Values are not rounded, so sums of items are the totals. `y` of a pair is how far out
//! each of the two lies, and the pair is in balance to the side. A **line** has `file`,
//! the path as shown to people, and `line`, from 1. A **source** is one of `weighed`,
//! `measured`, `datasheet`, `kit`, `plan`, `copied`, `estimated`, `about` (reckoned with
//! and not known yet) and `unstated`.
//!
//! # What is not known
//!
//! `total` is null where something aboard is not known, and `not_said` says why; it is
//! also null where `open` lists something, and then `corners` has the foremost and the
//! aftmost way. A `mass` or `x` that is null is not known. No number is a verdict:
//! the `distances` of a limit are what lies between, positive above it or aft of it.

use serde::Serialize;

use crate::sheet::Sheet;

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-sheet";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a sheet as JSON, in the form that the [module](mod@crate::json) describes.
pub fn json(sheet: &Sheet) -> String {
    document(FORM, VERSION, sheet)
}

#[derive(Serialize)]
struct Document<'a, T> {
    form: &'static str,
    version: u32,
    #[serde(flatten)]
    body: &'a T,
}

/// Writes a body as JSON behind the name and the version of its form.
#[expect(clippy::expect_used, reason = "it fails only for maps with odd keys: none here")]
pub(crate) fn document<T: Serialize>(
    form: &'static str,
    version: u32,
    body: &T,
) -> String {
    let text = serde_json::to_string_pretty(&Document { form, version, body });
    let mut text = text.expect("structs of numbers, texts and lists are always written");
    text.push('\n');
    text
}

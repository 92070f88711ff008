//! A number on a sheet.

use std::fmt::{Display, Formatter, Result as Written};

use serde::ser::{Serialize, SerializeStruct, Serializer};
use trimsheet_facts::model::quantity::{Dimension, Quantity};

/// A number with its unit and its spread; for a place, positive is aft, right or up.
///
/// It is written with no more digits than its spread deserves, and passed on to programs
/// with all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Number(pub Quantity);

impl Number {
    /// Its value in its own unit, without what rounding left in the last digits.
    pub fn value(&self) -> f64 {
        tidy(self.0.value())
    }

    /// Its expanded spread (coverage factor 2) in its own unit.
    pub fn spread(&self) -> Option<f64> {
        self.0.spread().map(tidy)
    }

    /// The digits, with no more of them than the spread deserves.
    ///
    /// A length that is nought within the last digit of its spread is `0`.
    pub(crate) fn digits(&self) -> String {
        let digits = first_word(&self.0.to_string());
        let spread = self.spread_digits();
        let decimals = spread.split_once('.').map_or(0, |(_, part)| part.len());
        let rounded = format!("{:.decimals$}", self.value().abs());
        let is_nought = rounded.chars().all(|digit| matches!(digit, '0' | '.'));
        let is_length = self.0.dimension() == Dimension::LENGTH;
        if is_length && is_nought && !spread.is_empty() { "0".to_owned() } else { digits }
    }

    /// The digits of the spread behind `±`; empty where there is none.
    pub(crate) fn spread_digits(&self) -> String {
        let is_sure = self.0.spread_si().is_none_or(|spread| spread == 0.0);
        let text = self.0.with_spread();
        let spread = text.split_once(" ± ").filter(|_| !is_sure);
        spread.map_or(String::new(), |(_, spread)| format!("± {}", first_word(spread)))
    }

    /// The word for the side on which it lies; empty for what is no place.
    pub(crate) fn side(&self) -> String {
        let is_nought = self.digits() == "0";
        let sign = if is_nought { 0.0 } else { self.0.si() };
        self.0.axis().map_or(String::new(), |axis| axis.side(sign).word().to_owned())
    }

    /// A spread, with the digits that it deserves itself.
    pub(crate) fn as_spread(&self) -> String {
        let spread = self.0.si().abs();
        Number(self.0.clone().with_spread_si(spread)).digits()
    }

    /// The same without a sign, as a distance.
    pub(crate) fn magnitude(&self) -> Number {
        Number(self.0.magnitude())
    }
}

/// The number in front of its unit.
fn first_word(text: &str) -> String {
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// The same to twelve digits, which is more than anybody can measure.
fn tidy(value: f64) -> f64 {
    let text = format!("{value:.11e}").parse().unwrap_or(value);
    if text == 0.0 { 0.0 } else { text }
}

impl Display for Number {
    fn fmt(&self, f: &mut Formatter<'_>) -> Written {
        if self.spread_digits().is_empty() {
            return self.0.fmt(f);
        }
        f.write_str(&self.0.with_spread())
    }
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut fields = serializer.serialize_struct("Number", 3)?;
        fields.serialize_field("value", &self.value())?;
        fields.serialize_field("spread", &self.spread())?;
        fields.serialize_field("unit", self.0.unit().text())?;
        fields.end()
    }
}

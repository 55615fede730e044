//! Lengths, forces and days as they are stored.
//!
//! Integers of a small unit, so that two devices always write the same bytes for the same value.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A length in nanometres.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub struct Length {
    /// Nanometres.
    pub nm: i64,
}

impl Length {
    /// Whole millimetres.
    #[must_use]
    pub const fn mm(mm: i64) -> Self {
        Length { nm: mm * 1_000_000 }
    }
    /// In millimetres, exact up to 9 000 km.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // lengths stay far below 2^53 nm
    pub fn as_mm(self) -> f64 {
        self.nm as f64 / 1e6
    }
    /// The nearest nanometre.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // saturating by definition of `as`
    pub fn from_mm(mm: f64) -> Self {
        Length {
            nm: (mm * 1e6).round() as i64,
        }
    }
}

/// A force in millinewtons.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub struct Force {
    /// Millinewtons.
    pub mn: i64,
}

impl Force {
    /// Whole newtons.
    #[must_use]
    pub const fn newtons(n: i64) -> Self {
        Force { mn: n * 1000 }
    }
    /// In newtons.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // forces stay far below 2^53 mN
    pub fn as_newtons(self) -> f64 {
        self.mn as f64 / 1000.0
    }
    /// The nearest millinewton.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // saturating by definition of `as`
    pub fn from_newtons(n: f64) -> Self {
        Force {
            mn: (n * 1000.0).round() as i64,
        }
    }
}

/// A day as `YYYY-MM-DD`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[ts(type = "string")]
#[schemars(with = "String")]
pub struct Day(chrono::NaiveDate);

impl Day {
    /// The calendar day.
    #[must_use]
    pub fn date(&self) -> chrono::NaiveDate {
        self.0
    }
}

impl TryFrom<String> for Day {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        chrono::NaiveDate::parse_from_str(&text, "%Y-%m-%d")
            .ok()
            .filter(|day| day.format("%Y-%m-%d").to_string() == text)
            .map(Day)
            .ok_or_else(|| format!("{text:?} is not a day like 2026-10-06"))
    }
}

impl From<Day> for String {
    fn from(day: Day) -> String {
        day.0.format("%Y-%m-%d").to_string()
    }
}

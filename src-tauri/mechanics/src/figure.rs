//! A value with its origin: no number travels without where it comes from.
//!
//! Invariant: an origin is stated for every figure a result rests on. Does not judge origins.

use serde::{Deserialize, Serialize};

/// Where a figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Origin {
    /// Read on site or weighed.
    Measured,
    /// Between measured values.
    Interpolated,
    /// By a formula of this crate.
    Computed,
    /// An assumption or a recalled figure, to be replaced by a better one.
    Assumed,
    /// Read from a published table.
    Table,
    /// Stated by the maker of the part.
    Maker,
    /// Given by the designer or engineer.
    Designer,
    /// Common practice of the trade, without a published source.
    CommonPractice,
}

/// A value, its origin and, where there is one, the source in words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Figure<T> {
    /// The value, in the unit of its type.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
    /// Document, sheet, letter or formula.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

impl<T> Figure<T> {
    /// A figure with a source in words.
    pub fn new(value: T, origin: Origin, source: impl Into<String>) -> Self {
        Self {
            value,
            origin,
            source: Some(source.into()),
        }
    }

    /// A figure of stated origin without further source.
    pub const fn of(value: T, origin: Origin) -> Self {
        Self {
            value,
            origin,
            source: None,
        }
    }
}

//! Origins, units and sources as answers carry them.

use mechanics::figure;
use mechanics::rules as set;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Where a figure is from.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum Origin {
    /// Read on site or weighed.
    Measured,
    /// Between measured values.
    Interpolated,
    /// By a formula.
    Computed,
    /// An assumption, to be replaced by a better figure.
    Assumed,
    /// From a published table.
    Table,
    /// Stated by the maker of the part.
    Maker,
    /// Given by the designer or engineer.
    Designer,
    /// Common practice of the trade, without a published source.
    CommonPractice,
    /// As a person recorded it.
    Recorded,
}

impl Origin {
    /// The word in documents.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Origin::Measured => "measured",
            Origin::Interpolated => "interpolated",
            Origin::Computed => "computed",
            Origin::Assumed => "assumed",
            Origin::Table => "from a table",
            Origin::Maker => "maker's figure",
            Origin::Designer => "designer's figure",
            Origin::CommonPractice => "common practice",
            Origin::Recorded => "as recorded",
        }
    }
}

impl From<figure::Origin> for Origin {
    fn from(origin: figure::Origin) -> Self {
        match origin {
            figure::Origin::Measured => Origin::Measured,
            figure::Origin::Interpolated => Origin::Interpolated,
            figure::Origin::Computed => Origin::Computed,
            figure::Origin::Assumed => Origin::Assumed,
            figure::Origin::Table => Origin::Table,
            figure::Origin::Maker => Origin::Maker,
            figure::Origin::Designer => Origin::Designer,
            figure::Origin::CommonPractice => Origin::CommonPractice,
        }
    }
}

/// Unit of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[ts(rename = "FigureUnit")]
pub enum Unit {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetres,
    /// Newtons.
    #[serde(rename = "N")]
    Newtons,
}

/// A number with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
}

impl From<mechanics::assessment::Quantity> for Quantity {
    fn from(quantity: mechanics::assessment::Quantity) -> Self {
        match quantity {
            mechanics::assessment::Quantity::Millimetres(mm) => Quantity {
                value: mm.value(),
                unit: Unit::Millimetres,
            },
            mechanics::assessment::Quantity::Newtons(n) => Quantity {
                value: n.value(),
                unit: Unit::Newtons,
            },
        }
    }
}

/// How a published figure came to be known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum SourceStatus {
    /// Read in the document itself.
    Read,
    /// Read where another document quotes it.
    SecondHand,
    /// Recalled.
    Memory,
    /// Common practice, no document.
    CommonPractice,
    /// Changed or entered by the crew.
    Own,
}

/// Document, edition and clause of a figure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Source {
    /// The document.
    pub document: String,
    /// Its edition.
    pub edition: String,
    /// Clause, table or figure.
    pub clause: String,
    /// How it came to be known here.
    pub status: SourceStatus,
}

impl From<set::SourceNote> for Source {
    fn from(note: set::SourceNote) -> Self {
        Source {
            document: note.document,
            edition: note.edition,
            clause: note.clause,
            status: match note.status {
                set::Status::Read => SourceStatus::Read,
                set::Status::SecondHand => SourceStatus::SecondHand,
                set::Status::Memory => SourceStatus::Memory,
                set::Status::CommonPractice => SourceStatus::CommonPractice,
                set::Status::Own => SourceStatus::Own,
            },
        }
    }
}

//! What a table lookup answers: the figure, the row it was read from, and what is in hand.
//!
//! Invariant: an answer without a figure says why. Does not look anything up.

use serde::{Deserialize, Serialize};

use super::Cite;
use crate::strand::Construction;
use crate::units::{Millimetres, Newtons};

/// Why a table has no answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Outside {
    /// The wire is thinner than the thinnest row.
    #[serde(rename_all = "camelCase")]
    TooThin {
        /// Thinnest row of this lay.
        least: Millimetres,
    },
    /// The wire is thicker than the table allows.
    #[serde(rename_all = "camelCase")]
    TooThick {
        /// Thickest the table allows.
        most: Millimetres,
    },
    /// The table has no row of this lay.
    #[serde(rename_all = "camelCase")]
    NoSuchLay {
        /// The lay asked for.
        lay: Construction,
    },
    /// The spacing is wider than the widest row.
    #[serde(rename_all = "camelCase")]
    TooWide {
        /// Widest row.
        most: Millimetres,
        /// How far beyond it.
        over: Millimetres,
    },
    /// The supports are farther apart than the last column.
    #[serde(rename_all = "camelCase")]
    TooLong {
        /// Last column.
        most: Millimetres,
        /// How far beyond it.
        over: Millimetres,
    },
    /// The rule set has no such table.
    NoTable,
}

/// What a table says of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Outcome<T> {
    /// The figure: a least tension or a largest deflection.
    #[serde(rename_all = "camelCase")]
    Figure {
        /// The figure.
        limit: T,
    },
    /// The table's X: the tension needed would exceed the wire's safe load.
    NotAllowed,
    /// The table does not reach this wire or bay.
    #[serde(rename_all = "camelCase")]
    Outside {
        /// Why.
        why: Outside,
    },
}

impl<T: Copy> Outcome<T> {
    /// The figure, where there is one.
    #[must_use]
    pub const fn limit(&self) -> Option<T> {
        match self {
            Self::Figure { limit } => Some(*limit),
            Self::NotAllowed | Self::Outside { .. } => None,
        }
    }
}

/// The row and column that were read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReadAs {
    /// Diameter of the row.
    pub diameter: Millimetres,
    /// Spacing of the row.
    pub spacing: Millimetres,
    /// Post distance of the column.
    pub post_clear: Millimetres,
}

/// The next row or column, above or below the one that was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Neighbour<T> {
    /// Spacing or post distance of the neighbour.
    pub at: Millimetres,
    /// Distance between the measured value and the limit that separates the two, always ≥ 0.
    ///
    /// For the demanding neighbour: what is in hand. For the easier one: what is over.
    pub distance: Millimetres,
    /// What the neighbour says.
    pub outcome: Outcome<T>,
    /// The neighbour's figure less the one read, where both are figures.
    pub difference: Option<T>,
}

/// What the tension table asks of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TensionRow {
    /// What the table says.
    pub outcome: Outcome<Newtons>,
    /// The row and column read, where the table reaches.
    pub read_as: Option<ReadAs>,
    /// The next longer post distance and the millimetres in hand before it.
    pub longer_bay: Option<Neighbour<Newtons>>,
    /// The next shorter post distance and the millimetres over it.
    pub shorter_bay: Option<Neighbour<Newtons>>,
    /// The next wider spacing and the millimetres in hand before it.
    pub wider_spacing: Option<Neighbour<Newtons>>,
    /// The next closer spacing and the millimetres over it.
    pub closer_spacing: Option<Neighbour<Newtons>>,
    /// What differs between copies of the document, where the cell is doubtful.
    pub doubt: Option<String>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

/// What the deflection table asks of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DeflectionRow {
    /// What the table says: the largest deflection.
    pub outcome: Outcome<Millimetres>,
    /// The mass to hang at mid span, kilograms.
    pub mass_kg: Option<f64>,
    /// The row and column read, where the table reaches.
    pub read_as: Option<ReadAs>,
    /// The next longer post distance and the millimetres in hand before it.
    pub longer_bay: Option<Neighbour<Millimetres>>,
    /// The next wider spacing and the millimetres in hand before it.
    pub wider_spacing: Option<Neighbour<Millimetres>>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

/// What the table of continuous vertical wires asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ContinuousVerticalRow {
    /// What the table says: the least tension.
    pub outcome: Outcome<Newtons>,
    /// Spacing of the row read.
    pub read_spacing: Option<Millimetres>,
    /// Millimetres in hand before the next spacing.
    pub spacing_in_hand: Option<Millimetres>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

impl TensionRow {
    pub(super) const fn silent(why: Outside, cite: Option<Cite>) -> Self {
        Self {
            outcome: Outcome::Outside { why },
            read_as: None,
            longer_bay: None,
            shorter_bay: None,
            wider_spacing: None,
            closer_spacing: None,
            doubt: None,
            cite,
        }
    }
}

impl DeflectionRow {
    pub(super) const fn silent(why: Outside, mass_kg: Option<f64>, cite: Option<Cite>) -> Self {
        Self {
            outcome: Outcome::Outside { why },
            mass_kg,
            read_as: None,
            longer_bay: None,
            wider_spacing: None,
            cite,
        }
    }
}

//! Wire tables as a document prints them: rows, columns, and the cells that say "not allowed".
//!
//! Invariant: a line has one cell per post distance; a line that has not is answered as outside
//! the table. Does not round: the lookup does.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Cite;
use crate::strand::Construction;
use crate::units::Millimetres;

/// One cell: a figure, or the table's mark for "not allowed".
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// The figure, in the table's unit.
    Figure(f64),
    /// "X": the tension needed would exceed the wire's safe load.
    NotAllowed,
}

impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Figure(value) => serializer.serialize_f64(*value),
            Self::NotAllowed => serializer.serialize_str("X"),
        }
    }
}

impl<'de> Deserialize<'de> for Cell {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Number(f64),
            Mark(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Number(value) if value.is_finite() && value > 0.0 => Ok(Self::Figure(value)),
            Written::Number(value) => Err(serde::de::Error::custom(format!(
                "a table cell must be above zero, and is {value}"
            ))),
            Written::Mark(mark) if mark == "X" => Ok(Self::NotAllowed),
            Written::Mark(mark) => Err(serde::de::Error::custom(format!(
                "a table cell is a number or X, and is {mark:?}"
            ))),
        }
    }
}

/// A diameter that the document says to read in another diameter's rows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadDiameterAs {
    /// Diameter of the wire.
    pub wire_mm: Millimetres,
    /// Diameter of the rows to read.
    pub rows_mm: Millimetres,
}

/// A cell whose figure differs between copies of the document.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DoubtfulCell {
    /// Diameter of the row.
    pub diameter_mm: Millimetres,
    /// Lay of the row.
    pub lay: Construction,
    /// Spacing of the row.
    pub spacing_mm: Millimetres,
    /// Post distance of the column.
    pub post_clear_mm: Millimetres,
    /// What differs, in our words.
    pub note: String,
}

/// Least tensions of one diameter, lay and spacing over the post distances.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TensionLine {
    /// Diameter of the wire.
    pub diameter_mm: Millimetres,
    /// Lay of the wire.
    pub lay: Construction,
    /// Wire spacing.
    pub spacing_mm: Millimetres,
    /// Least tension in newtons, one per post distance.
    pub least_n: Vec<Cell>,
}

/// Least tension by strain indicator (table a).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TensionTable {
    /// Clear post distances of the columns, rising.
    pub post_clear_mm: Vec<Millimetres>,
    /// The lines.
    pub lines: Vec<TensionLine>,
    /// Cells that differ between copies.
    #[serde(default)]
    pub doubtful: Vec<DoubtfulCell>,
    /// Source.
    pub cite: Cite,
}

/// Largest deflections of one diameter and spacing over the post distances.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DeflectionLine {
    /// Diameter of the wire.
    pub diameter_mm: Millimetres,
    /// Wire spacing.
    pub spacing_mm: Millimetres,
    /// Largest deflection in millimetres, one per post distance.
    pub most_mm: Vec<Cell>,
}

/// Largest deflection under a mass hung at mid span (table b).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DeflectionTable {
    /// The mass hung at mid span, kilograms.
    pub mass_kg: f64,
    /// Clear post distances of the columns, rising.
    pub post_clear_mm: Vec<Millimetres>,
    /// The lines.
    pub lines: Vec<DeflectionLine>,
    /// Source.
    pub cite: Cite,
}

/// Least tension of a continuous vertical wire (table c).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ContinuousVerticalLine {
    /// Diameter of the wire.
    pub diameter_mm: Millimetres,
    /// Lay of the wire.
    pub lay: Construction,
    /// Widest wire spacing.
    pub spacing_mm: Millimetres,
    /// Least tension in newtons.
    pub least_n: Cell,
}

/// Continuous vertical wires (table c).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ContinuousVerticalTable {
    /// Largest diameter that the table allows.
    pub most_diameter_mm: Millimetres,
    /// Widest clear distance between rails.
    pub most_rail_clear_mm: Millimetres,
    /// The lines.
    pub lines: Vec<ContinuousVerticalLine>,
    /// Source.
    pub cite: Cite,
}

/// The wire tables of a document.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct WireTables {
    /// What building to the tables stands for, in our words.
    pub meaning: String,
    /// What lies outside the tables needs, in our words.
    pub outside: String,
    /// How distances, spacings and diameters are rounded, and why.
    pub rounding: String,
    /// Diameters the document reads in other rows.
    #[serde(default)]
    pub read_diameter_as: Vec<ReadDiameterAs>,
    /// Table of least tensions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tension: Option<TensionTable>,
    /// Table of largest deflections.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deflection: Option<DeflectionTable>,
    /// Table of continuous vertical wires.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub continuous_vertical: Option<ContinuousVerticalTable>,
    /// Source.
    pub cite: Cite,
}

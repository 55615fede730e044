//! What a maker's sheet tells of a strand or a fitting set, each figure with its own origin.
//!
//! Figures stand under the names that the job's own values use, in the same whole units (`Nm`
//! nanometres, `Mn` millinewtons, `Ppm` parts per million). A figure that is not told is left out.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::EndKind;

/// One figure of a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SheetFigure {
    /// The figure, in the whole unit that its name ends with.
    pub n: i64,
    /// Sheet and page, or who measured it how.
    pub origin: String,
}

/// Figures by name.
pub type SheetFigures = BTreeMap<String, SheetFigure>;

/// A strand as its maker's sheet tells it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandSheet {
    /// Construction: `1x19`, `7x7`, `7x19`.
    pub construction: String,
    /// Steel grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// `diameterNm`, `eaMn`, `breakingMn`, `stretchPpm`.
    pub figures: SheetFigures,
}

/// A fitting set as its maker's sheet tells it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FittingSheet {
    /// Kind of end that the terminals make.
    pub kind: EndKind,
    /// Kind of the other end, the right-hand one, where it is of another kind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub right_kind: Option<EndKind>,
    /// Figures of the left-hand terminal.
    pub left: SheetFigures,
    /// Figures of the right-hand terminal.
    pub right: SheetFigures,
    /// Figures of the set: `throughHoleNm`, `permille`, `factorPercent`, `insertPullMn`,
    /// `threadLimitMn`, `fixedDeductionNm`.
    pub set: SheetFigures,
}

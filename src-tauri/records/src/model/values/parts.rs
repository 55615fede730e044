//! Values that come with the job's parts and rules: strand, terminals, deliveries, rule sets.
//!
//! Every figure that was not measured here carries its origin in words.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::Hash;
use crate::model::context::Terminal;

/// A copy of a rule set, exact text and hash, with where it came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleSetCopy {
    /// Short name.
    pub name: String,
    /// The data file's text.
    pub text: String,
    /// SHA-256 of the text.
    pub sha256: Hash,
    /// Library, file or person it came from.
    pub origin: String,
}

/// A strand's mechanical figures, each with its origin.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandFigures {
    /// Construction: `1x19`, `7x7`, `7x19`.
    pub construction: String,
    /// Nominal diameter.
    pub diameter_nm: i64,
    /// Where the diameter is from, where it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_origin: Option<String>,
    /// Axial stiffness EA.
    pub ea_mn: i64,
    /// Where EA is from.
    pub ea_origin: String,
    /// Breaking load, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaking_mn: Option<i64>,
    /// Where the breaking load is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaking_origin: Option<String>,
    /// Permanent stretch in parts per million.
    pub stretch_ppm: i64,
    /// Where the stretch is from.
    pub stretch_origin: String,
    /// Steel grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
}

/// A fitting set's two terminals.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Terminals {
    /// The left-hand one.
    pub left: Terminal,
    /// The right-hand one.
    pub right: Terminal,
    /// Most by which one end may be screwed in further than the other when a wire is caught (o), where
    /// it is told; both ends then turn alike.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub unequal_start_nm: Option<i64>,
    /// Where the figures are from.
    pub origin: String,
    /// Where single figures are from, by their names (`left.overallNm`, `throughHoleNm`), where a
    /// sheet told them one by one.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub origins: BTreeMap<String, String>,
}

/// How much of a strand's breaking load may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Efficiency {
    /// Terminal efficiency in tenths of a percent.
    pub permille: i64,
    /// Safety factor in hundredths.
    pub factor_percent: i64,
}

/// Pieces beyond what the layout needs, each with its purpose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Spare {
    /// For sample crimps, each hand.
    pub sample: u32,
    /// For rejects and remakes, each hand.
    pub scrap: u32,
    /// Over, each hand.
    pub over: u32,
}

/// What a take-off adds to the count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Allowances {
    /// Terminals, each hand.
    pub terminals: Spare,
    /// Inserts, each hand.
    pub inserts: Spare,
    /// Lock nuts, each hand.
    pub lock_nuts: Spare,
    /// Angled seats.
    pub angled_seats: Spare,
    /// Grommet halves or sleeves.
    pub linings: Spare,
    /// Strand for samples.
    pub sample_strand_nm: i64,
    /// Strand for remakes.
    pub scrap_strand_nm: i64,
}

/// How strand is cut on this job.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CuttingRules {
    /// Width lost at each cut; none with shears.
    pub kerf_nm: i64,
    /// Taken off a fresh end before the first cut, that cut's kerf included.
    pub end_trim_nm: i64,
    /// A leftover shorter than this is scrap.
    pub least_usable_nm: i64,
    /// Length of a reel that could be ordered, where stock does not reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub new_reel_nm: Option<i64>,
    /// Cut in the order of the wires, not with the least stock.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub as_listed: bool,
}

/// Counts of a delivery on arrival.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Arrival {
    /// Left-hand pieces counted, or pieces where there is no hand.
    pub counted_left: i64,
    /// Right-hand pieces counted.
    pub counted_right: i64,
    /// One of each hand tried in an insert.
    pub tried: bool,
    /// What is short or wrong.
    pub remark: String,
    /// Pieces short, both hands together, where they were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short: Option<i64>,
    /// Pieces that are wrong, where they were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrong: Option<i64>,
}

//! Values of cutting, fitting, tensioning and checking.
//!
//! How a reading was taken stands in its context; here is only what two people can disagree about.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{CrimpResult, ProbeResult};
use crate::ids::ItemId;
use crate::subject::Subject;

/// The three tensions of a run. The lowest part that makes the upper one is named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Tensions {
    /// What the rule or designer asks, the highest of the run's bays.
    pub required_mn: i64,
    /// What to tension to.
    pub set_mn: i64,
    /// What nothing may exceed.
    pub upper_mn: i64,
    /// Where the required tension is from.
    pub required_origin: String,
    /// Where the upper tension is from.
    pub upper_origin: String,
    /// The passes on the way to the set tension, last one included.
    #[serde(default)]
    pub passes_mn: Vec<i64>,
}

impl Tensions {
    /// Whether the figures are the same, wherever they are from; passes that nobody told are any.
    #[must_use]
    pub fn same_figures(&self, other: &Tensions) -> bool {
        let figures = |t: &Tensions| (t.required_mn, t.set_mn, t.upper_mn);
        let untold = self.passes_mn.is_empty() || other.passes_mn.is_empty();
        figures(self) == figures(other) && (untold || self.passes_mn == other.passes_mn)
    }
}

/// By which deduction a wire is cut once a trial wire was fitted: a person's choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum DeductionBy {
    /// As fitting set and strand compute it.
    Computed,
    /// As the trial wires taught.
    Learned,
}

/// What a person released for cutting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutIssue {
    /// The length to cut.
    pub cut_nm: i64,
    /// The shortest that still works.
    pub shortest_nm: i64,
    /// The longest that still works.
    pub longest_nm: i64,
    /// The deduction that was chosen, where a trial wire had taught one by then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deduction: Option<DeductionBy>,
}

/// A wire as it was cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutMade {
    /// Length as cut.
    pub nm: i64,
    /// Batch it was cut from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<ItemId>,
    /// The taken-out piece it was cut from, where it was no reel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offcut: Option<OffcutOf>,
}

/// What is kept of a piece that was taken out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OffcutOf {
    /// The wire.
    pub wire: Subject,
    /// Number of the piece.
    pub piece: u32,
}

/// Which piece of strand is in the wire's place; 1 is the first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Piece {
    /// Number of the piece.
    pub number: u32,
    /// Why the one before was taken out.
    pub reason: String,
}

/// A crimp as checked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Crimp {
    /// Good or reject.
    pub result: CrimpResult,
    /// Why it was rejected.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Two sizes of a pressed shank, square to one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PressedSize {
    /// One axis.
    pub first_nm: i64,
    /// The other.
    pub second_nm: i64,
}

/// A trial pressing, pulled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SampleCrimp {
    /// Pull that was held.
    pub pull_mn: i64,
    /// For how long, in seconds.
    pub held_s: i64,
    /// How far the mark moved.
    pub mark_moved_nm: i64,
    /// Good or reject.
    pub result: CrimpResult,
    /// Size of the left-hand shank after pressing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<PressedSize>,
    /// Size of the right-hand shank after pressing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<PressedSize>,
}

/// Thread left showing at an end after fitting, or turn-in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Turns {
    /// Whole turns.
    pub turns: i64,
    /// Sixths of a turn beyond.
    pub flats: i64,
}

/// A gap check of a bay or of one opening in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GapCheck {
    /// Did the probe pass anywhere?
    pub result: ProbeResult,
}

/// An opening as built.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Opening {
    /// Clear size.
    pub nm: i64,
    /// What the probe did there, if one was offered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub result: Option<ProbeResult>,
}

/// Deflection under a hung mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Deflection {
    /// How far the wire went down at mid span.
    pub nm: i64,
    /// The mass as weighed, milligrams.
    pub mass_mg: i64,
}

//! How a value came about: what stands beside it in the claim and is no part of a dispute. One file past 400
//! lines, since every context stands in one list.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::{Hash, ItemId};
use crate::model::values::{
    Along, EndKind, Evidence, Faces, Hand, Instrument, Method, Moment, OpeningKind, PartsUsed,
    PostState, Purpose, Stage, Sun, TakenOutFor,
};

/// No context beyond what was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Said {
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Where the figure is from, when it was not the person's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// How a length was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LengthRead {
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// What it is for.
    pub purpose: Purpose,
    /// State of the posts.
    pub posts: PostState,
    /// From which faces.
    pub faces: Faces,
    /// How far the insert stands proud of the post (negative: recessed), both ends together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proud_nm: Option<i64>,
    /// With what.
    pub instrument: Instrument,
    /// Which tool, where it is one of the job's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<ItemId>,
    /// One standard deviation of the reading, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread_nm: Option<i64>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// How a bay's clear distance was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayRead {
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Level or along the slope.
    pub along: Along,
    /// With what.
    pub instrument: Instrument,
    /// Which tool, where it is one of the job's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub tool: Option<ItemId>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// How a tension was read. Gauge, bay and temperatures are set once for a round.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TensionRead {
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// How.
    pub method: Method,
    /// Pass, final or recheck.
    pub stage: Stage,
    /// Number of the pass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pass: Option<u32>,
    /// The piece of strand that was read.
    #[serde(default = "first")]
    pub piece: u32,
    /// The gauge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gauge: Option<ItemId>,
    /// What the scale showed, as written down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raw: Option<String>,
    /// Chart that turned the scale into newtons.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chart: Option<String>,
    /// Which repeat of the reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat: Option<u32>,
    /// Air temperature in hundredths of a degree Celsius.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_cdeg: Option<i64>,
    /// Wire temperature in hundredths of a degree Celsius.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wire_cdeg: Option<i64>,
    /// Sun or shade on the wire.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sun: Option<Sun>,
    /// Why it was changed or withdrawn, or what was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// What was told with it: its band, what it rests on, its raw recordings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told: Option<ReadingTold>,
}

/// What was told when a tension was read; documents print this, never a recomputation.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ReadingTold {
    /// Version of the program.
    pub program: String,
    /// Lower edge of the band; nothing where the reading leaves it open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_mn: Option<i64>,
    /// Upper edge of the band.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_mn: Option<i64>,
    /// What it rests on, as text with units.
    pub numbers: Vec<Number>,
    /// The raw recordings, by hash, kept as a document.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub recordings: Vec<Hash>,
}

fn first() -> u32 {
    1
}

/// How a crimp was checked.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CrimpRead {
    /// Figures of a sample as they were typed, with their units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// The piece of strand.
    #[serde(default = "first")]
    pub piece: u32,
    /// The day's sample that it refers to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample: Option<Hash>,
    /// Press.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub press: Option<ItemId>,
    /// Die.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub die: Option<ItemId>,
    /// Batch of the terminal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<ItemId>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// On which piece of strand something was done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OnPiece {
    /// The piece of strand.
    #[serde(default = "first")]
    pub piece: u32,
    /// Of a cut: what of the reel was lost with it, kerf and trimming.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lost_nm: Option<i64>,
    /// Of turns: the tension towards which the wire was turned. With it the turns are those of one
    /// turning, without it they were read at the end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_mn: Option<i64>,
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// How a gap was checked.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GapRead {
    /// Probe and push as they were typed, with their units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Diameter of the probe.
    pub probe_nm: i64,
    /// The probe, where it is one of the job's tools.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<ItemId>,
    /// Push in millinewtons where it was measured; by hand where not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub push_mn: Option<i64>,
    /// Remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// How an opening was measured.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OpeningRead {
    /// Kind of opening.
    pub kind: OpeningKind,
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Where, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
    /// Diameter of the probe, if one was offered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub probe_nm: Option<i64>,
    /// Push on the probe where it was measured; by hand where not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub push_mn: Option<i64>,
    /// Read before the wires were tensioned or after, as at a gate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moment: Option<Moment>,
}

/// How a post was pulled.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PullRead {
    /// As it was typed, with its units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// The gauge or scale, where it is one of the job's tools.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<ItemId>,
    /// Remark, or why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Why a piece of strand was taken out, and what it cost. No part of a dispute: two people who
/// remake the same wire agree on its piece.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TakenOut {
    /// The cause, from the trade's list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<TakenOutFor>,
    /// Parts that can't be used again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub used: Option<PartsUsed>,
    /// As it was typed, with its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Where it is from, when it was not the person's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// What a decision was told, and by which program and rules; documents print this, never a recomputation.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Told {
    /// Figures that were decided as they were typed, with their units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
    /// Version of the program.
    pub program: String,
    /// Hash of the rule set in force.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule_set: Option<Hash>,
    /// The numbers shown when the decision was taken, as text with units.
    pub numbers: Vec<Number>,
    /// Heads that a sign-off covers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub heads: Vec<Head>,
    /// The person's role did not ask for it: kept and marked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside_role: Option<String>,
    /// Why, in the person's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// A number as it was told.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Number {
    /// What it is.
    pub name: String,
    /// The number with its unit.
    pub value: String,
    /// Where it is from.
    pub origin: String,
}

/// The last entry of a device that a decision covers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Head {
    /// Device.
    pub device: crate::ids::DeviceId,
    /// Number of its entry.
    pub n: u64,
    /// Hash of that entry.
    pub hash: Hash,
}

/// What a picture or document shows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Shows {
    /// What it proves.
    pub evidence: Evidence,
    /// Why it was changed or withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Figures of one terminal of a fitting set.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Terminal {
    /// Hand of its thread.
    pub hand: Hand,
    /// Kind of end that it makes.
    pub kind: EndKind,
    /// Stud length overall (O); of an end without a thread it says nothing, and older versions copied the
    /// stud's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub overall_nm: Option<i64>,
    /// Wire swallowed (w).
    pub insertion_nm: i64,
    /// Growth on swaging (g).
    pub growth_nm: i64,
    /// Usable thread (h); none of an end without a thread, and so of all that follows from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub thread_nm: Option<i64>,
    /// Least engagement (e_min).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub least_engagement_nm: Option<i64>,
    /// Engagement to catch by hand (x_start).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub start_nm: Option<i64>,
    /// Thread kept for re-tensioning (r).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub reserve_nm: Option<i64>,
    /// Lock nut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub lock_nut_nm: Option<i64>,
    /// Nominal thread diameter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub thread_diameter_nm: Option<i64>,
    /// Thread pitch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub pitch_nm: Option<i64>,
    /// Hole for the insert or bolt, diameter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub hole_nm: Option<i64>,
    /// Hole for the insert, depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub hole_depth_nm: Option<i64>,
    /// Length of the angled seat under the fitting, where one is used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seat_nm: Option<i64>,
    /// Clear depth in the insert behind the face, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear_depth_nm: Option<i64>,
    /// From the post's face to the mouth of the shank of an end without a thread, before pressing, as it hangs
    /// there under a pull. No cut is computed before it is told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub mouth_nm: Option<i64>,
    /// Washer on the far face, for a bolt through the post.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub washer_nm: Option<i64>,
}

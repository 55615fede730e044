//! What friction leaves behind the corners of a run, as it is shown.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::subject::Subject;
use crate::work::figures::Origin;

/// A post at which the wires of a run turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Bend {
    /// The post.
    pub post: ItemId,
    /// Its name.
    pub name: String,
    /// By how much the wires turn at least, degrees.
    pub turn_from_deg: f64,
    /// By how much at most: the same where the angle is told, else all that can be.
    pub turn_to_deg: f64,
    /// Told, or assumed.
    pub turn_origin: Origin,
    /// Least friction.
    pub friction_from: f64,
    /// Most friction.
    pub friction_to: f64,
    /// Where the friction is from, in words.
    pub friction_origin: String,
}

/// The bays between two corners, or between one and an end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LegBehind {
    /// Name of the post at which it begins.
    pub from: String,
    /// Name of the post at which it ends.
    pub to: String,
    /// Its bays.
    pub bays: Vec<Subject>,
    /// Least that its wires get, newtons.
    pub least_n: f64,
    /// Most.
    pub most_n: f64,
    /// Most that they may lack of what is required; none where they don't, or nothing is required.
    pub lacks_n: Option<f64>,
    /// One sentence.
    pub sentence: String,
}

/// What friction leaves of a run's tension behind its corners.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Corners {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Posts at which it turns, from its first; empty for a straight run, which lacks nothing.
    pub bends: Vec<Bend>,
    /// What the tensioned ends are taken to show.
    pub tension_n: Option<f64>,
    /// Where that is from, in words.
    pub tension_origin: String,
    /// What every bay has to show at least.
    pub required_n: Option<f64>,
    /// Names of the posts at which the run is tensioned.
    pub tensioned_at: Vec<String>,
    /// Straight legs from the first post; empty where something is missing. Behind a corner whose angle
    /// is not told the least is that of the widest turn.
    pub legs: Vec<LegBehind>,
    /// The same with a right angle at every corner whose angle is not told; empty where all are.
    pub at_right_angle: Vec<LegBehind>,
    /// At which end to tension, in a sentence or two.
    pub side: Option<String>,
    /// What is missing, assumed or left out.
    pub notes: Vec<String>,
}

impl Bend {
    /// Whether nobody told the angle.
    pub(super) fn is_untold(&self) -> bool {
        self.turn_origin == Origin::Assumed
    }
}

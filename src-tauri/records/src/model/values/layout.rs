//! Values that describe the barrier as it stands: posts, rails, slopes, wires, ends, supports.
//!
//! Lengths are nanometres; heights are plumb above the floor or the nosings.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{EndKind, FaceSide, Hand, SupportKind};
use crate::ids::ItemId;

/// A post's cross section, as it stands in the run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Section {
    /// Width along the run.
    pub along_nm: i64,
    /// Depth across the run.
    pub across_nm: i64,
    /// Wall thickness of a hollow section; none when solid, or where nobody told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_nm: Option<i64>,
    /// Whether it is solid; none where a wall or its timber says so, or nobody told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub solid: Option<bool>,
}

/// The lowest floor between two posts, where it lies below the line from one to the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LowSpot {
    /// Level of the floor against the first post's, up positive.
    pub level_nm: i64,
    /// How far it lies from the bay's left post, face of the post to the spot; none where not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_left_nm: Option<i64>,
}

/// What a post is made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Material {
    /// Species or alloy, as said.
    pub name: String,
    /// Grade, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Treatment, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub treatment: Option<String>,
    /// Modulus of elasticity in MPa, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modulus_mpa: Option<i64>,
    /// Where the modulus is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modulus_origin: Option<String>,
    /// Bending strength in MPa, where an engineer, a maker or a sheet states it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bending_mpa: Option<i64>,
    /// Where the bending strength is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bending_origin: Option<String>,
    /// Moisture in tenths of a percent, where read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moisture_permille: Option<i64>,
}

/// How a post is fixed at its base.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BaseFixing {
    /// Kind, in words.
    pub kind: String,
    /// Number of bolts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bolts: Option<u32>,
    /// Distance between the bolts in the direction of the pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spacing_nm: Option<i64>,
    /// Moment that turns the base by one radian, newton metres, where an engineer, a maker or a test
    /// states it.
    #[serde(
        default,
        rename = "turningNMPerRad",
        skip_serializing_if = "Option::is_none"
    )]
    #[ts(optional)]
    pub turning_nm_per_rad: Option<i64>,
    /// Where that is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub turning_origin: Option<String>,
    /// Whether someone saw it before it was covered.
    pub seen: bool,
}

/// A run's top rail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Rail {
    /// Underside above the floor or the nosings, plumb.
    pub underside_nm: i64,
    /// Thickness square to the rail.
    pub thickness_nm: i64,
    /// Stiffness against a pull of the end post, in newtons per metre, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stiffness_n_per_m: Option<i64>,
    /// Height at which that stiffness acts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stiffness_height_nm: Option<i64>,
}

/// The inside angle between two directions, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Angle {
    /// Hundredths of a degree: 9000 at a square corner, 18000 straight on.
    pub cdeg: i64,
}

/// Friction of wires that run on round a post: the share of its own pressure that holds a wire back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Friction {
    /// The least that it may be, in thousandths.
    pub from_permille: i64,
    /// The most.
    pub to_permille: i64,
    /// Where that is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub origin: Option<String>,
}

/// A known level pull on a post, and how far the post moved where it was pulled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "KnownPostPull")]
#[schemars(rename = "KnownPostPull")]
pub struct KnownPull {
    /// The pull.
    pub mn: i64,
    /// Height of pull and reading above the base.
    pub at_nm: i64,
    /// How far the post moved there.
    pub moved_nm: i64,
    /// Whether the rail was on.
    pub rail_on: bool,
}

/// How warm it is when strand is cut and when it will be tensioned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutWarmth {
    /// When it is cut, hundredths of a degree Celsius.
    pub cut_cdeg: i64,
    /// When it is tensioned.
    pub tensioned_cdeg: i64,
}

/// A slope by its rise and going.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Slope {
    /// Rise of one step.
    pub rise_nm: i64,
    /// Going of one step.
    pub going_nm: i64,
    /// Number of risers, where it is a stair.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub risers: Option<u32>,
    /// How far a tread stands out over the riser below it; none where nobody told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub overhang_nm: Option<i64>,
}

/// Heights of a run's wires above the floor or the nosings, plumb, from the bottom.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireHeights {
    /// One height for each wire.
    pub nm: Vec<i64>,
}

/// What a support does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Support {
    /// Kind.
    pub kind: SupportKind,
    /// For a spreader: does it count as a post for the table, and who says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counts_as_post: Option<bool>,
    /// Who confirmed that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confirmed_by: Option<String>,
    /// For a wall end: what it is fixed into, in words; where their figures are not told, embedment
    /// and edge distance too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub substrate: Option<String>,
    /// For a wall end: how deep the fixing stands in the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub embedment_nm: Option<i64>,
    /// For a wall end: from the middle of the fixing to the nearest edge of the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub edge_nm: Option<i64>,
    /// For a gate post: the post on the other side of the opening, where one is in the record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub gate_across: Option<ItemId>,
    /// For a gate post: clear between the gate's posts before the wires are tensioned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub gate_clear_nm: Option<i64>,
    /// For a gate post: width of the leaf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub gate_leaf_nm: Option<i64>,
    /// For a gate post: thickness of the leaf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub gate_leaf_thick_nm: Option<i64>,
    /// For a gate post: gap at the hinges.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub gate_hinge_gap_nm: Option<i64>,
}

/// One end of a run at a post.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct End {
    /// Kind.
    pub kind: EndKind,
    /// Hand of the thread there.
    pub hand: Hand,
    /// Whether the wire is tensioned there.
    pub tensioner: bool,
    /// Whether an angled seat stands under the fitting, as on a rake.
    #[serde(default)]
    pub angled_seat: bool,
    /// How far the middles of its holes stand off the middle of the face that they enter: to the right
    /// of someone who looks at that face, to the left below zero; none where they stand in the middle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub aside_nm: Option<i64>,
    /// On which side, seen so, the holes of another run enter the post; none where nobody told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub other_enters: Option<FaceSide>,
}

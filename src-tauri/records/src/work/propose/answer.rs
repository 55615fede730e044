//! What a proposal of wires tells, as it is shown.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::work::ordering::{NextRow, RowOutcome, RuleSetNote};

/// A bay at the spacing of a proposal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayAtSpacing {
    /// Its name.
    pub name: String,
    /// Clear, along the wire.
    pub clear_mm: f64,
    /// What the table says.
    pub outcome: RowOutcome,
    /// Least tension.
    pub least_tension_n: Option<f64>,
    /// In hand before the next longer column.
    pub in_hand_mm: Option<f64>,
    /// Over the next shorter column.
    pub over_mm: Option<f64>,
    /// What being over costs, newtons.
    pub costs_n: Option<f64>,
    /// One sentence.
    pub sentence: String,
}

/// The gap below the bottom wire at one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FloorAt {
    /// The post.
    pub name: String,
    /// Floor to wire where heights follow the floor at each post.
    pub clear_mm: f64,
    /// The same when the coming floor lies.
    pub clear_later_mm: f64,
    /// Floor to wire where all is drilled level from the first post.
    pub level_mm: f64,
    /// Whether the sphere passes at rest, following the floor.
    pub passes: bool,
    /// Whether it passes where all is drilled level.
    pub level_passes: bool,
    /// The gap as the run's wires are told to go; the wider of the two where nobody told.
    pub counts_mm: f64,
    /// Whether the sphere passes that one.
    pub counts_passes: bool,
}

/// The gap between top wire and rail at one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RailAt {
    /// The post.
    pub name: String,
    /// Wire to rail, clear, as wires and rail are told to go; the widest that there can be where
    /// nobody told.
    pub widest_mm: f64,
    /// The least that there can be; the same where both are told.
    pub least_mm: f64,
    /// Whether the rule set's sphere passes the widest at rest.
    pub passes: bool,
}

/// Two runs in one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SharedPost {
    /// The post.
    pub post: String,
    /// Its id.
    pub post_id: ItemId,
    /// The run that stays as it is.
    pub stays: String,
    /// Pairs of holes that come too close.
    pub close: u32,
    /// Wood kept between holes: a remark, not a rule.
    pub wood_mm: f64,
    /// Least way up for this run that clears them; none where no way does.
    pub up_mm: Option<f64>,
    /// Least way down.
    pub down_mm: Option<f64>,
    /// How far off the middle of their face this run's holes clear them as high as they are, away from
    /// the other run's; told where no way up or down does, or where it is shorter.
    pub aside_mm: Option<f64>,
    /// One sentence.
    pub sentence: String,
}

/// The triangle of tread, riser and bottom wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StairAt {
    /// Largest sphere that passes at rest.
    pub sphere_mm: f64,
    /// Clear above the line of the nosings, square.
    pub above_nosings_mm: f64,
    /// The sphere that the rule set names for the triangle; none where it names none.
    pub rule_sphere_mm: Option<f64>,
    /// Whether that sphere passes at rest.
    pub passes: bool,
    /// The bottom wire's middle must stand below this, plumb above the nosings; none where nothing
    /// keeps the sphere out, or the rule set names none.
    pub below_mm: Option<f64>,
    /// One sentence.
    pub sentence: String,
}

/// Wires as they could be laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Proposal {
    /// Spacing that it stays below, square: the table's row, or what was wanted.
    pub row_mm: f64,
    /// Heights of the wires' middles, plumb, from the bottom, nanometres.
    pub heights_nm: Vec<i64>,
    /// Spacing, plumb.
    pub spacing_mm: f64,
    /// Spacing, square to the wires, as the table counts it.
    pub spacing_square_mm: f64,
    /// In hand before the next row, square.
    pub in_hand_mm: f64,
    /// Top wire's middle to the rail's underside, plumb, by their heights.
    pub top_gap_mm: f64,
    /// Clear below the bottom wire, square.
    pub bottom_clear_mm: f64,
    /// Largest opening at rest, square: below, between or above the wires, at whatever post it is.
    pub widest_clear_mm: f64,
    /// Whether the rule set's sphere passes there at rest.
    pub sphere_passes: bool,
    /// Whether it passes between the wires, or below or above them where no post tells that gap by itself.
    pub between_passes: bool,
    /// What the table says of the widest bay.
    pub outcome: RowOutcome,
    /// Least tension in the widest bay.
    pub least_tension_n: Option<f64>,
    /// The next wider row.
    pub next: Option<NextRow>,
    /// What differs between copies of the document, where the cell is doubtful.
    pub doubt: Option<String>,
    /// Every bay at this spacing.
    pub bays: Vec<BayAtSpacing>,
    /// The gap below the bottom wire, post by post; empty where floor levels are not told.
    pub floor: Vec<FloorAt>,
    /// The same in one sentence.
    pub floor_sentence: Option<String>,
    /// The gap between top wire and rail, post by post; empty where it is the same at all.
    pub rail: Vec<RailAt>,
    /// The same in one sentence.
    pub rail_sentence: Option<String>,
    /// Posts that another run shares.
    pub shared_posts: Vec<SharedPost>,
    /// The stair's triangle, on a stair.
    pub stair: Option<StairAt>,
    /// One sentence, in the unit that was asked for; a row of a table in millimetres as well.
    pub sentence: String,
}

/// What could be laid out for a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LayoutProposals {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// The rule set; none where none is chosen.
    pub rule_set: Option<RuleSetNote>,
    /// Underside of the rail that is laid out to, nanometres.
    pub rail_nm: Option<i64>,
    /// Slope of the wires.
    pub slope_deg: f64,
    /// The widest bay.
    pub widest_bay: Option<String>,
    /// Its clear distance along the wire.
    pub widest_bay_mm: Option<f64>,
    /// Least kept before the next row.
    pub in_hand_mm: f64,
    /// Step of the heights.
    pub step_mm: f64,
    /// The sphere that the rule set names.
    pub sphere_mm: Option<f64>,
    /// Whether heights are marked from the floor at each post; none where nobody told, or people
    /// differ: then the wider gap below the bottom wire counts.
    pub follows_floor: Option<bool>,
    /// Whether the rail follows the floor; none where nobody told, or people differ: then the widest and
    /// the least gap above the top wire count.
    pub rail_follows_floor: Option<bool>,
    /// How far a tread stands out over the riser below it, by which it was laid out; none where it is
    /// not told, and on a run without slope.
    pub overhang_nm: Option<i64>,
    /// The same as the record has it.
    pub present_overhang_nm: Option<i64>,
    /// Heights that stand in the record, nanometres.
    pub present_nm: Vec<i64>,
    /// What could be laid out, the closest spacing first.
    pub proposals: Vec<Proposal>,
    /// What a person has to ask before anything is laid out.
    pub ask_first: Vec<String>,
    /// What is missing; then nothing is proposed.
    pub missing: Vec<String>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

//! Marks on a copy of a picture: where something is, shown by an arrow, a ring or words.
//!
//! Invariant: places are whole thousandths of the picture's width and height as it is shown upright, so that
//! they mean the same on the view, on the thumb and on paper. Nothing here touches a picture's bytes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Most marks on one picture.
pub const MOST_MARKS: usize = 30;
/// Most characters of a mark's words.
pub const MOST_MARK_LETTERS: usize = 60;
/// The whole width, or height, of a picture in the parts that places are told in.
pub const WHOLE_SIDE: i64 = 1_000;

/// All that is marked on a picture, in the order in which it was drawn.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Marks {
    /// The marks; a later one lies over an earlier one.
    pub marks: Vec<Mark>,
}

/// One mark. `x` counts from the left, `y` from the top.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(
    tag = "kind",
    rename_all = "camelCase",
    rename_all_fields = "camelCase"
)]
#[allow(missing_docs)] // places, as above
pub enum Mark {
    /// From its end to its head.
    Arrow {
        x: i64,
        y: i64,
        to_x: i64,
        to_y: i64,
    },
    /// Around what lies between two opposite corners.
    Ring {
        x: i64,
        y: i64,
        to_x: i64,
        to_y: i64,
    },
    /// Words at a place.
    Text { x: i64, y: i64, text: String },
}

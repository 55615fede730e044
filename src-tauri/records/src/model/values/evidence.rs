//! Values of pictures, defects and what people sign.
//!
//! A file's own time and place stand apart from what the app saw, as a second witness.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::PersonId;
use crate::subject::Subject;

/// A position on the earth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Position {
    /// Latitude in 1e-7 degree, north positive.
    pub lat_e7: i64,
    /// Longitude in 1e-7 degree, east positive.
    pub lon_e7: i64,
    /// Radius of uncertainty, where told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_nm: Option<i64>,
}

/// When and where a picture was taken, as the app recorded it and as the file says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Taken {
    /// Milliseconds since 1970 UTC, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ms: Option<i64>,
    /// Minutes east of UTC, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset_min: Option<i32>,
    /// The time is not certain, and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertain: Option<String>,
    /// Who says so: `app` or `file`.
    pub witness: String,
}

/// What a picture's EXIF says, kept as a second witness.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PhotoExif {
    /// Time as the file has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// Position as the file has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// Orientation, 1 to 8.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub orientation: Option<u32>,
    /// What in it can't be right.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
}

/// A reference to any subject.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct AboutSubject {
    /// The subject.
    pub subject: Subject,
}

/// What a sign-off or evidence tick covers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SignOff {
    /// The person's statement.
    pub statement: String,
    /// The person.
    pub person: PersonId,
}

/// How a defect was put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Closing {
    /// What was done.
    pub how: String,
}

/// How an edge was left at the end of a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LeftSafe {
    /// How it is guarded.
    pub how: String,
    /// Who was told.
    pub told: String,
}

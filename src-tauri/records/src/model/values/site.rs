//! Values of checks and reports that belong to a day on site: before the second end, a known length,
//! parts used up, a call-back.
//!
//! What nobody was asked is left out, and is not the same as no.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::CallBackCause;
use crate::ids::ItemId;

/// What was looked at before the second ends of a run were pressed; no way leads back after it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BeforeSecondEnd {
    /// Sleeves are on the wires.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sleeves_on: Option<bool>,
    /// The wires are through all posts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub through_all_posts: Option<bool>,
    /// The lock nuts of the right hand are on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nuts_on: Option<bool>,
    /// The hand was tried in the insert.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand_tried: Option<bool>,
    /// The stud passes the hole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stud_passes: Option<bool>,
}

impl BeforeSecondEnd {
    /// What there is to look at only where the second end has a thread.
    pub const OF_THREAD: [&'static str; 3] = ["lock nut on", "hand tried", "stud passes the hole"];

    /// What is looked at, in words, with the answer.
    #[must_use]
    pub const fn answers(&self) -> [(&'static str, Option<bool>); 5] {
        [
            ("sleeves on", self.sleeves_on),
            ("wire through all posts", self.through_all_posts),
            ("lock nut on", self.nuts_on),
            ("hand tried", self.hand_tried),
            ("stud passes the hole", self.stud_passes),
        ]
    }
}

/// A length that is known, and what an instrument read of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct KnownLength {
    /// The instrument, where it is one of the job's tools.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<ItemId>,
    /// The length that is known.
    pub known_nm: i64,
    /// What was read.
    pub read_nm: i64,
}

/// Parts that can't be used again after a piece was taken out, by hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", default)]
#[ts(optional_fields)]
pub struct PartsUsed {
    /// Left-hand terminals.
    #[ts(as = "Option<u32>")]
    pub terminals_left: u32,
    /// Right-hand terminals.
    #[ts(as = "Option<u32>")]
    pub terminals_right: u32,
    /// Left-hand inserts.
    #[ts(as = "Option<u32>")]
    pub inserts_left: u32,
    /// Right-hand inserts.
    #[ts(as = "Option<u32>")]
    pub inserts_right: u32,
    /// Lock nuts, both hands together.
    #[ts(as = "Option<u32>")]
    pub lock_nuts: u32,
}

impl PartsUsed {
    /// The parts of which some are used up: what one is called, and how many.
    pub fn counts(&self) -> impl Iterator<Item = (&'static str, u32)> {
        [
            ("LH terminal", self.terminals_left),
            ("RH terminal", self.terminals_right),
            ("LH insert", self.inserts_left),
            ("RH insert", self.inserts_right),
            ("lock nut", self.lock_nuts),
        ]
        .into_iter()
        .filter(|(_, count)| *count > 0)
    }
}

/// The owner called back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CallBack {
    /// What the owner says.
    pub complaint: String,
    /// What it came from, once it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<CallBackCause>,
    /// What was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<String>,
    /// What was done; none while it is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<String>,
}

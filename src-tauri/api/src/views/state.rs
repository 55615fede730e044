//! What the state of a job looks like, for those who script against it.
//!
//! Invariant: describes what `handover::state` writes, field by field; nothing is made from it.

use records::crew::{Person, Role};
use records::ids::{BookId, DeviceId, Hash, PersonId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

/// A whole job: claims, lines, disputes, decisions, admissions; sorted, integers only.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct JobState {
    /// `tautbook-state-2`.
    pub format: String,
    /// The job's book.
    pub book: BookId,
    /// The founding entry of its crew.
    pub founding: Option<Hash>,
    /// Devices of the crew.
    pub members: Vec<StateMember>,
    /// The newest entry of each device that counts.
    pub heads: Vec<StateHead>,
    /// Every key with what stands on it.
    pub claims: Vec<StateKey>,
    /// Entries that are kept and can't come to count by themselves: what waits is no part of the state.
    pub not_counting: Vec<StateLeft>,
}

/// A device of the crew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateMember {
    /// The device.
    pub device: DeviceId,
    /// What it is mostly used for.
    pub role: Role,
    /// May admit and end others.
    pub keeper: bool,
    /// Whether it was ended.
    pub ended: bool,
    /// Its persons.
    pub persons: Vec<Person>,
}

/// The newest entry of a device that counts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateHead {
    /// The device.
    pub device: DeviceId,
    /// The entry's number.
    pub n: u64,
    /// Its hash.
    pub hash: Hash,
}

/// A key: subject, field, place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateKey {
    /// The subject.
    pub subject: String,
    /// The field.
    pub field: String,
    /// The place within the field.
    pub place: String,
    /// Its lines; one where the field has a single value.
    pub lines: Vec<StateLine>,
    /// Entries of a newer version that change it.
    pub newer: Vec<Hash>,
}

/// Claims that are joined by what they replace.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateLine {
    /// Whether its tips agree.
    #[ts(type = "\"agreed\" | \"withdrawn\" | \"disputed\"")]
    pub standing: String,
    /// Number of its claims.
    pub claims: u64,
    /// Claims that nothing replaces.
    pub tips: Vec<StateTip>,
}

/// A claim that nothing replaces.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateTip {
    /// Its entry.
    pub entry: Hash,
    /// Its value, as the field's type has it; null withdraws.
    #[ts(type = "any")]
    pub value: Value,
    /// How it was read, as the field's type has it.
    #[ts(optional, type = "any")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<Value>,
    /// Who said it.
    pub person: PersonId,
    /// The device that recorded it.
    pub device: DeviceId,
    /// When.
    pub at: StateAt,
}

/// A moment by the recording device's clock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateAt {
    /// Milliseconds since 1970 UTC.
    pub ms: i64,
    /// Minutes east of UTC.
    pub offset_min: i32,
    /// Orders what has the same milliseconds.
    pub count: u64,
    /// Whether the clock was in doubt.
    pub suspect: bool,
}

/// An entry that can't come to count.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StateLeft {
    /// The entry.
    pub entry: Hash,
    /// Why, as a word of its own: `afterEnd`, `notListed`, `otherCrew`.
    pub why: String,
}

//! What a handover still lacks, in the inspector's order: there, waived with its reason, lacking.
//!
//! Invariant: a piece that is waived stays in the list with the person's reason. The list is
//! common practice of the trade; where the rule set asks, the item says so.

mod ask;
mod job_items;
mod run_items;
mod things;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use crate::job::Job;
use crate::model::values::Evidence;
use crate::subject::Subject;

/// Where a piece of evidence stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum EvidenceState {
    /// It is there.
    There,
    /// A person said why it stays away.
    Waived,
    /// It is not there.
    Lacking,
}

/// One piece of evidence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Lack {
    /// Its name in a waiver's place.
    pub key: String,
    /// Number of the handover's section.
    pub section: u32,
    /// That section's title.
    pub section_title: String,
    /// What it is, in words.
    pub name: String,
    /// What it is about.
    pub subject: Subject,
    /// Where it stands.
    pub state: EvidenceState,
    /// What is there, or what is still to do, in words.
    pub detail: String,
    /// The person's reason, where it is waived.
    pub waived_because: Option<String>,
    /// Who waived it.
    pub waived_by: Option<String>,
    /// Whether a picture or document settles it.
    pub asks_for_picture: bool,
    /// Which evidence that picture has to be marked as.
    pub evidence: Option<Evidence>,
    /// Who asks: the rule set's document, or common practice.
    pub asked_by: String,
}

/// The evidence list of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Lacks {
    /// All items in the inspector's order.
    pub items: Vec<Lack>,
    /// How many are lacking.
    pub lacking: u32,
    /// How many are waived.
    pub waived: u32,
    /// How many are there.
    pub there: u32,
}

/// Lists what a job's handover lacks.
///
/// # Errors
/// When the rule set can't be read.
pub fn lacks(job: &Job<'_>) -> Result<Lacks, WorkError> {
    let asking = ask::Asking::of(job)?;
    let mut items = job_items::items(job, &asking);
    for run in &job.runs {
        items.extend(match run_items::items(job, run, &asking) {
            Ok(items) => items,
            // A slip in one run hides the list of no other.
            Err(why) => vec![run_items::wrong(job, run, &why)],
        });
    }
    // A stable sort keeps the runs in order within each section.
    items.sort_by_key(|item| item.section);
    let count = |state| {
        let found = items.iter().filter(|i| i.state == state).count();
        u32::try_from(found).unwrap_or(u32::MAX)
    };
    Ok(Lacks {
        lacking: count(EvidenceState::Lacking),
        waived: count(EvidenceState::Waived),
        there: count(EvidenceState::There),
        items,
    })
}

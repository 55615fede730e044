//! The one next useful act of a job.
//!
//! It follows the act, not the wire: the site told, all measured, then ordered, then cut, pressed,
//! threaded, tensioned in passes. Invariant: it only offers; skipping is the caller's list of keys.

mod acts;
mod asking;
mod checking;
mod making;

use std::cell::RefCell;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::values::Stage;
use crate::subject::Subject;

/// What is to be done next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum NextWhat {
    /// Choose the rule set in force.
    ChooseRuleSet,
    /// Add the first run.
    AddRun,
    /// Finish a run's layout.
    FinishLayout,
    /// Tell a fact that the survey asks for.
    TellFact,
    /// Settle a dispute.
    Settle,
    /// Measure inside to inside of a wire.
    MeasureWire,
    /// Look at rules and margins, and decide the tensions.
    BeforeOrdering,
    /// Release wires for cutting.
    IssueCuts,
    /// Cut a wire.
    CutWire,
    /// Press and pull a sample.
    SampleCrimp,
    /// Mark on the strand how far it goes into its ends.
    MarkInsertion,
    /// Press the first end of wires.
    PressFirstEnd,
    /// Thread wires through all posts.
    Thread,
    /// Press the second end of wires.
    PressSecondEnd,
    /// Screw the ends in.
    Fit,
    /// Read the thread that the fitted trial wire left.
    ReadTrial,
    /// Take out and remake a wire with a rejected end.
    Remake,
    /// A pass on the way to the set tension.
    TensionPass,
    /// Final reading.
    TensionFinal,
    /// Let out a wire that is over the upper tension.
    LetOut,
    /// Raise a wire that is below.
    Raise,
    /// Turn in an end that holds by too little thread.
    Engage,
    /// Offer the probe to a bay.
    CheckGaps,
    /// Put a defect right.
    CloseDefect,
    /// Take a picture or bring a document that the handover asks for.
    Evidence,
    /// Read again, one to two weeks later.
    Recheck,
    /// Hand over.
    HandOver,
}

/// One next useful act.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NextAct {
    /// What.
    pub what: NextWhat,
    /// Name of this act for skipping it.
    pub key: String,
    /// The run.
    pub run: Option<ItemId>,
    /// What it is about.
    pub subject: Subject,
    /// The big button's words.
    pub sentence: String,
    /// Its headline figure with unit, where there is one.
    pub figure: Option<String>,
    /// The field of the subject that is to be told, where it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub field: Option<String>,
    /// The round in which a wire is to be read, where it is one of several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub stage: Option<Stage>,
    /// The bay in which a wire is to be read, where it is one of several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub bay: Option<Subject>,
    /// Wires still to do in this act.
    pub wires: Vec<u32>,
    /// How many of this act are still to do, this one included.
    pub left: u32,
}

/// In the list of what is skipped: all that the survey asks for, what it comes to ask later too.
pub const ALL_ASKED: &str = "tellFact";

/// The next useful act that is not skipped; none where all is done or skipped.
///
/// # Errors
/// When the rule set can't be read.
pub fn next_act(job: &Job<'_>, skipped: &[String]) -> Result<Option<NextAct>, WorkError> {
    let asks = !skipped.iter().any(|key| key == ALL_ASKED);
    acts::first(job, |act| {
        !skipped.contains(&act.key) && (asks || act.what != NextWhat::TellFact)
    })
}

/// All that is to be done, in the order in which [`next_act`] comes to it; how many are left of what the survey asks
/// for is not counted.
///
/// # Errors
/// When the rule set can't be read.
pub fn all_acts(job: &Job<'_>) -> Result<Vec<NextAct>, WorkError> {
    let found = RefCell::new(Vec::new());
    acts::first(job, |act| {
        let mut found = found.borrow_mut();
        if !found.iter().any(|one: &NextAct| one.key == act.key) {
            found.push(act.clone());
        }
        false
    })?;
    Ok(found.into_inner())
}

//! What the fitted trial wires of a run teach of its deduction, and what that makes of the cuts
//! that are left.
//!
//! Invariant: the computed cut stays beside the learned one; which of the two is cut by is a
//! person's word, kept with its release. A reading that can hardly be right is questioned, never
//! dropped.

mod cut;
mod fitted;
mod seen;
mod taken;
mod tell;

use mechanics::Millimetres;
use mechanics::cutting::CutInput;
use mechanics::trial::{Expected, Learned, expected, learn};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::convert::run_of;
use super::cuts::{CutLine, Shared, worked};
use super::lengths::Inside;
use crate::ids::{Hash, ItemId};
use crate::job::{Job, Run};

/// A cut by the learned deduction.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LearnedCut {
    /// What to cut, on the tape's millimetre.
    pub aim_mm: f64,
    /// Shortest cut that still works.
    pub shortest_mm: f64,
    /// Longest cut that still works.
    pub longest_mm: f64,
    /// Inside to inside less the middle of the window.
    pub deduction_mm: f64,
    /// By how much the middle of the window moved; below zero: shorter.
    pub moved_mm: f64,
    /// By how much the finished engagement is learned to be off; below zero: the wire takes up more.
    pub offset_mm: f64,
    /// Standard deviation of the finished engagement.
    pub spread_mm: f64,
    /// Chance that the cut ends inside its window; none while a length that it rests on is asked about, and where
    /// nobody knows how far its end posts move.
    pub chance: Option<f64>,
    /// The same in words, never above ">99 %".
    pub chance_words: String,
    /// Chance that the cut as computed ends inside this window; left out of the computed cut itself.
    #[ts(optional)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub computed_chance: Option<f64>,
}

/// What the cut sheet says of the trial wires that were read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Taught {
    /// Wires that were read, by name: "A6"; "A6 piece 1" of a piece that was taken out.
    pub from: String,
    /// What they teach, in one sentence.
    pub sentence: String,
    /// Readings that can hardly be right, and wires whose tension was not read before their thread,
    /// each with what to do.
    pub questions: Vec<String>,
    /// The readings' figures, as a release keeps them.
    pub told: String,
    /// Claims that this rests on.
    pub basis: Vec<Hash>,
}

/// A fitted wire as it was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TrialReading {
    /// Number of the wire.
    pub wire: u32,
    /// "A6", or "A6 piece 1" of a piece that was taken out.
    pub name: String,
    /// Whether that piece is no longer in place.
    pub taken_out: bool,
    /// Inside to inside.
    pub inside_mm: f64,
    /// What was cut.
    pub cut_mm: f64,
    /// Thread left showing at both ends together, as read or as "too long by" comes to.
    pub showing_mm: f64,
    /// Inward movement of both posts once all wires are tight: y.
    pub inward_mm: f64,
    /// What both ends still turn in until then: movement of the posts and stretch.
    pub still_to_come_mm: f64,
    /// What the wire takes up in all: z.
    pub takes_up_mm: f64,
    /// The same as fittings and strand let expect.
    pub expected_mm: f64,
    /// How much the reading counts; 1 for a plain one.
    pub weight: f64,
    /// How it was read, in words.
    pub read_as: String,
    /// The readings.
    pub entries: Vec<Hash>,
}

/// A deduction as a line over the length: offset and growth per metre, with spreads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct DeductionLine {
    /// At no length.
    pub offset_mm: f64,
    /// One standard deviation of it.
    pub offset_spread_mm: f64,
    /// Growth with each metre.
    pub per_metre_mm: f64,
    /// One standard deviation of it.
    pub per_metre_spread_mm: f64,
}

/// A cut that is left, before and after learning.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutLeft {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// Whether it is released already.
    pub issued: bool,
    /// By the computed deduction; its spread counts what the fittings' figures may be off.
    pub computed: LearnedCut,
    /// By the learned one; none before a trial wire was read.
    pub learned: Option<LearnedCut>,
}

/// How far one more trial wire has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum TrialStage {
    /// It is not released yet.
    Release,
    /// It is released or cut, and not fitted.
    Make,
    /// It is fitted, and was not read.
    Read,
}

/// Whether one more trial wire is worth its cost.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct AnotherTrial {
    /// The wire: one that was released or cut meanwhile and not read, else the first that is left.
    pub wire: u32,
    /// "A7".
    pub name: String,
    /// How far it has come.
    pub stage: TrialStage,
    /// Whether it is advised.
    pub worth: bool,
    /// Whether, and what is to be done, in one or two sentences.
    pub sentence: String,
    /// What it rests on: the spread now and then, and the narrowest window, in one sentence.
    pub why: String,
    /// Wires expected to miss their window when cut now.
    pub misses_now: f64,
    /// The same after one more trial wire.
    pub misses_then: f64,
    /// Widest spread now.
    pub spread_now_mm: f64,
    /// Widest spread then.
    pub spread_then_mm: f64,
    /// Narrowest half window.
    pub narrowest_half_mm: f64,
}

/// What the trial wires of a run teach.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Learning {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// The wire that is fitted first.
    pub trial_wire: u32,
    /// What is still to be done before anything is learned; none where something is.
    pub waiting: Option<String>,
    /// Fitted wires as they were read.
    pub readings: Vec<TrialReading>,
    /// What they teach, on one line; none before one was read.
    pub taught: Option<Taught>,
    /// The deduction's line as fittings and strand compute it, without the posts' movement.
    pub before: Option<DeductionLine>,
    /// The same as learned.
    pub after: Option<DeductionLine>,
    /// Spread of one fitted wire about that line.
    pub fitted_spread_mm: f64,
    /// Cuts that are left, from the bottom.
    pub left: Vec<CutLeft>,
    /// Whether one more trial wire is worth its cost; none before one was read.
    pub another: Option<AnotherTrial>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

/// What is known of a run's deduction, with and without its trial wires.
pub(super) struct Known {
    pub(super) prior: Expected,
    pub(super) learned: Learned,
    pub(super) readings: Vec<fitted::Read>,
    /// Why a wire that was read teaches nothing till people agree, or till it is read again.
    pub(super) undecided: Option<String>,
    /// What pieces that were taken out and teach nothing showed against the computed cuts.
    pub(super) against: Vec<String>,
    /// What each wire's window is worked out from, from the bottom.
    pub(super) inputs: Vec<Option<CutInput>>,
}

/// Learns from the fitted wires of a run, and writes spread and learned cut to its lines.
pub(super) fn teach(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    lengths: &[Inside],
    lines: &mut [CutLine],
    notes: &mut Vec<String>,
) -> Result<Option<Known>, WorkError> {
    let inputs = cut::inputs(shared, lengths, lines);
    // The trial wire's own line where it is known; the others' differ by hundredths of a millimetre.
    let trial = run.wires.iter().position(|w| w.number == run.trial_wire);
    let of_trial = trial.and_then(|place| inputs.get(place));
    let Some(prior) = of_trial
        .into_iter()
        .chain(&inputs)
        .flatten()
        .find_map(|input| expected(input).ok())
    else {
        return Ok(None);
    };
    let read = fitted::readings(job, run, shared, &inputs, lines, &prior, notes)?;
    let fitted: Vec<_> = read.found.iter().map(|read| read.fitted).collect();
    let known = Known {
        learned: learn(&prior, &fitted)?,
        prior,
        readings: read.found,
        undecided: read.undecided,
        against: read.against,
        inputs,
    };
    cut::write(&known, run, lines)?;
    Ok(Some(known))
}

impl Known {
    /// The readings that the mechanics name.
    fn reads(&self, keys: &[u32]) -> impl Iterator<Item = &fitted::Read> {
        let known = |read: &&fitted::Read| keys.contains(&read.fitted.wire);
        self.readings.iter().filter(known)
    }

    /// "A6" for each of them.
    fn names_of(&self, keys: &[u32]) -> Vec<String> {
        self.reads(keys).map(|read| read.name.clone()).collect()
    }

    /// Thread in at both ends of each wire of the run once all are at their tension, as the piece in place was
    /// read at a tension that a gauge told; none of one that was not, or whose reading is questioned.
    pub(super) fn engaged_as_read(&self, run: &Run) -> Vec<Option<Millimetres>> {
        let wires = run.wires.iter();
        let questioned = self.learned.questioned();
        let trusted =
            |read: &&fitted::Read| !read.assumed && !questioned.contains(&read.fitted.wire);
        let of = |number: u32| {
            let mut reads = self.readings.iter().filter(trusted);
            let read = reads.find(|read| read.wire == number && !read.taken_out)?;
            let fitted = &read.fitted;
            Some(fitted.usable_thread - fitted.showing + fitted.still_to_come)
        };
        wires.map(|wire| of(wire.number)).collect()
    }

    /// Whether what is learned rests on a thread whose tension nobody read.
    pub(super) fn is_assumed(&self) -> bool {
        self.readings.iter().any(|read| read.assumed)
    }

    /// What the sheet says of it; none before a wire was read.
    pub(super) fn taught(&self, run: &Run, lines: &[CutLine]) -> Option<Taught> {
        (!self.readings.is_empty()).then(|| tell::taught(self, run, lines))
    }
}

/// Tells what the fitted trial wires of a run teach.
///
/// # Errors
/// When the run is unknown or a figure of its posts or thread can't be.
pub fn learned(job: &Job<'_>, run: ItemId) -> Result<Learning, WorkError> {
    let run = run_of(job, run)?;
    let (sheet, known) = worked(job, run)?;
    tell::learning(job, run, sheet, known)
}

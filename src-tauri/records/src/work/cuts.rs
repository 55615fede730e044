//! The cut sheet of a run: per wire what to cut, between which limits, and why not where not.
//!
//! Invariant: a wire is refused when its length, or one that it rests on, can't be cut from; the
//! common-practice deduction stands beside the window and is never the aim. One file past 400 lines, since a
//! sheet, its lines and what they are looked over for are read together.

mod doubted;
mod ends;
mod line;
mod moved;
mod release;
mod shared;

use mechanics::Millimetres;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::convert::{mm, mn, run_of};
use super::differing::{Wires, differing, note_differing};
use super::figures::Origin;
use super::learning::{self, LearnedCut, Taught};
use super::lengths::inside;
use super::standing::Stands;
use super::to_cut::{ToCut, to_cut};
use super::{WorkError, rules, slips};
use crate::ids::{Hash, ItemId, PersonId};
use crate::job::{Job, Run, Wire};
use crate::model::context::Number;
use crate::model::fields;
use crate::model::values::{DeductionBy, Length, Whole};
use crate::subject::Subject;

pub(super) use doubted::NONE_TOLD;
pub(super) use line::{TAPE, input, outside};
pub(super) use release::{CHANCE, SLIM};
pub use release::{Release, learned_against, release, slim_chance};
pub(super) use shared::{Shared, ends_differ, no_tensioning};

/// Why a wire can't be cut, as a caller may act on it.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum RefusalCode {
    /// Nobody measured it and it can't be interpolated.
    NotMeasured,
    /// Read for a quote only.
    QuoteOnly,
    /// Read before posts and rail were final.
    TooEarly,
    /// People disagree.
    Disputed,
    /// A newer version changed it.
    Newer,
    /// A reading that an interpolated wire rests on is refused.
    RestsOnRefused,
    /// Strand, fitting set, ends or heights are missing.
    PartsMissing,
    /// The run is raked and its slope is not told.
    NoSlope,
    /// No set tension is decided.
    NoTension,
    /// People disagree on the run's tensions.
    TensionsDisputed,
    /// No cut length works.
    NoWindow,
    /// Ends or posts of a kind that no cut is computed for yet: its wires are cut on site.
    OnSite,
    /// The run ends at what never holds a wire: nothing is cut for it.
    NoAnchor,
    /// A figure that can't be.
    BadFigure,
}

/// Why a wire can't be cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Refusal {
    /// Code.
    pub code: RefusalCode,
    /// One sentence that says what to do.
    pub sentence: String,
}

/// Where the common-practice deduction ends, beside the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FixedRule {
    /// The fixed deduction.
    pub deduction_mm: f64,
    /// The cut that it gives.
    pub cut_mm: f64,
    /// Whether that cut lies inside the window.
    pub inside: bool,
    /// By how much it is out; in hand to the nearer limit where it is inside.
    pub by_mm: f64,
    /// In words.
    pub sentence: String,
}

/// A release for cutting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Issued {
    /// Length to cut.
    pub cut_mm: f64,
    /// Shortest, as told then.
    pub shortest_mm: f64,
    /// Longest, as told then.
    pub longest_mm: f64,
    /// By which deduction, where a trial wire had taught one by then.
    pub deduction: Option<DeductionBy>,
    /// The entry.
    pub entry: Hash,
    /// Who.
    pub by: String,
    /// The person.
    pub person: PersonId,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Whether all that it was decided on still stands, and the sheet would release the same now.
    pub basis_stands: bool,
    /// Why it is looked at before it is cut, as a clause: "the sheet gives 7251 mm for it now"; left out
    /// where it stands.
    #[ts(optional)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moved: Option<String>,
}

/// One wire of a cut sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutLine {
    /// Number from the bottom.
    pub wire: u32,
    /// The wire.
    pub subject: Subject,
    /// "A6".
    pub name: String,
    /// Whether it is the one that is fitted first.
    pub trial: bool,
    /// Piece of strand that this is for.
    pub piece: u32,
    /// Inside to inside, along the wire.
    pub inside_mm: Option<f64>,
    /// Measured or interpolated.
    pub inside_origin: Option<Origin>,
    /// Wires whose readings an interpolated one rests on.
    pub interpolated_from: Vec<u32>,
    /// Standard deviation of inside to inside.
    pub inside_spread_mm: Option<f64>,
    /// Inward movement of both posts.
    pub inward_mm: Option<f64>,
    /// Origin of that movement.
    pub inward_origin: Option<Origin>,
    /// Shortest cut that still works.
    pub shortest_mm: Option<f64>,
    /// What sets the shortest, in words.
    pub shortest_by: Option<String>,
    /// Longest cut that still works.
    pub longest_mm: Option<f64>,
    /// Between the two.
    pub width_mm: Option<f64>,
    /// What to cut, on the tape's millimetre.
    pub aim_mm: Option<f64>,
    /// Inside to inside less the aim.
    pub deduction_mm: Option<f64>,
    /// Stretch that the aim gives back.
    pub stretch_mm: Option<f64>,
    /// Chance that the cut ends inside its window before any wire was fitted, with the whole spread
    /// below, the careful reading of the stiffness.
    pub chance: Option<f64>,
    /// The same in words, never above ">99 %".
    pub chance_words: Option<String>,
    /// One standard deviation of the finished engagement before any wire was fitted: what the
    /// fittings' own figures may be off counts in it.
    pub spread_mm: Option<f64>,
    /// The same wire by the deduction that the trial wires taught; none before one was read.
    pub learned: Option<LearnedCut>,
    /// The fixed deduction beside it.
    pub fixed: Option<FixedRule>,
    /// Why it can't be cut.
    pub refused: Option<Refusal>,
    /// Claims that this line rests on.
    pub basis: Vec<Hash>,
    /// The figures with units and origins, as a decision keeps them.
    pub numbers: Vec<Number>,
    /// Released already.
    pub issued: Option<Issued>,
    /// Cut already, at this length.
    pub cut_done_mm: Option<f64>,
    /// What was cut or released lies outside the window as its length, the set tension, the figures and a
    /// trial wire have it now: one sentence.
    pub outside: Option<String>,
}

/// A cut on site that is further from inside to inside than terminals and turns take: one question.
#[must_use]
pub fn odd_site_cut(line: &CutLine, cut: Length) -> Option<String> {
    let cut = mm(cut);
    let inside = line.inside_mm.map(Millimetres)?;
    let apart = (cut - inside).abs();
    (apart > SITE_CUT_APART).then(|| format!("{cut} is {apart} off the {inside} inside to inside."))
}

/// Further from inside to inside than terminals and turns of any kind take (common practice, no source).
const SITE_CUT_APART: Millimetres = Millimetres(400.0);

/// Sums of a cut sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutTotals {
    /// Wires of the run.
    pub wires: u32,
    /// Wires that can be cut.
    pub cuttable: u32,
    /// Wires that are refused.
    pub refused: u32,
    /// Wires released.
    pub issued: u32,
    /// Wires cut.
    pub cut: u32,
    /// Sum of the aims of the wires that can be cut.
    pub aims_mm: f64,
}

/// The cut sheet of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutSheet {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// The wire that is fitted first.
    pub trial_wire: u32,
    /// Whether that wire is cut.
    pub trial_cut: bool,
    /// What the fitted wires taught; none before one was read.
    pub taught: Option<Taught>,
    /// Why a wire that was read teaches nothing till people agree, or till it is read again, with what to do; stands
    /// among the notes too.
    pub undecided: Option<String>,
    /// What pieces that were taken out and teach nothing showed against the computed cuts: asked before a wire is
    /// released. Stands among the notes too.
    pub showed: Vec<String>,
    /// Set tension that the sheet is for.
    pub tension_n: Option<f64>,
    /// Bow of the posts, where three readings give it.
    pub bow_mm: Option<f64>,
    /// Trial wire first, then from the bottom.
    pub lines: Vec<CutLine>,
    /// Sums.
    pub totals: CutTotals,
    /// Hash of the rule set in force, as a decision keeps it.
    pub rule_set: Option<Hash>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
    /// Inputs that all wires share, with origins.
    pub inputs: Vec<Number>,
}

/// Works out the cut sheet of a run.
///
/// # Errors
/// When the run is unknown or a figure of its posts or thread can't be.
pub fn cut_sheet(job: &Job<'_>, run: ItemId) -> Result<CutSheet, WorkError> {
    let of_run = run_of(job, run)?;
    let (mut sheet, against) = looked_over(job, of_run, &Stands::of(job))?;
    let untold = doubted::untell(&mut sheet, &against);
    // What is asked as wires are released stands beside them before.
    let asked = against.questions.into_iter().map(|asked| asked.sentence);
    let told: Vec<String> = against
        .refused
        .into_iter()
        .chain(asked)
        .chain(sheet.showed.iter().cloned())
        .chain(sheet.undecided.iter().cloned())
        .chain(untold)
        .collect();
    // What is both asked and noted is told once.
    sheet.notes.retain(|note| !told.contains(note));
    sheet.notes.splice(0..0, told);
    Ok(sheet)
}

/// Why a wire that is released and not cut yet is looked at before it is cut, as a clause: the sheet refuses
/// it now, gives another length, or a window that it lies outside of. None where it stands.
///
/// # Errors
/// When a figure of the run's posts or thread can't be.
pub fn release_moved(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    stands: &Stands,
) -> Result<Option<String>, WorkError> {
    let moved = releases_moved(job, run, stands)?;
    let here = |(number, _): &(u32, String)| *number == wire.number;
    Ok(moved.into_iter().find(here).map(|(_, why)| why))
}

/// The same of every wire of a run that is released and not cut yet, with its number.
///
/// # Errors
/// When a figure of the run's posts or thread can't be.
pub(super) fn releases_moved(
    job: &Job<'_>,
    run: &Run,
    stands: &Stands,
) -> Result<Vec<(u32, String)>, WorkError> {
    let (sheet, _) = looked_over(job, run, stands)?;
    let open = |line: &CutLine| line.cut_done_mm.is_none();
    let moved = |line: CutLine| Some((line.wire, line.issued?.moved?));
    Ok(sheet
        .lines
        .into_iter()
        .filter(open)
        .filter_map(moved)
        .collect())
}

/// The cut sheet with the releases marked that are to be looked at, and what stands against releasing.
fn looked_over(job: &Job<'_>, run: &Run, stands: &Stands) -> Result<(CutSheet, ToCut), WorkError> {
    let (mut sheet, _) = worked_with(job, run, stands)?;
    let against = to_cut(job, run.id)?;
    moved::mark_asked(&mut sheet, &run.wires, &against);
    Ok((sheet, against))
}

/// The cut sheet of a run, and what is known of its deduction.
pub(super) fn worked(
    job: &Job<'_>,
    run: &Run,
) -> Result<(CutSheet, Option<learning::Known>), WorkError> {
    worked_with(job, run, &Stands::of(job))
}

fn worked_with(
    job: &Job<'_>,
    run: &Run,
    stands: &Stands,
) -> Result<(CutSheet, Option<learning::Known>), WorkError> {
    let mut notes: Vec<String> = rules::changed_rules(job).into_iter().collect();
    let common = shared::shared(job, run, &mut notes)?;
    if job.reader.blocks(fields::RUN_TRIAL_WIRE, &run.subject()) {
        notes.push(format!(
            "Which wire is fitted first is disputed: wire {} is taken, the middle one.",
            run.trial_wire
        ));
    }
    let told: Option<Whole> = job
        .reader
        .value(fields::RUN_TRIAL_WIRE, &run.subject().to_string());
    if let Some(told) = told.filter(|told| *told != Whole::from(run.trial_wire)) {
        notes.push(format!(
            "Wire {told} is told as the one that is fitted first, and run {} has none of that number: wire {} is \
             taken, the middle one.",
            run.name, run.trial_wire
        ));
    }
    let (lengths, bow) = inside(run);
    notes.extend(slips::deduction_over_wires(job, run).map(|(_, sentence)| sentence));
    let mut lines = Vec::with_capacity(run.wires.len());
    for (wire, length) in run.wires.iter().zip(&lengths) {
        lines.push(line::line(job, run, wire, length, &common, stands)?);
    }
    let known = match &common {
        Ok(shared) => learning::teach(job, run, shared, &lengths, &mut lines, &mut notes)?,
        Err(_) => None,
    };
    let taught = known.as_ref().and_then(|known| known.taught(run, &lines));
    moved::mark(&mut lines, &run.wires, taught.is_some());
    let left = lines.iter().any(|line| line.cut_done_mm.is_none());
    let showed = known.as_ref().filter(|_| left);
    let showed = showed.map_or_else(Vec::new, |known| known.against.clone());
    notes.extend(showed.iter().cloned());
    let totals = totals(&lines);
    let refused = lines.iter().filter_map(|line| line.refused.as_ref());
    let told: Vec<String> = refused.map(|r| r.sentence.clone()).collect();
    note_differing(differing(job, Some(run), Wires::Count), told, &mut notes);
    lines.sort_by_key(|l| (!l.trial, l.wire));
    let sheet = CutSheet {
        run: run.id,
        run_name: run.name.clone(),
        trial_wire: run.trial_wire,
        trial_cut: lines.iter().any(|l| l.trial && l.cut_done_mm.is_some()),
        tension_n: run.tensions.value().map(|t| mn(t.set_mn).value()),
        bow_mm: bow.map(Millimetres::value),
        taught,
        undecided: known.as_ref().and_then(|known| known.undecided.clone()),
        showed,
        totals,
        lines,
        rule_set: rules::copied(job).map(|c| c.sha256),
        inputs: common.map_or_else(|_| Vec::new(), |s| s.inputs),
        notes,
    };
    Ok((sheet, known))
}

fn totals(lines: &[CutLine]) -> CutTotals {
    let count = |of: &dyn Fn(&CutLine) -> bool| {
        u32::try_from(lines.iter().filter(|l| of(l)).count()).unwrap_or(u32::MAX)
    };
    CutTotals {
        wires: count(&|_| true),
        cuttable: count(&|l| l.refused.is_none()),
        refused: count(&|l| l.refused.is_some()),
        issued: count(&|l| l.issued.is_some()),
        cut: count(&|l| l.cut_done_mm.is_some()),
        aims_mm: lines
            .iter()
            .filter(|l| l.refused.is_none())
            .filter_map(|l| l.aim_mm)
            .sum(),
    }
}

//! How far each wire, bay and post of a run has come.
//!
//! Invariant: a stage is reached only by what the record says of the present piece of strand;
//! a flag never hides the stage, it stands beside it. One file past 400 lines, since stages, flags and their words
//! are read together.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::checked::is_rejected;
use super::convert::run_of;
use super::cuts::releases_moved;
use super::differing::{Wires, differing, note_differing};
use super::ends_made::ends_made;
use super::figures::Origin;
use super::lengths::{Inside, inside};
use super::look::looked;
use super::odd_ends::thin_at;
use super::offered::Offered;
use super::readings::{ReadingState, TensionLine, tensions};
use super::standing::Stands;
use super::{RefusalCode, WorkError};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire};
use crate::model::values::Act;
use crate::subject::Subject;

/// How far a wire has come.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "WireStage")]
pub enum Stage {
    /// Nothing yet.
    None,
    /// Its length stands, measured or interpolated.
    Measured,
    /// Cut.
    Cut,
    /// Read, and nobody ticked that its ends are made.
    Read,
    /// Both ends fitted.
    Fitted,
    /// Fitted, read in its final round and not below what is asked.
    Tensioned,
    /// Tensioned, and the probe, offered after that, stops in all bays.
    Checked,
}

/// What stands out about a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Flag {
    /// Nothing.
    None,
    /// People disagree on something of it.
    Disputed,
    /// A reading that stands is over what nothing may exceed.
    Over,
    /// Below what is asked.
    Below,
    /// Further down under a hung mass than the table lets it.
    Sags,
    /// A newer version changed something of it.
    Newer,
    /// A crimp of the present piece is rejected.
    Rejected,
    /// Too little thread is engaged at an end, or the lock nut finds no room.
    Thread,
    /// Last read before other wires of the run were turned: what it holds now, only another reading tells.
    ReadAgain,
}

/// Gap checks of a bay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum BayGaps {
    /// Not offered yet.
    None,
    /// The probe stops everywhere.
    AllStop,
    /// Offered, and what is on record answers nothing: to be offered again.
    Again,
    /// It passes somewhere.
    Fails,
    /// People disagree.
    Disputed,
}

/// A wire's progress.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireProgress {
    /// Number from the bottom.
    pub wire: u32,
    /// The wire.
    pub subject: Subject,
    /// How far it has come.
    pub stage: Stage,
    /// The most urgent of `flags`, which the drawing shows.
    pub flag: Flag,
    /// All that stands out, most urgent first; what makes the others doubtful goes before them.
    pub flags: Vec<Flag>,
    /// One letter or mark for the drawing.
    pub letter: String,
    /// Stage and flags in words.
    pub words: String,
    /// Piece of strand in place.
    pub piece: u32,
    /// Whether its length is interpolated.
    pub interpolated: bool,
    /// Acts ticked off on this piece.
    pub done: Vec<Act>,
    /// Whether the look before the second ends that stands was for this piece.
    pub looked: bool,
    /// Why its release is looked at on the cut sheet before it is cut, as a clause; left out where it is cut, or
    /// stands as it was released.
    #[ts(optional)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub release_moved: Option<String>,
}

/// A bay's progress.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayProgress {
    /// The bay.
    pub subject: Subject,
    /// Its name.
    pub name: String,
    /// Whether its clear distance was measured.
    pub measured: bool,
    /// Gap checks.
    pub gaps: BayGaps,
    /// Lower wires of openings where the probe passes.
    pub passes_above: Vec<u32>,
    /// Why the probe is to be offered again, in one sentence.
    pub gaps_why: Option<String>,
}

/// A post's progress.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostProgress {
    /// The post.
    pub subject: Subject,
    /// Its name.
    pub name: String,
    /// What the record does not tell of it, in words.
    pub missing: Vec<String>,
    /// Spacings that were measured as drilled.
    pub drilled: u32,
    /// Whether people disagree on where it stands.
    pub disputed: bool,
}

/// How far a run has come.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Progress {
    /// The run.
    pub run: ItemId,
    /// Wires from the bottom.
    pub wires: Vec<WireProgress>,
    /// Bays in order.
    pub bays: Vec<BayProgress>,
    /// Posts in order.
    pub posts: Vec<PostProgress>,
    /// Whether the bays' gaps all stop.
    pub gaps_stop: bool,
    /// What people differ on that this rests on, each in a sentence.
    pub notes: Vec<String>,
}

/// Reads how far a run has come.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn progress(job: &Job<'_>, run: ItemId) -> Result<Progress, WorkError> {
    let run = run_of(job, run)?;
    let readings = tensions(job, run.id)?;
    let offered = Offered::of(job, run)?;
    let bays: Vec<BayProgress> = run.bays.iter().map(|b| bay(&offered, b)).collect();
    let gaps_stop = !bays.is_empty() && bays.iter().all(|b| b.gaps == BayGaps::AllStop);
    let moved = moved(job, run);
    let wires = run
        .wires
        .iter()
        .zip(&inside(run).0)
        .zip(&readings.lines)
        .map(|((w, length), read)| WireProgress {
            release_moved: moved.get(&w.number).cloned(),
            ..wire(job, run, w, length, read, gaps_stop)
        })
        .collect();
    let mut notes = Vec::new();
    note_differing(differing(job, Some(run), Wires::Count), [], &mut notes);
    Ok(Progress {
        run: run.id,
        wires,
        posts: run.posts.iter().map(|p| post(job, p)).collect(),
        bays,
        gaps_stop,
        notes,
    })
}

/// Releases that are looked at before they are cut, by number. Where the sheet can't be worked out none stands.
fn moved(job: &Job<'_>, run: &Run) -> BTreeMap<u32, String> {
    let open: Vec<u32> = run
        .wires
        .iter()
        .filter(|wire| wire.issued.told().is_some() && !wire.is_cut())
        .map(|wire| wire.number)
        .collect();
    if open.is_empty() {
        return BTreeMap::new();
    }
    match releases_moved(job, run, &Stands::of(job)) {
        Ok(moved) => moved
            .into_iter()
            .filter(|(n, _)| open.contains(n))
            .collect(),
        Err(why) => {
            let why = format!("its cut sheet can't be worked out now: {why}");
            open.into_iter().map(|wire| (wire, why.clone())).collect()
        }
    }
}

fn wire(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: &Inside,
    read: &TensionLine,
    gaps_stop: bool,
) -> WireProgress {
    let known = length.length.as_ref();
    let interpolated = known.is_ok_and(|k| k.origin == Origin::Interpolated);
    let stage = stage(run, wire, known.is_ok(), read, gaps_stop);
    let flags = flags(job, run, wire, length, read);
    let flag = flags.first().copied().unwrap_or(Flag::None);
    WireProgress {
        wire: wire.number,
        subject: Subject::Wire(run.id, wire.number),
        letter: letter(stage, flag, interpolated).to_owned(),
        words: words(stage, &flags, interpolated),
        stage,
        flag,
        flags,
        piece: wire.piece_number,
        interpolated,
        done: Act::ALL.iter().copied().filter(|a| wire.has(*a)).collect(),
        looked: looked(job, run, wire),
        release_moved: None,
    }
}

fn stage(run: &Run, wire: &Wire, measured: bool, read: &TensionLine, gaps_stop: bool) -> Stage {
    // What was read is a wire; that its ends are pressed is for somebody to tick.
    if read.is_held() && ends_made(run, wire) {
        return if gaps_stop {
            Stage::Checked
        } else {
            Stage::Tensioned
        };
    }
    if wire.is_fitted() || (read.governing.is_some() && ends_made(run, wire)) {
        Stage::Fitted
    } else if read.governing.is_some() {
        Stage::Read
    } else if wire.is_cut() {
        Stage::Cut
    } else if measured {
        Stage::Measured
    } else {
        Stage::None
    }
}

fn flags(job: &Job<'_>, run: &Run, wire: &Wire, length: &Inside, read: &TensionLine) -> Vec<Flag> {
    let refused = length.length.as_ref().err().map(|r| r.code);
    // A pass on the way up is below the required tension by design.
    let below = read.state == ReadingState::Below && read.finished().is_some();
    [
        (
            Flag::Newer,
            refused == Some(RefusalCode::Newer) || any_fact(wire, is_newer),
        ),
        (
            Flag::Disputed,
            refused == Some(RefusalCode::Disputed) || any_fact(wire, is_disputed),
        ),
        (Flag::Rejected, is_rejected(job, wire)),
        (Flag::Thread, !thin_at(job, run, wire).is_empty()),
        (Flag::Over, read.over().is_some()),
        (Flag::Below, below),
        (Flag::Sags, !read.sags.is_empty()),
        (Flag::ReadAgain, read.is_to_read_again()),
    ]
    .into_iter()
    .filter_map(|(flag, holds)| holds.then_some(flag))
    .collect()
}

fn is_newer(standing: crate::job::Standing) -> bool {
    standing == crate::job::Standing::Newer
}

fn is_disputed(standing: crate::job::Standing) -> bool {
    standing == crate::job::Standing::Disputed
}

fn any_fact(wire: &Wire, is: fn(crate::job::Standing) -> bool) -> bool {
    fn any<T, C>(facts: &[(ItemId, Fact<T, C>)], is: fn(crate::job::Standing) -> bool) -> bool {
        facts.iter().any(|(_, f)| is(f.standing))
    }
    is(wire.issued.standing)
        || is(wire.cut.standing)
        || is(wire.piece.standing)
        || wire.done.iter().any(|(_, f)| is(f.standing))
        || wire.tensions.iter().any(|(_, f)| is(f.standing))
        || wire.deflections.iter().any(|(_, f)| is(f.standing))
        || any(&wire.crimps, is)
        || any(&wire.thread_left, is)
        || any(&wire.turns, is)
        || any(&wire.mark_moved, is)
        || any(&wire.mark_hidden, is)
        || any(&wire.nut_tight, is)
        || any(&wire.end_out, is)
        || wire.out_by.iter().any(|f| is(f.standing))
}

const fn letter(stage: Stage, flag: Flag, interpolated: bool) -> &'static str {
    match (flag, stage) {
        (Flag::Disputed, _) => "≠",
        (Flag::Newer, _) => "?",
        (Flag::Rejected, _) => "X",
        (Flag::Thread, _) => "E",
        (Flag::Over, _) => "+",
        (Flag::Below | Flag::Sags, _) => "!",
        (Flag::ReadAgain, _) => "↻",
        (Flag::None, Stage::None) => "",
        (Flag::None, Stage::Measured) if interpolated => "I",
        (Flag::None, Stage::Measured) => "M",
        (Flag::None, Stage::Cut) => "C",
        (Flag::None, Stage::Read) => "R",
        (Flag::None, Stage::Fitted) => "F",
        (Flag::None, Stage::Tensioned) => "T",
        (Flag::None, Stage::Checked) => "✓",
    }
}

fn words(stage: Stage, flags: &[Flag], interpolated: bool) -> String {
    let stage = match stage {
        Stage::None => "not measured",
        Stage::Measured if interpolated => "interpolated",
        Stage::Measured => "measured",
        Stage::Cut => "cut",
        Stage::Fitted => "fitted",
        Stage::Tensioned => "tensioned",
        Stage::Read => "read, ends not ticked",
        Stage::Checked => "checked",
    };
    let told = flags.iter().map(|flag| match flag {
        Flag::None => "",
        Flag::Disputed => ", disputed",
        Flag::Over => ", over the upper tension, or too near it",
        Flag::Below => ", below the required tension",
        Flag::Sags => ", further down under the hung mass than the table lets it",
        Flag::Newer => ", changed by a newer version",
        Flag::Rejected => ", an end rejected",
        Flag::Thread => ", too little thread at an end",
        Flag::ReadAgain => ", read before others were turned",
    });
    std::iter::once(stage).chain(told).collect()
}

fn bay(offered: &Offered<'_>, bay: &crate::job::Bay) -> BayProgress {
    let found = offered.bay(&bay.subject);
    BayProgress {
        subject: bay.subject,
        name: bay.name.clone(),
        measured: bay.measured,
        gaps: found.gaps,
        passes_above: found.passes,
        gaps_why: found.why,
    }
}

fn post(job: &Job<'_>, post: &crate::job::PostInRun) -> PostProgress {
    let facts = job.post(post.id);
    let mut missing = Vec::new();
    let mut lacks = |there: bool, what: &str| {
        if !there {
            missing.push(what.to_owned());
        }
    };
    lacks(facts.is_some_and(|p| p.section.is_some()), "section");
    lacks(facts.is_some_and(|p| p.material.is_some()), "material");
    lacks(facts.is_some_and(|p| p.base.is_some()), "base fixing");
    lacks(facts.is_some_and(|p| p.condition.is_some()), "condition");
    lacks(facts.is_some_and(|p| p.rail_joint.is_some()), "rail joint");
    lacks(post.floor.is_some(), "floor level");
    PostProgress {
        subject: Subject::post(post.id),
        name: post.name.clone(),
        missing,
        drilled: u32::try_from(post.drilled.len()).unwrap_or(u32::MAX),
        disputed: post.position.blocks(),
    }
}

//! How a run is brought to its set tension: passes with turns and flats, the order of one pass
//! where one is possible, and what is left to turn after what was read or skipped.
//!
//! Invariant: no wire is asked for more than the set tension in passes, and one pass is offered
//! only where no wire has to show more on the way than leaves it below the upper tension, whatever
//! the gauge errs. Turns are a guide; the gauge tells.
//! One file past 400 lines, since the answer's figures stand beside what they are made of.

mod hung;
mod now;
mod one;
mod out;
mod plan;
mod untold;

use std::ops::Deref;

use mechanics::cutting::CutInput;
use mechanics::tensioning::{Frame, default_steps, turns};
use mechanics::thread::Thread;
use mechanics::{Millimetres, Newtons, tension};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::convert::{ends_of, mn, run_of, turns_there};
use super::cuts::{CutSheet, RefusalCode, ends_differ, no_tensioning, worked};
use super::frame::{frame, frame_before, free_lengths};
use super::limits::limits;
use super::readings::Bounds;
use super::tension::{gauge, upper_of};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::values::{End, Hand, Tensions};

pub use now::TurnedSince;
pub use one::{OnePassPlan, OneStep, ToShow, UsualOrder};
pub(super) use plan::alone;
pub use plan::{PassPlan, PassStep};
use untold::{cannot_be, nothing};

/// Most wires that are planned for; beyond, the passes stand without turns.
const MOST_PLANNED: usize = 40;

/// The one end of a run that is turned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OneEnd {
    /// Its post's name.
    pub post: String,
    /// Whether that is the run's last post.
    pub last: bool,
}

/// A turn-in of a wire at the ends that are turned, to the nearest flat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TurnIn {
    /// Whether the wire is let out.
    pub back: bool,
    /// Whole turns at each end that is turned.
    pub turns: u32,
    /// Sixths of a turn.
    pub flats: u32,
    /// What they take up together.
    pub mm: f64,
}

/// What turning is worth on a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TurnWorth {
    /// Newtons that one turn adds to a wire, the others left as they are: mean of the run.
    pub turn_n: f64,
    /// The same for one flat.
    pub flat_n: f64,
    /// In words.
    pub sentence: String,
}

/// Where a wire's present tension is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum NowFrom {
    /// Read.
    Read,
    /// Read, and changed since as others were tightened or taken out: computed.
    Computed,
    /// Read under a hung mass alone: what that tells.
    Mass,
    /// Never read: taken as slack.
    Slack,
}

/// What brings a wire to the tension of a pass from where it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ToPass {
    /// Number of the pass.
    pub pass: u32,
    /// The pass's tension.
    pub tension_n: f64,
    /// The least that the gauge may show when the wire is there: by as much less as it can't tell,
    /// and on the last pass no less than is clear of what is required, where there is room for that.
    pub from_n: f64,
    /// The most: by as much more, and not so much that the wire may be above the upper tension.
    pub to_n: f64,
    /// What to turn, the other wires left as they are; out where it is over the upper tension, none where
    /// it is there already.
    pub turn: Option<TurnIn>,
}

/// Thread of a wire from catching by hand to the set tension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ThreadNeed {
    /// What both ends turn in from hand tight to the set tension.
    pub needs_mm: f64,
    /// Thread engaged at both ends when the wire is hand tight; 0 where they do not reach the posts.
    pub starts_mm: f64,
    /// Thread left showing at both ends at the set tension; 0 where more would have to be in than there
    /// is.
    pub left_mm: f64,
    /// What does not fit, in one sentence.
    pub short: Option<String>,
}

/// A wire as it is now.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireNow {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// What it shows now: as it was read, else computed and rounded to what the gauge can tell.
    pub now_n: f64,
    /// Where that is from.
    pub from: NowFrom,
    /// What brings it alone to each pass.
    pub to: Vec<ToPass>,
    /// What it was turned since it was last read; none where nothing was.
    pub turned: Option<TurnedSince>,
    /// Its thread; none where its cut is not known.
    pub thread: Option<ThreadNeed>,
}

/// A wire that needs turning, all looked at together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct EvenStep {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// What to turn.
    pub turn: TurnIn,
    /// What it shows when it has just been turned, rounded as in one pass.
    pub shows_n: f64,
}

/// How a run is tensioned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Tensioning {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Set tension decided.
    pub set_n: Option<f64>,
    /// Upper tension decided.
    pub upper_n: Option<f64>,
    /// What is missing before turns can be told; none where nothing is.
    pub missing: Option<String>,
    /// The one end that is turned; none where both are.
    pub turned_at: Option<OneEnd>,
    /// What turning is worth.
    pub worth: Option<TurnWorth>,
    /// Even passes from slack wires.
    pub passes: Vec<PassPlan>,
    /// Wires that the passes leave below the set tension by more than the gauge can tell.
    pub passes_short: Vec<u32>,
    /// The same in words, with what to do; none where the passes arrive.
    pub passes_note: Option<String>,
    /// One pass from where the wires stand, or why not; none where nothing is left of it.
    pub one_pass: Option<OnePassPlan>,
    /// Wires as they are now, from the bottom.
    pub wires: Vec<WireNow>,
    /// What is left to turn until all stand at the set tension, in the order in which it is turned;
    /// empty where a wire would have to show more than the upper tension on the way. While wires stand over
    /// it: each of those, let out to the set tension by itself.
    pub even: Vec<EvenStep>,
    /// Why it is not told, that wires are let out first, or that nothing is left; none where it is told.
    pub even_note: Option<String>,
    /// Wires over the upper tension: they are let out and read before anything is turned at another.
    pub over: Vec<u32>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

/// Said where nothing tells by how much the gauge may err.
pub(super) const NO_ERROR: &str = "No tension gauge with its error is on record, so what a wire \
    carries while it shows a figure is not known.";

/// What figures do without it.
pub(super) const ERROR_NONE: &str = "These figures count none: enter the gauge's error.";

/// A run whose tension is decided, with its wires between their posts.
pub(super) struct Decided<'a> {
    pub(super) run: &'a Run,
    pub(super) frame: Frame,
    /// The gauge's error as a share; 0 where none is on record.
    pub(super) error: f64,
    /// Whether one is.
    pub(super) error_told: bool,
    pub(super) set: Newtons,
    /// What nothing may exceed: the lesser of what was decided and what is known.
    pub(super) upper: Newtons,
}

/// The same with all that its plan is made of: cuts and threads too.
pub(super) struct Laid<'a> {
    decided: Decided<'a>,
    /// Threads of the ends that are turned.
    pub(super) threads: Vec<Thread>,
    pub(super) turned_at: Option<OneEnd>,
    /// What each pass brings all to: as decided, else as is usual.
    pub(super) steps: Vec<Newtons>,
    /// What is not told of the strength of strand and terminals; empty where all is.
    pub(super) strength: String,
    pub(super) lengths: Vec<Millimetres>,
    pub(super) inputs: Vec<Option<CutInput>>,
    /// Thread in at both ends of each wire at its tension, as its own reading tells; none where it was not read.
    pub(super) as_read: Vec<Option<Millimetres>>,
    /// Whether what the trial wires taught rests on a tension that nobody read.
    pub(super) taught_by_guess: bool,
    pub(super) sheet: CutSheet,
}

impl<'a> Deref for Laid<'a> {
    type Target = Decided<'a>;

    fn deref(&self) -> &Self::Target {
        &self.decided
    }
}

/// The tensions of a run that is small enough to be planned for, or what is missing.
fn planned(run: &Run) -> Result<&Tensions, String> {
    let Some(decided) = run.tensions.value() else {
        return Err(format!("Run {}: decide its set tension first.", run.name));
    };
    if run.wires.len() > MOST_PLANNED {
        return Err(format!(
            "Run {} has more than {MOST_PLANNED} wires: bring each to the pass's tension by gauge.",
            run.name
        ));
    }
    Ok(decided)
}

/// A run from its lengths alone, where its cuts are not worked out: enough for what it loses, and for
/// no turns. What is missing where that is not known either.
pub(super) fn decided<'a>(
    job: &Job<'_>,
    run: &'a Run,
) -> Result<Result<Decided<'a>, String>, WorkError> {
    match planned(run) {
        Ok(tensions) => Ok(match frame_before(job, run)? {
            Ok(frame) => Ok(with_frame(job, run, tensions, frame)?),
            Err(missing) => Err(missing),
        }),
        Err(missing) => Ok(Err(missing)),
    }
}

fn with_frame<'a>(
    job: &Job<'_>,
    run: &'a Run,
    tensions: &Tensions,
    frame: Frame,
) -> Result<Decided<'a>, WorkError> {
    let error = gauge(job).and_then(|gauge| gauge.error);
    Ok(Decided {
        run,
        frame,
        error: error.unwrap_or(0.0),
        error_told: error.is_some(),
        set: mn(tensions.set_mn),
        upper: upper_of(job, run)?.unwrap_or_else(|| mn(tensions.upper_mn)),
    })
}

/// Why a run's cuts are not worked out, whatever was measured; none where they only lack lengths.
fn not_cut(sheet: &CutSheet) -> Option<String> {
    let of_run = |code| {
        matches!(
            code,
            RefusalCode::OnSite
                | RefusalCode::Disputed
                | RefusalCode::Newer
                | RefusalCode::NoAnchor
                | RefusalCode::PartsMissing
                | RefusalCode::NoSlope
                | RefusalCode::NoWindow
                | RefusalCode::BadFigure
        )
    };
    let mut refused = sheet.lines.iter().filter_map(|line| line.refused.as_ref());
    let why = refused.find(|refused| of_run(refused.code))?;
    Some(format!("{} So no turns are told.", why.sentence))
}

/// Lays a run out for tensioning, or says what is missing.
pub(super) fn laid<'a>(job: &Job<'_>, run: &'a Run) -> Result<Result<Laid<'a>, String>, WorkError> {
    let decided = match planned(run) {
        Ok(decided) => decided,
        Err(missing) => return Ok(Err(missing)),
    };
    let (sheet, known) = worked(job, run)?;
    let taught_by_guess = known.as_ref().is_some_and(|known| known.is_assumed());
    let (as_read, inputs) = known.map_or_else(Default::default, |known| {
        (known.engaged_as_read(run), known.inputs)
    });
    let Some(any) = inputs.iter().flatten().next().cloned() else {
        return Ok(Err(not_cut(&sheet).unwrap_or_else(|| {
            format!(
                "Run {}: measure its wires first; turns follow from their lengths.",
                run.name
            )
        })));
    };
    let swallowed = any.left.insertion() + any.right.insertion();
    let Some(lengths) = free_lengths(run, &sheet.lines, swallowed) else {
        return Ok(Err(format!("Run {}: no wire can be cut yet.", run.name)));
    };
    let frame = match frame(job, run, &lengths, any.axial_stiffness)? {
        Ok(frame) => frame,
        Err(missing) => return Ok(Err(missing)),
    };
    let both = ([any.left.threads(), any.right.threads()].concat(), None);
    let (threads, turned_at) = match one_end(job, run) {
        Some((at, end)) => match end.hand {
            Hand::Left => (any.left.threads(), Some(at)),
            Hand::Right => (any.right.threads(), Some(at)),
        },
        None => both,
    };
    let mut steps: Vec<Newtons> = decided.passes_mn.iter().map(|pass| mn(*pass)).collect();
    let decided = with_frame(job, run, decided, frame)?;
    if steps.is_empty() {
        let usual = default_steps(decided.set, decided.error)?;
        steps = usual.into_iter().map(|step| step.tension).collect();
    }
    Ok(Ok(Laid {
        decided,
        threads,
        turned_at,
        steps,
        strength: limits(job, run)?.missing.join(" "),
        lengths,
        as_read,
        taught_by_guess,
        inputs,
        sheet,
    }))
}

/// The end that alone is told as tensioned and has a thread; none where both are.
fn one_end(job: &Job<'_>, run: &Run) -> Option<(OneEnd, End)> {
    let (ends, (first, last)) = (ends_of(job, run)?, run.ends()?);
    let (post, end) = match (turns_there(&ends.first), turns_there(&ends.last)) {
        (true, false) => (first, ends.first),
        (false, true) => (last, ends.last),
        _ => return None,
    };
    let at = OneEnd {
        post: post.name.clone(),
        last: post.id == last.id,
    };
    Some((at, end))
}

impl Laid<'_> {
    /// What rounds and masses are held against.
    pub(super) fn bounds(&self, required: Option<Newtons>) -> Result<Bounds, WorkError> {
        let error = self.error_told.then_some(self.error);
        Bounds::of(
            self.steps.len(),
            (Some(self.upper), error),
            required,
            self.set,
        )
    }

    /// Turns and flats of a turn-in.
    pub(super) fn turn(&self, turn_in: Millimetres) -> TurnIn {
        let of = turns(turn_in, &self.threads);
        TurnIn {
            back: of.back,
            turns: of.turns,
            flats: of.flats,
            mm: turn_in.value(),
        }
    }
}

impl Decided<'_> {
    /// A tension rounded to what the gauge can tell.
    pub(super) fn shown(&self, tension: Newtons) -> Result<f64, WorkError> {
        if tension.value() <= 0.0 {
            return Ok(0.0);
        }
        Ok(tension::shown(tension, self.error)?.value())
    }

    /// The least that is expected, rounded down to what the gauge can tell.
    pub(super) fn shown_least(&self, tension: Newtons) -> Result<f64, WorkError> {
        if tension.value() <= 0.0 {
            return Ok(0.0);
        }
        Ok(tension::shown_upper(tension, self.error)?.value())
    }

    /// The most that may be lost, rounded up to what the gauge can tell.
    pub(super) fn shown_most(&self, tension: Newtons) -> Result<f64, WorkError> {
        if tension.value() <= 0.0 {
            return Ok(0.0);
        }
        Ok(tension::shown_most(tension, self.error)?.value())
    }

    /// What the gauge may show so that the wire is not above the upper tension, whatever it errs.
    pub(super) fn may_show(&self) -> Result<Newtons, WorkError> {
        Ok(tension::clear_to(self.upper, self.error)?)
    }

    /// A tension that is above a limit, in words: as the gauge can tell it, and up where that would hide
    /// that it is above.
    pub(super) fn shown_above(
        &self,
        tension: Newtons,
        limit: Newtons,
    ) -> Result<Newtons, WorkError> {
        Ok(tension::shown_above(tension, limit, self.error)?)
    }

    /// The least and the most that the gauge may show where a wire is brought to a tension.
    pub(super) fn may_read(&self, to: Newtons) -> Result<(f64, f64), WorkError> {
        // What a gauge with an untold error may show, nobody can tell.
        if !self.error_told {
            return Ok((to.value(), to.value()));
        }
        let step = tension::gauge_step(to, self.error)?;
        let decided = self.run.tensions.value();
        let required = decided.map(|told| mn(told.required_mn));
        let required = required.filter(|required| required.value() > 0.0);
        let down = match required {
            // On the way up nothing is required yet.
            Some(required) if to >= self.set => {
                let clear = tension::clear_from(required, self.error)?;
                let least = if clear <= self.set { clear } else { required };
                step.min((self.set - least).max(Newtons(0.0)))
            }
            _ => step,
        };
        let most = (to + step).min(self.may_show()?).max(to);
        Ok(((to - down).value(), most.value()))
    }

    /// A target rounded to what the gauge can tell, and down where it would be more than `most`.
    pub(super) fn target(&self, tension: Newtons, most: Newtons) -> Result<f64, WorkError> {
        if tension.value() <= 0.0 {
            return Ok(0.0);
        }
        // The set tension is what people decided: it stands as it is.
        if (tension - self.set).abs().value() < 0.5 {
            return Ok(self.set.value());
        }
        let near = tension::shown(tension, self.error)?;
        if near <= most {
            return Ok(near.value());
        }
        let below = tension::shown_upper(tension, self.error)?;
        Ok(below.max(self.set.min(tension)).value())
    }

    pub(super) fn name(&self, place: usize) -> (u32, String) {
        let wire = self.run.wires.get(place).map_or(0, |wire| wire.number);
        (wire, format!("{}{wire}", self.run.name))
    }
}

/// Tells how a run is brought to its set tension.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn tensioning(job: &Job<'_>, run: ItemId) -> Result<Tensioning, WorkError> {
    let run = run_of(job, run)?;
    match worked_out(job, run) {
        Err(WorkError::Mechanics(why)) => told_by_gauge(job, run, cannot_be(run, &why)),
        told => told,
    }
}

/// The answer where no turns are worked out: the passes alone, each wire brought to them by gauge; none
/// where nothing may be tensioned, which is told before all else, or where people differ on an end.
fn told_by_gauge(job: &Job<'_>, run: &Run, missing: String) -> Result<Tensioning, WorkError> {
    let mut told = nothing(run);
    if let Some(barred) = no_tensioning(job, run) {
        told.missing = Some(match missing.contains(&barred) {
            true => missing,
            false => barred,
        });
        return Ok(told);
    }
    if ends_differ(run) {
        let settle = format!(
            "People differ on an end of run {}: settle that first.",
            run.name
        );
        let disputed = missing.contains("is disputed");
        told.missing = Some(if disputed { missing } else { settle });
        return Ok(told);
    }
    told.missing = Some(missing);
    told.turned_at = one_end(job, run).map(|(at, _)| at);
    match plan::passes_by_gauge(job, run) {
        // What does not go together is missing already.
        Err(WorkError::Mechanics(_)) => {}
        passes => told.passes = passes?,
    }
    Ok(told)
}

/// What the even passes of a run leave below its set tension, in one sentence; none where they
/// arrive, or where nothing can be planned.
pub(super) fn passes_short(laid: &Laid<'_>) -> Result<Option<String>, WorkError> {
    let slack = vec![Newtons(0.0); laid.frame.wires()];
    let short =
        plan::even_passes_of(laid, &slack, &[]).and_then(|passes| plan::short(laid, &passes));
    match short {
        Err(WorkError::Mechanics(why)) => Ok(Some(cannot_be(laid.run, &why))),
        told => Ok(told?.map(|short| short.sentence)),
    }
}

fn worked_out(job: &Job<'_>, run: &Run) -> Result<Tensioning, WorkError> {
    let laid = match laid(job, run)? {
        Ok(laid) => laid,
        Err(missing) => return told_by_gauge(job, run, missing),
    };
    let mut told = nothing(run);
    let state = now::state(job, &laid)?;
    let over = plan::over_places(&laid, &state);
    let coarse = hung::too_coarse(&laid, &state);
    if let Some(coarse) = coarse.filter(|_| over.is_empty()) {
        return told_by_gauge(job, run, coarse);
    }
    told.turned_at.clone_from(&laid.turned_at);
    told.worth = Some(plan::worth(&laid));
    told.passes_note = one::over_upper(&laid, &state);
    if told.passes_note.is_none() {
        let passes = plan::even_passes_of(&laid, &state.now, &state.gone)?;
        told.passes = plan::passes(&laid, &passes)?;
        if let Some(short) = plan::short(&laid, &passes)? {
            told.passes_short = short.wires;
            told.passes_note = Some(short.sentence);
        }
    }
    told.one_pass = one::one_pass(&laid, &state)?;
    if state.begun {
        (told.even, told.even_note) = plan::even(&laid, &state)?;
    }
    told.wires = plan::wires(job, &laid, &state)?;
    if !over.is_empty() {
        plan::only_let_out(&laid, &told.even, &mut told.wires)?;
        told.over = over.iter().map(|place| laid.name(*place).0).collect();
    }
    told.notes.clone_from(&laid.sheet.notes);
    told.notes.extend(hung::note(&laid, &state));
    told.notes.extend(state.found_so);
    if !laid.error_told {
        told.notes.push(format!("{NO_ERROR} {ERROR_NONE}"));
    }
    if !laid.strength.is_empty() {
        told.notes.push(laid.strength.clone());
    }
    told.notes.push(format!(
        "{}; {}. New strand settles while it is tensioned: the gauge tells.",
        plan::turned_where(&laid),
        plan::held_end(job, run).unwrap_or_else(|| {
            "turned at one end, a long wire twists and its far end lags".to_owned()
        })
    ));
    Ok(told)
}

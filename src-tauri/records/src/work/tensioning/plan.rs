//! Passes, turns and thread of each wire, and what is left to turn. One file past 400 lines, since each tells of
//! the same wires as they stand.

use mechanics::cutting::{CutInput, cut_for_engagement};
use mechanics::ends::WireEnd;
use mechanics::tensioning::{
    Pass, PassStep as Step, default_steps, even_passes_on, left_short, pass_order, replan,
    turn_alone,
};
use mechanics::thread::{take_up_per_flat, take_up_per_turn};
use mechanics::{Millimetres, Newtons};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::hung::as_told;
use super::now::{State, turned_since};
use super::one::over_upper;
use super::{EvenStep, Laid, NowFrom, ThreadNeed, ToPass, TurnIn, TurnWorth, WireNow};
use crate::job::{Job, Run};
use crate::work::convert::{ends_of, mn};
use crate::work::tension::gauge;
use crate::work::{Taught, WorkError, words};

/// A wire in a pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PassStep {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// What to turn in this pass; none where no turns are worked out.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn: Option<TurnIn>,
    /// What the wire is expected to show when the whole pass is done, where turns are worked out.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_n: Option<f64>,
}

/// One of the even passes, from where the wires stand. Where no turns are worked out, each wire is brought to the
/// pass's tension by gauge, in the same order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PassPlan {
    /// Number of the pass.
    pub pass: u32,
    /// What every wire is brought to.
    pub tension_n: f64,
    /// Lowest tension expected when the pass is done, where turns are worked out.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_n: Option<f64>,
    /// Highest.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_n: Option<f64>,
    /// The wires in the order in which they are tightened.
    pub wires: Vec<PassStep>,
}

/// What one turn and one flat add to a wire of the run, in the mean.
pub(super) fn worth(laid: &Laid<'_>) -> TurnWorth {
    let wires = laid.frame.wires();
    let sum: f64 = (0..wires)
        .filter_map(|wire| laid.frame.newtons_per_millimetre(wire))
        .sum();
    let count = f64::from(u32::try_from(wires).unwrap_or(u32::MAX));
    let turn_n = sum / count * take_up_per_turn(&laid.threads).value();
    let flat_n = sum / count * take_up_per_flat(&laid.threads).value();
    let of = match &laid.turned_at {
        Some(end) => format!("at {}, the one end that is turned,", end.post),
        None => "of the whole wire".to_owned(),
    };
    TurnWorth {
        turn_n,
        flat_n,
        sentence: format!(
            "One turn {of} is about {turn_n:.0} N on run {}, one flat {flat_n:.0} N{}.",
            laid.run.name,
            coarse(laid, flat_n)
        ),
    }
}

/// What a flat that is worth more than there is room for asks for, as the end of a sentence.
fn coarse(laid: &Laid<'_>, flat_n: f64) -> String {
    let required = laid.run.tensions.value().map(|told| mn(told.required_mn));
    let room = laid.upper - required.unwrap_or(laid.set).min(laid.set);
    let room = Newtons(room.value().round());
    match Newtons(flat_n) > room {
        true => format!(
            ", more than the {room} between what is required and the upper tension: set such short wires by \
             parts of a flat, going by the gauge alone"
        ),
        false => String::new(),
    }
}

/// Where the turns that are told are turned, as the beginning of a sentence.
pub(super) fn turned_where(laid: &Laid<'_>) -> String {
    match &laid.turned_at {
        Some(end) => format!("Turns are at {}, the one end that is tensioned", end.post),
        None => "Turns are for the whole wire, both ends alike".to_owned(),
    }
}

/// What turning does to a wire whose other end is swaged and held, as a part of a sentence; none where both
/// ends have a thread.
pub(super) fn held_end(job: &Job<'_>, run: &Run) -> Option<String> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let at = [(first, ends.first), (last, ends.last)];
    let (post, held) = at.iter().find(|(_, end)| !end.kind.has_thread())?;
    Some(format!(
        "the {} at {} can't turn with the stud, so that every turn twists the wire between two swages: \
         watch its lay, and ask the maker whether that may be, or whether a part that turns belongs there",
        words::end_kind(held.kind),
        post.name
    ))
}

/// The even passes from where the wires stand.
pub(super) fn even_passes_of(
    laid: &Laid<'_>,
    now: &[Newtons],
    gone: &[usize],
) -> Result<Vec<Pass>, WorkError> {
    let steps = laid.steps.iter().map(|tension| Step { tension: *tension });
    let steps: Vec<Step> = steps.collect();
    let half = take_up_per_flat(&laid.threads) / 2.0;
    Ok(even_passes_on(
        &laid.frame,
        now,
        gone,
        &steps,
        laid.error,
        half,
    )?)
}

/// The same as they are shown. What is expected is never shown above what the pass asks, but for a wire that
/// stands above it already.
pub(super) fn passes(laid: &Laid<'_>, of: &[Pass]) -> Result<Vec<PassPlan>, WorkError> {
    let mut found = Vec::new();
    for (number, pass) in (1_u32..).zip(of) {
        let most = pass.tension.value();
        let shown = |tension: Newtons| {
            let rounded = laid.shown(tension)?;
            Ok::<f64, WorkError>(match tension.value() > most + 0.5 {
                true => rounded,
                false => rounded.min(most),
            })
        };
        let mut wires = Vec::with_capacity(pass.wires.len());
        for step in &pass.wires {
            let (wire, name) = laid.name(step.wire);
            wires.push(PassStep {
                wire,
                name,
                turn: Some(laid.turn(step.turn_in)),
                after_n: Some(shown(step.after)?),
            });
        }
        found.push(PassPlan {
            pass: number,
            tension_n: most,
            // The lowest is promised by nobody: never shown as more than it is.
            lowest_n: Some(laid.shown_least(pass.lowest)?),
            highest_n: Some(shown(pass.highest)?),
            wires,
        });
    }
    Ok(found)
}

/// The passes of a run for which no turns are worked out: the decided steps in the same order, each wire
/// brought to them by gauge. None while nothing is decided.
pub(super) fn passes_by_gauge(job: &Job<'_>, run: &Run) -> Result<Vec<PassPlan>, WorkError> {
    let Some(tensions) = run.tensions.value() else {
        return Ok(Vec::new());
    };
    let mut steps: Vec<f64> = tensions.passes_mn.iter().map(|n| mn(*n).value()).collect();
    if steps.is_empty() {
        let error = gauge(job).and_then(|gauge| gauge.error).unwrap_or(0.0);
        let usual = default_steps(mn(tensions.set_mn), error)?;
        steps = usual.iter().map(|step| step.tension.value()).collect();
    }
    let step = |at: usize| {
        let wire = run.wires.get(at)?;
        Some(PassStep {
            wire: wire.number,
            name: format!("{}{}", run.name, wire.number),
            turn: None,
            after_n: None,
        })
    };
    let pass = |(number, tension_n): (u32, f64)| PassPlan {
        pass: number,
        tension_n,
        lowest_n: None,
        highest_n: None,
        wires: pass_order(run.wires.len(), number as usize - 1)
            .into_iter()
            .filter_map(step)
            .collect(),
    };
    Ok((1_u32..).zip(steps).map(pass).collect())
}

/// What the passes leave below the set tension.
pub(super) struct Short {
    pub(super) wires: Vec<u32>,
    pub(super) sentence: String,
}

/// The wires that the passes do not bring to the set tension, with what to do; none where all arrive.
pub(super) fn short(laid: &Laid<'_>, passes: &[Pass]) -> Result<Option<Short>, WorkError> {
    let half = take_up_per_flat(&laid.threads) / 2.0;
    let left = left_short(&laid.frame, passes, laid.error, half)?;
    let Some(last) = passes.last().filter(|_| !left.is_empty()) else {
        return Ok(None);
    };
    let named: Vec<(u32, String)> = left.iter().map(|place| laid.name(*place)).collect();
    let names: Vec<&str> = named.iter().map(|(_, name)| name.as_str()).collect();
    let (wires, stay) = match names.as_slice() {
        [_] => ("wire", "stays"),
        _ => ("wires", "stay"),
    };
    Ok(Some(Short {
        sentence: format!(
            "Even after {} passes, as many as are worked out here, {wires} {} {stay} below {}, down to about \
             {}: each wire that is brought up lets the others fall. Make rail or posts stiffer, put a prop between the posts while \
             you tension, or plan on still more passes, and go by the gauge until every wire shows it.",
            passes.len(),
            names.join(", "),
            last.tension,
            Newtons(laid.shown_least(last.lowest)?)
        ),
        wires: named.into_iter().map(|(wire, _)| wire).collect(),
    }))
}

/// What is left to turn until all stand at the set tension, or why it is not told; a turn of less
/// than half a flat is left. Where wires stand over the upper tension that is to let each of them out.
pub(super) fn even(
    laid: &Laid<'_>,
    state: &State,
) -> Result<(Vec<EvenStep>, Option<String>), WorkError> {
    if let Some(over) = over_upper(laid, state) {
        return Ok((let_out(laid, state)?, Some(over)));
    }
    let wanted = vec![laid.set; laid.frame.wires()];
    let half = take_up_per_flat(&laid.threads) / 2.0;
    let plan = replan(&laid.frame, &state.now, &wanted, half)?;
    let most = most_to_set(laid)?;
    if plan.largest.value() > most.value() + 0.5 {
        let note = format!(
            "Turned at once a wire would show about {} on the way, above the {most} that leave it below \
             the upper tension of {}: go on with the passes.",
            laid.shown_above(plan.largest, most)?,
            laid.upper
        );
        return Ok((Vec::new(), Some(note)));
    }
    let mut found = Vec::new();
    for step in plan.wires {
        let (wire, name) = laid.name(step.wire);
        found.push(EvenStep {
            wire,
            name,
            turn: laid.turn(step.turn_in),
            shows_n: laid.target(step.shows, most)?,
        });
    }
    let nothing = || "Nothing is left to turn by half a flat or more.".to_owned();
    let note = found.is_empty().then(nothing);
    Ok((found, note))
}

/// What a target may be at most. What was decided to be set may be shown, though it leaves the gauge's error no
/// room.
fn most_to_set(laid: &Laid<'_>) -> Result<Newtons, WorkError> {
    Ok(laid.may_show()?.max(laid.set.min(laid.upper)))
}

/// Each wire that stands over the upper tension, brought out to the set tension by itself: whatever the others are
/// to be brought to raises nothing that nothing may exceed.
fn let_out(laid: &Laid<'_>, state: &State) -> Result<Vec<EvenStep>, WorkError> {
    let to = laid.set.min(laid.upper);
    let mut found = Vec::new();
    for place in over_places(laid, state) {
        let (wire, name) = laid.name(place);
        let mut turn = laid.turn(turn_alone(&laid.frame, &state.now, place, to)?);
        let mut shows_n = laid.target(to, most_to_set(laid)?)?;
        if turn.turns + turn.flats == 0 || !turn.back {
            // However little it is over, it is let out: by a flat, which may be more than there is room for.
            let flat = take_up_per_flat(&laid.threads);
            turn = laid.turn(Millimetres(0.0) - flat);
            let per_mm = laid.frame.newtons_per_millimetre(place).unwrap_or_default();
            let now = state.now.get(place).copied().unwrap_or_default();
            shows_n = laid.shown_least(now - Newtons(per_mm * flat.value()))?;
        }
        found.push(EvenStep {
            wire,
            name,
            turn,
            shows_n,
        });
    }
    Ok(found)
}

/// Places of the wires that stand over the upper tension, and of those that may by what was read.
pub(super) fn over_places(laid: &Laid<'_>, state: &State) -> Vec<usize> {
    let wires = state.now.iter().enumerate();
    let over = wires.filter(|(at, now)| **now > laid.upper || state.read_over.contains(at));
    over.map(|(place, _)| place).collect()
}

/// Each wire as it is, and what brings it to each pass.
pub(super) fn wires(
    job: &Job<'_>,
    laid: &Laid<'_>,
    state: &State,
) -> Result<Vec<WireNow>, WorkError> {
    let all = vec![laid.set; laid.frame.wires()];
    let turned = laid.frame.turn_in(&all)?;
    let over = over_places(laid, state);
    let mut found = Vec::with_capacity(state.now.len());
    for (place, (now, from)) in state.now.iter().zip(&state.from).enumerate() {
        let (wire, name) = laid.name(place);
        let mut to = Vec::with_capacity(laid.steps.len());
        for (pass, tension) in (1_u32..).zip(&laid.steps) {
            let (from_n, to_n) = laid.may_read(*tension)?;
            to.push(ToPass {
                pass,
                tension_n: tension.value(),
                from_n,
                to_n,
                turn: match state.read_first.contains(&place) {
                    true => None,
                    false => alone(laid, &state.now, place, (*tension, over.contains(&place)))?,
                },
            });
        }
        found.push(WireNow {
            wire,
            name,
            now_n: match from {
                NowFrom::Read => now.value(),
                NowFrom::Mass => as_told(*now).value(),
                NowFrom::Computed | NowFrom::Slack => laid.shown(*now)?,
            },
            from: *from,
            to,
            turned: turned_since(job, laid.run, wire),
            thread: thread(laid, place, turned.get(place).copied().unwrap_or_default())?,
        });
    }
    Ok(found)
}

/// While wires stand over the upper tension no wire is brought to a pass: each of them is let out, in each pass, to
/// what is told as left to turn, so that a screen has one figure for it, and nothing is told to be turned at the
/// others.
pub(super) fn only_let_out(
    laid: &Laid<'_>,
    out: &[EvenStep],
    wires: &mut [WireNow],
) -> Result<(), WorkError> {
    for wire in wires {
        let step = out.iter().find(|step| step.wire == wire.wire);
        for to in &mut wire.to {
            to.turn = step.map(|step| step.turn);
            if let Some(step) = step {
                (to.from_n, to.to_n) = laid.may_read(Newtons(step.shows_n))?;
                to.tension_n = step.shows_n;
            }
        }
    }
    Ok(())
}

/// Thread of a wire: as its own ends were read, and what they still turn in; else at its cut, as computed or as
/// the trial wires taught.
fn thread(
    laid: &Laid<'_>,
    place: usize,
    turn_in: Millimetres,
) -> Result<Option<ThreadNeed>, WorkError> {
    let (wire, name) = laid.name(place);
    let line = laid.sheet.lines.iter().find(|line| line.wire == wire);
    let (Some(line), Some(Some(input))) = (line, laid.inputs.get(place)) else {
        return Ok(None);
    };
    // What a questioned reading taught is not held against a wire.
    let trusted = |taught: &Taught| taught.questions.is_empty() && !laid.taught_by_guess;
    let learned = line.learned.as_ref();
    let learned = learned.filter(|_| laid.sheet.taught.as_ref().is_some_and(trusted));
    // A wire that is not released yet is taken as it would be cut with what is known now.
    let issued = line.issued.as_ref().map(|issued| issued.cut_mm);
    let open = learned.map(|cut| cut.aim_mm).or(line.aim_mm);
    let Some(cut) = line.cut_done_mm.or(issued).or(open) else {
        return Ok(None);
    };
    let moved = learned.map_or(0.0, |cut| cut.offset_mm);
    let as_read = laid.as_read.get(place).copied().flatten();
    let engaged = match as_read {
        Some(read) => read,
        None => engaged(input, Millimetres(cut))? - Millimetres(moved),
    };
    let free = laid.lengths.get(place).copied().unwrap_or_default();
    let needs = turn_in + free * input.constructional_stretch;
    let starts = engaged - needs;
    let ends = [&input.left, &input.right];
    let both =
        |of: fn(&WireEnd) -> Millimetres| -> Millimetres { ends.iter().map(|end| of(end)).sum() };
    let (least, most) = (
        both(WireEnd::start_engagement),
        both(WireEnd::full_engagement) - both(WireEnd::reserve),
    );
    let (usable, full) = (both(WireEnd::usable_thread), both(WireEnd::full_engagement));
    let (ends_have, stand) = match input.left.has_thread() && input.right.has_thread() {
        true => ("both ends have", "its ends would stand"),
        false => ("its one thread has", "its stud would stand"),
    };
    let its_ends = stand.trim_end_matches(" would stand");
    let short = if most.value() <= 0.0 {
        Some(format!(
            "{name}: {ends_have} {usable} of usable thread, and lock nuts, inserts and the reserve \
             take all of it: nothing is left to hold by. Use fittings with more thread."
        ))
    } else if engaged > full {
        Some(format!(
            "{name}: at its tension {engaged} of thread would have to be in, and {ends_have} \
             {usable}, of which {full} can be: too long for its tension."
        ))
    } else if starts.value() < 0.0 {
        Some(format!(
            "{name}: hand tight {stand} {} before the posts' faces and {least} of thread \
             are needed to catch: too short for its tension.",
            starts.abs()
        ))
    } else if starts < least {
        Some(format!(
            "{name}: hand tight {its_ends} would have {starts} of thread in and {least} are needed \
             to catch: too short for its tension."
        ))
    } else if engaged > most {
        Some(format!(
            "{name}: at its tension {engaged} of thread would be in; {most} leaves the reserve for \
             re-tensioning."
        ))
    } else {
        None
    };
    Ok(Some(ThreadNeed {
        needs_mm: needs.value(),
        starts_mm: starts.value().max(0.0),
        left_mm: (usable - engaged).value().max(0.0),
        short,
    }))
}

/// X of both ends together at the set tension: the cut is a straight line of it.
fn engaged(input: &CutInput, cut: Millimetres) -> Result<Millimetres, WorkError> {
    let (from, step) = (Millimetres(0.0), Millimetres(10.0));
    let at_none = cut_for_engagement(input, from)?;
    let at_step = cut_for_engagement(input, step)?;
    Ok(step * ((cut - at_none) / (at_step - at_none)))
}

/// Flats that bring a wire alone to a tension; none where it is there. Let out is only what is `over` the
/// upper tension, or may be: a pass leaves what is above its own.
pub(in crate::work) fn alone(
    laid: &Laid<'_>,
    now: &[Newtons],
    place: usize,
    (to, over): (Newtons, bool),
) -> Result<Option<super::TurnIn>, WorkError> {
    let turn = laid.turn(turn_alone(&laid.frame, now, place, to)?);
    let there = (turn.back && !over) || turn.turns + turn.flats == 0;
    Ok((!there).then_some(turn))
}

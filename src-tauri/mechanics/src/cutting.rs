//! Cut lengths: the window between the shortest and the longest cut that work, and the aim.
//!
//! Owns the chain from inside-to-inside length to cut length, its spread, and the comparison
//! with a fixed deduction. Invariant: the lock nut is counted, and no answer is given where the
//! window is empty. Does not decide which length may be cut from (quote or cut, post state).

mod chance;
mod fixed;

use serde::{Deserialize, Serialize};

use crate::ends::{self, ThreadRoom, WireEnd};
use crate::error::{MechanicsError, finite, not_negative, positive, within};
use crate::units::{Kelvins, Millimetres, Newtons};

pub use chance::{CutChance, chance_within, cut_chance, shown_chance, spread, straight_chance};
pub use fixed::{FixedDeduction, FixedPlace, compare_fixed_deduction};

/// Standard deviations of what goes into a cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Spreads {
    /// Of the inside-to-inside length (of the interpolation where it is interpolated).
    pub measure: Millimetres,
    /// Of the cut itself.
    pub cut: Millimetres,
    /// Of each seat.
    pub seat: Millimetres,
    /// Of each swage.
    pub swage: Millimetres,
}

/// Everything a cut length rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutInput {
    /// D: face to face before tension, along the wire.
    pub inside_to_inside: Millimetres,
    /// T: tension to set.
    pub tension: Newtons,
    /// y: inward movement of both posts together in the final state, along the wire; below zero
    /// where other wires pull the posts farther away than this run's pull them in.
    pub inward: Millimetres,
    /// The part of y that is there before this run is tensioned: what wires of other runs do.
    #[serde(default)]
    pub inward_before: Millimetres,
    /// The left-hand end.
    pub left: WireEnd,
    /// The right-hand end.
    pub right: WireEnd,
    /// o: difference of the starting engagement of two threads that turn together: those of the two ends,
    /// or of a turnbuckle's body. One thread alone has nothing to be ahead of.
    pub unequal_start: Millimetres,
    /// EA of the strand.
    pub axial_stiffness: Newtons,
    /// Relative spread of EA.
    pub axial_stiffness_spread: f64,
    /// Permanent stretch, length over length.
    pub constructional_stretch: f64,
    /// Spread of the permanent stretch.
    pub constructional_stretch_spread: f64,
    /// Expansion of the wire less that of the structure, per kelvin.
    pub expansion_difference_per_kelvin: f64,
    /// Temperature in use less temperature when measured and tensioned.
    pub temperature_difference: Kelvins,
    /// Spreads of the measuring and making.
    pub spreads: Spreads,
}

/// Which condition sets the shortest cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum ShortestBy {
    /// The least engagement when tensioned.
    Engagement,
    /// Catching the thread by hand before the posts move.
    Catching,
}

/// What takes thread away or gives it, each in millimetres of engagement of both ends together.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ThreadBudget {
    /// Usable thread of both studs.
    pub usable_thread: Millimetres,
    /// Taken by the lock nuts.
    pub lock_nuts: Millimetres,
    /// Taken because inserts are shallower than the thread left, a turnbuckle's body is shorter, or a bolt
    /// stands out of its post by less.
    pub shallow_inserts: Millimetres,
    /// Kept in reserve for re-tensioning.
    pub reserve: Millimetres,
    /// Least engagement of both ends.
    pub least_engagement: Millimetres,
    /// Taken by unequal starting, once at each limit.
    pub unequal_start: Millimetres,
    /// Taken because the stud must catch by hand before posts move and the wire stretches.
    pub catching: Millimetres,
}

/// The cut window of one wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutWindow {
    /// Shortest cut that still holds.
    pub shortest: Millimetres,
    /// What sets the shortest.
    pub shortest_by: ShortestBy,
    /// Longest cut that can still be tensioned with the reserve kept.
    pub longest: Millimetres,
    /// Longest less shortest.
    pub width: Millimetres,
    /// Middle of the window.
    pub aim: Millimetres,
    /// D less the aim.
    pub deduction: Millimetres,
    /// Elastic and permanent stretch that the aim gives back.
    pub stretch: Millimetres,
    /// Standard deviation of the finished engagement.
    pub spread: Millimetres,
    /// Where the thread goes.
    pub budget: ThreadBudget,
}

/// The tension at which a wire is taken to hang when its second end is caught by hand.
pub const HAND_TENSION: Newtons = Newtons(30.0);

/// Lc: the cut that gives an engagement X = x1 + x2 of both ends together.
///
/// Lc = (D − y + X − S1 − S2 − W)/k + W, k = (1 + T/EA)(1 + ε_c)(1 + α·ΔT), the chain
/// D − y + x1 + x2 = S1 + S2 + W + (Lc − W)·k with W = w1 + w2 swallowed and not stretched.
///
/// Own derivation from the chain (engineering basis), Hooke for T/EA; ε_c and α are inputs, recalled or
/// measured. Holds for a straight wire between posts that stand as told.
///
/// # Errors
/// When an input cannot be, or the result is not above what the terminals swallow.
pub fn cut_for_engagement(
    input: &CutInput,
    engagement: Millimetres,
) -> Result<Millimetres, MechanicsError> {
    check(input)?;
    finite("the engagement", engagement.value())?;
    let free = free_strand(input, engagement, input.inward);
    long_enough(input, free)?;
    Ok(free / strain_factor(input, input.tension) + swallowed(input))
}

/// The window of cuts that work, its middle, and what it is made of.
///
/// The limits are those of the engineering basis: longest at ΣX_full − |o| − Σr, shortest at Σe_min + |o| or
/// where the slack wire is caught. Holds as far as the fittings' own figures, which are inputs.
///
/// # Errors
/// [`MechanicsError::NoWindow`] where nothing works, with what takes the thread; else when an
/// input cannot be.
pub fn cut_window(input: &CutInput) -> Result<CutWindow, MechanicsError> {
    check(input)?;
    let unequal = unequal(input);
    let most = both(input, |room| room.full - room.reserve);
    let longest = cut_for_engagement(input, most - unequal)?;
    let limits = shortest_limits(input)?;
    let (shortest, shortest_by) = limits.shortest();
    let budget = ThreadBudget {
        usable_thread: both(input, |room| room.usable),
        lock_nuts: both(input, |room| room.lock_nuts),
        shallow_inserts: both(input, |room| room.lost),
        reserve: both(input, |room| room.reserve),
        least_engagement: both(input, |room| room.hold),
        unequal_start: unequal * 2.0,
        catching: (limits.by_catching - limits.by_engagement).max(Millimetres(0.0)),
    };
    let (width, aim) = between(shortest, longest, || explain(input, &budget))?;
    Ok(CutWindow {
        shortest,
        shortest_by,
        longest,
        width,
        aim,
        deduction: input.inside_to_inside - aim,
        stretch: (aim - swallowed(input)) * (strain_factor(input, input.tension) - 1.0),
        spread: spread(input, aim)?,
        budget,
    })
}

/// Width and middle of what lies between two limits; why there is nothing where they cross.
pub(crate) fn between(
    shortest: Millimetres,
    longest: Millimetres,
    because: impl FnOnce() -> String,
) -> Result<(Millimetres, Millimetres), MechanicsError> {
    let width = longest - shortest;
    if width.value() <= 0.0 {
        return Err(MechanicsError::NoWindow {
            shortest,
            longest,
            missing: -width,
            because: because(),
        });
    }
    Ok((width, (longest + shortest) / 2.0))
}

/// The two limits of the shortest cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ShortestLimits {
    /// Least engagement at the set tension.
    pub(crate) by_engagement: Millimetres,
    /// Catching by hand: nothing has moved or stretched yet.
    pub(crate) by_catching: Millimetres,
}

impl ShortestLimits {
    /// The longer of the two, and which it is.
    pub(crate) fn shortest(self) -> (Millimetres, ShortestBy) {
        if self.by_catching > self.by_engagement {
            (self.by_catching, ShortestBy::Catching)
        } else {
            (self.by_engagement, ShortestBy::Engagement)
        }
    }
}

/// What keeps a cut from being shorter.
pub(crate) fn shortest_limits(input: &CutInput) -> Result<ShortestLimits, MechanicsError> {
    let least = both(input, |room| room.least) + unequal(input);
    Ok(ShortestLimits {
        by_engagement: cut_for_engagement(input, least)?,
        by_catching: slack_cut(input, both(input, |room| room.start))?,
    })
}

/// The aim rounded to what a tape is read to, where the window still holds it.
///
/// # Errors
/// When the step is not above zero.
pub fn aim_on_tape(window: &CutWindow, step: Millimetres) -> Result<Millimetres, MechanicsError> {
    let step = positive("the tape's step", step)?;
    let rounded = Millimetres((window.aim.value() / step).round() * step);
    if rounded >= window.shortest && rounded <= window.longest {
        Ok(rounded)
    } else {
        Ok(window.aim)
    }
}

/// Refuses inputs that cannot be: lengths at or below zero, not numbers, out of proportion.
///
/// # Errors
/// Names the first figure that cannot be.
pub fn check(input: &CutInput) -> Result<(), MechanicsError> {
    positive("the inside-to-inside length", input.inside_to_inside)?;
    within(
        "the inside-to-inside length",
        input.inside_to_inside,
        0.0,
        1.0e6,
    )?;
    not_negative("the tension", input.tension)?;
    for inward in [input.inward, input.inward_before] {
        finite("the posts' inward movement", inward.value())?;
    }
    finite("the unequal start", input.unequal_start.value())?;
    positive("the strand's stiffness EA", input.axial_stiffness)?;
    within(
        "the relative spread of EA",
        input.axial_stiffness_spread,
        0.0,
        1.0,
    )?;
    within(
        "the permanent stretch",
        input.constructional_stretch,
        0.0,
        0.01,
    )?;
    within(
        "the spread of the permanent stretch",
        input.constructional_stretch_spread,
        0.0,
        0.01,
    )?;
    finite(
        "the difference of expansions",
        input.expansion_difference_per_kelvin,
    )?;
    finite(
        "the temperature difference",
        input.temperature_difference.value(),
    )?;
    for (what, value) in [
        ("the spread of measuring", input.spreads.measure),
        ("the spread of cutting", input.spreads.cut),
        ("the spread of the seats", input.spreads.seat),
        ("the spread of the swages", input.spreads.swage),
    ] {
        not_negative(what, value)?;
    }
    ends::check(&input.left)?;
    ends::check(&input.right)?;
    if !input.left.has_thread() && !input.right.has_thread() {
        return Err(MechanicsError::NoThread);
    }
    Ok(())
}

/// The cut that can just be caught by hand. Other runs may be tensioned by then or not: what they
/// pull the posts away counts, what they pull them in does not.
fn slack_cut(input: &CutInput, start: Millimetres) -> Result<Millimetres, MechanicsError> {
    let before = input.inward_before.min(Millimetres(0.0));
    let free = free_strand(input, start, before);
    long_enough(input, free)?;
    let stretched = 1.0 + HAND_TENSION / input.axial_stiffness;
    Ok(free / stretched + swallowed(input))
}

/// Refuses a length in which both terminals leave no strand between them.
fn long_enough(input: &CutInput, free: Millimetres) -> Result<(), MechanicsError> {
    if free.value() > 0.0 {
        return Ok(());
    }
    Err(MechanicsError::TooShort {
        length: input.inside_to_inside,
        terminals: input.inside_to_inside - free,
    })
}

fn free_strand(input: &CutInput, engagement: Millimetres, inward: Millimetres) -> Millimetres {
    input.inside_to_inside - inward + engagement
        - input.left.to_wire_end()
        - input.right.to_wire_end()
        - swallowed(input)
}

fn swallowed(input: &CutInput) -> Millimetres {
    input.left.insertion() + input.right.insertion()
}

/// Of both ends together.
fn both(input: &CutInput, of: impl Fn(&ThreadRoom) -> Millimetres) -> Millimetres {
    of(&input.left.room()) + of(&input.right.room())
}

/// |o|, once for each pair of threads that may start unequally.
fn unequal(input: &CutInput) -> Millimetres {
    input.unequal_start.abs() * ends::unequal_pairs(&input.left, &input.right)
}

fn strain_factor(input: &CutInput, tension: Newtons) -> f64 {
    (1.0 + tension / input.axial_stiffness)
        * (1.0 + input.constructional_stretch)
        * (1.0 + input.expansion_difference_per_kelvin * input.temperature_difference.value())
}

fn explain(input: &CutInput, budget: &ThreadBudget) -> String {
    let place = match (&input.left, &input.right) {
        (left, right) if left.has_thread() && right.has_thread() => "at both ends",
        _ => "at the one end that has any",
    };
    let mut words = format!("of {} usable thread {place}", budget.usable_thread);
    let insert = |end: &WireEnd| matches!(end, WireEnd::Insert(_) | WireEnd::Fixed(_));
    let lost = match insert(&input.left) && insert(&input.right) {
        true => "shallow inserts take",
        false => "inserts, bodies and posts that leave no more room take",
    };
    let parts = [
        ("the lock nuts take", budget.lock_nuts),
        (lost, budget.shallow_inserts),
        ("the reserve for re-tensioning takes", budget.reserve),
        ("the least engagement takes", budget.least_engagement),
        ("unequal starting takes", budget.unequal_start),
        (
            "catching the thread by hand, before the posts move and the wire stretches, takes",
            budget.catching,
        ),
    ];
    for (what, length) in parts {
        if length.value() > 0.0 {
            words.push_str(&format!(", {what} {length}"));
        }
    }
    words
}

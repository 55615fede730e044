//! Whether a release for cutting still says what the sheet says: what it rests on may have moved by an
//! entry that nothing names, so the figure itself is held against the one that would be released now.
//!
//! Invariant: a release that is told as standing is refused by nothing, the deduction that was computed gives
//! the same length on the tape, and its cut lies inside the window that a trial wire teaches, unless a person
//! chose against it. What a trial wire teaches goes on being taught by every wire that is read: by less than
//! the spread of one fitted wire it moves no release.

use mechanics::trial::FITTED_SPREAD;

use super::release::{
    LEARNED_ELSEWHERE, LEARNED_HAS_NONE, computed_then, learned_against, slim_chance,
};
use super::{CutLine, CutSheet, Issued};
use crate::job::{Told, Wire};
use crate::model::context::Told as Decided;
use crate::model::values::{CutIssue, DeductionBy};
use crate::work::{LearnedCut, Taught, ToCut};

/// Said of a release of which something in the basis moved.
pub(super) const BASIS: &str = "something that its length was worked out from was changed, added or disputed since it was released";

/// Less than this the tape does not tell, millimetres.
const APART: f64 = 0.99;

/// Marks releases of wires that are not cut yet and that the sheet tells otherwise now; `taught` tells whether
/// a trial wire was read.
pub(super) fn mark(lines: &mut [CutLine], wires: &[Wire], taught: bool) {
    for line in lines.iter_mut().filter(|line| line.cut_done_mm.is_none()) {
        let computed =
            told(wires, line).and_then(|told| computed_then(&told.with.as_ref()?.numbers));
        let unmarked = line.issued.as_ref().filter(|issued| issued.moved.is_none());
        let moved = unmarked.and_then(|issued| match refused(line) {
            Some(why) => Some(why),
            None if issued.deduction == Some(DeductionBy::Learned) => {
                learned_otherwise(line, issued, taught, computed)
            }
            None => computed_otherwise(line, issued, taught),
        });
        let left = || line.outside.as_ref().map(|_| LEFT_BEHIND.to_owned());
        let moved = moved.or_else(|| unmarked.and_then(|_| left()));
        if let (Some(issued), Some(moved)) = (&mut line.issued, moved) {
            issued.basis_stands = false;
            issued.moved = Some(moved);
        }
    }
}

/// The release of a line's wire, as it was told.
fn told<'w>(wires: &'w [Wire], line: &CutLine) -> Option<&'w Told<CutIssue, Decided>> {
    let wire = wires.iter().find(|wire| wire.number == line.wire);
    wire.and_then(|wire| wire.issued.told())
}

fn refused(line: &CutLine) -> Option<String> {
    let refused = line.refused.as_ref()?;
    let why = refused.sentence.trim_end_matches('.');
    Some(format!("it can't be cut as things stand now: {why}"))
}

/// What the sheet tells otherwise now of a release by what a trial wire taught; `computed` is the cut that was
/// computed then.
fn learned_otherwise(
    line: &CutLine,
    issued: &Issued,
    taught: bool,
    computed: Option<f64>,
) -> Option<String> {
    if !taught {
        let why = "it was released by what a trial wire taught, and none teaches anything now";
        return Some(why.to_owned());
    }
    let (Some(learned), Some(aim)) = (&line.learned, line.aim_mm) else {
        return Some(NONE_LEFT.to_owned());
    };
    // Only what is taught may go on moving it.
    if let Some(then) = computed.filter(|then| apart(aim, *then, APART)) {
        return Some(format!(
            "the cut as computed, on which the learned one rests, was {then:.0} mm and is {aim:.0} mm now"
        ));
    }
    taught_otherwise(learned, issued).then(|| gives_now(learned.aim_mm))
}

/// The same of a release as computed, before a trial wire was read or by a person's choice.
fn computed_otherwise(line: &CutLine, issued: &Issued, taught: bool) -> Option<String> {
    let Some(aim) = line.aim_mm else {
        return Some(NONE_LEFT.to_owned());
    };
    if apart(aim, issued.cut_mm, APART) {
        return Some(gives_now(aim));
    }
    if !taught || issued.deduction.is_some() {
        return None;
    }
    let Some(learned) = &line.learned else {
        return Some("by what the trial wire taught since, no cut is left for it".to_owned());
    };
    taught_otherwise(learned, issued).then(|| {
        format!(
            "it was released before the trial wire was read, by which it would be {:.0} mm",
            learned.aim_mm
        )
    })
}

const LEFT_BEHIND: &str =
    "the window that the sheet gives has left the released cut behind since it was released";

/// Told alike of every wire, so that a screen tells it once.
const NONE_AS_LEARNED: &str =
    "as learned no cut works for it, and a trial wire that is right makes the computed cut wrong";
const ELSEWHERE: &str =
    "by what the trial wire taught, the computed cut may well end outside its window";

const NONE_LEFT: &str = "no cut is left for it now by the deduction that was chosen";

fn gives_now(aim: f64) -> String {
    format!("the sheet gives {aim:.0} mm for it now")
}

fn apart(one: f64, other: f64, most: f64) -> bool {
    (one - other).abs() > most
}

/// Whether what is taught now would have another cut: by more than one fitted wire scatters, or since the one
/// that was released no longer lies inside its window.
fn taught_otherwise(learned: &LearnedCut, issued: &Issued) -> bool {
    let window = learned.shortest_mm..=learned.longest_mm;
    apart(learned.aim_mm, issued.cut_mm, FITTED_SPREAD.value()) || !window.contains(&issued.cut_mm)
}

/// Marks releases of wires that are not cut yet of which something is asked now that was not answered as they
/// were released. What is asked of a wire's length is asked of those that rest on it, what is asked of the trial
/// wires of those that were released by them.
pub(super) fn mark_asked(sheet: &mut CutSheet, wires: &[Wire], against: &ToCut) {
    for line in sheet.lines.iter_mut().filter(|l| l.cut_done_mm.is_none()) {
        let answered = told(wires, line).and_then(|told| told.with.as_ref()?.reason.as_deref());
        let known = |asked: &str| answered.is_some_and(|said| said.contains(asked));
        let of_trial = (sheet.taught.as_ref(), sheet.showed.as_slice());
        let new = new_asked(line, against, of_trial, &known);
        if let (Some(issued), Some(new)) = (&mut line.issued, new)
            && issued.moved.is_none()
        {
            issued.basis_stands = false;
            let new = new.trim_end_matches('.');
            issued.moved = Some(format!("this was not asked when it was released: {new}"));
        }
    }
}

/// The first that is asked of a released wire and is not known.
fn new_asked(
    line: &CutLine,
    against: &ToCut,
    (taught, showed): (Option<&Taught>, &[String]),
    known: &dyn Fn(&str) -> bool,
) -> Option<String> {
    let by = line.issued.as_ref()?.deduction;
    let rests = |on: &u32| *on == line.wire || line.interpolated_from.contains(on);
    let of_lengths = against.questions.iter();
    let of_lengths = of_lengths
        .filter(|a| a.lengths.is_empty() || a.lengths.iter().any(rests))
        .filter(|a| !known(&a.known_by));
    let learned = taught.filter(|_| by == Some(DeductionBy::Learned));
    let of_trial = learned.into_iter().flat_map(|taught| &taught.questions);
    let asked = against.refused.iter();
    let of_lengths = of_lengths.map(|a| &a.sentence);
    let unknown = |asked: &&String| !known(asked);
    let mut new = asked
        .filter(unknown)
        .chain(of_lengths)
        .chain(showed.iter().filter(unknown))
        .chain(of_trial.filter(unknown));
    // One yes to a slim chance is a yes to it, whatever the figure is.
    let slim = || {
        let slim = slim_chance(line, by)?;
        let whose = slim.split_inclusive(" is ").next().unwrap_or(&slim);
        (!known(whose)).then_some(slim)
    };
    let against = || {
        let chosen = taught.is_some() && by == Some(DeductionBy::Computed);
        let (begins, told) = match line.learned {
            None => (LEARNED_HAS_NONE, NONE_AS_LEARNED),
            Some(_) => (LEARNED_ELSEWHERE, ELSEWHERE),
        };
        learned_against(line).filter(|_| chosen)?;
        // Its whole name: A1 is not A11.
        let is_known = [".", ","]
            .iter()
            .any(|end| known(&format!("{begins} {}{end}", line.name)));
        (!is_known).then(|| told.to_owned())
    };
    new.next().cloned().or_else(slim).or_else(against)
}

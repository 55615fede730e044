//! Whether a release for cutting still says what the sheet says: what it rests on may have moved by an
//! entry that nothing names, so the figure itself is held against the one that would be released now.
//!
//! Invariant: a release that is told as standing is refused by nothing, and the deduction that was computed
//! gives the same length on the tape. What a trial wire teaches goes on being taught by every wire that is
//! read: by less than the spread of one it moves no release.

use super::{CutLine, Issued};
use crate::job::Wire;
use crate::model::values::DeductionBy;
use crate::work::ToCut;

/// Said of a release of which something in the basis moved.
pub(super) const BASIS: &str = "something that its length was worked out from was changed, added or disputed since it was released";

/// Less than this the tape does not tell, millimetres.
const APART: f64 = 0.99;

/// Marks releases of wires that are not cut yet and that the sheet tells otherwise now; `taught` tells whether
/// a trial wire was read.
pub(super) fn mark(lines: &mut [CutLine], taught: bool) {
    for line in lines.iter_mut().filter(|line| line.cut_done_mm.is_none()) {
        let unmarked = line.issued.as_ref().filter(|issued| issued.moved.is_none());
        let moved = unmarked.and_then(|issued| otherwise_now(line, issued, taught));
        if let (Some(issued), Some(moved)) = (&mut line.issued, moved) {
            issued.basis_stands = false;
            issued.moved = Some(moved);
        }
    }
}

/// What the sheet tells otherwise now, as a clause; none where it tells the same.
fn otherwise_now(line: &CutLine, issued: &Issued, taught: bool) -> Option<String> {
    if let Some(refused) = &line.refused {
        let why = refused.sentence.trim_end_matches('.');
        return Some(format!("it can't be cut as things stand now: {why}"));
    }
    let by_trial = |spread: f64| spread.max(APART);
    let learned = line
        .learned
        .as_ref()
        .map(|cut| (cut.aim_mm, by_trial(cut.spread_mm)));
    let now = match issued.deduction {
        Some(DeductionBy::Learned) if !taught => {
            let why = "it was released by what a trial wire taught, and none teaches anything now";
            return Some(why.to_owned());
        }
        Some(DeductionBy::Learned) => learned,
        _ => line.aim_mm.map(|aim| (aim, APART)),
    };
    let Some((now, most)) = now else {
        return Some("no cut is left for it now by the deduction that was chosen".to_owned());
    };
    let apart = |aim: f64, most: f64| (aim - issued.cut_mm).abs() > most;
    if apart(now, most) {
        return Some(format!("the sheet gives {now:.0} mm for it now"));
    }
    if !taught || issued.deduction.is_some() {
        return None;
    }
    match learned {
        None => Some("by what the trial wire taught since, no cut is left for it".to_owned()),
        Some((aim, most)) => apart(aim, most).then(|| {
            format!(
                "it was released before the trial wire was read, by which it would be {aim:.0} mm"
            )
        }),
    }
}

/// Marks releases of wires that are not cut yet of which something is asked now that was not answered as they
/// were released.
pub(super) fn mark_asked(lines: &mut [CutLine], wires: &[Wire], against: &ToCut) {
    for line in lines.iter_mut().filter(|line| line.cut_done_mm.is_none()) {
        let wire = wires.iter().find(|wire| wire.number == line.wire);
        let told = wire.and_then(|wire| wire.issued.told());
        let answered = told.and_then(|told| told.with.as_ref()?.reason.as_deref());
        let known = |asked: &&String| answered.is_some_and(|said| said.contains(asked.as_str()));
        let mut asked = against.refused.iter().chain(&against.questions);
        let new = asked.find(|asked| !known(asked));
        if let (Some(issued), Some(new)) = (&mut line.issued, new)
            && issued.moved.is_none()
        {
            issued.basis_stands = false;
            let new = new.trim_end_matches('.');
            issued.moved = Some(format!("this was not asked when it was released: {new}"));
        }
    }
}

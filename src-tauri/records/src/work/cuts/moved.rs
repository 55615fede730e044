//! Whether a release for cutting still says what the sheet says: what it rests on may have moved by an
//! entry that nothing names, so the figure itself is held against the one that would be released now.
//!
//! Invariant: a release that is told as standing is refused by nothing, and the same deduction gives the same
//! length on the tape.

use super::{CutLine, Issued};
use crate::model::values::DeductionBy;

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
    let apart = |aim: &f64| (aim - issued.cut_mm).abs() > APART;
    let learned = line.learned.as_ref().map(|cut| cut.aim_mm);
    let now = match issued.deduction {
        Some(DeductionBy::Learned) => learned,
        _ => line.aim_mm,
    };
    let Some(now) = now else {
        return Some("no cut is left for it now by the deduction that was chosen".to_owned());
    };
    if apart(&now) {
        return Some(format!("the sheet gives {now:.0} mm for it now"));
    }
    if !taught || issued.deduction.is_some() {
        return None;
    }
    match learned {
        None => Some("by what the trial wire taught since, no cut is left for it".to_owned()),
        Some(aim) => apart(&aim).then(|| {
            format!(
                "it was released before the trial wire was read, by which it would be {aim:.0} mm"
            )
        }),
    }
}

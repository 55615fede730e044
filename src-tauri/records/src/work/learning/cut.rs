//! Windows and aims of the cuts that are left, as the trial wires move them.

use mechanics::Millimetres;
use mechanics::cutting::{
    CutInput, CutWindow, aim_on_tape, cut_window, shown_chance, straight_chance,
};
use mechanics::trial::{Learned, learn, next_deduction, window_as_learned};

use super::{Known, LearnedCut};
use crate::job::Run;
use crate::model::values::DeductionBy;
use crate::work::WorkError;
use crate::work::cuts::{CutLine, Shared, TAPE, input, outside};
use crate::work::lengths::Inside;

/// What each wire's window is worked out from; none where its length can't be cut from.
pub(super) fn inputs(
    shared: &Shared,
    lengths: &[Inside],
    lines: &[CutLine],
) -> Vec<Option<CutInput>> {
    lengths
        .iter()
        .zip(lines)
        .map(|(length, line)| {
            let known = length.length.as_ref().ok()?;
            Some(input(shared, known, line.wire))
        })
        .collect()
}

/// Writes the spread of each line, its learned cut, and whether what was cut by that still works.
pub(super) fn write(known: &Known, run: &Run, lines: &mut [CutLine]) -> Result<(), WorkError> {
    let before = learn(&known.prior, &[])?;
    for ((line, input), wire) in lines.iter_mut().zip(&known.inputs).zip(&run.wires) {
        let Some(input) = input.as_ref().filter(|_| line.refused.is_none()) else {
            continue;
        };
        line.spread_mm = Some(spread(&before, input)?.value());
        if known.readings.is_empty() {
            continue;
        }
        let computed = cut_window(input)?;
        let window = window_as_learned(&computed, input, &known.learned)?;
        let moved = window.aim - computed.aim;
        line.learned = Some(cut(input, &window, moved)?);
        let by = wire.issued.value().and_then(|issue| issue.deduction);
        if by == Some(DeductionBy::Learned) {
            line.outside = outside(line, &window);
        }
    }
    Ok(())
}

/// Spread of a finished engagement before the wire is cut.
pub(super) fn spread(learned: &Learned, input: &CutInput) -> Result<Millimetres, WorkError> {
    let zero = Millimetres(0.0);
    Ok(next_deduction(learned, input.inside_to_inside, zero, zero)?.spread)
}

/// A cut with its window on the tape.
pub(super) fn cut(
    input: &CutInput,
    window: &CutWindow,
    moved: Millimetres,
) -> Result<LearnedCut, WorkError> {
    let aim = aim_on_tape(window, TAPE)?;
    let chance = straight_chance(window, aim, window.spread);
    Ok(LearnedCut {
        aim_mm: aim.value(),
        shortest_mm: window.shortest.value(),
        longest_mm: window.longest.value(),
        deduction_mm: (input.inside_to_inside - window.aim).value(),
        moved_mm: moved.value(),
        spread_mm: window.spread.value(),
        chance,
        chance_words: shown_chance(chance),
    })
}

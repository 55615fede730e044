//! Windows, aims and chances of the cuts that are left, as computed and as the trial wires move them.
//!
//! Invariant: every chance counts the whole spread: of a cut as computed also what the fittings' own
//! figures may be off, which alone is more than measuring and making; so that the sheet, the bars
//! beside a learned cut and a release tell one chance of one cut.

use mechanics::cutting::{
    CutInput, CutWindow, aim_on_tape, chance_within, cut_window, shown_chance, straight_chance,
};
use mechanics::trial::{Learned, learn, learned_offset, next_deduction, window_as_learned};
use mechanics::{MechanicsError, Millimetres};

use super::{Known, LearnedCut};
use crate::job::{Run, Wire};
use crate::model::context::Number;
use crate::model::values::DeductionBy;
use crate::work::WorkError;
use crate::work::cuts::{CHANCE, CutLine, NONE_TOLD, SLIM, Shared, TAPE, input, outside};
use crate::work::figures::Origin;
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

/// Writes spread and chance of each line, its learned cut, and whether what was cut by that still works.
pub(super) fn write(known: &Known, run: &Run, lines: &mut [CutLine]) -> Result<(), WorkError> {
    let before = learn(&known.prior, &[])?;
    let doubt = doubt(known);
    for ((line, input), wire) in lines.iter_mut().zip(&known.inputs).zip(&run.wires) {
        let Some(input) = input.as_ref().filter(|_| line.refused.is_none()) else {
            continue;
        };
        let as_computed = computed(&before, input)?;
        line.spread_mm = Some(as_computed.spread_mm);
        let told = chances_are_told(line);
        if told {
            line.chance = as_computed.chance;
            line.numbers.push(Number {
                name: CHANCE.into(),
                value: as_computed.chance_words.clone(),
                origin: "computed".into(),
            });
            line.chance_words = Some(as_computed.chance_words);
        }
        if known.readings.is_empty() {
            continue;
        }
        let before = cut_window(input)?;
        let window = match window_as_learned(&before, input, &known.learned) {
            // Told among what is asked of the readings.
            Err(MechanicsError::NoWindow { .. }) => {
                if by_learned(wire) && line.cut_done_mm.is_none() {
                    line.outside = Some(format!(
                        "{} is released as learned, and as learned no cut is left now: read the trial \
                         wire again, or release it anew, before it is cut.",
                        line.name
                    ));
                }
                continue;
            }
            found => found?,
        };
        let window = CutWindow {
            spread: with_own_length(window.spread, input),
            ..window
        };
        let moved = (
            window.aim - before.aim,
            learned_offset(input, &known.learned)?,
        );
        let mut cut = learned(input, &window, moved)?;
        cut.chance_words.push_str(&doubt);
        let aim = line.aim_mm.map(Millimetres);
        cut.computed_chance = aim.map(|aim| straight_chance(&window, aim, window.spread));
        if !told {
            untell(&mut cut);
            // One that speaks against the computed cut stays: it promises nothing.
            cut.computed_chance = cut.computed_chance.filter(|chance| *chance < SLIM);
        }
        line.learned = Some(cut);
        if by_learned(wire) {
            line.outside = outside(line, &window, true);
        }
    }
    Ok(())
}

/// Where the posts' movement is not known, a chance without it would promise too much.
pub(super) fn chances_are_told(line: &CutLine) -> bool {
    line.inward_origin != Some(Origin::Assumed)
}

/// Takes the chance from a cut of which none is told.
pub(super) fn untell(cut: &mut LearnedCut) {
    cut.chance = None;
    NONE_TOLD.clone_into(&mut cut.chance_words);
}

/// What a chance rests on while what was read of a trial wire is questioned: to stand after it.
fn doubt(known: &Known) -> String {
    let named = known.names_of(&known.learned.questioned());
    if named.is_empty() {
        return String::new();
    }
    format!(", if what was read of {} is right", named.join(" and "))
}

fn by_learned(wire: &Wire) -> bool {
    let by = wire.issued.value().and_then(|issue| issue.deduction);
    by == Some(DeductionBy::Learned)
}

/// The computed cut with the whole spread that it has before any wire was fitted.
pub(super) fn computed(before: &Learned, input: &CutInput) -> Result<LearnedCut, WorkError> {
    let zero = Millimetres(0.0);
    let whole = next_deduction(before, input.inside_to_inside, zero, zero)?.spread;
    let mut window = cut_window(input)?;
    window.spread = window.spread.max(with_own_length(whole, input));
    let aim = aim_on_tape(&window, TAPE)?;
    let chance = chance_within(input, aim, window.spread)?.careful;
    Ok(told(input, &window, (aim, (zero, zero)), chance))
}

/// The spread of a deduction with what the wire's own length may be off beyond the millimetre that
/// every reading is taken to be off, which the deduction's spread holds already.
fn with_own_length(spread: Millimetres, input: &CutInput) -> Millimetres {
    Millimetres(beside_own(spread.value(), input.spreads.measure.value()))
}

fn beside_own(spread: f64, own: f64) -> f64 {
    (spread * spread + (own * own - 1.0).max(0.0)).sqrt()
}

/// A cut as learned. Its window moved with what the trial wires showed, stretch counted, so the
/// stiffness has one reading.
fn learned(
    input: &CutInput,
    window: &CutWindow,
    moved: (Millimetres, Millimetres),
) -> Result<LearnedCut, WorkError> {
    let aim = aim_on_tape(window, TAPE)?;
    let chance = straight_chance(window, aim, window.spread);
    Ok(told(input, window, (aim, moved), chance))
}

/// A cut with its window: its aim, by how much the window's middle moved and by what offset.
fn told(
    input: &CutInput,
    window: &CutWindow,
    (aim, (moved, offset)): (Millimetres, (Millimetres, Millimetres)),
    chance: f64,
) -> LearnedCut {
    LearnedCut {
        aim_mm: aim.value(),
        shortest_mm: window.shortest.value(),
        longest_mm: window.longest.value(),
        deduction_mm: (input.inside_to_inside - window.aim).value(),
        moved_mm: moved.value(),
        offset_mm: offset.value(),
        spread_mm: window.spread.value(),
        chance: Some(chance),
        chance_words: shown_chance(chance),
        computed_chance: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rough_length_stays_in_the_spread_whatever_was_learned() {
        let with = |own: f64| beside_own(2.2, own);
        assert!((with(1.0) - 2.2).abs() < 1e-12 && (with(0.5) - 2.2).abs() < 1e-12);
        // √(2.2² + 8² − 1²)
        assert!((with(8.0) - 8.236_504).abs() < 1e-6);
    }
}

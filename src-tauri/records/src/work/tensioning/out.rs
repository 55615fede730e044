//! Pieces of wires that were read and taken out: what was read of the others while one pulled holds no more.

use mechanics::Newtons;
use mechanics::tensioning::brought_on;

use super::{Laid, NowFrom};
use crate::job::{Run, Wire};
use crate::work::WorkError;
use crate::work::readings::{TakenOut, TensionLine};

/// What was read of the other wires while a piece pulled is brought to what they stand at with what its wire has
/// now.
pub(super) fn rise(
    laid: &Laid<'_>,
    out: &[TakenOut],
    read_ms: &[Option<i64>],
    now: &mut [Newtons],
    from: &mut [NowFrom],
) -> Result<(), WorkError> {
    for one in out {
        // Of several pieces the one that pulled when a wire was read.
        let before = out.iter().filter(|other| other.place == one.place);
        let before = before
            .map(|other| other.at_ms)
            .filter(|at| *at < one.at_ms)
            .max();
        let pulled = |at: i64| at < one.at_ms && before.is_none_or(|before| at >= before);
        let affected: Vec<usize> = read_ms
            .iter()
            .enumerate()
            .filter(|(place, at)| *place != one.place && at.is_some_and(pulled))
            .map(|(place, _)| place)
            .collect();
        let Some(has) = now.get(one.place).copied().filter(|_| !affected.is_empty()) else {
            continue;
        };
        let mut was = now.to_vec();
        if let Some(was) = was.get_mut(one.place) {
            *was = one.showed;
        }
        let then = brought_on(&laid.frame, &was, &[(one.place, has)])?;
        for place in affected {
            let (Some(now), Some(then), Some(from)) =
                (now.get_mut(place), then.get(place), from.get_mut(place))
            else {
                continue;
            };
            if (*then - *now).abs().value() >= 0.5 {
                *now = *then;
                *from = NowFrom::Computed;
            }
        }
    }
    Ok(())
}

/// Places of wires whose last piece but this one no gauge read, though it hung under a mass, and came out after
/// others were read: by how much those rose is not worked out.
pub(super) fn by_mass_alone(
    run: &Run,
    lines: &[TensionLine],
    read_ms: &[Option<i64>],
) -> Vec<usize> {
    let hung = |wire: &Wire, piece: u32| {
        let mut tips = wire.deflections.iter().flat_map(|(_, fact)| &fact.tips);
        tips.any(|tip| tip.with.as_ref().is_some_and(|with| with.piece == piece))
    };
    let mut found = Vec::new();
    for (place, line) in lines.iter().enumerate() {
        let Some((wire, piece)) = run.wire(line.wire).zip(line.piece.checked_sub(1)) else {
            continue;
        };
        let read = line.readings.iter().any(|r| r.counts && r.piece == piece);
        let out_ms = wire.piece.told().map(|told| told.at.ms);
        let others = read_ms.iter().enumerate();
        let mut others = others.filter(|(other, _)| *other != place);
        let stale = others.any(|(_, at)| at.zip(out_ms).is_some_and(|(at, out)| at < out));
        if piece > 0 && !read && hung(wire, piece) && stale {
            found.push(place);
        }
    }
    found
}

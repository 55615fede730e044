//! Pieces of wires that were read by gauge and taken out, and when.

use mechanics::Newtons;

use super::answer::TensionLine;
use crate::job::Run;

/// A piece that was read by gauge and taken out.
pub(in crate::work) struct TakenOut {
    pub(in crate::work) place: usize,
    pub(super) piece: u32,
    /// When it came out: as told, or before the next piece was read.
    pub(in crate::work) at_ms: i64,
    /// What it showed last.
    pub(in crate::work) showed: Newtons,
}

/// The pieces that were read and taken out, by wire and piece.
pub(in crate::work) fn taken_out(run: &Run, lines: &[TensionLine]) -> Vec<TakenOut> {
    let mut found = Vec::new();
    for (place, line) in lines.iter().enumerate() {
        let told = run.wire(line.wire).and_then(|wire| wire.piece.told());
        let told = told.map(|told| told.at.ms);
        for piece in 1..line.piece {
            let counted = || line.readings.iter().filter(|r| r.counts);
            let newest = counted().filter(|r| r.piece == piece);
            let newest = newest.max_by_key(|r| (r.at_ms, r.entry));
            let Some((newest, showed)) = newest.and_then(|r| Some((r, r.newtons?))) else {
                continue;
            };
            let next = counted().filter(|r| r.piece > piece).map(|r| r.at_ms).min();
            let at_ms = match piece + 1 == line.piece {
                true => told.or(next),
                false => next.or(told),
            };
            found.push(TakenOut {
                place,
                piece,
                at_ms: at_ms.unwrap_or(newest.at_ms).max(newest.at_ms),
                showed: Newtons(showed),
            });
        }
    }
    found
}

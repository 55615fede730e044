//! Readings off the straight line between their neighbours.

use super::{LengthAdvice, LengthReading, Point, STRAIGHT_WITHIN, check_heights, known_points};
use crate::error::MechanicsError;
use crate::units::Millimetres;

/// Asks about readings off the straight line between their measured neighbours below and above, the
/// furthest first: slips, which would bend every wire that is interpolated beside them.
///
/// Of three that make no line, the one without which the rest come closest to one (least sum of what they are off) is taken
/// for the slip, the middle one where that tells nothing, and left out before the next is looked for: one slip is one
/// question, and a second does not hide behind it.
///
/// # Errors
/// As [`interpolate`], of heights and readings.
pub fn straight_advice(
    heights: &[Millimetres],
    readings: &[LengthReading],
) -> Result<Vec<LengthAdvice>, MechanicsError> {
    check_heights(heights)?;
    let mut points = known_points(heights, readings)?;
    let mut found = Vec::new();
    while let Some(Bent { at, off }) = bent_most(&points).filter(|b| b.off.abs() > STRAIGHT_WITHIN)
    {
        let left_by = |out: &usize| -> f64 {
            let mut rest = points.clone();
            rest.remove(*out);
            bends(&rest).map(|bent| bent.off.abs().value()).sum()
        };
        let by_rest = |a: &usize, b: &usize| left_by(a).total_cmp(&left_by(b));
        let slip = [at, at - 1, at + 1].into_iter().min_by(by_rest);
        let of_point = |p: &Point| format!("wire {}, {}", p.wire, Millimetres(p.length));
        let [below, wire, above] =
            [at - 1, at, at + 1].map(|at| points.get(at).map(of_point).unwrap_or_default());
        let three = [at - 1, at, at + 1].map(|at| points.get(at).map_or(0, |p| p.wire));
        let slip = points.remove(slip.unwrap_or(at));
        found.push(LengthAdvice::OffTheLine {
            wire: slip.wire,
            three,
            off,
            sentence: format!(
                "Of {below}, {wire} and {above}, the middle one lies {} off a straight line, where posts \
                 bow by less than {STRAIGHT_WITHIN}, and the wires beside them follow it. Was one of \
                 the three misread?",
                off.abs()
            ),
        });
    }
    Ok(found)
}

/// The reading that lies furthest off the line between its neighbours.
struct Bent {
    /// Its place among the points; one lies below it and one above.
    at: usize,
    off: Millimetres,
}

fn bent_most(points: &[Point]) -> Option<Bent> {
    bends(points).max_by(|a, b| a.off.abs().value().total_cmp(&b.off.abs().value()))
}

fn bends(points: &[Point]) -> impl Iterator<Item = Bent> {
    let off = |(at, three): (usize, &[Point])| match three {
        [below, wire, above] => {
            let zeta = (wire.height - below.height) / (above.height - below.height);
            let line = below.length + (above.length - below.length) * zeta;
            let off = Millimetres(wire.length - line);
            Some(Bent { at, off })
        }
        _ => None,
    };
    (1..).zip(points.windows(3)).filter_map(off)
}

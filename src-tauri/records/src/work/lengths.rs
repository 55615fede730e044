//! Inside-to-inside length of every wire of a run: measured, interpolated, or why there is none.
//!
//! Invariant: a wire whose own readings can't be cut from is refused by its own reason, and an
//! interpolated wire is refused when a reading that it rests on is.

use std::collections::HashSet;

use mechanics::Millimetres;
use mechanics::lengths::{ASSUMED_BOW_SPREAD, LengthReading, interpolate};

use super::convert::heights;
use super::figures::Origin;
use super::{Refusal, RefusalCode};
use crate::ids::Hash;
use crate::job::{Fact, Run, Told, Wire, WireLength};
use crate::model::context::LengthRead;
use crate::model::values::{Faces, Length, PostState};

/// Standard deviation of a tape reading where none was told.
const READING_SPREAD: Millimetres = Millimetres(1.0);

/// The length of one wire.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Inside {
    pub(super) wire: u32,
    pub(super) length: Result<Known, Refusal>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Known {
    pub(super) mm: Millimetres,
    pub(super) spread: Millimetres,
    pub(super) origin: Origin,
    /// Wires whose readings it rests on.
    pub(super) from: Vec<u32>,
    /// Claims used.
    pub(super) basis: Vec<Hash>,
}

struct Point {
    wire: u32,
    reading: Result<(LengthReading, Vec<Hash>), Refusal>,
}

/// Lengths of all wires of a run, from the bottom, and the bow where three readings give it.
pub(super) fn inside(run: &Run) -> (Vec<Inside>, Option<Millimetres>) {
    let heights = heights(run);
    let points = points(run);
    let mut bow = None;
    let mut found = Vec::with_capacity(run.wires.len());
    for wire in &run.wires {
        // As `inside_of` does it, with what all wires share.
        let length = match own(wire, &points) {
            Some(own) => own,
            None if heights.len() != run.wires.len() => Err(no_heights(wire.number)),
            None => between(wire.number, &heights, &points, &mut bow),
        };
        found.push(Inside {
            wire: wire.number,
            length,
        });
    }
    (found, bow)
}

/// The length of one wire as [`inside`] tells it.
fn inside_of(run: &Run, wire: &Wire) -> Result<Known, Refusal> {
    let (points, heights) = (points(run), heights(run));
    match own(wire, &points) {
        Some(own) => own,
        None if heights.len() != run.wires.len() => Err(no_heights(wire.number)),
        None => between(wire.number, &heights, &points, &mut None),
    }
}

/// How many readings a wire's length comes from now that say something else than those in `basis`
/// do of the same wire: measured again since, or of a wire that was not measured then.
///
/// # Errors
/// Why the wire can't be cut from its length now.
pub(super) fn readings_since(
    run: &Run,
    wire: &Wire,
    basis: &HashSet<Hash>,
) -> Result<usize, Refusal> {
    let now: HashSet<Hash> = inside_of(run, wire)?.basis.into_iter().collect();
    let count = |wire: &Wire| {
        let told = || wire.lengths.iter().flat_map(|fact| &fact.tips);
        let said = |told: &Told<Length, LengthRead>| {
            Some(nm_between_inserts(told.value?, told.with.as_ref()))
        };
        let before: HashSet<i64> = told()
            .filter(|told| basis.contains(&told.id))
            .filter_map(said)
            .collect();
        told()
            .filter(|told| now.contains(&told.id) && !basis.contains(&told.id))
            .filter_map(said)
            .filter(|nm| !before.contains(nm))
            .count()
    };
    Ok(run.wires.iter().map(count).sum())
}

/// Readings that may be cut from, one a wire.
pub(super) fn readings(run: &Run) -> Vec<LengthReading> {
    points(run)
        .into_iter()
        .filter_map(|p| p.reading.ok().map(|(reading, _)| reading))
        .collect()
}

fn points(run: &Run) -> Vec<Point> {
    run.wires
        .iter()
        .filter_map(|wire| {
            let reading = match &wire.length {
                WireLength::Cuttable {
                    spread_nm, basis, ..
                } => Ok(reading(wire, *spread_nm, basis)),
                other => Err(refusal(wire.number, other)?),
            };
            Some(Point {
                wire: wire.number,
                reading,
            })
        })
        .collect()
}

fn reading(wire: &Wire, half_range_nm: i64, basis: &[Hash]) -> (LengthReading, Vec<Hash>) {
    let used = || {
        wire.lengths
            .iter()
            .filter_map(Fact::told)
            .filter(|t| basis.contains(&t.id))
    };
    let between: Vec<f64> = used()
        .filter_map(|t| Some(between_inserts(t.value?, t.with.as_ref())))
        .collect();
    let told = used()
        .filter_map(|t| t.with.as_ref()?.spread_nm)
        .map(|nm| Length { nm }.as_mm())
        .fold(READING_SPREAD.value(), f64::max);
    #[allow(clippy::cast_precision_loss)] // a handful of repeats
    let mean = between.iter().sum::<f64>() / between.len().max(1) as f64;
    let reading = LengthReading {
        wire: wire.number,
        length: Millimetres(mean),
        spread: Millimetres(told.max(Length { nm: half_range_nm }.as_mm())),
    };
    (reading, basis.to_vec())
}

/// A reading between post faces less what the inserts stand proud of them.
pub(crate) fn between_inserts(length: Length, with: Option<&LengthRead>) -> f64 {
    Length {
        nm: nm_between_inserts(length, with),
    }
    .as_mm()
}

fn nm_between_inserts(length: Length, with: Option<&LengthRead>) -> i64 {
    let proud = with
        .filter(|w| w.faces == Faces::PostFaces)
        .and_then(|w| w.proud_nm)
        .unwrap_or(0);
    length.nm - proud
}

fn own(wire: &Wire, points: &[Point]) -> Option<Result<Known, Refusal>> {
    let point = points.iter().find(|p| p.wire == wire.number)?;
    Some(match &point.reading {
        Ok((reading, basis)) => Ok(Known {
            mm: reading.length,
            spread: reading.spread,
            origin: Origin::Measured,
            from: vec![wire.number],
            basis: basis.clone(),
        }),
        Err(refusal) => Err(refusal.clone()),
    })
}

fn between(
    wire: u32,
    heights: &[Millimetres],
    points: &[Point],
    bow: &mut Option<Millimetres>,
) -> Result<Known, Refusal> {
    // A quote length is no neighbour: it neither carries an interpolation nor stands in its way.
    let near: Vec<&Point> = points
        .iter()
        .filter(|p| !matches!(&p.reading, Err(r) if r.code == RefusalCode::QuoteOnly))
        .collect();
    let below = near.iter().rfind(|p| p.wire < wire);
    let above = near.iter().find(|p| p.wire > wire);
    let (Some(below), Some(above)) = (below, above) else {
        return Err(not_measured(wire, points, near.is_empty()));
    };
    // Three readings make one curve, so each interpolated wire rests on all three.
    let rests_on: Vec<&Point> = if near.len() == 3 {
        near.iter().map(|p| &**p).collect()
    } else {
        vec![below, above]
    };
    if let Some((neighbour, refusal)) = rests_on
        .iter()
        .find_map(|p| p.reading.as_ref().err().map(|r| (p.wire, r)))
    {
        return Err(rests_on_refused(wire, neighbour, refusal));
    }
    let all_good = near.iter().all(|p| p.reading.is_ok());
    let used: Vec<&Point> = if all_good { near } else { rests_on.clone() };
    let first = used.first().map_or(1, |p| p.wire);
    let last = used.last().map_or(first, |p| p.wire);
    let readings: Vec<LengthReading> = used
        .iter()
        .filter_map(|p| p.reading.as_ref().ok())
        .map(|(r, _)| LengthReading {
            wire: r.wire - first + 1,
            ..*r
        })
        .collect();
    let part: Vec<Millimetres> = (1_u32..)
        .zip(heights)
        .filter(|(number, _)| (first..=last).contains(number))
        .map(|(_, height)| *height)
        .collect();
    let run = match interpolate(&part, &readings, ASSUMED_BOW_SPREAD) {
        Ok(run) => run,
        Err(error) => return Err(cannot(wire, &error.to_string())),
    };
    if run.bow.is_some() {
        *bow = run.bow;
    }
    let Some(found) = run.wires.iter().find(|w| w.wire + first - 1 == wire) else {
        return Err(not_measured(wire, points, false));
    };
    Ok(Known {
        mm: found.length,
        spread: found.spread,
        origin: Origin::Interpolated,
        from: rests_on.iter().map(|p| p.wire).collect(),
        basis: rests_on
            .iter()
            .filter_map(|p| p.reading.as_ref().ok())
            .flat_map(|(_, basis)| basis.clone())
            .collect(),
    })
}

fn refusal(wire: u32, length: &WireLength) -> Option<Refusal> {
    let (code, sentence) = match length {
        WireLength::NotMeasured | WireLength::Cuttable { .. } => return None,
        WireLength::Disputed => (
            RefusalCode::Disputed,
            format!(
                "Wire {wire}: two people give different lengths. Measure it again; that settles it."
            ),
        ),
        WireLength::Newer => (
            RefusalCode::Newer,
            format!(
                "Wire {wire}: its length was changed by a newer version. Update the program to see it."
            ),
        ),
        WireLength::QuoteOnly => (
            RefusalCode::QuoteOnly,
            format!(
                "Wire {wire}: the length was read for a quote, not for cutting. Measure it for cutting."
            ),
        ),
        WireLength::TooEarly(state) => (
            RefusalCode::TooEarly,
            format!(
                "Wire {wire}: the length was read {}, before posts and rail were final. Measure it again.",
                state_words(*state)
            ),
        ),
    };
    Some(Refusal { code, sentence })
}

fn cannot(wire: u32, why: &str) -> Refusal {
    Refusal {
        code: RefusalCode::NotMeasured,
        sentence: format!("Wire {wire} is not measured and can't be interpolated: {why}."),
    }
}

fn no_heights(wire: u32) -> Refusal {
    cannot(wire, "the heights of the wires are not told")
}

fn state_words(state: PostState) -> &'static str {
    match state {
        PostState::Loose => "with the posts loose",
        PostState::Fixed => "with the posts fixed and the rail not on",
        PostState::RailOn => "with the rail on",
        PostState::InsertsIn => "with the inserts in",
    }
}

fn rests_on_refused(wire: u32, neighbour: u32, refusal: &Refusal) -> Refusal {
    let why = match refusal.code {
        RefusalCode::Disputed => "is disputed",
        RefusalCode::Newer => "was changed by a newer version",
        RefusalCode::TooEarly => "was read before posts and rail were final",
        _ => "can't be cut from",
    };
    Refusal {
        code: RefusalCode::RestsOnRefused,
        sentence: format!(
            "Wire {wire} was not measured and would rest on wire {neighbour}, whose length {why}."
        ),
    }
}

fn not_measured(wire: u32, points: &[Point], none_for_cutting: bool) -> Refusal {
    let sentence = if points.is_empty() {
        format!(
            "Wire {wire} is not measured. Measure the bottom wire, the middle and the top wire."
        )
    } else if none_for_cutting {
        format!(
            "Wire {wire} is not measured, and the lengths around it were read for a quote. \
             Measure for cutting."
        )
    } else {
        format!(
            "Wire {wire} is not measured and lies outside the measured wires. Measure it: lengths \
             are not extrapolated."
        )
    };
    Refusal {
        code: RefusalCode::NotMeasured,
        sentence,
    }
}

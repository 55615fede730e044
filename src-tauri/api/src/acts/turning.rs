//! Turning a wire in at both ends: one turning is one act.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::Run;
use records::model::context::OnPiece;
use records::model::fields;
use records::model::values::Turns;
use records::subject::Subject;
use records::work;

use super::layout::{ends_in, piece_in, readings_of, run_of};
use crate::ApiError;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::turning::TurnWire;

/// A hundred kilonewtons: over what any wire here carries.
const MOST_MN: i64 = 100_000_000;

/// Records the turns and flats of one turning at both ends, on the piece that is in place.
pub(crate) fn turned(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &TurnWire,
) -> Result<Acted, ApiError> {
    let layout = run_of(record, job, run)?;
    let turns = at_threads(record, job, &layout, request)?;
    within_threads(record, job, &layout, turns)?;
    if turns.iter().all(|end| *end == Turns { turns: 0, flats: 0 }) {
        return Err(ApiError::invalid(
            "No turn was told. Tell turns or flats of at least one end.",
        ));
    }
    if !(1_000..=MOST_MN).contains(&request.to_mn) {
        return Err(ApiError::invalid(
            "Tell the tension towards which the wire was turned, in millinewtons, like 1500000: from 1 N to 100 kN. \
             Nothing was saved.",
        ));
    }
    let with = OnPiece {
        piece: piece_in(&layout, request.wire, None)?,
        lost_nm: None,
        to_mn: Some(request.to_mn),
        entered: None,
        reason: None,
    };
    let (field, wire) = (fields::WIRE_TURNS, Subject::Wire(run, request.wire));
    let read = readings_of(&layout, record.device());
    let mut act = Act::default();
    for (end, turns) in ends_in(&layout)?.iter().zip(turns) {
        let post = end.id.to_string();
        let mut known = tips(record, job, &wire, field.name, &post)?;
        known.extend(&read);
        act.claim(
            field,
            wire,
            &post,
            Some(&turns),
            &with,
            Earlier::after(known),
        )?;
    }
    act.record(record, job)
}

/// Refuses more turns than an end has thread: where it has, its fitting set is told wrongly.
fn within_threads(
    record: &mut Record,
    job: BookId,
    run: &Run,
    turns: [Turns; 2],
) -> Result<(), ApiError> {
    let view = record.job(job)?;
    for (end, turns) in ends_in(run)?.iter().zip(turns) {
        if let Some(beyond) = work::beyond_thread(&view, run.id, end.id, turns)? {
            return Err(ApiError::invalid(format!(
                "{beyond} Look at what was typed, or at the thread in the fitting set. Nothing was saved."
            )));
        }
    }
    Ok(())
}

/// What was turned at each end: told once, it is of every end that has a thread.
fn at_threads(
    record: &mut Record,
    job: BookId,
    run: &Run,
    request: &TurnWire,
) -> Result<[Turns; 2], ApiError> {
    const NONE: Turns = Turns { turns: 0, flats: 0 };
    let ends = ends_in(run)?;
    let mut found = [request.turns, request.last.unwrap_or(request.turns)];
    let Some(kinds) = work::end_kinds(&record.job(job)?, run) else {
        return Ok(found);
    };
    for ((turns, kind), end) in found.iter_mut().zip(kinds).zip(ends) {
        if kind.has_thread() {
            continue;
        }
        if request.last.is_some() && *turns != NONE {
            return Err(ApiError::invalid(format!(
                "The {} end of run {} is {}: nothing turns there. Nothing was saved.",
                end.name,
                run.name,
                work::words::an_end(kind)
            )));
        }
        *turns = NONE;
    }
    Ok(found)
}

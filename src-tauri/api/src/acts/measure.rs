//! Reading lengths: wires inside to inside, and bays. Odd ones are questioned once.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::{Job, Run};
use records::model::context::{BayRead, LengthRead};
use records::model::fields;
use records::model::values::Length;
use records::subject::Subject;
use records::work;

use super::ask;
use super::layout::{run_in, wire_of};
use crate::claim::{Act, Acted, Earlier};
use crate::handlers::hashes;
use crate::handlers::measure::{Measure, MeasureBay};
use crate::{ApiError, ErrorCode};

/// Records an inside-to-inside length of a wire.
pub(crate) fn wire(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &Measure,
    length: Length,
    with: &LengthRead,
) -> Result<Acted, ApiError> {
    question_wire(&record.job(job)?, run, request, (length, with))?;
    let mut act = Act::default();
    act.claim(
        fields::WIRE_LENGTH,
        Subject::Wire(run, request.wire),
        "",
        Some(&length),
        with,
        Earlier::over(hashes(&request.over)?),
    )?;
    act.record(record, job)
}

/// Refuses a wire that the layout does not have, and asks about a length that is most likely a slip.
fn question_wire(
    job: &Job<'_>,
    run: ItemId,
    request: &Measure,
    (length, with): (Length, &LengthRead),
) -> Result<(), ApiError> {
    let run = run_in(job, run)?;
    wire_of(run, request.wire)?;
    // A spread that can't be is refused, whatever was answered.
    let spread = with.spread_nm.map(|nm| Length { nm });
    let off = spread.map(work::odd_spread).transpose()?.flatten();
    if request.confirmed {
        return Ok(());
    }
    let odd = work::odd_length(job, run, request.wire, length)?;
    // A length in another unit contradicts the bays too: one question is enough.
    let apart = match odd.is_empty() {
        true => work::odd_against_bays(run, request.wire, length, with)?,
        false => None,
    };
    // A correction names what it takes the place of.
    let again = match apart.is_none() && odd.is_empty() && request.over.is_empty() {
        true => work::odd_beside_repeats(request.wire, length, with, work::lengths_taken(run)),
        false => None,
    };
    let bow = match apart.is_none() && again.is_none() && odd.is_empty() {
        true => work::odd_bow(run, request.wire, length, with),
        false => None,
    };
    ask(odd
        .into_iter()
        .chain(apart)
        .chain(again)
        .chain(bow)
        .chain(off))
}

/// Records the clear distance of a bay.
pub(crate) fn bay(
    record: &mut Record,
    job: BookId,
    bay: Subject,
    request: &MeasureBay,
    (length, with): (Length, &BayRead),
) -> Result<Acted, ApiError> {
    if !matches!(bay, Subject::Bay(..)) {
        return Err(ApiError::invalid("That is not a bay."));
    }
    question_bay(&record.job(job)?, &bay, length, request.confirmed)?;
    let mut act = Act::default();
    act.claim(
        fields::BAY_CLEAR,
        bay,
        "",
        Some(&length),
        with,
        Earlier::over(hashes(&request.over)?),
    )?;
    act.record(record, job)
}

/// Refuses a bay that the layout does not have, and asks about a clear distance that is most likely
/// in another unit.
fn question_bay(
    job: &Job<'_>,
    bay: &Subject,
    length: Length,
    confirmed: bool,
) -> Result<(), ApiError> {
    let of_bay = |run: &&Run| run.bays.iter().any(|b| b.subject == *bay);
    let Some(run) = job.runs.iter().find(of_bay) else {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "This bay is not in the layout: its two posts do not stand side by side in a run. \
             Nothing was saved.",
        ));
    };
    if confirmed {
        return Ok(());
    }
    ask(work::odd_bay(run, bay, length)?)
}

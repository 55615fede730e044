//! Trial wires: what a fitted one shows.

use records::Record;
use records::ids::{BookId, ItemId};
use records::model::context::OnPiece;
use records::model::fields;
use records::model::values::Length;
use records::subject::Subject;
use records::work;

use super::ask;
use super::layout::{piece_of, run_in};
use crate::ApiError;
use crate::claim::{Act, Acted, Earlier};
use crate::handlers::trial::ReadOutBy;

/// Records how far a fitted wire is out, on the piece that is in place.
pub(crate) fn out_by(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &ReadOutBy,
    out: Length,
) -> Result<Acted, ApiError> {
    if !request.confirmed {
        let job = record.job(job)?;
        let early = work::odd_to_read_ends(run_in(&job, run)?, &[request.wire]);
        ask(early.into_iter().chain(work::odd_out_by(&job, run, out)?))?;
    }
    let with = OnPiece {
        piece: piece_of(record, job, run, request.wire, None)?,
        lost_nm: None,
        to_mn: None,
        entered: Some(request.by.entered()),
        reason: None,
    };
    let (field, subject) = (fields::WIRE_OUT_BY, Subject::Wire(run, request.wire));
    let mut act = Act::default();
    act.claim(field, subject, "", Some(&out), &with, Earlier::none())?;
    act.record(record, job)
}

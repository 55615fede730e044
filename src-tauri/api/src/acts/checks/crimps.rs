//! Crimps: the day's samples that were pulled, and the terminals compared with them.
//!
//! Crimps that refer to a sample were pressed as it was, where nobody says otherwise.

use records::Record;
use records::ids::{BookId, Hash, ItemId};
use records::model::context::CrimpRead;
use records::model::entered;
use records::model::fields;
use records::model::values::{Crimp, CrimpResult};
use records::subject::Subject;
use records::work;

use crate::ApiError;
use crate::acts::ask;
use crate::acts::asked::{answered, ask_of_wires};
use crate::acts::layout::{end_of, piece_of, run_in};
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::checks::{AddSampleCrimp, CheckCrimps};
use crate::handlers::item;

/// Records a sample crimp; one without pull and time is none, and one that is called good though it
/// slipped or was hardly pulled is questioned.
pub(crate) fn add_sample(
    record: &mut Record,
    job: BookId,
    request: &AddSampleCrimp,
) -> Result<Acted, ApiError> {
    let sample = &request.sample;
    if sample.pull_mn <= 0 || sample.held_s <= 0 || sample.mark_moved_nm < 0 {
        return Err(ApiError::invalid(
            "A sample crimp needs the pull that was held, for how long, and how far the mark moved.",
        ));
    }
    if !request.confirmed {
        ask(work::odd_sample(&record.job(job)?, sample))?;
    }
    let mut act = Act::default();
    let (subject, field) = (Subject::Job(job), fields::JOB_SAMPLE_CRIMP);
    // Pulled after these, whosever they are: the newest one governs, and no clock has to say which.
    let known = tips(record, job, &subject, field.name, "")?;
    act.claim(
        field,
        subject,
        "",
        Some(sample),
        &request.with,
        Earlier::after(known),
    )?;
    act.record(record, job)
}

/// Records crimps at one end of a run as checked, each on the piece that is in place; good ones on
/// wires that nobody cut, or that refer to no sample of the day, are questioned.
pub(crate) fn check(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &CheckCrimps,
    crimp: &Crimp,
    said: CrimpRead,
) -> Result<Acted, ApiError> {
    if let Some(sample) = &said.sample
        && !work::is_sample(&record.job(job)?, sample)
    {
        return Err(ApiError::invalid(
            "The job has no such sample crimp: refer to one that is on record, or to none. Nothing was saved.",
        ));
    }
    let mut with = as_its_sample(record, job, said)?;
    let place = end_of(record, job, run, &request.post)?;
    let wires = entered::wires(&request.wires)?;
    let odd = match crimp.result {
        CrimpResult::Good => {
            let post = item(&request.post)?;
            let now = records::clock::next_at(record.clock(), None);
            let job = record.job(job)?;
            let mut odd = work::odd_crimps(&job, run_in(&job, run)?, post, &wires);
            odd.extend(work::odd_unsampled(&job, with.sample, now));
            odd
        }
        CrimpResult::Reject => Vec::new(),
    };
    if !request.confirmed {
        ask_of_wires(&odd, &[], "Call its crimp good all the same?")?;
    }
    with.reason = answered(&odd, &[]);
    let mut act = Act::default();
    for wire in wires {
        with.piece = piece_of(record, job, run, wire, None)?;
        let subject = Subject::Wire(run, wire);
        let field = fields::WIRE_CRIMP;
        let known = tips(record, job, &subject, field.name, &place)?;
        act.claim(
            field,
            subject,
            &place,
            Some(crimp),
            &with,
            Earlier::after(known),
        )?;
    }
    act.record(record, job)
}

/// Takes press and die from the sample that is referred to, where they were not said.
fn as_its_sample(record: &mut Record, job: BookId, said: CrimpRead) -> Result<CrimpRead, ApiError> {
    let made = match said.sample {
        Some(sample) if said.press.is_none() || said.die.is_none() => made_as(record, job, sample)?,
        _ => CrimpRead::default(),
    };
    Ok(CrimpRead {
        press: said.press.or(made.press),
        die: said.die.or(made.die),
        ..said
    })
}

/// Press and die of a sample.
fn made_as(record: &mut Record, job: BookId, sample: Hash) -> Result<CrimpRead, ApiError> {
    let job = record.job(job)?;
    let tips = job.sample_crimps.iter().flat_map(|fact| &fact.tips);
    let told = tips.into_iter().find(|told| told.id == sample);
    Ok(told.and_then(|told| told.with.clone()).unwrap_or_default())
}

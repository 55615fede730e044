//! Gap checks: a probe offered to the openings of a bay.
//!
//! One entry tells of the whole bay, further ones of the openings that were apart from the rest.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::Job;
use records::model::context::GapRead;
use records::model::fields;
use records::model::values::{GapCheck, Length, ProbeResult, ToolKind};
use records::subject::Subject;
use records::work::{self, BeforeOffer};

use crate::ApiError;
use crate::acts::ask;
use crate::acts::asked::answered;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::checks::{CheckGaps, GapException};

/// Records a gap check of a bay: all openings stop the probe, but for those that are apart.
pub(crate) fn check(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    bay: Subject,
    with: GapRead,
    request: &CheckGaps,
) -> Result<Acted, ApiError> {
    let apart = request.exceptions.as_slice();
    probe(record, job, &with)?;
    once(apart)?;
    let before = before(&record.job(job)?, run, &bay, &with, apart)?;
    let odd = otherwise(
        &record.job(job)?,
        run,
        &bay,
        &with,
        (apart, &before.passing),
    )?;
    if !request.confirmed {
        let known = is_known(record, job, &with)?;
        let probe = work::odd_probe(Length { nm: with.probe_nm }).filter(|_| !known);
        let push = with.push_mn.and_then(work::odd_push);
        let last = (!odd.is_empty()).then(|| "Say that the probe stops all the same?".to_owned());
        ask(odd.iter().cloned().chain(probe).chain(push).chain(last))?;
    }
    let with = GapRead {
        reason: answered(&odd, &[]).or(with.reason.clone()),
        ..with
    };
    let mut act = Act::default();
    let (field, place) = (fields::BAY_GAPS, run.to_string());
    let mut known = tips(record, job, &bay, field.name, &place)?;
    known.extend(before.follows);
    let result = of_the_bay(apart, &before.passing);
    act.claim(
        field,
        bay,
        &place,
        Some(&GapCheck { result }),
        &with,
        Earlier::after(known),
    )?;
    for (wire, result, reason) in by_name(apart, before.passing) {
        let place = format!("{run}/{wire}");
        let known = tips(record, job, &bay, field.name, &place)?;
        let with = GapRead {
            reason: reason.or_else(|| with.reason.clone()),
            ..with.clone()
        };
        act.claim(
            field,
            bay,
            &place,
            Some(&GapCheck { result }),
            &with,
            Earlier::after(known),
        )?;
    }
    act.record(record, job)
}

/// What speaks against an answer that nothing passes; nothing where openings are told apart, since of the others
/// nobody says anything.
fn otherwise(
    job: &Job<'_>,
    run: ItemId,
    bay: &Subject,
    with: &GapRead,
    (apart, passing): (&[GapException], &[u32]),
) -> Result<Vec<String>, ApiError> {
    match job.run(run).filter(|_| apart.is_empty()) {
        Some(of_run) => {
            let probe = Length { nm: with.probe_nm };
            Ok(work::odd_stops(job, of_run, bay, probe, passing)?)
        }
        None => Ok(Vec::new()),
    }
}

/// Refuses a tool that is no probe: a gauge is offered to no opening.
fn probe(record: &mut Record, job: BookId, with: &GapRead) -> Result<(), ApiError> {
    let Some(tool) = with.tool else {
        return Ok(());
    };
    match record.tool(job, tool)? {
        Some(tool) if tool.kind.is_none_or(|kind| kind == ToolKind::Probe) => Ok(()),
        Some(tool) => Err(ApiError::invalid(format!(
            "{} is no probe. Choose the probe that was offered, or tell its size alone. Nothing was \
             saved.",
            tool.name
        ))),
        None => Err(ApiError::invalid(
            "The job has no such tool. Enter the probe first, or tell its size alone. Nothing was saved.",
        )),
    }
}

/// Refuses an opening that is told twice: nobody could say which of the two holds.
fn once(apart: &[GapException]) -> Result<(), ApiError> {
    let mut named: Vec<u32> = apart.iter().map(|e| e.above_wire).collect();
    named.sort_unstable();
    match named.windows(2).find(|pair| pair.first() == pair.last()) {
        Some(_) => Err(ApiError::invalid(
            "An opening is told twice: the probe passes there or it stops. Nothing was saved.",
        )),
        None => Ok(()),
    }
}

/// Whether the probe is a tool of the job with that size: it was asked about when it was entered.
fn is_known(record: &mut Record, job: BookId, with: &GapRead) -> Result<bool, ApiError> {
    let tool = match with.tool {
        Some(tool) => record.tool(job, tool)?,
        None => None,
    };
    let size = tool.and_then(|tool| tool.size);
    Ok(size.is_some_and(|size| size.nm == with.probe_nm))
}

/// What stands of the bay's openings that nobody names now; refuses openings that the run does not
/// have, and a probe larger than the rules' sphere where it stops, for that answers nothing.
fn before(
    job: &Job<'_>,
    run: ItemId,
    bay: &Subject,
    with: &GapRead,
    apart: &[GapException],
) -> Result<BeforeOffer, ApiError> {
    let run = job
        .run(run)
        .filter(|r| r.bays.iter().any(|b| b.subject == *bay))
        .ok_or_else(|| ApiError::invalid("The run has no such bay."))?;
    let wires = run.wires.len();
    let above = apart.iter().map(|e| e.above_wire);
    if let Some(above) = above.max().filter(|above| *above as usize > wires) {
        return Err(ApiError::invalid(format!(
            "Run {} has {wires} wires; no opening is above wire {above}. Nothing was saved.",
            run.name
        )));
    }
    let mut before = work::before_offer(job, run, bay, with.probe_nm)?;
    if let Some(why) = before.too_large.as_ref().filter(|_| !any_passes(apart)) {
        return Err(ApiError::invalid(format!(
            "{why} Nothing was saved; offer one of that size."
        )));
    }
    let named = |wire: &u32| apart.iter().any(|e| e.above_wire == *wire);
    before.passing.retain(|wire| !named(wire));
    Ok(before)
}

fn any_passes(apart: &[GapException]) -> bool {
    apart.iter().any(|e| e.result == ProbeResult::Passes)
}

/// The bay's own result: the probe passes where it passes anywhere, now or by what stands.
fn of_the_bay(apart: &[GapException], passed_before: &[u32]) -> ProbeResult {
    let still_passes = !apart.is_empty() && !passed_before.is_empty();
    if any_passes(apart) || still_passes {
        ProbeResult::Passes
    } else {
        ProbeResult::Stops
    }
}

/// The openings that are told by name, with remarks. "All stop" without exceptions is said of those
/// too that passed before, each by name: clocks order no checks.
fn by_name(
    apart: &[GapException],
    passed_before: Vec<u32>,
) -> Vec<(u32, ProbeResult, Option<String>)> {
    if apart.is_empty() {
        let cleared = passed_before.into_iter();
        return cleared
            .map(|wire| (wire, ProbeResult::Stops, None))
            .collect();
    }
    let told = |e: &GapException| (e.above_wire, e.result, e.remark.clone());
    apart.iter().map(told).collect()
}

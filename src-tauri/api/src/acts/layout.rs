//! Where an act lands: the run, wire, bay or end that it names, refused where the layout has none.
//!
//! Each reading of a wire belongs to the piece of strand that was in place; here that piece is found.

use std::collections::BTreeMap;

use records::ids::{BookId, DeviceId, Hash, ItemId};
use records::job::{Job, PostInRun, Run, Told, Wire};
use records::{Record, RecordError};

use crate::handlers::item;
use crate::views::job::bay_place;
use crate::{ApiError, ErrorCode};

/// The run alone: saving one reading must not cost the reading of the whole job.
pub(crate) fn run_of(record: &mut Record, job: BookId, run: ItemId) -> Result<Run, ApiError> {
    record.run(job, run).map_err(|error| match error {
        RecordError::Unknown { what: "run", .. } => no_run(),
        other => other.into(),
    })
}

/// The run in a job that was read whole.
pub(crate) fn run_in<'a>(job: &'a Job<'_>, run: ItemId) -> Result<&'a Run, ApiError> {
    job.run(run).ok_or_else(no_run)
}

fn no_run() -> ApiError {
    ApiError::new(ErrorCode::NotFound, "This run is not in the job.")
}

/// Of what others said, the newest word of each device: who names it knew all before it on its
/// chain. This device's own words need no naming.
pub(crate) fn newest_of_others<'a, T: 'a, C: 'a>(
    told: impl Iterator<Item = &'a Told<T, C>>,
    own: DeviceId,
) -> Vec<Hash> {
    let mut newest: BTreeMap<DeviceId, (u64, Hash)> = BTreeMap::new();
    for one in told.filter(|one| one.device != own) {
        let known = newest.entry(one.device).or_insert((one.n, one.id));
        *known = (*known).max((one.n, one.id));
    }
    newest.into_values().map(|(_, id)| id).collect()
}

/// The newest turnings of a run's wires by others: whoever reads a tension reads it after these.
pub(crate) fn turnings_of(run: &Run, own: DeviceId) -> Vec<Hash> {
    let turns = run.wires.iter().flat_map(|wire| &wire.turns);
    newest_of_others(turns.flat_map(|(_, fact)| &fact.tips), own)
}

/// What whoever reads a tension reads it after: what others turned and read on the run's wires, and on
/// the runs that share a post with it, beside the `known` words of its own place. The newest of each
/// device brings its earlier words along.
pub(crate) fn known_to_reader(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    mut known: Vec<Hash>,
) -> Result<Vec<Hash>, ApiError> {
    let own = record.device();
    let job = record.job(job)?;
    let of = run_in(&job, run)?;
    let shares = |other: &&Run| {
        let mut posts = other.posts.iter();
        posts.any(|post| of.posts.iter().any(|p| p.id == post.id))
    };
    let mut beside = Vec::new();
    for run in job.runs.iter().filter(|r| r.id == of.id || shares(r)) {
        let hung = run.wires.iter().flat_map(|wire| &wire.deflections);
        beside.extend(turnings_of(run, own));
        beside.extend(readings_of(run, own));
        beside.extend(newest_of_others(hung.flat_map(|(_, fact)| &fact.tips), own));
    }
    beside.sort_unstable();
    beside.dedup();
    beside.retain(|id| !known.contains(id));
    known.append(&mut beside);
    Ok(known)
}

/// The newest tensions read on a run's wires by others: whoever turns a wire turns it after these.
pub(crate) fn readings_of(run: &Run, own: DeviceId) -> Vec<Hash> {
    let read = run.wires.iter().flat_map(|wire| &wire.tensions);
    newest_of_others(read.flat_map(|(_, fact)| &fact.tips), own)
}

/// The wire of a run.
pub(crate) fn wire_of(run: &Run, wire: u32) -> Result<&Wire, ApiError> {
    run.wire(wire).ok_or_else(|| {
        ApiError::invalid(format!(
            "Run {} has {} wires; there is no wire {wire}.",
            run.name,
            run.wires.len()
        ))
    })
}

/// The piece of strand in place; refuses a wire or bay that the layout does not have.
pub(crate) fn piece_of(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    wire: u32,
    bay: Option<&str>,
) -> Result<u32, ApiError> {
    piece_in(&run_of(record, job, run)?, wire, bay)
}

/// The same of a run that was read.
pub(crate) fn piece_in(run: &Run, wire: u32, bay: Option<&str>) -> Result<u32, ApiError> {
    let found = wire_of(run, wire)?;
    let known = |place: &str| run.bays.iter().any(|b| bay_place(b) == place);
    if bay.is_some_and(|place| !known(place)) {
        return Err(ApiError::invalid(format!(
            "Run {} has no such bay.",
            run.name
        )));
    }
    Ok(found.piece_number)
}

/// The post as a place, if the run ends there: crimps, threads and marks are at a run's ends alone.
pub(crate) fn end_of(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    post: &str,
) -> Result<String, ApiError> {
    let post = item(post)?;
    let run = run_of(record, job, run)?;
    let ends = ends_in(&run)?;
    if ends.iter().any(|end| end.id == post) {
        return Ok(post.to_string());
    }
    Err(ApiError::invalid(format!(
        "Run {} does not end at this post: its ends are {}. Nothing was saved.",
        run.name,
        ends.map(|end| end.name.as_str()).join(" and ")
    )))
}

/// The posts at both ends of a run that was read, in its order.
pub(crate) fn ends_in(run: &Run) -> Result<[&PostInRun; 2], ApiError> {
    let (first, last) = run.ends().ok_or_else(|| {
        ApiError::invalid(format!(
            "Run {} has no two anchors yet, so no end. Say first which posts hold its ends. \
             Nothing was saved.",
            run.name
        ))
    })?;
    Ok([first, last])
}

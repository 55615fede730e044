//! Readings and checks: crimps, ends, tensions, gaps.
//!
//! Each reading of a wire belongs to the piece of strand that was in place; here that piece is
//! found and a wire or bay that the layout does not have is refused.

mod crimps;
mod ends;
mod gaps;
mod heard;
mod tensions;

use records::ids::{BookId, ItemId};
use records::job::Run;
use records::model::entered;
use records::model::values::Force;
use records::{Record, RecordError};

pub use crimps::{AddSampleCrimp, CheckCrimps, add_sample_crimp, check_crimps};
pub use ends::{ReadEnd, RemakeWire, read_end, remake_wire};
pub use gaps::{CheckGaps, GapException, check_gaps};
pub use heard::{Hear, HeardBy, KeepHeard, KeptHeard, even_up, hear, keep_heard};
pub use tensions::{ReadDeflection, ReadTension, Round, read_deflection, read_tension};

use super::item;
use crate::{ApiError, ErrorCode};

/// The piece of strand in place; refuses a wire or bay that the layout does not have.
pub(super) fn piece_of(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    wire: u32,
    bay: Option<&str>,
) -> Result<u32, ApiError> {
    let run = run_of(record, job, run)?;
    let found = run.wire(wire).ok_or_else(|| {
        ApiError::invalid(format!(
            "Run {} has {} wires; there is no wire {wire}.",
            run.name,
            run.wires.len()
        ))
    })?;
    if let Some(place) = bay {
        let known = run
            .bays
            .iter()
            .any(|b| crate::views::job::bay_place(b) == place);
        if !known {
            return Err(ApiError::invalid(format!(
                "Run {} has no such bay.",
                run.name
            )));
        }
    }
    Ok(found.piece_number)
}

/// The post as a place, if the run ends there: crimps, threads and marks are at a run's ends alone.
fn end_of(record: &mut Record, job: BookId, run: ItemId, post: &str) -> Result<String, ApiError> {
    let post = item(post)?;
    let run = run_of(record, job, run)?;
    let ends = run.ends().map(|(first, last)| [first, last]);
    if ends.is_some_and(|ends| ends.iter().any(|end| end.id == post)) {
        return Ok(post.to_string());
    }
    let names: Vec<&str> = ends.iter().flatten().map(|e| e.name.as_str()).collect();
    Err(ApiError::invalid(if names.is_empty() {
        format!(
            "Run {} has no two anchors yet, so no end. Say first which posts hold its ends. \
             Nothing was saved.",
            run.name
        )
    } else {
        format!(
            "Run {} does not end at this post: its ends are {}. Nothing was saved.",
            run.name,
            names.join(" and ")
        )
    }))
}

/// The run alone: saving one reading must not cost the reading of the whole job.
fn run_of(record: &mut Record, job: BookId, run: ItemId) -> Result<Run, ApiError> {
    record.run(job, run).map_err(|error| match error {
        RecordError::Unknown { what: "run", .. } => {
            ApiError::new(ErrorCode::NotFound, "This run is not in the job.")
        }
        other => other.into(),
    })
}

fn positive_force(text: &str) -> Result<Force, ApiError> {
    let force = entered::force(text)?;
    if force.mn <= 0 || force > Force::newtons(100_000) {
        return Err(ApiError::invalid(format!(
            "{} N can't be a wire's tension. Type newtons, like 1490.",
            text.trim().chars().take(20).collect::<String>()
        )));
    }
    Ok(force)
}

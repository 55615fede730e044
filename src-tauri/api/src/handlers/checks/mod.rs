//! Readings and checks: crimps, ends, tensions, gaps.

mod crimps;
mod ends;
mod gaps;
mod heard;
mod tensions;

use records::model::entered;
use records::model::values::Force;

pub use crimps::{AddSampleCrimp, CheckCrimps, add_sample_crimp, check_crimps};
pub use ends::{ReadEnd, RemakeWire, read_end, remake_wire};
pub use gaps::{CheckGaps, GapException, check_gaps};
pub use heard::{Hear, HeardBy, KeepHeard, KeptHeard, even_up, hear, keep_heard};
pub use tensions::{ReadDeflection, ReadTension, Round, read_deflection, read_tension};

use crate::ApiError;

/// A mass as typed, in milligrams.
fn milligrams(text: &str, what: &str, like: &str) -> Result<i64, ApiError> {
    let mass = entered::mass(text).filter(|mg| (1..=1_000_000_000).contains(mg));
    mass.ok_or_else(|| {
        let why = match text.trim() {
            "" => "is missing",
            _ => "is no weight above zero and up to 1000 kg",
        };
        ApiError::invalid(format!(
            "The {what} {why}. Type grams as weighed, like {like}, or kilograms with their unit, like 2 kg."
        ))
    })
}

fn positive_force(text: &str) -> Result<Force, ApiError> {
    let force = entered::force(text)?;
    if force.mn == 0 {
        return Err(ApiError::invalid(
            "A gauge at 0 N tells a slack wire, or no reading at all: take the wire up and read it again, or \
             leave the reading missing. Nothing was saved.",
        ));
    }
    if force.mn <= 0 || force > Force::newtons(100_000) {
        return Err(ApiError::invalid(format!(
            "{} N is no force that is read here. Type newtons, like 1490. Nothing was saved.",
            text.trim().chars().take(20).collect::<String>()
        )));
    }
    Ok(force)
}

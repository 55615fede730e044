//! What the temperature may have done to a reading: a cold reading flatters.
//!
//! Invariant: a reading counts as it was read; this stands beside it. The figure is that between
//! posts that do not move at all, the most that there can be.

use mechanics::strand::{EXPANSION_PER_KELVIN, tension_per_kelvin};
use mechanics::{Kelvins, Newtons};

use super::{Reading, TensionLine, Warmth};
use crate::job::{Job, Run};
use crate::work::WorkError;
use crate::work::convert::{mn, strand_of};

/// Less than a thermometer tells apart.
const ALIKE: f64 = 0.5;

/// Says beside each reading what may be of it from the temperature, where the final round of the run
/// was read at another.
pub(super) fn beside(job: &Job<'_>, run: &Run, lines: &mut [TensionLine]) -> Result<(), WorkError> {
    let (Some((_, figures)), Some(left)) = (strand_of(job, run), left_at(lines)) else {
        return Ok(());
    };
    let per_kelvin = tension_per_kelvin(mn(figures.ea_mn), EXPANSION_PER_KELVIN, 0.0)?;
    for line in lines {
        let TensionLine {
            readings,
            governing,
            last_pass,
            last_final,
            last_recheck,
            compared,
            ..
        } = line;
        let told = [governing, last_pass, last_final, last_recheck];
        let told = told.into_iter().flatten();
        let both = compared.iter_mut().flat_map(|c| {
            let set = c.at_set.as_mut();
            [&mut c.left, &mut c.now].into_iter().chain(set)
        });
        for reading in readings.iter_mut().chain(told).chain(both) {
            reading.warmth = of(reading, left, per_kelvin);
        }
    }
    Ok(())
}

/// Mean temperature of the final round.
fn left_at(lines: &[TensionLine]) -> Option<f64> {
    let all: Vec<f64> = lines
        .iter()
        .filter_map(|line| temperature(line.last_final.as_ref()?))
        .collect();
    let count = u32::try_from(all.len()).ok().filter(|n| *n > 0)?;
    Some(all.iter().sum::<f64>() / f64::from(count))
}

/// The wire's, else the air's.
fn temperature(reading: &Reading) -> Option<f64> {
    reading.wire_c.or(reading.air_c)
}

fn of(reading: &Reading, left: f64, per_kelvin: Newtons) -> Option<Warmth> {
    let at = temperature(reading).filter(|_| reading.counts)?;
    let warmer = at - left;
    if warmer.abs() < ALIKE {
        return None;
    }
    let takes = per_kelvin * warmer;
    let (how, does) = if warmer > 0.0 {
        ("warmer", "may be lost to that and come back with the cold")
    } else {
        (
            "colder",
            "of it may be from that and go again with the warmth",
        )
    };
    Some(Warmth {
        warmer_k: warmer,
        takes_n: takes.value().round(),
        per_kelvin_n: per_kelvin.value(),
        sentence: format!(
            "Read {} {how} than the final round: up to {} {does} ({per_kelvin} for each kelvin, \
             between posts that do not move). It counts as it was read.",
            Kelvins(warmer.abs()),
            Newtons(takes.value().abs().round())
        ),
    })
}

//! What the band of a recheck is made of: strand that settles, posts that creep, warmth.

use mechanics::Kelvins;
use mechanics::loss::{CREEP_AFTER_TWO_WEEKS, Loss, LossRange, STRETCH_TO_COME, TIMBER_CREEP};
use mechanics::strand::EXPANSION_PER_KELVIN;

use super::temperature;
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::work::readings::{Reading, Tensions};

/// Posts of a modulus below this are of timber; metals lie far above, timber far below.
const TIMBER_BELOW_MPA: i64 = 30_000;
/// Up to here the share of creep after two weeks counts, after it all of it.
const SOON_DAYS: i64 = 30;
const DAY_MS: i64 = 86_400_000;

/// Least and most that is lost until the run is looked at again.
pub(super) fn range(
    job: &Job<'_>,
    run: &Run,
    read: &Tensions,
    made_of: &mut Vec<Number>,
    notes: &mut Vec<String>,
) -> LossRange {
    let share = if days(read).is_some_and(|days| days > SOON_DAYS) {
        1.0
    } else {
        CREEP_AFTER_TWO_WEEKS
    };
    let timber = run.ends().into_iter().flat_map(|(a, b)| [a, b]).any(|end| {
        let material = job.post(end.id).and_then(|post| post.material.as_ref());
        material
            .and_then(|m| m.modulus_mpa)
            .is_some_and(|mpa| mpa < TIMBER_BELOW_MPA)
    });
    let creep = if timber { TIMBER_CREEP } else { (0.0, 0.0) };
    let warmer = warmer(read);
    let mut number = |name: &str, value: String, origin: &str| {
        made_of.push(Number {
            name: name.to_owned(),
            value,
            origin: origin.to_owned(),
        });
    };
    number(
        "strand settles by",
        format!(
            "{:.0} to {:.0} parts per million",
            STRETCH_TO_COME.0 * 1e6,
            STRETCH_TO_COME.1 * 1e6
        ),
        "assumed",
    );
    number(
        "posts creep by",
        format!(
            "{:.0} to {:.0} % of their movement",
            creep.0 * share * 100.0,
            creep.1 * share * 100.0
        ),
        if timber {
            "assumed for timber outdoors, from memory"
        } else {
            "metal posts do not creep"
        },
    );
    match warmer {
        Some(kelvins) => number(
            "warmer than when it was left by",
            format!("{kelvins:.1} K"),
            "as read beside the tensions",
        ),
        None => notes.push(
            "No temperature is read at both times: nothing is counted for it. A cold reading \
             flatters."
                .to_owned(),
        ),
    }
    let kelvins = warmer.unwrap_or(0.0);
    // Between posts that do not move at all and ones that grow as the wire does.
    let of = |stretch, post_creep, moves: bool| Loss {
        stretch,
        post_creep,
        expansion_difference_per_kelvin: if moves { EXPANSION_PER_KELVIN } else { 0.0 },
        warmer_by: Kelvins(kelvins),
    };
    LossRange {
        least: of(STRETCH_TO_COME.0, creep.0 * share, kelvins < 0.0),
        most: of(STRETCH_TO_COME.1, creep.1 * share, kelvins > 0.0),
    }
}

/// The same without what the temperature does.
pub(super) fn lasting(range: &LossRange) -> LossRange {
    let cold = |loss: Loss| Loss {
        warmer_by: Kelvins(0.0),
        ..loss
    };
    LossRange {
        least: cold(range.least),
        most: cold(range.most),
    }
}

fn warmer(read: &Tensions) -> Option<f64> {
    let of = |reading: &Option<Reading>| {
        let reading = reading.as_ref()?;
        reading.wire_c.or(reading.air_c)
    };
    let then = temperature(read, |line| of(&line.last_final))?;
    Some(temperature(read, |line| of(&line.last_recheck))? - then)
}

fn days(read: &Tensions) -> Option<i64> {
    let newest = |of: fn(&crate::work::readings::TensionLine) -> &Option<Reading>| {
        let all = read.lines.iter().filter_map(|line| of(line).as_ref());
        all.map(|reading| reading.at_ms).max()
    };
    let (left, again) = (newest(|l| &l.last_final)?, newest(|l| &l.last_recheck)?);
    Some((again - left) / DAY_MS)
}

//! What the band of a recheck is made of: strand that settles, posts that creep, warmth.

use mechanics::Kelvins;
use mechanics::loss::{CREEP_AFTER_TWO_WEEKS, Loss, LossRange, STRETCH_TO_COME, TIMBER_CREEP};
use mechanics::strand::EXPANSION_PER_KELVIN;

use super::temperature;
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::work::readings::{Reading, Tensions};

/// Posts of a modulus from this up are of metal; metals lie far above, timber far below.
const METAL_FROM_MPA: i64 = 30_000;
/// Up to here the share of creep after two weeks counts, after it all of it.
const SOON_DAYS: i64 = 30;
const DAY_MS: i64 = 86_400_000;
/// All of the creep, as after years.
const IN_ALL: f64 = 1.0;

/// Most that is lost until the first recheck and in all, after years; the temperature not counted.
pub(super) fn lasting(job: &Job<'_>, run: &Run) -> (LossRange, LossRange) {
    let creep = creep(&creeps(job, run));
    (
        range(creep, CREEP_AFTER_TWO_WEEKS, 0.0),
        range(creep, IN_ALL, 0.0),
    )
}

/// Final creep of the end posts, least and most.
fn creep(posts: &Creeps) -> (f64, f64) {
    if posts.timber {
        TIMBER_CREEP
    } else {
        (0.0, 0.0)
    }
}

/// End posts whose modulus is below a metal's or not told: both count as timber, which creeps.
struct Creeps {
    timber: bool,
    not_told: Vec<String>,
}

/// Least and most that is lost until the run was looked at again: what the bands are made of.
pub(super) fn by_now(
    job: &Job<'_>,
    run: &Run,
    read: &Tensions,
    made_of: &mut Vec<Number>,
    notes: &mut Vec<String>,
) -> LossRange {
    let late = days(read).is_some_and(|days| days > SOON_DAYS);
    let share = if late { IN_ALL } else { CREEP_AFTER_TWO_WEEKS };
    let posts = creeps(job, run);
    let creep = creep(&posts);
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
    let percent = |share: f64| {
        let of = |creep: f64| creep * share * 100.0;
        format!("{:.0} to {:.0} %", of(creep.0), of(creep.1))
    };
    number(
        "posts creep by",
        match (posts.timber, late) {
            (true, false) => format!(
                "{} of their movement by the first recheck, {} after years",
                percent(share),
                percent(IN_ALL)
            ),
            _ => format!("{} of their movement", percent(share)),
        },
        if posts.timber {
            "assumed for timber outdoors, from memory"
        } else {
            "metal posts do not creep"
        },
    );
    if !posts.not_told.is_empty() {
        notes.push(format!(
            "Of {} no modulus of elasticity is told: the end posts count as timber, which creeps.",
            posts.not_told.join(" and ")
        ));
    }
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
    range(creep, share, warmer.unwrap_or(0.0))
}

fn creeps(job: &Job<'_>, run: &Run) -> Creeps {
    let mut found = Creeps {
        timber: false,
        not_told: Vec::new(),
    };
    for end in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
        let material = job.post(end.id).and_then(|post| post.material.as_ref());
        match material.and_then(|m| m.modulus_mpa) {
            Some(modulus) => found.timber |= modulus < METAL_FROM_MPA,
            None => {
                found.timber = true;
                found.not_told.push(format!("post {}", end.name));
            }
        }
    }
    found
}

/// The temperature is counted on the side where it errs to the careful one.
fn range(creep: (f64, f64), share: f64, kelvins: f64) -> LossRange {
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

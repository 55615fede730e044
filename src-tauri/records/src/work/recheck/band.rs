//! What the band of a recheck is made of: strand that settles, posts that creep, warmth.

use mechanics::Kelvins;
use mechanics::loss::{
    CREEP_AFTER_TWO_WEEKS, Loss, LossRange, STRETCH_USUAL_MOST, TIMBER_CREEP, creep_share,
};
use mechanics::strand::EXPANSION_PER_KELVIN;

use super::{looked, started, temperature};
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::work::convert::{METAL_FROM_MPA, strand_of};
use crate::work::posts::{is_wall, walls};
use crate::work::readings::{Reading, TensionLine, Tensions};

const DAY_MS: f64 = 86_400_000.0;
/// All of the creep, as after years.
const IN_ALL: f64 = 1.0;

/// Most that is lost until the first recheck and in all, after years, when it is so much warmer than the
/// day of tensioning.
pub(super) fn lasting(job: &Job<'_>, run: &Run, warmer: Kelvins) -> (LossRange, LossRange) {
    let (creep, stretch) = (creep(&creeps(job, run)), stretch(job, run).most);
    (
        range(stretch, creep, CREEP_AFTER_TWO_WEEKS, warmer.value()),
        range(stretch, creep, IN_ALL, warmer.value()),
    )
}

/// Permanent stretch still to come after tensioning: from none to all of it.
struct Stretch {
    most: f64,
    origin: String,
}

/// The strand's own figure; where that is assumed or nobody told where it is from, no less than is
/// usual at most.
fn stretch(job: &Job<'_>, run: &Run) -> Stretch {
    let usual = Stretch {
        most: STRETCH_USUAL_MOST,
        origin: "assumed, the most that is usual".to_owned(),
    };
    let Some((_, figures)) = strand_of(job, run) else {
        return usual;
    };
    #[allow(clippy::cast_precision_loss)] // parts per million
    let own = figures.stretch_ppm as f64 / 1e6;
    let origin = figures.stretch_origin.trim();
    let assumed = origin.is_empty() || origin.to_lowercase().starts_with("assumed");
    if assumed && own < usual.most {
        return usual;
    }
    Stretch {
        most: own,
        origin: match origin {
            "" => "as recorded, origin not told".to_owned(),
            told => told.to_owned(),
        },
    }
}

/// Final creep of the end posts, least and most.
fn creep(posts: &Creeps) -> (f64, f64) {
    if posts.timber {
        TIMBER_CREEP
    } else {
        (0.0, 0.0)
    }
}

/// End posts whose modulus is below a metal's or not told: both count as timber, which creeps. A wall end is
/// taken as not moving and does not creep either.
struct Creeps {
    timber: bool,
    not_told: Vec<String>,
    /// Whether an end post stands in no wall.
    posts: bool,
}

/// Tells what the loss between being left and being looked at again is made of.
pub(super) fn tell_made_of(
    job: &Job<'_>,
    run: &Run,
    read: &Tensions,
    made_of: &mut Vec<Number>,
    notes: &mut Vec<String>,
) {
    let days: Vec<f64> = read.lines.iter().map(|l| days(l, started)).collect();
    let longest = days.iter().copied().fold(0.0, f64::max);
    let late = longest > FORTNIGHT_DAYS;
    let share = creep_share(longest);
    let stretch = stretch(job, run);
    let posts = creeps(job, run);
    let creep = creep(&posts);
    let warmer = warmer(read, started);
    let mut number = |name: &str, value: String, origin: &str| {
        made_of.push(Number {
            name: name.to_owned(),
            value,
            origin: origin.to_owned(),
        });
    };
    number(
        "strand settles by",
        format!("0 to {:.0} parts per million", stretch.most * 1e6),
        &stretch.origin,
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
            (true, true) => format!(
                "{} of their movement in {longest:.0} days, {} after years",
                percent(share),
                percent(IN_ALL)
            ),
            (false, _) => format!("{} of their movement", percent(share)),
        },
        if posts.timber {
            "assumed for timber outdoors, from memory"
        } else if posts.posts {
            "metal posts do not creep"
        } else {
            "wall ends are taken as not moving"
        },
    );
    if !posts.not_told.is_empty() {
        notes.push(format!(
            "Of {} no modulus of elasticity is told: {} as timber, which creeps.",
            posts.not_told.join(" and "),
            match walls(job, run).next() {
                Some(_) => "it counts",
                None => "the end posts count",
            }
        ));
    }
    let own = read.lines.iter();
    let own: Vec<f64> = own
        .filter_map(|line| warmer_by_itself(line, started))
        .collect();
    let least = own.iter().copied().fold(f64::INFINITY, f64::min);
    let most = own.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    match warmer {
        Some(_) if most - least > ALIKE_KELVINS => number(
            "warmer than when it was left by, wire by wire",
            format!("{least:.1} to {most:.1} K"),
            "as read beside the tensions; below zero colder",
        ),
        Some(kelvins) => number(
            match kelvins < 0.0 {
                true => "colder than when it was left by",
                false => "warmer than when it was left by",
            },
            format!("{:.1} K", kelvins.abs()),
            "as read beside the tensions",
        ),
        None => notes.push(
            "No temperature is read at both times: nothing is counted for it. A cold reading \
             flatters."
                .to_owned(),
        ),
    }
}

/// Least and most that each wire lost from one of its readings until it was looked at, from the bottom.
pub(super) fn lost_since(
    job: &Job<'_>,
    run: &Run,
    read: &Tensions,
    since: Since,
) -> Vec<LossRange> {
    let most = stretch(job, run).most;
    let creep = creep(&creeps(job, run));
    let of_run = warmer(read, since).unwrap_or(0.0);
    let of = |line| {
        // Each wire by its own two readings: one that was made anew may have been left on another day.
        let kelvins = warmer_by_itself(line, since).unwrap_or(of_run);
        range(most, creep, creep_share(days(line, since)), kelvins)
    };
    read.lines.iter().map(of).collect()
}

/// The reading of a wire from which on it lost.
pub(super) type Since = fn(&TensionLine) -> Option<&Reading>;

/// Wires whose warmth differs by no more are told as one.
const ALIKE_KELVINS: f64 = 1.0;
/// Up to here the share of creep after two weeks counts.
const FORTNIGHT_DAYS: f64 = 14.5;

fn creeps(job: &Job<'_>, run: &Run) -> Creeps {
    let mut found = Creeps {
        timber: false,
        not_told: Vec::new(),
        posts: false,
    };
    for end in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
        let facts = job.post(end.id);
        if facts.is_some_and(is_wall) {
            continue;
        }
        found.posts = true;
        let material = facts.and_then(|post| post.material.as_ref());
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
fn range(stretch: f64, creep: (f64, f64), share: f64, kelvins: f64) -> LossRange {
    // Between posts that do not move at all and ones that grow as the wire does.
    let of = |stretch, post_creep, moves: bool| Loss {
        stretch,
        post_creep,
        expansion_difference_per_kelvin: if moves { EXPANSION_PER_KELVIN } else { 0.0 },
        warmer_by: Kelvins(kelvins),
    };
    LossRange {
        least: of(0.0, creep.0 * share, kelvins < 0.0),
        most: of(stretch, creep.1 * share, kelvins > 0.0),
    }
}

/// The mean of a run, for wires by which no temperature was read at both times.
fn warmer(read: &Tensions, since: Since) -> Option<f64> {
    let then = temperature(read, |line| celsius(since(line)))?;
    Some(temperature(read, |line| celsius(looked(line)))? - then)
}

fn warmer_by_itself(line: &TensionLine, since: Since) -> Option<f64> {
    Some(celsius(looked(line))? - celsius(since(line))?)
}

fn celsius(reading: Option<&Reading>) -> Option<f64> {
    reading.and_then(|r| r.wire_c.or(r.air_c))
}

/// Days from being left to being looked at; none for a wire that was not.
fn days(line: &TensionLine, since: Since) -> f64 {
    let (Some(left), Some(again)) = (since(line), looked(line)) else {
        return 0.0;
    };
    #[allow(clippy::cast_precision_loss)] // milliseconds of a lifetime
    let days = (again.at_ms - left.at_ms) as f64 / DAY_MS;
    days.max(0.0)
}

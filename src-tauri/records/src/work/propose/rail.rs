//! The gap between top wire and rail where the floor changes and one of the two follows it alone.
//!
//! Invariant: it is counted as before ordering counts it, by the same levels and the same words on how wires and
//! rail go; what nobody told goes by the widest and by the least that there can be.

use mechanics::Millimetres;
use mechanics::spacing::WireLayout;

use super::Ground;
use super::answer::RailAt;
use crate::job::{Job, Run};
use crate::model::fields;
use crate::work::levels::{FloorSpot, at_posts, over_top_wire};

const NONE: Millimetres = Millimetres(0.0);

/// How far the rail comes nearer to the wires and stands farther from them than by its height.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Reach {
    /// Most by which it comes nearer at a post.
    pub(super) nearer: Millimetres,
    /// Where that is.
    pub(super) nearest_at: Option<String>,
    /// Most by which it stands farther.
    pub(super) farther: Millimetres,
}

pub(super) fn reach(run: &Run) -> Reach {
    let mut found = Reach::default();
    for spot in at_posts(run) {
        let (least, most) = over_top_wire(run, &spot);
        if NONE - least > found.nearer {
            found.nearer = NONE - least;
            found.nearest_at = Some(spot.label);
        }
        found.farther = found.farther.max(most);
    }
    found
}

/// The gap at every post, and the same in one sentence; nothing where it is the same at all.
pub(super) fn rail(ground: &Ground<'_>, layout: &WireLayout) -> (Vec<RailAt>, Option<String>) {
    let run = ground.run;
    let half = ground.diameter / 2.0;
    let spots = at_posts(run);
    if spots.iter().all(|s| over_top_wire(run, s) == (NONE, NONE)) {
        return (Vec::new(), None);
    }
    let at = |spot: &FloorSpot| {
        let (least, most) = over_top_wire(run, spot);
        let clear = |more: Millimetres| round(layout.top_gap + more - half);
        let passes =
            |sphere: Millimetres| clear(most).whole_nanometres() >= sphere.whole_nanometres();
        RailAt {
            name: spot.label.clone(),
            widest_mm: clear(most).value(),
            least_mm: clear(least).value(),
            passes: ground.sphere.is_some_and(passes),
        }
    };
    let rows: Vec<RailAt> = spots.iter().map(at).collect();
    let sentence = sentence(ground, &rows);
    (rows, sentence)
}

fn sentence(ground: &Ground<'_>, rows: &[RailAt]) -> Option<String> {
    // The first of equals, as before ordering names it.
    let widest = rows
        .iter()
        .rev()
        .max_by(|a, b| a.widest_mm.total_cmp(&b.widest_mm))?;
    let least = rows
        .iter()
        .min_by(|a, b| a.least_mm.total_cmp(&b.least_mm))?;
    let passed: Vec<&str> = rows
        .iter()
        .filter(|row| row.passes)
        .map(|row| row.name.as_str())
        .collect();
    let passes = match ground.sphere.filter(|_| !passed.is_empty()) {
        Some(sphere) => format!(" A sphere of {sphere} passes at {}.", passed.join(", ")),
        None => String::new(),
    };
    Some(format!(
        "Above the top wire: {} clear at {} at most, {} at {} at least.{passes} {}",
        Millimetres(widest.widest_mm),
        widest.name,
        Millimetres(least.least_mm),
        least.name,
        how(ground.job, ground.run)
    ))
}

/// How wires and rail go, as far as it is told.
fn how(job: &Job<'_>, run: &Run) -> String {
    let subject = run.subject();
    let wires = job.reader.untold(fields::RUN_FOLLOWS_FLOOR, &subject);
    let rail = job.reader.untold(fields::RUN_RAIL_FOLLOWS_FLOOR, &subject);
    let both = "so the widest and the least that there can be count.";
    match (run.follows_floor, run.rail_follows_floor) {
        (Some(true), Some(true)) => "Wires and rail follow the floor.".to_owned(),
        (Some(false), Some(false)) => "Wires and rail run level.".to_owned(),
        (Some(true), Some(false)) => {
            "The wires follow the floor and the rail runs level.".to_owned()
        }
        (Some(false), Some(true)) => {
            "The wires run level and the rail follows the floor.".to_owned()
        }
        (Some(_), None) => format!("Whether the rail follows the floor {rail}, {both}"),
        (None, Some(_)) => format!("Whether the template follows the floor {wires}, {both}"),
        (None, None) if wires == rail => {
            format!("Whether template and rail follow the floor {rail}, {both}")
        }
        (None, None) => format!(
            "Whether the template follows the floor {wires}, and whether the rail does {rail}, {both}"
        ),
    }
}

/// Said where the rail comes nearer to the wires at a post, which keeps the top wire lower.
pub(super) fn note(ground: &Ground<'_>) -> Option<String> {
    let nearer = nearer(ground)?;
    Some(format!(
        "{nearer}: no proposal puts its top wire into it there."
    ))
}

/// Why no wire fits below the rail, and what to do.
pub(super) fn no_room(ground: &Ground<'_>) -> String {
    match nearer(ground) {
        Some(nearer) => format!(
            "{nearer}: no wire fits below it there. {} Tell how wires and rail go, or correct the floor \
             level or the rail.",
            how(ground.job, ground.run)
        ),
        None => "No wire fits below the rail: its underside is told too low.".to_owned(),
    }
}

fn nearer(ground: &Ground<'_>) -> Option<String> {
    let told = ground.run.follows_floor.is_some() && ground.run.rail_follows_floor.is_some();
    let Reach {
        nearer, nearest_at, ..
    } = &ground.reach;
    Some(format!(
        "At {} the rail {} {nearer} nearer to the wires than by its height",
        nearest_at.as_ref()?,
        if told { "comes" } else { "can come" },
    ))
}

fn round(length: Millimetres) -> Millimetres {
    Millimetres(length.whole_nanometres() / 1.0e6)
}

//! Openings of a run as the rules look at them.

use mechanics::assessment::{Opening, OpeningKind};
use mechanics::{Millimetres, slope};

use super::answer::{Finding, Verdict};
use super::layout::coming_floor;
use super::places::Place;
use crate::job::{Fact, Job, Run};
use crate::model::context::OpeningRead;
use crate::model::{fields, values};
use crate::subject::Subject;
use crate::work::as_built::{openings_of_post, openings_of_run};
use crate::work::convert::{mm, nm, slope_of};
use crate::work::figures::Origin;
use crate::work::levels::{self, FloorSpot};
use crate::work::{WorkError, words};

/// Openings of a run: as built where they were measured, as planned where not.
pub(super) fn openings(
    job: &Job<'_>,
    run: &Run,
    heights: &[Millimetres],
    diameter: Millimetres,
    places: &mut Vec<Place>,
) -> Result<Vec<Opening>, WorkError> {
    let slope = slope_of(run)?;
    let half = diameter / 2.0;
    let untold = levels::untold(run);
    let mut found = Vec::new();
    let mut add = |kind, clear: Millimetres, place: Place, passed| {
        found.push(Opening {
            label: place.label.clone(),
            kind,
            clear: clear.max(Millimetres(0.0)),
            probe_passed: passed,
        });
        places.push(place);
    };
    for post in &run.posts {
        let subject = Subject::post(post.id);
        let told = openings_of_post(job, post);
        let read_floor = told
            .iter()
            .any(|(_, fact)| kind_of(fact) == Some(values::OpeningKind::FloorToBottomWire));
        let known = !read_floor && !untold.iter().any(|p| p.id == post.id);
        if let Some(bottom) = heights.first().filter(|_| known) {
            let clear = slope::square(
                *bottom + levels::below_bottom(run, &levels::at_post(run, post)),
                slope,
            )? - half;
            let label = format!("floor to bottom wire at {}", post.name);
            add(
                OpeningKind::FloorToWire,
                clear,
                Place::of(label, subject, Origin::Recorded),
                false,
            );
        }
        for (place, fact) in told {
            if let (Some(kind), Some(value)) = (kind_of(fact), widest(fact)) {
                let label = as_built(kind, &post.name, place);
                add(
                    rule_kind(kind),
                    nm(value.nm),
                    Place::of(label, subject, Origin::Measured),
                    probe_passed(fact),
                );
            }
        }
    }
    for spot in levels::low_spots(run) {
        if let Some(bottom) = heights
            .first()
            .filter(|_| run.shape != values::Shape::Raked)
        {
            let clear = *bottom + levels::below_bottom(run, &spot) - half;
            let label = format!("floor to bottom wire at {}", spot.label);
            add(
                OpeningKind::FloorToWire,
                clear,
                Place::of(label, spot.subject, Origin::Recorded),
                false,
            );
        }
    }
    if let (Some(top), Some(rail)) = (heights.last(), run.rail) {
        let (more, at) = widest_below_rail(run);
        let clear = slope::square(nm(rail.underside_nm) - *top + more, slope)? - half;
        let label = match &at {
            Some(post) => format!("top wire to rail at {}", post.label),
            None => format!("top wire to rail, run {}", run.name),
        };
        let place = Place::of(label, run.subject(), Origin::Recorded)
            .widest_at(at.map(|post| post.subject));
        add(OpeningKind::WireToRail, clear, place, false);
    }
    let told = openings_of_run(job, run);
    let read_top = told
        .iter()
        .any(|(_, fact)| kind_of(fact) == Some(values::OpeningKind::TopWireToRail));
    if let (Some(top), None, Some(height)) = (heights.last(), run.rail, run.height)
        && !read_top
    {
        let clear = slope::square((mm(height) - *top).max(Millimetres(0.0)), slope)? - half;
        add(
            OpeningKind::WireToRail,
            clear,
            Place::of(above_top(run), run.subject(), Origin::Recorded),
            false,
        );
    }
    for (place, fact) in told {
        if let (Some(kind), Some(value)) = (kind_of(fact), widest(fact)) {
            let label = as_built(kind, &format!("run {}", run.name), place);
            add(
                rule_kind(kind),
                nm(value.nm),
                Place::of(label, run.subject(), Origin::Measured),
                probe_passed(fact),
            );
        }
    }
    Ok(found)
}

/// Where a run's wires end below the top of a barrier whose rail nobody told.
fn above_top(run: &Run) -> String {
    format!("top wire to the top of the barrier, run {}", run.name)
}

/// Thickest rail that may fill an opening of which only the top is told; common practice.
const THICKEST_RAIL_MM: f64 = 150.0;

/// Says of the opening above the top wire that its upper edge is not the rail's; where a rail could
/// fill what is too wide, it is asked for before anything is called short.
pub(super) fn name_untold_rail(job: &Job<'_>, run: &Run, findings: &mut [Finding]) {
    let (Some(height), None) = (run.height, run.rail) else {
        return;
    };
    let place = above_top(run);
    let untold = job.reader.untold(fields::RUN_RAIL, &run.subject());
    for found in findings.iter_mut().filter(|f| f.place == place) {
        let over = found.margin.map_or(0.0, |margin| -margin.value);
        if found.verdict == Verdict::Short && over < THICKEST_RAIL_MM {
            found.verdict = Verdict::AskFirst;
        }
        found.sentence = format!(
            "The rail's underside {untold}; with the top {} above the floor this stands open above \
             the top wire, less the rail. {}",
            words::mm(height.nm),
            found.sentence
        );
    }
}

/// What is said of the gap under the bottom wire: coming floor, and how the holes are marked.
pub(super) fn floor_notes(
    job: &Job<'_>,
    run: &Run,
    heights: &[Millimetres],
    diameter: Millimetres,
    notes: &mut Vec<String>,
) {
    let Some(bottom) = heights.first() else {
        return;
    };
    let coming = mm(coming_floor(job).0);
    let clear = *bottom - diameter / 2.0;
    if coming.value() > 0.0 {
        notes.push(format!(
            "The gap under the bottom wire is taken as it is now; with the coming floor it is {}.",
            clear - coming
        ));
    }
    if run.shape != values::Shape::Level {
        return;
    }
    let (more, at) = widest_below_rail(run);
    if let (Some(post), None) = (at, run.rail_follows_floor) {
        notes.push(format!(
            "Whether the rail follows the floor {}: the gap below it is taken as {more} wider at {}.",
            job.reader
                .untold(fields::RUN_RAIL_FOLLOWS_FLOOR, &run.subject()),
            post.label
        ));
    }
    let spots = levels::at_posts(run);
    let lowest = spots
        .iter()
        .min_by(|a, b| a.low.value().total_cmp(&b.low.value()))
        .filter(|spot| spot.low.value() < 0.0)
        .map(|spot| (spot.label.as_str(), spot.low));
    if run.follows_floor == Some(true) {
        if let Some((name, floor)) = lowest {
            notes.push(format!(
                "Wire heights are taken above the floor at each post: the template follows the \
                 floor. Drilled level from the first post the bottom wire would stand {} above the \
                 floor at {name}.",
                clear - floor
            ));
        }
        return;
    }
    notes.extend(levels::from_the_first(run));
    let untold: Vec<&str> = levels::untold(run)
        .into_iter()
        .map(|p| p.name.as_str())
        .collect();
    if !untold.is_empty() {
        notes.push(format!(
            "The floor level at {} is not told: the gap under the bottom wire there is not known.",
            untold.join(", ")
        ));
    }
    if let Some((name, floor)) = lowest {
        let why = match run.follows_floor {
            Some(_) => "The holes are drilled level from the first post".to_owned(),
            None => format!(
                "Whether the template follows the floor {}, so the holes are taken as drilled level \
                 from the first post",
                job.reader.untold(fields::RUN_FOLLOWS_FLOOR, &run.subject())
            ),
        };
        notes.push(format!(
            "{why}: the bottom wire stands {} above the floor at {name}. With a template that \
             follows the floor it would be {clear}.",
            clear - floor
        ));
    }
}

/// How much wider than by their heights the gap below the rail can be, and at which post.
fn widest_below_rail(run: &Run) -> (Millimetres, Option<FloorSpot>) {
    let mut widest = (Millimetres(0.0), None);
    for spot in levels::at_posts(run) {
        let more = levels::below_rail(run, &spot);
        if more > widest.0 {
            widest = (more, Some(spot));
        }
    }
    widest
}

/// The opening; where people disagree on it, the widest that somebody tells.
fn widest(fact: &Fact<values::Opening, OpeningRead>) -> Option<&values::Opening> {
    fact.values().max_by_key(|o| o.nm)
}

/// Whether anybody tells that the probe passed there.
pub(in crate::work) fn probe_passed(fact: &Fact<values::Opening, OpeningRead>) -> bool {
    let mut told = fact.values();
    told.any(|o| o.result == Some(values::ProbeResult::Passes))
}

pub(super) fn kind_of(fact: &Fact<values::Opening, OpeningRead>) -> Option<values::OpeningKind> {
    fact.tips
        .iter()
        .find_map(|t| t.with.as_ref())
        .map(|w| w.kind)
}

/// An opening as built in words; none where its kind is not told.
pub(in crate::work) fn named(
    fact: &Fact<values::Opening, OpeningRead>,
    at: &str,
    place: &str,
) -> Option<String> {
    Some(as_built(kind_of(fact)?, at, place))
}

fn as_built(kind: values::OpeningKind, name: &str, place: &str) -> String {
    let what = words::opening(kind);
    let place = words::spoken(place);
    // "end post to wall at A1" needs no "(wall)".
    if what.contains(&place) {
        format!("{what} at {name}, as built")
    } else {
        format!("{what} at {name} ({place}), as built")
    }
}

const fn rule_kind(kind: values::OpeningKind) -> OpeningKind {
    match kind {
        values::OpeningKind::FloorToBottomWire => OpeningKind::FloorToWire,
        values::OpeningKind::TopWireToRail => OpeningKind::WireToRail,
        values::OpeningKind::EndPostToWall => OpeningKind::PostToWall,
        values::OpeningKind::PostToDeckEdge => OpeningKind::FaceToEdge,
        values::OpeningKind::StairTriangle => OpeningKind::StairTriangle,
        values::OpeningKind::GateLeaf => OpeningKind::Gate,
        values::OpeningKind::Other => OpeningKind::Other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_told_in_words_and_not_twice() {
        let wall = values::OpeningKind::EndPostToWall;
        for (place, told) in [
            ("", "end post to wall at A1, as built"),
            ("wall", "end post to wall at A1, as built"),
            ("endPostToWall", "end post to wall at A1, as built"),
            ("lowSpot", "end post to wall at A1 (low spot), as built"),
            (
                "by the tap",
                "end post to wall at A1 (by the tap), as built",
            ),
        ] {
            assert_eq!(as_built(wall, "A1", place), told);
        }
    }
}

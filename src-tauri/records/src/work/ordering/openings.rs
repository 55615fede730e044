//! Openings of a run as the rules look at them.

use mechanics::assessment::{Opening, OpeningKind};
use mechanics::{Millimetres, slope};

use crate::job::{Fact, Run};
use crate::model::context::OpeningRead;
use crate::model::values;
use crate::subject::Subject;
use crate::work::convert::{nm, slope_of};
use crate::work::figures::Origin;
use crate::work::{WorkError, words};

/// Openings of a run: as built where they were measured, as planned where not.
pub(super) fn openings(
    run: &Run,
    heights: &[Millimetres],
    diameter: Millimetres,
    subjects: &mut Vec<(String, Subject, Origin)>,
) -> Result<Vec<Opening>, WorkError> {
    let slope = slope_of(run)?;
    let half = diameter / 2.0;
    let mut found = Vec::new();
    let mut add = |label: String, kind, clear: Millimetres, subject: Subject, origin| {
        subjects.push((label.clone(), subject, origin));
        found.push(Opening {
            label,
            kind,
            clear: clear.max(Millimetres(0.0)),
        });
    };
    for post in &run.posts {
        let subject = Subject::post(post.id);
        let read_floor = post
            .openings
            .iter()
            .any(|(_, fact)| kind_of(fact) == Some(values::OpeningKind::FloorToBottomWire));
        if let Some(bottom) = heights.first().filter(|_| !read_floor) {
            let clear = slope::square(*bottom, slope)? - half;
            let label = format!("floor to bottom wire at {}", post.name);
            add(
                label,
                OpeningKind::FloorToWire,
                clear,
                subject,
                Origin::Recorded,
            );
        }
        for (place, fact) in &post.openings {
            if let (Some(kind), Some(value)) = (kind_of(fact), widest(fact)) {
                let label = as_built(kind, &post.name, place);
                add(
                    label,
                    rule_kind(kind),
                    nm(value.nm),
                    subject,
                    Origin::Measured,
                );
            }
        }
    }
    if let (Some(top), Some(rail)) = (heights.last(), run.rail) {
        let clear = slope::square(nm(rail.underside_nm) - *top, slope)? - half;
        let label = format!("top wire to rail, run {}", run.name);
        add(
            label,
            OpeningKind::WireToRail,
            clear,
            run.subject(),
            Origin::Recorded,
        );
    }
    for (place, fact) in &run.openings {
        if let (Some(kind), Some(value)) = (kind_of(fact), widest(fact)) {
            let label = as_built(kind, &format!("run {}", run.name), place);
            add(
                label,
                rule_kind(kind),
                nm(value.nm),
                run.subject(),
                Origin::Measured,
            );
        }
    }
    Ok(found)
}

/// The opening; where people disagree on it, the widest that somebody tells.
fn widest(fact: &Fact<values::Opening, OpeningRead>) -> Option<&values::Opening> {
    fact.values().max_by_key(|o| o.nm)
}

fn kind_of(fact: &Fact<values::Opening, OpeningRead>) -> Option<values::OpeningKind> {
    fact.tips
        .iter()
        .find_map(|t| t.with.as_ref())
        .map(|w| w.kind)
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

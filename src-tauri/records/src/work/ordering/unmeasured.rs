//! Openings of a run that the rules ask about and nobody measured yet.

use mechanics::assessment::{Opening, OpeningKind, Unmeasured};
use mechanics::spacing::{StairAsk, stair_triangle};
use mechanics::{Degrees, Millimetres, slope};

use super::openings::kind_of;
use super::places::Place;
use crate::job::{Job, PostInRun, Run};
use crate::model::values::{OpeningKind as OpeningTold, Shape, Surface};
use crate::subject::Subject;
use crate::work::as_built::openings_of_post;
use crate::work::convert::{nm, slope_of};
use crate::work::figures::Origin;
use crate::work::{WorkError, levels};

/// Openings without a reading: the stair's triangle by its geometry, end posts that no other run goes
/// on from beside a wall, the gap of posts that are fixed to the floor's edge.
pub(super) fn unmeasured(
    job: &Job<'_>,
    run: &Run,
    heights: &[Millimetres],
    diameter: Millimetres,
    measured: &[Opening],
    places: &mut Vec<Place>,
) -> Result<Vec<Unmeasured>, WorkError> {
    let read = |kind: OpeningKind| measured.iter().any(|o| o.kind == kind);
    let mut found = Vec::new();
    let mut add = |one: Unmeasured, subject: Subject| {
        places.push(Place::of(one.label.clone(), subject, Origin::Computed));
        found.push(one);
    };
    let stair = run.surface.is_none_or(|s| s == Surface::Stair) && run.shape == Shape::Raked;
    if stair && !read(OpeningKind::StairTriangle) {
        let of = |overhang| triangle(run, heights, diameter, slope_of(run)?, overhang);
        let told = run.slope.and_then(|slope| slope.overhang_nm).map(nm);
        let by_geometry = of(told.unwrap_or_default())?;
        let remark = match by_geometry {
            Some(_) => format!(
                "{} The wire gives way, so offer the probe.",
                overhung(told, of)
            ),
            None => String::new(),
        };
        add(
            Unmeasured {
                label: format!("stair triangle, run {}", run.name),
                kind: OpeningKind::StairTriangle,
                by_geometry,
                remark,
            },
            run.subject(),
        );
    }
    for post in floors_untold(job, run) {
        add(
            Unmeasured {
                label: format!("floor to bottom wire at {}", post.name),
                kind: OpeningKind::FloorToWire,
                by_geometry: None,
                remark: format!("The floor level at {} is not told.", post.name),
            },
            Subject::post(post.id),
        );
    }
    for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
        if !goes_on(job, run, post) && !wall_read(post, measured) {
            add(
                Unmeasured {
                    label: format!("end post to wall at {}", post.name),
                    kind: OpeningKind::PostToWall,
                    by_geometry: None,
                    remark: "Where it stands by no wall, there is nothing to measure.".to_owned(),
                },
                Subject::post(post.id),
            );
        }
    }
    if !read(OpeningKind::FaceToEdge) {
        add(
            Unmeasured {
                label: format!("face-fixed posts to the floor's edge, run {}", run.name),
                kind: OpeningKind::FaceToEdge,
                by_geometry: None,
                remark: "Where posts stand on the floor, there is nothing to measure.".to_owned(),
            },
            run.subject(),
        );
    }
    Ok(found)
}

/// Posts at which the gap under the bottom wire follows from nothing and was not read.
fn floors_untold<'r>(job: &Job<'_>, run: &'r Run) -> Vec<&'r PostInRun> {
    let floor = Some(OpeningTold::FloorToBottomWire);
    let read = |post: &PostInRun| {
        let told = openings_of_post(job, post);
        told.iter().any(|(_, fact)| kind_of(fact) == floor)
    };
    let mut untold = levels::untold(run);
    untold.retain(|post| !read(post));
    untold
}

/// Whether another run goes on from a post.
pub(in crate::work) fn goes_on(job: &Job<'_>, run: &Run, post: &PostInRun) -> bool {
    let others = job.runs.iter().filter(|other| other.id != run.id);
    others
        .flat_map(|other| &other.posts)
        .any(|p| p.id == post.id)
}

fn wall_read(post: &PostInRun, measured: &[Opening]) -> bool {
    let at = format!("end post to wall at {}", post.name);
    let wall = |o: &&Opening| o.kind == OpeningKind::PostToWall;
    // A reading at the run as a whole may be of either end: it names which in its own words.
    measured.iter().filter(wall).any(|o| {
        let here = o.label.strip_prefix(&at);
        here.is_some_and(|rest| rest.starts_with([',', ' ']))
            || o.label.starts_with("end post to wall at run")
    })
}

/// An overhang that treads often have: assumed, to show what is not told may come to.
const OFTEN: Millimetres = Millimetres(25.0);

/// By what overhang the triangle was taken, and what an untold one may come to.
fn overhung(
    told: Option<Millimetres>,
    of: impl Fn(Millimetres) -> Result<Option<Millimetres>, WorkError>,
) -> String {
    match told {
        Some(overhang) if overhang.value() > 0.0 => {
            format!("Treads stand out by {overhang} over their risers, as told.")
        }
        Some(_) => "Treads end at their risers, as told.".to_owned(),
        None => {
            // A going that is no wider than that has no such overhang.
            let often = of(OFTEN).ok().flatten();
            let often = often.map(|sphere| format!(", and {OFTEN} would make it {sphere}"));
            format!(
                "The treads' overhang is not told and counts as 0: measure it; any makes it larger{}.",
                often.unwrap_or_default()
            )
        }
    }
}

/// The largest sphere between riser, tread and the bottom wire's lower edge.
fn triangle(
    run: &Run,
    heights: &[Millimetres],
    diameter: Millimetres,
    rake: Degrees,
    overhang: Millimetres,
) -> Result<Option<Millimetres>, WorkError> {
    let (Some(stair), Some(bottom)) = (run.slope, heights.first()) else {
        return Ok(None);
    };
    // The wire's lower edge, plumb: half a wire square to it.
    let half = slope::plumb(diameter / 2.0, rake)?;
    let ask = StairAsk {
        riser: nm(stair.rise_nm),
        going: nm(stair.going_nm),
        overhang,
        line: (*bottom - half).max(Millimetres(0.0)),
    };
    Ok(Some(stair_triangle(&ask)?.sphere))
}

//! Where a sphere could be pushed: beside the wires of a bay, and where nothing gives.
//!
//! Invariant: an opening is as wide as it was measured, the widest word where people differ, and as
//! planned only where nobody measured; of a bay's two posts the wider counts.

use mechanics::{Millimetres, slope};

use super::{FixedOpening, GapBetween};
use crate::job::{Bay, Fact, Job, PostInRun, Run};
use crate::model::context::OpeningRead;
use crate::model::values::{self, OpeningKind};
use crate::subject::Subject;
use crate::work::as_built::{OpeningTold, openings_of_post, openings_of_run};
use crate::work::convert::{heights, mm, nm, slope_of};
use crate::work::figures::Origin;
use crate::work::{WorkError, levels, words};

/// An opening beside the wires of a bay.
pub(super) struct Place {
    /// Lower wire; 0 from the floor to wire 1.
    pub(super) lower: u32,
    pub(super) between: GapBetween,
    /// Clear, square to the wires.
    pub(super) clear: Millimetres,
    pub(super) origin: Origin,
}

impl Place {
    /// Places of its wires in the run's list.
    pub(super) fn wires(&self) -> impl Iterator<Item = usize> {
        let lower = usize::try_from(self.lower).unwrap_or(usize::MAX);
        let (first, count) = match self.between {
            GapBetween::FloorAndWire => (0, 1),
            GapBetween::Wires => (lower.saturating_sub(1), 2),
            GapBetween::WireAndRail => (lower.saturating_sub(1), 1),
        };
        first..first + count
    }
}

/// Openings of a bay from the bottom; one that is not there, such as below a missing rail, is left
/// out.
pub(super) fn places(
    job: &Job<'_>,
    run: &Run,
    bay: &Bay,
    diameter: Millimetres,
) -> Result<Vec<Place>, WorkError> {
    let heights = heights(run);
    let slope = slope_of(run)?;
    let half = diameter / 2.0;
    let posts: Vec<&PostInRun> = run
        .posts
        .iter()
        .filter(|p| p.id == bay.left || p.id == bay.right)
        .collect();
    let mut found = Vec::new();
    if let Some(bottom) = heights.first() {
        let planned = slope::square(*bottom, slope)? - half;
        let mut more = Vec::new();
        for post in &posts {
            let at = levels::below_bottom(run, &levels::at_post(run, post));
            more.push((Some(*post), at));
        }
        let low = levels::low_spot_of(run, bay);
        more.extend(low.map(|spot| (None, levels::below_bottom(run, &spot))));
        let (clear, origin) = built(job, run, &more, OpeningKind::FloorToBottomWire, planned);
        found.push(Place {
            lower: 0,
            between: GapBetween::FloorAndWire,
            clear,
            origin,
        });
    }
    for ((lower, below), above) in (1_u32..).zip(&heights).zip(heights.iter().skip(1)) {
        let planned = *above - *below;
        let mut widest = (Millimetres(0.0), Origin::Recorded);
        for post in &posts {
            let drilled = post
                .drilled
                .get(&lower)
                .and_then(|f| f.values().max().copied());
            let here = drilled.map_or(planned, mm);
            if here > widest.0 {
                let origin = if drilled.is_some() {
                    Origin::Measured
                } else {
                    Origin::Recorded
                };
                widest = (here, origin);
            }
        }
        found.push(Place {
            lower,
            between: GapBetween::Wires,
            clear: slope::square(widest.0, slope)? - diameter,
            origin: widest.1,
        });
    }
    if let (Some(top), Some(rail)) = (heights.last(), run.rail) {
        let planned = slope::square(nm(rail.underside_nm) - *top, slope)? - half;
        let at = |post: &PostInRun| levels::below_rail(run, &levels::at_post(run, post));
        let more: Vec<_> = posts.iter().map(|post| (Some(*post), at(post))).collect();
        let (clear, origin) = built(job, run, &more, OpeningKind::TopWireToRail, planned);
        found.push(Place {
            lower: u32::try_from(heights.len()).unwrap_or(u32::MAX),
            between: GapBetween::WireAndRail,
            clear,
            origin,
        });
    }
    Ok(found)
}

/// The widest opening of a kind in a bay: at each of its places as built there, else as told of the
/// run, else as planned with what floor and rail add there. A reading of the run does not tell what
/// they add somewhere else, so of both the wider is taken.
fn built(
    job: &Job<'_>,
    run: &Run,
    places: &[(Option<&PostInRun>, Millimetres)],
    kind: OpeningKind,
    planned: Millimetres,
) -> (Millimetres, Origin) {
    let widest = |openings: Vec<&OpeningTold>| {
        let of_kind = openings
            .into_iter()
            .filter(|(_, fact)| kind_of(fact) == Some(kind));
        of_kind
            .filter_map(|(_, fact)| fact.values().map(|o| o.nm).max())
            .max()
            .map(nm)
    };
    let of_run = widest(openings_of_run(job, run));
    let here = places.iter().map(|(post, more)| {
        let planned = planned + *more;
        match (
            post.and_then(|post| widest(openings_of_post(job, post))),
            of_run,
        ) {
            (Some(read), _) => (read, Origin::Measured),
            (None, Some(read)) if more.value() <= 0.0 || read >= planned => {
                (read, Origin::Measured)
            }
            (None, _) => (planned, Origin::Recorded),
        }
    });
    let wider = |a: (Millimetres, Origin), b: (Millimetres, Origin)| if b.0 > a.0 { b } else { a };
    here.reduce(wider).unwrap_or((planned, Origin::Recorded))
}

fn kind_of(fact: &Fact<values::Opening, OpeningRead>) -> Option<OpeningKind> {
    fact.tips
        .iter()
        .find_map(|t| t.with.as_ref())
        .map(|w| w.kind)
}

/// Openings as built where nothing gives: to the wall, to the deck's edge, the stair's triangle, at
/// a gate, and others.
pub(super) fn fixed(job: &Job<'_>, run: &Run, sphere: Option<Millimetres>) -> Vec<FixedOpening> {
    let of_run = openings_of_run(job, run)
        .into_iter()
        .map(|(place, fact)| (run.subject(), format!("run {}", run.name), place, fact));
    let of_posts = run.posts.iter().flat_map(|post| {
        openings_of_post(job, post)
            .into_iter()
            .map(move |(place, fact)| {
                (
                    Subject::post(post.id),
                    format!("post {}", post.name),
                    place,
                    fact,
                )
            })
    });
    of_run
        .chain(of_posts)
        .filter_map(|(subject, at, place, fact)| {
            let kind = kind_of(fact)?;
            let beside_a_wire = matches!(
                kind,
                OpeningKind::FloorToBottomWire | OpeningKind::TopWireToRail
            );
            let widest = fact.values().max_by_key(|o| o.nm)?;
            let with = fact.tips.iter().rev().find_map(|t| t.with.as_ref())?;
            let clear = nm(widest.nm);
            let what = words::opening(kind);
            let spoken = words::spoken(place);
            let at = if spoken.is_empty() || what.contains(&spoken) {
                format!("{what} at {at}")
            } else {
                format!("{what} at {at} ({spoken})")
            };
            Some(FixedOpening {
                subject,
                kind,
                at,
                clear_mm: clear.value(),
                beside_a_wire,
                over_sphere_mm: sphere.map(|s| clear.value() - s.value()),
                probe_mm: with.probe_nm.map(|p| nm(p).value()),
                push_n: with.push_mn.map(|p| crate::work::convert::mn(p).value()),
                result: widest.result,
                disputed: fact.blocks(),
                by: fact
                    .tips
                    .last()
                    .map_or_else(String::new, |t| job.reader.person(&t.person)),
            })
        })
        .collect()
}

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
use crate::work::convert::{heights, mm, nm, slope_of};
use crate::work::figures::Origin;
use crate::work::{WorkError, words};

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
pub(super) fn places(run: &Run, bay: &Bay, diameter: Millimetres) -> Result<Vec<Place>, WorkError> {
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
        let (clear, origin) = built(run, &posts, OpeningKind::FloorToBottomWire, planned);
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
        let (clear, origin) = built(run, &posts, OpeningKind::TopWireToRail, planned);
        found.push(Place {
            lower: u32::try_from(heights.len()).unwrap_or(u32::MAX),
            between: GapBetween::WireAndRail,
            clear,
            origin,
        });
    }
    Ok(found)
}

/// The widest opening of a kind as built at a bay's posts or told of the run, else as planned.
fn built(
    run: &Run,
    posts: &[&PostInRun],
    kind: OpeningKind,
    planned: Millimetres,
) -> (Millimetres, Origin) {
    let of_posts = posts.iter().flat_map(|p| &p.openings);
    of_posts
        .chain(&run.openings)
        .filter(|(_, fact)| kind_of(fact) == Some(kind))
        .filter_map(|(_, fact)| fact.values().map(|o| o.nm).max())
        .max()
        .map_or((planned, Origin::Recorded), |clear| {
            (nm(clear), Origin::Measured)
        })
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
    let of_run = run
        .openings
        .iter()
        .map(|(place, fact)| (run.subject(), format!("run {}", run.name), place, fact));
    let of_posts = run.posts.iter().flat_map(|post| {
        post.openings.iter().map(move |(place, fact)| {
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

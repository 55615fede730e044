//! Wires that the layout puts where none can be: into the floor that is coming, into the rail or above.
//!
//! Invariant: a wire is named only where it stands there whichever way wires and rail are laid, so
//! that what nobody told yet makes no fault. Judges nothing else of the openings.

use mechanics::Millimetres;

use super::WorkError;
use super::convert::{heights, nm, strand_of};
use super::levels;
use super::ordering::coming_floor;
use super::words;
use crate::job::{Job, PostInRun, Run};

/// Said of the wires of a run that stand in the rail, above it or in the coming floor, each once.
pub(super) fn wires_in(job: &Job<'_>, run: &Run) -> Result<Vec<String>, WorkError> {
    let diameter = strand_of(job, run).map_or(0, |(_, figures)| figures.diameter_nm);
    let half = nm(diameter) / 2.0;
    let coming = coming_floor(job).0;
    let mut found = Vec::new();
    if let Some(rail) = run.rail {
        let underside = nm(rail.underside_nm);
        let in_rail = |post: &PostInRun, height: Millimetres| {
            let more = levels::below_rail(run, &levels::at_post(run, post));
            height + half > underside + more
        };
        let what = format!(
            "in the rail or above, whose underside is at {}",
            words::mm(rail.underside_nm)
        );
        found.extend(named(run, &in_rail, &what));
    }
    if coming.nm > 0 {
        let floor = nm(coming.nm);
        let in_floor = |post: &PostInRun, height: Millimetres| {
            let more = levels::below_bottom(run, &levels::at_post(run, post));
            height + more - half < floor
        };
        let what = format!("in the coming floor of {}", words::mm(coming.nm));
        found.extend(named(run, &in_floor, &what));
    }
    Ok(found)
}

/// Wires that stand wrongly at any post, with the posts.
fn named(run: &Run, wrong: &dyn Fn(&PostInRun, Millimetres) -> bool, what: &str) -> Option<String> {
    let all: Vec<(u32, Millimetres)> = (1..).zip(heights(run)).collect();
    let mut posts = Vec::new();
    let mut wires = Vec::new();
    for post in &run.posts {
        let here = all.iter().filter(|(_, height)| wrong(post, *height));
        let here: Vec<u32> = here.map(|(wire, _)| *wire).collect();
        if !here.is_empty() {
            posts.push(post.name.as_str());
            wires.extend(here);
        }
    }
    wires.sort_unstable();
    wires.dedup();
    let (which, stand) = match wires.as_slice() {
        [] => return None,
        [_] => ("Wire", "stands"),
        _ => ("Wires", "stand"),
    };
    Some(format!(
        "{which} {} of run {} {stand} {what}, at {}. Correct the heights of the wires, or the other.",
        words::ranges(&wires),
        run.name,
        posts.join(", ")
    ))
}

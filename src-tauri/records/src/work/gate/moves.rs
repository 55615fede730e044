//! How far a gate's post moves out of the opening under the pull of the runs on it.
//!
//! Invariant: from–to. Away from the opening goes what the post moves most, at whichever height, the
//! gate taken as in line with its run; towards it only what another run may pull it that way.

use super::answer::GatePostMoves;
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::values::PostRole;
use crate::work::WorkError;
use crate::work::inward::pulls;
use crate::work::posts::{
    Held, NO_TENSION, PostAsked, PostHeld, asked_of_post, carries_pull, planned,
};

/// Movement of a gate's post, seen from the run that is asked about or else from one that pulls there;
/// none where it is not known, with why in `missing`; doubts that
/// leave its figures standing go to `notes`.
pub(super) fn of_post(
    job: &Job<'_>,
    run: &Run,
    (id, name): (ItemId, &str),
    (missing, notes): (&mut Vec<String>, &mut Vec<String>),
) -> Result<Option<GatePostMoves>, WorkError> {
    let still = GatePostMoves {
        post: id,
        name: name.to_owned(),
        runs: Vec::new(),
        tension: String::new(),
        from_mm: 0.0,
        to_mm: 0.0,
        sentence: format!("No wires end at {name}: it stays where it is."),
    };
    let own = pulled_by(run, id).map(|at| (run, at));
    let others = || {
        job.runs
            .iter()
            .find_map(|of| Some((of, pulled_by(of, id)?)))
    };
    let Some((of, at)) = own.or_else(others) else {
        return Ok(Some(still));
    };
    let Some((tension, origin)) = planned(job, of)? else {
        missing.push(format!("Run {}: {NO_TENSION}", of.name));
        return Ok(None);
    };
    if pulls(of, tension)?.is_empty() {
        missing.push(format!(
            "How many wires run {} has, and at which heights, is not told: how far post {name} moves is not known.",
            of.name
        ));
        return Ok(None);
    }
    let mut said = Vec::new();
    let asked = asked_of_post(job, of, at, (tension, origin), &mut said)?;
    let moved = asked.as_ref().filter(|asked| is_whole(job, of, asked));
    let moved = moved.and_then(|asked| span(asked, at));
    let Some((asked, (from, to))) = asked.as_ref().zip(moved) else {
        missing.extend(said);
        missing.push(format!("How far post {name} moves is not known."));
        return Ok(None);
    };
    notes.extend(said);
    let mut runs = vec![of.name.clone()];
    for other in asked.together.iter().flat_map(|all| &all.runs) {
        if !runs.contains(&other.name) {
            runs.push(other.name.clone());
        }
    }
    let towards = match from < 0.0 {
        true => format!(
            ", or up to {:.1} mm into it where another run pulls it that way",
            -from
        ),
        false => String::new(),
    };
    let untold = asked.together.as_ref().is_some_and(|all| {
        let told = all.runs.iter().all(|other| other.angle_deg.is_some());
        !told
    });
    let angle = match untold {
        true => " The angle of the runs is not told: the greatest over all angles counts.",
        false => "",
    };
    let sentence = format!(
        "Post {name} moves up to {to:.1} mm out of the opening{towards}, {}, run {} at {tension} \
         ({origin}).{angle}",
        how(held(&asked.held)),
        runs.join(" and "),
    );
    Ok(Some(GatePostMoves {
        runs,
        tension: format!("{tension}, {origin}"),
        from_mm: from,
        to_mm: to,
        sentence,
        ..still
    }))
}

/// Whether every pull on the post is counted and its wall is told: else it may move several times as far.
fn is_whole(job: &Job<'_>, of: &Run, asked: &PostAsked) -> bool {
    let together = asked.together.iter().flat_map(|all| &all.runs);
    let counted: Vec<ItemId> = together.map(|other| other.run).collect();
    let pulls_uncounted = |other: &&Run| {
        other.id != of.id && pulled_by(other, asked.post).is_some() && !counted.contains(&other.id)
    };
    let as_solid = held(&asked.held).is_some_and(|held| held.taken_as_solid);
    !as_solid && !job.runs.iter().any(|other| pulls_uncounted(&other))
}

/// The post of a run at which its wires pull.
fn pulled_by(run: &Run, id: ItemId) -> Option<&PostInRun> {
    let at = run.posts.iter().find(|post| post.id == id)?;
    carries_pull(run, at).then_some(at)
}

/// As it is planned to be held: by the rail where that is known, else free.
fn held(ways: &[PostHeld]) -> Option<&PostHeld> {
    let with_rail = ways.iter().find(|h| h.held == Held::WithRail);
    with_rail.or_else(|| ways.iter().find(|h| h.held == Held::Free))
}

fn how(held: Option<&PostHeld>) -> &'static str {
    match held.map(|h| h.held) {
        Some(Held::WithRail) => "with its rail",
        _ => "standing free",
    }
}

/// Least and most that it moves out of the opening; none where no stiffness is known.
fn span(asked: &PostAsked, at: &PostInRun) -> Option<(f64, f64)> {
    let size = |of: &PostHeld| {
        let wires = of.wires_mm.iter().map(|moved| moved.abs());
        Some(wires.fold(of.tip_mm?.abs(), f64::max))
    };
    let own = size(held(&asked.held)?)?;
    let Some(all) = &asked.together else {
        // Of one run that turns there nobody told to which side the gate stands.
        let either = at.role == PostRole::Corner;
        return Some((if either { -own } else { 0.0 }, own));
    };
    let together = held(&all.held)?;
    let both = size(together)?;
    let told = all.runs.iter().all(|other| other.angle_deg.is_some());
    let along = together.wires_mm.iter().take(asked.wire_heights_mm.len());
    let from = match told && at.role != PostRole::Corner {
        true => along.copied().fold(0.0, f64::min),
        false => -both,
    };
    // Before the other run is brought up the post moves by this one alone.
    Some((from, own.max(both)))
}

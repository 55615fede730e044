//! Figures that can each be and not together: named with their run, post and field.
//!
//! Invariant: such a figure stops only what rests on it. What it is held against is told beside it,
//! since nobody but the person knows which of the two is wrong.

use mechanics::{Degrees, Millimetres, slope};

use super::convert::{fitting_of, mm, nm, slope_of};
use super::lengths::inside;
use super::{WorkError, words};
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{Length, Rail, Shape};
use crate::subject::{ItemKind, Subject};

/// How far a run's height may be from its rail's top: a tape and a rounded figure.
const TOPS_APART: Millimetres = Millimetres(5.0);

/// The barrier's top as the rules take it: the lower of the height that is told and the rail's top;
/// none where neither is told.
pub(super) fn top(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    let told = run.height.map(mm);
    let by_rail = rail_top(run.rail, slope_of(run)?)?;
    Ok([told, by_rail]
        .into_iter()
        .flatten()
        .reduce(Millimetres::min))
}

fn rail_top(rail: Option<Rail>, slope: Degrees) -> Result<Option<Millimetres>, WorkError> {
    let top = |rail: Rail| slope::rail_top(nm(rail.underside_nm), nm(rail.thickness_nm), slope);
    Ok(rail.map(top).transpose()?)
}

/// Said where the height of a run and the top of its rail contradict each other.
pub(super) fn tops_apart(run: &Run) -> Result<Option<String>, WorkError> {
    odd_tops(run.height, run.rail, slope_of(run)?)
}

/// The same of figures that are said now.
pub(super) fn odd_tops(
    height: Option<Length>,
    rail: Option<Rail>,
    slope: Degrees,
) -> Result<Option<String>, WorkError> {
    let (Some(height), Some(top)) = (height.map(mm), rail_top(rail, slope)?) else {
        return Ok(None);
    };
    Ok(((height - top).abs() > TOPS_APART).then(|| {
        format!(
            "The run's height is told as {height}, and its rail's top lies at {top}: one of them is not \
             right, and the lower one counts until they agree."
        )
    }))
}

/// Said of a raked run whose posts stand further apart, or less far, than its steps reach, by more than a
/// step beyond either end: most often a step was counted or measured wrongly, or the bays along the slope.
pub(super) fn flight_apart(run: &Run) -> Option<String> {
    let slope = run.slope.filter(|_| run.shape == Shape::Raked)?;
    let risers = i64::from(slope.risers.filter(|n| *n > 1)?);
    let at = |post: Option<&PostInRun>| Some(post?.position.value()?.nm);
    let apart = (at(run.posts.last())? - at(run.posts.first())?).abs();
    // Between n risers lie n - 1 goings; a landing may be counted as one more.
    let (least, most) = ((risers - 1) * slope.going_nm, risers * slope.going_nm);
    let fits = (least - slope.going_nm..=most + slope.going_nm).contains(&apart);
    (!fits).then(|| {
        format!(
            "Run {}: {risers} risers with a going of {} reach {} to {} level, and its end posts stand {} \
             apart. Was a step counted or measured wrongly, were the bays read along the slope, or does \
             the run end within the flight?",
            run.name,
            words::mm(slope.going_nm),
            words::mm(least),
            words::mm(most),
            words::mm(apart)
        )
    })
}

/// The floor that a run's height is taken above: the highest floor of a level run's posts, and the
/// coming one, together as high as the barrier's top or higher. The thing to correct, and a sentence.
pub(super) fn floor_over_top(
    job: &Job<'_>,
    run: &Run,
) -> Result<Option<(Subject, String)>, WorkError> {
    let Some(top) = top(run)? else {
        return Ok(None);
    };
    let top = Length::from_mm(top.value()).nm;
    let coming = job.reader.one(fields::JOB_COMING_FLOOR, &job.subject(), "");
    let coming = coming.values().map(|l| l.nm).max().unwrap_or(0);
    let floors = run
        .posts
        .iter()
        .filter(|_| run.shape == Shape::Level)
        .filter_map(|p| Some((p, p.floor.or(p.floor_disputed)?.nm)));
    let highest = floors.max_by_key(|(_, nm)| *nm).filter(|(_, nm)| *nm > 0);
    let up = highest.map_or(0, |(_, nm)| nm);
    if coming + up < top {
        return Ok(None);
    }
    let mut above = Vec::new();
    let mut subject = Subject::Job(job.id);
    if let Some((post, up)) = highest {
        subject = Subject::post(post.id);
        above.push(format!(
            "the floor level at post {} is {} above the first post's",
            post.name,
            words::mm(up)
        ));
    }
    if coming > 0 {
        above.push(format!(
            "the job's coming floor is {} thick",
            words::mm(coming)
        ));
    }
    Ok(Some((
        subject,
        format!(
            "Run {}: {}, and the barrier's top stands at {}. One of them is wrong: its height is not \
             held against the rules until it is corrected.",
            run.name,
            above.join(", "),
            words::mm(top)
        ),
    )))
}

/// A fixed deduction as long as a wire of the run or longer: nothing is compared with it.
pub(super) fn deduction_over_wires(job: &Job<'_>, run: &Run) -> Option<(Subject, String)> {
    let set = fitting_of(job, run)?;
    let deduction = set.fixed_deduction.filter(|d| d.nm > 0)?;
    let shortest = inside(run)
        .0
        .iter()
        .filter_map(|i| i.length.as_ref().ok())
        .map(|known| known.mm)
        .reduce(Millimetres::min)?;
    (nm(deduction.nm) >= shortest).then(|| {
        let subject = Subject::Item(ItemKind::FittingSet, set.id);
        let sentence = format!(
            "Run {}: the fixed deduction of fitting set {} is {}, and its shortest wire reads {shortest} \
             inside to inside. It is not compared; correct it.",
            run.name,
            set.name,
            words::mm(deduction.nm)
        );
        (subject, sentence)
    })
}

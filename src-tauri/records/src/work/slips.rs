//! Figures that can each be and not together: named with their run, post and field.
//!
//! Invariant: such a figure stops only what rests on it. What it is held against is told beside it,
//! since nobody but the person knows which of the two is wrong.

use mechanics::slope;

use super::convert::{fitting_of, nm, slope_of};
use super::lengths::inside;
use super::{WorkError, words};
use crate::job::{Job, Run};
use crate::model::fields;
use crate::model::values::{Length, Shape};
use crate::subject::{ItemKind, Subject};

/// The floor that a run's height is taken above: the highest floor of a level run's posts, and the
/// coming one, together as high as the barrier's top or higher. The thing to correct, and a sentence.
pub(super) fn floor_over_top(
    job: &Job<'_>,
    run: &Run,
) -> Result<Option<(Subject, String)>, WorkError> {
    let top = match (run.height, run.rail) {
        (Some(height), _) => height.nm,
        (None, Some(rail)) => {
            let (underside, thick) = (nm(rail.underside_nm), nm(rail.thickness_nm));
            let top = slope::rail_top(underside, thick, slope_of(run)?)?;
            Length::from_mm(top.value()).nm
        }
        (None, None) => return Ok(None),
    };
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
        .reduce(mechanics::Millimetres::min)?;
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

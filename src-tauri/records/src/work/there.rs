//! Whether what a plain fact is said of is in the job: its subject and its place in the layout.
//!
//! Invariant: a word on what is not there would be kept and never be read, so it is refused where it
//! is said; what stands in a record already is left alone. Says nothing of values.

use crate::book::Key;
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::fields;
use crate::subject::{ItemKind, Subject};

/// Why nothing can be said of this subject, which is not in the job; none where it is.
#[must_use]
pub fn subject_not_there(job: &Job<'_>, subject: &Subject) -> Option<String> {
    match subject {
        Subject::Item(kind, _) => {
            let created = Key {
                subject: subject.to_string(),
                field: "created".to_owned(),
                place: String::new(),
            };
            let here = match (kind, subject) {
                (ItemKind::Run, Subject::Item(_, id)) => job.run(*id).is_some(),
                _ => job.reader.view.key(&created).is_some(),
            };
            (!here).then(|| format!("There is no such {} in this job.", subject.kind().word()))
        }
        Subject::Wire(run, wire) => match job.run(*run) {
            None => Some("The wire's run is not in this job.".to_owned()),
            Some(run) => run.wire(*wire).is_none().then(|| {
                format!(
                    "Run {} has {} wires; there is no wire {wire}.",
                    run.name,
                    run.wires.len()
                )
            }),
        },
        Subject::Bay(..) => {
            let mut bays = job.runs.iter().flat_map(|run| &run.bays);
            (!bays.any(|bay| bay.subject == *subject)).then(|| {
                "This bay is not in the layout: its two posts do not stand side by side in a run."
                    .to_owned()
            })
        }
        Subject::Job(id) => {
            (*id != job.id).then(|| "That is another job than the one it is said in.".to_owned())
        }
        _ => None,
    }
}

/// Why a field of a subject can't be said at this place, which the layout does not have; none where it
/// can.
#[must_use]
pub fn place_not_there(
    job: &Job<'_>,
    subject: &Subject,
    field: &str,
    place: &str,
) -> Option<String> {
    let is_run = |place: &str| job.runs.iter().any(|run| run.id.to_string() == place);
    let of_run = [
        fields::POST_POSITION.name,
        fields::POST_ROLE.name,
        fields::POST_END.name,
        fields::POST_FRICTION.name,
    ];
    match (subject, field) {
        (Subject::Item(ItemKind::Post, _), field) if of_run.contains(&field) => {
            (!is_run(place)).then(|| "The post's run is not in this job.".to_owned())
        }
        (Subject::Item(ItemKind::Post, _), field) if field == fields::POST_ANGLE.name => {
            (!place.split('/').all(is_run))
                .then(|| "The run of the angle is not in this job.".to_owned())
        }
        (Subject::Item(ItemKind::Post, post), field) if field == fields::POST_DRILLED.name => {
            no_gap(job, *post, place)
        }
        (Subject::Item(ItemKind::Post | ItemKind::Run, _), field)
            if field == fields::POST_OPENING.name =>
        {
            None
        }
        (Subject::Job(_), field) if field == fields::JOB_EVIDENCE_WAIVED.name => None,
        _ => (!place.is_empty()).then(|| {
            format!(
                "The field {field} of a {} has no place.",
                subject.kind().word()
            )
        }),
    }
}

/// Why there is no gap of two wires at `<run>/<lower wire>` of a post.
fn no_gap(job: &Job<'_>, post: ItemId, place: &str) -> Option<String> {
    let (run, wire) = place.split_once('/').unwrap_or((place, ""));
    let Some(run) = job.runs.iter().find(|r| r.id.to_string() == run) else {
        return Some("The run of the drilled holes is not in this job.".to_owned());
    };
    if !run.posts.iter().any(|p| p.id == post) {
        return Some(format!("Run {} does not pass this post.", run.name));
    }
    let wire: Option<usize> = wire.parse().ok();
    let gap = wire.is_some_and(|wire| wire >= 1 && wire < run.wires.len());
    (!gap).then(|| {
        format!(
            "Run {} has {} wires: a distance of two wires is told at its lower wire, 1 to {}.",
            run.name,
            run.wires.len(),
            run.wires.len().saturating_sub(1)
        )
    })
}

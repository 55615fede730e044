//! Figures that stand in the record and can't be: named, and not used.
//!
//! They come from another program or an older version: where they are said here they are refused.

use super::words;
use crate::job::{Job, Run, reader};
use crate::model::bounds;
use crate::subject::{ItemKind, Subject};

/// What can't be of the things that a run's engineering rests on, a sentence each.
pub(super) fn of_run(job: &Job<'_>, run: &Run) -> Vec<String> {
    let item = |kind| move |id| Subject::Item(kind, id);
    let tools = job.tools.iter().map(|t| t.id).map(item(ItemKind::Tool));
    let posts = run.posts.iter().map(|p| p.id).map(item(ItemKind::Post));
    let strand = run.strand.into_iter().map(item(ItemKind::Strand));
    let set = run.fitting_set.into_iter().map(item(ItemKind::FittingSet));
    let bays = run.bays.iter().map(|b| b.subject);
    let wires = run.wires.iter().map(|w| Subject::Wire(run.id, w.number));
    let job_itself = [Subject::Job(job.id), run.subject()].into_iter();
    let all = job_itself.chain(tools).chain(strand).chain(set);
    let all = all.chain(posts).chain(bays).chain(wires);
    all.flat_map(|subject| of_subject(job, &subject)).collect()
}

/// What can't be of one thing, a sentence each.
pub(super) fn of_subject(job: &Job<'_>, subject: &Subject) -> Vec<String> {
    told(job, subject, |_| true)
}

/// What can't be of one field of a thing, in a sentence.
pub(super) fn of_field(job: &Job<'_>, subject: &Subject, field: &str) -> Option<String> {
    told(job, subject, |of| of == field).into_iter().next()
}

fn told(job: &Job<'_>, subject: &Subject, wanted: impl Fn(&str) -> bool) -> Vec<String> {
    let text = subject.to_string();
    let view = job.reader.view;
    let mut found = Vec::new();
    for (key, state) in view.keys_of_subject(&text) {
        if !wanted(&key.field) {
            continue;
        }
        let tips = state.lines.iter().flat_map(|line| &line.tips);
        let values = tips
            .filter_map(|id| view.entry(id))
            .filter_map(|entry| reader::said(entry, key).0);
        for value in values {
            if let Some(reason) = bounds::figures(subject.kind(), &key.field, value) {
                found.push(format!(
                    "{}: its {} can't be right ({reason}). It is not used; correct it.",
                    job.name_of(subject),
                    words::field(&text, &key.field),
                ));
            }
        }
    }
    found
}

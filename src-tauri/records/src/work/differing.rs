//! What people differ on, told beside every answer that it may change.
//!
//! Invariant: an answer names each single value about its run that people differ on or that a newer
//! version changed, whatever was made of it; left out is only what no figure and no name in an
//! answer comes from. Refuses nothing: an answer that can't stand without the fact does that itself.

use super::basis::{Unsettled, unsettled_of};
use crate::book::Key;
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::subject::{ItemKind, Subject};

/// Fields of a job that stand in no answer but their own: wording, and what is asked of people.
const OF_NO_FIGURE: &[&str] = &[
    "title",
    "place",
    "owner",
    "certifier",
    "permit",
    "buildingClass",
    "below",
    "saltDistance",
    "chlorine",
    "washedByRain",
    "steel",
    "dissimilarMetals",
    "climbables",
    "drillingHazards",
    "access",
    "evidenceWaived",
    "callBack",
    "calledBack",
    "signOff",
    "sampleCrimp",
    "note",
    "created",
    "beforeSecondEnd",
];

/// Whether words on single wires (lengths, pieces, cuts) play a part in an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wires {
    /// They do.
    Count,
    /// The answer is about posts, bays and the layout alone.
    LeftOut,
}

/// What people differ on about a run and the runs that share a post with it; about all of the job
/// where no run is named.
pub(super) fn differing(job: &Job<'_>, run: Option<&Run>, wires: Wires) -> Vec<Unsettled> {
    let runs: Vec<&Run> = job
        .runs
        .iter()
        .filter(|other| run.is_none_or(|run| run.id == other.id || share_a_post(run, other)))
        .collect();
    let own = |id: ItemId| run.is_none_or(|run| run.id == id);
    let of = |key: &&Key| {
        let silent = OF_NO_FIGURE.contains(&key.field.as_str());
        let subject = key.subject.parse::<Subject>().ok();
        !silent
            && subject.is_some_and(|subject| match subject {
                Subject::Job(_) => true,
                Subject::Item(ItemKind::Tool, _) => true,
                Subject::Item(ItemKind::Run, id) => runs.iter().any(|r| r.id == id),
                Subject::Item(ItemKind::Post, id) => {
                    let stands = |r: &&Run| r.posts.iter().any(|p| p.id == id);
                    runs.iter().any(stands)
                }
                Subject::Item(ItemKind::Strand, id) => runs.iter().any(|r| r.strand == Some(id)),
                Subject::Item(ItemKind::FittingSet, id) => {
                    runs.iter().any(|r| r.fitting_set == Some(id))
                }
                Subject::Bay(..) => {
                    let stands = |r: &&Run| r.bays.iter().any(|b| b.subject == subject);
                    runs.iter().any(stands)
                }
                Subject::Wire(id, _) => wires == Wires::Count && own(id),
                _ => false,
            })
    };
    let keys = job.reader.unsettled().map(|(key, _)| key).filter(of);
    unsettled_of(job, keys.cloned().collect())
}

fn share_a_post(run: &Run, other: &Run) -> bool {
    let stands = |id: ItemId| run.posts.iter().any(|p| p.id == id);
    other.posts.iter().any(|p| stands(p.id))
}

/// Adds to an answer's notes what people differ on and what neither the notes nor `told` say yet.
pub(super) fn note_differing(
    found: Vec<Unsettled>,
    told: impl IntoIterator<Item = String>,
    notes: &mut Vec<String>,
) {
    let told: Vec<String> = told.into_iter().collect();
    for one in found {
        let sentence = one.sentence();
        let known = |said: &String| said.contains(&sentence) || said.contains(&one.name);
        if !told.iter().any(known) && !notes.iter().any(known) {
            notes.push(sentence);
        }
    }
}

/// What people differ on about a run, each in a sentence that says what to do; for answers that hold
/// no notes of their own.
#[must_use]
pub fn differing_on(job: &Job<'_>, run: ItemId, wires: Wires) -> Vec<String> {
    let found = differing(job, job.run(run), wires);
    let mut notes = Vec::new();
    note_differing(found, [], &mut notes);
    notes
}

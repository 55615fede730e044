//! Posts under the wires' pull: a known pull that shows how they give.

use records::Record;
use records::ids::{BookId, Hash, ItemId};
use records::job::Job;
use records::model::context::PullRead;
use records::model::fields;
use records::model::values::KnownPull;
use records::subject::Subject;
use records::work;

use crate::claim::{Act, Acted, Earlier};
use crate::handlers::hashes;
use crate::handlers::posts::ReadPull;
use crate::{ApiError, ErrorCode};

/// A post of a run along which it is pulled.
#[derive(Clone, Copy)]
pub(crate) struct PostOf {
    /// The run.
    pub(crate) run: ItemId,
    /// The post.
    pub(crate) post: ItemId,
}

/// Records a known pull on a post; one that can hardly be is questioned once.
pub(crate) fn pull(
    record: &mut Record,
    job: BookId,
    of: PostOf,
    request: &ReadPull,
    pull: &KnownPull,
    with: &PullRead,
) -> Result<Acted, ApiError> {
    let over = hashes(&request.over)?;
    question_pull(&record.job(job)?, of, (pull, &over), request.confirmed)?;
    let mut act = Act::default();
    act.claim(
        fields::POST_PULL,
        Subject::post(of.post),
        &of.run.to_string(),
        Some(pull),
        with,
        Earlier::over(over),
    )?;
    act.record(record, job)
}

/// Refuses a post that the run does not have, and asks about a pull that can hardly be.
fn question_pull(
    job: &Job<'_>,
    of: PostOf,
    (pull, over): (&KnownPull, &[Hash]),
    confirmed: bool,
) -> Result<(), ApiError> {
    let run = job.run(of.run);
    if !run.is_some_and(|run| run.posts.iter().any(|p| p.id == of.post)) {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "The run has no such post. Open the post from its run.",
        ));
    }
    let doubt = work::pull_doubt(job, of.run, of.post, pull, over)?;
    if let Some(doubt) = doubt.filter(|_| !confirmed) {
        let asked = format!("{doubt} Keep it all the same?");
        return Err(ApiError::new(ErrorCode::Questioned, asked));
    }
    Ok(())
}

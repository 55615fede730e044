//! What a handover is made from, and how far the making has come.

use std::ops::ControlFlow;
use std::path::Path;

use records::book::BookView;
use records::entry::At;
use records::ids::DeviceId;
use records::job::Job;

use crate::HandoverError;

/// What a handover is made from. All of it is read, nothing is changed.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// The job, read from its book.
    pub job: &'a Job<'a>,
    /// The crew's book.
    pub crew_book: &'a BookView,
    /// Folder of originals and views.
    pub photos_dir: &'a Path,
    /// Name and version of the program.
    pub program: &'a str,
    /// When the handover is made.
    pub made: At,
    /// Who makes it.
    pub made_by: &'a str,
    /// Entries of the job's or the crew's book that were saved on the making device and that it lost or
    /// holds damaged.
    pub broken_off: usize,
    /// Signs the sums as the making device; none where the crew does not count it.
    pub sign: Option<&'a Sign<'a>>,
}

/// What signs for the making device: given a domain and bytes, its id and 128 hex digits. The key
/// stays where it is.
pub type Sign<'a> = dyn Fn(&str, &[u8]) -> (DeviceId, String) + Sync + 'a;

impl std::fmt::Debug for Source<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Source")
            .field("job", &self.job.id)
            .field("signed", &self.sign.is_some())
            .finish_non_exhaustive()
    }
}

/// A step of the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Pictures are made small for the document.
    Pictures,
    /// The document is set.
    Document,
    /// Files are written or looked at.
    Files,
}

/// How far the making has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// The step.
    pub step: Step,
    /// Pieces done.
    pub done: usize,
    /// Pieces in all.
    pub of: usize,
}

/// Told of every piece done; answers whether to go on.
pub type OnProgress<'a> = dyn Fn(Progress) -> ControlFlow<()> + Sync + 'a;

pub(crate) fn tell(
    on: &OnProgress<'_>,
    step: Step,
    done: usize,
    of: usize,
) -> Result<(), HandoverError> {
    match on(Progress { step, done, of }) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => Err(HandoverError::Cancelled),
    }
}

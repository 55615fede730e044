//! What lies in the folder under a right name and length with other bytes.
//!
//! Invariant: only reads, each file once and four at a time; done only when everything is to be
//! looked over, since it costs as many bytes as lie there.

use std::collections::BTreeSet;

use records::ids::Hash;

use super::Run;
use crate::error::SyncError;
use crate::store::{IN_FLIGHT, in_flight};

/// A file that should have a hash.
pub(super) struct Expected {
    pub(super) path: String,
    /// Its bytes at most.
    pub(super) at_most: u64,
    /// The first hex digits of its SHA-256.
    pub(super) start: String,
}

/// The paths whose bytes are others. One that can't be read is told, and not taken for wrong.
pub(super) fn wrong(run: &mut Run<'_>, files: &[Expected]) -> BTreeSet<String> {
    let mut wrong = BTreeSet::new();
    for (done, group) in files.chunks(IN_FLIGHT * 4).enumerate() {
        run.tell(
            "Looking over what lies there",
            done * IN_FLIGHT * 4,
            files.len(),
        );
        let read = in_flight(group, run.options.stop, &|file: &Expected| {
            let bytes = run.store.get(&file.path, file.at_most)?;
            Ok::<bool, SyncError>(Hash::of(&bytes).to_string().starts_with(&file.start))
        });
        for (file, read) in group.iter().zip(read) {
            match read {
                Some(Ok(false)) | Some(Err(SyncError::NotFound { .. })) => {
                    wrong.insert(file.path.clone());
                }
                Some(Err(error)) => run.report.fault(&error),
                Some(Ok(true)) | None => {}
            }
        }
    }
    wrong
}

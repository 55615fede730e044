//! The handover's errors, by cause.

use std::io;
use std::path::{Path, PathBuf};

/// What can go wrong while a handover or labels are made, or a handover is looked at. Nothing half-made is left behind.
#[derive(Debug, thiserror::Error)]
pub enum HandoverError {
    /// A file operation failed.
    #[error(
        "could not {operation} {path}: {source}; no handover was made there{}",
        records::what_to_do(.source)
    )]
    File {
        /// What was tried, in words ("write", "list").
        operation: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system answered.
        source: io::Error,
    },
    /// The folder holds something.
    #[error("{0} is not empty; choose an empty folder or a new one, nothing was changed")]
    NotEmpty(PathBuf),
    /// There is a file of that name.
    #[error("{0} is there already; name another file, nothing was changed")]
    Taken(PathBuf),
    /// The document could not be set.
    #[error("the document could not be set: {0}; nothing was written")]
    Document(String),
    /// A data table could not be written.
    #[error("the table {table} could not be written: {reason}; nothing was written")]
    Table {
        /// Which table.
        table: String,
        /// What happened.
        reason: String,
    },
    /// A template that can't be drilled by.
    #[error("{0} No template was made")]
    NoTemplate(String),
    /// The job has no such run.
    #[error("run {0} is not in this job; choose one of its runs, no template was made")]
    NoSuchRun(records::ids::ItemId),
    /// Someone ended it.
    #[error("ended before it was done; nothing was written")]
    Cancelled,
    /// The record refused to answer.
    #[error(transparent)]
    Record(#[from] records::RecordError),
}

impl HandoverError {
    /// Wraps an error of the file system with what was tried and where.
    pub fn file(operation: &'static str, path: &Path) -> impl FnOnce(io::Error) -> HandoverError {
        let path = path.to_path_buf();
        move |source| HandoverError::File {
            operation,
            path,
            source,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_says_what_to_do() {
        let source = io::Error::from(io::ErrorKind::StorageFull);
        let told = HandoverError::file("write", Path::new("out"))(source).to_string();
        assert!(told.contains("make room"), "{told}");
    }
}

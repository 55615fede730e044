//! What can go wrong while bringing, building and running.

use std::{io, path::PathBuf};

/// Why a command of the project ended early.
#[derive(Debug, thiserror::Error)]
pub(crate) enum XtaskError {
    /// A program could not be started.
    #[error("could not start `{command}`: {source}")]
    Start {
        /// The command line.
        command: String,
        /// What the system said.
        source: io::Error,
    },
    /// A program ended with an error.
    #[error("`{command}` failed ({status}); its output is above")]
    Failed {
        /// The command line.
        command: String,
        /// Its exit status in words.
        status: String,
    },
    /// A file or folder could not be used.
    #[error("could not {operation} {}: {source}", path.display())]
    File {
        /// What was tried.
        operation: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Something is missing and was not brought.
    #[error("{0}")]
    Missing(String),
    /// Checks ran and some failed.
    #[error("{0}")]
    Checks(String),
    /// A picture could not be drawn or written.
    #[error(transparent)]
    Photos(#[from] crate::r#gen::GenError),
    /// An icon could not be written.
    #[error("could not draw the icon: {0}")]
    Icon(#[from] image::ImageError),
}

impl XtaskError {
    /// Makes the error of a file operation.
    pub(crate) fn file(
        operation: &'static str,
        path: impl Into<PathBuf>,
    ) -> impl FnOnce(io::Error) -> Self {
        let path = path.into();
        move |source| Self::File {
            operation,
            path,
            source,
        }
    }
}

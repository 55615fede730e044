//! Raw recordings coming in: sound as WAV, motion as a table of samples.
//!
//! Invariant: bytes become numbers here and nowhere below; whatever the bytes are, the answer is
//! numbers with notes, or one sentence on what is wrong. Does not read tensions.

mod motion;
mod wav;

use std::fs::File;
use std::io::Read;
use std::path::Path;

use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use crate::{ApiError, App, ErrorCode};

pub(crate) use motion::motion;
pub(crate) use wav::wav;

/// Largest recording that is taken in, in bytes.
pub(crate) const LARGEST: u64 = 64 * 1024 * 1024;

/// Where a recording's bytes are.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(
    tag = "kind",
    rename_all = "camelCase",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum RawSource {
    /// A file of this machine.
    File {
        /// Its path.
        path: String,
    },
    /// An upload that is complete.
    Upload {
        /// The upload.
        upload: String,
        /// Number of its bytes.
        bytes: u64,
    },
}

impl RawSource {
    /// Reads the bytes; an upload stays until it is let go.
    pub(crate) fn read(&self, app: &App) -> Result<Vec<u8>, ApiError> {
        match self {
            Self::Upload { bytes, .. } if *bytes > LARGEST => Err(too_large()),
            Self::Upload { upload, bytes } => app.uploads.read(upload, *bytes),
            Self::File { path } => read_file(Path::new(path)),
        }
    }

    /// Lets an upload go whose bytes are in the record now.
    pub(crate) fn let_go(&self, app: &App) {
        if let Self::Upload { upload, .. } = self {
            app.uploads.clear(upload);
        }
    }
}

fn read_file(path: &Path) -> Result<Vec<u8>, ApiError> {
    let fault = |error: std::io::Error| {
        ApiError::new(
            ErrorCode::Storage,
            format!(
                "Could not read {}: {error}. Nothing was saved; check the path and its rights.",
                path.display()
            ),
        )
    };
    let file = File::open(path).map_err(fault)?;
    let mut bytes = Vec::new();
    let read = file.take(LARGEST + 1).read_to_end(&mut bytes);
    read.map_err(fault)?;
    if bytes.len() as u64 > LARGEST {
        return Err(too_large());
    }
    Ok(bytes)
}

fn too_large() -> ApiError {
    ApiError::invalid(
        "The recording is over 64 MiB and was not read. Cut out the plucks, three seconds each, and \
         try again.",
    )
}

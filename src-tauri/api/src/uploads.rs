//! Picture and document bytes on their way in, piece by piece.
//!
//! Invariant: an upload grows only at its end, and a piece sent twice counts once, so that a
//! caller may repeat what it is not sure of. Nothing here is part of the record: what is not
//! finished is removed when the folder is opened again.

use std::{
    fs::{self, File, OpenOptions},
    io::{Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

use base64::{Engine, prelude::BASE64_STANDARD};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{ApiError, App, ErrorCode, boundary::Nothing};

/// The largest piece, in bytes.
pub const PIECE_LIMIT: usize = 256 * 1024;
/// The largest upload, in bytes: well over the 64 MiB up to which a picture is shown.
const UPLOAD_LIMIT: u64 = 256 * 1024 * 1024;
/// How many uploads may be on their way at once.
const OPEN_LIMIT: usize = 64;

/// Where the bytes of a survey, picture or document are.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(
    tag = "kind",
    rename_all = "camelCase",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum FileSource {
    /// A file of this machine; it stays as it is.
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

impl FileSource {
    /// The bytes, of a file at most one more than `at_most`, so that the caller sees what is too
    /// large.
    pub(crate) fn read(&self, uploads: &Uploads, at_most: u64) -> Result<Vec<u8>, ApiError> {
        match self {
            Self::Upload { upload, bytes } => uploads.read(upload, *bytes),
            Self::File { path } => read_file(Path::new(path), at_most),
        }
    }

    /// The bytes of a picture or document.
    pub(crate) fn whole(&self, uploads: &Uploads) -> Result<Vec<u8>, ApiError> {
        let bytes = self.read(uploads, UPLOAD_LIMIT)?;
        if bytes.len() as u64 > UPLOAD_LIMIT {
            return Err(ApiError::invalid(TOO_LARGE));
        }
        Ok(bytes)
    }

    /// Lets an upload go: its bytes are in the record, or will never be.
    pub(crate) fn clear(&self, uploads: &Uploads) {
        if let Self::Upload { upload, .. } = self {
            uploads.clear(upload);
        }
    }
}

const TOO_LARGE: &str =
    "This file is over 256 MiB and was not taken in. Make it smaller and add it again.";

fn read_file(path: &Path, at_most: u64) -> Result<Vec<u8>, ApiError> {
    let unread = |error| {
        let told = records::RecordError::file("read", path)(error);
        let message = format!("Nothing was taken in: {told}. Check the file and its name.");
        ApiError::new(ErrorCode::Storage, message)
    };
    // A pipe or device could keep the reader waiting for ever.
    if !fs::metadata(path).map_err(unread)?.is_file() {
        return Err(ApiError::invalid(format!(
            "{} is no file; nothing was taken in. Name the file itself.",
            path.display()
        )));
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(at_most + 1).read_to_end(&mut bytes))
        .map_err(unread)?;
    Ok(bytes)
}

/// The folder in which pieces become whole files.
pub struct Uploads {
    dir: PathBuf,
    one_at_a_time: Mutex<()>,
}

/// A piece of an upload as base64.
#[derive(Debug, Clone, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddPiece {
    /// The upload's name, chosen by the caller: 16 to 40 of a–z and 0–9.
    pub upload: String,
    /// Where the piece begins, in bytes.
    pub offset: u64,
    /// The bytes as base64 (RFC 4648, with padding), at most 256 KiB decoded.
    pub base64: String,
}

/// How long an upload is now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PieceAdded {
    /// Bytes taken in so far.
    pub bytes: u64,
}

/// Which upload to forget.
#[derive(Debug, Clone, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DropUpload {
    /// The upload's name.
    pub upload: String,
}

impl Uploads {
    /// Opens the folder, making it where it is missing and removing what was never finished.
    pub fn open(dir: &Path) -> Result<Self, ApiError> {
        fs::create_dir_all(dir).map_err(|error| refused("open", &error))?;
        let stale = fs::read_dir(dir).map_err(|error| refused("open", &error))?;
        for entry in stale.flatten() {
            // Files of other makers in this folder are not ours to remove.
            if name_fits(&entry.file_name().to_string_lossy()) {
                fs::remove_file(entry.path()).map_err(|error| refused("clear", &error))?;
            }
        }
        Ok(Self {
            dir: dir.to_owned(),
            one_at_a_time: Mutex::new(()),
        })
    }

    /// Adds a piece at its offset and gives the length so far, in bytes.
    ///
    /// A piece that is there already is accepted again; a gap, a differing repeat, and a piece or
    /// upload over its limit are refused and change nothing.
    pub fn add(&self, upload: &str, offset: u64, piece: &[u8]) -> Result<u64, ApiError> {
        if piece.len() > PIECE_LIMIT {
            return Err(ApiError::invalid(format!(
                "A piece holds {PIECE_LIMIT} bytes at most. Send smaller pieces."
            )));
        }
        let path = self.path(upload)?;
        let _turn = self
            .one_at_a_time
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let end = offset.saturating_add(piece.len() as u64);
        if end > UPLOAD_LIMIT {
            // It can't become a file of the record any more.
            drop(fs::remove_file(&path));
            return Err(ApiError::invalid(TOO_LARGE));
        }
        if !path.exists() && self.open_count()? >= OPEN_LIMIT {
            return Err(ApiError::retryable(
                ErrorCode::Storage,
                "Too many files are on their way in. Wait until some are finished.",
            ));
        }
        let mut file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(|error| refused("open", &error))?;
        let length = file
            .metadata()
            .map_err(|error| refused("read", &error))?
            .len();
        if offset > length {
            return Err(ApiError::retryable(
                ErrorCode::Invalid,
                format!("A piece before this one is missing. Go on at byte {length}."),
            ));
        }
        file.seek(SeekFrom::Start(offset))
            .map_err(|error| refused("read", &error))?;
        if offset < length {
            return same_again(&mut file, piece, end, length);
        }
        if let Err(error) = file.write_all(piece) {
            // A half-written piece would make the repeat look different.
            file.set_len(length)
                .map_err(|error| refused("cut back", &error))?;
            return Err(refused("write", &error));
        }
        Ok(end)
    }

    /// Reads a whole upload: its bytes, which must be as many as announced. It stays until
    /// [`Uploads::clear`], so that nothing is lost when it can't be stored.
    pub fn read(&self, upload: &str, bytes: u64) -> Result<Vec<u8>, ApiError> {
        let path = self.path(upload)?;
        let _turn = self
            .one_at_a_time
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let whole = fs::read(&path).map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => ApiError::new(
                ErrorCode::NotFound,
                "No piece of this file is here. Add the picture again.",
            ),
            _ => refused("read", &error),
        })?;
        if whole.len() as u64 != bytes {
            return Err(ApiError::retryable(
                ErrorCode::Invalid,
                format!(
                    "{} of {bytes} bytes are here. Send the rest, then finish.",
                    whole.len()
                ),
            ));
        }
        Ok(whole)
    }

    /// Lets an upload go whose bytes are in the record now, or never will be.
    pub fn clear(&self, upload: &str) {
        // Nobody needs it; a file that stays is emptied out at the next opening.
        if let Ok(path) = self.path(upload) {
            drop(fs::remove_file(path));
        }
    }

    fn open_count(&self) -> Result<usize, ApiError> {
        Ok(fs::read_dir(&self.dir)
            .map_err(|error| refused("list", &error))?
            .count())
    }

    fn path(&self, upload: &str) -> Result<PathBuf, ApiError> {
        if name_fits(upload) {
            Ok(self.dir.join(upload))
        } else {
            Err(ApiError::invalid(
                "An upload is named by 16 to 40 of the letters a to z and digits.",
            ))
        }
    }
}

/// Handler of `addPiece`.
pub(crate) fn add_piece(app: &App, request: AddPiece) -> Result<PieceAdded, ApiError> {
    let piece = BASE64_STANDARD
        .decode(&request.base64)
        .map_err(|error| ApiError::invalid(format!("The piece is not base64: {error}.")))?;
    let bytes = app.uploads.add(&request.upload, request.offset, &piece)?;
    Ok(PieceAdded { bytes })
}

/// Handler of `dropUpload`.
pub(crate) fn drop_upload(app: &App, request: DropUpload) -> Result<Nothing, ApiError> {
    match fs::remove_file(app.uploads.path(&request.upload)?) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(refused("clear", &error)),
        _ => Ok(Nothing {}),
    }
}

fn same_again(file: &mut File, piece: &[u8], end: u64, length: u64) -> Result<u64, ApiError> {
    let mut there = vec![0; piece.len()];
    let same = end <= length && file.read_exact(&mut there).is_ok() && there == piece;
    if same {
        Ok(length)
    } else {
        Err(ApiError::invalid(format!(
            "Other bytes are here already under this name. Go on at byte {length} or begin under a new name."
        )))
    }
}

fn name_fits(upload: &str) -> bool {
    (16..=40).contains(&upload.len())
        && upload
            .bytes()
            .all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit())
}

fn refused(operation: &str, error: &std::io::Error) -> ApiError {
    ApiError::retryable(
        ErrorCode::Storage,
        format!(
            "Could not {operation} the folder for incoming files: {error}. Nothing was added to the record; check free space and rights, then try again."
        ),
    )
}

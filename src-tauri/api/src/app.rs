//! What a running program holds: the rooms that commands work in.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::{
    ApiError, ErrorCode,
    pictures::{Picture, PictureRequest, PictureSize},
    tasks::Tasks,
    uploads::Uploads,
};

/// The open program: handed to every command.
pub struct App {
    /// Long work that is running or has ended.
    pub tasks: Tasks,
    /// Picture and document bytes on their way in.
    pub uploads: Uploads,
    data: PathBuf,
}

impl App {
    /// Opens the data folder.
    pub fn open(data: &Path) -> Result<Self, ApiError> {
        Ok(Self {
            tasks: Tasks::default(),
            uploads: Uploads::open(&data.join("uploads"))?,
            data: data.to_owned(),
        })
    }

    /// Reads a picture of the record in a size.
    pub fn picture(&self, asked: &PictureRequest) -> Result<Picture, ApiError> {
        let missing = || ApiError::new(ErrorCode::NotFound, "That picture is not here yet.");
        if asked.size != PictureSize::Original {
            return Err(missing());
        }
        let shelf = asked.sha256.get(..2).ok_or_else(missing)?;
        let path = self
            .data
            .join("photos")
            .join(shelf)
            .join(format!("{}.jpg", asked.sha256));
        let bytes = fs::read(path).map_err(|_| missing())?;
        Ok(Picture {
            content_type: "image/jpeg",
            bytes,
        })
    }
}

//! The drawn pictures: taking one into the record in pieces as a phone does.

use std::fs;

use api::{ApiError, ErrorCode};
use serde_json::json;

use super::stage::{Stage, Who};
use super::{astray, at};

const PIECE: usize = 256 * 1024;

impl Stage<'_> {
    /// Takes listed pictures into the record: key, subject, evidence.
    pub(super) fn pictures(
        &mut self,
        who: Who,
        list: &[(&str, &str, &str)],
    ) -> Result<(), ApiError> {
        for (key, subject, evidence) in list {
            let listed = self
                .photos
                .get(*key)
                .cloned()
                .ok_or_else(|| astray(format!("there is no picture {key}")))?;
            let file = at(&listed, "/file").as_str().unwrap_or_default().to_owned();
            let caption = at(&listed, "/caption")
                .as_str()
                .unwrap_or_default()
                .to_owned();
            let path = self.photos_dir.join(&file);
            let bytes = fs::read(&path).map_err(|e| {
                ApiError::new(ErrorCode::Storage, format!("{}: {e}", path.display()))
            })?;
            let upload = self.upload(who, key, &bytes)?;
            self.on_job(
                who,
                "addPhoto",
                json!({"source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}, "name": file, "caption": caption,
                    "shows": [{"subject": subject, "evidence": evidence}]}),
            )?;
            self.step(who, &format!("picture: {caption}"));
        }
        Ok(())
    }

    /// Sends bytes in pieces, as a phone does, and gives the upload's name.
    pub(super) fn upload(&self, who: Who, key: &str, bytes: &[u8]) -> Result<String, ApiError> {
        let plain: String = key.chars().filter(char::is_ascii_alphanumeric).collect();
        let upload = format!("demo{plain:0>20}").to_ascii_lowercase();
        let mut offset = 0;
        for piece in bytes.chunks(PIECE) {
            offset = self.app(who)?.uploads.add(&upload, offset, piece)?;
        }
        Ok(upload)
    }
}

//! The list of the drawn pictures.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use api::{ApiError, ErrorCode};
use serde_json::Value;

use super::{astray, at};

/// Reads the list that stands beside the pictures, by key.
pub(super) fn list(folder: &Path) -> Result<BTreeMap<String, Value>, ApiError> {
    let path = folder.join("photos.json");
    let text = fs::read(&path).map_err(|e| {
        ApiError::new(
            ErrorCode::Invalid,
            format!(
                "{} can't be read ({e}). Name the folder of the demo's pictures with --photos; \
                 `cargo xtask photos --out DIR` draws them.",
                path.display()
            ),
        )
    })?;
    let list: Vec<Value> =
        serde_json::from_slice(&text).map_err(|e| astray(format!("{}: {e}", path.display())))?;
    Ok(list
        .into_iter()
        .filter_map(|one| Some((at(&one, "/key").as_str()?.to_owned(), one)))
        .collect())
}

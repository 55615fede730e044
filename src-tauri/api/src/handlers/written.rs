//! PDFs that the program wrote, handed out to the person.

use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::some_text;
use crate::written::WrittenRequest;
use crate::{ApiError, App};

/// Asks for a copy of a template, of labels or of a handover's document.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct HandOut {
    /// The file as it was told when it was written, under `templates/`, `labels/` or `handovers/` of the data folder.
    pub file: String,
    /// The folder to copy it into, which must be there. Without one: the person's own folder for
    /// downloads, where the device names one.
    #[serde(default)]
    #[ts(optional)]
    pub to: Option<String>,
}

/// Where the copy lies.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HandedOut {
    /// The copy.
    pub file: String,
    /// Its size.
    pub bytes: usize,
}

impl HandedOut {
    fn at((file, bytes): (impl AsRef<Path>, usize)) -> Self {
        HandedOut {
            file: file.as_ref().display().to_string(),
            bytes,
        }
    }
}

/// Copies a PDF that the program wrote to where the person finds it; nothing is overwritten.
pub fn hand_out(app: &App, request: HandOut) -> Result<HandedOut, ApiError> {
    let asked = WrittenRequest::told(&request.file)?;
    let to = request.to.as_deref();
    let to = to.map(|to| some_text("The folder", to)).transpose()?;
    let to = to.map(PathBuf::from);
    Ok(HandedOut::at(app.hand_out(&asked, to.as_deref())?))
}

//! What the screens keep on this device: look, conditions, skipped acts, drafts.
//!
//! Nothing of this enters the record or the shared folder.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::acts::kept as acts;
use crate::boundary::Nothing;
use crate::{ApiError, App};

/// Keeps one text.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Keep {
    /// `ui:` and what it is, at most 200 letters, digits and marks without spaces.
    pub name: String,
    /// The text, at most 16 KiB of UTF-8; without one the name is forgotten.
    #[serde(default)]
    #[ts(optional)]
    pub value: Option<String>,
}

/// All that the screens keep on this device.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Kept {
    /// Texts by name, each name with its `ui:`.
    pub texts: BTreeMap<String, String>,
}

/// Keeps a text under a name, or forgets it.
pub fn keep(app: &App, request: Keep) -> Result<Nothing, ApiError> {
    acts::keep(&app.record(), &request.name, request.value.as_deref())?;
    Ok(Nothing {})
}

/// Reads all texts of the screens.
pub fn read_kept(app: &App, _: Nothing) -> Result<Kept, ApiError> {
    let texts = acts::texts(&app.record())?;
    Ok(Kept { texts })
}

//! What the screens keep on this device: look, conditions, skipped acts, drafts.
//!
//! Invariant: every name begins with `ui:`, so that nothing of the record's own settings can be
//! read or written here. Nothing of this enters the record or the shared folder.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::boundary::Nothing;
use crate::{ApiError, App};

const PREFIX: &str = "ui:";
/// Letters of a name with its beginning: room for two ids and what is kept of them.
const LONGEST_NAME: usize = 200;
/// Bytes of one text.
const LARGEST_TEXT: usize = 16 * 1024;
/// Names at once: room for a few of each run that a device works on.
const MOST_NAMES: usize = 400;

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
    let name = fit_name(&request.name)?;
    let record = app.record();
    let Some(text) = request.value else {
        record.clear_setting(name)?;
        return Ok(Nothing {});
    };
    if text.len() > LARGEST_TEXT {
        return Err(ApiError::invalid(format!(
            "A text kept on this device has {LARGEST_TEXT} bytes at most. Keep less of it."
        )));
    }
    if record.setting(name)?.is_none() && record.settings(PREFIX)?.len() >= MOST_NAMES {
        return Err(ApiError::invalid(format!(
            "{MOST_NAMES} texts are kept on this device already. Forget some, then keep this one."
        )));
    }
    record.set_setting(name, &text)?;
    Ok(Nothing {})
}

/// Reads all texts of the screens.
pub fn read_kept(app: &App, _: Nothing) -> Result<Kept, ApiError> {
    let texts = app.record().settings(PREFIX)?.into_iter().collect();
    Ok(Kept { texts })
}

fn fit_name(name: &str) -> Result<&str, ApiError> {
    let rest = name.strip_prefix(PREFIX).unwrap_or_default();
    let fits = !rest.is_empty()
        && name.len() <= LONGEST_NAME
        && rest.bytes().all(|letter| letter.is_ascii_graphic());
    if fits {
        Ok(name)
    } else {
        Err(ApiError::invalid(format!(
            "Begin the name with {PREFIX} and go on with letters, digits and marks, {LONGEST_NAME} at most."
        )))
    }
}

//! What the screens keep on this device: names that fit, and how much there is room for.
//!
//! Invariant: every name begins with `ui:`, so that nothing of the record's own settings can be
//! read or written here.

use std::collections::BTreeMap;

use records::Record;

use crate::ApiError;

const PREFIX: &str = "ui:";
/// Letters of a name with its beginning: room for two ids and what is kept of them.
const LONGEST_NAME: usize = 200;
/// Bytes of one text.
const LARGEST_TEXT: usize = 16 * 1024;
/// Names at once: room for a few of each run that a device works on.
const MOST_NAMES: usize = 400;

/// Keeps a text under a name, or forgets the name where there is no text.
pub(crate) fn keep(record: &Record, name: &str, text: Option<&str>) -> Result<(), ApiError> {
    let name = fit_name(name)?;
    let Some(text) = text else {
        return Ok(record.clear_setting(name)?);
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
    Ok(record.set_setting(name, text)?)
}

/// All texts of the screens, by name.
pub(crate) fn texts(record: &Record) -> Result<BTreeMap<String, String>, ApiError> {
    Ok(record.settings(PREFIX)?.into_iter().collect())
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

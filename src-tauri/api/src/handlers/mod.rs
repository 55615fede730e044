//! Handlers: convert the request, call, convert the answer.

pub mod checks;
pub mod crew;
pub mod cut_plan;
pub mod cutting;
pub mod decide;
pub mod exchange;
pub mod import;
pub mod jobs;
pub mod kept;
pub mod laying;
pub mod library;
pub mod marks;
pub mod measure;
pub mod members;
pub mod office;
pub mod own;
pub mod pictures;
pub mod posts;
pub mod pushed;
pub mod say;
pub mod settle;
pub mod signing;
pub mod trial;
pub mod turning;
pub mod verify;
pub mod work;
pub mod written;

use std::path::PathBuf;

use records::ids::{BookId, Hash, ItemId};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::ApiError;
use crate::claim::Acted;

/// What a mutation recorded.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Recorded {
    /// Entries, in order.
    pub entries: Vec<String>,
    /// Subject of a thing that was created.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub created: Option<String>,
    /// Why the others do not see it yet, in words; left out where it counts.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_counting: Option<String>,
    /// What the person is to know of what was kept, each a sentence; left out where there is nothing.
    #[ts(optional, as = "Option<Vec<String>>")]
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<String>,
}

impl Recorded {
    pub(crate) fn of(acted: &Acted) -> Self {
        Recorded {
            entries: acted.entries.iter().map(ToString::to_string).collect(),
            created: None,
            not_counting: acted.not_counting.clone(),
            remarks: Vec::new(),
        }
    }

    pub(crate) fn with(self, remarks: Vec<String>) -> Self {
        Recorded { remarks, ..self }
    }

    pub(crate) fn created(acted: &Acted, subject: &Subject) -> Self {
        Recorded {
            created: Some(subject.to_string()),
            ..Recorded::of(acted)
        }
    }
}

pub(crate) fn job_id(text: &str) -> Result<BookId, ApiError> {
    Ok(text.parse()?)
}

pub(crate) fn item(text: &str) -> Result<ItemId, ApiError> {
    Ok(text.parse()?)
}

pub(crate) fn hashes(texts: &[String]) -> Result<Vec<Hash>, ApiError> {
    texts.iter().map(|t| Ok(t.parse()?)).collect()
}

pub(crate) use records::model::bounds::capital;

/// Refuses text that is empty or longer than people write in one field.
pub(crate) fn some_text(what: &str, text: &str) -> Result<String, ApiError> {
    if text.trim().is_empty() {
        return Err(ApiError::invalid(format!(
            "{what} is empty. Type it first."
        )));
    }
    any_text(what, text)
}

/// Refuses text that is longer than people write in one field.
pub(crate) fn any_text(what: &str, text: &str) -> Result<String, ApiError> {
    const MOST: usize = 4000;
    let text = text.trim();
    if text.chars().count() > MOST {
        return Err(ApiError::invalid(format!(
            "{what} is longer than {MOST} characters. Keep it short, or add it as a document."
        )));
    }
    Ok(text.to_owned())
}

/// The file that a person named to be written, if any.
pub(crate) fn file_named(file: Option<&str>) -> Result<Option<PathBuf>, ApiError> {
    let named = file.map(|file| some_text("The file", file)).transpose()?;
    Ok(named.map(PathBuf::from))
}

//! The error that crosses the boundary, and the codes that callers act on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What went wrong, in a form that a screen can show and a script can act on.
///
/// The message says what happened, what was kept and what to do; it holds no client names,
/// addresses or passwords. `retryable` is true when the same request may succeed unchanged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema, thiserror::Error)]
#[serde(rename_all = "camelCase")]
#[error("{message}")]
pub struct ApiError {
    /// Which kind of failure it is.
    pub code: ErrorCode,
    /// What happened, what was kept, what to do.
    pub message: String,
    /// Whether the same request may succeed when it is sent again.
    pub retryable: bool,
}

/// Kinds of failure; one exists only where a caller does something different on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum ErrorCode {
    /// No command has that name: the caller is of another version.
    UnknownCommand,
    /// The request is refused as it stands; the message says what to change.
    Invalid,
    /// An odd value: ask the person once, then send it again as confirmed.
    Questioned,
    /// What the request names is not in the record: read again.
    NotFound,
    /// The value is disputed: show both and let a person settle it.
    Disputed,
    /// What the person saw is no longer what the record says: read it again and show it.
    Changed,
    /// Another process holds the data folder.
    Locked,
    /// The data was written by a newer version: update the program.
    Newer,
    /// A file, folder or disk refuses: nothing was half saved.
    Storage,
    /// The task was cancelled by the person.
    Cancelled,
    /// A check found a fault in a record, a folder or a handover.
    Fault,
    /// A mistake in the program itself.
    Internal,
}

impl ApiError {
    /// Makes an error that the same request will meet again.
    pub fn new(code: ErrorCode, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            retryable: false,
        }
    }

    /// Makes an error after which the same request may succeed.
    pub fn retryable(code: ErrorCode, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            retryable: true,
        }
    }

    /// Refuses a request; the message says what to change.
    pub fn invalid(message: impl Into<String>) -> Self {
        Self::new(ErrorCode::Invalid, message)
    }
}

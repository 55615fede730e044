//! Printing that a closed pipe does not turn into a crash.

use std::io::{self, Write};

use api::ApiError;
use serde_json::{Value, json};

/// Prints text on standard output, ending in a line break.
pub(crate) fn text(text: &str) {
    // A reader that went away (`tautbook state | head`) has what it wanted.
    let _ = writeln!(io::stdout().lock(), "{}", text.trim_end_matches('\n'));
}

/// Prints a JSON document on standard output.
pub(crate) fn json(value: &Value) {
    text(&format!("{value:#}"));
}

/// Prints an error on standard error, as JSON where a script asked for it.
pub(crate) fn error(error: &ApiError, as_json: bool) {
    let line = if as_json {
        format!("{:#}", json!({ "error": error }))
    } else {
        format!("tautbook: {}", error.message)
    };
    let _ = writeln!(io::stderr().lock(), "{line}");
}

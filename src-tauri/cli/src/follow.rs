//! Waiting for long work, with a progress bar where somebody looks at a terminal.

use std::io::{IsTerminal, stderr};

use api::{
    ApiError, App, ErrorCode,
    tasks::{TaskEnd, TaskStarted, TaskState},
};
use indicatif::{ProgressBar, ProgressStyle};
use serde_json::{Value, json};

/// The longest single wait, in milliseconds; the bar moves in between.
const WAIT_MS: u64 = 20_000;

/// Gives the answer itself, or, when it names long work, what that work ends with.
///
/// Long work lives as long as the process, so that a command line has to wait for it.
pub(crate) fn to_the_end(app: &App, answer: Value) -> Result<Value, ApiError> {
    let is_long = answer.as_object().is_some_and(|fields| fields.len() == 1);
    let Ok(started) = serde_json::from_value::<TaskStarted>(answer.clone()) else {
        return Ok(answer);
    };
    if !is_long {
        return Ok(answer);
    }
    let bar = bar();
    let mut seen = 0;
    loop {
        let asked = json!({ "task": started.task, "seen": seen, "waitMs": WAIT_MS });
        let state: TaskState = serde_json::from_value(api::dispatch(app, "task", asked)?)
            .map_err(|error| ApiError::new(ErrorCode::Internal, error.to_string()))?;
        seen = state.version;
        show(&bar, state.what, state.done, state.total);
        if state.state != TaskEnd::Running {
            bar.finish_and_clear();
            return match state.error {
                Some(error) => Err(error),
                None => Ok(state.result),
            };
        }
    }
}

/// Shows how far work has come; no count is drawn beside the words or the sum of another, and none while it is
/// not known how much there is to do: a bar of nothing would look full.
pub(crate) fn show(bar: &ProgressBar, what: String, done: u64, of: u64) {
    let drawn = bar.length().is_some_and(|length| length > 0);
    // Each setting may draw: the words alone as long as there is no length, the bar once there is one.
    if drawn && of == 0 {
        bar.set_style(style(false));
    }
    if bar.message() != what {
        bar.set_position(0);
        bar.set_length(of);
        bar.set_message(what);
    }
    bar.set_length(of);
    if !drawn && of > 0 {
        bar.set_style(style(true));
    }
    bar.set_position(done.min(of));
}

/// A bar on standard error, hidden where nobody looks at a terminal.
pub(crate) fn bar() -> ProgressBar {
    if !stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    ProgressBar::new(0).with_style(style(false))
}

/// Words alone, or a bar beside them where there is a count.
fn style(counted: bool) -> ProgressStyle {
    let template = match counted {
        true => "{bar:30} {pos}/{len} {msg}",
        false => "{msg}",
    };
    ProgressStyle::with_template(template).unwrap_or_else(|_| ProgressStyle::default_bar())
}

//! The one list of commands with its request and response types.
//!
//! Owns the boundary that every caller uses: `dispatch` by name, the TypeScript text, the JSON
//! Schemas, the room for long work and the room where picture bytes arrive. It does not know who
//! calls: the window, the loopback host and the command line are other crates.

mod acts;
pub mod app;
pub mod boundary;
mod claim;
mod commands;
pub mod handlers;
pub mod pictures;
pub mod raw;
mod standing;
pub mod tasks;
pub mod uploads;
pub mod views;
pub mod written;

pub use app::App;
pub use boundary::{ApiError, ErrorCode};

use serde_json::Value;

/// Every command of the list, in its order.
pub fn commands() -> &'static [boundary::Command] {
    commands::list()
}

/// Runs the command of that name on a request and gives its answer.
///
/// Refuses an unknown name, a request that does not fit, and numbers that are not finite in
/// either direction.
pub fn dispatch(app: &App, name: &str, request: Value) -> Result<Value, ApiError> {
    let command = commands()
        .iter()
        .find(|command| command.name == name)
        .ok_or_else(|| {
            ApiError::new(
                ErrorCode::UnknownCommand,
                format!(
                    "There is no command “{}”. `tautbook commands` lists them all.",
                    name.escape_debug()
                ),
            )
        })?;
    command.call(app, request)
}

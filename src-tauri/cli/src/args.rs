//! What may be typed: subcommands and their arguments.

use std::path::{Path, PathBuf};

use api::ApiError;
use clap::{Parser, Subcommand};

use crate::{exit, wrapped::Wrapped};

/// The site book of people who build barriers with tensioned stainless wire.
#[derive(Debug, Parser)]
#[command(name = "tautbook", version, after_help = exit::TABLE)]
pub(crate) struct Args {
    /// The folder of this device's record.
    #[arg(long, global = true, value_name = "DIR", env = "TAUTBOOK_DATA")]
    pub(crate) data: Option<PathBuf>,
    /// Prints JSON for scripts; errors too, on standard error.
    #[arg(long, global = true)]
    pub(crate) json: bool,
    #[command(subcommand)]
    pub(crate) subcommand: Sub,
}

impl Args {
    /// The folder of this device's record, as it was named.
    pub(crate) fn folder(&self) -> Result<&Path, ApiError> {
        self.data.as_deref().ok_or_else(|| {
            ApiError::invalid(
                "Name the folder of the record with --data DIR, or in the variable TAUTBOOK_DATA.",
            )
        })
    }
}

/// The subcommands.
#[derive(Debug, Subcommand)]
pub(crate) enum Sub {
    #[command(flatten)]
    Wrapped(Wrapped),
    /// Lists every command with what it takes and gives; with --json as JSON Schemas.
    Commands {
        /// Prints the TypeScript types instead.
        #[arg(long, conflicts_with = "json")]
        typescript: bool,
    },
    /// Calls a command by name with a JSON request and prints its JSON answer; waits for long work.
    Call {
        /// The command's name, as `tautbook commands` lists it.
        name: String,
        /// The request, such as '{}'; - reads it from standard input.
        #[arg(default_value = "{}", value_name = "JSON")]
        request: String,
    },
    /// Runs the worked job on three devices that share a folder, from the first reading to the handover.
    ///
    /// It needs --data too: the folder under which each of the three devices gets one of its own.
    Demo {
        /// The shared folder.
        #[arg(long, value_name = "DIR")]
        shared: PathBuf,
        /// The handover folder.
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// The folder of the drawn pictures with their list.
        #[arg(long, value_name = "DIR")]
        photos: Option<PathBuf>,
    },
    /// Serves the screens on this machine alone, at an address that it prints.
    Serve {
        /// The port; 0 takes a free one.
        #[arg(long, default_value_t = 0)]
        port: u16,
        /// The folder of the built screens, where they are not found by themselves.
        #[arg(long, value_name = "DIR")]
        ui: Option<PathBuf>,
    },
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_arguments_fit_together() {
        super::Args::command().debug_assert();
    }
}

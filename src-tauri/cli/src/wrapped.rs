//! The subcommands that wrap one command of the api each.
//!
//! To add one: a variant with its arguments, a line in `call`, and a row in the test. Nothing is
//! decided here; what a command checks it checks for every caller.

use std::path::{Path, PathBuf};

use api::ApiError;
use clap::{Subcommand, builder::PossibleValuesParser};
use serde_json::{Value, json};

/// Subcommands with a command of their own in the api.
#[derive(Debug, Subcommand)]
pub(crate) enum Wrapped {
    /// Founds a crew with this device as its founder; the first start needs it, or a join.
    Found {
        /// The crew's name.
        #[arg(long)]
        crew: String,
        /// Your name.
        #[arg(long)]
        person: String,
        /// What this device is mostly used for.
        #[arg(long, default_value = "installer", value_parser = roles())]
        role: String,
    },
    /// Makes a folder the shared folder of this device's crew.
    Share {
        /// The folder.
        folder: PathBuf,
    },
    /// Asks to join the crew of a folder and shows the digits to compare; --confirm then joins.
    Join {
        /// The shared folder.
        #[arg(required_unless_present = "confirm")]
        folder: Option<PathBuf>,
        /// The digits that the other screen shows, when they are the same.
        #[arg(long, value_name = "DIGITS", conflicts_with = "folder")]
        confirm: Option<String>,
    },
    /// Lists the devices that ask to be admitted, or admits one whose digits were compared.
    Admit {
        /// The device.
        #[arg(requires = "code")]
        device: Option<String>,
        /// The digits that its screen shows.
        #[arg(long, value_name = "DIGITS", requires = "device")]
        code: Option<String>,
        /// What that device is mostly used for.
        #[arg(long, default_value = "installer", value_parser = roles())]
        role: String,
    },
    /// Exchanges with the shared folder: what is new here goes there, what is new there comes here.
    Sync,
}

/// A command of the api with its request.
#[derive(Debug, PartialEq)]
pub(crate) struct Call {
    pub(crate) command: &'static str,
    pub(crate) request: Value,
}

/// Which command a subcommand stands for, and what it asks of it.
pub(crate) fn call(wrapped: &Wrapped) -> Result<Call, ApiError> {
    let (command, request) = match wrapped {
        Wrapped::Found { crew, person, role } => (
            "foundCrew",
            json!({ "crew": crew, "person": person, "role": role }),
        ),
        Wrapped::Share { folder } => ("share", json!({ "folder": whole(folder)? })),
        Wrapped::Join {
            confirm: Some(digits),
            ..
        } => ("confirmJoin", json!({ "digits": digits })),
        Wrapped::Join { folder, .. } => {
            let folder = folder.as_deref().unwrap_or(Path::new(""));
            ("join", json!({ "folder": whole(folder)? }))
        }
        Wrapped::Admit {
            device: Some(device),
            code,
            role,
        } => (
            "admit",
            json!({ "device": device, "digits": code, "role": role }),
        ),
        Wrapped::Admit { device: None, .. } => ("applicants", json!({})),
        Wrapped::Sync => ("startSync", json!({})),
    };
    Ok(Call { command, request })
}

fn roles() -> PossibleValuesParser {
    ["surveyor", "installer", "office"].into()
}

/// A path from the root: the record may be opened from elsewhere next time.
fn whole(path: &Path) -> Result<String, ApiError> {
    let whole = std::path::absolute(path)
        .map_err(|error| ApiError::invalid(format!("The folder can't be named: {error}.")))?;
    whole.into_os_string().into_string().map_err(|_| {
        ApiError::invalid("The folder's name holds bytes that are not text. Rename it first.")
    })
}

#[cfg(test)]
mod tests {
    use super::{Call, call};
    use crate::args::{Args, Sub};
    use clap::Parser;
    use serde_json::{Value, json};

    fn typed(line: &str) -> Result<Call, clap::Error> {
        let words = std::iter::once("tautbook").chain(line.split(' '));
        match Args::try_parse_from(words)?.subcommand {
            Sub::Wrapped(wrapped) => Ok(call(&wrapped).unwrap()),
            other => panic!("{line}: {other:?}"),
        }
    }

    fn rows() -> Vec<(&'static str, &'static str, Value)> {
        vec![
            (
                "found --crew Reef --person Ann --role surveyor",
                "foundCrew",
                json!({"crew": "Reef", "person": "Ann", "role": "surveyor"}),
            ),
            ("share /shared", "share", json!({"folder": "/shared"})),
            ("join /shared", "join", json!({"folder": "/shared"})),
            (
                "join --confirm 1234",
                "confirmJoin",
                json!({"digits": "1234"}),
            ),
            ("admit", "applicants", json!({})),
            (
                "admit abc --code 1234 --role office",
                "admit",
                json!({"device": "abc", "digits": "1234", "role": "office"}),
            ),
            ("sync", "startSync", json!({})),
        ]
    }

    #[test]
    fn each_subcommand_asks_its_command() {
        for (line, command, request) in rows() {
            assert_eq!(typed(line).unwrap(), Call { command, request }, "{line}");
        }
    }

    #[test]
    fn each_request_fits_its_commands_schema() {
        let described = api::boundary::describe(api::commands());
        let described = described["commands"].as_array().unwrap();
        for (line, command, request) in rows() {
            let schema = &described
                .iter()
                .find(|told| told["name"] == command)
                .unwrap_or_else(|| panic!("{line}: no command {command}"))["request"];
            for name in request.as_object().unwrap().keys() {
                assert!(schema["properties"].get(name).is_some(), "{line}: {name}");
            }
            for name in schema["required"].as_array().into_iter().flatten() {
                assert!(
                    request.get(name.as_str().unwrap()).is_some(),
                    "{line}: {name}"
                );
            }
        }
    }

    #[test]
    fn half_a_subcommand_is_refused() {
        for line in [
            "share",
            "join",
            "admit abc",
            "admit --code 1234",
            "join /a --confirm 1",
        ] {
            assert!(typed(line).is_err(), "{line}");
        }
    }

    #[test]
    fn a_folder_is_named_from_the_root() {
        let asked = typed("share here").unwrap().request;
        let folder = std::path::PathBuf::from(asked["folder"].as_str().unwrap());
        assert!(
            folder.is_absolute() && folder.ends_with("here"),
            "{folder:?}"
        );
    }
}

//! What several subcommands share: which job is meant, a path as it is handed on, and how an answer
//! is shown.

use std::path::Path;

use api::ApiError;

/// Which job is meant.
#[derive(Debug, clap::Args)]
pub(crate) struct OfJob {
    /// The job, by title or id; needed where this device keeps more than one.
    #[arg(long)]
    pub(crate) job: Option<String>,
}

/// How an answer is shown to people; scripts always get it whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    /// Names and values as indented lines.
    Plain,
    /// A cut sheet as a table.
    Sheet,
    /// A cut plan as lines.
    Plan,
    /// What an import recorded, and each problem in a line.
    Imported,
    /// What was looked over, and that nothing wrong was found in it.
    Verified,
    /// What an exchange sent and brought, a line each.
    Exchanged,
    /// What was heard, or how even the wires are.
    Heard,
    /// Proposals for a run's wires, a sentence each.
    Layout,
    /// How rule sets stand to a permit, a line each.
    Rules,
    /// The text of a rule set's file, to be written into one.
    RuleFile,
    /// JSON, since that is what it is for.
    Json,
}

/// A path from the root: the record may be opened from elsewhere next time.
pub(crate) fn whole(path: &Path) -> Result<String, ApiError> {
    let whole = std::path::absolute(path)
        .map_err(|error| ApiError::invalid(format!("The folder can't be named: {error}.")))?;
    whole.into_os_string().into_string().map_err(|_| {
        ApiError::invalid("The folder's name holds bytes that are not text. Rename it first.")
    })
}

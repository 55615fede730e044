//! The first thing that is wrong with a data folder, its kind, and what to do about it.

use std::path::Path;

use serde::Serialize;

/// What kind of fault it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub enum FaultKind {
    /// There is no data folder, or a file of the journal is missing.
    Missing,
    /// A file can't be read.
    Unreadable,
    /// The last line or act was cut; it was never acknowledged.
    Torn,
    /// A line is no entry.
    NotAnEntry,
    /// A line's body differs from its own re-encoding.
    NotCanonical,
    /// An entry is not what was taken in at its place.
    Changed,
    /// An entry does not follow the one before it.
    Chain,
    /// No signature proves an entry.
    Signature,
    /// The key of this device can't be read.
    Key,
    /// The local store can't be read.
    LocalUnreadable,
    /// The index can't be read.
    IndexUnreadable,
    /// The index tells something else than the journal.
    IndexDiffers,
    /// A picture or document no longer has its bytes.
    ObjectDamaged,
    /// A picture or document is not as long as its entry says.
    ObjectLength,
    /// A picture or document of this device is gone.
    ObjectMissing,
    /// Someone ended the work.
    Cancelled,
}

/// The first fault that was found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{place}: {what}; {advice}")]
#[serde(rename_all = "camelCase")]
pub struct Fault {
    /// Its kind.
    pub kind: FaultKind,
    /// Where, as named inside the data folder.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub advice: String,
}

impl Fault {
    pub(super) fn new(
        kind: FaultKind,
        place: impl Into<String>,
        what: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        Fault {
            kind,
            place: place.into(),
            what: what.into(),
            advice: advice.into(),
        }
    }

    /// A file that the system does not let be read.
    pub(super) fn unreadable(place: &str, error: &std::io::Error) -> Self {
        Fault::new(
            FaultKind::Unreadable,
            place,
            format!("it can't be read ({error})"),
            "check the disk and the folder's permissions, then verify again",
        )
    }

    /// Damage of the record itself, which only another copy can mend.
    pub(super) fn damaged(
        kind: FaultKind,
        place: impl Into<String>,
        what: impl Into<String>,
    ) -> Self {
        Fault::new(
            kind,
            place,
            what,
            "keep a copy of the data folder as it is, then put back a sound copy of this file, or \
             exchange with the shared folder from a fresh data folder: what was shared comes back",
        )
    }
}

/// The name of a file below the data folder's `within`.
pub(super) fn named(within: &str, path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    format!("{within}/{}", crate::photos::visible(&name, 120))
}

/// What is wrong where there is no journal to read: one that may not be read is not gone.
pub(super) fn no_journal(found: &std::io::Result<bool>) -> Option<Fault> {
    match found {
        Ok(true) => None,
        Err(why) if why.kind() == std::io::ErrorKind::PermissionDenied => Some(Fault::new(
            FaultKind::Unreadable,
            "journal",
            "this folder may not be read from this account",
            "look it over as the person whose folder it is, or let this account read it",
        )),
        _ => Some(Fault::new(
            FaultKind::Missing,
            "journal",
            "there is no journal here, so this is no data folder or its record is gone",
            "name the right folder, or put a copy of it back",
        )),
    }
}

#[cfg(test)]
mod tests {
    use std::io::{Error, ErrorKind};

    use super::{FaultKind, no_journal};

    #[test]
    fn a_journal_that_may_not_be_read_is_not_gone() {
        let kind = |found| no_journal(&found).map(|fault| fault.kind);
        assert_eq!(kind(Ok(true)), None);
        assert_eq!(kind(Ok(false)), Some(FaultKind::Missing));
        assert_eq!(
            kind(Err(Error::from(ErrorKind::NotFound))),
            Some(FaultKind::Missing)
        );
        let denied = Err(Error::from(ErrorKind::PermissionDenied));
        assert_eq!(kind(denied), Some(FaultKind::Unreadable));
    }
}

//! Exit codes that a script can use.

use api::ErrorCode;

/// What each exit code means, as `--help` shows it.
pub(crate) const TABLE: &str = "\
Exit codes:
  0    done, nothing found wrong
  1    a check found a fault, or what was named is not in the record
  2    the arguments or the request are not accepted; nothing was changed
  3    another process holds the data folder
  4    a file, folder or disk refuses (missing, read-only, full)
  5    the data was written by a newer version
  6    a person must decide: a dispute, an odd value to confirm, or figures that
       changed since they were read
  70   a mistake in the program
  130  stopped on request";

/// The exit code of an error.
pub(crate) fn code(error: ErrorCode) -> u8 {
    match error {
        ErrorCode::Fault | ErrorCode::NotFound => 1,
        ErrorCode::Invalid | ErrorCode::UnknownCommand => 2,
        ErrorCode::Locked => 3,
        ErrorCode::Storage => 4,
        ErrorCode::Newer => 5,
        ErrorCode::Disputed | ErrorCode::Questioned | ErrorCode::Changed => 6,
        ErrorCode::Internal => 70,
        ErrorCode::Cancelled => 130,
    }
}

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

#[cfg(test)]
mod tests {
    use super::{TABLE, code};
    use api::ErrorCode::{
        Cancelled, Changed, Disputed, Fault, Internal, Invalid, Locked, Newer, NotFound,
        Questioned, Storage, UnknownCommand,
    };

    #[test]
    fn every_error_ends_with_a_code_that_the_help_names() {
        for (errors, expected) in [
            (&[Fault, NotFound][..], 1),
            (&[Invalid, UnknownCommand], 2),
            (&[Locked], 3),
            (&[Storage], 4),
            (&[Newer], 5),
            (&[Disputed, Questioned, Changed], 6),
            (&[Internal], 70),
            (&[Cancelled], 130),
        ] {
            for error in errors {
                assert_eq!(code(*error), expected, "{error:?}");
            }
            let named = |line: &str| line.split_whitespace().next() == Some(&expected.to_string());
            assert!(TABLE.lines().any(named), "{expected}");
        }
    }
}

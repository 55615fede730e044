//! Why a survey file is refused as a whole.

/// Largest file that is read, in bytes.
pub const LARGEST_FILE: u64 = 16 * 1024 * 1024;

/// Why nothing of a file was taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SurveyError {
    /// No bytes, or blanks only.
    #[error("the file is empty; nothing was imported. Save the survey again and import that file")]
    Empty,
    /// Over the limit.
    #[error(
        "the file is larger than 16 MiB; nothing was imported. Split it, for example one file for each run"
    )]
    TooLarge,
    /// Bytes that are not UTF-8.
    #[error(
        "the file is not UTF-8 text (byte {at} is not); nothing was imported. Save it again as UTF-8"
    )]
    NotText {
        /// Offset of the first byte that does not belong.
        at: usize,
    },
    /// Lists in lists beyond what the format has.
    #[error("the file is nested deeper than a survey is; nothing was imported")]
    TooDeep,
    /// JSON that ends too early.
    #[error(
        "the file ends too early, in line {line}: it was cut. Nothing was imported; copy it again whole"
    )]
    Cut {
        /// Last line.
        line: usize,
    },
    /// Text that is no JSON.
    #[error(
        "the file is not JSON at line {line}, column {column} ({reason}); nothing was imported. Correct that place"
    )]
    NotJson {
        /// Line from 1.
        line: usize,
        /// Column from 1.
        column: usize,
        /// What was found there.
        reason: String,
    },
    /// JSON that is no survey.
    #[error("{0}; nothing was imported. A survey is an object that begins with \"format\": 1")]
    NotASurvey(String),
    /// A format that this version does not know.
    #[error(
        "the file has format {0}, made for a newer version; nothing was imported. Update the program, or export it with format 1"
    )]
    Newer(u64),
    /// A table whose header lacks what a length needs.
    #[error(
        "the table's first line does not name run, wire and length; nothing was imported. Begin with: run;wire;length;unit;purpose;posts;faces;instrument"
    )]
    NoHeader,
    /// A table that ends with its first line.
    #[error(
        "the table ends after its first line and holds no reading: was it cut? Nothing was imported; copy it again whole"
    )]
    NoRows,
    /// A survey that tells nothing.
    #[error(
        "the file has a format number and nothing else that is read; nothing was imported. Was it cut, or are its parts named otherwise?"
    )]
    Nothing,
    /// A column that stands twice.
    #[error("the column {0:?} stands twice in the first line; nothing was imported. Keep one")]
    ColumnTwice(String),
}

//! Why a picture or document could not be taken in, kept or read back.
//!
//! Every message says what happened, what was kept and what to do. Names that came from outside
//! pass through `visible` before they stand in a message.

use std::path::PathBuf;

/// A picture or object that was refused, or a file operation that failed.
#[derive(Debug, thiserror::Error)]
pub enum PhotoError {
    /// The file has no bytes.
    #[error(
        "{name} is empty (0 bytes). Nothing was kept. Copy it again from the phone or camera, \
         then add it again."
    )]
    Empty {
        /// File name, made visible.
        name: String,
    },
    /// The file ends before the picture does.
    #[error(
        "{name} is cut: {detail}. Nothing was kept, your file is untouched. Copy it again from \
         the phone or camera and wait until the copy has finished, then add it again."
    )]
    Cut {
        /// File name, made visible.
        name: String,
        /// Where the picture stopped.
        detail: String,
    },
    /// A HEIC, HEIF or AVIF picture, which this program can't decode.
    #[error(
        "{name} is a {format} picture, which can't be read here. Nothing was kept, your file is \
         untouched. Set the phone's camera to JPEG (often called \"most compatible\") for the \
         next ones; export or share this one as JPEG and add that."
    )]
    Heif {
        /// File name, made visible.
        name: String,
        /// "HEIC", "HEIF" or "AVIF".
        format: &'static str,
    },
    /// Something that is not a JPEG or PNG picture.
    #[error(
        "{name} is not a JPEG or PNG picture ({found}). Nothing was kept, your file is \
         untouched. Export it as JPEG, or add it as a document."
    )]
    NotAPicture {
        /// File name, made visible.
        name: String,
        /// What the content looks like.
        found: &'static str,
    },
    /// A JPEG or PNG by its first bytes that can't be decoded.
    #[error(
        "{name} can't be read as a picture: {detail}. Nothing was kept, your file is untouched. \
         Open it on the device that took it and export it as JPEG, or add it as a document."
    )]
    Undecodable {
        /// File name, made visible.
        name: String,
        /// What the reader met.
        detail: String,
    },
    /// A view or thumb could not be made from decoded pixels.
    #[error(
        "the small picture could not be made: {detail}. The original was not kept; add it again."
    )]
    Derive {
        /// What the scaler or encoder met.
        detail: String,
    },
    /// A file operation failed.
    #[error("could not {operation} {}: {source}{}", path.display(), crate::error::what_to_do(.source))]
    File {
        /// What was attempted, as a verb.
        operation: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's reason.
        source: std::io::Error,
    },
    /// A kept file no longer has the bytes its name promises.
    #[error(
        "{} is damaged: its content has the hash {found}. It was left where it is. Fetch the \
         picture again from the shared folder, or add the original again.",
        path.display()
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// SHA-256 of what it holds now.
        found: String,
    },
    /// No kept file has this hash.
    #[error(
        "no file with the hash {sha256} is kept here. It may not have been fetched yet: exchange again."
    )]
    Missing {
        /// The hash that was asked for.
        sha256: String,
    },
    /// A hash that is not 64 lower-case hex digits.
    #[error(
        "\"{given}\" is not a SHA-256: 64 digits 0-9 a-f are wanted. Nothing was read or kept."
    )]
    BadHash {
        /// What was given, made visible.
        given: String,
    },
    /// An extension outside a–z and 0–9, or of a wrong length.
    #[error(
        "\"{given}\" can't be used as the ending of a kept file: 1 to 8 of a-z 0-9 are wanted. Nothing was kept."
    )]
    BadExtension {
        /// What was given, made visible.
        given: String,
    },
}

impl PhotoError {
    pub(super) fn file(
        operation: &'static str,
        path: &std::path::Path,
    ) -> impl FnOnce(std::io::Error) -> PhotoError {
        let path = path.to_path_buf();
        move |source| PhotoError::File {
            operation,
            path,
            source,
        }
    }
}

//! PDFs that the program wrote into its data folder, on their way to the person: a path there is
//! of no use on a phone or in a browser. The browser's host hands out the bytes; the window puts a
//! copy where the person finds it.
//!
//! Invariant: what a caller names is one of three folders and a name checked by pattern, never a path.
//! A copy takes no other file's place, and a second one of the same bytes is the first one.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use crate::{ApiError, App, ErrorCode};

/// Most copies of one name with other bytes in one folder.
const MOST_COPIES: u32 = 100;

/// Where handovers lie in the data folder, each a folder of its own with its document.
pub(crate) const HANDOVERS: &str = "handovers";
/// A handover's document in its folder.
const DOCUMENT: &str = "handover.pdf";

/// Which file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenRequest {
    folder: &'static str,
    name: String,
}

impl WrittenRequest {
    /// Reads a folder, `templates`, `labels` or `handovers`, and a file's name there as the program made it; of a
    /// handover the name of its folder with `.pdf` behind it.
    ///
    /// # Errors
    /// `invalid` for any other folder, and for a name that is not one of letters a–z, digits and
    /// hyphens with `.pdf` behind them.
    pub fn parse(folder: &str, name: &str) -> Result<Self, ApiError> {
        let folder = ["templates", "labels", HANDOVERS]
            .into_iter()
            .find(|known| *known == folder);
        let plain = name.len() <= 120
            && name.strip_suffix(".pdf").is_some_and(|stem| {
                let allowed = |b: u8| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-');
                !stem.is_empty() && stem.bytes().all(allowed)
            });
        match (folder, plain) {
            (Some(folder), true) => Ok(Self {
                folder,
                name: name.to_owned(),
            }),
            _ => Err(ApiError::invalid(
                "A file is named by templates, labels or handovers and the name that was told when \
                 it was written.",
            )),
        }
    }
}

impl WrittenRequest {
    /// Reads the path that was told when the file was written: its folder and its name alone count.
    ///
    /// # Errors
    /// As for [`WrittenRequest::parse`].
    pub fn told(path: &str) -> Result<Self, ApiError> {
        let mut parts = path.rsplit(['/', '\\']);
        let (name, folder) = (parts.next(), parts.next());
        Self::parse(folder.unwrap_or_default(), name.unwrap_or_default())
    }

    /// Puts the bytes into a folder; a name that is taken there by other bytes gets a number behind it.
    fn copy_into(&self, folder: &Path, bytes: &[u8]) -> Result<PathBuf, ApiError> {
        let stem = self.name.trim_end_matches(".pdf");
        for number in 1..=MOST_COPIES {
            let path = folder.join(match number {
                1 => self.name.clone(),
                number => format!("{stem}-{number}.pdf"),
            });
            if fs::read(&path).is_ok_and(|there| there == bytes) {
                return Ok(path);
            }
            match write_new(&path, bytes) {
                Ok(()) => return Ok(path),
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(unwritten(&path, &error)),
            }
        }
        Err(ApiError::new(
            ErrorCode::Storage,
            format!(
                "{} holds too many files of the name {}. Name another folder.",
                folder.display(),
                self.name
            ),
        ))
    }
}

/// Writes a file that must not be there yet; nothing half written is left.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)?;
    file.write_all(bytes)
        .and_then(|()| file.sync_all())
        .inspect_err(|_| drop(fs::remove_file(path)))
}

pub(crate) fn unwritten(path: &Path, error: &std::io::Error) -> ApiError {
    ApiError::new(
        ErrorCode::Storage,
        format!(
            "{} could not be written: {error}. Nothing was overwritten; choose another file.",
            path.display()
        ),
    )
}

impl App {
    /// Tells where the person looks for files that programs save: once, by who knows the device.
    pub fn saves_into(&self, downloads: PathBuf) {
        // A second word changes nothing: the first one was told by the shell at its start.
        drop(self.downloads.set(downloads));
    }

    /// Copies a PDF that was written into a folder that is there, else into the person's own one for
    /// downloads; answers with where it lies and its bytes.
    ///
    /// # Errors
    /// `notFound` when the PDF or the folder is not there; `invalid` when no folder is known; `storage`.
    pub(crate) fn hand_out(
        &self,
        asked: &WrittenRequest,
        to: Option<&Path>,
    ) -> Result<(PathBuf, usize), ApiError> {
        let known = to.or_else(|| self.downloads.get().map(PathBuf::as_path));
        let folder = known.ok_or_else(|| {
            ApiError::invalid(
                "This device names no folder for downloads. Name a folder to save into.",
            )
        })?;
        if !folder.is_dir() {
            return Err(ApiError::new(
                ErrorCode::NotFound,
                format!(
                    "The folder {} is not there. Make it, or name another one.",
                    folder.display()
                ),
            ));
        }
        let bytes = self.written(asked)?;
        Ok((asked.copy_into(folder, &bytes)?, bytes.len()))
    }

    /// The bytes of a PDF that was written into the data folder.
    ///
    /// # Errors
    /// `notFound` when it is not there any more.
    pub fn written(&self, asked: &WrittenRequest) -> Result<Vec<u8>, ApiError> {
        let folder = self.data().join(asked.folder);
        let path = match asked.folder {
            HANDOVERS => folder
                .join(asked.name.trim_end_matches(".pdf"))
                .join(DOCUMENT),
            _ => folder.join(&asked.name),
        };
        fs::read(&path).map_err(|_| {
            ApiError::new(
                ErrorCode::NotFound,
                "That file is not there any more. Write it once more.",
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::WrittenRequest;

    #[test]
    fn a_name_that_the_program_made_passes() {
        let asked = WrittenRequest::parse("labels", "5ab2-1764000000000.pdf").unwrap();
        assert_eq!(
            (asked.folder, asked.name.as_str()),
            ("labels", "5ab2-1764000000000.pdf")
        );
        assert!(WrittenRequest::parse("templates", "a.pdf").is_ok());
        assert!(WrittenRequest::parse("handovers", "5ab2-1764000000000.pdf").is_ok());
    }

    #[test]
    fn of_a_path_that_was_told_folder_and_name_count() {
        let named = WrittenRequest::parse("labels", "a-1.pdf").unwrap();
        for path in [
            "/home/ann/data/labels/a-1.pdf",
            "C:\\data\\labels\\a-1.pdf",
            "labels/a-1.pdf",
        ] {
            assert_eq!(WrittenRequest::told(path).unwrap(), named, "{path}");
        }
        for path in [
            "",
            "a-1.pdf",
            "labels/../local.db",
            "/etc/passwd",
            "labels/",
        ] {
            assert!(WrittenRequest::told(path).is_err(), "{path}");
        }
    }

    #[test]
    fn nothing_else_passes() {
        let long = format!("{}.pdf", "a".repeat(120));
        for (folder, name) in [
            ("labels", "../local.db"),
            ("labels", "..pdf"),
            ("labels", ".pdf"),
            ("labels", "a.pdf.exe"),
            ("labels", "a/b.pdf"),
            ("labels", "a\\b.pdf"),
            ("labels", "A.pdf"),
            ("labels", "a\0.pdf"),
            ("labels", long.as_str()),
            ("journal", "a.pdf"),
            ("", "a.pdf"),
            ("labels/..", "a.pdf"),
        ] {
            assert!(
                WrittenRequest::parse(folder, name).is_err(),
                "{folder} {name:?}"
            );
        }
    }
}

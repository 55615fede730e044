//! PDFs that the program wrote into its data folder, on their way to the person: a path there is
//! of no use on a phone or in a browser.
//!
//! Invariant: what a caller names is one of two folders and a name checked by pattern, never a path.

use std::fs;

use crate::{ApiError, App, ErrorCode};

/// Which file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenRequest {
    folder: &'static str,
    name: String,
}

impl WrittenRequest {
    /// Reads a folder, `templates` or `labels`, and a file's name there as the program made it.
    ///
    /// # Errors
    /// `invalid` for any other folder, and for a name that is not one of letters a–z, digits and
    /// hyphens with `.pdf` behind them.
    pub fn parse(folder: &str, name: &str) -> Result<Self, ApiError> {
        let folder = ["templates", "labels"]
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
                "A file is named by templates or labels and the name that was told when it was \
                 written.",
            )),
        }
    }
}

impl App {
    /// The bytes of a PDF that was written into the data folder.
    ///
    /// # Errors
    /// `notFound` when it is not there any more.
    pub fn written(&self, asked: &WrittenRequest) -> Result<Vec<u8>, ApiError> {
        let path = self.data().join(asked.folder).join(&asked.name);
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

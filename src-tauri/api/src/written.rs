//! PDFs that the program wrote into its data folder, and the record's documents, on their way to the
//! person: a path there is of no use on a phone or in a browser. The browser's host hands out the
//! bytes; the window puts a copy where the person finds it.
//!
//! Invariant: what a caller names is one of three folders and a name checked by pattern, or a document
//! of the record, never a path. A document's bytes leave only where their hash is the record's. A copy
//! takes no other file's place, and a second one of the same bytes is the first one.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use records::job::things::Document;

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
}

/// The name of a copy: what stands before the ending, and the ending without its dot.
struct CopyName {
    stem: String,
    ending: String,
}

impl CopyName {
    /// The name that a document goes by in the record, as one that every disk takes: marks that a disk
    /// or a reader could misread become hyphens, and the ending is the one it was taken in with.
    fn of_document(name: &str, ending: &str) -> Self {
        const MOST_BYTES: usize = 100;
        let own = name.rsplit_once('.');
        let stem = own.filter(|(_, last)| last.eq_ignore_ascii_case(ending));
        let stem = stem.map_or(name, |(stem, _)| stem);
        let plain = |c: char| match c {
            '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|' => '-',
            // Marks that turn the direction of what follows would hide the ending.
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '-',
            c if c.is_control() => '-',
            c => c,
        };
        let mut kept = String::new();
        for c in stem.chars().map(plain) {
            if kept.len() + c.len_utf8() > MOST_BYTES {
                break;
            }
            kept.push(c);
        }
        let kept = kept.trim_matches(|c: char| c == '.' || c.is_whitespace());
        let stem = match kept {
            "" => "document".to_owned(),
            kept if is_device(kept) => format!("{kept}-document"),
            kept => kept.to_owned(),
        };
        Self {
            stem,
            ending: ending.to_owned(),
        }
    }

    /// Puts the bytes into a folder; a name that is taken there by other bytes gets a number behind it.
    fn copy_into(&self, folder: &Path, bytes: &[u8]) -> Result<PathBuf, ApiError> {
        let Self { stem, ending } = self;
        for number in 1..=MOST_COPIES {
            let path = folder.join(match number {
                1 => format!("{stem}.{ending}"),
                number => format!("{stem}-{number}.{ending}"),
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
                "{} holds too many files of the name {stem}.{ending}. Name another folder.",
                folder.display(),
            ),
        ))
    }
}

/// Whether a name, up to its first dot, is one that Windows keeps for devices (Microsoft, "Naming Files,
/// Paths, and Namespaces").
fn is_device(name: &str) -> bool {
    let first = name.split('.').next().unwrap_or_default().trim_end();
    let upper = first.to_ascii_uppercase();
    let numbered = |beginning: &str| {
        upper
            .strip_prefix(beginning)
            .is_some_and(|rest| matches!(rest.as_bytes(), [b'0'..=b'9']))
    };
    matches!(upper.as_str(), "CON" | "PRN" | "AUX" | "NUL") || numbered("COM") || numbered("LPT")
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
        let folder = self.folder_for(to)?;
        let bytes = self.written(asked)?;
        let name = CopyName {
            stem: asked.name.trim_end_matches(".pdf").to_owned(),
            ending: "pdf".to_owned(),
        };
        Ok((name.copy_into(folder, &bytes)?, bytes.len()))
    }

    /// Copies a document of the record as [`App::hand_out`] does, under the name that it goes by.
    ///
    /// # Errors
    /// As there; `notFound` when its bytes have not arrived, `fault` when they are not what was taken in.
    pub(crate) fn hand_out_document(
        &self,
        document: &Document,
        to: Option<&Path>,
    ) -> Result<(PathBuf, usize), ApiError> {
        let folder = self.folder_for(to)?;
        let file = document.files.first().ok_or_else(|| {
            ApiError::new(ErrorCode::NotFound, "That document came without a file.")
        })?;
        let bytes = self.original(&file.sha256.to_string())?;
        let ending = file.kind.rsplit_once('.').map_or("bin", |(_, e)| e);
        let name = CopyName::of_document(&document.name, ending);
        Ok((name.copy_into(folder, &bytes)?, bytes.len()))
    }

    /// The folder that was named, else the person's own one for downloads; it is there.
    fn folder_for<'a>(&'a self, to: Option<&'a Path>) -> Result<&'a Path, ApiError> {
        let known = to.or_else(|| self.downloads.get().map(PathBuf::as_path));
        let folder = known.ok_or_else(|| {
            ApiError::invalid(
                "This device names no folder for downloads. Name a folder to save into.",
            )
        })?;
        if folder.is_dir() {
            return Ok(folder);
        }
        Err(ApiError::new(
            ErrorCode::NotFound,
            format!(
                "The folder {} is not there. Make it, or name another one.",
                folder.display()
            ),
        ))
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
    use super::{CopyName, WrittenRequest};

    #[test]
    fn a_documents_name_becomes_one_that_every_disk_takes() {
        let long = "ä".repeat(200);
        for (name, ending, expected) in [
            ("Letter EL-017.pdf", "pdf", "Letter EL-017.pdf"),
            ("Letter.PDF", "pdf", "Letter.pdf"),
            // A name that was changed later brings no other ending.
            ("sheet.exe", "pdf", "sheet.exe.pdf"),
            ("no ending", "bin", "no ending.bin"),
            ("../../etc/passwd", "txt", "-..-etc-passwd.txt"),
            ("a\u{202e}fdp.exe", "exe", "a-fdp.exe"),
            ("C:\\a\nb?.dwg", "dwg", "C--a-b-.dwg"),
            (" .pdf", "pdf", "document.pdf"),
            ("...", "pdf", "document.pdf"),
            ("nul.pdf", "pdf", "nul-document.pdf"),
            ("COM1.txt.pdf", "pdf", "COM1.txt-document.pdf"),
            ("comb.pdf", "pdf", "comb.pdf"),
            ("رسالة.pdf", "pdf", "رسالة.pdf"),
            (long.as_str(), "pdf", &format!("{}.pdf", "ä".repeat(50))),
        ] {
            let made = CopyName::of_document(name, ending);
            assert_eq!(
                format!("{}.{}", made.stem, made.ending),
                expected,
                "{name:?}"
            );
        }
    }

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

//! The handover folder: document, data, books, originals, sums.
//!
//! Invariant: the folder appears whole under its name or not at all; a folder that holds anything
//! is never touched.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use records::book::{BookView, Why};
use records::ids::Hash;
use records::work;

use crate::originals::{self, Left, Originals};
use crate::print::{self, Attachment};
use crate::signature::{self, SIGNATURE};
use crate::source::{OnProgress, Sign, Step, tell};
use crate::tables::Table;
use crate::{HandoverError, Source, export, left, state, tables, tell as told};

/// Name of the file with the sums of all others.
pub(crate) const SUMS: &str = "SHA256SUMS";
/// Name of the document.
pub(crate) const DOCUMENT: &str = "handover.pdf";
/// Name of the state, in `data/` and inside the document.
pub(crate) const STATE: &str = "state.json";
/// The job's book.
pub(crate) const JOB_BOOK: &str = "book/job.jsonl";
/// The crew's book.
pub(crate) const CREW_BOOK: &str = "book/crew.jsonl";

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The folder.
    pub folder: PathBuf,
    /// Number of files.
    pub files: usize,
    /// Bytes of all files.
    pub bytes: u64,
    /// Originals in it.
    pub originals: usize,
    /// Originals that are not on this device, or no longer whole there.
    pub missing: usize,
    /// SHA-256 of the document.
    pub document: Hash,
}

/// Writes a handover folder.
///
/// # Errors
/// [`HandoverError::NotEmpty`] when the folder holds anything, [`HandoverError::Cancelled`], and
/// errors of setting and of files. In every case nothing is left under the folder's name.
pub fn write(
    source: &Source<'_>,
    folder: &Path,
    on: &OnProgress<'_>,
) -> Result<Written, HandoverError> {
    refuse_full(folder)?;
    let parent = folder
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    fs::create_dir_all(parent).map_err(HandoverError::file("make", parent))?;
    let name = folder
        .file_name()
        .map_or_else(|| "handover".into(), |n| n.to_string_lossy().into_owned());
    left::sweep_old(parent, &name);
    // A name of its own: whoever else makes a handover beside it has another one.
    let mark = records::record::new_item()?;
    let temporary = parent.join(format!(".{name}.making-{mark}"));
    fs::create_dir(&temporary).map_err(HandoverError::file("make", folder))?;
    // From here on the temporary folder is this call's own, and may be removed by it.
    let made = fill(source, &temporary, on).and_then(|written| {
        refuse_full(folder)?;
        if folder.exists() {
            fs::remove_dir(folder)
                .map_err(HandoverError::file("replace the empty folder", folder))?;
        }
        fs::rename(&temporary, folder).map_err(HandoverError::file("name", folder))?;
        sync_dir(parent);
        Ok(Written {
            folder: folder.to_path_buf(),
            ..written
        })
    });
    if made.is_err() && temporary.exists() {
        fs::remove_dir_all(&temporary).map_err(HandoverError::file("remove", &temporary))?;
    }
    made
}

fn refuse_full(folder: &Path) -> Result<(), HandoverError> {
    if !folder.exists() {
        return Ok(());
    }
    let mut entries = fs::read_dir(folder).map_err(HandoverError::file("list", folder))?;
    match entries.next() {
        None => Ok(()),
        Some(_) => Err(HandoverError::NotEmpty(folder.to_path_buf())),
    }
}

/// Fills a folder that was just made with the whole handover.
fn fill(source: &Source<'_>, dir: &Path, on: &OnProgress<'_>) -> Result<Written, HandoverError> {
    let mut out = Out {
        dir,
        sums: BTreeMap::new(),
        bytes: 0,
    };
    // Originals come first, so that the document can name those that don't go along.
    let left = copy_originals(source, &mut out, on)?;
    let originals = out.sums.len();
    let document = told::document(source, &left);
    let pictures = print::pictures(source, &told::pictures_of(&document), on)?;
    let tables = tables::tables(source, &left);
    let data = data_files(source, &tables)?;
    for file in &data {
        out.put(&format!("data/{}", file.name), &file.bytes)?;
    }
    out.put("data/tables.xlsx", &export::workbook(&tables)?)?;
    tell(on, Step::Document, 0, 1)?;
    let pdf = print::pdf(&document, pictures, data, source.made)?;
    tell(on, Step::Document, 1, 1)?;
    let document = Hash::of(&pdf);
    out.put(DOCUMENT, &pdf)?;
    drop(pdf);
    let job = source.job.reader.view;
    let crew = source.job.reader.crew;
    out.put(
        CREW_BOOK,
        &lines(source.crew_book, &source.crew_book.not_counting(crew)),
    )?;
    out.put(JOB_BOOK, &lines(job, &job.not_counting(crew)))?;
    out.put("README.txt", readme(source, left.count()).as_bytes())?;
    let files = out.sums.len() + 1 + usize::from(source.sign.is_some());
    let bytes = out.finish(source.sign)?;
    Ok(Written {
        folder: dir.to_path_buf(),
        files,
        bytes,
        originals,
        missing: left.count(),
        document,
    })
}

/// Copies every original that is here and whole; tells the rest.
fn copy_originals(
    source: &Source<'_>,
    out: &mut Out<'_>,
    on: &OnProgress<'_>,
) -> Result<Originals, HandoverError> {
    let named = originals::named(source);
    let mut left = Originals::default();
    for (done, sha256) in named.iter().enumerate() {
        match original(source, sha256) {
            Ok((bytes, ending)) => out.put(&format!("photos/{sha256}.{ending}"), &bytes)?,
            Err(why) => left.leave(sha256, why),
        }
        tell(on, Step::Files, done + 1, named.len())?;
    }
    Ok(left)
}

/// State and tables, as they lie in `data/` and inside the document.
fn data_files(source: &Source<'_>, tables: &[Table]) -> Result<Vec<Attachment>, HandoverError> {
    let reader = &source.job.reader;
    let mut files = vec![Attachment {
        name: STATE.into(),
        media_type: "application/json",
        about: "State of the job as its entries tell it",
        bytes: state::state_text(reader.view, reader.crew).into_bytes(),
    }];
    for table in tables {
        files.push(Attachment {
            name: format!("{}.csv", table.name),
            media_type: "text/csv",
            about: table.title,
            bytes: export::csv(table)?,
        });
    }
    Ok(files)
}

/// The exact entry lines of a book, sorted by device and number; unfinished ends are left out.
fn lines(book: &BookView, left: &[(Hash, Why)]) -> Vec<u8> {
    let unfinished: Vec<&Hash> = left
        .iter()
        .filter(|(_, why)| state::damaged(*why))
        .map(|(id, _)| id)
        .collect();
    let mut entries: Vec<_> = book
        .ids()
        .filter(|id| !unfinished.contains(id))
        .filter_map(|id| book.entry(id))
        .collect();
    entries.sort_by_key(|e| (e.body.device, e.body.n, e.id));
    entries
        .iter()
        .flat_map(|e| e.line().iter().copied())
        .collect()
}

/// The bytes of an original with its file's ending.
fn original(source: &Source<'_>, sha256: &str) -> Result<(Vec<u8>, String), Left> {
    let damaged = |e: &dyn std::fmt::Display| Left::Damaged(e.to_string());
    let path = match records::photos::find(source.photos_dir, sha256) {
        Ok(Some(path)) => path,
        Ok(None) => return Err(Left::NotHere),
        Err(e) => return Err(damaged(&e)),
    };
    let bytes = records::photos::read(source.photos_dir, sha256).map_err(|e| damaged(&e))?;
    let ending = path
        .extension()
        .map_or_else(|| "bin".into(), |e| e.to_string_lossy().into_owned());
    Ok((bytes, ending))
}

struct Out<'a> {
    dir: &'a Path,
    sums: BTreeMap<String, String>,
    bytes: u64,
}

impl Out<'_> {
    fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), HandoverError> {
        let path = self.dir.join(name);
        if self.sums.contains_key(name) {
            return Ok(());
        }
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(HandoverError::file("make", parent))?;
        }
        let mut file = File::create_new(&path).map_err(HandoverError::file("make", &path))?;
        file.write_all(bytes)
            .and_then(|()| file.sync_data())
            .map_err(HandoverError::file("write", &path))?;
        self.sums
            .insert(name.to_owned(), Hash::of(bytes).to_string());
        self.bytes += bytes.len() as u64;
        Ok(())
    }

    /// Writes the sums and their signature, and returns the bytes of all files.
    fn finish(mut self, sign: Option<&Sign<'_>>) -> Result<u64, HandoverError> {
        let sums: String = self
            .sums
            .iter()
            .map(|(name, sum)| format!("{sum}  {name}\n"))
            .collect();
        self.put(SUMS, sums.as_bytes())?;
        if let Some(sign) = sign {
            let text = signature::text(sign, sums.as_bytes());
            self.put(SIGNATURE, text.as_bytes())?;
        }
        for folder in ["data", "book", "photos", ""] {
            sync_dir(&self.dir.join(folder));
        }
        Ok(self.bytes)
    }
}

/// Makes a folder's names durable where the system can.
fn sync_dir(dir: &Path) {
    if let Ok(dir) = File::open(dir) {
        // Some file systems refuse to sync a folder; the files themselves are synced.
        let _ = dir.sync_all();
    }
}

fn readme(source: &Source<'_>, left: usize) -> String {
    let left = match left {
        0 => String::new(),
        1 => "               one original is not here; data/hash-index.csv names it\n".to_owned(),
        n => format!("               {n} originals are not here; data/hash-index.csv names them\n"),
    };
    let marked = match source.job.photos.iter().any(|p| p.marks.shown().is_some()) {
        true => {
            "               unmarked: arrows, rings and words stand on the document's own copies\n"
        }
        false => "",
    };
    let (signature, proves) = match source.sign {
        Some(_) => (
            "SHA256SUMS.sig the making device's signature over those sums\n",
            "The files here are those that the making device wrote when tautbook verify says so: it\n\
             checks that device's signature over the sums. sha256sum alone finds damage, not a change\n\
             with the sums written anew.",
        ),
        None => (
            "",
            "The making device was not admitted to its crew, so this handover is not signed: only\n\
             entries, originals and state are proven, not the document's pages and tables.",
        ),
    };
    let rules =
        work::changed_rules(source.job).map_or_else(String::new, |said| format!("{said}\n\n"));
    format!(
        "Handover record, made with {}\n\
         \n\
         {rules}\
         handover.pdf   the document, to read and print\n\
         data/          the same data as tables: state.json, *.csv, tables.xlsx\n\
         book/          the entries themselves, one signed line each: the job's book and the crew's\n\
         photos/        original pictures and documents, each named by the SHA-256 of its bytes\n\
         {marked}\
         {left}\
         SHA256SUMS     sums of all other files\n\
         {signature}\
         \n\
         To check that no file was damaged:   sha256sum -c SHA256SUMS\n\
         To check signatures, chain, pictures and the document as well:   tautbook verify --handover .\n\
         \n\
         {proves}\n\
         A missing end, something held back, or something untrue recorded by a device's owner can't\n\
         be found that way.\n\
         Nothing here is encrypted: who has these files can read them.\n",
        source.program
    )
}

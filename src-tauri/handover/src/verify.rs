//! Looking a handover folder over: sums, entries, pictures, and the document's own data.
//!
//! Invariant: the first fault is named with its kind and file; nothing in the folder is changed,
//! and no file outside it is read.
//! One file past 400 lines, since the order of the looks is the invariant.

mod attached;
mod sums;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use records::book::{BookView, Pins, Signs};
use records::crew::{self, Crew};
use records::entry::Entry;
use records::ids::{BookId, Hash};
use records::subject::Subject;
use serde::Serialize;

use crate::folder::{CREW_BOOK, DOCUMENT, JOB_BOOK, STATE, SUMS};
use crate::signature::{self, SIGNATURE, SignedBy};
use crate::source::{OnProgress, Step, tell};
use crate::state;
use sums::{nothing_unlisted, read, read_sums};

/// What was found in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// Files whose sums were right.
    pub files: usize,
    /// Entries of the job's book.
    pub entries: usize,
    /// Entries of the crew's book.
    pub crew_entries: usize,
    /// Originals that match an entry.
    pub originals: usize,
    /// Originals that entries name and the folder says it has not.
    pub missing: usize,
    /// The form of a state that an earlier version wrote: it was not made anew from the entries, and
    /// stands by the signature alone. None where it is what the entries tell.
    pub earlier_state: Option<String>,
    /// Entries that are kept but do not count, with the reason.
    pub not_counting: Vec<String>,
    /// The device that signed all files.
    pub signed_by: SignedBy,
    /// The founding entry of the crew: a crew can give itself any name, but not this hash.
    pub crew: Hash,
}

impl Verified {
    /// Holds the handover to the crew that it should be of.
    ///
    /// # Errors
    /// [`FaultKind::OtherCrew`].
    pub fn of_crew(&self, crew: &Hash) -> Result<(), Fault> {
        if self.crew == *crew {
            return Ok(());
        }
        let what = format!(
            "it is whole, and of another crew: that was founded by the entry {}",
            self.crew
        );
        Err(fault(FaultKind::OtherCrew, CREW_BOOK, what))
    }
}

/// What kind of fault it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub enum FaultKind {
    /// A file is missing or can't be read.
    Missing,
    /// A file that no sum covers.
    Unlisted,
    /// A file's bytes are not what its sum says.
    Sum,
    /// A name in the sums leaves the folder or is no plain name.
    Name,
    /// A line in a book is no entry, or its device did not sign it.
    Entry,
    /// A book is not whole.
    Chain,
    /// A picture that no entry vouches for, or one that an entry vouches for is not there.
    Picture,
    /// The data differ from what the entries tell.
    State,
    /// The document's own data differ from what the entries tell.
    Document,
    /// The sums are not signed by a device of the crew.
    Signature,
    /// Nobody signed the sums: everything else is in order, and document and tables are not proven.
    NotSigned,
    /// It is of another crew than the one that was asked for.
    OtherCrew,
    /// Someone ended it.
    Cancelled,
}

impl FaultKind {
    /// What to do, as it follows what is wrong; empty where that says it itself.
    #[must_use]
    pub const fn what_to_do(self) -> &'static str {
        match self {
            FaultKind::Missing => {
                ". Copy the whole folder again from where it was made, or ask for the handover again"
            }
            FaultKind::Unlisted => {
                ". Move the file out of the folder and look again; nothing it says is the crew's"
            }
            FaultKind::Sum => {
                ". Don't rely on this copy: copy the folder again from where it was made, or ask for \
                 the handover again"
            }
            FaultKind::State | FaultKind::Document => {
                ". Don't rely on its figures: make the handover again on a device of the crew, or ask \
                 for it again"
            }
            FaultKind::Name | FaultKind::Entry | FaultKind::Chain | FaultKind::Picture => {
                ". Don't rely on this copy: ask a device of the crew for the handover again"
            }
            FaultKind::Signature
            | FaultKind::NotSigned
            | FaultKind::OtherCrew
            | FaultKind::Cancelled => "",
        }
    }
}

/// The first fault that was found.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {what}{}", .kind.what_to_do())]
pub struct Fault {
    /// Its kind.
    pub kind: FaultKind,
    /// The file, as named in the folder.
    pub file: String,
    /// What is wrong.
    pub what: String,
}

fn fault(kind: FaultKind, file: &str, what: impl Into<String>) -> Fault {
    Fault {
        kind,
        file: file.into(),
        what: what.into(),
    }
}

/// Looks a handover folder over.
///
/// # Errors
/// The first [`Fault`].
pub fn verify(folder: &Path, on: &OnProgress<'_>) -> Result<Verified, Fault> {
    let there = |name: &&str| folder.join(name).symlink_metadata().is_ok();
    if !folder.is_dir() || ![SUMS, DOCUMENT, JOB_BOOK].iter().any(there) {
        return Err(fault(
            FaultKind::Missing,
            &folder.display().to_string(),
            "this is no handover folder: it has neither sums nor document. Name the folder that the \
             handover was written to",
        ));
    }
    let sums = read_sums(folder)?;
    nothing_unlisted(folder, &sums)?;
    let mut hashes = BTreeMap::new();
    for (done, (name, sum)) in sums.iter().enumerate() {
        let bytes = read(folder, name)?;
        if Hash::of(&bytes).to_string() != *sum {
            return Err(fault(
                FaultKind::Sum,
                name,
                "its bytes are not what SHA256SUMS says: it was changed or damaged",
            ));
        }
        hashes.insert(name.clone(), sum.clone());
        tell(on, Step::Files, done + 1, sums.len())
            .map_err(|_| fault(FaultKind::Cancelled, name, "ended before it was done"))?;
    }
    for name in [DOCUMENT, JOB_BOOK, CREW_BOOK] {
        if !sums.contains_key(name) {
            return Err(fault(
                FaultKind::Missing,
                name,
                "it belongs to a handover and is not here",
            ));
        }
    }
    let (crew_book, crew) = crew_book(folder)?;
    let job = job_book(folder, &crew)?;
    let (originals, missing) = pictures(folder, &job, &crew, &hashes)?;
    let data = format!("data/{STATE}");
    let written = read(folder, &data)?;
    let earlier_state = stands(&written, &state::state_text(&job, &crew))
        .map_err(|why| fault(FaultKind::State, &data, why))?;
    document(folder, &written, &sums)?;
    // Last, so that a change that shows in itself is named by its file.
    let signed_by = signed(folder, &crew, earlier_state.is_none())?;
    let mut not_counting: Vec<String> = job
        .not_counting(&crew)
        .into_iter()
        .chain(crew_book.not_counting(&crew))
        .map(|(id, why)| format!("{id}: {}", why.words()))
        .collect();
    not_counting.sort_unstable();
    let crew = crew
        .founding
        .ok_or_else(|| fault(FaultKind::Entry, CREW_BOOK, "no entry founds the crew"))?;
    Ok(Verified {
        files: hashes.len(),
        entries: job.len(),
        crew_entries: crew_book.len(),
        originals,
        missing,
        earlier_state,
        not_counting,
        signed_by,
        crew,
    })
}

fn signed(folder: &Path, crew: &Crew, state_stands: bool) -> Result<SignedBy, Fault> {
    if folder.join(SIGNATURE).symlink_metadata().is_err() {
        let (stand, open) = match state_stands {
            true => ("Entries, originals and state", "the document"),
            false => ("Entries and originals", "the state, the document"),
        };
        return Err(fault(
            FaultKind::NotSigned,
            SIGNATURE,
            format!(
                "it is not here. {stand} are in order; {open}, the tables and the sums could have been \
                 written anew by whoever had the folder. A device that the crew counts always signs: ask \
                 one of them for the handover again"
            ),
        ));
    }
    let (bytes, sums) = (read(folder, SIGNATURE)?, read(folder, SUMS)?);
    signature::signed_by(&bytes, &sums, crew)
        .map_err(|what| fault(FaultKind::Signature, SIGNATURE, what))
}

fn entries(folder: &Path, name: &str) -> Result<Vec<(Arc<Entry>, bool)>, Fault> {
    let bytes = read(folder, name)?;
    let mut found = Vec::new();
    for (number, line) in bytes.split_inclusive(|b| *b == b'\n').enumerate() {
        let entry = Entry::parse(line)
            .map_err(|e| fault(FaultKind::Entry, name, format!("line {}: {e}", number + 1)))?;
        found.push((Arc::new(entry), false));
    }
    Ok(found)
}

fn crew_book(folder: &Path) -> Result<(BookView, Crew), Fault> {
    let entries = entries(folder, CREW_BOOK)?;
    let book = entries
        .first()
        .map(|(e, _)| e.body.book)
        .ok_or_else(|| fault(FaultKind::Chain, CREW_BOOK, "it is empty"))?;
    let count = entries.len();
    let mut view = BookView::of_crew(book, founding(folder, book, &entries)?);
    view.take(entries, &Crew::default());
    let crew = crew::evaluate(&view);
    view.judge(&crew);
    if crew.founding.is_none() {
        return Err(fault(
            FaultKind::Entry,
            CREW_BOOK,
            "no entry founds the crew and is signed by the key it names",
        ));
    }
    whole(&view, &crew, count, CREW_BOOK)?;
    Ok((view, crew))
}

/// The entry that founded the crew, as the job's first entry names it.
fn founding(
    folder: &Path,
    crew_book: BookId,
    of_crew: &[(Arc<Entry>, bool)],
) -> Result<Option<Hash>, Fault> {
    let mut signs = Signs::default();
    for (entry, _) in of_crew.iter().chain(&entries(folder, JOB_BOOK)?) {
        signs.hear(entry);
    }
    Ok(signs.founding(crew_book, &Pins::new(), None))
}

fn job_book(folder: &Path, crew: &Crew) -> Result<BookView, Fault> {
    let entries = entries(folder, JOB_BOOK)?;
    let book = entries
        .first()
        .map(|(e, _)| e.body.book)
        .ok_or_else(|| fault(FaultKind::Chain, JOB_BOOK, "it is empty"))?;
    let count = entries.len();
    let mut view = BookView::of_job(book);
    view.take(entries, crew);
    whole(&view, crew, count, JOB_BOOK)?;
    let created = records::book::Key {
        subject: Subject::Job(book).to_string(),
        field: "created".into(),
        place: String::new(),
    };
    if view.key(&created).is_none() {
        return Err(fault(
            FaultKind::Chain,
            JOB_BOOK,
            "no entry begins the job in this crew",
        ));
    }
    Ok(view)
}

fn whole(view: &BookView, crew: &Crew, count: usize, name: &str) -> Result<(), Fault> {
    if view.len() != count {
        return Err(fault(
            FaultKind::Chain,
            name,
            "a line belongs to another book or stands twice",
        ));
    }
    let mut left: Vec<_> = view
        .not_counting(crew)
        .into_iter()
        .filter(|(_, why)| state::damaged(*why))
        .collect();
    // The earliest of a device comes first: what follows it is broken because of it.
    left.sort_by_key(|(id, _)| (view.entry(id).map(|e| (e.body.device, e.body.n)), *id));
    match left.first() {
        None => Ok(()),
        Some((id, why)) => {
            let kind = match why {
                records::book::Why::NotProven => FaultKind::Entry,
                _ => FaultKind::Chain,
            };
            Err(fault(kind, name, format!("entry {id}: {}", why.words())))
        }
    }
}

/// Every original that entries vouch for lies here or is told to be missing; nothing else does.
fn pictures(
    folder: &Path,
    job: &BookView,
    crew: &Crew,
    hashes: &BTreeMap<String, String>,
) -> Result<(usize, usize), Fault> {
    let here: BTreeMap<&str, &str> = hashes
        .iter()
        .filter_map(|(name, sum)| {
            Some((
                name.strip_prefix("photos/")?.split('.').next()?,
                sum.as_str(),
            ))
        })
        .collect();
    for (stem, sum) in &here {
        if stem != sum {
            return Err(fault(
                FaultKind::Picture,
                &format!("photos/{stem}"),
                "its name is not the hash of its bytes",
            ));
        }
    }
    let told = records::job::Job::read(job, crew);
    let vouched: BTreeSet<String> = told
        .photos
        .iter()
        .filter_map(|p| p.files.first())
        .chain(told.documents.iter().flat_map(|d| &d.files))
        .map(|f| f.sha256.to_string())
        .collect();
    if let Some(stem) = here.keys().find(|stem| !vouched.contains(**stem)) {
        return Err(fault(
            FaultKind::Picture,
            &format!("photos/{stem}"),
            "no entry vouches for it",
        ));
    }
    let excused = excused(folder)?;
    let mut missing = 0;
    for sha256 in vouched.iter().filter(|v| !here.contains_key(v.as_str())) {
        if !excused.contains(sha256) {
            return Err(fault(
                FaultKind::Picture,
                &format!("photos/{sha256}"),
                "an entry vouches for it and it is not here",
            ));
        }
        missing += 1;
    }
    Ok((here.len(), missing))
}

/// Hashes that the folder's own index says were not on the device.
fn excused(folder: &Path) -> Result<BTreeSet<String>, Fault> {
    let name = "data/hash-index.csv";
    let bytes = read(folder, name)?;
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let mut found = BTreeSet::new();
    for row in reader.records() {
        let row = row.map_err(|e| fault(FaultKind::State, name, e.to_string()))?;
        if let (Some(sha256), Some("no")) = (row.get(2), row.get(5)) {
            found.insert(sha256.to_owned());
        }
    }
    Ok(found)
}

/// The form that a state says it is of.
fn form(written: &[u8]) -> Option<String> {
    let state = serde_json::from_slice::<serde_json::Value>(written).ok()?;
    Some(state.get("format")?.as_str()?.to_owned())
}

/// Whether a state that was written is the one that the entries tell: none where it is, its form where an
/// earlier version wrote it, which is not made anew here; or why it is neither.
fn stands(written: &[u8], told: &str) -> Result<Option<String>, &'static str> {
    if written == told.as_bytes() {
        return Ok(None);
    }
    match form(written) {
        Some(form) if state::EARLIER.contains(&form.as_str()) => Ok(Some(form)),
        form => Err(differs(form.as_deref())),
    }
}

/// Why a state of this form is not the one that is made here from the same entries.
fn differs(form: Option<&str>) -> &'static str {
    match form {
        Some(form) if form != state::STATE_FORMAT => {
            "it is of a form that this version does not know: look the handover over with the version that \
             wrote it"
        }
        _ => "it differs from what the entries tell",
    }
}

fn document(folder: &Path, state: &[u8], sums: &BTreeMap<String, String>) -> Result<(), Fault> {
    let attached = attached::files(read(folder, DOCUMENT)?).ok_or_else(|| {
        fault(
            FaultKind::Document,
            DOCUMENT,
            "its attached files can't be read",
        )
    })?;
    match attached.get(STATE) {
        Some(bytes) if bytes == state => {}
        Some(_) => {
            return Err(fault(
                FaultKind::Document,
                DOCUMENT,
                "the state inside it differs from the one beside it",
            ));
        }
        None => {
            return Err(fault(
                FaultKind::Document,
                DOCUMENT,
                "no state is attached to it",
            ));
        }
    }
    for (name, sum) in sums {
        let Some(table) = name.strip_prefix("data/").filter(|n| n.ends_with(".csv")) else {
            continue;
        };
        let same = attached
            .get(table)
            .is_some_and(|bytes| Hash::of(bytes).to_string() == *sum);
        if !same {
            return Err(fault(
                FaultKind::Document,
                DOCUMENT,
                format!("the table {table} inside it differs from the one beside it"),
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::stands;

    #[test]
    fn a_state_stands_as_told_or_as_an_earlier_form() {
        let told = r#"{"format":"tautbook-state-2","claims":[]}"#;
        assert_eq!(stands(told.as_bytes(), told), Ok(None));
        let earlier = br#"{"format":"tautbook-state-1"}"#;
        assert_eq!(stands(earlier, told), Ok(Some("tautbook-state-1".into())));
        for other in [
            r#"{"format":"tautbook-state-2"}"#,
            r#"{"format":"tautbook-state-9"}"#,
            "{}",
            "",
        ] {
            assert!(stands(other.as_bytes(), told).is_err(), "{other}");
        }
    }
}

//! What a shared folder can do, whatever it is kept on.
//!
//! Invariant: nothing that is there is ever overwritten or deleted through a store; a name is
//! given once. A store knows nothing of the record: it moves bytes and names only.

pub(crate) use records::in_flight::in_flight;

use crate::error::SyncError;

/// How many files are moved at the same time.
pub const IN_FLIGHT: usize = records::in_flight::AT_ONCE;

/// The most names that one listing reports; a longer one is cut and says so.
pub const MAX_LISTED: usize = 100_000;

/// A place that several devices reach: a folder now, a WebDAV server later.
///
/// Paths are relative, with `/` between the parts; the empty path is the folder itself.
pub trait SharedStore: Send + Sync {
    /// Names what lies directly in a folder, sorted by name.
    ///
    /// Errors: `NotFound` if the folder is missing, `Permanent` if it is a file or a link.
    fn list(&self, folder: &str) -> Result<Listing, SyncError>;

    /// Reads a whole regular file of at most `at_most` bytes.
    ///
    /// Errors: `NotFound`; `Permanent` for a link, a folder, a device file, or a larger file, of
    /// which no byte is read.
    fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError>;

    /// Writes a new file whole or not at all; one that is there stays as it is.
    ///
    /// Durable only after [`SharedStore::settle`]. Errors: `Permanent` for a name outside the
    /// rules, a read-only or full folder, or anything but a regular file under that name.
    fn put_new(&self, path: &str, bytes: &[u8]) -> Result<Put, SyncError>;

    /// Whether a regular file has this name.
    fn exists(&self, path: &str) -> Result<bool, SyncError>;

    /// Makes every name given since the last call durable; once per batch.
    fn settle(&self) -> Result<(), SyncError>;
}

/// What became of a file that was to be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Put {
    /// It was not there and is there now.
    Created,
    /// It was there with the same bytes.
    AlreadyThere,
    /// The name was there with other bytes, which were left alone.
    Different,
}

/// What lies directly in one folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Listing {
    /// Regular files with their sizes.
    pub files: Vec<ListedFile>,
    /// Names of folders.
    pub folders: Vec<String>,
    /// What is neither, or has a name that is not text; never opened.
    pub strange: Vec<Strange>,
    /// Whether there was more than [`MAX_LISTED`] names.
    pub cut: bool,
}

/// A regular file in a listing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedFile {
    /// Its name inside the listed folder.
    pub name: String,
    /// Its size.
    pub bytes: u64,
}

/// Something in a listing that no file of ours can be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strange {
    /// Its name, made readable.
    pub name: String,
    /// What it is.
    pub what: StrangeKind,
}

/// Kinds of things that a store names but never opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StrangeKind {
    /// A symbolic link, wherever it leads.
    Link,
    /// A pipe, socket or device.
    Device,
    /// A name that is not valid text.
    Name,
}

impl Listing {
    /// Names of what is no regular file, folders among them.
    pub(crate) fn no_files(&self) -> impl Iterator<Item = &String> {
        let strange = self.strange.iter().map(|other| &other.name);
        self.folders.iter().chain(strange)
    }

    /// Names of what is no folder.
    pub(crate) fn no_folders(&self) -> impl Iterator<Item = &String> {
        let strange = self.strange.iter().map(|other| &other.name);
        self.files.iter().map(|file| &file.name).chain(strange)
    }

    pub(crate) fn sort(&mut self) {
        self.files.sort_by(|a, b| a.name.cmp(&b.name));
        self.folders.sort();
        self.strange.sort_by(|a, b| a.name.cmp(&b.name));
    }

    pub(crate) fn is_full(&mut self) -> bool {
        let full = self.files.len() + self.folders.len() + self.strange.len() >= MAX_LISTED;
        self.cut |= full;
        full
    }
}

/// Lists a folder, a missing one as empty.
pub(crate) fn list_or_empty(store: &dyn SharedStore, folder: &str) -> Result<Listing, SyncError> {
    match store.list(folder) {
        Err(SyncError::NotFound { .. }) => Ok(Listing::default()),
        other => other,
    }
}

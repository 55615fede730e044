//! Folders reached through open handles, one part of a path after the other.
//!
//! Invariant: every part below the root is opened without following links, so that whoever
//! changes the folder while we work can't lead a read or a write out of it.

use std::ffi::CStr;
use std::fs::File;
use std::io::{self, Read, Write};
use std::os::fd::{AsFd, BorrowedFd, OwnedFd};
use std::path::Path;

use rustix::fs::{self, AtFlags, FileType, Mode, OFlags};
use rustix::io::Errno;

use super::{Disk, DiskError, Placing, parent_of, readable};
use crate::store::{ListedFile, Listing, Strange, StrangeKind};

pub(super) struct Handles {
    root: OwnedFd,
    placing: Placing,
}

impl Handles {
    /// The root itself may be reached through links: its place is the person's own choice.
    pub(super) fn open(root: &Path, placing: Placing) -> io::Result<Self> {
        let flags = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::CLOEXEC;
        let root = fs::open(root, flags, Mode::empty())?;
        Ok(Self { root, placing })
    }

    fn folder(&self, path: &str) -> Result<OwnedFd, DiskError> {
        let flags = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::NOFOLLOW | OFlags::CLOEXEC;
        let mut at: OwnedFd = fs::openat(&self.root, ".", flags, Mode::empty())?;
        for part in path.split('/').filter(|part| !part.is_empty()) {
            at = fs::openat(&at, part, flags, Mode::empty())?;
        }
        Ok(at)
    }

    /// The open parent folder and the last part of a path.
    fn parent<'p>(&self, path: &'p str) -> Result<(OwnedFd, &'p str), DiskError> {
        let parent = parent_of(path);
        let name = path.get(parent.len()..).unwrap_or_default();
        Ok((self.folder(parent)?, name.trim_start_matches('/')))
    }
}

impl Disk for Handles {
    fn list(&self, folder: &str) -> Result<Listing, DiskError> {
        let at = self.folder(folder)?;
        let mut listing = Listing::default();
        for entry in fs::Dir::read_from(&at)? {
            let entry = entry?;
            let name = entry.file_name();
            if matches!(name.to_bytes(), b"." | b"..") {
                continue;
            }
            if listing.is_full() {
                break;
            }
            note(&mut listing, at.as_fd(), name, entry.file_type())?;
        }
        listing.sort();
        Ok(listing)
    }

    fn read(&self, path: &str, at_most: u64) -> Result<Vec<u8>, DiskError> {
        let (at, name) = self.parent(path)?;
        // Looked at before it is opened: opening some device files acts on them.
        regular(&fs::statat(&at, name, AtFlags::SYMLINK_NOFOLLOW)?)?;
        let flags = OFlags::RDONLY | OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::CLOEXEC;
        let file = fs::openat(&at, name, flags, Mode::empty())?;
        let bytes = regular(&fs::fstat(&file)?)?;
        if bytes > at_most {
            return Err(DiskError::TooLarge { bytes, at_most });
        }
        let mut content = Vec::with_capacity(usize::try_from(bytes).unwrap_or(0));
        File::from(file)
            .take(at_most + 1)
            .read_to_end(&mut content)?;
        let bytes = content.len() as u64;
        if bytes > at_most {
            return Err(DiskError::TooLarge { bytes, at_most });
        }
        Ok(content)
    }

    fn is_file(&self, path: &str) -> Result<bool, DiskError> {
        let stat = self
            .parent(path)
            .and_then(|(at, name)| Ok(fs::statat(&at, name, AtFlags::SYMLINK_NOFOLLOW)?));
        match stat {
            Ok(stat) => Ok(FileType::from_raw_mode(stat.st_mode) == FileType::RegularFile),
            Err(DiskError::Io(error)) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn make_folder(&self, folder: &str) -> Result<bool, DiskError> {
        let (at, name) = self.parent(folder)?;
        match fs::mkdirat(&at, name, Mode::from_raw_mode(0o777)) {
            Ok(()) => Ok(true),
            Err(Errno::EXIST) => self.folder(folder).map(|_| false),
            Err(error) => {
                // A folder that is there in a read-only place is no reason to fail yet.
                self.folder(folder).map(|_| false).map_err(|_| error.into())
            }
        }
    }

    fn write_new(&self, path: &str, bytes: &[u8]) -> Result<(), DiskError> {
        let (at, name) = self.parent(path)?;
        let flags = OFlags::WRONLY | OFlags::CREATE | OFlags::EXCL | OFlags::CLOEXEC;
        let file = fs::openat(&at, name, flags, Mode::from_raw_mode(0o666))?;
        let mut file = File::from(file);
        file.write_all(bytes)?;
        Ok(file.sync_all()?)
    }

    fn place(&self, draft: &str, path: &str) -> Result<bool, DiskError> {
        let (from, draft_name) = self.parent(draft)?;
        let (to, name) = self.parent(path)?;
        if self.placing == Placing::RenameNoReplace {
            match rename_no_replace(from.as_fd(), draft_name, to.as_fd(), name) {
                Ok(()) => return Ok(true),
                Err(Errno::EXIST) => return Ok(false),
                Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => {}
                Err(error) => return Err(error.into()),
            }
        }
        if self.placing <= Placing::Link {
            match fs::linkat(&from, draft_name, &to, name, AtFlags::empty()) {
                Ok(()) => {
                    fs::unlinkat(&from, draft_name, AtFlags::empty())?;
                    return Ok(true);
                }
                Err(Errno::EXIST) => return Ok(false),
                Err(Errno::PERM | Errno::OPNOTSUPP | Errno::NOSYS | Errno::MLINK) => {}
                Err(error) => return Err(error.into()),
            }
        }
        match fs::statat(&to, name, AtFlags::SYMLINK_NOFOLLOW) {
            Ok(_) => Ok(false),
            Err(Errno::NOENT) => {
                fs::renameat(&from, draft_name, &to, name)?;
                Ok(true)
            }
            Err(error) => Err(error.into()),
        }
    }

    fn remove_file(&self, path: &str) -> Result<(), DiskError> {
        let (at, name) = self.parent(path)?;
        Ok(fs::unlinkat(&at, name, AtFlags::empty())?)
    }

    fn sync_folder(&self, folder: &str) -> Result<(), DiskError> {
        match fs::fsync(self.folder(folder)?) {
            // Some network file systems know no such thing for folders.
            Ok(()) | Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => Ok(()),
            Err(error) => Err(error.into()),
        }
    }
}

impl From<Errno> for DiskError {
    fn from(error: Errno) -> Self {
        match error {
            Errno::LOOP => Self::NotRegular("a link"),
            other => Self::Io(other.into()),
        }
    }
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn rename_no_replace(
    from: BorrowedFd<'_>,
    draft: &str,
    to: BorrowedFd<'_>,
    name: &str,
) -> Result<(), Errno> {
    fs::renameat_with(from, draft, to, name, fs::RenameFlags::NOREPLACE)
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn rename_no_replace(_: BorrowedFd<'_>, _: &str, _: BorrowedFd<'_>, _: &str) -> Result<(), Errno> {
    Err(Errno::NOSYS)
}

fn note(
    listing: &mut Listing,
    at: BorrowedFd<'_>,
    name: &CStr,
    listed: FileType,
) -> Result<(), DiskError> {
    let Ok(text) = name.to_str().map(str::to_owned) else {
        let name = readable(name.to_bytes());
        let what = StrangeKind::Name;
        listing.strange.push(Strange { name, what });
        return Ok(());
    };
    let (kind, bytes) = match listed {
        FileType::RegularFile | FileType::Unknown => {
            match fs::statat(at, name, AtFlags::SYMLINK_NOFOLLOW) {
                Ok(stat) => (
                    FileType::from_raw_mode(stat.st_mode),
                    u64::try_from(stat.st_size).unwrap_or(0),
                ),
                // Gone since it was listed.
                Err(Errno::NOENT) => return Ok(()),
                Err(error) => return Err(error.into()),
            }
        }
        kind => (kind, 0),
    };
    match kind {
        FileType::RegularFile => listing.files.push(ListedFile { name: text, bytes }),
        FileType::Directory => listing.folders.push(text),
        other => listing.strange.push(Strange {
            name: readable(text.as_bytes()),
            what: if other == FileType::Symlink {
                StrangeKind::Link
            } else {
                StrangeKind::Device
            },
        }),
    }
    Ok(())
}

fn regular(stat: &fs::Stat) -> Result<u64, DiskError> {
    match FileType::from_raw_mode(stat.st_mode) {
        FileType::RegularFile => Ok(u64::try_from(stat.st_size).unwrap_or(0)),
        FileType::Directory => Err(DiskError::NotRegular("a folder")),
        FileType::Symlink => Err(DiskError::NotRegular("a link")),
        _ => Err(DiskError::NotRegular("a pipe, socket or device")),
    }
}

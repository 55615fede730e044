//! Folders reached by path, for systems without folder handles.
//!
//! Invariant: each part of a path below the root is looked at before use and refused if it is a
//! link. A link slipped in between the look and the use is not caught here, as it is by handles.

use std::fs::{self, File, Metadata};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::{Disk, DiskError, Placing, parent_of, readable};
use crate::store::{ListedFile, Listing, Strange, StrangeKind};

pub(super) struct Paths {
    root: PathBuf,
    placing: Placing,
}

impl Paths {
    pub(super) fn open(root: &Path, placing: Placing) -> io::Result<Self> {
        if !fs::metadata(root)?.is_dir() {
            return Err(io::ErrorKind::NotADirectory.into());
        }
        Ok(Self {
            root: root.canonicalize()?,
            placing,
        })
    }

    fn folder(&self, folder: &str) -> Result<PathBuf, DiskError> {
        let mut at = self.root.clone();
        for part in folder.split('/').filter(|part| !part.is_empty()) {
            at.push(part);
            if !fs::symlink_metadata(&at)?.is_dir() {
                return Err(io::Error::from(io::ErrorKind::NotADirectory).into());
            }
        }
        Ok(at)
    }

    fn file(&self, path: &str) -> Result<PathBuf, DiskError> {
        let parent = parent_of(path);
        let name = path.get(parent.len()..).unwrap_or_default();
        Ok(self.folder(parent)?.join(name.trim_start_matches('/')))
    }
}

impl Disk for Paths {
    fn list(&self, folder: &str) -> Result<Listing, DiskError> {
        let mut listing = Listing::default();
        for entry in fs::read_dir(self.folder(folder)?)? {
            let entry = entry?;
            if listing.is_full() {
                break;
            }
            let meta = match entry.metadata() {
                Ok(meta) => meta,
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                Err(error) => return Err(error.into()),
            };
            let Some(name) = entry.file_name().to_str().map(str::to_owned) else {
                let name = readable(entry.file_name().as_encoded_bytes());
                let what = StrangeKind::Name;
                listing.strange.push(Strange { name, what });
                continue;
            };
            if meta.is_file() {
                let bytes = meta.len();
                listing.files.push(ListedFile { name, bytes });
            } else if meta.is_dir() {
                listing.folders.push(name);
            } else {
                listing.strange.push(Strange {
                    name: readable(name.as_bytes()),
                    what: if meta.is_symlink() {
                        StrangeKind::Link
                    } else {
                        StrangeKind::Device
                    },
                });
            }
        }
        listing.sort();
        Ok(listing)
    }

    fn read(&self, path: &str, at_most: u64) -> Result<Vec<u8>, DiskError> {
        let path = self.file(path)?;
        regular(&fs::symlink_metadata(&path)?)?;
        let file = File::open(&path)?;
        let bytes = regular(&file.metadata()?)?;
        if bytes > at_most {
            return Err(DiskError::TooLarge { bytes, at_most });
        }
        let mut content = Vec::with_capacity(usize::try_from(bytes).unwrap_or(0));
        file.take(at_most + 1).read_to_end(&mut content)?;
        let bytes = content.len() as u64;
        if bytes > at_most {
            return Err(DiskError::TooLarge { bytes, at_most });
        }
        Ok(content)
    }

    fn is_file(&self, path: &str) -> Result<bool, DiskError> {
        match self
            .file(path)
            .and_then(|path| Ok(fs::symlink_metadata(path)?))
        {
            Ok(meta) => Ok(meta.is_file()),
            Err(DiskError::Io(error)) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn make_folder(&self, folder: &str) -> Result<bool, DiskError> {
        match fs::create_dir(self.file(folder)?) {
            Ok(()) => Ok(true),
            Err(error) => self.folder(folder).map(|_| false).map_err(|found| {
                if error.kind() == io::ErrorKind::AlreadyExists {
                    found
                } else {
                    error.into()
                }
            }),
        }
    }

    fn write_new(&self, path: &str, bytes: &[u8]) -> Result<(), DiskError> {
        let mut file = File::create_new(self.file(path)?)?;
        file.write_all(bytes)?;
        Ok(file.sync_all()?)
    }

    fn place(&self, draft: &str, path: &str) -> Result<bool, DiskError> {
        let (draft, path) = (self.file(draft)?, self.file(path)?);
        if self.placing <= Placing::Link {
            match fs::hard_link(&draft, &path) {
                Ok(()) => {
                    fs::remove_file(&draft)?;
                    return Ok(true);
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Ok(false),
                // No hard links here: the next way says what is really wrong, if anything is.
                Err(_) => {}
            }
        }
        match fs::symlink_metadata(&path) {
            Ok(_) => Ok(false),
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                fs::rename(&draft, &path)?;
                Ok(true)
            }
            Err(error) => Err(error.into()),
        }
    }

    fn remove_file(&self, path: &str) -> Result<(), DiskError> {
        Ok(fs::remove_file(self.file(path)?)?)
    }

    fn sync_folder(&self, folder: &str) -> Result<(), DiskError> {
        let folder = self.folder(folder)?;
        // Elsewhere a folder can't be opened as a file; there the file's own sync is all there is.
        if cfg!(unix) {
            File::open(folder)?.sync_all()?;
        }
        Ok(())
    }
}

fn regular(meta: &Metadata) -> Result<u64, DiskError> {
    if meta.is_file() {
        Ok(meta.len())
    } else if meta.is_dir() {
        Err(DiskError::NotRegular("a folder"))
    } else if meta.is_symlink() {
        Err(DiskError::NotRegular("a link"))
    } else {
        Err(DiskError::NotRegular("a pipe, socket or device"))
    }
}

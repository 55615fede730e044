//! The folder of objects: `<dir>/<2 hex>/<sha256>.<ext>` for originals, derived pictures, documents.
//!
//! Invariants: a file with such a name has all its bytes and is on disk before its name is told;
//! no file is ever replaced; bytes are read back only if their hash is the name. A kept file that
//! was damaged meanwhile is moved beside the good one, never dropped. It knows no entries and does
//! not decide which objects are still wanted. The caller holds the data folder's lock.

use super::{PhotoError, hash::is_sha256_hex, sha256_hex, visible};
use crate::in_flight::all_in_flight;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{self, File},
    io::{ErrorKind, Write},
    path::{Path, PathBuf},
};

const TEMPORARY: &str = "tmp";

/// Bytes to keep and the ending of their file.
#[derive(Debug, Clone, Copy)]
pub struct Object<'a> {
    /// The content.
    pub bytes: &'a [u8],
    /// The ending without a dot: 1 to 8 of a–z and 0–9.
    pub extension: &'a str,
}

/// Where an object lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// SHA-256 of the content, 64 lower-case hex digits.
    pub sha256: String,
    /// The file.
    pub path: PathBuf,
    /// False when the same bytes were already there.
    pub new: bool,
    /// Where a damaged file of this name was moved, if there was one.
    pub set_aside: Option<PathBuf>,
}

/// Keeps one object; returns after its bytes and its name are on disk.
pub fn store(photos_dir: &Path, bytes: &[u8], extension: &str) -> Result<Stored, PhotoError> {
    let mut stored = store_batch(photos_dir, &[Object { bytes, extension }])?;
    stored.pop().ok_or_else(|| PhotoError::Missing {
        sha256: sha256_hex(bytes),
    })
}

/// Keeps several objects, four at a time, with one fsync per folder; the answer is in the order of
/// the question.
///
/// On an error, other objects may be kept: they are harmless and found again by their hash.
pub fn store_batch(photos_dir: &Path, objects: &[Object<'_>]) -> Result<Vec<Stored>, PhotoError> {
    for object in objects {
        check_extension(object.extension)?;
    }
    let hashes = all_in_flight(objects, &|object| sha256_hex(object.bytes));
    // Equal bytes have one file: two at once would find its name taken.
    let mut once: BTreeMap<&str, Object<'_>> = BTreeMap::new();
    for (sha256, object) in hashes.iter().zip(objects) {
        once.entry(sha256).or_insert(*object);
    }
    let once: Vec<(&str, Object<'_>)> = once.into_iter().collect();
    let results = all_in_flight(&once, &|(sha256, object)| {
        place(photos_dir, sha256, *object)
    });
    let mut placed = BTreeMap::new();
    let mut folders = BTreeSet::new();
    for ((sha256, _), result) in once.iter().zip(results) {
        let one = result?;
        folders.extend(one.folders);
        placed.insert(*sha256, one.stored);
    }
    let folders: Vec<PathBuf> = folders.into_iter().collect();
    all_in_flight(&folders, &|folder| sync_folder(folder))
        .into_iter()
        .collect::<Result<(), _>>()?;
    let mut stored = Vec::with_capacity(objects.len());
    for sha256 in &hashes {
        let one = placed.get_mut(sha256.as_str());
        let one = one.ok_or_else(|| PhotoError::Missing {
            sha256: sha256.clone(),
        })?;
        stored.push(one.clone());
        // What is asked for again was there already.
        one.new = false;
        one.set_aside = None;
    }
    Ok(stored)
}

/// The file of an object, whatever its ending, or `None` when it is not kept.
///
/// Only regular files count; links are not followed.
pub fn find(photos_dir: &Path, sha256: &str) -> Result<Option<PathBuf>, PhotoError> {
    let folder = folder_of(photos_dir, sha256)?;
    for extension in ["jpg", "png", "pdf"] {
        let path = folder.join(format!("{sha256}.{extension}"));
        if is_regular(&path)? {
            return Ok(Some(path));
        }
    }
    let listing = match fs::read_dir(&folder) {
        Ok(listing) => listing,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(PhotoError::file("list", &folder)(error)),
    };
    for item in listing {
        let path = item.map_err(PhotoError::file("list", &folder))?.path();
        let stem = path.file_stem().and_then(|stem| stem.to_str());
        let extension = path
            .extension()
            .and_then(|ending| ending.to_str())
            .unwrap_or_default();
        if stem == Some(sha256) && check_extension(extension).is_ok() && is_regular(&path)? {
            return Ok(Some(path));
        }
    }
    Ok(None)
}

/// Reads an object and checks that its bytes have the hash that was asked for.
pub fn read(photos_dir: &Path, sha256: &str) -> Result<Vec<u8>, PhotoError> {
    let path = find(photos_dir, sha256)?.ok_or_else(|| PhotoError::Missing {
        sha256: sha256.to_owned(),
    })?;
    let bytes = fs::read(&path).map_err(PhotoError::file("read", &path))?;
    let found = sha256_hex(&bytes);
    if found == sha256 {
        Ok(bytes)
    } else {
        Err(PhotoError::Damaged { path, found })
    }
}

/// Removes what a killed process left half-written; returns how many files went.
///
/// Call it once at opening, with the data folder's lock held: nothing there was acknowledged.
pub fn sweep_temporary(photos_dir: &Path) -> Result<usize, PhotoError> {
    let folder = photos_dir.join(TEMPORARY);
    let listing = match fs::read_dir(&folder) {
        Ok(listing) => listing,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(0),
        Err(error) => return Err(PhotoError::file("list", &folder)(error)),
    };
    let mut removed = 0;
    for item in listing {
        let path = item.map_err(PhotoError::file("list", &folder))?.path();
        if is_regular(&path)? {
            fs::remove_file(&path).map_err(PhotoError::file("remove", &path))?;
            removed += 1;
        }
    }
    Ok(removed)
}

/// An object that has its name, and the folders that are not on disk yet.
struct Placed {
    stored: Stored,
    folders: Vec<PathBuf>,
}

fn place(photos_dir: &Path, sha256: &str, object: Object<'_>) -> Result<Placed, PhotoError> {
    let folder = folder_of(photos_dir, sha256)?;
    let mut set_aside = None;
    if let Some(path) = find(photos_dir, sha256)? {
        let kept = fs::read(&path).map_err(PhotoError::file("read", &path))?;
        if kept == object.bytes {
            // The earlier act may have died between naming the file and the folder's fsync.
            let stored = Stored {
                sha256: sha256.to_owned(),
                path,
                new: false,
                set_aside,
            };
            return Ok(Placed {
                stored,
                folders: vec![folder],
            });
        }
        set_aside = Some(move_damaged(&path, sha256, &kept)?);
    }
    let temporary = write_temporary(photos_dir, sha256, object.bytes)?;
    let mut folders = Vec::new();
    if !folder.is_dir() {
        fs::create_dir_all(&folder).map_err(PhotoError::file("create", &folder))?;
        folders.push(photos_dir.to_path_buf());
    }
    let path = folder.join(format!("{sha256}.{}", object.extension));
    rename_new(&temporary, &path)?;
    folders.push(folder);
    let stored = Stored {
        sha256: sha256.to_owned(),
        path,
        new: true,
        set_aside,
    };
    Ok(Placed { stored, folders })
}

fn write_temporary(photos_dir: &Path, sha256: &str, bytes: &[u8]) -> Result<PathBuf, PhotoError> {
    let folder = photos_dir.join(TEMPORARY);
    fs::create_dir_all(&folder).map_err(PhotoError::file("create", &folder))?;
    let mut last = None;
    for attempt in 0..1000_u32 {
        let path = folder.join(format!("{sha256}-{}-{attempt}", std::process::id()));
        let mut file = match File::options().write(true).create_new(true).open(&path) {
            Ok(file) => file,
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                last = Some(error);
                continue;
            }
            Err(error) => return Err(PhotoError::file("create", &path)(error)),
        };
        let written = file.write_all(bytes).and_then(|()| file.sync_all());
        return match written {
            Ok(()) => Ok(path),
            Err(error) => {
                // On a full disk the half-written file is what stands in the way.
                drop(fs::remove_file(&path));
                Err(PhotoError::file("write", &path)(error))
            }
        };
    }
    let error = last.unwrap_or_else(|| ErrorKind::AlreadyExists.into());
    Err(PhotoError::file("create a new file in", &folder)(error))
}

/// Gives the file its name without ever replacing another.
///
/// A hard link refuses an existing name in one step; where links are missing (exFAT, phones'
/// shared storage) the data folder's lock makes check-then-rename enough.
fn rename_new(temporary: &Path, path: &Path) -> Result<(), PhotoError> {
    let taken = match fs::hard_link(temporary, path) {
        Ok(()) => {
            return fs::remove_file(temporary).map_err(PhotoError::file("remove", temporary));
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Some(error),
        Err(_) => match fs::symlink_metadata(path) {
            Ok(_) => Some(ErrorKind::AlreadyExists.into()),
            Err(_) => None,
        },
    };
    let result = match taken {
        Some(error) => Err(error),
        None => fs::rename(temporary, path),
    };
    result.map_err(|error| {
        drop(fs::remove_file(temporary));
        PhotoError::file("name", path)(error)
    })
}

fn move_damaged(path: &Path, sha256: &str, kept: &[u8]) -> Result<PathBuf, PhotoError> {
    let own: String = sha256_hex(kept).chars().take(16).collect();
    let aside = path.with_file_name(format!("{sha256}.damaged-{own}"));
    fs::rename(path, &aside).map_err(PhotoError::file("set aside", path))?;
    Ok(aside)
}

fn folder_of(photos_dir: &Path, sha256: &str) -> Result<PathBuf, PhotoError> {
    match sha256.get(..2) {
        Some(two) if is_sha256_hex(sha256) => Ok(photos_dir.join(two)),
        _ => Err(PhotoError::BadHash {
            given: visible(sha256, 80),
        }),
    }
}

fn check_extension(extension: &str) -> Result<(), PhotoError> {
    let fits = (1..=8).contains(&extension.len())
        && extension
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    if fits {
        Ok(())
    } else {
        Err(PhotoError::BadExtension {
            given: visible(extension, 40),
        })
    }
}

fn is_regular(path: &Path) -> Result<bool, PhotoError> {
    match fs::symlink_metadata(path) {
        Ok(about) => Ok(about.is_file()),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(false),
        Err(error) => Err(PhotoError::file("look at", path)(error)),
    }
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> Result<(), PhotoError> {
    File::open(folder)
        .and_then(|open| open.sync_all())
        .map_err(PhotoError::file("sync", folder))
}

/// Only Unix lets a folder be opened for fsync; elsewhere the system orders names itself.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> Result<(), PhotoError> {
    Ok(())
}

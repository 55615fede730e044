//! Pictures and documents: those that are here have their bytes, and nothing of this device is gone.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use super::books::Books;
use super::{Fault, FaultKind, OnProgress, Summary, tell};
use crate::ids::{DeviceId, Hash};

/// What entries say of an object: its length, and whether this device took it in.
struct Vouched {
    bytes: u64,
    own: bool,
}

/// Checks every object that is here against its name, and its length against its entries.
pub(super) fn check(
    dir: &Path,
    own: Option<DeviceId>,
    books: &Books,
    summary: &mut Summary,
    on: &OnProgress<'_>,
) -> Result<(), Fault> {
    let vouched = vouched(own, books);
    let found = list(&dir.join("photos"), summary)?;
    let of = found.len();
    let mut here = BTreeSet::new();
    for (done, (hash, path)) in found.into_iter().enumerate() {
        tell(on, "pictures and documents", done, of)?;
        let place = place_of(&path);
        let bytes = fs::read(&path).map_err(|e| Fault::unreadable(&place, &e))?;
        if Hash::of(&bytes) != hash {
            return Err(Fault::new(
                FaultKind::ObjectDamaged,
                place,
                "its bytes are not those of its name: it was changed or damaged",
                "move the file away and exchange with the shared folder, or add the same picture \
                 again; the record itself is not touched by this",
            ));
        }
        if let Some(told) = vouched
            .get(&hash)
            .filter(|told| told.bytes != bytes.len() as u64)
        {
            return Err(Fault::new(
                FaultKind::ObjectLength,
                place,
                format!(
                    "it has {} bytes, and its entry tells of {}",
                    bytes.len(),
                    told.bytes
                ),
                "the entry was made by a faulty program; report it, and rely on the picture's hash",
            ));
        }
        summary.objects += 1;
        summary.object_bytes += bytes.len() as u64;
        here.insert(hash);
    }
    for (hash, told) in vouched.iter().filter(|(hash, _)| !here.contains(*hash)) {
        if told.own {
            return Err(Fault::new(
                FaultKind::ObjectMissing,
                format!("photos/{}", object_name(hash)),
                "this device took it in, and it is not here",
                "exchange with the shared folder, or add the same picture again",
            ));
        }
        summary.awaited += 1;
    }
    Ok(())
}

fn vouched(own: Option<DeviceId>, books: &Books) -> BTreeMap<Hash, Vouched> {
    let mut vouched: BTreeMap<Hash, Vouched> = BTreeMap::new();
    for book in &books.books {
        let counting = book.view.ids().filter(|id| book.view.counts(id));
        for entry in counting.filter_map(|id| book.view.entry(id)) {
            let by_own = Some(entry.body.device) == own;
            for file in &entry.body.files {
                let told = Vouched {
                    bytes: file.bytes,
                    own: by_own,
                };
                let known = vouched.entry(file.sha256).or_insert(told);
                known.own |= by_own;
            }
        }
    }
    vouched
}

/// Objects by their names; everything else is counted and never opened.
fn list(photos: &Path, summary: &mut Summary) -> Result<BTreeMap<Hash, PathBuf>, Fault> {
    let mut found = BTreeMap::new();
    for (name, path, is_dir) in names(photos)? {
        let two_hex =
            name.len() == 2 && name.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        if !is_dir || !two_hex {
            summary.strange += u64::from(name != "tmp");
            continue;
        }
        for (file, path, is_dir) in names(&path)? {
            let plain = fs::symlink_metadata(&path).is_ok_and(|about| about.is_file());
            let hash = file
                .split_once('.')
                .filter(|(stem, ending)| stem.starts_with(&name) && !ending.contains(['.', '-']))
                .and_then(|(stem, _)| stem.parse::<Hash>().ok());
            match hash {
                Some(hash) if plain && !is_dir => {
                    found.insert(hash, path);
                }
                _ => summary.strange += 1,
            }
        }
    }
    Ok(found)
}

fn names(dir: &Path) -> Result<Vec<(String, PathBuf, bool)>, Fault> {
    let place = place_of(dir);
    let listing = match fs::read_dir(dir) {
        Ok(listing) => listing,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(Fault::unreadable(&place, &e)),
    };
    let mut found = Vec::new();
    for item in listing {
        let item = item.map_err(|e| Fault::unreadable(&place, &e))?;
        let is_dir = item.file_type().is_ok_and(|kind| kind.is_dir());
        found.push((
            item.file_name().to_string_lossy().into_owned(),
            item.path(),
            is_dir,
        ));
    }
    Ok(found)
}

fn object_name(hash: &Hash) -> String {
    let hash = hash.to_string();
    format!("{}/{hash}", hash.get(..2).unwrap_or_default())
}

fn place_of(path: &Path) -> String {
    let parts: Vec<String> = path
        .iter()
        .rev()
        .take(3)
        .map(|part| crate::photos::visible(&part.to_string_lossy(), 120))
        .collect();
    let from = parts
        .iter()
        .position(|part| part == "photos")
        .unwrap_or(parts.len().saturating_sub(1));
    let mut parts: Vec<String> = parts.into_iter().take(from + 1).collect();
    parts.reverse();
    parts.join("/")
}

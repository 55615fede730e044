//! Pictures and documents in the folder: each has the bytes of its name.

use std::collections::{BTreeMap, BTreeSet};

use records::book::BookView;
use records::ids::Hash;

use super::{
    FolderFault, FolderFaultKind, Known, MAKER, NOBODYS, OnProgress, Verified, fault, tell,
    unreadable,
};
use crate::look::look_objects;
use crate::name::{self, ObjectName, object_folder};
use crate::plan::MAX_OBJECT;
use crate::store::{SharedStore, list_or_empty};

/// Reads every object once and holds it to its name and to the entries that vouch for it.
pub(super) fn check(
    store: &dyn SharedStore,
    books: &[BookView],
    known: &Known,
    found: &mut Verified,
    on: &OnProgress<'_>,
) -> Result<(), FolderFault> {
    let vouched = vouched(books);
    let folders = folders(store, found)?;
    let stems: Vec<&str> = folders.iter().map(String::as_str).collect();
    let seen = look_objects(store, stems.into_iter(), &|_| false, &|| false)
        .map_err(|error| unreadable(name::PHOTOS, &error))?;
    if let Some(error) = seen.faults.first() {
        return Err(unreadable(name::PHOTOS, error));
    }
    found.others.join(seen.others);
    let of = seen.objects.len();
    let mut here = BTreeSet::new();
    for (done, (sha256, mut files)) in seen.objects.into_iter().enumerate() {
        tell(on, "pictures and documents", done, of)?;
        // The proper name before its copies and its second file.
        files.sort_by_key(|(path, _)| (!is_proper(path), path.clone()));
        let Ok(hash) = sha256.parse::<Hash>() else {
            continue;
        };
        let whole = whole(store, &hash, &files, found);
        let bytes = whole.map_err(|fault| match vouched.contains_key(&hash) {
            true => fault,
            false => FolderFault {
                advice: NOBODYS.to_owned(),
                ..fault
            },
        })?;
        match vouched.get(&hash) {
            Some(told) if *told != bytes => {
                let path = files
                    .first()
                    .map_or(name::PHOTOS, |(path, _)| path.as_str());
                let what = format!("it has {bytes} bytes, and its entry tells of {told}");
                let advice = "the entry was made by a faulty program; rely on the hash alone";
                return Err(fault(FolderFaultKind::ObjectLength, path, what, advice));
            }
            Some(_) => {}
            None => found.unvouched += 1,
        }
        found.objects += 1;
        found.object_bytes += bytes;
        here.insert(hash);
    }
    let away = || vouched.keys().filter(|hash| !here.contains(*hash));
    // What lay there once is not awaited: somebody took it away.
    if let Some(gone) = away().find(|hash| known.objects.contains(*hash)) {
        let path = object_folder(&gone.to_string());
        let what = format!("the picture or document {gone} lay here and is gone");
        return Err(fault(FolderFaultKind::ObjectMissing, &path, what, MAKER));
    }
    found.awaited = away().count() as u64;
    Ok(())
}

/// The length of the first file with the right bytes.
fn whole(
    store: &dyn SharedStore,
    hash: &Hash,
    files: &[(String, u64)],
    found: &mut Verified,
) -> Result<u64, FolderFault> {
    let mut damaged = None;
    let mut what = "its bytes are not those of its name: it was cut, changed or swapped".to_owned();
    for (path, bytes) in files {
        if *bytes > MAX_OBJECT {
            if damaged.is_none() {
                what = format!("{bytes} bytes; no picture or document is that large");
            }
            damaged = damaged.or(Some(path));
            continue;
        }
        let content = store
            .get(path, *bytes)
            .map_err(|error| unreadable(path, &error))?;
        let own_folder = path.starts_with(&format!("{}/", object_folder(&hash.to_string())));
        if Hash::of(&content) == *hash && own_folder {
            found.repaired += u64::from(damaged.is_some());
            return Ok(content.len() as u64);
        }
        damaged = damaged.or(Some(path));
    }
    let path = damaged.map_or(name::PHOTOS, String::as_str);
    Err(fault(FolderFaultKind::ObjectDamaged, path, what, MAKER))
}

fn is_proper(path: &str) -> bool {
    let file = path.rsplit('/').next().unwrap_or_default();
    ObjectName::parse(file).is_some_and(|name| name.path() == path)
}

/// Names that stand for the folders `photos/xx`, in the form in which objects are looked for.
fn folders(store: &dyn SharedStore, found: &mut Verified) -> Result<Vec<String>, FolderFault> {
    let listing =
        list_or_empty(store, name::PHOTOS).map_err(|error| unreadable(name::PHOTOS, &error))?;
    let (ours, others): (Vec<String>, Vec<String>) = listing
        .folders
        .iter()
        .cloned()
        .partition(|folder| name::is_hex(folder, 2));
    if ours.is_empty() {
        // Otherwise these are counted where the objects are listed.
        found.others.add_all(name::PHOTOS, others.iter());
        found.others.add_all(name::PHOTOS, listing.no_folders());
    }
    Ok(ours)
}

fn vouched(books: &[BookView]) -> BTreeMap<Hash, u64> {
    let mut vouched = BTreeMap::new();
    for view in books {
        for entry in view.proven() {
            vouched.extend(
                entry
                    .body
                    .files
                    .iter()
                    .map(|file| (file.sha256, file.bytes)),
            );
        }
    }
    vouched
}

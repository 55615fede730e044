//! Looking at the folder: listings turned into what a plan needs.
//!
//! Invariant: only names and sizes are read here, never a file. What can't be listed is told and
//! does not stop the rest. One file past 400 lines, since listings of logs and of pictures are read by
//! the same rules.

use std::collections::{BTreeMap, BTreeSet};

use crate::error::SyncError;
use crate::name::{self, ObjectName, SegmentName};
use crate::others::Others;
use crate::plan::{
    KnownLog, SeenLog, SeenObjects, SeenSegment, goes_on, has_older_gaps, newest_shard,
    older_with_gaps,
};
use crate::store::{Listing, SharedStore, in_flight, list_or_empty};

/// How many folders of a stranger's log are counted, and how many strangers.
const MOST_COUNTED: usize = 64;

/// How much of each log to list; of its own, a device lists all that it wrote.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// The newest folder, what follows it, and older ones with a number missing.
    Newest,
    /// Every folder, to find what was added behind; and what this device published or holds is
    /// read and held to its hash, to find damage that shows in no length.
    Everything,
}

/// The devices that a folder shows, admitted or not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Devices {
    /// Those with a card.
    pub(crate) cards: BTreeSet<String>,
    /// Those with a log.
    pub(crate) logs: BTreeSet<String>,
    /// Names that are none of ours.
    pub(crate) others: Others,
}

/// The names at the top of a shared folder that are none of ours.
pub(crate) fn look_top(store: &dyn SharedStore) -> Result<Others, SyncError> {
    let listing = store.list("")?;
    let folders = [name::DEVICES, name::LOG, name::PHOTOS, name::TMP];
    let files = [name::FOUNDING, name::README];
    let mut others = Others::default();
    let of_folders = listing.folders.iter();
    others.add_all("", of_folders.filter(|f| !folders.contains(&f.as_str())));
    let of_the_rest = listing.no_folders();
    others.add_all("", of_the_rest.filter(|f| !files.contains(&f.as_str())));
    Ok(others)
}

pub(crate) fn look_devices(store: &dyn SharedStore) -> Result<Devices, SyncError> {
    let cards = list_or_empty(store, name::DEVICES)?;
    let logs = list_or_empty(store, name::LOG)?;
    let mut devices = Devices::default();
    for file in &cards.files {
        match name::parse_device(&file.name) {
            Some(device) => {
                devices.cards.insert(device.to_owned());
            }
            None => devices.others.add(name::DEVICES, &file.name),
        }
    }
    for folder in &logs.folders {
        if name::is_id(folder) {
            devices.logs.insert(folder.clone());
        } else {
            devices.others.add(name::LOG, folder);
        }
    }
    devices.others.add_all(name::DEVICES, cards.no_files());
    devices.others.add_all(name::LOG, logs.no_folders());
    Ok(devices)
}

/// Lists what is needed of one device's log, and the folders named besides.
pub(crate) fn look_log(
    store: &dyn SharedStore,
    device: &str,
    known: &KnownLog,
    kept: &dyn Fn(&str) -> bool,
    depth: Depth,
    also: BTreeSet<u32>,
) -> Result<SeenLog, SyncError> {
    let mut seen = SeenLog::default();
    let mut to_list = also;
    to_list.insert(newest_shard(known));
    if depth == Depth::Everything || has_older_gaps(known, kept) {
        let folder = name::log_folder(device);
        let listing = list_or_empty(store, &folder)?;
        seen.others.add_all(&folder, listing.no_folders());
        let folders = listing.folders;
        let no_shard = |name: &&String| name::parse_shard(name).is_none();
        seen.others
            .add_all(&folder, folders.iter().filter(no_shard));
        let there = folders.iter().filter_map(|name| name::parse_shard(name));
        let there: BTreeSet<u32> = there.collect();
        to_list.extend(match depth {
            Depth::Everything => there,
            Depth::Newest => older_with_gaps(known, kept, &there),
        });
    }
    while let Some(shard) = to_list.pop_first() {
        if !seen.listed.insert(shard) {
            continue;
        }
        let listing = list_or_empty(store, &name::shard_folder(device, shard))?;
        let before = seen.segments.len();
        read_shard(&mut seen, device, shard, &listing);
        let here = seen.segments.get(before..).unwrap_or_default();
        if goes_on(shard, here, known, kept) {
            to_list.insert(shard + 1);
        }
    }
    Ok(seen)
}

fn read_shard(seen: &mut SeenLog, device: &str, shard: u32, listing: &Listing) {
    let folder = name::shard_folder(device, shard);
    seen.cut |= listing.cut;
    seen.others.add_all(&folder, listing.no_files());
    seen.in_the_way.extend(no_files(&folder, listing));
    for file in &listing.files {
        let exact = SegmentName::parse(device, &file.name);
        let name = exact.or_else(|| SegmentName::parse_copy(device, &file.name));
        // A number in a folder that is not its own is nobody's: we never put one there.
        match name.filter(|name| name::shard_of(name.no) == shard) {
            Some(name) => seen.segments.push(SeenSegment {
                name,
                path: format!("{folder}/{}", file.name),
                bytes: file.bytes,
            }),
            None => seen.others.add(&folder, &file.name),
        }
    }
}

/// Counts the segments of devices that were not admitted; at least so many there are.
pub(crate) fn count_strangers(
    store: &dyn SharedStore,
    devices: &Devices,
    admitted: &dyn Fn(&str) -> bool,
) -> Result<BTreeMap<String, u64>, SyncError> {
    let mut counts = BTreeMap::new();
    let all = devices.cards.union(&devices.logs);
    for device in all.filter(|device| !admitted(device)).take(MOST_COUNTED) {
        let shards = list_or_empty(store, &name::log_folder(device))?.folders;
        let shards = shards.iter().filter_map(|folder| name::parse_shard(folder));
        let mut count = 0;
        for shard in shards.take(MOST_COUNTED) {
            let files = list_or_empty(store, &name::shard_folder(device, shard))?.files;
            let ours = |name: &str| SegmentName::parse(device, name).is_some();
            count += files.iter().filter(|file| ours(&file.name)).count() as u64;
        }
        counts.insert(device.clone(), count);
    }
    Ok(counts)
}

/// What the folder shows of pictures and documents.
#[derive(Debug, Default)]
pub(crate) struct SeenPhotos {
    pub(crate) objects: SeenObjects,
    pub(crate) others: Others,
    /// Where a folder, a link or a device stands: nothing can be written there.
    pub(crate) in_the_way: BTreeSet<String>,
    pub(crate) faults: Vec<SyncError>,
    /// Folders of which nothing is known because they could not be listed.
    pub(crate) unlisted: BTreeSet<String>,
    /// Folders that were wanted, there or not.
    pub(crate) listed: BTreeSet<String>,
    folders: BTreeSet<String>,
}

impl SeenPhotos {
    /// Whether this folder was seen, listed or not.
    pub(crate) fn there(&self, folder: &str) -> bool {
        self.folders.contains(folder)
    }
}

/// Lists the folders in which objects with these hashes lie, four at a time.
///
/// Those that are `settled` need no listing; that their folders are there is seen all the same.
pub(crate) fn look_objects<'a>(
    store: &dyn SharedStore,
    hashes: impl Iterator<Item = &'a str>,
    settled: &dyn Fn(&str) -> bool,
    stop: &(dyn Fn() -> bool + Sync),
) -> Result<SeenPhotos, SyncError> {
    let mut seen = SeenPhotos::default();
    let mut hashes = hashes.peekable();
    if hashes.peek().is_none() {
        return Ok(seen);
    }
    let open = hashes.filter(|hash| !settled(hash));
    let wanted: BTreeSet<String> = open.map(name::object_folder).collect();
    let top = list_or_empty(store, name::PHOTOS)?;
    seen.others.add_all(name::PHOTOS, top.no_folders());
    let others = top.folders.iter().filter(|folder| !name::is_hex(folder, 2));
    seen.others.add_all(name::PHOTOS, others);
    let folders = top.folders.iter();
    seen.folders = folders
        .map(|folder| format!("{}/{folder}", name::PHOTOS))
        .collect();
    let there: Vec<String> = seen.folders.intersection(&wanted).cloned().collect();
    seen.listed = wanted;
    let listings = in_flight(&there, stop, &|folder: &String| {
        list_or_empty(store, folder)
    });
    for (folder, listing) in there.into_iter().zip(listings) {
        match listing {
            Some(Ok(listing)) => read_objects(&mut seen, &folder, &listing),
            Some(Err(error)) => {
                seen.faults.push(error);
                seen.unlisted.insert(folder);
            }
            None => {
                seen.unlisted.insert(folder);
            }
        }
    }
    // Something else stands where a folder should be: nothing can be read or written behind it.
    for other in top.no_folders() {
        seen.unlisted.insert(format!("{}/{other}", name::PHOTOS));
    }
    Ok(seen)
}

fn read_objects(seen: &mut SeenPhotos, folder: &str, listing: &Listing) {
    seen.others.add_all(folder, listing.no_files());
    seen.in_the_way.extend(no_files(folder, listing));
    for file in &listing.files {
        let exact = ObjectName::parse(&file.name).map(|name| name.sha256);
        match exact.or_else(|| ObjectName::parse_copy(&file.name)) {
            Some(sha256) => seen
                .objects
                .entry(sha256)
                .or_default()
                .push((format!("{folder}/{}", file.name), file.bytes)),
            None => seen.others.add(folder, &file.name),
        }
    }
}

/// The paths at which something stands that is no file.
fn no_files(folder: &str, listing: &Listing) -> impl Iterator<Item = String> {
    let names = listing.no_files();
    names.map(move |name| format!("{folder}/{name}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::StrangeKind;
    use crate::testing::{Faulty, MemoryStore};

    const ANN: &str = "annaaaaaaaaaaaaaaaaaaaaaa2";
    const BEN: &str = "benaaaaaaaaaaaaaaaaaaaaaa2";
    const BOOK: &str = "deckaaaaaaaaaaaaaaaaaaaaaa";

    fn segment(device: &str, no: u32) -> SegmentName {
        SegmentName {
            device: device.into(),
            no,
            book: BOOK.into(),
            hash: "a".repeat(32),
        }
    }

    fn known(numbers: impl IntoIterator<Item = u32>) -> KnownLog {
        KnownLog {
            taken: numbers.into_iter().map(|no| (no, "a".repeat(32))).collect(),
            ..KnownLog::default()
        }
    }

    fn numbers(seen: &SeenLog) -> Vec<u32> {
        seen.segments
            .iter()
            .map(|segment| segment.name.no)
            .collect()
    }

    #[test]
    fn a_log_of_three_folders_is_found_from_nothing() {
        let store = MemoryStore::default();
        for no in 1..=150 {
            store.place(&segment(BEN, no).path(), b"x");
        }
        let stray = SegmentName {
            no: name::LAST_NO,
            ..segment(BEN, 1)
        };
        store.place(&format!("log/{BEN}/000000/{}", stray.file()), b"");
        let store = Faulty::new(store);
        let seen = look_log(
            &store,
            BEN,
            &known([]),
            &|_| true,
            Depth::Newest,
            BTreeSet::new(),
        )
        .unwrap();
        assert_eq!(numbers(&seen), (1..=150).collect::<Vec<_>>());
        assert_eq!((store.calls().lists, seen.others.unknown), (3, 1));
        store.fail_at(0);
        let seen = look_log(
            &store,
            BEN,
            &known(1..=150),
            &|_| true,
            Depth::Newest,
            BTreeSet::new(),
        )
        .unwrap();
        assert_eq!(numbers(&seen), (128..=150).collect::<Vec<_>>());
        assert_eq!(store.calls().lists, 1);
        let all = look_log(
            &store,
            BEN,
            &known(1..=150),
            &|_| true,
            Depth::Everything,
            BTreeSet::new(),
        )
        .unwrap();
        assert_eq!(all.segments.len(), 150);
    }

    #[test]
    fn strange_things_in_a_log_are_counted_and_copies_are_kept_as_a_second_chance() {
        let store = MemoryStore::default();
        let path = segment(BEN, 1).path();
        store.place(&path, b"x");
        store.place(
            &path.replace(".seg", ".sync-conflict-20260101-120000-AB.seg"),
            b"x",
        );
        store.place(&format!("log/{BEN}/000000/notes.txt"), b"x");
        store.place_folder(&format!("log/{BEN}/000000/folder"));
        store.place_strange(&format!("log/{BEN}/000000/link.seg"), StrangeKind::Link);
        let seen = look_log(
            &store,
            BEN,
            &known([]),
            &|_| true,
            Depth::Newest,
            BTreeSet::new(),
        )
        .unwrap();
        assert_eq!((numbers(&seen), seen.others.unknown), (vec![1, 1], 3));
    }

    #[test]
    fn top_and_devices_are_told_apart_from_strange_files() {
        let store = MemoryStore::default();
        for path in [
            "tautbook.json",
            "README.txt",
            ".stfolder/x",
            "desktop.ini",
            "log/notes.txt",
        ] {
            store.place(path, b"x");
        }
        store.place(&name::device_path(ANN), b"{}");
        store.place("devices/who.json", b"{}");
        store.place(&segment(ANN, 1).path(), b"x");
        store.place(&segment(BEN, 1).path(), b"x");
        store.place(&segment(BEN, 2).path(), b"x");
        store.place_folder("log/UPPER");
        assert_eq!(look_top(&store).unwrap().unknown, 2);
        let devices = look_devices(&store).unwrap();
        assert_eq!(devices.cards, BTreeSet::from([ANN.to_owned()]));
        assert_eq!(
            devices.logs,
            BTreeSet::from([ANN.to_owned(), BEN.to_owned()])
        );
        assert_eq!(devices.others.unknown, 3);
        let strangers = count_strangers(&store, &devices, &|device| device == ANN).unwrap();
        assert_eq!(strangers, BTreeMap::from([(BEN.to_owned(), 2)]));
    }

    #[test]
    fn objects_are_listed_only_where_some_are_wanted() {
        let store = MemoryStore::default();
        let (one, two) = ("aa".repeat(32), "bb".repeat(32));
        store.place(&format!("photos/aa/{one}.jpg"), b"xyz");
        store.place(&format!("photos/aa/{one}.sync-conflict-1.jpg"), b"x");
        store.place("photos/aa/holiday.jpg", b"x");
        store.place(&format!("photos/bb/{two}.jpg"), b"x");
        let store = Faulty::new(store);
        let seen = look_objects(&store, [one.as_str()].into_iter(), &|_| false, &|| false).unwrap();
        assert_eq!(store.calls().lists, 2);
        assert_eq!(seen.objects.len(), 1);
        assert_eq!(seen.objects[&one].len(), 2);
        assert_eq!(seen.others.unknown, 1);
        store.fail_at(2);
        let seen = look_objects(&store, [one.as_str()].into_iter(), &|_| false, &|| false).unwrap();
        assert_eq!((seen.faults.len(), seen.unlisted.len()), (1, 1));
        // What is known to lie there costs one listing of all folders, and none of its own.
        store.fail_at(0);
        let seen = look_objects(&store, [one.as_str()].into_iter(), &|_| true, &|| false).unwrap();
        assert_eq!((store.calls().lists, seen.objects.len()), (1, 0));
        assert!(seen.there("photos/aa") && !seen.there("photos/cc"));
    }
}

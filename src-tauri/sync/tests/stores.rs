//! One suite for every store: what each must do whatever a shared folder holds.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod worlds;

use std::sync::Barrier;

use sync::{Put, SharedStore, StrangeKind, SyncError};
use worlds::World;

const LOG: &str = "log/abcdefghijklmnopqrstuvwxy2/000000";
const CAP: u64 = 1 << 20;

type Case = fn(&dyn World);

fn suite(new: impl Fn() -> Box<dyn World>) {
    let cases: &[(&str, Case)] = &[
        ("a new file is there whole and stays", new_file),
        ("a file may be empty", empty_file),
        ("what is missing is not found", missing),
        ("bad names are not written", bad_names),
        ("no read leaves the folder", reads_stay_inside),
        ("strange names are listed and can be read", strange_names),
        ("a link is never followed to a file", link_to_file),
        ("a link is never followed as a folder", link_as_folder),
        ("a pipe is never opened", pipe),
        ("a folder where a file should be", folder_for_file),
        ("a file where a folder should be", file_for_folder),
        ("more than was asked for is not read", too_large),
        ("a cut file stays as it is", cut_file),
        ("thousands of names", many_names),
        ("several write the same name at once", same_name_at_once),
        ("a read-only folder is read and not written", read_only),
        ("making durable twice", settle_twice),
    ];
    for (what, case) in cases {
        let world = new();
        println!("{what}");
        case(world.as_ref());
        assert_eq!(world.drafts(), 0, "{what}: drafts left behind");
    }
}

#[test]
fn memory() {
    suite(|| Box::new(worlds::Memory::default()));
}

#[cfg(unix)]
mod folder {
    use super::*;
    use sync::{Placing, Reach};

    #[test]
    fn by_handles_rename_no_replace() {
        suite(|| {
            Box::new(worlds::Folder::new(
                Reach::Handles,
                Placing::RenameNoReplace,
            ))
        });
    }

    #[test]
    fn by_handles_link() {
        suite(|| Box::new(worlds::Folder::new(Reach::Handles, Placing::Link)));
    }

    #[test]
    fn by_handles_check_then_rename() {
        suite(|| {
            Box::new(worlds::Folder::new(
                Reach::Handles,
                Placing::CheckThenRename,
            ))
        });
    }

    #[test]
    fn by_paths_link() {
        suite(|| Box::new(worlds::Folder::new(Reach::Paths, Placing::Link)));
    }

    #[test]
    fn by_paths_check_then_rename() {
        suite(|| Box::new(worlds::Folder::new(Reach::Paths, Placing::CheckThenRename)));
    }
}

#[track_caller]
fn assert_permanent<T: std::fmt::Debug>(result: Result<T, SyncError>) {
    match result {
        Err(SyncError::Permanent { .. }) => {}
        other => panic!("expected a permanent error, got {other:?}"),
    }
}

fn names(store: &dyn SharedStore, folder: &str) -> Vec<String> {
    let files = store.list(folder).unwrap().files;
    files.into_iter().map(|file| file.name).collect()
}

fn new_file(world: &dyn World) {
    let store = world.store();
    let path = format!("{LOG}/a.seg");
    assert!(!store.exists(&path).unwrap());
    assert_eq!(store.put_new(&path, b"one").unwrap(), Put::Created);
    assert!(store.exists(&path).unwrap());
    assert_eq!(store.get(&path, CAP).unwrap(), b"one");
    assert_eq!(store.put_new(&path, b"one").unwrap(), Put::AlreadyThere);
    assert_eq!(store.put_new(&path, b"two").unwrap(), Put::Different);
    assert_eq!(store.put_new(&path, b"longer").unwrap(), Put::Different);
    assert_eq!(store.get(&path, CAP).unwrap(), b"one");
    let listing = store.list(LOG).unwrap();
    assert_eq!((listing.files.len(), listing.files[0].bytes), (1, 3));
    assert_eq!(
        store.list("log").unwrap().folders,
        ["abcdefghijklmnopqrstuvwxy2"]
    );
    store.put_new("README.txt", b"for people").unwrap();
    assert_eq!(names(store, ""), ["README.txt"]);
    store.settle().unwrap();
}

fn empty_file(world: &dyn World) {
    let store = world.store();
    assert_eq!(store.put_new("a/b.seg", b"").unwrap(), Put::Created);
    assert_eq!(store.get("a/b.seg", 0).unwrap(), b"");
    assert_eq!(store.put_new("a/b.seg", b"x").unwrap(), Put::Different);
    assert_eq!(store.list("a").unwrap().files[0].bytes, 0);
}

fn missing(world: &dyn World) {
    let store = world.store();
    assert!(store.list("log").unwrap_err().is_not_found());
    assert!(store.get("log/a", CAP).unwrap_err().is_not_found());
    assert!(!store.exists("log/a").unwrap());
    assert_eq!(store.list("").unwrap().files, []);
    store.put_new("log/a", b"").unwrap();
    world.remove("log");
    assert!(store.list("log").unwrap_err().is_not_found());
    assert_eq!(store.put_new("log/a", b"").unwrap(), Put::Created);
}

fn bad_names(world: &dyn World) {
    let store = world.store();
    let long = "a".repeat(100);
    for bad in [
        "", "/a", "a/", "a//b", ".", "..", "../a", "a/../b", "Upper", "a.b.c", "a b", "ä", "a\\b",
        "c:a", "a\0b", "a\nb", ".hidden", &long,
    ] {
        assert_permanent(store.put_new(bad, b"x"));
    }
    let listing = store.list("").unwrap();
    assert!(listing.files.is_empty() && listing.folders.is_empty());
}

fn reads_stay_inside(world: &dyn World) {
    let store = world.store();
    for bad in [
        "../outside",
        "a/../../outside",
        "/etc/hostname",
        "a\0b",
        "a\\..\\b",
    ] {
        assert_permanent(store.get(bad, CAP));
        assert_permanent(store.exists(bad));
    }
    assert_permanent(store.list(".."));
    assert_permanent(store.list("/"));
}

fn strange_names(world: &dyn World) {
    let strange = [
        "00000001-x.sync-conflict-20260101-120000-ABCDEFG.seg",
        "UPPER.SEG",
        "a (conflicted copy).seg",
        "ä.seg",
    ];
    for name in strange {
        world.place(&format!("log/{name}"), name.as_bytes());
    }
    assert_eq!(names(world.store(), "log"), strange);
    for name in strange {
        let read = world.store().get(&format!("log/{name}"), CAP).unwrap();
        assert_eq!(read, name.as_bytes());
    }
    if world.place_name_that_is_no_text("log") {
        let listing = world.store().list("log").unwrap();
        assert_eq!(listing.files.len(), strange.len());
        assert_eq!(listing.strange[0].what, StrangeKind::Name);
    }
}

fn link_to_file(world: &dyn World) {
    world.place_link_to_outside_file("log/a.seg");
    let store = world.store();
    let listing = store.list("log").unwrap();
    assert_eq!(
        (listing.files.len(), listing.strange[0].what),
        (0, StrangeKind::Link)
    );
    assert!(!store.exists("log/a.seg").unwrap());
    assert_permanent(store.get("log/a.seg", CAP));
    assert_permanent(store.put_new("log/a.seg", b"x"));
    world.assert_outside_untouched();
}

fn link_as_folder(world: &dyn World) {
    world.place_link_to_outside_folder("log");
    let store = world.store();
    assert_eq!(store.list("").unwrap().strange[0].what, StrangeKind::Link);
    assert_permanent(store.list("log"));
    assert_permanent(store.get("log/secret", CAP));
    assert_permanent(store.exists("log/secret"));
    assert_permanent(store.put_new("log/new", b"x"));
    assert_permanent(store.put_new("log/deeper/new", b"x"));
    world.assert_outside_untouched();
}

fn pipe(world: &dyn World) {
    world.place_pipe("log/a.seg");
    let store = world.store();
    assert_eq!(
        store.list("log").unwrap().strange[0].what,
        StrangeKind::Device
    );
    assert!(!store.exists("log/a.seg").unwrap());
    assert_permanent(store.get("log/a.seg", CAP));
    assert_permanent(store.put_new("log/a.seg", b"x"));
    assert_permanent(store.list("log/a.seg"));
}

fn folder_for_file(world: &dyn World) {
    world.place_folder("log/a.seg");
    let store = world.store();
    assert_eq!(store.list("log").unwrap().folders, ["a.seg"]);
    assert!(!store.exists("log/a.seg").unwrap());
    assert_permanent(store.get("log/a.seg", CAP));
    assert_permanent(store.put_new("log/a.seg", b"x"));
}

fn file_for_folder(world: &dyn World) {
    world.place("log", b"I am a file");
    let store = world.store();
    assert_permanent(store.list("log"));
    assert_permanent(store.get("log/a.seg", CAP));
    assert_permanent(store.put_new("log/a.seg", b"x"));
    assert_eq!(store.get("log", CAP).unwrap(), b"I am a file");
}

fn too_large(world: &dyn World) {
    world.place("log/a.seg", &[7; 1000]);
    let store = world.store();
    assert_permanent(store.get("log/a.seg", 999));
    assert_eq!(store.get("log/a.seg", 1000).unwrap().len(), 1000);
}

fn cut_file(world: &dyn World) {
    world.place("log/a.seg", b"the begin");
    let store = world.store();
    assert_eq!(
        store.put_new("log/a.seg", b"the beginning").unwrap(),
        Put::Different
    );
    assert_eq!(store.get("log/a.seg", CAP).unwrap(), b"the begin");
}

fn many_names(world: &dyn World) {
    let all: Vec<String> = (0..3000).map(|n| format!("{n:08}")).collect();
    for name in all.iter().rev() {
        world.place(&format!("photos/ab/{name}"), b"");
    }
    let listing = world.store().list("photos/ab").unwrap();
    assert!(!listing.cut);
    assert_eq!(names(world.store(), "photos/ab"), all);
}

fn same_name_at_once(world: &dyn World) {
    let store = world.store();
    let start = Barrier::new(8);
    let put = |path: &str, bytes: Vec<u8>| {
        start.wait();
        store.put_new(path, &bytes).unwrap()
    };
    let count = |all: &[Put], which| all.iter().filter(|put| **put == which).count();
    let mut same = Vec::new();
    std::thread::scope(|scope| {
        let threads: Vec<_> = (0..8)
            .map(|_| scope.spawn(|| put("log/same", vec![1; 5000])))
            .collect();
        same.extend(threads.into_iter().map(|t| t.join().unwrap()));
    });
    assert_eq!(store.get("log/same", CAP).unwrap(), [1; 5000]);
    assert_eq!(count(&same, Put::Different), 0);
    if world.refuses_taken_names_by_itself() {
        assert_eq!(
            (count(&same, Put::Created), count(&same, Put::AlreadyThere)),
            (1, 7)
        );
        let mut other = Vec::new();
        std::thread::scope(|scope| {
            let threads: Vec<_> = (0..8)
                .map(|n| scope.spawn(move || put("log/other", vec![n; 5000])))
                .collect();
            other.extend(threads.into_iter().map(|t| t.join().unwrap()));
        });
        let winner = other.iter().position(|put| *put == Put::Created).unwrap();
        assert_eq!(
            (count(&other, Put::Created), count(&other, Put::Different)),
            (1, 7)
        );
        assert_eq!(
            store.get("log/other", CAP).unwrap(),
            vec![winner as u8; 5000]
        );
    }
}

fn read_only(world: &dyn World) {
    world.place("log/a.seg", b"a");
    world.as_reader(&|store| {
        assert_eq!(store.get("log/a.seg", CAP).unwrap(), b"a");
        assert_eq!(names(store, "log"), ["a.seg"]);
        assert_eq!(store.put_new("log/a.seg", b"a").unwrap(), Put::AlreadyThere);
        assert_permanent(store.put_new("log/b.seg", b"b"));
        assert_permanent(store.put_new("new/b.seg", b"b"));
    });
    assert_eq!(names(world.store(), "log"), ["a.seg"]);
}

fn settle_twice(world: &dyn World) {
    let store = world.store();
    store.put_new("log/a.seg", b"a").unwrap();
    store.settle().unwrap();
    store.settle().unwrap();
    assert_eq!(store.get("log/a.seg", CAP).unwrap(), b"a");
}

#[test]
fn a_listing_has_an_end() {
    let world = worlds::Memory::default();
    for n in 0..=sync::MAX_LISTED {
        world.place(&format!("log/{n}"), b"");
    }
    let listing = world.store().list("log").unwrap();
    assert_eq!((listing.files.len(), listing.cut), (sync::MAX_LISTED, true));
}

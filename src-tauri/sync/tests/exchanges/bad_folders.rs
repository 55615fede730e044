//! Folders that people and programs have damaged: each is told, nothing stops for it, and what is
//! good in them is taken in.

use crate::devices::Crew;
use sync::testing::MemoryStore;
use sync::{Depth, Options, Report, SharedStore, StrangeKind, SyncError, exchange};

/// Ben has recorded something; its segment lies in the folder, and Ann has not read it yet.
struct Scene {
    store: MemoryStore,
    crew: Crew,
    path: String,
}

fn scene() -> Scene {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let before = store.files();
    crew.ben.say(crew.job, "title", "what Ben says");
    crew.ben.exchange(&store);
    let new: Vec<_> = store
        .files()
        .into_iter()
        .filter(|file| !before.contains(file))
        .collect();
    assert_eq!(new.len(), 1);
    let path = new[0].0.clone();
    Scene { store, crew, path }
}

impl Scene {
    fn ann(&self) -> Report {
        self.crew.ann.exchange(&self.store)
    }

    /// Ann has all that Ben said.
    fn assert_whole(&self) {
        assert_eq!(self.crew.ann.state(), self.crew.ben.state());
    }
}

#[test]
fn strange_files_are_counted_and_stop_nothing() {
    let scene = scene();
    let folder = scene.path.rsplit_once('/').unwrap().0;
    let store = &scene.store;
    for path in [
        ".stfolder/marker".to_owned(),
        "desktop.ini".into(),
        "log/Thumbs.db".into(),
        "devices/notes.txt".into(),
        format!("{folder}/readme.seg"),
        format!("{folder}/00000009.seg"),
        "photos/holiday.jpg".into(),
    ] {
        store.place(&path, b"strange");
    }
    store.place_strange(&format!("{folder}/pipe.seg"), StrangeKind::Device);
    store.place_strange(&format!("{folder}/link.seg"), StrangeKind::Link);
    store.place_folder(&format!("{folder}/folder.seg"));
    let report = scene.ann();
    assert_eq!(report.others.unknown, 9, "{report:?}");
    assert!(report.faults.is_empty() && report.aside.is_empty() && report.shared);
    scene.assert_whole();
}

#[test]
fn links_and_folders_in_the_place_of_segments_are_told_by_their_path() {
    for link in [true, false] {
        let scene = scene();
        scene.store.remove(&scene.path);
        if link {
            scene.store.place_strange(&scene.path, StrangeKind::Link);
        } else {
            scene.store.place_folder(&scene.path);
        }
        let report = scene.ann();
        assert_eq!(
            (report.others.unknown, report.fetched.segments),
            (1, 0),
            "{report:?}"
        );
        assert!(report.faults.is_empty());
        let told = &report.aside[0];
        assert_eq!(told.path, scene.path);
        assert!(told.reason.contains("move it away"), "{}", told.reason);
    }
}

#[test]
fn a_file_or_link_in_the_place_of_a_log_is_told_and_stops_only_that_log() {
    for link in [true, false] {
        let scene = scene();
        let Crew { ann, job, .. } = &scene.crew;
        let log = scene
            .path
            .splitn(3, '/')
            .take(2)
            .collect::<Vec<_>>()
            .join("/");
        scene.store.remove(&log);
        if link {
            scene.store.place_strange(&log, StrangeKind::Link);
        } else {
            scene.store.place(&log, b"in the way");
        }
        ann.say(*job, "note", "from Ann");
        let report = scene.ann();
        assert_eq!(
            (report.published.segments, report.faults.len()),
            (1, 1),
            "{report:?}"
        );
        assert!(!report.faults[0].retryable && report.shared);
    }
}

#[test]
fn a_read_only_folder_is_read_and_what_is_not_shared_is_told() {
    let scene = scene();
    let Crew { ann, ben, job, .. } = &scene.crew;
    ann.say(*job, "note", "from Ann");
    ann.photograph(*job, "from Ann");
    scene.store.set_read_only(true);
    let before = scene.store.files();
    let report = scene.ann();
    assert_eq!(
        (report.fetched.segments, report.shared),
        (1, false),
        "{report:?}"
    );
    let unshared = report.unshared;
    assert_eq!(
        (
            unshared.segments,
            unshared.thumbs,
            unshared.views,
            unshared.originals
        ),
        (1, 1, 1, 1)
    );
    assert!(
        report
            .faults
            .iter()
            .all(|fault| fault.message.contains("read-only"))
    );
    assert_eq!(scene.store.files(), before);
    scene.store.set_read_only(false);
    assert!(scene.ann().shared);
    ben.exchange(&scene.store);
    scene.assert_whole();
}

#[test]
fn a_folder_that_is_not_shared_or_not_all_there_is_not_written() {
    let scene = scene();
    let Crew { ann, job, .. } = &scene.crew;
    ann.say(*job, "note", "from Ann");
    let founding = scene.store.get("tautbook.json", 10_000).unwrap();
    scene.store.remove("tautbook.json");
    let before = scene.store.files();
    assert!(matches!(
        ann.try_exchange(&scene.store),
        Err(SyncError::NotShared)
    ));
    scene.store.place("tautbook.json", &founding[..20]);
    assert!(ann.try_exchange(&scene.store).unwrap_err().is_temporary());
    let text = String::from_utf8(founding.clone()).unwrap();
    let newer = text.replace("\"format\": 1", "\"format\": 2");
    scene.store.place("tautbook.json", newer.as_bytes());
    assert!(matches!(
        ann.try_exchange(&scene.store),
        Err(SyncError::Newer)
    ));
    scene.store.remove("tautbook.json");
    assert_eq!(scene.store.files(), before);
    let empty = MemoryStore::default();
    assert!(matches!(
        ann.try_exchange(&empty),
        Err(SyncError::NotShared)
    ));
    assert!(empty.files().is_empty());
    scene.store.place("tautbook.json", &founding);
    assert!(scene.ann().shared);
}

#[test]
fn what_vanishes_there_does_not_vanish_here_and_is_put_back_by_its_maker() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let files = ben.photograph(job, "before");
    ben.exchange(&store);
    ann.exchange(&store);
    let names = || {
        store
            .files()
            .into_iter()
            .map(|(path, _)| path)
            .collect::<Vec<_>>()
    };
    let (state, all) = (ann.state(), names());
    for folder in ["log", "photos", "devices"] {
        store.remove(folder);
    }
    ann.exchange(&store);
    assert_eq!(ann.state(), state);
    assert!(files.iter().all(|file| ann.has_file(file)));
    ben.exchange(&store);
    assert_eq!(names(), all);
}

#[test]
fn a_stray_piece_in_the_own_log_keeps_this_device_from_giving_a_number_twice() {
    let scene = scene();
    let Crew { ben, job, .. } = &scene.crew;
    let folder = scene.path.rsplit_once('/').unwrap().0;
    let stray = format!("{folder}/00000009-{job}-{}.seg", "a".repeat(32));
    scene.store.place(&stray, b"cut");
    ben.say(*job, "note", "more");
    let report = ben.exchange(&scene.store);
    assert_eq!(
        (report.published.segments, report.shared),
        (0, false),
        "{report:?}"
    );
    scene.store.remove(&stray);
    let report = ben.exchange(&scene.store);
    assert_eq!(
        (report.published.segments, report.shared),
        (1, true),
        "{report:?}"
    );
}

#[test]
fn everything_is_listed_when_asked_for() {
    let scene = scene();
    scene.ann();
    let options = Options {
        depth: Depth::Everything,
        ..Options::default()
    };
    let report = exchange(&scene.store, &scene.crew.ann.record, &options).unwrap();
    assert!(
        report.fetched.is_empty() && report.waiting.is_empty(),
        "{report:?}"
    );
}

#[test]
fn what_stands_in_the_place_of_an_own_file_keeps_nothing_from_being_shared() {
    for link in [true, false] {
        let store = MemoryStore::default();
        let Crew { ann, ben, job, .. } = Crew::meet(&store);
        let files = ben.photograph(job, "a post base");
        let stand = |path: &str| {
            store.remove(path);
            match link {
                true => store.place_strange(path, StrangeKind::Link),
                false => store.place_folder(path),
            }
        };
        ben.exchange(&store);
        let log = format!("log/{}/", ben.id());
        let all = store.files();
        let piece = &all
            .iter()
            .rfind(|(path, _)| path.starts_with(&log))
            .unwrap()
            .0;
        let picture = files[0].sha256.to_string();
        let picture = format!("photos/{}/{picture}.jpg", &picture[..2]);
        stand(piece);
        stand(&picture);
        let options = Options {
            depth: Depth::Everything,
            ..Options::default()
        };
        let report = exchange(&store, &ben.record, &options).unwrap();
        assert!(report.shared && report.faults.is_empty(), "{report:?}");
        let published = (report.published.segments, report.published.originals);
        assert_eq!(published, (1, 1), "{report:?}");
        let beside = |path: &str| {
            let (stem, end) = path.rsplit_once('.').unwrap();
            store.exists(&format!("{stem}-2.{end}")).unwrap()
        };
        assert!(beside(piece) && beside(&picture));
        let report = ann.exchange(&store);
        assert!(report.faults.is_empty(), "{report:?}");
        assert!(ann.has_file(&files[0]));
        assert_eq!(ann.state(), ben.state());
        assert!(ben.exchange(&store).published.is_empty());
    }
}

//! Laws: any order of acts and exchanges ends in the same state, and then nothing moves any more.

use crate::devices::{Crew, Device};
use proptest::prelude::*;
use records::ids::BookId;
use sync::testing::{Faulty, MemoryStore};
use sync::{FolderStore, SharedStore};

#[derive(Clone, Copy, Debug)]
enum Step {
    Say(bool, u8),
    Photograph(bool, u8),
    Exchange(bool),
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let step = prop_oneof![
        (any::<bool>(), 0..4_u8).prop_map(|(ann, value)| Step::Say(ann, value)),
        (any::<bool>(), 0..4_u8).prop_map(|(ann, value)| Step::Photograph(ann, value)),
        any::<bool>().prop_map(Step::Exchange),
        any::<bool>().prop_map(Step::Exchange),
    ];
    prop::collection::vec(step, 0..14)
}

fn run(steps: &[Step], crew: &Crew, stores: [&dyn SharedStore; 2]) {
    let who = |ann: bool| -> (&Device, &dyn SharedStore) {
        if ann {
            (&crew.ann, stores[0])
        } else {
            (&crew.ben, stores[1])
        }
    };
    let job: BookId = crew.job;
    for step in steps {
        match *step {
            Step::Say(ann, value) => {
                who(ann).0.say(job, "title", &format!("title {value}"));
            }
            Step::Photograph(ann, value) => {
                who(ann).0.photograph(job, &format!("photo {value}"));
            }
            Step::Exchange(ann) => {
                let (device, store) = who(ann);
                let report = device.exchange(store);
                assert!(report.shared && !report.needs_attention(), "{report:?}");
            }
        }
    }
}

fn converge(crew: &Crew, stores: [&dyn SharedStore; 2]) {
    for _ in 0..2 {
        crew.ann.exchange(stores[0]);
        crew.ben.exchange(stores[1]);
    }
    assert_eq!(crew.ann.state(), crew.ben.state());
    for (device, store) in [(&crew.ann, stores[0]), (&crew.ben, stores[1])] {
        let report = device.exchange(store);
        assert!(
            report.published.is_empty() && report.fetched.is_empty(),
            "{report:?}"
        );
        assert!(report.waiting.is_empty() && report.shared, "{report:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn any_interleaving_converges(steps in steps()) {
        let store = MemoryStore::default();
        let crew = Crew::meet(&store);
        run(&steps, &crew, [&store, &store]);
        converge(&crew, [&store, &store]);
        let files = store.files();
        crew.ann.exchange(&store);
        crew.ben.exchange(&store);
        prop_assert_eq!(store.files(), files);
    }
}

#[test]
fn a_folder_on_disk_converges_and_stays_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let first = FolderStore::open(dir.path(), &"a".repeat(26)).unwrap();
    let crew = Crew::meet(&first);
    let ann = FolderStore::open(dir.path(), &crew.ann.id().to_string()).unwrap();
    let ben = FolderStore::open(dir.path(), &crew.ben.id().to_string()).unwrap();
    let steps = [
        Step::Say(true, 1),
        Step::Photograph(false, 2),
        Step::Exchange(false),
        Step::Say(false, 3),
        Step::Exchange(true),
        Step::Photograph(true, 2),
    ];
    run(&steps, &crew, [&ann, &ben]);
    converge(&crew, [&ann, &ben]);
    assert_eq!(ann.list("tmp").unwrap().files, []);
}

#[test]
fn more_than_one_folder_of_segments() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    for n in 0..70 {
        crew.ben.say(crew.job, "note", &format!("{n}"));
        crew.ben.exchange(&store);
    }
    let log = format!("log/{}", crew.ben.id());
    assert_eq!(store.list(&log).unwrap().folders, ["000000", "000001"]);
    let report = crew.ann.exchange(&store);
    assert_eq!(report.fetched.segments, 70);
    assert_eq!(crew.ann.state(), crew.ben.state());
    let store = Faulty::new(store);
    for (device, lists) in [(&crew.ann, 9), (&crew.ben, 9)] {
        store.fail_at(0);
        device.exchange(&store);
        let calls = store.calls();
        assert_eq!((calls.gets, calls.puts), (1, 0));
        assert!(calls.lists <= lists, "{calls:?}");
    }
}

#[test]
fn a_large_act_is_split_into_segments_that_fit() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let long = "x".repeat(60_000);
    for n in 0..40 {
        crew.ben.say(crew.job, "note", &format!("{n}{long}"));
    }
    let report = crew.ben.exchange(&store);
    assert_eq!(report.published.segments, 3, "{report:?}");
    let sizes = store
        .files()
        .into_iter()
        .map(|(_, bytes)| bytes.len())
        .max()
        .unwrap();
    assert!(sizes <= 1 << 20);
    let report = crew.ann.exchange(&store);
    assert_eq!((report.new_entries, report.fetched.segments), (40, 3));
    assert_eq!(crew.ann.state(), crew.ben.state());
}

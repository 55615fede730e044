//! What this device publishes, and what keeps it from publishing.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod devices;

use devices::Crew;
use sync::testing::MemoryStore;
use sync::{Options, SharedStore};

#[test]
fn what_is_recorded_while_an_exchange_runs_is_not_said_to_be_sent() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    crew.ann.say(crew.job, "note", "before");
    let said = std::sync::atomic::AtomicBool::new(false);
    let report = sync::exchange(
        &store,
        &crew.ann.record,
        &Options {
            all_jobs: true,
            progress: &|step| {
                let publishing = step.what == "Publishing what was recorded here";
                if publishing && !said.swap(true, std::sync::atomic::Ordering::Relaxed) {
                    crew.ann.say(crew.job, "note", "meanwhile");
                }
            },
            ..Options::default()
        },
    )
    .unwrap();
    assert!(report.shared && said.into_inner());
    let made = report.made_to.iter().find(|(book, _)| *book == crew.job);
    let mut record = crew.ann.record.lock().unwrap();
    let left = record.own_after(crew.job, made.unwrap().1).unwrap();
    assert_eq!(left.len(), 1, "the one that came meanwhile");
}

#[test]
fn a_cut_file_in_the_own_log_is_named_with_the_way_out() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let (device, job) = (crew.ann.id(), crew.job);
    let hash = "a".repeat(32);
    let path = format!("log/{device}/000000/00000009-{job}-{hash}.seg");
    store.put_new(&path, &[b'x'; 300]).unwrap();
    crew.ann.say(job, "note", "not to be published");
    let report = crew.ann.exchange(&store);
    assert!(!report.shared && report.needs_attention(), "{report:?}");
    let fault = &report.faults[0];
    assert!(fault.message.contains(&path), "{}", fault.message);
    assert!(fault.message.contains("by hand"), "{}", fault.message);
    store.remove(&path);
    let report = crew.ann.exchange(&store);
    assert!(report.shared && report.faults.is_empty(), "{report:?}");
    crew.ben.exchange(&store);
    assert_eq!(crew.ann.state(), crew.ben.state());
}

//! A piece of Ben's that Ann has not read yet.

use sync::WaitingFor;
use sync::testing::MemoryStore;

use super::{Crew, Report};

/// Ben has recorded something; its segment lies in the folder, and Ann has not read it yet.
pub struct Scene {
    pub store: MemoryStore,
    pub crew: Crew,
    pub path: String,
    pub bytes: Vec<u8>,
}

pub fn scene() -> Scene {
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
    let (path, bytes) = new[0].clone();
    Scene {
        store,
        crew,
        path,
        bytes,
    }
}

impl Scene {
    pub fn ann(&self) -> Report {
        self.crew.ann.exchange(&self.store)
    }

    /// Ann has all that Ben said.
    pub fn assert_whole(&self) {
        assert_eq!(self.crew.ann.state(), self.crew.ben.state());
    }

    pub fn assert_waiting(&self, report: &Report, what: WaitingFor) {
        let waiting: Vec<_> = report
            .waiting
            .iter()
            .map(|w| (w.what, w.whose.as_str(), w.count))
            .collect();
        assert_eq!(waiting, [(what, "Ben", 1)], "{report:?}");
        assert_ne!(self.crew.ann.state(), self.crew.ben.state());
    }
}

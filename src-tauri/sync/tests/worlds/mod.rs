//! Shared folders for the suite, with hands to put anything into them from outside.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    unreachable_pub
)]

#[cfg(unix)]
mod folder;

use sync::testing::MemoryStore;
use sync::{SharedStore, StrangeKind};

#[cfg(unix)]
pub use folder::Folder;

/// The device for which the stores are opened.
pub const DEVICE: &str = "abcdefghijklmnopqrstuvwxy2";

/// A store and what other people and programs can do to its folder.
pub trait World {
    fn store(&self) -> &dyn SharedStore;
    fn place(&self, path: &str, bytes: &[u8]);
    fn place_folder(&self, path: &str);
    fn place_pipe(&self, path: &str);
    fn place_link_to_outside_file(&self, path: &str);
    fn place_link_to_outside_folder(&self, path: &str);
    /// `false` where such a name can't exist.
    fn place_name_that_is_no_text(&self, folder: &str) -> bool;
    fn remove(&self, path: &str);
    fn assert_outside_untouched(&self);
    /// Files not yet whole.
    fn drafts(&self) -> usize;
    /// Whether two that write at once can't both win.
    fn refuses_taken_names_by_itself(&self) -> bool;
    /// Runs the check where the folder can be read and not written.
    fn as_reader(&self, check: &(dyn Fn(&dyn SharedStore) + Sync));
}

#[derive(Default)]
pub struct Memory {
    store: MemoryStore,
}

impl World for Memory {
    fn store(&self) -> &dyn SharedStore {
        &self.store
    }

    fn place(&self, path: &str, bytes: &[u8]) {
        self.store.place(path, bytes);
    }

    fn place_folder(&self, path: &str) {
        self.store.place_folder(path);
    }

    fn place_pipe(&self, path: &str) {
        self.store.place_strange(path, StrangeKind::Device);
    }

    fn place_link_to_outside_file(&self, path: &str) {
        self.store.place_strange(path, StrangeKind::Link);
    }

    fn place_link_to_outside_folder(&self, path: &str) {
        self.store.place_strange(path, StrangeKind::Link);
    }

    fn place_name_that_is_no_text(&self, _: &str) -> bool {
        false
    }

    fn remove(&self, path: &str) {
        self.store.remove(path);
    }

    fn assert_outside_untouched(&self) {
        assert!(
            self.store.files().is_empty(),
            "a file appeared behind a link"
        );
    }

    fn drafts(&self) -> usize {
        let files = self.store.files();
        files
            .iter()
            .filter(|(path, _)| path.starts_with("tmp/"))
            .count()
    }

    fn refuses_taken_names_by_itself(&self) -> bool {
        true
    }

    fn as_reader(&self, check: &(dyn Fn(&dyn SharedStore) + Sync)) {
        self.store.set_read_only(true);
        check(&self.store);
        self.store.set_read_only(false);
    }
}

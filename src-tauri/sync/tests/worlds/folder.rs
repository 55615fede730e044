//! A shared folder on this machine's disk.

use std::ffi::OsStr;
use std::fs::{self, Permissions};
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::Command;

use sync::{FolderStore, Placing, Reach, SharedStore};
use tempfile::TempDir;

use super::{DEVICE, World};

const SECRET: &[u8] = b"not part of the shared folder";

pub struct Folder {
    store: FolderStore,
    root: PathBuf,
    outside: PathBuf,
    placing: Placing,
    _dir: TempDir,
}

impl Folder {
    pub fn new(reach: Reach, placing: Placing) -> Self {
        let dir = TempDir::new().unwrap();
        fs::set_permissions(dir.path(), Permissions::from_mode(0o755)).unwrap();
        let (root, outside) = (dir.path().join("shared"), dir.path().join("outside"));
        fs::create_dir(&root).unwrap();
        fs::create_dir(&outside).unwrap();
        fs::write(outside.join("secret"), SECRET).unwrap();
        let store = FolderStore::open_as(&root, DEVICE, reach, placing).unwrap();
        Self {
            store,
            root,
            outside,
            placing,
            _dir: dir,
        }
    }

    fn at(&self, path: &str) -> PathBuf {
        let at = self.root.join(path);
        fs::create_dir_all(at.parent().unwrap()).unwrap();
        at
    }
}

impl World for Folder {
    fn store(&self) -> &dyn SharedStore {
        &self.store
    }

    fn place(&self, path: &str, bytes: &[u8]) {
        fs::write(self.at(path), bytes).unwrap();
    }

    fn place_folder(&self, path: &str) {
        fs::create_dir_all(self.at(path)).unwrap();
    }

    fn place_pipe(&self, path: &str) {
        let made = Command::new("mkfifo").arg(self.at(path)).status().unwrap();
        assert!(made.success(), "mkfifo failed");
    }

    fn place_link_to_outside_file(&self, path: &str) {
        symlink(self.outside.join("secret"), self.at(path)).unwrap();
    }

    fn place_link_to_outside_folder(&self, path: &str) {
        symlink(&self.outside, self.at(path)).unwrap();
    }

    fn place_name_that_is_no_text(&self, folder: &str) -> bool {
        let name = OsStr::from_bytes(b"\xff\xfe.seg");
        fs::write(self.root.join(folder).join(name), b"x").is_ok()
    }

    fn remove(&self, path: &str) {
        let at = self.root.join(path);
        if at.is_dir() {
            fs::remove_dir_all(at).unwrap();
        } else {
            fs::remove_file(at).unwrap();
        }
    }

    fn assert_outside_untouched(&self) {
        let names: Vec<_> = fs::read_dir(&self.outside)
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        assert_eq!(names, ["secret"]);
        assert_eq!(fs::read(self.outside.join("secret")).unwrap(), SECRET);
    }

    fn drafts(&self) -> usize {
        fs::read_dir(self.root.join("tmp")).map_or(0, Iterator::count)
    }

    fn refuses_taken_names_by_itself(&self) -> bool {
        self.placing < Placing::CheckThenRename
    }

    fn as_reader(&self, check: &(dyn Fn(&dyn SharedStore) + Sync)) {
        set_mode(&self.root, 0o555);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                give_up_root();
                check(&self.store);
            });
        });
        set_mode(&self.root, 0o755);
    }
}

fn set_mode(folder: &Path, mode: u32) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            set_mode(&path, mode);
        }
    }
    fs::set_permissions(folder, Permissions::from_mode(mode)).unwrap();
}

/// Permissions bind everybody but root, so this thread becomes somebody else.
fn give_up_root() {
    #[cfg(target_os = "linux")]
    if rustix::process::geteuid().is_root() {
        let nobody = rustix::process::Uid::from_raw(65534);
        rustix::thread::set_thread_res_uid(nobody, nobody, nobody).unwrap();
    }
}

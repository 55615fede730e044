//! A shared folder in memory, which can hold everything that a real one may.
//!
//! Invariant: what the store's own calls give a name to is never changed by them. The calls that
//! stand for other people (`place`, `remove`) may do anything.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::error::SyncError;
use crate::name;
use crate::store::{ListedFile, Listing, Put, SharedStore, Strange, StrangeKind};

/// A shared folder in memory; clones share the same content.
#[derive(Clone, Default)]
pub struct MemoryStore {
    nodes: Arc<Mutex<BTreeMap<String, Node>>>,
    read_only: Arc<AtomicBool>,
}

#[derive(Clone)]
enum Node {
    File(Arc<[u8]>),
    Folder,
    Strange(StrangeKind),
}

impl MemoryStore {
    /// Puts or replaces a file, as other people and programs can.
    pub fn place(&self, path: &str, bytes: &[u8]) {
        let mut nodes = self.nodes();
        make_parents(&mut nodes, path);
        nodes.insert(path.to_owned(), Node::File(bytes.into()));
    }

    /// Puts an empty folder.
    pub fn place_folder(&self, path: &str) {
        let mut nodes = self.nodes();
        make_parents(&mut nodes, path);
        nodes.insert(path.to_owned(), Node::Folder);
    }

    /// Puts something that is neither file nor folder.
    pub fn place_strange(&self, path: &str, what: StrangeKind) {
        let mut nodes = self.nodes();
        make_parents(&mut nodes, path);
        nodes.insert(path.to_owned(), Node::Strange(what));
    }

    /// Removes a file or a folder with all in it.
    pub fn remove(&self, path: &str) {
        let inside = format!("{path}/");
        self.nodes()
            .retain(|at, _| at != path && !at.starts_with(&inside));
    }

    /// From now on refuses or again accepts new files.
    pub fn set_read_only(&self, read_only: bool) {
        self.read_only.store(read_only, Ordering::SeqCst);
    }

    /// All files with their bytes, sorted by path.
    #[must_use]
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        self.nodes()
            .iter()
            .filter_map(|(path, node)| match node {
                Node::File(bytes) => Some((path.clone(), bytes.to_vec())),
                Node::Folder | Node::Strange(_) => None,
            })
            .collect()
    }

    fn nodes(&self) -> MutexGuard<'_, BTreeMap<String, Node>> {
        self.nodes.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl SharedStore for MemoryStore {
    fn list(&self, folder: &str) -> Result<Listing, SyncError> {
        const OPERATION: &str = "listing";
        if !folder.is_empty() && !name::is_readable(folder) {
            return Err(SyncError::bad_name(OPERATION, folder));
        }
        let nodes = self.nodes();
        if !folder.is_empty() {
            parents_are_folders(&nodes, OPERATION, folder)?;
            match nodes.get(folder) {
                Some(Node::Folder) => {}
                Some(_) => return Err(not_a(OPERATION, folder, "no folder")),
                None => return Err(SyncError::not_found(OPERATION, folder)),
            }
        }
        let prefix = if folder.is_empty() {
            String::new()
        } else {
            format!("{folder}/")
        };
        let mut listing = Listing::default();
        let inside = nodes
            .range(prefix.clone()..)
            .map_while(|(path, node)| Some((path.strip_prefix(&prefix)?, node)))
            .filter(|(name, _)| !name.contains('/'));
        for (name, node) in inside {
            if listing.is_full() {
                break;
            }
            let name = name.to_owned();
            match node {
                Node::File(content) => {
                    let bytes = content.len() as u64;
                    listing.files.push(ListedFile { name, bytes });
                }
                Node::Folder => listing.folders.push(name),
                Node::Strange(what) => listing.strange.push(Strange { name, what: *what }),
            }
        }
        listing.sort();
        Ok(listing)
    }

    fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError> {
        const OPERATION: &str = "reading";
        if !name::is_readable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        let nodes = self.nodes();
        parents_are_folders(&nodes, OPERATION, path)?;
        match nodes.get(path) {
            Some(Node::File(bytes)) if bytes.len() as u64 <= at_most => Ok(bytes.to_vec()),
            Some(Node::File(_)) => Err(not_a(OPERATION, path, "too large")),
            Some(_) => Err(not_a(OPERATION, path, "no file")),
            None => Err(SyncError::not_found(OPERATION, path)),
        }
    }

    fn put_new(&self, path: &str, bytes: &[u8]) -> Result<Put, SyncError> {
        const OPERATION: &str = "publishing";
        if !name::is_writable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        let mut nodes = self.nodes();
        parents_are_folders(&nodes, OPERATION, path)?;
        match nodes.get(path) {
            Some(Node::File(there)) if **there == *bytes => Ok(Put::AlreadyThere),
            Some(Node::File(_)) => Ok(Put::Different),
            Some(_) => Err(not_a(OPERATION, path, "no file")),
            None if self.read_only.load(Ordering::SeqCst) => {
                let error = std::io::Error::from(std::io::ErrorKind::ReadOnlyFilesystem);
                Err(SyncError::from_io(OPERATION, path, &error))
            }
            None => {
                make_parents(&mut nodes, path);
                nodes.insert(path.to_owned(), Node::File(bytes.into()));
                Ok(Put::Created)
            }
        }
    }

    fn exists(&self, path: &str) -> Result<bool, SyncError> {
        const OPERATION: &str = "looking for";
        if !name::is_readable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        let nodes = self.nodes();
        match parents_are_folders(&nodes, OPERATION, path) {
            Ok(()) => Ok(matches!(nodes.get(path), Some(Node::File(_)))),
            Err(SyncError::NotFound { .. }) => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn settle(&self) -> Result<(), SyncError> {
        Ok(())
    }
}

fn parents(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').filter_map(|(at, _)| path.get(..at))
}

fn make_parents(nodes: &mut BTreeMap<String, Node>, path: &str) {
    for parent in parents(path) {
        nodes.entry(parent.to_owned()).or_insert(Node::Folder);
    }
}

fn parents_are_folders(
    nodes: &BTreeMap<String, Node>,
    operation: &'static str,
    path: &str,
) -> Result<(), SyncError> {
    let bad = parents(path).find(|parent| {
        nodes
            .get(*parent)
            .is_some_and(|node| !matches!(node, Node::Folder))
    });
    bad.map_or(Ok(()), |_| {
        Err(not_a(operation, path, "a file or link on the way"))
    })
}

fn not_a(operation: &'static str, path: &str, what: &str) -> SyncError {
    SyncError::permanent(operation, path, what)
}

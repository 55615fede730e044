//! Which pictures and documents to fetch and to publish, and what is still to come.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{Publish, free_place};
use crate::name::{MOST_REPAIRS, ObjectName, is_hex};

/// What a file is to its entry. The order is the order of publishing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum ObjectRole {
    /// The small picture for lists.
    Thumb,
    /// The picture for the screen.
    View,
    /// The file as it was taken in.
    Original,
}

impl ObjectRole {
    /// Reads the role in front of the dot in a file's type, such as `view.jpg`; anything that is
    /// neither thumb nor view is an original.
    #[must_use]
    pub fn of_type(kind: &str) -> Self {
        match kind.split('.').next() {
            Some("thumb") => Self::Thumb,
            Some("view") => Self::View,
            _ => Self::Original,
        }
    }
}

/// A file that an entry of a kept book vouches for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct KnownObject {
    /// What it is to its entry.
    pub role: ObjectRole,
    /// Its name in the folder.
    pub name: ObjectName,
    /// Its length, as its entry says.
    pub bytes: u64,
    /// The device whose entry vouches for it.
    pub device: String,
    /// Whether its bytes are on this device.
    pub held: bool,
}

/// What to do about pictures and documents.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ObjectPlan {
    /// To write, thumbs first, then views, then originals.
    pub publish: Vec<Publish<KnownObject>>,
    /// To read, in the same order, and where each may be.
    pub fetch: Vec<(KnownObject, Vec<String>)>,
    /// Not here and not there: still on its way, or lost.
    pub missing: Vec<KnownObject>,
}

/// Files seen in the folder: their sizes and paths by hash, the proper name first.
pub type SeenObjects = BTreeMap<String, Vec<(String, u64)>>;

/// Plans all objects at once.
///
/// A file of another length than its entry says is not the object: it is still arriving, or
/// damaged, and counts as missing; so does one whose path is `wrong`: read and found to be another,
/// or no file at all. Several entries may vouch for one object; it moves once.
#[must_use]
pub fn plan_objects(
    known: &[KnownObject],
    seen: &SeenObjects,
    wrong: &BTreeSet<String>,
) -> ObjectPlan {
    let mut plan = ObjectPlan::default();
    let mut sorted: Vec<&KnownObject> = known.iter().collect();
    sorted.sort();
    let held: BTreeSet<&String> = known
        .iter()
        .filter(|object| object.held)
        .map(|object| &object.name.sha256)
        .collect();
    let mut done = BTreeSet::new();
    for object in sorted {
        // An entry may tell a false length; it keeps nobody from the object of the true one.
        let told_wrong = !object.held && held.contains(&object.name.sha256);
        if !is_hex(&object.name.sha256, 64)
            || told_wrong
            || !done.insert((&object.name.sha256, object.bytes))
        {
            continue;
        }
        let files = seen.get(&object.name.sha256).map(Vec::as_slice);
        let files = files.unwrap_or_default();
        let proper = object.name.path();
        let whole =
            |(path, bytes): &&(String, u64)| *bytes == object.bytes && !wrong.contains(path);
        if object.held {
            if !files.iter().any(|file| whole(&file)) {
                // What stands damaged under the proper name stays there.
                let repairs = (2..=MOST_REPAIRS).map(|copy| object.name.repair_path(copy));
                let there = |name: &str| files.iter().any(|(path, _)| path == name);
                let taken = |name: &str| there(name) || wrong.contains(name);
                let (path, repair) = free_place(proper, repairs, &taken);
                let what = object.clone();
                plan.publish.push(Publish { what, path, repair });
            }
            continue;
        }
        let mut paths: Vec<String> = files
            .iter()
            .filter(whole)
            .map(|(path, _)| path.clone())
            .collect();
        paths.sort_by_key(|path| (*path != proper, path.clone()));
        if paths.is_empty() {
            plan.missing.push(object.clone());
        } else {
            plan.fetch.push((object.clone(), paths));
        }
    }
    plan
}

//! What a program that stopped left half made.
//!
//! Invariant: only folders that bear the name of a handover in the making go, and never one that somebody
//! may still be making.

use std::ffi::OsStr;
use std::fs;
use std::path::Path;
use std::time::Duration;

use crate::HandoverError;

/// After so long nobody is making a handover any more.
const ABANDONED: Duration = Duration::from_secs(24 * 3600);

/// Removes what was left of an earlier making under the same name, where it stopped long ago. What can't be
/// looked at or removed stays: it is in nobody's way.
pub(crate) fn sweep_old(parent: &Path, name: &str) {
    let of_name = |item: &fs::DirEntry| made(&item.file_name()).is_some_and(|made| made == name);
    let old = |item: &fs::DirEntry| {
        let metadata = item.metadata().ok().filter(fs::Metadata::is_dir)?;
        let age = metadata.modified().ok()?.elapsed().ok()?;
        (age > ABANDONED).then_some(())
    };
    let items = fs::read_dir(parent).into_iter().flatten().flatten();
    for item in items.filter(|item| of_name(item) && old(item).is_some()) {
        let _ = fs::remove_dir_all(item.path());
    }
}

/// Removes below `handovers` what was being made when the program stopped; answers with how many
/// folders went. Nobody may be making one there.
///
/// # Errors
/// When a folder can't be listed or removed.
pub fn sweep(handovers: &Path) -> Result<usize, HandoverError> {
    let listing = match fs::read_dir(handovers) {
        Ok(listing) => listing,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(0),
        Err(error) => return Err(HandoverError::file("list", handovers)(error)),
    };
    let mut removed = 0;
    for item in listing {
        let item = item.map_err(HandoverError::file("list", handovers))?;
        if made(&item.file_name()).is_some() && item.file_type().is_ok_and(|kind| kind.is_dir()) {
            let path = item.path();
            fs::remove_dir_all(&path).map_err(HandoverError::file("remove", &path))?;
            removed += 1;
        }
    }
    Ok(removed)
}

/// The name of the handover that a folder `.NAME.making-MARK` was the making of; none of any other name.
fn made(folder: &OsStr) -> Option<String> {
    let folder = folder.to_string_lossy();
    let (name, mark) = folder.strip_prefix('.')?.rsplit_once(".making-")?;
    mark.parse::<records::ids::ItemId>().ok()?;
    Some(name.to_owned())
}

#[cfg(test)]
mod tests {
    use std::fs;

    use std::time::SystemTime;

    use super::{ABANDONED, sweep, sweep_old};

    #[test]
    fn what_was_left_beside_a_folder_long_ago_goes_and_what_is_being_made_stays() {
        let dir = tempfile::tempdir().unwrap();
        let made = |name: &str, days: u32| {
            let mark = records::record::new_item().unwrap();
            let path = dir.path().join(format!(".{name}.making-{mark}"));
            fs::create_dir(&path).unwrap();
            fs::write(path.join("a.jpg"), b"x").unwrap();
            let at = SystemTime::now() - ABANDONED * days;
            fs::File::open(&path).unwrap().set_modified(at).unwrap();
            path
        };
        let (old, new, others) = (made("out", 2), made("out", 0), made("mine", 2));
        let own = dir.path().join(".out.making-notes");
        fs::create_dir(&own).unwrap();
        sweep_old(dir.path(), "out");
        let there: Vec<bool> = [&old, &new, &others, &own].map(|p| p.exists()).to_vec();
        assert_eq!(there, [false, true, true, true]);
        sweep_old(&dir.path().join("none"), "out");
    }

    #[test]
    fn what_a_stopped_program_left_half_made_goes_and_nothing_else() {
        let dir = tempfile::tempdir().unwrap();
        let mark = records::record::new_item().unwrap();
        let half = dir.path().join(format!(".job-1.making-{mark}"));
        let others = ["job-1", ".job-1.making-mine", ".making", "job.making-x"];
        for name in others {
            fs::create_dir_all(dir.path().join(name)).unwrap();
        }
        fs::create_dir_all(half.join("photos")).unwrap();
        fs::write(half.join("photos/a.jpg"), b"x").unwrap();
        let file = dir.path().join(format!(".note.making-{mark}"));
        fs::write(&file, b"a person's own").unwrap();
        assert_eq!(sweep(dir.path()).unwrap(), 1);
        assert!(!half.exists() && file.exists());
        assert!(others.iter().all(|name| dir.path().join(name).exists()));
        assert_eq!(sweep(&dir.path().join("none")).unwrap(), 0);
    }
}

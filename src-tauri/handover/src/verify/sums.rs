//! The sums of a handover folder, and that they cover it.
//!
//! Invariant: no name leads out of the folder, and nothing outside it is read.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use records::ids::Hash;

use super::{Fault, FaultKind, fault};
use crate::folder::SUMS;
use crate::signature::SIGNATURE;

/// A plain file of the folder; links are none.
pub(super) fn read(folder: &Path, name: &str) -> Result<Vec<u8>, Fault> {
    let path = folder.join(name);
    let plain = fs::symlink_metadata(&path).is_ok_and(|m| m.is_file());
    if !plain {
        return Err(fault(
            FaultKind::Missing,
            name,
            "it is listed but not here as a plain file",
        ));
    }
    fs::read(&path).map_err(|e| fault(FaultKind::Missing, name, format!("it can't be read: {e}")))
}

/// The sums by name, each name inside the folder.
pub(super) fn read_sums(folder: &Path) -> Result<BTreeMap<String, String>, Fault> {
    let text = String::from_utf8(read(folder, SUMS)?)
        .map_err(|_| fault(FaultKind::Name, SUMS, "it is not plain text"))?;
    let mut sums = BTreeMap::new();
    for line in text.lines() {
        let (sum, name) = line
            .split_once("  ")
            .filter(|(sum, _)| sum.parse::<Hash>().is_ok())
            .ok_or_else(|| fault(FaultKind::Name, SUMS, "a line is not a sum with a name"))?;
        if !inside(name) {
            let shown = crate::visible::line(name);
            return Err(fault(
                FaultKind::Name,
                SUMS,
                format!("the name {shown} leaves the folder or is no plain name"),
            ));
        }
        if sums.insert(name.to_owned(), sum.to_owned()).is_some() {
            return Err(fault(
                FaultKind::Name,
                SUMS,
                format!("{name} is listed twice"),
            ));
        }
    }
    Ok(sums)
}

/// Names as this program writes them: no way up, no root, no odd characters.
fn inside(name: &str) -> bool {
    let good = |part: &str| {
        !part.is_empty()
            && part != "."
            && part != ".."
            && part
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_'))
    };
    name != SUMS && name != SIGNATURE && name.split('/').all(good)
}

/// Whether every file here has a sum.
pub(super) fn nothing_unlisted(
    folder: &Path,
    sums: &BTreeMap<String, String>,
) -> Result<(), Fault> {
    let mut open: Vec<PathBuf> = vec![PathBuf::new()];
    while let Some(within) = open.pop() {
        let dir = folder.join(&within);
        let failed = |e: std::io::Error| {
            fault(
                FaultKind::Missing,
                &within.to_string_lossy(),
                format!("it can't be listed: {e}"),
            )
        };
        for entry in fs::read_dir(&dir).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            let path = within.join(entry.file_name());
            let name = path
                .to_string_lossy()
                .replace(std::path::MAIN_SEPARATOR, "/");
            match entry.file_type() {
                Ok(kind) if kind.is_dir() => open.push(path),
                Ok(_) if name == SUMS || name == SIGNATURE || sums.contains_key(&name) => {}
                _ => {
                    let shown = crate::visible::line(&name);
                    return Err(fault(
                        FaultKind::Unlisted,
                        &shown,
                        "no sum covers it: it was added later",
                    ));
                }
            }
        }
    }
    Ok(())
}

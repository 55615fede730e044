//! Size of the built screens, as they are and as they travel.

use std::path::Path;
use std::process::Command;

use crate::scene::Outcome;
use crate::table::Table;

/// Adds the sizes of `ui/build`.
pub(crate) fn measure(table: &mut Table) -> Outcome<()> {
    let build = Path::new(env!("CARGO_MANIFEST_DIR")).join("../ui/build");
    if !build.is_dir() {
        return Err("the screens are not built; `cargo xtask bench` builds them".into());
    }
    let (mut plain, mut packed, mut files) = (0, 0, 0);
    let mut open = vec![build];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(&folder)? {
            let entry = entry?;
            if entry.file_type()?.is_dir() {
                open.push(entry.path());
                continue;
            }
            let gzip = Command::new("gzip")
                .args(["-9", "-c"])
                .arg(entry.path())
                .output()?;
            if !gzip.status.success() {
                return Err(format!("gzip refused {}", entry.path().display()).into());
            }
            files += 1;
            plain += entry.metadata()?.len();
            packed += gzip.stdout.len() as u64;
        }
    }
    let kib = |bytes: u64| format!("{:.0} KiB", bytes as f64 / 1024.0);
    table.alone(
        &format!("built screens, {files} files"),
        format!("{} gz ({} plain)", kib(packed), kib(plain)),
    );
    Ok(())
}

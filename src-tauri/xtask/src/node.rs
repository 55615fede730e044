//! A Node that is new enough for the screens' tools, and the packages they need.

use std::{
    ffi::OsString,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{error::XtaskError, packages, run, workspace};

/// The oldest Node on which the screens' tools run.
const OLDEST: (u32, u32) = (20, 19);
/// What is brought where the system's Node is older: the npm package `node`.
const BROUGHT: &str = "node@22";

/// The Node in use: the system's, or one brought into the build folder.
pub(crate) struct Node {
    /// The folder put first on the search path; none for the system's own.
    first: Option<PathBuf>,
}

impl Node {
    /// Finds a Node that is new enough, or brings one.
    pub(crate) fn bring() -> Result<Self, XtaskError> {
        if !run::works("npm", &["--version"]) {
            packages::bring(&[&["nodejs", "npm"]])?;
        }
        let system = Self { first: None };
        if system.is_new_enough() {
            return Ok(system);
        }
        let place = workspace::target().join("node");
        let brought = Self {
            first: Some(place.join("node_modules/node/bin")),
        };
        if !brought.is_new_enough() {
            println!(
                "Node {}.{} or newer is needed; it is brought into the build folder.",
                OLDEST.0, OLDEST.1
            );
            fs::create_dir_all(&place).map_err(XtaskError::file("make", &place))?;
            let prefix = run::text(&place);
            run::run(run::command(
                "npm",
                &[
                    "install",
                    "--no-audit",
                    "--no-fund",
                    "--prefix",
                    &prefix,
                    BROUGHT,
                ],
            ))?;
        }
        if brought.is_new_enough() {
            return Ok(brought);
        }
        Err(XtaskError::Missing(format!(
            "Node {}.{} or newer is needed and could not be brought. Install it, then try again.",
            OLDEST.0, OLDEST.1
        )))
    }

    /// An npm command in a folder of the checkout.
    pub(crate) fn npm(&self, folder: &str, arguments: &[&str]) -> Command {
        let mut command = self.on_path("npm", arguments);
        command.current_dir(workspace::top().join(folder));
        command
    }

    /// Brings a folder's packages exactly as its lock file names them, where they are not there.
    pub(crate) fn packages(&self, folder: &str) -> Result<(), XtaskError> {
        let place = workspace::top().join(folder);
        let lock = place.join("package-lock.json");
        if !lock.is_file() {
            return Err(XtaskError::Missing(format!(
                "{} is not there, so what it locks can't be brought",
                lock.display()
            )));
        }
        let mark = place.join("node_modules/.package-lock.json");
        if is_newer(&mark, &lock) {
            return Ok(());
        }
        run::run(self.npm(folder, &["ci", "--no-audit", "--no-fund"]))
    }

    fn is_new_enough(&self) -> bool {
        self.on_path("node", &["--version"])
            .output()
            .ok()
            .and_then(|output| version(&String::from_utf8_lossy(&output.stdout)))
            .is_some_and(|found| found >= OLDEST)
    }

    fn on_path(&self, program: &str, arguments: &[&str]) -> Command {
        let mut command = run::command(program, arguments);
        if let Some(path) = self.first.as_deref().and_then(path_with) {
            command.env("PATH", path);
        }
        command
    }
}

fn path_with(first: &Path) -> Option<OsString> {
    let rest = std::env::var_os("PATH").unwrap_or_default();
    let all = std::iter::once(first.to_owned()).chain(std::env::split_paths(&rest));
    std::env::join_paths(all).ok()
}

fn is_newer(made: &Path, source: &Path) -> bool {
    let time = |path: &Path| fs::metadata(path).and_then(|found| found.modified()).ok();
    matches!((time(made), time(source)), (Some(made), Some(source)) if made >= source)
}

fn version(printed: &str) -> Option<(u32, u32)> {
    let mut parts = printed.trim().strip_prefix('v')?.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::{OLDEST, version};

    #[test]
    fn versions_are_read_and_compared_as_numbers() {
        assert_eq!(version("v20.19.1\n"), Some((20, 19)));
        assert!(version("v18.20.4") < Some(OLDEST));
        assert!(version("v20.9.0") < Some(OLDEST));
        assert!(version("v100.0.0") > Some(OLDEST));
        assert_eq!(version("node: not found"), None);
    }
}

//! Where things are: the top of the checkout and the folder that builds go to.

use std::path::{Path, PathBuf};

/// The features that every build of the workspace uses. Building packages one by one, or with
/// other features, compiles half of the dependencies again.
pub(crate) const BUILD: [&str; 3] = ["--workspace", "--features", "shell/custom-protocol"];

/// The top of the checkout.
pub(crate) fn top() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_owned()
}

/// The folder of built programs.
pub(crate) fn built() -> PathBuf {
    target().join("debug")
}

/// The folder that builds go to.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| top().join("target"), PathBuf::from)
}

/// A built program by its name.
pub(crate) fn program(name: &str) -> PathBuf {
    built().join(format!("{name}{}", std::env::consts::EXE_SUFFIX))
}

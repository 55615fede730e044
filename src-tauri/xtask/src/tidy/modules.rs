//! Rust files that no other file names: the compiler passes them over in silence, and tests in them
//! would never run.

use std::collections::HashSet;
use std::path::{Component, Path, PathBuf};

/// Names every Rust file of a package that is neither one of its targets nor a module of another
/// file; `files` is each tracked Rust file with its text, `listed` every tracked path.
pub(super) fn faults(files: &[(&str, String)], listed: &str) -> Vec<String> {
    let packages: Vec<&Path> = listed
        .lines()
        .filter_map(|path| path.strip_suffix("/Cargo.toml"))
        .map(Path::new)
        .collect();
    let named: HashSet<PathBuf> = files
        .iter()
        .flat_map(|(path, text)| named_by(Path::new(path), text))
        .collect();
    files
        .iter()
        .map(|(path, _)| Path::new(path))
        .filter(|path| packages.iter().any(|package| path.starts_with(package)))
        .filter(|path| !packages.iter().any(|package| is_target(package, path)))
        .filter(|path| !named.contains(*path))
        .map(|path| format!("{}: no other file has it as a module", path.display()))
        .collect()
}

/// What cargo finds by itself in a package.
fn is_target(package: &Path, path: &Path) -> bool {
    let Ok(within) = path.strip_prefix(package) else {
        return false;
    };
    let parts: Vec<&str> = within.iter().filter_map(|part| part.to_str()).collect();
    matches!(
        parts.as_slice(),
        ["build.rs"]
            | ["src", "main.rs" | "lib.rs"]
            | ["tests" | "benches" | "examples", _]
            | ["tests" | "benches" | "examples", _, "main.rs"]
    )
}

/// The files that a file's `mod name;` lines may mean.
fn named_by(path: &Path, text: &str) -> Vec<PathBuf> {
    let beside = path.parent().unwrap_or(Path::new(""));
    let own = match path.file_stem().and_then(|stem| stem.to_str()) {
        Some("main" | "lib" | "mod") | None => beside.to_path_buf(),
        // A test or bench that is a target by itself has its modules beside it.
        Some(_) if !beside.ends_with("src") && is_root(beside) => beside.to_path_buf(),
        Some(stem) => beside.join(stem),
    };
    let mut found = Vec::new();
    let mut placed = None;
    for line in text.lines().map(str::trim) {
        if let Some(at) = line.strip_prefix("#[path = \"") {
            placed = at.strip_suffix("\"]");
        } else if let Some(name) = module(line) {
            if let Some(at) = placed.take() {
                found.push(resolved(&beside.join(at)));
            } else {
                found.push(own.join(format!("{name}.rs")));
                found.push(own.join(name).join("mod.rs"));
            }
        }
    }
    found
}

fn is_root(folder: &Path) -> bool {
    folder.ends_with("tests") || folder.ends_with("benches")
}

/// The name in `mod name;`, whoever may use it.
fn module(line: &str) -> Option<&str> {
    let (before, name) = line.strip_suffix(';')?.rsplit_once("mod ")?;
    // As a keyword may be named: `mod r#gen;` is gen.rs.
    let name = name.strip_prefix("r#").unwrap_or(name);
    let public = before.is_empty() || (before.starts_with("pub") && before.ends_with(' '));
    (public
        && name
            .chars()
            .all(|one| one.is_ascii_alphanumeric() || one == '_'))
    .then_some(name)
}

/// The path without `..` in it.
fn resolved(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => {
                out.pop();
            }
            part => out.push(part),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::faults;

    const LISTED: &str = "a/Cargo.toml\na/src/lib.rs\n";

    fn found(files: &[(&str, &str)]) -> Vec<String> {
        let files: Vec<_> = files
            .iter()
            .map(|(path, text)| (*path, (*text).to_owned()))
            .collect();
        faults(&files, LISTED)
    }

    #[test]
    fn what_is_named_or_a_target_is_fine() {
        let none: Vec<String> = Vec::new();
        assert_eq!(
            found(&[
                ("a/build.rs", ""),
                ("a/src/lib.rs", "pub(crate) mod b;\n#[cfg(test)]\nmod c;\n"),
                ("a/src/b.rs", "mod r#d;"),
                ("a/src/b/d.rs", ""),
                ("a/src/c/mod.rs", "pub mod e;"),
                ("a/src/c/e.rs", ""),
                ("a/tests/f.rs", "mod common;"),
                ("a/tests/common/mod.rs", ""),
                (
                    "a/tests/g/main.rs",
                    "#[path = \"../h/i.rs\"]\n#[allow(x)]\nmod i;"
                ),
                ("a/tests/h/i.rs", ""),
                ("other/x.rs", ""),
            ]),
            none
        );
    }

    #[test]
    fn what_nobody_names_is_told() {
        for (path, text) in [
            ("a/src/b.rs", "// mod b;"),
            ("a/src/c/mod.rs", ""),
            ("a/tests/g/i.rs", ""),
            ("a/src/mod_d.rs", "mod mod_d_too;"),
        ] {
            let lines = found(&[
                ("a/src/lib.rs", text),
                ("a/tests/g/main.rs", ""),
                (path, ""),
            ]);
            assert_eq!(
                lines,
                [format!("{path}: no other file has it as a module")],
                "{path}"
            );
        }
    }
}

//! Type-checking the whole app for a phone, without a phone's SDK.
//!
//! Nothing is linked and nothing runs: what is checked is that every line that a phone compiles has
//! its types right. The standard library of that target is type-checked from its sources along with
//! the rest, in a folder of its own. C is not compiled; a stand-in for its compiler leaves empty
//! objects, which a check never looks into.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{demo, error::XtaskError, node::Node, packages, run, workspace};

/// A 64-bit phone.
const TARGET: &str = "aarch64-linux-android";

/// The compiler with the sources of its standard library, as Debian has them.
const COMPILER: &[&str] = &["rustc-web", "rust-web-src"];
/// Where these lie.
const RUSTC: &str = "/usr/bin/rustc";

/// Takes the place of the C compiler: what it is asked to tell of itself is told by the machine's
/// own, and whatever it should write is empty.
const STAND_IN: &str = r#"#!/bin/sh
for word; do
  if [ "$word" = -E ]; then exec cc "$@"; fi
done
while [ $# -gt 0 ]; do
  if [ "$1" = -o ]; then : > "$2"; exit 0; fi
  shift
done
echo "The stand-in for the C compiler was asked for something else than an object." >&2
exit 1
"#;

/// Brings what is missing, builds the screens that the app holds, and checks.
pub(crate) fn check_phone() -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD])?;
    demo::build_ui(&Node::bring()?)?;
    check()?;
    println!("\nThe whole app type-checks for {TARGET}. Nothing of it was linked or run.");
    Ok(())
}

/// Checks alone; the screens are built already.
pub(crate) fn check() -> Result<(), XtaskError> {
    run::run(checking()?)
}

/// The same beside what runs next.
pub(crate) fn begin() -> Result<run::Aside, XtaskError> {
    run::aside(&checking()?, workspace::target().join("phone.log"))
}

fn checking() -> Result<Command, XtaskError> {
    let place = workspace::target().join("phone");
    fs::create_dir_all(&place).map_err(XtaskError::file("make", &place))?;
    let mut cargo = run::cargo(&arguments(&run::text(&place)));
    cargo
        .env("CC_aarch64_linux_android", stand_in(&place)?)
        .env("AR_aarch64_linux_android", "ar");
    with_std(&mut cargo)?;
    Ok(cargo)
}

fn arguments(place: &str) -> Vec<&str> {
    vec![
        "check",
        "--locked",
        "--package",
        "shell",
        "--features",
        "shell/custom-protocol",
        "--target",
        TARGET,
        "--target-dir",
        place,
    ]
}

/// The target's standard library: the tool chain's own where it has one, else from Debian's sources
/// by Debian's compiler, else by rustup.
fn with_std(cargo: &mut Command) -> Result<(), XtaskError> {
    if has_target() {
        return Ok(());
    }
    let system = fs::read_to_string("/etc/os-release").unwrap_or_default();
    if is_debian(&system) {
        packages::bring(&[COMPILER])?;
        // Checking the standard library from its sources is asked for in this way alone.
        cargo
            .arg("-Zbuild-std=std,panic_abort")
            .env("RUSTC_BOOTSTRAP", "1")
            .env("RUSTC", RUSTC);
        return Ok(());
    }
    run::run(run::command("rustup", &["target", "add", TARGET]))
}

/// Whether the tool chain in use has the target's standard library.
fn has_target() -> bool {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let asked = run::command(rustc, &["--print", "target-libdir", "--target", TARGET]);
    run::output(asked).is_ok_and(|folder| holds_std(Path::new(folder.trim())))
}

fn holds_std(folder: &Path) -> bool {
    let Ok(entries) = fs::read_dir(folder) else {
        return false;
    };
    entries.flatten().any(|entry| {
        let name = entry.file_name();
        name.to_string_lossy().starts_with("libstd-")
    })
}

fn is_debian(system: &str) -> bool {
    system.lines().any(|line| line.trim() == "ID=debian")
}

fn stand_in(place: &Path) -> Result<PathBuf, XtaskError> {
    let path = place.join("cc");
    fs::write(&path, STAND_IN).map_err(XtaskError::file("write", &path))?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755))
            .map_err(XtaskError::file("make executable", &path))?;
    }
    Ok(path)
}

#[cfg(test)]
mod tests {
    use std::{fs, path::PathBuf};

    use super::{holds_std, is_debian, stand_in};
    use crate::run;

    /// A folder of this test's own, empty.
    fn folder(name: &str) -> PathBuf {
        let path =
            std::env::temp_dir().join(format!("tautbook-phone-{}-{name}", std::process::id()));
        drop(fs::remove_dir_all(&path));
        fs::create_dir_all(&path).unwrap();
        path
    }

    #[test]
    fn the_stand_in_writes_empty_objects_and_tells_of_the_machines_compiler() {
        let place = folder("stand-in");
        let cc = stand_in(&place).unwrap();
        let object = place.join("a.o");
        let made = run::command(&cc, &["-c", "not-there.c", "-o", &run::text(&object)]).status();
        assert!(made.unwrap().success());
        assert_eq!(fs::read(&object).unwrap(), b"");

        let source = place.join("a.c");
        fs::write(&source, "#ifdef __GNUC__\nknown\n#endif\n").unwrap();
        let told = run::output(run::command(&cc, &["-E", &run::text(&source)])).unwrap();
        assert!(told.contains("known"), "{told}");

        // Anything else is no success: nothing passes for compiled in silence.
        let asked = run::command(&cc, &["--print-sysroot"]).status();
        assert!(!asked.unwrap().success());
        fs::remove_dir_all(&place).unwrap();
    }

    #[test]
    fn a_folder_holds_the_standard_library_or_not() {
        let place = folder("std");
        assert!(!holds_std(&place.join("none")));
        assert!(!holds_std(&place));
        fs::write(place.join("libstd-0a1b.rlib"), "").unwrap();
        assert!(holds_std(&place));
        fs::remove_dir_all(&place).unwrap();
    }

    #[test]
    fn only_debian_has_the_packages() {
        assert!(is_debian("PRETTY_NAME=\"Debian\"\nID=debian\n"));
        assert!(!is_debian("ID=ubuntu\nID_LIKE=debian\n"));
        assert!(!is_debian(""));
    }
}

//! Bringing the system packages of Debian and Ubuntu.
//!
//! As root they are installed at once; anybody else sees the command and is asked. On other
//! systems the names are shown and the build goes on, since what they are called there is unknown.

use std::io::{IsTerminal, Write, stdin, stdout};

use crate::{error::XtaskError, run};

/// What building the programs needs.
pub(crate) const BUILD: &[&str] = &[
    "build-essential",
    "pkg-config",
    "libwebkit2gtk-4.1-dev",
    "librsvg2-dev",
    "libxdo-dev",
    "ca-certificates",
];

/// What the tests need besides.
pub(crate) const TEST: &[&str] = &[
    "chromium",
    "xvfb",
    "xauth",
    "webkit2gtk-driver",
    "poppler-utils",
    "qpdf",
    "libimage-exiftool-perl",
    "unzip",
];

/// What brings the libraries that tests and benchmarks compare with.
pub(crate) const PYTHON: &[&str] = &["python3-venv"];

/// The peers that the benchmarks measure beside.
pub(crate) const BENCH: &[&str] = &["libvips-tools", "rclone"];

/// Brings those packages that are not there.
pub(crate) fn bring(wanted: &[&[&str]]) -> Result<(), XtaskError> {
    let system = std::fs::read_to_string("/etc/os-release").unwrap_or_default();
    let wanted: Vec<&str> = wanted
        .iter()
        .copied()
        .flatten()
        .map(|package| called(package, &system))
        .collect();
    if !run::works("dpkg-query", &["--version"]) {
        println!(
            "This is not Debian or Ubuntu. What those call {} has to be here already.",
            wanted.join(", ")
        );
        return Ok(());
    }
    let missing: Vec<&str> = wanted
        .into_iter()
        .filter(|package| !installed(package))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    println!("Missing packages: {}", missing.join(" "));
    let is_root = run::output(run::command("id", &["-u"])).is_ok_and(|id| id.trim() == "0");
    let mut install = vec!["apt-get", "install", "-y", "--no-install-recommends"];
    install.extend(&missing);
    if is_root {
        apt(&["apt-get", "update"])?;
        return apt(&install);
    }
    let mut with_rights = vec!["sudo"];
    with_rights.extend(&install);
    let shown = format!("sudo apt-get update && {}", with_rights.join(" "));
    if !agreed(&shown)? {
        return Err(XtaskError::Missing(format!(
            "packages are missing. Run this, then try again:\n  {shown}"
        )));
    }
    apt(&["sudo", "apt-get", "update"])?;
    apt(&with_rights)
}

/// What a package of Debian is called on the system that its `os-release` tells of. On Ubuntu the
/// browser's package has another name and brings it as a snap (from memory: tried on Debian alone).
fn called<'a>(package: &'a str, system: &str) -> &'a str {
    let of_ubuntu = |line: &str| {
        let (name, value) = line.split_once('=').unwrap_or_default();
        let mut words = value.trim_matches('"').split_whitespace();
        matches!(name, "ID" | "ID_LIKE") && words.any(|word| word == "ubuntu")
    };
    match package {
        "chromium" if system.lines().any(of_ubuntu) => "chromium-browser",
        package => package,
    }
}

fn installed(package: &str) -> bool {
    // A package that was removed is still known; only this status means that it is there.
    run::command("dpkg-query", &["-W", "-f=${db:Status-Status}", package])
        .output()
        .is_ok_and(|output| output.stdout == b"installed")
}

fn apt(words: &[&str]) -> Result<(), XtaskError> {
    let Some((program, arguments)) = words.split_first() else {
        return Ok(());
    };
    let mut command = run::command(program, arguments);
    command.env("DEBIAN_FRONTEND", "noninteractive");
    run::run(command)
}

fn agreed(shown: &str) -> Result<bool, XtaskError> {
    if !stdin().is_terminal() {
        return Ok(false);
    }
    print!("May I run this?\n  {shown}\n[y/N] ");
    let mut answer = String::new();
    stdout()
        .flush()
        .and_then(|()| stdin().read_line(&mut answer))
        .map_err(XtaskError::file("read the answer from", "the terminal"))?;
    Ok(matches!(answer.trim(), "y" | "Y" | "yes"))
}

#[cfg(test)]
mod tests {
    use std::{collections::BTreeSet, fs, path::Path};

    use super::{BENCH, BUILD, TEST, called};
    use crate::workspace;

    /// Programs that tests start, and the package that brings each; none where every such system
    /// has it.
    const STARTED: [(&str, Option<&str>); 21] = [
        ("cp", None),
        ("exiftool", Some("libimage-exiftool-perl")),
        ("gzip", None),
        ("mkfifo", None),
        ("mount", None),
        ("pdfdetach", Some("poppler-utils")),
        ("pdffonts", Some("poppler-utils")),
        ("pdfimages", Some("poppler-utils")),
        ("pdfinfo", Some("poppler-utils")),
        ("pdftoppm", Some("poppler-utils")),
        ("pdftotext", Some("poppler-utils")),
        ("qpdf", Some("qpdf")),
        ("rclone", Some("rclone")),
        ("script", None),
        ("sh", None),
        ("sha256sum", None),
        ("sudo", None),
        ("sync", None),
        ("umount", None),
        ("unzip", Some("unzip")),
        ("vipsthumbnail", Some("libvips-tools")),
    ];

    fn started(folder: &Path, found: &mut BTreeSet<String>) {
        for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            let name = entry.file_name();
            if entry.file_type().unwrap().is_dir() {
                if name != "node_modules" && name != "target" && name != "src" {
                    started(&path, found);
                }
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = fs::read_to_string(&path).unwrap();
                for start in ["run(", "Command::new("] {
                    // A longer name, or a method, is another function.
                    let own = |before: char| !(before.is_alphanumeric() || "_.".contains(before));
                    let calls = text
                        .match_indices(start)
                        .map(|(at, _)| text.split_at(at))
                        .filter(|(before, _)| before.chars().last().is_none_or(own))
                        .filter_map(|(_, from)| from.strip_prefix(start));
                    let programs = calls.filter_map(|rest| {
                        let (program, _) = rest.trim_start().strip_prefix('"')?.split_once('"')?;
                        Some(program.to_owned())
                    });
                    // Functions of the same name take runs and commands, which have capitals.
                    found.extend(programs.filter(|p| !p.contains(char::is_uppercase)));
                }
            }
        }
    }

    #[test]
    fn each_program_that_a_test_starts_comes_with_a_package_of_the_lists() {
        let mut found = BTreeSet::new();
        for folder in ["src-tauri", "tests"] {
            started(&workspace::top().join(folder), &mut found);
        }
        started(
            &workspace::top().join("src-tauri/records/src/photos/tests"),
            &mut found,
        );
        assert!(
            found.contains("unzip") && found.contains("exiftool"),
            "{found:?}"
        );
        for program in found {
            let known = STARTED.iter().find(|(name, _)| *name == program);
            let (_, package) = known.unwrap_or_else(|| panic!("{program} is in no list"));
            let listed = |package| [BUILD, TEST, BENCH].concat().contains(&package);
            assert!(package.is_none_or(listed), "{program}");
        }
    }

    #[test]
    fn the_browser_is_asked_for_by_the_name_that_the_system_has() {
        let debian = "PRETTY_NAME=\"Debian\"\nID=debian\n";
        let ubuntu = "NAME=\"Ubuntu\"\nID=ubuntu\nID_LIKE=debian\n";
        let derived = "ID=other\nID_LIKE=\"ubuntu debian\"\n";
        assert_eq!(called("chromium", debian), "chromium");
        assert_eq!(called("chromium", ubuntu), "chromium-browser");
        assert_eq!(called("chromium", derived), "chromium-browser");
        assert_eq!(called("qpdf", ubuntu), "qpdf");
    }
}

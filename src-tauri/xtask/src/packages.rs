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
];

/// The peers that the benchmarks measure beside.
pub(crate) const BENCH: &[&str] = &["libvips-tools", "rclone", "python3-venv"];

/// Brings those packages that are not there.
pub(crate) fn bring(wanted: &[&[&str]]) -> Result<(), XtaskError> {
    let wanted: Vec<&str> = wanted.iter().copied().flatten().copied().collect();
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

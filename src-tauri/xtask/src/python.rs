//! A Python of the build folder with the reference libraries of tests and benches, each at its
//! version.

use std::{fs, path::PathBuf};

use crate::{error::XtaskError, run, workspace};

/// How tests and benches are told of it.
pub(crate) const NAMED: &str = "TAUTBOOK_PYTHON";

/// The libraries, one a line.
const LIST: &str = "tests/reference/requirements.txt";

/// Brings the libraries, once for each state of their list; the interpreter that has them.
pub(crate) fn bring() -> Result<PathBuf, XtaskError> {
    let place = workspace::target().join("python");
    let list = workspace::top().join(LIST);
    let wanted = fs::read(&list).map_err(XtaskError::file("read", &list))?;
    let python = place.join("bin/python");
    let mark = place.join("brought");
    if python.is_file() && fs::read(&mark).is_ok_and(|brought| brought == wanted) {
        return Ok(python);
    }
    let folder = run::text(&place);
    run::run(run::command("python3", &["-m", "venv", "--clear", &folder]))?;
    // Only what is used is compiled, when it is: all of it would take longer than the tests.
    let packages = run::text(&list);
    let install = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--no-compile",
        "--only-binary",
        ":all:",
        "--requirement",
        &packages,
    ];
    run::run(run::command(&python, &install))?;
    fs::write(&mark, &wanted).map_err(XtaskError::file("write", &mark))?;
    Ok(python)
}

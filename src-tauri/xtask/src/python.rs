//! A Python of the build folder with the packages that a list names, each at its version.

use std::{fs, path::PathBuf};

use crate::{error::XtaskError, run, workspace};

/// Brings the packages of a list of the checkout, once for each state of the list; the interpreter.
pub(crate) fn bring(list: &str) -> Result<PathBuf, XtaskError> {
    let place = workspace::target().join("python");
    let list = workspace::top().join(list);
    let wanted = fs::read(&list).map_err(XtaskError::file("read", &list))?;
    let python = place.join("bin/python");
    let mark = place.join("brought");
    if python.is_file() && fs::read(&mark).is_ok_and(|brought| brought == wanted) {
        return Ok(python);
    }
    let folder = run::text(&place);
    run::run(run::command("python3", &["-m", "venv", "--clear", &folder]))?;
    let packages = run::text(&list);
    let install = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--requirement",
        &packages,
    ];
    run::run(run::command(&python, &install))?;
    fs::write(&mark, &wanted).map_err(XtaskError::file("write", &mark))?;
    Ok(python)
}

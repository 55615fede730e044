//! Pictures of every screen and state, to be looked at.

use std::{fs, path::Path};

use crate::{demo, error::XtaskError, node::Node, packages, run, workspace};

/// Where the worked job lies, from the top of the checkout.
const WORKED: &str = "demo-out";

/// Brings what is missing, builds, and shows every screen on every glass, by day and by night: of
/// an empty book, of a job that was just surveyed, and of the worked job at its end.
pub(crate) fn sights(out: &Path) -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD, packages::TEST])?;
    let worked = demo::data(Path::new(WORKED));
    if worked.is_dir() {
        demo::build_all()?;
    } else {
        demo::demo(Path::new(WORKED))?;
    }
    let node = Node::bring()?;
    node.packages("tests/e2e")?;
    let out = workspace::top().join(out);
    fs::create_dir_all(&out).map_err(XtaskError::file("make", &out))?;
    let mut shown = node.npm("tests/e2e", &["run", "sights"]);
    shown
        .env("TAUTBOOK_PROGRAM", workspace::program("tautbook"))
        .env("TAUTBOOK_SIGHTS", &out)
        .env("TAUTBOOK_WORKED", &worked);
    run::run(shown)?;
    println!("\nSights in {}", out.display());
    Ok(())
}

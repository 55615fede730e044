//! Format, lints and the tree's own rules.

use crate::{demo, error::XtaskError, licences, node::Node, packages, run, tidy, workspace};

/// Runs every check that runs no test; the first failure ends it.
pub(crate) fn lint() -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD])?;
    let node = Node::bring()?;
    format()?;
    // Clippy looks into the window too, and that holds the built screens.
    demo::build_ui(&node)?;
    screens(&node)?;
    clippy()?;
    licences()?;
    tidy()
}

pub(crate) fn format() -> Result<(), XtaskError> {
    run::run(run::cargo(&["fmt", "--all", "--check"]))
}

pub(crate) fn clippy() -> Result<(), XtaskError> {
    let mut clippy = vec!["clippy", "--all-targets"];
    clippy.extend(workspace::BUILD);
    clippy.extend(["--", "-D", "warnings"]);
    run::run(run::cargo(&clippy))
}

/// Checks the types of the screens.
pub(crate) fn screens(node: &Node) -> Result<(), XtaskError> {
    run::run(node.npm("ui", &["run", "check"]))
}

/// Checks the licences of what others wrote.
pub(crate) fn licences() -> Result<(), XtaskError> {
    println!("\n$ licences of the packages");
    let faults = licences::faults()?;
    if faults.is_empty() {
        return Ok(());
    }
    Err(XtaskError::Checks(format!(
        "{} packages can't be passed on as they are:\n  {}",
        faults.len(),
        faults.join("\n  ")
    )))
}

/// Checks the tree's own rules.
pub(crate) fn tidy() -> Result<(), XtaskError> {
    println!("\n$ the tree's own rules");
    let faults = tidy::faults(&workspace::top())?;
    if faults.is_empty() {
        return Ok(());
    }
    Err(XtaskError::Checks(format!(
        "{} places break the tree's own rules:\n  {}",
        faults.len(),
        faults.join("\n  ")
    )))
}

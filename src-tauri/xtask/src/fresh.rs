//! Rewriting what is generated and committed, and drawing pictures on demand.

use std::{fs, path::Path};

use crate::{
    Generated,
    error::XtaskError,
    r#gen::{self, PhotoOrder},
    icons, run, workspace,
};

/// The committed TypeScript, from the top of the checkout.
const TYPES: &str = "ui/src/lib/generated/api.ts";

/// Rewrites what is named, or everything.
pub(crate) fn generate(what: &[Generated]) -> Result<(), XtaskError> {
    let wanted = |one| what.is_empty() || what.contains(&one);
    if wanted(Generated::Icons) {
        icons::draw(&workspace::top().join("src-tauri/icons"))?;
    }
    if wanted(Generated::Photos) {
        let out = workspace::top().join("fixtures/photos");
        let names = r#gen::photo_fixtures(&out)?;
        println!("{} pictures in {}", names.len(), out.display());
    }
    if wanted(Generated::Types) {
        types()?;
    }
    Ok(())
}

/// Draws ordered pictures into a folder.
pub(crate) fn photos(out: &Path, order: &PhotoOrder) -> Result<(), XtaskError> {
    let drawn = r#gen::photos(out, order)?;
    println!("{} pictures in {}", drawn.len(), out.display());
    Ok(())
}

/// Only the command line is built for this: the window would need the screens, and the screens
/// need these types.
fn types() -> Result<(), XtaskError> {
    let mut build = vec!["build", "--bin", "tautbook"];
    build.extend(workspace::BUILD);
    run::run(run::cargo(&build))?;
    let text = run::output(run::command(
        workspace::program("tautbook"),
        &["commands", "--typescript"],
    ))?;
    let path = workspace::top().join(TYPES);
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(XtaskError::file("make", folder))?;
    }
    fs::write(&path, text).map_err(XtaskError::file("write", &path))?;
    println!("Types in {}", path.display());
    Ok(())
}

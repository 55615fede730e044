//! The worked job, and the program opened on it.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::{
    error::XtaskError,
    fresh,
    node::Node,
    packages, run,
    workspace::{self, program},
};

/// The device whose folder the program is opened on.
const DEVICE: &str = "ann";

/// Brings what is missing, builds, runs the worked job and says what was made and where.
pub(crate) fn demo(out: &Path) -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD])?;
    build_all()?;
    let out = workspace::top().join(out);
    if out.exists() {
        println!("\nThe earlier demo in {} is replaced.", out.display());
        fs::remove_dir_all(&out).map_err(XtaskError::file("remove", &out))?;
    }
    let photos = out.join("photos");
    fresh::photos(&photos, &crate::r#gen::PhotoOrder::demo())?;
    let [data, shared, handover] = ["data", "shared", "handover"].map(|name| out.join(name));
    let arguments = [
        "demo",
        "--data",
        &run::text(&data),
        "--shared",
        &run::text(&shared),
        "--out",
        &run::text(&handover),
        "--photos",
        &run::text(&photos),
    ];
    run::run(run::command(program("tautbook"), &arguments))?;
    println!("\nMade:");
    for (folder, what) in [
        (&data, "the record on each of the three devices"),
        (&shared, "the folder through which they exchanged it"),
        (&handover, "the handover for owner, certifier and file"),
        (&photos, "the drawn pictures that were added"),
    ] {
        println!("  {}  {what}", folder.display());
    }
    println!("Look at it with: cargo xtask app");
    Ok(())
}

/// Opens the window, or serves at a printed address where there is no display or it is asked for.
pub(crate) fn app(data: Option<PathBuf>, serve: bool) -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD])?;
    build_all()?;
    let data = data.map_or_else(usual_data, |data| workspace::top().join(data));
    println!("\nThe record in {}", data.display());
    let data = run::text(&data);
    let has_display = ["DISPLAY", "WAYLAND_DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()));
    // Windows and macOS always have a display and name none.
    if !serve && (has_display || !cfg!(target_os = "linux")) {
        return run::run(run::command(program("tautbook-window"), &["--data", &data]));
    }
    println!("Open the printed address in a browser on this machine. Ctrl-C ends it.");
    let ui = run::text(&workspace::top().join("ui/build"));
    run::run(run::command(
        program("tautbook"),
        &["serve", "--data", &data, "--ui", &ui],
    ))
}

/// Builds the screens, then every program; the window holds the screens in itself.
pub(crate) fn build_all() -> Result<(), XtaskError> {
    build_ui(&Node::bring()?)?;
    let mut build = vec!["build"];
    build.extend(workspace::BUILD);
    run::run(run::cargo(&build))
}

/// Builds the screens.
pub(crate) fn build_ui(node: &Node) -> Result<(), XtaskError> {
    node.packages("ui")?;
    run::run(node.npm("ui", &["run", "build"]))
}

/// The data folder of the worked job in the folder that its demo was made in.
pub(crate) fn data(out: &Path) -> PathBuf {
    workspace::top().join(out).join("data").join(DEVICE)
}

fn usual_data() -> PathBuf {
    let out = Path::new("demo-out");
    let demo = data(out);
    if demo.is_dir() {
        demo
    } else {
        workspace::top().join(out).join("empty")
    }
}

//! What the webview may do, as configured.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use data_encoding::BASE64;
use serde_json::Value;
use sha2::{Digest, Sha256};

fn read(path: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[test]
fn the_page_gets_the_basics_and_no_global() {
    let conf = read("tauri.conf.json");
    assert_eq!(conf["app"]["withGlobalTauri"], false);
    assert_eq!(
        conf["app"]["security"]["capabilities"],
        serde_json::json!(["main"])
    );
    let capability = read("capabilities/main.json");
    assert_eq!(
        capability["permissions"],
        serde_json::json!(["core:default"])
    );
    assert!(capability.get("remote").is_none());
    let files =
        std::fs::read_dir(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("capabilities"));
    assert_eq!(
        files.unwrap().count(),
        1,
        "every capability file is enabled by being there"
    );
}

#[test]
fn the_content_policy_names_only_the_app_itself() {
    let conf = read("tauri.conf.json");
    let policy = conf["app"]["security"]["csp"].as_object().unwrap();
    for (directive, sources) in [
        ("default-src", "'self'"),
        ("script-src", "'self'"),
        ("style-src", "'self'"),
        ("object-src", "'none'"),
        ("base-uri", "'none'"),
        ("form-action", "'none'"),
        ("frame-ancestors", "'none'"),
    ] {
        assert_eq!(policy[directive], sources, "{directive}");
    }
    for (directive, sources) in policy {
        let sources = sources.as_str().unwrap();
        for open in ["*", "https:", "unsafe-inline", "unsafe-eval"] {
            assert!(!sources.contains(open), "{directive}: {sources}");
        }
    }
}

#[test]
fn the_one_style_attribute_allowed_is_the_routers_announcer() {
    // The attribute as the router of the screens writes it, hidden from sight but read aloud.
    let style = "position: absolute; left: 0; top: 0; clip: rect(0 0 0 0); clip-path: inset(50%); overflow: hidden; white-space: nowrap; width: 1px; height: 1px";
    let hash = BASE64.encode(&Sha256::digest(style));
    let conf = read("tauri.conf.json");
    assert_eq!(
        conf["app"]["security"]["csp"]["style-src-attr"],
        format!("'unsafe-hashes' 'sha256-{hash}'")
    );
}

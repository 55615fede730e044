//! Pictures that the disk refuses.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;

use std::fs;
use std::path::Path;

use api::{App, ErrorCode};
use common::Device;
use serde_json::json;

#[test]
fn a_picture_that_the_disk_refuses_is_the_disks_fault_and_not_the_requests() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:");
    let picture =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/photos/orientation-1.jpg");
    let bytes = fs::read(picture).unwrap();
    let upload = "upload00000000001";
    ann.app.uploads.add(upload, 0, &bytes).unwrap();
    // A file stands where the folder of drafts should be.
    let photos = dir.path().join("ann/photos");
    fs::create_dir_all(&photos).unwrap();
    fs::write(photos.join("tmp"), b"in the way").unwrap();
    let ask = json!({"job": job, "upload": upload, "bytes": bytes.len(), "name": "a.jpg"});
    let error = ann.refused("addPhoto", ask);
    assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
    drop(ann);
    let error = App::open(&dir.path().join("ann")).err().unwrap();
    assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
    assert!(
        error
            .message
            .contains("a file stands where a folder should be"),
        "{error:?}"
    );
    assert_eq!(fs::read(photos.join("tmp")).unwrap(), b"in the way");
}

//! Pictures that can't be taken in: each is refused in words and leaves nothing; the rest goes on.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::devices::Device;
use api::ErrorCode;
use serde_json::{Value, json};

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/photos")
}

/// Every kept file below a folder.
fn kept(folder: &Path) -> BTreeSet<PathBuf> {
    let mut found = BTreeSet::new();
    for item in fs::read_dir(folder).into_iter().flatten() {
        let path = item.unwrap().path();
        if path.is_dir() {
            found.extend(kept(&path));
        } else {
            found.insert(path);
        }
    }
    found
}

#[test]
fn a_batch_with_bad_pictures_keeps_the_good_ones_and_nothing_of_the_others() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann");
    let job = ann.begin_job();
    let photos = ann.app.data().join("photos");
    let add = |name: &str| {
        let bytes = fs::read(fixtures().join(name)).unwrap();
        let plain: String = name.chars().filter(char::is_ascii_alphanumeric).collect();
        let upload = format!("upload{plain:0>20}");
        ann.app.uploads.add(&upload, 0, &bytes).unwrap();
        let ask = json!({"job": job, "source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}, "name": name});
        ann.try_call("addPhoto", ask)
    };
    // What the file's own words are worth, and whether it has a preview.
    let batch: [(&str, Option<&str>); 9] = [
        ("zero.jpg", Some("Copy it again")),
        ("orientation-1.jpg", None),
        ("cut.jpg", Some("Copy it again")),
        ("png-named.jpg", None),
        ("huge-header.jpg", None),
        ("nonsense-time.jpg", None),
        ("header-only.heic", Some("Set the phone's camera to JPEG")),
        ("nonsense-gps.jpg", None),
        ("orientation-6.jpg", None),
    ];
    let (mut taken, mut refused) = (0, 0);
    for (name, advice) in batch {
        let (state, files) = (ann.state(&job), kept(&photos));
        match (add(name), advice) {
            (Ok(_), None) => {
                taken += 1;
                assert_ne!(ann.state(&job), state, "{name}");
            }
            (Err(error), Some(advice)) => {
                refused += 1;
                assert_eq!(error.code, ErrorCode::Invalid, "{name}: {error:?}");
                assert!(error.message.contains(advice), "{name}: {error:?}");
                assert!(error.message.contains("Nothing was kept"), "{error:?}");
                assert_eq!(ann.state(&job), state, "{name}");
                assert_eq!(kept(&photos), files, "{name}");
            }
            (other, _) => panic!("{name}: {other:?}"),
        }
    }
    assert_eq!((taken, refused), (6, 3));
    let view = ann.call("readJob", json!({"job": job}));
    let pictures = view["photos"].as_array().unwrap();
    assert_eq!(pictures.len(), taken);
    let of = |name: &str| -> &Value {
        let bytes = fs::read(fixtures().join(name)).unwrap();
        let sha256 = records::photos::sha256_hex(&bytes);
        pictures
            .iter()
            .find(|p| {
                let files = p["files"].as_array().unwrap().iter();
                files
                    .clone()
                    .any(|f| f["sha256"] == sha256.as_str() && f["role"] == "original")
            })
            .unwrap_or_else(|| panic!("no picture of {name}"))
    };
    // Nonsense in the file's own words costs those words, never the picture.
    let doubts = |name: &str| of(name)["doubts"].as_array().unwrap().len();
    assert_eq!(
        (doubts("nonsense-time.jpg"), doubts("nonsense-gps.jpg")),
        (1, 1)
    );
    assert_eq!(doubts("orientation-1.jpg"), 0);
    // What can't be shown says so, where its file's own words have no doubt.
    let unseen = of("huge-header.jpg")["doubts"][0].as_str().unwrap();
    assert!(
        unseen.contains("kept as it is: 30000 × 30000 pixels") && unseen.contains("Take it again"),
        "{unseen}"
    );
    assert!(of("nonsense-time.jpg")["position"].is_array());
    assert!(of("nonsense-gps.jpg")["position"].is_null());
    assert!(of("nonsense-gps.jpg")["taken"]["ms"].is_i64());
    let roles = |name: &str| -> BTreeSet<&str> {
        let files = of(name)["files"].as_array().unwrap().iter();
        files.map(|f| f["role"].as_str().unwrap()).collect()
    };
    assert_eq!(roles("huge-header.jpg"), BTreeSet::from(["original"]));
    let three = BTreeSet::from(["original", "thumb", "view"]);
    assert_eq!(roles("png-named.jpg"), three);
    ann.run("startVerify", json!({"what": "data"})).unwrap();
}

//! Pictures that the disk refuses.

use std::fs;
use std::path::Path;

use crate::common::Device;
use api::{App, ErrorCode};
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
    let ask = json!({"job": job, "source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}, "name": "a.jpg"});
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

#[test]
fn refused_pictures_make_room_for_those_that_follow() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:");
    let add = |command: &str, n: usize, bytes: &[u8], name: &str| {
        let upload = format!("upload{n:0>12}");
        ann.app.uploads.add(&upload, 0, bytes)?;
        let source = json!({"kind": "upload", "upload": upload, "bytes": bytes.len()});
        ann.try_call(command, json!({"job": job, "source": source, "name": name}))
    };
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0heicmif1";
    for n in 0..70 {
        let refused = match n % 2 {
            0 => add("addPhoto", n, heic, "a.heic").unwrap_err(),
            _ => add("addDocument", n, b"", "empty.pdf").unwrap_err(),
        };
        assert_eq!(refused.code, ErrorCode::Invalid, "{n}: {refused:?}");
    }
    let good = fs::read(fixture("orientation-1.jpg")).unwrap();
    add("addPhoto", 100, &good, "a.jpg").unwrap();
}

#[test]
fn a_caption_is_kept_as_it_was_typed_or_refused() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:");
    let source = json!({"kind": "file", "path": fixture("orientation-1.jpg")});
    let add = |caption: &str| {
        let ask = json!({"job": job, "source": source, "name": "a.jpg", "caption": caption});
        ann.try_call("addPhoto", ask)
    };
    let whole = "\u{202e}as typed\nover two lines ".repeat(100);
    add(&whole).unwrap();
    let refused = add(&"x".repeat(4001)).unwrap_err();
    assert_eq!(refused.code, ErrorCode::Invalid);
    assert!(refused.message.contains("4000 characters"), "{refused:?}");
    let read = ann.call("readJob", json!({"job": job}));
    let subject = read["photos"][0]["subject"].as_str().unwrap();
    let told = ann.call("readSubject", json!({"job": job, "subject": subject}));
    let facts = told["facts"].as_array().unwrap();
    let caption = facts
        .iter()
        .find(|fact| fact["field"] == "caption")
        .unwrap();
    assert_eq!(caption["words"][0]["value"], whole.trim());
    assert_eq!(read["photos"].as_array().unwrap().len(), 1);
    // What is told beside a value goes by its own name.
    let claim = json!({"subject": format!("job:{job}"), "field": "note", "value": "short",
        "with": {"entered": "x".repeat(4001)}});
    let refused = ann.refused("say", json!({"job": job, "claims": [claim]}));
    assert!(
        refused.message.starts_with("What was typed is longer"),
        "{refused:?}"
    );
    // So is every other text.
    let claim =
        json!({"subject": format!("job:{job}"), "field": "note", "value": "x".repeat(4001)});
    let refused = ann.refused("say", json!({"job": job, "claims": [claim]}));
    assert!(refused.message.contains("4000 characters"), "{refused:?}");
    assert!(refused.message.starts_with("A note"), "{refused:?}");
}

#[test]
fn pictures_and_documents_come_from_files_of_this_machine_too() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:");
    let picture = fixture("orientation-1.jpg");
    let ask = |path: &Path| json!({"job": job, "name": "a.jpg", "source": {"kind": "file", "path": path}});
    for command in ["addPhoto", "addDocument"] {
        let added = ann.call(command, ask(&picture));
        let seen = ann.call(
            "readSubject",
            json!({"job": job, "subject": added["created"]}),
        );
        assert!(!seen["facts"].as_array().unwrap().is_empty(), "{seen}");
        let missing = ann.refused(command, ask(&dir.path().join("nothing.jpg")));
        assert_eq!(missing.code, ErrorCode::Storage, "{missing:?}");
        let folder = ann.refused(command, ask(dir.path()));
        assert_eq!(folder.code, ErrorCode::Invalid, "{folder:?}");
    }
    let hash = records::photos::sha256_hex(&fs::read(&picture).unwrap());
    let kept = dir
        .path()
        .join(format!("ann/photos/{}/{hash}.jpg", &hash[..2]));
    assert_eq!(fs::read(kept).unwrap(), fs::read(&picture).unwrap());
}

fn fixture(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures/photos")
        .join(name)
}

#[test]
fn what_of_a_picture_can_not_be_believed_is_told_when_it_is_added() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/photos");
    for name in ["nonsense-time.jpg", "nonsense-gps.jpg"] {
        let bytes = fs::read(photos.join(name)).unwrap();
        let upload = format!("upload{:011}", bytes.len());
        ann.app.uploads.add(&upload, 0, &bytes).unwrap();
        let added = ann.call(
            "addPhoto",
            json!({"job": job, "name": name,
                "source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}}),
        );
        let remarks = added["remarks"].as_array().unwrap();
        assert!(!remarks.is_empty(), "{name}: {added}");
    }
}

#[test]
fn a_document_is_handed_out_as_it_was_taken_in_or_not_at_all() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let bytes = b"%PDF-1.4\n%%EOF\n";
    let upload = "upload00000000001";
    ann.app.uploads.add(upload, 0, bytes).unwrap();
    let source = json!({"kind": "upload", "upload": upload, "bytes": bytes.len()});
    let ask = json!({"job": job, "source": source, "name": "Letter 17/3.pdf"});
    let document = ann.call("addDocument", ask)["created"].clone();
    let read = ann.call("readJob", json!({"job": job}));
    let hash = read["documents"][0]["files"][0]["sha256"].as_str().unwrap();

    let copy = json!({"job": job, "document": document});
    let nowhere = ann.refused("handOutDocument", copy.clone());
    assert!(nowhere.message.contains("Name a folder"), "{nowhere:?}");
    let downloads = dir.path().join("Downloads");
    fs::create_dir(&downloads).unwrap();
    ann.app.saves_into(downloads.clone());
    let copied = ann.call("handOutDocument", copy.clone());
    let there = downloads.join("Letter 17-3.pdf");
    assert_eq!(copied["file"], there.to_str().unwrap());
    assert_eq!(copied["bytes"], bytes.len());
    assert_eq!(fs::read(&there).unwrap(), bytes);
    // Once more is the same file; the person's own of that name stays.
    assert_eq!(ann.call("handOutDocument", copy.clone()), copied);
    fs::write(&there, b"the person's own").unwrap();
    let beside = ann.call("handOutDocument", copy.clone());
    let second = downloads.join("Letter 17-3-2.pdf");
    assert_eq!(beside["file"], second.to_str().unwrap());
    assert_eq!(fs::read(&there).unwrap(), b"the person's own");

    // A picture is no document, and one that is not the job's is none either.
    let picture = json!({"kind": "file", "path": fixture("orientation-1.jpg")});
    let photo = ann.call(
        "addPhoto",
        json!({"job": job, "source": picture, "name": "a.jpg"}),
    );
    let other = json!({"job": job, "document": photo["created"]});
    assert_eq!(
        ann.refused("handOutDocument", other).code,
        ErrorCode::Invalid
    );
    let elsewhere = json!({"job": ann.begin("Deck two"), "document": document});
    let refused = ann.refused("handOutDocument", elsewhere);
    assert_eq!(refused.code, ErrorCode::NotFound, "{refused:?}");

    // Changed on the disk by one byte: nothing leaves, by either way.
    let kept = dir
        .path()
        .join(format!("ann/photos/{}/{hash}.pdf", &hash[..2]));
    fs::write(&kept, b"%PDF-1.4\n%%EOF\r").unwrap();
    let refused = ann.refused("handOutDocument", copy.clone());
    assert_eq!(refused.code, ErrorCode::Fault, "{refused:?}");
    assert!(
        refused.message.contains("changed or damaged"),
        "{refused:?}"
    );
    let asked = api::pictures::PictureRequest::parse(hash, None).unwrap();
    assert_eq!(ann.app.picture(&asked).unwrap_err().code, ErrorCode::Fault);
    fs::remove_file(&kept).unwrap();
    assert_eq!(
        ann.refused("handOutDocument", copy).code,
        ErrorCode::NotFound
    );
    assert_eq!(fs::read_dir(&downloads).unwrap().count(), 2);
}

//! Small texts that the screens keep on a device: beside the record, never in it.

use crate::common::Device;
use api::ErrorCode;
use serde_json::{Value, json};

fn texts(device: &Device) -> Value {
    device.call("readKept", json!({}))["texts"].clone()
}

#[test]
fn what_is_kept_is_there_after_a_restart_and_after_a_rebuild_until_it_is_forgotten() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let before = ann.call("overview", json!({}));
    ann.call("keep", json!({"name": "ui:theme", "value": "dark"}));
    ann.call("keep", json!({"name": "ui:theme", "value": "light"}));
    ann.call("keep", json!({"name": "ui:draft/a", "value": "72…"}));
    assert_eq!(ann.call("overview", json!({})), before);
    drop(ann);
    let ann = Device::open(&dir.path().join("ann"));
    ann.call("rebuild", json!({}));
    assert_eq!(
        texts(&ann),
        json!({"ui:draft/a": "72…", "ui:theme": "light"})
    );
    ann.call("keep", json!({"name": "ui:draft/a"}));
    ann.call("keep", json!({"name": "ui:never", "value": null}));
    assert_eq!(texts(&ann), json!({"ui:theme": "light"}));
}

#[test]
fn the_records_own_settings_can_be_neither_read_nor_written() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let known = ann.call("overview", json!({}));
    for name in [
        "person", "crew", "", "ui:", "UI:a", " ui:a", "ui:a b", "ui:é",
    ] {
        for request in [json!({"name": name}), json!({"name": name, "value": "x"})] {
            let refused = ann.refused("keep", request);
            assert_eq!(refused.code, ErrorCode::Invalid, "{name}");
            assert!(refused.message.contains("ui:"), "{}", refused.message);
        }
    }
    assert_eq!(texts(&ann), json!({}));
    assert_eq!(ann.call("overview", json!({})), known);
}

#[test]
fn too_long_too_large_and_too_many_are_refused_and_change_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let keep =
        |name: &str, value: &str| ann.try_call("keep", json!({"name": name, "value": value}));
    let longest = format!("ui:{}", "n".repeat(197));
    keep(&longest, &"x".repeat(16 * 1024)).unwrap();
    assert!(keep(&format!("{longest}n"), "x").is_err());
    // Bytes count, not letters: two of them for each of these.
    let refused = keep(&longest, &"é".repeat(8 * 1024 + 1)).unwrap_err();
    assert!(refused.message.contains("16384"), "{}", refused.message);
    for n in 1..400 {
        keep(&format!("ui:{n}"), "x").unwrap();
    }
    let refused = keep("ui:one-more", "x").unwrap_err();
    assert!(
        refused.message.contains("Forget some"),
        "{}",
        refused.message
    );
    keep("ui:1", "y").unwrap();
    let all = texts(&ann);
    assert_eq!(all.as_object().unwrap().len(), 400);
    assert_eq!(
        (&all["ui:1"], &all["ui:one-more"]),
        (&json!("y"), &Value::Null)
    );
    assert_eq!(all[&longest].as_str().unwrap().len(), 16 * 1024);
}

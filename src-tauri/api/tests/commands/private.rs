//! What a device keeps for itself, its key above all, lies in no folder that others reach.

use crate::common::{Device, shared};
use api::App;
use serde_json::{Value, json};

#[test]
fn what_a_device_keeps_for_itself_is_shared_with_nobody() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    ann.begin("Deck");
    let own = ann.app.data().to_owned();
    std::fs::create_dir(own.join("inside")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(&own, dir.path().join("link")).unwrap();
    let around = own.parent().unwrap().to_owned();
    // The folder in which another device's data lies.
    let eve = tempfile::tempdir().unwrap();
    Device::new(eve.path(), "eve", "office");
    let others = eve.path().to_owned();
    // A home of many, in which one keeps it further down.
    let home = tempfile::tempdir().unwrap();
    std::fs::create_dir_all(home.path().join("sue/x")).unwrap();
    Device::new(&home.path().join("sue/x"), "sue", "office");
    std::fs::create_dir_all(ben.app.data().join("photos")).unwrap();
    for folder in [
        own.clone(),
        own.join("inside"),
        own.join("."),
        dir.path().join("link"),
        around,
        ben.app.data().to_owned(),
        ben.app.data().join("photos"),
        others,
        home.path().to_owned(),
    ] {
        for command in ["share", "join"] {
            let refused = ann.refused(command, json!({"folder": folder}));
            assert!(
                refused
                    .message
                    .contains("the key that signs for that device"),
                "{command} {folder:?}: {}",
                refused.message
            );
        }
        assert!(!folder.join("tautbook.json").exists(), "{folder:?}");
    }
    let exchange = ann.call("readExchange", json!({}));
    assert_eq!(
        (&exchange["folder"], &exchange["joining"]),
        (&Value::Null, &Value::Null)
    );
    let beside = dir.path().join("beside");
    std::fs::create_dir(&beside).unwrap();
    ann.call("share", json!({"folder": beside}));
}

#[test]
fn a_device_does_not_begin_in_a_folder_that_is_shared() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let folder = shared(&dir);
    std::fs::create_dir(&folder).unwrap();
    ann.begin("Deck");
    ann.call("share", json!({"folder": folder}));
    #[cfg(unix)]
    std::os::unix::fs::symlink(&folder, dir.path().join("link")).unwrap();
    // Nothing is made there, be it made by hand before or not, and reached as it is or by a link.
    let inside = folder.join("newdev");
    for at in [
        inside.clone(),
        inside.join("deeper"),
        dir.path().join("link/newdev"),
    ] {
        let refused = App::open(&at).err().unwrap();
        assert!(
            refused.message.contains("lie in a folder that is shared"),
            "{at:?}: {}",
            refused.message
        );
        assert!(!inside.exists());
    }
    // What began before the folder around it was shared: the device that uses it is not stopped.
    let early = dir.path().join("early/data");
    let eve = Device::open(&early);
    let around = json!({"crew": "Reef", "person": "Eve", "role": "office"});
    std::fs::copy(
        folder.join("tautbook.json"),
        dir.path().join("early/tautbook.json"),
    )
    .unwrap();
    let refused = eve.refused("foundCrew", around);
    assert!(
        refused.message.contains("lie in a folder that is shared"),
        "{}",
        refused.message
    );
    drop(eve);
    assert!(App::open(&early).is_ok());
}

//! Looks before the second ends that two devices tell apart, and that are settled.

use crate::common::worked::Site;
use crate::common::{Device, meet};
use serde_json::{Value, json};

/// Wires 1 to 3 of run A cut, on a device that shares its folder with another.
fn on_two_devices(dir: &tempfile::TempDir) -> (Site, Device) {
    let site = Site::of_run(0);
    site.cut("1-3");
    let ben = Device::new(dir.path(), "ben", "installer");
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    site.ann.call("share", json!({"folder": folder}));
    meet(&site.ann, &ben, &folder, "installer");
    (site, ben)
}

fn tick(site: &Site, wires: &str, act: &str) -> Value {
    json!({"job": site.job, "run": site.run, "wires": wires, "act": act, "done": true})
}

fn look(site: &Site, by: &Device, hand_tried: bool) -> Value {
    let looked = json!({"subject": format!("run:{}", site.run), "field": "beforeSecondEnd",
        "value": {"sleevesOn": true, "throughAllPosts": true, "nutsOn": true,
            "handTried": hand_tried, "studPasses": true}});
    by.call("say", json!({"job": site.job, "claims": [looked]}))["entries"][0].clone()
}

#[test]
fn looks_that_two_devices_tell_apart_are_each_for_their_own_wires() {
    let dir = tempfile::tempdir().unwrap();
    let (site, ben) = on_two_devices(&dir);
    for (by, wire) in [(&site.ann, "1"), (&ben, "2")] {
        by.call("tickWires", tick(&site, wire, "threaded"));
        look(&site, by, true);
    }
    for device in [&site.ann, &ben, &site.ann] {
        device.sync();
    }
    site.ann
        .call("tickWires", tick(&site, "1-2", "rightEndPressed"));
    let third = tick(&site, "3", "rightEndPressed");
    let refused = site.ann.refused("tickWires", third);
    assert!(
        refused.message.contains("Wire A3 is not among"),
        "{}",
        refused.message
    );
}

#[test]
fn a_settled_look_is_for_the_wires_of_the_one_that_was_chosen() {
    let dir = tempfile::tempdir().unwrap();
    let (site, ben) = on_two_devices(&dir);
    site.ann.call("tickWires", tick(&site, "1-3", "threaded"));
    let whole = look(&site, &site.ann, true);
    site.ann
        .call("tickWires", tick(&site, "1-2", "rightEndPressed"));
    look(&site, &ben, false);
    for device in [&site.ann, &ben, &site.ann] {
        device.sync();
    }
    let third = || tick(&site, "3", "rightEndPressed");
    let disputed = site.ann.refused("tickWires", third());
    assert!(
        disputed.message.contains("this is not ticked"),
        "{}",
        disputed.message
    );
    let settle = json!({"job": site.job, "subject": format!("run:{}", site.run),
        "field": "beforeSecondEnd", "choose": whole, "reason": "looked again together"});
    site.ann.call("settle", settle);
    site.ann.call("tickWires", third());
    let lacks = site.ann.call("lacks", json!({"job": site.job}));
    let mut items = lacks["items"].as_array().unwrap().iter();
    let key = format!("beforeSecondEnd/{}", site.run);
    let told = items.find(|i| i["key"] == key).unwrap();
    assert_eq!(told["state"], "there", "{told}");
}

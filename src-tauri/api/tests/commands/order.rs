//! Readings name what they follow, so that no clock has to say which came later.

use std::path::Path;

use crate::common::Device;
use serde_json::{Value, json};

#[test]
fn a_reading_made_on_another_device_takes_the_place_of_the_one_it_knew() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let source = json!({"kind": "file", "path": path.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    let folder = dir.path().join("shared");
    std::fs::create_dir_all(&folder).unwrap();
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    crate::common::meet(&ann, &ben, &folder, "installer");
    let view = ben.call("readJob", json!({"job": job}));
    let run = view["runs"][0]["id"].as_str().unwrap().to_owned();
    let place = view["runs"][0]["bays"][1]["place"]
        .as_str()
        .unwrap()
        .to_owned();
    let read = |device: &Device, newtons: &str| {
        let round = json!({"bay": place, "stage": "final"});
        device.call(
            "readTension",
            json!({"job": job, "run": run, "wire": 4, "newtons": newtons, "round": round,
                "confirmed": true}),
        );
        device.sync();
    };
    let governing = |device: &Device| -> Value {
        device.sync();
        let read = device.call("tensions", json!({"job": job, "run": run}));
        read["lines"][3]["governing"]["newtons"].clone()
    };
    read(&ann, "1240");
    assert_eq!(governing(&ben), json!(1240.0));
    read(&ben, "1495");
    assert_eq!(governing(&ann), json!(1495.0));
    assert_eq!(governing(&ben), json!(1495.0));
}

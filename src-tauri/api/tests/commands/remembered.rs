//! What the program keeps of a job between commands is what a fresh reading gives, after any act.

use crate::common::worked::Site;
use crate::common::{Device, copy};
use serde_json::{Value, json};

/// All that the screens ask of a job.
fn answers(device: &Device, job: &str) -> Vec<Value> {
    let view = device.call("readJob", json!({"job": job}));
    let mut all = vec![device.call("lacks", json!({"job": job}))];
    for run in view["runs"].as_array().unwrap() {
        let of_run = json!({"job": job, "run": run["id"]});
        for name in ["progress", "tensions", "cutSheet", "holeSchedule"] {
            all.push(
                device
                    .try_call(name, of_run.clone())
                    .unwrap_or_else(|e| json!(e.message)),
            );
        }
    }
    all.push(view);
    all
}

#[test]
fn a_job_kept_in_memory_is_the_one_that_is_read_afresh() {
    let site = Site::of_run(0);
    let dir = tempfile::tempdir().unwrap();
    let mut step = 0;
    let mut same = |what: &str| {
        let kept = answers(&site.ann, &site.job);
        step += 1;
        let other = dir.path().join(step.to_string());
        copy(site.ann.app.data(), &other);
        let fresh = answers(&Device::open(&other), &site.job);
        assert_eq!(kept, fresh, "{what}");
        kept
    };
    let surveyed = same("a survey");
    // Words on wires reach their own run.
    site.cut("1-12");
    site.thread_left(6, "12.0", "11.5");
    assert_ne!(same("cuts and thread left"), surveyed);
    site.read(3, 1490, "pass", Some(2));
    same("a reading");
    site.read(3, 1500, "final", None);
    let last = same("a second reading of one wire");
    // A word on one wire, withdrawn.
    let entries = site.thread_left(5, "9.0", "9.5");
    assert_ne!(same("thread left"), last);
    let withdraw = json!({"job": site.job, "entry": entries[0], "reason": "read on another wire"});
    site.ann.call("withdraw", withdraw);
    same("a withdrawal");
    // Words on other things reach everything: a bay, a run, a person's new name.
    site.short_bay();
    same("a bay");
    let claims = json!([{"subject": format!("run:{}", site.run), "field": "name", "value": "Z"}]);
    site.ann
        .call("say", json!({"job": site.job, "claims": claims}));
    same("a run's name");
    site.read(4, 1480, "final", None);
    same("a reading after it");
}

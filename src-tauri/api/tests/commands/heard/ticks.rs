//! Nothing that is heard counts: not for a table, a list, a plan, a sign-off.

use serde_json::json;

use super::{asked, keep, sent, three};
use crate::common::worked::Site;
use crate::plucks::{PLAIN, swing, table};

/// A reading of each wire by sound, at every stage, ticks nothing anywhere.
#[test]
fn no_reading_by_sound_or_hung_phone_ticks_anything() {
    let site = Site::of_run(0);
    site.short_bay();
    let signed = |site: &Site| {
        let stage = json!({"job": site.job, "stage": "tension", "statement": "Tensioned."});
        site.ann.call("signOff", stage);
        let view = site.ann.call("readJob", json!({"job": site.job}));
        let subject = json!({"job": site.job, "subject": view["subject"]});
        let facts = site.ann.call("readSubject", subject)["facts"].clone();
        let all = facts.as_array().unwrap().iter();
        let all = all.filter(|f| f["field"] == "signOff");
        all.map(|f| f["words"][0]["with"]["numbers"].clone())
            .collect::<Vec<_>>()
    };
    let before_signed = signed(&site);
    assert!(before_signed[0].as_array().unwrap().len() > 2);
    let lacks = |site: &Site| {
        let all = site.ann.call("lacks", json!({"job": site.job}));
        let items = all["items"].as_array().unwrap().clone();
        let of_run = |key: &str| {
            let whole = format!("{key}/{}", site.run);
            items
                .iter()
                .find(|i| i["key"] == whole.as_str())
                .unwrap()
                .clone()
        };
        [of_run("tension"), of_run("massCheck"), of_run("recheck")]
    };
    let (before, next) = (
        lacks(&site),
        site.ann.call("nextAct", json!({"job": site.job})),
    );
    let (plan, again) = (site.ask("tensioning"), site.ask("recheck"));
    let progress = |site: &Site| {
        let told = site.ask("progress");
        told["wires"]
            .as_array()
            .unwrap()
            .iter()
            .map(|w| (w["stage"].clone(), w["flag"].clone()))
            .collect::<Vec<_>>()
    };
    let far = progress(&site);
    let mut name = 1;
    for stage in ["pass", "final", "recheck"] {
        for wire in [1, 6, 12] {
            // Far over the required 1330 N and far below it alike.
            let tension = if wire == 6 { 700.0 } else { 1700.0 };
            keep(&site, three(&site, wire, tension, PLAIN, name), stage).unwrap();
            name += 1;
        }
        let moved = swing(17.3, 100.0, 5.0, name.into());
        let motion = sent(&site, table(&moved, 1).as_bytes(), 1000 + name);
        let by = json!({"kind": "swing", "motion": motion, "grams": "200"});
        keep(&site, asked(&site, 3, by), stage).unwrap();
    }
    assert_eq!(lacks(&site), before);
    assert_eq!(progress(&site), far);
    assert_eq!(site.ann.call("nextAct", json!({"job": site.job})), next);
    assert_eq!(site.ask("tensioning"), plan);
    assert_eq!(site.ask("recheck"), again);
    let read = site.ask("tensions");
    assert!(read["lowest"].is_null());
    for line in read["lines"].as_array().unwrap() {
        assert!(
            line["governing"].is_null()
                && line["lastFinal"].is_null()
                && line["lastRecheck"].is_null()
        );
        assert_eq!(line["state"], "open");
        for reading in line["readings"].as_array().unwrap() {
            assert_eq!(
                (&reading["counts"], &reading["state"]),
                (&json!(false), &json!("open"))
            );
        }
    }
    // A sign-off is told the same figures with them as without.
    let all_signed = signed(&site);
    assert_eq!(all_signed.len(), 2);
    assert!(all_signed.iter().all(|told| *told == before_signed[0]));
    // The gauge's reading counts beside them.
    site.read(1, 1500, "final", None);
    let line = site.ask("tensions")["lines"][0].clone();
    assert_eq!(line["governing"]["newtons"], 1500.0);
    assert_eq!(line["state"], "clear");
}

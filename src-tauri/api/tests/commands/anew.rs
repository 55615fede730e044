//! Wires that are let out and brought up anew, looked at again, and read on two devices.
//! Source: the rules are this project's own; how wires are read and looked at again is common practice.

use crate::common::worked::Site;
use crate::common::{Device, meet};
use serde_json::{Value, json};

/// The widest bay and the one furthest from the tensioners.
const WIDE: usize = 1;
const FAR: usize = 2;

/// Run A with its long bay closed, so that 1500 N is clear of what is asked.
fn closed() -> Site {
    let site = Site::of_run(0);
    site.short_bay();
    site
}

/// Wire 8 in a bay, by whoever reads.
fn read(site: &Site, by: &Device, bay: usize, newtons: u64, round: &Value) -> String {
    said(site, by, bay, newtons, round, &[])
}

fn said(
    site: &Site,
    by: &Device,
    bay: usize,
    newtons: u64,
    round: &Value,
    over: &[&str],
) -> String {
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let mut with = json!({"bay": site.layout()["bays"][bay]["place"],
        "gauge": view["tools"][0]["id"], "air": "24"});
    for (name, value) in round.as_object().unwrap() {
        with[name] = value.clone();
    }
    let request = json!({"job": site.job, "run": site.run, "wire": 8,
        "newtons": newtons.to_string(), "round": with, "over": over, "confirmed": true});
    by.call("readTension", request)["entries"][0]
        .as_str()
        .unwrap()
        .to_owned()
}

fn hang(site: &Site, by: &Device, bay: usize, stage: &str) {
    let round = json!({"bay": site.layout()["bays"][bay]["place"], "stage": stage});
    let request = json!({"job": site.job, "run": site.run, "wire": 8,
        "deflection": {"text": "4.5"}, "grams": "2000", "round": round, "confirmed": true});
    by.call("readDeflection", request);
}

fn finals() -> Value {
    json!({"stage": "final"})
}

fn again() -> Value {
    json!({"stage": "recheck"})
}

fn pass(number: u32) -> Value {
    json!({"stage": "pass", "pass": number})
}

fn line(site: &Site, command: &str) -> Value {
    site.ask(command)["lines"][7].clone()
}

/// A second device on the same folder, which both have met.
fn with_ben(site: &Site, dir: &tempfile::TempDir) -> Device {
    let ben = Device::new(dir.path(), "ben", "installer");
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    site.ann.call("share", json!({"folder": folder}));
    meet(&site.ann, &ben, &folder, "installer");
    ben
}

fn exchange(site: &Site, ben: &Device) {
    for device in [&site.ann, ben, &site.ann] {
        device.sync();
    }
}

#[test]
fn a_wire_let_out_on_another_device_is_on_its_way_up() {
    for hung in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        let site = closed();
        let ben = with_ben(&site, &dir);
        for bay in [WIDE, FAR] {
            if hung {
                hang(&site, &site.ann, bay, "final");
            } else {
                read(&site, &site.ann, bay, 1500 - 10 * bay as u64, &finals());
            }
        }
        exchange(&site, &ben);
        read(&site, &ben, WIDE, 600, &pass(1));
        exchange(&site, &ben);
        let told = line(&site, "tensions");
        assert_eq!(told["governing"]["newtons"], 600.0, "hung: {hung}");
        assert_eq!(told["heldByDeflection"], Value::Null);
        assert_eq!(told["lastFinal"], Value::Null);
        read(&site, &ben, WIDE, 1510, &finals());
        exchange(&site, &ben);
        let told = line(&site, "tensions");
        assert_eq!(told["governing"]["newtons"], 1510.0);
        assert_eq!(told["notRead"].as_array().unwrap().len(), 1, "{told}");
    }
}

#[test]
fn a_lower_pass_that_nothing_orders_has_the_wire_read_again() {
    let dir = tempfile::tempdir().unwrap();
    let site = closed();
    let ben = with_ben(&site, &dir);
    read(&site, &site.ann, WIDE, 1500, &finals());
    read(&site, &ben, WIDE, 600, &pass(1));
    exchange(&site, &ben);
    let told = line(&site, "tensions");
    assert_eq!(told["turnedAfter"], json!([8]));
    let flags = site.ask("progress")["wires"][7]["flags"].clone();
    assert!(
        flags.as_array().unwrap().contains(&json!("readAgain")),
        "{flags}"
    );
    read(&site, &site.ann, WIDE, 1490, &finals());
    assert_eq!(line(&site, "tensions")["turnedAfter"], json!([]));
}

#[test]
fn a_recheck_after_the_wire_was_brought_up_ends_a_week_later() {
    let site = closed();
    for bay in [WIDE, FAR] {
        read(&site, &site.ann, bay, 1500, &finals());
    }
    let done = || {
        let lines = line(&site, "tensions");
        (
            lines["rechecked"].clone(),
            site.ask("recheck")["firstDone"].clone(),
        )
    };
    site.ann.days_later(8);
    read(&site, &site.ann, WIDE, 1300, &again());
    assert_eq!(done(), (json!(true), json!(true)));
    read(&site, &site.ann, WIDE, 600, &pass(1));
    read(&site, &site.ann, WIDE, 1500, &again());
    assert_eq!(done(), (json!(false), json!(false)));
    site.ann.days_later(6);
    read(&site, &site.ann, WIDE, 1490, &again());
    assert_eq!(done(), (json!(false), json!(false)));
    site.ann.days_later(1);
    read(&site, &site.ann, WIDE, 1480, &again());
    assert_eq!(done(), (json!(true), json!(true)));
}

#[test]
fn a_crew_without_a_gauge_gets_its_dates_and_is_done_a_week_later() {
    let site = closed();
    let (wide, far) = (WIDE, FAR);
    for bay in [wide, far] {
        hang(&site, &site.ann, bay, "pass");
        hang(&site, &site.ann, bay, "final");
    }
    let told = site.ask("recheck");
    assert_eq!(told["firstDone"], false);
    assert!(told["comeBack"]["fromMs"].is_i64(), "{told}");
    site.ann.days_later(8);
    for bay in [wide, far] {
        hang(&site, &site.ann, bay, "recheck");
    }
    assert_eq!(site.ask("recheck")["firstDone"], true);
    assert_eq!(line(&site, "tensions")["rechecked"], true);
}

#[test]
fn a_loss_is_counted_from_when_its_own_bay_was_read() {
    // A recheck of two days: the far bay lost on the second what the wide one did not on the first.
    let site = closed();
    read(&site, &site.ann, WIDE, 1500, &finals());
    read(&site, &site.ann, FAR, 1490, &finals());
    site.ann.days_later(8);
    read(&site, &site.ann, WIDE, 1480, &again());
    site.ann.days_later(1);
    read(&site, &site.ann, FAR, 900, &again());
    let told = line(&site, "recheck");
    assert_eq!(
        (&told["leftAtN"], &told["thereN"]),
        (&json!(1490.0), &json!(900.0))
    );
    assert_eq!(told["band"], "below", "{told}");
    // A bay that nobody read at the set tension loses from its first look on, not from the other bay's.
    let site = closed();
    read(&site, &site.ann, WIDE, 1500, &finals());
    site.ann.days_later(8);
    read(&site, &site.ann, WIDE, 1490, &again());
    read(&site, &site.ann, FAR, 1300, &again());
    site.ann.days_later(300);
    read(&site, &site.ann, WIDE, 1485, &again());
    read(&site, &site.ann, FAR, 1290, &again());
    let told = line(&site, "recheck");
    assert_eq!(
        (&told["leftAtN"], &told["thereN"]),
        (&json!(1300.0), &json!(1290.0))
    );
    assert_eq!(told["band"], "within", "{told}");
}

#[test]
fn a_corrected_reading_keeps_the_day_on_which_it_was_read() {
    let site = closed();
    for bay in [WIDE, FAR] {
        read(&site, &site.ann, bay, 1500, &finals());
    }
    let soon = read(&site, &site.ann, WIDE, 148, &again());
    site.ann.days_later(8);
    said(&site, &site.ann, WIDE, 1480, &again(), &[&soon]);
    let told = line(&site, "tensions");
    assert_eq!(told["lastRecheck"]["newtons"], 1480.0);
    assert_eq!(told["rechecked"], false, "corrected, and not read again");
}

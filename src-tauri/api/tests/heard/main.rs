//! Tensions by sound and by a hung phone through the list of commands: what is told, what is kept with
//! its recordings, and that nothing of it ticks anything.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs
)]

mod common;
#[path = "common/plucks.rs"]
mod plucks;

use std::f64::consts::TAU;

use api::pictures::{PictureRequest, PictureSize};
use api::{ApiError, ErrorCode};
use common::worked::{Site, near};
use plucks::{Dice, Form, PLAIN, file, pluck, scaled, swing, table};
use serde_json::{Value, json};

const SPAN: f64 = 1380.0;

/// Sends bytes in pieces; a name of its own for each.
fn sent(site: &Site, bytes: &[u8], name: u32) -> Value {
    let upload = format!("recording{name:011}");
    site.ann.app.uploads.add(&upload, 0, b"").unwrap();
    for (at, piece) in bytes.chunks(api::uploads::PIECE_LIMIT).enumerate() {
        let offset = at * api::uploads::PIECE_LIMIT;
        site.ann
            .app
            .uploads
            .add(&upload, offset as u64, piece)
            .unwrap();
    }
    json!({"kind": "upload", "upload": upload, "bytes": bytes.len()})
}

fn asked(site: &Site, wire: u64, by: Value) -> Value {
    json!({"job": site.job, "run": site.run, "wire": wire, "length": {"text": "1380"},
        "held": "pinched", "by": by})
}

fn plucked(recordings: &[Value]) -> Value {
    json!({"kind": "plucks", "recordings": recordings})
}

/// Three plucks of a wire at a tension, in files of a form.
fn three(site: &Site, wire: u64, tension: f64, form: Form, name: u32) -> Value {
    let one = |n: u32| {
        let sound = pluck(SPAN, tension, form.rate, u64::from(name * 10 + n));
        sent(site, &file(&sound, form), name * 10 + n)
    };
    asked(site, wire, plucked(&[one(1), one(2), one(3)]))
}

fn keep(site: &Site, heard: Value, stage: &str) -> Result<Value, ApiError> {
    let bay =
        site.ann.call("readJob", json!({"job": site.job}))["runs"][0]["bays"][1]["place"].clone();
    let round = json!({"bay": bay, "stage": stage, "air": "24"});
    site.ann
        .try_call("keepHeard", json!({"heard": heard, "round": round}))
}

fn reading(site: &Site, wire: usize) -> Value {
    site.ask("tensions")["lines"][wire - 1]["readings"][0].clone()
}

#[test]
fn three_plucks_tell_a_guide_with_its_band_and_its_inputs() {
    let site = Site::of_run(0);
    let request = three(&site, 6, 1240.0, PLAIN, 1);
    let heard = site.ann.call("hear", request.clone());
    let guide = &heard["guide"];
    near(&guide["newtons"], 1240.0, 62.0);
    assert!(
        guide["leastN"].as_f64().unwrap() < 1240.0 && guide["mostN"].as_f64().unwrap() > 1240.0
    );
    assert_eq!(heard["plucks"].as_array().unwrap().len(), 3);
    assert!(heard["refused"].is_null());
    assert_eq!(
        heard["caution"],
        "Sound: a guide only; prove with gauge or 2 kg."
    );
    let names: Vec<&str> = heard["numbers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n["name"].as_str().unwrap())
        .collect();
    for name in [
        "span, pinch to pinch",
        "mass per metre",
        "bending stiffness",
        "plucks that agree",
    ] {
        assert!(names.contains(&name), "{names:?}");
    }
    // Telling keeps nothing.
    assert!(
        site.ask("tensions")["lines"][5]["readings"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    // Each pluck tells of itself before there are three.
    let mut two = request;
    two["by"]["recordings"].as_array_mut().unwrap().pop();
    let heard = site.ann.call("hear", two);
    assert!(heard["guide"].is_null());
    assert_eq!(heard["plucks"].as_array().unwrap().len(), 2);
    near(&heard["plucks"][0]["newtons"], 1240.0, 62.0);
    // One recording of all three is cut apart.
    let all: Vec<f64> = (1..4)
        .flat_map(|n| pluck(SPAN, 1240.0, 16_000, n))
        .collect();
    let one = asked(&site, 6, plucked(&[sent(&site, &file(&all, PLAIN), 99)]));
    let heard = site.ann.call("hear", one);
    assert_eq!(heard["plucks"].as_array().unwrap().len(), 3, "{heard:#}");
    near(&heard["guide"]["newtons"], 1240.0, 62.0);
}

#[test]
fn what_is_kept_carries_its_band_its_inputs_and_the_bytes_of_its_recordings() {
    let site = Site::of_run(0);
    let kept = keep(&site, three(&site, 6, 1240.0, PLAIN, 1), "pass").unwrap();
    let read = reading(&site, 6);
    assert_eq!(
        (&read["method"], &read["counts"]),
        (&json!("sound"), &json!(false))
    );
    assert_eq!(
        (&read["state"], &read["gauge"]),
        (&json!("open"), &json!(null))
    );
    let told = &kept["heard"]["guide"];
    for figure in ["newtons", "leastN", "mostN"] {
        near(&read[figure], told[figure].as_f64().unwrap(), 0.5);
    }
    assert_eq!(read["numbers"], kept["heard"]["numbers"]);
    let hashes: Vec<&str> = read["recordings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|h| h.as_str().unwrap())
        .collect();
    assert_eq!(hashes.len(), 3);
    for (n, hash) in (11..).zip(&hashes) {
        let asked = PictureRequest {
            sha256: (*hash).to_owned(),
            size: PictureSize::Original,
        };
        let bytes = site.ann.app.picture(&asked).unwrap().bytes;
        assert_eq!(bytes, file(&pluck(SPAN, 1240.0, 16_000, n), PLAIN));
    }
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let document = &view["documents"][0];
    assert_eq!(document["caption"], "Sound, A6, A2–A3");
    assert_eq!(document["files"].as_array().unwrap().len(), 3);
    assert_eq!(
        document["shows"][0]["subject"],
        format!("wire:{}:6", site.run)
    );
    // The uploads are let go: the same name begins anew.
    assert!(
        site.ann
            .app
            .uploads
            .read("recording00000000011", 1)
            .is_err()
    );
    // Undo takes reading and document back in one.
    for entry in kept["entries"].as_array().unwrap() {
        site.ann.call(
            "withdraw",
            json!({"job": site.job, "entry": entry, "reason": "wrong wire"}),
        );
    }
    assert!(site.ask("evenUp")["groups"].as_array().unwrap().is_empty());
}

/// A reading of each wire by sound, at every stage, ticks nothing anywhere.
#[test]
fn no_reading_by_sound_or_hung_phone_ticks_anything() {
    let site = Site::of_run(0);
    site.short_bay();
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
    // A sign-off on the tension stands beside them and takes none of them for a reading.
    let signed = site.ann.try_call(
        "signOff",
        json!({"job": site.job, "stage": "tension", "statement": "Tensioned."}),
    );
    if let Ok(signed) = signed {
        let told = site
            .ann
            .call("readState", json!({"job": site.job}))
            .to_string();
        assert!(!told.contains("lowest found 1700"), "{signed}");
    }
    // The gauge's reading counts beside them.
    site.read(1, 1500, "final", None);
    let line = site.ask("tensions")["lines"][0].clone();
    assert_eq!(line["governing"]["newtons"], 1500.0);
    assert_eq!(line["state"], "clear");
}

#[test]
fn wires_are_compared_with_their_middle() {
    let site = Site::of_run(0);
    for (wire, tension) in [
        (1, 1240.0),
        (2, 1000.0),
        (3, 1250.0),
        (4, 1500.0),
        (5, 1230.0),
    ] {
        keep(
            &site,
            three(&site, wire, tension, PLAIN, wire as u32),
            "pass",
        )
        .unwrap();
    }
    let groups = site.ask("evenUp")["groups"].clone();
    assert_eq!(groups.as_array().unwrap().len(), 1);
    let group = &groups[0];
    assert_eq!(
        (&group["bayName"], &group["heard"]),
        (&json!("A2–A3"), &json!(5))
    );
    near(&group["medianN"], 1240.0, 50.0);
    let states: Vec<&str> = group["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| l["evenness"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["alike", "slacker", "alike", "tighter", "alike"]);
    assert_eq!(
        group["sentence"],
        "Tighter than the others: A4. Slacker than the others: A2."
    );
    near(&group["lines"][1]["over"], -0.19, 0.04);
    // Taken up and heard again, the later word stands.
    keep(&site, three(&site, 2, 1240.0, PLAIN, 77), "pass").unwrap();
    let group = site.ask("evenUp")["groups"][0].clone();
    assert_eq!(group["sentence"], "Tighter than the others: A4.");
}

#[test]
fn every_form_of_file_tells_the_same() {
    let site = Site::of_run(0);
    let forms = [
        PLAIN,
        Form { bits: 8, ..PLAIN },
        Form { bits: 24, ..PLAIN },
        Form {
            bits: 32,
            float: true,
            ..PLAIN
        },
        Form {
            channels: 2,
            ..PLAIN
        },
        Form {
            rate: 96_000,
            ..PLAIN
        },
        Form {
            rate: 48_000,
            bits: 24,
            float: false,
            channels: 2,
        },
    ];
    for (name, form) in (1..).zip(forms) {
        let heard = site.ann.call("hear", three(&site, 6, 1240.0, form, name));
        near(&heard["guide"]["newtons"], 1240.0, 62.0);
        assert_eq!(
            heard["notes"].as_array().unwrap().is_empty(),
            form.channels == 1
        );
    }
}

/// What no wire says: a name, the sound, and a word of the reason.
fn strange() -> Vec<(&'static str, Vec<f64>, &'static str)> {
    let rate = 16_000.0;
    let over = |of: &dyn Fn(f64) -> f64| -> Vec<f64> {
        (0..35_200).map(|i| of(f64::from(i) / rate)).collect()
    };
    let loud: Vec<f64> = pluck(SPAN, 1240.0, 16_000, 5)
        .iter()
        .map(|x| (x * 8.0).clamp(-1.0, 1.0))
        .collect();
    let hum = over(&|t| {
        (1..9)
            .map(|m| (TAU * 50.0 * f64::from(m) * t).sin() / f64::from(m))
            .sum()
    });
    // A voice: tones of a throat that wanders, shaped by two formants, in syllables.
    let speech = over(&|t| {
        let turn = TAU * (120.0 * t + 1.5 * (TAU * 2.0 * t).sin());
        let syllable = (TAU * 1.5 * t).sin().max(0.0);
        let tone = |n: f64| {
            let f = 120.0 * n;
            let near = |of: f64, wide: f64| (-((f - of) / wide).powi(2)).exp();
            (near(600.0, 150.0) + 0.7 * near(1400.0, 250.0) + 0.05) * (n * turn).sin()
        };
        syllable * (1..25).map(|n| tone(f64::from(n))).sum::<f64>()
    });
    // A held chord of three tones with their overtones.
    let music = over(&|t| {
        let tone = |f: f64| {
            (1..9)
                .map(|n| (TAU * f * f64::from(n) * t).sin() / f64::from(n))
                .sum::<f64>()
        };
        tone(220.0) + tone(277.18) + tone(329.63)
    });
    let mut dice = Dice(9);
    let wind: Vec<f64> = (0..35_200).map(|_| dice.even()).collect();
    vec![
        ("nothing", Vec::new(), "empty"),
        ("silence", vec![0.0; 35_200], "Nothing is heard"),
        ("clipped", loud, "too loud"),
        ("hum", scaled(hum, 0.5), "hum"),
        ("speech", scaled(speech, 0.5), ""),
        ("music", scaled(music, 0.5), ""),
        ("wind", scaled(wind, 0.5), ""),
        (
            "a blink",
            pluck(SPAN, 1240.0, 16_000, 1)[..3000].to_vec(),
            "of sound",
        ),
    ]
}

#[test]
fn what_is_no_pluck_is_refused_with_a_reason_and_a_remedy() {
    let site = Site::of_run(0);
    for (number, (name, sound, word)) in (1..).zip(strange()) {
        let one = |n: u32| sent(&site, &file(&sound, PLAIN), number * 10 + n);
        let request = asked(&site, 6, plucked(&[one(1), one(2), one(3)]));
        let heard = site.ann.call("hear", request.clone());
        assert!(heard["guide"].is_null(), "{name}: {heard:#}");
        let pluck = &heard["plucks"][0]["refused"];
        let reason = pluck["reason"].as_str().unwrap();
        assert!(reason.contains(word), "{name}: {reason}");
        assert!(pluck["remedy"].as_str().unwrap().ends_with('.'), "{name}");
        let error = keep(&site, request, "pass").unwrap_err();
        assert_eq!(error.code, ErrorCode::Invalid);
        assert!(
            error.message.ends_with("Nothing was saved."),
            "{}",
            error.message
        );
    }
    let view = site.ann.call("readJob", json!({"job": site.job}));
    assert!(view["documents"].as_array().unwrap().is_empty());
}

#[test]
fn spans_that_can_not_be_heard_are_refused_before_and_files_that_are_none_are_told() {
    let site = Site::of_run(0);
    let good = three(&site, 6, 1240.0, PLAIN, 1);
    let with = |name: &str, value: Value| {
        let mut request = good.clone();
        request[name] = value;
        request
    };
    for (request, word) in [
        (with("held", json!("sleeved")), "sleeves"),
        (with("held", json!("loose")), "loose"),
        (with("held", Value::Null), "nobody said"),
        (with("length", json!({"text": "500"})), "too short"),
    ] {
        let heard = site.ann.call("hear", request);
        let reason = heard["refused"]["reason"].as_str().unwrap().to_lowercase();
        assert!(reason.contains(word), "{reason}");
    }
    for (request, word) in [
        (with("wire", json!(99)), "no wire 99"),
        (with("length", json!({"text": "0"})), "no length"),
        (with("length", json!({"text": "NaN"})), "not a number"),
        (with("gramsPerMetre", json!("-5")), "mass of a metre"),
        (with("by", plucked(&[])), "0 recordings"),
        (with("by", plucked(&[sent(&site, b"", 500)])), "empty"),
        (
            with("by", plucked(&[sent(&site, b"RIFF and no more", 501)])),
            "no WAV",
        ),
        (
            with(
                "by",
                plucked(&[
                    json!({"kind": "upload", "upload": "recording00000000500", "bytes": 64 * 1024 * 1024 + 1}),
                ]),
            ),
            "64 MiB",
        ),
    ] {
        let error = site.ann.refused("hear", request);
        assert!(error.message.contains(word), "{}", error.message);
    }
    // A file on disk that is larger than it may be is not read whole.
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("large.wav");
    std::fs::File::create(&path)
        .unwrap()
        .set_len(64 * 1024 * 1024 + 1)
        .unwrap();
    let large = json!({"kind": "file", "path": path.to_str().unwrap()});
    let error = site.ann.refused("hear", with("by", plucked(&[large])));
    assert!(error.message.contains("64 MiB"), "{}", error.message);
    // A header that promises more than there is: what is there is read, and that is said.
    let whole = file(&pluck(SPAN, 1240.0, 16_000, 1), PLAIN);
    let cut: Vec<Value> = (1..4)
        .map(|n| sent(&site, &whole[..whole.len() - 8000], 600 + n))
        .collect();
    let heard = site.ann.call("hear", with("by", plucked(&cut)));
    assert!(heard["notes"][0].as_str().unwrap().contains("ends earlier"));
    near(&heard["guide"]["newtons"], 1240.0, 62.0);
}

#[test]
fn a_swing_tells_a_guide_and_motion_with_gaps_says_so() {
    let site = Site::of_run(0);
    // engineering.md section 5: 1.5 m, 1000 N, 0.2 kg swings at 17.30 Hz.
    let ask = |text: &str, name: u32| {
        let by =
            json!({"kind": "swing", "motion": sent(&site, text.as_bytes(), name), "grams": "200"});
        let mut request = asked(&site, 6, by);
        request["length"] = json!({"text": "1500"});
        request["gramsPerMetre"] = json!("50.05");
        request
    };
    let full = swing(17.30, 100.0, 5.0, 3);
    let heard = site.ann.call("hear", ask(&table(&full, 1), 1));
    near(&heard["guide"]["newtons"], 975.0, 40.0);
    let (least, most) = (
        heard["guide"]["leastN"].as_f64().unwrap(),
        heard["guide"]["mostN"].as_f64().unwrap(),
    );
    assert!(least < 1000.0 && most > 1000.0);
    let torn: Vec<(f64, f64)> = full
        .iter()
        .copied()
        .filter(|(at, _)| !(1.5..2.3).contains(at))
        .collect();
    let still: Vec<(f64, f64)> = full.iter().map(|(at, _)| (*at, 9.81)).collect();
    let broken = table(&full, 1).replace(";9.", ";NaN;9.");
    for (text, word) in [
        (table(&torn, 1), "left out"),
        (table(&full[..150], 1), "and 2 s are needed"),
        (table(&still, 1), "no one frequency"),
        ("ms;x;y;z".to_owned(), "empty"),
    ] {
        let heard = site.ann.call("hear", ask(&text, 50 + text.len() as u32));
        assert!(heard["guide"].is_null());
        let reason = heard["refused"]["reason"].as_str().unwrap();
        assert!(reason.contains(word), "{reason}");
    }
    let error = site.ann.refused("hear", ask(&broken, 9000));
    assert!(error.message.starts_with("Line "), "{}", error.message);
}

#[test]
fn gauge_and_hung_mass_keep_their_inputs_and_band_too() {
    let site = Site::of_run(0);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let (gauge, bay) = (
        view["tools"][0]["id"].clone(),
        view["runs"][0]["bays"][1]["place"].clone(),
    );
    let round =
        json!({"bay": bay, "stage": "final", "gauge": gauge, "chart": "3.2 mm", "air": "24"});
    site.call(
        "readTension",
        json!({"wire": 6, "newtons": "1500", "raw": "31.5", "round": round}),
    );
    let read = reading(&site, 6);
    assert_eq!(
        (&read["raw"], &read["chart"]),
        (&json!("31.5"), &json!("3.2 mm"))
    );
    near(&read["gaugeError"], 0.04, 1e-9);
    near(&read["leastN"], 1440.0, 0.5);
    near(&read["mostN"], 1560.0, 0.5);
    assert!(
        read["gaugeDates"].as_str().unwrap().contains("2026-08-18"),
        "{read:#}"
    );
    let names: Vec<&str> = read["numbers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n["name"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["gauge", "gauge's error", "scale", "chart"]);
    // The demo's 2 kg on A6 in A2–A3: weighed 1.998, 4.5 mm; 1500 N computes 4.60.
    for (wire, text) in [(1, "7294"), (6, "7300"), (12, "7305")] {
        site.call(
            "measure",
            json!({"wire": wire, "length": {"text": text}, "purpose": "cut", "posts": "insertsIn",
            "faces": "insertFaces", "instrument": "tape", "confirmed": true}),
        );
    }
    site.call(
        "readDeflection",
        json!({"wire": 6, "deflection": {"text": "4.6"}, "grams": "1998", "round": round}),
    );
    let check = site.ask("tensions")["lines"][5]["deflections"][0].clone();
    near(&check["grippedN"], 1500.0, 15.0);
    let band = |name: &str| {
        check[name]
            .as_array()
            .unwrap()
            .iter()
            .map(|n| n.as_f64().unwrap())
            .collect::<Vec<_>>()
    };
    let (gripped, sliding) = (band("grippedBandN"), band("slidingBandN"));
    assert!(gripped[0] < 1500.0 && gripped[1] > 1500.0 && sliding[0] > gripped[0]);
    let words = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": format!("wire:{}:6", site.run)}),
    );
    let fact = words["facts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["field"] == "deflection")
        .unwrap();
    let told = &fact["words"][0]["with"]["told"];
    near(&told["leastMn"], gripped[0] * 1000.0, 500.0);
    let names: Vec<&str> = told["numbers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n["name"].as_str().unwrap())
        .collect();
    assert!(
        names.contains(&"wire gripped at the posts")
            && names.contains(&"wire sliding through the posts"),
        "{names:?}"
    );
    // So far down no wire hangs: no tension, and the reason.
    site.call(
        "readDeflection",
        json!({"wire": 6, "deflection": {"text": "200"}, "grams": "1998", "round": round}),
    );
    let checks = site.ask("tensions")["lines"][5]["deflections"].clone();
    let slack = checks
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["deflectionMm"] == 200.0)
        .unwrap();
    assert!(slack["grippedN"].is_null());
    assert!(
        slack["sentence"]
            .as_str()
            .unwrap()
            .contains("It tells no tension"),
        "{slack:#}"
    );
}

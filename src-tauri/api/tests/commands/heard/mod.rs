//! Tensions by sound and by a hung phone through the list of commands: what is told, what is kept with
//! its recordings, and that nothing of it ticks anything. One file past 400 lines, since all are told of the same
//! plucks.

mod over;
mod refused;
mod ticks;

use crate::common::worked::{Site, near};
use crate::plucks::{Form, PLAIN, file, pluck};
use api::ApiError;
use api::ErrorCode;
use api::pictures::{PictureRequest, PictureSize};
use serde_json::{Value, json};

const SPAN: f64 = 1380.0;

/// Sends bytes in pieces; a name of its own for each.
pub(crate) fn sent(site: &Site, bytes: &[u8], name: u32) -> Value {
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
pub(super) fn three(site: &Site, wire: u64, tension: f64, form: Form, name: u32) -> Value {
    let one = |n: u32| {
        let sound = pluck(SPAN, tension, form.rate, u64::from(name * 10 + n));
        sent(site, &file(&sound, form), name * 10 + n)
    };
    asked(site, wire, plucked(&[one(1), one(2), one(3)]))
}

pub(super) fn keep(site: &Site, heard: Value, stage: &str) -> Result<Value, ApiError> {
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
    assert_eq!(heard["notes"], json!([]));
    // What was weighed of two metres, and a span longer than every bay, are told with the answer.
    let mut unlikely = request.clone();
    unlikely["gramsPerMetre"] = json!("100.1");
    unlikely["length"] = json!({"text": "1600"});
    let told = site.ann.call("hear", unlikely);
    let notes = told["notes"].to_string().replace('\u{a0}', " ");
    for word in [
        "100.1 g a metre is 2.00 times the 50.1 g",
        "1600 mm is longer than every bay of run A, 1560 mm",
    ] {
        assert!(notes.contains(word), "{word} in {notes}");
    }
    let names = told["numbers"].as_array().unwrap().iter();
    let names: std::collections::BTreeSet<&str> =
        names.map(|n| n["name"].as_str().unwrap()).collect();
    assert_eq!(names.len(), told["numbers"].as_array().unwrap().len());
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
    assert_eq!(
        (&group["stage"], &group["heard"]),
        (&json!("pass"), &json!(5))
    );
    // A wire that was brought further is no measure for those that were not, and counts where it was heard last.
    for wire in [1, 2] {
        keep(
            &site,
            three(&site, wire, 1900.0, PLAIN, 80 + wire as u32),
            "final",
        )
        .unwrap();
    }
    let groups = site.ask("evenUp")["groups"].clone();
    let told: Vec<_> = groups
        .as_array()
        .unwrap()
        .iter()
        .map(|g| {
            (
                g["stage"].clone(),
                g["heard"].clone(),
                g["lines"].as_array().unwrap().len(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [(json!("pass"), json!(3), 3), (json!("final"), json!(2), 0)]
    );
    assert_eq!(groups[0]["sentence"], "Tighter than the others: A4.");
}

#[test]
fn a_span_is_held_against_its_own_bay() {
    let site = Site::of_run(0);
    let bays = site.ann.call("readJob", json!({"job": site.job}))["runs"][0]["bays"].clone();
    // A5–A6 is 1195 clear, the longest bay 1560: one span lies between the two.
    let mut heard = three(&site, 6, 1240.0, PLAIN, 1);
    let notes = |told: &Value| told["notes"].to_string().replace('\u{a0}', " ");
    assert_eq!(notes(&site.ann.call("hear", heard.clone())), "[]");
    heard["bay"] = bays[4]["place"].clone();
    let told = notes(&site.ann.call("hear", heard.clone()));
    assert!(told.contains("1380 mm is longer than bay A5–A6"), "{told}");
    // What is kept is of its round's bay, whatever was asked before.
    let kept = keep(&site, heard, "pass").unwrap();
    assert_eq!(notes(&kept["heard"]), "[]");
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
        json!({"wire": 6, "newtons": "1500", "raw": "31.5", "round": round, "confirmed": true}),
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
    // Nothing on the gauge is no tension: a slack wire, or no reading.
    let nothing = site.refused(
        "readTension",
        json!({"wire": 6, "newtons": "0", "round": round}),
    );
    assert_eq!(nothing.code, ErrorCode::Invalid);
    assert!(
        nothing
            .message
            .contains("a slack wire, or no reading at all"),
        "{}",
        nothing.message
    );
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
    let mut slack =
        json!({"wire": 6, "deflection": {"text": "200"}, "grams": "1998", "round": round});
    let asked = site.refused("readDeflection", slack.clone());
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(
        asked
            .message
            .contains("slack: 200 mm under 1.998 kg is more"),
        "{}",
        asked.message
    );
    // As it was typed, whatever the ruler may err and however little hangs there.
    for (down, grams, words) in [
        ("25", "1998", "25 mm under 1.998 kg"),
        ("4.5", "2", "4.5 mm under 0.002 kg"),
    ] {
        let light =
            json!({"wire": 6, "deflection": {"text": down}, "grams": grams, "round": round});
        let asked = site.refused("readDeflection", light);
        let message = asked.message.replace('\u{a0}', " ");
        assert!(message.contains(words), "{message}");
    }
    slack["confirmed"] = json!(true);
    site.call("readDeflection", slack);
    // What tells more than the upper tension is asked about as a gauge's reading is.
    let tight = json!({"wire": 6, "deflection": {"text": "0.9"}, "grams": "1998", "round": round});
    let asked = site.refused("readDeflection", tight);
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(
        asked
            .message
            .contains("over the upper tension of 1800 N. Stop."),
        "{}",
        asked.message
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

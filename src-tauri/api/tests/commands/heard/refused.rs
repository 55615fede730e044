//! Bad input: what is no pluck, no file, no span and no swing is answered with a reason.

use std::f64::consts::TAU;

use api::ErrorCode;
use serde_json::{Value, json};

use super::{SPAN, asked, keep, plucked, sent, three};
use crate::common::worked::{Site, near};
use crate::plucks::{Dice, PLAIN, file, pluck, scaled, swing, table};

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
        (
            "speech",
            scaled(speech, 0.5),
            "No wire's row of tones stands above the noise",
        ),
        (
            "music",
            scaled(music, 0.5),
            "No wire's row of tones stands above the noise",
        ),
        (
            "wind",
            scaled(wind, 0.5),
            "No wire's row of tones stands above the noise",
        ),
        (
            "a blink",
            pluck(SPAN, 1240.0, 16_000, 1)[..3000].to_vec(),
            // 3000 of 16 000 a second.
            "Only 187 ms of sound",
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
    // What is unlikely about a span is asked beside a refusal, and no figure is called told for it.
    let long = with("length", json!({"text": "50000"}));
    let heard = site.ann.call("hear", long);
    let numbers = heard["numbers"].as_array().unwrap().iter();
    let mut unlikely = numbers.filter(|n| n["name"] == "unlikely span");
    assert_eq!(unlikely.next().unwrap()["origin"], "beside the run's bays");
    assert!(heard["guide"].is_null() && !heard.to_string().contains("told all the same"));
    // A hair's breadth is told as it was typed.
    let hair = site
        .ann
        .call("hear", with("length", json!({"text": "0.05"})));
    let reason = hair["refused"]["reason"].as_str().unwrap();
    assert!(
        reason
            .replace('\u{a0}', " ")
            .contains("span of 0.05 mm is too short"),
        "{reason}"
    );
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
    let cut: Vec<Value> = (1..4)
        .map(|n| {
            let whole = file(&pluck(SPAN, 1240.0, 16_000, u64::from(n)), PLAIN);
            sent(&site, &whole[..whole.len() - 8000], 600 + n)
        })
        .collect();
    let heard = site.ann.call("hear", with("by", plucked(&cut)));
    assert!(heard["notes"][0].as_str().unwrap().contains("ends earlier"));
    near(&heard["guide"]["newtons"], 1240.0, 62.0);
}

#[test]
fn a_swing_tells_a_guide_and_motion_with_gaps_says_so() {
    let site = Site::of_run(0);
    // Worked: 1.5 m, 1000 N, 0.2 kg swings at 17.30 Hz.
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
fn one_recording_is_one_pluck_of_one_wire() {
    let site = Site::of_run(0);
    let one = |name: u32| {
        let sound = pluck(SPAN, 1240.0, 16_000, 1);
        sent(&site, &file(&sound, PLAIN), name)
    };
    let thrice = asked(&site, 6, plucked(&[one(601), one(602), one(603)]));
    let refused = site.ann.refused("hear", thrice.clone());
    assert!(
        refused
            .message
            .contains("Recordings 1 and 2 are one and the same"),
        "{}",
        refused.message
    );
    assert!(keep(&site, thrice, "pass").is_err());
    keep(&site, three(&site, 6, 1240.0, PLAIN, 61), "pass").unwrap();
    // The same bytes again, for a neighbour: its own plucks are asked for.
    let mut neighbour = three(&site, 6, 1240.0, PLAIN, 61);
    neighbour["wire"] = json!(7);
    let refused = keep(&site, neighbour, "pass").unwrap_err();
    assert!(
        refused
            .message
            .contains("kept already, as a reading of wire A6"),
        "{}",
        refused.message
    );
}

//! Recordings that elements made, and swings, beside librosa's pitch and scipy's periodogram.

use mechanics::sound::even::even_up;
use mechanics::sound::{
    FreeSpan, MotionSample, Recording, SoundAnswer, Supports, bending_bounds, read_plucks, swing,
};
use mechanics::strand::{Construction, mass_per_metre};
use mechanics::{Hertz, Millimetres, Newtons, Seconds};
use serde_json::{Value, json};
use std::sync::{Arc, Mutex};

use crate::room::{Dice, Room, within};

/// How far ours and the rival were off, as shares, known once the room has compared.
fn plucks_of_elements_beside_a_rival_for_pitch(room: &mut Room) -> Arc<Mutex<Vec<(f64, f64)>>> {
    let errors: Arc<Mutex<Vec<(f64, f64)>>> = Arc::default();
    let lay = Construction::OneByNineteen;
    for (at, (metres, diameter, tension, share)) in [
        (1.5, 3.2, 1000.0, 0.1),
        (1.2, 3.2, 1500.0, 0.3),
        (1.8, 3.2, 700.0, 0.2),
        (1.0, 2.5, 900.0, 0.3),
        (1.6, 4.0, 2000.0, 0.15),
    ]
    .into_iter()
    .enumerate()
    {
        let bounds = bending_bounds(Millimetres(diameter), lay).unwrap();
        let bending = bounds.slipping.value() + share * (bounds.solid - bounds.slipping).value();
        let mass = mass_per_metre(Millimetres(diameter), lay).unwrap().value;
        let span = FreeSpan {
            length: Millimetres(metres * 1e3),
            mass,
            diameter: Millimetres(diameter),
            construction: lay,
            supports: Supports::Pinched,
        };
        let case = json!({"ask": "plucks", "length": metres, "mass": mass, "bending": bending,
            "tension": tension, "places": [0.19, 0.2, 0.22], "rate": 16_000, "seconds": 2.0,
            "bass": 120.0, "decibels": 25.0, "between": [100.0, 4000.0], "seed": at});
        let off_by = Arc::clone(&errors);
        room.ask(case, move |told, found| {
            let sounds: Vec<Vec<f32>> = told.as_array().unwrap().iter().map(samples).collect();
            let plucks: Vec<Recording<'_>> = sounds
                .iter()
                .map(|samples| Recording {
                    samples,
                    rate: Hertz(16_000.0),
                })
                .collect();
            let answer = read_plucks(&span, &plucks).unwrap();
            let SoundAnswer::Guide { reading } = answer else {
                found.holds("a clean recording is read", false, || format!("{answer:?}"));
                return;
            };
            let may = within(
                0.01,
                0.0,
                "partials in noise, with EI held within the strand's bounds only",
            );
            found.near("tension of a clamped wire", reading.tension.value(), &json!(tension), may);
            // The rival takes the wire for a bare string, whose ends turn: the higher answer.
            let mut yin: Vec<f64> = told.as_array().unwrap().iter().map(|p| p["yin"].as_f64().unwrap()).collect();
            yin.sort_by(f64::total_cmp);
            let may = within(
                0.12,
                0.0,
                "one pitch of a wire whose partials stand apart more and more: ours pinned is nearest to it",
            );
            found.near("the rival's bare string", reading.pinned.value(), &json!(yin[1]), may);
            let off = |read: f64| (read / tension - 1.0).abs();
            off_by.lock().unwrap().push((off(reading.tension.value()), off(yin[1])));
        });
    }
    errors
}

fn samples(pluck: &Value) -> Vec<f32> {
    let list = pluck["samples"].as_array().unwrap();
    list.iter()
        .map(|s| s.as_f64().unwrap() as f32 / 32_768.0)
        .collect()
}

/// A swing that dies away, its times uneven and with a gap, as a motion sensor gives it.
fn motion(f: f64, dice: &mut Dice) -> Vec<MotionSample> {
    let mut samples = Vec::new();
    let mut at = 0.0;
    while at < 7.0 {
        let decay = (-at / 4.0_f64).exp();
        let turn = std::f64::consts::TAU * f * at;
        let hand = 0.1 * (std::f64::consts::TAU * 0.7 * at).sin();
        let acceleration = 0.3 + decay * turn.sin() + hand + dice.between(-0.1, 0.1);
        samples.push(MotionSample {
            at: Seconds(at),
            acceleration,
        });
        at += 0.01 * (1.0 + dice.between(-0.15, 0.15));
        if (3.0..3.02).contains(&at) {
            at += 0.2;
        }
    }
    samples
}

fn swings_beside_a_periodogram_with_a_mean_of_its_own(room: &mut Room) {
    let mut dice = Dice::new(14);
    for f in [4.3, 8.0, 12.7, 17.3, 23.9, 31.4, 38.2] {
        let samples = motion(f, &mut dice);
        let ours = swing(&samples).unwrap();
        // What is read: from 0.3 s after the hardest jolt, eight seconds at most.
        let mean = samples.iter().map(|s| s.acceleration).sum::<f64>() / samples.len() as f64;
        let size = |s: &MotionSample| (s.acceleration - mean).abs();
        let jolt = samples
            .iter()
            .max_by(|a, b| size(a).total_cmp(&size(b)))
            .unwrap()
            .at;
        let read: Vec<&MotionSample> = samples
            .iter()
            .filter(|s| s.at >= jolt + Seconds(0.3))
            .collect();
        let times: Vec<f64> = read.iter().map(|s| s.at.value()).collect();
        let values: Vec<f64> = read.iter().map(|s| s.acceleration).collect();
        let top = 0.475 * ours.rate.value();
        let case = json!({"ask": "swung", "times": times, "values": values, "top": top});
        room.ask(case, move |told, found| {
            let may = within(
                0.0,
                0.004,
                "a parabola over three points an eighth of a line apart",
            );
            found.near(
                "frequency of a swing",
                ours.frequency.value(),
                &told["pitch"],
                may,
            );
            let may = within(
                0.02,
                0.0,
                "told at the nearest point looked at, not at the very top",
            );
            found.near("share of the motion", ours.share, &told["share"], may);
        });
    }
    for wires in [
        vec![1000.0, 1040.0, 900.0],
        vec![500.0, 1500.0, 800.0, 820.0, 1000.0, 790.0],
    ] {
        let tensions: Vec<Newtons> = wires.iter().copied().map(Newtons).collect();
        let ours = even_up(&tensions).unwrap().unwrap();
        room.ask(
            json!({"ask": "evened", "values": wires}),
            move |told, found| {
                let may = within(1e-12, 1e-12, "the same division");
                found.near("middle tension", ours.median.value(), &told["median"], may);
                let over: Vec<f64> = ours.wires.iter().map(|wire| wire.0).collect();
                found.each("share over the middle", &over, &told["over"], may);
            },
        );
    }
}

#[test]
fn recordings_beside_a_rival_and_a_periodogram() {
    let mut room = Room::of("heard.py");
    let errors = plucks_of_elements_beside_a_rival_for_pitch(&mut room);
    swings_beside_a_periodogram_with_a_mean_of_its_own(&mut room);
    room.compare();
    let errors = errors.lock().unwrap();
    let sum = |of: fn(&(f64, f64)) -> f64| errors.iter().map(of).sum::<f64>();
    assert!(
        sum(|e| e.0) < sum(|e| e.1),
        "nearer to the truth than the rival: {errors:?}"
    );
}

//! A wire pushed at mid span, and by a sphere on its way through, beside the energies of `wire.py`.

use mechanics::deflection::{
    DeflectionReading, Held, Span, deflection_under_load, load_for_deflection, read_tension, span,
    tension_from_deflection,
};
use mechanics::gap::{Between, Gap, Passing, least_tension, opening_under, passing_force};
use mechanics::{Millimetres, Newtons, NewtonsPerMillimetre};
use serde_json::{Value, json};

use crate::room::{Dice, Room, Within, within};

const EA: f64 = 794_597.0;

fn held(clear: f64, stretching: f64, anchor: Option<f64>) -> Span {
    Span {
        clear: Millimetres(clear),
        stretching: Millimetres(stretching),
        axial_stiffness: Newtons(EA),
        anchor_stiffness: anchor.map(NewtonsPerMillimetre),
    }
}

fn asked(ask: &str, span: &Span, more: Value) -> Value {
    let mut case = json!({"ask": ask, "clear": span.clear, "stretching": span.stretching,
        "stiffness": span.axial_stiffness, "anchor": span.anchor_stiffness});
    for (name, value) in more.as_object().unwrap() {
        case[name] = value.clone();
    }
    case
}

const DIFFERENCED: Within = within(
    1e-6,
    1e-7,
    "what is left when an energy of metres of wire is differenced over parts of a millimetre",
);

fn pushed_wires_rest_where_their_energy_is_least(room: &mut Room) {
    let mut cases = vec![
        // Slack, hardly tight, tight; the shortest and the longest span; an anchor that gives.
        (held(1000.0, 1000.0, None), 0.0, 19.62),
        (held(1000.0, 5000.0, None), 0.0, 1.0),
        (held(50.0, 50.0, None), 1500.0, 150.0),
        (held(50_000.0, 50_000.0, None), 300.0, 19.62),
        (held(1410.0, 7300.0, None), 1330.0, 19.62),
        (held(1000.0, 1000.0, Some(50.0)), 300.0, 150.0),
        (held(1200.0, 6000.0, Some(5000.0)), 1500.0, 500.0),
        (held(1000.0, 5000.0, Some(200.0)), 30.0, 1000.0),
    ];
    let mut dice = Dice::new(3);
    for _ in 0..30 {
        let clear = dice.between(300.0, 3000.0);
        let spans = f64::from(dice.whole(1, 6));
        let soft = dice.between(20.0, 2000.0);
        let anchor = dice.pick(&[None, None, Some(soft)]);
        cases.push((
            held(clear, clear * spans, anchor),
            dice.between(1.0, 3000.0),
            dice.between(5.0, 600.0),
        ));
    }
    for (span, tension, load) in cases {
        let rests = deflection_under_load(&span, Newtons(tension), Newtons(load)).unwrap();
        room.ask(
            asked("pushed", &span, json!({"tension": tension, "load": load})),
            move |told, found| found.near("deflection", rests.value(), told, DIFFERENCED),
        );
        // A push of a round figure near there, whose load and tension are asked for.
        let push = (rests.value() * 8.0).round().max(1.0) / 8.0;
        let needs = load_for_deflection(&span, Newtons(tension), Millimetres(push)).unwrap();
        room.ask(
            asked("load", &span, json!({"tension": tension, "push": push})),
            move |told, found| found.near("load", needs.value(), told, DIFFERENCED),
        );
        let load = (needs.value() * 4.0).ceil() / 4.0;
        let reads = tension_from_deflection(&span, Newtons(load), Millimetres(push)).unwrap();
        room.ask(
            asked("read", &span, json!({"load": load, "push": push})),
            move |told, found| {
                let may = within(
                    1e-6,
                    1e-4,
                    "a slack wire's load hardly hangs on its tension, and the energy is differenced",
                );
                found.near("tension read", reads.value(), told, may);
            },
        );
    }
}

fn a_reading_and_its_band_gripped_and_sliding(room: &mut Room) {
    for (clear, run, push, error) in [
        (1410.0, 7300.0, 5.2, 0.5),
        (1000.0, 1000.0, 4.7, 0.25),
        (1195.0, 4165.0, 3.9, 1.0),
    ] {
        let reading = DeflectionReading {
            clear: Millimetres(clear),
            run: Millimetres(run),
            axial_stiffness: Newtons(EA),
            load: Newtons(19.62),
            deflection: Millimetres(push),
            reading_error: Millimetres(error),
        };
        let ours = read_tension(&reading).unwrap();
        for (how, band) in [(Held::Gripped, ours.gripped), (Held::Sliding, ours.sliding)] {
            let held = span(reading.clear, reading.run, reading.axial_stiffness, how);
            let most = band.most.unwrap();
            for (what, read, push) in [
                ("tension of a reading", band.tension, push),
                ("its lower edge", band.least, push + error),
                ("its upper edge", most, push - error),
            ] {
                room.ask(
                    asked("read", &held, json!({"load": 19.62, "push": push})),
                    move |told, found| found.near(what, read.value(), told, DIFFERENCED),
                );
            }
        }
    }
}

fn beside(between: Between, d: f64, span: Span, tension: f64) -> Gap {
    Gap {
        between,
        wire_diameter: Millimetres(d),
        span,
        tension: Newtons(tension),
    }
}

fn sphere(ask: &str, gap: &Gap, size: f64, more: Value) -> Value {
    let (between, apart) = match gap.between {
        Between::Wires { spacing } => ("wires", spacing),
        Between::WireAndEdge { distance } => ("edge", distance),
    };
    let mut case = asked(ask, &gap.span, more);
    case["between"] = json!(between);
    case["apart"] = json!(apart);
    case["diameter"] = json!(gap.wire_diameter);
    case["tension"] = json!(gap.tension);
    case["sphere"] = json!(size);
    case
}

/// Openings of every kind: table spacings, sliding and gripped, tight and slack, beside a face.
fn gaps() -> Vec<(Gap, f64)> {
    let wires = |spacing: f64| Between::Wires {
        spacing: Millimetres(spacing),
    };
    let edge = |distance: f64| Between::WireAndEdge {
        distance: Millimetres(distance),
    };
    let mut all = vec![
        (
            beside(wires(80.0), 3.2, held(1000.0, 1000.0, None), 1000.0),
            125.0,
        ),
        (
            beside(wires(80.0), 3.2, held(1000.0, 1000.0, None), 1000.0),
            102.0,
        ),
        (
            beside(wires(60.0), 2.5, held(1500.0, 7500.0, None), 300.0),
            125.0,
        ),
        (
            beside(wires(100.0), 4.0, held(900.0, 900.0, Some(400.0)), 1500.0),
            125.0,
        ),
        (
            beside(wires(80.0), 3.2, held(1200.0, 6000.0, None), 0.0),
            125.0,
        ),
        // Hardly held back at all.
        (
            beside(wires(126.0), 3.2, held(1000.0, 5000.0, None), 1000.0),
            125.0,
        ),
        (
            beside(edge(80.0), 3.2, held(1000.0, 1000.0, None), 1000.0),
            125.0,
        ),
        (
            beside(edge(100.0), 3.2, held(1400.0, 7000.0, None), 1330.0),
            102.0,
        ),
        (
            beside(edge(75.0), 5.0, held(600.0, 600.0, None), 500.0),
            125.0,
        ),
    ];
    let mut dice = Dice::new(4);
    for _ in 0..10 {
        let clear = dice.between(500.0, 2000.0);
        let span = held(clear, clear * f64::from(dice.whole(1, 5)), None);
        let size = dice.pick(&[100.0, 101.6, 125.0]);
        // A wire no farther from a face than the sphere's middle is met head on: a bound, no energy.
        let between = if dice.whole(0, 2) == 0 {
            edge(size / 2.0 + dice.between(3.0, 30.0))
        } else {
            wires(dice.between(50.0, 95.0))
        };
        let d = dice.pick(&[2.5, 3.2, 4.0, 5.0]);
        all.push((beside(between, d, span, dice.between(50.0, 2500.0)), size));
    }
    all
}

fn a_sphere_passes_where_the_energy_lets_it(room: &mut Room) {
    let may = within(
        1e-6,
        1e-5,
        "the force is an energy differenced over 2 µm to keep its place on the sphere",
    );
    for (gap, size) in gaps() {
        let Passing::Needs { force } = passing_force(&gap, Millimetres(size)).unwrap() else {
            panic!("a sphere of {size} that must be pushed");
        };
        room.ask(
            sphere("passing", &gap, size, json!({})),
            move |told, found| {
                found.near("force to pass", force.value(), told, may);
            },
        );
        let push = force.value() * 0.4;
        let ours = opening_under(&gap, Millimetres(size), Newtons(push)).unwrap();
        room.ask(
            sphere("opened", &gap, size, json!({"push": push})),
            move |told, found| {
                let flat = within(
                    0.0,
                    1e-4,
                    "where the wires stop is the root of a differenced energy, and of a flat one",
                );
                found.holds("held back", !ours.passes && told["passes"] == false, || {
                    told.to_string()
                });
                found.near(
                    "opening under a push",
                    ours.under_push.value(),
                    &told["opening"],
                    flat,
                );
                found.near(
                    "depth under a push",
                    ours.depth.value(),
                    &told["depth"],
                    flat,
                );
            },
        );
    }
    // The worked span of the table, five sliding; a closer one gripped; a wire beside a face.
    let of = gaps();
    for (at, push) in [(2, 100.0), (1, 60.0), (6, 350.0)] {
        let (gap, size) = of[at];
        let ours = least_tension(&gap, Millimetres(size), Newtons(push)).unwrap();
        room.ask(
            sphere("holds", &gap, size, json!({"push": push})),
            move |told, found| {
                found.near("least tension", ours.value(), told, may);
            },
        );
    }
}

#[test]
fn pushed_wires_beside_least_energies() {
    let mut room = Room::of("wire.py");
    pushed_wires_rest_where_their_energy_is_least(&mut room);
    a_reading_and_its_band_gripped_and_sliding(&mut room);
    a_sphere_passes_where_the_energy_lets_it(&mut room);
    room.compare();
}

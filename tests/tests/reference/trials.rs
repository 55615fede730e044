//! What trial wires teach beside `trial.py`: least squares, and the whole posterior on a grid.

use mechanics::Millimetres;
use mechanics::cutting::{CutWindow, cut_window};
use mechanics::trial::{Expected, Fitted, Learned, Remaining, learn, next_deduction, second_trial};
use serde_json::{Value, json};

use crate::cutting::{input, stud};
use crate::room::{Room, within};

fn mm(value: f64) -> Millimetres {
    Millimetres(value)
}

fn prior() -> Expected {
    Expected {
        offset: mm(80.0),
        per_metre: 1.55,
        offset_spread: mm(4.0),
        per_metre_spread: 0.5,
        fitted_spread: mm(1.6),
    }
}

fn fitted(metres: f64, z: f64) -> Fitted {
    let length = mm(metres * 1e3);
    // Everything of z is thread, with the posts' movement of this wire beside it.
    Fitted {
        wire: 1,
        inside_to_inside: length,
        cut: length,
        usable_thread: mm(60.0),
        showing: mm(60.0 - z - 3.0),
        inward: mm(3.0),
        still_to_come: mm(0.0),
    }
}

fn told(ask: &str, read: &[(f64, f64)], weights: &[f64], metres: f64) -> Value {
    let of = prior();
    json!({"ask": ask, "read": read, "weights": weights, "metres": metres,
        "spread": of.fitted_spread, "prior": {"offset": of.offset, "perMetre": of.per_metre,
            "offsetSpread": of.offset_spread, "perMetreSpread": of.per_metre_spread}})
}

/// One, two at one length, three, five, a bad one among four, and one of another length alone.
const READ: [&[(f64, f64)]; 7] = [
    &[(4.0, 88.4)],
    &[(4.0, 88.4), (4.0, 87.1)],
    &[(4.0, 88.4), (4.0, 87.1), (6.0, 92.0)],
    &[
        (3.0, 84.0),
        (4.0, 85.9),
        (5.0, 86.4),
        (7.0, 90.8),
        (9.0, 93.0),
    ],
    &[(4.0, 86.0), (4.0, 86.8), (6.0, 89.7), (4.0, 98.0)],
    &[(1.2, 79.0), (12.0, 101.5)],
    &[(7.3, 90.0)],
];

fn learned(read: &[(f64, f64)]) -> Learned {
    let all: Vec<Fitted> = read.iter().map(|(metres, z)| fitted(*metres, *z)).collect();
    learn(&prior(), &all).unwrap()
}

fn what_is_learned_beside_least_squares_and_the_whole_posterior(room: &mut Room) {
    for read in READ {
        let ours = learned(read);
        for metres in [2.0, 5.0, 9.0] {
            let next = next_deduction(&ours, mm(metres * 1e3), mm(25.0), mm(4.0)).unwrap();
            let mine = ours.clone();
            room.ask(
                told("learned", read, &ours.weights, metres),
                move |told, found| {
                    let may = within(1e-9, 1e-9, "two ways through the same normal equations");
                    found.near("offset", mine.offset.value(), &told["offset"], may);
                    found.near("stretch per metre", mine.per_metre, &told["perMetre"], may);
                    found.each("variances", &mine.variance, &told["variance"], may);
                    let line = next.deduction.value() + 25.0 - 4.0;
                    found.near("next deduction", line, &told["expected"], may);
                    found.near("its spread", next.spread.value(), &told["spread"], may);
                    if mine.weights.len() > 1 {
                        let may = within(
                            1e-9,
                            0.0,
                            "the weights are iterated until they stand to 1e-12",
                        );
                        found.each("weights", &mine.weights, &told["weights"], may);
                    }
                },
            );
            if read.len() < 2 {
                continue;
            }
            room.ask(told("whole", read, &ours.weights, metres), move |told, found| {
                // The weights' posterior is a normal one near the true one, and a little narrower.
                let sd = told["spread"].as_f64().unwrap();
                let may = within(
                    0.0,
                    0.35 * sd,
                    "weights make a normal posterior of one with long tails: within a third of its spread",
                );
                found.near("line beside the whole posterior", line_of(&next), &told["mean"], may);
                let may = within(
                    0.35,
                    0.0,
                    "as its mean: the normal one is narrower than one with long tails",
                );
                let own = (next.spread.value().powi(2) - 1.6_f64.powi(2)).sqrt();
                found.near("spread beside the whole posterior", own, &told["spread"], may);
            });
        }
    }
}

fn line_of(next: &mechanics::trial::Deduction) -> f64 {
    next.deduction.value() + 25.0 - 4.0
}

fn what_another_trial_saves_beside_the_normal_law(room: &mut Room) {
    let remaining: Vec<Remaining> = [(4000.0, 3.2), (6000.0, 6.0), (2500.0, 7.5), (9000.0, 5.0)]
        .into_iter()
        .map(|(length, nut)| {
            let mut of = input();
            of.inside_to_inside = mm(length);
            stud(&mut of.left).lock_nut = mm(nut);
            stud(&mut of.right).lock_nut = mm(nut);
            Remaining {
                inside_to_inside: of.inside_to_inside,
                window: cut_window(&of).unwrap(),
            }
        })
        .collect();
    for read in READ {
        let all: Vec<Fitted> = read.iter().map(|(metres, z)| fitted(*metres, *z)).collect();
        let ours = second_trial(&prior(), &all, &remaining).unwrap().unwrap();
        let now = learned(read);
        // One plain reading more, at the first remaining wire's length.
        let mut case = told("worth", read, &now.weights, 4.0);
        case["weightsThen"] = json!([now.weights.as_slice(), &[1.0]].concat());
        case["remaining"] = remaining
            .iter()
            .map(|wire| {
                let CutWindow {
                    shortest,
                    longest,
                    aim,
                    ..
                } = &wire.window;
                json!({"metres": wire.inside_to_inside.value() / 1e3, "aim": aim,
                    "shortest": shortest, "longest": longest})
            })
            .collect();
        room.ask(case, move |told, found| {
            let may = within(
                1e-8,
                1e-12,
                "sums of small tails of the normal distribution",
            );
            found.near("misses now", ours.misses_now, &told["now"], may);
            found.near(
                "misses after one more",
                ours.misses_then,
                &told["then"],
                may,
            );
            found.near(
                "widest spread now",
                ours.spread_now.value(),
                &told["spreadNow"],
                may,
            );
            found.near(
                "widest spread then",
                ours.spread_then.value(),
                &told["spreadThen"],
                may,
            );
        });
    }
}

#[test]
fn trial_wires_beside_regression_and_a_grid() {
    let mut room = Room::of("trial.py");
    what_is_learned_beside_least_squares_and_the_whole_posterior(&mut room);
    what_another_trial_saves_beside_the_normal_law(&mut room);
    room.compare();
}

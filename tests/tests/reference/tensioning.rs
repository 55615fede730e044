//! Runs tightened wire by wire, and what is lost later, beside the frame that `tensioning.py` plays.
//! One file past 400 lines, since cases, their telling and their comparison are read together.

use mechanics::loss::{Loss, LossRange, expected_later, worst_loss};
use mechanics::posts::{EndPosts, Post, Rail, Section, WirePull, inward_movement};
use mechanics::tensioning::{
    Frame, PassStep, brought, even_passes, one_pass, one_pass_on, pass_order, replan, turn_alone,
    turn_together,
};
use mechanics::{
    Degrees, Figure, Kelvins, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin,
};
use serde_json::{Value, json};

use crate::room::{Dice, Room, Within, within};

const SOLVED: Within = within(
    1e-8,
    1e-7,
    "both solve the same equations: elements on one side, influence on the other, rounding between",
);
const FOUND: Within = within(
    1e-6,
    1e-5,
    "each turn is the root of a frame that was solved before: roots end at 1e-9 of a newton",
);

/// A run with what the script needs of it.
struct Run {
    frame: Frame,
    ends: EndPosts,
    told: Value,
    wires: usize,
}

/// One end post: side, modulus, rail and turning base.
#[derive(Clone, Copy)]
struct End {
    side: f64,
    gigapascals: f64,
    rail: Option<f64>,
    turning: Option<f64>,
}

const TIMBER: End = End {
    side: 90.0,
    gigapascals: 11.0,
    rail: None,
    turning: None,
};

fn post(end: End) -> Post {
    Post {
        section: Section::Rectangle {
            along: Millimetres(end.side),
            across: Millimetres(end.side),
        },
        modulus: Figure::of(Megapascals(end.gigapascals * 1e3), Origin::Assumed),
        height: Millimetres(1000.0),
        rail: end.rail.map(|stiffness| Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(stiffness),
        }),
        base_turning: end.turning.map(|k| Figure::of(k, Origin::Measured)),
        bolt_distance: None,
    }
}

fn run(ends: [End; 2], heights: &[f64], length: f64, slope: f64, ea: f64) -> Run {
    let pulls: Vec<WirePull> = heights
        .iter()
        .map(|height| WirePull {
            height: Millimetres(*height),
            tension: Newtons(1000.0),
            slope: Degrees(slope),
        })
        .collect();
    let told = |end: End| {
        let metres: Vec<f64> = heights.iter().map(|height| height / 1e3).collect();
        json!({"heights": metres, "slopes": vec![slope.to_radians(); heights.len()],
            "bending": end.gigapascals * 1e9 * (end.side / 1e3).powi(4) / 12.0,
            "turning": end.turning.map(|k| k / 1e3),
            "rail": end.rail.map(|k| json!({"height": 1.0, "stiffness": k * 1e3}))})
    };
    // Wires of a run differ a little.
    let lengths: Vec<f64> = (0..heights.len())
        .map(|n| length + 1.5 * n as f64)
        .collect();
    let both = EndPosts {
        start: post(ends[0]),
        start_pulls: pulls.clone(),
        end: post(ends[1]),
        end_pulls: pulls,
    };
    let millimetres: Vec<Millimetres> = lengths.iter().copied().map(Millimetres).collect();
    Run {
        frame: Frame::of(&both, &millimetres, Newtons(ea)).unwrap(),
        ends: both,
        told: json!({"start": told(ends[0]), "end": told(ends[1]), "stiffness": ea,
            "lengths": lengths.iter().map(|mm| mm / 1e3).collect::<Vec<_>>()}),
        wires: heights.len(),
    }
}

fn even(count: u32, first: f64, pitch: f64) -> Vec<f64> {
    (0..count).map(|n| first + pitch * f64::from(n)).collect()
}

/// Three wires, a deck with rails, posts unlike each other, a short stair run, turning bases.
fn runs() -> Vec<Run> {
    let railed = End {
        rail: Some(500.0),
        ..TIMBER
    };
    let steel = End {
        side: 40.0,
        gigapascals: 210.0,
        ..TIMBER
    };
    let turning = End {
        turning: Some(1.0e8),
        rail: Some(300.0),
        ..TIMBER
    };
    vec![
        run(
            [TIMBER, TIMBER],
            &[300.0, 600.0, 900.0],
            4000.0,
            0.0,
            794_597.0,
        ),
        run(
            [railed, railed],
            &even(11, 80.0, 79.0),
            7235.0,
            0.0,
            794_597.0,
        ),
        run(
            [TIMBER, steel],
            &even(6, 100.0, 140.0),
            3000.0,
            0.0,
            485_000.0,
        ),
        run(
            [railed, railed],
            &even(5, 90.0, 85.0),
            1610.0,
            36.0,
            794_597.0,
        ),
        run(
            [turning, railed],
            &even(7, 80.0, 120.0),
            5000.0,
            0.0,
            1.242e6,
        ),
        run([TIMBER, TIMBER], &[500.0], 2000.0, 0.0, 794_597.0),
    ]
}

fn asked(ask: &str, run: &Run, more: Value) -> Value {
    let mut case = run.told.clone();
    case["ask"] = json!(ask);
    for (name, value) in more.as_object().unwrap() {
        case[name] = value.clone();
    }
    case
}

fn newtons(of: &[Newtons]) -> Vec<f64> {
    of.iter().map(|n| n.value()).collect()
}

fn metres(of: &[Millimetres]) -> Vec<f64> {
    of.iter().map(|mm| mm.value() / 1e3).collect()
}

/// Tensions that differ from wire to wire.
fn uneven(run: &Run, dice: &mut Dice) -> Vec<Newtons> {
    (0..run.wires)
        .map(|_| Newtons(dice.between(300.0, 1600.0).round()))
        .collect()
}

fn turn_in_and_orders_beside_the_played_frame(room: &mut Room) {
    let mut dice = Dice::new(6);
    for run in runs() {
        for tensions in [vec![Newtons(1000.0); run.wires], uneven(&run, &mut dice)] {
            let told = json!({"tensions": newtons(&tensions)});
            let ours = metres(&run.frame.turn_in(&tensions).unwrap());
            room.ask(asked("turnIn", &run, told.clone()), move |told, found| {
                found.each("turn-in", &ours, told, SOLVED);
            });
            let mut shuffled: Vec<usize> = (0..run.wires).collect();
            shuffled.sort_by_key(|wire| (wire * 7 + 3) % 11);
            let up: Vec<usize> = (0..run.wires).collect();
            for order in [up, shuffled, pass_order(run.wires, 0)] {
                let ours = newtons(&one_pass(&run.frame, &tensions, &order).unwrap().targets);
                let mut told = told.clone();
                told["order"] = json!(order);
                room.ask(asked("order", &run, told), move |told, found| {
                    found.each("one-pass targets", &ours, told, SOLVED);
                });
            }
            if run.wires <= 7 {
                let slack = vec![Newtons(0.0); run.wires];
                let ours = one_pass_on(&run.frame, &slack, &tensions, 0.0, Millimetres(0.0));
                let ours = ours.unwrap();
                let usual = one_pass(&run.frame, &tensions, &pass_order(run.wires, 0));
                let usual = usual.unwrap().largest;
                room.ask(asked("least", &run, told), move |told, found| {
                    found.near(
                        "least largest target of every order",
                        ours.largest.value(),
                        told,
                        SOLVED,
                    );
                    let least = told.as_f64().unwrap();
                    found.holds(
                        "a usual order is no less",
                        usual.value() >= least - 1e-6,
                        || format!("{usual} below {least}"),
                    );
                });
            }
        }
        let more: Vec<f64> = (0..run.wires)
            .map(|wire| run.frame.newtons_per_millimetre(wire).unwrap())
            .collect();
        room.ask(asked("stiff", &run, json!({})), move |told, found| {
            let may = within(
                1e-7,
                1e-6,
                "a difference over a tenth of a millimetre of turn-in",
            );
            found.each("newtons a millimetre adds", &more, told, may);
        });
        // Without their own stretch the wires take up what the posts move.
        let inward = metres(&inward_movement(&run.ends).unwrap().along_wire);
        let mut stiff = run.told.clone();
        stiff["stiffness"] = json!(1e30);
        stiff["ask"] = json!("turnIn");
        stiff["tensions"] = json!(vec![1000.0; run.wires]);
        room.ask(stiff, move |told, found| {
            found.each("inward movement", &inward, told, SOLVED)
        });
    }
}

fn passes_and_single_wires_beside_the_played_frame(room: &mut Room) {
    let mut dice = Dice::new(7);
    for run in runs() {
        let steps = [600.0, 1100.0, 1500.0].map(|n| PassStep {
            tension: Newtons(n),
        });
        let passes = even_passes(&run.frame, &steps, 0.04, Millimetres(0.0)).unwrap();
        let told: Vec<Value> = passes
            .iter()
            .map(|pass| {
                let order: Vec<usize> = pass.wires.iter().map(|wire| wire.wire).collect();
                json!({"tension": pass.tension, "order": order})
            })
            .collect();
        room.ask(
            asked("passes", &run, json!({"passes": told})),
            move |told, found| {
                for (pass, told) in passes.iter().zip(told.as_array().unwrap()) {
                    for wire in &pass.wires {
                        let turned = wire.turn_in.value() / 1e3;
                        found.near(
                            "turn-in of a pass",
                            turned,
                            &told["turned"][wire.wire],
                            FOUND,
                        );
                        found.near(
                            "tension after a pass",
                            wire.after.value(),
                            &told["after"][wire.wire],
                            FOUND,
                        );
                    }
                    let after: Vec<f64> = told["after"]
                        .as_array()
                        .unwrap()
                        .iter()
                        .map(|n| n.as_f64().unwrap())
                        .collect();
                    let most = after.iter().copied().fold(0.0, f64::max);
                    found.near(
                        "highest after a pass",
                        pass.highest.value(),
                        &json!(most),
                        FOUND,
                    );
                }
            },
        );
        let last = run.wires - 1;
        let mut readings = vec![
            (0, Newtons(500.0)),
            (last, Newtons(900.0)),
            (last / 2, Newtons(700.0)),
        ];
        readings.dedup_by_key(|reading| reading.0);
        let ours = newtons(&brought(&run.frame, &readings).unwrap());
        let told = json!({"readings": readings});
        room.ask(asked("brought", &run, told), move |told, found| {
            found.each("tensions after some were brought up", &ours, told, FOUND);
        });
        let have = uneven(&run, &mut dice);
        for (wire, to) in [(0, 1500.0), (last, 400.0)] {
            let ours = turn_alone(&run.frame, &have, wire, Newtons(to))
                .unwrap()
                .value()
                / 1e3;
            let told = json!({"tensions": newtons(&have), "wire": wire, "to": to});
            room.ask(asked("alone", &run, told), move |told, found| {
                found.near("turn-in of one wire alone", ours, told, FOUND);
            });
        }
        if run.wires > 2 {
            // So little that no other wire goes slack: beyond that ours does not hold.
            let wanted = [
                (0, have[0] + Newtons(60.0)),
                (last, have[last] - Newtons(40.0)),
            ];
            let ours = metres(&turn_together(&run.frame, &have, &wanted).unwrap());
            let told = json!({"tensions": newtons(&have), "wanted": wanted});
            room.ask(asked("together", &run, told), move |told, found| {
                found.each("turn-ins of wires together", &ours, told, FOUND);
            });
        }
        what_is_left_beside_the_played_frame(room, &run, &have);
    }
}

/// What is left to turn of wires that stand unevenly, and what is left of one pass once two were read.
fn what_is_left_beside_the_played_frame(room: &mut Room, run: &Run, have: &[Newtons]) {
    let wanted = vec![Newtons(1500.0); run.wires];
    let two = [(0, Newtons(1500.0)), (run.wires / 2, Newtons(1540.0))];
    let begun = brought(&run.frame, &two[..run.wires.min(2)]).unwrap();
    let all = replan(&run.frame, have, &wanted, Millimetres(0.0)).unwrap();
    let one = one_pass_on(&run.frame, &begun, &wanted, 0.04, Millimetres(0.0)).unwrap();
    for (now, plan) in [(have, all), (&begun, one)] {
        // A single wire that was read at its tension has nothing left.
        if plan.wires.is_empty() {
            continue;
        }
        let steps: Vec<(usize, f64)> = plan
            .wires
            .iter()
            .map(|w| (w.wire, w.turn_in.value() / 1e3))
            .collect();
        let wanted = wanted.clone();
        let told = json!({"tensions": newtons(now), "steps": steps});
        room.ask(asked("played", run, told), move |told, found| {
            let shows: Vec<f64> = plan.wires.iter().map(|w| w.shows.value()).collect();
            found.each(
                "what a wire shows on the way",
                &shows,
                &told["shows"],
                FOUND,
            );
            for step in &plan.wires {
                found.near(
                    "where a wire that was turned ends",
                    wanted[step.wire].value(),
                    &told["ends"][step.wire],
                    FOUND,
                );
            }
        });
    }
}

fn loss(stretch: f64, creep: f64, warmer: f64) -> Loss {
    Loss {
        stretch,
        post_creep: creep,
        expansion_difference_per_kelvin: 16e-6 - 5e-6,
        warmer_by: Kelvins(warmer),
    }
}

fn told_loss(loss: &Loss, tensions: &[Newtons]) -> Value {
    json!({"tensions": newtons(tensions), "creep": loss.post_creep, "stretch": loss.stretch,
        "expansion": loss.expansion_difference_per_kelvin, "warmer": loss.warmer_by})
}

fn later_tensions_beside_the_frame_that_crept_and_grew(room: &mut Room) {
    let mut dice = Dice::new(8);
    for run in runs() {
        for tensions in [vec![Newtons(1000.0); run.wires], uneven(&run, &mut dice)] {
            for of in [
                loss(0.0, 0.0, 0.0),
                loss(2.5e-4, 0.4, 0.0),
                loss(5.0e-4, 0.0, 15.0),
                loss(0.0, 2.0, -25.0),
                // So much that some wires, or all, hang slack.
                loss(1.5e-3, 2.0, 20.0),
                loss(9.0e-3, 3.0, 40.0),
            ] {
                let ours = newtons(&run.frame.after_loss(&tensions, &of).unwrap());
                room.ask(
                    asked("later", &run, told_loss(&of, &tensions)),
                    move |told, found| {
                        found.each("tension later", &ours, told, SOLVED);
                    },
                );
            }
            // The band of the recheck and the worst loss are made of two such answers.
            let range = LossRange {
                least: loss(0.0, 0.0, -10.0),
                most: loss(2.5e-4, 0.4, 10.0),
            };
            let band = expected_later(&run.frame, &tensions, &range, 0.04).unwrap();
            let worst = worst_loss(&run.frame, &tensions, &range).unwrap();
            let from: Vec<f64> = band.iter().map(|b| b.from.value() / 0.96).collect();
            let to: Vec<f64> = band.iter().map(|b| b.to.value() / 1.04).collect();
            room.ask(
                asked("later", &run, told_loss(&range.least, &tensions)),
                move |told, found| {
                    found.each("upper edge of the band", &to, told, SOLVED);
                },
            );
            room.ask(
                asked("later", &run, told_loss(&range.most, &tensions)),
                move |told, found| {
                    found.each("lower edge of the band", &from, told, SOLVED);
                    let left = told.as_array().unwrap().iter().map(|n| n.as_f64().unwrap());
                    let lost = left.zip(&tensions).map(|(left, had)| had.value() - left);
                    let most = lost.fold(0.0, f64::max);
                    found.near("worst loss", worst.value(), &json!(most), SOLVED);
                },
            );
        }
    }
}

#[test]
fn runs_beside_the_played_frame() {
    let mut room = Room::of("tensioning.py");
    turn_in_and_orders_beside_the_played_frame(&mut room);
    passes_and_single_wires_beside_the_played_frame(&mut room);
    later_tensions_beside_the_frame_that_crept_and_grew(&mut room);
    room.compare();
}

//! Cut windows between ends of every kind, and windows as learned, beside `chains.py`.

use mechanics::cutting::{CutInput, HAND_TENSION, ShortestBy, cut_window};
use mechanics::ends::{BoltEnd, FixedEnd, Stud, TurnbuckleEnd, WireEnd};
use mechanics::thread::{Hand, Thread};
use mechanics::trial::{Fitted, expected, learn, window_as_learned};
use mechanics::{Kelvins, MechanicsError, Millimetres, Newtons};
use serde_json::{Value, json};

use crate::cutting::{end, input};
use crate::room::{Dice, Room, Within, within};

const ROOT: Within = within(
    1e-12,
    1e-8,
    "a root of the closed chain, to a hundred-millionth of a millimetre",
);

fn mm(value: f64) -> Millimetres {
    Millimetres(value)
}

fn stud(dice: &mut Dice, hand: Hand) -> Stud {
    Stud {
        hand,
        thread: Thread::M6,
        overall: mm(dice.between(150.0, 190.0)),
        insertion: mm(dice.between(28.0, 34.0)),
        growth: mm(dice.between(0.0, 1.5)),
        usable_thread: mm(dice.between(50.0, 80.0)),
        least_engagement: mm(dice.between(4.0, 9.0)),
        start_engagement: mm(dice.between(1.0, 3.0)),
        reserve: mm(dice.between(0.0, 5.0)),
        lock_nut: mm(dice.between(0.0, 5.0)),
    }
}

/// An end of each kind, with figures that a post of 90 mm leaves room for.
fn any_end(dice: &mut Dice, kind: u32, hand: Hand) -> WireEnd {
    let seat_length = mm(dice.pick(&[0.0, 6.5]));
    match kind {
        0 => {
            let mut end = end(hand);
            end.usable_thread = mm(dice.between(32.0, 60.0));
            end.growth = mm(dice.between(0.0, 1.5));
            end.insert_clear_depth = dice.pick(&[None, Some(mm(28.0))]);
            end.seat_length = seat_length;
            end.into()
        }
        1 => WireEnd::Bolt(BoltEnd {
            stud: stud(dice, hand),
            // Now and then so long that it is the post that stops the pull and not the thread.
            shank: mm(dice.between(34.0, 40.0)),
            nut: mm(dice.between(4.0, 6.0)),
            post: mm(dice.between(40.0, 60.0)),
            washer: mm(dice.between(0.0, 2.0)),
            seat_length,
        }),
        2 => {
            let far_thread = dice.between(40.0, 70.0);
            WireEnd::Turnbuckle(TurnbuckleEnd {
                stud: stud(dice, hand),
                standoff: mm(dice.between(10.0, 30.0)),
                far_stud: mm(far_thread + dice.between(5.0, 30.0)),
                far_thread: mm(far_thread),
                // Now and then so short that both tips meet before the threads end.
                body: mm(dice.between(70.0, 160.0)),
                seat_length,
            })
        }
        _ => WireEnd::Fixed(FixedEnd {
            mouth: mm(dice.between(45.0, 70.0)),
            insertion: mm(dice.between(28.0, 34.0)),
            growth: mm(dice.between(0.0, 1.5)),
            seat_length,
        }),
    }
}

/// Every pair of kinds that has a thread, several times over.
fn inputs() -> Vec<CutInput> {
    let mut dice = Dice::new(21);
    let mut all = Vec::new();
    for (left, right) in (0..4).flat_map(|left| (0..4).map(move |right| (left, right))) {
        if (left, right) == (3, 3) {
            continue;
        }
        for _ in 0..3 {
            let (left, right) = (
                any_end(&mut dice, left, Hand::Left),
                any_end(&mut dice, right, Hand::Right),
            );
            all.push(CutInput {
                inside_to_inside: mm(dice.between(900.0, 8000.0)),
                tension: Newtons(dice.between(200.0, 1500.0)),
                inward: mm(dice.between(0.0, 6.0)),
                inward_before: mm(dice.between(-4.0, 4.0)),
                left,
                right,
                unequal_start: mm(dice.between(-1.5, 1.5)),
                axial_stiffness: Newtons(dice.between(4e5, 2e6)),
                constructional_stretch: dice.between(0.0, 5e-4),
                expansion_difference_per_kelvin: 11e-6,
                temperature_difference: Kelvins(dice.between(-20.0, 20.0)),
                ..input()
            });
        }
    }
    all
}

fn told(ask: &str, of: &CutInput) -> Value {
    json!({"ask": ask, "length": of.inside_to_inside, "tension": of.tension, "inward": of.inward,
        "before": of.inward_before, "ends": [of.left, of.right], "unequal": of.unequal_start,
        "stiffness": of.axial_stiffness, "stretch": of.constructional_stretch,
        "expansion": of.expansion_difference_per_kelvin, "warmer": of.temperature_difference,
        "hand": HAND_TENSION})
}

/// Limits that a window tells; of one that does not exist those that cross.
fn limits(of: &CutInput) -> (f64, f64, Option<ShortestBy>) {
    match cut_window(of) {
        Ok(window) => (
            window.shortest.value(),
            window.longest.value(),
            Some(window.shortest_by),
        ),
        Err(MechanicsError::NoWindow {
            shortest, longest, ..
        }) => (shortest.value(), longest.value(), None),
        Err(other) => panic!("{other}"),
    }
}

fn ends_of_every_kind_beside_the_closed_chain(room: &mut Room) {
    let (mut caught, mut held) = (0, 0);
    for of in inputs() {
        let (shortest, longest, by) = limits(&of);
        caught += usize::from(by == Some(ShortestBy::Catching));
        held += usize::from(by == Some(ShortestBy::Engagement));
        room.ask(told("chain", &of), move |told, found| {
            let of = |name: &str| told[name].as_f64().unwrap();
            let theirs = of("least").max(of("catches"));
            found.near("longest cut", longest, &told["longest"], ROOT);
            found.near("shortest cut", shortest, &json!(theirs), ROOT);
            if let Some(by) = by {
                let catches = of("catches") > of("least");
                let says = (by == ShortestBy::Catching) == catches;
                found.holds("what sets the shortest", says, || told.to_string());
            }
        });
    }
    assert!(caught > 3 && held > 3, "{caught} caught, {held} held");
}

fn windows_as_learned_beside_least_squares(room: &mut Room) {
    let (mut moved_up, mut moved_down) = (0, 0);
    for (seed, of) in (0..).zip(inputs()) {
        let Ok(window) = cut_window(&of) else {
            continue;
        };
        let prior = expected(&of).unwrap();
        let mut dice = Dice::new(100 + seed);
        let read: Vec<(f64, f64)> = (0..=seed % 3)
            .map(|_| {
                let metres = of.inside_to_inside.value() / 1e3 + dice.between(-0.3, 0.3);
                let z = prior.offset.value() + prior.per_metre * metres;
                // Now and then so far off that it counts for little.
                let most = if seed % 5 == 0 { 150.0 } else { 4.0 };
                (metres, z + dice.between(-most, most))
            })
            .collect();
        let fitted: Vec<Fitted> = read
            .iter()
            .map(|(metres, z)| Fitted {
                wire: 1,
                inside_to_inside: mm(metres * 1e3),
                cut: mm(metres * 1e3 - z),
                usable_thread: mm(60.0),
                showing: mm(60.0),
                inward: mm(2.0),
                still_to_come: mm(2.0),
            })
            .collect();
        let learned = learn(&prior, &fitted).unwrap();
        let (shortest, longest, spread) = match window_as_learned(&window, &of, &learned) {
            Ok(window) => (
                window.shortest.value(),
                window.longest.value(),
                Some(window.spread.value()),
            ),
            Err(MechanicsError::NoWindow {
                shortest, longest, ..
            }) => (shortest.value(), longest.value(), None),
            Err(other) => panic!("{other}"),
        };
        if longest > window.longest.value() {
            moved_up += 1;
        } else {
            moved_down += 1;
        }
        let mut case = told("learned", &of);
        case["read"] = json!(read);
        case["weights"] = json!(learned.weights);
        case["prior"] = json!({"offset": prior.offset, "perMetre": prior.per_metre,
            "offsetSpread": prior.offset_spread, "perMetreSpread": prior.per_metre_spread,
            "fittedSpread": prior.fitted_spread});
        room.ask(case, move |told, found| {
            let may = within(
                1e-12,
                1e-8,
                "a root of the chain, and two ways through the same least squares",
            );
            found.near("longest cut as learned", longest, &told["longest"], may);
            found.near("shortest cut as learned", shortest, &told["shortest"], may);
            if let Some(spread) = spread {
                found.near("spread as learned", spread, &told["spread"], may);
            }
            // What is told upside down is told as no window.
            let none = told["shortest"].as_f64() >= told["longest"].as_f64();
            found.holds("no window is upside down", none == spread.is_none(), || {
                told.to_string()
            });
        });
    }
    assert!(
        moved_up > 3 && moved_down > 3,
        "{moved_up} up, {moved_down} down"
    );
}

#[test]
fn chains_beside_roots_and_least_squares() {
    let mut room = Room::of("chains.py");
    ends_of_every_kind_beside_the_closed_chain(&mut room);
    windows_as_learned_beside_least_squares(&mut room);
    room.compare();
}

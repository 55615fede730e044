//! Cut windows, their spread and chance, and lengths between readings, beside `cutting.py`.

use mechanics::cutting::{
    CutInput, HAND_TENSION, ShortestBy, Spreads, cut_chance, cut_for_engagement, cut_window,
    straight_chance,
};
use mechanics::ends::WireEnd;
use mechanics::fitting::FittingEnd;
use mechanics::lengths::{LengthReading, interpolate};
use mechanics::thread::{Hand, Thread};
use mechanics::trial;
use mechanics::{Kelvins, Millimetres, Newtons, Origin};
use serde_json::{Value, json};

use crate::room::{Dice, Room, Within, within};

const ROOT: Within = within(
    1e-12,
    1e-8,
    "a root of the chain walked forwards, to a hundred-millionth of a millimetre",
);

fn mm(value: f64) -> Millimetres {
    Millimetres(value)
}

/// The stud into an insert at an end.
pub(crate) fn stud(end: &mut WireEnd) -> &mut FittingEnd {
    match end {
        WireEnd::Insert(end) => end,
        other => panic!("{other:?} is no stud into an insert"),
    }
}

pub(crate) fn end(hand: Hand) -> FittingEnd {
    FittingEnd {
        hand,
        thread: Thread::M6,
        stud_overall: mm(72.0),
        insertion: mm(32.0),
        growth: mm(0.0),
        usable_thread: mm(30.0),
        least_engagement: mm(8.0),
        start_engagement: mm(2.0),
        reserve: mm(4.0),
        lock_nut: mm(0.0),
        insert_clear_depth: None,
        seat_length: mm(0.0),
        hole_diameter: mm(9.0),
        hole_depth: mm(42.0),
    }
}

pub(crate) fn input() -> CutInput {
    CutInput {
        inside_to_inside: mm(4000.0),
        tension: Newtons(1000.0),
        inward: mm(0.0),
        inward_before: mm(0.0),
        left: end(Hand::Left).into(),
        right: end(Hand::Right).into(),
        unequal_start: mm(0.0),
        axial_stiffness: Newtons(794_597.0),
        axial_stiffness_spread: 0.15,
        constructional_stretch: 3e-4,
        constructional_stretch_spread: 1.5e-4,
        expansion_difference_per_kelvin: 0.0,
        temperature_difference: Kelvins(0.0),
        spreads: Spreads {
            measure: mm(1.0),
            cut: mm(1.0),
            seat: mm(0.7),
            swage: mm(0.5),
        },
    }
}

pub(crate) fn told(ask: &str, of: &CutInput) -> Value {
    let end = |end: &WireEnd| {
        let WireEnd::Insert(end) = end else {
            panic!("{end:?} is no stud into an insert");
        };
        json!({"overall": end.stud_overall, "insertion": end.insertion, "growth": end.growth,
            "seat": end.seat_length, "thread": end.usable_thread, "nut": end.lock_nut,
            "depth": end.insert_clear_depth, "reserve": end.reserve,
            "least": end.least_engagement, "start": end.start_engagement})
    };
    json!({"ask": ask, "length": of.inside_to_inside, "tension": of.tension, "inward": of.inward,
        "before": of.inward_before,
        "ends": [end(&of.left), end(&of.right)], "unequal": of.unequal_start,
        "stiffness": of.axial_stiffness, "stiffnessSpread": of.axial_stiffness_spread,
        "stretch": of.constructional_stretch,
        "stretchSpread": of.constructional_stretch_spread,
        "expansion": of.expansion_difference_per_kelvin, "warmer": of.temperature_difference,
        "hand": HAND_TENSION, "spreads": of.spreads, "threads": [20.0, 37.5]})
}

/// The worked windows, ends unlike each other, a seat, a shallow insert, cold, movement, slack.
fn inputs() -> Vec<CutInput> {
    let mut all = vec![input()];
    let mut add = |change: &dyn Fn(&mut CutInput)| {
        let mut one = input();
        change(&mut one);
        all.push(one);
    };
    add(&|of| of.inward = mm(10.0));
    add(&|of| of.inside_to_inside = mm(10_000.0));
    add(&|of| (stud(&mut of.left).lock_nut, stud(&mut of.right).lock_nut) = (mm(3.2), mm(5.0)));
    add(&|of| {
        (
            stud(&mut of.left).insert_clear_depth,
            stud(&mut of.right).reserve,
        ) = (Some(mm(18.0)), mm(0.0))
    });
    add(&|of| (stud(&mut of.left).seat_length, stud(&mut of.left).growth) = (mm(6.5), mm(1.5)));
    add(&|of| of.unequal_start = mm(-3.0));
    add(&|of| {
        of.expansion_difference_per_kelvin = 11e-6;
        of.temperature_difference = Kelvins(-25.0);
    });
    // Caught by hand rather than held by engagement.
    add(&|of| (of.inward, stud(&mut of.left).start_engagement) = (mm(14.0), mm(5.0)));
    // Another run pulls its posts away, more than this one pulls them in; or in, before its turn.
    add(&|of| (of.inward, of.inward_before) = (mm(-2.5), mm(-6.0)));
    add(&|of| (of.inward, of.inward_before) = (mm(3.0), mm(-9.0)));
    add(&|of| (of.inward, of.inward_before) = (mm(14.0), mm(5.0)));
    add(&|of| (of.tension, of.constructional_stretch) = (Newtons(0.0), 0.0));
    add(&|of| of.inside_to_inside = mm(400.0));
    let mut dice = Dice::new(11);
    for _ in 0..20 {
        let mut one = input();
        one.inside_to_inside = mm(dice.between(500.0, 9000.0));
        one.tension = Newtons(dice.between(200.0, 1500.0));
        one.inward = mm(dice.between(0.0, 8.0));
        one.axial_stiffness = Newtons(dice.between(4e5, 2e6));
        one.constructional_stretch = dice.between(0.0, 5e-4);
        stud(&mut one.left).usable_thread = mm(dice.between(32.0, 60.0));
        stud(&mut one.right).lock_nut = mm(dice.between(0.0, 5.0));
        one.unequal_start = mm(dice.between(-2.0, 2.0));
        all.push(one);
    }
    all
}

fn windows_beside_roots_of_the_chain(room: &mut Room) {
    let (mut caught, mut windows) = (0, 0);
    for of in inputs() {
        let exact = [20.0, 37.5].map(|x| cut_for_engagement(&of, mm(x)).unwrap().value());
        let window = cut_window(&of).unwrap();
        windows += 1;
        caught += usize::from(window.shortest_by == ShortestBy::Catching);
        let expected = trial::expected(&of).unwrap();
        room.ask(told("window", &of), move |told, found| {
            let of = |name: &str| told[name].as_f64().unwrap();
            let shortest = of("least").max(of("catches"));
            let aim = f64::midpoint(shortest, of("longest"));
            found.each("cut for an engagement", &exact, &told["exact"], ROOT);
            found.near(
                "longest cut",
                window.longest.value(),
                &told["longest"],
                ROOT,
            );
            found.near(
                "shortest cut",
                window.shortest.value(),
                &json!(shortest),
                ROOT,
            );
            found.near("aim", window.aim.value(), &json!(aim), ROOT);
            let by = of("catches") > of("least");
            let says = (window.shortest_by == ShortestBy::Catching) == by;
            found.holds("what sets the shortest", says, || told.to_string());
            found.near(
                "stretch of the aim",
                window.stretch.value(),
                &told["stretch"],
                ROOT,
            );
            // The trial's expectation is the computed deduction again, at this length and a metre more.
            for (more, name) in [(0.0, "deduction"), (1000.0, "deductionLonger")] {
                let metres = (window.aim.value() + window.deduction.value() + more) / 1e3;
                let line = expected.offset.value() + expected.per_metre * metres;
                found.near("expected offset and stretch", line, &told[name], ROOT);
            }
        });
    }
    assert!(
        caught > 0 && caught < windows,
        "{caught} of {windows} windows caught by hand"
    );
}

fn spreads_and_chances_beside_wires_drawn_by_the_thousand(room: &mut Room) {
    let mut cases = vec![input()];
    for (length, cv, nut) in [
        (10_000.0, 0.05, 3.2),
        (4000.0, 0.0, 5.0),
        (16_000.0, 0.15, 3.2),
    ] {
        let mut of = input();
        of.inside_to_inside = mm(length);
        of.axial_stiffness_spread = cv;
        (stud(&mut of.left).lock_nut, stud(&mut of.right).lock_nut) = (mm(nut), mm(nut));
        cases.push(of);
    }
    for (n, of) in cases.into_iter().enumerate() {
        let window = cut_window(&of).unwrap();
        // Off the middle, so that chances are not all near one.
        let cut = window.longest - mm(2.0 + n as f64);
        let spread = mechanics::cutting::spread(&of, cut).unwrap();
        let chance = cut_chance(&of, cut).unwrap();
        let cv = of.axial_stiffness_spread;
        // The thread that the stiffness EA/(1 + cv²) leaves: a cut longer by more of it.
        let softer = CutInput {
            axial_stiffness: Newtons(of.axial_stiffness.value() / (1.0 + cv * cv)),
            ..of.clone()
        };
        let [low, high] = [20.0, 60.0].map(|x| cut_for_engagement(&softer, mm(x)).unwrap());
        let thread = 20.0 + 40.0 * ((cut - low) / (high - low));
        let mut case = told("drawn", &of);
        case["cut"] = json!(cut);
        case["shortest"] = json!(window.shortest);
        case["longest"] = json!(window.longest);
        case["seed"] = json!(n);
        room.ask(case, move |told, found| {
            let may = within(
                0.004 + 3.0 * cv * cv,
                0.0,
                "400 000 draws are good to 0.4 %; ours takes 1/EA for a straight line, which leaves out 4·cv² of the stretch's part",
            );
            found.near("spread of the thread", spread.value(), &told["spread"], may);
            let may = within(0.0, 0.012, "as the spread: what it leaves out, over the normal law's slope");
            found.near("careful chance", chance.careful, &told["inside"], may);
            if cv < 0.1 {
                // An uncertain EA shifts the mean as well: that is why the careful one stands beside.
                found.near("chance as stated", chance.as_stated, &told["inside"], may);
            }
            let careful = chance.careful <= chance.as_stated && chance.careful <= chance.mean_stretch;
            found.holds("the careful chance is the smaller", careful, || format!("{chance:?}"));
            let may = within(
                0.0,
                0.02 + 60.0 * cv.powi(4),
                "the mean of 400 000 draws is good to 0.02 mm, and three times cv⁴ of 20 mm of stretch is left out",
            );
            found.near("mean thread of an uncertain EA", thread, &told["mean"], may);
        });
        for (cut, sd) in [
            (window.aim, 2.1),
            (window.longest, 0.5),
            (window.longest + mm(9.0), 1.2),
            (window.shortest - mm(20.0), 3.0),
            (window.aim, 40.0),
        ] {
            let ours = straight_chance(&window, cut, mm(sd));
            let case = json!({"ask": "chance", "cut": cut, "spread": sd, "shortest": window.shortest,
                "longest": window.longest});
            room.ask(case, move |told, found| {
                let may = within(
                    1e-12,
                    2e-15,
                    "two ways to the normal distribution, in doubles",
                );
                found.near("chance of a normal spread", ours, told, may);
            });
        }
    }
}

fn lengths_between_readings_beside_posts_drawn_by_the_thousand(room: &mut Room) {
    let drawn = within(
        0.02,
        0.0,
        "40 000 draws: 0.35 % is one deviation of a spread",
    );
    let fitted = within(
        0.0,
        1e-8,
        "a polynomial through three points, solved by least squares",
    );
    let cases: [&[(u32, f64, f64)]; 6] = [
        &[(1, 4000.0, 1.0), (11, 4011.0, 1.0)],
        &[(1, 4000.0, 0.5), (11, 3991.0, 2.0)],
        &[(1, 4000.0, 1.0), (6, 4009.0, 1.0), (11, 4011.0, 1.0)],
        &[(1, 4000.0, 1.0), (3, 4001.0, 0.5), (11, 3996.0, 1.5)],
        &[
            (1, 4000.0, 1.0),
            (4, 4006.0, 1.0),
            (9, 4007.0, 1.0),
            (11, 4011.0, 1.0),
        ],
        &[
            (1, 4000.0, 0.2),
            (2, 4001.0, 0.2),
            (3, 4003.0, 0.2),
            (7, 4002.0, 0.4),
            (11, 4000.0, 0.2),
        ],
    ];
    for (seed, case) in cases.into_iter().enumerate() {
        // Wires are not evenly apart.
        let heights: Vec<f64> = (0..11)
            .map(|n| 80.0 + 76.0 * f64::from(n) + f64::from(n % 3))
            .collect();
        let readings: Vec<LengthReading> = case
            .iter()
            .map(|(wire, length, spread)| LengthReading {
                wire: *wire,
                length: mm(*length),
                spread: mm(*spread),
            })
            .collect();
        let millimetres: Vec<Millimetres> = heights.iter().copied().map(Millimetres).collect();
        let ours = interpolate(&millimetres, &readings, mm(2.0)).unwrap();
        let told = json!({"ask": "between", "heights": heights, "readings": readings, "bow": 2.0,
            "seed": seed});
        room.ask(told, move |told, found| {
            for (at, wire) in ours.wires.iter().enumerate() {
                found.near(
                    "length of a wire",
                    wire.length.value(),
                    &told["lengths"][at],
                    fitted,
                );
                let what = match wire.origin {
                    Origin::Measured => "spread of a measured wire",
                    _ => "spread of a wire between",
                };
                found.near(what, wire.spread.value(), &told["spreads"][at], drawn);
            }
            let bow = ours.bow.map_or(json!(null), |bow| json!(bow.value()));
            match &told["bow"] {
                Value::Null => {
                    found.holds("no bow without three", bow.is_null(), || bow.to_string())
                }
                told => found.near(
                    "bow of the posts",
                    bow.as_f64().unwrap_or(f64::NAN),
                    told,
                    fitted,
                ),
            }
        });
    }
}

#[test]
fn cuts_and_lengths_beside_roots_and_draws() {
    let mut room = Room::of("cutting.py");
    windows_beside_roots_of_the_chain(&mut room);
    spreads_and_chances_beside_wires_drawn_by_the_thousand(&mut room);
    lengths_between_readings_beside_posts_drawn_by_the_thousand(&mut room);
    room.compare();
}

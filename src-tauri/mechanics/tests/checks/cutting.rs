//! Cut windows: worked figures, the chain closed by hand, and what eats the thread.

use mechanics::cutting::{
    CutInput, FixedPlace, ShortestBy, Spreads, aim_on_tape, compare_fixed_deduction, cut_chance,
    cut_for_engagement, cut_window,
};
use mechanics::thread::Hand;
use mechanics::{Kelvins, MechanicsError, Millimetres, Newtons};

use crate::{end, near, stud};

pub(crate) fn input(inside: f64, inward: f64, lock_nut: f64) -> CutInput {
    CutInput {
        inside_to_inside: Millimetres(inside),
        tension: Newtons(1000.0),
        inward: Millimetres(inward),
        inward_before: Millimetres(0.0),
        left: end(Hand::Left, lock_nut).into(),
        right: end(Hand::Right, lock_nut).into(),
        unequal_start: Millimetres(0.0),
        axial_stiffness: Newtons(794_597.0),
        axial_stiffness_spread: 0.15,
        constructional_stretch: 3.0e-4,
        constructional_stretch_spread: 1.5e-4,
        expansion_difference_per_kelvin: 0.0,
        temperature_difference: Kelvins(0.0),
        spreads: Spreads {
            measure: Millimetres(1.0),
            cut: Millimetres(1.0),
            seat: Millimetres(0.7),
            swage: Millimetres(0.5),
        },
    }
}

#[test]
fn long_cable_of_the_textbook_stretches_18_metres() {
    // OpenStax, College Physics, worked example on the stretch of a long cable: 3020 m,
    // 2.46e-3 m², 3.0e6 N, 210 GPa → 18 m (17.54 before rounding); here by a hundred metres of it.
    let of = |tension: f64| {
        let cut = CutInput {
            tension: Newtons(tension),
            axial_stiffness: Newtons(210.0e9 * 2.46e-3),
            constructional_stretch: 0.0,
            ..input(100_000.0, 0.0, 0.0)
        };
        let swallowed = cut.left.insertion() + cut.right.insertion();
        (cut_for_engagement(&cut, Millimetres(25.0)).unwrap() - swallowed).value()
    };
    near(3020.0 * (of(0.0) / of(3.0e6) - 1.0), 17.54, 0.005);
}

#[test]
fn deduction_that_keeps_twelve_and_a_half_engaged() {
    // S = 40, w = 32, 3.2 mm 1x19, 1000 N, ε_c 2e-4, X = 25: worked by a second method.
    for (inside, expected) in [
        (1000.0, 56.28),
        (2000.0, 57.74),
        (4000.0, 60.65),
        (10_000.0, 69.39),
    ] {
        let mut of = input(inside, 0.0, 0.0);
        of.constructional_stretch = 2.0e-4;
        let cut = cut_for_engagement(&of, Millimetres(25.0)).unwrap();
        near(inside - cut.value(), expected, 0.005);
    }
}

#[test]
fn worked_windows() {
    for (inside, inward, nut, shortest, longest) in [
        (4000.0, 0.0, 0.0, 3930.0, 3965.9),
        (4000.0, 10.0, 0.0, 3923.9, 3955.9),
        (10_000.0, 10.0, 0.0, 9923.6, 9946.6),
        (4000.0, 0.0, 3.2, 3930.0, 3959.5),
        (4000.0, 0.0, 5.0, 3930.0, 3955.9),
    ] {
        let window = cut_window(&input(inside, inward, nut)).unwrap();
        near(window.shortest.value(), shortest, 0.05);
        near(window.longest.value(), longest, 0.05);
    }
    let first = cut_window(&input(4000.0, 0.0, 0.0)).unwrap();
    near(first.width.value(), 35.94, 0.005);
    near(first.spread.value(), 2.09, 0.005);
    near(
        (first.aim - first.shortest).value(),
        first.width.value() / 2.0,
        1e-9,
    );
    near(first.deduction.value(), 4000.0 - first.aim.value(), 1e-9);
}

#[test]
fn chance_of_the_fixed_rule_at_ten_metres() {
    // D 10 000, y 10, cut D − 55: 0.7001 with the stiffness as stated. Replacing EA by
    // EA/(1 + cv²) moves the window by 0.3 mm and gives less: that one is shown.
    let of = input(10_000.0, 10.0, 0.0);
    let chance = cut_chance(&of, Millimetres(9945.0)).unwrap();
    near(chance.as_stated, 0.7001, 0.00005);
    assert!(chance.mean_stretch < chance.as_stated);
    assert_eq!(chance.careful, chance.mean_stretch);
}

#[test]
fn chance_agrees_with_drawing_lots() {
    // Every spread is drawn by itself, and the made wire put through the chain: neither the sum of
    // squares nor Φ has a part in it. 200 000 drawings by a fixed sequence.
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut uniform = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        ((state >> 11) as f64) / ((1_u64 << 53) as f64)
    };
    let mut normal = || {
        let radius = (-2.0 * (1.0 - uniform()).ln()).sqrt();
        radius * (2.0 * std::f64::consts::PI * uniform()).cos()
    };
    // Each spread stands out in one row, so that none can be left out of the sum unseen. Where the
    // stiffness counts much its stretch is skewed, and a normal spread comes within two points.
    for (measure, cutting, seat, swage, stretch, stiffness, inside, cut, within) in [
        (1.0, 1.0, 0.7, 0.5, 1.5e-4, 0.15, 4000.0, 3953.0, 0.004),
        (1.0, 1.0, 0.7, 0.5, 1.5e-4, 0.15, 10_000.0, 9945.0, 0.02),
        (3.0, 0.1, 0.1, 0.1, 1.0e-5, 0.01, 4000.0, 3953.0, 0.004),
        (0.1, 3.0, 0.1, 0.1, 1.0e-5, 0.01, 4000.0, 3953.0, 0.004),
        (0.1, 0.1, 2.0, 0.1, 1.0e-5, 0.01, 4000.0, 3953.0, 0.004),
        (0.1, 0.1, 0.1, 2.0, 1.0e-5, 0.01, 4000.0, 3953.0, 0.004),
        (0.1, 0.1, 0.1, 0.1, 5.0e-4, 0.01, 4000.0, 3954.0, 0.005),
        (0.1, 0.1, 0.1, 0.1, 1.0e-5, 0.20, 4000.0, 3954.5, 0.02),
    ] {
        let of = CutInput {
            axial_stiffness_spread: stiffness,
            constructional_stretch_spread: stretch,
            spreads: Spreads {
                measure: Millimetres(measure),
                cut: Millimetres(cutting),
                seat: Millimetres(seat),
                swage: Millimetres(swage),
            },
            ..input(inside, 10.0, 0.0)
        };
        // Stud tip to wire end of both, wire swallowed by both, thread that may be used up: O 72,
        // w 32, g 0, h 30, r 4, e_min 8 at each end.
        let (studs, swallowed, least, most) = (80.0, 64.0, 16.0, 52.0);
        let draws = 200_000;
        let mut inside_window = 0;
        for _ in 0..draws {
            let strain = (1.0 + 1000.0 / (794_597.0 * (1.0 + stiffness * normal())))
                * (1.0 + 3.0e-4 + stretch * normal());
            let made = cut + cutting * normal();
            let ends = seat * (normal() + normal()) + swage * (normal() + normal());
            let apart = inside + measure * normal();
            let engaged = studs + swallowed + (made - swallowed) * strain - (apart - 10.0) + ends;
            if (least..=most).contains(&engaged) {
                inside_window += 1;
            }
        }
        let share = f64::from(inside_window) / f64::from(draws);
        assert!(
            (0.05..0.95).contains(&share),
            "a row at its edge tells little: {share}"
        );
        let chance = cut_chance(&of, Millimetres(cut)).unwrap();
        near(chance.mean_stretch, share, within);
    }
}

#[test]
fn the_chain_closes() {
    // D − y + x1 + x2 = S1 + S2 + W + (Lc − W)·k, written out again from the drawing.
    let mut of = input(5000.0, 6.0, 3.2);
    stud(&mut of.left).stud_overall = Millimetres(80.0);
    stud(&mut of.left).growth = Millimetres(1.5);
    stud(&mut of.right).insertion = Millimetres(28.0);
    of.expansion_difference_per_kelvin = 16.0e-6 - 5.0e-6;
    of.temperature_difference = Kelvins(-15.0);
    let engaged = 31.0;
    let cut = cut_for_engagement(&of, Millimetres(engaged))
        .unwrap()
        .value();
    let s = (80.0 - 32.0 + 1.5) + (72.0 - 28.0);
    let w = 32.0 + 28.0;
    let k = (1.0 + 1000.0 / 794_597.0) * (1.0 + 3.0e-4) * (1.0 + 11.0e-6 * -15.0);
    near(5000.0 - 6.0 + engaged, s + w + (cut - w) * k, 1e-9);
}

#[test]
fn other_runs_move_posts_out_for_catching_and_either_way_in_the_end() {
    let own = cut_window(&input(4000.0, 10.0, 0.0)).unwrap();
    // Engagement limits stand off by the movement over k (the chain, engineering basis section 2).
    let k = (1.0 + 1000.0 / 794_597.0) * (1.0 + 3.0e-4);
    let of = |inward: f64, before: f64| {
        let mut of = input(4000.0, inward, 0.0);
        of.inward_before = Millimetres(before);
        cut_window(&of).unwrap()
    };
    let away = of(10.0 - 9.0, -9.0);
    near((away.longest - own.longest).value(), 9.0 / k, 1e-9);
    // By hand 30 N stretch what hangs, and the posts stand 9 mm farther apart.
    let hand = 1.0 + 30.0 / 794_597.0;
    assert_eq!(away.shortest_by, ShortestBy::Catching);
    near(
        away.shortest.value(),
        (4009.0 + 4.0 - 80.0 - 64.0) / hand + 64.0,
        1e-9,
    );
    // Pulled in, nobody counts on it while the thread is caught: both limits are those of the end.
    let inside = of(10.0 + 2.0, 2.0);
    near(
        (inside.shortest - of(12.0, 0.0).shortest).value(),
        0.0,
        1e-12,
    );
    near((own.longest - inside.longest).value(), 2.0 / k, 1e-9);
}

#[test]
fn an_angled_seat_takes_its_length_from_the_cut() {
    let plain = cut_for_engagement(&input(2500.0, 0.0, 0.0), Millimetres(25.0)).unwrap();
    let mut seated = input(2500.0, 0.0, 0.0);
    stud(&mut seated.left).seat_length = Millimetres(6.0);
    stud(&mut seated.right).seat_length = Millimetres(6.0);
    let cut = cut_for_engagement(&seated, Millimetres(25.0)).unwrap();
    let k = (1.0 + 1000.0 / 794_597.0) * (1.0 + 3.0e-4);
    near((plain - cut).value(), 12.0 / k, 1e-9);
}

#[test]
fn a_shallow_insert_limits_the_longest_cut() {
    let open = cut_window(&input(4000.0, 0.0, 3.2)).unwrap();
    let mut shallow = input(4000.0, 0.0, 3.2);
    stud(&mut shallow.left).insert_clear_depth = Some(Millimetres(24.0));
    stud(&mut shallow.right).insert_clear_depth = Some(Millimetres(40.0));
    let window = cut_window(&shallow).unwrap();
    // Thread left after the nut is 26.8 mm; only the 24 mm insert takes anything away.
    near(window.budget.shallow_inserts.value(), 2.8, 1e-9);
    near(
        (open.longest - window.longest).value(),
        2.8 / 1.001_559,
        1e-3,
    );
    near(open.shortest.value(), window.shortest.value(), 1e-9);
}

#[test]
fn catching_by_hand_sets_the_shortest_cut_where_posts_move_far() {
    let near_posts = cut_window(&input(4000.0, 0.0, 0.0)).unwrap();
    assert_eq!(near_posts.shortest_by, ShortestBy::Engagement);
    let moving = cut_window(&input(4000.0, 10.0, 0.0)).unwrap();
    assert_eq!(moving.shortest_by, ShortestBy::Catching);
    assert!(moving.budget.catching.value() > 0.0);
}

#[test]
fn an_empty_window_says_by_how_much_and_why() {
    let of = input(10_000.0, 25.0, 5.0);
    let Err(MechanicsError::NoWindow {
        shortest,
        longest,
        missing,
        because,
    }) = cut_window(&of)
    else {
        panic!("25 mm of movement leaves no window");
    };
    near(missing.value(), (shortest - longest).value(), 1e-9);
    assert!(missing.value() > 0.0);
    for words in [
        "60 mm usable thread",
        "lock nuts take 10 mm",
        "reserve for re-tensioning takes 8 mm",
        "least engagement takes 16 mm",
        "catching the thread by hand, before the posts move and the wire stretches, takes",
    ] {
        assert!(because.contains(words), "{because}");
    }
}

#[test]
fn fixed_deduction_inside_and_out() {
    let window = cut_window(&input(4000.0, 0.0, 0.0)).unwrap();
    let inside = compare_fixed_deduction(&window, Millimetres(4000.0), Millimetres(55.0)).unwrap();
    assert_eq!(inside.cut, Millimetres(3945.0));
    let FixedPlace::Inside { in_hand } = inside.place else {
        panic!("{inside:?}");
    };
    near(in_hand.value(), 3945.0 - window.shortest.value(), 1e-9);
    let long = compare_fixed_deduction(&window, Millimetres(4000.0), Millimetres(30.0)).unwrap();
    let FixedPlace::TooLong { by } = long.place else {
        panic!("{long:?}");
    };
    near(by.value(), 3970.0 - window.longest.value(), 1e-9);
    let short = compare_fixed_deduction(&window, Millimetres(4000.0), Millimetres(80.0)).unwrap();
    assert!(matches!(short.place, FixedPlace::TooShort { .. }));
    assert!(
        compare_fixed_deduction(&window, Millimetres(40.0), Millimetres(55.0)).is_err(),
        "a cut below zero"
    );
}

#[test]
fn the_aim_on_the_tape_stays_in_the_window() {
    let window = cut_window(&input(4000.0, 0.0, 0.0)).unwrap();
    let aim = aim_on_tape(&window, Millimetres(1.0)).unwrap();
    assert_eq!(aim, Millimetres(window.aim.value().round()));
    // A step wider than the window may round out of it: then the exact middle is kept.
    let coarse = aim_on_tape(&window, Millimetres(500.0)).unwrap();
    assert_eq!(coarse, window.aim);
    assert!(aim_on_tape(&window, Millimetres(0.0)).is_err());
}

#[test]
fn inputs_that_cannot_be_are_refused() {
    let refused = |change: fn(&mut CutInput)| {
        let mut of = input(4000.0, 0.0, 3.2);
        change(&mut of);
        assert!(cut_window(&of).is_err(), "{of:?}");
    };
    refused(|of| of.inside_to_inside = Millimetres(0.0));
    refused(|of| of.inside_to_inside = Millimetres(-4000.0));
    refused(|of| of.inside_to_inside = Millimetres(f64::NAN));
    refused(|of| of.inside_to_inside = Millimetres(1_000_001.0));
    refused(|of| of.inside_to_inside = Millimetres(100.0));
    refused(|of| of.tension = Newtons(-1.0));
    refused(|of| of.axial_stiffness = Newtons(0.0));
    refused(|of| of.constructional_stretch = 0.5);
    refused(|of| stud(&mut of.left).usable_thread = Millimetres(0.0));
    refused(|of| stud(&mut of.right).insertion = Millimetres(72.0));
    refused(|of| of.spreads.cut = Millimetres(-1.0));
    refused(|of| of.inward = Millimetres(f64::INFINITY));
    refused(|of| of.inward_before = Millimetres(f64::NAN));
}

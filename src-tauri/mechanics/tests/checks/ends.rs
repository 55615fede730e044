//! The cut's chain with ends of every kind, each against figures worked by hand beside it.

use mechanics::cutting::{CutInput, ShortestBy, cut_for_engagement, cut_window};
use mechanics::ends::{BoltEnd, FixedEnd, Stud, TurnbuckleEnd, WireEnd};
use mechanics::thread::{Hand, Thread, take_up_per_turn};
use mechanics::{MechanicsError, Millimetres};
use proptest::prelude::*;

use crate::cutting::input;
use crate::{end, near};

/// k of the worked windows: (1 + 1000/794 597)·(1 + 3e-4).
const K: f64 = (1.0 + 1000.0 / 794_597.0) * (1.0 + 3.0e-4);

/// The stretch of a wire caught by hand: 1 + 30/794 597.
const BY_HAND: f64 = 1.0 + 30.0 / 794_597.0;

fn mm(value: f64) -> Millimetres {
    Millimetres(value)
}

/// 60 from the face to the mouth, w 32, g 0: S = 60 − 32 = 28.
fn fixed() -> FixedEnd {
    FixedEnd {
        mouth: mm(60.0),
        insertion: mm(32.0),
        growth: mm(0.0),
        seat_length: mm(0.0),
    }
}

/// O 170, w 32, h 60, e_min 8, x_start 2, r 4, lock nut 5.
fn long_stud() -> Stud {
    Stud {
        hand: Hand::Right,
        thread: Thread::M6,
        overall: mm(170.0),
        insertion: mm(32.0),
        growth: mm(0.0),
        usable_thread: mm(60.0),
        least_engagement: mm(8.0),
        start_engagement: mm(2.0),
        reserve: mm(4.0),
        lock_nut: mm(5.0),
    }
}

/// The long stud through 90 mm of post: solid shank 36, which swallows 32 of wire, nut 5, washer 2.
fn bolt() -> BoltEnd {
    BoltEnd {
        stud: long_stud(),
        shank: mm(36.0),
        nut: mm(5.0),
        post: mm(90.0),
        washer: mm(2.0),
        seat_length: mm(0.0),
    }
}

/// Pin 25 before the face, its stud 60 with 40 of thread, body 110; the wire's stud O 80, w 32, h 45, nut 3.
fn turnbuckle() -> TurnbuckleEnd {
    TurnbuckleEnd {
        stud: Stud {
            overall: mm(80.0),
            usable_thread: mm(45.0),
            lock_nut: mm(3.0),
            ..long_stud()
        },
        standoff: mm(25.0),
        far_stud: mm(60.0),
        far_thread: mm(40.0),
        body: mm(110.0),
        seat_length: mm(0.0),
    }
}

/// A stud into an insert on the left, D 4000, y 0, with this on the right.
fn with(right: WireEnd) -> CutInput {
    CutInput {
        right,
        ..input(4000.0, 0.0, 0.0)
    }
}

#[test]
fn a_fixed_end_gives_length_and_no_thread() {
    let of = with(WireEnd::Fixed(fixed()));
    // D + x1 = S1 + S2 + W + (Lc − W)·k with S1 = 40, S2 = 28, W = 64: free = 4000 + x1 − 132.
    // longest: x1 = 30 − 4 = 26 → 3894/k + 64; shortest: x1 = 8 → 3876/k + 64,
    // by hand: x1 = 2 → 3870/1.0000378 + 64 = 3933.85.
    let window = cut_window(&of).unwrap();
    near(window.longest.value(), 3894.0 / K + 64.0, 1e-9);
    near(window.longest.value(), 3951.939, 5e-4);
    near(3876.0 / K + 64.0, 3933.967, 5e-4);
    near(3870.0 / BY_HAND + 64.0, 3933.854, 5e-4);
    near(window.shortest.value(), 3876.0 / K + 64.0, 1e-9);
    assert_eq!(window.shortest_by, ShortestBy::Engagement);
    near(window.width.value(), 18.0 / K, 1e-9);
    near(window.budget.usable_thread.value(), 30.0, 1e-12);
    near(window.budget.reserve.value(), 4.0, 1e-12);
    // One thread has none to be ahead of.
    let mut ahead = of.clone();
    ahead.unequal_start = mm(3.0);
    assert_eq!(cut_window(&ahead).unwrap(), window);
}

#[test]
fn the_pin_of_an_eye_and_the_growth_of_its_shank_take_from_the_cut() {
    let plain = cut_for_engagement(&with(WireEnd::Fixed(fixed())), mm(10.0)).unwrap();
    let eye = WireEnd::Fixed(FixedEnd {
        mouth: mm(25.0 + 60.0),
        growth: mm(1.5),
        seat_length: mm(6.0),
        ..fixed()
    });
    near(
        eye.to_wire_end().value(),
        25.0 + 6.0 + 60.0 - 32.0 + 1.5,
        1e-12,
    );
    let cut = cut_for_engagement(&with(eye), mm(10.0)).unwrap();
    near((plain - cut).value(), 32.5 / K, 1e-9);
}

#[test]
fn a_bolt_engages_by_what_stands_out_of_its_post() {
    // The shank stops at the face: 170 − 36 − 90 − 2 = 42 stand out, less than the 60 of thread: z ≤ 42.
    let end = WireEnd::Bolt(bolt());
    near(bolt().stands_out().value(), 42.0, 1e-12);
    near(end.full_engagement().value(), 42.0, 1e-12);
    near(end.least_engagement().value(), 8.0 + 5.0, 1e-12);
    // S = 170 − 32 − 92 = 46: tip to wire end, less what lies behind the near face.
    near(end.to_wire_end().value(), 46.0, 1e-12);
    // Both ends: longest X = (30 − 4) + (42 − 4) = 64, shortest X = 8 + 13 = 21; S1 + S2 + W = 40 + 46 + 64.
    let window = cut_window(&with(end)).unwrap();
    near(
        window.longest.value(),
        (4000.0 + 64.0 - 150.0) / K + 64.0,
        1e-9,
    );
    near(
        window.shortest.value(),
        (4000.0 + 21.0 - 150.0) / K + 64.0,
        1e-9,
    );
    // 90 of thread, 18 of it never reach out of the post; lock nut 5, reserve 8, least 16, all of it told.
    let told = window.budget;
    near(told.usable_thread.value(), 90.0, 1e-12);
    near(told.shallow_inserts.value(), 18.0, 1e-12);
    near(
        (told.usable_thread
            - told.lock_nuts
            - told.shallow_inserts
            - told.reserve
            - told.least_engagement)
            .value(),
        43.0,
        1e-12,
    );
    near(window.width.value(), 43.0 / K, 1e-9);
}

#[test]
fn a_high_nut_and_a_long_shank_take_from_a_bolt() {
    // A nut of 10 is filled though 8 would hold: least 10 + 5.
    let mut high = bolt();
    high.nut = mm(10.0);
    near(high.holds_by().value(), 10.0, 1e-12);
    let of = |end: BoltEnd| cut_window(&with(WireEnd::Bolt(end)));
    let (plain, narrow) = (of(bolt()).unwrap(), of(high).unwrap());
    near((plain.width - narrow.width).value(), 2.0 / K, 1e-9);
    near(narrow.budget.least_engagement.value(), 18.0, 1e-12);
    // A shank of 60: 170 − 60 − 92 = 18 stand out, just over the 17 that are needed; one of 61 leaves 17.
    let mut long = bolt();
    long.shank = mm(60.0);
    let longest = of(long.clone()).unwrap().longest;
    near((plain.longest - longest).value(), 24.0 / K, 1e-9);
    long.shank = mm(61.0);
    assert!(matches!(of(long), Err(MechanicsError::BoltTooShort { .. })));
}

#[test]
fn a_short_thread_and_not_the_post_may_limit_a_bolt() {
    let mut short = bolt();
    short.stud.usable_thread = mm(30.0);
    near(WireEnd::Bolt(short).full_engagement().value(), 30.0, 1e-12);
}

#[test]
fn a_bolt_that_is_too_short_for_its_post_gives_no_cut() {
    // Needs nut 8, lock nut 5, reserve 4 = 17 and more. 90 of post: O − 36 − 92 = 17 at O 145: nothing left.
    let of = |overall: f64, post: f64, seat: f64| {
        let mut end = bolt();
        end.stud.overall = mm(overall);
        end.post = mm(post);
        end.seat_length = mm(seat);
        with(WireEnd::Bolt(end))
    };
    assert!(cut_window(&of(145.5, 90.0, 0.0)).is_ok());
    for short in [
        of(145.0, 90.0, 0.0),
        of(100.0, 90.0, 0.0),
        of(170.0, 120.0, 0.0),
        // 42 stand out, and a seat of 30 leaves 12.
        of(170.0, 90.0, 30.0),
    ] {
        for found in [
            cut_window(&short).map(|w| w.aim),
            cut_for_engagement(&short, mm(20.0)),
        ] {
            let Err(error @ MechanicsError::BoltTooShort { .. }) = found else {
                panic!("{found:?}");
            };
            assert!(
                error.to_string().contains("too short for its post"),
                "{error}"
            );
        }
    }
    let mut thread = bolt();
    thread.stud.usable_thread = mm(17.0);
    assert!(matches!(
        cut_window(&with(WireEnd::Bolt(thread))),
        Err(MechanicsError::BoltTooShort { .. })
    ));
}

#[test]
fn a_turnbuckle_takes_up_in_its_own_body() {
    let end = WireEnd::Turnbuckle(turnbuckle());
    // Both advance alike: 2·(min(45, 40) − 3) = 74, and the body holds 110.
    near(end.full_engagement().value(), 74.0, 1e-12);
    // Face, pin 25, stud 60, body 110, then 80 − 32: S = 243.
    near(end.to_wire_end().value(), 243.0, 1e-12);
    assert_eq!(end.threads(), vec![Thread::M6; 2]);
    near(take_up_per_turn(&end.threads()).value(), 2.0, 1e-12);
    // Against a fixed end: S = 243 + 28, W = 64; longest x = 74 − 8 = 66, shortest x = 16.
    let mut of = with(end);
    of.left = WireEnd::Fixed(fixed());
    let window = cut_window(&of).unwrap();
    near(
        window.longest.value(),
        (4000.0 + 66.0 - 335.0) / K + 64.0,
        1e-9,
    );
    near(
        window.shortest.value(),
        (4000.0 + 16.0 - 335.0) / K + 64.0,
        1e-9,
    );
    // Its two threads may start unequally: once at each limit.
    of.unequal_start = mm(2.0);
    let ahead = cut_window(&of).unwrap();
    near((window.width - ahead.width).value(), 4.0 / K, 1e-9);
    // A body of 60: both tips in it do not meet.
    let mut short = turnbuckle();
    short.body = mm(60.0);
    near(
        WireEnd::Turnbuckle(short).full_engagement().value(),
        60.0,
        1e-12,
    );
}

#[test]
fn a_wire_without_a_thread_is_not_cut() {
    let mut of = with(WireEnd::Fixed(fixed()));
    of.left = WireEnd::Fixed(fixed());
    assert!(matches!(cut_window(&of), Err(MechanicsError::NoThread)));
    assert!(matches!(
        cut_for_engagement(&of, mm(0.0)),
        Err(MechanicsError::NoThread)
    ));
}

#[test]
fn an_end_that_is_not_turned_is_in_before_the_other_is_caught() {
    let held = |end: WireEnd| end.not_turned().start_engagement().value();
    near(held(end(Hand::Left, 3.2).into()), 8.0, 1e-12);
    near(held(WireEnd::Bolt(bolt())), 13.0, 1e-12);
    near(held(WireEnd::Turnbuckle(turnbuckle())), 16.0, 1e-12);
    near(held(WireEnd::Fixed(fixed())), 0.0, 1e-12);
}

#[test]
fn figures_of_an_end_that_cannot_be_are_refused() {
    let refused = |end: WireEnd| assert!(cut_window(&with(end.clone())).is_err(), "{end:?}");
    let fixed_as = |change: fn(&mut FixedEnd)| {
        let mut end = fixed();
        change(&mut end);
        WireEnd::Fixed(end)
    };
    refused(fixed_as(|end| end.mouth = mm(32.0)));
    refused(fixed_as(|end| end.insertion = mm(0.0)));
    refused(fixed_as(|end| end.growth = mm(-1.0)));
    refused(fixed_as(|end| end.mouth = mm(f64::NAN)));
    refused(fixed_as(|end| end.seat_length = mm(-1.0)));
    let bolt_as = |change: fn(&mut BoltEnd)| {
        let mut end = bolt();
        change(&mut end);
        WireEnd::Bolt(end)
    };
    refused(bolt_as(|end| end.post = mm(0.0)));
    refused(bolt_as(|end| end.nut = mm(0.0)));
    // A shank that is shorter than the wire that it swallows.
    refused(bolt_as(|end| end.shank = mm(31.0)));
    refused(bolt_as(|end| end.shank = mm(f64::NAN)));
    refused(bolt_as(|end| end.washer = mm(-1.0)));
    refused(bolt_as(|end| end.stud.lock_nut = mm(-1.0)));
    refused(bolt_as(|end| end.stud.least_engagement = mm(0.0)));
    let turnbuckle_as = |change: fn(&mut TurnbuckleEnd)| {
        let mut end = turnbuckle();
        change(&mut end);
        WireEnd::Turnbuckle(end)
    };
    refused(turnbuckle_as(|end| end.body = mm(0.0)));
    refused(turnbuckle_as(|end| end.far_thread = mm(0.0)));
    refused(turnbuckle_as(|end| end.far_stud = mm(40.0)));
    refused(turnbuckle_as(|end| end.standoff = mm(-1.0)));
}

#[test]
fn an_empty_window_of_one_thread_says_that_it_is_one() {
    let mut of = with(WireEnd::Fixed(fixed()));
    of.inward = mm(40.0);
    let Err(MechanicsError::NoWindow { because, .. }) = cut_window(&of) else {
        panic!("40 mm of movement leaves no window");
    };
    assert!(
        because.contains("of 30 mm usable thread at the one end that has any"),
        "{because}"
    );
}

proptest! {
    #[test]
    fn a_fixed_end_adds_no_width(
        mouth in 40.0..280.0_f64, insertion in 5.0..39.0_f64, growth in 0.0..3.0_f64,
        inside in 1_500.0..9_000.0_f64,
    ) {
        let right = WireEnd::Fixed(FixedEnd {
            mouth: mm(mouth),
            insertion: mm(insertion),
            growth: mm(growth),
            seat_length: mm(0.0),
        });
        let mut of = with(right);
        of.inside_to_inside = mm(inside);
        let Ok(window) = cut_window(&of) else {
            prop_assert!(false, "{:?}", of);
            return Ok(());
        };
        // The thread of the one stud: 30 − 4 − 8 = 18, and never more.
        prop_assert!(window.width.value() <= 18.0 / K + 1e-9);
        if window.shortest_by == ShortestBy::Engagement {
            prop_assert!((window.width.value() - 18.0 / K).abs() < 1e-9);
        }
        // Closed again from the drawing, at the longest cut: all but the reserve is in.
        let s = 40.0 + mouth - insertion + growth;
        let w = 32.0 + insertion;
        let closed = s + w + (window.longest.value() - w) * K;
        prop_assert!((inside + 26.0 - closed).abs() < 1e-6);
    }

    #[test]
    fn a_bolt_never_engages_more_than_stands_out(
        overall in 60.0..260.0_f64, post in 40.0..140.0_f64, thread in 10.0..120.0_f64,
        washer in 0.0..6.0_f64, shank in 32.0..60.0_f64,
    ) {
        let mut end = bolt();
        end.stud.overall = mm(overall);
        end.stud.usable_thread = mm(thread);
        end.post = mm(post);
        end.washer = mm(washer);
        end.shank = mm(shank);
        let out = overall - shank - post - washer;
        match cut_window(&with(WireEnd::Bolt(end))) {
            Ok(window) => {
                prop_assert!(out > 17.0 && thread > 17.0);
                // Where the insert holds all it can, so much is left for the bolt.
                let closed = 40.0 + (overall - 32.0 - post - washer) + 64.0
                    + (window.longest.value() - 64.0) * K - 4000.0;
                prop_assert!(closed - 26.0 <= out.min(thread) - 4.0 + 1e-6);
            }
            Err(MechanicsError::BoltTooShort { .. }) => {
                prop_assert!(out <= 17.0 || thread <= 17.0);
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}

//! What a fitted trial wire teaches.

use mechanics::Millimetres;
use mechanics::cutting::{ShortestBy, cut_for_engagement, cut_window};
use mechanics::trial::{
    Expected, Fitted, Learned, Remaining, expected, learn, learn_alike, next_deduction,
    offset_read, second_trial, window_as_learned,
};
use proptest::prelude::*;

use crate::cutting::input;
use crate::near;

/// μ0 = [80, 1.55], V0 = diag(16, .25), s_e = 1.6.
const PRIOR: Expected = Expected {
    offset: Millimetres(80.0),
    per_metre: 1.55,
    offset_spread: Millimetres(4.0),
    per_metre_spread: 0.5,
    fitted_spread: Millimetres(1.6),
};

/// A wire of `metres` whose z − y is this.
fn reads(wire: u32, metres: f64, z: f64) -> Fitted {
    Fitted {
        wire,
        inside_to_inside: Millimetres(metres * 1000.0),
        cut: Millimetres(metres * 1000.0 - 60.0),
        usable_thread: Millimetres(60.0),
        showing: Millimetres(120.0 - z),
        inward: Millimetres(0.0),
        still_to_come: Millimetres(0.0),
    }
}

#[test]
fn one_reading_moves_offset_and_stretch() {
    // Checked on a grid posterior.
    let learned = learn(&PRIOR, &[reads(1, 4.0, 88.4)]).unwrap();
    near(learned.offset.value(), 81.56, 0.005);
    near(learned.per_metre, 1.648, 0.0005);
    assert_eq!(learned.weights, [1.0]);
    assert!(learned.questions.is_empty());
}

#[test]
fn three_readings_and_the_deduction_they_give() {
    let three = [
        reads(1, 4.0, 88.4),
        reads(2, 4.0, 87.1),
        reads(3, 6.0, 92.0),
    ];
    // Checked on a grid posterior, every reading counting alike.
    let learned = learn_alike(&PRIOR, &three).unwrap();
    near(learned.offset.value(), 81.04, 0.005);
    near(learned.per_metre, 1.729, 0.0005);
    let next = next_deduction(
        &learned,
        Millimetres(5000.0),
        Millimetres(25.0),
        Millimetres(0.0),
    )
    .unwrap();
    near(next.deduction.value(), 64.69, 0.005);
    near(next.spread.value(), 1.850, 0.0005);
    // Three that agree: the weights hardly matter.
    let weighted = learn(&PRIOR, &three).unwrap();
    near(weighted.offset.value(), 81.03, 0.005);
    near(weighted.per_metre, 1.735, 0.0005);
}

#[test]
fn spread_falls_with_trial_wires() {
    // s0 = 4, no doubt about the stretch: 4.31, 2.18, 1.94, 1.84.
    let offset_only = Expected {
        per_metre_spread: 1.0e-9,
        ..PRIOR
    };
    let on_the_line = 80.0 + 4.0 * 1.55;
    // Those count every reading alike. With the weights, which wires on the very line draw up to 5/4,
    // the second and third are worth a little more: of two and three of weight w the sd is
    // √(1/(1/16 + n·w/1.6²) + 1.6²), w from w = 5/(4 + V/1.6²).
    let weighted = |count: f64| {
        let (own, noise) = (16.0_f64, 1.6_f64 * 1.6);
        let mut weight = 1.0;
        for _ in 0..200 {
            weight = 5.0 / (4.0 + 1.0 / (1.0 / own + count * weight / noise) / noise);
        }
        (1.0 / (1.0 / own + count * weight / noise) + noise).sqrt()
    };
    for (count, sd, by_weights) in [
        (0, 4.31, 4.31),
        (1, 2.18, 2.18),
        (2, 1.94, weighted(2.0)),
        (3, 1.84, weighted(3.0)),
    ] {
        let fitted: Vec<_> = (0..count).map(|n| reads(n, 4.0, on_the_line)).collect();
        let spread = |learned: &Learned| {
            let zero = Millimetres(0.0);
            let next = next_deduction(learned, Millimetres(4000.0), zero, zero).unwrap();
            next.spread.value()
        };
        near(
            spread(&learn_alike(&offset_only, &fitted).unwrap()),
            sd,
            0.005,
        );
        let found = spread(&learn(&offset_only, &fitted).unwrap());
        near(found, by_weights, if count < 2 { 0.005 } else { 1e-9 });
    }
}

#[test]
fn the_worked_trial_wire() {
    // A6: 7300 inside to inside, cut 7235, alone at 1500 N, thread left LH 14.0, RH 14.5 → 100.2;
    // of 4.0 of movement 0.3 came with this wire alone.
    let fitted = Fitted {
        wire: 6,
        inside_to_inside: Millimetres(7300.0),
        cut: Millimetres(7235.0),
        usable_thread: Millimetres(60.0),
        showing: Millimetres(28.5),
        inward: Millimetres(4.0),
        still_to_come: Millimetres(3.7),
    };
    near(offset_read(&fitted).unwrap().value(), 100.2, 0.05);
    let mut of = input(7300.0, 4.0, 3.2);
    of.tension = mechanics::Newtons(1500.0);
    let before = expected(&of).unwrap();
    // What model and movement let expect: 99.7.
    near(
        before.offset.value() + before.per_metre * 7.3 + 4.0,
        99.7,
        0.05,
    );
    let learned = learn(&before, &[fitted]).unwrap();
    let window = cut_window(&of).unwrap();
    let moved = window_as_learned(&window, &of, &learned).unwrap();
    // It took up 0.5 more than expected, so the others are cut a little shorter, by less than that;
    // not below what catches by hand, which rules here and which a taut wire says nothing of.
    let shorter = window.longest - moved.longest;
    assert!(
        shorter > Millimetres(0.3) && shorter < Millimetres(0.5),
        "{shorter}"
    );
    assert_eq!(window.shortest_by, ShortestBy::Catching);
    near(moved.shortest.value(), window.shortest.value(), 1e-9);
    near(
        (window.aim - moved.aim).value(),
        shorter.value() / 2.0,
        1e-9,
    );
    assert!(learned.questions.is_empty());
}

#[test]
fn a_window_as_learned_keeps_what_catches_by_hand() {
    let of = |takes_up_more: f64| {
        let mut of = input(7305.0, 10.4, 3.2);
        of.tension = mechanics::Newtons(1500.0);
        let mut learned = learn(&expected(&of).unwrap(), &[]).unwrap();
        learned.offset += Millimetres(takes_up_more);
        let window = cut_window(&of).unwrap();
        (window.clone(), window_as_learned(&window, &of, &learned))
    };
    // 7.4 more: the longest comes down, the shortest stays, and the chance falls with the width.
    let (window, learned) = of(7.4);
    let learned = learned.unwrap();
    near(learned.shortest.value(), window.shortest.value(), 1e-9);
    near((window.longest - learned.longest).value(), 7.4, 1e-6);
    near(learned.width.value(), window.width.value() - 7.4, 1e-6);
    // 5 less: the whole window goes up, the hand's limit too.
    let (window, learned) = of(-5.0);
    let learned = learned.unwrap();
    near((learned.shortest - window.shortest).value(), 5.0, 1e-6);
    near((learned.longest - window.longest).value(), 5.0, 1e-6);
    // 40 more: nothing is left, and no upside-down window is told.
    let (_, learned) = of(40.0);
    assert!(matches!(
        learned,
        Err(mechanics::MechanicsError::NoWindow { .. })
    ));
}

#[test]
fn without_a_trial_wire_the_computed_cut_stands() {
    let of = input(4000.0, 3.0, 3.2);
    let learned = learn(&expected(&of).unwrap(), &[]).unwrap();
    let engagement = Millimetres(40.0);
    let deduction = next_deduction(&learned, of.inside_to_inside, engagement, of.inward).unwrap();
    let computed = of.inside_to_inside - cut_for_engagement(&of, engagement).unwrap();
    // The line is drawn with the whole thread in; of 13.6 mm less the strand stretches by so much less.
    near(deduction.deduction.value(), computed.value(), 0.05);
}

#[test]
fn a_reading_that_can_hardly_be_right_is_questioned() {
    let far = learn(&PRIOR, &[reads(6, 4.0, 104.0)]).unwrap();
    assert_eq!(far.questions.len(), 1);
    assert!(
        far.questions[0]
            .sentence
            .contains("Wire 6 takes up 17.8 mm more")
    );
    let two = [reads(6, 4.0, 86.0), reads(9, 4.0, 92.0)];
    let apart = learn(&PRIOR, &two).unwrap();
    assert_eq!(apart.questions.len(), 1);
    assert_eq!(apart.questions[0].wires, [6, 9]);
}

#[test]
fn a_bad_reading_among_three_counts_less() {
    let three = [
        reads(1, 4.0, 86.0),
        reads(2, 4.0, 86.4),
        reads(3, 4.0, 99.0),
    ];
    let learned = learn(&PRIOR, &three).unwrap();
    assert!(learned.weights[2] < 0.2, "{:?}", learned.weights);
    let at = learned.offset.value() + 4.0 * learned.per_metre;
    // The plain mean of the three would lie past 90.
    assert!(at < 87.5, "{at}");
}

#[test]
fn a_second_trial_is_worth_it_where_windows_are_narrow() {
    let of = input(4000.0, 3.0, 3.2);
    let window = cut_window(&of).unwrap();
    let remaining = |half: f64| -> Vec<Remaining> {
        let narrow = mechanics::cutting::CutWindow {
            shortest: window.aim - Millimetres(half),
            longest: window.aim + Millimetres(half),
            width: Millimetres(2.0 * half),
            ..window.clone()
        };
        vec![
            Remaining {
                inside_to_inside: Millimetres(4000.0),
                window: narrow,
            };
            11
        ]
    };
    let one = [reads(6, 4.0, 86.0)];
    let wide = second_trial(&PRIOR, &one, &remaining(12.0))
        .unwrap()
        .unwrap();
    assert!(!wide.worth, "{wide:?}");
    let narrow = second_trial(&PRIOR, &one, &remaining(3.5))
        .unwrap()
        .unwrap();
    assert!(
        narrow.worth && narrow.misses_then < narrow.misses_now,
        "{narrow:?}"
    );
    assert!(narrow.spread_then < narrow.spread_now);
    assert_eq!(second_trial(&PRIOR, &one, &[]).unwrap(), None);
}

#[test]
fn a_questioned_reading_makes_a_second_trial_worth_it_and_no_reading_more_widens() {
    let of = input(4000.0, 3.0, 3.2);
    let remaining = vec![
        Remaining {
            inside_to_inside: Millimetres(4000.0),
            window: cut_window(&of).unwrap(),
        };
        11
    ];
    let told = |z: f64| {
        second_trial(&PRIOR, &[reads(6, 4.0, z)], &remaining)
            .unwrap()
            .unwrap()
    };
    let plain = told(86.0);
    assert!(!plain.worth && plain.questioned.is_empty(), "{plain:?}");
    let odd = told(104.0);
    assert!(odd.worth, "{odd:?}");
    assert_eq!(odd.questioned, [6]);
    // Both count one plain reading more, whatever the first read.
    assert_eq!(odd.spread_then, plain.spread_then);
    for z in [70.0, 80.0, 86.0, 92.0, 98.0, 104.0, 130.0] {
        let found = told(z);
        assert!(found.spread_then < found.spread_now, "{z}: {found:?}");
        assert!(found.misses_then <= found.misses_now, "{z}: {found:?}");
    }
    // Two that disagree ask for a third, which shows the one that is off.
    let two = [reads(6, 4.0, 84.0), reads(9, 4.0, 93.0)];
    let found = second_trial(&PRIOR, &two, &remaining).unwrap().unwrap();
    assert!(found.worth && found.spread_then < found.spread_now);
    assert_eq!(found.questioned, [6, 9]);
}

#[test]
fn figures_that_cannot_be_are_refused() {
    for bad in [
        Fitted {
            cut: Millimetres(0.0),
            ..reads(1, 4.0, 86.0)
        },
        Fitted {
            inside_to_inside: Millimetres(-1.0),
            ..reads(1, 4.0, 86.0)
        },
        Fitted {
            showing: Millimetres(f64::NAN),
            ..reads(1, 4.0, 86.0)
        },
        Fitted {
            inward: Millimetres(f64::NAN),
            ..reads(1, 4.0, 86.0)
        },
    ] {
        assert!(learn(&PRIOR, &[bad]).is_err(), "{bad:?}");
    }
    let no_spread = Expected {
        fitted_spread: Millimetres(0.0),
        ..PRIOR
    };
    assert!(learn(&no_spread, &[]).is_err());
}

proptest! {
    #[test]
    fn the_order_of_readings_does_not_matter(
        z in prop::collection::vec((1.0..9.0_f64, 80.0..98.0_f64), 2..6),
    ) {
        let fitted: Vec<_> = (0_u32..).zip(&z).map(|(n, (m, z))| reads(n, *m, *z)).collect();
        let turned: Vec<_> = fitted.iter().rev().copied().collect();
        let (a, b) = (learn(&PRIOR, &fitted).unwrap(), learn(&PRIOR, &turned).unwrap());
        prop_assert!((a.offset - b.offset).abs() < Millimetres(1e-6));
        prop_assert!((a.per_metre - b.per_metre).abs() < 1e-6);
    }

    #[test]
    fn what_is_learned_lies_between_expectation_and_reading(metres in 1.0..9.0_f64, off in -8.0..8.0_f64) {
        let expected = 80.0 + 1.55 * metres;
        let learned = learn(&PRIOR, &[reads(1, metres, expected + off)]).unwrap();
        let moved = learned.offset.value() + learned.per_metre * metres - expected;
        prop_assert!(moved * off >= 0.0 && moved.abs() <= off.abs() + 1e-9);
    }
}

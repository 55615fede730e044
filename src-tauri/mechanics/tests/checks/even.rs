//! Wires beside their middle.

use mechanics::Newtons;
use mechanics::sound::even::{ALIKE, Evenness, even_up};
use proptest::prelude::*;

use crate::near;

#[test]
fn the_middle_is_that_of_the_sorted_and_each_stands_beside_it() {
    let found = even_up(&[1240.0, 1000.0, 1250.0, 1500.0, 1230.0].map(Newtons))
        .unwrap()
        .unwrap();
    near(found.median.value(), 1240.0, 1e-9);
    let states: Vec<Evenness> = found.wires.iter().map(|(_, state)| *state).collect();
    assert_eq!(
        states,
        [
            Evenness::Alike,
            Evenness::Slacker,
            Evenness::Alike,
            Evenness::Tighter,
            Evenness::Alike
        ]
    );
    near(found.wires[1].0, 1000.0 / 1240.0 - 1.0, 1e-12);
    // Of an even number the mean of the two in the middle.
    let four = even_up(&[1000.0, 1400.0, 1200.0, 1300.0].map(Newtons))
        .unwrap()
        .unwrap();
    near(four.median.value(), 1250.0, 1e-9);
}

#[test]
fn two_wires_have_no_middle_and_no_tension_is_below_zero() {
    assert_eq!(even_up(&[]).unwrap(), None);
    assert_eq!(even_up(&[Newtons(900.0), Newtons(1500.0)]).unwrap(), None);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(even_up(&[Newtons(900.0), Newtons(bad), Newtons(900.0)]).is_err());
    }
}

proptest! {
    #[test]
    fn a_mass_told_wrongly_changes_no_comparison(
        tensions in proptest::collection::vec(200.0..3000.0_f64, 3..20),
        wrong in 0.8..1.25_f64,
    ) {
        let of = |by: f64| {
            let all: Vec<Newtons> = tensions.iter().map(|t| Newtons(t * by)).collect();
            even_up(&all).unwrap().unwrap()
        };
        for ((a, _), (b, state)) in of(1.0).wires.iter().zip(&of(wrong).wires) {
            prop_assert!((a - b).abs() < 1e-9);
            let beyond = *b > ALIKE || *b < -ALIKE;
            prop_assert_eq!(*state != Evenness::Alike, beyond);
        }
    }
}

//! Friction of a wire that runs on round corners, leg by leg.

use mechanics::corner::{PulledAt, RubbingBend, in_legs};
use mechanics::{Degrees, Newtons};

use crate::near;

#[test]
fn friction_takes_tension_bend_by_bend_from_the_end_that_is_pulled() {
    // dT = −μ·T·dφ summed up in small steps (Euler–Eytelwein's own equation), and T·e^(−μφ) for
    // μ = .2 and 90° from the engineering basis.
    let stepped = |tension: f64, friction: f64, degrees: f64| {
        let (mut left, steps) = (tension, 200_000);
        for _ in 0..steps {
            left -= friction * left * degrees.to_radians() / f64::from(steps);
        }
        left
    };
    let bend = |degrees: f64, least: f64, most: f64| RubbingBend {
        bend: (Degrees(degrees), Degrees(degrees)),
        friction: (least, most),
    };
    let of = |bends: &[RubbingBend], at| in_legs(Newtons(1000.0), bends, at).unwrap();
    let one = of(&[bend(90.0, 0.2, 0.2)], PulledAt::Start);
    assert_eq!(one[0], (Newtons(1000.0), Newtons(1000.0)));
    near(one[1].0.value(), 730.4, 0.05);
    // Whichever way round the range is told.
    let bends = [
        bend(90.0, 0.3, 0.1),
        bend(45.0, 0.1, 0.3),
        bend(20.0, 0.2, 0.2),
    ];
    let start = of(&bends, PulledAt::Start);
    let mut expected = (1000.0, 1000.0);
    for (leg, one) in start.iter().skip(1).zip(&bends) {
        let (a, b) = one.friction;
        expected.0 = stepped(expected.0, a.max(b), one.bend.0.value());
        expected.1 = stepped(expected.1, a.min(b), one.bend.0.value());
        // What small steps round the bend leave of the exponential.
        near(leg.0.value(), expected.0, 0.01);
        near(leg.1.value(), expected.1, 0.01);
    }
    // From the other end the same losses come in the other order.
    let end = of(&bends, PulledAt::End);
    near(end[0].0.value(), start[3].0.value(), 1e-9);
    near(end[2].0.value(), stepped(1000.0, 0.2, 20.0), 0.01);
    // From both each leg has what the nearer end leaves it.
    let both = of(&bends, PulledAt::Both);
    assert_eq!((both[0], both[3]), (start[0], end[3]));
    for ((both, a), b) in both.iter().zip(&start).zip(&end) {
        assert_eq!(both.0, a.0.max(b.0));
        assert!(both.0 <= both.1);
    }
    assert!(in_legs(Newtons(1000.0), &[bend(181.0, 0.1, 0.2)], PulledAt::Both).is_err());
    assert!(in_legs(Newtons(1000.0), &[bend(90.0, -0.1, 0.2)], PulledAt::Both).is_err());
    assert_eq!(of(&[], PulledAt::Both).len(), 1);
}

#[test]
fn a_sharp_corner_still_tells_what_friction_leaves() {
    // An inside angle of 20° turns a wire by 160°: e^(−0.2·2.7925) = 0.5721.
    let bends = [RubbingBend {
        bend: (Degrees(160.0), Degrees(160.0)),
        friction: (0.2, 0.2),
    }];
    let legs = in_legs(Newtons(1000.0), &bends, PulledAt::Start).unwrap();
    near(legs[1].0.value(), 572.1, 0.05);
}

#[test]
fn an_angle_that_is_not_known_leaves_least_by_the_widest_turn() {
    // e^(−0.3·π) = 0.38966 by a table of e^−x at 0.942478; straight on nothing is lost.
    let untold = |from: f64, to: f64| RubbingBend {
        bend: (Degrees(from), Degrees(to)),
        friction: (0.1, 0.3),
    };
    for bend in [untold(0.0, 180.0), untold(180.0, 0.0)] {
        let legs = in_legs(Newtons(1000.0), &[bend], PulledAt::Start).unwrap();
        // e^(−0.3π) = 0.38966.
        near(legs[1].0.value(), 389.66, 0.005);
        near(legs[1].1.value(), 1000.0, 1e-9);
    }
    // No angle between leaves less or more than both ends do.
    let wide = in_legs(Newtons(1000.0), &[untold(0.0, 180.0)], PulledAt::Start).unwrap()[1];
    for turn in [1.0, 30.0, 90.0, 135.0, 179.0] {
        let one = in_legs(Newtons(1000.0), &[untold(turn, turn)], PulledAt::Start).unwrap()[1];
        assert!(one.0 >= wide.0 && one.1 <= wide.1, "{turn}");
    }
}

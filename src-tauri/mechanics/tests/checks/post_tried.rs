//! Posts as known pulls show them, and the grade's figure beside their demand.

use mechanics::posts::{
    KnownPull, Post, PostAsPulled, Rail, RailAsPulled, STEEL, WirePull, design_bending,
    known_grade, modulus_from_pulls, post_from_pulls, post_movement, pulled_as, rail_from_pulls,
    stiffest_from_pulls,
};
use mechanics::rules::Status;
use mechanics::{Degrees, Figure, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin};
use proptest::prelude::*;

use crate::{near, post};

#[test]
fn known_pulls_replace_what_was_assumed() {
    let assumed = post(90.0, 90.0);
    let pull = |of: &Post, height: f64| KnownPull {
        height: Millimetres(height),
        pull: Newtons(300.0),
        moved: post_movement(
            of,
            &[WirePull {
                height: Millimetres(height),
                tension: Newtons(300.0),
                slope: Degrees(0.0),
            }],
            Millimetres(height),
        )
        .unwrap(),
    };
    let mut turning = assumed.clone();
    turning.base_turning = Some(Figure::of(4.0e8, Origin::Measured));
    let mut stiffer = assumed.clone();
    stiffer.modulus.value = Megapascals(14_000.0);
    let Some(PostAsPulled::Turns(found)) =
        post_from_pulls(&assumed, &[pull(&turning, 900.0)]).unwrap()
    else {
        panic!("the base turns");
    };
    // Nine digits: what a root of the movement leaves.
    near(found, 4.0e8, 1.0);
    // Of two pulls the softer counts, whichever comes first.
    for pair in [[&turning, &stiffer], [&stiffer, &turning]] {
        let pulls = pair.map(|of| pull(of, 900.0));
        let Some(PostAsPulled::Turns(found)) = post_from_pulls(&assumed, &pulls).unwrap() else {
            panic!("the base turns");
        };
        near(found, 4.0e8, 1.0);
    }
    let Some(PostAsPulled::Stiffer(found)) =
        post_from_pulls(&assumed, &[pull(&stiffer, 900.0)]).unwrap()
    else {
        panic!("it is stiffer than its modulus tells");
    };
    near(found.value(), 14_000.0, 1e-6);
    // Without a modulus the pull shows one that holds bending and base together.
    let shown = modulus_from_pulls(&assumed, &[pull(&stiffer, 900.0)])
        .unwrap()
        .unwrap();
    near(shown.value(), 14_000.0, 1e-6);
    let mut hardly = pull(&assumed, 900.0);
    hardly.moved = Millimetres(0.01);
    assert!(matches!(
        post_from_pulls(&assumed, &[hardly]).unwrap(),
        Some(PostAsPulled::BeyondSteel(e)) if e > STEEL
    ));
    assert_eq!(modulus_from_pulls(&assumed, &[hardly]).unwrap(), None);
    assert_eq!(post_from_pulls(&assumed, &[]).unwrap(), None);

    let mut railed = turning.clone();
    railed.rail = Some(Rail {
        height: Millimetres(1000.0),
        stiffness: NewtonsPerMillimetre(120.0),
    });
    let at = Millimetres(1000.0);
    let Some(RailAsPulled::Holds(found)) =
        rail_from_pulls(&turning, at, &[pull(&railed, 900.0)]).unwrap()
    else {
        panic!("the rail holds");
    };
    near(found.stiffness.value(), 120.0, 1e-6);
    assert_eq!(
        rail_from_pulls(&turning, at, &[pull(&turning, 900.0)]).unwrap(),
        Some(RailAsPulled::Nothing)
    );
    let mut held = pull(&railed, 900.0);
    held.moved = Millimetres(0.01);
    assert_eq!(
        rail_from_pulls(&turning, at, &[held]).unwrap(),
        Some(RailAsPulled::Rigid)
    );
    held.moved = Millimetres(0.0);
    assert!(rail_from_pulls(&turning, at, &[held]).is_err());
    assert!(post_from_pulls(&turning, &[held]).is_err());
}

#[test]
fn a_grade_stands_beside_with_its_origin() {
    // EN 338: C16 8.0 GPa / 16 MPa, C24 11.0 / 24, C30 12.0 / 30; MGP10 10.0, F17 14.0 GPa, all
    // second hand (engineering basis, section 6).
    for (name, modulus, bending) in [
        ("c16", 8.0, Some(16.0)),
        ("C 24", 11.0, Some(24.0)),
        ("C30", 12.0, Some(30.0)),
        ("mgp-10", 10.0, None),
        ("F17", 14.0, None),
    ] {
        let grade = known_grade(name).unwrap();
        near(grade.modulus.value(), modulus * 1e3, 1e-9);
        assert_eq!(grade.bending.map(Megapascals::value), bending, "{name}");
        assert_eq!(grade.status, Status::SecondHand);
    }
    assert_eq!(known_grade("oak"), None);
    assert_eq!(known_grade(""), None);
    // 90×90 C24. k_mod .5 and γ_M 1.3 are inputs from memory, and so is no figure that follows from them: held
    // here is the arithmetic, f_m,k·k_mod·k_h/γ_M·b³/6 with k_h = (150/h)^0.2, by its own formula.
    let design = design_bending(
        Megapascals(24.0),
        post(90.0, 90.0).section,
        Millimetres(90.0),
    )
    .unwrap();
    let k_h = (150.0_f64 / 90.0).powf(0.2);
    near(design.k_h, k_h, 1e-12);
    near(
        design.moment.value(),
        24.0 * 0.5 * k_h / 1.3 * 90.0_f64.powi(3) / 6.0 / 1000.0,
        1e-9,
    );
    let deep = design_bending(
        Megapascals(24.0),
        post(200.0, 90.0).section,
        Millimetres(200.0),
    );
    near(deep.unwrap().k_h, 1.0, 1e-12);
    assert!(
        design_bending(
            Megapascals(0.0),
            post(90.0, 90.0).section,
            Millimetres(90.0)
        )
        .is_err()
    );
}

proptest! {
    #[test]
    fn a_softer_reading_never_shows_a_stiffer_post(
        moved in 0.05..60.0_f64, more in 0.01..20.0_f64,
    ) {
        let known = |moved| KnownPull {
            height: Millimetres(900.0), pull: Newtons(300.0), moved: Millimetres(moved),
        };
        let tip = |moved: f64| {
            let mut of = post(90.0, 90.0);
            match post_from_pulls(&of, &[known(moved)]).unwrap().unwrap() {
                PostAsPulled::Turns(k) => of.base_turning = Some(Figure::of(k, Origin::Measured)),
                PostAsPulled::Stiffer(e) | PostAsPulled::BeyondSteel(e) => of.modulus.value = e,
            }
            let at = [WirePull { height: Millimetres(900.0), tension: Newtons(300.0), slope: Degrees(0.0) }];
            post_movement(&of, &at, Millimetres(900.0)).unwrap().value()
        };
        // What was read comes out again.
        prop_assert!((tip(moved) - moved).abs() < 1e-9 * (1.0 + moved));
        prop_assert!(tip(moved + more) > tip(moved));
    }
}

#[test]
fn of_several_pulls_the_stiffest_is_found_and_one_tells_another() {
    let of = post(100.0, 100.0);
    // 500 N at 1 m bend 100×100 of 11 GPa by F·L³/3EI = 1.818 mm.
    let known = |height: f64, pull: f64, moved: f64| KnownPull {
        height: Millimetres(height),
        pull: Newtons(pull),
        moved: Millimetres(moved),
    };
    let (sound, odd) = (known(1000.0, 500.0, 2.5), known(1000.0, 500.0, 60.0));
    let most = stiffest_from_pulls(&of, &[odd, sound]).unwrap().unwrap();
    // 1.818 is typed with eight digits.
    near(most.value(), 11_000.0 * 1.818_181_8 / 2.5, 0.001);
    assert_eq!(stiffest_from_pulls(&of, &[]).unwrap(), None);
    assert_eq!(
        stiffest_from_pulls(&of, &[known(1000.0, 500.0, 0.001)]).unwrap(),
        None
    );
    // At its own height and twice the pull it moves twice as far.
    let told =
        |before: &KnownPull, now: &KnownPull| pulled_as(&of, before, now).unwrap().unwrap().value();
    near(told(&sound, &known(1000.0, 1000.0, 9.0)), 5.0, 1e-9);
    // Lower down the bending goes by h³, the turning by h²: 1.818/8 + 0.682/4.
    near(
        told(&sound, &known(500.0, 500.0, 9.0)),
        1.818_181_8 / 8.0 + 0.681_818_2 / 4.0,
        1e-6,
    );
    // One that is stiffer than its modulus tells goes by h³ alone.
    near(
        told(&known(1000.0, 500.0, 0.8), &known(500.0, 500.0, 9.0)),
        0.1,
        1e-9,
    );
}

//! Laws that hold for any layout, fitting or reading.

use mechanics::cutting::{ShortestBy, cut_chance, cut_for_engagement, cut_window};
use mechanics::deflection::{Held, deflection_under_load, span, tension_from_deflection};
use mechanics::holes::{BlindHole, PostFace, PostPlan, wood_between};
use mechanics::lengths::{ASSUMED_BOW_SPREAD, LengthReading, interpolate};
use mechanics::posts::{Post, Rail, Section, WirePull, post_movement};
use mechanics::rules::{Outcome, look_up_deflection, look_up_tension};
use mechanics::strand::Construction;
use mechanics::tension::{
    ReadingState, UpperKind, UpperPart, clear_to, gauge_step, least_set, reading_state, room,
    shown_most, shown_upper, suggested_set, upper_tension,
};
use mechanics::trial::{Fitted, expected, learn, learned_offset, window_as_learned};
use mechanics::{
    Degrees, Figure, MechanicsError, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre,
    Origin,
};
use proptest::prelude::*;

use crate::au;
use crate::cutting::input;
use crate::one_way;

/// Demand of an answer: a figure, above it "not allowed", above that "outside the table".
fn demand(outcome: &Outcome<Newtons>) -> (u8, f64) {
    match outcome {
        Outcome::Figure { limit } => (0, limit.value()),
        Outcome::NotAllowed => (1, 0.0),
        Outcome::Outside { .. } => (2, 0.0),
    }
}

fn any_wire() -> impl Strategy<Value = (f64, Construction)> {
    prop_oneof![
        (2.5..6.0_f64).prop_map(|d| (d, Construction::OneByNineteen)),
        (2.5..6.0_f64).prop_map(|d| (d, Construction::SevenBySeven)),
        (4.0..6.0_f64).prop_map(|d| (d, Construction::SevenByNineteen)),
    ]
}

fn post(side: f64, rail: Option<f64>) -> Post {
    Post {
        section: Section::Rectangle {
            along: Millimetres(side),
            across: Millimetres(side),
        },
        modulus: Figure::of(Megapascals(11_000.0), Origin::Assumed),
        height: Millimetres(1000.0),
        rail: rail.map(|stiffness| Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(stiffness),
        }),
        base_turning: None,
        bolt_distance: None,
    }
}

fn pull(height: f64, tension: f64) -> WirePull {
    WirePull {
        height: Millimetres(height),
        tension: Newtons(tension),
        slope: Degrees(0.0),
    }
}

proptest! {
    #[test]
    fn a_longer_bay_or_wider_spacing_never_asks_for_less(
        (diameter, lay) in any_wire(),
        spacing in 1.0..130.0_f64, more_spacing in 0.0..40.0_f64,
        clear in 100.0..2800.0_f64, more_clear in 0.0..900.0_f64,
    ) {
        let set = au();
        let look = |spacing, clear| {
            let row = look_up_tension(
                &set, Millimetres(diameter), lay, Millimetres(spacing), Millimetres(clear),
            ).unwrap();
            demand(&row.outcome)
        };
        let here = look(spacing, clear);
        prop_assert!(look(spacing + more_spacing, clear) >= here);
        prop_assert!(look(spacing, clear + more_clear) >= here);
    }

    #[test]
    fn a_thicker_wire_between_rows_reads_the_thinner_row(
        row in prop_oneof![Just(2.5_f64), Just(3.0), Just(4.0)], above in 0.0..0.49_f64,
        spacing in 1.0..100.0_f64, clear in 100.0..2500.0_f64,
    ) {
        let set = au();
        let look = |diameter| look_up_tension(
            &set, Millimetres(diameter), Construction::OneByNineteen,
            Millimetres(spacing), Millimetres(clear),
        ).unwrap();
        prop_assert_eq!(look(row), look(row + above));
    }

    #[test]
    fn margins_end_exactly_where_the_answer_changes(
        spacing in 1.0..100.0_f64, clear in 100.0..2500.0_f64,
    ) {
        let set = au();
        let look = |spacing, clear| look_up_tension(
            &set, Millimetres(3.2), Construction::OneByNineteen,
            Millimetres(spacing), Millimetres(clear),
        ).unwrap();
        let row = look(spacing, clear);
        if let Some(next) = &row.longer_bay {
            prop_assert!(next.distance.value() >= 0.0);
            let edge = clear + next.distance.value();
            prop_assert_eq!(&look(spacing, edge).outcome, &row.outcome);
            prop_assert_eq!(&look(spacing, edge + 1e-5).outcome, &next.outcome);
        }
        if let Some(next) = &row.wider_spacing {
            let edge = spacing + next.distance.value();
            prop_assert_eq!(&look(edge, clear).outcome, &row.outcome);
            prop_assert_eq!(&look(edge + 1e-5, clear).outcome, &next.outcome);
        }
    }

    #[test]
    fn a_wider_spacing_never_allows_more_deflection(
        spacing in 1.0..80.0_f64, more in 0.0..20.0_f64, clear in 100.0..2000.0_f64,
    ) {
        let set = au();
        let look = |spacing| look_up_deflection(
            &set, Millimetres(3.0), Millimetres(spacing), Millimetres(clear),
        ).unwrap().outcome.limit().map_or(-1.0, Millimetres::value);
        prop_assert!(look(spacing + more) <= look(spacing));
    }

    #[test]
    fn a_lock_nut_only_shrinks_the_window(
        inside in 600.0..12_000.0_f64, inward in 0.0..8.0_f64,
        nut in 0.0..6.0_f64, more in 0.01..4.0_f64,
    ) {
        let thin = cut_window(&input(inside, inward, nut));
        let thick = cut_window(&input(inside, inward, nut + more));
        match (thin, thick) {
            (Ok(thin), Ok(thick)) => {
                prop_assert!(thick.width < thin.width);
                prop_assert_eq!(thick.shortest, thin.shortest);
                prop_assert!(thick.longest < thin.longest);
            }
            (thin, Ok(thick)) => prop_assert!(false, "{thin:?} {thick:?}"),
            (_, Err(MechanicsError::NoWindow { missing, .. })) => {
                prop_assert!(missing.value() >= 0.0);
            }
            (_, Err(other)) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn the_middle_of_a_window_lies_in_it_and_keeps_what_was_asked(
        inside in 600.0..9_000.0_f64, inward in 0.0..8.0_f64, nut in 0.0..4.0_f64,
        unequal in 0.0..3.0_f64,
    ) {
        let mut of = input(inside, inward, nut);
        of.unequal_start = Millimetres(unequal);
        if let Ok(window) = cut_window(&of) {
            prop_assert!(window.shortest < window.aim && window.aim < window.longest);
            // Each limit engages exactly the thread it was made from.
            let full = 2.0 * (30.0 - nut) - unequal - 8.0;
            let at = |x| cut_for_engagement(&of, Millimetres(x)).unwrap().value();
            prop_assert!((at(full) - window.longest.value()).abs() < 1e-9);
            if window.shortest_by == ShortestBy::Engagement {
                prop_assert!((at(16.0 + unequal) - window.shortest.value()).abs() < 1e-9);
            } else {
                prop_assert!(at(16.0 + unequal) <= window.shortest.value());
            }
            let chance = cut_chance(&of, window.aim).unwrap();
            prop_assert!((0.0..=1.0).contains(&chance.careful));
            prop_assert!(chance.careful <= chance.as_stated);
        }
    }

    #[test]
    fn a_window_as_learned_is_never_upside_down(
        inside in 600.0..9_000.0_f64, inward in 0.0..10.0_f64, nut in 0.0..4.0_f64,
        off in proptest::collection::vec((-0.4..0.4_f64, -60.0..60.0_f64), 0..4),
    ) {
        let of = input(inside, inward, nut);
        let prior = expected(&of).unwrap();
        let fitted: Vec<Fitted> = (1..).zip(&off).map(|(wire, (further, off))| {
            let metres = inside / 1000.0 + further;
            let z = prior.offset.value() + prior.per_metre * metres + off;
            Fitted {
                wire,
                inside_to_inside: Millimetres(metres * 1000.0),
                cut: Millimetres(metres * 1000.0 - 60.0),
                usable_thread: Millimetres(60.0),
                showing: Millimetres(120.0 - z),
                inward: Millimetres(0.0),
                still_to_come: Millimetres(0.0),
            }
        }).collect();
        let learned = learn(&prior, &fitted).unwrap();
        if let Ok(window) = cut_window(&of) {
            match window_as_learned(&window, &of, &learned) {
                Ok(moved) => {
                    prop_assert!(moved.shortest < moved.aim && moved.aim < moved.longest);
                    prop_assert_eq!(moved.width, moved.longest - moved.shortest);
                    let moves = learned_offset(&of, &learned).unwrap();
                    prop_assert!((moved.longest - window.longest - moves).abs().value() < 1e-9);
                }
                Err(MechanicsError::NoWindow { shortest, longest, missing, .. }) => {
                    prop_assert!(shortest >= longest && missing == shortest - longest);
                }
                Err(other) => prop_assert!(false, "{other}"),
            }
        }
    }

    #[test]
    fn a_tighter_wire_or_a_shorter_span_never_deflects_more(
        clear in 100.0..3000.0_f64, longer in 0.0..1500.0_f64, run in 4500.0..12_000.0_f64,
        tension in 0.0..4000.0_f64, more in 0.0..1500.0_f64,
        load in 0.5..400.0_f64, heavier in 0.0..200.0_f64, sliding in any::<bool>(),
    ) {
        let held = if sliding { Held::Sliding } else { Held::Gripped };
        let down = |clear: f64, tension: f64, load: f64| {
            let span = span(Millimetres(clear), Millimetres(run), Newtons(794_597.0), held);
            deflection_under_load(&span, Newtons(tension), Newtons(load)).unwrap().value()
        };
        let here = down(clear, tension, load);
        // What bisecting leaves of a deflection is far below this.
        let room = 1e-9 * here;
        prop_assert!(here > 0.0);
        prop_assert!(down(clear, tension + more, load) <= here + room);
        prop_assert!(down(clear + longer, tension, load) >= here - room);
        prop_assert!(down(clear, tension, load + heavier) >= here - room);
    }

    #[test]
    fn tension_comes_back_from_its_own_deflection(
        clear in 400.0..2500.0_f64, run in 2500.0..12_000.0_f64,
        tension in 20.0..4000.0_f64, load in 2.0..200.0_f64, sliding in any::<bool>(),
    ) {
        let held = if sliding { Held::Sliding } else { Held::Gripped };
        let of = span(Millimetres(clear), Millimetres(run), Newtons(794_597.0), held);
        let sag = deflection_under_load(&of, Newtons(tension), Newtons(load)).unwrap();
        let back = tension_from_deflection(&of, Newtons(load), sag).unwrap();
        prop_assert!((back.value() - tension).abs() < 1e-6 * tension.max(100.0));
    }

    #[test]
    fn gripped_never_reads_higher_than_sliding(
        clear in 400.0..2500.0_f64, more in 0.0..8000.0_f64,
        tension in 50.0..3000.0_f64, load in 5.0..50.0_f64,
    ) {
        let of = |held| span(
            Millimetres(clear), Millimetres(clear + more), Newtons(794_597.0), held,
        );
        let sag = deflection_under_load(&of(Held::Gripped), Newtons(tension), Newtons(load));
        let sag = sag.unwrap();
        let gripped = tension_from_deflection(&of(Held::Gripped), Newtons(load), sag).unwrap();
        let sliding = tension_from_deflection(&of(Held::Sliding), Newtons(load), sag).unwrap();
        prop_assert!(gripped <= sliding + Newtons(1e-6));
    }

    #[test]
    fn a_rail_only_takes_movement_and_moment_away(
        heights in prop::collection::vec(50.0..1000.0_f64, 1..14),
        stiffness in 1.0..5000.0_f64, look in 10.0..1000.0_f64,
    ) {
        let pulls: Vec<_> = heights.iter().map(|h| pull(*h, 1000.0)).collect();
        let free = one_way::demand(&post(90.0, None), &pulls);
        let railed = one_way::demand(&post(90.0, Some(stiffness)), &pulls);
        prop_assert!(railed.base_moment <= free.base_moment);
        prop_assert!(railed.tip <= free.tip);
        let at = |rail| post_movement(&post(90.0, rail), &pulls, Millimetres(look)).unwrap();
        prop_assert!(at(Some(stiffness)) <= at(None));
    }

    #[test]
    fn one_wire_moves_another_as_much_as_the_other_moves_it(
        a in 10.0..1000.0_f64, b in 10.0..1000.0_f64, stiffness in 1.0..5000.0_f64,
    ) {
        let of = post(90.0, Some(stiffness));
        let there = post_movement(&of, &[pull(a, 1000.0)], Millimetres(b)).unwrap();
        let back = post_movement(&of, &[pull(b, 1000.0)], Millimetres(a)).unwrap();
        prop_assert!((there - back).abs().value() < 1e-9);
    }

    #[test]
    fn three_readings_of_a_parabola_give_the_parabola(
        bottom in 2000.0..8000.0_f64, lean in -20.0..20.0_f64, bow in -8.0..8.0_f64,
        count in 3_u32..16, middle in 1_u32..14,
    ) {
        let middle = middle.clamp(1, count - 2);
        let heights: Vec<_> = (0..count).map(|n| Millimetres(76.0 * f64::from(n + 1))).collect();
        let length = |n: u32| {
            let zeta = f64::from(n) / f64::from(count - 1);
            bottom + lean * zeta + 4.0 * bow * zeta * (1.0 - zeta)
        };
        let readings: Vec<_> = [0, middle, count - 1].into_iter().map(|n| LengthReading {
            wire: n + 1, length: Millimetres(length(n)), spread: Millimetres(1.0),
        }).collect();
        let run = interpolate(&heights, &readings, ASSUMED_BOW_SPREAD).unwrap();
        prop_assert!((run.bow.unwrap().value() - bow).abs() < 1e-6);
        for (n, wire) in (0..count).zip(&run.wires) {
            prop_assert!((wire.length.value() - length(n)).abs() < 1e-6);
        }
    }

    #[test]
    fn readings_keep_their_order_of_states(
        required in 50.0..3000.0_f64, error in 0.0..0.1_f64,
        reading in 0.0..4000.0_f64, more in 0.0..500.0_f64,
    ) {
        let rank = |newtons| match reading_state(Newtons(newtons), Newtons(required), error).unwrap()
        {
            ReadingState::Below => 0,
            ReadingState::AtTheMark => 1,
            ReadingState::Clear => 2,
        };
        prop_assert!(rank(reading + more) >= rank(reading));
        prop_assert_eq!(rank(reading) == 0, reading < required);
        let set = least_set(Newtons(required), Newtons(0.0), error).unwrap();
        prop_assert_eq!(rank(set.value()), 2);
    }

    #[test]
    fn a_suggested_set_tension_is_the_least_of_its_room(
        required in 100.0..3000.0_f64, more in 0.0..1.0_f64, loss in 0.0..600.0_f64,
        lost in any::<bool>(), error in 0.0..0.1_f64,
    ) {
        let (required, upper) = (Newtons(required), Newtons(required * (1.0 + more)));
        let loss = Newtons(if lost { loss } else { 0.0 });
        let room = room(required, upper, error).unwrap();
        let step = gauge_step(required, error).unwrap();
        let asked = required + loss;
        let Some(set) = suggested_set(required, loss, upper, error).unwrap() else {
            let least = least_set(required, loss, error).unwrap();
            prop_assert!(!room.enough || least > room.clear_to);
            prop_assert!(lost || !room.enough, "{required}, {upper}, {error}: {room:?}");
            return Ok(());
        };
        prop_assert!(set >= room.clear_from && set <= room.clear_to, "{set} in {room:?}");
        prop_assert!(set * (1.0 - error) >= asked - Newtons(1e-6));
        prop_assert!(set * (1.0 + error) <= upper + Newtons(1e-6));
        prop_assert!((set.value() / step.value()).fract() == 0.0, "{set} in steps of {step}");
        prop_assert!((set - step) * (1.0 - error) < asked);
        prop_assert_eq!(clear_to(upper, error).unwrap(), room.clear_to);
    }

    #[test]
    fn the_most_that_is_lost_is_never_shown_smaller(
        lost in 0.1..900.0_f64, error in 0.0..0.1_f64,
    ) {
        let shown = shown_most(Newtons(lost), error).unwrap();
        prop_assert!(shown >= Newtons(lost));
        prop_assert!(shown - Newtons(lost) <= gauge_step(Newtons(lost), error).unwrap());
    }

    #[test]
    fn the_upper_tension_is_never_above_a_part(
        limits in prop::collection::vec(1.0..9000.0_f64, 1..6), error in 0.0..0.1_f64,
    ) {
        let parts: Vec<_> = limits.iter().map(|newtons| UpperPart {
            kind: UpperKind::Thread, limit: Figure::of(Newtons(*newtons), Origin::Maker),
        }).collect();
        let upper = upper_tension(&parts).unwrap().unwrap();
        for part in &parts {
            prop_assert!(upper.limit <= part.limit.value);
        }
        prop_assert!(shown_upper(upper.limit, error).unwrap() <= upper.limit);
    }

    #[test]
    fn wood_is_the_same_whichever_hole_is_named_first(
        side in 60.0..200.0_f64, height in 0.0..60.0_f64,
        depth in 10.0..55.0_f64, offset in -20.0..20.0_f64, rise in -35.0..35.0_f64,
    ) {
        let hole = |label: &str, face, height, offset, rise| BlindHole {
            label: label.to_owned(), face, height: Millimetres(height),
            offset: Millimetres(offset), diameter: Millimetres(9.0),
            depth: Millimetres(depth), rise: Degrees(rise),
        };
        let a = hole("a", PostFace::Front, 0.0, offset, 0.0);
        let b = hole("b", PostFace::Left, height, -offset, rise);
        let plan = PostPlan { wide: Millimetres(side), deep: Millimetres(side) };
        let wood = |holes: &[BlindHole]| {
            wood_between(plan, holes, Millimetres(1000.0)).unwrap()[0].wood
        };
        prop_assert_eq!(wood(&[a.clone(), b.clone()]), wood(&[b, a]));
    }
}

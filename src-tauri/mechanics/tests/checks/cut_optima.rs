//! Cut plans beside optima: published instances, and an exact solver over all patterns.

use std::time::{Duration, Instant};

use mechanics::Millimetres;
use mechanics::cut_plan::{BoundBy, CutOrder, CutPlanInput, cut_plan};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use proptest::prelude::*;
use serde_json::Value;

use crate::cut_plan::{asked, check, offcut, piece, planned, reel};

/// Pieces of given lengths and counts from new reels.
fn orders(capacity: u32, orders: &[(u32, u32)]) -> CutPlanInput {
    let pieces = orders
        .iter()
        .flat_map(|(length, count)| {
            (1..=*count).map(move |n| piece(&format!("{length} no {n}"), f64::from(*length)))
        })
        .collect();
    let mut input = asked(pieces, Vec::new());
    input.new_reel = Some(Millimetres(f64::from(capacity)));
    input
}

/// Least count of reels by whole-number programming over every pattern that fits.
fn exact(capacity: u32, orders: &[(u32, u32)]) -> u32 {
    let total: u32 = orders.iter().map(|order| order.1).sum();
    let most = i32::try_from(total).unwrap();
    solved(capacity, orders, |problem| {
        problem.add_integer_var(1.0, (0, most))
    })
    .round() as u32
}

/// The relaxation of the same: patterns may be cut a part of a time.
fn relaxation(capacity: u32, orders: &[(u32, u32)]) -> f64 {
    solved(capacity, orders, |problem| {
        problem.add_var(1.0, (0.0, f64::INFINITY))
    })
}

/// Fewest patterns, each as often as its variable tells, that give every piece.
fn solved(
    capacity: u32,
    orders: &[(u32, u32)],
    times_of: impl Fn(&mut Problem) -> Variable,
) -> f64 {
    fn grow(rest: &[(u32, u32)], room: u32, made: &mut Vec<u32>, all: &mut Vec<Vec<u32>>) {
        let Some(((length, count), rest)) = rest.split_first() else {
            all.push(made.clone());
            return;
        };
        for taken in 0..=(*count).min(room / length) {
            made.push(taken);
            grow(rest, room - taken * length, made, all);
            made.pop();
        }
    }
    let mut patterns = Vec::new();
    grow(orders, capacity, &mut Vec::new(), &mut patterns);
    // A pattern to which another piece could be added is never needed where more may be cut.
    let maximal = |pattern: &Vec<u32>| {
        let used: u32 = pattern.iter().zip(orders).map(|(n, (l, _))| n * l).sum();
        !pattern
            .iter()
            .zip(orders)
            .any(|(n, (length, count))| n < count && used + length <= capacity)
    };
    patterns.retain(maximal);
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let times: Vec<_> = patterns.iter().map(|_| times_of(&mut problem)).collect();
    for (at, (_, count)) in orders.iter().enumerate() {
        let row = times
            .iter()
            .zip(&patterns)
            .map(|(times, pattern)| (*times, f64::from(pattern[at])));
        problem.add_constraint(row.collect::<Vec<_>>(), ComparisonOp::Ge, f64::from(*count));
    }
    let outcome = problem.solve().unwrap();
    assert!(outcome.is_optimal());
    outcome.solution().unwrap().objective()
}

#[test]
fn published_instances_reach_their_optima_and_prove_them() {
    // fixtures/standards/cutting-stock-instances.json; sources stand there and in its README.
    let text = include_str!("../../../../fixtures/standards/cutting-stock-instances.json");
    let instances: Vec<Value> = serde_json::from_str(text).unwrap();
    assert_eq!(instances.len(), 4);
    for instance in instances {
        let whole = |value: &Value| u32::try_from(value.as_u64().unwrap()).unwrap();
        let list: Vec<(u32, u32)> = instance["orders"]
            .as_array()
            .unwrap()
            .iter()
            .map(|order| (whole(&order[0]), whole(&order[1])))
            .collect();
        let optimum = whole(&instance["optimum"]);
        assert_eq!(exact(whole(&instance["stock"]), &list), optimum);
        let plan = planned(&orders(whole(&instance["stock"]), &list));
        assert_eq!(plan.reels.planned, optimum, "{}", instance["name"]);
        assert_eq!(plan.reels.at_least, optimum, "{}", instance["name"]);
        assert!(plan.reels.least_possible);
        if let Some(told) = instance["LP"].as_f64() {
            // The material alone asks for 416.
            let relaxed = relaxation(whole(&instance["stock"]), &list);
            assert!((relaxed - told).abs() < 1e-3, "{relaxed}");
            assert_eq!(plan.reels.by, BoundBy::Patterns);
        }
        if let Some(told) = instance["waste_pct"].as_f64() {
            let cut: f64 = list.iter().map(|(l, n)| f64::from(l * n)).sum();
            let bought = f64::from(plan.reels.planned * whole(&instance["stock"]));
            let waste = 100.0 * (1.0 - cut / bought);
            assert!((waste - told).abs() < 1e-3, "{waste}");
        }
    }
}

#[test]
fn the_solver_agrees_on_an_instance_worked_elsewhere() {
    // So that the comparison below rests on a solver that is right where the answer is known.
    assert_eq!(exact(2000, &[(255, 10), (750, 7), (550, 13)]), 9);
    assert_eq!(
        exact(30_002, &[(2352, 10), (3122, 10), (1482, 10), (4277, 10)]),
        4
    );
    // The relaxation of the same, told beside it.
    let relaxed = relaxation(30_002, &[(2352, 10), (3122, 10), (1482, 10), (4277, 10)]);
    assert!((relaxed - 3.748).abs() < 1e-3, "{relaxed}");
}

fn few_lengths() -> impl Strategy<Value = Vec<(u32, u32)>> {
    proptest::collection::btree_map(9_u32..60, 1_u32..9, 1..5)
        .prop_map(|map| map.into_iter().rev().collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]
    #[test]
    fn counts_beside_an_exact_solver(list in few_lengths(), capacity in 60_u32..130) {
        let input = orders(capacity, &list);
        let plan = cut_plan(&input).unwrap();
        check(&input, &plan);
        let least = exact(capacity, &list);
        prop_assert!(plan.reels.at_least <= least, "bound {} > {least}", plan.reels.at_least);
        prop_assert!(plan.reels.planned >= least);
        // One more than the least is the most that the roundings have been seen to take.
        prop_assert!(plan.reels.planned <= least + 1, "{} for {least}", plan.reels.planned);
        prop_assert!(!plan.reels.least_possible || plan.reels.planned == least);
    }
}

fn any_input() -> impl Strategy<Value = CutPlanInput> {
    let tenths = |from: u32, to: u32| (from..to).prop_map(|n| f64::from(n) / 10.0);
    // Some of like length, as wires of one run are.
    let length = prop_oneof![tenths(4_000, 90_000), tenths(24_700, 24_703)];
    let pieces = proptest::collection::vec((length, any::<bool>()), 1..30);
    let offcuts = proptest::collection::vec(tenths(2_000, 60_000), 0..6);
    let reels = proptest::collection::vec(tenths(90_500, 400_000), 1..5);
    (
        pieces,
        offcuts,
        reels,
        tenths(0, 40),
        tenths(0, 500),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(pieces, offcuts, reels, kerf, trim, listed, more)| {
            let mut input = asked(Vec::new(), Vec::new());
            for (n, (length, trial)) in (1..).zip(pieces) {
                let mut piece = piece(&format!("A{n}"), length);
                piece.trial = trial;
                input.pieces.push(piece);
            }
            input
                .stock
                .extend((1..).zip(offcuts).map(|(n, l)| offcut(&format!("o{n}"), l)));
            input
                .stock
                .extend((1..).zip(reels).map(|(n, l)| reel(&format!("R{n}"), l)));
            if listed {
                input.order = CutOrder::AsListed;
            }
            if more {
                input.new_reel = Some(Millimetres(30_000.0));
            }
            (input.kerf, input.end_trim) = (Millimetres(kerf), Millimetres(trim));
            input
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]
    #[test]
    fn every_piece_once_and_no_stock_gives_more_than_it_has(input in any_input()) {
        let plan = cut_plan(&input).unwrap();
        check(&input, &plan);
        if input.new_reel.is_some() {
            prop_assert!(plan.uncovered.is_empty());
        }
    }

    #[test]
    fn the_order_of_the_input_plays_no_part(input in any_input(), turn in 0_usize..30) {
        let mut other = input.clone();
        let half = turn % other.stock.len();
        other.stock.rotate_left(half);
        other.stock.reverse();
        if input.order == CutOrder::LeastStock {
            let half = turn % other.pieces.len();
            other.pieces.rotate_left(half);
        }
        prop_assert_eq!(cut_plan(&input).unwrap(), cut_plan(&other).unwrap());
    }

    #[test]
    fn a_wider_cut_never_takes_fewer_reels(input in any_input(), more in 0_u32..300) {
        let mut input = input;
        input.order = CutOrder::LeastStock;
        input.stock.clear();
        input.new_reel = Some(Millimetres(30_000.0));
        let narrow = cut_plan(&input).unwrap().reels;
        input.kerf += Millimetres(f64::from(more) / 10.0);
        let wide = cut_plan(&input).unwrap().reels;
        // A plan for the wider cut is one for the narrower too, so it cannot pass its bound.
        prop_assert!(wide.planned >= narrow.at_least);
        if narrow.least_possible {
            prop_assert!(wide.planned >= narrow.planned);
        }
    }

    #[test]
    fn what_was_cut_stays_and_the_rest_is_planned_again(
        input in any_input(), part in 0.0..1.0_f64,
    ) {
        let mut input = input;
        input.new_reel = None;
        let plan = cut_plan(&input).unwrap();
        let cut = (part * plan.cuts.len() as f64) as usize;
        for cut in plan.cuts.iter().take(cut) {
            input.done.push(mechanics::cut_plan::DoneCut {
                piece: cut.piece.clone(),
                stock: cut.stock.clone(),
                length: cut.length,
            });
        }
        match cut_plan(&input) {
            Ok(again) => check(&input, &again),
            // What was uncovered may be longer than all that is left now.
            Err(mechanics::MechanicsError::PieceTooLong { .. }) => {}
            Err(mechanics::MechanicsError::NothingToCut) => {
                prop_assert_eq!(cut, input.pieces.len());
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}

/// Forty runs of ten wires each, some of like length, by a fixed rule.
fn four_hundred() -> CutPlanInput {
    let mut pieces = Vec::new();
    for run in 0..40_u32 {
        let first = 1_800 + run * 1_237 % 6_500;
        for wire in 0..10 {
            pieces.push(piece(&format!("R{run}-{wire}"), f64::from(first + wire)));
        }
    }
    let mut input = asked(pieces, vec![offcut("o1", 4_000.0), offcut("o2", 9_500.0)]);
    input.new_reel = Some(Millimetres(60_000.0));
    input.kerf = Millimetres(1.0);
    input
}

#[test]
fn four_hundred_pieces_are_planned_while_one_waits() {
    let input = four_hundred();
    let before = Instant::now();
    let plan = planned(&input);
    let taken = before.elapsed();
    assert_eq!(plan.cuts.len(), 400);
    assert!(plan.reels.least_possible, "{}", plan.sentence);
    // A slow machine and an unoptimised build stay far below this; the figure is measured apart.
    assert!(taken < Duration::from_secs(20), "{taken:?}");
}

#[test]
fn eight_to_a_reel_is_proven_by_patterns_where_the_material_says_less() {
    // Lengths 7000 to 7399: nine never fit 60 000, so 400 pieces take 50 reels; the length alone
    // says 49, since eight of the longest come to more than eight of the middle.
    let list: Vec<(u32, u32)> = (0..400).rev().map(|n| (7000 + n, 1)).collect();
    let plan = planned(&orders(60_000, &list));
    assert_eq!((plan.reels.planned, plan.reels.at_least), (50, 50));
    assert_eq!(plan.reels.by, BoundBy::Patterns);
}

#[test]
fn four_hundred_pieces_of_eight_lengths_beside_an_exact_solver() {
    let list = [
        (7231, 60),
        (6120, 50),
        (5480, 50),
        (4275, 60),
        (3120, 50),
        (2473, 60),
        (2050, 40),
        (1480, 30),
    ];
    let plan = planned(&orders(20_000, &list));
    assert_eq!(plan.cuts.len(), 400);
    assert_eq!(plan.reels.planned, exact(20_000, &list));
    assert!(plan.reels.least_possible);
}

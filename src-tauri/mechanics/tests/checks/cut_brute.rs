//! Cut plans beside every assignment of a few pieces to a few reels and offcuts, tried one by one,
//! and what more trimming does.

use mechanics::Millimetres;
use mechanics::cut_plan::{Counted, CutOrder, CutPlanInput, StockKind, cut_plan};
use proptest::prelude::*;

use crate::cut_plan::{asked, check, offcut, piece, reel};

/// The fewest reels by which all pieces are covered, offcuts used at will; none where no assignment
/// covers them.
fn fewest(input: &CutPlanInput) -> Option<u32> {
    let whole = |length: Millimetres| length.value() as i64;
    let kerf = whole(input.kerf);
    let rooms: Vec<(bool, i64)> = input
        .stock
        .iter()
        .map(|stock| {
            let room = whole(stock.length) - whole(input.end_trim) + kerf;
            (stock.kind == StockKind::Reel, room)
        })
        .collect();
    let sizes: Vec<i64> = input
        .pieces
        .iter()
        .map(|piece| whole(piece.length) + kerf)
        .collect();
    place(&sizes, &mut rooms.clone(), &rooms)
}

fn place(sizes: &[i64], rooms: &mut Vec<(bool, i64)>, full: &[(bool, i64)]) -> Option<u32> {
    let Some((size, rest)) = sizes.split_first() else {
        let used = rooms
            .iter()
            .zip(full)
            .filter(|(now, full)| now.0 && now.1 < full.1);
        return Some(used.count() as u32);
    };
    let mut best = None;
    for at in 0..rooms.len() {
        if rooms[at].1 < *size {
            continue;
        }
        rooms[at].1 -= size;
        best = match (best, place(rest, rooms, full)) {
            (Some(a), Some(b)) => Some(std::cmp::min::<u32>(a, b)),
            (a, b) => a.or(b),
        };
        rooms[at].1 += size;
    }
    best
}

fn small() -> impl Strategy<Value = CutPlanInput> {
    (
        proptest::collection::vec(10_u32..60, 1..7),
        proptest::collection::vec(15_u32..50, 0..2),
        proptest::collection::vec(60_u32..130, 1..4),
        0_u32..4,
        0_u32..8,
    )
        .prop_map(|(pieces, offcuts, reels, kerf, trim)| {
            let mm = f64::from;
            let mut input = asked(Vec::new(), Vec::new());
            for (n, length) in (1..).zip(pieces) {
                input.pieces.push(piece(&format!("A{n}"), mm(length)));
            }
            for (n, length) in (1..).zip(offcuts) {
                input.stock.push(offcut(&format!("o{n}"), mm(length)));
            }
            for (n, length) in (1..).zip(reels) {
                input.stock.push(reel(&format!("R{n}"), mm(length)));
            }
            (input.kerf, input.end_trim) = (Millimetres(mm(kerf)), Millimetres(mm(trim)));
            input
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn every_assignment_was_tried_and_none_beats_what_is_said(input in small()) {
        let plan = match cut_plan(&input) {
            Ok(plan) => plan,
            Err(mechanics::MechanicsError::PieceTooLong { .. }) => {
                prop_assert_eq!(fewest(&input), None);
                return Ok(());
            }
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        };
        check(&input, &plan);
        prop_assert_eq!(plan.reels.what, Counted::ReelsUsed);
        match fewest(&input) {
            // No assignment covers all, so no plan may say that it does.
            None => prop_assert!(!plan.uncovered.is_empty()),
            Some(least) => {
                prop_assert!(plan.reels.at_least <= least, "bound {} > {least}", plan.reels.at_least);
                // What an assignment covers is covered.
                prop_assert!(plan.uncovered.is_empty(), "{:?}", plan.uncovered);
                prop_assert!(plan.reels.planned >= least);
                if plan.reels.least_possible {
                    prop_assert_eq!(plan.reels.planned, least);
                }
            }
        }
    }

    #[test]
    fn more_trimming_never_takes_fewer_reels(input in small(), more in 1_u32..20) {
        let mut input = input;
        input.order = CutOrder::LeastStock;
        input.stock.clear();
        input.new_reel = Some(Millimetres(130.0));
        let narrow = cut_plan(&input).unwrap().reels;
        input.end_trim += Millimetres(f64::from(more));
        let wide = cut_plan(&input).unwrap().reels;
        // A plan with more trimmed off is one for less too, so it cannot pass its bound.
        prop_assert!(wide.planned >= narrow.at_least);
        if narrow.least_possible {
            prop_assert!(wide.planned >= narrow.planned);
        }
    }
}

#[test]
fn what_offcuts_filled_first_would_leave_is_found_a_place() {
    // By hand, with 2 mm a cut: 3210 from the shorter offcut; 2573 + 1243 + 1069 = 4885 from the longer one;
    // 3210 + 2949 + 2573 + 1069 = 9801 from the reel. The shorter offcut filled as far as it can be would take
    // 1243 + 1069 + 1069.
    let lengths = [2949, 2573, 2573, 3210, 3210, 1243, 1069, 1069];
    let pieces = (1..)
        .zip(lengths)
        .map(|(n, l)| piece(&format!("A{n}"), f64::from(l)));
    let mut input = asked(
        pieces.collect(),
        vec![
            reel("R1", 10_000.0),
            offcut("O1", 4972.0),
            offcut("O2", 3514.0),
        ],
    );
    (input.kerf, input.end_trim) = (Millimetres(2.0), Millimetres(0.0));
    let plan = cut_plan(&input).unwrap();
    check(&input, &plan);
    assert_eq!((plan.uncovered.len(), plan.cuts.len()), (0, 8));
}

#[test]
fn no_reel_is_ordered_where_the_stock_holds_all() {
    // R-3 with C2, R-1 with A2 and B2, R-2 with A1 and B1: filling the offcut with B1 and B2 left C2.
    let lengths = [
        ("C2", 4905.0),
        ("A1", 7231.0),
        ("A2", 7232.0),
        ("B1", 2471.0),
        ("B2", 2472.0),
    ];
    let pieces = lengths.map(|(id, length)| piece(id, length)).to_vec();
    let on_hand = vec![
        offcut("R-3", 5065.0),
        reel("R-1", 9750.0),
        reel("R-2", 9750.0),
    ];
    for new_reel in [None, Some(Millimetres(60_000.0))] {
        let input = CutPlanInput {
            kerf: Millimetres(2.0),
            end_trim: Millimetres(10.0),
            least_usable: Millimetres(300.0),
            new_reel,
            ..asked(pieces.clone(), on_hand.clone())
        };
        let plan = cut_plan(&input).unwrap();
        check(&input, &plan);
        assert!(plan.uncovered.is_empty(), "{:?}", plan.uncovered);
        assert_eq!(plan.reels.what, Counted::ReelsUsed, "{new_reel:?}");
        assert_eq!(plan.reels.planned, 2);
    }
}

#[test]
fn a_started_reel_goes_before_a_fresh_one_of_the_same_length() {
    let mut input = asked(
        vec![piece("a", 3_000.0)],
        vec![reel("R1", 8_000.0), reel("R2", 8_000.0)],
    );
    for order in [CutOrder::LeastStock, CutOrder::AsListed] {
        input.order = order;
        input.stock[1].started = false;
        assert_eq!(cut_plan(&input).unwrap().cuts[0].stock, "R1");
        input.stock[1].started = true;
        assert_eq!(cut_plan(&input).unwrap().cuts[0].stock, "R2", "{order:?}");
    }
}

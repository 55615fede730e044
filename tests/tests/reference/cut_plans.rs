//! Counts of reels beside the optimum that HiGHS proves in `cut_plan.py`.

use mechanics::Millimetres;
use mechanics::cut_plan::{
    Counted, CutOrder, CutPlanInput, DoneCut, Piece, Stock, StockKind, cut_plan,
};
use serde_json::{Value, json};

use crate::room::{Dice, Room};

fn mm(length: u32) -> Millimetres {
    Millimetres(f64::from(length))
}

fn any(dice: &mut Dice) -> CutPlanInput {
    let reel = dice.pick(&[6_000, 10_000, 20_000, 30_000]);
    let kinds = dice.whole(2, 6);
    let mut pieces = Vec::new();
    for kind in 0..kinds {
        // Lengths of few to a reel and of many; the fewer kinds, the more of each.
        let length = dice.whole(reel / 12, reel / 2);
        for n in 0..dice.whole(1, 24 / kinds) {
            pieces.push(Piece {
                id: format!("{kind}-{n}"),
                length: mm(length),
                trial: n == 0 && kind == 0,
            });
        }
    }
    let mut stock = Vec::new();
    for n in 0..dice.whole(0, 3) {
        stock.push(Stock {
            id: format!("offcut {n}"),
            batch: None,
            kind: StockKind::Offcut,
            length: mm(dice.whole(reel / 10, reel * 3 / 5)),
            clean_end: n == 0,
            started: false,
        });
    }
    let ordered = dice.whole(0, 2) > 0;
    for n in 0..dice.whole(u32::from(!ordered) * 3, 6) {
        stock.push(Stock {
            id: format!("reel {n}"),
            batch: None,
            kind: StockKind::Reel,
            length: mm(if n < 2 { reel * 3 / 4 } else { reel }),
            clean_end: false,
            started: n == 0,
        });
    }
    // One piece more was cut already, off the first of the stock.
    let done = stock.first().map(|stock| DoneCut {
        piece: "cut before".to_owned(),
        stock: stock.id.clone(),
        length: mm(reel / 20),
    });
    CutPlanInput {
        pieces,
        stock,
        done: done.into_iter().collect(),
        order: CutOrder::LeastStock,
        kerf: mm(dice.pick(&[0, 2, 3])),
        end_trim: mm(dice.pick(&[0, 10])),
        least_usable: mm(600),
        new_reel: ordered.then_some(mm(reel)),
    }
}

/// The same as the script takes it: what each stock still has, in whole millimetres.
fn told(input: &CutPlanInput, what: Counted) -> Value {
    let whole = |length: Millimetres| length.value() as i64;
    let mut orders: Vec<(i64, u32)> = Vec::new();
    for piece in &input.pieces {
        match orders
            .iter_mut()
            .find(|order| order.0 == whole(piece.length))
        {
            Some(order) => order.1 += 1,
            None => orders.push((whole(piece.length), 1)),
        }
    }
    let left = |stock: &Stock| {
        let done: i64 = input
            .done
            .iter()
            .filter(|cut| cut.stock == stock.id)
            .map(|cut| whole(cut.length + input.kerf))
            .sum();
        let trim = if stock.clean_end {
            0
        } else {
            whole(input.end_trim)
        };
        whole(stock.length) - trim - done
    };
    let stock: Vec<Value> = input
        .stock
        .iter()
        .map(|s| json!([s.kind, left(s)]))
        .collect();
    let new = input.new_reel.filter(|_| what == Counted::ReelsToOrder);
    json!({"ask": "fewest", "kerf": whole(input.kerf), "orders": orders, "stock": stock,
        "newReel": new.map(|reel| whole(reel - input.end_trim))})
}

#[test]
fn counts_of_reels_beside_an_exact_solver() {
    let mut room = Room::of("cut_plan.py");
    let mut dice = Dice::new(10);
    let (mut covered, mut proven) = (0, 0);
    while covered < 60 {
        let input = any(&mut dice);
        let Ok(plan) = cut_plan(&input) else {
            // A piece longer than every stock; refusals have tests of their own.
            continue;
        };
        let reels = plan.reels;
        let is_covered = plan.uncovered.is_empty();
        covered += usize::from(is_covered);
        proven += usize::from(reels.least_possible);
        room.ask(told(&input, reels.what), move |told, found| {
            let Some(fewest) = told.as_u64() else {
                found.holds("no plan covers what ours leaves", !is_covered, || {
                    "ours covers pieces that the stock can't give".to_owned()
                });
                return;
            };
            let (planned, least) = (u64::from(reels.planned), u64::from(reels.at_least));
            let says = || format!("{reels:?} beside an optimum of {fewest}");
            if is_covered {
                found.holds(
                    "no plan takes fewer than the optimum",
                    planned >= fewest,
                    says,
                );
                found.holds(
                    "at most one reel over the optimum",
                    planned <= fewest + 1,
                    says,
                );
            } else {
                // Ours found no way although there is one: told, and within what may be.
                found.holds("ours leaves pieces that a plan could cover", false, says);
            }
            found.holds("the bound is one", least <= fewest, says);
            found.holds(
                "least possible is",
                !reels.least_possible || planned == fewest,
                says,
            );
        });
    }
    assert!(
        proven >= covered * 9 / 10,
        "{proven} of {covered} proven least"
    );
    room.compare();
}

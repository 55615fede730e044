//! Instances of 400 pieces, for the plan and for the exact solver beside it (`cut_plan.py` of
//! `tests/reference`).

// Each bench uses a part of this.
#![allow(dead_code)]

use mechanics::Millimetres;
use mechanics::cut_plan::{CutOrder, CutPlanInput, Piece};
use serde_json::{Value, json};

/// Names of the instances.
pub(crate) const NAMES: [&str; 2] = ["eight lengths", "forty runs"];

/// The named instance as the plan takes it.
pub(crate) fn instance(name: &str) -> CutPlanInput {
    let found = named(name);
    let mm = |name: &str| Millimetres(whole(&found, name) as f64);
    let lengths = orders(&found)
        .into_iter()
        .flat_map(|[length, count]| (0..count).map(move |_| length));
    let piece = |(at, length): (usize, u64)| Piece {
        id: format!("w{at}"),
        length: Millimetres(length as f64),
        trial: false,
    };
    CutPlanInput {
        pieces: lengths.enumerate().map(piece).collect(),
        stock: Vec::new(),
        done: Vec::new(),
        order: CutOrder::LeastStock,
        kerf: mm("kerf"),
        end_trim: Millimetres(0.0),
        least_usable: Millimetres(600.0),
        new_reel: Some(mm("reel")),
    }
}

/// The same as the solver takes it; none where its ways to cut a reel are too many to be listed.
pub(crate) fn asked(name: &str) -> Option<Value> {
    let found = named(name);
    found.get("orders").map(|orders| {
        json!({"ask": "timed", "orders": orders, "stock": [], "kerf": found["kerf"],
            "newReel": found["reel"]})
    })
}

/// Reels that the lengths alone ask for: no plan takes fewer.
pub(crate) fn by_length(name: &str) -> u64 {
    let found = named(name);
    let kerf = whole(&found, "kerf");
    let all: u64 = orders(&found)
        .iter()
        .map(|[l, count]| (l + kerf) * count)
        .sum();
    all.div_ceil(whole(&found, "reel") + kerf)
}

fn named(name: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("instances.json")).expect("instances");
    let list = all.as_array().expect("a list");
    let found = list.iter().find(|one| one["name"] == name);
    found.expect("an instance of that name").clone()
}

fn whole(of: &Value, name: &str) -> u64 {
    of[name].as_u64().expect("a whole number")
}

/// Lengths with how many of each.
fn orders(of: &Value) -> Vec<[u64; 2]> {
    if let Some(orders) = of.get("orders") {
        return serde_json::from_value(orders.clone()).expect("pairs of whole numbers");
    }
    let [runs, wires, first, step, span] =
        ["runs", "wires", "first", "step", "span"].map(|name| whole(of, name));
    let of_run = |run: u64| (0..wires).map(move |wire| [first + run * step % span + wire, 1]);
    (0..runs).flat_map(of_run).collect()
}

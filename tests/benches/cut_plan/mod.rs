//! Instances of 400 pieces, shared with the exact solver beside them (`exact.py`).

use mechanics::Millimetres;
use mechanics::cut_plan::{CutOrder, CutPlanInput, Piece};
use serde_json::Value;

/// The named instance as the plan takes it.
pub(crate) fn instance(name: &str) -> CutPlanInput {
    let all: Value = serde_json::from_str(include_str!("instances.json")).expect("instances");
    let list = all.as_array().expect("a list");
    let found = list.iter().find(|one| one["name"] == name);
    let found = found.expect("an instance of that name");
    let whole = |name: &str| found[name].as_u64().expect("a whole number");
    let lengths: Vec<u64> = match found["orders"].as_array() {
        Some(orders) => orders
            .iter()
            .flat_map(|order| {
                let [length, count] = [0, 1].map(|at| order[at].as_u64().expect("a number"));
                (0..count).map(move |_| length)
            })
            .collect(),
        None => (0..whole("runs"))
            .flat_map(|run| {
                let first = whole("first") + run * whole("step") % whole("span");
                (0..whole("wires")).map(move |wire| first + wire)
            })
            .collect(),
    };
    let mm = |length: u64| Millimetres(length as f64);
    let piece = |(at, length): (usize, u64)| Piece {
        id: format!("w{at}"),
        length: mm(length),
        trial: false,
    };
    CutPlanInput {
        pieces: lengths.into_iter().enumerate().map(piece).collect(),
        stock: Vec::new(),
        done: Vec::new(),
        order: CutOrder::LeastStock,
        kerf: mm(whole("kerf")),
        end_trim: Millimetres(0.0),
        least_usable: Millimetres(600.0),
        new_reel: Some(mm(whole("reel"))),
    }
}

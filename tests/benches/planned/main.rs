//! What the engineering costs: the answers of a job of 40 runs the first time and after one change, planning cuts,
//! seeking an order.
// An answer is read by its names; what is not there reads as null and ends the bench.
#![allow(clippy::expect_used, clippy::indexing_slicing, missing_docs)]

#[path = "../cut_plan/mod.rs"]
mod cut_plan;
mod engineering;
#[path = "../order/mod.rs"]
mod order;
mod recomputed;
#[path = "../scene/mod.rs"]
mod scene;

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};

fn cut_plan_of_400(c: &mut Criterion) {
    let mut group = c.benchmark_group("cut plan");
    group.measurement_time(Duration::from_secs(8));
    for name in cut_plan::NAMES {
        let input = cut_plan::instance(name);
        let plan = mechanics::cut_plan::cut_plan(&input).expect("a plan");
        assert_eq!(plan.cuts.len(), 400);
        let reels = plan.reels;
        eprintln!(
            "cut plan, {name}: {} reels, at least {}",
            reels.planned, reels.at_least
        );
        group.bench_function(name, |b| {
            b.iter(|| mechanics::cut_plan::cut_plan(black_box(&input)).expect("a plan"));
        });
    }
    group.finish();
}

fn order_of_15(c: &mut Criterion) {
    let frame = order::frame();
    let set = vec![order::SET; order::WIRES];
    let mut group = c.benchmark_group("order");
    group.sample_size(20);
    group.bench_function("15 wires", |b| {
        b.iter(|| order::least(black_box(&frame), &set).expect("an order"));
    });
    group.finish();
}

criterion_group!(
    benches,
    cut_plan_of_400,
    order_of_15,
    recomputed::recomputed,
    engineering::engineering
);
criterion_main!(benches);

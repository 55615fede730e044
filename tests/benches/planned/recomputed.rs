//! A job of 40 runs after one change, beside all of it worked out anew.
//!
//! The same answers are asked both times: the job, and of every run its progress, its readings and
//! its cut sheet. Saving the change is a figure of its own, and so is opening the record.

use std::path::Path;
use std::time::{Duration, Instant};

use api::App;
use criterion::{Criterion, SamplingMode};
use serde_json::json;

use crate::scene::{self, call, job};

/// Answers of the whole job.
fn answers(app: &App, large: &job::Large) -> Duration {
    let begun = Instant::now();
    call(app, "readJob", json!({"job": large.job})).expect("the job");
    for run in &large.runs {
        for name in ["progress", "tensions", "cutSheet"] {
            call(app, name, json!({"job": large.job, "run": run.id})).expect("an answer");
        }
    }
    begun.elapsed()
}

/// Answers of one run, and of the job what its screen needs beside them.
fn of_run(app: &App, large: &job::Large, run: &job::Run) -> Duration {
    let begun = Instant::now();
    for name in ["progress", "tensions", "cutSheet"] {
        call(app, name, json!({"job": large.job, "run": run.id})).expect("an answer");
    }
    begun.elapsed()
}

/// A folder just opened, its entries read, nothing worked out.
pub(crate) fn opened(data: &Path, large: &job::Large) -> App {
    let app = App::open(data).expect("the app");
    // The state is told from the book and the index, without a word of the job's parts.
    call(&app, "readState", json!({"job": large.job})).expect("the state");
    app
}

pub(crate) fn recomputed(c: &mut Criterion) {
    let folder = scene::fresh("recomputed").expect("a folder");
    let data = folder.join("data");
    let app = scene::device(&data, "Ann").expect("a device");
    let large = job::surveyed(&app, &folder).expect("a survey");
    job::worked(&app, &large).expect("a worked job");
    drop(app);

    let mut group = c.benchmark_group("recomputed");
    group
        .sample_size(10)
        .sampling_mode(SamplingMode::Flat)
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(5));
    group.bench_function("everything", |b| {
        b.iter_custom(|times| {
            let one = |_| answers(&opened(&data, &large), &large);
            (0..times).map(one).sum()
        });
    });
    let app = opened(&data, &large);
    answers(&app, &large);
    let mut n = 0;
    let mut changed = || {
        n += 1;
        let run = large.runs.iter().cycle().nth(n).expect("a run");
        job::read(&app, &large, run, n % job::WIRES + 1, "pass").expect("saved");
        run
    };
    group.bench_function("after one change", |b| {
        b.iter_custom(|times| {
            let one = |_| {
                changed();
                answers(&app, &large)
            };
            (0..times).map(one).sum()
        });
    });
    group.bench_function("its own run", |b| {
        b.iter_custom(|times| {
            let one = |_| of_run(&app, &large, changed());
            (0..times).map(one).sum()
        });
    });
    group.finish();
    drop(app);
    std::fs::remove_dir_all(&folder).expect("room again");
}

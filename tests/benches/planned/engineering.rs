//! What the engineering's screens of a job of 40 runs cost: of every run how it is brought to its tension, what it
//! loses later and what its wires ask of the posts, and of the job its cut plan; the first time, and after one
//! reading.
//!
//! Half of the runs are worked to their last readings, the wires of the other half are released and wait for the
//! saw: so that each of these answers has something to work out.

use std::path::Path;
use std::time::{Duration, Instant};

use api::App;
use criterion::{Criterion, SamplingMode};
use serde_json::{Value, json};

use crate::recomputed::opened;
use crate::scene::{self, Outcome, call, job};

/// Answers about a run.
const OF_RUN: [&str; 3] = ["tensioning", "recheck", "postsAsked"];

fn of_run(app: &App, large: &job::Large, run: &job::Run, name: &str) -> Value {
    call(app, name, json!({"job": large.job, "run": run.id})).expect("an answer")
}

fn cut_plan(app: &App, large: &job::Large) -> Value {
    call(app, "cutPlan", json!({"job": large.job})).expect("a cut plan")
}

/// All 121 answers.
fn answers(app: &App, large: &job::Large) -> Duration {
    let begun = Instant::now();
    for run in &large.runs {
        for name in OF_RUN {
            of_run(app, large, run, name);
        }
    }
    cut_plan(app, large);
    begun.elapsed()
}

/// One of them alone, of every run that it is about.
fn alone(app: &App, large: &job::Large, name: &str) -> Duration {
    let begun = Instant::now();
    match name {
        "cutPlan" => drop(cut_plan(app, large)),
        name => {
            for run in &large.runs {
                of_run(app, large, run, name);
            }
        }
    }
    begun.elapsed()
}

/// The job; each answer is looked at once for what it is to hold.
fn made(folder: &Path) -> Outcome<(App, job::Large, usize)> {
    let app = scene::device(&folder.join("data"), "Ann")?;
    let mut large = job::surveyed(&app, folder)?;
    let half = job::RUNS / 2;
    let waiting = large.runs.split_off(half);
    job::worked(&app, &large)?;
    job::released(&app, &large.job, &waiting)?;
    large.runs.extend(waiting);
    for (at, run) in large.runs.iter().enumerate() {
        let plan = of_run(&app, &large, run, "tensioning");
        let passes = plan["passes"].as_array().map_or(0, Vec::len);
        let wires = of_run(&app, &large, run, "recheck")["lines"].clone();
        let posts = of_run(&app, &large, run, "postsAsked")["posts"].clone();
        let read = wires.as_array().map_or(0, Vec::len);
        let asked = posts.as_array().map_or(0, Vec::len);
        if passes == 0 || read != job::WIRES || asked != 2 {
            return Err(format!("run {at}: {passes} passes, {read} wires, {asked} posts").into());
        }
    }
    let planned = cut_plan(&app, &large).to_string();
    let cuts = planned.matches("\"cutMm\":").count();
    if cuts != half * job::WIRES {
        let shown: String = planned.chars().take(600).collect();
        return Err(format!("{cuts} cuts are planned: {shown}").into());
    }
    Ok((app, large, half))
}

pub(crate) fn engineering(c: &mut Criterion) {
    let folder = scene::fresh("engineering").expect("a folder");
    let data = folder.join("data");
    let (app, large, worked) = made(&folder).expect("a job with work left in it");
    drop(app);

    let mut group = c.benchmark_group("engineering");
    group
        .sample_size(10)
        .sampling_mode(SamplingMode::Flat)
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(5));
    let first = |name: &'static str| {
        let (data, large) = (&data, &large);
        move |times: u64| {
            let one = |_| {
                let app = opened(data, large);
                match name {
                    "all" => answers(&app, large),
                    name => alone(&app, large, name),
                }
            };
            (0..times).map(one).sum()
        }
    };
    group.bench_function("first time", |b| b.iter_custom(first("all")));
    for name in OF_RUN.into_iter().chain(["cutPlan"]) {
        group.bench_function(name, |b| b.iter_custom(first(name)));
    }
    let app = opened(&data, &large);
    answers(&app, &large);
    let mut n = 0;
    group.bench_function("after one change", |b| {
        b.iter_custom(|times| {
            let one = |_| {
                n += 1;
                let run = large
                    .runs
                    .iter()
                    .take(worked)
                    .cycle()
                    .nth(n)
                    .expect("a run");
                job::read(&app, &large, run, n % job::WIRES + 1, "pass").expect("saved");
                answers(&app, &large)
            };
            (0..times).map(one).sum()
        });
    });
    group.finish();
    drop(app);
    std::fs::remove_dir_all(&folder).expect("room again");
}

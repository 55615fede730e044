//! What one process does again and again: taking in a picture, opening and rebuilding a large
//! record, working out cut sheets.
//!
//! The peer of the picture runs in the same group, so that both see the same machine.
// An answer is read by its names; what is not there reads as null and ends the bench.
#![allow(clippy::expect_used, clippy::indexing_slicing, missing_docs)]

#[path = "../scene/mod.rs"]
mod scene;

use std::fs;
use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use records::Record;
use records::clock::SystemClock;
use records::photos::{Preview, prepare};
use scene::{call, job, many};
use serde_json::json;

/// Entries of the largest record.
const MANY: usize = 50_000;

fn picture(c: &mut Criterion) {
    let pictures = scene::pictures().expect("pictures");
    let picture = pictures.first().expect("a picture");
    let out = scene::fresh("picture").expect("a folder");
    let mut group = c.benchmark_group("picture");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(8));
    group.bench_function("intake", |b| b.iter(|| intake(picture, &out)));
    group.bench_function("vipsthumbnail", |b| b.iter(|| thumbnails(picture, &out)));
    group.finish();
}

/// Reads, hashes, reads EXIF, makes and writes both sizes.
fn intake(picture: &Path, out: &Path) {
    let bytes = fs::read(picture).expect("the picture");
    let prepared = prepare(&bytes, "picture.jpg").expect("a picture that is taken in");
    assert_eq!(
        u64::from(prepared.inspected.width_px) * u64::from(prepared.inspected.height_px),
        12_000_000
    );
    let Preview::Made(made) = &prepared.preview else {
        unreachable!("12 megapixels have a preview");
    };
    fs::write(out.join("view.jpg"), &made.view.jpeg).expect("the view");
    fs::write(out.join("thumb.jpg"), &made.thumb.jpeg).expect("the thumb");
    black_box(prepared);
}

/// The same two sizes by the peer, which takes one size a call.
fn thumbnails(picture: &Path, out: &Path) {
    for (size, name, quality) in [("2048", "peer-view.jpg", 85), ("320", "peer-thumb.jpg", 80)] {
        let output = format!("{}[Q={quality}]", out.join(name).display());
        let status = Command::new("vipsthumbnail")
            .args(["--size", size, "-o", &output])
            .arg(picture)
            .status()
            .expect("vipsthumbnail, from the package libvips-tools");
        assert!(status.success());
    }
}

fn record(c: &mut Criterion) {
    let folder = scene::fresh("many").expect("a folder");
    let data = folder.join("data");
    let app = scene::device(&data, "Ann").expect("a device");
    let large = job::surveyed(&app, &folder).expect("a survey");
    drop(app);
    let book = many::fill(&data, &large, MANY).expect("a full record");
    assert_eq!(scene::entries(&data).expect("the journal"), MANY);
    let open = || Record::open(&data, Arc::new(SystemClock)).expect("the record opens");

    let mut group = c.benchmark_group("record");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(15));
    group.bench_function("open", |b| {
        b.iter_custom(|times| {
            let one = |_| {
                let start = Instant::now();
                let mut record = open();
                record.job(book).expect("the job is read");
                // Letting go of it is not opening it.
                start.elapsed()
            };
            (0..times).map(one).sum()
        });
    });
    let mut record = open();
    let before = record.state_hashes().expect("hashes");
    group.bench_function("rebuild", |b| {
        b.iter(|| record.rebuild().expect("the index is made anew"));
    });
    assert_eq!(record.state_hashes().expect("hashes"), before);
    drop(record);
    let app = api::App::open(&data).expect("the app");
    let mut n = 0;
    let mut next = || {
        n += 1;
        let run = large.runs.iter().cycle().nth(n).expect("a run");
        (run, n % job::WIRES + 1)
    };
    // Each time after a word that was not there before, as on site.
    group.bench_function("read job", |b| {
        b.iter_batched(
            || {
                let (run, wire) = next();
                job::read(&app, &large, run, wire, "pass").expect("saved");
            },
            |()| call(&app, "readJob", json!({"job": large.job})).expect("the job"),
            BatchSize::PerIteration,
        );
    });
    group.bench_function("save one reading", |b| {
        b.iter_batched(
            &mut next,
            |(run, wire)| job::read(&app, &large, run, wire, "pass").expect("saved"),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

fn cut_sheet(c: &mut Criterion) {
    let folder = scene::fresh("sheet").expect("a folder");
    let app = scene::device(&folder.join("data"), "Ann").expect("a device");
    let large = job::surveyed(&app, &folder).expect("a survey");
    let sheets = || {
        let mut wires = 0;
        for run in &large.runs {
            let request = json!({"job": large.job, "run": run.id});
            let sheet = call(&app, "cutSheet", request).expect("a cut sheet");
            let lines = sheet["lines"].as_array().expect("lines");
            wires += lines.iter().filter(|line| line["aimMm"].is_f64()).count();
        }
        wires
    };
    assert_eq!(sheets(), job::RUNS * job::WIRES, "every wire has a length");
    let mut group = c.benchmark_group("cut sheet");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(8));
    group.bench_function("400 wires", |b| b.iter(sheets));
    group.finish();
}

criterion_group!(benches, picture, record, cut_sheet);
criterion_main!(benches);

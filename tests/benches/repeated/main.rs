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
use records::ids::BookId;
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
    let (crew, founding) = founded(&mut record);
    drop(record);
    let lines = lines(&data);
    group.bench_function("count all at once", |b| {
        b.iter_custom(|times| {
            (0..times)
                .map(|_| counted_at_once(&folder, [crew, book], &founding, &lines))
                .sum()
        });
    });
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

/// The crew of a record and its founding entry.
fn founded(record: &mut Record) -> (BookId, Vec<u8>) {
    let crew = record.current_crew().expect("settings").expect("a crew");
    let founding = record.crew(crew).founding.expect("founded");
    let view = record.view(crew).expect("the crew's book");
    let entry = view.entry(&founding).expect("the founding entry");
    (crew, entry.line().to_vec())
}

/// All lines of a data folder's journal, in order.
fn lines(data: &Path) -> Vec<Vec<u8>> {
    let mut files: Vec<_> = fs::read_dir(data.join("journal"))
        .expect("the journal")
        .map(|file| file.expect("a file").path())
        .collect();
    files.sort();
    let read = |file: &std::path::PathBuf| fs::read(file).expect("the journal is read");
    let text: Vec<u8> = files.iter().flat_map(read).collect();
    text.split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect()
}

/// How long a device is held by the one entry on which all others waited: that which founds their crew, and
/// with it admits who wrote them. It is the longest that taking in can be held by what is counted.
fn counted_at_once(
    folder: &Path,
    [crew, job]: [BookId; 2],
    founding: &[u8],
    lines: &[Vec<u8>],
) -> Duration {
    let data = folder.join("late");
    let mut late = Record::open(&data, Arc::new(SystemClock)).expect("a record");
    let id = records::entry::Entry::parse(founding).expect("an entry").id;
    late.pin(crew, id).expect("pinned");
    for part in lines.chunks(5_000) {
        let waiting: Vec<Vec<u8>> = part.iter().filter(|l| *l != founding).cloned().collect();
        late.take_in(crew, &waiting).expect("taken in");
    }
    let start = Instant::now();
    let taken = late.take_in(crew, &[founding.to_vec()]).expect("taken in");
    let held = start.elapsed();
    black_box(taken);
    assert_eq!(late.crew(crew).founding, Some(id));
    let members = late.crew(crew).clone();
    let view = late.view(job).expect("the job");
    assert_eq!(view.not_counting(&members), [], "all of it counts");
    drop(late);
    fs::remove_dir_all(&data).expect("the record is gone");
    held
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

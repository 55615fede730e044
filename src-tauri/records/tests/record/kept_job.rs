//! A job that is kept in memory between questions is the one that its entries tell: after any acts of
//! several devices on several runs, in whatever pieces and order they come, with admissions, new
//! names, ends, branches of one device and rebuilds between. One file past 400 lines, since the words
//! that are said and what is held against them are one law.

use std::path::Path;

use crate::common::{Device, Ticking, lines_of};
use proptest::prelude::*;
use records::Record;
use records::book::Key;
use records::crew::{Person, Role};
use records::ids::{BookId, Hash};
use records::job::Job;
use records::record::{Draft, value_data};
use serde_json::{Value, json};

const RUNS: [&str; 3] = [
    "aaaaaaaaaaaaaaaaaaaaaaaaaa",
    "baaaaaaaaaaaaaaaaaaaaaaaaa",
    "caaaaaaaaaaaaaaaaaaaaaaaaa",
];
const POSTS: [&str; 3] = [
    "daaaaaaaaaaaaaaaaaaaaaaaaa",
    "eaaaaaaaaaaaaaaaaaaaaaaaaa",
    "faaaaaaaaaaaaaaaaaaaaaaaaa",
];
const PHOTO: &str = "gaaaaaaaaaaaaaaaaaaaaaaaaa";

/// What one device does; `who` picks it.
#[derive(Clone, Debug)]
enum Step {
    /// Says one thing, over all that stands on it or apart from it.
    Say { who: usize, word: Word, over: bool },
    /// Gets some of another's lines, in an order that goes by a seed.
    Hear {
        who: usize,
        from: usize,
        share: usize,
        seed: u64,
    },
    /// The founder admits a device, or names its person anew.
    Admit { device: usize, name: u8 },
    /// The founder ends a device.
    End { device: usize },
    /// The index is made anew.
    Rebuild { who: usize },
    /// The job is asked for, so that it is kept from then on.
    Ask { who: usize },
}

#[derive(Clone, Debug)]
enum Word {
    Length { run: usize, wire: u32, value: u8 },
    Withdrawn { run: usize, wire: u32 },
    Tomorrow { run: usize, wire: u32 },
    Piece { run: usize, wire: u32, value: u8 },
    Name { run: usize, value: u8 },
    Wires { run: usize, value: u8 },
    Gone { run: usize },
    Post { post: usize, value: u8 },
    Position { post: usize, run: usize, value: u8 },
    Bay { value: u8 },
    Caption { value: u8 },
    Note { value: u8 },
    Both { value: u8 },
}

/// Subject, field, place, value and context of what is said.
type Said = (String, &'static str, String, Value, Value);

fn said(word: &Word) -> Vec<Said> {
    let wire = |run: usize, n: u32| format!("wire:{}:{n}", RUNS[run]);
    let run = |at: usize| format!("run:{}", RUNS[at]);
    let post = |at: usize| format!("post:{}", POSTS[at]);
    let nm = |value: u8| json!({"nm": 1_000_000_000 + i64::from(value) * 500_000_000});
    let read =
        json!({"purpose": "cut", "posts": "railOn", "faces": "postFaces", "instrument": "tape"});
    let plain = |subject: String, field, place: &str, value: Value| {
        vec![(subject, field, place.to_owned(), value, Value::Null)]
    };
    let none = String::new;
    match *word {
        Word::Length {
            run,
            wire: n,
            value,
        } => {
            vec![(wire(run, n), "length", none(), nm(value), read)]
        }
        Word::Withdrawn { run, wire: n } => plain(wire(run, n), "length", "", Value::Null),
        // A kind that this version does not know.
        Word::Tomorrow { run, wire: n } => plain(wire(run, n), "lengthOfTomorrow", "", nm(1)),
        Word::Piece {
            run,
            wire: n,
            value,
        } => {
            let piece = json!({"number": 1 + u32::from(value)});
            plain(wire(run, n), "piece", "", piece)
        }
        Word::Name { run: at, value } => plain(run(at), "name", "", json!(format!("R{value}"))),
        Word::Wires { run: at, value } => plain(run(at), "wireCount", "", json!(value)),
        Word::Gone { run: at } => plain(run(at), "created", "", Value::Null),
        Word::Post { post: at, value } => plain(post(at), "name", "", json!(format!("P{value}"))),
        Word::Position {
            post: at,
            run,
            value,
        } => plain(post(at), "position", RUNS[run], nm(value)),
        Word::Bay { value } => {
            let bay = format!("bay:{}:{}", POSTS[0], POSTS[1]);
            let with = json!({"along": "level", "instrument": "tape"});
            vec![(bay, "clear", none(), nm(value), with)]
        }
        Word::Caption { value } => {
            let photo = format!("photo:{PHOTO}");
            plain(photo, "caption", "", json!(format!("picture {value}")))
        }
        Word::Note { value } => plain(run(0), "note", "", json!(format!("note {value}"))),
        Word::Both { value } => {
            let mut both = said(&Word::Length {
                run: 0,
                wire: 1,
                value,
            });
            both.extend(said(&Word::Length {
                run: 1,
                wire: 2,
                value,
            }));
            both
        }
    }
}

fn words() -> impl Strategy<Value = Word> {
    let (run, wire, value) = (0..3_usize, 1..3_u32, 0..4_u8);
    prop_oneof![
        4 => (run.clone(), wire.clone(), value.clone())
            .prop_map(|(run, wire, value)| Word::Length { run, wire, value }),
        2 => (run.clone(), wire.clone()).prop_map(|(run, wire)| Word::Withdrawn { run, wire }),
        2 => (run.clone(), wire.clone()).prop_map(|(run, wire)| Word::Tomorrow { run, wire }),
        2 => (run.clone(), wire, value.clone())
            .prop_map(|(run, wire, value)| Word::Piece { run, wire, value }),
        1 => (run.clone(), value.clone()).prop_map(|(run, value)| Word::Name { run, value }),
        1 => (run.clone(), value.clone()).prop_map(|(run, value)| Word::Wires { run, value }),
        1 => run.clone().prop_map(|run| Word::Gone { run }),
        1 => (0..3_usize, value.clone()).prop_map(|(post, value)| Word::Post { post, value }),
        1 => (0..3_usize, run, value.clone())
            .prop_map(|(post, run, value)| Word::Position { post, run, value }),
        1 => value.clone().prop_map(|value| Word::Bay { value }),
        1 => value.clone().prop_map(|value| Word::Caption { value }),
        1 => value.clone().prop_map(|value| Word::Note { value }),
        2 => value.prop_map(|value| Word::Both { value }),
    ]
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let who = 0..4_usize;
    let say = (who.clone(), words(), any::<bool>());
    let hear = (who.clone(), 0..4_usize, 1..5_usize, any::<u64>());
    let step = prop_oneof![
        6 => say.prop_map(|(who, word, over)| Step::Say { who, word, over }),
        4 => hear.prop_map(|(who, from, share, seed)| Step::Hear { who, from, share, seed }),
        1 => (1..4_usize, 0..3_u8).prop_map(|(device, name)| Step::Admit { device, name }),
        1 => (1..4_usize).prop_map(|device| Step::End { device }),
        1 => who.clone().prop_map(|who| Step::Rebuild { who }),
        8 => who.prop_map(|who| Step::Ask { who }),
    ];
    prop::collection::vec(step, 1..40)
}

/// All that a job comes to, in words.
fn told(job: &Job<'_>) -> String {
    format!("{:#?}", **job)
}

/// What is kept is what the same entries tell when all of them are read.
fn same(device: &mut Device) -> String {
    let (crew, job) = (device.crew, device.job());
    let Ok(kept) = device.record.job(job).map(|job| told(&job)) else {
        return String::new();
    };
    let crew = device.record.crew(crew).clone();
    let fresh = told(&Job::read(device.record.view(job).unwrap(), &crew));
    assert_eq!(kept, fresh);
    kept
}

/// What a copy of the folder tells, opened anew.
fn opened(device: &Device, at: &Path) -> String {
    copy(device.dir(), at);
    let mut record = Record::open(at, Ticking::starting(1_792_000_000_000)).unwrap();
    record
        .job(device.job())
        .map_or_else(|_| String::new(), |job| told(&job))
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for item in std::fs::read_dir(from).unwrap() {
        let item = item.unwrap();
        let target = to.join(item.file_name());
        match item.file_type().unwrap().is_dir() {
            true => copy(&item.path(), &target),
            false => drop(std::fs::copy(item.path(), target).unwrap()),
        }
    }
}

fn tips(device: &mut Device, (subject, field, place, ..): &Said) -> Vec<Hash> {
    let key = Key {
        subject: subject.clone(),
        field: field.trim_end_matches("OfTomorrow").to_owned(),
        place: place.clone(),
    };
    let job = device.job();
    let Ok(view) = device.record.view(job) else {
        return Vec::new();
    };
    let lines = view.key(&key).map(|state| state.lines.as_slice());
    let mut tips: Vec<Hash> = lines
        .unwrap_or_default()
        .iter()
        .flat_map(|l| l.tips.clone())
        .collect();
    tips.sort_unstable();
    tips
}

fn say(device: &mut Device, word: &Word, over: bool) {
    let drafts = said(word).into_iter().map(|said| {
        let over = if over {
            tips(device, &said)
        } else {
            Vec::new()
        };
        let (subject, field, place, value, with) = said;
        let mut data = value_data(&place, &value);
        if !with.is_null() {
            data.insert("with".into(), with);
        }
        let kind = format!("{}.{field}", subject.split(':').next().unwrap());
        Draft {
            kind,
            subject,
            over,
            data,
            ..Draft::default()
        }
    });
    let drafts: Vec<Draft> = drafts.collect();
    let (job, person) = (device.job(), device.person());
    // A device that has not heard of the job yet says nothing on it.
    drop(device.record.act(job, person, drafts));
}

/// A thing's first entry.
fn created(kind: &str, id: &str, fields: Value) -> Draft {
    let data = json!({"value": true, "fields": fields});
    Draft {
        kind: format!("{kind}.created"),
        subject: format!("{kind}:{id}"),
        data: data.as_object().unwrap().clone(),
        ..Draft::default()
    }
}

/// Three runs with their posts and a picture, as the founder told them.
fn laid_out(ann: &mut Device) {
    let mut drafts = vec![created(
        "photo",
        PHOTO,
        json!([{"field": "caption", "value": "rail"}]),
    )];
    for (n, run) in RUNS.iter().enumerate() {
        let fields = json!([{"field": "name", "value": format!("run {n}")},
            {"field": "wireCount", "value": 2}]);
        drafts.push(created("run", run, fields));
    }
    for (n, post) in POSTS.iter().enumerate() {
        let nm = 1_500_000_000 * n as i64;
        let fields = json!([{"field": "name", "value": format!("post {n}")},
            {"field": "position", "place": RUNS[0], "value": {"nm": nm}},
            {"field": "position", "place": RUNS[1], "value": {"nm": nm}}]);
        drafts.push(created("post", post, fields));
    }
    let (job, person) = (ann.job(), ann.person());
    ann.record.act(job, person, drafts).unwrap();
}

fn admit(ann: &mut Device, other: &Device, name: u8) {
    let persons = vec![Person {
        id: other.person(),
        name: format!("name {name}"),
    }];
    let (crew, person) = (ann.crew, ann.person());
    let key = other.record.signer().public();
    ann.record
        .admit(crew, person, key, persons, Role::Installer)
        .unwrap();
}

/// Some lines of another device, in an order that goes by a seed.
fn some_lines(from: &mut Device, share: usize, mut seed: u64) -> Vec<Vec<u8>> {
    let (crew, job): (BookId, BookId) = (from.crew, from.job());
    let mut lines = lines_of(&mut from.record, crew);
    lines.extend(lines_of(&mut from.record, job));
    for at in (1..lines.len()).rev() {
        seed = seed
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        lines.swap(at, (seed >> 33) as usize % (at + 1));
    }
    // All, or a half, a third, a quarter of them: the rest may come later.
    let some = lines.len().div_ceil(share);
    lines.truncate(some);
    lines
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_kept_job_is_the_one_that_its_entries_tell(steps in steps()) {
        let mut ann = Device::founder("ann");
        laid_out(&mut ann);
        let mut ben = Device::founder("ben");
        let mut cat = Device::founder("cat");
        for other in [&mut ben, &mut cat] {
            other.follow(&ann);
        }
        admit(&mut ann, &ben, 0);
        for other in [&mut ben, &mut cat] {
            other.receive(&mut ann);
        }
        // The fourth is a branch of the second: the same key in a copy of its folder.
        let (crew, job) = (ann.crew, ann.job());
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("data");
        copy(ben.dir(), &path);
        let mut twin = Device::open_at(dir, path);
        twin.followed_job(crew, job);
        let mut all = [ann, ben, cat, twin];
        for step in steps {
            match step {
                Step::Say { who, word, over } => say(&mut all[who], &word, over),
                Step::Hear { who, from, share, seed } => {
                    let lines = some_lines(&mut all[from], share, seed);
                    all[who].record.take_in(crew, &lines).unwrap();
                }
                Step::Admit { device, name } => {
                    let [ann, others @ ..] = &mut all;
                    admit(ann, &others[device - 1], name);
                }
                Step::End { device } => {
                    let device = all[device].record.device();
                    let person = all[0].person();
                    all[0].record.end_device(crew, person, device).unwrap();
                }
                Step::Rebuild { who } => drop(all[who].record.rebuild().unwrap()),
                Step::Ask { who } => drop(same(&mut all[who])),
            }
        }
        let copies = tempfile::tempdir().unwrap();
        for (n, device) in all.iter_mut().enumerate() {
            let kept = same(device);
            prop_assert_eq!(kept, opened(device, &copies.path().join(n.to_string())));
        }
    }
}

#[test]
fn a_reading_a_name_and_a_rebuild_reach_a_kept_job() {
    let mut ann = Device::founder("ann");
    laid_out(&mut ann);
    // Of one person's names that of the first device counts.
    let mut others = [Device::founder("ben"), Device::founder("cat")];
    others.sort_by_key(|other| other.record.device());
    let [first, mut ben] = others;
    ben.follow(&ann);
    admit(&mut ann, &ben, 0);
    ben.receive(&mut ann);
    let (job, person) = (ben.job(), ben.person());
    let picture = created("photo", "haaaaaaaaaaaaaaaaaaaaaaaaa", json!([]));
    ben.record.act(job, person, vec![picture]).unwrap();
    ann.receive(&mut ben);
    let before = same(&mut ann);
    assert!(before.contains("name 0"));
    // A word on a wire, told by another device.
    let word = Word::Length {
        run: 1,
        wire: 2,
        value: 3,
    };
    say(&mut ben, &word, false);
    ann.receive(&mut ben);
    let read = same(&mut ann);
    assert_ne!(read, before);
    // The picture's person is called otherwise: no entry came into the job's book.
    let persons = vec![Person {
        id: person,
        name: "another name".into(),
    }];
    let (crew, by) = (ann.crew, ann.person());
    let key = first.record.signer().public();
    ann.record
        .admit(crew, by, key, persons, Role::Installer)
        .unwrap();
    let named = same(&mut ann);
    assert!(named.contains("another name") && !named.contains("name 0"));
    ann.record.rebuild().unwrap();
    assert_eq!(same(&mut ann), named);
}

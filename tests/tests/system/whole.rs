//! A record in which every field that the registry knows is said once, with all that may stand beside it;
//! and what else an entry can be: first fields, a withdrawal, a dispute, an ended device, pictures.
//!
//! What it makes was frozen beside the record of the worked job, which says a good part of it alone.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use api::App;
use records::Record;
use records::clock::SystemClock;
use records::ids::BookId;
use records::model::fields;
use records::record::{Draft, new_item, value_data};
use records::subject::Subject;
use serde_json::{Value, json};

use crate::frozen::{copy, fixtures, hashes};
use crate::scene::{call, device};

/// Where a further frozen pair is written, when a later form asks for one: folder and name of the pair.
const FREEZE: &str = "TAUTBOOK_FREEZE";
/// Said in the crew's book, whatever else has the same subject.
const OF_CREW: [&str; 5] = [
    "crew.name",
    "strand.sheet",
    "fittingSet.sheet",
    "ruleSet.copy",
    "ruleSet.created",
];

struct Whole {
    folder: PathBuf,
    ann: App,
    ben: App,
    office: App,
    /// Ben's device.
    of_ben: Value,
    job: String,
}

/// Three devices of one crew, and a job with two pictures that Ann began.
fn met(folder: &Path) -> Whole {
    let shared = folder.join("shared");
    std::fs::create_dir_all(&shared).unwrap();
    let [ann, ben, office] =
        ["ann", "ben", "office"].map(|who| device(&folder.join(who), who).unwrap());
    call(&ann, "share", json!({"folder": shared})).unwrap();
    let job = call(
        &ann,
        "beginJob",
        json!({"title": "Whole", "place": "an island"}),
    )
    .unwrap();
    let job = job["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:")
        .to_owned();
    for (n, name) in ["orientation-1.jpg", "orientation-6.jpg"]
        .iter()
        .enumerate()
    {
        let bytes = std::fs::read(fixtures().join("photos").join(name)).unwrap();
        let upload = format!("whole{n:0>20}");
        ann.uploads.add(&upload, 0, &bytes).unwrap();
        let source = json!({"kind": "upload", "upload": upload, "bytes": bytes.len()});
        let shows = json!([{"subject": format!("job:{job}"), "evidence": "wideView"}]);
        let request =
            json!({"job": job, "source": source, "name": name, "caption": name, "shows": shows});
        call(&ann, "addPhoto", request).unwrap();
    }
    call(&ann, "startSync", json!({})).unwrap();
    let mut of_ben = Value::Null;
    for app in [&office, &ben] {
        let joining = call(app, "join", json!({"folder": shared})).unwrap();
        let (asks, digits) = (&joining["device"], &joining["digits"]);
        call(&ann, "applicants", json!({})).unwrap();
        let admitted = json!({"device": asks, "digits": digits, "role": "installer"});
        call(&ann, "admit", admitted).unwrap();
        call(app, "confirmJoin", json!({"digits": digits})).unwrap();
        of_ben = asks.clone();
    }
    for app in [&ann, &ben, &office] {
        call(app, "startSync", json!({})).unwrap();
    }
    Whole {
        folder: folder.to_owned(),
        ann,
        ben,
        office,
        of_ben,
        job,
    }
}

/// Kind, place, value and context of each.
fn samples() -> Vec<(String, String, Value, Value)> {
    let text = include_str!("../../../fixtures/book/said.json");
    let said: Vec<Value> = serde_json::from_str(text).unwrap();
    said.into_iter()
        .map(|one| {
            let kind = one["kind"].as_str().unwrap().to_owned();
            let place = one["place"].as_str().unwrap_or_default().to_owned();
            (kind, place, one["value"].clone(), one["with"].clone())
        })
        .collect()
}

#[test]
fn every_field_that_is_known_has_a_sample_that_fits_it() {
    let known: BTreeSet<String> = fields::ALL
        .iter()
        .map(|f| format!("{}.{}", f.subject.word(), f.name))
        .collect();
    let samples = samples();
    let there: BTreeSet<String> = samples.iter().map(|(kind, ..)| kind.clone()).collect();
    assert_eq!(there, known);
}

/// Says every field once, in the book where it belongs, and gives their kinds by book.
fn say_everything(data: &Path, job: &str) -> [(BookId, BTreeSet<String>); 2] {
    let mut record = Record::open(data, Arc::new(SystemClock)).unwrap();
    let person = record.person().unwrap().unwrap();
    let job_book: BookId = job.parse().unwrap();
    let crew = record.current_crew().unwrap().unwrap();
    let run = new_item().unwrap();
    let posts = [new_item().unwrap(), new_item().unwrap()];
    let wire = format!("wire:{run}:1");
    let mut said = [(job_book, BTreeSet::new()), (crew, BTreeSet::new())];
    for (kind, place, value, with) in samples() {
        let of_crew = OF_CREW.contains(&kind.as_str());
        // Said as the job began, with its crew.
        if kind == "job.created" {
            said[0].1.insert(kind);
            continue;
        }
        let (word, _) = kind.split_once('.').unwrap();
        let subject = match word {
            "job" => format!("job:{job}"),
            "crew" => format!("crew:{crew}"),
            "run" => format!("run:{run}"),
            "bay" => Subject::bay(posts[0], posts[1]).to_string(),
            "wire" => wire.clone(),
            "post" => format!("post:{}", posts[0]),
            word => format!("{word}:{}", new_item().unwrap()),
        };
        let filled = |one: &Value| -> Value {
            let text = one.to_string();
            let text = text.replace("$item", &new_item().unwrap().to_string());
            let text = text.replace("$person", &person.to_string());
            let text = text.replace("$device", &record.device().to_string());
            serde_json::from_str(&text.replace("$wire", &wire)).unwrap()
        };
        let mut told = value_data(&place, &filled(&value));
        told.insert("with".into(), filled(&with));
        let draft = Draft {
            kind: kind.clone(),
            subject,
            data: told,
            ..Draft::default()
        };
        let (book, kinds) = &mut said[usize::from(of_crew)];
        record.act(*book, person, vec![draft]).unwrap();
        kinds.insert(kind);
    }
    said
}

/// The word that stands on a fact of the job.
fn word(app: &App, job: &str, field: &str) -> Value {
    let asked = json!({"job": job, "subject": format!("job:{job}")});
    let read = call(app, "readSubject", asked).unwrap();
    let facts = read["facts"].as_array().unwrap();
    let fact = facts.iter().find(|f| f["field"] == field).unwrap();
    let words = fact["words"].as_array().unwrap();
    words.iter().find(|w| w["stands"] == true).unwrap()["entry"].clone()
}

#[test]
fn everything_that_can_be_said_counts_and_reads_the_same_on_another_device() {
    let dir = tempfile::tempdir().unwrap();
    let Whole {
        folder,
        ann,
        ben,
        office,
        of_ben,
        job,
    } = met(dir.path());
    drop(ann);
    let said = say_everything(&folder.join("ann"), &job);
    let ann = App::open(&folder.join("ann")).unwrap();
    // First fields with what was typed beside them.
    let fields = json!([{"field": "name", "value": "steel ball"}, {"field": "kind", "value": "mass"},
        {"field": "massMg", "value": 1_998_000, "with": {"entered": "1.998 kg"}}]);
    let tool = json!({"job": job, "thing": "tool", "fields": fields});
    call(&ann, "addThing", tool).unwrap();
    let meet = |apps: &[&App]| {
        for app in apps {
            let met = call(app, "startSync", json!({})).unwrap();
            assert_eq!(met["faults"], json!([]), "{met}");
        }
    };
    meet(&[&ann, &ben]);
    // Two words apart on one fact, one that is taken back, and a device that ends.
    for (app, place) in [(&ann, "by the lane"), (&ben, "by the shore")] {
        let claim = json!({"subject": format!("job:{job}"), "field": "access", "value": place});
        call(app, "say", json!({"job": job, "claims": [claim]})).unwrap();
    }
    let steel = word(&ann, &job, "steel");
    let back = json!({"job": job, "entry": steel, "reason": "another steel"});
    call(&ann, "withdraw", back).unwrap();
    meet(&[&ben, &ann]);
    call(
        &ann,
        "endDevice",
        json!({"device": of_ben, "confirmed": true}),
    )
    .unwrap();
    meet(&[&ann, &office]);
    drop((ann, ben, office));

    let mut record = Record::open(&folder.join("ann"), Arc::new(SystemClock)).unwrap();
    let crew = record.crew(record.current_crew().unwrap().unwrap()).clone();
    let mut standings = BTreeSet::new();
    for (book, kinds) in &said {
        let view = record.view(*book).unwrap();
        let left: Vec<_> = view
            .not_counting(&crew)
            .into_iter()
            .map(|(id, why)| {
                (
                    view.entry(&id)
                        .map(|e| (e.body.kind.clone(), e.body.subject.clone())),
                    why,
                )
            })
            .collect();
        assert_eq!(left, []);
        let mut there = BTreeSet::new();
        for (key, state) in view.keys() {
            there.insert(format!(
                "{}.{}",
                key.subject.split(':').next().unwrap(),
                key.field
            ));
            standings.extend(
                state
                    .lines
                    .iter()
                    .map(|line| format!("{:?}", line.standing)),
            );
        }
        let missing: Vec<_> = kinds.difference(&there).collect();
        assert_eq!(missing, Vec::<&String>::new());
    }
    let all = ["Agreed", "Disputed", "Withdrawn"].map(str::to_owned);
    assert_eq!(standings, BTreeSet::from(all));
    assert!(crew.members.values().any(|member| member.ended.is_some()));
    let of_ann = hashes(&record);
    let office = Record::open(&folder.join("office"), Arc::new(SystemClock)).unwrap();
    let of_office = hashes(&office);
    for (book, hash) in &of_ann {
        assert_eq!(of_office.get(book), Some(hash), "{book}");
    }
    drop((record, office));
    if let Some(kept) = std::env::var_os(FREEZE) {
        freeze(&folder, Path::new(&kept), &of_ann);
    }
}

/// Writes journal, hashes, shared folder and the office's key where a person asked for them; what is frozen
/// already is never written over.
fn freeze(folder: &Path, kept: &Path, hashes: &BTreeMap<String, String>) {
    let (into, name) = (kept.parent().unwrap(), kept.file_name().unwrap());
    let name = name.to_str().unwrap();
    let (book, shared) = (into.join("book").join(name), into.join("folder").join(name));
    assert!(!book.exists() && !shared.exists(), "{name} is frozen");
    copy(&folder.join("ann/journal"), &book.join("journal"));
    copy(&folder.join("shared"), &shared);
    let key = folder.join("office/device.key");
    std::fs::copy(key, into.join(format!("folder/{name}-office.key"))).unwrap();
    let expected = serde_json::to_string_pretty(&json!({"stateHashes": hashes})).unwrap();
    std::fs::write(book.join("expected.json"), expected + "\n").unwrap();
}

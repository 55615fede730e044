//! A record in which every field that the registry knows is said once, with all that may stand beside it;
//! and what else an entry can be: first fields, a withdrawal, a dispute, an ended device, pictures.
//!
//! What it makes was frozen beside the record of the worked job, which says a good part of it alone.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use records::Record;
use records::clock::SystemClock;
use records::ids::BookId;
use records::model::fields;
use records::record::{Draft, new_item, value_data};
use records::subject::Subject;
use serde_json::{Value, json};

use crate::devices::{Crew, Device};
use crate::frozen::{copy, hashes};

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
fn word(device: &Device, job: &str, field: &str) -> Value {
    let asked = json!({"job": job, "subject": format!("job:{job}")});
    let read = device.call("readSubject", asked);
    let facts = read["facts"].as_array().unwrap();
    let fact = facts.iter().find(|f| f["field"] == field).unwrap();
    let words = fact["words"].as_array().unwrap();
    words.iter().find(|w| w["stands"] == true).unwrap()["entry"].clone()
}

#[test]
fn everything_that_can_be_said_counts_and_reads_the_same_on_another_device() {
    let dir = tempfile::tempdir().unwrap();
    let shared = dir.path().join("shared");
    std::fs::create_dir(&shared).unwrap();
    let Crew { ann, ben, job, .. } = Crew::meet(dir.path(), &shared);
    let cid = Device::new(dir.path(), "cid");
    let of_cid = cid.join(&shared, &ann);
    for number in [1, 6] {
        ann.photograph(&job, number);
    }
    drop(ann);
    let said = say_everything(&dir.path().join("ann"), &job);
    let ann = Device::new(dir.path(), "ann");
    // First fields with what was typed beside them.
    let fields = json!([{"field": "name", "value": "steel ball"}, {"field": "kind", "value": "mass"},
        {"field": "massMg", "value": 1_998_000, "with": {"entered": "1.998 kg"}}]);
    let tool = json!({"job": job, "thing": "tool", "fields": fields});
    ann.call("addThing", tool);
    let meet = |devices: &[&Device]| {
        for device in devices {
            let met = device.sync();
            assert_eq!(met["faults"], json!([]), "{met}");
        }
    };
    meet(&[&ann, &ben]);
    // Two words apart on one fact, one that is taken back, and a device that ends.
    for (device, place) in [(&ann, "by the lane"), (&ben, "by the shore")] {
        let claim = json!({"subject": format!("job:{job}"), "field": "access", "value": place});
        device.call("say", json!({"job": job, "claims": [claim]}));
    }
    let steel = word(&ann, &job, "steel");
    let back = json!({"job": job, "entry": steel, "reason": "another steel"});
    ann.call("withdraw", back);
    meet(&[&ben, &ann]);
    ann.call("endDevice", json!({"device": of_cid, "confirmed": true}));
    meet(&[&ann, &ben]);
    drop((ann, ben, cid));

    let mut record = Record::open(&dir.path().join("ann"), Arc::new(SystemClock)).unwrap();
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
    let ben = Record::open(&dir.path().join("ben"), Arc::new(SystemClock)).unwrap();
    let of_ben = hashes(&ben);
    for (book, hash) in &of_ann {
        assert_eq!(of_ben.get(book), Some(hash), "{book}");
    }
    drop((record, ben));
    if let Some(kept) = std::env::var_os(FREEZE) {
        freeze(dir.path(), Path::new(&kept), &of_ann);
    }
}

/// Writes journal, hashes, shared folder and a key where a person asked for them; what is frozen
/// already is never written over.
fn freeze(folder: &Path, kept: &Path, hashes: &BTreeMap<String, String>) {
    let (into, name) = (kept.parent().unwrap(), kept.file_name().unwrap());
    let name = name.to_str().unwrap();
    let (book, shared) = (into.join("book").join(name), into.join("folder").join(name));
    assert!(!book.exists() && !shared.exists(), "{name} is frozen");
    copy(&folder.join("ann/journal"), &book.join("journal"));
    copy(&folder.join("shared"), &shared);
    let key = folder.join("ben/device.key");
    std::fs::copy(key, into.join(format!("folder/{name}-office.key"))).unwrap();
    let expected = serde_json::to_string_pretty(&json!({"stateHashes": hashes})).unwrap();
    std::fs::write(book.join("expected.json"), expected + "\n").unwrap();
}

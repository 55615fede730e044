//! Figures that can't be are refused where they are said; one that stands in a record already is
//! named, and stops nothing.

use std::path::Path;
use std::sync::Arc;

use crate::common::Device;
use api::ErrorCode;
use records::Record;
use records::book::Key;
use records::clock::SystemClock;
use records::model::fields::{self, FieldSpec};
use records::record::{Draft, value_data};
use serde_json::{Value, json};

fn surveyed(dir: &Path) -> (Device, String) {
    let ann = Device::new(dir, "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let source = json!({"kind": "file", "path": path.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    (ann, job)
}

fn first(job: &Value, list: &str, kind: &str) -> String {
    format!("{kind}:{}", job[list][0]["id"].as_str().unwrap())
}

/// Nonsense of every sort, with the thing that it is said of.
fn nonsense(job: &Value) -> Vec<(String, &'static str, Value)> {
    let gauge = job["tools"].as_array().unwrap().iter();
    let mut gauge = gauge.filter(|t| t["tool"] == "tensionGauge");
    let gauge = gauge.next().unwrap();
    let gauge = format!("tool:{}", gauge["id"].as_str().unwrap());
    let (run, post) = (
        first(job, "runs", "run"),
        first(&job["runs"][0], "posts", "post"),
    );
    let set = first(job, "fittingSets", "fittingSet");
    let rail = json!({"undersideNm": 1_000_000_000, "thicknessNm": 40_000_000,
        "stiffnessNPerM": -5, "stiffnessHeightNm": 1_000_000_000});
    vec![
        (gauge.clone(), "errorPer10000", json!(20_000)),
        (gauge.clone(), "errorPer10000", json!(-400)),
        (gauge, "massMg", json!(-1)),
        (post, "material", json!({"name": "oak", "modulusMpa": -5})),
        (run.clone(), "rail", rail),
        (run, "wireCount", json!(-3)),
        (
            set,
            "efficiency",
            json!({"permille": 5_000, "factorPercent": 0}),
        ),
    ]
}

#[test]
fn what_does_not_fit_a_command_is_named_with_its_place() {
    let dir = tempfile::tempdir().unwrap();
    let (ann, job) = surveyed(dir.path());
    for (command, request, place) in [
        ("readJob", json!({"job": 7}), "at job"),
        (
            "startImport",
            json!({"source": {"kind": "file", "path": "x"}, "confirmed": "yes"}),
            "at confirmed",
        ),
        (
            "say",
            json!({"job": job, "claims": [{"subject": "x", "field": 7, "value": 1}]}),
            "at claims[0].field",
        ),
    ] {
        let refused = ann.refused(command, request);
        assert_eq!(refused.code, ErrorCode::Invalid);
        assert!(refused.message.contains(place), "{}", refused.message);
    }
}

#[test]
fn figures_that_cannot_be_are_refused_and_nothing_is_saved() {
    let dir = tempfile::tempdir().unwrap();
    let (ann, job) = surveyed(dir.path());
    let view = ann.call("readJob", json!({"job": job}));
    for (subject, field, value) in nonsense(&view) {
        let claim = json!({"subject": subject, "field": field, "value": value});
        let refused = ann.refused("say", json!({"job": job, "claims": [claim]}));
        assert_eq!(refused.code, ErrorCode::Invalid);
        let kind = subject.split(':').next().unwrap();
        let of_kind = |spec: &&FieldSpec| spec.subject.word() == kind && spec.name == field;
        let named = fields::ALL.iter().find(of_kind).unwrap().called();
        assert!(refused.message.contains(named), "{}", refused.message);
    }
    let fields = json!([{"field": "errorPer10000", "value": 20_000}]);
    let refused = ann.refused(
        "addThing",
        json!({"job": job, "thing": "tool", "fields": fields}),
    );
    assert!(
        refused.message.contains("0 % to 50 %"),
        "{}",
        refused.message
    );
    assert_eq!(ann.call("readJob", json!({"job": job})), view);
}

#[test]
fn a_nonsense_figure_in_the_record_is_named_and_stops_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let (ann, job) = surveyed(dir.path());
    let view = ann.call("readJob", json!({"job": job}));
    let run = view["runs"][0]["id"].as_str().unwrap().to_owned();
    let (of_job, of_run) = (json!({"job": job}), json!({"job": job, "run": run}));
    for (at, (subject, field, value)) in nonsense(&view).into_iter().enumerate() {
        let name = format!("ann-{at}");
        copy(&dir.path().join("ann"), &dir.path().join(&name));
        {
            let data = dir.path().join(&name);
            let mut record = Record::open(&data, Arc::new(SystemClock)).unwrap();
            let book = job.parse().unwrap();
            let key = Key {
                subject: subject.clone(),
                field: field.into(),
                place: String::new(),
            };
            let tips = record.view(book).unwrap().key(&key).map(|state| {
                state
                    .lines
                    .iter()
                    .flat_map(|l| l.tips.clone())
                    .collect::<Vec<_>>()
            });
            let draft = Draft {
                kind: format!("{}.{field}", subject.split_once(':').unwrap().0),
                subject: subject.clone(),
                over: tips.unwrap_or_default(),
                data: value_data("", &value),
                ..Draft::default()
            };
            let person = record.person().unwrap().unwrap();
            record.act(book, person, vec![draft]).unwrap();
        }
        let again = Device::open(&dir.path().join(&name));
        let plan = again.call("tensionPlan", of_run.clone());
        let issues = plan["issues"].as_array().unwrap();
        let named = issues
            .iter()
            .filter(|i| i.as_str().unwrap().contains("can't be right"));
        assert_eq!(named.count(), 1, "{field} {value}: {issues:?}");
        for (command, ask) in [
            ("tensions", &of_run),
            ("beforeOrdering", &of_run),
            ("progress", &of_run),
            ("lacks", &of_job),
            ("nextAct", &of_job),
        ] {
            let answer = again.try_call(command, ask.clone());
            assert!(answer.is_ok(), "{field} {value}: {command}: {answer:?}");
        }
        let folder = dir.path().join(format!("handover-{at}"));
        let ended = again.run_task("startHandover", json!({"job": job, "folder": folder}));
        assert_eq!(ended["state"], "done", "{field} {value}: {ended}");
        std::fs::remove_dir_all(folder).unwrap();
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else if entry.file_name() != "lock" {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

#[test]
fn an_imported_figure_that_cannot_be_is_refused_with_its_path() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains("\"errorPercent\": 4"));
    let changed = dir.path().join("survey.json");
    let wrong = text.replace("\"errorPercent\": 4", "\"errorPercent\": 90");
    std::fs::write(&changed, wrong).unwrap();
    let source = json!({"kind": "file", "path": changed});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let problems = ended["result"]["problems"].as_array().unwrap();
    let told = problems
        .iter()
        .find(|p| p["path"] == "tools[0].errorPercent");
    let told = told.unwrap_or(&Value::Null);
    assert_eq!(told["outcome"], "refused", "{problems:?}");
    assert_eq!(ended["result"]["recorded"]["tools"], 0);
}

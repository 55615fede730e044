//! Importing surveys through the list of commands: new jobs, tables, refusals, tensions.

use std::path::{Path, PathBuf};

use crate::common::Device;
use api::ErrorCode;
use serde_json::{Value, json};

fn fixture(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures")
        .join(name);
    path.to_str().unwrap().to_owned()
}

fn file(path: impl Into<String>) -> Value {
    json!({"source": {"kind": "file", "path": path.into()}})
}

fn written(dir: &Path, text: &str) -> String {
    let path: PathBuf = dir.join("survey.json");
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// What an import ends with.
fn import(device: &Device, request: Value) -> Value {
    let state = device.run_task("startImport", request);
    assert_eq!(state["state"], "done", "{state:#}");
    state["result"].clone()
}

/// Why an import was refused, at its start or when the file was read.
fn not_imported(device: &Device, request: Value) -> api::ApiError {
    let started = match device.try_call("startImport", request) {
        Ok(started) => started["task"].as_str().unwrap().to_owned(),
        Err(error) => return error,
    };
    let mut seen = 0;
    loop {
        let asked = json!({"task": started, "seen": seen, "waitMs": 5000});
        let state = device.call("task", asked);
        seen = state["version"].as_u64().unwrap();
        if state["state"] != "running" {
            return serde_json::from_value(state["error"].clone()).unwrap();
        }
    }
}

#[test]
fn a_survey_begins_a_job_and_a_table_goes_into_it() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let made = import(&ann, file(fixture("demo/survey.json")));
    assert_eq!(made["began"], true);
    assert_eq!(made["problems"], json!([]));
    assert_eq!(made["recorded"]["lengths"], 11);
    // Title and place were said when the job began: they are not there already.
    assert_eq!(
        (&made["recorded"]["job"], &made["already"]),
        (&json!(20), &json!(0))
    );
    let job = ann.call("readJob", json!({"job": made["job"]}));
    assert_eq!(job["runs"].as_array().unwrap().len(), 2);
    let mut again = file(fixture("demo/lengths.csv"));
    again["job"] = made["job"].clone();
    let again = import(&ann, again);
    assert_eq!(
        (&again["began"], &again["already"]),
        (&json!(false), &json!(11))
    );
    assert_eq!(again["recorded"]["lengths"], 0);
    let error = not_imported(&ann, file(fixture("demo/lengths.csv")));
    assert_eq!(error.code, ErrorCode::Invalid);
    assert!(error.message.contains("job"), "{}", error.message);
}

#[test]
fn a_refused_file_leaves_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let large = dir.path().join("large.json");
    let sparse = std::fs::File::create(&large).unwrap();
    sparse.set_len(16 * 1024 * 1024 + 1).unwrap();
    let missing = dir.path().join("missing.json");
    for (path, code) in [
        (fixture("survey-bad/empty.json"), ErrorCode::Invalid),
        (fixture("survey-bad/cut.json"), ErrorCode::Invalid),
        (fixture("survey-bad/not-utf8.json"), ErrorCode::Invalid),
        (fixture("survey-bad/nested.json"), ErrorCode::Invalid),
        (fixture("survey-bad/no-format.json"), ErrorCode::Invalid),
        (fixture("survey-bad/newer-format.json"), ErrorCode::Newer),
        (large.to_str().unwrap().to_owned(), ErrorCode::Invalid),
        (missing.to_str().unwrap().to_owned(), ErrorCode::Storage),
        (dir.path().to_str().unwrap().to_owned(), ErrorCode::Invalid),
        (
            written(dir.path(), r#"{"format": 1, "job": {"title": "Deck"}}"#),
            ErrorCode::Invalid,
        ),
    ] {
        let error = not_imported(&ann, file(path.clone()));
        assert_eq!(error.code, code, "{path}: {}", error.message);
        assert!(error.message.ends_with('.'), "{}", error.message);
    }
    assert_eq!(ann.call("overview", json!({}))["jobs"], json!([]));
}

#[test]
fn good_parts_are_recorded_and_bad_ones_counted() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let made = import(&ann, file(fixture("survey-bad/many-problems.json")));
    let count = |name: &str| made[name].as_u64().unwrap();
    assert_eq!((count("refused"), count("questioned")), (13, 3));
    assert_eq!(count("ignored"), 2);
    assert!(count("noted") >= 1);
    let all = ["refused", "questioned", "ignored", "noted"];
    let all: u64 = all.iter().map(|n| count(n)).sum();
    assert_eq!(made["problems"].as_array().unwrap().len() as u64, all);
    assert_eq!(made["recorded"]["lengths"], 4);
}

#[test]
fn an_upload_is_a_source_too() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let text = r#"{"format": 1, "job": {"title": "Deck", "place": "an island"}}"#;
    let upload = "abcdefghij0123456789";
    let piece = data_of(text);
    ann.call(
        "addPiece",
        json!({"upload": upload, "offset": 0, "base64": piece}),
    );
    let source = json!({"kind": "upload", "upload": upload, "bytes": text.len()});
    let made = import(&ann, json!({"source": source}));
    assert_eq!(made["began"], true);
    let source = json!({"kind": "upload", "upload": upload, "bytes": 16 * 1024 * 1024 + 1});
    let error = not_imported(&ann, json!({"source": source}));
    assert!(error.message.contains("16 MiB"), "{}", error.message);
}

fn data_of(text: &str) -> String {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.encode(text)
}

#[test]
fn tensions_are_decided_on_the_bays_that_the_file_brings() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let text = std::fs::read_to_string(fixture("demo/survey.json")).unwrap();
    let mut survey: Value = serde_json::from_str(&text).unwrap();
    survey["runs"][0]["tensions"] = json!({"required": 1330, "set": 1500, "upper": 1800,
        "requiredOrigin": "table", "upperOrigin": "strand", "passes": [600, 1100, 1500]});
    // A decision that the command itself refuses is one more problem of the file.
    survey["runs"][1]["tensions"] = json!({"required": 1330, "set": 1300, "upper": 1800,
        "requiredOrigin": "table", "upperOrigin": "strand"});
    let path = written(dir.path(), &survey.to_string());
    let mut file_again = file(path);
    let made = import(&ann, file_again.clone());
    // As surveyed, the long bay of run A asks more: that is a person's to say.
    assert_eq!(
        (
            &made["recorded"]["tensions"],
            &made["refused"],
            &made["questioned"]
        ),
        (&json!(0), &json!(1), &json!(1))
    );
    let problems = made["problems"].as_array().unwrap();
    let of = |path: &str| problems.iter().find(|p| p["path"] == path).unwrap();
    assert_eq!(of("runs[1].tensions")["outcome"], "refused");
    assert_eq!(of("runs[0].tensions")["outcome"], "questioned");
    file_again["job"] = made["job"].clone();
    file_again["confirmed"] = json!(true);
    let said = import(&ann, file_again.clone());
    assert_eq!(said["recorded"]["tensions"], 1);
    let job = ann.call("readJob", json!({"job": made["job"]}));
    let run = &job["runs"].as_array().unwrap()[0];
    let sheet = ann.call("cutSheet", json!({"job": made["job"], "run": run["id"]}));
    assert_eq!(sheet["totals"]["cuttable"], 12);
    // scenario: "(86 815)", a consistency check of the whole chain
    assert_eq!(sheet["totals"]["aimsMm"], 86_815.0);
    let again = import(&ann, file_again);
    assert_eq!(again["recorded"]["tensions"], 0);
}

#[test]
fn lengths_that_disagree_with_the_bays_are_noted() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let text = std::fs::read_to_string(fixture("demo/survey.json")).unwrap();
    let mut survey: Value = serde_json::from_str(&text).unwrap();
    survey["bays"][1]["clear"] = json!(1360);
    let made = import(&ann, file(written(dir.path(), &survey.to_string())));
    assert_eq!(made["recorded"]["bays"], 7);
    // The bays and posts add up to 7250 then: each length is asked about as it would be by hand.
    assert_eq!(made["questioned"], 3, "{made:#}");
    let message = made["problems"][0]["message"].as_str().unwrap();
    assert!(
        message.contains("add up to 7250") && message.contains("44"),
        "{message}"
    );
    let mut yes = file(written(dir.path(), &survey.to_string()));
    yes["job"] = made["job"].clone();
    yes["confirmed"] = json!(true);
    let made = import(&ann, yes);
    assert_eq!(made["noted"], 1, "{made:#}");
    let doubt = &made["problems"][0];
    assert_eq!(
        (&doubt["path"], &doubt["outcome"]),
        (&json!("runs[0]"), &json!("noted"))
    );
    assert!(doubt["message"].as_str().unwrap().contains("55"), "{doubt}");
}

#[test]
fn a_slip_and_names_that_meet_are_noted_as_a_file_is_read() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let text = std::fs::read_to_string(fixture("demo/survey.json")).unwrap();
    let mut survey: Value = serde_json::from_str(&text).unwrap();
    survey["lengths"][0]["length"] = json!(7308);
    survey["runs"][1]["name"] = json!("A1");
    // Nine risers of 250 reach 2000 to 2250, and the posts stand 2175 apart: fifteen do not.
    survey["runs"][1]["slope"]["risers"] = json!(15);
    let written_out = survey.to_string().replace("\"B\"", "\"A1\"");
    let made = import(&ann, file(written(dir.path(), &written_out)));
    let all = made["problems"].to_string().replace('\u{a0}', " ");
    assert!(all.contains("wire 6, 7300 mm"), "{made:#}");
    // Run A1 has a wire 1, and run A a wire 11.
    assert!(
        all.contains("Wire 1 of run A1 and wire 11 of run A are both named A11"),
        "{made:#}"
    );
    let codes = made["problems"].as_array().unwrap().iter();
    let noted = codes.filter(|p| p["outcome"] == "noted").count();
    assert!(
        all.contains("15 risers with a going of 250 mm reach 3500 mm to 3750 mm level"),
        "{made:#}"
    );
    assert_eq!(noted, 3, "{made:#}");
    // A table of lengths alone: what is doubtful since it came is noted, what was so before is not.
    let table = dir.path().join("lengths.csv");
    let row = |wire: u32, length: &str| {
        format!(
            "run,wire,length,unit,purpose,posts,faces,instrument\nA,{wire},{length},mm,cut,insertsIn,insertFaces,tape\n"
        )
    };
    let read = |text: &str| {
        std::fs::write(&table, text).unwrap();
        let mut request = file(table.to_str().unwrap());
        request["job"] = made["job"].clone();
        import(&ann, request)
    };
    let slipped = read(&row(9, "7314"));
    let told = slipped["problems"].to_string().replace('\u{a0}', " ");
    assert!(told.contains("wire 9, 7314 mm"), "{slipped:#}");
    assert_eq!(slipped["noted"], 1, "{slipped:#}");
    assert_eq!(read(&row(9, "7314"))["noted"], 0);
    // Title and place of a new job are not there already.
    assert_eq!(made["already"], 0, "{made:#}");
}

#[test]
fn an_import_that_was_cancelled_keeps_whole_acts_and_the_rest_comes_later() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let runs: Vec<Value> = (1..=20)
        .map(
            |n| json!({"name": format!("R{n}"), "wires": {"count": 200, "bottom": 76, "pitch": 10}}),
        )
        .collect();
    let survey = json!({"format": 1, "job": {"title": "Deck", "place": "an island"}, "runs": runs});
    let job = import(&ann, file(written(dir.path(), &survey.to_string())))["job"].clone();
    let mut lines = "run,wire,length,unit,purpose,posts,faces,instrument\n".to_owned();
    for n in 0..4000 {
        let (run, wire) = (n / 200 + 1, n % 200 + 1);
        lines.push_str(&format!(
            "R{run},{wire},7300,mm,cut,insertsIn,insertFaces,tape\n"
        ));
    }
    let table = dir.path().join("lengths.csv");
    std::fs::write(&table, lines).unwrap();
    let mut request = file(table.to_str().unwrap());
    request["job"] = job.clone();
    let task = ann.call("startImport", request.clone())["task"].clone();
    let mut seen = 0;
    loop {
        let asked = json!({"task": task, "seen": seen, "waitMs": 5000});
        let state = ann.call("task", asked);
        assert_eq!(state["state"], "running", "ended before its end: {state:#}");
        seen = state["version"].as_u64().unwrap();
        if state["done"].as_u64().unwrap() > 0 {
            assert!(state["total"].as_u64().unwrap() > 1, "{state:#}");
            break;
        }
    }
    ann.call("cancelTask", json!({"task": task}));
    let ended = loop {
        let state = ann.call("task", json!({"task": task, "seen": seen, "waitMs": 5000}));
        seen = state["version"].as_u64().unwrap();
        if state["state"] != "running" {
            break state;
        }
    };
    assert_eq!(ended["state"], "cancelled", "{ended:#}");
    let rest = import(&ann, request);
    let (already, new) = (
        rest["already"].as_u64().unwrap(),
        rest["recorded"]["lengths"].as_u64().unwrap(),
    );
    assert!(already > 0 && new > 0, "{already} and {new}");
    assert_eq!(already + new, 4000);
}

#[test]
fn a_survey_of_a_job_that_is_there_begins_no_second_one() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let made = import(&ann, file(fixture("demo/survey.json")));
    let job = made["job"].as_str().unwrap();
    let refused = not_imported(&ann, file(fixture("demo/survey.json")));
    assert_eq!(refused.code, ErrorCode::Invalid);
    assert!(refused.message.contains(job), "{}", refused.message);
    let jobs = |ann: &Device| {
        ann.call("overview", json!({}))["jobs"]
            .as_array()
            .unwrap()
            .len()
    };
    assert_eq!(jobs(&ann), 1);
    // Into that job it goes, and finds all there; under another title it is another job.
    let mut into = file(fixture("demo/survey.json"));
    into["job"] = json!(job);
    let again = import(&ann, into);
    assert_eq!(
        (&again["began"], &again["recorded"]["runs"]),
        (&json!(false), &json!(0))
    );
    let text = std::fs::read_to_string(fixture("demo/survey.json")).unwrap();
    let mut other: Value = serde_json::from_str(&text).unwrap();
    other["job"]["title"] = json!("another barrier there");
    import(&ann, file(written(dir.path(), &other.to_string())));
    assert_eq!(jobs(&ann), 2);
}

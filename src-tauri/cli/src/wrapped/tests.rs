//! Each subcommand calls what it says, and what counts as a fault of its answer.

use super::{Call, Choose, Shown, Wrapped, call, fault, fault_of};
use crate::args::{Args, Sub};
use api::ApiError;
use clap::Parser;
use serde_json::{Value, json};

/// A device that keeps one job, called Deck, with one run, called A.
struct OneJob;

impl Choose for OneJob {
    fn job(&self, named: Option<&str>) -> Result<String, ApiError> {
        assert!(matches!(named, None | Some("Deck")));
        Ok("j1".to_owned())
    }
    fn run(&self, job: &str, named: &str) -> Result<String, ApiError> {
        assert_eq!((job, named), ("j1", "A"));
        Ok("r1".to_owned())
    }
    fn bay(&self, job: &str, run: &str, named: &str) -> Result<String, ApiError> {
        assert_eq!((job, run, named), ("j1", "r1", "A2-A3"));
        Ok("p2:p3".to_owned())
    }
}

fn typed(line: &str) -> Result<Call, clap::Error> {
    let words = std::iter::once("tautbook").chain(line.split(' '));
    match Args::try_parse_from(words)?.subcommand {
        Sub::Wrapped(wrapped) => Ok(call(&wrapped, &OneJob).unwrap()),
        other => panic!("{line}: {other:?}"),
    }
}

fn rows() -> Vec<(&'static str, &'static str, Value)> {
    vec![
        (
            "found --crew Reef --person Ann --role surveyor",
            "foundCrew",
            json!({"crew": "Reef", "person": "Ann", "role": "surveyor"}),
        ),
        ("share /shared", "share", json!({"folder": "/shared"})),
        ("join /shared", "join", json!({"folder": "/shared"})),
        (
            "join --confirm 1234",
            "confirmJoin",
            json!({"digits": "1234"}),
        ),
        ("admit", "applicants", json!({})),
        (
            "admit abc --code 1234 --role office",
            "admit",
            json!({"device": "abc", "digits": "1234", "role": "office"}),
        ),
        (
            "admit --code 1111222233334444 abc",
            "admit",
            json!({"device": "abc", "digits": "1111222233334444", "role": "installer"}),
        ),
        (
            "admit --code 1111 2222 3333 4444 abc",
            "admit",
            json!({"device": "abc", "digits": "1111 2222 3333 4444", "role": "installer"}),
        ),
        // As the digits stand on the screen.
        (
            "admit abc --code 1234 5678 9012 3456",
            "admit",
            json!({"device": "abc", "digits": "1234 5678 9012 3456", "role": "installer"}),
        ),
        (
            "admit abc --code 1234-5678-9012-3456",
            "admit",
            json!({"device": "abc", "digits": "1234-5678-9012-3456", "role": "installer"}),
        ),
        (
            "join --confirm 1234 5678 9012 3456",
            "confirmJoin",
            json!({"digits": "1234 5678 9012 3456"}),
        ),
        ("sync", "startSync", json!({"everything": false})),
        (
            "sync --everything",
            "startSync",
            json!({"everything": true}),
        ),
        (
            "photo add /a.jpg --caption corner",
            "addPhoto",
            json!({"job": "j1", "name": "a.jpg", "caption": "corner", "source": {"kind": "file", "path": "/a.jpg"}}),
        ),
        (
            "document add /a.pdf --job Deck",
            "addDocument",
            json!({"job": "j1", "name": "a.pdf", "source": {"kind": "file", "path": "/a.pdf"}}),
        ),
        (
            "survey import /s.json --yes",
            "startImport",
            json!({"source": {"kind": "file", "path": "/s.json"}, "confirmed": true}),
        ),
        (
            "survey import /lengths.CSV",
            "startImport",
            json!({"source": {"kind": "file", "path": "/lengths.CSV"}, "confirmed": false, "job": "j1"}),
        ),
        ("cuts A", "cutSheet", json!({"job": "j1", "run": "r1"})),
        (
            "sound A 6 --length 1380 --held pinched /a.wav /b.wav",
            "hear",
            json!({"job": "j1", "run": "r1", "wire": 6, "length": {"text": "1380"}, "held": "pinched",
                "by": {"kind": "plucks", "recordings": [{"kind": "file", "path": "/a.wav"},
                    {"kind": "file", "path": "/b.wav"}]}}),
        ),
        (
            "swing A 6 --length 1380 --grams 205 --grams-per-metre 50.1 --keep A2-A3 --stage final /m.csv",
            "keepHeard",
            json!({"heard": {"job": "j1", "run": "r1", "wire": 6, "length": {"text": "1380"},
                    "gramsPerMetre": "50.1",
                    "by": {"kind": "swing", "motion": {"kind": "file", "path": "/m.csv"}, "grams": "205"}},
                "round": {"bay": "p2:p3", "stage": "final"}}),
        ),
        ("even A", "evenUp", json!({"job": "j1", "run": "r1"})),
        (
            "layout A --bottom 80 --inches",
            "layOut",
            json!({"job": "j1", "run": "r1", "wishes": {"unit": "in", "bottom": {"text": "80", "unit": "in"}}}),
        ),
        (
            "template A --paper letter --inches --out /t.pdf",
            "drillingTemplate",
            json!({"job": "j1", "run": "r1", "paper": "letter", "unit": "in", "file": "/t.pdf"}),
        ),
        ("rules list", "ruleSetsFor", json!({"job": "j1"})),
        (
            "rules show au-2022",
            "ruleFigures",
            json!({"name": "au-2022"}),
        ),
        (
            "rules use au-2022",
            "useRuleSet",
            json!({"job": "j1", "name": "au-2022", "confirmed": false}),
        ),
        ("plan", "cutPlan", json!({"job": "j1"})),
        (
            "labels --out /l.pdf --cut",
            "startLabels",
            json!({"job": "j1", "cut": true, "paper": "a4", "unit": "mm", "file": "/l.pdf"}),
        ),
        (
            "labels --paper letter --inches",
            "startLabels",
            json!({"job": "j1", "cut": false, "paper": "letter", "unit": "in"}),
        ),
        ("handover --job Deck", "startHandover", json!({"job": "j1"})),
        (
            "handover --out /out",
            "startHandover",
            json!({"job": "j1", "folder": "/out"}),
        ),
        (
            "verify --handover /out",
            "startVerify",
            json!({"what": "handover", "folder": "/out"}),
        ),
        (
            "verify --shared /shared",
            "startVerify",
            json!({"what": "shared", "folder": "/shared"}),
        ),
        ("verify", "startVerify", json!({"what": "data"})),
        ("state", "readState", json!({"job": "j1"})),
        ("rebuild", "rebuild", json!({})),
    ]
}

#[test]
fn each_subcommand_asks_its_command() {
    for (line, command, request) in rows() {
        let asked = typed(line).unwrap();
        assert_eq!((asked.command, asked.request), (command, request), "{line}");
    }
}

#[test]
fn each_request_fits_its_commands_schema() {
    let described = api::boundary::describe(api::commands());
    let described = described["commands"].as_array().unwrap();
    for (line, command, request) in rows() {
        let schema = &described
            .iter()
            .find(|told| told["name"] == command)
            .unwrap_or_else(|| panic!("{line}: no command {command}"))["request"];
        for name in request.as_object().unwrap().keys() {
            assert!(schema["properties"].get(name).is_some(), "{line}: {name}");
        }
        for name in schema["required"].as_array().into_iter().flatten() {
            assert!(
                request.get(name.as_str().unwrap()).is_some(),
                "{line}: {name}"
            );
        }
    }
}

#[test]
fn half_a_subcommand_is_refused() {
    for line in [
        "share",
        "join",
        "verify --shared /a --handover /b",
        "verify --crew aa",
        "photo add",
    ] {
        assert!(typed(line).is_err(), "{line}");
    }
    // Those that a person is likely to type say what comes next.
    for (line, next) in [
        ("admit abc", "`tautbook admit DEVICE --code DIGITS`"),
        ("admit --code 1234", "Name one device"),
        ("admit abc --code 1234 def", "\"def\" is none of them"),
        (
            "admit abc --code 1234-O466",
            "\"1234-O466\" is none of them",
        ),
        ("admit --code 1234 abc def", "Name one device"),
        ("join /a --confirm 1", "`tautbook join --confirm DIGITS`"),
    ] {
        let words = std::iter::once("tautbook").chain(line.split(' '));
        let Sub::Wrapped(wrapped) = Args::try_parse_from(words).unwrap().subcommand else {
            panic!("{line}");
        };
        let refused = call(&wrapped, &OneJob).unwrap_err();
        assert_eq!(refused.code, api::ErrorCode::Invalid);
        assert!(refused.message.contains(next), "{}", refused.message);
    }
}

#[test]
fn a_folder_is_named_from_the_root() {
    let asked = typed("share here").unwrap().request;
    let folder = std::path::PathBuf::from(asked["folder"].as_str().unwrap());
    assert!(
        folder.is_absolute() && folder.ends_with("here"),
        "{folder:?}"
    );
}

#[test]
fn a_rebuild_that_changes_the_state_is_a_fault() {
    let rebuild = Wrapped::Rebuild { local: false };
    assert_eq!(fault(&rebuild, &json!({"same": true})), None);
    assert!(fault(&rebuild, &json!({"same": false})).is_some());
    assert!(fault(&rebuild, &json!({})).is_some());
    assert!(fault(&rebuild, &json!({"same": true, "unreadable": 1})).is_some());
    let damaged = json!({"same": false, "unreadable": 1});
    let (_, words) = fault(&rebuild, &damaged).unwrap();
    assert!(words.contains("exchange fetches again"), "{words}");
    let sound = json!({"same": true, "unreadable": 0});
    assert_eq!(fault(&rebuild, &sound), None);
    let broken = json!({"same": true, "unreadable": 0, "brokenOff": "3 entries"});
    let (_, words) = fault(&rebuild, &broken).unwrap();
    assert!(words.contains("do not count any more"), "{words}");
    let sync = Wrapped::Sync { everything: false };
    assert_eq!(fault(&sync, &json!({})), None);
    assert!(fault(&sync, &json!({"forked": true})).is_some());
}

#[test]
fn wires_without_stock_and_pictures_that_are_not_here_are_no_success() {
    let plan = |wires: Value| json!({"strands": [{"noStock": []}, {"noStock": wires}]});
    assert!(fault_of("cutPlan", &plan(json!([{"wire": 1}]))).is_some());
    assert_eq!(fault_of("cutPlan", &plan(json!([]))), None);
    for command in ["say", "signOff"] {
        assert!(fault_of(command, &json!({"entries": [], "remarks": ["odd"]})).is_some());
        assert_eq!(fault_of(command, &json!({"entries": []})), None);
    }
    assert!(fault_of("startHandover", &json!({"missing": 2})).is_some());
    assert_eq!(fault_of("startHandover", &json!({"missing": 0})), None);
}

#[test]
fn the_state_is_json_for_people_too() {
    assert_eq!(typed("state").unwrap().shown, Shown::Json);
}

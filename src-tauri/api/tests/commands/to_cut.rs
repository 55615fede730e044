//! Strand is cut a metre off on nobody's silence: lengths that contradict the bays, a bay that the table
//! does not reach and a run without its anchors are told before anything is released. One file past 400 lines, since
//! all of it is one site and what stands against cutting there.

use std::path::Path;

use crate::common::Device;
use api::ErrorCode;
use serde_json::{Value, json};

struct Site {
    ann: Device,
    job: String,
    run: Value,
    /// What the import told.
    told: Value,
    dir: tempfile::TempDir,
}

/// The worked job's survey without its lengths: bays and posts of run A add up to 7300.
fn site() -> Site {
    site_of(|survey| drop(survey.as_object_mut().unwrap().remove("lengths")))
}

fn site_of(edit: impl FnOnce(&mut Value)) -> Site {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let mut survey: Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    edit(&mut survey);
    let file = dir.path().join("survey.json");
    std::fs::write(&file, survey.to_string()).unwrap();
    let source = json!({"kind": "file", "path": file.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let told = ended["result"]["problems"].clone();
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    let run = ann.call("readJob", json!({"job": job}))["runs"][0].clone();
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": [600_000, 1_100_000, 1_500_000]});
    let site = Site {
        ann,
        job,
        run,
        told,
        dir,
    };
    let decided = site.on_run(json!({"tensions": tensions, "confirmed": true}));
    site.ann.call("setTensions", decided);
    site
}

impl Site {
    fn on_run(&self, mut more: Value) -> Value {
        more["job"] = json!(self.job);
        more["run"] = self.run["id"].clone();
        more
    }

    fn length(&self, wire: u32, text: &str, confirmed: bool) -> Value {
        self.on_run(
            json!({"wire": wire, "length": {"text": text}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape",
            "confirmed": confirmed}),
        )
    }

    fn sheet(&self) -> String {
        let sheet = self.ann.call("cutSheet", self.on_run(json!({})));
        sheet["notes"].to_string()
    }

    fn measured(&self) {
        for (wire, text) in [(1, "7294"), (6, "7300"), (12, "7305")] {
            self.ann.call("measure", self.length(wire, text, false));
        }
    }
}

#[test]
fn a_length_a_metre_off_the_bays_is_asked_about_told_on_the_sheet_and_cut_on_a_yes_alone() {
    let site = site();
    let asked = site.ann.refused("measure", site.length(1, "6294", false));
    assert_eq!(asked.code, ErrorCode::Questioned);
    let told = asked.message.replace('\u{a0}', " ");
    assert!(
        told.contains("add up to 7300") && told.contains("1006"),
        "{told}"
    );
    site.ann.call("measure", site.length(1, "6294", true));
    // Wires that read alike were answered by that yes; another metre was not.
    site.ann.call("measure", site.length(6, "6300", false));
    site.ann.call("measure", site.length(12, "6305", false));
    let right = site.ann.refused("measure", site.length(7, "5300", false));
    assert_eq!(right.code, ErrorCode::Questioned);
    assert!(site.sheet().contains("1006"), "{}", site.sheet());
    let release = json!({"wires": "6"});
    let asked = site.ann.refused("issueCuts", site.on_run(release.clone()));
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(asked.message.contains("1006"), "{}", asked.message);
    let mut yes = site.on_run(release);
    yes["confirmed"] = json!(true);
    let recorded = site.ann.call("issueCuts", yes);
    // The yes stands in the record with what it was said to.
    let state = site.ann.call("readState", json!({"job": site.job}));
    let state = state.to_string();
    assert!(state.contains(recorded["entries"][0].as_str().unwrap()));
    assert!(
        state.contains("released all the same"),
        "the yes is recorded"
    );
}

#[test]
fn lengths_that_go_with_the_bays_are_asked_about_nowhere() {
    let site = site();
    site.measured();
    assert!(!site.sheet().contains("add up"), "{}", site.sheet());
    site.ann
        .call("issueCuts", site.on_run(json!({"wires": "6"})));
    let state = site.ann.call("readState", json!({"job": site.job}));
    assert!(!state.to_string().contains("released all the same"));
}

#[test]
fn another_rule_set_is_asked_about_where_something_rests_on_the_one_that_stands() {
    let site = site();
    site.measured();
    site.ann
        .call("issueCuts", site.on_run(json!({"wires": "6"})));
    let same = json!({"job": site.job, "name": "au-2022"});
    site.ann.call("useRuleSet", same);
    assert!(!site.sheet().contains("were decided"), "{}", site.sheet());
    let other = |yes: bool| json!({"job": site.job, "name": "us-irc-2018", "confirmed": yes});
    let asked = site.ann.refused("useRuleSet", other(false));
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(
        asked
            .message
            .contains("the tensions of run A, 1 wire released and not cut")
            && asked.message.contains("decide the tensions again"),
        "{}",
        asked.message
    );
    let chosen = site.ann.call("useRuleSet", other(true));
    // It stands on the sheet, marks what was released, and is asked before more is.
    let sheet = site.ann.call("cutSheet", site.on_run(json!({})));
    assert!(sheet["notes"].to_string().contains("were decided by"));
    let lines = sheet["lines"].as_array().unwrap();
    let six = lines.iter().find(|line| line["wire"] == 6).unwrap();
    assert_eq!(six["issued"]["basisStands"], false);
    let why = six["issued"]["moved"].as_str().unwrap();
    assert!(why.contains("were decided by"), "{why}");
    let release = site.on_run(json!({"wires": "7", "beforeTrial": "a test of what is asked"}));
    let asked = site.ann.refused("issueCuts", release);
    assert!(
        asked.message.contains("were decided by"),
        "{}",
        asked.message
    );
    let mut skipped: Vec<Value> = Vec::new();
    let offered = std::iter::from_fn(|| {
        let asked = json!({"job": site.job, "skipped": skipped});
        let act = site.ann.call("nextAct", asked)["act"].clone();
        skipped.push(act["key"].clone());
        act["sentence"].as_str().map(ToOwned::to_owned)
    });
    let mut offered = offered.take(100);
    assert!(offered.any(|told| told.contains("look at its rows and decide them again")));
    // Back to the first one nothing is to be asked; taken back, none stands, and that is told.
    let first = json!({"job": site.job, "name": "au-2022"});
    let first = site.ann.call("useRuleSet", first)["entries"][0].clone();
    assert_ne!(first, chosen["entries"][0]);
    assert!(
        !site.sheet().contains("were decided by"),
        "{}",
        site.sheet()
    );
    let back = json!({"job": site.job, "entry": first, "reason": "a slip"});
    site.ann.call("withdraw", back);
    assert!(
        site.sheet().contains("no rule set stands now"),
        "{}",
        site.sheet()
    );
    site.ann.call("useRuleSet", other(true));
    // Decided anew they rest on the set that stands.
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "engineer", "upperOrigin": "", "passesMn": [600_000, 1_100_000, 1_500_000]});
    site.ann.call(
        "setTensions",
        site.on_run(json!({"tensions": tensions, "confirmed": true})),
    );
    assert!(
        !site.sheet().contains("were decided by"),
        "{}",
        site.sheet()
    );
}

#[test]
fn a_bay_outside_the_table_is_released_on_a_yes_alone() {
    let site = site();
    site.measured();
    let bay = &site.run["bays"][1]["subject"];
    let known = json!({"job": site.job, "subject": bay});
    let known = site.ann.call("readSubject", known);
    let over = known["facts"][0]["words"][0]["entry"].clone();
    let told = json!({"job": site.job, "bay": bay, "length": {"text": "2600"}, "along": "level",
        "instrument": "tape", "over": [over], "confirmed": true});
    site.ann.call("measureBay", told);
    assert!(
        site.sheet().contains("the table does not reach it"),
        "{}",
        site.sheet()
    );
    let release = site.on_run(json!({"wires": "6"}));
    let asked = site.ann.refused("issueCuts", release);
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(
        asked.message.contains("the table does not reach it"),
        "{}",
        asked.message
    );
}

#[test]
fn a_run_without_two_anchors_is_not_released_whatever_is_answered() {
    let site = site();
    site.measured();
    let post = &site.run["posts"][0]["subject"];
    let role = json!({"subject": post, "field": "role", "place": site.run["id"],
        "value": "intermediate"});
    site.ann.call(
        "say",
        json!({"job": site.job, "claims": [role], "confirmed": true}),
    );
    for confirmed in [false, true] {
        let release = site.on_run(json!({"wires": "6", "confirmed": confirmed}));
        let refused = site.ann.refused("issueCuts", release);
        assert_eq!(refused.code, ErrorCode::Invalid);
        assert!(
            refused.message.contains("has 1 of the two anchors"),
            "{}",
            refused.message
        );
        assert!(refused.message.ends_with("Nothing was released."));
    }
    assert!(
        site.sheet().contains("has 1 of the two anchors"),
        "{}",
        site.sheet()
    );
}

#[test]
fn one_length_off_the_bays_is_asked_about_whatever_the_others_read() {
    let site = site();
    site.measured();
    for (wire, text) in [(12, "7400"), (7, "7400"), (8, "7440"), (2, "7320")] {
        let asked = site.ann.refused("measure", site.length(wire, text, false));
        assert_eq!(asked.code, ErrorCode::Questioned, "{text}");
        assert!(asked.message.contains("add up to"), "{}", asked.message);
    }
    site.ann.call("measure", site.length(12, "7400", true));
    let release = json!({"wires": "7-9", "beforeTrial": "one reel"});
    let asked = site.ann.refused("issueCuts", site.on_run(release));
    assert!(
        asked.message.contains("wire 12 is 7352.5"),
        "{}",
        asked.message
    );
    assert!(
        site.sheet().contains("wire 12 is 7352.5"),
        "{}",
        site.sheet()
    );
}

#[test]
fn without_bays_read_a_length_is_held_against_where_the_posts_stand() {
    let site = site_of(|survey| {
        let survey = survey.as_object_mut().unwrap();
        survey.remove("lengths");
        survey.remove("bays");
    });
    for text in ["6300", "72.94"] {
        let asked = site.ann.refused("measure", site.length(1, text, false));
        assert_eq!(asked.code, ErrorCode::Questioned, "{text}");
        assert!(
            asked.message.contains("stand leaves 7300"),
            "{}",
            asked.message
        );
    }
    // Positions are no bays: what goes with them roughly is taken.
    site.ann.call("measure", site.length(1, "7340", false));
    site.ann.call("measure", site.length(6, "6300", true));
    let asked = site
        .ann
        .refused("issueCuts", site.on_run(json!({"wires": "6"})));
    assert_eq!(asked.code, ErrorCode::Questioned, "{}", asked.message);
    assert!(
        asked.message.contains("wire 6 is 6300"),
        "{}",
        asked.message
    );
}

#[test]
fn an_import_holds_lengths_against_bays_positions_and_cuts_as_a_reading_is() {
    let asked = |told: &Value| -> Vec<String> {
        let odd = told.as_array().unwrap().iter();
        let odd = odd.filter(|p| p["outcome"] == "questioned");
        odd.map(|p| format!("{} {}", p["path"], p["message"]))
            .collect()
    };
    let site = site_of(|survey| survey["lengths"][2]["length"] = json!(7_400));
    let odd = asked(&site.told);
    assert_eq!(odd.len(), 1, "{odd:?}");
    assert!(
        odd[0].contains("lengths[2]") && odd[0].contains("add up to 7300"),
        "{odd:?}"
    );
    let bare = site_of(|survey| {
        survey.as_object_mut().unwrap().remove("bays");
        for at in 0..3 {
            survey["lengths"][at]["length"] = json!(6_300 + at);
        }
    });
    let odd = asked(&bare.told);
    assert_eq!(odd.len(), 3, "{odd:?}");
    assert!(odd[0].contains("stand leaves 7300"), "{odd:?}");
    // A wire that is released: the new length leaves its window.
    site.ann.call("measure", site.length(12, "7305", false));
    site.ann
        .call("issueCuts", site.on_run(json!({"wires": "6"})));
    let table = site.dir.path().join("lengths.csv");
    let row = "run,wire,length,unit,purpose,posts,faces,instrument\nA,6,7330,mm,cut,insertsIn,insertFaces,tape\n";
    std::fs::write(&table, row).unwrap();
    let request = json!({"source": {"kind": "file", "path": table}, "job": site.job});
    for _ in 0..2 {
        let ended = site.ann.run_task("startImport", request.clone());
        let odd = asked(&ended["result"]["problems"]);
        assert_eq!(odd.len(), 1, "{ended}");
        assert!(
            odd[0].contains("A6 is released at") && odd[0].contains("add up to"),
            "{odd:?}"
        );
    }
    // Said yes to once, it is there and asked about no more.
    let mut yes = request.clone();
    yes["confirmed"] = json!(true);
    site.ann.run_task("startImport", yes);
    let again = site.ann.run_task("startImport", request);
    assert_eq!(asked(&again["result"]["problems"]), Vec::<String>::new());
}

#[test]
fn lengths_that_contradict_the_bays_are_asked_of_a_release_once_while_the_bays_stay() {
    let site = site();
    let wires = [(1, "7340"), (3, "7341"), (6, "7342"), (12, "7345")];
    for (wire, text) in wires {
        site.ann.call("measure", site.length(wire, text, true));
    }
    let release =
        site.on_run(json!({"wires": "1,3,6,12", "confirmed": true, "beforeTrial": "one reel"}));
    site.ann.call("issueCuts", release);
    let moved = |wire: u64| {
        let sheet = site.ann.call("cutSheet", site.on_run(json!({})));
        let lines = sheet["lines"].as_array().unwrap().clone();
        let line = lines.into_iter().find(|line| line["wire"] == wire).unwrap();
        line["issued"]["moved"].clone()
    };
    for (wire, _) in wires {
        assert_eq!(moved(wire.into()), Value::Null, "{wire}");
    }
    // The furthest is read anew: the others were asked about as they are.
    site.ann.call("measure", site.length(12, "7349", true));
    for wire in [1, 3, 6] {
        assert_eq!(moved(wire), Value::Null, "{wire}");
    }
    assert!(moved(12).is_string());
    // Bays that add up otherwise ask anew.
    let bay = site.run["bays"][0]["subject"].clone();
    let known = json!({"job": site.job, "subject": bay});
    let known = site.ann.call("readSubject", known);
    let mut facts = known["facts"].as_array().unwrap().iter();
    let clear = facts.find(|fact| fact["field"] == "clear").unwrap();
    let over = clear["words"][0]["entry"].clone();
    let told = json!({"job": site.job, "bay": bay, "length": {"text": "1330"}, "along": "level",
        "instrument": "tape", "over": [over], "confirmed": true});
    site.ann.call("measureBay", told);
    for wire in [1, 3, 6] {
        let told = moved(wire).as_str().unwrap().to_owned();
        assert!(
            told.contains("this was not asked when it was released: Bays"),
            "{told}"
        );
    }
}

#[test]
fn a_slip_that_bends_the_wires_beside_it_is_asked_about_once_and_before_cutting() {
    let site = site();
    for (wire, text) in [(6, "7300"), (12, "7305")] {
        site.ann.call("measure", site.length(wire, text, false));
    }
    // 7294 was meant: the tape slipped by 14 mm, and bays and posts go with either.
    let asked = site.ann.refused("measure", site.length(1, "7308", false));
    assert_eq!(asked.code, ErrorCode::Questioned);
    let told = asked.message.replace('\u{a0}', " ");
    assert!(
        told.contains("wire 6, 7300 mm") && told.contains("6.6 mm off a straight line"),
        "{told}"
    );
    assert!(!site.sheet().contains("straight line"));
    site.ann.call("measure", site.length(1, "7308", true));
    // What bows already is asked about with the next wire no more, and told as the wires are released.
    site.ann.call("measure", site.length(3, "7306", false));
    assert!(site.sheet().contains("straight line"), "{}", site.sheet());
    let release = json!({"wires": "6"});
    let asked = site.ann.refused("issueCuts", site.on_run(release));
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(asked.message.contains("straight line"), "{}", asked.message);
    // A second slip does not hide behind the one that somebody said yes to.
    let asked = site.ann.refused("measure", site.length(9, "7312", false));
    assert_eq!(asked.code, ErrorCode::Questioned);
    let told = asked.message.replace('\u{a0}', " ");
    assert!(told.contains("wire 9, 7312 mm"), "{told}");
    site.ann.call("measure", site.length(9, "7312", true));
    site.ann.call("measure", site.length(10, "7304", false));
    assert_eq!(
        site.sheet().matches("straight line").count(),
        2,
        "{}",
        site.sheet()
    );
}

/// The scenario's stair: two bays of 985 level and a post of 90 are 2060 level and 2528.8 along the slope.
#[test]
fn what_bays_add_up_to_lies_along_the_wires() {
    let site = site();
    let runs = site.ann.call("readJob", json!({"job": site.job}))["runs"].clone();
    assert_eq!(runs[0]["betweenMm"], 7300.0);
    let stair = runs[1]["betweenMm"].as_f64().unwrap();
    assert!((stair - 2528.8).abs() < 0.05, "{stair}");
}

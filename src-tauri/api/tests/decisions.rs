//! Decisions keep what they were made on: origins, figures shown, and what moved since.
//! One file past 400 lines, since every decision is taken on the same surveyed job.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;

use std::path::Path;

use api::ErrorCode;
use common::Device;
use serde_json::{Value, json};

struct Site {
    ann: Device,
    job: String,
    run: String,
    _dir: tempfile::TempDir,
}

/// The worked job as surveyed: its long bay asks more than the wires will carry.
fn site() -> Site {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let source = json!({"kind": "file", "path": path.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    let view = ann.call("readJob", json!({"job": job}));
    let run = view["runs"][0]["id"].as_str().unwrap().to_owned();
    Site {
        ann,
        job,
        run,
        _dir: dir,
    }
}

impl Site {
    fn on_run(&self, mut more: Value) -> Value {
        more["job"] = json!(self.job);
        more["run"] = json!(self.run);
        more
    }

    fn ask(&self, command: &str) -> Value {
        self.ann.call(command, self.on_run(json!({})))
    }

    fn asked_n(&self) -> f64 {
        self.ask("tensionPlan")["required"]["newtons"]
            .as_f64()
            .unwrap()
    }

    fn tensions(required_n: f64, set_n: f64, upper_n: f64) -> Value {
        let mn = |n: f64| json!((n * 1000.0).round() as i64);
        json!({"requiredMn": mn(required_n), "setMn": mn(set_n), "upperMn": mn(upper_n),
            "requiredOrigin": "the table's row", "upperOrigin": "the strand",
            "passesMn": [mn(set_n)]})
    }

    fn decide(&self, tensions: Value, confirmed: bool) -> Result<Value, api::ApiError> {
        let request = self.on_run(json!({"tensions": tensions, "confirmed": confirmed}));
        self.ann.try_call("setTensions", request)
    }

    /// Tensions below the table, as the survey stands; a person said yes.
    fn decided(&self) {
        self.decide(Self::tensions(1330.0, 1500.0, 1800.0), true)
            .unwrap();
    }

    fn run(&self) -> Value {
        self.ann.call("readJob", json!({"job": self.job}))["runs"][0].clone()
    }

    fn say(&self, subject: &str, field: &str, place: &str, value: Value) {
        let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
        self.ann
            .call("say", json!({"job": self.job, "claims": [claim]}));
    }

    fn line(&self, wire: u64) -> Value {
        let sheet = self.ask("cutSheet");
        let mut lines = sheet["lines"].as_array().unwrap().iter();
        lines.find(|l| l["wire"] == wire).unwrap().clone()
    }

    fn issue(&self, wire: u64) {
        let wires = wire.to_string();
        self.ann.call(
            "issueCuts",
            self.on_run(json!({"wires": wires, "beforeTrial": "one reel only"})),
        );
    }
}

#[test]
fn the_table_is_named_for_its_own_figure_alone() {
    let site = site();
    let asked = site.asked_n();
    assert!(asked > 1330.0, "{asked}");
    let question = site
        .decide(Site::tensions(1330.0, 1500.0, 1800.0), false)
        .unwrap_err();
    assert_eq!(question.code, ErrorCode::Questioned);
    assert!(
        question.message.contains("1330 N is below the") && question.message.contains("table asks"),
        "{}",
        question.message
    );
    assert_eq!(site.run()["tensions"], Value::Null, "nothing was saved");
    site.decided();
    let origin = |site: &Site, which: &str| {
        let tensions = &site.run()["tensions"];
        tensions[which].as_str().unwrap().to_owned()
    };
    let said = origin(&site, "requiredOrigin");
    assert!(
        said.starts_with(&format!(
            "typed below the table by who decided: the table's row; the table asks {asked} N"
        )),
        "{said}"
    );
    // The upper tension is the one that the strand's limit gives, so its origin is the plan's.
    let plan = site.ask("tensionPlan");
    assert_eq!(origin(&site, "upperOrigin"), plan["upperOrigin"]);
    // More than the table asks is a person's figure too, and needs no question.
    site.decide(Site::tensions(asked, asked, asked), true)
        .unwrap();
    assert_eq!(origin(&site, "requiredOrigin"), plan["required"]["origin"]);
    let mut engineers = Site::tensions(1780.0, 1780.0, 1780.0);
    engineers["requiredOrigin"] = json!("engineer EL-017");
    site.decide(engineers, true).unwrap();
    let said = origin(&site, "requiredOrigin");
    let told = format!("typed by who decided: engineer EL-017; the table asks {asked} N");
    assert!(said.starts_with(&told), "{said}");
    let said = origin(&site, "upperOrigin");
    assert!(
        said.starts_with("typed by who decided: the strand; the least known limit is"),
        "{said}"
    );
    // What a form brings back of it is kept once.
    let plan = site.ask("tensionPlan");
    assert_eq!(plan["decidedRequiredFrom"], "engineer EL-017");
    assert_eq!(plan["mustShowN"], 1780.0);
    // A figure that falls is asked about, though it is the table's own.
    let falls = site.decide(Site::tensions(asked, asked, asked), false);
    let falls = falls.unwrap_err();
    assert_eq!(falls.code, ErrorCode::Questioned);
    assert!(
        falls
            .message
            .contains("is below the 1780 N that was decided before, engineer EL-017"),
        "{}",
        falls.message
    );
    site.decide(Site::tensions(asked, asked, asked), true)
        .unwrap();
    let above = site.decide(Site::tensions(asked, asked, 5000.0), false);
    let above = above.unwrap_err();
    assert_eq!(above.code, ErrorCode::Questioned);
    assert!(
        above.message.contains("least limit that is known"),
        "{}",
        above.message
    );
}

#[test]
fn tensions_that_can_not_be_are_refused_even_when_a_person_says_yes() {
    let site = site();
    let tensions = |required, set, upper| Site::tensions(required, set, upper);
    let mut passes_short = tensions(1725.0, 1750.0, 1800.0);
    passes_short["passesMn"] = json!([600_000, 1_100_000]);
    let mut pass_above = tensions(1725.0, 1750.0, 1800.0);
    pass_above["passesMn"] = json!([1_900_000, 1_750_000]);
    for (bad, words) in [
        (
            tensions(1725.0, 1801.0, 1800.0),
            "is above the upper tension of 1800 N",
        ),
        (
            tensions(1725.0, 1500.0, 1800.0),
            "is below the required 1725 N",
        ),
        (tensions(0.0, 1500.0, 1800.0), "more than 0 N"),
        (tensions(-1330.0, 1500.0, 1800.0), "more than 0 N"),
        (passes_short, "must end at the set tension"),
        (pass_above, "none above the upper one"),
    ] {
        for confirmed in [false, true] {
            let error = site.decide(bad.clone(), confirmed).unwrap_err();
            assert_eq!(error.code, ErrorCode::Invalid, "{bad}: {error:?}");
            assert!(error.message.contains(words), "{bad}: {}", error.message);
        }
    }
    assert_eq!(site.run()["tensions"], Value::Null, "nothing was saved");
}

#[test]
fn what_has_a_command_of_its_own_is_not_said_past_it() {
    let site = site();
    let (run, wire) = (format!("run:{}", site.run), format!("wire:{}:1", site.run));
    let issue = json!({"cutNm": 1, "shortestNm": 1, "longestNm": 1});
    for (subject, field, value, command) in [
        (
            &run,
            "tensions",
            Site::tensions(900.0, 9000.0, 1800.0),
            "setTensions",
        ),
        (&wire, "cutIssued", issue, "issueCuts"),
        (&wire, "cut", json!({"nm": 1}), "tickWires"),
        (&wire, "length", json!({"nm": 7_300_000_000_i64}), "measure"),
        (&wire, "tension", json!({"mn": 1_500_000}), "readTension"),
    ] {
        let claim = json!({"subject": subject, "field": field, "place": "1", "value": value});
        let refused = site
            .ann
            .refused("say", json!({"job": site.job, "claims": [claim]}));
        assert_eq!(refused.code, ErrorCode::Invalid);
        assert!(
            refused.message.contains(&format!("the command {command}")),
            "{field}: {}",
            refused.message
        );
    }
    let first = json!([{"field": "name", "value": "C"},
        {"field": "tensions", "value": Site::tensions(900.0, 9000.0, 1800.0)}]);
    let refused = site.ann.refused(
        "addThing",
        json!({"job": site.job, "thing": "run", "fields": first}),
    );
    assert!(refused.message.contains("setTensions"));
    // Plain facts go on.
    site.say(&run, "note", "", json!("gate at A6"));
}

#[test]
fn cuts_are_released_as_they_were_shown_or_not_at_all() {
    let site = site();
    site.decided();
    let aim = site.line(12)["aimMm"].as_f64().unwrap();
    let ask = |aim: f64, wire: u64| {
        let seen = json!([{"wire": wire, "aimMm": aim}]);
        let request = json!({"wires": "12", "beforeTrial": "one reel only", "seen": seen});
        site.ann.try_call("issueCuts", site.on_run(request))
    };
    for (seen, wire) in [(aim + 2.0, 12), (aim, 11)] {
        let refused = ask(seen, wire).unwrap_err();
        assert_eq!(refused.code, ErrorCode::Changed);
        assert!(
            refused.message.contains(&format!("A12 is {aim} mm now")),
            "{}",
            refused.message
        );
        assert_eq!(site.line(12)["issued"], Value::Null);
    }
    ask(aim, 12).unwrap();
    assert_eq!(site.line(12)["issued"]["cutMm"], aim);
}

#[test]
fn a_release_is_marked_by_each_thing_that_it_was_worked_out_from_and_by_nothing_else() {
    let site = site();
    site.decided();
    let view = site.run();
    let run = format!("run:{}", site.run);
    let first = view["posts"][0]["subject"].as_str().unwrap().to_owned();
    let place = site.run.as_str();
    let stands = || site.line(12)["issued"]["basisStands"].clone();
    let release = |before: &str| {
        site.issue(12);
        assert_eq!(stands(), true, "released before {before}");
    };
    release("anything else");
    // A post's condition and a run's floor surface are in no cut.
    site.say(&first, "condition", "", json!("split"));
    site.say(&run, "surface", "", json!("balcony"));
    assert_eq!(stands(), true);
    let rail = json!({"undersideNm": 985_000_000, "thicknessNm": 35_000_000,
        "stiffnessNPerM": 300_000, "stiffnessHeightNm": 1_000_000_000});
    let strand = site.ann.call(
        "useStrand",
        json!({"job": site.job, "name": strand_key(&site)}),
    );
    let strand = strand["created"].as_str().unwrap();
    let strand = strand.trim_start_matches("strand:");
    let end = json!({"kind": "insert", "hand": "LH", "tensioner": true, "angledSeat": true});
    let section = json!({"alongNm": 90_000_000, "acrossNm": 90_000_000});
    let material = json!({"name": "hardwood", "modulusMpa": 12_000});
    for (subject, field, place, value) in [
        (&run, "rail", "", rail),
        (&run, "strand", "", json!(strand)),
        (&first, "end", place, end),
        (&first, "section", "", section),
        (&first, "material", "", material),
        (&first, "position", place, json!({"nm": 1_000_000})),
    ] {
        release(field);
        site.say(subject, field, place, value);
        assert_eq!(stands(), false, "{field}");
    }
}

fn strand_key(site: &Site) -> Value {
    site.ann.call("libraries", json!({}))["strands"][0]["key"].clone()
}

#[test]
fn tensions_and_sign_offs_tell_when_their_ground_moved() {
    let site = site();
    site.decided();
    let sign = || {
        site.ann.call(
            "signOff",
            json!({"job": site.job, "stage": "beforeOrdering", "statement": "order may go out"}),
        )
    };
    let signed = || {
        let view = site.ann.call("readJob", json!({"job": site.job}));
        let all = view["signOffs"].as_array().unwrap().clone();
        all.last().unwrap().clone()
    };
    sign();
    assert_eq!(site.run()["tensionsMoved"], false);
    assert_eq!(signed()["moved"], false);
    // The clock of these devices stands ten hours east: a screen elsewhere names it.
    assert_eq!(signed()["offsetMin"], 600);
    let entry = signed()["entry"].clone();
    let told = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": format!("job:{}", site.job)}),
    );
    let facts = told["facts"].as_array().unwrap().iter();
    let words = facts.flat_map(|f| f["words"].as_array().unwrap().clone());
    let word = words.into_iter().find(|w| w["entry"] == entry).unwrap();
    let with = word["with"].to_string();
    for part in ["Tautbook ", "ruleSet", "set tension of run A", "1500 N"] {
        assert!(with.contains(part), "{part}: {with}");
    }
    // Another clear distance: the tensions rest on it, the sign-off on the tensions.
    let bay = site.run()["bays"][0]["subject"].clone();
    let reading = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": bay}));
    let over = reading["facts"][0]["words"][0]["entry"].clone();
    site.ann.call(
        "measureBay",
        json!({"job": site.job, "bay": bay, "length": {"text": "1390"}, "along": "level",
            "instrument": "tape", "over": [over]}),
    );
    assert_eq!(site.run()["tensionsMoved"], true);
    assert_eq!(signed()["moved"], false);
    site.decided();
    assert_eq!(site.run()["tensionsMoved"], false);
    assert_eq!(signed()["moved"], true);
}

#[test]
fn a_wire_whose_ground_moved_is_not_ticked_as_cut_without_a_question() {
    let site = site();
    site.decided();
    site.issue(12);
    let length = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": format!("wire:{}:12", site.run)}),
    );
    let mut facts = length["facts"].as_array().unwrap().iter();
    let length = facts.find(|f| f["field"] == "length").unwrap();
    let over = length["words"][0]["entry"].clone();
    site.ann.call(
        "measure",
        site.on_run(
            json!({"wire": 12, "length": {"text": "7301"}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape", "over": [over]}),
        ),
    );
    let tick = |confirmed: bool| {
        let request = json!({"wires": "12", "act": "cut", "done": true, "confirmed": confirmed});
        site.ann.try_call("tickWires", site.on_run(request))
    };
    let question = tick(false).unwrap_err();
    assert_eq!(question.code, ErrorCode::Questioned);
    assert!(
        question.message.contains("A12") && question.message.contains("since it was released"),
        "{}",
        question.message
    );
    assert_eq!(site.line(12)["cutDoneMm"], Value::Null);
    tick(true).unwrap();
    assert_eq!(site.line(12)["cutDoneMm"], site.line(12)["issued"]["cutMm"]);
}

impl Site {
    fn measure(&self, wire: u64, length: &str, purpose: &str) {
        self.ann.call(
            "measure",
            self.on_run(
                json!({"wire": wire, "length": {"text": length}, "purpose": purpose,
                "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape",
                "confirmed": true}),
            ),
        );
    }

    fn tick(&self, wire: u64, confirmed: bool) -> Result<Value, api::ApiError> {
        let request = json!({"wires": wire.to_string(), "act": "cut", "done": true,
            "confirmed": confirmed});
        self.ann.try_call("tickWires", self.on_run(request))
    }

    fn stands(&self, wire: u64) -> bool {
        self.line(wire)["issued"]["basisStands"] == true
    }
}

#[test]
fn a_release_is_marked_by_another_reading_that_its_length_comes_from_and_by_no_repeat() {
    let site = site();
    site.decided();
    let inside = |wire| site.line(wire)["insideMm"].as_f64().unwrap();
    let read = inside(12);
    assert_eq!(site.line(12)["insideOrigin"], "measured");
    assert_eq!(site.line(11)["insideOrigin"], "interpolated");
    site.issue(12);
    site.issue(11);
    let (same, longer) = (format!("{read}"), format!("{}", read + 60.0));
    // The same again, and one that no cut is made from.
    site.measure(12, &same, "cut");
    site.measure(12, &longer, "quote");
    assert!(site.stands(12) && site.stands(11));
    site.measure(12, &longer, "cut");
    assert!(!site.stands(12) && !site.stands(11), "{}", site.line(12));
    for wire in [12, 11] {
        let question = site.tick(wire, false).unwrap_err();
        assert_eq!(question.code, ErrorCode::Questioned);
        assert_eq!(site.line(wire)["cutDoneMm"], Value::Null);
    }
    site.issue(11);
    assert!(site.stands(11));
    // A length of its own, where there was none.
    site.measure(11, &format!("{:.0}", inside(11) + 1.0), "cut");
    assert!(!site.stands(11));
    site.tick(11, true).unwrap();
}

#[test]
fn a_released_cut_outside_its_window_is_questioned_though_each_reading_was_known() {
    let site = site();
    site.decided();
    let read = site.line(12)["insideMm"].as_f64().unwrap();
    let longer = format!("{}", read + 40.0);
    site.measure(12, &longer, "cut");
    site.issue(12);
    assert_eq!(site.line(12)["outside"], Value::Null);
    for _ in 0..6 {
        site.measure(12, &longer, "cut");
    }
    let line = site.line(12);
    assert!(site.stands(12), "the same value moves no ground: {line}");
    assert!(line["outside"].is_string(), "{line}");
    let question = site.tick(12, false).unwrap_err();
    assert_eq!(question.code, ErrorCode::Questioned);
    assert!(question.message.contains("window"), "{question}");
    site.tick(12, true).unwrap();
}

#[test]
fn tensions_are_marked_by_a_longer_bay_and_by_the_first_value_of_what_was_not_told() {
    let site = site();
    let sign =
        json!({"job": site.job, "stage": "beforeOrdering", "statement": "as far as it goes"});
    site.ann.call("signOff", sign);
    site.decided();
    let moved = || site.run()["tensionsMoved"] == true;
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let signed = &view["signOffs"].as_array().unwrap()[0];
    assert_eq!(signed["moved"], false, "the heads tell what came after it");
    let bay = site.run()["bays"][0].clone();
    let clear = bay["clearMm"].as_f64().unwrap();
    let measure = |length: f64| {
        site.ann.call(
            "measureBay",
            json!({"job": site.job, "bay": bay["subject"], "length": {"text": format!("{length}")},
                "along": "level", "instrument": "tape", "confirmed": true}),
        )
    };
    measure(clear);
    measure(clear - 3.0);
    assert!(!moved(), "the longest counts");
    measure(clear + 3.0);
    assert!(moved());
    site.decided();
    assert!(!moved());
    let post = site.run()["posts"][0]["subject"]
        .as_str()
        .unwrap()
        .to_owned();
    site.say(&post, "tensionLimit", "", json!({"mn": 1_000_000}));
    assert!(moved());
    site.decided();
    assert!(!moved());
}

#[test]
fn a_picture_of_a_defect_tells_the_defect_and_a_table_of_newtons_no_millimetres() {
    let site = site();
    let defect = site.ann.call(
        "addThing",
        json!({"job": site.job, "thing": "defect",
            "fields": [{"field": "found", "value": "A7 is pinched at A3"}]}),
    )["created"]
        .clone();
    let text = b"a letter";
    let upload = "abcdefghij0123456789";
    site.ann.app.uploads.add(upload, 0, text).unwrap();
    let shows = json!([{"subject": defect, "evidence": "defectBefore"}]);
    let add = |job: &str| {
        let request = json!({"job": job, "source": {"kind": "upload", "upload": upload, "bytes": text.len()},
            "name": "letter.txt", "shows": shows});
        site.ann.try_call("addDocument", request)
    };
    // The act fails: the upload stays, and the same request works once the reason is gone.
    let elsewhere = "a".repeat(26);
    assert!(add(&elsewhere).is_err());
    add(&site.job).unwrap();
    assert!(add(&site.job).is_err(), "the upload is let go of");
    let view = site.ann.call("readJob", json!({"job": site.job}));
    assert_eq!(
        view["documents"][0]["shows"][0]["name"],
        "defect: A7 is pinched at A3"
    );

    let found = site.ask("beforeOrdering");
    let findings = found["findings"].as_array().unwrap();
    let in_newtons: Vec<&Value> = findings
        .iter()
        .filter(|f| f["required"]["unit"] == "N")
        .collect();
    assert!(!in_newtons.is_empty());
    for finding in findings {
        for part in ["actual", "margin"] {
            let unit = &finding[part]["unit"];
            let asked = &finding["required"]["unit"];
            assert!(
                unit.is_null() || asked.is_null() || unit == asked,
                "{finding:#}"
            );
        }
    }
}

#[test]
fn a_bay_that_no_row_reaches_is_asked_about_and_the_other_bays_stay_a_floor() {
    let site = site();
    let long = site.run()["bays"][3]["subject"].clone();
    let known = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": long}));
    let over = known["facts"][0]["words"][0]["entry"].clone();
    site.ann.call(
        "measureBay",
        json!({"job": site.job, "bay": long, "length": {"text": "2600"}, "along": "level",
            "instrument": "tape", "over": [over], "confirmed": true}),
    );
    let plan = site.ask("tensionPlan");
    assert_eq!(plan["required"]["newtons"], 1330.0);
    assert_eq!(plan["openBays"][0]["name"], "A4–A5");
    // Below the floor, both are asked; at it, the open bay still is.
    for (required, below) in [(500.0, true), (1330.0, false)] {
        let asked = site
            .decide(Site::tensions(required, 1500.0, 1800.0), false)
            .unwrap_err();
        assert_eq!(asked.code, ErrorCode::Questioned);
        assert!(
            asked.message.contains("Bay A4–A5") && asked.message.contains("no tension answers"),
            "{}",
            asked.message
        );
        assert_eq!(asked.message.contains("500 N is below the 1330 N"), below);
    }
    site.decide(Site::tensions(1330.0, 1500.0, 1800.0), true)
        .unwrap();
    let tensions = site.run()["tensions"].clone();
    let origin = tensions["requiredOrigin"].as_str().unwrap().to_owned();
    assert!(origin.contains("no figure for bay A4–A5"), "{origin}");
}

#[test]
fn both_questions_about_a_length_are_put_at_once() {
    let site = site();
    site.decided();
    site.issue(2);
    let read = |confirmed: bool| {
        let request = json!({"wire": 2, "length": {"text": "7450"}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape",
            "confirmed": confirmed});
        site.ann.try_call("measure", site.on_run(request))
    };
    let asked = read(false).unwrap_err();
    assert_eq!(asked.code, ErrorCode::Questioned);
    for words in [
        "mm away from wire",
        "A2 is released at",
        "it would have to lie within",
    ] {
        assert!(asked.message.contains(words), "{words}: {}", asked.message);
    }
    read(true).unwrap();
}

#[test]
fn no_cut_is_told_to_lie_below_nothing() {
    let site = site();
    site.decided();
    site.issue(2);
    let request = json!({"wire": 2, "length": {"text": "7.3"}, "purpose": "cut",
        "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape"});
    let asked = site
        .ann
        .try_call("measure", site.on_run(request))
        .unwrap_err();
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(
        asked
            .message
            .contains("nothing could be cut for a length of 7.3 mm"),
        "{}",
        asked.message
    );
    assert!(!asked.message.contains("within −"), "{}", asked.message);
    assert!(!asked.message.contains("within -"), "{}", asked.message);
}

//! Decisions keep what they were made on: origins and the figures shown; what can't be is refused.

use crate::common::surveyed::{Site, site};
use api::ErrorCode;
use records::work;
use serde_json::{Value, json};

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
    // The yes is kept with the question that it answers.
    let run = format!("run:{}", site.run);
    let request = json!({"job": site.job, "subject": run});
    let view = site.ann.call("readSubject", request);
    let mut facts = view["facts"].as_array().unwrap().iter();
    let decided = facts.find(|f| f["field"] == "tensions").unwrap();
    let told = decided["words"][0]["with"]["numbers"].as_array().unwrap();
    let mut asked_before = told.iter().filter(|n| n["name"] == work::ASKED);
    let kept = asked_before.next().unwrap()["value"].as_str().unwrap();
    assert!(kept.contains("1330 N is below the"), "{kept}");
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
    assert_eq!(plan["decidedUpperFrom"], "the strand");
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

#[test]
fn what_a_handover_goes_without_is_said_in_one_act_or_not_at_all() {
    let site = site();
    let lacks = || site.ann.call("lacks", json!({"job": site.job}));
    let keys = |of: &Value, state: &str| -> Vec<String> {
        let items = of["items"].as_array().unwrap().iter();
        let items = items.filter(|item| item["state"] == state);
        items
            .map(|item| item["key"].as_str().unwrap().to_owned())
            .collect()
    };
    let lacking = keys(&lacks(), "lacking");
    let two = lacking[..2].to_vec();
    let waive =
        |keys: &[String], reason: &str| json!({"job": site.job, "keys": keys, "reason": reason});
    // One that is not in the list keeps the others from being saved.
    let mut with_strange = two.clone();
    with_strange.push("nothing/like/it".into());
    for keys in [with_strange, Vec::new()] {
        let refused = site.ann.refused("waiveEvidence", waive(&keys, "not built"));
        assert_eq!(refused.code, ErrorCode::NotFound);
    }
    assert_eq!(keys(&lacks(), "waived"), Vec::<String>::new());
    let said = site.ann.call("waiveEvidence", waive(&two, "not built"));
    assert_eq!(said["entries"].as_array().unwrap().len(), 2, "{said}");
    let mut waived = keys(&lacks(), "waived");
    waived.sort();
    let mut asked = two.clone();
    asked.sort();
    assert_eq!(waived, asked);
    site.ann.call("waiveEvidence", waive(&two, ""));
    assert_eq!(keys(&lacks(), "waived"), Vec::<String>::new());
}

//! The crew's own rule sets, strands and fitting sets: kept, shared, used in jobs, told as changed. One file past 400
//! lines, since what is kept is followed into the job that uses it by the same few helpers.

use crate::common::worked::Site;
use crate::common::{Device, meet};
use serde_json::{Value, json};

fn said(answer: &Value) -> String {
    answer.as_str().unwrap().to_owned()
}

fn id(recorded: &Value) -> String {
    said(&recorded["created"])
        .split_once(':')
        .unwrap()
        .1
        .to_owned()
}

fn keep_higher(site: &Site) -> String {
    let from = json!({"kind": "changes", "name": "au-2022", "title": "Harbour shire",
        "changes": [{"path": "/leastHeights/0/leastMm", "value": 1100}]});
    let kept = site.ann.call(
        "keepRuleSet",
        json!({"from": from, "why": "the shire asks for 1.1 m"}),
    );
    id(&kept)
}

/// A handover's README and its table of the rule set.
fn handed_over(site: &Site) -> (String, String) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    site.ann
        .run_task("startHandover", json!({"job": site.job, "folder": folder}));
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    (read("README.txt"), read("data/rule-set.csv"))
}

#[test]
fn a_changed_set_says_so_wherever_it_is_used() {
    let site = Site::of_run(0);
    let before = site.ask("beforeOrdering");
    assert!(before["ruleSet"]["changed"].is_null());
    assert!(!before.to_string().contains("set changed by its users"));
    let own = keep_higher(&site);
    site.ann.call(
        "useRuleSet",
        json!({"job": site.job, "name": own, "confirmed": true}),
    );
    let after = site.ask("beforeOrdering");
    let changed = said(&after["ruleSet"]["changed"]);
    assert!(
        changed.contains("au-2022 with 1 change: ann, 2026-"),
        "{changed}"
    );
    assert!(changed.contains("the shire asks for 1.1 m"));
    assert!(
        changed.contains("Changed: least height, level, from 1000 mm to 1100 mm."),
        "{changed}"
    );
    let height = after["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["topic"] == "height")
        .unwrap();
    assert_eq!(height["required"]["value"], 1100.0);
    assert_eq!(height["source"]["status"], "own");
    assert!(said(&height["source"]["document"]).ends_with("(set changed by its users)"));
    assert!(said(&after["tension"]["required"]["origin"]).contains("set changed by its users"));
    let sheet = site.ask("cutSheet");
    assert!(
        sheet["notes"]
            .to_string()
            .contains("the shire asks for 1.1 m"),
        "{}",
        sheet["notes"]
    );
    let plan = site.ann.call("cutPlan", json!({"job": site.job}));
    for told in [site.ask("tensions"), site.ask("holeSchedule"), plan] {
        let notes = told["notes"].to_string();
        assert!(notes.contains("the shire asks for 1.1 m"), "{notes}");
    }
    let drawn = site.ask("drawRun").to_string();
    assert!(drawn.contains("Rule set changed by its users"));
    let (readme, table) = handed_over(&site);
    assert!(
        readme.contains(&changed) && table.contains("1 change"),
        "{readme}{table}"
    );
    let proposed = site.ask("layOut");
    assert_eq!(said(&proposed["ruleSet"]["changed"]), changed);
    // Told also where it is chosen, with the figures that differ.
    let sets = site.ann.call("ruleSetsFor", json!({"job": site.job}));
    assert_eq!(said(&sets["standing"]["changed"]), changed);
    // Back to the program's own: nothing says so any more.
    site.ann.call(
        "useRuleSet",
        json!({"job": site.job, "name": "au-2022", "confirmed": true}),
    );
    assert!(site.ask("beforeOrdering")["ruleSet"]["changed"].is_null());
    let (readme, table) = handed_over(&site);
    assert!(
        !readme.contains(" changed") && !table.contains("1 change"),
        "{readme}{table}"
    );
    assert!(!site.ask("drawRun").to_string().contains("Rule set changed"));
}

#[test]
fn a_table_that_asks_less_for_a_longer_bay_waits_for_a_yes() {
    let site = Site::surveyed(0);
    let shown = site.ann.call("ruleFigures", json!({"name": "au-2022"}));
    let mut file: Value = serde_json::from_str(shown["file"]["text"].as_str().unwrap()).unwrap();
    let lines = file["wires"]["tension"]["lines"].as_array_mut().unwrap();
    let row = lines
        .iter_mut()
        .find(|l| l["diameterMm"] == 3.0 && l["lay"] == "1x19" && l["spacingMm"] == 80)
        .unwrap();
    row["leastN"][5] = json!(133);
    let keep = |confirmed: bool| {
        json!({"from": {"kind": "file", "text": file.to_string()}, "why": "typed off",
            "confirmed": confirmed})
    };
    let asked = site.ann.refused("keepRuleSet", keep(false));
    assert_eq!(asked.code, api::ErrorCode::Questioned, "{}", asked.message);
    assert!(
        asked.message.contains("133 N asks less than 1025 N"),
        "{}",
        asked.message
    );
    assert!(asked.message.ends_with('?'), "{}", asked.message);
    let libraries = site.ann.call("libraries", json!({}));
    assert_eq!(libraries["own"]["ruleSets"], json!([]), "nothing was kept");
    let own = id(&site.ann.call("keepRuleSet", keep(true)));
    // Wherever it is used it says so.
    site.ann
        .call("useRuleSet", json!({"job": site.job, "name": own}));
    let told = said(&site.ask("beforeOrdering")["ruleSet"]["changed"]);
    assert!(told.contains("133 N asks less than 1025 N"), "{told}");
}

#[test]
fn a_figure_a_digit_off_waits_for_a_yes() {
    let site = Site::surveyed(0);
    let keep = |path: &str, value: f64, confirmed: bool| {
        let from = json!({"kind": "changes", "name": "au-2022", "title": "Shire",
            "changes": [{"path": path, "value": value}]});
        json!({"from": from, "why": "typed off", "confirmed": confirmed})
    };
    for (path, value) in [
        ("/openings/0/sphereMm", 12.5),
        ("/leastHeights/0/leastMm", 100.0),
        ("/faceGap/mostMm", 400.0),
    ] {
        let asked = site.ann.refused("keepRuleSet", keep(path, value, false));
        assert_eq!(asked.code, api::ErrorCode::Questioned, "{}", asked.message);
        assert!(asked.message.ends_with("print it so?"), "{}", asked.message);
    }
    let libraries = site.ann.call("libraries", json!({}));
    assert_eq!(libraries["own"]["ruleSets"], json!([]), "nothing was kept");
    site.ann
        .call("keepRuleSet", keep("/openings/0/sphereMm", 12.5, true));
    let kept = site.ann.call("libraries", json!({}))["own"]["ruleSets"][0]["changed"].clone();
    assert!(said(&kept).contains("from 125 mm to 12.5 mm"), "{kept}");
    // A yes answers no figure that can't be.
    let refused = site
        .ann
        .refused("keepRuleSet", keep("/barrierNeeded/fallMm", 0.0, true));
    assert_eq!(refused.code, api::ErrorCode::Invalid);
    let words = "the fall from which a barrier is asked for (barrierNeeded.fallMm) is 0 mm";
    assert!(refused.message.contains(words), "{}", refused.message);
}

#[test]
fn a_job_keeps_its_copy_when_the_crew_changes_or_drops_the_set() {
    let site = Site::surveyed(0);
    let own = keep_higher(&site);
    site.ann
        .call("useRuleSet", json!({"job": site.job, "name": own}));
    let hash = site.ask("beforeOrdering")["ruleSet"]["sha256"].clone();
    let from = json!({"kind": "changes", "name": own,
        "changes": [{"path": "/leastHeights/0/leastMm", "value": 1200}]});
    site.ann.call(
        "keepRuleSet",
        json!({"from": from, "why": "higher still", "id": own}),
    );
    let libraries = site.ann.call("libraries", json!({}));
    let sets = libraries["own"]["ruleSets"].as_array().unwrap();
    assert_eq!(sets.len(), 1);
    assert!(said(&sets[0]["changed"]).contains("higher still"));
    assert_eq!(site.ask("beforeOrdering")["ruleSet"]["sha256"], hash);
    site.ann.call(
        "dropOwn",
        json!({"subject": format!("ruleSet:{own}"), "reason": "not used"}),
    );
    assert_eq!(
        site.ann.call("libraries", json!({}))["own"]["ruleSets"],
        json!([])
    );
    assert_eq!(site.ask("beforeOrdering")["ruleSet"]["sha256"], hash);
    let gone = site
        .ann
        .refused("useRuleSet", json!({"job": site.job, "name": own}));
    assert_eq!(gone.code, api::ErrorCode::NotFound);
}

#[test]
fn a_file_goes_out_and_comes_back_and_what_is_wrong_is_named() {
    let site = Site::surveyed(0);
    let shown = site.ann.call("ruleFigures", json!({"name": "nz-f4"}));
    let mut file: Value = serde_json::from_str(shown["file"]["text"].as_str().unwrap()).unwrap();
    let keep = |text: String| json!({"from": {"kind": "file", "text": text}, "why": "trial"});
    let same = site.ann.refused("keepRuleSet", keep(file.to_string()));
    assert!(same.message.contains("Nothing differs"), "{}", same.message);
    file["openings"][0]["sphereMm"] = json!(90);
    let kept = id(&site.ann.call("keepRuleSet", keep(file.to_string())));
    let figures = site.ann.call("ruleFigures", json!({"name": kept}));
    let sphere = figures["figures"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["path"] == "/openings/0/sphereMm")
        .unwrap();
    assert_eq!(
        (sphere["mm"].as_f64(), sphere["status"].as_str()),
        (Some(90.0), Some("own"))
    );
    for (change, word) in [
        (json!({"openings": []}), "no figure for the place"),
        (json!({"barrierNeeded": null}), "no rule set"),
        (json!({"colour": 1}), "unknown field `colour`"),
    ] {
        let mut broken = file.clone();
        for (name, value) in change.as_object().unwrap() {
            broken[name] = value.clone();
        }
        let refused = site.ann.refused("keepRuleSet", keep(broken.to_string()));
        assert_eq!(refused.code, api::ErrorCode::Invalid);
        assert!(refused.message.contains(word), "{}", refused.message);
        assert!(
            refused.message.ends_with("Nothing was saved."),
            "{}",
            refused.message
        );
    }
    let huge = site.ann.refused("keepRuleSet", keep(" ".repeat(60_000)));
    assert!(huge.message.contains("60000 bytes"), "{}", huge.message);
    let silent = json!({"from": {"kind": "file", "text": file.to_string()}, "why": " "});
    assert!(
        site.ann
            .refused("keepRuleSet", silent)
            .message
            .contains("Say why")
    );
}

#[test]
fn the_offered_sets_follow_the_permits_date_and_one_out_of_date_is_told() {
    let site = Site::surveyed(0);
    let sets = || site.ann.call("ruleSetsFor", json!({"job": site.job}));
    let of = |sets: &Value, name: &str| {
        let mut all = sets["choices"].as_array().unwrap().iter();
        all.find(|c| c["name"] == name).unwrap().clone()
    };
    let now = sets();
    assert_eq!(now["choices"].as_array().unwrap().len(), 6);
    assert_eq!(now["permit"], "2026-09-02");
    assert_eq!(of(&now, "au-2022")["fit"], "inForce");
    assert_eq!(of(&now, "nz-f4")["fit"], "notKnown");
    // Each with its edition, and its first day where that is known.
    let edition = &of(&now, "au-2022")["edition"];
    assert_eq!(edition, "2022, print of 1 May 2023");
    assert_eq!(of(&now, "au-2022")["firstDay"], "2023-05-01");
    assert!(of(&now, "nz-f4")["firstDay"].is_null());
    // The same before there is a job, by the day that is typed.
    let on = |asked: Value| site.ann.call("ruleSetsOn", asked);
    let fit = |sets: &Value| of(sets, "au-2022")["fit"].clone();
    assert_eq!(
        on(json!({"permit": "2026-09-02"}))["choices"],
        now["choices"]
    );
    assert_eq!(fit(&on(json!({"permit": "2022-06-01"}))), "notYet");
    assert_eq!(fit(&on(json!({}))), "notKnown");
    let wrong = site.ann.refused("ruleSetsOn", json!({"permit": "2 Sept"}));
    assert_eq!(wrong.code, api::ErrorCode::Invalid);
    // Asked before a run of level wires is begun, where the fall reaches the rule or is not told: the worked job's,
    // 1602 mm, does not, and it is no pool.
    assert_eq!(now["askFirst"], json!([]));
    let high = json!({"subject": format!("job:{}", site.job), "field": "fall", "value": {"nm": 4_500_000_000_i64}});
    site.ann.call(
        "say",
        json!({"job": site.job, "claims": [high], "confirmed": true}),
    );
    let now = site.ann.call("ruleSetsFor", json!({"job": site.job}));
    let asks = now["askFirst"].as_array().unwrap();
    assert_eq!(asks.len(), 1, "{asks:?}");
    let climbing = said(&asks[0]);
    assert!(
        climbing.contains("more than 4000 mm") && climbing.contains("between 150 mm and 760 mm"),
        "{climbing}"
    );
    assert_eq!(on(json!({}))["askFirst"], json!([]));
    assert_eq!(of(&now, "us-ibc")["notRead"], true);
    // A warning without a figure is one, and is asked with the choice.
    let warned = of(&now, "uk-adk-2013")["warnings"].to_string();
    assert!(
        warned.contains("horizontal wires are such rails"),
        "{warned}"
    );
    assert!(site.ask("beforeOrdering")["ruleSet"]["outOfDate"].is_null());
    let early = json!([{"subject": format!("job:{}", site.job), "field": "permitDate", "value": "2022-06-01"}]);
    site.ann
        .call("say", json!({"job": site.job, "claims": early}));
    let then = sets();
    assert_eq!(of(&then, "au-2022")["fit"], "notYet");
    assert_eq!(then["standing"]["fit"], "notYet");
    let told = said(&site.ask("beforeOrdering")["ruleSet"]["outOfDate"]);
    assert!(
        told.contains("counts from 2023-05-01 (from memory), after the permit of 2022-06-01"),
        "{told}"
    );
}

pub(crate) fn figure(n: i64, page: u32) -> Value {
    json!({"n": n, "origin": format!("sheet T-4, page {page}")})
}

pub(crate) fn fitting() -> Value {
    let terminal = json!({"overallNm": figure(70_000_000, 1), "insertionNm": figure(30_000_000, 1),
        "threadNm": figure(30_000_000, 1), "leastEngagementNm": figure(8_000_000, 2),
        "lockNutNm": figure(3_200_000, 2), "threadDiameterNm": figure(6_000_000, 1),
        "holeNm": figure(8_500_000, 3), "holeDepthNm": figure(40_000_000, 3)});
    json!({"kind": "insert", "left": terminal, "right": terminal, "set": {
        "throughHoleNm": figure(9_000_000, 3), "permille": figure(700, 4), "factorPercent": figure(300, 4)}})
}

#[test]
fn what_one_keeps_another_uses_in_a_job_of_the_crew() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let folder = dir.path().join("shared");
    std::fs::create_dir_all(&folder).unwrap();
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    meet(&ann, &ben, &folder, "installer");
    let sheet = json!({"construction": "1x19", "figures": {
        "diameterNm": figure(3_200_000, 1), "breakingMn": figure(8_900_000, 1)}});
    let strand = id(&ann.call(
        "keepStrand",
        json!({"name": "3.2, as bought", "sheet": sheet}),
    ));
    let set = id(&ann.call(
        "keepFittingSet",
        json!({"name": "M6, as bought", "sheet": fitting()}),
    ));
    ann.sync();
    ben.sync();
    let own = ben.call("libraries", json!({}))["own"].clone();
    assert_eq!(own["strands"][0]["name"], "3.2, as bought");
    assert!(
        own["strands"][0]["bands"]
            .to_string()
            .contains("Over 5 m 1000 N")
    );
    assert_eq!(own["fittingSets"][0]["asks"], json!([]));
    let job = id(&ben.call(
        "beginJob",
        json!({"title": "Another deck", "place": "Reef 3"}),
    ));
    ben.call("useStrand", json!({"job": job, "name": strand}));
    ben.call("useFittingSet", json!({"job": job, "name": set}));
    let view = ben.call("readJob", json!({"job": job}));
    let told = |kind: &str, list: &str| {
        let subject = view[list][0]["subject"].clone();
        assert!(subject.as_str().unwrap().starts_with(kind));
        ben.call("readSubject", json!({"job": job, "subject": subject}))
            .to_string()
    };
    let strand = told("strand:", "strands");
    assert!(
        strand.contains("sheet T-4, page 1") && strand.contains("assumed: metallic area"),
        "{strand}"
    );
    let set = told("fittingSet:", "fittingSets");
    assert!(
        set.contains("\"left.holeNm\":\"sheet T-4, page 3\""),
        "{set}"
    );
    assert!(set.contains("assumed: two turns of thread"));
    // Efficiency and factor are from one page: their fact says so itself.
    assert!(set.contains("\"origin\":\"sheet T-4, page 4\""), "{set}");
}

#[test]
fn a_job_holds_where_each_figure_of_its_fitting_set_is_from() {
    let site = Site::surveyed(0);
    let origin = |subject: &Value, field: &str| {
        let asked = json!({"job": site.job, "subject": subject});
        let told = site.ann.call("readSubject", asked);
        let facts = told["facts"].as_array().unwrap();
        let fact = facts.iter().find(|f| f["field"] == field);
        let fact = fact.unwrap_or_else(|| panic!("{field} in {told}"));
        fact["words"][0]["with"]["origin"]
            .as_str()
            .map(str::to_owned)
    };
    let newest = || {
        let view = site.ann.call("readJob", json!({"job": site.job}));
        let sets = view["fittingSets"].as_array().unwrap();
        sets.iter()
            .map(|set| set["subject"].clone())
            .collect::<Vec<_>>()
    };
    let used = |name: &str| {
        let before = newest();
        site.ann
            .call("useFittingSet", json!({"job": site.job, "name": name}));
        newest()
            .into_iter()
            .find(|set| !before.contains(set))
            .unwrap()
    };
    let set = used("m6-insert");
    let of = |field: &str| origin(&set, field).unwrap();
    assert_eq!(of("throughHole"), "example figure, no source");
    assert!(of("fixedDeduction").starts_with("common practice, no source"));
    assert_eq!(
        of("efficiency"),
        "terminal efficiency: example figure, no source, ask for that of your terminal; factor: example \
         figure, no source, your designer's to say"
    );
    // Of an own set every figure that it tells beside its terminals.
    let mut sheet = fitting();
    for (name, n, page) in [
        ("factorPercent", 300, 9),
        ("insertPullMn", 6_000_000, 5),
        ("threadLimitMn", 4_000_000, 6),
    ] {
        sheet["set"][name] = figure(n, page);
    }
    let kept = id(&site.ann.call(
        "keepFittingSet",
        json!({"name": "M6, as bought", "sheet": sheet}),
    ));
    let set = used(&kept);
    let of = |field: &str| origin(&set, field).unwrap();
    assert_eq!(of("throughHole"), "sheet T-4, page 3");
    assert_eq!(
        of("efficiency"),
        "terminal efficiency: sheet T-4, page 4; factor: sheet T-4, page 9"
    );
    assert_eq!(of("insertPull"), "sheet T-4, page 5");
    assert_eq!(of("threadLimit"), "sheet T-4, page 6");
}

#[test]
fn an_own_set_with_inch_threads_is_kept_and_used() {
    let site = Site::surveyed(0);
    let mut sheet = fitting();
    for hand in ["left", "right"] {
        sheet[hand]["threadDiameterNm"] = figure(6_350_000, 1);
    }
    let keep = |sheet: &Value| json!({"name": "1/4-20", "sheet": sheet});
    let refused = site.ann.refused("keepFittingSet", keep(&sheet));
    assert_eq!(
        refused.message.matches("tell its pitch too").count(),
        1,
        "{}",
        refused.message
    );
    for hand in ["left", "right"] {
        sheet[hand]["pitchNm"] = figure(1_270_000, 1);
    }
    let kept = id(&site.ann.call("keepFittingSet", keep(&sheet)));
    let own = site.ann.call("libraries", json!({}))["own"].clone();
    let bands = own["fittingSets"][0]["bands"].as_array().unwrap().clone();
    let different: std::collections::BTreeSet<String> =
        bands.iter().map(ToString::to_string).collect();
    assert_eq!((bands.len(), different.len()), (4, 4), "{bands:?}");
    site.ann
        .call("useFittingSet", json!({"job": site.job, "name": kept}));
}

#[test]
fn an_unknown_figure_is_asked_for_before_a_job_can_use_it() {
    let site = Site::surveyed(0);
    let mut sheet = fitting();
    sheet["left"]
        .as_object_mut()
        .unwrap()
        .remove("leastEngagementNm");
    let kept = id(&site.ann.call(
        "keepFittingSet",
        json!({"name": "M6, half told", "sheet": sheet}),
    ));
    let refused = site
        .ann
        .refused("useFittingSet", json!({"job": site.job, "name": kept}));
    assert!(
        refused
            .message
            .contains("What is the least engagement, left hand?"),
        "{}",
        refused.message
    );
    // Told later under the same id, it can be used.
    let told = json!({"id": kept, "name": "M6, told", "sheet": fitting()});
    site.ann.call("keepFittingSet", told);
    let own = site.ann.call("libraries", json!({}))["own"].clone();
    assert_eq!(own["fittingSets"].as_array().unwrap().len(), 1);
    site.ann
        .call("useFittingSet", json!({"job": site.job, "name": kept}));
    let mut absurd = fitting();
    absurd["left"]["overallNm"] = figure(-1, 1);
    absurd["right"]["colour"] = figure(1, 1);
    let refused = site
        .ann
        .refused("keepFittingSet", json!({"name": "x", "sheet": absurd}));
    assert!(
        refused.message.contains("Length of the stud overall")
            && refused.message.contains("colour"),
        "{}",
        refused.message
    );
    let stray = json!({"id": site.run, "name": "x", "sheet": fitting()});
    assert_eq!(
        site.ann.refused("keepFittingSet", stray).code,
        api::ErrorCode::NotFound
    );
    let job = json!({"subject": format!("job:{}", site.job), "reason": "x"});
    assert_eq!(
        site.ann.refused("dropOwn", job).code,
        api::ErrorCode::NotFound
    );
}

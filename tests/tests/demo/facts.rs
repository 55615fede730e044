//! What was surveyed and brought: every plain fact of the worked job stands in the record.

use std::collections::BTreeSet;

use api::App;
use serde_json::{Value, json};

use crate::look::{State, at, list, num, text};
use crate::{WORKED, fixtures, to_the_end};

fn mm(value: &Value) -> f64 {
    num(value, "/nm") / 1e6
}

#[test]
fn site_people_and_dates() {
    let s = &WORKED.state;
    for (field, value) in [
        ("place", json!("14 Quillback Rise, Port Hesper")),
        ("owner", json!("R. Ambrose-Finch")),
        ("certifier", json!("D. Okellan")),
        ("permitDate", json!("2026-09-02")),
        ("fall", json!({"nm": 1_602_000_000})),
        ("below", json!("paving")),
        ("pool", json!(false)),
        ("children", json!(true)),
        ("saltDistance", json!({"nm": 900_000_000_000_u64})),
        ("steel", json!("316: surf at 900 m")),
    ] {
        assert_eq!(s.job(field), &value, "{field}");
    }
    assert_eq!(text(s.job("ruleSet"), "/name"), "au-2022");
    let view = WORKED.on_job("readJob");
    let documents = list(&view, "/documents");
    assert_eq!(text(&documents[0], "/caption"), "EL-017.txt");
    assert_eq!(text(&documents[0], "/shows/0/evidence"), "engineersLetter");
    let days: Vec<_> = ["2026-10-06", "2026-10-26", "2026-10-27", "2026-11-10"].into();
    let mut visits: Vec<(&str, &str)> = Vec::new();
    for visit in list(&view, "/visits") {
        let subject = text(visit, "/subject");
        let day = s.said(subject, "day", "").as_str().unwrap();
        assert!(!text(s.said(subject, "leftSafe", ""), "/how").is_empty());
        visits.push((day, s.said(subject, "who", "").as_str().unwrap()));
    }
    visits.sort_unstable();
    assert_eq!(visits.iter().map(|v| v.0).collect::<Vec<_>>(), days);
    assert_eq!(
        visits.iter().map(|v| v.1).collect::<Vec<_>>(),
        ["Ann", "Ben", "Ben", "Ben"]
    );
    let roles: Vec<_> = list(&WORKED.told, "/devices")
        .iter()
        .map(|d| text(d, "/device"))
        .collect();
    assert_eq!(roles, ["ann", "ben", "office"]);
}

#[test]
fn gauge_and_its_dates() {
    let gauge = |field| WORKED.state.of_thing("tool", "G-02", field, "");
    assert_eq!(gauge("errorPer10000"), &json!(400));
    assert_eq!(gauge("comparedOn"), &json!("2026-08-18"));
    assert_eq!(gauge("due"), &json!("2027-08-18"));
    let mass = WORKED.state.of_thing("tool", "mass 2 kg", "massMg", "");
    assert_eq!(mass, &json!(1_998_000));
}

#[test]
fn posts_rails_floors_and_bays() {
    let s = &WORKED.state;
    let run_a = s.id("run", "A");
    // Floor levels of run A as told; those of the stair follow its slope of 178 to 250.
    for (post, side, floor) in [
        ("A1", 115, 0),
        ("A2", 90, -3),
        ("A3", 90, -5),
        ("A4", 90, -8),
        ("A4a", 90, -9),
        ("A5", 90, -10),
        ("A6", 115, -12),
        ("B2", 90, -786),
        ("B3", 115, -1561),
    ] {
        let of = |field| s.of_thing("post", post, field, "");
        assert_eq!(mm(of("floor")), f64::from(floor), "{post}");
        let nm = side * 1_000_000;
        assert_eq!(
            of("section"),
            &json!({"alongNm": nm, "acrossNm": nm}),
            "{post}"
        );
        assert_eq!(num(of("material"), "/modulusMpa"), 14_000.0);
        assert_eq!(num(of("base"), "/spacingNm"), 250e6);
    }
    for (post, level) in [("B2", 1087.5), ("B3", 2175.0)] {
        let along = -12.0 - level * 178.0 / 250.0;
        let floor = mm(s.of_thing("post", post, "floor", ""));
        assert!((floor - along).abs() < 1.0, "{post}: {floor}, {along}");
    }
    let rail = s.of_thing("run", "A", "rail", "");
    for (path, expected) in [
        ("/undersideNm", 985e6),
        ("/thicknessNm", 35e6),
        ("/stiffnessNPerM", 500_000.0),
        ("/stiffnessHeightNm", 1e9),
    ] {
        assert_eq!(num(rail, path), expected, "{path}");
    }
    let rail = s.of_thing("run", "B", "rail", "");
    assert_eq!(
        (num(rail, "/undersideNm"), num(rail, "/thicknessNm")),
        (836e6, 45e6)
    );
    let slope = s.of_thing("run", "B", "slope", "");
    let (rise, going) = (num(slope, "/riseNm"), num(slope, "/goingNm"));
    assert_eq!((rise, going, num(slope, "/risers")), (178e6, 250e6, 9.0));
    assert!(((rise / going).atan().to_degrees() - 35.45).abs() < 0.005);
    assert_eq!(rise * num(slope, "/risers"), mm(s.job("fall")) * 1e6);
    for (run, step, count) in [("A", 76, 12), ("B", 93, 8)] {
        let heights: Vec<i64> = (1..=count).map(|n| n * step * 1_000_000).collect();
        let told = s.of_thing("run", run, "wireHeights", "");
        assert_eq!(told, &json!({"nm": heights}), "{run}");
    }
    let wall = s.of_thing("post", "A1", "opening", "wall");
    assert_eq!(mm(wall), 62.0);
    // The top gap of run A as planned: 985 less 912; as measured, less half the strand and a bit.
    let rail = s.of_thing("run", "A", "rail", "");
    let heights = s.of_thing("run", "A", "wireHeights", "");
    assert_eq!(num(rail, "/undersideNm") - num(heights, "/nm/11"), 73e6);
    assert_eq!(mm(s.said(&format!("run:{run_a}"), "opening", "rail")), 71.0);
    let view = WORKED.on_job("readJob");
    let bays = |run: usize| -> Vec<(String, f64)> {
        list(&view, &format!("/runs/{run}/bays"))
            .iter()
            .map(|bay| (text(bay, "/name").to_owned(), num(bay, "/clearMm")))
            .collect()
    };
    let named = |bays: &[(&str, f64)]| -> Vec<(String, f64)> {
        bays.iter().map(|(n, c)| ((*n).to_owned(), *c)).collect()
    };
    assert_eq!(
        bays(0),
        named(&[
            ("A1–A2", 1380.0),
            ("A2–A3", 1410.0),
            ("A3–A4", 1395.0),
            ("A4–A4a", 735.0),
            ("A4a–A5", 735.0),
            ("A5–A6", 1195.0)
        ])
    );
    assert_eq!(bays(1), named(&[("A6–B2", 985.0), ("B2–B3", 985.0)]));
    // As surveyed the bay was 1560; it stands no more in the layout, and is kept.
    let (a4, a5) = (s.id("post", "A4"), s.id("post", "A5"));
    let subject = format!("bay:{}:{}", a4.min(a5), a4.max(a5));
    assert_eq!(mm(s.said(&subject, "clear", "")), 1560.0);
    // The post A4a parts it: 735 + 90 + 735.
    let note = s.of_thing("run", "A", "note", "");
    assert!(
        note.as_str()
            .unwrap()
            .contains("template follows the floor")
    );
}

#[test]
fn strand_and_fittings() {
    let s = &WORKED.state;
    let strand = s.of_thing("run", "A", "strand", "").as_str().unwrap();
    let figures = s.said(&format!("strand:{strand}"), "figures", "");
    for (path, expected) in [
        ("/diameterNm", 3.2e6),
        ("/eaMn", 794_597_000.0),
        ("/stretchPpm", 300.0),
        ("/breakingMn", 8_500_000.0),
    ] {
        assert_eq!(num(figures, path), expected, "{path}");
    }
    assert_eq!(text(figures, "/construction"), "1x19");
    let set = s.of_thing("run", "B", "fittingSet", "").as_str().unwrap();
    let subject = format!("fittingSet:{set}");
    let terminals = s.said(&subject, "terminals", "");
    for hand in ["left", "right"] {
        let terminal = at(terminals, &format!("/{hand}"));
        for (name, expected) in [
            ("overallNm", 72.0),
            ("insertionNm", 32.0),
            ("growthNm", 0.0),
            ("threadNm", 30.0),
            ("leastEngagementNm", 8.0),
            ("startNm", 2.0),
            ("reserveNm", 4.0),
            ("lockNutNm", 3.2),
            ("threadDiameterNm", 6.0),
            ("pitchNm", 1.0),
            ("holeNm", 9.0),
            ("holeDepthNm", 42.0),
        ] {
            assert_eq!(num(terminal, &format!("/{name}")) / 1e6, expected, "{name}");
        }
    }
    let efficiency = s.said(&subject, "efficiency", "");
    assert_eq!(num(efficiency, "/permille"), 650.0);
    assert_eq!(num(efficiency, "/factorPercent"), 300.0);
}

/// The survey file is the survey: imported by itself, all that it says stands in the worked job.
#[test]
fn the_survey_file_says_what_the_job_says() {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open(&dir.path().join("data")).unwrap();
    let crew = json!({"crew": "Others", "person": "Ann", "role": "surveyor"});
    api::dispatch(&app, "foundCrew", crew).unwrap();
    let file = fixtures().join("demo/survey.json");
    let source = json!({"source": {"kind": "file", "path": file}});
    let imported = to_the_end(&app, "startImport", source);
    assert_eq!(imported["result"]["problems"], json!([]), "{imported}");
    let request = json!({"job": text(&imported, "/result/job")});
    let alone = State::of(&api::dispatch(&app, "readState", request).unwrap()).named();
    let worked: BTreeSet<_> = WORKED.state.named().into_iter().collect();
    let absent: Vec<_> = alone.iter().filter(|one| !worked.contains(*one)).collect();
    assert_eq!(absent, Vec::<&(String, String, String, String)>::new());
    assert!(alone.len() > 150, "{}", alone.len());
}

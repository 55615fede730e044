//! Rule sets that people write or change: what is kept, what it says of itself, what is refused. One file past
//! 400 lines, since all of it is told of copies of one set.

use mechanics::rules::{RuleSet, Status, document_of, faults, source_note};
use proptest::prelude::*;
use records::library::{
    Author, Day, LARGEST_RULE_SET, RuleChange, RuleFileError, changed, figures, kept, read,
    rule_set, rule_sets,
};
use serde_json::{Value, json};

fn author(why: &str) -> Author<'_> {
    Author {
        by: "Ann",
        on: Day::read("2026-09-20").unwrap(),
        why,
        confirmed: false,
    }
}

fn au() -> Value {
    serde_json::from_str(&rule_set("au-2022").unwrap().text).unwrap()
}

fn keep(value: &Value) -> Result<RuleSet, RuleFileError> {
    kept(&value.to_string(), &author("the shire asks for more"))
        .map(|text| serde_json::from_str(&text).unwrap())
}

fn change(path: &str, value: f64) -> RuleChange {
    RuleChange {
        path: path.to_owned(),
        value,
    }
}

#[test]
fn the_programs_own_sets_have_no_faults() {
    assert_eq!(rule_sets().len(), 6);
    for file in rule_sets() {
        let set: RuleSet = serde_json::from_str(&file.text).unwrap();
        assert_eq!(faults(&set), Vec::<String>::new(), "{}", file.name);
        assert_eq!(document_of(&set), set.document);
    }
}

#[test]
fn a_changed_figure_says_so_with_who_and_why() {
    let base = rule_set("au-2022").unwrap();
    let text = changed(
        &base,
        "",
        &[change("/leastHeights/0/leastMm", 1100.0)],
        &author("the shire asks for more"),
    )
    .unwrap();
    let set: RuleSet = serde_json::from_str(&text).unwrap();
    assert_eq!(set.id, "own-au-2022");
    assert_eq!(set.title, "Australia: housing barriers, 2022 (changed)");
    assert_eq!(set.least_heights[0].least_mm.value(), 1100.0);
    assert_eq!(set.least_heights[0].cite.status, Status::Own);
    // What was left as it stood is still what was read.
    assert_eq!(set.least_heights[1].cite.status, Status::Read);
    let told = set.changed.as_ref().unwrap();
    assert_eq!(
        (told.from.as_deref(), told.by.as_str()),
        (Some("au-2022"), "Ann")
    );
    assert_eq!(told.figures.len(), 1);
    assert_eq!(told.figures[0].path, "/leastHeights/0/leastMm");
    assert_eq!(
        (
            told.figures[0].was.as_deref(),
            told.figures[0].is.as_deref()
        ),
        (Some("1000"), Some("1100"))
    );
    assert_eq!(
        told.sentence(&set),
        "This rule set is au-2022 with 1 change: Ann, 2026-09-20. Changed: least height, level, from 1000 mm to \
         1100 mm. Why: the shire asks for more. Compare it with the document itself."
    );
    let note = source_note(&set, &set.least_heights[0].cite);
    assert!(
        note.document.ends_with("(set changed by its users)"),
        "{}",
        note.document
    );
}

#[test]
fn a_set_changed_twice_is_told_against_the_programs_own() {
    let first = changed(
        &rule_set("au-2022").unwrap(),
        "Shire",
        &[change("/openings/0/sphereMm", 100.0)],
        &author("first"),
    )
    .unwrap();
    let second = changed(
        &read("own", &first).unwrap(),
        "",
        &[change("/faceGap/mostMm", 30.0)],
        &author("second"),
    )
    .unwrap();
    let set: RuleSet = serde_json::from_str(&second).unwrap();
    assert_eq!(set.title, "Shire");
    let told = set.changed.unwrap();
    let paths: Vec<&str> = told.figures.iter().map(|f| f.path.as_str()).collect();
    assert_eq!(told.from.as_deref(), Some("au-2022"));
    assert_eq!(paths, ["/openings/0/sphereMm", "/faceGap/mostMm"]);
    // A file that was printed and kept again tells the same.
    let again: RuleSet = serde_json::from_str(&kept(&second, &author("third")).unwrap()).unwrap();
    assert_eq!(again.changed.unwrap().figures.len(), 2);
}

#[test]
fn a_figure_with_its_own_clause_keeps_the_status_it_was_given() {
    let mut own = au();
    own["openings"][0]["sphereMm"] = json!(100);
    own["openings"][0]["cite"] = json!({"clause": "amendment 2, 11.3.4(4)", "status": "read"});
    let set = keep(&own).unwrap();
    assert_eq!(set.openings[0].cite.status, Status::Read);
    assert!(set.changed.unwrap().figures.len() >= 2);
}

#[test]
fn a_set_of_ones_own_says_that_it_did_not_come_with_the_program() {
    let mut own = au();
    own["id"] = json!("harbour-board");
    own["title"] = json!("Harbour board");
    let set = keep(&own).unwrap();
    assert_eq!(set.id, "harbour-board");
    let told = set.changed.as_ref().unwrap();
    assert_eq!(told.from, None);
    assert!(
        told.sentence(&set)
            .contains("did not come with the program")
    );
}

#[test]
fn figures_for_a_screen_name_clause_and_status() {
    let found = figures(&rule_set("us-irc-2018").unwrap()).unwrap();
    let sphere = found
        .iter()
        .find(|f| f.what == "Sphere that must not pass, stair triangle")
        .unwrap();
    // IRC 2018 R312: 6 in in the triangle of tread, riser and bottom rail.
    assert_eq!((sphere.mm, sphere.clause.as_str()), (152.4, "R312"));
    assert_eq!(sphere.status, "read");
    assert_eq!(found[0].path, "/barrierNeeded/fallMm");
    assert!(
        figures(&rule_set("us-ibc").unwrap())
            .unwrap()
            .iter()
            .all(|f| f.status == "memory")
    );
}

/// What each slip is refused with.
#[test]
fn sets_that_cannot_be_used_are_refused_with_what_is_wrong() {
    let no = |at: &str, value: Value, word: &str| (at.to_owned(), value, word.to_owned());
    for (at, value, word) in [
        no("/format", json!(2), "format is 2"),
        no("/id", json!("Ü b"), "id must be"),
        no("/document", json!(" "), "document is empty"),
        no("/confirm", json!("x".repeat(2_001)), "longer than 2000"),
        no("/country", json!("Australia"), "country must be"),
        no(
            "/barrierNeeded/fallMm",
            json!(-1),
            "(barrierNeeded.fallMm) is -1",
        ),
        no("/barrierNeeded/fallMm", json!(1), "outside 50 to 20000"),
        no("/barrierNeeded/fallMm", json!("1 m"), "no rule set"),
        no(
            "/barrierNeeded/threshold",
            json!("about"),
            "there is no `about`",
        ),
        no("/leastHeights", json!([]), "no height at all"),
        no("/leastHeights/0/leastMm", json!(0), "is 0 mm"),
        no("/leastHeights/1/surface", json!("level"), "stands twice"),
        no("/openings", json!([]), "no figure for the place"),
        no("/openings/0/sphereMm", json!(1e300), "outside 10 to 1000"),
        no("/openings/0/push", json!(1), "unknown field `push`"),
        no("/climbing/toMm", json!(100), "zone must end"),
        no("/wires/tension/postClearMm/1", json!(600), "must rise"),
        no(
            "/wires/tension/lines/0/leastN",
            json!([55]),
            "1 cells for 9",
        ),
        no("/wires/tension/lines/0/leastN/0", json!(0), "above zero"),
        no(
            "/wires/tension/lines/0/leastN/0",
            json!("Y"),
            "a number or X",
        ),
        no(
            "/wires/tension/lines/0/leastN/0",
            json!(1e9),
            "a cell of wires.tension",
        ),
        no(
            "/wires/tension/lines/1/spacingMm",
            json!(60),
            "stands twice",
        ),
        no("/wires/deflection/massKg", json!(0), "massKg"),
        no("/inForce/from", json!("2023-02-30"), "a day is written"),
        no("/colour", json!("blue"), "unknown field `colour`"),
    ] {
        let mut own = au();
        match own.pointer_mut(&at) {
            Some(place) => *place = value,
            None => {
                let (above, name) = at.rsplit_once('/').unwrap();
                own.pointer_mut(above).unwrap()[name] = value;
            }
        }
        let refused = keep(&own).unwrap_err().to_string();
        assert!(refused.contains(&word), "{at}: {refused}");
    }
    for missing in ["title", "openings", "barrierNeeded", "caution"] {
        let mut own = au();
        own.as_object_mut().unwrap().remove(missing);
        let refused = keep(&own).unwrap_err().to_string();
        assert!(
            refused.contains(&format!("missing field `{missing}`")),
            "{refused}"
        );
    }
    let mut both = au();
    both["openings"][0]["sphereMm"] = json!(-125);
    both["leastHeights"][0]["leastMm"] = json!(-1);
    let refused = keep(&both).unwrap_err().to_string();
    assert!(refused.starts_with("2 things"), "{refused}");
}

#[test]
fn a_cell_that_asks_less_for_a_longer_bay_is_asked_about() {
    let mut own = au();
    let lines = own["wires"]["tension"]["lines"].as_array_mut().unwrap();
    let row = lines
        .iter_mut()
        .find(|l| l["diameterMm"] == 3.0 && l["lay"] == "1x19" && l["spacingMm"] == 80)
        .unwrap();
    assert_eq!(row["leastN"][5], 1330, "the print asks 1330 N at 1500 mm");
    row["leastN"][5] = json!(133);
    let asked = keep(&own).unwrap_err();
    assert!(matches!(asked, RuleFileError::Questions(_)), "{asked}");
    assert!(
        asked
            .to_string()
            .contains("133 N asks less than 1025 N at post distance 1200 mm"),
        "{asked}"
    );
    let yes = Author {
        confirmed: true,
        ..author("our copy prints it so")
    };
    let kept_so: RuleSet = serde_json::from_str(&kept(&own.to_string(), &yes).unwrap()).unwrap();
    assert!(kept_so.changed.unwrap().why.contains("prints it so"));
    // A yes answers no fault.
    own["wires"]["tension"]["lines"][0]["leastN"][0] = json!(1e9);
    let refused = kept(&own.to_string(), &yes).unwrap_err();
    assert!(matches!(refused, RuleFileError::Faults(_)), "{refused}");
    // One that is lower and asks no less than what stands before it is the crew's own business.
    let mut lower = au();
    let lines = lower["wires"]["tension"]["lines"].as_array_mut().unwrap();
    let row = lines
        .iter_mut()
        .find(|l| l["diameterMm"] == 3.0 && l["lay"] == "1x19" && l["spacingMm"] == 80)
        .unwrap();
    row["leastN"][5] = json!(1300);
    assert!(keep(&lower).is_ok());
}

#[test]
fn a_figure_a_digit_off_waits_for_a_yes_and_is_not_asked_about_again() {
    let base = rule_set("au-2022").unwrap();
    let yes = Author {
        confirmed: true,
        ..author("our copy prints it so")
    };
    let slips = [
        ("/openings/0/sphereMm", 12.5),
        ("/openings/0/sphereMm", 300.0),
        ("/leastHeights/0/leastMm", 130.0),
        ("/faceGap/mostMm", 400.0),
    ];
    for (path, slip) in slips {
        let slip = [change(path, slip)];
        let asked = changed(&base, "", &slip, &author("why")).unwrap_err();
        assert!(matches!(asked, RuleFileError::Questions(_)), "{asked}");
        let asked = asked.to_string();
        assert!(
            asked.ends_with(" mm. Does the document print it so?"),
            "{asked}"
        );
        let so = changed(&base, "Shire", &slip, &yes).unwrap();
        // One more figure of the same set: what was said yes to is not asked about.
        let more = [change("/climbing/toMm", 800.0)];
        let own = read("own", &so).unwrap();
        assert!(changed(&own, "", &more, &author("why")).is_ok(), "{path}");
    }
    // A file is held against the set that it was made from, too; one of nobody's against what is usual.
    let mut file = au();
    file["faceGap"]["mostMm"] = json!(100);
    let asked = keep(&file).unwrap_err().to_string();
    assert!(asked.contains("copied from has 40 mm"), "{asked}");
    file["id"] = json!("harbour-board");
    assert!(keep(&file).is_ok());
    file["openings"][0]["sphereMm"] = json!(30);
    let asked = keep(&file).unwrap_err().to_string();
    assert!(asked.contains("usual is 75 to 150 mm. Does"), "{asked}");
}

#[test]
fn a_set_names_what_was_changed_in_it() {
    let mut own = au();
    own["openings"][0]["sphereMm"] = json!(100);
    own.as_object_mut().unwrap().remove("faceGap");
    own["caution"] = json!("Ask the shire.");
    own["openings"][0]["cite"]["clause"] = json!("By-law 7");
    own["wires"]["tension"]["lines"][0]["leastN"][0] = json!(60);
    own["wires"]["deflection"]["lines"][1]["mostMm"][4] = json!(4);
    let set = keep(&own).unwrap();
    let told = set.changed.as_ref().unwrap().sentence(&set);
    for part in [
        "sphere that must not pass, general, from 125 mm to 100 mm; ",
        "widest gap of a face-fixed barrier, left out; ",
        "caution, reworded; ",
        "sphere that must not pass, general (cite.clause), from ",
        "post distance 600 mm, from 55 N to 60 N",
        "wires.deflection, wire 2.5 mm, spacing 80 mm, post distance",
        "from X to 4 mm",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    // Of many the first are named.
    for n in 0..4 {
        own["leastHeights"][n]["leastMm"] = json!(1_050);
    }
    let set = keep(&own).unwrap();
    let changed = set.changed.as_ref().unwrap();
    let told = changed.sentence(&set);
    assert_eq!(changed.figures.len(), 10);
    assert!(told.contains("; 4 more. Why: "), "{told}");
}

#[test]
fn what_is_no_file_of_a_rule_set_is_refused() {
    let why = author("because");
    for text in ["", "{", "[]", "null", "{\"format\":1e999}", "\u{0}"] {
        assert!(
            matches!(kept(text, &why), Err(RuleFileError::NotThisForm(_))),
            "{text:?}"
        );
    }
    let huge = " ".repeat(LARGEST_RULE_SET + 1);
    assert!(matches!(
        kept(&huge, &why),
        Err(RuleFileError::TooLarge { .. })
    ));
    let deep = "[".repeat(40_000);
    assert!(matches!(
        kept(&deep, &why),
        Err(RuleFileError::NotThisForm(_))
    ));
    let same = rule_set("au-2022").unwrap();
    assert!(matches!(
        kept(&same.text, &why),
        Err(RuleFileError::Unchanged(_))
    ));
    assert_eq!(
        kept(&same.text, &author("  ")).unwrap_err(),
        RuleFileError::NoReason
    );
    let nowhere = changed(&same, "", &[change("/title", 5.0)], &why).unwrap_err();
    assert_eq!(nowhere, RuleFileError::NoSuchFigure("/title".into()));
}

proptest! {
    /// Whatever stands in one figure, a set is kept with all its figures in bounds or refused.
    #[test]
    fn a_figure_is_kept_or_refused_and_never_stops_the_program(
        at in 0_usize..8, value in prop_oneof![-1e4..1e4_f64, Just(0.0), 1e5..1e18_f64],
    ) {
        let base = rule_set("au-2022").unwrap();
        let all = figures(&base).unwrap();
        let figure = &all[at % all.len()];
        match changed(&base, "", &[change(&figure.path, value)], &author("tried")) {
            Ok(text) => {
                let set: RuleSet = serde_json::from_str(&text).unwrap();
                prop_assert!(faults(&set).is_empty());
                prop_assert!(set.changed.is_some());
            }
            Err(RuleFileError::Unchanged(_)) => prop_assert_eq!(value, figure.mm),
            Err(error) => prop_assert!(
                matches!(error, RuleFileError::Faults(_) | RuleFileError::Questions(_)),
                "{error}"
            ),
        }
    }
}

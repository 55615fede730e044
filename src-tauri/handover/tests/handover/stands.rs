//! What stands, what is gone without, and what a person is asked first: said where it belongs.
//! One file past 400 lines, since all of it changes facts of the same built job.

use records::ids::Hash;
use records::model::context::{Number, TensionRead, Told};
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use crate::common::acts::tension;
use crate::common::pictures::{fixture, photo};
use crate::common::site::{self, Built, mm};
use crate::common::{Site, claim, go_on, placed, run, told};
use crate::told::{flat, section};

/// Replaces a fact of the job.
fn change<T: serde::Serialize, C>(
    site: &mut Site,
    field: records::model::Field<T, C>,
    name: &str,
    value: &T,
) {
    let job = site.job_subject();
    let mut draft = claim(field, &job, value);
    draft.over = site.tips(&job, name, "");
    site.one(draft);
}

pub(crate) fn bay(built: &Built, left: usize) -> String {
    let subject = Subject::bay(built.posts[left], built.posts[left + 1]).to_string();
    subject.strip_prefix("bay:").unwrap().to_owned()
}

pub(crate) fn pass(built: &mut Built, wire: u32, at: &str, newtons: i64, number: u32) -> Hash {
    let with = TensionRead {
        entered: Some(format!("{newtons} N")),
        method: Method::Gauge,
        stage: Stage::Pass,
        pass: Some(number),
        piece: 1,
        gauge: Some(built.gauge),
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: None,
        wire_cdeg: None,
        sun: None,
        reason: None,
        told: None,
    };
    let wire = Subject::Wire(built.run_a, wire);
    let force = Force::newtons(newtons);
    let draft = told(WIRE_TENSION, &wire, at, &force, &with);
    built.site.one(draft)
}

#[test]
fn findings_stand_in_their_sections_and_what_to_ask_first_on_the_first_page() {
    let mut built = site::build("Deck and stair");
    let before = flat(&mut built);
    let open = section(&before, "Open", "Signed");
    assert!(!open.contains("Pool boundary: other rules"), "{open}");
    assert!(!open.contains("The climbing rule bites"), "{open}");
    change(&mut built.site, JOB_POOL, "pool", &true);
    change(&mut built.site, JOB_FALL, "fall", &mm(4500.0));
    let text = flat(&mut built);
    let open = section(&text, "Open", "Signed");
    for asked in [
        "run A, run B: Pool boundary: other rules apply",
        "run A: The climbing rule bites only beyond a fall of 4000 mm: 9 wires",
        "run B: The climbing rule bites only beyond a fall of 4000 mm: 7 wires",
        "Ask first (licensed engineer): 1 load is stated by the rule set and not computed here; section 3 has them",
    ] {
        assert!(open.contains(asked), "{asked} in {open}");
    }
    assert_eq!(open.matches("Pool boundary: other rules").count(), 1);
    let posts = section(&text, "3 Posts, fixings", "4 Materials");
    assert!(
        posts.contains("Loads are those of AS/NZS 1170.1"),
        "{posts}"
    );
    assert!(
        posts.contains("To be confirmed by: licensed engineer. Source: ABCB"),
        "{posts}"
    );
    let openings = section(&text, "10 Openings", "11 Heights");
    assert!(
        openings.contains("The climbing rule bites only"),
        "{openings}"
    );
    let heights = section(&text, "11 Heights", "12 Views");
    assert!(!heights.contains("handrail of run A"), "{heights}");
    for told in [
        // Asked, found, in hand: height 1000 / 1020, fall 1000 / 4500.
        "height of run A 1000 mm 1020 mm +20 mm",
        "fall beside run A 1000 mm 4500 mm –",
        "Pool boundary: other rules apply",
        "To be confirmed by:",
        "(read in the document)",
        // What the set says in words, of the stair alone and besides.
        "handrail of run B – – – A stair has a handrail on one side at 865 mm or more",
        "What the rule set says besides",
        "X in a table stands for not allowed",
        "Tension is looked at again after one to two weeks, then yearly. Source: common practice.",
    ] {
        assert!(heights.contains(told), "{told} in {heights}");
    }
}

#[test]
fn what_is_gone_without_is_told_in_its_own_section() {
    let mut built = site::build("Deck and stair");
    let job = built.site.job_subject();
    let run_b = Subject::run(built.run_b);
    for (key, why) in [
        ("handrail", "it stands on the wall side"),
        ("massCheck", "no mass on site"),
        ("floorLevels", "nosings were used"),
    ] {
        let place = format!("{key}/{}", built.run_b);
        let draft = placed(JOB_EVIDENCE_WAIVED, &job, &place, &why.to_owned());
        built.site.one(draft);
    }
    let text = flat(&mut built);
    for (from, to, line) in [
        (
            "11 Heights",
            "12 Views",
            "Run B: handrail — none, because it stands on the wall side (Ann Dunmore)",
        ),
        (
            "9 Tension",
            "10 Openings",
            "Run B: a hung mass with its deflection — none, because no mass on site",
        ),
        (
            "2 Drawing as built",
            "3 Posts, fixings",
            "Run B: floor levels at the posts — none, because nosings were used",
        ),
    ] {
        let part = section(&text, from, to);
        assert!(part.contains(line), "{line} in {part}");
        assert_eq!(text.matches(line).count(), 1, "{line}");
    }
    let open = section(&text, "Open", "Signed");
    assert!(open.contains("“no mass on site”"), "{open}");
    // The picture came after all: nothing is gone without there.
    photo(
        &mut built.site,
        &fixture("orientation-1.jpg"),
        "The handrail",
        &run_b,
        Evidence::Handrail,
    );
    let text = flat(&mut built);
    assert!(!text.contains("handrail — none"), "{text}");
    let open = section(&text, "Open", "Signed");
    assert!(!open.contains("it stands on the wall side"), "{open}");
}

#[test]
fn lower_readings_that_were_put_right_are_told_beside_the_lowest_that_stands() {
    let mut built = site::build("Deck and stair");
    let (wide, first) = (bay(&built, 1), bay(&built, 0));
    pass(&mut built, 1, &wide, 600, 1);
    pass(&mut built, 7, &wide, 1240, 3);
    pass(&mut built, 3, &first, 1200, 3);
    let (run_a, gauge) = (built.run_a, built.gauge);
    let mut read = |wire: u32, bay: &str, newtons: i64, stage: Stage| {
        tension(&mut built.site, run_a, wire, bay, newtons, stage, gauge);
    };
    read(1, &wide, 1510, Stage::Final);
    read(7, &wide, 1500, Stage::Recheck);
    read(12, &wide, 1385, Stage::Recheck);
    // The last pass of wire 3 was read low in another bay, and there nobody read again: it stands.
    let text = flat(&mut built);
    let summary = section(&text, "1 Summary", "Open");
    assert!(
        summary.contains("1200 N −130 N wire 3, bay A1"),
        "{summary}"
    );
    assert!(
        !summary.contains("lowest before it was put right"),
        "{summary}"
    );
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains("Run A: below the required tension on wire 3"),
        "{open}"
    );
    tension(
        &mut built.site,
        run_a,
        3,
        &first,
        1450,
        Stage::Recheck,
        gauge,
    );
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    handover::verify(&folder, &go_on).unwrap();
    let words = |arguments: &[&str]| {
        let text = run("pdftotext", arguments, &folder).replace('\u{200B}', "");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // Cell by cell, not line by line.
    let page = words(&["-l", "1", "handover.pdf", "-"]);
    let told = "Run A, lowest before it was put right: 1310 N, wire 12, 2026-10-27, final; 1200 N, wire 3, 2026-10-27, pass 3.";
    assert!(page.contains(told), "{told} in {page}");
    assert!(!page.contains("600 N, wire 1"), "{page}");
    let text = words(&["-layout", "handover.pdf", "-"]);
    let row =
        "A (level) 12 1020 mm 1500 / 80 / 3 mm 1330 N 1500 N 1800 N 1385 N +55 N wire 12, bay A2–";
    assert!(text.contains(row), "{text}");
    let tension = section(&text, "9 Tension", "10 Openings");
    for told in [
        "1240 N, below",
        "1200 N, below",
        "1310 N, below",
        "1510 N, clear",
    ] {
        assert!(tension.contains(told), "{told} in {tension}");
    }
    assert!(tension.contains("600 N"), "{tension}");
    // What several rounds have in common is told once: one has a temperature, three have none.
    for told in [
        "Rounds 1–3: G-02, temperature not read, Ann Dunmore, 2026-10-27.",
        "Round 4: G-02, air 24 °C, in the shade, Ann Dunmore, 2026-10-27.",
    ] {
        assert!(tension.contains(told), "{told} in {tension}");
    }
    assert!(!tension.contains("600 N, "), "on the way up: {tension}");
}

/// Upper tension of the scenario: 1800 N.
#[test]
fn a_reading_over_the_upper_tension_is_never_told_as_clear() {
    let mut built = site::build("Deck and stair");
    let wide = bay(&built, 1);
    pass(&mut built, 2, &wide, 1900, 1);
    pass(&mut built, 3, &wide, 15_000, 3);
    pass(&mut built, 3, &wide, 1500, 3);
    pass(&mut built, 4, &wide, 1900, 3);
    let text = flat(&mut built);
    let tension = section(&text, "9 Tension", "10 Openings");
    for told in [
        "1900 N, over 1800 N",
        "15000 N, over 1800 N / 1500 N, clear",
    ] {
        assert!(tension.contains(told), "{told} in {tension}");
    }
    assert!(!tension.contains("1900 N, clear"), "{tension}");
    for wire in ["2", "3", "4"] {
        assert!(
            tension.contains(&format!("! {wire} ")),
            "{wire} in {tension}"
        );
    }
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains("over the upper tension of 1800 N on wire 2, 4"),
        "{open}"
    );
}

/// Twelve wires at 1500 N ask far more than 5 MPa of the scenario's end posts.
#[test]
fn a_post_over_its_own_figure_and_a_gap_that_nobody_read_are_told_as_that() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    assert!(!section(&text, "Open", "Signed").contains("its own figure is"));
    let openings = section(&text, "10 Openings", "11 Heights");
    // The cell folds behind its comma.
    assert!(
        openings.contains("floor to bottom wire at A1 125 mm 74.4 mm, +50.6 mm")
            && openings.contains("planned"),
        "{openings}"
    );
    assert!(openings.contains("125 mm 62 mm +63 mm"), "{openings}");
    let post = Subject::post(built.posts[0]);
    let weak = Material {
        name: "spotted gum".into(),
        grade: None,
        treatment: None,
        modulus_mpa: Some(14_000),
        modulus_origin: Some("scenario input".into()),
        bending_mpa: Some(5),
        bending_origin: Some("engineer".into()),
        moisture_permille: None,
    };
    let mut draft = claim(POST_MATERIAL, &post, &weak);
    draft.over = built.site.tips(&post, "material", "");
    built.site.one(draft);
    let text = flat(&mut built);
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains("Post A1: the wires ask up to") && open.contains("its own figure is"),
        "{open}"
    );
    // To tell less of it takes nothing away: what is not known is open too.
    let hollow = records::model::values::Section {
        along_nm: 115_000_000,
        across_nm: 115_000_000,
        wall_nm: None,
        solid: Some(false),
    };
    let mut draft = claim(POST_SECTION, &post, &hollow);
    draft.over = built.site.tips(&post, "section", "");
    built.site.one(draft);
    let text = flat(&mut built);
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains(
            "Post A1: the stress at its base is not known, since its wall thickness is not told"
        ),
        "{open}"
    );
}

#[test]
fn holes_that_come_close_are_open_until_the_wires_are_in() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let close = "pairs of holes come close";
    assert!(section(&text, "Open", "Signed").contains(close), "{text}");
    // One distance told as drilled in one run leaves the other pairs as open as they were.
    let corner = Subject::post(built.posts[5]);
    let place = format!("{}/1", built.run_a);
    built
        .site
        .one(placed(POST_DRILLED, &corner, &place, &mm(76.0)));
    let count = |text: &str| {
        let open = section(text, "Open", "Signed").to_owned();
        let before = open.split(" pairs of holes").next().unwrap().to_owned();
        before.rsplit(' ').next().unwrap().parse::<u32>().unwrap()
    };
    let all = count(&text);
    assert_eq!(count(&flat(&mut built)), all);
    for (of, wires) in [(built.run_a, 1..=12), (built.run_b, 1..=8)] {
        for wire in wires {
            let place = records::job::wires::act_place(Act::Fitted, 1);
            let wire = Subject::Wire(of, wire);
            built.site.one(placed(WIRE_DONE, &wire, &place, &true));
        }
    }
    let text = flat(&mut built);
    assert!(!section(&text, "Open", "Signed").contains(close), "{text}");
    // That they came close stands with the holes all the same.
    assert!(text.contains(&format!("{close} in this post")), "{text}");
}

#[test]
fn what_the_rules_ask_of_wire_ends_is_told_as_asked_and_not_as_found() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let asked =
        "Asked, and found only where the table shows it: No wire end stands out of its swage";
    assert!(text.contains(asked), "{asked} in {text}");
    assert_eq!(
        text.matches("No wire end stands out").count(),
        text.matches(asked).count(),
        "{text}"
    );
}

#[test]
fn below_a_drawing_only_the_signs_that_are_in_it_are_explained() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let drawings = section(&text, "2 Drawing as built", "3 Posts, fixings");
    let a = section(drawings, "Run A, seen from the deck.", "Run B, seen");
    let b = drawings
        .split("Run B, seen from the stair.")
        .nth(1)
        .unwrap();
    let level = "Small numbers below the floor: its level at each post in mm, against the first post; minus is lower.";
    let wall = "Upright strip beside A1: a wall; the 62 at its foot is the distance from post to wall in mm.";
    let bracket = "in brackets: from positions, not measured.";
    let nosing = "Dashed: line of the nosings";
    for (part, there, away) in [
        (a, [level, wall], [bracket, nosing]),
        (b, [bracket, nosing], [level, wall]),
    ] {
        for sign in there {
            assert!(part.contains(sign), "{sign} in {part}");
        }
        for sign in away {
            assert!(!part.contains(sign), "{sign} in {part}");
        }
    }
    let odd = "centre to centre as drilled, where it is not as laid out";
    assert!(!drawings.contains(odd), "{drawings}");
    let post = Subject::post(built.posts[2]);
    let drilled = placed(
        POST_DRILLED,
        &post,
        &format!("{}/5", built.run_a),
        &mm(85.0),
    );
    built.site.one(drilled);
    let text = flat(&mut built);
    let drawings = section(&text, "2 Drawing as built", "3 Posts, fixings");
    assert_eq!(drawings.matches(odd).count(), 1, "{drawings}");
}

#[test]
fn a_told_length_that_still_stands_is_not_printed_twice() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let a = section(&text, "Run A: lengths and cuts", "Run B: holes");
    let stands = "Every length inside to inside that was told then still stands.";
    assert!(!a.contains(stands), "7300 was told and 7294 stands: {a}");
    // Issued anew, each with the length that stands.
    let lengths = built.site.with(|source| {
        let sheet = records::work::cut_sheet(source.job, built.run_a).unwrap();
        let inside = sheet.lines.iter().map(|l| (l.wire, l.inside_mm.unwrap()));
        inside.collect::<Vec<_>>()
    });
    for (wire, inside) in lengths {
        let wire = Subject::Wire(built.run_a, wire);
        let value = CutIssue {
            cut_nm: 7_231_000_000,
            shortest_nm: 7_217_700_000,
            longest_nm: 7_243_700_000,
            deduction: None,
        };
        let with = Told {
            program: "tautbook 0.1.0".into(),
            numbers: vec![Number {
                name: "inside to inside".into(),
                value: format!("{inside:.1} mm"),
                origin: "measured".into(),
            }],
            ..Told::default()
        };
        let mut draft = told(WIRE_CUT_ISSUED, &wire, "1", &value, &with);
        draft.over = built.site.tips(&wire, "cutIssued", "1");
        built.site.one(draft);
    }
    let text = flat(&mut built);
    let a = section(&text, "Run A: lengths and cuts", "Run B: holes");
    assert!(a.contains(stands), "{a}");
    assert!(!a.contains("Told: inside"), "{a}");
    // One line for each wire.
    assert!(
        a.contains("2 7295.3 mm interpolated from 1, 6, 12 7217.7–7243.7 7231 mm 7232 mm"),
        "{a}"
    );
}

#[test]
fn parts_without_a_hand_are_counted_without_one() {
    let mut built = site::build("Deck and stair");
    for (name, kind) in [
        ("Reels", BatchKind::Strand),
        ("Seats", BatchKind::Seat),
        ("Sleeves", BatchKind::Grommet),
    ] {
        let id = built.site.new_item(ItemKind::Batch, Vec::new());
        let s = Subject::Item(ItemKind::Batch, id);
        let arrival = Arrival {
            counted_left: 2,
            counted_right: 0,
            tried: true,
            remark: String::new(),
            short: None,
            wrong: None,
        };
        built.site.act(vec![
            claim(BATCH_NAME, &s, &name.into()),
            claim(BATCH_KIND, &s, &kind),
            claim(BATCH_ARRIVAL, &s, &arrival),
        ]);
    }
    let text = flat(&mut built);
    let batches = section(&text, "Batches and arrival", "5 Tools");
    assert!(
        batches.contains("23 of each hand 23 LH, 23 RH counted, one of each hand tried"),
        "{batches}"
    );
    assert_eq!(batches.matches("2 counted").count(), 3, "{batches}");
    assert!(!batches.contains("0 RH"), "{batches}");
    assert_eq!(batches.matches("tried").count(), 1, "{batches}");
}

#[test]
fn the_first_page_tells_of_a_bay_without_a_figure_and_of_a_decision_below_the_table() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    assert!(!section(&text, "1 Summary", "Open").contains("figure for bay"));
    let long = Subject::bay(built.posts[0], built.posts[1]);
    let over = built.site.tips(&long, "clear", "");
    let read = records::model::context::BayRead {
        entered: None,
        along: Along::Level,
        instrument: Instrument::Tape,
        tool: None,
        reason: None,
    };
    let mut draft = told(BAY_CLEAR, &long, "", &mm(2600.0), &read);
    draft.over = over;
    built.site.one(draft);
    let text = flat(&mut built);
    let summary = section(&text, "1 Summary", "Open");
    assert!(summary.contains("figure for bay A1–A2"), "{summary}");
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains("Bay A1–A2: the table does not reach it"),
        "{open}"
    );
}

#[test]
fn a_lowest_reading_that_people_differ_on_is_on_the_first_page_as_such() {
    let mut built = site::build("Deck and stair");
    let wide = bay(&built, 1);
    let (run_a, gauge) = (built.run_a, built.gauge);
    let wire = Subject::Wire(run_a, 6);
    tension(
        &mut built.site,
        run_a,
        12,
        &wide,
        1385,
        Stage::Recheck,
        gauge,
    );
    let said = tension(
        &mut built.site,
        run_a,
        6,
        &wide,
        1390,
        Stage::Recheck,
        gauge,
    );
    for newtons in [900, 1500] {
        let with = TensionRead {
            entered: None,
            method: Method::Gauge,
            stage: Stage::Recheck,
            pass: None,
            piece: 1,
            gauge: Some(gauge),
            raw: None,
            chart: None,
            repeat: None,
            air_cdeg: None,
            wire_cdeg: None,
            sun: None,
            reason: None,
            told: None,
        };
        let force = Force::newtons(newtons);
        let mut draft = told(WIRE_TENSION, &wire, &wide, &force, &with);
        draft.over = vec![said];
        built.site.one(draft);
    }
    let text = flat(&mut built);
    let summary = section(&text, "1 Summary", "Open");
    for told in ["disputed:", "900 N", "−430 N", "wire 6, bay A2–A3"] {
        assert!(summary.contains(told), "{told} in {summary}");
    }
    assert!(!summary.contains("1385 N"), "{summary}");
    // The recheck was of two wires in one bay, and the other bay to read was left out.
    let again = section(&text, "14 Recheck", "15 The edge");
    let unread = "! Bay A3–A4, the widest or the one furthest from the tensioner, was not read in the newest round on wires 6, 12.";
    assert!(again.contains(unread), "{again}");
}

#[test]
fn the_range_of_a_gauge_is_told_by_its_figures() {
    let mut built = site::build("Deck and stair");
    let gauge = Subject::Item(ItemKind::Tool, built.gauge);
    for (field, newtons) in [(TOOL_RANGE_FROM, 300), (TOOL_RANGE_TO, 2500)] {
        built
            .site
            .one(claim(field, &gauge, &Force::newtons(newtons)));
    }
    let text = flat(&mut built);
    let tools = section(&text, "5 Tools", "6 Sample");
    assert!(tools.contains("300 to 2500 N"), "{tools}");
}

//! Maker's sheets: what is asked for, what is assumed with its band, what a job copies. One file past 400 lines, since
//! each case is a line beside the sheet that it fills.

use records::library::{fill_fitting, fill_strand, fitting_faults, strand_faults};
use records::model::values::{EndKind, FittingSheet, SheetFigure, SheetFigures, StrandSheet};

fn figures(list: &[(&str, i64)]) -> SheetFigures {
    list.iter()
        .map(|(name, n)| {
            let origin = format!("sheet 7, page 2, {name}");
            ((*name).to_owned(), SheetFigure { n: *n, origin })
        })
        .collect()
}

fn strand(list: &[(&str, i64)]) -> StrandSheet {
    StrandSheet {
        construction: "1x19".into(),
        grade: Some("316".into()),
        figures: figures(list),
    }
}

const TERMINAL: &[(&str, i64)] = &[
    ("overallNm", 72_000_000),
    ("insertionNm", 32_000_000),
    ("threadNm", 30_000_000),
    ("leastEngagementNm", 8_000_000),
    ("lockNutNm", 3_200_000),
    ("threadDiameterNm", 6_000_000),
    ("holeNm", 9_000_000),
    ("holeDepthNm", 42_000_000),
];

fn fitting() -> FittingSheet {
    FittingSheet {
        kind: EndKind::Insert,
        right_kind: None,
        left: figures(TERMINAL),
        right: figures(TERMINAL),
        set: figures(&[
            ("throughHoleNm", 9_000_000),
            ("permille", 650),
            ("factorPercent", 300),
        ]),
    }
}

#[test]
fn a_strand_keeps_the_origin_of_each_figure() {
    let all = [
        ("diameterNm", 3_200_000),
        ("eaMn", 780_000_000),
        ("breakingMn", 8_500_000),
        ("stretchPpm", 250),
    ];
    let found = fill_strand("k", "3.2", &strand(&all));
    assert_eq!((found.asks.len(), found.bands.len()), (0, 0));
    let told = found.template.unwrap().figures;
    assert_eq!(
        (told.ea_mn, told.breaking_mn, told.stretch_ppm),
        (780_000_000, Some(8_500_000), 250)
    );
    for (origin, name) in [
        (told.diameter_origin.as_deref(), "diameterNm"),
        (Some(told.ea_origin.as_str()), "eaMn"),
        (told.breaking_origin.as_deref(), "breakingMn"),
        (Some(told.stretch_origin.as_str()), "stretchPpm"),
    ] {
        assert_eq!(origin.unwrap(), format!("sheet 7, page 2, {name}"));
    }
}

#[test]
fn what_a_strands_sheet_does_not_tell_is_a_band() {
    let found = fill_strand("k", "3.2", &strand(&[("diameterNm", 3_200_000)]));
    let told = found.template.unwrap().figures;
    // Metallic area 6.112 mm² × 130 GPa, and ± 10 GPa about it (EN 1993-1-11, recalled).
    assert_eq!(told.ea_mn / 1_000_000, 794);
    assert!(
        told.ea_origin
            .starts_with("assumed: metallic area × 130 GPa")
    );
    assert_eq!(told.breaking_mn, None);
    assert_eq!(found.bands.len(), 3);
    // 1000 N over 5 m: 5000 / 855.7 … 5000 / 733.5 kN.
    assert!(
        found.bands[0].contains("between 733 and 856 kN"),
        "{}",
        found.bands[0]
    );
    assert!(
        found.bands[0].contains("by 5.8 mm to 6.8 mm"),
        "{}",
        found.bands[0]
    );
    assert!(
        found.bands[1].contains("takes up 1 mm to 2.5 mm"),
        "{}",
        found.bands[1]
    );
    assert!(found.bands[2].contains("mill sheet"));
    let nothing = fill_strand("k", "?", &strand(&[]));
    assert!(nothing.template.is_none());
    assert_eq!(nothing.asks, ["What is the strand's diameter?"]);
}

#[test]
fn a_fitting_set_asks_for_what_holds_a_wire_and_assumes_the_rest_aloud() {
    let found = fill_fitting("k", "M6", &fitting());
    let template = found.template.unwrap();
    let left = &template.terminals.left;
    assert_eq!(
        (left.growth_nm, left.start_nm, left.reserve_nm),
        (0, Some(2_000_000), Some(4_000_000))
    );
    // ISO 261: M6 has a pitch of 1 mm.
    assert_eq!(left.pitch_nm, Some(1_000_000));
    let origins = &template.terminals.origins;
    assert_eq!(origins["left.overallNm"], "sheet 7, page 2, overallNm");
    assert_eq!(
        origins["right.growthNm"],
        "assumed: no growth on pressing; measure it on the sample crimp"
    );
    assert_eq!(origins["throughHoleNm"], "sheet 7, page 2, throughHoleNm");
    assert!(found.bands.iter().any(|b| b.contains("four turns, 4 mm")));
    // How far one end may start ahead stays untold, and a cut assumes one turn: said before.
    assert_eq!(template.terminals.unequal_start_nm, None);
    assert!(found.bands.iter().any(|b| b.contains("as one turn, 1 mm")));
    let mut sheet = fitting();
    let alike = SheetFigure {
        n: 0,
        origin: "measured".into(),
    };
    sheet.set.insert("unequalStartNm".into(), alike);
    let told = fill_fitting("k", "M6", &sheet);
    assert!(!told.bands.iter().any(|b| b.contains("as one turn")));
    let terminals = told.template.unwrap().terminals;
    assert_eq!(terminals.unequal_start_nm, Some(0));
    assert_eq!(terminals.origins["unequalStartNm"], "measured");
    for (name, word) in [
        ("leastEngagementNm", "least engagement"),
        ("lockNutNm", "lock nut"),
        ("holeDepthNm", "depth of that hole"),
    ] {
        let mut sheet = fitting();
        sheet.right.remove(name);
        let asked = fill_fitting("k", "M6", &sheet);
        assert!(asked.template.is_none());
        assert!(
            asked.asks[0].contains(word) && asked.asks[0].contains("right hand"),
            "{:?}",
            asked.asks
        );
    }
    let mut sheet = fitting();
    sheet.set.remove("permille");
    assert!(fill_fitting("k", "M6", &sheet).asks[0].contains("breaking load"));
}

#[test]
fn what_is_so_of_both_hands_is_told_once() {
    let found = fill_fitting("k", "M6", &fitting());
    // Growth, catching by hand, thread kept for later, and how far one end starts ahead.
    assert_eq!(found.bands.len(), 4, "{:#?}", found.bands);
    let mut sheet = fitting();
    sheet.left.remove("lockNutNm");
    sheet.right.remove("lockNutNm");
    let lacking = "height of the lock nut, 0 where there is none";
    assert_eq!(
        fill_fitting("k", "M6", &sheet).asks,
        [format!("What is the {lacking}, left and right hand?")]
    );
    // Of hands of two kinds each is asked for its own.
    sheet.right_kind = Some(EndKind::Turnbuckle);
    assert_eq!(
        fill_fitting("k", "M6", &sheet).asks,
        [format!("What is the {lacking}, left hand?")]
    );
    sheet = fitting();
    for hand in [&mut sheet.left, &mut sheet.right] {
        hand.extend(figures(&[("threadDiameterNm", 7_000_000)]));
    }
    assert_eq!(fitting_faults(&sheet).len(), 1);
    assert_eq!(fill_fitting("k", "M6", &sheet).asks.len(), 1);
}

#[test]
fn a_pitch_that_is_told_is_enough_for_a_thread() {
    // 1/4-20: 25.4 ÷ 20 = 1.27 mm a turn.
    let mut sheet = fitting();
    for hand in [&mut sheet.left, &mut sheet.right] {
        hand.extend(figures(&[
            ("threadDiameterNm", 6_350_000),
            ("pitchNm", 1_270_000),
        ]));
    }
    let found = fill_fitting("k", "1/4-20", &sheet);
    assert_eq!(found.asks, Vec::<String>::new());
    let terminals = found.template.unwrap().terminals;
    let left = &terminals.left;
    assert_eq!(
        (left.pitch_nm, left.start_nm, left.reserve_nm),
        (Some(1_270_000), Some(2_540_000), Some(5_080_000))
    );
    assert_eq!(
        terminals.origins["left.pitchNm"],
        "sheet 7, page 2, pitchNm"
    );
    assert!(found.bands.iter().any(|b| b.contains("two turns, 2.54 mm")));
    assert!(found.bands.iter().any(|b| b.contains("one turn, 1.27 mm")));
    sheet.left.remove("pitchNm");
    let asked = fill_fitting("k", "1/4-20", &sheet);
    assert!(
        asked.template.is_none() && asked.asks[0].contains("tell its pitch too"),
        "{:?}",
        asked.asks
    );
}

#[test]
fn figures_that_cannot_be_are_named() {
    for (name, n, word) in [
        ("diameterNm", 3, "0.5 to 30 mm"),
        ("diameterNm", -3_200_000, "can't be"),
        ("eaMn", 900, "under 1 kN"),
        ("stretchPpm", -1, "can't be"),
        ("colour", 1, "no figure called"),
        ("breakingMn", i64::MAX, "can't be"),
    ] {
        let mut sheet = strand(&[("diameterNm", 3_200_000)]);
        sheet.figures.extend(figures(&[(name, n)]));
        let found = strand_faults(&sheet).join(" ");
        assert!(found.contains(word), "{name}: {found}");
        assert!(fill_strand("k", "n", &sheet).template.is_none());
    }
    let mut lay = strand(&[("diameterNm", 3_200_000)]);
    lay.construction = "6x36".into();
    assert!(strand_faults(&lay)[0].contains("6x36"));
    for (name, n, word) in [
        ("insertionNm", 80_000_000, "swallows 80 mm of wire and is"),
        (
            "leastEngagementNm",
            31_000_000,
            "asks for 31 mm of engagement",
        ),
        (
            "threadNm",
            300_000_000,
            "has 300 mm of thread, and 40 mm of it are left",
        ),
        (
            "threadNm",
            -5,
            "Usable thread of the left-hand terminal is −",
        ),
        ("threadDiameterNm", 7_000_000, "M5, M6, M8 and M10 are"),
        ("pitchNm", 5_000_000, "a pitch of 5 mm, which can't be"),
        ("threadNm", 0, "can't be"),
        ("weight", 5, "no figure called"),
    ] {
        let mut sheet = fitting();
        sheet.left.extend(figures(&[(name, n)]));
        assert!(fitting_faults(&sheet).join(" ").contains(word), "{name}");
    }
    let mut silent = fitting();
    silent.set.get_mut("permille").unwrap().origin = " ".into();
    assert!(fitting_faults(&silent)[0].contains("which sheet and page"));
}

#[test]
fn an_end_of_another_kind_is_asked_its_own_figures_and_takes_no_others_along() {
    let mut sheet = fitting();
    sheet.right_kind = Some(EndKind::FixedEnd);
    let found = fill_fitting("k", "M6 and a fixed end", &sheet);
    assert_eq!(found.asks, Vec::<String>::new());
    let terminals = found.template.unwrap().terminals;
    assert_eq!(terminals.left.thread_nm, Some(30_000_000));
    let right = &terminals.right;
    assert_eq!(
        (right.kind, right.overall_nm, right.insertion_nm),
        (EndKind::FixedEnd, None, 32_000_000)
    );
    // The sheet tells a stud's length, a thread, a nut and a hole there: a fixed end has none.
    assert_eq!(
        (
            right.thread_nm,
            right.lock_nut_nm,
            right.hole_nm,
            right.start_nm,
            right.pitch_nm
        ),
        (None, None, None, None, None)
    );
    assert!(!terminals.origins.contains_key("right.threadNm"));
    // One thread has none to be ahead of.
    assert!(!found.bands.iter().any(|b| b.contains("one turn")));
    let mut bare = fitting();
    bare.right_kind = Some(EndKind::FixedEnd);
    bare.right = figures(&[("mouthNm", 60_000_000), ("insertionNm", 32_000_000)]);
    assert!(fill_fitting("k", "n", &bare).template.is_some());
    bare.right.remove("insertionNm");
    assert_eq!(
        fill_fitting("k", "n", &bare).asks,
        ["What is the wire swallowed, right hand?"]
    );
    // Where the mouth of a fixed end is, is told as missing.
    let mut sheet = fitting();
    sheet.right_kind = Some(EndKind::FixedEnd);
    let of = |sheet: &FittingSheet| fill_fitting("k", "n", sheet).bands;
    let held = |bands: Vec<String>| bands.iter().any(|b| b.contains("mouth of its shank"));
    assert!(held(of(&sheet)));
    sheet.right.extend(figures(&[("mouthNm", 60_000_000)]));
    assert!(!held(of(&sheet)));
    sheet.right.extend(figures(&[("mouthNm", 32_000_000)]));
    assert!(
        fitting_faults(&sheet)
            .join(" ")
            .contains("before the post's face"),
        "{:?}",
        fitting_faults(&sheet)
    );
    // No cut is computed for a turnbuckle, and the set serves for wires cut on site.
    let mut sheet = fitting();
    sheet.kind = EndKind::Turnbuckle;
    let found = fill_fitting("k", "n", &sheet);
    assert!(found.template.is_some());
    assert!(
        found
            .bands
            .iter()
            .any(|b| b.contains("No cut is computed for a turnbuckle") && b.contains("on site")),
        "{:?}",
        found.bands
    );
}

#[test]
fn what_a_sheet_tells_of_a_turnbuckle_is_kept_without_its_diameter() {
    let mut sheet = fitting();
    sheet.right_kind = Some(EndKind::Turnbuckle);
    for name in ["threadDiameterNm", "pitchNm", "startNm", "reserveNm"] {
        sheet.right.remove(name);
    }
    sheet
        .right
        .extend(figures(&[("startNm", 3_000_000), ("reserveNm", 5_000_000)]));
    let of = |sheet: &FittingSheet| {
        let right = fill_fitting("k", "n", sheet)
            .template
            .unwrap()
            .terminals
            .right;
        (right.pitch_nm, right.start_nm, right.reserve_nm)
    };
    assert_eq!(of(&sheet), (None, Some(3_000_000), Some(5_000_000)));
    sheet.right.extend(figures(&[("pitchNm", 1_270_000)]));
    sheet.right.remove("startNm");
    // Two turns of its own pitch.
    let own = (Some(1_270_000), Some(2_540_000), Some(5_000_000));
    assert_eq!(of(&sheet), own);
}

#[test]
fn a_set_of_the_time_before_reads_to_the_very_same_value() {
    let set = &records::library::fitting_sets()[0];
    let told = serde_json::to_value(&set.terminals).unwrap();
    let again: records::model::values::Terminals = serde_json::from_value(told.clone()).unwrap();
    assert_eq!(&again, &set.terminals);
    // Written out there is nothing beyond what stood in it before.
    let mut names: Vec<&str> = told["left"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    names.sort_unstable();
    let text = include_str!("../../data/library/fitting-sets.json");
    let file: serde_json::Value = serde_json::from_str(text).unwrap();
    let mut stood: Vec<&str> = file[0]["terminals"]["left"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    stood.sort_unstable();
    assert_eq!(names, stood);
}

#[test]
fn a_stud_into_an_insert_without_its_thread_is_not_recorded_and_a_fixed_end_is() {
    use records::model::bounds;
    use records::subject::SubjectKind;
    let refused = |terminals: &records::model::values::Terminals| {
        let value = serde_json::to_value(terminals).unwrap();
        bounds::figures(SubjectKind::FittingSet, "terminals", &value)
    };
    let sets = records::library::fitting_sets();
    for set in &sets {
        assert_eq!(refused(&set.terminals), None, "{}", set.key);
    }
    let mut lacking = sets[0].terminals.clone();
    lacking.right.thread_nm = None;
    let why = refused(&lacking).unwrap();
    assert!(why.contains("lacks its usable thread"), "{why}");
}

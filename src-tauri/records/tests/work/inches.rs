//! A fitting set with inch threads: kept by diameter and pitch, cut and tensioned by its own turns.

use std::collections::BTreeMap;

use records::library::fill_fitting;
use records::model::fields;
use records::model::values::{EndKind, FittingSheet, SheetFigure, SheetFigures};
use records::subject::{ItemKind, Subject};
use records::work::{cut_sheet, tension_plan, tensioning};

use crate::near;
use crate::scene::{Scene, decide, measured};

/// A sheet of a 1/4-20 stud into an insert, all but for its thread as the worked set.
fn sheet(pitch_nm: i64) -> FittingSheet {
    let figures = |list: &[(&str, i64)]| -> SheetFigures {
        let one = |(name, n): &(&str, i64)| {
            let origin = "sheet of the parts".to_owned();
            ((*name).to_owned(), SheetFigure { n: *n, origin })
        };
        list.iter().map(one).collect::<BTreeMap<_, _>>()
    };
    let stud = figures(&[
        ("overallNm", 72_000_000),
        ("insertionNm", 32_000_000),
        ("growthNm", 0),
        ("threadNm", 30_000_000),
        ("leastEngagementNm", 8_000_000),
        ("startNm", 2_000_000),
        ("reserveNm", 4_000_000),
        ("lockNutNm", 3_200_000),
        ("threadDiameterNm", 6_350_000),
        ("pitchNm", pitch_nm),
        ("holeNm", 9_000_000),
        ("holeDepthNm", 42_000_000),
        ("seatNm", 0),
    ]);
    FittingSheet {
        kind: EndKind::Insert,
        right_kind: None,
        left: stud.clone(),
        right: stud,
        set: figures(&[
            ("throughHoleNm", 9_000_000),
            ("permille", 650),
            ("factorPercent", 300),
            ("unequalStartNm", 0),
        ]),
    }
}

fn take(s: &mut Scene, pitch_nm: i64) {
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let filled = fill_fitting("k", "1/4-20", &sheet(pitch_nm));
    let terminals = filled.template.unwrap().terminals;
    s.say(fields::FITTING_TERMINALS, &set, "", terminals, None);
}

#[test]
fn a_set_with_inch_threads_is_cut_and_turned_by_its_own_pitch() {
    let mut s = measured();
    let a = s.a;
    decide(&mut s, a, 1330, 2000);
    let aims = |s: &mut Scene| -> Vec<Option<f64>> {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        sheet.lines.iter().map(|line| line.aim_mm).collect()
    };
    let turn = |s: &mut Scene| {
        let plan = s.with_job(|job| tensioning(job, a).unwrap());
        plan.worth.unwrap().turn_n
    };
    let (metric, metric_turn) = (aims(&mut s), turn(&mut s));
    assert!(metric.iter().any(Option::is_some));
    // 25.4 ÷ 20 = 1.27 mm a turn at each end for the 1 mm of M6: 1.27 times the tension.
    take(&mut s, 1_270_000);
    assert_eq!(aims(&mut s), metric);
    near(turn(&mut s) / metric_turn, 1.27, 1e-9);
    let asked = s.with_job(|job| tension_plan(job, a).unwrap().threads_asked);
    let [thread] = asked.as_slice() else {
        panic!("{asked:?}")
    };
    assert_eq!(
        thread.thread,
        "6.35 mm × 1.27 mm (20 turns per inch), LH and RH"
    );
    // ASME B1.1: π/4 · (6.35 − 0.9743 · 1.27)² = 20.529.
    near(thread.area_mm2.unwrap(), 20.529, 0.001);
    assert!(
        thread.sentence.contains("(ASME B1.1)"),
        "{}",
        thread.sentence
    );
    // 1/4-28: 25.4 ÷ 28 = 0.907143 mm.
    take(&mut s, 907_143);
    near(turn(&mut s) / metric_turn, 0.907_143, 1e-9);
    // A metric thread of another size is as one of those that are known by name.
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let mut terminals = s.with_job(|job| job.fitting_sets[0].terminals.clone().unwrap());
    for end in [&mut terminals.left, &mut terminals.right] {
        (end.thread_diameter_nm, end.pitch_nm) = (Some(12_000_000), Some(1_750_000));
    }
    s.say(fields::FITTING_TERMINALS, &set, "", terminals, None);
    assert_eq!(aims(&mut s), metric);
    near(turn(&mut s) / metric_turn, 1.75, 1e-9);
}

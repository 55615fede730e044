//! One job told in inches and again in millimetres: the same windows, bays and rows of the rules.

use proptest::prelude::*;
use records::model::context::BayRead;
use records::model::entered::{LengthUnit, length};
use records::model::fields;
use records::model::values::{Along, Instrument, Length, WireHeights};
use records::subject::Subject;
use records::work::{BayRow, CutLine, before_ordering, cut_sheet, pushed};

use crate::scene::{Scene, cut_read, measured};

/// So many sixteenths of an inch as people type them, or the very same length in millimetres.
fn typed(sixteenths: i64, by_inches: bool) -> Length {
    let (text, unit) = match by_inches {
        true => (
            match (sixteenths / 16, sixteenths % 16) {
                (whole, 0) => whole.to_string(),
                (whole, part) => format!("{whole} {part}/16"),
            },
            LengthUnit::Inches,
        ),
        // 25.4 / 16 = 1.5875 mm.
        false => {
            let parts = sixteenths * 15_875;
            (
                format!("{}.{:04}", parts / 10_000, parts % 10_000),
                LengthUnit::Millimetres,
            )
        }
    };
    length(&text, unit).unwrap()
}

/// A bay read anew, in the place of what was read before.
pub(crate) fn clear_anew(s: &mut Scene, (left, right): (&str, &str), length: Length) {
    let bay = s.bay(left, right);
    let read = BayRead {
        entered: None,
        along: Along::Level,
        instrument: Instrument::Laser,
        tool: None,
        reason: None,
    };
    let over = s.tips(fields::BAY_CLEAR.name, &bay, "");
    s.say_over(fields::BAY_CLEAR, &bay, "", Some(length), Some(read), over);
}

/// The worked job with run A's bays, heights and lengths told anew.
fn told(by_inches: bool, bays: &[i64], step: i64, lengths: &[i64]) -> Scene {
    let mut s = measured();
    let a = s.a;
    let names = ["A1", "A2", "A3", "A4", "A4a", "A5", "A6"];
    for (pair, bay) in names.windows(2).zip(bays) {
        clear_anew(&mut s, (pair[0], pair[1]), typed(*bay, by_inches));
    }
    let nm = (1..=12).map(|n| typed(n * step, by_inches).nm).collect();
    let heights = WireHeights { nm };
    s.say(
        fields::RUN_WIRE_HEIGHTS,
        &Subject::run(a),
        "",
        heights,
        None,
    );
    for (wire, inside) in [1, 6, 12].into_iter().zip(lengths) {
        let wire = Subject::Wire(a, wire);
        let said = typed(*inside, by_inches);
        // The lengths of the worked job are told over, not beside.
        let place = "";
        let over = s.tips(fields::WIRE_LENGTH.name, &wire, place);
        s.say_over(
            fields::WIRE_LENGTH,
            &wire,
            place,
            Some(said),
            Some(cut_read()),
            over,
        );
    }
    s
}

/// What a window tells, without the ids of the job.
fn window(line: &CutLine) -> impl PartialEq + std::fmt::Debug + use<> {
    (
        (line.name.clone(), line.inside_mm, line.aim_mm),
        (line.shortest_mm, line.longest_mm, line.chance),
        (line.inward_mm, line.deduction_mm, line.spread_mm),
        line.refused.clone().map(|refused| refused.sentence),
    )
}

fn row(bay: &BayRow) -> impl PartialEq + std::fmt::Debug + use<> {
    let asks = (bay.least_tension_n, bay.most_deflection_mm, bay.outcome);
    let read = (bay.row_clear_mm, bay.row_spacing_mm, bay.row_diameter_mm);
    let here = (bay.name.clone(), bay.clear_mm, bay.spacing_mm);
    (here, read, asks, bay.longer.clone(), bay.wider.clone())
}

proptest! {
    // Each case is two whole jobs.
    #![proptest_config(ProptestConfig::with_cases(4))]
    #[test]
    fn a_job_in_inches_is_the_job_in_millimetres(
        bays in proptest::collection::vec(400_i64..1_200, 6),
        step in 40_i64..50,
        length in 4_560_i64..4_640,
        more in proptest::collection::vec(0_i64..4, 2),
    ) {
        let lengths = [length, length + more[0], length + more[0] + more[1]];
        let answers = [true, false].map(|by_inches| {
            let mut s = told(by_inches, &bays, step, &lengths);
            let a = s.a;
            s.with_job(|job| {
                let (sheet, before) = (cut_sheet(job, a).unwrap(), before_ordering(job, a).unwrap());
                let pushed = pushed(job, a, None, None).unwrap();
                let forces: Vec<_> = pushed.bays.iter().flat_map(|bay| &bay.openings).collect();
                (
                    sheet.lines.iter().map(window).collect::<Vec<_>>(),
                    before.bays.iter().map(row).collect::<Vec<_>>(),
                    before.findings.iter().map(|f| f.sentence.clone()).collect::<Vec<_>>(),
                    forces.iter().map(|o| (o.at_rest_mm, o.force_n)).collect::<Vec<_>>(),
                    before.problems.iter().map(|p| p.sentence.clone()).collect::<Vec<_>>(),
                )
            })
        });
        prop_assert!(answers[0].0.len() == 12 && answers[0].1.len() == 6);
        prop_assert_eq!(&answers[0], &answers[1]);
    }
}

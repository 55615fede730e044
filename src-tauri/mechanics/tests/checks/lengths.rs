//! Lengths of all wires from a few readings.
//! One file past 400 lines, since the rule for odd lengths is held against the same readings.

use mechanics::lengths::{
    ASSUMED_BOW_SPREAD, LengthAdvice, LengthReading, bays_advice, interpolate, middle_advice,
    straight_advice,
};
use mechanics::plausible::{
    BAY_USUAL, Beside, LengthQuestion, fits_positions, middle, question_length, question_usual,
};
use mechanics::{MechanicsError, Millimetres, Origin};

use crate::near;

pub(crate) fn reading(wire: u32, length: f64) -> LengthReading {
    LengthReading {
        wire,
        length: Millimetres(length),
        spread: Millimetres(1.0),
    }
}

fn heights(count: u32) -> Vec<Millimetres> {
    (1..=count)
        .map(|wire| Millimetres(76.0 * f64::from(wire)))
        .collect()
}

#[test]
fn spread_of_two_readings_grows_to_the_middle() {
    // s = 1, s_B = 2: 1.000 at the ends, 2.121 in the middle; 1.696 at ζ = 0.2:
    // √(0.64 + 0.04 + (0.64·2)²) = 1.523; at ζ = 0.25 √(0.625 + 2.25) = 1.696.
    let run = interpolate(
        &heights(5),
        &[reading(1, 4000.0), reading(5, 4008.0)],
        ASSUMED_BOW_SPREAD,
    )
    .unwrap();
    let spreads: Vec<f64> = run.wires.iter().map(|wire| wire.spread.value()).collect();
    near(spreads[0], 1.0, 1e-12);
    near(spreads[1], 1.696, 0.0005);
    near(spreads[2], 2.121, 0.0005);
    near(spreads[3], 1.696, 0.0005);
    near(spreads[4], 1.0, 1e-12);
    assert_eq!(run.bow, None);
    assert_eq!(run.wires[2].length, Millimetres(4004.0));
}

#[test]
fn origins_are_marked() {
    let run = interpolate(
        &heights(5),
        &[reading(1, 4000.0), reading(3, 4006.0), reading(5, 4008.0)],
        ASSUMED_BOW_SPREAD,
    )
    .unwrap();
    let origins: Vec<Origin> = run.wires.iter().map(|wire| wire.origin).collect();
    assert_eq!(
        origins,
        [
            Origin::Measured,
            Origin::Interpolated,
            Origin::Measured,
            Origin::Interpolated,
            Origin::Measured
        ]
    );
    near(run.bow.unwrap().value(), 2.0, 1e-12);
}

#[test]
fn more_readings_go_from_neighbour_to_neighbour() {
    let run = interpolate(
        &heights(9),
        &[
            reading(1, 4000.0),
            reading(3, 4006.0),
            reading(5, 4007.0),
            reading(9, 4008.0),
        ],
        ASSUMED_BOW_SPREAD,
    )
    .unwrap();
    near(run.wires[1].length.value(), 4003.0, 1e-12);
    near(run.wires[6].length.value(), 4007.5, 1e-12);
    // Half way in a quarter of the height: √(½) and the bow's 2 mm shrunk to a sixteenth.
    near(
        run.wires[1].spread.value(),
        (0.5_f64 + (2.0_f64 / 16.0).powi(2)).sqrt(),
        1e-12,
    );
}

#[test]
fn nothing_is_extrapolated_and_nothing_counted_twice() {
    let of = |readings: &[LengthReading]| interpolate(&heights(5), readings, ASSUMED_BOW_SPREAD);
    assert_eq!(
        of(&[reading(1, 4000.0), reading(4, 4003.0)]),
        Err(MechanicsError::OutsideReadings { wire: 5 })
    );
    assert_eq!(
        of(&[reading(1, 4000.0), reading(2, 4001.0), reading(3, 4003.0)]),
        Err(MechanicsError::OutsideReadings { wire: 4 })
    );
    assert_eq!(
        of(&[reading(1, 4000.0)]),
        Err(MechanicsError::TooFewReadings { got: 1, needed: 2 })
    );
    assert_eq!(
        of(&[reading(1, 4000.0), reading(1, 4001.0), reading(5, 4000.0)]),
        Err(MechanicsError::TwoReadings { wire: 1 })
    );
    assert_eq!(
        of(&[reading(1, 4000.0), reading(6, 4001.0)]),
        Err(MechanicsError::UnknownWire { wire: 6 })
    );
    assert!(of(&[reading(1, 4000.0), reading(0, 4001.0)]).is_err());
    assert!(of(&[reading(1, -4000.0), reading(5, 4001.0)]).is_err());
    let fallen = [Millimetres(80.0), Millimetres(70.0)];
    assert_eq!(
        interpolate(
            &fallen,
            &[reading(1, 1.0), reading(2, 1.0)],
            ASSUMED_BOW_SPREAD
        ),
        Err(MechanicsError::HeightsNotRising { wire: 2 })
    );
}

#[test]
fn one_wire_needs_one_reading() {
    let run = interpolate(&heights(1), &[reading(1, 4000.0)], ASSUMED_BOW_SPREAD).unwrap();
    assert_eq!(run.wires[0].origin, Origin::Measured);
    let none = interpolate(&heights(1), &[], ASSUMED_BOW_SPREAD);
    assert_eq!(
        none,
        Err(MechanicsError::TooFewReadings { got: 0, needed: 1 })
    );
}

#[test]
fn eleven_apart_asks_for_the_middle() {
    let advice = middle_advice(12, &[reading(1, 7294.0), reading(12, 7305.0)]).unwrap();
    let LengthAdvice::MeasureMiddle {
        difference,
        wire,
        sentence,
    } = advice
    else {
        panic!("{advice:?}");
    };
    assert_eq!((difference, wire), (Millimetres(11.0), 6));
    assert_eq!(
        sentence,
        "Bottom and top differ by 11 mm: measure wire 6 in the middle as well."
    );
    let with_middle = [reading(1, 7294.0), reading(6, 7300.0), reading(12, 7305.0)];
    assert_eq!(middle_advice(12, &with_middle), None);
    let close = [reading(1, 7294.0), reading(12, 7299.9)];
    assert_eq!(middle_advice(12, &close), None);
}

#[test]
fn bays_and_posts_add_up_to_the_length() {
    let bays = [1380.0, 1410.0, 1395.0, 1560.0, 1195.0].map(Millimetres);
    let posts = [90.0; 4].map(Millimetres);
    let readings = [reading(1, 7294.0), reading(6, 7300.0), reading(12, 7305.0)];
    assert_eq!(
        bays_advice(&bays, &posts, &readings, Millimetres(15.0)).unwrap(),
        None
    );
    let short = [1380.0, 1410.0, 1395.0, 1560.0, 1165.0].map(Millimetres);
    let advice = bays_advice(&short, &posts, &readings, Millimetres(15.0))
        .unwrap()
        .unwrap();
    let LengthAdvice::BaysDisagree {
        sum,
        wire,
        length,
        difference,
        ..
    } = advice
    else {
        panic!("{advice:?}");
    };
    assert_eq!(sum, Millimetres(7270.0));
    assert_eq!(
        (wire, length, difference),
        (12, Millimetres(7305.0), Millimetres(35.0))
    );
    // One reading that fits does not speak for another.
    let top = [reading(1, 7294.0), reading(12, 7400.0)];
    assert!(matches!(
        bays_advice(&bays, &posts, &top, Millimetres(15.0)).unwrap(),
        Some(LengthAdvice::BaysDisagree { wire: 12, .. })
    ));
    let bad = [Millimetres(0.0)];
    assert!(bays_advice(&bad, &posts, &readings, Millimetres(15.0)).is_err());
}

/// By hand: between 4398 and 4390 at 6/12 of the way, less one, lies 4398 − 8·5/11 = 4394.36.
#[test]
fn a_slip_of_one_reading_lies_off_the_line_of_the_others() {
    let ask = |readings: &[LengthReading]| straight_advice(&heights(12), readings).unwrap();
    let slipped = [reading(1, 4398.0), reading(6, 4388.0), reading(12, 4390.0)];
    let Some(LengthAdvice::OffTheLine {
        wire,
        three,
        off,
        sentence,
    }) = ask(&slipped).pop()
    else {
        panic!("12 mm in one reading of three");
    };
    assert_eq!((wire, three), (6, [1, 6, 12]));
    near(off.value(), 4388.0 - (4398.0 - 8.0 * 5.0 / 11.0), 1e-9);
    assert_eq!(
        sentence,
        "Of wire 1, 4398 mm, wire 6, 4388 mm and wire 12, 4390 mm, the middle one lies 6.4 mm off a \
         straight line, where posts bow by less than 5 mm, and the wires beside them follow it. Was \
         one of the three misread?"
    );
    // The worked job bows by a millimetre; one more would still be a post.
    assert_eq!(
        ask(&[reading(1, 7294.0), reading(6, 7300.0), reading(12, 7305.0)]),
        []
    );
    let line = |off: f64| {
        let middle = 7294.0 + 11.0 * 5.0 / 11.0 + off;
        ask(&[reading(1, 7294.0), reading(6, middle), reading(12, 7305.0)])
    };
    assert_eq!(line(4.99), []);
    assert_eq!([line(5.01).len(), line(-5.01).len()], [1, 1]);
    // Of all wires the one without which the rest make a line is named; two make no line to be off.
    let mut all: Vec<_> = (1..=12)
        .map(|w| reading(w, 7294.0 + f64::from(w)))
        .collect();
    assert_eq!(ask(&all), []);
    let named = |readings: &[LengthReading]| -> Vec<u32> {
        let wires = ask(readings).into_iter().map(|advice| match advice {
            LengthAdvice::OffTheLine { wire, .. } => wire,
            other => panic!("{other:?}"),
        });
        wires.collect()
    };
    all[8].length += Millimetres(10.0);
    assert_eq!(named(&all), [9]);
    // A second slip does not hide behind the first, even right beside it; one at an end is one.
    all[2].length += Millimetres(9.0);
    assert_eq!(named(&all), [9, 3]);
    all[2].length -= Millimetres(9.0);
    all[10].length += Millimetres(9.0);
    assert_eq!(named(&all), [9, 11]);
    all[8].length -= Millimetres(10.0);
    all[10].length -= Millimetres(9.0);
    all[0].length += Millimetres(1000.0);
    assert_eq!(named(&all), [1]);
    assert_eq!(ask(&[reading(1, 7294.0), reading(12, 7400.0)]), []);
    assert!(straight_advice(&heights(2), &[reading(3, 1.0)]).is_err());
}

fn wire<'a>(name: &'a str, length: f64) -> Option<Beside<'a>> {
    Some(Beside {
        name,
        length: Millimetres(length),
        alike: true,
    })
}

#[test]
fn a_length_that_can_not_be_is_refused_whatever_stands_beside_it() {
    for bad in [
        0.0,
        -0.0,
        -7305.0,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1_000_000.1,
    ] {
        for beside in [None, wire("wire 6", 7300.0), wire("wire 6", f64::NAN)] {
            assert!(question_length(Millimetres(bad), beside).is_err(), "{bad}");
        }
    }
    assert!(question_length(Millimetres(1_000_000.0), None).is_ok());
}

#[test]
fn inches_typed_for_millimetres_and_the_other_way_round_are_asked_about() {
    let ask = |length: f64| question_length(Millimetres(length), wire("wire 6", 7300.0)).unwrap();
    // 287 5/8 in is 7305.7 mm.
    let Some(LengthQuestion::InchesOrMillimetres {
        perhaps, sentence, ..
    }) = ask(287.625)
    else {
        panic!("inches typed for millimetres");
    };
    near(perhaps.value(), 7305.675, 1e-9);
    assert_eq!(
        sentence,
        "287.6 mm is 25 times less than wire 6, 7300 mm. Inches? It would be 7305.7 mm."
    );
    let asked = ask(7305.0 * 25.4).unwrap();
    assert!(
        asked
            .sentence()
            .starts_with("185547 mm is 25 times wire 6, 7300 mm. Millimetres?"),
        "{}",
        asked.sentence()
    );
    let inches = |length| {
        matches!(
            ask(length),
            Some(LengthQuestion::InchesOrMillimetres { .. })
        )
    };
    for (length, is) in [
        (7300.0 / 31.0, false),
        (7300.0 / 30.0, true),
        (7300.0 / 20.0, true),
        (7300.0 / 19.0, false),
        (7300.0 * 19.0, false),
        (7300.0 * 20.0, true),
        (7300.0 * 30.0, true),
        (7300.0 * 31.0, false),
    ] {
        assert_eq!(inches(length), is, "{length}");
    }
    // Other units are asked about of bays too, which may differ as they like otherwise.
    let bay = |length: f64| {
        let beside = Beside {
            name: "bay A1–A2",
            length: Millimetres(1380.0),
            alike: false,
        };
        question_length(Millimetres(length), Some(beside)).unwrap()
    };
    assert_eq!(bay(735.0), None);
    assert_eq!(bay(3000.0), None);
    // Up to five times either way; 36 times as long, and next to nothing, are asked about.
    assert_eq!(bay(1380.0 * 5.0), None);
    assert_eq!(bay(1380.0 / 5.0), None);
    for (length, sentence) in [
        (
            50_000.0,
            "50000 mm is 36 times bay A1–A2, 1380 mm. Is it right?",
        ),
        (
            6901.0,
            "6901 mm is 5 times bay A1–A2, 1380 mm. Is it right?",
        ),
        (
            0.5,
            "0.5 mm is 2760 times less than bay A1–A2, 1380 mm. Is it right?",
        ),
    ] {
        assert_eq!(bay(length).unwrap().sentence(), sentence);
        assert!(matches!(bay(length), Some(LengthQuestion::FarOff { .. })));
    }
    assert!(matches!(
        bay(54.0),
        Some(LengthQuestion::InchesOrMillimetres { .. })
    ));
}

#[test]
fn metres_and_centimetres_are_asked_about_by_name() {
    let bay = |length: f64| {
        let beside = Beside {
            name: "bay 2",
            length: Millimetres(1410.0),
            alike: false,
        };
        question_length(Millimetres(length), Some(beside)).unwrap()
    };
    for (length, sentence) in [
        (
            1.395,
            "1.4 mm is 1011 times less than bay 2, 1410 mm. Metres? It would be 1395 mm.",
        ),
        (
            138.0,
            "138 mm is 10 times less than bay 2, 1410 mm. Centimetres? It would be 1380 mm.",
        ),
    ] {
        let asked = bay(length).unwrap();
        assert_eq!(asked.sentence(), sentence);
        assert!(matches!(asked, LengthQuestion::MetresOrCentimetres { .. }));
    }
    for (length, unit) in [
        (1410.0 / 1201.0, false),
        (1410.0 / 1200.0, true),
        (1410.0 / 799.0, false),
    ] {
        let is = matches!(
            bay(length),
            Some(LengthQuestion::MetresOrCentimetres { .. })
        );
        assert_eq!(is, unit, "{length}");
    }
}

#[test]
fn a_first_figure_is_held_against_what_is_usual() {
    let bay = |mm: f64| question_usual("a bay", Millimetres(mm), &BAY_USUAL);
    for (mm, asked) in [
        (299.9, true),
        (300.0, false),
        (3000.0, false),
        (3000.1, true),
    ] {
        assert_eq!(bay(mm).is_some(), asked, "{mm}");
    }
    assert_eq!(
        bay(138.0).unwrap(),
        "138 mm is unusual for a bay, where 300 to 3000 mm is common. Is the unit right?"
    );
    // A survey all in inches has nothing else beside its first figure.
    assert_eq!(
        bay(55.0).unwrap(),
        "55 mm is unusual for a bay, where 300 to 3000 mm is common. Inches? It would be 1397 mm."
    );
}

#[test]
fn wires_further_apart_than_sixty_millimetres_and_two_hundredths_are_asked_about() {
    // The larger of both counts: 146 mm beside 7300, 60 beside 1000.
    for (beside, length, asked) in [
        (7300.0, 7446.0, false),
        (7300.0, 7446.1, true),
        (7300.0, 7154.0, false),
        (7300.0, 7153.9, true),
        (1000.0, 1060.0, false),
        (1000.0, 1060.1, true),
        (1000.0, 939.9, true),
        (3000.0, 3060.0, false),
        (3000.0, 3060.1, true),
    ] {
        let found = question_length(Millimetres(length), wire("wire 6", beside)).unwrap();
        let is = matches!(found, Some(LengthQuestion::FarOff { .. }));
        assert_eq!(is, asked, "{length} beside {beside}: {found:?}");
        assert_eq!(found.is_some(), asked);
    }
    let found = question_length(Millimetres(7450.0), wire("wire 6", 7300.0)).unwrap();
    assert_eq!(
        found.unwrap().sentence(),
        "7450 mm is 150 mm away from wire 6, 7300 mm. Is it right?"
    );
}

#[test]
fn over_a_hundred_metres_is_asked_about() {
    let alone = |length| question_length(Millimetres(length), None).unwrap();
    assert_eq!(alone(100_000.0), None);
    assert!(matches!(
        alone(100_000.1),
        Some(LengthQuestion::VeryLong { .. })
    ));
    // Beside one as long too.
    let found = question_length(Millimetres(101_000.0), wire("wire 6", 101_000.0)).unwrap();
    assert!(matches!(found, Some(LengthQuestion::VeryLong { .. })));
    // What can't be a length is held against nothing.
    let found = question_length(Millimetres(7300.0), wire("wire 6", 0.0)).unwrap();
    assert_eq!(found, None);
}

#[test]
fn the_middle_one_of_lengths() {
    let of = |lengths: &[f64]| {
        let lengths: Vec<_> = lengths.iter().copied().map(Millimetres).collect();
        middle(&lengths).map(Millimetres::value)
    };
    assert_eq!(of(&[]), None);
    assert_eq!(of(&[f64::NAN, -1.0, 0.0]), None);
    assert_eq!(of(&[7305.0, 287.0, 7300.0]), Some(7300.0));
    assert_eq!(of(&[7305.0, 7300.0]), Some(7305.0));
}

#[test]
fn a_clear_distance_goes_with_positions_within_sixty_millimetres_or_two_percent() {
    let mm = Millimetres;
    // Posts whose widths are known leave 1410 exactly; common practice, no published source.
    for (clear, fits) in [
        (1350.0, true),
        (1349.0, false),
        (1470.0, true),
        (1471.0, false),
    ] {
        assert_eq!(
            fits_positions(mm(clear), mm(1410.0), mm(1410.0)),
            fits,
            "{clear}"
        );
    }
    // Beyond 3 m two percent are more.
    for (clear, fits) in [(5100.0, true), (5101.0, false)] {
        assert_eq!(
            fits_positions(mm(clear), mm(5000.0), mm(5000.0)),
            fits,
            "{clear}"
        );
    }
    // A post whose width is not known may take up to 200 mm of it.
    assert!(fits_positions(mm(1210.0), mm(1210.0), mm(1410.0)));
    assert!(!fits_positions(mm(1149.0), mm(1210.0), mm(1410.0)));
}

//! Drilling templates: distances, pages, joins, bars.

use mechanics::template::{BAR, MEASURE_FIRST, Paper, TemplateMark, template};
use mechanics::{MechanicsError, Millimetres};
use proptest::prelude::*;

use crate::near;

fn marks(heights: &[f64]) -> Vec<TemplateMark> {
    (1..)
        .zip(heights)
        .map(|(wire, height)| TemplateMark {
            label: format!("A wire {wire}"),
            aside: Millimetres(0.0),
            height: Millimetres(*height),
            diameter: Millimetres(9.0),
        })
        .collect()
}

#[test]
fn run_a_on_four_pages() {
    // 12 wires at 76: 912 high. A page holds 297 − 20 − 25 = 252, and 232 more with each page.
    let heights: Vec<f64> = (1..=12).map(|n| 76.0 * f64::from(n)).collect();
    let found = template("A3, towards A2", &marks(&heights), Paper::A4).unwrap();
    assert_eq!(found.words, MEASURE_FIRST);
    assert!(found.words.contains("100 mm"));
    assert_eq!(found.pages.len(), 4);
    let first = &found.pages[0];
    assert_eq!((first.from.value(), first.to.value()), (0.0, 252.0));
    assert_eq!(first.floor_line, Some(Millimetres(287.0)));
    assert_eq!(first.marks[0].y, Millimetres(287.0 - 76.0));
    assert_eq!(first.marks.len(), 3);
    assert!(found.pages[1].floor_line.is_none());
    assert_eq!(found.pages[1].from, Millimetres(232.0));
    // Joins: the same heights on both pages, two in each overlap.
    for pair in found.pages.windows(2) {
        let above: Vec<_> = pair[0].joins.iter().rev().take(2).rev().collect();
        let below: Vec<_> = pair[1].joins.iter().take(2).collect();
        for (above, below) in above.iter().zip(&below) {
            assert_eq!((&above.label, above.height), (&below.label, below.height));
        }
        assert_eq!(below[1].height - below[0].height, Millimetres(20.0));
    }
    assert_eq!(found.pages[3].joins.len(), 2);
    assert_eq!(found.pages[0].joins[0].label, "a1");
}

#[test]
fn a_mark_off_the_middle_lies_as_far_beside_it() {
    let mut aside = marks(&[76.0, 152.0]);
    aside[1].aside = Millimetres(-9.0);
    let found = template("t", &aside, Paper::A4).unwrap();
    let places: Vec<f64> = found.pages[0].marks.iter().map(|m| m.x.value()).collect();
    assert_eq!(places, [105.0, 96.0]);
    // 105 to the edge less the margin of 10, 15 for the bar, 6 of the cross and half of 9.
    let most = Paper::A4.beside_the_middle(Millimetres(9.0));
    assert_eq!(most, Millimetres(69.5));
    for (off, fits) in [(60.0, true), (-69.5, true), (69.6, false), (-70.0, false)] {
        aside[1].aside = Millimetres(off);
        let found = template("t", &aside, Paper::A4);
        assert_eq!(found.is_ok(), fits, "{off}");
    }
}

#[test]
fn templates_that_cannot_be_are_refused() {
    assert_eq!(
        template("t", &[], Paper::A4),
        Err(MechanicsError::NothingToMark)
    );
    for height in [-1.0, f64::NAN, 7_000.0] {
        assert!(template("t", &marks(&[height]), Paper::A4).is_err());
    }
    for change in [
        |p: &mut Paper| p.overlap = Millimetres(400.0),
        |p: &mut Paper| p.width = Millimetres(100.0),
        |p: &mut Paper| p.height = Millimetres(120.0),
        |p: &mut Paper| p.margin = Millimetres(-1.0),
        |p: &mut Paper| p.height = Millimetres(f64::NAN),
    ] {
        let mut paper = Paper::A4;
        change(&mut paper);
        assert!(template("t", &marks(&[76.0]), paper).is_err(), "{paper:?}");
    }
}

proptest! {
    #[test]
    fn marks_lie_true_and_none_is_lost(
        heights in proptest::collection::vec(0.0..2400.0_f64, 1..40),
        overlap in 5.0..60.0_f64,
    ) {
        let paper = Paper { overlap: Millimetres(overlap), ..Paper::A4 };
        let wanted = marks(&heights);
        let found = template("t", &wanted, paper).unwrap();
        for mark in &wanted {
            let on = |page: &&mechanics::template::TemplatePage| {
                page.marks.iter().any(|placed| placed.label == mark.label)
            };
            prop_assert!(found.pages.iter().any(|page| on(&page)));
        }
        for page in &found.pages {
            for bar in page.bars {
                let length = (bar.to_x - bar.x).value().hypot((bar.to_y - bar.y).value());
                near(length, BAR.value(), 1e-9);
                prop_assert!(bar.x.value() >= 10.0 && bar.to_x.value() <= 200.0);
                prop_assert!(bar.y.value() >= 10.0 && bar.to_y.value() <= 287.0);
            }
            for pair in page.marks.windows(2) {
                let apart = pair[1].height - pair[0].height;
                prop_assert!((pair[0].y - pair[1].y - apart).value().abs() < 1e-6);
            }
            for mark in &page.marks {
                prop_assert!(mark.y.value() >= 35.0 - 1e-6 && mark.y.value() <= 287.0 + 1e-6);
            }
        }
    }
}

//! Laws of layouts: inches and millimetres agree, more asked is never fewer wires; letter paper.

use mechanics::cutting::cut_window;
use mechanics::rules::look_up_tension;
use mechanics::spacing::{IN_HAND, SpacingAsk, WireLayout, lay_out};
use mechanics::strand::{Construction, axial_stiffness_band, default_axial_stiffness};
use mechanics::template::{BAR, Paper, TemplateMark, template};
use mechanics::{Degrees, Millimetres};
use proptest::prelude::*;

use crate::{au, irc, near};

fn ask(underside: f64, bay: f64) -> SpacingAsk {
    SpacingAsk {
        rail_underside: Millimetres(underside),
        bottom: None,
        slope: Degrees(0.0),
        diameter: Millimetres(3.2),
        construction: Construction::OneByNineteen,
        widest_bay: Millimetres(bay),
        in_hand: IN_HAND,
        step: Millimetres(1.0),
        widest_spacing: None,
    }
}

fn of_row(layouts: &[WireLayout], row: f64) -> Option<&WireLayout> {
    layouts.iter().find(|l| (l.row.value() - row).abs() < 1e-9)
}

#[test]
fn letter_paper_is_eight_and_a_half_by_eleven() {
    // ANSI/ASME Y14.1 size A: 8.5 × 11 in; 25.4 mm to the inch, exact by definition.
    near(Paper::LETTER.width.value(), 8.5 * 25.4, 1e-9);
    near(Paper::LETTER.height.value(), 11.0 * 25.4, 1e-9);
    let marks = [TemplateMark {
        label: "12".to_owned(),
        aside: Millimetres(0.0),
        height: Millimetres(912.0),
        diameter: Millimetres(9.0),
    }];
    let found = template("t", &marks, Paper::LETTER).unwrap();
    // A page holds 279.4 − 20 − 25 = 234.4 and 214.4 more with each: 912 needs five.
    assert_eq!(found.pages.len(), 5);
    for bar in found.pages[0].bars {
        assert_eq!((bar.to_x - bar.x).max(bar.to_y - bar.y), BAR);
        assert!(bar.to_x < Paper::LETTER.width && bar.to_y < Paper::LETTER.height);
    }
}

#[test]
fn the_stiffness_of_an_unknown_strand_is_told_as_a_band() {
    // EN 1993-1-11 table 3.1, recalled: 130 ± 10 GPa on the metallic area; 6.112 mm² for 3.2 mm.
    let band = axial_stiffness_band(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    // Half a unit of the area's last digit.
    near(band.0.value(), 6.112 * 120.0e3, 0.0005 * 120.0e3);
    near(band.1.value(), 6.112 * 140.0e3, 0.0005 * 140.0e3);
    let middle = default_axial_stiffness(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    near(
        (band.0.value() + band.1.value()) / 2.0,
        middle.value.value(),
        1e-6,
    );
}

/// A length on a tape's sixteenths, as inches come out.
fn by_inches(sixteenths: u32) -> Millimetres {
    Millimetres(f64::from(sixteenths) * 25.4 / 16.0)
}

/// The same as the record keeps it, in whole nanometres.
fn by_millimetres(sixteenths: u32) -> Millimetres {
    Millimetres(by_inches(sixteenths).whole_nanometres() / 1e6)
}

proptest! {
    /// A rail told in sixteenths gives heights on sixteenths, and the same ones however it was told.
    #[test]
    fn inches_and_millimetres_agree(sixteenths in 300_u32..900, widest in 40_u32..64) {
        let inch = |n: u32| Millimetres(f64::from(n) * 25.4 / 16.0);
        let mut by_inches = ask(inch(sixteenths).value(), 1_200.0);
        by_inches.step = inch(1);
        by_inches.in_hand = Millimetres(0.0);
        by_inches.widest_spacing = Some(inch(widest));
        // The same lengths as a tape in millimetres has them, to the nanometre.
        let mut by_millimetres = by_inches.clone();
        let exact = |mm: Millimetres| Millimetres(mm.whole_nanometres() / 1e6);
        by_millimetres.rail_underside = exact(by_inches.rail_underside);
        by_millimetres.step = exact(by_inches.step);
        by_millimetres.widest_spacing = by_inches.widest_spacing.map(exact);
        let (a, b) = (lay_out(&irc(), &by_inches).unwrap(), lay_out(&irc(), &by_millimetres).unwrap());
        prop_assert_eq!(&a[0].heights, &b[0].heights);
        for height in &a[0].heights {
            let parts = height.value() * 16.0 / 25.4;
            prop_assert!((parts - parts.round()).abs() < 1e-4, "{} is no sixteenth", height);
        }
        prop_assert!(a[0].spacing_square.value() <= inch(widest).value() + 1e-6);
    }

    /// Windows, rows of the rules and what bays add up to, of lengths on a tape's sixteenths.
    #[test]
    fn windows_and_rows_agree_in_inches_and_millimetres(
        inside in 400_u32..4_800, inward in 0_u32..4, bay in 160_u32..1_600, spacing in 16_u32..70,
    ) {
        let window = |of: fn(u32) -> Millimetres| {
            let mut asked = crate::cutting::input(1_000.0, 0.0, 3.2);
            (asked.inside_to_inside, asked.inward) = (of(inside), of(inward));
            cut_window(&asked).map(|w| (w.shortest, w.longest, w.aim, w.spread, w.shortest_by))
        };
        match (window(by_inches), window(by_millimetres)) {
            (Ok(a), Ok(b)) => {
                for (a, b) in [(a.0, b.0), (a.1, b.1), (a.2, b.2), (a.3, b.3)] {
                    prop_assert!((a - b).abs() < Millimetres(1e-9), "{a} {b}");
                }
                prop_assert_eq!(a.4, b.4);
            }
            (a, b) => prop_assert_eq!(a.is_ok(), b.is_ok()),
        }
        for set in [au(), irc()] {
            let row = |of: fn(u32) -> Millimetres| {
                let lay = Construction::OneByNineteen;
                let found = look_up_tension(&set, Millimetres(3.2), lay, of(spacing), of(bay)).unwrap();
                let kind = std::mem::discriminant(&found.outcome);
                (kind, found.outcome.limit(), found.read_as)
            };
            prop_assert_eq!(row(by_inches), row(by_millimetres));
        }
        let sum = |of: &dyn Fn(u32) -> Millimetres| (0..5).map(|n| of(bay + n)).sum::<Millimetres>();
        prop_assert_eq!(sum(&by_inches).whole_nanometres(), sum(&by_millimetres).whole_nanometres());
    }

    /// More in hand, a higher rail or a steeper rake never asks for fewer wires.
    #[test]
    fn more_asked_is_never_fewer_wires(
        underside in 400.0..1200.0_f64, more in 0.0..300.0_f64, hand in 0.0..6.0_f64,
        extra in 0.0..6.0_f64, bay in 400.0..1500.0_f64,
    ) {
        let wires = |ask: &SpacingAsk, row: f64| {
            of_row(&lay_out(&au(), ask).unwrap(), row).map(|l| l.heights.len())
        };
        let mut base = ask(underside, bay);
        base.in_hand = Millimetres(hand);
        for row in [60.0, 80.0, 100.0] {
            let least = wires(&base, row).unwrap();
            let mut higher = base.clone();
            higher.rail_underside += Millimetres(more);
            prop_assert!(wires(&higher, row).unwrap() >= least);
            let mut kept = base.clone();
            kept.in_hand += Millimetres(extra);
            prop_assert!(wires(&kept, row).unwrap() >= least);
        }
        // A closer row never takes fewer wires than a wider one.
        let all: Vec<usize> = lay_out(&au(), &base).unwrap().iter().map(|l| l.heights.len()).collect();
        prop_assert!(all.windows(2).all(|pair| pair[0] >= pair[1]), "{:?}", all);
    }
}

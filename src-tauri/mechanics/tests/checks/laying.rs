//! Laws of layouts: inches and millimetres agree, more asked is never fewer wires; letter paper.

use mechanics::cutting::cut_window;
use mechanics::rules::look_up_tension;
use mechanics::slope::stair_slope;
use mechanics::spacing::{IN_HAND, SpacingAsk, WireLayout, lay_out};
use mechanics::strand::{Construction, axial_stiffness_band, default_axial_stiffness};
use mechanics::template::{BAR, Paper, TemplateMark, template};
use mechanics::{Degrees, MechanicsError, Millimetres};
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
        rail_nearer: Millimetres(0.0),
        below_rail: Millimetres(0.0),
        rail_farther: Millimetres(0.0),
        sphere: None,
    }
}

fn of_row(layouts: &[WireLayout], row: f64) -> Option<&WireLayout> {
    layouts.iter().find(|l| (l.row.value() - row).abs() < 1e-9)
}

#[test]
fn no_layout_is_wider_than_was_wanted_whatever_row_it_reads() {
    let wanted = |widest: f64, slope: Degrees, underside: f64| {
        let mut ask = ask(underside, 1209.2);
        ask.slope = slope;
        ask.widest_spacing = Some(Millimetres(widest));
        let told = lay_out(&au(), &ask).unwrap();
        let of = |l: &WireLayout| (l.row.value(), l.heights.len(), l.spacing_plumb.value());
        told.iter().map(of).collect::<Vec<_>>()
    };
    let level = |widest| wanted(widest, Degrees(0.0), 985.0);
    // 985 / 13 is 75.8, in whole millimetres 76: what is asked for is among what is proposed.
    assert_eq!(level(76.0), [(60.0, 17, 55.0), (80.0, 12, 76.0)]);
    // 985 / 14 = 70.4.
    assert_eq!(level(75.0), [(60.0, 17, 55.0), (80.0, 13, 71.0)]);
    // Closer than the closest row: 985 / 20 = 49.25. A row that nothing so close reads is left out.
    assert_eq!(level(50.0), [(60.0, 19, 50.0)]);
    assert_eq!(level(60.0), [(60.0, 17, 55.0)]);
    // Square to the wires: 93 plumb are 75.8 on 178 over 250.
    let slope = stair_slope(Millimetres(178.0), Millimetres(250.0)).unwrap();
    assert!(wanted(76.0, slope, 836.0).contains(&(80.0, 8, 93.0)));
    assert!(!wanted(75.0, slope, 836.0).contains(&(80.0, 8, 93.0)));
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

/// A rail at 985 that comes 90 nearer at a post: 12 wires at 76 end at 912, which lies in it there. By hand: below
/// 895 the fewest in the 80 row are 11, and at 75 or 76 apart they leave 985 − 11 · 76 = 149 at the other posts, through
/// which 125 passes; 12 at 72 leave 985 − 864 = 121.
#[test]
fn a_rail_that_comes_nearer_at_a_post_takes_the_top_wire_down() {
    let mut near_by = ask(985.0, 1410.0);
    near_by.rail_nearer = Millimetres(90.0);
    near_by.sphere = Some(Millimetres(125.0));
    let found = lay_out(&au(), &near_by).unwrap();
    let chosen = of_row(&found, 80.0).unwrap();
    assert_eq!(chosen.heights.len(), 12);
    assert_eq!(chosen.spacing_plumb, Millimetres(72.0));
    assert_eq!(chosen.top_gap, Millimetres(121.0));
    near(chosen.widest_clear.value(), 119.4, 1e-9);
    assert!(
        chosen.sentence.contains("31 mm to 121 mm below the rail"),
        "{}",
        chosen.sentence
    );
    // Where nothing keeps a sphere out, the fewest stand.
    near_by.sphere = None;
    let found = lay_out(&au(), &near_by).unwrap();
    assert_eq!(of_row(&found, 80.0).unwrap().heights.len(), 11);
    // Where it stands 90 farther at a third post 125 passes whatever is done: 12 at 74 leave the least, 985 − 888.
    (near_by.sphere, near_by.rail_farther) = (Some(Millimetres(125.0)), Millimetres(90.0));
    let found = lay_out(&au(), &near_by).unwrap();
    let chosen = of_row(&found, 80.0).unwrap();
    assert_eq!(
        (chosen.heights.len(), chosen.top_gap),
        (12, Millimetres(97.0))
    );
    // A hole of 9 with 20 of wood below the rail: 24.5 where it comes nearest, 985 − 12 · 72 − 90 = 31.
    near_by.below_rail = Millimetres(24.5);
    let found = lay_out(&au(), &near_by).unwrap();
    assert_eq!(of_row(&found, 80.0).unwrap().top_gap, Millimetres(121.0));
    // One that only stands farther moves no wire; its opening is told.
    let mut farther = ask(985.0, 1410.0);
    farther.rail_farther = Millimetres(60.0);
    let found = lay_out(&au(), &farther).unwrap();
    let chosen = of_row(&found, 80.0).unwrap();
    assert_eq!(
        (chosen.heights.len(), chosen.top_gap),
        (12, Millimetres(73.0))
    );
    near(chosen.widest_clear.value(), 73.0 + 60.0 - 1.6, 1e-9);
    // A rail that comes down to the floor, or to a bottom wire of its own height, leaves no room.
    for (nearer, bottom) in [(984.0, None), (926.0, Some(Millimetres(60.0)))] {
        let mut none = ask(985.0, 1410.0);
        (none.rail_nearer, none.bottom) = (Millimetres(nearer), bottom);
        assert_eq!(lay_out(&au(), &none), Err(MechanicsError::NoRoomBelowRail));
    }
    for wrong in [-1.0, f64::NAN] {
        let mut none = ask(985.0, 1410.0);
        none.rail_nearer = Millimetres(wrong);
        assert!(lay_out(&au(), &none).is_err());
        let mut none = ask(985.0, 1410.0);
        none.rail_farther = Millimetres(wrong);
        assert!(lay_out(&au(), &none).is_err());
    }
}

proptest! {
    /// Wherever the rail comes nearest, the top wire lies clear of it and no wire more fits between.
    #[test]
    fn no_top_wire_lies_in_the_rail_at_any_post(
        underside in 400.0..1300.0_f64, nearer in 0.0..380.0_f64, farther in 0.0..200.0_f64,
        kept in 0.0..10.0_f64, own in proptest::option::of(5.0..15.0_f64), keeps_out in proptest::bool::ANY,
    ) {
        let mut asked = ask(underside, 1200.0);
        (asked.in_hand, asked.bottom) = (Millimetres(kept), own.map(Millimetres));
        let alike = lay_out(&au(), &asked).unwrap();
        (asked.rail_nearer, asked.rail_farther) = (Millimetres(nearer), Millimetres(farther));
        asked.sphere = keeps_out.then_some(Millimetres(125.0));
        let half = asked.diameter.value() / 2.0;
        match lay_out(&au(), &asked) {
            Ok(found) => for (layout, alike) in found.iter().zip(&alike) {
                let least = layout.top_gap.value() - nearer;
                prop_assert!(least > half - 1e-6, "{}", layout.sentence);
                prop_assert!(least <= layout.spacing_plumb.value() + 1e-6, "{}", layout.sentence);
                prop_assert!(layout.spacing_square.value() <= layout.row.value() - kept + 1e-6);
                prop_assert!(
                    layout.widest_clear.value() >= layout.top_gap.value() + farther - half - 1e-6
                );
                if alike.top_gap.value() - nearer > half + 1e-6 {
                    prop_assert_eq!(&layout.heights, &alike.heights);
                }
            },
            Err(error) => {
                prop_assert_eq!(error, MechanicsError::NoRoomBelowRail);
                prop_assert!(underside - own.unwrap_or(0.0) - nearer <= half + 1e-6);
            }
        }
    }

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
            // A row that nothing reads with as much in hand has no layout; the closest always has one.
            prop_assert!(row > 60.0 || wires(&base, row).is_some());
            let Some(least) = wires(&base, row) else {
                continue;
            };
            let mut higher = base.clone();
            higher.rail_underside += Millimetres(more);
            prop_assert!(wires(&higher, row).is_none_or(|more| more >= least));
            let mut kept = base.clone();
            kept.in_hand += Millimetres(extra);
            prop_assert!(wires(&kept, row).is_none_or(|more| more >= least));
        }
        // A closer row never takes fewer wires than a wider one.
        let all: Vec<usize> = lay_out(&au(), &base).unwrap().iter().map(|l| l.heights.len()).collect();
        prop_assert!(all.windows(2).all(|pair| pair[0] >= pair[1]), "{:?}", all);
    }
}

//! Layout aids: wires for a rail, bays beside the table, floors that fall, shared posts.
//! One file past 400 lines, since every aid is asked about the same worked layouts.

use mechanics::holes::{PostFace, PostPlan};
use mechanics::rules::Outcome;
use mechanics::slope::stair_slope;
use mechanics::spacing::{
    AlsoCleared, AsideCase, BayToRead, FloorAsk, FloorBase, FloorPoint, IN_HAND, RunAtPost,
    SpacingAsk, StaggerAsk, bay_margins, floor_gaps, lay_out, stagger, stagger_among,
};
use mechanics::strand::Construction;
use mechanics::{Degrees, MechanicsError, Millimetres, Newtons};
use proptest::prelude::*;

use crate::{au, irc, near};

pub(crate) fn rail(underside: f64, slope: Degrees, bay: f64) -> SpacingAsk {
    SpacingAsk {
        rail_underside: Millimetres(underside),
        bottom: None,
        slope,
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

#[test]
fn run_a_is_laid_out_with_four_in_hand() {
    // The worked job: 12 wires at 76 (76 … 912) below a rail at 985, top gap 73.
    let layouts = lay_out(&au(), &rail(985.0, Degrees(0.0), 1410.0)).unwrap();
    let told: Vec<(f64, usize, f64, f64, f64)> = layouts
        .iter()
        .map(|l| {
            let count = l.heights.len();
            (
                l.row.value(),
                count,
                l.spacing_plumb.value(),
                l.top_gap.value(),
                l.in_hand.value(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            (60.0, 17, 55.0, 50.0, 5.0),
            (80.0, 12, 76.0, 73.0, 4.0),
            (100.0, 10, 90.0, 85.0, 10.0),
        ]
    );
    let chosen = &layouts[1];
    assert_eq!(chosen.heights[0], Millimetres(76.0));
    assert_eq!(chosen.heights[11], Millimetres(912.0));
    assert_eq!(chosen.tension.outcome.limit(), Some(Newtons(1330.0)));
    near(chosen.widest_clear.value(), 74.4, 1e-9);
    assert_eq!(
        chosen.sentence,
        "12 wires 76 mm apart, at 76 mm … 912 mm, 73 mm below the rail: 1330 N in bays up to \
         1500 mm; 4 mm in hand before the 100 mm row, not allowed."
    );
    assert_eq!(layouts[2].tension.outcome, Outcome::NotAllowed);
    assert!(
        layouts[2]
            .sentence
            .contains("not allowed in the widest bay")
    );
}

#[test]
fn run_b_is_laid_out_plumb_and_read_square() {
    // The worked job: 8 wires, 93 plumb (75.8 square), 93 … 744, rail underside 836.
    let slope = stair_slope(Millimetres(178.0), Millimetres(250.0)).unwrap();
    let layouts = lay_out(&au(), &rail(836.0, slope, 1209.2)).unwrap();
    let chosen = layouts.iter().find(|l| l.row.value() == 80.0).unwrap();
    assert_eq!(chosen.heights.len(), 8);
    assert_eq!(chosen.spacing_plumb, Millimetres(93.0));
    assert_eq!(chosen.heights[7], Millimetres(744.0));
    assert_eq!(chosen.top_gap, Millimetres(92.0));
    near(chosen.spacing_square.value(), 75.8, 0.05);
    assert_eq!(chosen.tension.outcome.limit(), Some(Newtons(1330.0)));
    assert!(
        chosen.sentence.contains("93 mm apart (75.8 mm square)"),
        "{}",
        chosen.sentence
    );
}

#[test]
fn a_bottom_height_of_its_own_and_steps_in_inches() {
    let mut ask = rail(985.0, Degrees(0.0), 1410.0);
    ask.bottom = Some(Millimetres(60.0));
    let chosen = lay_out(&au(), &ask).unwrap().remove(1);
    // (985 − 60) / 13 = 71.15 → 72; twelve steps of 72 above 60 leave 61.
    assert_eq!(chosen.heights.len(), 13);
    assert_eq!(
        (chosen.spacing_plumb.value(), chosen.top_gap.value()),
        (72.0, 61.0)
    );
    // 38 7/8 in to the rail, sixteenths, at most 3 in apart and nothing kept: 12 wires, 3 in.
    let mut inches = rail(38.875 * 25.4, Degrees(0.0), 1000.0);
    (inches.step, inches.in_hand) = (Millimetres(1.5875), Millimetres(0.0));
    assert_eq!(lay_out(&irc(), &inches), Err(MechanicsError::NoSpacingRow));
    // What was typed is named, and the way that helps.
    for (typed, kept, told) in [
        (1.0, 0.0, "keeps to the widest spacing of 1 mm with 0 mm"),
        (1.0, 4.0, "keeps to the widest spacing of 1 mm with 4 mm"),
    ] {
        let mut tight = inches.clone();
        (tight.widest_spacing, tight.in_hand) = (Some(Millimetres(typed)), Millimetres(kept));
        let refused = lay_out(&irc(), &tight).unwrap_err().to_string();
        assert!(
            refused.contains(told)
                && refused.ends_with("type a wider spacing, or keep less in hand"),
            "{refused}"
        );
    }
    let mut below = rail(985.0, Degrees(0.0), 1410.0);
    below.widest_spacing = Some(Millimetres(1.0));
    let refused = lay_out(&au(), &below).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "no number of wires up to 200 is no more than 1 mm apart; type a wider spacing, or leave it out"
    );
    inches.widest_spacing = Some(Millimetres(76.2));
    let layouts = lay_out(&irc(), &inches).unwrap();
    assert_eq!(layouts.len(), 1);
    let found = &layouts[0];
    assert_eq!(
        (found.heights.len(), found.spacing_plumb.value()),
        (12, 76.2)
    );
    near(found.top_gap.value() / 25.4, 2.875, 1e-6);
    assert!(found.sentence.contains("no figure in a table"));
    assert!(found.tension.read_as.is_none());
}

#[test]
fn layouts_that_cannot_be_are_refused() {
    let base = rail(985.0, Degrees(0.0), 1410.0);
    for change in [
        |a: &mut SpacingAsk| a.rail_underside = Millimetres(f64::NAN),
        |a: &mut SpacingAsk| a.rail_underside = Millimetres(-1.0),
        |a: &mut SpacingAsk| a.widest_bay = Millimetres(0.0),
        |a: &mut SpacingAsk| a.step = Millimetres(0.0),
        |a: &mut SpacingAsk| a.in_hand = Millimetres(-1.0),
        |a: &mut SpacingAsk| a.in_hand = Millimetres(60.0),
        |a: &mut SpacingAsk| a.slope = Degrees(80.0),
        |a: &mut SpacingAsk| a.bottom = Some(Millimetres(985.0)),
        |a: &mut SpacingAsk| a.step = Millimetres(500.0),
        // 985 / 201 is 4.9; and wires of 3.2 do not lie in one another.
        |a: &mut SpacingAsk| a.widest_spacing = Some(Millimetres(4.0)),
        |a: &mut SpacingAsk| {
            (a.rail_underside, a.widest_spacing) = (Millimetres(300.0), Some(Millimetres(3.0)));
        },
        |a: &mut SpacingAsk| a.widest_bay = Millimetres(50_000.0),
    ] {
        let mut ask = base.clone();
        change(&mut ask);
        assert!(lay_out(&au(), &ask).is_err(), "{ask:?}");
    }
}

#[test]
fn nine_over_reads_the_next_column_and_says_what_it_costs() {
    // Rows of ABCB Housing Provisions Standard 2022, 11.3.6 table a, 3.0 mm 1x19 at 80: 1200
    // and 1500 ask 1025 and 1330 N. The first of them differs between copies of the document; the
    // difference told is that of the set's own figures.
    let bays = [("B1", 1209.0), ("B2", 1200.0), ("B3", 2600.0)].map(|(label, clear)| BayToRead {
        label: label.to_owned(),
        clear: Millimetres(clear),
    });
    let wire = Construction::OneByNineteen;
    let found = bay_margins(&au(), Millimetres(3.2), wire, Millimetres(76.0), &bays).unwrap();
    assert_eq!(found[0].over, Some(Millimetres(9.0)));
    assert_eq!(found[0].costs, Some(Newtons(305.0)));
    assert_eq!(
        found[0].sentence,
        "B1: reads 1500 mm, 1330 N; 9 mm over the 1200 mm row, which asks 305 N less; 291 mm in hand before \
         the 1800 mm row, which asks 395 N more."
    );
    assert_eq!(found[1].in_hand, Some(Millimetres(0.0)));
    assert!(found[2].row.read_as.is_none() && found[2].sentence.contains("does not reach"));
}

#[test]
fn what_is_in_hand_is_counted_to_the_row_that_is_read() {
    // A half wall: 180 mm above the bottom wire. Three wires would stand at 60, the closest row's own end.
    let mut half = rail(580.0, Degrees(0.0), 1410.0);
    half.bottom = Some(Millimetres(400.0));
    let told = |ask: &SpacingAsk| -> Vec<(f64, usize, f64, f64)> {
        let layouts = lay_out(&au(), ask).unwrap();
        layouts
            .iter()
            .map(|l| {
                let read = l.tension.read_as.unwrap().spacing;
                assert_eq!(read, l.row);
                (
                    l.row.value(),
                    l.heights.len(),
                    l.spacing_plumb.value(),
                    l.in_hand.value(),
                )
            })
            .collect()
    };
    assert_eq!(told(&half), [(60.0, 4, 45.0, 15.0), (100.0, 2, 90.0, 10.0)]);
    // An inch in hand: 3 in less an inch falls into the 60 mm row, so nothing reads the 80 mm row.
    let mut inch = rail(985.0, Degrees(0.0), 1410.0);
    inch.in_hand = Millimetres(25.4);
    assert_eq!(told(&inch), [(60.0, 28, 34.0, 26.0)]);
}

proptest! {
    /// What is told as in hand is what the table itself has before its next row.
    #[test]
    fn what_is_in_hand_is_what_the_table_has_before_its_next_row(
        underside in 150.0..1300.0_f64, slope in -45.0..45.0_f64, kept in 0.0..30.0_f64,
    ) {
        let mut ask = rail(underside, Degrees(slope), 1410.0);
        ask.in_hand = Millimetres(kept);
        let mut before_a_row = 0;
        for layout in lay_out(&au(), &ask).unwrap() {
            let read = layout.tension.read_as.unwrap();
            prop_assert!((read.spacing - layout.row).abs().value() < 1e-9);
            prop_assert!(layout.in_hand.value() >= kept - 1e-6);
            if let Some(next) = &layout.tension.wider_spacing {
                prop_assert!((layout.in_hand - next.distance).abs().value() < 1e-6);
                before_a_row += 1;
            }
        }
        prop_assert!(before_a_row > 0);
    }

    #[test]
    fn the_fewest_wires_that_keep_what_is_asked(
        underside in 300.0..1300.0_f64, slope in -45.0..45.0_f64, bay in 300.0..2500.0_f64,
        kept in 0.0..10.0_f64, own in proptest::option::of(30.0..120.0_f64),
    ) {
        let mut ask = rail(underside, Degrees(slope), bay);
        ask.in_hand = Millimetres(kept);
        ask.bottom = own.map(Millimetres);
        let cos = slope.to_radians().cos();
        for layout in lay_out(&au(), &ask).unwrap() {
            let row = layout.row.value();
            prop_assert!(layout.spacing_square.value() <= row - kept + 1e-6);
            prop_assert!(layout.in_hand.value() >= kept - 1e-6);
            prop_assert!(layout.top_gap.value() > 0.0);
            prop_assert!(layout.top_gap <= layout.spacing_plumb);
            let heights = &layout.heights;
            let mut last = heights[0].value();
            for height in &heights[1..] {
                let apart = height.value() - last;
                prop_assert!((apart - layout.spacing_plumb.value()).abs() < 1e-5);
                last = height.value();
            }
            prop_assert!((last + layout.top_gap.value() - underside).abs() < 1e-5);
            // One wire less would need a wider spacing than is left, in whole millimetres.
            let gaps = heights.len() + usize::from(own.is_none()) - 1;
            if heights.len() > 1 {
                let room = underside - own.unwrap_or(0.0);
                let wider = (room / gaps as f64).ceil();
                prop_assert!(wider * cos > row - kept - 1e-6);
            }
        }
    }
}

fn floor(points: &[(&str, f64, f64, bool)], base: FloorBase) -> FloorAsk {
    FloorAsk {
        points: points
            .iter()
            .map(|(label, along, level, post)| FloorPoint {
                label: (*label).to_owned(),
                along: Millimetres(*along),
                level: Millimetres(*level),
                post: *post,
            })
            .collect(),
        base,
        bottom_wire: Millimetres(76.0),
        diameter: Millimetres(3.2),
        top: Some(Millimetres(1020.0)),
        coming_floor: Millimetres(0.0),
        sphere: Some(Millimetres(125.0)),
    }
}

#[test]
fn a_fall_of_one_in_a_hundred_moves_the_gap_by_73() {
    let points = [("A1", 0.0, 0.0, true), ("A6", 7300.0, -73.0, true)];
    let level = floor_gaps(&floor(&points, FloorBase::Level)).unwrap();
    assert_eq!(level.moves_by, Millimetres(73.0));
    assert_eq!(level.gaps[0].clear, Millimetres(74.4));
    assert_eq!(level.gaps[1].clear, Millimetres(147.4));
    assert!(level.gaps[1].passes && !level.gaps[0].passes);
    assert_eq!(level.widest_at, "A6");
    assert!(
        level.sentence.contains("A sphere of 125 mm passes at A6"),
        "{}",
        level.sentence
    );
    let follows = floor_gaps(&floor(&points, FloorBase::FollowsFloor)).unwrap();
    assert_eq!(follows.moves_by, Millimetres(0.0));
    assert!(
        follows
            .gaps
            .iter()
            .all(|gap| gap.clear == Millimetres(74.4) && !gap.passes)
    );
}

#[test]
fn low_spots_and_a_coming_floor() {
    // Floor of the worked job; a hollow half way between A3 and A4.
    let points = [
        ("A1", 0.0, 0.0, true),
        ("A2", 1425.0, -3.0, true),
        ("A3", 2925.0, -5.0, true),
        ("hollow", 3667.5, -20.0, false),
        ("A4", 4410.0, -8.0, true),
        ("A6", 7390.0, -12.0, true),
    ];
    let mut ask = floor(&points, FloorBase::FollowsFloor);
    ask.coming_floor = Millimetres(10.0);
    let found = floor_gaps(&ask).unwrap();
    // Between A3 and A4 the wire runs at −6.5; the hollow lies 13.5 below it.
    assert_eq!(found.gaps[3].clear, Millimetres(76.0 + 13.5 - 1.6));
    assert_eq!(found.gaps[3].clear_later, Millimetres(76.0 + 3.5 - 1.6));
    assert_eq!(found.gaps[3].top, Some(Millimetres(1033.5)));
    assert_eq!(found.gaps[0].top_later, Some(Millimetres(1010.0)));
    assert_eq!(found.widest_at, "hollow");
    let level = floor_gaps(&floor(&points, FloorBase::Level)).unwrap();
    assert_eq!(level.gaps[5].clear, Millimetres(76.0 + 12.0 - 1.6));
    ask.coming_floor = Millimetres(80.0);
    let buried = floor_gaps(&ask).unwrap();
    assert!(
        buried.sentence.contains("would lie on the coming floor"),
        "{}",
        buried.sentence
    );
}

#[test]
fn floors_that_cannot_be_are_refused() {
    let two = [("A1", 0.0, 0.0, true), ("A6", 7300.0, -73.0, true)];
    let one = floor(&two[..1], FloorBase::Level);
    assert_eq!(floor_gaps(&one), Err(MechanicsError::FloorEnds));
    let mut ask = floor(&two, FloorBase::Level);
    ask.points[1].post = false;
    assert_eq!(floor_gaps(&ask), Err(MechanicsError::FloorEnds));
    let mut ask = floor(&two, FloorBase::Level);
    ask.points[1].along = Millimetres(0.0);
    assert_eq!(
        floor_gaps(&ask),
        Err(MechanicsError::OutOfOrder {
            name: "A6".to_owned()
        })
    );
    for bad in [f64::NAN, f64::INFINITY] {
        let mut ask = floor(&two, FloorBase::Level);
        ask.points[1].level = Millimetres(bad);
        assert!(floor_gaps(&ask).is_err());
        ask.points[1].level = Millimetres(0.0);
        ask.bottom_wire = Millimetres(bad);
        assert!(floor_gaps(&ask).is_err());
    }
}

fn run(label: &str, face: PostFace, heights: &[f64]) -> RunAtPost {
    RunAtPost {
        label: label.to_owned(),
        face,
        heights: heights.iter().copied().map(Millimetres).collect(),
        offset: Millimetres(0.0),
        diameter: Millimetres(9.0),
        depth: Millimetres(42.0),
        rise: Degrees(0.0),
    }
}

fn shared(side: f64, wood: f64) -> StaggerAsk {
    StaggerAsk {
        post: PostPlan {
            wide: Millimetres(side),
            deep: Millimetres(side),
        },
        stays: run("A", PostFace::Front, &[76.0, 152.0, 228.0]),
        moves: run("B", PostFace::Right, &[76.0, 152.0]),
        least_wood: Millimetres(wood),
        step: Millimetres(1.0),
        most: Millimetres(38.0),
    }
}

#[test]
fn two_runs_in_one_post_are_staggered() {
    // Trade practice: two holes of 9 by 42 from neighbouring faces meet in a post of 90 and leave
    // 11 of wood in one of 115.
    let meet = stagger(&shared(90.0, 5.0)).unwrap();
    assert_eq!(meet.close.len(), 2);
    assert!(meet.close[0].pair.wood.value() <= 0.0);
    // 9 of hole and 5 of wood.
    assert_eq!(
        (meet.up, meet.down),
        (Some(Millimetres(14.0)), Some(Millimetres(14.0)))
    );
    // Half of 90 is 45: 4.5 of hole and 42 deep ask for 6.5 off the middle to leave 5 of wood.
    assert_eq!(meet.aside, Some(Millimetres(7.0)));
    assert_eq!(
        meet.sentence,
        "2 pairs of holes come too close: move run B 14 mm up or 14 mm down; 7 mm off the middle of its \
         face, away from the holes of run A, the holes of run B keep the wood as high as they are."
    );
    let kept = stagger(&shared(115.0, 11.0)).unwrap();
    assert!(kept.close.is_empty());
    assert_eq!(
        (kept.up, kept.down),
        (Some(Millimetres(0.0)), Some(Millimetres(0.0)))
    );
    let short = stagger(&shared(115.0, 11.5)).unwrap();
    assert_eq!(short.close[0].pair.wood, Millimetres(11.0));
    assert_eq!(short.up, Some(Millimetres(21.0)));
    // 76 between A's holes leave no place for 9 of hole and 30 of wood on both sides.
    let none = stagger(&shared(90.0, 30.0)).unwrap();
    assert!(
        none.up.is_none() && none.sentence.contains("change a depth"),
        "{}",
        none.sentence
    );
    assert_eq!(none.down, None);
    // 31.5 off the middle would leave 9 of wood at the edge.
    assert_eq!(none.aside, None);
}

#[test]
fn where_one_run_has_no_way_that_of_the_other_is_told() {
    // By hand: B needs 42 + 20 + 4.5 - 45 = 21.5 off the middle, and more than 20.5 leaves less than 20 at the edge. B's holes reach 36 deep: A needs 36 + 20 + 4.5 - 45 = 15.5.
    let mut ask = shared(90.0, 20.0);
    ask.most = Millimetres(5.0);
    ask.moves.depth = Millimetres(36.0);
    let told = stagger(&ask).unwrap();
    assert_eq!((told.up, told.down, told.aside), (None, None, None));
    let way =
        "the holes of run A keep the wood 16 mm off the middle of theirs, away from those of run B";
    assert!(told.sentence.contains(way), "{}", told.sentence);
    for (offset, clears) in [(-16.0, true), (-15.0, false), (16.0, false)] {
        ask.stays.offset = Millimetres(offset);
        assert_eq!(stagger(&ask).unwrap().close.is_empty(), clears, "{offset}");
    }
}

#[test]
fn holes_off_the_middle_clear_where_no_way_up_or_down_does() {
    // By hand: 57.5 + 9 − 42 − 4.5 = 20.
    let mut ask = shared(115.0, 20.0);
    ask.most = Millimetres(5.0);
    let told = stagger(&ask).unwrap();
    assert_eq!((told.up, told.down), (None, None));
    assert_eq!(told.aside, Some(Millimetres(9.0)));
    assert!(
        told.sentence.contains("no way up or down of up to 5 mm"),
        "{}",
        told.sentence
    );
    // B enters on the right of A's face, and so A on the left of B's: B goes to the right.
    for (offset, clears) in [(9.0, true), (8.9, false), (-9.0, false)] {
        ask.moves.offset = Millimetres(offset);
        assert_eq!(stagger(&ask).unwrap().close.is_empty(), clears, "{offset}");
    }
    ask.moves.face = PostFace::Left;
    ask.moves.offset = Millimetres(-9.0);
    assert!(stagger(&ask).unwrap().close.is_empty());
    // From opposite faces no side is away from the other's.
    ask.moves.face = PostFace::Back;
    ask.moves.offset = Millimetres(0.0);
    ask.least_wood = Millimetres(40.0);
    assert_eq!(stagger(&ask).unwrap().aside, None);
}

#[test]
fn what_stands_aside_already_is_counted_and_no_hole_goes_back_towards_the_others() {
    // By hand as above: 9 off the middle; 4.3 of them stand.
    let mut ask = shared(115.0, 20.0);
    ask.most = Millimetres(5.0);
    ask.moves.offset = Millimetres(4.3);
    let told = stagger(&ask).unwrap();
    assert_eq!(told.aside, Some(Millimetres(9.0)));
    assert!(
        told.sentence
            .contains("9 mm off the middle of its face instead of 4.3 mm, away from"),
        "{}",
        told.sentence
    );
    // Half of 21 of hole, 42 deep and 5 of wood ask for 12.5, so 13; 4.5, 10.5 and 5 for 20 from height to
    // height, of which 15 are there: 5 up. Of the 13 but 3 are to go where 10 stand.
    let mut ask = shared(90.0, 5.0);
    ask.moves.diameter = Millimetres(21.0);
    ask.moves.heights = vec![Millimetres(91.0), Millimetres(167.0)];
    for (stands, aside) in [(10.0, Some(Millimetres(13.0))), (0.0, None), (-10.0, None)] {
        ask.moves.offset = Millimetres(stands);
        let told = stagger(&ask).unwrap();
        assert_eq!(
            (told.up, told.aside),
            (Some(Millimetres(5.0)), aside),
            "{stands}"
        );
    }
}

/// A run C enters opposite A with its holes 14 higher, where B's would go: 28 up clears both.
#[test]
fn a_way_clears_all_that_stands_in_the_post() {
    let ask = shared(90.0, 5.0);
    let third = run("C", PostFace::Back, &[90.0, 166.0]);
    let mut also = AlsoCleared {
        stand: vec![ask.stays.clone(), third.clone()],
        aside: Vec::new(),
    };
    let told = stagger_among(&ask, &also).unwrap();
    assert_eq!(told.close.len(), 2);
    assert_eq!(
        (told.up, told.down, told.aside),
        (Some(Millimetres(28.0)), Some(Millimetres(14.0)), None)
    );
    // Away from A is towards C.
    also.aside.push(AsideCase {
        enters: PostFace::Front,
        stand: vec![ask.stays.clone(), run("C", PostFace::Back, &[76.0, 152.0])],
    });
    assert_eq!(stagger_among(&ask, &also).unwrap().aside, None);
    also.aside[0].stand.pop();
    let told = stagger_among(&ask, &also).unwrap();
    assert_eq!(told.aside, Some(Millimetres(7.0)));
    // Either side may be told with it: then it has to clear on both, which here no distance does.
    also.aside[0].stand = vec![
        ask.stays.clone(),
        run("A", PostFace::Back, &[76.0, 152.0, 228.0]),
    ];
    let mut short = ask.clone();
    short.most = Millimetres(5.0);
    let told = stagger_among(&short, &also).unwrap();
    assert_eq!((told.up, told.aside), (None, None));
    assert!(
        told.sentence
            .contains("clears them, nor does one off the middle of its face: change a depth"),
        "{}",
        told.sentence
    );
}

#[test]
fn a_stagger_that_cannot_be_is_refused() {
    let mut ask = shared(90.0, 5.0);
    ask.moves.label = "A".to_owned();
    assert!(matches!(
        stagger(&ask),
        Err(MechanicsError::NamedTwice { .. })
    ));
    for (step, most) in [
        (0.0, 10.0),
        (-1.0, 10.0),
        (f64::NAN, 10.0),
        (1e-9, 10.0),
        (1.0, -1.0),
    ] {
        let mut ask = shared(90.0, 5.0);
        (ask.step, ask.most) = (Millimetres(step), Millimetres(most));
        assert!(stagger(&ask).is_err(), "{step} {most}");
    }
}

#[test]
fn one_wire_has_no_spacing_and_nothing_kept_is_more_than_the_row() {
    let mut low = rail(20.0, Degrees(0.0), 1410.0);
    let layouts = lay_out(&au(), &low).unwrap();
    assert!(!layouts.is_empty());
    for layout in &layouts {
        let said = &layout.sentence;
        assert!(
            said.starts_with("1 wire at ") && !said.contains("apart"),
            "{said}"
        );
    }
    low = rail(985.0, Degrees(0.0), 1410.0);
    low.in_hand = Millimetres(200.0);
    let refused = lay_out(&au(), &low).unwrap_err().to_string();
    assert!(
        refused.contains("kept in hand must be above zero, and is -140 mm; enter it again"),
        "{refused}"
    );
}

//! Slope and corner geometry, take-off and hole schedule.

use mechanics::corner::tension_behind;
use mechanics::holes::{
    BlindHole, Drilling, HoleDepth, PostFace, PostPlan, PostToDrill, RunFace, schedule, spacings,
    wood_between,
};
use mechanics::slope::{
    along, hole_height_difference, level, plumb, rail_top, square, stair_slope,
};
use mechanics::takeoff::{
    Allowance, Allowances, EndKind, Lining, Part, RunEnd, RunParts, ThroughPosts, take_off,
};
use mechanics::thread::Hand;
use mechanics::{Degrees, MechanicsError, Millimetres, Newtons};

use crate::near;

#[test]
fn rake_figures() {
    let slope = stair_slope(Millimetres(178.0), Millimetres(250.0)).unwrap();
    near(slope.value(), 35.45, 0.005);
    near(
        along(Millimetres(985.0), slope).unwrap().value(),
        1209.2,
        0.05,
    );
    near(
        along(Millimetres(2060.0), slope).unwrap().value(),
        2528.8,
        0.05,
    );
    near(
        square(Millimetres(93.0), slope).unwrap().value(),
        75.8,
        0.05,
    );
    near(plumb(Millimetres(45.0), slope).unwrap().value(), 55.0, 0.5);
    near(
        rail_top(Millimetres(836.0), Millimetres(45.0), slope)
            .unwrap()
            .value(),
        891.0,
        0.5,
    );
    near(
        hole_height_difference(Millimetres(90.0), slope)
            .unwrap()
            .value(),
        64.0,
        0.5,
    );
    near(
        level(along(Millimetres(985.0), slope).unwrap(), slope)
            .unwrap()
            .value(),
        985.0,
        1e-9,
    );
    // Half a degree at 35° over 2 m: ±14.9 mm.
    let at = |degrees: f64| along(Millimetres(2000.0), Degrees(degrees)).unwrap();
    near((at(35.5) - at(34.5)).value() / 2.0, 14.9, 0.05);
    assert!(along(Millimetres(985.0), Degrees(89.0)).is_err());
    assert!(stair_slope(Millimetres(178.0), Millimetres(0.0)).is_err());
}

fn stud(hand: Hand, seat: bool) -> RunEnd {
    RunEnd {
        kind: EndKind::StudIntoInsert,
        hand: Some(hand),
        lock_nut: true,
        washer: false,
        angled_seat: seat,
    }
}

fn one_over() -> Allowance {
    Allowance {
        sample: 1,
        scrap: 1,
        over: 1,
    }
}

pub(crate) fn allowances() -> Allowances {
    let spare = Allowance {
        sample: 0,
        scrap: 0,
        over: 1,
    };
    let none = Allowance::default();
    Allowances {
        terminals: one_over(),
        inserts: spare,
        lock_nuts: one_over(),
        angled_seats: spare,
        grommet_halves: none,
        sleeves: none,
        sample_strand: Millimetres(1000.0),
        scrap_strand: Millimetres(2500.0),
    }
}

pub(crate) fn run(label: &str, wires: u32, posts: u32, seat: bool) -> RunParts {
    RunParts {
        label: label.to_owned(),
        wires,
        first: stud(Hand::Left, seat),
        other: stud(Hand::Right, seat),
        through: vec![ThroughPosts {
            posts,
            lining: Lining::GrommetHalves,
        }],
        cuts: Vec::new(),
    }
}

#[test]
fn take_off_of_two_runs() {
    let counted = take_off(
        &[run("A", 12, 5, false), run("B", 8, 1, true)],
        &allowances(),
    )
    .unwrap();
    let total = |part, hand| {
        counted
            .lines
            .iter()
            .find(|line| line.part == part && line.hand == hand)
            .map(|line| line.total)
    };
    assert_eq!(counted.wires, 20);
    for hand in [Hand::Left, Hand::Right] {
        assert_eq!(
            total(Part::Terminal(EndKind::StudIntoInsert), Some(hand)),
            Some(23)
        );
        assert_eq!(total(Part::Insert, Some(hand)), Some(21));
        assert_eq!(total(Part::LockNut, Some(hand)), Some(23));
    }
    assert_eq!(total(Part::AngledSeat, None), Some(17));
    assert_eq!(total(Part::GrommetHalf, None), Some(136));
    assert_eq!(counted.through_holes, 68);
    assert_eq!(counted.insert_holes, 40);
    assert_eq!(total(Part::Sleeve, None), None);
    for line in &counted.lines {
        let allowed = line.allowance.sample + line.allowance.scrap + line.allowance.over;
        assert_eq!(line.total, line.needed + allowed);
    }
}

#[test]
fn hands_and_kinds_of_ends_stay_apart() {
    let mut odd = run("C", 4, 2, false);
    odd.first = RunEnd {
        kind: EndKind::FixedEnd,
        hand: None,
        lock_nut: false,
        washer: false,
        angled_seat: false,
    };
    odd.through = vec![
        ThroughPosts {
            posts: 1,
            lining: Lining::Sleeve,
        },
        ThroughPosts {
            posts: 1,
            lining: Lining::Bare,
        },
    ];
    odd.cuts = vec![Millimetres(2000.0); 4];
    let counted = take_off(&[odd], &allowances()).unwrap();
    let parts: Vec<_> = counted
        .lines
        .iter()
        .map(|line| (line.part, line.hand, line.needed))
        .collect();
    assert_eq!(
        parts,
        [
            (
                Part::Terminal(EndKind::StudIntoInsert),
                Some(Hand::Right),
                4
            ),
            (Part::Terminal(EndKind::FixedEnd), None, 4),
            (Part::Insert, Some(Hand::Right), 4),
            (Part::LockNut, Some(Hand::Right), 4),
            (Part::Sleeve, None, 4),
        ]
    );
    assert_eq!(counted.through_holes, 8);
    assert_eq!(counted.strand.cuts, Millimetres(8000.0));
    assert_eq!(counted.strand.total, Millimetres(11_500.0));
    let mut bad = run("D", 1, 0, false);
    bad.cuts = vec![Millimetres(-1.0)];
    assert!(take_off(&[bad], &allowances()).is_err());
}

#[test]
fn a_raked_post_has_two_heights() {
    let slope = Degrees(35.45);
    let post = PostToDrill {
        label: "B2".to_owned(),
        width_along: Millimetres(90.0),
        drilling: Drilling::Through {
            diameter: Millimetres(9.0),
        },
        wire_heights: vec![Millimetres(93.0), Millimetres(186.0)],
    };
    let holes = schedule(&[post], slope).unwrap();
    assert_eq!(holes.len(), 4);
    let height = |face, wire| {
        holes
            .iter()
            .find(|hole| hole.face == face && hole.wire == wire)
            .unwrap()
            .height
            .value()
    };
    let across = height(RunFace::TowardsEnd, 1) - height(RunFace::TowardsStart, 1);
    near(across, 64.0, 0.5);
    near(
        height(RunFace::TowardsEnd, 2) - height(RunFace::TowardsEnd, 1),
        93.0,
        1e-9,
    );
    let HoleDepth::Through { length } = holes[0].depth else {
        panic!("{holes:?}");
    };
    near(length.value(), 90.0 / 35.45_f64.to_radians().cos(), 1e-9);
}

#[test]
fn anchors_are_drilled_on_the_run_side_only() {
    let anchor = |label: &str, face, hand| PostToDrill {
        label: label.to_owned(),
        width_along: Millimetres(115.0),
        drilling: Drilling::Insert {
            face,
            hand,
            diameter: Millimetres(8.5),
            depth: Millimetres(40.0),
        },
        wire_heights: vec![Millimetres(76.0)],
    };
    let posts = [
        anchor("A1", RunFace::TowardsEnd, Hand::Left),
        anchor("A6", RunFace::TowardsStart, Hand::Right),
    ];
    let holes = schedule(&posts, Degrees(0.0)).unwrap();
    assert_eq!(holes.len(), 2);
    assert_eq!(
        (holes[0].face, holes[0].hand),
        (RunFace::TowardsEnd, Some(Hand::Left))
    );
    assert_eq!(
        (holes[1].face, holes[1].hand),
        (RunFace::TowardsStart, Some(Hand::Right))
    );
    assert_eq!(holes[0].height, Millimetres(76.0));
    assert_eq!(
        holes[0].depth,
        HoleDepth::Blind {
            depth: Millimetres(40.0)
        }
    );
}

#[test]
fn spacings_as_drilled_show_the_one_off_hole() {
    let heights = [380.0, 465.0, 532.0].map(Millimetres);
    let found = spacings(&heights, Degrees(0.0)).unwrap();
    assert_eq!(found[0].square, Millimetres(85.0));
    assert_eq!(found[1].square, Millimetres(67.0));
    let mixed = [380.0, 380.0].map(Millimetres);
    assert_eq!(
        spacings(&mixed, Degrees(0.0)),
        Err(MechanicsError::HeightsNotRising { wire: 2 })
    );
}

fn blind(label: &str, face: PostFace, height: f64) -> BlindHole {
    BlindHole {
        label: label.to_owned(),
        face,
        height: Millimetres(height),
        offset: Millimetres(0.0),
        diameter: Millimetres(9.0),
        depth: Millimetres(42.0),
        rise: Degrees(0.0),
    }
}

fn square_post(side: f64) -> PostPlan {
    PostPlan {
        wide: Millimetres(side),
        deep: Millimetres(side),
    }
}

#[test]
fn two_runs_on_one_post_meet_in_ninety_and_leave_eleven_in_one_hundred_and_fifteen() {
    // Two 9 mm holes 42 deep from two neighbouring faces at one height.
    for (first, second) in [
        (PostFace::Front, PostFace::Left),
        (PostFace::Front, PostFace::Right),
        (PostFace::Back, PostFace::Left),
        (PostFace::Back, PostFace::Right),
    ] {
        let holes = [
            blind("A wire 1", first, 76.0),
            blind("B wire 1", second, 76.0),
        ];
        let close = wood_between(square_post(90.0), &holes, Millimetres(5.0)).unwrap();
        assert_eq!(close.len(), 1);
        assert!(close[0].wood.value() < 0.0, "{close:?}");
        assert!(close[0].sentence.contains("meet"));
        // Nine millimetres of holes and five of wood between their axes.
        near(close[0].stagger.value(), 14.0, 1e-9);
        let close = wood_between(square_post(115.0), &holes, Millimetres(12.0)).unwrap();
        near(close[0].wood.value(), 11.0, 1e-9);
        assert!(close[0].sentence.contains("leave 11 mm of wood"));
        let enough = wood_between(square_post(115.0), &holes, Millimetres(11.0)).unwrap();
        assert_eq!(enough, []);
    }
}

#[test]
fn a_stagger_as_told_clears_the_holes() {
    let first = blind("A wire 1", PostFace::Front, 76.0);
    let close = |height| {
        let holes = [first.clone(), blind("B wire 1", PostFace::Left, height)];
        wood_between(square_post(90.0), &holes, Millimetres(5.0)).unwrap()
    };
    let told = close(80.0)[0].stagger.value();
    near(told, 10.0, 1e-9);
    assert_eq!(close(80.0 + told), []);
    assert_eq!(close(80.0 + told - 0.1).len(), 1);
}

#[test]
fn opposite_holes_leave_what_the_depths_leave() {
    let holes = [
        blind("A wire 1", PostFace::Front, 76.0),
        blind("B wire 1", PostFace::Back, 76.0),
    ];
    let close = wood_between(square_post(90.0), &holes, Millimetres(10.0)).unwrap();
    near(close[0].wood.value(), 90.0 - 84.0, 1e-9);
}

#[test]
fn a_bend_costs_tension() {
    // Euler–Eytelwein, μ = 0.2, 90°: 730.4 N of 1000 N.
    let behind = tension_behind(Newtons(1000.0), 0.2, Degrees(90.0)).unwrap();
    near(behind.value(), 730.4, 0.05);
    assert!(tension_behind(Newtons(1000.0), -0.2, Degrees(90.0)).is_err());
}

#[test]
fn a_turnbuckle_has_a_lock_nut_of_each_hand_and_a_bolt_its_nut_washer_and_hole() {
    let mut run = run("E", 5, 1, false);
    let end = |kind, hand| RunEnd {
        kind,
        hand: Some(hand),
        lock_nut: true,
        washer: kind == EndKind::ThroughBolt,
        angled_seat: false,
    };
    run.first = end(EndKind::Turnbuckle, Hand::Left);
    run.other = end(EndKind::ThroughBolt, Hand::Right);
    let through = run.through.iter().map(|t| t.posts).sum::<u32>() * 5;
    let counted = take_off(&[run], &allowances()).unwrap();
    let needed = |part, hand| {
        let line = counted
            .lines
            .iter()
            .find(|l| l.part == part && l.hand == hand);
        line.map(|l| l.needed)
    };
    // One of the turnbuckle's stud, one of its other thread, one of the bolt.
    assert_eq!(needed(Part::LockNut, Some(Hand::Left)), Some(5));
    assert_eq!(needed(Part::LockNut, Some(Hand::Right)), Some(10));
    assert_eq!(needed(Part::Nut, Some(Hand::Right)), Some(5));
    assert_eq!(needed(Part::Washer, None), Some(5));
    // Three more of lock nuts of each hand, and nothing of plain nuts.
    let total = |part| {
        let of = counted.lines.iter().filter(|l| l.part == part);
        of.map(|l| l.total).sum::<u32>()
    };
    assert_eq!((total(Part::LockNut), total(Part::Nut)), (21, 5));
    assert_eq!(needed(Part::Insert, Some(Hand::Left)), None);
    assert_eq!(counted.insert_holes, 0);
    assert_eq!(counted.through_holes, through + 5);
}

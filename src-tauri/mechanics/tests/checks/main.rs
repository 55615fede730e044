//! Checks of the engineering against published figures, worked vectors and laws.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs
)]

mod any_way;
mod assessment;
mod beam;
mod corners;
mod cut_brute;
mod cut_optima;
mod cut_plan;
mod cut_refused;
mod cutting;
mod deflection;
mod demo;
mod ends;
mod even;
mod falls;
mod gap;
mod laws;
mod laying;
mod lengths;
mod one_pass_on;
mod one_way;
mod parts;
mod plucks;
mod post_plan;
mod post_tried;
mod posts;
mod rule_choice;
mod rule_figures;
mod rule_odd;
mod sound;
mod sound_refusals;
mod sound_seeds;
mod sound_short;
mod sound_trial;
mod spacing;
mod stair_gate;
mod strand;
mod swing;
mod tables;
mod template;
mod tension;
mod tensioning;
mod trial;
mod written;

use mechanics::Millimetres;
use mechanics::ends::WireEnd;
use mechanics::fitting::{FittingEnd, FittingSet};
use mechanics::rules::RuleSet;
use mechanics::thread::{Hand, Thread};

pub(crate) fn au() -> RuleSet {
    serde_json::from_str(include_str!("../../../records/data/rules/au-2022.json")).unwrap()
}

pub(crate) fn irc() -> RuleSet {
    serde_json::from_str(include_str!("../../../records/data/rules/us-irc-2018.json")).unwrap()
}

/// Every rule set that stands beside the program, by name.
pub(crate) fn all_sets() -> Vec<RuleSet> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../records/data/rules");
    let mut sets: Vec<RuleSet> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap())
        .map(|text| serde_json::from_str(&text).unwrap())
        .collect();
    sets.sort_by(|a, b| a.id.cmp(&b.id));
    sets
}

/// The end of the worked windows: O 72, w 32, h 30, e_min 8, x_start 2, r 4.
pub(crate) fn end(hand: Hand, lock_nut: f64) -> FittingEnd {
    FittingEnd {
        hand,
        thread: Thread::M6,
        stud_overall: Millimetres(72.0),
        insertion: Millimetres(32.0),
        growth: Millimetres(0.0),
        usable_thread: Millimetres(30.0),
        least_engagement: Millimetres(8.0),
        start_engagement: Millimetres(2.0),
        reserve: Millimetres(4.0),
        lock_nut: Millimetres(lock_nut),
        insert_clear_depth: None,
        seat_length: Millimetres(0.0),
        hole_diameter: Millimetres(9.0),
        hole_depth: Millimetres(42.0),
    }
}

/// The stud into an insert at an end.
pub(crate) fn stud(end: &mut WireEnd) -> &mut FittingEnd {
    match end {
        WireEnd::Insert(end) => end,
        other => panic!("{other:?} is no stud into an insert"),
    }
}

pub(crate) fn fitting_set() -> FittingSet {
    FittingSet {
        left: end(Hand::Left, 3.2),
        right: end(Hand::Right, 3.2),
        through_hole_diameter: Millimetres(9.0),
        terminal_efficiency: None,
        safe_load_factor: None,
        insert_limit: None,
        thread_limit: None,
    }
}

/// A timber post of 1 m, E 11 GPa (EN 338 C24), that stands free on a base which does not turn.
pub(crate) fn post(along: f64, across: f64) -> mechanics::posts::Post {
    mechanics::posts::Post {
        section: mechanics::posts::Section::Rectangle {
            along: Millimetres(along),
            across: Millimetres(across),
        },
        modulus: mechanics::Figure::of(
            mechanics::Megapascals(11_000.0),
            mechanics::Origin::Assumed,
        ),
        height: Millimetres(1000.0),
        rail: None,
        base_turning: None,
        bolt_distance: Some(Millimetres(250.0)),
    }
}

/// Asserts that two figures differ by no more than half a unit of the last printed digit.
pub(crate) fn near(actual: f64, expected: f64, within: f64) {
    assert!(
        (actual - expected).abs() <= within,
        "{actual} is not {expected} ± {within}"
    );
}

//! The gap above the top wire where the floor changes: the layout aid and what is asked before ordering see one floor.

use records::library;
use records::model::context::Said;
use records::model::fields;
use records::model::values::WireHeights;
use records::subject::Subject;
use records::work::{LayoutAsk, LayoutProposals, Proposal, Verdict, before_ordering, propose};

use crate::near;
use crate::scene::{MM, Scene, measured, mm};

const DOWN: [f64; 5] = [-12.0, -25.0, -40.0, -50.0, -60.0];
const UP: [f64; 5] = [12.0, 25.0, 50.0, 70.0, 90.0];
const BOTH: [f64; 5] = [30.0, 80.0, 20.0, -40.0, -60.0];

fn floors(s: &mut Scene, levels: [f64; 5]) {
    for (post, level) in ["A2", "A3", "A4", "A5", "A6"].into_iter().zip(levels) {
        let subject = Subject::post(s.post(post));
        s.say(fields::POST_FLOOR, &subject, "", mm(level), None);
    }
}

/// Tells how wires and rail go, or takes it back.
fn go(s: &mut Scene, wires: Option<bool>, rail: Option<bool>) {
    let run = Subject::run(s.a);
    for (field, told) in [
        (fields::RUN_FOLLOWS_FLOOR, wires),
        (fields::RUN_RAIL_FOLLOWS_FLOOR, rail),
    ] {
        let tips = s.tips(field.name, &run, "");
        s.say_over(field, &run, "", told, None::<Said>, tips);
    }
}

fn laid(s: &mut Scene) -> LayoutProposals {
    let a = s.a;
    s.with_job(|job| propose(job, a, &LayoutAsk::default()).unwrap())
}

/// Takes a proposal as the layout aid does, number and heights.
fn take(s: &mut Scene, proposal: &Proposal) {
    let run = Subject::run(s.a);
    let count = i64::try_from(proposal.heights_nm.len()).unwrap();
    s.say(fields::RUN_WIRE_COUNT, &run, "", count, None);
    let nm = proposal.heights_nm.clone();
    s.say(fields::RUN_WIRE_HEIGHTS, &run, "", WireHeights { nm }, None);
}

/// What before ordering says of the gap: clear, whether the sphere passes, and what lies in the rail.
fn ordering(s: &mut Scene) -> (f64, bool, Vec<String>) {
    let a = s.a;
    let answer = s.with_job(|job| before_ordering(job, a).unwrap());
    let planned =
        |place: &str| place.starts_with("top wire to rail") && !place.contains("as built");
    let found = answer.findings.iter().find(|f| planned(&f.place)).unwrap();
    let problems = answer.problems.into_iter().map(|p| p.sentence);
    let in_rail = problems.filter(|p| p.contains("in the rail or above"));
    let passes = found.verdict == Verdict::Short;
    (found.actual.unwrap().value, passes, in_rail.collect())
}

/// Holds the gaps below the bottom wire against those that before ordering names, once taken.
fn below(s: &mut Scene, proposal: &Proposal) {
    let a = s.a;
    let answer = s.with_job(|job| before_ordering(job, a).unwrap());
    let mut held = 0;
    for at in &proposal.floor {
        let place = format!("floor to bottom wire at {}", at.name);
        let found = answer.findings.iter().find(|f| f.place == place);
        if let Some(clear) = found.and_then(|f| f.actual) {
            near(clear.value, at.counts_mm.max(0.0), 1e-6);
            held += 1;
        }
    }
    assert!(held >= 3, "{held}");
}

#[test]
fn a_layout_and_before_ordering_see_one_floor_above_the_top_wire() {
    let mut s = measured();
    let ways = [None, Some(true), Some(false)];
    let mut told = 0;
    for levels in [DOWN, UP, BOTH] {
        floors(&mut s, levels);
        for (wires, rail) in ways.iter().flat_map(|w| ways.map(|r| (*w, r))) {
            go(&mut s, wires, rail);
            let found = laid(&mut s);
            assert_eq!(
                (found.follows_floor, found.rail_follows_floor),
                (wires, rail)
            );
            assert_eq!(found.proposals.len(), 3, "{:?}", found.missing);
            for proposal in &found.proposals {
                let alike = wires.is_some() && wires == rail;
                assert_eq!(proposal.rail.is_empty(), alike, "{wires:?} {rail:?}");
                let by_heights = proposal.top_gap_mm - 1.6;
                let rows = proposal.rail.iter();
                let widest = rows
                    .clone()
                    .map(|at| at.widest_mm)
                    .fold(by_heights, f64::max);
                let least = rows.map(|at| at.least_mm).fold(by_heights, f64::min);
                let passes = proposal.rail.iter().any(|at| at.passes);
                assert!(
                    least > 0.0,
                    "{wires:?} {rail:?} {levels:?}: {}",
                    proposal.sentence
                );
                assert!(proposal.widest_clear_mm >= widest - 1e-9);
                assert!(!passes || proposal.sphere_passes);
                take(&mut s, proposal);
                below(&mut s, proposal);
                let (clear, short, in_rail) = ordering(&mut s);
                near(clear, widest, 1e-6);
                assert_eq!(short, passes, "{wires:?} {rail:?} {levels:?}: {clear}");
                assert!(in_rail.is_empty(), "{in_rail:?}");
                told += 1;
            }
        }
    }
    assert_eq!(told, 81);
}

/// Rail at 985, twelve wires at 76: 73 above the top one, half of 3.2 less is 71.4; 60 more at A6 let 125 pass.
#[test]
fn a_rail_that_stands_farther_at_a_post_is_told_with_the_sphere_that_passes() {
    let mut s = measured();
    floors(&mut s, DOWN);
    for (wires, rail, how) in [
        (
            Some(true),
            Some(false),
            "The wires follow the floor and the rail runs level.",
        ),
        (
            Some(true),
            None,
            "Whether the rail follows the floor is not told",
        ),
        (
            None,
            Some(false),
            "Whether the template follows the floor is not told",
        ),
        (
            None,
            None,
            "Whether template and rail follow the floor is not told",
        ),
    ] {
        go(&mut s, wires, rail);
        let found = laid(&mut s);
        let twelve = found.proposals.iter().find(|p| p.heights_nm[0] == 76 * MM);
        let twelve = twelve.unwrap();
        let at = twelve.rail.iter().find(|at| at.name == "A6").unwrap();
        near(at.widest_mm, 131.4, 1e-9);
        let whole = wires.is_some() && rail.is_some();
        // Not told whole, both may go alike, or the rail alone comes down with the floor.
        assert_eq!(at.least_mm < at.widest_mm, !whole);
        assert!(at.passes && twelve.sphere_passes);
        assert!(twelve.widest_clear_mm >= 131.4 - 1e-9);
        let said = twelve.rail_sentence.as_deref().unwrap();
        assert!(
            said.starts_with("Above the top wire: 131.4 mm clear at A6 at most")
                && said.contains("A sphere of 125 mm passes at A6.")
                && said.contains(how),
            "{said}"
        );
        // Seventeen at 55 leave 50 by their heights and 110 at A6: told whole, nothing passes.
        if whole {
            let close = found.proposals.iter().find(|p| p.heights_nm.len() == 17);
            assert!(!close.unwrap().rail.iter().any(|at| at.passes));
        }
    }
}

#[test]
fn a_rail_that_comes_nearer_keeps_the_top_wire_below_it() {
    let mut s = measured();
    floors(&mut s, UP);
    for (wires, rail, comes) in [(Some(true), Some(false), "comes"), (None, None, "can come")] {
        go(&mut s, wires, rail);
        let found = laid(&mut s);
        let note = format!("At A6 the rail {comes} 90 mm nearer to the wires than by its height");
        assert!(
            found.notes.iter().any(|n| n.starts_with(&note)),
            "{:?}",
            found.notes
        );
        for proposal in &found.proposals {
            let at = proposal.rail.iter().find(|at| at.name == "A6").unwrap();
            near(at.least_mm, proposal.top_gap_mm - 90.0 - 1.6, 1e-6);
            assert!(at.least_mm > 0.0, "{}", proposal.sentence);
        }
    }
    // Level from the first post's floor, both of them, the wires stand as they are told.
    go(&mut s, Some(false), Some(false));
    let found = laid(&mut s);
    assert!(
        found
            .proposals
            .iter()
            .any(|p| p.heights_nm.last() == Some(&(912 * MM)))
    );
    // A floor that rises to the rail leaves no room for a wire that follows it.
    go(&mut s, Some(true), Some(false));
    let post = Subject::post(s.post("A6"));
    s.say(fields::POST_FLOOR, &post, "", mm(984.0), None);
    let found = laid(&mut s);
    assert!(found.proposals.is_empty());
    let why = "At A6 the rail comes 984 mm nearer to the wires than by its height: no wire fits below it there.";
    assert!(
        found.missing.iter().any(|m| m.starts_with(why)),
        "{:?}",
        found.missing
    );
}

#[test]
fn the_overhang_that_a_layout_went_by_is_told_beside_the_recorded_one() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let mut asked = |run, overhang: Option<f64>| {
        let ask = LayoutAsk {
            overhang: overhang.map(mm),
            ..LayoutAsk::default()
        };
        let found = s.with_job(|job| propose(job, run, &ask).unwrap());
        (found.overhang_nm, found.present_overhang_nm)
    };
    assert_eq!(asked(b, None), (None, None));
    assert_eq!(asked(b, Some(20.0)), (Some(20 * MM), None));
    // A level run has none.
    assert_eq!(asked(a, Some(20.0)), (None, None));
    let mut slope = s.with_job(|job| job.run(b).unwrap().slope.unwrap());
    slope.overhang_nm = Some(25 * MM);
    s.say(fields::RUN_SLOPE, &Subject::run(b), "", slope, None);
    let found = s.with_job(|job| propose(job, b, &LayoutAsk::default()).unwrap());
    assert_eq!(
        (found.overhang_nm, found.present_overhang_nm),
        (Some(25 * MM), Some(25 * MM))
    );
}

#[test]
fn treads_that_stand_out_by_their_whole_going_are_questioned_before_a_spacing_is_asked_for() {
    let mut s = measured();
    let b = s.b;
    let job = Subject::Job(s.device.job());
    // A rule set without a table for wires asks for the widest spacing where nothing else is wrong.
    let rules = library::copy_of(&library::rule_set("us-irc-2018").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let mut asked = |overhang: f64, widest: Option<f64>, inches: bool| {
        let ask = LayoutAsk {
            overhang: Some(mm(overhang)),
            widest: widest.map(mm),
            inches,
            ..LayoutAsk::default()
        };
        s.with_job(|job| propose(job, b, &ask).unwrap())
    };
    for (overhang, widest, inches, question) in [
        (
            250.0,
            None,
            false,
            "A tread with a going of 250 mm can't stand out by 250 mm; one of them may be in another unit.",
        ),
        (
            2500.0,
            Some(76.0),
            false,
            "A tread with a going of 250 mm can't stand out by 2500 mm; one of them may be in another unit.",
        ),
        (
            635.0,
            None,
            true,
            "A tread with a going of 9 27/32 in can't stand out by 25 in; one of them may be in another unit.",
        ),
    ] {
        let found = asked(overhang, widest, inches);
        assert_eq!(found.missing, [question]);
        assert!(found.proposals.is_empty());
    }
    let usual = asked(25.0, None, false).missing;
    assert!(usual.iter().all(|m| !m.contains("stand out")), "{usual:?}");
    assert!(!asked(25.0, Some(76.0), false).proposals.is_empty());
}

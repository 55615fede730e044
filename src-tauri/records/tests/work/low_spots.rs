//! The floor's low spots between posts: a wire is straight from post to post, the floor is not.

use records::model::context::Said;
use records::model::fields;
use records::model::values::LowSpot;
use records::subject::Subject;
use records::work::{LayoutAsk, Origin, before_ordering, propose};

use crate::near;
use crate::scene::{MM, Scene, measured};

const SPOT: &str = "floor to bottom wire at the low spot of bay A2–A3";

fn spot(level: i64, from_left: Option<i64>) -> LowSpot {
    LowSpot {
        level_nm: level * MM,
        from_left_nm: from_left.map(|from| from * MM),
    }
}

fn told(s: &mut Scene, low: LowSpot) {
    let bay = s.bay("A2", "A3");
    s.say(fields::BAY_LOW_SPOT, &bay, "", low, None);
}

/// The gap that the rules look at there, mm.
fn gap(s: &mut Scene) -> Option<f64> {
    let run = s.a;
    let answer = s.with_job(|job| before_ordering(job, run).unwrap());
    let found = answer.findings.iter().find(|f| f.place == SPOT)?;
    assert_eq!(found.actual_origin, Some(Origin::Recorded));
    Some(found.actual.unwrap().value)
}

/// Bottom wire at 76, half of 3.2 mm below its middle; floors at A2 and A3 are 3 and 5 below A1's
/// (scenario). By hand: the line of the floors is 4 below in the middle of the bay.
#[test]
fn a_low_spot_widens_the_gap_below_the_bottom_wire() {
    let mut s = measured();
    let run = Subject::run(s.a);
    assert_eq!(gap(&mut s), None);
    for (follows, from_left, clear) in [
        (true, Some(705), 76.0 - 1.6 + 16.0),
        // Not told how far along: as at the higher post.
        (true, None, 76.0 - 1.6 + 17.0),
        // Told beyond the bay: as at its end, a millimetre from the post.
        (true, Some(5000), 76.0 - 1.6 + 15.0),
        (false, Some(705), 76.0 - 1.6 + 20.0),
        (false, None, 76.0 - 1.6 + 20.0),
    ] {
        s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", follows, None);
        told(&mut s, spot(-20, from_left));
        near(gap(&mut s).unwrap(), clear, 0.01);
    }
}

#[test]
fn of_two_words_on_a_low_spot_the_lower_counts() {
    let mut s = measured();
    let bay = s.bay("A2", "A3");
    let run = Subject::run(s.a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", true, None);
    told(&mut s, spot(-20, Some(705)));
    let other = (Some(spot(-60, Some(705))), None::<Said>);
    s.say_over(fields::BAY_LOW_SPOT, &bay, "", other.0, other.1, Vec::new());
    near(gap(&mut s).unwrap(), 76.0 - 1.6 + 56.0, 0.01);
}

#[test]
fn a_proposed_layout_names_the_low_spot() {
    let mut s = measured();
    let run = s.a;
    told(&mut s, spot(-60, Some(705)));
    let answer = s.with_job(|job| propose(job, run, &LayoutAsk::default()).unwrap());
    let one = answer.proposals.first().unwrap();
    let at = one.floor.iter().find(|at| at.name.contains("low spot"));
    let at = at.unwrap();
    let post = one.floor.iter().find(|at| at.name == "A2").unwrap();
    // Between A2 and A3 the line lies 4 below A1's floor, the spot 60.
    near(at.clear_mm - post.clear_mm, 56.0, 0.01);
    near(at.level_mm - post.level_mm, 57.0, 0.01);
    let sentence = one.floor_sentence.as_deref().unwrap();
    assert!(sentence.contains("low spot of bay A2–A3"), "{sentence}");
}

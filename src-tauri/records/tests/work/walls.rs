//! A run that ends in a wall: what its wires ask there, and that the wall moves nothing.

use records::model::context::Said;
use records::model::fields;
use records::model::values::{KnownPull, Section, Support, SupportKind};
use records::subject::Subject;
use records::work::{cut_sheet, posts_asked, pull_doubt, recheck, tensioning};

use crate::scene::{Scene, measured, surveyed};

/// Tells that a run's wires end in a wall at a post, and takes the post's section back.
fn in_wall(s: &mut Scene, name: &str) {
    let post = Subject::post(s.post(name));
    let wall = Support {
        kind: SupportKind::WallEnd,
        counts_as_post: None,
        confirmed_by: None,
        substrate: Some("brick".into()),
        embedment_nm: Some(80_000_000),
        edge_nm: Some(120_000_000),
        gate_across: None,
        gate_clear_nm: None,
        gate_leaf_nm: None,
        gate_leaf_thick_nm: None,
        gate_hinge_gap_nm: None,
    };
    let over = s.tips(fields::POST_SUPPORT.name, &post, "");
    s.say_over(
        fields::POST_SUPPORT,
        &post,
        "",
        Some(wall),
        None::<Said>,
        over,
    );
    without_section(s, name);
}

fn without_section(s: &mut Scene, name: &str) {
    let post = Subject::post(s.post(name));
    let over = s.tips(fields::POST_SECTION.name, &post, "");
    s.say_over(
        fields::POST_SECTION,
        &post,
        "",
        None::<Section>,
        None::<Said>,
        over,
    );
}

fn inward(s: &mut Scene) -> Vec<f64> {
    let a = s.a;
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    sheet
        .lines
        .iter()
        .map(|line| line.inward_mm.unwrap())
        .collect()
}

#[test]
fn a_wall_end_is_told_what_pulls_off_it_and_moves_nothing() {
    let mut s = measured();
    let a = s.a;
    // Both end posts of the scenario are alike, and run B's angle is not told: each moves by half.
    let both = inward(&mut s);
    in_wall(&mut s, "A1");
    let one = inward(&mut s);
    for (one, both) in one.iter().zip(&both) {
        assert!(
            *both > 0.0 && (one - both / 2.0).abs() < 1e-4,
            "{one} {both}"
        );
    }
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(
        sheet
            .notes
            .iter()
            .any(|note| note == "A1 is a wall end: it is taken as not moving.")
    );
    assert!(
        !sheet
            .notes
            .iter()
            .any(|note| note.contains("counts as nothing")),
        "{:?}",
        sheet.notes
    );
    let asked = s.with_job(|job| posts_asked(job, a).unwrap());
    let wall = asked.posts.iter().find(|post| post.name == "A1").unwrap();
    // Twelve level wires at 1500 N.
    assert_eq!(wall.wall_pull_n, Some(18_000.0));
    assert!(wall.held.is_empty() && wall.own.is_none());
    assert!(
        wall.sentence.starts_with(
            "A1, a wall end, 12 wires at 1500 N: 18000 N off the wall in all, 1500 N on each fixing, set in brick, \
             80 mm deep, 120 mm from the wall's edge."
        ) && wall.sentence.ends_with("ask an engineer before ordering."),
        "{}",
        wall.sentence
    );
    let post = asked.posts.iter().find(|post| post.name == "A6").unwrap();
    assert!(post.wall_pull_n.is_none() && !post.held.is_empty());
    // Turns and the band of a recheck are told.
    let (plan, again) = s.with_job(|job| (tensioning(job, a).unwrap(), recheck(job, a).unwrap()));
    assert_eq!((plan.missing, again.missing), (None, None));
    assert!(
        plan.passes
            .iter()
            .all(|pass| pass.wires.iter().all(|wire| wire.turn.is_some()))
    );
}

#[test]
fn a_pull_on_a_wall_end_is_asked_about() {
    let mut s = measured();
    let (a, post) = (s.a, s.post("A1"));
    let pull = KnownPull {
        mn: 500_000,
        at_nm: 900_000_000,
        moved_nm: 3_000_000,
        rail_on: false,
    };
    let asked = |s: &mut Scene| s.with_job(|job| pull_doubt(job, a, post, &pull, &[]).unwrap());
    let of_post = asked(&mut s);
    assert!(of_post.is_none_or(|said| !said.contains("wall end")));
    in_wall(&mut s, "A1");
    let said = asked(&mut s).unwrap();
    assert!(said.contains("taken as not moving"), "{said}");
}

#[test]
fn a_wall_is_not_asked_for_a_section() {
    let mut s = surveyed();
    let post = Subject::post(s.post("A1"));
    let wants = |s: &mut Scene| {
        let acts = s.offered().into_iter();
        let mut of_post = acts.filter(|act| act.subject == post);
        of_post.any(|act| act.sentence.contains("how wide and deep"))
    };
    without_section(&mut s, "A1");
    assert!(wants(&mut s));
    in_wall(&mut s, "A1");
    assert!(!wants(&mut s));
}

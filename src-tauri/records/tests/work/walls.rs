//! A run that ends in a wall: what its wires ask there, and that the wall moves nothing.

use records::model::context::{PullRead, Said};
use records::model::fields;
use records::model::values::{KnownPull, Material, Section, Support, SupportKind};
use records::subject::Subject;
use records::work::{
    cut_sheet, posts_asked, pull_doubt, pushed, recheck, tension_plan, tensioning,
};

use crate::scene::{Scene, measured, surveyed};

/// Tells that a run's wires end in a wall at a post, and takes the post's section back.
fn in_wall(s: &mut Scene, name: &str) {
    let post = Subject::post(s.post(name));
    tell_wall(s, &post);
    without_section(s, name);
}

fn wall() -> Support {
    Support {
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
    }
}

fn tell_wall(s: &mut Scene, post: &Subject) {
    let over = s.tips(fields::POST_SUPPORT.name, post, "");
    s.say_over(
        fields::POST_SUPPORT,
        post,
        "",
        Some(wall()),
        None::<Said>,
        over,
    );
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
    let wall = "A1 is a wall end: it is taken as not moving.".to_owned();
    assert!(again.notes.contains(&wall), "{:?}", again.notes);
    let tensions = s.with_job(|job| tension_plan(job, a).unwrap());
    assert!(tensions.issues.contains(&wall), "{:?}", tensions.issues);
    let pushed = s.with_job(|job| pushed(job, a, None, None).unwrap());
    assert!(pushed.notes.contains(&wall), "{:?}", pushed.notes);
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
    let asked = |s: &mut Scene| s.with_job(|job| pull_doubt(job, a, post, &PULL, &[]).unwrap());
    let of_post = asked(&mut s);
    assert!(of_post.is_none_or(|said| !said.contains("wall end")));
    in_wall(&mut s, "A1");
    let said = asked(&mut s).unwrap();
    assert!(
        said.contains("nothing of it is counted while it is told as a wall end without a section"),
        "{said}"
    );
}

/// What is told of the posts in the band of a recheck: how they creep and from where that is, and what is noted.
fn creeps(s: &mut Scene) -> (String, String, Vec<String>) {
    let a = s.a;
    let again = s.with_job(|job| recheck(job, a).unwrap());
    let creep = again.made_of.iter().find(|n| n.name == "posts creep by");
    let creep = creep.unwrap().clone();
    (creep.value, creep.origin, again.notes)
}

fn without_material(s: &mut Scene, name: &str) {
    let post = Subject::post(s.post(name));
    let over = s.tips(fields::POST_MATERIAL.name, &post, "");
    s.say_over(
        fields::POST_MATERIAL,
        &post,
        "",
        None::<Material>,
        None::<Said>,
        over,
    );
}

#[test]
fn a_wall_end_does_not_count_as_timber_that_creeps() {
    let mut s = measured();
    let counted = |notes: &[String]| {
        let mut notes = notes.iter();
        notes.find(|note| note.contains("as timber")).cloned()
    };
    without_material(&mut s, "A1");
    in_wall(&mut s, "A1");
    let (value, origin, notes) = creeps(&mut s);
    // Post A6 is of timber.
    assert_eq!(counted(&notes), None);
    assert!(!value.starts_with("0 to 0 %"), "{value}");
    assert_eq!(origin, "assumed for timber outdoors, from memory");
    // How post A6 stands is known by a pull alone.
    without_material(&mut s, "A6");
    let (post, a) = (Subject::post(s.post("A6")), s.a.to_string());
    let pull = Some(PullRead::default());
    s.say(fields::POST_PULL, &post, &a, PULL, pull);
    let (.., notes) = creeps(&mut s);
    let told = "Of post A6 no modulus of elasticity is told: it counts as timber, which creeps.";
    assert_eq!(counted(&notes).as_deref(), Some(told));
    in_wall(&mut s, "A6");
    let (value, origin, notes) = creeps(&mut s);
    assert_eq!(counted(&notes), None);
    assert_eq!(
        (value.as_str(), origin.as_str()),
        (
            "0 to 0 % of their movement",
            "wall ends are taken as not moving"
        )
    );
}

const PULL: KnownPull = KnownPull {
    mn: 500_000,
    at_nm: 900_000_000,
    moved_nm: 3_000_000,
    rail_on: false,
};

#[test]
fn a_pull_on_a_wall_end_counts_as_nothing_and_leaves_the_wall_a_wall() {
    let mut s = measured();
    let (a, post) = (s.a, Subject::post(s.post("A1")));
    in_wall(&mut s, "A1");
    let before = inward(&mut s);
    s.say(
        fields::POST_PULL,
        &post,
        &a.to_string(),
        PULL,
        Some(PullRead::default()),
    );
    assert_eq!(inward(&mut s), before);
    let asked = s.with_job(|job| posts_asked(job, a).unwrap());
    let wall = asked.posts.iter().find(|post| post.name == "A1").unwrap();
    assert_eq!(wall.wall_pull_n, Some(18_000.0));
    let said =
        "A1 was pulled: nothing of it is counted while it is told as a wall end without a section.";
    assert!(
        asked.notes.iter().any(|note| note == said),
        "{:?}",
        asked.notes
    );
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(
        sheet.notes.iter().any(|note| note == said),
        "{:?}",
        sheet.notes
    );
}

#[test]
fn of_two_runs_that_end_in_one_wall_each_tells_its_own_pull_and_names_the_other() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let asks_angle = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let mut notes = sheet.notes.iter();
        notes.any(|note| note.contains("the angle"))
    };
    assert!(asks_angle(&mut s));
    in_wall(&mut s, "A6");
    assert!(!asks_angle(&mut s));
    let wall = |s: &mut Scene, run| {
        let asked = s.with_job(|job| posts_asked(job, run).unwrap());
        let post = asked.posts.into_iter().find(|post| post.name == "A6");
        post.unwrap()
    };
    let (of_a, of_b) = (wall(&mut s, a), wall(&mut s, b));
    let level = of_b.wall_pull_n.unwrap();
    // Eight wires at 1500 N on a rake of 2060 to 2528.8 mm.
    assert!((level - 12_000.0 * 2060.0 / 2528.8).abs() < 10.0, "{level}");
    assert!(
        of_a.sentence.starts_with(
            "A6, a wall end, 12 wires at 1500 N: 18000 N off the wall by run A, 1500 N on each fixing,"
        ) && of_a.sentence.contains(&format!(
            " Run B ends there too and pulls on top of that: {level:.0} N at 1500 N. What fixings"
        )),
        "{}",
        of_a.sentence
    );
    assert!(
        of_b.sentence.contains(" N off the wall by run B,")
            && of_b.sentence.contains(
                " Run A ends there too and pulls on top of that: 18000 N at 1500 N. What"
            ),
        "{}",
        of_b.sentence
    );
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert!(
        !again
            .notes
            .iter()
            .any(|note| note.contains("pulls on post A6")),
        "{:?}",
        again.notes
    );
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

#[test]
fn a_wall_end_with_a_section_says_that_it_counts_as_a_post() {
    let mut s = measured();
    let a = s.a;
    let post = Subject::post(s.post("A1"));
    tell_wall(&mut s, &post);
    let told = s.with_job(|job| posts_asked(job, a).unwrap());
    let one = told.posts.iter().find(|post| post.name == "A1").unwrap();
    assert!(one.wall_pull_n.is_none() && !one.held.is_empty());
    let said = |note: &String| note.starts_with("A1 is told as a wall end and with a section");
    assert!(told.notes.iter().any(said), "{:?}", told.notes);
}

//! Wires and bays that the layout no longer has: what was told of them is kept, shown, and moved nowhere.

use records::model::fields;
use records::model::values::{Act, Length};
use records::subject::Subject;
use records::work::no_longer;

use crate::scene::{Scene, measured, mm};

/// Names of what is no longer there, each with its fields and values.
fn kept(s: &mut Scene) -> Vec<(String, Vec<(String, String)>)> {
    let found = s.with_job(no_longer);
    let values = |said: &records::work::StillSaid| {
        let sides: Vec<&str> = said.sides.iter().map(|side| side.value.as_str()).collect();
        let what = [said.field_name.as_str(), said.place_name.as_str()];
        let what = what.into_iter().filter(|part| !part.is_empty());
        (what.collect::<Vec<_>>().join(", "), sides.join(" against "))
    };
    let each = found.into_iter().map(|one| (one.name, one.said));
    each.map(|(name, said)| (name, said.iter().map(values).collect()))
        .collect()
}

#[test]
fn a_wire_beyond_a_lesser_number_of_wires_is_kept_with_its_length() {
    let mut s = measured();
    let run = Subject::run(s.a);
    let before = kept(&mut s);
    let (a, twelfth) = (s.a, Subject::Wire(s.a, 12));
    s.tick(a, 12, Act::Threaded, 1);
    s.say(fields::RUN_WIRE_COUNT, &run, "", 11, None);
    let name = "wire A12 (no longer in the layout)";
    assert_eq!(s.with_job(|job| job.name_of(&twelfth)), name);
    let ticked = ("tick, threaded, piece 1".to_owned(), "yes".to_owned());
    let length = ("inside to inside".to_owned(), "7305 mm".to_owned());
    let found = kept(&mut s);
    assert_eq!(found.len(), before.len() + 1);
    assert!(
        found.contains(&(name.to_owned(), vec![length, ticked])),
        "{found:?}"
    );
    // Where the layout has it again, it counts again.
    s.say(fields::RUN_WIRE_COUNT, &run, "", 12, None);
    assert_eq!(kept(&mut s), before);
    assert_eq!(s.with_job(|job| job.name_of(&twelfth)), "wire A12");
}

#[test]
fn while_people_differ_on_the_layout_nothing_is_said_to_be_gone_for_good() {
    let mut s = measured();
    let run = Subject::run(s.a);
    let twelfth = Subject::Wire(s.a, 12).to_string();
    let disputed = |s: &mut Scene| {
        let found = s.with_job(no_longer);
        let one = found.into_iter().find(|one| one.subject == twelfth);
        one.map(|one| one.disputed)
    };
    let stood = s.tips(fields::RUN_WIRE_COUNT.name, &run, "");
    s.say_over(
        fields::RUN_WIRE_COUNT,
        &run,
        "",
        Some(11),
        None,
        stood.clone(),
    );
    assert_eq!(disputed(&mut s), Some(false));
    // Both say that it is gone.
    s.say_over(
        fields::RUN_WIRE_COUNT,
        &run,
        "",
        Some(10),
        None,
        stood.clone(),
    );
    assert_eq!(disputed(&mut s), Some(false));
    s.say_over(fields::RUN_WIRE_COUNT, &run, "", Some(12), None, stood);
    assert_eq!(disputed(&mut s), Some(true));
}

#[test]
fn a_bay_that_a_post_splits_is_kept_with_its_clear_distance() {
    let mut s = measured();
    // scenario: A4a came later; A4–A5 was read before it.
    let split = s.bay("A4", "A5");
    let name = "bay A4–A5 (no longer in the layout)";
    assert_eq!(s.with_job(|job| job.name_of(&split)), name);
    let clear = ("clear distance".to_owned(), "1560 mm".to_owned());
    assert_eq!(kept(&mut s), [(name.to_owned(), vec![clear])]);
}

#[test]
fn a_bay_is_disputed_where_by_some_words_its_posts_are_neighbours() {
    let mut s = measured();
    let run = s.a.to_string();
    let split = s.bay("A4", "A5").to_string();
    let disputed = |s: &mut Scene| {
        let found = s.with_job(no_longer);
        let one = found.into_iter().find(|one| one.subject == split);
        one.map(|one| one.disputed)
    };
    let apart = |s: &mut Scene, name: &str, at: Option<Length>| {
        let post = Subject::post(s.post(name));
        s.say_over(fields::POST_POSITION, &post, &run, at, None, Vec::new())
    };
    // People differ on where A2 stands, and A4a on it stands between A4 and A5 for all of them.
    apart(&mut s, "A2", mm(1500.0).into());
    apart(&mut s, "A4a", mm(5300.0).into());
    assert_eq!(disputed(&mut s), Some(false));
    // One has it behind A5.
    let behind = apart(&mut s, "A4a", mm(6200.0).into());
    assert_eq!(disputed(&mut s), Some(true));
    let post = Subject::post(s.post("A4a"));
    let again = Some(mm(5310.0));
    s.say_over(
        fields::POST_POSITION,
        &post,
        &run,
        again,
        None,
        vec![behind],
    );
    assert_eq!(disputed(&mut s), Some(false));
    // One takes it out.
    apart(&mut s, "A4a", None);
    assert_eq!(disputed(&mut s), Some(true));
}

#[test]
fn wires_and_bays_of_a_run_that_was_taken_out_are_called_by_its_name() {
    let mut s = measured();
    let run = Subject::run(s.a);
    let created = s.tips(fields::RUN_CREATED.name, &run, "");
    s.say_over(fields::RUN_CREATED, &run, "", None, None, created);
    assert!(s.with_job(|job| job.runs.iter().all(|run| run.name != "A")));
    let found = kept(&mut s);
    let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    assert!(
        names.contains(&"wire A12 (no longer in the layout)"),
        "{names:?}"
    );
    assert!(names.iter().all(|name| !name.contains('?')), "{names:?}");
}

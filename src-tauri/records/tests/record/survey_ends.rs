//! What a survey file tells of a stair's treads, of holes off the middle of a post's face and of its fitting set.

use records::model::fields;
use records::model::values::FaceSide;
use records::survey::Outcome;

use crate::common::Device;
use crate::survey::{fixture, import, told, with_job};

#[test]
fn an_overhang_comes_with_its_slope_and_holes_off_the_middle_with_their_end() {
    let plain = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let slope = r#""going": 250, "risers": 9"#;
    let end = r#""hand": "RH", "tensioner": true, "angledSeat": false"#;
    assert!(plain.contains(slope) && plain.contains(end));
    let text = plain.replace(slope, &format!(r#"{slope}, "overhang": "25 mm""#));
    let with = format!(r#"{end}, "aside": -9, "otherEnters": "right""#);
    let text = text.replace(end, &with);
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, text.as_bytes(), true);
    assert_eq!(planned.problems, Vec::new());
    let (again, _) = import(&mut device, text.as_bytes(), false);
    assert_eq!((again.problems, again.acts.len()), (Vec::new(), 0));
    with_job(&mut device, |job| {
        let slopes: Vec<_> = job.runs.iter().filter_map(|run| run.slope).collect();
        assert_eq!(slopes[0].overhang_nm, Some(25_000_000));
        let ends = job.runs.iter().flat_map(|run| &run.posts);
        let told = ends.filter_map(|post| post.end.value());
        let aside: Vec<_> = told.filter(|end| end.aside_nm.is_some()).collect();
        assert_eq!(aside.len(), 1);
        assert_eq!(aside[0].aside_nm, Some(-9_000_000));
        assert_eq!(aside[0].other_enters, Some(FaceSide::Right));
    });
    // A tread can't stand out by its own going.
    let wide = text.replace(r#""overhang": "25 mm""#, r#""overhang": 250"#);
    let (planned, _) = import(&mut Device::founder("ben"), wide.as_bytes(), true);
    assert!(!planned.problems.is_empty());
}

/// Post A1 is 115 wide, its holes 9: 57.5 − 4.5 − 40 = 13 of wood.
#[test]
fn holes_near_the_edge_of_a_face_are_noted_and_those_beyond_it_refused() {
    let plain = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let end = r#""hand": "LH", "tensioner": true, "angledSeat": false"#;
    assert!(plain.contains(end), "{plain}");
    let of = |aside: i64| plain.replacen(end, &format!(r#"{end}, "aside": {aside}"#), 1);
    let stands = |device: &mut Device| {
        with_job(device, |job| {
            let posts = job.runs.iter().flat_map(|run| &run.posts);
            let ends = posts.filter_map(|post| post.end.value());
            ends.filter_map(|end| end.aside_nm).collect::<Vec<_>>()
        })
    };
    for (aside, outcome, words, recorded) in [
        (
            40,
            Outcome::Noted,
            "40 mm off the middle a hole of 9 mm leaves 13 mm of wood to the edge of the face",
            vec![40_000_000],
        ),
        (
            -53,
            Outcome::Refused,
            "breaks out of the face of post",
            vec![],
        ),
        (60, Outcome::Refused, "is beside post", vec![]),
    ] {
        let mut device = Device::founder("ann");
        let (planned, _) = import(&mut device, of(aside).as_bytes(), true);
        let found: Vec<_> = planned
            .problems
            .iter()
            .map(|p| (p.outcome, &p.message))
            .collect();
        assert!(
            matches!(found.as_slice(), [(as_what, message)] if *as_what == outcome && message.contains(words)),
            "{aside}: {found:?}"
        );
        assert!(
            planned.problems[0].path.ends_with(".end.aside"),
            "{:?}",
            planned.problems
        );
        assert_eq!(stands(&mut device), recorded, "{aside}");
    }
}

#[test]
fn a_set_that_a_survey_names_says_where_each_of_its_figures_is_from() {
    let mut ann = Device::founder("ann");
    import(&mut ann, &fixture("demo/survey.json"), true);
    let told = told(&mut ann);
    for (field, from) in [
        (
            fields::FITTING_EFFICIENCY.name,
            "terminal efficiency: example figure, no source, ask for that of your terminal; factor: example \
             figure",
        ),
        (
            fields::FITTING_THROUGH_HOLE.name,
            "example figure, no source",
        ),
    ] {
        let key = format!(" {field} ");
        let said: Vec<_> = told.iter().filter(|(k, _)| k.contains(&key)).collect();
        assert_eq!(said.len(), 1, "{field}: {told:#?}");
        assert!(said[0].1[0].contains(from), "{said:?}");
    }
}

//! What a survey file tells of a stair's treads and of holes off the middle of a post's face.

use records::model::values::FaceSide;

use crate::common::Device;
use crate::survey::{fixture, import, with_job};

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

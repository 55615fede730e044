//! How posts are built behind their outside: solid, hollow, or nobody told which.

use records::model::fields;
use records::model::values::{Material, Section};
use records::subject::Subject;
use records::work::{PostAsked, PostsAsked, cut_sheet, pull_doubt};

use crate::near;
use crate::posts::{asked, of, pull};
use crate::scene::{MM, Scene, measured};

/// Section modulus of a square, hollow or solid: handbook formulas a³/6 and (a⁴ − b⁴)/6a, mm³.
fn section_modulus(outside: f64, wall: Option<f64>) -> f64 {
    let inside = wall.map_or(0.0, |wall| outside - 2.0 * wall);
    (outside.powi(4) - inside.powi(4)) / (6.0 * outside)
}

fn build(s: &mut Scene, wall: Option<i64>, solid: Option<bool>) {
    let section = Section {
        along_nm: 50 * MM,
        across_nm: 50 * MM,
        wall_nm: wall.map(|mm| mm * MM),
        solid,
    };
    let post = Subject::post(s.post("A1"));
    s.say(fields::POST_SECTION, &post, "", section, None);
}

fn made_of(s: &mut Scene, name: &str, grade: Option<&str>, modulus_mpa: Option<i64>) {
    let material = Material {
        name: name.into(),
        grade: grade.map(Into::into),
        treatment: None,
        modulus_mpa,
        modulus_origin: modulus_mpa.map(|_| "sheet".into()),
        bending_mpa: None,
        bending_origin: None,
        moisture_permille: None,
    };
    let post = Subject::post(s.post("A1"));
    s.say(fields::POST_MATERIAL, &post, "", material, None);
}

fn a1(answer: &PostsAsked) -> &PostAsked {
    of(answer, "A1")
}

#[test]
fn a_metal_post_without_a_wall_is_not_reckoned_as_solid() {
    let mut s = measured();
    let a = s.a;
    made_of(&mut s, "steel", None, Some(210_000));
    for (solid, why) in [
        (
            None,
            "Post A1 is of metal, and nobody told whether it is hollow",
        ),
        (
            Some(false),
            "Post A1 is hollow, and its wall thickness is not told",
        ),
    ] {
        build(&mut s, None, solid);
        let answer = asked(&mut s, a);
        let free = &a1(&answer).held[0];
        // scenario: run A's wires ask 8892 N·m of a free end post, whatever it is built of.
        near(free.base_moment_nm, 8892.0, 0.5);
        assert_eq!((free.base_stress_mpa, free.tip_mm), (None, None));
        assert!(a1(&answer).sentence.contains("stress not known"));
        assert!(a1(&answer).numbers.iter().all(|n| !n.value.contains("MPa")));
        let told = |notes: &[String]| notes.iter().any(|n| n.starts_with(why));
        assert!(told(&answer.notes), "{:?}", answer.notes);
        // Nor does the cut sheet count on how stiff it would be.
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        assert!(sheet.lines.iter().all(|l| l.inward_mm == Some(0.0)));
        assert!(
            sheet.notes.iter().any(|n| n.contains(why)),
            "{:?}",
            sheet.notes
        );
    }
    for (wall, solid) in [(Some(3), None), (Some(3), Some(false)), (None, Some(true))] {
        build(&mut s, wall, solid);
        let answer = asked(&mut s, a);
        let free = &a1(&answer).held[0];
        #[allow(clippy::cast_precision_loss)] // a few millimetres
        let z = section_modulus(50.0, wall.map(|w| w as f64));
        near(free.base_stress_mpa.unwrap(), 8892.0e3 / z, 0.1);
        assert!(free.tip_mm.is_some() && !free.taken_as_solid);
        assert!(!a1(&answer).sentence.contains("if solid"));
    }
}

#[test]
fn what_a_pull_shows_of_a_hollow_post_is_its_stiffness_and_no_stress() {
    let mut s = measured();
    let a = s.a;
    made_of(&mut s, "steel", None, Some(210_000));
    build(&mut s, None, None);
    // As a 50 mm square of 3 mm wall bends 500 N at 1 m: F·L³/3EI, I = (50⁴ − 44⁴)/12 mm⁴, 3.807 mm.
    let read = records::model::values::KnownPull {
        mn: 500_000,
        at_nm: 1000 * MM,
        moved_nm: 38 * MM / 10,
        rail_on: false,
    };
    let post = s.post("A1");
    let doubt = s.with_job(|job| pull_doubt(job, a, post, &read, &[]).unwrap());
    assert_eq!(doubt, None);
    pull(&mut s, "A1", a, 500, 3800, false);
    let pulled = asked(&mut s, a);
    let free = &a1(&pulled).held[0];
    assert_eq!(free.base_stress_mpa, None);
    assert!(
        a1(&pulled).pulled[0].contains("no wall is told"),
        "{:?}",
        a1(&pulled).pulled
    );
    let moved = free.tip_mm.unwrap();
    build(&mut s, Some(3), None);
    let told = asked(&mut s, a);
    let with_wall = a1(&told).held[0].tip_mm.unwrap();
    assert!(
        (moved / with_wall - 1.0).abs() < 0.01,
        "{moved} {with_wall}"
    );
}

#[test]
fn a_post_of_nobody_knows_what_says_at_its_stress_that_it_is_taken_as_solid() {
    let mut s = measured();
    let a = s.a;
    build(&mut s, None, None);
    let doubted = |s: &mut Scene| {
        let answer = asked(s, a);
        let free = &a1(&answer).held[0];
        near(
            free.base_stress_mpa.unwrap(),
            8892.0e3 / section_modulus(50.0, None),
            0.1,
        );
        let noted = "Nobody told whether post A1 is solid or hollow";
        let noted = answer.notes.iter().any(|n| n.starts_with(noted));
        let figures = &a1(&answer).numbers;
        let in_figures = figures.iter().any(|n| n.value.ends_with("MPa if solid"));
        let said = a1(&answer).sentence.contains("MPa if solid");
        assert_eq!((noted, in_figures, said), (said, said, free.taken_as_solid));
        said
    };
    made_of(&mut s, "as stands", None, None);
    assert!(doubted(&mut s));
    // Timber is solid, by its modulus or by a grade that is known; or somebody says so.
    made_of(&mut s, "as stands", None, Some(11_000));
    assert!(!doubted(&mut s));
    made_of(&mut s, "as stands", Some("C24"), None);
    assert!(!doubted(&mut s));
    made_of(&mut s, "as stands", None, None);
    build(&mut s, None, Some(true));
    assert!(!doubted(&mut s));
}

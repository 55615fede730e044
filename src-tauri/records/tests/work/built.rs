//! How posts are built behind their outside: solid, hollow, or nobody told which.

use records::model::fields;
use records::model::values::{Material, Section};
use records::subject::Subject;
use records::work::{
    PostAsked, PostsAsked, Problem, ProblemCode, before_ordering, cut_sheet, pull_doubt,
};

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
            "Post A1 is not of timber, and nobody told whether it is hollow",
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
fn a_post_stiffer_than_what_it_is_told_to_be_is_named_and_asked_about() {
    let mut s = measured();
    let a = s.a;
    build(&mut s, None, None);
    let problems = |s: &mut Scene| -> Vec<String> {
        let answer = s.with_job(|job| before_ordering(job, a).unwrap());
        let of_modulus = |p: &&Problem| p.code == ProblemCode::Modulus;
        let found = answer.problems.iter().filter(of_modulus);
        found.map(|p| p.sentence.replace('\u{a0}', " ")).collect()
    };
    let [asked, right] = ["Post A1 is told as", "Is the modulus right?"];
    for (name, gpa, how) in [
        ("timber", 210, Some("as stiff as steel, 210 GPa")),
        ("timber", 230, Some("stiffer than steel, 210 GPa")),
        ("steel", 230, Some("stiffer than steel, 210 GPa")),
        (
            "timber",
            23,
            Some("stiffer than any timber, 22 GPa at most"),
        ),
        ("timber", 22, None),
        ("steel", 210, None),
        ("aluminium", 70, None),
    ] {
        made_of(&mut s, name, None, Some(gpa * 1000));
        let told =
            how.map(|how| format!("{asked} {name} with a modulus of {gpa} GPa: {how}. {right}"));
        assert_eq!(problems(&mut s), Vec::from_iter(told), "{name} {gpa}");
    }
    // Nobody said that it is no timber, so nobody is told so; and the sheet tells it once.
    made_of(&mut s, "timber", None, Some(210_000));
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let notes = sheet.notes.iter().filter(|n| n.contains("Post A1"));
    let notes: Vec<String> = notes.map(|n| n.replace('\u{a0}', " ")).collect();
    assert_eq!(
        notes,
        [format!(
            "{asked} timber with a modulus of 210 GPa: as stiff as steel, 210 GPa. {right} If it is no timber, \
         tell its wall thickness, or that it is solid. So the posts' movement counts as nothing: cuts may \
         come out too long."
        )]
    );
    // Told as solid its movement counts, and the modulus is asked about all the same.
    build(&mut s, None, Some(true));
    assert_eq!(problems(&mut s).len(), 1);
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(sheet.lines.iter().any(|l| l.inward_mm > Some(0.0)));
}

fn without_stress(s: &mut Scene) -> bool {
    let a = s.a;
    a1(&asked(s, a)).held[0].base_stress_mpa.is_none()
}

#[test]
fn the_rule_of_solid_timber_is_for_solid_timber_alone() {
    let mut s = measured();
    let a = s.a;
    let design = |s: &mut Scene| {
        let own = a1(&asked(s, a)).own.clone().unwrap();
        (
            own.strength_mpa,
            own.design_mpa.is_some(),
            own.design_moment_nm.is_some(),
        )
    };
    let stated = |s: &mut Scene, name: &str| {
        let material = Material {
            name: name.into(),
            grade: None,
            treatment: None,
            modulus_mpa: None,
            modulus_origin: None,
            bending_mpa: Some(235),
            bending_origin: Some("sheet".into()),
            moisture_permille: None,
        };
        let post = Subject::post(s.post("A1"));
        s.say(fields::POST_MATERIAL, &post, "", material, None);
    };
    made_of(&mut s, "pine", Some("C24"), None);
    build(&mut s, None, None);
    assert_eq!(design(&mut s), (24.0, true, true));
    // One told as hollow keeps its strength and no moment that a solid one would bear.
    build(&mut s, None, Some(false));
    assert_eq!(design(&mut s), (24.0, false, false));
    for (name, solid, strength, moment) in [
        ("steel", None, false, false),
        ("steel", Some(true), false, false),
        ("GRP", Some(true), false, false),
        // What nobody knows to be no timber keeps the lesser strength, and no moment of a solid one.
        ("as stands", None, true, false),
        ("as stands", Some(true), true, true),
        ("iron bark", Some(true), true, true),
    ] {
        build(&mut s, None, solid);
        stated(&mut s, name);
        let found = design(&mut s);
        assert_eq!(found, (235.0, strength, moment), "{name} {solid:?}");
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
    // With the rail the stiffest that it can be leads, steel all through: more than any tube asks.
    let railed = a1(&pulled).held[1].clone();
    let [soft, stiff] = railed.by_base.as_slice() else {
        panic!("both readings")
    };
    assert!(
        stiff.name.contains("210000 MPa since no wall is told"),
        "{}",
        stiff.name
    );
    assert!(soft.base_moment_nm < stiff.base_moment_nm);
    build(&mut s, Some(3), None);
    let told = asked(&mut s, a);
    assert!(railed.base_moment_nm > a1(&told).held[1].base_moment_nm);
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
    assert!(!without_stress(&mut s));
    // What a name or a modulus shows to be no timber is not taken as solid at all.
    for (name, modulus) in [
        ("steel", None),
        ("aluminium 6061", None),
        ("aluminium, wood grain finish", None),
        ("steel, sleeved in wood", None),
        ("pultruded glass fibre", Some(17_000)),
        ("as stands", Some(23_000)),
        ("vinyl", Some(3_000)),
        ("concrete", None),
    ] {
        made_of(&mut s, name, None, modulus);
        assert!(without_stress(&mut s), "{name}");
    }
    // Timber is solid, by its modulus or by a grade that is known; or somebody says so.
    made_of(&mut s, "as stands", None, Some(11_000));
    assert!(!doubted(&mut s));
    made_of(&mut s, "as stands", Some("C24"), None);
    assert!(!doubted(&mut s));
    made_of(&mut s, "as stands", None, None);
    build(&mut s, None, Some(true));
    assert!(!doubted(&mut s));
}

#[test]
fn pulls_of_a_thin_tube_are_no_odd_pulls() {
    let mut s = measured();
    let a = s.a;
    made_of(&mut s, "steel", None, Some(210_000));
    build(&mut s, None, None);
    let post = s.post("A1");
    let read = |at: i64, newtons: i64, moved_um: i64| records::model::values::KnownPull {
        mn: newtons * 1000,
        at_nm: at * MM,
        moved_nm: moved_um * 1000,
        rail_on: false,
    };
    let doubt = |s: &mut Scene, at, newtons, moved_um| {
        let read = read(at, newtons, moved_um);
        s.with_job(|job| pull_doubt(job, a, post, &read, &[]).unwrap())
    };
    // A solid one of 50 mm bends 1.52 mm (F·L³/3EI): 16 mm would be ten times it, and a tube's own.
    assert_eq!(doubt(&mut s, 1000, 500, 16_000), None);
    build(&mut s, None, Some(true));
    assert!(
        doubt(&mut s, 1000, 500, 16_000)
            .unwrap()
            .contains("times what such a post bends")
    );
    // Two pulls of a tube of 1.5 mm wall: I = (50⁴ − 47⁴)/12, 6.96 mm and 0.89 mm.
    build(&mut s, None, None);
    let first = read(1000, 500, 6_960);
    let subject = Subject::post(post);
    let with = Some(records::model::context::PullRead::default());
    s.say(fields::POST_PULL, &subject, &a.to_string(), first, with);
    assert_eq!(doubt(&mut s, 400, 1000, 890), None);
    assert!(
        doubt(&mut s, 400, 1000, 8_900)
            .unwrap()
            .contains("would move it")
    );
}

#[test]
fn what_is_said_of_wood_is_not_said_of_a_tube() {
    let mut s = measured();
    let a = s.a;
    let offcut = |s: &mut Scene| {
        let answer = asked(s, a);
        a1(&answer)
            .insert
            .clone()
            .unwrap()
            .sentence
            .contains("offcut")
    };
    let noted = |s: &mut Scene| {
        let schedule = s.with_job(|job| records::work::hole_schedule(job, a).unwrap());
        let begins = "Hollow or of no timber: A1.";
        schedule.notes.iter().any(|n| n.starts_with(begins))
    };
    assert!(offcut(&mut s) && !noted(&mut s));
    for (name, wall) in [("steel", None), ("as stands", Some(3)), ("steel", Some(3))] {
        build(&mut s, wall, None);
        made_of(&mut s, name, None, None);
        assert!(!offcut(&mut s) && noted(&mut s), "{name} {wall:?}");
    }
}

//! What the wires ask of posts: two runs on one, corners, known pulls, figures beside the demand.

use records::ids::ItemId;
use records::job::things::angle_place;
use records::model::context::{PullRead, Said};
use records::model::fields;
use records::model::values::{Angle, Force, KnownPull, Material, PostRole};
use records::subject::{ItemKind, Subject};
use records::work::{Held, PostAsked, PostsAsked, cut_sheet, posts_asked, pull_doubt};

use crate::near;
use crate::scene::{MM, Scene, measured, surveyed};

pub(crate) fn asked(s: &mut Scene, run: ItemId) -> PostsAsked {
    s.with_job(|job| posts_asked(job, run).unwrap())
}

pub(crate) fn of<'p>(answer: &'p PostsAsked, name: &str) -> &'p PostAsked {
    answer.posts.iter().find(|p| p.name == name).unwrap()
}

fn turn(s: &mut Scene, post: &str, place: &str, degrees: i64) {
    let subject = Subject::post(s.post(post));
    let angle = Angle {
        cdeg: degrees * 100,
    };
    s.say(fields::POST_ANGLE, &subject, place, angle, None);
}

pub(crate) fn pull(
    s: &mut Scene,
    post: &str,
    run: ItemId,
    newtons: i64,
    moved_um: i64,
    rail_on: bool,
) {
    let subject = Subject::post(s.post(post));
    let value = KnownPull {
        mn: newtons * 1000,
        at_nm: 1000 * MM,
        moved_nm: moved_um * 1000,
        rail_on,
    };
    let with = Some(PullRead::default());
    s.say(fields::POST_PULL, &subject, &run.to_string(), value, with);
}

/// Moment of run B's wires at A6: 8 wires at 93 … 744, 1500 N, only the level part bends.
fn stair_moment() -> f64 {
    let slope = (178.0_f64 / 250.0).atan();
    93.0 * 36.0 * 1500.0 * slope.cos() / 1e3
}

#[test]
fn two_runs_on_one_post_add_as_vectors() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    // scenario: run A alone 8892 N·m; untold, moment and movement are most where both pull the same
    // way; the stress of a square corner at 45° to the run that the post stands square to. Nobody
    // told to which: (M2 + √2·M1)/Z asks most, from both runs.
    let answer = asked(&mut s, a);
    let a6 = of(&answer, "A6").clone();
    near(a6.held[0].base_moment_nm, 8892.0, 0.5);
    let together = a6.together.unwrap();
    assert_eq!(together.runs[0].name, "B");
    assert_eq!(together.runs[0].angle_deg, None);
    near(
        together.held[0].base_moment_nm,
        8892.0 + stair_moment(),
        0.5,
    );
    let z = 115.0_f64.powi(3) / 6.0;
    let corner = (stair_moment() + 2.0_f64.sqrt() * 8892.0) * 1e3;
    near(together.held[0].base_stress_mpa, corner / z, 0.01);
    near(
        together.held[0].fixing_force_n.unwrap(),
        corner / 250.0,
        5.0,
    );
    let square = 8892.0_f64.hypot(stair_moment());
    near(together.at_right_angle[0].base_moment_nm, square, 0.5);
    assert!(
        together.sentence.contains("angle is not told"),
        "{}",
        together.sentence
    );
    assert!(a6.sentence.starts_with(&together.sentence));
    assert!(of(&answer, "A1").together.is_none());

    // Told, the angle counts from both runs, and nothing stands beside it.
    turn(&mut s, "A6", &angle_place(b, a), 90);
    for run in [a, b] {
        let answer = asked(&mut s, run);
        let together = of(&answer, "A6").together.clone().unwrap();
        assert_eq!(together.runs[0].angle_deg, Some(90.0));
        near(together.held[0].base_moment_nm, square, 0.5);
        assert!(together.at_right_angle.is_empty());
        assert!(
            !answer.notes.iter().any(|n| n.contains("angle")),
            "{:?}",
            answer.notes
        );
    }
    // At a right angle the other run moves nothing along this one; the sheet says what it leaves out.
    let notes = |s: &mut Scene| s.with_job(|job| cut_sheet(job, a).unwrap()).notes;
    let moves = |notes: &[String], by: &str| notes.iter().any(|n| n.contains(by));
    assert!(moves(
        &notes(&mut s),
        "moves it 0.0 mm along the top wire of run A"
    ));
    // Straight on they pull against each other: each alone asks more, and stands first.
    turn(&mut s, "A6", &angle_place(a, b), 180);
    let answer = asked(&mut s, a);
    let a6 = of(&answer, "A6");
    near(
        a6.together.as_ref().unwrap().held[0].base_moment_nm,
        8892.0 - stair_moment(),
        0.5,
    );
    near(a6.held[0].base_moment_nm, 8892.0, 0.5);
    assert!(moves(&notes(&mut s), "moves it -"));
}

#[test]
fn an_untold_angle_asks_at_least_what_any_angle_does() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let row = |s: &mut Scene| -> Vec<f64> {
        let answer = asked(s, a);
        let held = of(&answer, "A6").together.clone().unwrap().held;
        let of_one = |h: &records::work::PostHeld| {
            let mut row = vec![h.base_moment_nm, h.base_stress_mpa, h.tip_mm.unwrap()];
            row.extend([h.fixing_force_n.unwrap(), h.rail_force_n.unwrap_or(0.0)]);
            row.extend(&h.wires_mm);
            row
        };
        held.iter().flat_map(of_one).collect()
    };
    let answer = asked(&mut s, a);
    let said = "each figure is the greatest over all angles, by itself";
    assert!(
        answer.notes.iter().any(|n| n.contains(said)),
        "{:?}",
        answer.notes
    );
    assert!(of(&answer, "A6").sentence.contains(said));
    let told = serde_json::to_string(&answer).unwrap();
    assert!(!told.contains("same way"), "{told}");
    // The same post asks the same whichever run is looked at.
    let stress = |s: &mut Scene, run: ItemId| {
        let answer = asked(s, run);
        of(&answer, "A6").together.clone().unwrap().held[0].base_stress_mpa
    };
    near(stress(&mut s, a), stress(&mut s, b), 1e-4);
    let untold = row(&mut s);
    for degrees in [
        0, 15, 30, 45, 60, 70, 77, 84, 90, 105, 120, 135, 150, 165, 180,
    ] {
        turn(&mut s, "A6", &angle_place(a, b), degrees);
        let told = row(&mut s);
        for (n, (untold, told)) in untold.iter().zip(&told).enumerate() {
            assert!(untold.abs() >= told.abs() - 1e-9, "{n} at {degrees}°");
        }
    }
    // Pulling the same way the stress is 29.9 MPa with the rail, 8.7 propped; it is 36.3 at 77° with
    // the post square to run A, and more with it square to run B.
    let wires = untold.len() / 3;
    assert!(untold[wires + 1] > 36.25 && untold[2 * wires + 1] > 15.65);
}

#[test]
fn each_wire_rail_insert_and_prop_is_told_at_survey_time() {
    let mut s = surveyed();
    let a = s.a;
    // Before anything is decided the table's 1725 N count.
    let answer = asked(&mut s, a);
    let a1 = of(&answer, "A1");
    assert_eq!(a1.tension_n, 1725.0);
    assert!(a1.tension_origin.contains("required"));
    let ways: Vec<Held> = a1.held.iter().map(|h| h.held).collect();
    assert_eq!(ways, [Held::Free, Held::WithRail, Held::Propped]);
    let [free, railed, propped] = a1.held.as_slice() else {
        panic!("three ways")
    };
    assert!(free.base_moment_nm > railed.base_moment_nm);
    assert!(railed.base_moment_nm > propped.base_moment_nm);
    assert_eq!(a1.wire_heights_mm.len(), 12);
    assert_eq!(free.wires_mm.len(), 12);
    assert!(free.wires_mm.windows(2).all(|w| w[0] < w[1]));
    // The rail's spring: 500 N/mm times what the post moves at its height.
    near(
        railed.rail_force_n.unwrap(),
        500.0 * railed.tip_mm.unwrap(),
        0.01,
    );
    let insert = a1.insert.clone().unwrap();
    assert_eq!((insert.pull_n, insert.figure_n), (1725.0, None));
    assert!(insert.sentence.contains("offcut"), "{}", insert.sentence);
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let said = Said {
        origin: Some("own pull in an offcut".into()),
        ..Said::default()
    };
    s.say(
        fields::FITTING_INSERT_PULL,
        &set,
        "",
        Force::newtons(6200),
        Some(said),
    );
    let insert = of(&asked(&mut s, a), "A1").insert.clone().unwrap();
    assert_eq!(insert.figure_n, Some(6200.0));
    assert_eq!(
        insert.figure_origin.as_deref(),
        Some("own pull in an offcut")
    );
    let words = serde_json::to_string(&asked(&mut s, a))
        .unwrap()
        .to_lowercase();
    for verdict in ["safe", "complies", "\"ok\"", "adequate", "sufficient"] {
        assert!(!words.contains(verdict), "{verdict}");
    }
}

#[test]
fn the_posts_own_figure_stands_beside_with_its_origin() {
    let mut s = measured();
    let a = s.a;
    let material = |grade: &str, bending: Option<i64>| Material {
        name: "softwood".into(),
        grade: Some(grade.into()),
        treatment: None,
        modulus_mpa: Some(11_000),
        modulus_origin: Some("grade".into()),
        bending_mpa: bending,
        bending_origin: bending.map(|_| "letter EL-017".into()),
        moisture_permille: None,
    };
    let subject = Subject::post(s.post("A1"));
    // F17's strength is not known here: nothing stands beside it.
    assert_eq!(of(&asked(&mut s, a), "A1").own, None);
    s.say(
        fields::POST_MATERIAL,
        &subject,
        "",
        material("c24", None),
        None,
    );
    let own = of(&asked(&mut s, a), "A1").own.clone().unwrap();
    // EN 338 C24: 24 MPa (second hand); ×.5 × (150/115)^.2 ÷ 1.3.
    near(own.strength_mpa, 24.0, 1e-9);
    assert!(own.origin.contains("C24, EN 338"), "{}", own.origin);
    near(
        own.design_mpa.unwrap(),
        24.0 * 0.5 * (150.0_f64 / 115.0).powf(0.2) / 1.3,
        1e-9,
    );
    assert!(own.design_origin.unwrap().contains("memory"));
    s.say(
        fields::POST_MATERIAL,
        &subject,
        "",
        material("c24", Some(18)),
        None,
    );
    let own = of(&asked(&mut s, a), "A1").own.clone().unwrap();
    near(own.strength_mpa, 18.0, 1e-9);
    assert!(own.origin.contains("EL-017"));
    assert_eq!(own.design_mpa, None);
}

#[test]
fn a_known_pull_takes_the_place_of_what_was_assumed_in_demand_and_cut() {
    let mut s = measured();
    let a = s.a;
    let before = s.with_job(|job| cut_sheet(job, a).unwrap());
    let tip = |answer: &PostsAsked, at: usize| of(answer, "A1").held[at].tip_mm.unwrap();
    let assumed = asked(&mut s, a);
    // 115×115, E 14 GPa bends 300 N at 1 m by 0.490 mm (F·L³/3EI); it was read to move 3.
    pull(&mut s, "A1", a, 300, 3000, false);
    let off = asked(&mut s, a);
    assert!(
        of(&off, "A1").pulled[0].contains("base of post A1 turns"),
        "{:?}",
        of(&off, "A1").pulled
    );
    assert!(tip(&off, 0) > 3.0 * tip(&assumed, 0));
    // k_θ = h²·P/(moved − bending): 10⁶·300/(3 − 0.490) N·mm per radian.
    let bending = 300.0 * 1e9 / (3.0 * 14_000.0 * 115.0_f64.powi(4) / 12.0);
    let turning = 1e6 * 300.0 / (3.0 - bending);
    let moment = 8892.0e3;
    near(
        tip(&off, 0) - tip(&assumed, 0),
        moment * 1000.0 / turning,
        0.01,
    );
    // The cut follows: both posts' movement, wire by wire, and the sheet says why.
    let after = s.with_job(|job| cut_sheet(job, a).unwrap());
    for (old, new) in before.lines.iter().zip(&after.lines) {
        assert!(new.inward_mm > old.inward_mm, "wire {}", new.wire);
        assert!(new.aim_mm <= old.aim_mm);
    }
    assert!(
        after.notes.iter().any(|n| n.contains("as pulled")),
        "{:?}",
        after.notes
    );
    assert!(!after.notes.iter().any(|n| n.starts_with("Post A1's base")));
    // With the rail on it moved 0.4: the rail is stiffer than the 500 N/mm that were told.
    pull(&mut s, "A1", a, 300, 400, true);
    let on = asked(&mut s, a);
    assert!(tip(&on, 1) < tip(&off, 1));
    assert!(of(&on, "A1").pulled[1].contains("rail of run A at post A1"));
    // A base turns alike for every run on the post; a rail belongs to its own.
    assert!(of(&on, "A6").pulled.is_empty());
}

#[test]
fn a_soft_base_moves_a_post_more_and_takes_no_moment_off_it() {
    let mut s = measured();
    let a = s.a;
    let before = of(&asked(&mut s, a), "A1").clone();
    assert!(before.held.iter().all(|h| h.by_base.is_empty()));
    // 500 N at 1 m bend this post by 0.8 mm; it was read to move 1.5, and then 60.
    pull(&mut s, "A1", a, 500, 1500, false);
    let turning = of(&asked(&mut s, a), "A1").clone();
    pull(&mut s, "A1", a, 500, 60_000, false);
    let soft = of(&asked(&mut s, a), "A1").clone();
    for (at, now) in soft.held.iter().enumerate() {
        let (stiff, some) = (&before.held[at], &turning.held[at]);
        // Movement by the softest.
        assert!(now.tip_mm >= some.tip_mm && some.tip_mm >= stiff.tip_mm);
        for (n, moved) in now.wires_mm.iter().enumerate() {
            assert!(*moved >= stiff.wires_mm[n] - 1e-9, "wire {n}");
        }
        // Moment, stress and fixings as if the base did not turn.
        for held in [some, now] {
            near(held.base_moment_nm, stiff.base_moment_nm, 1e-6);
            near(held.base_stress_mpa, stiff.base_stress_mpa, 1e-9);
            near(
                held.fixing_force_n.unwrap(),
                stiff.fixing_force_n.unwrap(),
                1e-6,
            );
        }
        let [by_pull, not_turning] = now.by_base.as_slice() else {
            panic!("both readings")
        };
        assert_eq!(by_pull.name, "base turning as pulled");
        assert_eq!(not_turning.name, "base not turning");
        assert_eq!(Some(by_pull.tip_mm), now.tip_mm);
        assert_eq!(Some(not_turning.tip_mm), stiff.tip_mm);
        assert!(by_pull.rail_force_n >= not_turning.rail_force_n);
        assert_eq!(now.rail_force_n, by_pull.rail_force_n);
    }
    // With the rail a base that turns so leaves it nearly all: beside, and never in the lead.
    let railed = &soft.held[1];
    assert!(railed.by_base[0].base_moment_nm < 0.1 * railed.base_moment_nm);
    let less = format!(
        "base turning as pulled: {:.0} N·m, {:.1} MPa",
        railed.by_base[0].base_moment_nm, railed.by_base[0].base_stress_mpa
    );
    assert!(soft.sentence.contains(&less), "{}", soft.sentence);
    assert!(
        soft.sentence.contains("with the rail: 5995 N·m"),
        "{}",
        soft.sentence
    );
    let beside = |n: &&records::model::context::Number| n.name.ends_with("base turning as pulled");
    assert!(soft.numbers.iter().find(beside).is_some());
}

#[test]
fn a_modulus_that_nobody_told_takes_no_moment_off_a_base() {
    let mut s = measured();
    let a = s.a;
    let material = |modulus: Option<i64>| Material {
        name: "hardwood".into(),
        grade: None,
        treatment: None,
        modulus_mpa: modulus,
        modulus_origin: modulus.map(|_| "grade".into()),
        bending_mpa: None,
        bending_origin: None,
        moisture_permille: None,
    };
    let subject = Subject::post(s.post("A1"));
    s.say(
        fields::POST_MATERIAL,
        &subject,
        "",
        material(Some(14_000)),
        None,
    );
    let told = of(&asked(&mut s, a), "A1").clone();
    s.say(fields::POST_MATERIAL, &subject, "", material(None), None);
    pull(&mut s, "A1", a, 500, 60_000, false);
    let soft = of(&asked(&mut s, a), "A1").clone();
    // The stiffest timber that is known, F17 of 14 GPa, stands in: what that asks leads.
    near(
        soft.held[1].base_moment_nm,
        told.held[1].base_moment_nm,
        1e-6,
    );
    assert!(soft.held[1].tip_mm > told.held[1].tip_mm);
    let [by_pull, stiff] = soft.held[1].by_base.as_slice() else {
        panic!("both readings")
    };
    assert_eq!(by_pull.name, "bending and base as pulled");
    assert!(
        stiff.name.contains("14000 MPa since no modulus is told"),
        "{}",
        stiff.name
    );
    assert!(by_pull.base_moment_nm < stiff.base_moment_nm);
}

#[test]
fn pulls_out_of_all_proportion_are_asked_about() {
    let mut s = measured();
    let a = s.a;
    let id = s.post("A1");
    let read = |at: i64, newtons: i64, moved_um: i64, rail_on: bool| KnownPull {
        mn: newtons * 1000,
        at_nm: at * MM,
        moved_nm: moved_um * 1000,
        rail_on,
    };
    let doubt = |s: &mut Scene, value: KnownPull, over: &[records::ids::Hash]| {
        s.with_job(|job| pull_doubt(job, a, id, &value, over).unwrap())
    };
    assert_eq!(doubt(&mut s, read(1000, 500, 1500, false), &[]), None);
    // 115×115 of 14 GPa bends 0.817 mm under 500 N at 1 m (F·L³/3EI).
    let far = doubt(&mut s, read(1000, 500, 60_000, false), &[]).unwrap();
    assert!(
        far.contains("73 times what such a post bends by itself, 0.8 mm"),
        "{far}"
    );
    let high = doubt(&mut s, read(3000, 500, 1500, false), &[]).unwrap();
    assert!(
        high.contains("A pull at 3000 mm lies above post A1"),
        "{high}"
    );
    assert_eq!(doubt(&mut s, read(1100, 500, 2000, false), &[]), None);
    // A second pull is held against the first, at whatever height, and not where it corrects it.
    pull(&mut s, "A1", a, 500, 1500, false);
    assert_eq!(doubt(&mut s, read(1000, 300, 1000, false), &[]), None);
    let other = doubt(&mut s, read(1000, 500, 4500, false), &[]).unwrap();
    assert!(
        other.contains("by that this one would move it 1.5 mm, not 4.5 mm"),
        "{other}"
    );
    let subject = Subject::post(id);
    let first = s.tips("pull", &subject, &a.to_string());
    assert_eq!(doubt(&mut s, read(1000, 500, 4500, false), &first), None);
    let lower = doubt(&mut s, read(500, 500, 2500, false), &[]).unwrap();
    assert!(lower.contains("by that"), "{lower}");
    // With the rail on likewise.
    assert_eq!(doubt(&mut s, read(1000, 500, 700, true), &[]), None);
    pull(&mut s, "A1", a, 500, 400, true);
    assert_eq!(doubt(&mut s, read(1000, 500, 600, true), &[]), None);
    let rail = doubt(&mut s, read(1000, 500, 1300, true), &[]).unwrap();
    assert!(rail.contains("would move it 0.4 mm"), "{rail}");
}

#[test]
fn a_pull_stands_for_a_modulus_that_nobody_told() {
    let mut s = measured();
    let a = s.a;
    for name in ["A1", "A6"] {
        let material = Material {
            name: "hardwood".into(),
            grade: None,
            treatment: None,
            modulus_mpa: None,
            modulus_origin: None,
            bending_mpa: None,
            bending_origin: None,
            moisture_permille: None,
        };
        let subject = Subject::post(s.post(name));
        s.say(fields::POST_MATERIAL, &subject, "", material, None);
    }
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(sheet.lines.iter().all(|l| l.inward_mm == Some(0.0)));
    for name in ["A1", "A6"] {
        pull(&mut s, name, a, 300, 1000, false);
    }
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(sheet.lines.iter().all(|l| l.inward_mm > Some(0.0)));
    assert!(of(&asked(&mut s, a), "A1").held[0].tip_mm.is_some());
}

#[test]
fn a_disputed_pull_blocks_the_cut_and_an_odd_one_is_questioned() {
    let mut s = measured();
    let a = s.a;
    pull(&mut s, "A1", a, 300, 3000, false);
    let post = Subject::post(s.post("A1"));
    let first = s.tips("pull", &post, &a.to_string());
    for moved in [2500, 3500] {
        let value = KnownPull {
            mn: 300_000,
            at_nm: 1000 * MM,
            moved_nm: moved * 1000,
            rail_on: false,
        };
        let with = Some(PullRead::default());
        s.say_over(
            fields::POST_PULL,
            &post,
            &a.to_string(),
            Some(value),
            with,
            first.clone(),
        );
    }
    let answer = asked(&mut s, a);
    assert!(of(&answer, "A1").pulled.is_empty());
    assert!(
        answer
            .notes
            .iter()
            .any(|n| n.contains("disputed and not used"))
    );
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    for line in &sheet.lines {
        let refused = line.refused.as_ref().unwrap();
        assert!(
            refused.sentence.contains("known pull of post A1"),
            "{}",
            refused.sentence
        );
    }

    let id = s.post("A6");
    let read = |newtons: i64, moved: i64, rail_on: bool| KnownPull {
        mn: newtons * 1000,
        at_nm: 1000 * MM,
        moved_nm: moved * 1000,
        rail_on,
    };
    let doubt = |s: &mut Scene, value: KnownPull| {
        s.with_job(|job| pull_doubt(job, a, id, &value, &[]).unwrap())
    };
    // A 115 post of steel would move 0.033 mm under 300 N at 1 m.
    assert!(
        doubt(&mut s, read(300, 20, false))
            .unwrap()
            .contains("steel")
    );
    assert_eq!(doubt(&mut s, read(300, 2000, false)), None);
    pull(&mut s, "A6", a, 300, 2000, false);
    assert!(
        doubt(&mut s, read(300, 2500, true))
            .unwrap()
            .contains("rail on")
    );
    assert_eq!(doubt(&mut s, read(300, 500, true)), None);
}

#[test]
fn a_corner_is_pulled_on_both_sides() {
    let mut s = measured();
    let a = s.a;
    let (subject, place) = (Subject::post(s.post("A3")), a.to_string());
    s.say(fields::POST_ROLE, &subject, &place, PostRole::Corner, None);
    let answer = asked(&mut s, a);
    let corner = of(&answer, "A3").clone();
    assert_eq!(corner.role, PostRole::Corner);
    // Untold: both sides the same way, the most there can be; √2 of one at a right angle.
    near(corner.held[0].base_moment_nm, 2.0 * 8892.0, 1.0);
    near(
        corner.at_right_angle[0].base_moment_nm,
        2.0_f64.sqrt() * 8892.0,
        1.0,
    );
    assert!(corner.insert.is_none());
    assert!(
        answer
            .notes
            .iter()
            .any(|n| n.contains("Friction at corner post A3"))
    );
    turn(&mut s, "A3", &place, 120);
    let corner = of(&asked(&mut s, a), "A3").clone();
    // Resultant of two equal pulls 120° apart is one of them.
    near(corner.held[0].base_moment_nm, 8892.0, 0.5);
    assert!(corner.at_right_angle.is_empty());
}

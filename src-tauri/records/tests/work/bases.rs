//! What posts stand on and are made of: a stated turning of the base, a modulus that nobody told.

use records::model::fields;
use records::model::values::{BaseFixing, KnownPull, Material};
use records::subject::Subject;
use records::work::{cut_sheet, pull_doubt, recheck};

use crate::gates::made_of;
use crate::near;
use crate::posts::{asked, of, pull};
use crate::scene::{MM, Scene, measured};

/// A bracket whose turning is stated, or is not.
fn base(turning: Option<i64>, origin: Option<&str>) -> BaseFixing {
    BaseFixing {
        kind: "bolted bracket".into(),
        bolts: Some(4),
        spacing_nm: Some(250 * MM),
        turning_nm_per_rad: turning,
        turning_origin: origin.map(Into::into),
        seen: true,
    }
}

#[test]
fn a_stated_turning_of_the_base_counts_until_a_pull_shows_it() {
    let mut s = measured();
    let a = s.a;
    let top = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let line = sheet.lines.iter().find(|l| l.wire == 12).unwrap();
        (line.inward_mm.unwrap(), sheet.notes.clone())
    };
    let (stiff, notes) = top(&mut s);
    let understated = |notes: &[String], post: &str| {
        let begins = format!("Post {post}'s base is taken as not turning");
        notes.iter().any(|n| n.starts_with(&begins))
    };
    assert!(understated(&notes, "A1") && understated(&notes, "A6"));
    let subject = Subject::post(s.post("A1"));
    // z_i·z_j/k_θ is added to the influence where k_θ is known.
    let told = base(Some(500_000), Some("letter EL-017"));
    s.say(fields::POST_BASE, &subject, "", told, None);
    let (turning, notes) = top(&mut s);
    assert!(turning > stiff + 1.0, "{turning} {stiff}");
    assert!(!understated(&notes, "A1") && understated(&notes, "A6"));
    let sentence = "The base of post A1 turns, as told: 500 kN·m per radian (letter EL-017).";
    assert!(notes.iter().any(|n| n == sentence), "{notes:?}");
    let free = |s: &mut Scene| {
        let answer = asked(s, a);
        let post = of(&answer, "A1").clone();
        (post.held[0].clone(), post.pulled)
    };
    let (held, words) = free(&mut s);
    assert_eq!(words, [sentence]);
    assert!(
        held.left_out.iter().all(|n| !n.contains("not turning")),
        "{held:?}"
    );
    // Free, the top turns by M/k_θ besides: 8892 N·m over 500 kN·m a radian, at 1 m 17.8 mm.
    let without = base(None, None);
    s.say(fields::POST_BASE, &subject, "", without, None);
    let (before, _) = free(&mut s);
    near(held.tip_mm.unwrap() - before.tip_mm.unwrap(), 17.78, 0.05);
    near(held.base_moment_nm, before.base_moment_nm, 1e-6);
    // A softer one moves more, and what a pull shows takes its place.
    let soft = base(Some(250_000), None);
    s.say(fields::POST_BASE, &subject, "", soft, None);
    assert!(top(&mut s).0 > turning);
    let (_, words) = free(&mut s);
    assert!(
        words[0].ends_with("250 kN·m per radian (origin not told)."),
        "{words:?}"
    );
    pull(&mut s, "A1", a, 300, 3000, false);
    let (_, words) = free(&mut s);
    assert_eq!(words.len(), 1);
    assert!(words[0].contains("as pulled"), "{words:?}");
}

#[test]
fn a_post_of_an_untold_modulus_creeps_as_timber_does() {
    let mut s = measured();
    let a = s.a;
    let told = |s: &mut Scene| s.with_job(|job| recheck(job, a).unwrap());
    let material = |modulus: Option<i64>| Material {
        name: "as stands".into(),
        grade: None,
        treatment: None,
        modulus_mpa: modulus,
        modulus_origin: modulus.map(|_| "sheet".into()),
        bending_mpa: None,
        bending_origin: None,
        moisture_permille: None,
    };
    let of_both = |s: &mut Scene, first: Option<i64>, last: Option<i64>| {
        for (name, modulus) in [("A1", first), ("A6", last)] {
            let subject = Subject::post(s.post(name));
            s.say(fields::POST_MATERIAL, &subject, "", material(modulus), None);
        }
        told(s)
    };
    // A pull stands for the modulus that nobody told.
    for name in ["A1", "A6"] {
        pull(&mut s, name, a, 300, 1000, false);
    }
    let untold = of_both(&mut s, None, None);
    let creep = &untold.made_of[1];
    assert!(
        creep.origin.contains("timber") && creep.value.contains("40 %"),
        "{creep:?}"
    );
    let said = "Of post A1 and post A6 no modulus";
    assert!(
        untold.notes.iter().any(|n| n.starts_with(said)),
        "{:?}",
        untold.notes
    );
    // 30 GPa and more is a metal's; one end of timber, or untold, is enough to count its creep.
    for (first, last, creeps) in [
        (Some(14_000), Some(210_000), true),
        (Some(210_000), None, true),
        (Some(29_999), Some(29_999), true),
        (Some(30_000), Some(70_000), false),
        (Some(210_000), Some(210_000), false),
    ] {
        let found = of_both(&mut s, first, last);
        let metal = found.made_of[1].origin.contains("metal");
        assert_eq!(metal, !creeps, "{first:?} {last:?}");
        assert_eq!(
            found.loss_in_all_n > found.loss_n,
            creeps,
            "{first:?} {last:?}"
        );
        if !creeps {
            assert!(found.loss_n < untold.loss_n);
        }
    }
}

#[test]
fn a_pull_that_moves_far_less_than_a_base_is_stated_to_let_it_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let subject = Subject::post(s.post("A1"));
    // A pull that would take the place of what an engineer states, and halve the movement, waits for a yes: 300 N at
    // 1 m move it 5.0 mm by the base and 0.49 mm by its own bending.
    let told = base(Some(60_000), Some("letter EL-018"));
    s.say(fields::POST_BASE, &subject, "", told, None);
    let id = s.post("A1");
    let doubt = |s: &mut Scene, micrometres: i64, rail_on: bool| {
        let value = KnownPull {
            mn: 300_000,
            at_nm: 1000 * MM,
            moved_nm: micrometres * 1000,
            rail_on,
        };
        s.with_job(|job| pull_doubt(job, a, id, &value, &[]).unwrap())
    };
    let asked_of = doubt(&mut s, 600, false).unwrap();
    assert!(
        asked_of.contains("60 kN·m per radian that are stated")
            && asked_of.contains("would move 5.5 mm"),
        "{asked_of}"
    );
    assert_eq!(doubt(&mut s, 4000, false), None);
    assert_eq!(doubt(&mut s, 600, true), None);
    // A metal post without a modulus may be as stiff as steel: by the base alone it moves 5.0 mm, and by 0.03 more.
    made_of(&mut s, id, "steel");
    assert_eq!(doubt(&mut s, 5000, false), None);
}

//! Another run's pull on a shared post in the cut: what it adds, what it rests on, what stays said.
//!
//! The expected movement is worked out here by hand: a cantilever's F_ij = a²(3b − a)/6EI (any
//! handbook of strength, load between base and end) superposed along two axes, and the two rails as
//! springs by Cramer's rule on their two forces.

use records::ids::ItemId;
use records::job::Job;
use records::job::things::angle_place;
use records::model::fields;
use records::model::values::{
    Angle, CutMade, Deflection, Method, PostRole, Stage, Tensions, WireHeights,
};
use records::subject::Subject;
use records::work::{CutSheet, RefusalCode, cut_sheet, learned};

use crate::near;
use crate::scene::{Scene, decide, measured, mm, on_piece, tension_read};

fn turn(s: &mut Scene, degrees: i64) {
    let (a, b) = (s.a, s.b);
    let angle = Angle {
        cdeg: degrees * 100,
    };
    let post = Subject::post(s.post("A6"));
    s.say(fields::POST_ANGLE, &post, &angle_place(b, a), angle, None);
}

fn sheet(s: &mut Scene, run: ItemId) -> CutSheet {
    s.with_job(|job| cut_sheet(job, run).unwrap())
}

fn inward(sheet: &CutSheet) -> Vec<f64> {
    let mut lines: Vec<_> = sheet.lines.iter().collect();
    lines.sort_by_key(|line| line.wire);
    lines.iter().map(|line| line.inward_mm.unwrap()).collect()
}

fn note<'s>(sheet: &'s CutSheet, of: &str) -> &'s str {
    let found = sheet.notes.iter().find(|n| n.contains(of));
    found.unwrap_or_else(|| panic!("{of}: {:?}", sheet.notes))
}

/// F_ij of the worked anchors: 115 × 115, E 14 GPa.
fn cantilever(i: f64, j: f64) -> f64 {
    let stiffness = 14_000.0 * 115.0_f64.powi(4) / 12.0;
    let (a, b) = (i.min(j), i.max(j));
    a * a * (3.0 * b - a) / (6.0 * stiffness)
}

/// Movement of A6 along run A's wires by both runs, at an angle, newtons on a wire of each.
fn at_a6(degrees: f64, on_a: f64, on_b: f64) -> Vec<f64> {
    moved(degrees, &[on_a; 12], on_b)
}

/// The same with newtons for each wire of run A.
fn moved(degrees: f64, on_a: &[f64; 12], on_b: f64) -> Vec<f64> {
    let slope = (178.0_f64 / 250.0).atan();
    let (sin, cos) = degrees.to_radians().sin_cos();
    let a: Vec<f64> = (1..=12).map(|n| 76.0 * f64::from(n)).collect();
    let b: Vec<f64> = (1..=8).map(|n| 93.0 * f64::from(n)).collect();
    let level = on_b * slope.cos();
    // Free of rails, along run A and square to it.
    let x = |at: f64| -> f64 {
        let of_a: f64 = a
            .iter()
            .zip(on_a)
            .map(|(z, n)| cantilever(at, *z) * n)
            .sum();
        let of_b: f64 = b.iter().map(|z| cantilever(at, *z) * level * cos).sum();
        of_a + of_b
    };
    let y = |at: f64| -> f64 { b.iter().map(|z| cantilever(at, *z) * level * sin).sum() };
    // Rails: 500 N/mm at 1000 along A; at 836 and half of 45 plumb along B.
    let (high, low) = (1000.0, 836.0 + 22.5 / slope.cos());
    let (p, q, r) = (
        cantilever(high, high) + 1.0 / 500.0,
        cantilever(high, low) * cos,
        cantilever(low, low) + 1.0 / 500.0,
    );
    let (u, v) = (x(high), cos * x(low) + sin * y(low));
    let determinant = p * r - q * q;
    let (of_a, of_b) = ((u * r - q * v) / determinant, (p * v - q * u) / determinant);
    a.iter()
        .map(|z| x(*z) - cantilever(*z, high) * of_a - cantilever(*z, low) * cos * of_b)
        .collect()
}

/// Movement of A1 along run A's wires, which nobody else pulls.
fn at_a1(on_a: f64) -> Vec<f64> {
    alone(&[on_a; 12])
}

/// Movement of an anchor with run A's rail and wires alone.
fn alone(on_a: &[f64; 12]) -> Vec<f64> {
    let a: Vec<f64> = (1..=12).map(|n| 76.0 * f64::from(n)).collect();
    let free = |at: f64| -> f64 {
        a.iter()
            .zip(on_a)
            .map(|(z, n)| cantilever(at, *z) * n)
            .sum()
    };
    let held = free(1000.0) / (cantilever(1000.0, 1000.0) + 1.0 / 500.0);
    a.iter()
        .map(|z| free(*z) - cantilever(*z, 1000.0) * held)
        .collect()
}

#[test]
fn the_cut_counts_what_another_run_pulls_on_its_end_post() {
    let mut s = measured();
    let a = s.a;
    let untold = sheet(&mut s, a);
    // Nobody told the angle: the run's own pull alone counts, and by how much it may be off is said.
    let said = note(&untold, "Run B pulls on post A6 too");
    assert!(said.contains("is not counted"), "{said}");
    // The most does not lie at an end of the angles: 0.52 near 45°, less straight on.
    let top = |degrees: u32| at_a6(f64::from(degrees), 1500.0, 1500.0)[11] - at_a1(1500.0)[11];
    let by_degree: Vec<f64> = (0..=180).map(top).collect();
    let most = by_degree.iter().copied().fold(f64::MIN, f64::max);
    let least = by_degree.iter().copied().fold(f64::MAX, f64::min);
    assert!(most > by_degree[0] + 0.02 && least < -2.0, "{least} {most}");
    let told = said
        .split("moves the top wire of run A by ")
        .nth(1)
        .unwrap();
    let (low, high) = told
        .split_once(" mm")
        .unwrap()
        .0
        .split_once(" to ")
        .unwrap();
    let read = |text: &str| text.replace('−', "-").parse::<f64>().unwrap();
    // Rounded outwards to a tenth.
    for (told, is) in [(-read(low), -least), (read(high), most)] {
        assert!(
            told >= is - 0.005 && told < is + 0.105,
            "{said}: {least} {most}"
        );
    }
    for degrees in [0, 60, 90, 120, 180] {
        turn(&mut s, degrees);
        let told = sheet(&mut s, a);
        #[allow(clippy::cast_precision_loss)] // whole degrees
        let at_a6 = at_a6(degrees as f64, 1500.0, 1500.0);
        for (n, found) in inward(&told).into_iter().enumerate() {
            near(found, at_a6[n] + at_a1(1500.0)[n], 1e-6);
        }
        let said = note(&told, "Run B pulls on post A6 too");
        assert!(said.contains("counted in the posts' movement"), "{said}");
        assert!(!said.contains("not counted"), "{said}");
        let input = told
            .inputs
            .iter()
            .find(|i| i.name == "pull of run B on post A6");
        assert_eq!(input.unwrap().origin, "set tension of the run");
        // Wire by wire the windows move with the movement: k is 1 + 1500/794 597 and 3e-4.
        let k = (1.0 + 1500.0 / 794_597.0) * (1.0 + 3e-4);
        for (old, new) in untold.lines.iter().zip(&told.lines) {
            let moved = new.inward_mm.unwrap() - old.inward_mm.unwrap();
            near(
                old.longest_mm.unwrap() - new.longest_mm.unwrap(),
                moved / k,
                1e-9,
            );
        }
    }
    // The run that hangs between two shared posts or none is asked alike: B's own sheet counts A.
    let b = s.b;
    assert!(note(&sheet(&mut s, b), "Run A pulls on post A6 too").contains("counted"));
    // An own tension of nought leaves what the other does, and the catch counts it.
    let away = at_a6(180.0, 0.0, 1500.0);
    let top = sheet(&mut s, a)
        .lines
        .into_iter()
        .find(|l| l.wire == 12)
        .unwrap();
    let hand = 1.0 + 30.0 / 794_597.0;
    let catch = (7305.0 - away[11] + 4.0 - 80.0 - 64.0) / hand + 64.0;
    near(top.shortest_mm.unwrap(), catch, 1e-6);
    assert!(top.shortest_by.unwrap().contains("catching"));
}

#[test]
fn what_the_other_run_pulls_is_ground_of_the_cut_once_its_direction_is_told() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let basis = |s: &mut Scene| sheet(s, a).lines[0].basis.clone();
    let heights = s.tips("wireHeights", &Subject::run(b), "");
    assert!(!heights.is_empty());
    assert!(!basis(&mut s).contains(&heights[0]), "not used, not named");
    turn(&mut s, 120);
    let place = angle_place(a, b);
    let post = Subject::post(s.post("A6"));
    let angle = s.tips("angle", &post, &place);
    let with = basis(&mut s);
    assert!(with.contains(&heights[0]) && with.contains(&angle[0]));

    // Two people differ on the angle, or on what the other run is tensioned to: no cut.
    for degrees in [90, 100] {
        let value = Some(Angle {
            cdeg: degrees * 100,
        });
        s.say_over(
            fields::POST_ANGLE,
            &post,
            &place,
            value,
            None,
            angle.clone(),
        );
    }
    let line = sheet(&mut s, a).lines[0].clone();
    let refused = line.refused.unwrap();
    assert_eq!(refused.code, RefusalCode::Disputed);
    assert!(refused.sentence.contains("post A6"), "{}", refused.sentence);
    turn(&mut s, 90);
    assert_eq!(sheet(&mut s, a).lines[0].refused, None);
    let over = s.tips(fields::RUN_TENSIONS.name, &Subject::run(b), "");
    for set in [1400, 1600] {
        let value = Some(Tensions {
            required_mn: 1_330_000,
            set_mn: set * 1000,
            upper_mn: 1_800_000,
            required_origin: "table".into(),
            upper_origin: "strand".into(),
            passes_mn: Vec::new(),
        });
        let run = Subject::run(b);
        s.say_over(fields::RUN_TENSIONS, &run, "", value, None, over.clone());
    }
    let refused = sheet(&mut s, a).lines[0].refused.clone().unwrap();
    assert_eq!(refused.code, RefusalCode::Disputed);
    assert!(refused.sentence.contains("run B"), "{}", refused.sentence);
    decide(&mut s, b, 1330, 1800);
    assert_eq!(sheet(&mut s, a).lines[0].refused, None);
}

#[test]
fn what_is_not_known_of_the_other_run_is_said_and_not_counted() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let own = inward(&sheet(&mut s, a));
    turn(&mut s, 120);
    let (post, place) = (Subject::post(s.post("A6")), b.to_string());
    s.say(fields::POST_ROLE, &post, &place, PostRole::Corner, None);
    let turned = sheet(&mut s, a);
    assert_eq!(inward(&turned), own);
    assert!(note(&turned, "Run B turns at post A6").contains("not counted"));
    s.say(fields::POST_ROLE, &post, &place, PostRole::Anchor, None);
    let none = WireHeights { nm: Vec::new() };
    s.say(fields::RUN_WIRE_HEIGHTS, &Subject::run(b), "", none, None);
    s.say(fields::RUN_WIRE_COUNT, &Subject::run(b), "", 0, None);
    let bare = sheet(&mut s, a);
    assert_eq!(inward(&bare), own);
    assert!(note(&bare, "Post A6 also carries run B").contains("not counted"));
}

#[test]
fn a_trial_wire_is_read_with_the_other_run_as_it_stood_then() {
    let still = |s: &mut Scene| {
        let a = s.a;
        let found = s.with_job(|job: &Job<'_>| learned(job, a).unwrap());
        found.readings[0].still_to_come_mm
    };
    let mut s = measured();
    read_a6(&mut s);
    let own = still(&mut s);
    // Run B hangs slack at the reading, so all of its pull is still to come.
    turn(&mut s, 180);
    let late = still(&mut s);
    // Wire 6 alone at its tension when it was read; the other run's rail holds the post as well.
    let mut six = [0.0; 12];
    six[5] = 1500.0;
    let (all, set) = (at_a6(180.0, 1500.0, 1500.0)[5], alone(&[1500.0; 12])[5]);
    let more = |on_b: f64| (all - set) - (moved(180.0, &six, on_b)[5] - alone(&six)[5]);
    assert!(more(0.0).abs() > 0.5, "{}", more(0.0));
    near(late - own, more(0.0), 1e-6);

    // Tensioned before the reading, it had moved the post already.
    let mut s = measured();
    turn(&mut s, 180);
    let (b, bay) = (s.b, s.bay_place("A6", "B2"));
    for wire in 1..=8 {
        s.tension(b, wire, &bay, 1500, Stage::Final, 1);
    }
    read_a6(&mut s);
    near(still(&mut s) - own, more(1500.0), 1e-6);
    assert!((more(1500.0) - more(0.0)).abs() > 0.5);
}

/// Wire A6 cut, and the thread read that it left.
fn read_a6(s: &mut Scene) {
    let wire = Subject::Wire(s.a, 6);
    let with = Some(on_piece(1));
    let cut = CutMade {
        nm: mm(7235.0).nm,
        batch: None,
        offcut: None,
    };
    s.say(fields::WIRE_CUT, &wire, "1", cut, with.clone());
    for (post, left) in [("A1", 14.0), ("A6", 14.5)] {
        let place = s.post(post).to_string();
        s.say(
            fields::WIRE_THREAD_LEFT,
            &wire,
            &place,
            mm(left),
            with.clone(),
        );
    }
}

#[test]
fn what_a_hung_mass_told_is_said_not_to_count_in_what_a_thread_teaches() {
    let hang = |s: &mut Scene, wire: u32| {
        let (of, bay) = (Subject::Wire(s.a, wire), s.bay_place("A2", "A3"));
        let hung = Deflection {
            nm: 4_500_000,
            mass_mg: 2_000_000,
        };
        let with = tension_read(Method::HungMass, Stage::Final, None);
        s.say(fields::WIRE_DEFLECTION, &of, &bay, hung, Some(with));
    };
    let noted = |s: &mut Scene| -> Vec<String> {
        let a = s.a;
        let notes = s.with_job(|job: &Job<'_>| learned(job, a).unwrap().notes);
        let of_mass = notes.into_iter();
        of_mass.filter(|note| note.contains("hung mass")).collect()
    };
    let mut s = measured();
    let (a, bay) = (s.a, s.bay_place("A2", "A3"));
    // One that a gauge read too counts by that, and what teaches says itself that nothing was read of it.
    s.tension(a, 3, &bay, 1500, Stage::Final, 1);
    for wire in [3, 5, 4, 6] {
        hang(&mut s, wire);
    }
    assert!(noted(&mut s).is_empty(), "nothing teaches yet");
    read_a6(&mut s);
    let said = "What a hung mass told is not counted here: A4, A5 had no reading by gauge when a thread was read \
                and count as slack.";
    assert_eq!(noted(&mut s), [said]);
    // What was hung later than the thread was read tells nothing of how it hung then.
    hang(&mut s, 8);
    assert_eq!(noted(&mut s), [said]);
}

//! Cut sheets of the worked job. Source of every figure: scenario, consistency check.

use records::model::context::Number;
use records::model::fields;
use records::model::values::{Material, Rail, Terminals};
use records::subject::{ItemKind, Subject};
use records::work::{CutLine, Origin, RefusalCode, cut_sheet};

use crate::near;
use crate::scene::{MM, Scene, measured, mm};

fn by_wire(lines: &[CutLine]) -> Vec<CutLine> {
    let mut sorted = lines.to_vec();
    sorted.sort_by_key(|l| l.wire);
    sorted
}

#[test]
fn strand_that_is_cut_in_the_cold_is_cut_shorter() {
    let mut s = measured();
    let a = s.a;
    let sheet = |s: &mut crate::scene::Scene| s.with_job(|job| cut_sheet(job, a).unwrap());
    let before = sheet(&mut s);
    let warmer = |sheet: &records::work::CutSheet| {
        let all = sheet.inputs.iter();
        let mut found = all.filter(|n| n.name.starts_with("warmer when tensioned"));
        found.next().unwrap().clone()
    };
    assert!(warmer(&before).origin.starts_with("assumed"));
    let told = records::model::values::CutWarmth {
        cut_cdeg: 400,
        tensioned_cdeg: 2400,
    };
    let run = records::subject::Subject::run(a);
    s.say(records::model::fields::RUN_WARMTH, &run, "", told, None);
    let after = sheet(&mut s);
    assert_eq!(
        (
            warmer(&after).value.as_str(),
            warmer(&after).origin.starts_with("as recorded")
        ),
        ("20 K", true)
    );
    for (old, new) in before.lines.iter().zip(&after.lines) {
        // The chain: (Lc − W)·k with k growing by 16e-6 a kelvin (EN 10088-1, memory), W 64 mm.
        let longest = old.longest_mm.unwrap();
        let expected = (longest - 64.0) / (1.0 + 16e-6 * 20.0) + 64.0;
        near(new.longest_mm.unwrap(), expected, 1e-6);
        assert!(
            (2.0..2.6).contains(&(longest - expected)),
            "2.3 mm of 7.2 m in 20 K"
        );
    }
}

#[test]
fn run_a_is_cut_as_the_scenario_has_it() {
    let mut s = measured();
    let a = s.a;
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert_eq!(sheet.lines.len(), 12);
    assert!(sheet.lines[0].trial && sheet.lines[0].wire == 6);
    assert_eq!(sheet.tension_n, Some(1500.0));
    near(sheet.bow_mm.unwrap(), 1.01, 0.005);
    let lines = by_wire(&sheet.lines);
    // scenario: "Inside to inside, run A", "Inward movement y*", "Cut A1–A12"
    let inside = [
        7294.0, 7295.3, 7296.6, 7297.8, 7298.9, 7300.0, 7301.0, 7301.9, 7302.8, 7303.6, 7304.3,
        7305.0,
    ];
    let inward = [0.2, 0.6, 1.2, 2.1, 3.0, 4.0, 5.1, 6.2, 7.2, 8.3, 9.4, 10.4];
    let cuts = [
        7231.0, 7232.0, 7233.0, 7234.0, 7234.0, 7235.0, 7235.0, 7236.0, 7236.0, 7236.0, 7236.0,
        7237.0,
    ];
    for (at, line) in lines.iter().enumerate() {
        assert_eq!(line.refused, None);
        near(line.inside_mm.unwrap(), inside[at], 0.0501);
        near(line.inward_mm.unwrap(), inward[at], 0.0501);
        assert_eq!(line.aim_mm, Some(cuts[at]), "{}", line.name);
        let measured = [1, 6, 12].contains(&line.wire);
        let expected = if measured {
            Origin::Measured
        } else {
            Origin::Interpolated
        };
        assert_eq!(line.inside_origin, Some(expected));
        assert_eq!(line.interpolated_from.len(), if measured { 0 } else { 3 });
        assert!(!line.basis.is_empty());
        // Half windows of 7.9 to 13 mm in a spread of 5.65 mm.
        let chance = line.chance.unwrap();
        assert!((0.82..0.99).contains(&chance), "{} {chance}", line.name);
    }
    assert_eq!(sheet.totals.cuttable, 12);
    assert_eq!(sheet.totals.aims_mm, 86_815.0);
    // scenario: "Windows* (nut counted)"
    for (wire, shortest, longest) in [
        (1, 7217.7, 7243.7),
        (6, 7223.7, 7245.9),
        (12, 7228.7, 7244.5),
    ] {
        near(lines[wire - 1].shortest_mm.unwrap(), shortest, 0.05);
        near(lines[wire - 1].longest_mm.unwrap(), longest, 0.05);
    }
    // scenario: "The 55 rule: A6 7245.0, inside; A12 7250.0, out by 5.5"
    let six = lines[5].fixed.clone().unwrap();
    assert!(six.inside && six.cut_mm == 7245.0);
    let twelve = lines[11].fixed.clone().unwrap();
    assert!(!twelve.inside && twelve.cut_mm == 7250.0);
    near(twelve.by_mm, 5.5, 0.05);
}

#[test]
fn no_chance_is_told_of_a_cut_that_rests_on_a_length_that_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let told = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let note = |n: &&String| n.starts_with("No chance is told of ");
        let notes: Vec<String> = sheet.notes.iter().filter(note).cloned().collect();
        (by_wire(&sheet.lines), notes)
    };
    assert!(told(&mut s).1.is_empty());
    // Kept on a yes in the place of the other: 50 mm among wires of 7.3 m, against the bays and off the line.
    let wire = records::subject::Subject::Wire(a, 6);
    let over = s.tips(fields::WIRE_LENGTH.name, &wire, "");
    let with = Some(crate::scene::cut_read());
    s.say_over(fields::WIRE_LENGTH, &wire, "", Some(mm(50.0)), with, over);
    let (lines, notes) = told(&mut s);
    assert_eq!(notes.len(), 1);
    let mut untold = Vec::new();
    for line in lines.iter().filter(|line| line.refused.is_none()) {
        assert_eq!(
            (line.chance, &line.chance_words),
            (None, &None),
            "{}",
            line.name
        );
        let kept = line.numbers.iter().find(|n| n.name.starts_with("chance"));
        assert_eq!(kept.unwrap().value, "none told");
        untold.push(line.name.as_str());
    }
    // A6 itself, and one that comes out as short, leave no strand between their terminals.
    for line in lines.iter().filter(|line| line.refused.is_some()) {
        assert_eq!(line.refused.as_ref().unwrap().code, RefusalCode::BadFigure);
    }
    assert!(
        lines[5].refused.is_some() && untold.len() == 10,
        "{untold:?}"
    );
    assert!(untold.contains(&"A5"));
    assert_eq!(
        notes[0],
        format!(
            "No chance is told of {}: each rests on a length that is asked about.",
            untold.join(", ")
        )
    );
    // Why stands above, as it is asked when wires are released.
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(
        sheet.notes.iter().any(|n| n.contains("50 mm")),
        "{:?}",
        sheet.notes
    );
    // A chance that warns stays: two readings so far apart are averaged, and of what lies between nobody knows.
    s.measure(a, 6, 7300.0);
    let (lines, _) = told(&mut s);
    assert!(
        lines[2].chance.unwrap() < 0.05,
        "{:?}",
        lines[2].chance_words
    );
}

#[test]
fn run_b_is_cut_as_the_scenario_has_it() {
    let mut s = measured();
    let b = s.b;
    let sheet = s.with_job(|job| cut_sheet(job, b).unwrap());
    let cuts = [
        2471.0, 2472.0, 2473.0, 2473.0, 2474.0, 2474.0, 2475.0, 2475.0,
    ];
    for (line, cut) in by_wire(&sheet.lines).iter().zip(cuts) {
        assert_eq!(line.aim_mm, Some(cut), "{}", line.name);
        assert_eq!(line.inside_origin, Some(Origin::Measured));
    }
    assert_eq!(sheet.totals.aims_mm, 19_787.0);
}

#[test]
fn a_decision_keeps_units_and_origins() {
    let mut s = measured();
    let a = s.a;
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let line = by_wire(&sheet.lines)[1].clone();
    let number = |name: &str| {
        let found = line.numbers.iter().find(|n| n.name == name);
        found.map(|n| (n.value.clone(), n.origin.clone())).unwrap()
    };
    let (value, origin) = number("inside to inside");
    assert_eq!(value, "7295.3 mm");
    assert_eq!(origin, "interpolated from wires 1, 6, 12");
    assert_eq!(number("cut").0, "7232 mm");
    assert!(sheet.rule_set.is_some());
    for post in ["A1", "A6"] {
        let base = format!("Post {post}'s base is taken as not turning, so its movement");
        let told = sheet.notes.iter().any(|n| n.starts_with(&base));
        assert!(told, "{:?}", sheet.notes);
    }
    assert!(
        sheet
            .inputs
            .iter()
            .all(|n| !n.origin.is_empty() && !n.value.is_empty()),
        "{:?}",
        sheet.inputs
    );
}

#[test]
fn a_wire_without_a_window_does_not_keep_the_others_from_being_answered() {
    let mut s = measured();
    let a = s.a;
    // Posts that give way so far that the upper wires can't be caught any more, and no rail.
    let rail = Rail {
        underside_nm: 985_000_000,
        thickness_nm: 35_000_000,
        stiffness_n_per_m: None,
        stiffness_height_nm: None,
    };
    s.say(fields::RUN_RAIL, &Subject::run(a), "", rail, None);
    for name in ["A1", "A6"] {
        let material = Material {
            name: "soft".into(),
            grade: None,
            treatment: None,
            modulus_mpa: Some(4000),
            modulus_origin: Some("a test".into()),
            bending_mpa: None,
            bending_origin: None,
            moisture_permille: None,
        };
        let post = Subject::post(s.post(name));
        s.say(fields::POST_MATERIAL, &post, "", material, None);
    }
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let lines = by_wire(&sheet.lines);
    assert_eq!(lines.len(), 12);
    let lowest = &lines[0];
    assert_eq!(lowest.refused, None);
    let (cut, least, most) = (lowest.aim_mm, lowest.shortest_mm, lowest.longest_mm);
    assert!(cut > least && cut < most && least.is_some());
    let top = lines[11].refused.clone().unwrap();
    assert_eq!(top.code, RefusalCode::NoWindow);
    assert!(
        top.sentence.starts_with("Wire 12: no cut length works"),
        "{}",
        top.sentence
    );
    assert_eq!((lines[11].aim_mm, lines[11].chance), (None, None));
    let refused = lines.iter().filter(|l| l.refused.is_some()).count();
    assert_eq!(sheet.totals.refused as usize, refused);
    assert_eq!(sheet.totals.cuttable as usize, 12 - refused);
}

fn terminals(s: &mut Scene, change: impl FnOnce(&mut Terminals)) {
    let mut terminals = records::library::fitting_sets()[0].terminals.clone();
    change(&mut terminals);
    let fitting = Subject::Item(ItemKind::FittingSet, s.fitting);
    s.say(fields::FITTING_TERMINALS, &fitting, "", terminals, None);
}

#[test]
fn lock_nuts_are_told_from_where_their_own_figures_are() {
    let mut s = measured();
    let a = s.a;
    let told = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let of_nuts = |n: &&Number| n.name == "lock nuts, LH and RH";
        sheet.inputs.iter().find(of_nuts).unwrap().origin.clone()
    };
    let nut = "from memory: height of a thin M6 nut";
    assert_eq!(told(&mut s), nut);
    let own = |t: &mut Terminals, of: &str, from: &str| {
        t.origins.insert(format!("{of}.lockNutNm"), from.to_owned());
    };
    terminals(&mut s, |t| own(t, "right", "measured"));
    assert_eq!(told(&mut s), format!("LH: {nut}; RH: measured"));
    terminals(&mut s, |t| {
        own(t, "left", "measured");
        own(t, "right", "measured");
    });
    assert_eq!(told(&mut s), "measured");
    // Without an origin of its own it is from where the set's figures are.
    terminals(&mut s, |t| {
        t.origins.clear();
        t.origin = "a sheet".to_owned();
        own(t, "left", "measured");
    });
    assert_eq!(told(&mut s), "LH: measured; RH: a sheet");
}

#[test]
fn an_unequal_start_is_told_and_one_turn_where_nobody_tells_it() {
    let mut s = measured();
    let a = s.a;
    let window = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let input = |name: &str| {
            let found = sheet.inputs.iter().find(|n| n.name == name).unwrap();
            (found.value.clone(), found.origin.clone())
        };
        let line = by_wire(&sheet.lines).remove(11);
        let ends = (line.shortest_mm.unwrap(), line.longest_mm.unwrap());
        let ahead = input("one end ahead of the other at the start");
        (ends, ahead, input("warmer when tensioned than when cut by"))
    };
    let ((shortest, longest), ahead, warmer) = window(&mut s);
    assert_eq!(
        ahead,
        ("0 mm".into(), "example: both ends start alike".into())
    );
    assert_eq!(warmer.0, "0 K");
    assert!(warmer.1.starts_with("assumed"), "{warmer:?}");
    // ΣX_full − |o| − Σr sets the longest. Untold, one turn of the coarser thread.
    let told_elsewhere = |t: &mut Terminals| t.origins.clear();
    for (change, start) in [
        (
            &(|t: &mut Terminals| t.unequal_start_nm = None) as &dyn Fn(&mut Terminals),
            1.0,
        ),
        (
            &|t: &mut Terminals| {
                t.unequal_start_nm = None;
                t.right.pitch_nm = Some(1_250_000);
            },
            1.25,
        ),
        (&|t: &mut Terminals| t.unequal_start_nm = Some(2 * MM), 2.0),
    ] {
        terminals(&mut s, |t| {
            told_elsewhere(t);
            change(t);
        });
        let ((shorter, longer), ahead, _) = window(&mut s);
        // The shortest is set by catching the thread here, which takes no part in it.
        near(shorter, shortest, 1e-9);
        near(longest - longer, start, 0.005);
        assert_eq!(ahead.0, format!("{start} mm"));
        let assumed = ahead.1.starts_with("assumed: one turn");
        assert_eq!(assumed, start < 2.0, "{ahead:?}");
    }
}

//! A gate at the posts of a run: what the pull leaves beside its leaf. Movement by the cantilever with its
//! rail, u = u_free ÷ (1 + k·F), written out here; angles and gaps by hand.

use records::ids::ItemId;
use records::model::context::OpeningRead;
use records::model::fields;
use records::model::values::{
    Angle, Material, Moment, Opening, OpeningKind, ProbeResult, Support, SupportKind, WireHeights,
};
use records::subject::{ItemKind, Subject};
use records::work::{Finding, Gate, Verdict, before_ordering, gates};

use crate::near;
use crate::scene::{MM, Scene, measured};

pub fn support(kind: SupportKind) -> Support {
    Support {
        kind,
        counts_as_post: None,
        confirmed_by: None,
        substrate: None,
        embedment_nm: None,
        edge_nm: None,
        gate_across: None,
        gate_clear_nm: None,
        gate_leaf_nm: None,
        gate_leaf_thick_nm: None,
        gate_hinge_gap_nm: None,
    }
}

/// 920 mm clear, a leaf of 895 × 45, 10 mm at the hinges.
fn leaf() -> Support {
    Support {
        gate_clear_nm: Some(920 * MM),
        gate_leaf_nm: Some(895 * MM),
        gate_leaf_thick_nm: Some(45 * MM),
        gate_hinge_gap_nm: Some(10 * MM),
        ..support(SupportKind::GatePost)
    }
}

fn tell(s: &mut Scene, post: ItemId, of: Support) {
    s.say(fields::POST_SUPPORT, &Subject::post(post), "", of, None);
}

/// A post of which no figure is told but its outside.
pub fn made_of(s: &mut Scene, post: ItemId, name: &str) {
    let material = Material {
        name: name.into(),
        grade: None,
        treatment: None,
        modulus_mpa: None,
        modulus_origin: None,
        bending_mpa: None,
        bending_origin: None,
        moisture_permille: None,
    };
    s.say(
        fields::POST_MATERIAL,
        &Subject::post(post),
        "",
        material,
        None,
    );
}

fn without_heights(s: &mut Scene, run: ItemId) {
    let heights = WireHeights { nm: Vec::new() };
    s.say(
        fields::RUN_WIRE_HEIGHTS,
        &Subject::run(run),
        "",
        heights,
        None,
    );
}

/// A gap beside the leaf that stops the probe.
fn gap(s: &mut Scene, post: ItemId, mm: i64, moment: Moment) {
    let read = OpeningRead {
        kind: OpeningKind::GateLeaf,
        entered: None,
        remark: Some("latch, top".into()),
        probe_nm: Some(125 * MM),
        push_mn: None,
        moment: Some(moment),
    };
    let opening = Opening {
        nm: mm * MM,
        result: Some(ProbeResult::Stops),
    };
    s.say(
        fields::POST_OPENING,
        &Subject::post(post),
        "gateLeaf",
        opening,
        Some(read),
    );
}

fn asked(s: &mut Scene) -> Vec<Gate> {
    let a = s.a;
    s.with_job(|job| gates(job, a).unwrap().gates)
}

fn beside_the_leaf(s: &mut Scene) -> Option<Finding> {
    let a = s.a;
    let all = s.with_job(|job| before_ordering(job, a).unwrap().findings);
    all.into_iter()
        .find(|f| f.place.starts_with("beside the leaf"))
}

/// Top of the 115 post of the scenario, E 14 GPa, under 12 wires of 1500 N at 76 … 912 mm, its rail holding
/// it at 1000 mm by 500 N/mm.
fn top_of_a1() -> f64 {
    let (h, bending) = (1000.0, 14_000.0 * 115.0_f64.powi(4) / 12.0);
    let free = |z: f64| 1500.0 * z * z * (3.0 * h - z) / (6.0 * bending);
    let free: f64 = (1..=12).map(|n| free(76.0 * f64::from(n))).sum();
    free / (1.0 + 500.0 * h.powi(3) / (3.0 * bending))
}

#[test]
fn the_pull_of_a_run_opens_the_gate_at_its_end() {
    let mut s = measured();
    assert_eq!((asked(&mut s), beside_the_leaf(&mut s)), (Vec::new(), None));
    let a1 = s.post("A1");
    tell(&mut s, a1, leaf());
    let moved = top_of_a1();
    // scenario: "with the rail … tip 5.8"
    near(moved, 5.8, 0.05);
    let found = asked(&mut s);
    let [gate] = found.as_slice() else {
        panic!("{found:?}")
    };
    assert_eq!((gate.name.as_str(), gate.across), ("gate at A1", None));
    assert_eq!(gate.posts[0].from_mm, 0.0);
    near(gate.posts[0].to_mm, moved, 0.005);
    let (least, most) = gate.clear_after_mm.unwrap();
    assert_eq!((gate.clear_before_mm, least), (Some(920.0), 920.0));
    near(most, 920.0 + moved, 0.005);
    let gaps = gate.gaps.unwrap();
    // 920 − 895 − 10
    assert_eq!(
        (gaps.hinges_mm, gaps.latch_before_mm),
        (Some(10.0), Some(15.0))
    );
    near(gaps.latch_after_mm.unwrap().1, 15.0 + moved, 0.005);
    // √(895² + 45²) = 896.130 571
    near(gaps.swing_needs_mm.unwrap(), 1.130_571, 1e-5);
    near(gaps.swing_in_hand_mm.unwrap(), 13.869_429, 1e-5);
    let sphere = gate.sphere.as_ref().unwrap();
    assert_eq!(sphere.sphere_mm, 125.0);
    near(gaps.margin_mm.unwrap(), 110.0 - moved, 0.005);
    assert!(
        !gaps.passes && gate.missing.is_empty(),
        "{:?}",
        gate.missing
    );
    for words in [
        "Gate at A1: clear 920 mm before tension, up to 925.8 mm after",
        "Gap at the latch 15 mm before, up to 20.8 mm after",
        "125 mm that must not pass",
        "13.9 mm are left",
        "Measure it",
    ] {
        assert!(gate.sentence.contains(words), "{words}: {}", gate.sentence);
    }
    assert!(
        gate.posts[0]
            .sentence
            .contains("with its rail, run A at 1500 N")
    );
    assert!(gate.notes.iter().any(|n| n.contains("only A1 is counted")));
    // The rules ask about it before anything is ordered: nothing is called right by a computed figure.
    let asks = beside_the_leaf(&mut s).unwrap();
    assert_eq!(
        (asks.verdict, asks.subject),
        (Verdict::Asked, Subject::post(a1))
    );
    near(asks.actual.unwrap().value, 15.0 + moved, 0.005);
    assert!(
        asks.sentence.contains("not measured yet"),
        "{}",
        asks.sentence
    );
    // A leaf that leaves more than the sphere is short at once.
    let narrow = Support {
        gate_leaf_nm: Some(785 * MM),
        ..leaf()
    };
    tell(&mut s, a1, narrow);
    let gate = asked(&mut s).remove(0);
    // 920 − 785 − 10 = 125: as large as the sphere, it passes; after tension more so.
    assert!(gate.gaps.unwrap().passes);
    assert!(
        gate.sentence.contains("a sphere of 125 mm passes"),
        "{}",
        gate.sentence
    );
    assert_eq!(beside_the_leaf(&mut s).unwrap().verdict, Verdict::Short);
    // What is measured with the wires tight takes the computed figure's place in what is asked.
    gap(&mut s, a1, 16, Moment::BeforeTension);
    assert!(beside_the_leaf(&mut s).is_some());
    gap(&mut s, a1, 22, Moment::AfterTension);
    assert_eq!(beside_the_leaf(&mut s), None);
    let gate = asked(&mut s).remove(0);
    let seen: Vec<f64> = gate.measured.iter().map(|m| m.clear_mm).collect();
    assert_eq!(seen, [16.0, 22.0]);
    assert!(
        gate.sentence.contains("goes before it"),
        "{}",
        gate.sentence
    );
}

#[test]
fn what_is_missing_of_a_gate_is_named_and_nothing_is_made_up() {
    let mut s = measured();
    let a1 = s.post("A1");
    tell(&mut s, a1, support(SupportKind::GatePost));
    let gate = asked(&mut s).remove(0);
    assert_eq!((gate.gaps, gate.clear_after_mm), (None, None));
    assert_eq!(gate.sentence, "");
    let says = &gate.missing[0];
    assert!(
        says.contains("the clear opening before tension and the leaf's width is not told"),
        "{says}"
    );
    let asks = beside_the_leaf(&mut s).unwrap();
    assert_eq!((asks.verdict, asks.actual), (Verdict::Asked, None));
    // Without the gap at the hinges both gaps count as one, and nobody says that the leaf swings.
    let bare = Support {
        gate_hinge_gap_nm: None,
        ..leaf()
    };
    tell(&mut s, a1, bare);
    let gaps = asked(&mut s).remove(0).gaps.unwrap();
    near(gaps.widest_mm, 25.0 + top_of_a1(), 0.005);
    assert_eq!((gaps.latch_after_mm, gaps.swing_in_hand_mm), (None, None));
    // A post whose stiffness nobody knows moves by nobody knows how much.
    tell(&mut s, a1, leaf());
    made_of(&mut s, a1, "hardwood");
    let gate = asked(&mut s).remove(0);
    assert_eq!((gate.gaps, gate.clear_after_mm), (None, None));
    assert!(
        gate.missing
            .iter()
            .any(|m| m == "How far post A1 moves is not known."),
        "{:?}",
        gate.missing
    );
}

#[test]
fn both_posts_of_a_gate_count_and_what_they_tell_apart_is_not_guessed() {
    let mut s = measured();
    let (a1, other) = (s.post("A1"), s.create(ItemKind::Post, fields::POST_CREATED));
    s.say(
        fields::POST_NAME,
        &Subject::post(other),
        "",
        "G1".into(),
        None,
    );
    tell(&mut s, a1, leaf());
    // Told at the far post alone, the pair is known from both.
    let across = Support {
        gate_across: Some(a1),
        ..support(SupportKind::GatePost)
    };
    tell(&mut s, other, across.clone());
    let gate = asked(&mut s).remove(0);
    assert_eq!(
        (gate.name.as_str(), gate.across),
        ("gate between A1 and G1", Some(other))
    );
    assert!(gate.posts[1].sentence.contains("No wires end at G1"));
    near(gate.clear_after_mm.unwrap().1, 920.0 + top_of_a1(), 0.005);
    let wider = Support {
        gate_clear_nm: Some(930 * MM),
        ..across
    };
    tell(&mut s, other, wider);
    let gate = asked(&mut s).remove(0);
    assert_eq!((gate.gaps, gate.clear_before_mm), (None, None));
    assert!(
        gate.missing[0].contains("tell the clear opening differently"),
        "{:?}",
        gate.missing
    );
}

#[test]
fn a_gap_at_one_post_is_that_of_one_side_where_nobody_told_the_other() {
    let mut s = measured();
    let (a1, a6) = (s.post("A1"), s.post("A6"));
    let bare = Support {
        gate_hinge_gap_nm: None,
        gate_across: Some(a6),
        ..leaf()
    };
    tell(&mut s, a1, bare);
    tell(&mut s, a6, support(SupportKind::GatePost));
    gap(&mut s, a1, 14, Moment::AfterTension);
    let asks = beside_the_leaf(&mut s).unwrap();
    assert!(
        asks.sentence.contains("the gap at both posts"),
        "{}",
        asks.sentence
    );
    gap(&mut s, a6, 17, Moment::AfterTension);
    assert_eq!(beside_the_leaf(&mut s), None);
}

#[test]
fn where_two_runs_pull_on_a_gate_post_an_untold_angle_counts_both_ways() {
    let mut s = measured();
    let a6 = s.post("A6");
    tell(&mut s, a6, leaf());
    let untold = asked(&mut s).remove(0).posts.remove(0);
    assert_eq!(untold.runs, ["A", "B"]);
    assert!(
        untold.sentence.contains("angle of the runs is not told"),
        "{}",
        untold.sentence
    );
    assert!(untold.from_mm < -1.0 && untold.to_mm > top_of_a1());
    let (a, b) = (s.a, s.b);
    let mut place = [a.to_string(), b.to_string()];
    place.sort();
    let angle = Angle { cdeg: 9_000 };
    s.say(
        fields::POST_ANGLE,
        &Subject::post(a6),
        &place.join("/"),
        angle,
        None,
    );
    let square = asked(&mut s).remove(0).posts.remove(0);
    // Square to run A run B neither closes nor opens: along A's wires it adds nothing.
    near(square.from_mm, 0.0, 0.01);
    assert!(square.to_mm > top_of_a1() && square.to_mm < untold.to_mm);
}

#[test]
fn of_a_pull_that_is_not_counted_or_a_wall_that_nobody_told_no_gap_is_made_up() {
    let no_figure = |s: &mut Scene, why: &str| {
        let gate = asked(s).remove(0);
        assert_eq!((gate.posts.len(), gate.clear_after_mm), (0, None), "{why}");
        let told = gate.missing.iter().any(|missing| missing.contains(why));
        assert!(told, "{why}: {:?}", gate.missing);
    };
    // Wires without heights pull where nobody knows.
    let mut s = measured();
    let (a, a1) = (s.a, s.post("A1"));
    tell(&mut s, a1, leaf());
    without_heights(&mut s, a);
    no_figure(&mut s, "at which heights, is not told");
    // The stair's wires pull on A6 as well, wherever those stand.
    let mut s = measured();
    let (b, a6) = (s.b, s.post("A6"));
    tell(&mut s, a6, leaf());
    without_heights(&mut s, b);
    no_figure(&mut s, "How far post A6 moves is not known");
    // Of nobody knows what, told by its outside alone: it may be hollow.
    let mut s = measured();
    let a1 = s.post("A1");
    tell(&mut s, a1, leaf());
    made_of(&mut s, a1, "as stands");
    no_figure(&mut s, "How far post A1 moves is not known");
}

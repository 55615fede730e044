//! Cut sheets, the trial wire, reels, the sample and the wire that was made anew.

use mechanics::Millimetres;
use mechanics::posts::{EndPosts, Post, Rail, Section, WirePull, inward_movement};
use mechanics::trial::{Fitted, offset_read};
use mechanics::{Degrees, Figure, Megapascals, Newtons, NewtonsPerMillimetre, Origin};
use serde_json::{Value, json};

use crate::WORKED;
use crate::look::{at, by_wire, list, near, num, one, text};

const INSIDE: [f64; 12] = [
    7294.0, 7295.3, 7296.6, 7297.8, 7298.9, 7300.0, 7301.0, 7301.9, 7302.8, 7303.6, 7304.3, 7305.0,
];
const INWARD: [f64; 12] = [0.2, 0.6, 1.2, 2.1, 3.0, 4.0, 5.1, 6.2, 7.2, 8.3, 9.4, 10.4];
const CUTS_A: [f64; 12] = [
    7231., 7232., 7233., 7234., 7234., 7235., 7235., 7236., 7236., 7236., 7236., 7237.,
];
const CUTS_B: [f64; 8] = [2471., 2472., 2473., 2473., 2474., 2474., 2475., 2475.];

/// The sheets that were released, and what the office's device works out in the end.
fn sheets(run: &str) -> [Value; 2] {
    let released = at(&WORKED.told, &format!("/cutSheet{run}")).clone();
    [released, WORKED.on_run(run, "cutSheet")]
}

fn line(sheet: &Value, wire: u64) -> &Value {
    let found = list(sheet, "/lines").iter().find(|l| l["wire"] == wire);
    found.unwrap_or_else(|| panic!("no wire {wire}"))
}

#[test]
fn lengths_movements_windows_and_cuts_of_run_a() {
    for sheet in sheets("A") {
        assert_eq!(
            line(&sheet, 6),
            &list(&sheet, "/lines")[0],
            "trial wire first"
        );
        assert_eq!(at(line(&sheet, 6), "/trial"), &json!(true));
        near(num(&sheet, "/bowMm"), 1.01, 0.005);
        assert_eq!(num(&sheet, "/tensionN"), 1500.0);
        let (inside, inward) = (by_wire(&sheet, "/insideMm"), by_wire(&sheet, "/inwardMm"));
        assert_eq!((inside.len(), inward.len()), (12, 12));
        for n in 0..12 {
            near(inside[n], INSIDE[n], 0.0501);
            near(inward[n], INWARD[n], 0.0501);
        }
        for n in 1..=12 {
            let origin = if [1, 6, 12].contains(&n) {
                "measured"
            } else {
                "interpolated"
            };
            assert_eq!(text(line(&sheet, n), "/insideOrigin"), origin, "A{n}");
        }
        for (wire, shortest, longest) in [
            (1, 7217.7, 7243.7),
            (6, 7223.7, 7245.9),
            (12, 7228.7, 7244.5),
        ] {
            near(num(line(&sheet, wire), "/shortestMm"), shortest, 0.05);
            near(num(line(&sheet, wire), "/longestMm"), longest, 0.05);
        }
        assert_eq!(by_wire(&sheet, "/aimMm"), CUTS_A);
        assert_eq!(num(&sheet, "/totals/aimsMm"), 86_815.0);
        // The 55 rule stands beside the window: inside on A6, 5.5 too long on A12.
        let rule = |wire| at(line(&sheet, wire), "/fixed").clone();
        assert_eq!(
            (num(&rule(6), "/deductionMm"), num(&rule(6), "/cutMm")),
            (55.0, 7245.0)
        );
        assert_eq!(at(&rule(6), "/inside"), &json!(true));
        assert_eq!(num(&rule(12), "/cutMm"), 7250.0);
        assert_eq!(at(&rule(12), "/inside"), &json!(false));
        near(num(&rule(12), "/byMm"), 5.5, 0.05);
        assert!(text(&rule(12), "/sentence").contains("5.5 mm too long"));
    }
}

#[test]
fn cuts_of_run_b() {
    for sheet in sheets("B") {
        assert_eq!(by_wire(&sheet, "/aimMm"), CUTS_B);
        let inside: Vec<f64> = (2526..=2533).map(f64::from).collect();
        assert_eq!(by_wire(&sheet, "/insideMm"), inside);
        assert_eq!(num(&sheet, "/totals/aimsMm"), 19_787.0);
    }
}

/// What was cut of each reel, read from the record: A1–A8 of one, A9–A12 and B of the other.
#[test]
fn two_reels_are_cut_and_a_remade_wire_comes_off_the_second() {
    let s = &WORKED.state;
    let mut used = [("R-1", 0.0), ("R-2", 0.0)];
    let mut remade = 0.0;
    for (run, count) in [("A", 12), ("B", 8)] {
        for wire in 1..=count {
            let subject = format!("wire:{}:{wire}", s.id("run", run));
            let pieces: &[&str] = if (run, wire) == ("B", 3) {
                &["1", "2"]
            } else {
                &["1"]
            };
            for piece in pieces {
                let cut = s.said(&subject, "cut", piece);
                let reel = text(cut, "/batch");
                let name = |reel: &str| format!("3.2 mm 1x19, reel {reel}");
                let of = used
                    .iter_mut()
                    .find(|(r, _)| s.id("batch", &name(r)) == reel);
                let mm = num(cut, "/nm") / 1e6;
                of.unwrap().1 += mm;
                remade = if *piece == "2" { mm } else { remade };
            }
        }
    }
    assert_eq!(remade, 2473.0);
    let left = |reel: &str, cut: f64| {
        let name = format!("3.2 mm 1x19, reel {reel}");
        num(s.of_thing("batch", &name, "metres", ""), "/nm") / 1e6 - cut
    };
    assert_eq!((used[0].1, left("R-1", used[0].1)), (57_870.0, 2_130.0));
    let before = used[1].1 - remade;
    assert_eq!((before, left("R-2", before)), (48_732.0, 11_268.0));
    assert_eq!(left("R-2", used[1].1), 8_795.0);
}

/// The same figures as the cut plan tells them: what was cut and taken out is gone from its reel.
#[test]
fn the_plan_tells_what_the_reels_have_left() {
    let request = json!({"job": WORKED.job});
    let plan = api::dispatch(WORKED.app("office"), "cutPlan", request).unwrap();
    let reel = |name: &str| {
        one(
            &plan,
            "/stock",
            "name",
            &format!("3.2 mm 1x19, reel {name}"),
        )
    };
    for (name, left, cuts) in [("R-1", 2_130.0, 8), ("R-2", 8_795.0, 13)] {
        assert_eq!(num(reel(name), "/leftMm"), left, "{name}");
        assert_eq!(text(reel(name), "/state"), "started");
        assert_eq!(list(reel(name), "/cuts").len(), cuts);
    }
    let out: Vec<&Value> = list(reel("R-2"), "/cuts")
        .iter()
        .filter(|cut| cut["takenOut"] == json!(true))
        .collect();
    assert_eq!(out.len(), 1);
    assert_eq!(
        (text(out[0], "/name"), num(out[0], "/cutMm")),
        ("B3", 2_473.0)
    );
    assert_eq!(
        text(one(&plan, "/takenOut", "name", "B3"), "/reason"),
        "mark 5 mm out: 27 of 32 in"
    );
    // All wires are cut: nothing is planned, and nothing waits.
    for empty in ["/notReady", "/strands/0/groups", "/strands/0/noStock"] {
        assert_eq!(at(&plan, empty), &json!([]));
    }
}

/// How far both ends of run A come in at wire 6 when it alone pulls, by the posts as recorded.
fn alone() -> f64 {
    let pull = WirePull {
        height: Millimetres(456.0),
        tension: Newtons(1500.0),
        slope: Degrees(0.0),
    };
    let post = Post {
        section: Section::Rectangle {
            along: Millimetres(115.0),
            across: Millimetres(115.0),
        },
        modulus: Figure::of(Megapascals(14_000.0), Origin::Table),
        height: Millimetres(1000.0),
        rail: Some(Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(500.0),
        }),
        base_turning: None,
        bolt_distance: None,
    };
    let ends = EndPosts {
        start: post.clone(),
        start_pulls: vec![pull],
        end: post,
        end_pulls: vec![pull],
    };
    inward_movement(&ends).unwrap().along_wire[0].value()
}

#[test]
fn the_trial_wire_takes_up_what_its_thread_tells() {
    let s = &WORKED.state;
    let wire = format!("wire:{}:6", s.id("run", "A"));
    let left = |post| num(s.said(&wire, "threadLeft", s.id("post", post)), "/nm") / 1e6;
    assert_eq!((left("A1"), left("A6")), (14.0, 14.5));
    let set = s.of_thing("run", "A", "fittingSet", "").as_str().unwrap();
    let terminals = s.said(&format!("fittingSet:{set}"), "terminals", "");
    let thread = |hand: &str| num(terminals, &format!("/{hand}/threadNm")) / 1e6;
    let cut = num(s.said(&wire, "cut", "1"), "/nm") / 1e6;
    assert_eq!(cut, 7235.0);
    let sheet = WORKED.on_run("A", "cutSheet");
    let inward = num(line(&sheet, 6), "/inwardMm");
    let fitted = Fitted {
        wire: 6,
        inside_to_inside: Millimetres(num(line(&sheet, 6), "/insideMm")),
        cut: Millimetres(cut),
        usable_thread: Millimetres(thread("left") + thread("right")),
        showing: Millimetres(left("A1") + left("A6")),
        inward: Millimetres(inward),
        still_to_come: Millimetres(inward - alone()),
    };
    near(offset_read(&fitted).unwrap().value(), 100.2, 0.05);
    // It was read alone before any other wire stood.
    let readings = WORKED.on_run("A", "tensions");
    let six = one(&readings, "/lines", "name", "A6");
    let first = &list(six, "/readings")[0];
    assert_eq!(
        (num(first, "/newtons"), text(first, "/stage")),
        (1500.0, "pass")
    );
    assert!(text(first, "/remark").contains("alone"), "{first}");
}

#[test]
fn the_sample_holds_and_a_rejected_wire_is_made_anew() {
    let view = WORKED.on_job("readJob");
    let samples = list(&view, "/samples");
    assert_eq!(samples.len(), 1);
    let sample = at(&samples[0], "/sample");
    assert_eq!(
        (num(sample, "/pullMn"), num(sample, "/heldS")),
        (3_700_000.0, 60.0)
    );
    assert_eq!(num(sample, "/markMovedNm"), 0.0);
    assert_eq!(text(sample, "/result"), "good");
    for hand in [
        "/left/firstNm",
        "/left/secondNm",
        "/right/firstNm",
        "/right/secondNm",
    ] {
        assert!(num(sample, hand) > 0.0, "{hand}");
    }
    let entry = text(&samples[0], "/entry");
    let wires = |run: usize| list(&view, &format!("/runs/{run}/wires"));
    let mut rejects = Vec::new();
    for (run, wire) in [0, 1]
        .into_iter()
        .flat_map(|run| wires(run).iter().map(move |w| (run, w)))
    {
        for crimp in list(wire, "/crimps") {
            if crimp["result"] == "reject" {
                rejects.push((run, num(wire, "/number"), num(crimp, "/piece")));
                assert!(text(crimp, "/reason").contains("mark 5 mm out: 27 of 32 in"));
            }
        }
    }
    assert_eq!(rejects, [(1, 3.0, 1.0)], "only B3, and its lower end");
    assert_eq!(num(&wires(1)[2], "/piece"), 2.0);
    assert!(wires(0).iter().all(|w| num(w, "/piece") == 1.0));
    // Every crimp refers to the day's sample.
    let b3 = format!("wire:{}:3", WORKED.state.id("run", "B"));
    for word in WORKED
        .state
        .words(&b3, "crimp", WORKED.state.id("post", "B3"))
    {
        assert_eq!(text(word, "/with/sample"), entry);
    }
}

#[test]
fn a_length_corrected_apart_blocks_its_wire_until_it_is_measured_again() {
    let refused = text(&WORKED.told, "/disputedCutRefused");
    assert!(refused.contains("Nothing was released"), "{refused}");
    let said = list(&WORKED.told, "/disputed");
    let mut values: Vec<f64> = said.iter().map(|v| num(v, "/nm") / 1e6).collect();
    values.sort_by(f64::total_cmp);
    assert_eq!(values, [7303.0, 7309.0], "ann and ben");
    let wire = format!("wire:{}:12", WORKED.state.id("run", "A"));
    let stands = WORKED.state.said(&wire, "length", "");
    assert_eq!(num(stands, "/nm") / 1e6, 7305.0);
    let sheet = WORKED.on_run("A", "cutSheet");
    assert!(line(&sheet, 12)["refused"].is_null());
    assert_eq!(at(&WORKED.on_job("readJob"), "/unsettled"), &json!([]));
}

#[test]
fn the_program_takes_the_trial_wire_up_by_itself() {
    // Thread, deduction and movement to come; the model has 99.7.
    near(num(&WORKED.told, "/trialTakesUpMm"), 100.2, 0.05);
    near(num(&WORKED.told, "/trialExpectedMm"), 99.7, 0.05);
}

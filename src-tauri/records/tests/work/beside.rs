//! A run that is brought up pulls on the post that it shares: what was read on the other run before is
//! to be read again.

use records::ids::ItemId;
use records::job::things::angle_place;
use records::model::fields;
use records::model::values::{Angle, Deflection, Force, Method, Stage as Taken};
use records::subject::Subject;
use records::work::{Flag, PulledAfter, progress, tensions};

use crate::scene::{Scene, fitted, tension_read};

/// All wires of a run in one bay.
fn read(s: &mut Scene, run: ItemId, newtons: i64, stage: Taken, pass: Option<u32>) {
    let (bay, wires) = match run == s.a {
        true => (s.bay_place("A2", "A3"), 12),
        false => (s.bay_place("B2", "B3"), 8),
    };
    for wire in 1..=wires {
        let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
        with.pass = pass;
        let (wire, force) = (Subject::Wire(run, wire), Force::newtons(newtons));
        s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(with));
    }
}

fn after(s: &mut Scene, run: ItemId) -> Vec<PulledAfter> {
    s.with_job(|job| tensions(job, run).unwrap().lines[0].pulled_after.clone())
}

fn flags(s: &mut Scene, run: ItemId) -> Vec<Flag> {
    s.with_job(|job| progress(job, run).unwrap().wires[0].flags.clone())
}

/// Everything that is offered, as one skips on.
fn offered(s: &mut Scene) -> Vec<String> {
    s.offered().into_iter().map(|act| act.sentence).collect()
}

#[test]
fn a_run_that_was_read_before_the_other_one_on_its_post_pulled_is_read_again() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    let sentence = "Read wire A1 again: it was read before run B pulled on post A6";
    read(&mut s, a, 1500, Taken::Final, None);
    assert_eq!(after(&mut s, a), []);
    read(&mut s, b, 600, Taken::Pass, Some(1));
    // Told at once, and offered when the other run is there: until then it goes on pulling.
    let told = after(&mut s, a);
    assert_eq!(
        (told[0].run_name.as_str(), told[0].post.as_str()),
        ("B", "A6")
    );
    assert_eq!((told[0].wires.len(), told[0].done), (8, false));
    assert_eq!(flags(&mut s, a), []);
    assert!(!offered(&mut s).iter().any(|o| o == sentence));
    read(&mut s, b, 1500, Taken::Final, None);
    assert!(after(&mut s, a)[0].done);
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
    assert!(offered(&mut s).iter().any(|o| o == sentence));
    // Run B itself was read while run A pulled.
    assert_eq!(after(&mut s, b), []);
    read(&mut s, a, 1460, Taken::Final, None);
    assert_eq!(after(&mut s, a), []);
    assert_eq!(flags(&mut s, a), []);
}

/// Which of two sentences is offered first, as one skips on.
fn first_of(s: &mut Scene, one: &str, other: &str) -> bool {
    let all = offered(s);
    let place = |begins: &str| all.iter().position(|o| o.starts_with(begins));
    place(one).unwrap() < place(other).unwrap_or(usize::MAX)
}

#[test]
fn the_last_raise_of_the_other_run_pulls_though_its_passes_were_known() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    // The order of acts that is offered: passes of both runs, then both final rounds.
    for (pass, newtons) in [(1, 600), (2, 1100)] {
        for run in [a, b] {
            read(&mut s, run, newtons, Taken::Pass, Some(pass));
        }
    }
    read(&mut s, a, 1500, Taken::Final, None);
    read(&mut s, b, 1500, Taken::Final, None);
    assert!(after(&mut s, a)[0].done);
    // It comes before the gaps and weeks before any recheck.
    assert!(first_of(&mut s, "Read wire A1 again", "Check"));
    assert!(first_of(&mut s, "Read wire A1 again", "Recheck wire A1"));
    read(&mut s, a, 1440, Taken::Final, None);
    for run in [a, b] {
        assert_eq!(after(&mut s, run), [], "reading again brings nothing up");
    }
}

#[test]
fn a_barrier_that_was_there_before_is_only_looked_at() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    read(&mut s, a, 1450, Taken::Recheck, None);
    read(&mut s, b, 1440, Taken::Recheck, None);
    for run in [a, b] {
        assert_eq!(after(&mut s, run), []);
    }
}

#[test]
fn a_run_whose_last_pass_is_its_final_round_is_read_again_once() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    for run in [a, b] {
        read(&mut s, run, 1500, Taken::Pass, Some(3));
    }
    assert_eq!(after(&mut s, a).len(), 1);
    read(&mut s, a, 1450, Taken::Pass, Some(3));
    for run in [a, b] {
        assert_eq!(after(&mut s, run), []);
    }
}

#[test]
fn what_hung_is_read_again_and_brings_up_as_well() {
    let hang = |s: &mut Scene, run: ItemId| {
        let (bays, wires): (&[(&str, &str)], u32) = match run == s.a {
            true => (&[("A2", "A3"), ("A3", "A4")], 12),
            false => (&[("A6", "B2"), ("B2", "B3")], 8),
        };
        for (left, right) in bays {
            let bay = s.bay_place(left, right);
            for wire in 1..=wires {
                let with = tension_read(Method::HungMass, Taken::Final, None);
                let hung = Deflection {
                    nm: 4_500_000,
                    mass_mg: 2_000_000,
                };
                let wire = Subject::Wire(run, wire);
                s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with));
            }
        }
    };
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    hang(&mut s, a);
    hang(&mut s, b);
    assert!(after(&mut s, a)[0].done);
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
    hang(&mut s, a);
    for run in [a, b] {
        assert_eq!(after(&mut s, run), []);
    }
}

#[test]
fn passes_of_both_runs_before_the_final_round_leave_nothing_to_read_again() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    for (pass, newtons) in [(1, 600), (2, 1100), (3, 1500)] {
        for run in [a, b] {
            read(&mut s, run, newtons, Taken::Pass, Some(pass));
        }
    }
    // Run A was at its set tension before run B was: its final round knows of that.
    for run in [a, b] {
        read(&mut s, run, 1495, Taken::Final, None);
    }
    for run in [a, b] {
        assert_eq!(after(&mut s, run), []);
    }
}

#[test]
fn a_run_that_leaves_the_post_square_takes_nothing_along_the_other_ones_wires() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    let turn = |s: &mut Scene, cdeg: i64| {
        let (post, place) = (Subject::post(s.post("A6")), angle_place(b, a));
        s.say(fields::POST_ANGLE, &post, &place, Angle { cdeg }, None);
    };
    read(&mut s, a, 1500, Taken::Final, None);
    read(&mut s, b, 1500, Taken::Final, None);
    turn(&mut s, 9000);
    assert_eq!(after(&mut s, a), []);
    turn(&mut s, 12_000);
    assert_eq!(after(&mut s, a).len(), 1);
}

#[test]
fn a_mass_that_tells_nothing_of_the_table_brings_back_no_figure_that_the_gauge_told() {
    // Too little for the table, over it, and within it: the gauge's figure is from before the pull.
    for (mass_mg, nm) in [
        (1_000_000, 4_500_000),
        (2_000_000, 12_000_000),
        (2_000_000, 4_500_000),
    ] {
        let mut s = fitted();
        let (a, b) = (s.a, s.b);
        read(&mut s, a, 1500, Taken::Final, None);
        read(&mut s, b, 1500, Taken::Final, None);
        let bay = s.bay_place("A2", "A3");
        let with = tension_read(Method::HungMass, Taken::Final, None);
        let wire = Subject::Wire(a, 1);
        s.say(
            fields::WIRE_DEFLECTION,
            &wire,
            &bay,
            Deflection { nm, mass_mg },
            Some(with),
        );
        assert_eq!(after(&mut s, a).len(), 1, "{mass_mg} {nm}");
        let told = flags(&mut s, a);
        assert!(told.contains(&Flag::ReadAgain), "{told:?}");
        assert_eq!(told.contains(&Flag::Sags), nm == 12_000_000, "{told:?}");
    }
}

#[test]
fn a_reading_without_a_gauge_brings_back_no_figure_that_the_gauge_told() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    read(&mut s, a, 1500, Taken::Final, None);
    read(&mut s, b, 1500, Taken::Final, None);
    let bay = s.bay_place("A2", "A3");
    let with = tension_read(Method::Gauge, Taken::Final, None);
    let wire = Subject::Wire(a, 1);
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(1600),
        Some(with),
    );
    assert_eq!(after(&mut s, a).len(), 1);
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
}

#[test]
fn a_run_that_was_let_out_and_is_read_as_a_recheck_pulled_all_the_same() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    read(&mut s, a, 1500, Taken::Final, None);
    read(&mut s, b, 1500, Taken::Final, None);
    read(&mut s, b, 600, Taken::Pass, Some(1));
    read(&mut s, a, 1520, Taken::Final, None);
    assert_eq!(after(&mut s, a), []);
    read(&mut s, b, 1500, Taken::Recheck, None);
    assert!(after(&mut s, a)[0].done);
    read(&mut s, a, 1460, Taken::Final, None);
    read(&mut s, b, 1490, Taken::Recheck, None);
    for run in [a, b] {
        assert_eq!(after(&mut s, run), [], "reading again brings nothing up");
    }
}

#[test]
fn a_run_whose_gauge_nobody_named_pulls_as_well() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    read(&mut s, a, 1500, Taken::Final, None);
    let bay = s.bay_place("B2", "B3");
    for wire in 1..=8 {
        let with = tension_read(Method::Gauge, Taken::Final, None);
        let wire = Subject::Wire(b, wire);
        s.say(
            fields::WIRE_TENSION,
            &wire,
            &bay,
            Force::newtons(1500),
            Some(with),
        );
    }
    assert!(after(&mut s, a)[0].done);
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
}

#[test]
fn what_took_tension_is_read_anew_in_every_bay_that_is_to_be_read() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    let bays = s.with_job(|job| tensions(job, a).unwrap().to_read);
    assert_eq!(bays.len(), 2, "{bays:?}");
    let read_in = |s: &mut Scene, bay: &str| {
        let (left, right) = bay.split_once('–').unwrap();
        let place = s.bay_place(left, right);
        for wire in 1..=12 {
            let with = tension_read(Method::Gauge, Taken::Final, Some(s.gauge));
            let (wire, force) = (Subject::Wire(a, wire), Force::newtons(1500));
            s.say(fields::WIRE_TENSION, &wire, &place, force, Some(with));
        }
    };
    for bay in &bays {
        read_in(&mut s, bay);
    }
    read(&mut s, b, 1500, Taken::Final, None);
    assert_eq!(after(&mut s, a).len(), 1);
    read_in(&mut s, &bays[0]);
    assert_eq!(
        after(&mut s, a).len(),
        1,
        "the other bay stands as it was before"
    );
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
    read_in(&mut s, &bays[1]);
    assert_eq!(after(&mut s, a), []);
    assert_eq!(flags(&mut s, a), []);
}

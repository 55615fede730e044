//! Wires that fell as others were brought up, though nobody told turns: they are to be read again before anything
//! rests on them.

use records::model::fields;
use records::model::values::{Deflection, Force, Method, Stage};
use records::subject::Subject;
use records::work::{
    EvidenceState, Flag, NextAct, NextWhat, TensionLine, lacks, progress, tensioning, tensions,
};

use crate::scene::{Scene, fitted, tension_read};

const SET: f64 = 1500.0;
/// The least reading that is clear of the 1330 N that are required, on the gauge of the scene.
const CLEAR_FROM: f64 = 1385.0;

fn read(s: &mut Scene, wire: u32, newtons: f64, stage: Stage, pass: Option<u32>) {
    let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
    with.pass = pass;
    let force = Force::newtons(newtons.round() as i64);
    for bay in [s.bay_place("A2", "A3"), s.bay_place("A3", "A4")] {
        let wire = Subject::Wire(s.a, wire);
        s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(with.clone()));
    }
}

fn passed(s: &mut Scene) {
    for (pass, newtons) in [(1, 600.0), (2, 1100.0), (3, SET)] {
        for wire in 1..=12 {
            read(s, wire, newtons, Stage::Pass, Some(pass));
        }
    }
}

fn lines(s: &mut Scene) -> Vec<TensionLine> {
    let a = s.a;
    s.with_job(|job| tensions(job, a).unwrap().lines)
}

fn to_read_again(s: &mut Scene) -> Vec<u32> {
    let lines = lines(s);
    let again = lines.iter().filter(|line| line.is_to_read_again());
    again.map(|line| line.wire).collect()
}

#[test]
fn what_fell_in_the_last_pass_is_read_again_before_the_probe() {
    let mut s = fitted();
    let a = s.a;
    passed(&mut s);
    // By the plan's own frame the first wires fell most, and the last stands as it was brought.
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    let now: Vec<f64> = plan.wires.iter().map(|wire| wire.now_n).collect();
    assert!(now[6] < 1450.0 && now[11] > 1490.0, "{now:?}");
    let again = to_read_again(&mut s);
    assert!(again.contains(&7) && !again.contains(&12), "{again:?}");
    let first = lines(&mut s).remove(6);
    assert!(
        (first.stands_n.unwrap() - now[6]).abs() < 25.0,
        "{:?}",
        first.stands_n
    );
    assert_eq!(first.turned_after, (8..=12).collect::<Vec<_>>());
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[6].flags, [Flag::ReadAgain]);
    let of_run = s.offered().into_iter().filter(|act| act.run == Some(a));
    let next: Vec<NextAct> = of_run.collect();
    let place = |what: NextWhat| next.iter().position(|act| act.what == what).unwrap();
    assert!(place(NextWhat::TensionFinal) < place(NextWhat::CheckGaps));
    let next = &next[place(NextWhat::TensionFinal)];
    // In the order of a pass, from the middle out.
    assert_eq!(next.subject, Subject::Wire(a, 7));
    let told = "Read wire A7 again: about 1400 N, computed, since others were turned. Bring it to";
    assert_eq!(next.sentence, told);
    assert_eq!(next.figure.as_deref(), Some("1500 N"));
    let lacking = s.with_job(|job| lacks(job).unwrap());
    let item = lacking
        .items
        .into_iter()
        .find(|i| i.key == format!("tension/{a}"))
        .unwrap();
    assert_eq!(item.state, EvidenceState::Lacking);
    assert!(
        item.detail.contains("to be read again: wires 3–11"),
        "{}",
        item.detail
    );
}

/// Wires on posts that are held at foot and rail and give most in the middle: each newton that one in the middle is
/// brought up takes so much of one beside it.
struct Posts {
    gives: f64,
    wires: Vec<f64>,
}

impl Posts {
    fn bring(&mut self, wire: u32, to: f64) {
        let place = wire as usize - 1;
        let more = to - self.wires[place];
        let bows = |place: usize| (std::f64::consts::PI * (place as f64 + 1.0) / 13.0).sin();
        for (at, other) in self.wires.iter_mut().enumerate() {
            *other -= more * self.gives * bows(place) * bows(at);
        }
        self.wires[place] = to;
    }
}

/// Goes through the passes, then reads again what is asked for and brings it to the set tension, till nothing is
/// asked for; how many readings that took after the passes, and where the wires stand.
fn by_what_is_asked(gives: f64) -> (usize, Vec<f64>) {
    let mut s = fitted();
    let mut posts = Posts {
        gives,
        wires: vec![0.0; 12],
    };
    for (pass, newtons) in [(1, 600.0), (2, 1100.0), (3, SET)] {
        for wire in 1..=12 {
            posts.bring(wire, newtons);
            read(&mut s, wire, newtons, Stage::Pass, Some(pass));
        }
    }
    let mut asked = 0;
    for _ in 0..8 {
        let again = to_read_again(&mut s);
        if again.is_empty() {
            break;
        }
        for wire in again {
            asked += 1;
            posts.bring(wire, SET);
            read(&mut s, wire, SET, Stage::Final, None);
        }
    }
    assert!(to_read_again(&mut s).is_empty(), "asks on after {asked}");
    (asked, posts.wires)
}

#[test]
fn who_reads_again_what_is_asked_for_ends_with_all_wires_at_their_tension() {
    // Posts about as they are told, twice as soft, and posts that do not move at all.
    for gives in [0.02, 0.04, 0.0] {
        let (asked, wires) = by_what_is_asked(gives);
        let least = wires.iter().copied().fold(f64::INFINITY, f64::min);
        assert!(least >= CLEAR_FROM, "{gives}: {wires:?}");
        assert!(asked <= 30, "{gives}: {asked}");
    }
}

#[test]
fn what_only_was_read_brings_nothing_up() {
    // Nobody told passes: the final round finds the wires at their tension.
    let mut s = fitted();
    for wire in 1..=12 {
        read(&mut s, wire, SET, Stage::Final, None);
    }
    assert!(to_read_again(&mut s).is_empty());
    let a = s.a;
    let notes = s.with_job(|job| tensions(job, a).unwrap().notes);
    let said = |note: &String| note.starts_with("No pass of run A is on record");
    assert!(notes.iter().any(said), "{notes:?}");
    // A cold day shows more on every wire.
    for wire in 1..=12 {
        read(&mut s, wire, SET + 120.0, Stage::Recheck, None);
    }
    assert!(to_read_again(&mut s).is_empty());
    // One that is let hang at less is only found there.
    read(&mut s, 4, SET - 200.0, Stage::Recheck, None);
    assert!(to_read_again(&mut s).is_empty());
    // Raised in that very visit it takes from those beside it.
    for (newtons, wires) in [(300.0, 4..=6), (SET, 4..=6)] {
        for wire in wires {
            read(&mut s, wire, newtons, Stage::Recheck, None);
        }
    }
    let again = to_read_again(&mut s);
    assert!(again.contains(&7) && !again.contains(&6), "{again:?}");
}

/// Two bays of a wire under the mass; a deflection of 4.6 mm in 1500 mm tells about 1500 N.
fn hang(s: &mut Scene, wire: u32, nm: i64, stage: Stage, pass: Option<u32>) {
    let mut with = tension_read(Method::HungMass, stage, None);
    with.pass = pass;
    let hung = Deflection {
        nm,
        mass_mg: 2_000_000,
    };
    let bay = s.bay_place("A2", "A3");
    let wire = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with));
}

#[test]
fn who_hangs_the_mass_again_where_it_is_asked_for_comes_to_an_end() {
    let mut s = fitted();
    for (pass, nm) in [(1, 11_000_000), (2, 6_200_000), (3, 4_600_000)] {
        for wire in 1..=12 {
            hang(&mut s, wire, nm, Stage::Pass, Some(pass));
        }
    }
    let mut asked = 0;
    for _ in 0..4 {
        for wire in to_read_again(&mut s) {
            asked += 1;
            hang(&mut s, wire, 4_600_000, Stage::Final, None);
        }
    }
    assert_eq!(to_read_again(&mut s), Vec::<u32>::new());
    assert!(asked <= 24, "{asked}");
}

#[test]
fn what_is_let_out_loads_the_others() {
    let mut s = fitted();
    for wire in 1..=12 {
        read(&mut s, wire, 1790.0, Stage::Final, None);
    }
    assert_eq!(to_read_again(&mut s), Vec::<u32>::new());
    // A5 to A8 are let out to the set tension: those beside them come over the upper tension of 1800 N.
    for wire in 5..=8 {
        read(&mut s, wire, SET, Stage::Final, None);
    }
    let again = to_read_again(&mut s);
    assert!(again.contains(&4) && again.contains(&9), "{again:?}");
    let nine = lines(&mut s).remove(8);
    assert!(nine.stands_n.unwrap() > 1800.0, "{:?}", nine.stands_n);
}

#[test]
fn one_that_is_found_far_below_its_own_final_reading_puts_the_others_in_doubt() {
    let mut s = fitted();
    for wire in 1..=12 {
        read(&mut s, wire, SET, Stage::Final, None);
    }
    read(&mut s, 8, 1170.0, Stage::Final, None);
    let others: Vec<u32> = (1..=12).filter(|wire| *wire != 8).collect();
    assert_eq!(to_read_again(&mut s), others);
    for wire in others {
        read(&mut s, wire, SET - 20.0, Stage::Final, None);
    }
    assert_eq!(to_read_again(&mut s), Vec::<u32>::new());
}

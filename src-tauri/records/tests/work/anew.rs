//! A wire that is let out and brought up anew: what it showed before holds in no bay and by no means,
//! and a correction is in the order where the reading that it corrects was taken. One file past 400
//! lines, since each case is a way of the same wire.

use records::ids::Hash;
use records::model::fields;
use records::model::values::{Deflection, Force, Method, Stage as Taken};
use records::subject::Subject;
use records::work::{BandState, ReadingState, Stage, TensionLine, progress, recheck, tensions};

use crate::scene::{Scene, fitted, tension_read};

const WIDE: (&str, &str) = ("A2", "A3");
const FAR: (&str, &str) = ("A3", "A4");

fn say(
    s: &mut Scene,
    at: (&str, &str),
    newtons: i64,
    (stage, pass): (Taken, Option<u32>),
    over: Vec<Hash>,
) -> Hash {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
    with.pass = pass;
    let wire = Subject::Wire(s.a, 8);
    let force = Some(Force::newtons(newtons));
    s.say_over(fields::WIRE_TENSION, &wire, &bay, force, Some(with), over)
}

fn read(s: &mut Scene, at: (&str, &str), newtons: i64, stage: Taken, pass: Option<u32>) -> Hash {
    say(s, at, newtons, (stage, pass), Vec::new())
}

fn hang(s: &mut Scene, at: (&str, &str), stage: Taken, pass: Option<u32>) {
    hang_by(s, at, 4_500_000, (stage, pass));
}

fn hang_by(s: &mut Scene, at: (&str, &str), nm: i64, (stage, pass): (Taken, Option<u32>)) {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::HungMass, stage, None);
    with.pass = pass;
    let hung = Deflection {
        nm,
        mass_mg: 2_000_000,
    };
    let wire = Subject::Wire(s.a, 8);
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with));
}

fn line(s: &mut Scene) -> TensionLine {
    let a = s.a;
    s.with_job(|job| tensions(job, a).unwrap().lines[7].clone())
}

fn stage(s: &mut Scene) -> Stage {
    let a = s.a;
    s.with_job(|job| progress(job, a).unwrap().wires[7].stage)
}

#[test]
fn what_hung_before_holds_no_more() {
    for by_gauge in [true, false] {
        let mut s = fitted();
        hang(&mut s, WIDE, Taken::Final, None);
        hang(&mut s, FAR, Taken::Final, None);
        assert_eq!(line(&mut s).held_by_deflection, Some(Taken::Final));
        assert_eq!(stage(&mut s), Stage::Tensioned);
        if by_gauge {
            // Below by the gauge, and then let out.
            read(&mut s, WIDE, 1200, Taken::Final, None);
            assert!(!line(&mut s).is_held());
            read(&mut s, WIDE, 600, Taken::Pass, Some(1));
        } else {
            hang(&mut s, WIDE, Taken::Pass, Some(1));
        }
        let told = line(&mut s);
        assert_eq!(told.held_by_deflection, None, "by a gauge: {by_gauge}");
        assert!(!told.is_read() && !told.is_held());
        assert!(stage(&mut s) < Stage::Tensioned);
        assert_eq!(told.not_read, ["A3–A4"]);
        // Hung anew it holds.
        hang(&mut s, WIDE, Taken::Final, None);
        hang(&mut s, FAR, Taken::Final, None);
        assert!(line(&mut s).is_held());
    }
}

#[test]
fn no_other_bay_goes_on_showing_what_it_did() {
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    let far = read(&mut s, FAR, 1490, Taken::Final, None);
    assert!(line(&mut s).not_read.is_empty());
    for (pass, newtons) in [(1, 600), (2, 1100)] {
        read(&mut s, WIDE, newtons, Taken::Pass, Some(pass));
    }
    read(&mut s, WIDE, 1510, Taken::Final, None);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1510.0));
    assert_eq!(told.not_read, ["A3–A4"]);
    let old = told.readings.iter().find(|r| r.entry == far).unwrap();
    assert!(old.anew && old.replaced);
    // Touched up to the set tension alone, in the last pass, it keeps what the other bay shows.
    let mut s = fitted();
    read(&mut s, WIDE, 1200, Taken::Final, None);
    read(&mut s, FAR, 1490, Taken::Final, None);
    read(&mut s, WIDE, 1500, Taken::Pass, Some(3));
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1490.0));
    assert!(told.is_held() && !told.not_read.contains(&"A3–A4".to_owned()));
}

#[test]
fn a_bay_that_was_bad_is_told_until_it_is_read_there_again() {
    const MIDDLE: (&str, &str) = ("A4a", "A5");
    for (newtons, over) in [(1200, false), (1900, true)] {
        let mut s = fitted();
        read(&mut s, WIDE, 1500, Taken::Final, None);
        read(&mut s, FAR, 1490, Taken::Final, None);
        read(&mut s, MIDDLE, newtons, Taken::Final, None);
        read(&mut s, WIDE, 600, Taken::Pass, Some(1));
        for at in [WIDE, FAR] {
            read(&mut s, at, 1505, Taken::Final, None);
        }
        let told = line(&mut s);
        assert_eq!(told.over().is_some(), over);
        assert_eq!(
            told.is_held(),
            over,
            "{newtons} N in a bay that nobody read again"
        );
        read(&mut s, MIDDLE, 1490, Taken::Final, None);
        let told = line(&mut s);
        assert!(told.over().is_none() && told.is_held());
    }
}

#[test]
fn a_lower_pass_of_another_bay_is_where_the_wire_is() {
    let mut s = fitted();
    for (pass, newtons) in [(1, 600), (2, 1100)] {
        read(&mut s, WIDE, newtons, Taken::Pass, Some(pass));
        read(&mut s, FAR, newtons + 40, Taken::Pass, Some(pass));
    }
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, WIDE, 610, Taken::Pass, Some(1));
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(610.0));
    assert_eq!(told.last_pass.as_ref().unwrap().pass, Some(1));
}

#[test]
fn one_more_pass_at_the_set_tension_lets_nothing_out() {
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1490, Taken::Final, None);
    read(&mut s, WIDE, 1505, Taken::Pass, Some(4));
    let told = line(&mut s);
    assert!(told.is_held() && !told.not_read.contains(&"A3–A4".to_owned()));
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1490.0));
    // Three are decided: the fourth finishes as the third does.
    let mut s = fitted();
    read(&mut s, WIDE, 1505, Taken::Pass, Some(4));
    assert!(line(&mut s).is_held());
}

#[test]
fn a_bay_that_was_touched_up_in_the_last_pass_is_read() {
    // The same after one more pass.
    type Round = ((&'static str, &'static str), Taken, Option<u32>);
    let cases: [&[Round]; 2] = [
        &[
            (WIDE, Taken::Final, None),
            (FAR, Taken::Final, None),
            (WIDE, Taken::Pass, Some(3)),
        ],
        &[
            (WIDE, Taken::Pass, Some(3)),
            (FAR, Taken::Pass, Some(3)),
            (WIDE, Taken::Pass, Some(4)),
        ],
    ];
    for case in cases {
        let mut s = fitted();
        for (at, stage, pass) in case {
            read(&mut s, *at, 1500, *stage, *pass);
        }
        let told = line(&mut s);
        assert!(
            told.is_held() && told.not_read.is_empty(),
            "{:?}",
            told.not_read
        );
    }
}

#[test]
fn a_bay_that_was_read_in_the_last_pass_alone_is_not_of_the_final_round() {
    let mut s = fitted();
    read(&mut s, FAR, 1500, Taken::Pass, Some(3));
    read(&mut s, WIDE, 1500, Taken::Pass, Some(3));
    assert!(line(&mut s).not_read.is_empty());
    // Other wires were brought up between the two.
    read(&mut s, WIDE, 1400, Taken::Final, None);
    assert_eq!(line(&mut s).not_read, ["A3–A4"]);
    read(&mut s, FAR, 1420, Taken::Final, None);
    assert!(line(&mut s).not_read.is_empty());
}

#[test]
fn a_bay_that_was_read_since_the_recheck_is_read_whatever_the_round_is_called() {
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1500, Taken::Final, None);
    read(&mut s, WIDE, 1450, Taken::Recheck, None);
    assert_eq!(line(&mut s).not_read, ["A3–A4"]);
    read(&mut s, FAR, 1440, Taken::Final, None);
    assert!(line(&mut s).not_read.is_empty());
}

#[test]
fn a_final_reading_that_no_gauge_told_unreads_no_bay() {
    let mut s = fitted();
    read(&mut s, FAR, 1500, Taken::Pass, Some(3));
    read(&mut s, WIDE, 1500, Taken::Pass, Some(3));
    let bay = s.bay_place(WIDE.0, WIDE.1);
    let with = tension_read(Method::Gauge, Taken::Final, None);
    let wire = Subject::Wire(s.a, 8);
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(1500),
        Some(with),
    );
    assert!(line(&mut s).not_read.is_empty());
}

#[test]
fn what_hangs_in_the_last_pass_is_as_good_as_in_a_final_round() {
    let mut s = fitted();
    hang(&mut s, WIDE, Taken::Pass, Some(3));
    hang(&mut s, FAR, Taken::Pass, Some(3));
    let told = line(&mut s);
    assert_eq!(told.held_by_deflection, Some(Taken::Final));
    assert!(
        told.deflections
            .iter()
            .all(|d| d.stage == Taken::Final && !d.replaced)
    );
}

#[test]
fn what_was_let_out_on_purpose_is_no_loss() {
    let mut s = fitted();
    read(&mut s, ("A4a", "A5"), 1900, Taken::Final, None);
    read(&mut s, WIDE, 600, Taken::Pass, Some(1));
    for at in [WIDE, FAR, ("A4a", "A5")] {
        read(&mut s, at, 1500, Taken::Recheck, None);
    }
    assert_eq!(line(&mut s).compared, None);
    // What it is expected to keep begins at the set tension, and not where it was let out from.
    let a = s.a;
    let again = s.with_job(|job| recheck(job, a).unwrap().lines[7].clone());
    assert_eq!((again.left_at_n, again.left_read), (1500.0, false));
}

#[test]
fn a_bad_recheck_and_a_bad_mass_before_it_was_let_out_are_no_look_at_it_since() {
    for by_gauge in [true, false] {
        let mut s = fitted();
        read(&mut s, WIDE, 1500, Taken::Final, None);
        if by_gauge {
            read(&mut s, ("A4a", "A5"), 1200, Taken::Recheck, None);
        } else {
            hang_by(&mut s, ("A4a", "A5"), 9_000_000, (Taken::Recheck, None));
        }
        read(&mut s, WIDE, 600, Taken::Pass, Some(1));
        let let_out = line(&mut s);
        assert_eq!(
            (let_out.rechecked, let_out.looked_ms),
            (false, None),
            "{by_gauge}"
        );
        for at in [WIDE, FAR] {
            read(&mut s, at, 1500, Taken::Final, None);
        }
        let told = line(&mut s);
        assert!(!told.rechecked && told.looked_ms.is_none(), "{by_gauge}");
        assert!(told.not_read.is_empty(), "{by_gauge}: {:?}", told.not_read);
        assert!(
            told.last_recheck.is_none() && told.left_ms.is_some(),
            "{by_gauge}"
        );
    }
}

#[test]
fn a_bad_reading_that_is_kept_does_not_end_the_recheck_of_the_wire_that_was_brought_up_since() {
    let mut s = fitted();
    read(&mut s, ("A4a", "A5"), 1900, Taken::Final, None);
    let before = line(&mut s).left_ms;
    read(&mut s, WIDE, 600, Taken::Pass, Some(1));
    for at in [WIDE, FAR, ("A4a", "A5")] {
        read(&mut s, at, 1500, Taken::Recheck, None);
    }
    let told = line(&mut s);
    assert!(told.left_ms > before && !told.rechecked);
}

#[test]
fn a_recheck_under_the_mass_on_the_same_day_is_none() {
    let mut s = fitted();
    for stage in [Taken::Final, Taken::Recheck] {
        hang(&mut s, WIDE, stage, None);
        hang(&mut s, FAR, stage, None);
    }
    let told = line(&mut s);
    assert_eq!(told.held_by_deflection, Some(Taken::Recheck));
    assert!(!told.rechecked && told.left_ms.is_some());
}

#[test]
fn a_correction_of_two_readings_is_after_none_that_stands_between_them() {
    let mut s = fitted();
    let first = read(&mut s, WIDE, 1200, Taken::Final, None);
    read(&mut s, WIDE, 1500, Taken::Final, None);
    let last = read(&mut s, WIDE, 1190, Taken::Final, None);
    say(&mut s, WIDE, 1195, (Taken::Final, None), vec![first, last]);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1195.0));
    assert_eq!(told.state, ReadingState::Below);
}

#[test]
fn a_correction_stands_where_what_it_corrects_was_read() {
    // The final, corrected after the wire was let out, is no newer for that.
    let mut s = fitted();
    let last = read(&mut s, WIDE, 1500, Taken::Final, None);
    let first = read(&mut s, WIDE, 600, Taken::Pass, Some(1));
    say(&mut s, WIDE, 1490, (Taken::Final, None), vec![last]);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(600.0));
    assert!(!told.is_read() && stage(&mut s) < Stage::Tensioned);
    // Nor does the pass bring it back where it was mistyped.
    say(&mut s, WIDE, 610, (Taken::Pass, Some(1)), vec![first]);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(610.0));
    assert!(!told.is_read());
    // A pass of the plain way up, corrected after the final, lets nothing out.
    let mut s = fitted();
    let first = read(&mut s, WIDE, 660, Taken::Pass, Some(1));
    read(&mut s, WIDE, 1510, Taken::Final, None);
    say(&mut s, WIDE, 600, (Taken::Pass, Some(1)), vec![first]);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1510.0));
    assert_eq!(told.state, ReadingState::Clear);
    // Of two finals the earlier one, corrected, takes no later one's place.
    let mut s = fitted();
    let early = read(&mut s, WIDE, 1510, Taken::Final, None);
    read(&mut s, WIDE, 1200, Taken::Final, None);
    say(&mut s, WIDE, 1500, (Taken::Final, None), vec![early]);
    let told = line(&mut s);
    assert_eq!(told.governing.as_ref().unwrap().newtons, Some(1200.0));
    assert_eq!(told.state, ReadingState::Below);
}

#[test]
fn a_pass_that_no_gauge_told_takes_nothing_away() {
    let mut s = fitted();
    read(&mut s, WIDE, 1900, Taken::Final, None);
    assert!(line(&mut s).over().is_some());
    let bay = s.bay_place(WIDE.0, WIDE.1);
    let mut bare = tension_read(Method::Gauge, Taken::Pass, None);
    bare.pass = Some(1);
    let wire = Subject::Wire(s.a, 8);
    let force = Force::newtons(600);
    s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(bare));
    let told = line(&mut s);
    assert!(told.over().is_some(), "over what nothing may exceed");
    assert!(told.last_final.is_some());
}

#[test]
fn what_is_lost_is_told_bay_by_bay() {
    let seen = |s: &mut Scene| {
        let a = s.a;
        s.with_job(|job| recheck(job, a).unwrap().lines[7].clone())
    };
    // Friction takes more of it in the far bay, which nobody had read: nothing unexpected was lost.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, WIDE, 1490, Taken::Recheck, None);
    read(&mut s, FAR, 1000, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!(told.read_n, Some(1000.0));
    assert_eq!((told.left_at_n, told.there_n), (1500.0, Some(1490.0)));
    assert_eq!(told.band, BandState::Within);
    assert_eq!(told.bay.as_deref(), Some("A2–A3"));
    // A loss in the wide bay is none the less for a far bay that was low from the beginning.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1000, Taken::Final, None);
    read(&mut s, WIDE, 1000, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!((told.left_at_n, told.there_n), (1500.0, Some(1000.0)));
    assert_eq!(told.band, BandState::Below);
    // What a wire had come down to outlives that it was brought up again in the same visit.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, WIDE, 700, Taken::Recheck, None);
    read(&mut s, WIDE, 1490, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!((told.there_n, told.found_n), (Some(1490.0), Some(700.0)));
    assert_eq!((told.band, told.fell_below), (BandState::Within, true));
    // What it showed once wires beside it were turned is not what it had come down to.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, WIDE, 1480, Taken::Recheck, None);
    read(&mut s, WIDE, 700, Taken::Recheck, None);
    read(&mut s, WIDE, 1490, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!((told.found_n, told.fell_below), (Some(1480.0), false));
    // Nothing lower was read there: nothing was brought up.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, WIDE, 1490, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!((told.found_n, told.fell_below), (None, false));
    // Read in another bay than before it tells no loss.
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1000, Taken::Recheck, None);
    let told = seen(&mut s);
    assert_eq!(told.band, BandState::OtherBay);
    assert!(told.sentence.unwrap().contains("read in another bay"));
}

#[test]
fn a_last_pass_is_none_of_a_final_round_that_came_after_it_however_either_was_told() {
    let not_read = |s: &mut Scene| line(s).not_read.len();
    for (pass_by_gauge, final_by_gauge) in
        [(true, true), (true, false), (false, true), (false, false)]
    {
        let mut s = fitted();
        let told = |s: &mut Scene, by_gauge: bool, at, stage, pass| match by_gauge {
            true => drop(read(s, at, 1500, stage, pass)),
            false => hang(s, at, stage, pass),
        };
        let case = format!("pass by gauge {pass_by_gauge}, final by gauge {final_by_gauge}");
        // The wide bay in the last pass, the far one in the final round: the wide one is to be read.
        told(&mut s, pass_by_gauge, WIDE, Taken::Pass, Some(3));
        told(&mut s, final_by_gauge, FAR, Taken::Final, None);
        assert_eq!(not_read(&mut s), 1, "{case}");
        // Touched up after it, it is read.
        told(&mut s, pass_by_gauge, WIDE, Taken::Pass, Some(3));
        assert_eq!(not_read(&mut s), 0, "{case}");
    }
}

//! A wire that stands further down under the hung mass than the table lets it: until when it does, what it
//! leaves to do, and what is told of it.

use records::ids::Hash;
use records::model::fields;
use records::model::values::{Deflection, Force, Method, PostRole, Stage as Taken};
use records::subject::{ItemKind, Subject};
use records::work::{
    EvidenceState, Flag, TensionLine, lacks, odd_deflection, progress, pushed, tensions,
};

use crate::scene::{Scene, decide, fitted, surveyed, tension_read};

const WIDE: (&str, &str) = ("A2", "A3");
const FAR: (&str, &str) = ("A3", "A4");
/// Neither the widest bay nor the one furthest from the tensioner.
const ELSEWHERE: (&str, &str) = ("A4a", "A5");

fn read(s: &mut Scene, at: (&str, &str), newtons: i64, stage: Taken, pass: Option<u32>) {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
    with.pass = pass;
    let wire = Subject::Wire(s.a, 8);
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(newtons),
        Some(with),
    );
}

fn hang(s: &mut Scene, at: (&str, &str), stage: Taken, pass: Option<u32>) {
    hang_by(s, at, 4_500_000, (stage, pass));
}

fn hang_by(s: &mut Scene, at: (&str, &str), nm: i64, round: (Taken, Option<u32>)) -> Hash {
    hang_over(s, at, nm, round, Vec::new())
}

fn hang_over(
    s: &mut Scene,
    at: (&str, &str),
    nm: i64,
    (stage, pass): (Taken, Option<u32>),
    over: Vec<Hash>,
) -> Hash {
    hang_of(s, at, (nm, 2_000_000), (stage, pass), over)
}

fn hang_of(
    s: &mut Scene,
    at: (&str, &str),
    (nm, mass_mg): (i64, i64),
    (stage, pass): (Taken, Option<u32>),
    over: Vec<Hash>,
) -> Hash {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::HungMass, stage, None);
    with.pass = pass;
    let hung = Some(Deflection { nm, mass_mg });
    let wire = Subject::Wire(s.a, 8);
    s.say_over(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with), over)
}

fn line(s: &mut Scene) -> TensionLine {
    let a = s.a;
    s.with_job(|job| tensions(job, a).unwrap().lines[7].clone())
}

fn flagged(s: &mut Scene) -> bool {
    let a = s.a;
    let flags = s.with_job(|job| progress(job, a).unwrap().wires[7].flags.clone());
    flags.contains(&Flag::Sags)
}

/// What is offered of the wire.
fn acts(s: &mut Scene) -> Vec<String> {
    let wire = Subject::Wire(s.a, 8);
    let of_wire = s.offered().into_iter().filter(|act| act.subject == wire);
    of_wire.map(|act| act.sentence).collect()
}

const GOES_DOWN: &str = "under the hung mass in ";

fn tells(s: &mut Scene, part: &str) -> bool {
    acts(s).iter().any(|one| one.contains(part))
}

#[test]
fn a_wire_that_sags_under_the_mass_stands_out_until_it_is_shown_otherwise_there() {
    for by_gauge in [true, false] {
        let mut s = fitted();
        read(&mut s, WIDE, 1495, Taken::Final, None);
        hang(&mut s, FAR, Taken::Final, None);
        hang_by(&mut s, WIDE, 9_000_000, (Taken::Final, None));
        let a = s.a;
        let flagged = |s: &mut Scene| {
            let flags = s.with_job(|job| progress(job, a).unwrap().wires[7].flags.clone());
            (flags.contains(&Flag::Sags), line(s).sags.len() == 1)
        };
        assert_eq!(flagged(&mut s), (true, true));
        let acts = |s: &mut Scene| -> Vec<String> {
            s.offered().into_iter().map(|act| act.sentence).collect()
        };
        let begins = "Wire A8 goes down 9.0 mm under the hung mass in A2–A3";
        assert!(
            acts(&mut s).iter().any(|one| one.starts_with(begins)),
            "{:?}",
            acts(&mut s)
        );
        // In another bay nothing is shown of this one.
        read(&mut s, FAR, 1500, Taken::Final, None);
        assert_eq!(flagged(&mut s), (true, true));
        match by_gauge {
            true => read(&mut s, WIDE, 1500, Taken::Final, None),
            false => hang(&mut s, WIDE, Taken::Final, None),
        }
        assert_eq!(flagged(&mut s), (false, false), "by gauge: {by_gauge}");
        assert!(!acts(&mut s).iter().any(|one| one.starts_with(begins)));
    }
}

#[test]
fn a_mass_that_shows_nothing_takes_no_sag_away_and_a_crew_with_a_mass_alone_gets_on() {
    let mut s = fitted();
    hang(&mut s, FAR, Taken::Final, None);
    hang(&mut s, WIDE, Taken::Final, None);
    hang_by(&mut s, WIDE, 9_000_000, (Taken::Recheck, None));
    let a = s.a;
    let sags = |s: &mut Scene| line(s).sags.len();
    assert_eq!(sags(&mut s), 1);
    // No more than what a ruler leaves open is not held against the table.
    hang_by(&mut s, WIDE, 400_000, (Taken::Recheck, None));
    assert_eq!(sags(&mut s), 1);
    // It is asked for by itself, and for no pass or first tension of its own.
    let offered = s.offered().into_iter();
    let of_wire = offered.filter(|act| act.subject == Subject::Wire(a, 8));
    let found: Vec<String> = of_wire.map(|act| act.sentence).collect();
    assert!(
        found.iter().any(|one| one.contains("under the hung mass")),
        "{found:?}"
    );
    assert!(
        !found.iter().any(|one| one.contains("tension to")),
        "{found:?}"
    );
    hang(&mut s, WIDE, Taken::Recheck, None);
    assert_eq!(sags(&mut s), 0);
}

#[test]
fn what_a_recheck_found_only_a_recheck_shows_otherwise_and_nobody_is_asked_without_end() {
    for by_gauge in [true, false] {
        let mut s = fitted();
        hang(&mut s, FAR, Taken::Final, None);
        hang(&mut s, WIDE, Taken::Final, None);
        hang_by(&mut s, WIDE, 9_000_000, (Taken::Recheck, None));
        let show = |s: &mut Scene, stage| match by_gauge {
            true => read(s, WIDE, 1500, stage, None),
            false => hang(s, WIDE, stage, None),
        };
        // As of a gauge's recheck: brought up in a final round it is to be looked at again.
        show(&mut s, Taken::Final);
        assert!(flagged(&mut s), "by gauge: {by_gauge}");
        assert!(tells(&mut s, GOES_DOWN) && !tells(&mut s, "tension to"));
        show(&mut s, Taken::Recheck);
        assert!(!flagged(&mut s), "by gauge: {by_gauge}");
        assert!(!tells(&mut s, GOES_DOWN) && !tells(&mut s, "tension to"));
        let now = line(&mut s);
        assert!(now.is_read() && now.is_held(), "by gauge: {by_gauge}");
    }
}

#[test]
fn what_people_tell_apart_sags_by_the_furthest() {
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1500, Taken::Final, None);
    let first = hang_by(&mut s, WIDE, 9_000_000, (Taken::Final, None));
    let over = |s: &mut Scene, nm| hang_over(s, WIDE, nm, (Taken::Final, None), vec![first]);
    over(&mut s, 9_200_000);
    over(&mut s, 9_500_000);
    assert!(flagged(&mut s));
    let check = line(&mut s).deflections[0].clone();
    assert_eq!((check.deflection_mm, check.disputed), (9.5, true));
    assert!(
        check.sentence.contains("People differ on it"),
        "{}",
        check.sentence
    );
    assert!(tells(&mut s, GOES_DOWN));
    let mut s = fitted();
    hang(&mut s, FAR, Taken::Final, None);
    let first = hang_by(&mut s, WIDE, 4_000_000, (Taken::Final, None));
    let over = |s: &mut Scene, nm| hang_over(s, WIDE, nm, (Taken::Final, None), vec![first]);
    over(&mut s, 4_200_000);
    over(&mut s, 4_500_000);
    // Nor is a wire held by what people differ on, though all of it is within.
    assert!(!flagged(&mut s) && line(&mut s).held_by_deflection.is_none());
}

#[test]
fn where_people_differ_a_deeper_word_that_shows_no_sag_hides_none() {
    // Under a mass that the table does not know, and of a pass, which shows none yet.
    for (other, round) in [
        ((9_500_000, 1_000_000), (Taken::Final, None)),
        ((9_500_000, 2_000_000), (Taken::Pass, Some(1))),
    ] {
        let mut s = fitted();
        read(&mut s, WIDE, 1500, Taken::Final, None);
        read(&mut s, FAR, 1500, Taken::Final, None);
        let first = hang_by(&mut s, WIDE, 9_000_000, (Taken::Final, None));
        hang_over(&mut s, WIDE, 9_200_000, (Taken::Final, None), vec![first]);
        hang_of(&mut s, WIDE, other, round, vec![first]);
        let check = line(&mut s).deflections[0].clone();
        assert_eq!((check.deflection_mm, check.disputed), (9.2, true));
        assert!(check.is_over() && flagged(&mut s), "{other:?}");
        assert!(tells(&mut s, GOES_DOWN), "{other:?}");
    }
}

#[test]
fn a_wire_that_was_let_out_comes_up_by_its_passes_before_it_is_hung_again() {
    let mut s = fitted();
    read(&mut s, WIDE, 1500, Taken::Final, None);
    hang_by(&mut s, ELSEWHERE, 9_000_000, (Taken::Final, None));
    assert!(tells(&mut s, GOES_DOWN));
    read(&mut s, WIDE, 600, Taken::Pass, Some(1));
    assert!(flagged(&mut s));
    let found = acts(&mut s);
    assert!(
        found.iter().any(|one| one.contains("tension to")),
        "{found:?}"
    );
    assert!(
        !found.iter().any(|one| one.contains(GOES_DOWN)),
        "{found:?}"
    );
    read(&mut s, WIDE, 1500, Taken::Final, None);
    read(&mut s, FAR, 1500, Taken::Final, None);
    assert!(flagged(&mut s) && tells(&mut s, GOES_DOWN));
}

#[test]
fn what_a_wire_holds_that_sags_is_told_unknown_for_the_reason_that_is_so() {
    let mut s = surveyed();
    let a = s.a;
    s.add_post("A4a", a, 5292.5, -9.0, PostRole::Intermediate);
    s.clear("A4", "A4a", 735.0);
    s.clear("A4a", "A5", 735.0);
    decide(&mut s, a, 1330, 1800);
    let noted = |s: &mut Scene| s.with_job(|job| pushed(job, a, None, None).unwrap().notes);
    hang_by(&mut s, WIDE, 6_000_000, (Taken::Final, None));
    let begins = "Wire A8 goes further down under the mass than the table lets it";
    let notes = noted(&mut s);
    let told = notes.iter().find(|note| note.starts_with(begins)).unwrap();
    assert!(told.ends_with("the wire's length is not known."), "{told}");
    let mut s = fitted();
    let a = s.a;
    let noted = |s: &mut Scene| s.with_job(|job| pushed(job, a, None, None).unwrap().notes);
    hang_by(&mut s, WIDE, 200_000_000, (Taken::Final, None));
    let notes = noted(&mut s);
    let told = notes.iter().find(|note| note.starts_with(begins)).unwrap();
    assert!(told.contains("without tension"), "{told}");
}

#[test]
fn the_evidence_of_a_hung_mass_goes_by_the_same_rule() {
    let item = |s: &mut Scene| {
        let key = format!("massCheck/{}", s.a);
        s.with_job(|job| {
            let mut items = lacks(job).unwrap().items.into_iter();
            let one = items.find(|item| item.key == key).unwrap();
            (one.state, one.detail)
        })
    };
    let mut s = fitted();
    let within = s.bay_place("A2", "A3");
    let hung = Deflection {
        nm: 4_500_000,
        mass_mg: 2_000_000,
    };
    let with = tension_read(Method::HungMass, Taken::Final, None);
    let other = Subject::Wire(s.a, 6);
    s.say(fields::WIRE_DEFLECTION, &other, &within, hung, Some(with));
    assert_eq!(item(&mut s).0, EvidenceState::There);
    // A mass that shows nothing leaves the sag and the evidence as they were.
    hang_by(&mut s, WIDE, 9_000_000, (Taken::Final, None));
    hang_by(&mut s, WIDE, 400_000, (Taken::Final, None));
    assert!(flagged(&mut s));
    let (state, detail) = item(&mut s);
    assert_eq!(state, EvidenceState::Lacking);
    assert!(
        detail.contains("more than the table lets it be in bay A2–A3"),
        "{detail}"
    );
    read(&mut s, WIDE, 1500, Taken::Final, None);
    assert!(!flagged(&mut s));
    assert_eq!(item(&mut s).0, EvidenceState::There);
}

#[test]
fn a_mass_is_asked_about_by_what_a_gauge_is() {
    let mut s = fitted();
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let said = records::model::context::Said::default();
    s.say(
        fields::FITTING_THREAD_LIMIT,
        &set,
        "",
        Force::newtons(1550),
        Some(said),
    );
    let (a, bay) = (s.a, s.bay_place("A2", "A3"));
    let mut asked = |nm| {
        let hung = Deflection {
            nm,
            mass_mg: 2_000_000,
        };
        s.with_job(|job| odd_deflection(job, a, 8, &bay, hung).unwrap())
    };
    let told = asked(3_500_000).unwrap();
    assert!(told.contains("over the upper tension of 1550 N"), "{told}");
    assert_eq!(asked(4_500_000), None);
}

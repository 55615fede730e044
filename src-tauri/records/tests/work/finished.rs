//! When a wire is tensioned, and what stands of it where people differ or read it again out of turn. One file past 400
//! lines, since all of it is told of the same readings.

use records::ids::{Hash, ItemId};
use records::model::fields;
use records::model::values::{Force, Method, Stage};
use records::subject::Subject;
use records::work::{
    BandState, EvidenceState, Flag, NextWhat, NowFrom, ReadingState, Stage as Come, TensionLine,
    lacks, progress, pushed, recheck, tensioning, tensions,
};

use crate::scene::{Scene, fit, measured, tension_read};

fn read(
    s: &mut Scene,
    wire: u32,
    bay: &str,
    newtons: i64,
    stage: Stage,
    pass: Option<u32>,
) -> Hash {
    let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
    with.pass = pass;
    with.air_cdeg = Some(if stage == Stage::Recheck { 2300 } else { 2400 });
    let wire = Subject::Wire(s.a, wire);
    let force = Force::newtons(newtons);
    s.say(fields::WIRE_TENSION, &wire, bay, force, Some(with))
}

/// Two corrections of one reading, made apart.
fn differ(s: &mut Scene, wire: u32, bay: &str, stage: Stage, over: Hash, values: [i64; 2]) {
    let subject = Subject::Wire(s.a, wire);
    for newtons in values {
        let with = tension_read(Method::Gauge, stage, Some(s.gauge));
        let force = Some(Force::newtons(newtons));
        s.say_over(
            fields::WIRE_TENSION,
            &subject,
            bay,
            force,
            Some(with),
            vec![over],
        );
    }
}

/// All wires of run A in the passes that were decided, the last at 1500 N and no final round.
fn passed(s: &mut Scene) {
    for (pass, newtons) in [(1, 600), (2, 1100), (3, 1500)] {
        for bay in [s.bay_place("A2", "A3"), s.bay_place("A3", "A4")] {
            for wire in 1..=12 {
                read(s, wire, &bay, newtons, Stage::Pass, Some(pass));
            }
        }
    }
}

fn line(s: &mut Scene, wire: usize) -> TensionLine {
    let a = s.a;
    s.with_job(|job| tensions(job, a).unwrap().lines[wire - 1].clone())
}

fn acts(s: &mut Scene, run: ItemId) -> Vec<NextWhat> {
    let offered = s.offered().into_iter();
    let of_run = offered.filter(|act| act.run == Some(run));
    let mut found: Vec<NextWhat> = of_run.map(|act| act.what).collect();
    found.dedup();
    found
}

#[test]
fn the_last_pass_is_the_final_round_for_all_who_ask() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    passed(&mut s);
    for (left, right) in [
        ("A1", "A2"),
        ("A2", "A3"),
        ("A3", "A4"),
        ("A4", "A4a"),
        ("A4a", "A5"),
        ("A5", "A6"),
    ] {
        s.gaps_stop(a, left, right);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert!(found.lines.iter().all(TensionLine::is_read));
    assert_eq!(found.lowest_finished().unwrap().1.newtons, Some(1500.0));
    assert!(found.lines.iter().all(|l| l.not_read.is_empty()));
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert!(seen.wires.iter().all(|w| w.stage == Come::Checked));
    let next = acts(&mut s, a);
    assert!(!next.contains(&NextWhat::TensionPass), "{next:?}");
    assert!(!next.contains(&NextWhat::TensionFinal), "{next:?}");
    assert!(next.contains(&NextWhat::Recheck), "{next:?}");
    let again = s.with_job(|job| recheck(job, a).unwrap());
    let when = again.come_back.unwrap();
    assert_eq!(when.to_ms - when.from_ms, 7 * 86_400_000);
    let left: Vec<(f64, bool)> = again
        .lines
        .iter()
        .map(|l| (l.left_at_n, l.left_read))
        .collect();
    assert_eq!(left, [(1500.0, true); 12]);
    // The temperature of the last pass is that in which it was left.
    let bay = s.bay_place("A2", "A3");
    read(&mut s, 1, &bay, 1420, Stage::Recheck, None);
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert!(
        again
            .made_of
            .iter()
            .any(|n| n.value == "1.0 K" && n.name.starts_with("colder")),
        "{:?}",
        again.made_of
    );
}

#[test]
fn a_pass_on_the_way_up_finishes_nothing_and_is_another_round_than_the_last() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    let (wide, far) = (s.bay_place("A2", "A3"), s.bay_place("A3", "A4"));
    read(&mut s, 1, &far, 600, Stage::Pass, Some(1));
    let one = line(&mut s, 1);
    assert!(!one.is_read() && one.last_final.is_none());
    assert!(acts(&mut s, a).contains(&NextWhat::TensionPass));
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert_eq!(again.come_back, None);
    assert!(!again.lines[0].left_read);
    // The other bay was read in pass 1 alone: that is not this round.
    read(&mut s, 1, &wide, 1500, Stage::Pass, Some(3));
    let one = line(&mut s, 1);
    assert!(one.is_read());
    assert_eq!(one.not_read, ["A3–A4"]);
}

#[test]
fn a_reading_after_the_recheck_counts_wherever_the_wire_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    passed(&mut s);
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        let newtons = if wire == 11 { 1470 } else { 1420 };
        read(&mut s, wire, &bay, newtons, Stage::Recheck, None);
    }
    read(&mut s, 11, &bay, 1200, Stage::Final, None);
    let one = line(&mut s, 11);
    assert_eq!(one.governing.as_ref().unwrap().newtons, Some(1200.0));
    assert_eq!(one.state, ReadingState::Below);
    // It was left as the last pass showed it, and shows 1200 now.
    let last = |r: &Option<records::work::Reading>| r.as_ref().unwrap().newtons;
    assert_eq!(last(&one.last_final), Some(1500.0));
    assert_eq!(last(&one.last_recheck), Some(1200.0));
    let again = s.with_job(|job| recheck(job, a).unwrap());
    let eleven = &again.lines[10];
    assert_eq!((eleven.left_at_n, eleven.read_n), (1500.0, Some(1200.0)));
    assert_eq!(eleven.band, BandState::Within);
    assert_eq!(eleven.state, ReadingState::Below);
    assert_eq!(again.to_turn, [11]);
    let now = s.with_job(|job| tensioning(job, a).unwrap());
    assert_eq!(
        (now.wires[10].now_n, now.wires[10].from),
        (1200.0, NowFrom::Read)
    );
}

/// Wires of a run that next acts of these kinds name, each once, with the round they are read in.
fn named(s: &mut Scene, what: NextWhat) -> Vec<(u32, Option<Stage>, String)> {
    let a = s.a;
    let offered = s.offered().into_iter().filter(|act| act.what == what);
    let told = offered.filter_map(|act| match act.subject {
        Subject::Wire(run, wire) if run == a => Some((wire, act.stage, act.sentence)),
        _ => None,
    });
    told.collect()
}

#[test]
fn next_acts_name_all_that_the_list_of_a_recheck_names() {
    let mut s = measured();
    let a = s.a;
    passed(&mut s);
    // What stands at the mark after a final round is asked about by no list.
    let must = s.with_job(|job| tensions(job, a).unwrap().must_show_n.unwrap());
    let bay = s.bay_place("A2", "A3");
    #[allow(clippy::cast_possible_truncation)] // whole newtons
    let mark = must as i64 + 5;
    read(&mut s, 9, &bay, mark, Stage::Final, None);
    assert_eq!(line(&mut s, 9).state, ReadingState::AtTheMark);
    assert_eq!(named(&mut s, NextWhat::Raise), []);
    // One that was left low can't show more by itself.
    read(&mut s, 7, &bay, 1000, Stage::Final, None);
    for wire in 1..=12 {
        let newtons = match wire {
            3 => mark,
            5 => must as i64 - 40,
            7 => 1420,
            _ => 1450,
        };
        read(&mut s, wire, &bay, newtons, Stage::Recheck, None);
    }
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert_eq!(again.to_turn, [3, 5, 7]);
    assert_eq!(again.lines[6].band, BandState::Above);
    let raise = named(&mut s, NextWhat::Raise);
    let wires: Vec<u32> = raise.iter().map(|(wire, ..)| *wire).collect();
    assert_eq!(wires, [5, 3]);
    assert!(
        raise
            .iter()
            .all(|(_, stage, _)| *stage == Some(Stage::Recheck))
    );
    let at = format!("Wire A3 is at the mark: {mark} N in A2–A3. Raise it to");
    assert_eq!(raise[1].2, at);
    let above = named(&mut s, NextWhat::Recheck);
    assert_eq!(above[0].0, 7);
    assert!(
        above[0]
            .2
            .starts_with("Wire A7 reads 1420 N, more than the "),
        "{above:?}"
    );
    // Brought up and read again it is named no more.
    read(&mut s, 3, &bay, 1500, Stage::Recheck, None);
    read(&mut s, 5, &bay, 1500, Stage::Recheck, None);
    assert_eq!(named(&mut s, NextWhat::Raise), []);
}

#[test]
fn a_wire_above_its_band_and_below_what_is_required_is_named_once() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        let newtons = if wire == 4 { 900 } else { 1500 };
        read(&mut s, wire, &bay, newtons, Stage::Final, None);
    }
    read(&mut s, 4, &bay, 1250, Stage::Recheck, None);
    let again = s.with_job(|job| recheck(job, a).unwrap());
    let four = &again.lines[3];
    assert_eq!(
        (four.band, four.state),
        (BandState::Above, ReadingState::Below)
    );
    assert_eq!(again.to_turn, [4]);
}

#[test]
fn where_people_differ_the_least_that_is_told_stands_under_a_push_and_first_of_the_lowest() {
    let mut s = measured();
    let a = s.a;
    passed(&mut s);
    let bay = s.bay_place("A2", "A3");
    let force = |s: &mut Scene| {
        let found = s.with_job(|job| pushed(job, a, None, None).unwrap());
        let bay = found.bays.iter().find(|b| b.name == "A2–A3").unwrap();
        let opening = bay.openings.iter().find(|o| o.lower == 6).unwrap();
        (opening.tension_n, opening.force_n, found.notes.clone())
    };
    let before = force(&mut s);
    // 1500 N read, less the gauge's 4 %.
    assert_eq!(before.0, Some(1440.0));
    let said = read(&mut s, 6, &bay, 1385, Stage::Recheck, None);
    differ(&mut s, 6, &bay, Stage::Recheck, said, [900, 1500]);
    let six = line(&mut s, 6);
    assert!(six.governing.as_ref().unwrap().disputed);
    assert_eq!(six.least_n, Some(900.0));
    let (tension, holds, notes) = force(&mut s);
    // Less the 4 % that the gauge may err.
    assert!((tension.unwrap() - 864.0).abs() < 1e-9, "{tension:?}");
    assert!(holds < before.1, "{holds:?}");
    assert!(
        notes
            .iter()
            .any(|n| n.contains("differ on the tension of wire A6")),
        "{notes:?}"
    );
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let (wire, lowest) = found.lowest_finished().unwrap();
    assert_eq!((wire, lowest.newtons, lowest.disputed), (6, None, true));
    assert_eq!(found.least_finished_n(), Some(900.0));
    let now = s.with_job(|job| tensioning(job, a).unwrap());
    assert_eq!(now.wires[5].now_n, 900.0);
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert_eq!(again.lines[5].read_n, None);
    assert!(
        again
            .notes
            .iter()
            .any(|n| n.contains("differ on what wire A6")),
        "{:?}",
        again.notes
    );
}

#[test]
fn the_evidence_of_final_readings_is_there_after_the_last_pass() {
    let mut s = measured();
    let key = format!("tension/{}", s.a);
    let state = |s: &mut Scene| {
        let all = s.with_job(|job| lacks(job).unwrap());
        let items: Vec<String> = all.items.iter().map(|i| i.key.clone()).collect();
        let one = all.items.into_iter().find(|i| i.key == key);
        one.unwrap_or_else(|| panic!("{items:?}")).state
    };
    assert_eq!(state(&mut s), EvidenceState::Lacking);
    passed(&mut s);
    assert_eq!(state(&mut s), EvidenceState::There);
}

#[test]
fn a_reading_at_another_temperature_says_what_may_be_of_it_from_that_and_counts_as_read() {
    let mut s = measured();
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        read(&mut s, wire, &bay, 1500, Stage::Final, None);
    }
    let a = s.a;
    let line = |s: &mut Scene| s.with_job(|job| tensions(job, a).unwrap().lines[3].clone());
    assert_eq!(line(&mut s).readings[0].warmth, None, "all at 24 °C");
    let again = |s: &mut Scene, cdeg: i64, newtons: i64| {
        let mut with = tension_read(Method::Gauge, Stage::Recheck, Some(s.gauge));
        (with.air_cdeg, with.wire_cdeg) = (Some(2400), Some(cdeg));
        let (wire, force) = (Subject::Wire(s.a, 4), Force::newtons(newtons));
        s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(with));
    };
    again(&mut s, 400, 1600);
    // 3.2 mm 1x19: 794 597 N · 16e-6 = 12.71 N a kelvin, 254 N in 20 K (engineering basis).
    let cold = line(&mut s);
    let governing = cold.governing.unwrap();
    let warmth = governing.warmth.clone().unwrap();
    assert_eq!((warmth.warmer_k, warmth.takes_n), (-20.0, -254.0));
    assert!((warmth.per_kelvin_n - 12.71).abs() < 0.005);
    assert!(
        warmth.sentence.starts_with("Read 20 K colder") && warmth.sentence.contains("up to 254 N"),
        "{}",
        warmth.sentence
    );
    // Nothing is taken off it.
    assert_eq!(
        (governing.newtons, governing.state),
        (Some(1600.0), ReadingState::Clear)
    );
    again(&mut s, 3400, 1400);
    let warm = line(&mut s).governing.unwrap().warmth.unwrap();
    assert_eq!((warm.warmer_k, warm.takes_n), (10.0, 127.0));
    assert!(
        warm.sentence.contains("come back with the cold"),
        "{}",
        warm.sentence
    );
}

#[test]
fn a_reading_that_its_gauge_may_put_over_the_upper_tension_counts_as_over() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    passed(&mut s);
    // 1800 N ÷ 1.04 is 1730 N: the most that a gauge of 4 % may show.
    let most = s.with_job(|job| tensions(job, a).unwrap().most_shown_n);
    assert_eq!(most, Some(1730.0));
    let bay = s.bay_place("A2", "A3");
    for (shows, over) in [(1730, false), (1731, true)] {
        read(&mut s, 12, &bay, shows, Stage::Final, None);
        let found = s.with_job(|job| tensions(job, a).unwrap());
        assert_eq!(found.lines[11].over().is_some(), over, "{shows}");
        assert_eq!(acts(&mut s, a).contains(&NextWhat::LetOut), over);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert_eq!(
        (found.over_upper(false), found.over_upper(true)),
        (vec![], vec![12])
    );
    // 1731 × 1.04 = 1800.2.
    assert_eq!(found.lines[11].over().unwrap().may_carry_n, Some(1801.0));
    let stop = s
        .offered()
        .into_iter()
        .find(|act| act.what == NextWhat::LetOut);
    let stop = stop.unwrap().sentence;
    assert!(
        stop.contains(
            "Wire A12 may be over the upper tension of 1800\u{a0}N: 1731 N in A2–A3, up to 1801\u{a0}N for what the \
             gauge errs"
        ),
        "{stop}"
    );
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    assert_eq!(plan.over, [12]);
    assert!(plan.wires[11].to[2].turn.unwrap().back);
    let again = s.with_job(|job| recheck(job, a).unwrap());
    assert!(again.to_turn.contains(&12));
}

#[test]
fn a_wire_over_the_upper_tension_stands_out_wherever_it_is_asked_about_and_is_let_out() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    passed(&mut s);
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        let newtons = if wire == 12 { 1950 } else { 1420 };
        read(&mut s, wire, &bay, newtons, Stage::Recheck, None);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert_eq!(found.over_upper(false), [12]);
    assert_eq!(found.lines[11].over().unwrap().newtons, Some(1950.0));
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[11].flags, [Flag::Over]);
    assert_eq!(
        (seen.wires[11].flag, &*seen.wires[11].letter),
        (Flag::Over, "+")
    );
    assert!(seen.wires[11].words.contains("over the upper tension"));
    assert!(acts(&mut s, a).contains(&NextWhat::LetOut));
    let now = s.with_job(|job| tensioning(job, a).unwrap());
    let twelve = &now.wires[11];
    assert_eq!(twelve.now_n, 1950.0, "not the other bay's 1500");
    let turn = twelve.to[2].turn.unwrap();
    // 450 N at about 33 N a flat.
    assert!(turn.back && turn.turns == 2 && turn.mm < 0.0, "{turn:?}");
    let again = s.with_job(|job| recheck(job, a).unwrap());
    let twelve = &again.lines[11];
    assert_eq!(
        (twelve.over_n, again.to_turn.contains(&12)),
        (Some(1950.0), true)
    );
    assert!(twelve.turn.unwrap().back);
    let sentence = twelve.sentence.clone().unwrap();
    assert!(
        sentence.contains("over the upper tension of 1800\u{a0}N")
            && sentence.contains("Let it out about 2 turns"),
        "{sentence}"
    );
    // What a pass asks less than is there is still no reason to let a wire out.
    assert_eq!(now.wires[0].to[0].turn, None);
    read(&mut s, 12, &bay, 1500, Stage::Recheck, None);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[11].flag, Flag::None);
    assert!(!acts(&mut s, a).contains(&NextWhat::LetOut));
}

#[test]
fn a_wire_below_in_a_recheck_is_raised_in_a_recheck_and_then_stands() {
    let mut s = measured();
    let a = s.a;
    passed(&mut s);
    let bay = s.bay_place("A2", "A3");
    let raise = |s: &mut Scene| {
        let mut offered = s.offered().into_iter();
        let raise = offered.find(|act| act.what == NextWhat::Raise && act.run == Some(a));
        raise.and_then(|act| act.stage)
    };
    read(&mut s, 3, &bay, 1200, Stage::Final, None);
    assert_eq!(raise(&mut s), Some(Stage::Final));
    read(&mut s, 3, &bay, 1500, Stage::Final, None);
    assert_eq!(raise(&mut s), None);
    read(&mut s, 3, &bay, 1200, Stage::Recheck, None);
    assert_eq!(raise(&mut s), Some(Stage::Recheck));
    // A final reading takes no recheck's place: it is to be read in one too, and not raised once more.
    read(&mut s, 3, &bay, 1500, Stage::Final, None);
    assert_eq!(raise(&mut s), None);
    assert_eq!(line(&mut s, 3).state, ReadingState::Below);
    let too = s
        .offered()
        .into_iter()
        .find(|act| act.sentence.starts_with("Read wire A3 in A2–A3 too: "));
    assert_eq!(
        too.map(|act| (act.what, act.stage)),
        Some((NextWhat::Recheck, Some(Stage::Recheck)))
    );
    read(&mut s, 3, &bay, 1500, Stage::Recheck, None);
    assert_eq!(raise(&mut s), None);
}

#[test]
fn how_far_the_strand_goes_in_is_asked_about_once_both_ends_are_pressed() {
    use records::model::values::Act;
    let mut s = crate::scene::measured();
    let a = s.a;
    let asked = |s: &mut crate::scene::Scene| {
        s.with_job(|job| {
            let run = job.run(a).unwrap();
            records::work::odd_ticks(job, run, Act::InsertionMarked, &[2, 3]).join(" ")
        })
    };
    let late = "pressed or fitted already";
    s.tick(a, 2, Act::LeftEndPressed, 1);
    assert!(!asked(&mut s).contains(late));
    s.tick(a, 2, Act::RightEndPressed, 1);
    let told = asked(&mut s);
    assert!(
        told.contains("Wire A2 is pressed or fitted already"),
        "{told}"
    );
    s.tick(a, 3, Act::Fitted, 1);
    assert!(asked(&mut s).contains("A2 and A3 are pressed"));
}

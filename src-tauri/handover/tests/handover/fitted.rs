//! What the document says of pressing, ends, deliveries, the place, and what was left out.

use records::ids::Hash;
use records::model::context::{CrimpRead, OnPiece, TakenOut};
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use crate::common::acts::good_sample;
use crate::common::site::{self, Built, mm};
use crate::common::{claim, told};
use crate::told::{flat, section};

fn tool(built: &mut Built, name: &str, kind: ToolKind) -> records::ids::ItemId {
    let id = built.site.new_item(ItemKind::Tool, Vec::new());
    let s = Subject::Item(ItemKind::Tool, id);
    built.site.act(vec![
        claim(TOOL_NAME, &s, &name.into()),
        claim(TOOL_KIND, &s, &kind),
    ]);
    id
}

#[test]
fn samples_tell_both_axes_their_press_and_which_crimps_refer_to_them() {
    let mut built = site::build("Deck and stair");
    let (press, die) = (
        tool(&mut built, "P-1", ToolKind::Press),
        tool(&mut built, "D-6", ToolKind::Die),
    );
    let sample = good_sample();
    let with = CrimpRead {
        piece: 1,
        press: Some(press),
        die: Some(die),
        ..CrimpRead::default()
    };
    let job = built.site.job_subject();
    let second = built
        .site
        .one(told(JOB_SAMPLE_CRIMP, &job, "", &sample, &with));
    let post = built.site.with(|source| source.job.runs[0].posts[0].id);
    let good = Crimp {
        result: CrimpResult::Good,
        reason: None,
    };
    let refers = |sample: Hash| CrimpRead {
        sample: Some(sample),
        ..with.clone()
    };
    let wire = Subject::Wire(built.run_a, 1);
    built.site.one(told(
        WIRE_CRIMP,
        &wire,
        &post.to_string(),
        &good,
        &refers(second),
    ));
    let text = flat(&mut built);
    let part = section(&text, "Sample crimps", "Template check");
    assert!(part.contains("6.30 / 6.32"), "{part}");
    assert!(part.contains("P-1, D-6"), "{part}");
    assert!(part.contains("A1 end 1 2 good"), "{part}");
    // A later failure doubts it.
    let failed = SampleCrimp {
        result: CrimpResult::Reject,
        ..sample
    };
    built
        .site
        .one(told(JOB_SAMPLE_CRIMP, &job, "", &failed, &with));
    let text = flat(&mut built);
    assert!(text.contains("good; a sample failed: in doubt"), "{text}");
}

#[test]
fn ends_tell_nut_wire_end_and_the_look_before_the_second() {
    let mut built = site::build("Deck and stair");
    let post = built.site.with(|source| source.job.runs[0].posts[0].id);
    let wire = Subject::Wire(built.run_a, 3);
    let on = OnPiece {
        piece: 1,
        entered: None,
        reason: None,
        lost_nm: None,
        to_mn: None,
    };
    let run = Subject::run(built.run_a);
    let looked = BeforeSecondEnd {
        sleeves_on: Some(true),
        nuts_on: Some(false),
        ..BeforeSecondEnd::default()
    };
    let place = post.to_string();
    built.site.act(vec![
        told(WIRE_NUT_TIGHT, &wire, &place, &true, &on),
        told(WIRE_END_OUT, &wire, &place, &mm(1.7), &on),
        told(WIRE_THREAD_LEFT, &wire, &place, &mm(29.5), &on),
        claim(RUN_BEFORE_SECOND_END, &run, &looked),
    ]);
    let taken = TakenOut {
        cause: Some(TakenOutFor::Kinked),
        used: Some(PartsUsed {
            terminals_left: 1,
            ..PartsUsed::default()
        }),
        ..TakenOut::default()
    };
    let piece = Piece {
        number: 2,
        reason: "kink at A3".into(),
    };
    let other = Subject::Wire(built.run_a, 5);
    built.site.one(told(WIRE_PIECE, &other, "", &piece, &taken));
    let text = flat(&mut built);
    let part = section(&text, "Engagement of the threads", "Tension");
    assert!(part.contains("Nut tight"), "{part}");
    assert!(part.contains("yes yes 1.7 mm"), "{part}");
    // Half of 3.2 mm stands beside it, with the clause.
    for told in [
        "Wire end out, at most",
        "1.6 mm",
        "by more than half the wire's diameter. Source: ABCB",
        "11.3.6, explanatory note (read in the document)",
    ] {
        assert!(part.contains(told), "{told} in {part}");
    }
    // 29.5 of the 30 mm that the stud has: told as the fitting set asks, there and on the first page.
    let thin = "29.5 mm of thread left showing leaves 0.5 mm engaged, and the fitting set asks at least 8 mm";
    assert!(
        part.contains(&format!("! Wire 3, A1 end: {thin}.")),
        "{part}"
    );
    let open = section(&text, "Open", "Signed");
    assert!(
        open.contains(&format!("Run A, wire 3, A1 end: {thin}")),
        "{open}"
    );
    assert!(
        part.contains("sleeves on: yes, wire through all posts: not told, lock nut on: no"),
        "{part}"
    );
    assert!(
        text.contains("kink at A3. Cause: kinked. Used up: 1 LH terminal"),
        "{text}"
    );
    assert!(!text.contains("1 LH terminals"), "{text}");
}

#[test]
fn turnings_of_an_end_are_added_up_and_a_reading_of_it_stands_as_read() {
    let mut built = site::build("Deck and stair");
    let (first, last) = built.site.with(|source| {
        let posts = &source.job.runs[0].posts;
        (
            posts[0].id.to_string(),
            posts.last().unwrap().id.to_string(),
        )
    });
    let wire = Subject::Wire(built.run_a, 4);
    let on = |to_mn| OnPiece {
        piece: 1,
        entered: None,
        reason: None,
        lost_nm: None,
        to_mn,
    };
    for (turns, flats, to) in [(2, 4, 600_000), (2, 2, 1_100_000)] {
        let turned = Turns { turns, flats };
        built.site.act(
            [&first, &last]
                .map(|end| told(WIRE_TURNS, &wire, end, &turned, &on(Some(to))))
                .to_vec(),
        );
    }
    let text = flat(&mut built);
    let part = section(&text, "Engagement of the threads", "Tension");
    // 2 4/6 and 2 2/6.
    assert_eq!(part.matches("5 turns 0 flats, turned 2 times").count(), 2);
    let read = Turns {
        turns: 14,
        flats: 3,
    };
    built
        .site
        .one(told(WIRE_TURNS, &wire, &first, &read, &on(None)));
    let text = flat(&mut built);
    let part = section(&text, "Engagement of the threads", "Tension");
    assert!(part.contains("14 turns 3 flats"), "{part}");
    assert_eq!(part.matches("turned 2 times").count(), 1, "{part}");
}

#[test]
fn the_place_its_calls_and_deliveries_are_told_as_they_were_said() {
    let mut built = site::build("Deck and stair");
    let job = built.site.job_subject();
    let call = CallBack {
        complaint: "top wire hums".into(),
        cause: Some(CallBackCause::Stretch),
        found: Some("1290 N".into()),
        done: None,
    };
    let laser = tool(&mut built, "L-3", ToolKind::Laser);
    let laser_tool = Subject::Item(ItemKind::Tool, laser);
    let (visit, batch) = built.site.with(|source| {
        let visit = source.job.visits[0].id;
        (visit, source.job.batches[0].id)
    });
    let visit = Subject::Item(ItemKind::Visit, visit);
    let batch = Subject::Item(ItemKind::Batch, batch);
    let check = KnownLength {
        tool: Some(laser),
        known_nm: 2_000_000_000,
        read_nm: 1_999_000_000,
    };
    let promised: Day = "2026-10-23".to_owned().try_into().unwrap();
    built.site.act(vec![
        claim(JOB_CHLORINE, &job, &true),
        claim(JOB_METALS, &job, &"galvanised bolts".into()),
        claim(JOB_CLIMBABLES, &job, &"planter at A2".into()),
        claim(JOB_HAZARDS, &job, &"cable in A4".into()),
        claim(JOB_ACCESS, &job, &"by the garden".into()),
        claim(JOB_CALLED_BACK, &job, &call),
        claim(TOOL_REFERENCE, &laser_tool, &LaserReference::Back),
        claim(VISIT_LENGTH_CHECK, &visit, &check),
        claim(BATCH_THREAD, &batch, &"M6 × 1".into()),
        claim(BATCH_PROMISED, &batch, &promised),
    ]);
    let text = flat(&mut built);
    for said in [
        "Chlorine nearby yes",
        "galvanised bolts",
        "planter at A2",
        "cable in A4",
        "by the garden",
        "top wire hums stretch 1290 N open",
        "counts from its back edge",
        "2000 mm read as",
        "1999 mm, L-3 (−1 mm)",
        "thread M6 × 1",
        "promised for",
        "2026-10-23",
        "2 short",
    ] {
        assert!(text.contains(said), "{said} in {text}");
    }
}

#[test]
fn what_was_assumed_and_the_other_tables_row_stand_beside_the_figures() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    // A bay of 735 reads column 800 of the tensions and 900 of the deflections.
    assert!(text.contains("≤ 6 mm (its"), "{text}");
    assert!(text.contains("row 900 / 80, next 165 mm on)"), "{text}");
    assert!(text.contains("table b"), "{text}");
    let said = built.site.with(|source| {
        let of = |run| {
            let asked = records::work::before_ordering(source.job, run).unwrap();
            let sheet = records::work::cut_sheet(source.job, run).unwrap();
            let read = records::work::tensions(source.job, run).unwrap();
            [asked.notes, sheet.notes, read.notes].concat()
        };
        [of(built.run_a), of(built.run_b)].concat()
    });
    assert!(said.len() > 3, "{said:?}");
    for note in said {
        let note = note.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&note), "{note} in {text}");
    }
}

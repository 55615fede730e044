//! What the document says: parts, holes, the rake, the rules, who signed, cautions, next dates.

use records::model::context::{Head, Number, Told};
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use crate::common::site::{self, Built, mm};
use crate::common::{Site, claim, go_on, placed, run, told};
use crate::text_of;

/// The document's text on one line, spaces alike.
pub(crate) fn flat(built: &mut Built) -> String {
    flat_of(&mut built.site)
}

pub(crate) fn flat_of(site: &mut Site) -> String {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    site.write(&folder).unwrap();
    handover::verify(&folder, &go_on).unwrap();
    let text = text_of(&folder);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn section<'a>(flat: &'a str, from: &str, to: &str) -> &'a str {
    flat.split(from).nth(1).unwrap().split(to).next().unwrap()
}

#[test]
fn what_a_posts_figures_leave_out_stands_with_its_run_where_it_is_a_figure() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let from = "What the wires ask of end and corner posts";
    let posts = section(&text, from, "Loads are those of");
    let of_all: Vec<&str> = posts.split(" Of post").skip(1).collect();
    assert!(!of_all.is_empty(), "{posts}");
    for told in of_all {
        let (_, sentence) = told.split_once(": ").unwrap();
        assert!(!sentence.contains(|c: char| c.is_ascii_digit()), "{told}");
        assert_eq!(posts.matches(sentence.trim()).count(), 1, "{posts}");
    }
    // Of a post that two runs stand on: what each asks alone, and both together.
    let figure = "Heights count from the floor at the post";
    let alone = posts.matches(figure).count();
    let together = posts.matches("All runs on it: Heights count").count();
    assert!(
        together > 0 && alone > together,
        "{alone} {together} {posts}"
    );
}

#[test]
fn every_part_is_counted_with_its_allowance() {
    let mut built = site::build("Deck and stair");
    let without = flat(&mut built);
    assert!(without.contains("No allowance is stated"), "{without}");
    let job = built.site.job_subject();
    let one = Spare {
        sample: 1,
        scrap: 1,
        over: 1,
    };
    let allowances = Allowances {
        terminals: one,
        inserts: Spare {
            over: 1,
            ..Spare::default()
        },
        lock_nuts: one,
        scrap_strand_nm: 15_000_000_000,
        ..Allowances::default()
    };
    built.site.one(claim(JOB_ALLOWANCES, &job, &allowances));
    let text = flat(&mut built);
    let parts = section(&text, "Take-off: every part counted", "Batches and arrival");
    // 20 wires, one of each hand at each: 20 needed, with 1 + 1 + 1 allowed 23.
    for line in [
        "terminal, stud into insert LH 20 1 1 1 23",
        "terminal, stud into insert RH 20 1 1 1 23",
        "insert LH 20 – – 1 21",
        "lock nut RH 20 1 1 1 23",
        "15.000 m",
        "stated by Ann Dunmore",
        "40 for inserts",
    ] {
        assert!(parts.contains(line), "{line} in {parts}");
    }
}

/// Cuts made of run A add up to 86 815 mm; what was released counts where nothing was cut yet.
#[test]
fn metres_rest_on_the_lengths_that_were_told() {
    let mut built = site::build("Deck and stair");
    let wire = Subject::Wire(built.run_b, 1);
    let issue = CutIssue {
        cut_nm: 2_400_000_000,
        shortest_nm: 2_390_000_000,
        longest_nm: 2_410_000_000,
        deduction: None,
    };
    let before = total(&mut built);
    built
        .site
        .one(told(WIRE_CUT_ISSUED, &wire, "1", &issue, &Told::default()));
    let sheet = built.site.with(|source| {
        let sheet = records::work::cut_sheet(source.job, built.run_b).unwrap();
        sheet
            .lines
            .iter()
            .find(|l| l.wire == 1)
            .unwrap()
            .aim_mm
            .unwrap()
    });
    let after = total(&mut built);
    assert!(
        (after - before - (2400.0 - sheet)).abs() < 0.01,
        "{before} {after} {sheet}"
    );
}

fn total(built: &mut Built) -> f64 {
    built
        .site
        .with(|source| records::work::take_off(source.job).unwrap().strands[0].cuts_mm)
}

#[test]
fn holes_are_told_by_face_and_both_faces_of_a_rake_differ() {
    let mut built = site::build("Deck and stair");
    let set = built.site.with(|source| source.job.fitting_sets[0].id);
    let set = Subject::Item(ItemKind::FittingSet, set);
    built.site.one(claim(FITTING_THROUGH_HOLE, &set, &mm(9.0)));
    let text = flat(&mut built);
    let a = section(
        &text,
        "Run A: holes by post face",
        "Run A: lengths and cuts",
    );
    for told in [
        "A1 towards A2",
        "A2, A3, A4, A4a, A5, both faces",
        "A6 towards A5",
        "9 through, 90 long",
        "12 76 912 912 912",
    ] {
        assert!(a.contains(told), "{told} in {a}");
    }
    let b = section(
        &text,
        "Run B: holes by post face",
        "Run B: lengths and cuts",
    );
    // 35.45°: half of 90 mm is 32.0 up or down, half of 115 mm is 40.9; the stair falls from A6.
    for told in [
        "A6 towards B2 B2 towards A6 B2 towards B3 B3 towards B2",
        "9 × 42 deep, LH, falling",
        "1 – 52.1 125 61 133.9",
        "8 93 (75.8 square) 703.1 776 712 784.9",
        "not told by floor levels: the wires are taken to fall from A6",
    ] {
        assert!(b.contains(told), "{told} in {b}");
    }
    // Told floor levels turn the faces round.
    let levels = [(6, 0.0), (8, 1548.0)];
    for (post, level) in levels {
        let post = Subject::post(built.posts[post]);
        let mut draft = claim(POST_FLOOR, &post, &mm(level));
        draft.over = built.site.tips(&post, "floor", "");
        built.site.one(draft);
    }
    let text = flat(&mut built);
    let b = section(
        &text,
        "Run B: holes by post face",
        "Run B: lengths and cuts",
    );
    assert!(b.contains("1 – 133.9 61 125 52.1"), "{b}");
    assert!(!b.contains("not told by floor levels"), "{b}");
}

#[test]
fn a_rake_tells_the_distance_that_its_table_counts() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let drawing = section(&text, "2 Drawing as built", "3 Posts, fixings");
    // 985 level at a rise of 178 on 250: 985 × √(178² + 250²) ÷ 250 = 1209.2.
    assert!(drawing.contains("985 mm 1209.2 mm"), "{drawing}");
    assert!(
        drawing.contains("along the slope, as the wire runs"),
        "{drawing}"
    );
    assert!(drawing.contains("75.8 mm 1500 / 80 / 3 mm"), "{drawing}");
}

#[test]
fn the_first_two_pages_hold_what_an_inspector_reads() {
    let mut built = site::build("Deck and stair");
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let page = |n: &str| {
        let text = run(
            "pdftotext",
            &["-layout", "-f", n, "-l", n, "handover.pdf", "-"],
            &folder,
        );
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let first = page("1");
    for told in [
        "14 Quillback Rise, Port Hesper",
        "PH-2026-0417 of 2026-09-02",
        "Australia: housing barriers, 2022",
        "ABCB Housing Provisions Standard 2022, Part 11.3, 2022, print of 1 May 2023",
        "kept as Australia 2022",
        "Building class 1a",
        "A (level) 12 1020 mm 1500 / 80 / 3 mm 1330 N 1500 N 1800 N 1310 N −20 N",
        "wire 12, bay A2–A3, 2026-10-27, final",
        "Run A: below the required tension on wire 12",
        "tension Ann Dunmore, surveyor",
        "It judges nothing",
    ] {
        assert!(first.contains(told), "{told} on the first page: {first}");
    }
    let second = page("2");
    for told in [
        "2 Drawing as built",
        "Fall beside it 1602 mm",
        "height 1020 mm, at least 1000 mm asked",
        "Run A, seen from the deck.",
    ] {
        assert!(second.contains(told), "{told} on the second page: {second}");
    }
}

#[test]
fn sign_offs_stand_in_the_order_of_time_with_what_they_cover() {
    let mut built = site::build("Deck and stair");
    let job = built.site.job_subject();
    let person = built.site.person;
    // "before ordering" comes before "tension" by name and after it in time.
    let heads = built.site.with(|source| {
        let heads = source.job.reader.view.heads();
        heads
            .iter()
            .map(|(device, (n, hash))| Head {
                device: *device,
                n: *n,
                hash: *hash,
            })
            .collect::<Vec<_>>()
    });
    let covered = heads[0].n;
    let with = Told {
        program: "tautbook 0.1.0".into(),
        heads,
        ..Told::default()
    };
    let said = SignOff {
        statement: "Looked over late.".into(),
        person,
    };
    built
        .site
        .one(told(JOB_SIGN_OFF, &job, "beforeOrdering", &said, &with));
    let note = |site: &mut Site, text: &str| {
        let job = site.job_subject();
        site.one(placed(JOB_NOTE, &job, "", &text.to_owned()));
    };
    note(&mut built.site, "one more");
    note(&mut built.site, "and another");
    let text = flat(&mut built);
    for signed in [
        section(&text, "Signed", "This record shows"),
        section(&text, "17 Sign-offs", "18 Data and hashes"),
    ] {
        let tension = signed.find("tension").unwrap();
        let late = signed.find("before").unwrap();
        assert!(tension < late, "{signed}");
        assert!(signed.contains("2026-10-27"), "{signed}");
        assert!(signed.contains("2 entries since"), "{signed}");
        assert!(signed.contains("surveyor"), "{signed}");
    }
    assert!(
        text.contains(&format!("{covered} entries of 1 device")),
        "{text}"
    );
    assert!(
        text.contains(&format!("Ann Dunmore up to {covered}")),
        "{text}"
    );
    assert!(text.contains("(UTC+10:00)"), "{text}");
}

#[test]
fn a_figure_told_alike_at_several_stages_stands_once_and_names_them() {
    let mut built = site::build("Deck and stair");
    let (job, person) = (built.site.job_subject(), built.site.person);
    let number = |value: &str| Number {
        name: "clear from of run A".into(),
        value: value.into(),
        origin: "gauge of 4 %".into(),
    };
    for (stage, value) in [
        ("beforeOrdering", "1385 N"),
        ("gaps", "1385 N"),
        ("recheck", "1386 N"),
    ] {
        let said = SignOff {
            statement: format!("Said at {stage}."),
            person,
        };
        let with = Told {
            program: "tautbook 0.1.0".into(),
            numbers: vec![number(value)],
            ..Told::default()
        };
        built
            .site
            .one(told(JOB_SIGN_OFF, &job, stage, &said, &with));
    }
    let text = flat(&mut built);
    let signed = section(&text, "17 Sign-offs", "18 Data and hashes");
    let told = signed.find("Told when it was signed");
    let told = told.and_then(|at| signed.get(at..)).unwrap();
    assert_eq!(told.matches("1385 N").count(), 1, "{told}");
    assert_eq!(told.matches("1386 N").count(), 1, "{told}");
    assert!(told.contains("before ordering, gaps"), "{told}");
    let (alike, other) = (told.find("1385 N").unwrap(), told.find("1386 N").unwrap());
    assert!(
        alike < other && told.get(other..).unwrap().contains("recheck"),
        "{told}"
    );
}

#[test]
fn places_are_told_in_words_and_cautions_where_they_matter() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    assert!(!text.contains("endPostToWall"), "{text}");
    assert!(text.contains("end post to wall at A1,"), "{text}");
    for (from, to, caution) in [
        ("3 Posts, fixings", "4 Materials", "ask an engineer"),
        (
            "6 Sample crimp",
            "7 Template",
            "There is no way back after the press",
        ),
        ("7 Template check", "8 Engagement", "is not for cutting"),
        ("8 Engagement", "9 Tension", "Tight early means galling"),
        (
            "9 Tension",
            "10 Openings",
            "Over the upper tension (run A 1800 N, run B 1800 N): stop.",
        ),
        ("15 The edge", "16 Care", "there is no barrier here"),
        (
            "16 Care",
            "17 Sign-offs",
            "keep children away from it and call",
        ),
    ] {
        let part = section(&text, from, to);
        assert!(part.contains("CAUTION"), "{from}: {part}");
        assert!(part.contains(caution), "{from}: {part}");
    }
    // Made on 2026-11-11 in the scenario's zone: a year on.
    let care = section(&text, "16 Care", "17 Sign-offs");
    assert!(care.contains("Tension read again by 2027-11-11"), "{care}");
    assert!(care.contains("Gauge G-02 by 2027-08-18"), "{care}");
}

//! What is expected to be lost later, what was asked about it, and readings that turning overtook.

use records::model::context::{Number, OnPiece, Told};
use records::model::fields::{FITTING_EFFICIENCY, RUN_TENSIONS, STRAND_FIGURES, WIRE_TURNS};
use records::model::values::{Efficiency, StrandFigures, Turns};
use records::subject::{ItemKind, Subject};
use records::work;

use crate::common::site::{self, Built};
use crate::common::{claim, told};
use crate::told::{flat, section};

/// Decides the run's tensions anew, as they stand, after a question that was answered yes.
fn asked(built: &mut Built) {
    let run = Subject::run(built.run_a);
    let tensions = built
        .site
        .with(|source| source.job.runs[0].tensions.value().cloned().unwrap());
    let number = |name: &str, value: &str| Number {
        name: name.into(),
        value: value.into(),
        origin: "by who decided".into(),
    };
    let with = Told {
        program: "tautbook 0.1.0".into(),
        numbers: vec![
            number("set", "1500 N"),
            number(work::ASKED, "The set tension of 1500 N leaves no room."),
        ],
        ..Told::default()
    };
    let over = built.site.tips(&run, "tensions", "");
    let mut draft = told(RUN_TENSIONS, &run, "", &tensions, &with);
    draft.over = over;
    built.site.one(draft);
}

#[test]
fn later_loss_stands_beside_the_tension_and_on_the_first_page() {
    let mut built = site::build("Deck and stair");
    asked(&mut built);
    let run = built.run_a;
    let (later, must_show, least) = built.site.with(|source| {
        let read = work::tensions(source.job, run).unwrap();
        (
            work::recheck(source.job, run).unwrap(),
            read.must_show_n.unwrap(),
            read.least_finished_n().unwrap(),
        )
    });
    assert_eq!(later.missing, None);
    let (first, in_all) = (later.loss_n.unwrap(), later.loss_in_all_n.unwrap());
    let text = flat(&mut built);
    let part = section(&text, "9 Tension", "10 Openings");
    for words in [
        format!("Expected to be lost later, set to {:.0} N,", later.set_n.unwrap()),
        format!("up to {first:.0} N by the first recheck, up to {in_all:.0} N in all over the years"),
        // No figure above what the gauge may show under the upper tension.
        "No set tension within the upper 1800 N".to_owned(),
        "no set tension within the upper 1800 N makes room for that: only the yearly recheck".to_owned(),
        "Come back one to two weeks after tensioning".to_owned(),
        "Expected, not read. Made of: strand settles by".to_owned(),
        "(assumed, the most that is usual)".to_owned(),
        "! Asked before it was decided, and answered yes: The set tension of 1500 N leaves no room.".to_owned(),
    ] {
        assert!(part.contains(&words), "{words} in {part}");
    }
    assert_eq!((later.least_set_n, later.least_set_in_all_n), (None, None));
    assert!(!part.contains("would have to be set"), "{part}");
    assert_eq!(text.matches("leaves no room.").count(), 1);
    let open = section(&text, "Open", "Signed");
    let hand = (least - must_show).abs();
    let line = format!(
        "in hand, less than the up to {first:.0} N that may be lost by the first recheck and up to {in_all:.0} N over the years: read again"
    );
    assert!(
        open.contains(&format!("{hand:.0} N {line}")),
        "{line} in {open}"
    );
    let care = section(&text, "16 Care", "17 Sign-offs");
    assert!(care.contains("Run A, first recheck"), "{care}");
}

#[test]
fn readings_that_turning_overtook_are_open() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    assert!(!text.contains("turned: read again"), "{text}");
    let post = built.posts[0].to_string();
    let wire = Subject::Wire(built.run_a, 12);
    let on = OnPiece {
        piece: 1,
        entered: None,
        reason: None,
        lost_nm: None,
        to_mn: None,
    };
    let turns = Turns { turns: 0, flats: 6 };
    built.site.one(told(WIRE_TURNS, &wire, &post, &turns, &on));
    let text = flat(&mut built);
    let line = "Run A: wires 1–11 were read before wire 12 was turned: read again";
    let open = section(&text, "Open", "Signed");
    assert!(open.contains(line), "{open}");
    let part = section(&text, "9 Tension", "10 Openings");
    assert!(part.contains(&format!("! {line}.")), "{part}");
    // The owner's dates begin with what is due before any of them.
    let dates = section(&text, "Next dates", "For everyone");
    assert!(
        dates.contains("Run A, tension to be read, or read again"),
        "{dates}"
    );
}

/// 8500 N × 0.65 ÷ 3 are 1841.7 N, of which a gauge of 4 % tells 1800.
#[test]
fn an_upper_tension_below_its_limit_says_that_it_was_rounded_down() {
    let mut built = site::build("Deck and stair");
    let (strand, set, figures) = built.site.with(|source| {
        let strand = &source.job.strands[0];
        let set = source.job.fitting_sets[0].id;
        (strand.id, set, strand.figures.clone().unwrap())
    });
    let rounded = "rounded down to what the gauge tells";
    assert!(!flat(&mut built).contains(rounded));
    let strand = Subject::Item(ItemKind::Strand, strand);
    let over = built.site.tips(&strand, STRAND_FIGURES.name, "");
    let told = StrandFigures {
        breaking_mn: Some(8_500_000),
        ..figures
    };
    let mut draft = claim(STRAND_FIGURES, &strand, &told);
    draft.over = over;
    built.site.one(draft);
    let efficiency = Efficiency {
        permille: 650,
        factor_percent: 300,
    };
    let set = Subject::Item(ItemKind::FittingSet, set);
    built.site.one(claim(FITTING_EFFICIENCY, &set, &efficiency));
    let text = flat(&mut built);
    let line = format!("8500 N × 0.65 ÷ 3; 1841.7 N {rounded}");
    for (from, to) in [("1 Summary", "Open"), ("9 Tension", "10 Openings")] {
        let part = section(&text, from, to);
        assert!(part.contains(&line), "{line} in {part}");
    }
}

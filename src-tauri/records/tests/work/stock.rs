//! Strand in stock: a reel that by the record has not come, or came wrong, is not planned from.

use records::model::fields;
use records::model::values::{Arrival, BatchKind, CutMade, CuttingRules, Day, Length};
use records::subject::{ItemKind, Subject};
use records::work::{CutPlan, StockItem, StockState, cut_plan, odd_source, stock};

use crate::scene::{Scene, measured, mm, on_piece};

const DAY: &str = "2027-03-01";

fn day(text: &str) -> Day {
    Day::try_from(text.to_owned()).unwrap()
}

/// A reel of 60 m of which nothing but that is told.
fn reel(s: &mut Scene, name: &str) -> Subject {
    let id = s.create(ItemKind::Batch, fields::BATCH_CREATED);
    let batch = Subject::Item(ItemKind::Batch, id);
    s.say(fields::BATCH_NAME, &batch, "", name.to_owned(), None);
    s.say(fields::BATCH_KIND, &batch, "", BatchKind::Strand, None);
    s.say(fields::BATCH_METRES, &batch, "", mm(60_000.0), None);
    batch
}

fn promised(s: &mut Scene, name: &str) -> Subject {
    let batch = reel(s, name);
    s.say(fields::BATCH_PROMISED, &batch, "", day(DAY), None);
    batch
}

fn counted(counted: i64, wrong: Option<i64>) -> Arrival {
    Arrival {
        counted_left: counted,
        counted_right: 0,
        tried: false,
        remark: String::new(),
        short: None,
        wrong,
    }
}

fn arrives(s: &mut Scene, batch: &Subject, arrival: Arrival) {
    s.say(fields::BATCH_ARRIVAL, batch, "", arrival, None);
}

/// Says an arrival beside the one that stands, as another who did not know of it.
fn differs(s: &mut Scene, batch: &Subject, arrival: Arrival) {
    let field = fields::BATCH_ARRIVAL;
    s.say_over(field, batch, "", Some(arrival), None, Vec::new());
}

fn item(s: &mut Scene, batch: &Subject) -> StockItem {
    let id = batch.to_string();
    let items = s.with_job(|job| stock(job).items);
    items.into_iter().find(|item| item.id == id).unwrap()
}

fn problem(s: &mut Scene, batch: &Subject) -> String {
    item(s, batch).problem.unwrap_or_default()
}

fn cut_from(s: &mut Scene, wire: u32, batch: &Subject) {
    let Subject::Item(_, id) = batch else {
        panic!("{batch} is no delivery")
    };
    let cut = CutMade {
        nm: mm(7235.0).nm,
        batch: Some(*id),
        offcut: None,
    };
    let wire = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_CUT, &wire, "1", cut, Some(on_piece(1)));
}

fn plan(s: &mut Scene) -> CutPlan {
    s.with_job(|job| cut_plan(job).unwrap())
}

/// Names of what wires are planned from.
fn sources(plan: &CutPlan) -> Vec<String> {
    let groups = plan.strands.iter().flat_map(|strand| &strand.groups);
    groups.map(|group| group.name.clone()).collect()
}

#[test]
fn a_promised_reel_is_planned_from_once_its_arrival_is_told_and_not_ordered_twice() {
    let mut s = measured();
    let (a, batch) = (s.a, promised(&mut s, "R-8"));
    s.release(a, 6);
    let named =
        "Not come by the record: R-8 (60 m, promised for 2027-03-01). Do not order it twice.";
    let waits = plan(&mut s);
    assert_eq!(sources(&waits), Vec::<String>::new());
    assert_eq!(waits.strands[0].no_stock.len(), 1);
    assert_eq!(waits.strands[0].sentence, named);
    let why = "R-8 is promised for 2027-03-01 and no arrival is told";
    assert!(waits.notes.iter().any(|note| note.starts_with(why)));

    // A reel to order stands in the plan; that one is on its way is said beside it.
    let rules = CuttingRules {
        new_reel_nm: Some(mm(30_000.0).nm),
        ..CuttingRules::default()
    };
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_CUTTING, &job, "", rules, None);
    let to_order = plan(&mut s);
    let strand = &to_order.strands[0];
    let reels = strand.reels.as_ref().unwrap();
    assert_eq!((reels.to_order, reels.planned), (true, 1));
    assert!(strand.sentence.ends_with(named), "{}", strand.sentence);

    arrives(&mut s, &batch, counted(1, None));
    let there = plan(&mut s);
    assert_eq!(sources(&there), ["R-8"]);
    let sentence = &there.strands[0].sentence;
    assert!(!sentence.contains("Not come"), "{sentence}");
    assert_eq!(item(&mut s, &batch).problem, None);
}

#[test]
fn what_is_there_follows_from_the_arrival_and_without_one_from_the_order() {
    let mut s = measured();
    // Of a reel of which nothing is told but its metres nobody asks for an arrival.
    let plain = reel(&mut s, "R-1");
    assert_eq!(item(&mut s, &plain).state, StockState::Whole);
    s.say(fields::BATCH_ORDERED, &plain, "", 0, None);
    assert_eq!(item(&mut s, &plain).state, StockState::Whole);
    s.say(fields::BATCH_ORDERED, &plain, "", 1, None);
    assert_eq!(item(&mut s, &plain).state, StockState::NotCome);
    let told = problem(&mut s, &plain);
    assert!(
        told.starts_with("R-1 is ordered and no arrival is told"),
        "{told}"
    );

    for (arrival, state, says) in [
        (counted(1, None), StockState::Whole, ""),
        (counted(2, Some(1)), StockState::Whole, ""),
        (
            counted(0, None),
            StockState::NotCome,
            "None of R-1 was counted on arrival",
        ),
        (
            counted(0, Some(1)),
            StockState::Wrong,
            "R-1 is told as wrong on arrival",
        ),
        (
            counted(1, Some(1)),
            StockState::Wrong,
            "R-1 is told as wrong on arrival",
        ),
    ] {
        arrives(&mut s, &plain, arrival.clone());
        assert_eq!(item(&mut s, &plain).state, state, "{arrival:?}");
        let told = problem(&mut s, &plain);
        assert!(told.starts_with(says), "{told}");
        assert_eq!(told.is_empty(), says.is_empty(), "{told}");
    }
    // Taken back, the order stands again.
    let over = s.tips("arrival", &plain, "");
    let field = fields::BATCH_ARRIVAL;
    s.say_over(field, &plain, "", None, None, over);
    assert_eq!(item(&mut s, &plain).state, StockState::NotCome);
    // What else is missing is told with it.
    let over = s.tips("metres", &plain, "");
    let gone = None::<Length>;
    s.say_over(fields::BATCH_METRES, &plain, "", gone, None, over);
    let told = problem(&mut s, &plain);
    assert!(
        told.contains("no arrival is told") && told.contains("metres of R-1"),
        "{told}"
    );
}

#[test]
fn an_arrival_that_people_differ_on_is_planned_from_where_all_say_that_it_came() {
    let mut s = measured();
    let batch = promised(&mut s, "R-8");
    arrives(&mut s, &batch, counted(1, None));
    differs(&mut s, &batch, counted(2, None));
    assert_eq!(item(&mut s, &batch).state, StockState::Whole);
    differs(&mut s, &batch, counted(0, None));
    assert_eq!(item(&mut s, &batch).state, StockState::NotKnown);
    let told = problem(&mut s, &batch);
    assert!(
        told.starts_with("People differ on the arrival of R-8"),
        "{told}"
    );
    // Both days of a promise that people differ on are told.
    let other = promised(&mut s, "R-9");
    let later = Some(day("2027-03-08"));
    s.say_over(fields::BATCH_PROMISED, &other, "", later, None, Vec::new());
    let told = problem(&mut s, &other);
    assert!(told.contains("2027-03-01 or 2027-03-08"), "{told}");
}

#[test]
fn a_reel_that_was_cut_from_is_there_unless_it_came_wrong() {
    let mut s = measured();
    let batch = promised(&mut s, "R-8");
    cut_from(&mut s, 1, &batch);
    assert_eq!(item(&mut s, &batch).state, StockState::Started);
    arrives(&mut s, &batch, counted(0, None));
    assert_eq!(item(&mut s, &batch).state, StockState::Started);
    assert_eq!(item(&mut s, &batch).problem, None);
    arrives(&mut s, &batch, counted(1, Some(1)));
    assert_eq!(item(&mut s, &batch).state, StockState::Wrong);
}

#[test]
fn a_reel_of_another_strand_is_asked_about_where_its_strand_is_agreed() {
    let mut s = measured();
    let batch = reel(&mut s, "R-4");
    let other = s.create(ItemKind::Strand, fields::STRAND_CREATED);
    let name = "4 mm".to_owned();
    let strand = Subject::Item(ItemKind::Strand, other);
    s.say(fields::STRAND_NAME, &strand, "", name, None);
    let asked = |s: &mut Scene| {
        let (a, from) = (s.a, item(s, &batch));
        s.with_job(|job| odd_source(job, job.run(a).unwrap(), &from))
    };
    assert_eq!(asked(&mut s), Vec::<String>::new());
    s.say(fields::BATCH_STRAND, &batch, "", other, None);
    let told = asked(&mut s);
    assert!(
        told[0].contains("R-4 is told as another strand (4 mm)"),
        "{told:?}"
    );
    // Where people differ on it, that is what is settled first.
    let own = Some(s.strand);
    s.say_over(fields::BATCH_STRAND, &batch, "", own, None, Vec::new());
    assert_eq!(asked(&mut s), Vec::<String>::new());
}

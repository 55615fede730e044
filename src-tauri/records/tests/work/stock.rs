//! Strand in stock: a reel that by the record has not come, or came wrong, is not planned from, and what was cut
//! from it is named. One file past 400 lines, since all of it is told of the same reels.

use records::ids::{Hash, ItemId};
use records::model::fields;
use records::model::values::{
    Arrival, BatchKind, CutMade, CuttingRules, Day, Length, OffcutOf, Piece,
};
use records::subject::{ItemKind, Subject};
use records::work::{
    CutPlan, EvidenceState, StockItem, StockState, cut_plan, lacks, odd_delivery, odd_source, stock,
};

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

/// Takes a wire's first piece out, for its own second one.
fn taken_out(s: &mut Scene, wire: u32) -> Hash {
    let piece = Piece {
        number: 2,
        reason: "kinked".into(),
    };
    let subject = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_PIECE, &subject, "", piece, None);
    s.tips("piece", &subject, "")[0]
}

fn keep(s: &mut Scene, wire: u32) {
    let subject = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_KEPT, &subject, "1", mm(7_000.0), None);
}

/// What is kept of a wire's first piece, as the stock tells it.
fn kept(s: &mut Scene, wire: u32) -> Option<StockItem> {
    let id = format!("{}/1", Subject::Wire(s.a, wire));
    let items = s.with_job(|job| stock(job).items);
    items.into_iter().find(|item| item.id == id)
}

fn other_strand(s: &mut Scene) -> ItemId {
    let other = s.create(ItemKind::Strand, fields::STRAND_CREATED);
    let strand = Subject::Item(ItemKind::Strand, other);
    s.say(fields::STRAND_NAME, &strand, "", "4 mm".to_owned(), None);
    other
}

#[test]
fn what_is_kept_of_a_piece_is_what_it_was_cut_from() {
    let mut s = measured();
    let (own, other) = (s.strand, other_strand(&mut s));
    let right = reel(&mut s, "R-3");
    let thick = reel(&mut s, "R-4");
    let wrong = reel(&mut s, "R-5");
    s.say(fields::BATCH_STRAND, &thick, "", other, None);
    for (wire, from) in [(10, &right), (11, &thick), (12, &wrong)] {
        cut_from(&mut s, wire, from);
        taken_out(&mut s, wire);
        keep(&mut s, wire);
    }
    arrives(&mut s, &wrong, counted(1, Some(1)));
    let of = |s: &mut Scene, wire| kept(s, wire).unwrap();
    let (ten, eleven) = (of(&mut s, 10), of(&mut s, 11));
    assert_eq!((ten.strand, ten.state), (Some(own), StockState::Whole));
    assert_eq!(
        (eleven.strand, eleven.state),
        (Some(other), StockState::Whole)
    );
    let twelve = of(&mut s, 12);
    assert_eq!(twelve.state, StockState::Wrong);
    let why = twelve.problem.unwrap();
    assert!(why.starts_with("R-5 is told as wrong on arrival"), "{why}");
    // Only what is right is planned from.
    let b = s.b;
    for wire in 1..=8 {
        s.release(b, wire);
    }
    let mut planned = sources(&plan(&mut s));
    planned.sort();
    planned.dedup();
    assert_eq!(planned, ["A10, taken out", "R-3"]);
    // Where people differ on the reel's strand, or on the reel, nobody knows what it is.
    s.say_over(
        fields::BATCH_STRAND,
        &thick,
        "",
        Some(own),
        None,
        Vec::new(),
    );
    let told = of(&mut s, 11);
    assert_eq!((told.strand, told.state), (None, StockState::NotKnown));
    let Subject::Item(_, wrong) = wrong else {
        panic!("a delivery")
    };
    let cut = CutMade {
        nm: mm(7235.0).nm,
        batch: Some(wrong),
        offcut: None,
    };
    let wire = Subject::Wire(s.a, 10);
    s.say_over(
        fields::WIRE_CUT,
        &wire,
        "1",
        Some(cut),
        Some(on_piece(1)),
        Vec::new(),
    );
    let told = of(&mut s, 10);
    assert_eq!(told.state, StockState::NotKnown);
    let why = told.problem.unwrap();
    assert!(
        why.starts_with("People differ on what A10 was cut from"),
        "{why}"
    );
}

#[test]
fn a_remake_that_is_taken_back_leaves_nothing_in_stock() {
    let mut s = measured();
    let batch = reel(&mut s, "R-3");
    cut_from(&mut s, 11, &batch);
    let made = taken_out(&mut s, 11);
    keep(&mut s, 11);
    assert_eq!(kept(&mut s, 11).unwrap().state, StockState::Whole);
    let eleven = Subject::Wire(s.a, 11);
    s.say_over(fields::WIRE_PIECE, &eleven, "", None, None, vec![made]);
    assert_eq!(kept(&mut s, 11), None);
    // What was cut from it all the same is not lost, and asked about.
    let cut = CutMade {
        nm: mm(2_500.0).nm,
        batch: None,
        offcut: Some(OffcutOf {
            wire: eleven,
            piece: 1,
        }),
    };
    let one = Subject::Wire(s.b, 1);
    s.say(fields::WIRE_CUT, &one, "1", cut, Some(on_piece(1)));
    let told = kept(&mut s, 11).unwrap();
    assert_eq!((told.state, told.cuts.len()), (StockState::NotKnown, 1));
    let why = told.problem.unwrap();
    assert!(why.starts_with("A11 is in its place again"), "{why}");
}

/// What is lacking of the strand that wires were cut from.
fn lacking(s: &mut Scene) -> Vec<String> {
    let items = s.with_job(|job| lacks(job).unwrap().items);
    let of_strand = items
        .into_iter()
        .filter(|item| item.key.starts_with("strand/"));
    of_strand
        .map(|item| {
            assert_eq!(item.state, EvidenceState::Lacking);
            item.detail
        })
        .collect()
}

#[test]
fn a_delivery_that_is_told_wrong_after_it_was_cut_from_names_its_wires() {
    let mut s = measured();
    let other = other_strand(&mut s);
    let batch = reel(&mut s, "R-3");
    for wire in [1, 2, 3, 7, 9] {
        cut_from(&mut s, wire, &batch);
    }
    // One that was taken out is in no barrier.
    taken_out(&mut s, 9);
    let asks = |s: &mut Scene, field: &str, value: serde_json::Value| {
        s.with_job(|job| odd_delivery(job, &batch, field, &value))
    };
    let wrong = |wrong| serde_json::to_value(counted(1, wrong)).unwrap();
    assert_eq!(asks(&mut s, "arrival", wrong(None)), None);
    let own = serde_json::json!(s.strand);
    assert_eq!(asks(&mut s, "strand", own), None);
    assert_eq!(lacking(&mut s), Vec::<String>::new());

    let asked = asks(&mut s, "strand", serde_json::json!(other)).unwrap();
    let cut = "A1–3, 7 were cut from R-3";
    assert!(
        asked.starts_with(&format!(
            "{cut}: that is told as 4 mm, and run A is made of "
        )),
        "{asked}"
    );
    s.say(fields::BATCH_STRAND, &batch, "", other, None);
    let told = lacking(&mut s);
    assert_eq!(told.len(), 1);
    assert!(told[0].starts_with(cut), "{told:?}");
    assert!(
        told[0].contains("wires of another strand are made anew"),
        "{told:?}"
    );
    assert!(problem(&mut s, &batch).starts_with(cut));

    let asked = asks(&mut s, "arrival", wrong(Some(1))).unwrap();
    let would = "which would be told as wrong. Is that so?";
    assert!(asked.starts_with(cut) && asked.contains(would), "{asked}");
    arrives(&mut s, &batch, counted(1, Some(1)));
    let told = lacking(&mut s);
    assert!(
        told[0].starts_with(&format!("{cut}, which is told as wrong.")),
        "{told:?}"
    );
    assert!(problem(&mut s, &batch).contains(&told[0]));
    // Taken back it names them still.
    let over = s.tips("created", &batch, "");
    let created = s.say_over(fields::BATCH_CREATED, &batch, "", None, None, over);
    let told = lacking(&mut s);
    let cut_from = cut.trim_end_matches("R-3");
    let taken_back = format!("{cut_from}a delivery that is taken back.");
    assert!(told[0].starts_with(&taken_back), "{told:?}");
    // What is kept of the one that was taken out is planned from no more.
    keep(&mut s, 9);
    let nine = kept(&mut s, 9).unwrap();
    assert_eq!(nine.state, StockState::NotKnown);
    let why = nine.problem.unwrap();
    assert!(why.contains("a delivery that is taken back"), "{why}");
    s.say_over(
        fields::BATCH_CREATED,
        &batch,
        "",
        Some(true),
        None,
        vec![created],
    );
    // Where none of its wires is in place nothing is lacking.
    for wire in [1, 2, 3, 7] {
        taken_out(&mut s, wire);
    }
    assert_eq!(lacking(&mut s), Vec::<String>::new());
}

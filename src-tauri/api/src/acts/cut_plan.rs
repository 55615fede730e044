//! The cut plan: ticked off by batch, stock corrected by what was scrapped or kept, labels.
//!
//! Invariant: a batch is ticked off as it was seen, whole or not at all: each wire is still to be
//! cut, at that length, and its reel or offcut has enough left, or a person said so.

use std::collections::BTreeSet;

use records::Record;
use records::entry::At;
use records::ids::{BookId, ItemId};
use records::job::{Job, Run, Wire};
use records::model::context::{OnPiece, Said};
use records::model::fields;
use records::model::values::{CutMade, Length, OffcutOf, TakenOutFor};
use records::subject::Subject;
use records::work::{
    self, CutLabel, PieceOut, Stands, Stock, StockItem, StockState, Taking, Unlabelled,
};

use super::asked::{Question, answered, ask_of_wires};
use super::cutting::{Cut, OfPiece, asked_of_moved, tick_off};
use super::layout::run_in;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::cut_plan::{CutBatch, CutOne, KeepOffcut, ScrapStrand};
use crate::handlers::item;
use crate::handlers::measure::Typed;
use crate::{ApiError, ErrorCode};

/// Most cuts in one act.
const MOST: usize = 2000;

/// Ticks off wires as cut, each with the reel or offcut that it came from.
pub(crate) fn batch(
    record: &mut Record,
    job: BookId,
    request: &CutBatch,
) -> Result<Acted, ApiError> {
    if request.cuts.is_empty() || request.cuts.len() > MOST {
        return Err(ApiError::invalid(format!(
            "Name 1 to {MOST} cuts. Nothing was ticked."
        )));
    }
    let found = looked_over(&record.job(job)?, job, request)?;
    if !request.confirmed {
        let asked: Vec<&Question> = found.iter().flat_map(|(_, _, asked)| asked).collect();
        ask_of_wires(&[], &asked, "Tick all the same?")?;
    }
    let mut act = Act::default();
    for (of, cut, asked) in found {
        tick_off(&mut act, record, of, &cut, answered(&[], &asked))?;
    }
    act.record(record, job)
}

/// Looks every cut over before the first is ticked, taking each off what is left by then; with what
/// only a person can answer.
fn looked_over(
    job: &Job<'_>,
    id: BookId,
    request: &CutBatch,
) -> Result<Vec<(OfPiece, Cut, Vec<Question>)>, ApiError> {
    let stock = work::stock(job);
    let stands = Stands::of(job);
    let mut taking = Taking::of(&stock);
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for one in &request.cuts {
        let of = OfPiece {
            job: id,
            run: item(&one.run)?,
            wire: one.wire,
            piece: one.piece,
        };
        if !seen.insert((of.run, of.wire)) {
            return Err(ApiError::invalid(format!(
                "Wire {} stands twice in this batch. Nothing was ticked.",
                one.wire
            )));
        }
        let run = run_in(job, of.run)?;
        let wire = wire_as_seen(run, one)?;
        let (made, from) = made_from(&stock, run, wire, one)?;
        let (lost, short) = taking.take(&one.stock, made.nm);
        let lost_nm = Some(lost);
        let asked = asked_of_moved(job, run, wire, &stands).into_iter();
        let asked = asked.chain(work::odd_source(job, run, from));
        let asked = asked.chain(short.map(|short| short.to_string()));
        let wire = format!("{}{}", run.name, wire.number);
        let asked = asked.map(|what| Question {
            wire: wire.clone(),
            what,
        });
        let asked = asked.collect();
        let cut = Cut {
            made,
            lost_nm,
            entered: None,
        };
        found.push((of, cut, asked));
    }
    Ok(found)
}

fn changed(what: &str) -> ApiError {
    let told = format!("{what} Look at the plan again. Nothing was ticked.");
    ApiError::new(ErrorCode::Changed, told)
}

/// The wire, where it is still to be cut as it was seen.
fn wire_as_seen<'a>(run: &'a Run, one: &CutOne) -> Result<&'a Wire, ApiError> {
    let name = format!("{}{}", run.name, one.wire);
    let wire = run.wire(one.wire).ok_or_else(|| {
        ApiError::invalid(format!("There is no wire {name}. Nothing was ticked."))
    })?;
    if wire.cut.blocks() || wire.issued.blocks() || wire.piece.blocks() {
        return Err(ApiError::new(
            ErrorCode::Disputed,
            format!("People differ on {name}. Settle that first. Nothing was ticked."),
        ));
    }
    if wire.piece_number != one.piece {
        return Err(changed(&format!(
            "{name} is at piece {} now, not {}.",
            wire.piece_number, one.piece
        )));
    }
    if wire.cut.value().is_some() {
        return Err(changed(&format!("{name} is ticked as cut already.")));
    }
    Ok(wire)
}

/// The cut to record with what it comes from, where release and reel are still as they were seen.
fn made_from<'a>(
    stock: &'a Stock,
    run: &Run,
    wire: &Wire,
    one: &CutOne,
) -> Result<(CutMade, &'a StockItem), ApiError> {
    let name = format!("{}{}", run.name, one.wire);
    let Some(issued) = wire.issued.value() else {
        return Err(ApiError::invalid(format!(
            "{name} was not released for cutting. Release it on the cut sheet first. Nothing was \
             ticked."
        )));
    };
    if issued.cut_nm != Length::from_mm(one.cut_mm).nm {
        return Err(changed(&format!(
            "The cut of {name} is {} mm now and was {} mm when it was shown.",
            Length { nm: issued.cut_nm }.as_mm(),
            one.cut_mm
        )));
    }
    let Some(from) = stock.items.iter().find(|s| s.id == one.stock) else {
        return Err(changed("That reel or offcut is no longer there."));
    };
    if from.strand != run.strand && from.strand.is_some() {
        return Err(ApiError::invalid(format!(
            "{} is another strand than {name} is made of. Nothing was ticked.",
            from.name
        )));
    }
    let made = CutMade {
        nm: issued.cut_nm,
        batch: from.batch,
        offcut: piece_of_stock(from),
    };
    Ok((made, from))
}

/// The piece that an offcut is of; none for a delivery.
fn piece_of_stock(from: &StockItem) -> Option<OffcutOf> {
    let (wire, piece) = from.id.rsplit_once('/')?;
    Some(OffcutOf {
        wire: wire.parse().ok()?,
        piece: piece.parse().ok()?,
    })
}

/// Records strand thrown away uncut: an offcut whole, a length of a delivery.
pub(crate) fn scrap(
    record: &mut Record,
    job: BookId,
    request: &ScrapStrand,
    reason: String,
) -> Result<Acted, ApiError> {
    let items = work::stock(&record.job(job)?).items;
    let found = items.into_iter().find(|s| s.id == request.stock);
    let none = || ApiError::new(ErrorCode::NotFound, "There is no such reel or offcut.");
    let from = found.ok_or_else(none)?;
    match piece_of_stock(&from) {
        Some(_) if request.length.is_some() => Err(ApiError::invalid(format!(
            "{} is thrown away whole, or keep another length of it. Nothing was saved.",
            from.name
        ))),
        Some(of) => {
            let with = kept(of.piece, None, Some(reason));
            keep(record, job, of.wire, None, &with)
        }
        None => scrap_length(record, job, &from, request.length.as_ref(), reason),
    }
}

fn scrap_length(
    record: &mut Record,
    job: BookId,
    from: &StockItem,
    typed: Option<&Typed>,
    reason: String,
) -> Result<Acted, ApiError> {
    let length = thrown_away(from, typed)?;
    let batch: Subject = from.id.parse()?;
    let with = Said {
        entered: typed.map(Typed::entered),
        origin: None,
        reason: Some(reason),
    };
    let mut act = Act::default();
    act.claim(
        fields::BATCH_SCRAPPED,
        batch,
        "",
        Some(&length),
        &with,
        Earlier::none(),
    )?;
    act.record(record, job)
}

/// How much of a delivery is thrown away: all that is left, where nobody says.
fn thrown_away(from: &StockItem, typed: Option<&Typed>) -> Result<Length, ApiError> {
    let left = Length::from_mm(from.left_mm);
    if matches!(from.state, StockState::NotKnown | StockState::NotCome) {
        return Err(ApiError::invalid(format!(
            "{} Nothing was saved.",
            from.problem
                .as_deref()
                .unwrap_or("Its length is not known.")
        )));
    }
    let length = typed.map_or(Ok(left), Typed::length)?;
    if length > left || left.nm == 0 {
        return Err(ApiError::invalid(format!(
            "{} has {} mm left. Nothing was saved.",
            from.name, from.left_mm
        )));
    }
    Ok(length)
}

/// Keeps a length of a piece that was taken out; no more than was cut.
pub(crate) fn keep_offcut(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &KeepOffcut,
    length: Length,
) -> Result<Acted, ApiError> {
    let stock = work::stock(&record.job(job)?);
    let asked = (run, request.wire, request.piece);
    let mut taken_out = stock.taken_out.iter();
    let Some(out) = taken_out.find(|out| (out.run, out.wire, out.piece) == asked) else {
        return Err(ApiError::invalid(
            "That piece was not cut, or is still in its place. Nothing was saved.",
        ));
    };
    if length > Length::from_mm(out.cut_mm) {
        return Err(ApiError::invalid(format!(
            "{} was cut at {} mm; no more of it can be kept. Nothing was saved.",
            out.name, out.cut_mm
        )));
    }
    let asked = odd_offcut(out, length);
    if !request.confirmed {
        ask_of_wires(&asked, &[], "Keep it all the same?")?;
    }
    let wire = Subject::Wire(run, request.wire);
    let why = answered(&asked, &[]);
    let with = kept(request.piece, Some(request.length.entered()), why);
    keep(record, job, wire, Some(&length), &with)
}

/// What is doubtful about a length that is kept of a piece: scrap, and strand that sits in a terminal.
fn odd_offcut(out: &PieceOut, length: Length) -> Vec<String> {
    let kinked = (out.cause == Some(TakenOutFor::Kinked)).then(|| {
        format!(
            "{} was taken out as kinked, and a kinked wire is scrap (common practice): a length without the kink \
             alone can be used.",
            out.name
        )
    });
    let free = out.cut_mm - IN_TERMINAL_MM * f64::from(out.pressed_ends);
    let whole = (out.pressed_ends > 0 && length > Length::from_mm(free)).then(|| {
        format!(
            "{} was cut at {} mm and is ticked as pressed: what sits in a terminal is cut off with it, and {} mm \
             is hardly less.",
            out.name,
            out.cut_mm,
            length.as_mm()
        )
    });
    kinked.into_iter().chain(whole).collect()
}

/// Strand that a pressed terminal holds at the least, millimetres (an assumption of the project).
const IN_TERMINAL_MM: f64 = 15.0;

fn kept(piece: u32, entered: Option<String>, reason: Option<String>) -> OnPiece {
    OnPiece {
        piece,
        lost_nm: None,
        to_mn: None,
        entered,
        reason,
    }
}

/// Says what is kept of a piece; none where it is thrown away.
fn keep(
    record: &mut Record,
    job: BookId,
    wire: Subject,
    length: Option<&Length>,
    with: &OnPiece,
) -> Result<Acted, ApiError> {
    let field = fields::WIRE_KEPT;
    let place = with.piece.to_string();
    let over = tips(record, job, &wire, field.name, &place)?;
    let mut act = Act::default();
    act.claim(field, wire, &place, length, with, Earlier::over(over))?;
    act.record(record, job)
}

/// Labels to write, with the job's title and the time.
pub(crate) struct Labels {
    /// Title of the job.
    pub(crate) title: String,
    /// That its users changed the rule set; none where nobody did.
    pub(crate) rules: Option<String>,
    /// One a wire, in the order of the plan.
    pub(crate) labels: Vec<CutLabel>,
    /// Released wires that have none.
    pub(crate) left_out: Vec<Unlabelled>,
    /// When they were made.
    pub(crate) made: At,
}

/// Why there is nothing to label, and what to do.
fn nothing_to_label(job: &Job<'_>, cut: bool, left_out: &[Unlabelled]) -> String {
    let wires = job.runs.iter().flat_map(|run| &run.wires);
    let all_cut = wires
        .map(|wire| wire.cut.value().is_some())
        .reduce(|all, one| all && one);
    if all_cut == Some(true) {
        return match cut {
            true => "Every wire is cut and fitted: there is nothing to label.",
            false => {
                "Every wire is cut, so there is nothing to label. Those of wires that are cut and not \
                 fitted yet are asked for by themselves; on the command line with --cut."
            }
        }
        .to_owned();
    }
    let released: Vec<String> = left_out
        .iter()
        .map(|one| format!("{}: {}", one.names, one.reason))
        .collect();
    match released.is_empty() {
        true => {
            "No wire is planned, so there is nothing to label. Release wires on the cut sheet and \
                 enter the strand under Deliveries first."
                .to_owned()
        }
        false => format!(
            "No wire is planned, so there is nothing to label. {}",
            released.join(" ")
        ),
    }
}

/// Labels of the planned wires; refuses where there is none.
pub(crate) fn labels(record: &mut Record, job: BookId, cut: bool) -> Result<Labels, ApiError> {
    let made = records::clock::next_at(record.clock(), None);
    let job = record.job(job)?;
    let plan = work::cut_plan(&job)?;
    let labels = work::cut_labels(&job, &plan, cut);
    let left_out = work::unlabelled(&job, &plan);
    if labels.is_empty() {
        return Err(ApiError::invalid(nothing_to_label(&job, cut, &left_out)));
    }
    let title = job.reader.one(fields::JOB_TITLE, &job.subject(), "");
    Ok(Labels {
        title: title.label(),
        rules: work::changed_rules(&job),
        labels,
        left_out,
        made,
    })
}

//! Ticks of acts on wires, one or many at a time, and the cuts that they record.
//!
//! Invariant: a wire whose ground moved since its release is not ticked as cut without a question,
//! nor one from a reel of another strand, that has not come or has not enough left, and no tick that
//! contradicts what is known; a yes to that stands with the tick.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::{Job, Run, Wire, WireLength};
use records::model::context::OnPiece;
use records::model::fields;
use records::model::values::{Act as Tick, CutMade, Length};
use records::subject::{ItemKind, Subject};
use records::work::{self, CutLine, RefusalCode, Stands, Taking};

use crate::acts::asked::{Question, answered, ask_of_wires};
use crate::acts::layout::run_in;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::cutting::TickWires;
use crate::handlers::measure::Typed;
use crate::{ApiError, ErrorCode};

/// A piece of strand of a wire.
#[derive(Clone, Copy, Debug)]
pub(in crate::acts) struct OfPiece {
    pub(in crate::acts) job: BookId,
    pub(in crate::acts) run: ItemId,
    pub(in crate::acts) wire: u32,
    pub(in crate::acts) piece: u32,
}

/// The cut that a tick records.
pub(in crate::acts) struct Cut {
    pub(in crate::acts) made: CutMade,
    /// What was lost at it, where its reel is known.
    pub(in crate::acts) lost_nm: Option<i64>,
    /// Its length as it was typed, of a cut on site.
    pub(in crate::acts) entered: Option<String>,
}

/// Ticks an act off for wires, in any order; a tick of cutting needs a release of each wire.
pub(crate) fn tick(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    numbers: &[u32],
    batch: Option<ItemId>,
    request: &TickWires,
) -> Result<Acted, ApiError> {
    let on_site = request.on_site.as_ref();
    if on_site.is_some() && !(request.done && request.act == Tick::Cut) {
        return Err(ApiError::invalid(
            "Only a cut has a length on site. Nothing was ticked.",
        ));
    }
    // A cut on site follows no trial wire: nothing is worked out from one.
    let odd = match request.done && on_site.is_none() {
        true => {
            let job = record.job(job)?;
            work::odd_ticks(&job, run_in(&job, run)?, request.act, numbers)
        }
        false => Vec::new(),
    };
    let found = looked_over(&record.job(job)?, run, numbers, batch, request)?;
    if !request.confirmed {
        let asked: Vec<&Question> = found.iter().flat_map(|one| &one.asked).collect();
        let last = match on_site {
            Some(_) => "Keep it as cut all the same?",
            None => "Tick all the same?",
        };
        ask_of_wires(&odd, &asked, last)?;
    }
    let mut act = Act::default();
    for one in found {
        let of = OfPiece {
            job,
            run,
            wire: one.wire,
            piece: one.piece,
        };
        let reason = answered(&odd, &one.asked);
        claim_done(&mut act, record, of, request.act, request.done, reason)?;
        if request.act == Tick::Cut {
            claim_cut(&mut act, record, of, one.cut.as_ref())?;
        }
    }
    act.record(record, job)
}

/// A wire to tick.
struct ToTick {
    wire: u32,
    piece: u32,
    /// The cut, where it is one.
    cut: Option<Cut>,
    asked: Vec<Question>,
}

/// Looks every wire over before the first is ticked.
fn looked_over(
    job: &Job<'_>,
    run: ItemId,
    numbers: &[u32],
    batch: Option<ItemId>,
    request: &TickWires,
) -> Result<Vec<ToTick>, ApiError> {
    let run = run_in(job, run)?;
    let cutting = request.act == Tick::Cut && request.done;
    let stands = cutting.then(|| Stands::of(job));
    let mut reel = batch
        .filter(|_| cutting)
        .map(|batch| Reel::of(job, run, batch));
    let mut found = Vec::new();
    for number in numbers {
        let wire = run.wire(*number).ok_or_else(|| {
            ApiError::invalid(format!(
                "Run {} has {} wires; there is no wire {number}. Nothing was ticked.",
                run.name,
                run.wires.len()
            ))
        })?;
        let mut asked = Vec::new();
        let cut = match &stands {
            Some(stands) => {
                let cut_nm = match &request.on_site {
                    Some(typed) => {
                        let (cut, odd) = on_site(job, run, wire, typed)?;
                        asked.extend(odd);
                        asked.extend(otherwise_released(wire, cut));
                        cut.nm
                    }
                    None => {
                        asked.extend(asked_of_moved(job, run, wire, stands));
                        released(job, run, wire)?
                    }
                };
                let made = made(wire, cut_nm, batch);
                let (lost_nm, odd) = lost(wire, &made, reel.as_mut());
                asked.extend(odd);
                let entered = request.on_site.as_ref().map(Typed::entered);
                Some(Cut {
                    made,
                    lost_nm,
                    entered,
                })
            }
            None => None,
        };
        let asked = asked.into_iter().map(|what| Question {
            wire: format!("{}{number}", run.name),
            what,
        });
        found.push(ToTick {
            wire: *number,
            piece: wire.piece_number,
            cut,
            asked: asked.collect(),
        });
    }
    Ok(found)
}

/// The length that a wire was released at.
fn released(job: &Job<'_>, run: &Run, wire: &Wire) -> Result<i64, ApiError> {
    if let Some(issued) = wire.issued.value() {
        return Ok(issued.cut_nm);
    }
    if wire.issued.blocks() {
        return Err(ApiError::new(
            ErrorCode::Disputed,
            format!(
                "People differ on the length at which wire {}{} was released. Settle that first. Nothing \
                 was ticked.",
                run.name, wire.number
            ),
        ));
    }
    let line = sheet_line(job, run, wire)?;
    // What the sheet tells of the wire says what to do: to cut it on site, or what is missing.
    let todo = match line.refused {
        Some(why) => why.sentence,
        None => "Release it on the cut sheet first.".to_owned(),
    };
    Err(ApiError::invalid(format!(
        "Wire {}{} was not released for cutting. {todo} Nothing was ticked.",
        run.name, wire.number
    )))
}

/// A wire as its cut sheet has it.
fn sheet_line(job: &Job<'_>, run: &Run, wire: &Wire) -> Result<CutLine, ApiError> {
    let lines = work::cut_sheet(job, run.id)?.lines.into_iter();
    let mut here = lines.filter(|line| line.wire == wire.number);
    here.next().ok_or_else(|| {
        let name = format!("{}{}", run.name, wire.number);
        ApiError::invalid(format!("Wire {name} is not on the cut sheet."))
    })
}

/// The length at which a wire was cut on site, for a run that no cut is computed for, and what is odd
/// about it.
fn on_site(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    typed: &Typed,
) -> Result<(Length, Option<String>), ApiError> {
    let line = sheet_line(job, run, wire)?;
    let name = format!("{}{}", run.name, wire.number);
    match &line.refused {
        Some(why) if why.code == RefusalCode::OnSite => {
            let cut = typed.length()?;
            let odd = work::odd_site_cut(&line, cut);
            Ok((cut, odd))
        }
        Some(why) => Err(ApiError::invalid(format!(
            "{} Nothing was ticked.",
            why.sentence
        ))),
        None => Err(ApiError::invalid(format!(
            "The cut of wire {name} is computed: release it on the cut sheet and tick it as cut. \
             Nothing was ticked."
        ))),
    }
}

/// The question where a wire was released before it was cut on site at another length.
fn otherwise_released(wire: &Wire, cut: Length) -> Option<String> {
    let issued = wire
        .issued
        .value()
        .filter(|issued| issued.cut_nm != cut.nm)?;
    let released = work::words::mm(issued.cut_nm);
    Some(format!(
        "it was released at {released}, and is told as cut at {}.",
        work::words::mm(cut.nm)
    ))
}

/// Claims that a wire is cut, and the cut, with the questions that were answered before it.
pub(in crate::acts) fn tick_off(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    cut: &Cut,
    reason: Option<String>,
) -> Result<(), ApiError> {
    claim_done(act, record, of, Tick::Cut, true, reason)?;
    claim_cut(act, record, of, Some(cut))
}

/// Claims the tick of an act, with the question that was answered before it.
fn claim_done(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    tick: Tick,
    done: bool,
    reason: Option<String>,
) -> Result<(), ApiError> {
    let field = fields::WIRE_DONE;
    let place = records::job::wires::act_place(tick, of.piece);
    let subject = Subject::Wire(of.run, of.wire);
    let over = tips(record, of.job, &subject, field.name, &place)?;
    let with = OnPiece {
        reason,
        ..on_piece(of.piece, None)
    };
    act.claim(
        field,
        subject,
        &place,
        Some(&done),
        &with,
        Earlier::over(over),
    )
}

/// Claims the cut itself, with what was lost at it; none takes one back that stands.
fn claim_cut(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    cut: Option<&Cut>,
) -> Result<(), ApiError> {
    let field = fields::WIRE_CUT;
    let place = of.piece.to_string();
    let subject = Subject::Wire(of.run, of.wire);
    let over = tips(record, of.job, &subject, field.name, &place)?;
    if cut.is_none() && over.is_empty() {
        return Ok(());
    }
    let lost_nm = cut.and_then(|cut| cut.lost_nm).filter(|lost| *lost > 0);
    let with = OnPiece {
        entered: cut.and_then(|cut| cut.entered.clone()),
        ..on_piece(of.piece, lost_nm)
    };
    let made = cut.map(|cut| &cut.made);
    act.claim(field, subject, &place, made, &with, Earlier::over(over))
}

fn on_piece(piece: u32, lost_nm: Option<i64>) -> OnPiece {
    OnPiece {
        piece,
        lost_nm,
        to_mn: None,
        entered: None,
        reason: None,
    }
}

/// The cut as it is ticked; ticked again without a reel it keeps the one that was told.
fn made(wire: &Wire, cut_nm: i64, batch: Option<ItemId>) -> CutMade {
    let known = wire.cut.value().filter(|known| known.nm == cut_nm);
    match (known, batch) {
        (Some(known), None) => known.clone(),
        _ => CutMade {
            nm: cut_nm,
            batch,
            offcut: None,
        },
    }
}

/// The delivery that wires are cut from.
struct Reel {
    id: String,
    taking: Taking,
    /// What to ask of every wire that is cut from it.
    odd: Vec<String>,
}

impl Reel {
    fn of(job: &Job<'_>, run: &Run, batch: ItemId) -> Self {
        let stock = work::stock(job);
        let id = Subject::Item(ItemKind::Batch, batch).to_string();
        let item = stock.items.iter().find(|item| item.id == id);
        Reel {
            odd: item.map_or_else(Vec::new, |item| work::odd_source(job, run, item)),
            taking: Taking::of(&stock),
            id,
        }
    }
}

/// What is lost at a cut, and what to ask of its reel; as it was told, and nothing asked, where the same
/// cut is only ticked again.
fn lost(wire: &Wire, made: &CutMade, reel: Option<&mut Reel>) -> (Option<i64>, Vec<String>) {
    if let Some(told) = wire.cut.told().filter(|t| t.value.as_ref() == Some(made)) {
        let lost = told.with.as_ref().and_then(|with| with.lost_nm);
        return (lost, Vec::new());
    }
    let Some(reel) = reel else {
        return (None, Vec::new());
    };
    let (lost, short) = reel.taking.take(&reel.id, made.nm);
    let short = short.map(|short| short.to_string());
    (Some(lost), reel.odd.iter().cloned().chain(short).collect())
}

/// The question before a released wire is cut from a release that should be looked at first.
pub(in crate::acts) fn asked_of_moved(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    stands: &Stands,
) -> Option<String> {
    let why = moved(job, run, wire, stands)?;
    Some(format!(
        "{why}. A cut can't be undone: look at the sheet first."
    ))
}

/// Why a released wire should not be cut from its release without a look, where that is so.
fn moved(job: &Job<'_>, run: &Run, wire: &Wire, stands: &Stands) -> Option<String> {
    match wire.length {
        WireLength::Disputed => {
            return Some("people disagree on its length since it was released".to_owned());
        }
        WireLength::Newer => {
            return Some("a newer version changed its length since it was released".to_owned());
        }
        _ => {}
    }
    wire.issued.told()?;
    match work::release_moved(job, run, wire, stands) {
        Ok(moved) => moved,
        Err(why) => Some(format!("its cut sheet can't be worked out now: {why}")),
    }
}

//! Ticks of acts on wires, one or many at a time, and the cuts that they record.
//!
//! Invariant: a wire whose ground moved since its release is not ticked as cut without a question,
//! nor one that its reel has not enough left for, and no tick that contradicts what is known; a yes
//! to that stands with the tick.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::{Job, Run, Wire, WireLength};
use records::model::context::OnPiece;
use records::model::fields;
use records::model::values::{Act as Tick, CutMade};
use records::subject::{ItemKind, Subject};
use records::work::{self, Decision, Stands, Taking};

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
    // A cut on site follows no trial wire: nothing is worked out from one.
    let odd = match request.done && request.on_site.is_none() {
        true => work::odd_ticks(run_in(&record.job(job)?, run)?, request.act, numbers).join(" "),
        false => String::new(),
    };
    let found = match looked_over(&record.job(job)?, run, numbers, batch, request) {
        // One yes answers all that is asked.
        Err(more) if more.code == ErrorCode::Questioned => {
            return Err(ApiError::new(
                more.code,
                format!("{odd} {}", more.message).trim_start(),
            ));
        }
        found => found?,
    };
    if !request.confirmed && !odd.is_empty() {
        let question = format!("{odd} Tick all the same?");
        return Err(ApiError::new(ErrorCode::Questioned, question));
    }
    let kept = (!odd.is_empty()).then(|| all_the_same(&odd));
    let mut act = Act::default();
    for (wire, piece, cut) in found {
        let of = OfPiece {
            job,
            run,
            wire,
            piece,
        };
        let (tick, reason) = (request.act, kept.clone());
        claim_done(&mut act, record, of, tick, request.done, reason)?;
        if request.act == Tick::Cut {
            claim_cut(&mut act, record, of, cut.as_ref())?;
        }
    }
    act.record(record, job)
}

/// Looks every wire over before the first is ticked: its piece, and the cut where it is one.
fn looked_over(
    job: &Job<'_>,
    run: ItemId,
    numbers: &[u32],
    batch: Option<ItemId>,
    request: &TickWires,
) -> Result<Vec<(u32, u32, Option<Cut>)>, ApiError> {
    let run = run_in(job, run)?;
    let cutting = request.act == Tick::Cut && request.done;
    let stands = cutting.then(|| Stands::of(job));
    let mut taking = (cutting && batch.is_some()).then(|| Taking::of(&work::stock(job)));
    let mut found = Vec::new();
    for number in numbers {
        let wire = run.wire(*number).ok_or_else(|| {
            ApiError::invalid(format!(
                "Run {} has {} wires; there is no wire {number}. Nothing was ticked.",
                run.name,
                run.wires.len()
            ))
        })?;
        let cut = match &stands {
            Some(stands) => {
                let cut_nm = match &request.on_site {
                    Some(typed) => on_site(job, run, wire, typed, request.confirmed)?,
                    None => released(job, run, wire)?,
                };
                if !request.confirmed {
                    ask_moved(job, run, wire, stands)?;
                }
                let made = made(wire, cut_nm, batch);
                let lost_nm = lost(wire, &made, taking.as_mut(), request.confirmed)?;
                Some(Cut { made, lost_nm })
            }
            None => None,
        };
        found.push((*number, wire.piece_number, cut));
    }
    Ok(found)
}

/// The length that a wire was released at.
fn released(job: &Job<'_>, run: &Run, wire: &Wire) -> Result<i64, ApiError> {
    if let Some(issued) = wire.issued.value() {
        return Ok(issued.cut_nm);
    }
    let todo = match work::not_computed(job, run.id)? {
        Some(why) => format!(
            "{why} Touch the wire on the cut sheet and enter the length at which it was cut."
        ),
        None => "Release it on the cut sheet first.".to_owned(),
    };
    Err(ApiError::invalid(format!(
        "Wire {}{} was not released for cutting. {todo} Nothing was ticked.",
        run.name, wire.number
    )))
}

/// The length at which a wire was cut on site, for a run that no cut is computed for.
fn on_site(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    typed: &Typed,
    confirmed: bool,
) -> Result<i64, ApiError> {
    let name = format!("{}{}", run.name, wire.number);
    if work::not_computed(job, run.id)?.is_none() {
        return Err(ApiError::invalid(format!(
            "The cut of wire {name} is computed: release it on the cut sheet and tick it as cut. \
             Nothing was ticked."
        )));
    }
    let cut = typed.length()?;
    let odd = work::odd_site_cut(job, run.id, wire.number, cut)?;
    match odd.filter(|_| !confirmed) {
        None => Ok(cut.nm),
        Some(odd) => Err(ApiError::new(
            ErrorCode::Questioned,
            format!("{odd} Keep it as cut all the same?"),
        )),
    }
}

/// Claims that a wire is cut, and the cut.
pub(in crate::acts) fn tick_off(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    cut: &Cut,
) -> Result<(), ApiError> {
    claim_done(act, record, of, Tick::Cut, true, None)?;
    claim_cut(act, record, of, Some(cut))
}

/// What is kept of a question that was answered with a yes.
pub(in crate::acts) fn all_the_same(question: &str) -> String {
    format!("Asked: {question} Kept all the same.")
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
    let with = on_piece(of.piece, lost_nm);
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

/// What is lost at a cut: as it was told where the same cut is only ticked again, else as the reel
/// gives it.
fn lost(
    wire: &Wire,
    made: &CutMade,
    taking: Option<&mut Taking>,
    confirmed: bool,
) -> Result<Option<i64>, ApiError> {
    if let Some(told) = wire.cut.told().filter(|t| t.value.as_ref() == Some(made)) {
        return Ok(told.with.as_ref().and_then(|with| with.lost_nm));
    }
    let (Some(taking), Some(batch)) = (taking, made.batch) else {
        return Ok(None);
    };
    let reel = Subject::Item(ItemKind::Batch, batch).to_string();
    room(taking, &reel, made.nm, confirmed).map(Some)
}

/// Takes a piece off a reel or offcut; asks where it has less left than that.
pub(in crate::acts) fn room(
    taking: &mut Taking,
    stock: &str,
    cut_nm: i64,
    confirmed: bool,
) -> Result<i64, ApiError> {
    taking.take(stock, cut_nm, confirmed).map_err(|short| {
        ApiError::new(
            ErrorCode::Questioned,
            format!("{short} Tick it as cut from it all the same?"),
        )
    })
}

/// Asks before a released wire is cut from a release that should be looked at first.
pub(in crate::acts) fn ask_moved(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    stands: &Stands,
) -> Result<(), ApiError> {
    let Some(why) = moved(job, run, wire, stands) else {
        return Ok(());
    };
    Err(ApiError::new(
        ErrorCode::Questioned,
        format!(
            "Wire {}{}: {why} since it was released. A cut can't be undone: look at the sheet \
             first. Tick it as cut all the same?",
            run.name, wire.number
        ),
    ))
}

/// Why a released wire should not be cut from its release without a look, where that is so.
fn moved(job: &Job<'_>, run: &Run, wire: &Wire, stands: &Stands) -> Option<&'static str> {
    match wire.length {
        WireLength::Disputed => return Some("people disagree on its length"),
        WireLength::Newer => return Some("a newer version changed its length"),
        _ => {}
    }
    let told = wire.issued.told()?;
    if stands.moved(job, Decision::Release(run, wire), &told.basis) > 0 {
        return Some(
            "something that its length was worked out from was changed, added or disputed",
        );
    }
    // Where the sheet can't be worked out, it says so itself.
    work::released_outside(job, run, wire, stands)
        .unwrap_or(false)
        .then_some("the window that the sheet gives has left the released cut behind")
}

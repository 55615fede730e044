//! Every part of a job counted, each hand apart, each allowance stated.

mod told;

use mechanics::takeoff::{
    self, Allowance, EndKind as PartEnd, Part, RunEnd, RunParts, ThroughPosts,
};
use mechanics::{Millimetres, slope};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::convert::{ends_of, mm, nm, no_slope, record_hand, slope_of, terminal_for, thread_hand};
use super::cuts::cut_sheet;
use super::differing::{Wires, differing, note_differing};
use super::{WorkError, words};
use crate::job::{Job, Run};
use crate::model::fields;
use crate::model::values::{Allowances, Along, End, EndKind, Hand, Length, Lining, Spare};
use crate::subject::Subject;

/// What the strand's length rests on.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum CutsFrom {
    /// Cut lengths of the cut sheet.
    CutSheet,
    /// Inside to inside as measured for a quote.
    QuoteLength,
    /// Bays and posts added up.
    Bays,
}

/// One line of a take-off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PartLine {
    /// The part in words.
    pub part: String,
    /// Its hand, where it has one.
    pub hand: Option<Hand>,
    /// Counted from the runs.
    pub needed: u32,
    /// Allowed for sample crimps.
    pub sample: u32,
    /// Allowed for rejects and remakes.
    pub scrap: u32,
    /// Allowed over.
    pub over: u32,
    /// All together.
    pub total: u32,
    /// What it is counted from, in words.
    pub basis: String,
}

/// Strand to order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandMetres {
    /// The strand's name.
    pub name: String,
    /// Number of wires.
    pub wires: u32,
    /// Sum of the cuts.
    pub cuts_mm: f64,
    /// What the cuts rest on; the weakest where wires differ.
    pub cuts_from: CutsFrom,
    /// Allowed for samples; stated once, with the first strand.
    pub sample_mm: f64,
    /// Allowed for remakes; stated once, with the first strand.
    pub scrap_mm: f64,
    /// All together.
    pub total_mm: f64,
}

/// The take-off of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TakeOff {
    /// Wires of all runs.
    pub wires: u32,
    /// Parts, each hand apart.
    pub lines: Vec<PartLine>,
    /// Strands, each with its metres.
    pub strands: Vec<StrandMetres>,
    /// Holes for inserts.
    pub insert_holes: u32,
    /// Holes through intermediate posts.
    pub through_holes: u32,
    /// Allowances as they stand; none where nobody stated any.
    pub allowances: Option<Allowances>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

/// Counts every part of a job.
///
/// # Errors
/// When what is counted for the whole job can't be.
pub fn take_off(job: &Job<'_>) -> Result<TakeOff, WorkError> {
    let mut notes = Vec::new();
    let stated = job.reader.value(fields::JOB_ALLOWANCES, &job.subject());
    if stated.is_none() {
        notes.push(
            if job
                .reader
                .blocks(fields::JOB_ALLOWANCES, &Subject::Job(job.id))
            {
                "The allowance is disputed: samples, rejects and spares are not counted."
            } else {
                "No allowance is stated: samples, rejects and spares are not counted."
            }
            .into(),
        );
    }
    let allowed = stated.unwrap_or_default();
    let mut parts = Vec::new();
    let mut strands: Vec<StrandMetres> = Vec::new();
    for run in &job.runs {
        let Some(counted) = run_parts(job, run) else {
            notes.push(format!(
                "Run {} has no two end posts and is not counted.",
                run.name
            ));
            continue;
        };
        told::of_run(job, run, &mut notes);
        match cuts(job, run, &mut notes) {
            Ok((cuts, from)) => {
                add_strand(job, run, &cuts, from, &mut strands);
                parts.push(RunParts { cuts, ..counted });
            }
            // A slip in one run stops the count of no other.
            Err(why) => {
                notes.push(format!(
                    "Run {}: its metres of strand are not counted: {why}.",
                    run.name
                ));
                parts.push(counted);
            }
        }
    }
    let apart = differing(job, None, Wires::Count);
    let apart = apart.into_iter().filter(|one| {
        let said = [fields::JOB_ALLOWANCES.name, fields::RUN_LINING.name];
        !said.contains(&one.field.as_str())
    });
    note_differing(apart.collect(), [], &mut notes);
    let counted = takeoff::take_off(&parts, &allowances(&allowed))?;
    if let Some(first) = strands.first_mut() {
        first.sample_mm = nm(allowed.sample_strand_nm).value();
        first.scrap_mm = nm(allowed.scrap_strand_nm).value();
    }
    for strand in &mut strands {
        strand.total_mm = strand.cuts_mm + strand.sample_mm + strand.scrap_mm;
    }
    Ok(TakeOff {
        wires: counted.wires,
        lines: counted
            .lines
            .iter()
            .map(|l| PartLine {
                part: part_words(l.part).into(),
                hand: l.hand.map(record_hand),
                needed: l.needed,
                sample: l.allowance.sample,
                scrap: l.allowance.scrap,
                over: l.allowance.over,
                total: l.total,
                basis: basis_words(l.part).into(),
            })
            .collect(),
        strands,
        insert_holes: counted.insert_holes,
        through_holes: counted.through_holes,
        allowances: stated,
        notes,
    })
}

fn run_parts(job: &Job<'_>, run: &Run) -> Option<RunParts> {
    let ends = ends_of(job, run)?;
    let between = run.posts.len().saturating_sub(2);
    Some(RunParts {
        label: run.name.clone(),
        wires: u32::try_from(run.wires.len()).ok()?,
        first: run_end(job, run, &ends.first),
        other: run_end(job, run, &ends.last),
        through: vec![ThroughPosts {
            posts: u32::try_from(between).ok()?,
            lining: match run.lining {
                Lining::Bare => takeoff::Lining::Bare,
                Lining::GrommetHalves => takeoff::Lining::GrommetHalves,
                Lining::Sleeve => takeoff::Lining::Sleeve,
            },
        }],
        cuts: Vec::new(),
    })
}

fn run_end(job: &Job<'_>, run: &Run, end: &End) -> RunEnd {
    let kind = match end.kind {
        EndKind::Insert => PartEnd::StudIntoInsert,
        EndKind::Turnbuckle => PartEnd::Turnbuckle,
        EndKind::ThroughBolt => PartEnd::ThroughBolt,
        EndKind::FixedEnd => PartEnd::FixedEnd,
        EndKind::WallPlate => PartEnd::WallPlate,
        EndKind::Eye => PartEnd::Eye,
    };
    let threaded = end.kind.has_thread();
    let terminal = terminal_for(job, run, end.hand).filter(|t| t.kind == end.kind);
    let above = |name: &str| {
        let told = terminal.as_ref().and_then(|t| t.told(name));
        told.is_some_and(|nm| nm > 0)
    };
    let nut = above("lockNutNm");
    RunEnd {
        kind,
        hand: threaded.then(|| thread_hand(end.hand)),
        lock_nut: threaded && nut,
        washer: end.kind == EndKind::ThroughBolt && above("washerNm"),
        angled_seat: end.angled_seat,
    }
}

/// Cut lengths as made, else as they were told when issued, else as the sheet has them; a quote
/// length or the bays where there is none.
fn cuts(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<(Vec<Millimetres>, CutsFrom), WorkError> {
    let sheet = cut_sheet(job, run.id)?;
    let mut from = CutsFrom::CutSheet;
    let mut found = Vec::new();
    let line_of_bays = along_bays(run)?;
    for wire in &run.wires {
        let aim = sheet
            .lines
            .iter()
            .find(|l| l.wire == wire.number)
            .and_then(|l| {
                let told = l.issued.as_ref().map(|i| i.cut_mm);
                l.cut_done_mm.or(told).or(l.aim_mm)
            });
        let quote = wire
            .lengths
            .iter()
            .find_map(|f| f.value())
            .map(|l: &Length| l.as_mm());
        let (length, rests_on) = match (aim, quote, line_of_bays) {
            (Some(aim), _, _) => (aim, CutsFrom::CutSheet),
            (None, Some(quote), _) => (quote, CutsFrom::QuoteLength),
            (None, None, Some(bays)) => (bays.value(), CutsFrom::Bays),
            (None, None, None) => {
                notes.push(format!(
                    "Wire {}{} has no length at all and is not in the metres.",
                    run.name, wire.number
                ));
                continue;
            }
        };
        from = from.max(rests_on);
        found.push(Millimetres(length));
    }
    match from {
        CutsFrom::CutSheet => {}
        CutsFrom::QuoteLength => notes.push(format!(
            "Run {}: metres of strand rest on inside to inside, nothing deducted.",
            run.name
        )),
        CutsFrom::Bays => notes.push(format!(
            "Run {}: metres of strand rest on bays and posts added up.",
            run.name
        )),
    }
    Ok((found, from))
}

fn along_bays(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    let slope = slope_of(run)?;
    let mut sum = Millimetres(0.0);
    for bay in &run.bays {
        let Some(clear) = bay.clear.map(mm) else {
            return Ok(None);
        };
        sum += match bay.along {
            Along::Slope => clear,
            // Level lengths of a rake whose slope is not told say nothing of the strand.
            Along::Level if no_slope(run).is_some() => return Ok(None),
            Along::Level => slope::along(clear, slope)?,
        };
    }
    let inner = run.posts.len().saturating_sub(2);
    for post in run.posts.iter().skip(1).take(inner) {
        let width = post.section.map_or(Millimetres(0.0), |s| nm(s.along_nm));
        sum += slope::along(width, slope)?;
    }
    Ok((sum.value() > 0.0).then_some(sum))
}

fn add_strand(
    job: &Job<'_>,
    run: &Run,
    cuts: &[Millimetres],
    from: CutsFrom,
    strands: &mut Vec<StrandMetres>,
) {
    let name = job
        .strands
        .iter()
        .find(|s| Some(s.id) == run.strand)
        .map_or_else(|| "strand not chosen".to_owned(), |s| s.name.clone());
    let sum: f64 = cuts.iter().map(|c| c.value()).sum();
    let wires = u32::try_from(cuts.len()).unwrap_or(u32::MAX);
    match strands.iter_mut().find(|s| s.name == name) {
        Some(known) => {
            known.wires = known.wires.saturating_add(wires);
            known.cuts_mm += sum;
            known.cuts_from = known.cuts_from.max(from);
        }
        None => strands.push(StrandMetres {
            name,
            wires,
            cuts_mm: sum,
            cuts_from: from,
            sample_mm: 0.0,
            scrap_mm: 0.0,
            total_mm: 0.0,
        }),
    }
}

fn allowances(said: &Allowances) -> takeoff::Allowances {
    let of = |spare: Spare| Allowance {
        sample: spare.sample,
        scrap: spare.scrap,
        over: spare.over,
    };
    takeoff::Allowances {
        terminals: of(said.terminals),
        inserts: of(said.inserts),
        lock_nuts: of(said.lock_nuts),
        angled_seats: of(said.angled_seats),
        grommet_halves: of(said.linings),
        sleeves: of(said.linings),
        sample_strand: nm(said.sample_strand_nm),
        scrap_strand: nm(said.scrap_strand_nm),
    }
}

const fn part_words(part: Part) -> &'static str {
    match part {
        Part::Terminal(end) => words::terminal(end),
        Part::Insert => "insert",
        Part::LockNut => "lock nut",
        Part::Nut => "nut of a bolt",
        Part::Washer => "washer of a bolt",
        Part::AngledSeat => "angled seat",
        Part::GrommetHalf => "grommet half",
        Part::Sleeve => "sleeve",
    }
}

const fn basis_words(part: Part) -> &'static str {
    match part {
        Part::Terminal(_) => "one per wire and end",
        Part::Insert => "one per wire and end with a stud into an insert",
        Part::LockNut => "one per threaded end whose terminal has a nut",
        Part::Nut => "one per wire and end with a bolt through the post",
        Part::Washer => "one per wire and end with a bolt that has one",
        Part::AngledSeat => "one per wire and end with an angled seat",
        Part::GrommetHalf => "two per wire and post between the ends",
        Part::Sleeve => "one per wire and post between the ends",
    }
}

//! Take-off: every part of a job counted, each hand apart, each allowance stated.
//!
//! Invariant: what is needed by count and what is allowed on top stand apart in every line.
//! Does not plan cuts from reels and knows no prices.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::thread::Hand;
use crate::units::Millimetres;

/// How the end of a wire is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum EndKind {
    /// Swaged stud into an insert in the post.
    StudIntoInsert,
    /// Turnbuckle.
    Turnbuckle,
    /// Fixed end without adjustment.
    FixedEnd,
    /// Bolt through the post.
    ThroughBolt,
    /// Plate on a wall.
    WallPlate,
    /// Eye.
    Eye,
}

/// One end of every wire of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RunEnd {
    /// How it is held.
    pub kind: EndKind,
    /// Hand of its thread; none where it has no thread.
    pub hand: Option<Hand>,
    /// Whether a lock nut belongs on it; of a turnbuckle one on each of its two threads.
    pub lock_nut: bool,
    /// Whether a washer belongs under its nut: of a bolt through the post.
    #[serde(default)]
    pub washer: bool,
    /// Whether a swivel or angled seat belongs under it.
    pub angled_seat: bool,
}

/// What lines the holes of an intermediate post.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Lining {
    /// Nothing.
    Bare,
    /// A grommet half in each face.
    GrommetHalves,
    /// A sleeve through the post.
    Sleeve,
}

/// Posts that the wires of a run pass through, alike in their lining.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ThroughPosts {
    /// How many posts.
    pub posts: u32,
    /// What lines their holes.
    pub lining: Lining,
}

/// One run, as far as counting needs it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RunParts {
    /// Name of the run.
    pub label: String,
    /// Number of wires.
    pub wires: u32,
    /// First end.
    pub first: RunEnd,
    /// Other end.
    pub other: RunEnd,
    /// Posts between.
    pub through: Vec<ThroughPosts>,
    /// Cut lengths, where known; else estimated lengths.
    pub cuts: Vec<Millimetres>,
}

/// What is allowed on top of a count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Allowance {
    /// Used up by sample crimps.
    pub sample: u32,
    /// Expected rejects.
    pub scrap: u32,
    /// Left over for later.
    pub over: u32,
}

/// Allowances of a job; for parts with a hand they count per hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Allowances {
    /// Terminals, per hand.
    pub terminals: Allowance,
    /// Inserts, per hand.
    pub inserts: Allowance,
    /// Lock nuts, per hand.
    pub lock_nuts: Allowance,
    /// Angled seats, in all.
    pub angled_seats: Allowance,
    /// Grommet halves, in all.
    pub grommet_halves: Allowance,
    /// Sleeves, in all.
    pub sleeves: Allowance,
    /// Strand for sample crimps.
    pub sample_strand: Millimetres,
    /// Strand for remade wires and ends.
    pub scrap_strand: Millimetres,
}

/// A kind of part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind", content = "end")]
pub enum Part {
    /// Swaged terminal for one way of holding.
    Terminal(EndKind),
    /// Threaded insert.
    Insert,
    /// Lock nut.
    LockNut,
    /// Nut of a bolt through the post.
    Nut,
    /// Washer under that nut.
    Washer,
    /// Swivel or angled seat.
    AngledSeat,
    /// Grommet half.
    GrommetHalf,
    /// Sleeve.
    Sleeve,
}

/// One line of the take-off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TakeoffLine {
    /// The part.
    pub part: Part,
    /// Its hand, where it has one.
    pub hand: Option<Hand>,
    /// Counted from the runs.
    pub needed: u32,
    /// Allowed on top.
    pub allowance: Allowance,
    /// Needed and allowed together.
    pub total: u32,
}

/// Strand to order.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StrandTotal {
    /// Sum of the cuts.
    pub cuts: Millimetres,
    /// Allowed for samples.
    pub sample: Millimetres,
    /// Allowed for remakes.
    pub scrap: Millimetres,
    /// All together.
    pub total: Millimetres,
}

/// The take-off of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Takeoff {
    /// Wires of all runs.
    pub wires: u32,
    /// Parts, each hand apart.
    pub lines: Vec<TakeoffLine>,
    /// Holes for inserts.
    pub insert_holes: u32,
    /// Holes through posts: intermediate ones, and end posts with bolts.
    pub through_holes: u32,
    /// Strand.
    pub strand: StrandTotal,
}

/// Counts every part of the runs and adds the stated allowances.
///
/// Per wire and end one terminal, one insert where the stud goes into one, one lock nut and one
/// angled seat where the run asks for them, a nut where a bolt goes through the post; per wire and lined post
/// two grommet halves or one sleeve. An allowance is added only where the part is needed at all; that of lock
/// nuts is of lock nuts alone, and nobody states one of plain nuts and washers.
///
/// # Errors
/// When a cut or an allowance of strand cannot be.
pub fn take_off(runs: &[RunParts], allowances: &Allowances) -> Result<Takeoff, MechanicsError> {
    let mut lines: Vec<TakeoffLine> = Vec::new();
    let mut add = |part: Part, hand: Option<Hand>, count: u32, allowance: Allowance| {
        let line = lines
            .iter_mut()
            .find(|line| line.part == part && line.hand == hand);
        match line {
            Some(line) => line.needed = line.needed.saturating_add(count),
            None if count > 0 => lines.push(TakeoffLine {
                part,
                hand,
                needed: count,
                allowance,
                total: 0,
            }),
            None => {}
        }
    };
    let mut through_holes = 0_u32;
    for run in runs {
        for end in [run.first, run.other] {
            add(
                Part::Terminal(end.kind),
                end.hand,
                run.wires,
                allowances.terminals,
            );
            if end.kind == EndKind::StudIntoInsert {
                add(Part::Insert, end.hand, run.wires, allowances.inserts);
            }
            if end.lock_nut {
                add(Part::LockNut, end.hand, run.wires, allowances.lock_nuts);
            }
            if let (EndKind::Turnbuckle, true, Some(hand)) = (end.kind, end.lock_nut, end.hand) {
                let other = Some(hand.other());
                add(Part::LockNut, other, run.wires, allowances.lock_nuts);
            }
            if end.kind == EndKind::ThroughBolt {
                add(Part::Nut, end.hand, run.wires, Allowance::default());
                through_holes = through_holes.saturating_add(run.wires);
            }
            if end.washer {
                add(Part::Washer, None, run.wires, Allowance::default());
            }
            if end.angled_seat {
                add(Part::AngledSeat, None, run.wires, allowances.angled_seats);
            }
        }
        for through in &run.through {
            let holes = run.wires.saturating_mul(through.posts);
            through_holes = through_holes.saturating_add(holes);
            match through.lining {
                Lining::Bare => {}
                Lining::GrommetHalves => add(
                    Part::GrommetHalf,
                    None,
                    holes.saturating_mul(2),
                    allowances.grommet_halves,
                ),
                Lining::Sleeve => add(Part::Sleeve, None, holes, allowances.sleeves),
            }
        }
    }
    for line in &mut lines {
        let Allowance {
            sample,
            scrap,
            over,
        } = line.allowance;
        line.total = [line.needed, sample, scrap, over]
            .into_iter()
            .fold(0, u32::saturating_add);
    }
    lines.sort_by_key(|line| (line.part, line.hand));
    let insert_holes = lines
        .iter()
        .filter(|line| line.part == Part::Insert)
        .map(|line| line.needed)
        .fold(0, u32::saturating_add);
    Ok(Takeoff {
        wires: runs
            .iter()
            .map(|run| run.wires)
            .fold(0, u32::saturating_add),
        lines,
        insert_holes,
        through_holes,
        strand: strand_total(runs, allowances)?,
    })
}

fn strand_total(runs: &[RunParts], allowances: &Allowances) -> Result<StrandTotal, MechanicsError> {
    let mut cuts = Millimetres(0.0);
    for cut in runs.iter().flat_map(|run| &run.cuts) {
        cuts += Millimetres(positive("a cut", *cut)?);
    }
    let sample = allowances.sample_strand;
    let scrap = allowances.scrap_strand;
    not_negative("the strand for samples", sample)?;
    not_negative("the strand for remakes", scrap)?;
    Ok(StrandTotal {
        cuts,
        sample,
        scrap,
        total: cuts + sample + scrap,
    })
}

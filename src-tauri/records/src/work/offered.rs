//! What the gap checks of a run's bays come to: which probe answers, and of which pieces of wire.
//!
//! Invariant: a probe that stops answers only where it is no larger than the sphere of the rules,
//! and only for wires that were read at their set tension, on the piece in place, before it was
//! offered. A probe that passes is never argued away. What is recorded here is changed nowhere.

use mechanics::Millimetres;

use super::convert::{mm, mn};
use super::progress::BayGaps;
use super::readings::{finishes, last_pass, proves};
use super::repeats::{Entry, Line, standing_at};
use super::tension::gauge;
use super::{WorkError, rules, words};
use crate::ids::Hash;
use crate::job::{Fact, Job, Run, Told, Wire};
use crate::model::context::{GapRead, TensionRead};
use crate::model::values::{Force, GapCheck, Length, ProbeResult, Stage};
use crate::subject::Subject;

/// The checks of a run's bays, held against rules and readings.
pub(super) struct Offered<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    sphere: Option<Millimetres>,
    /// What the gauge may err, as a share.
    error: f64,
    /// Readings by which each wire stood at its set tension, from the bottom.
    finished: Vec<(u32, Vec<Mark>)>,
}

/// What stands of a bay.
pub(super) struct BayFound {
    pub(super) gaps: BayGaps,
    /// Lower wires of the openings where the probe passes.
    pub(super) passes: Vec<u32>,
    /// Why what is on record does not answer, in one sentence.
    pub(super) why: Option<String>,
}

/// A reading by which a wire stood at its set tension.
struct Mark {
    entry: Entry,
    line: Line,
    bay: String,
    newtons: Option<f64>,
    /// Whether a tension gauge or a hung mass told it.
    proven: bool,
}

/// What a person who offers a probe to a bay is to be told, and what the check then follows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BeforeOffer {
    /// Lower wires of the openings where the probe passes by what stands.
    pub passing: Vec<u32>,
    /// Why a probe of that size answers nothing where it stops; none where it does.
    pub too_large: Option<String>,
    /// Readings that the check follows.
    pub follows: Vec<Hash>,
}

/// Looks at a bay before a probe of `probe_nm` is offered to it.
///
/// # Errors
/// When the rule set can't be read.
pub fn before_offer(
    job: &Job<'_>,
    run: &Run,
    bay: &Subject,
    probe_nm: i64,
) -> Result<BeforeOffer, WorkError> {
    let offered = Offered::of(job, run)?;
    Ok(BeforeOffer {
        passing: offered.bay(bay).passes,
        too_large: offered.too_large(probe_nm).map(|sphere| {
            format!(
                "A probe of {} stops where the sphere of {sphere} that the rules ask for may pass: \
                 that it stops answers nothing.",
                words::mm(probe_nm)
            )
        }),
        follows: offered.to_follow(),
    })
}

impl<'a> Offered<'a> {
    /// # Errors
    /// When the rule set can't be read.
    pub(super) fn of(job: &'a Job<'a>, run: &'a Run) -> Result<Self, WorkError> {
        let last_pass = last_pass(run);
        let wires = run.wires.iter();
        Ok(Offered {
            sphere: rules::rules(job)?
                .and_then(|set| rules::sphere(&set, run).map(|rule| rule.sphere_mm)),
            error: gauge(job).and_then(|g| g.error).unwrap_or(0.0),
            finished: wires
                .map(|w| (w.number, marks(job, w, last_pass)))
                .collect(),
            job,
            run,
        })
    }

    /// What stands of the checks of a whole bay and of each single opening.
    pub(super) fn bay(&self, bay: &Subject) -> BayFound {
        let checks = self.job.gaps(self.run.id, bay);
        let stands = |of: Option<u32>| standing_at(self.job, &checks, &of, |t| self.answers(t));
        let passes_at = |facts: &[&Fact<GapCheck, GapRead>]| {
            let passes = |f: &&Fact<GapCheck, GapRead>| {
                f.value().is_some_and(|g| g.result == ProbeResult::Passes)
            };
            facts.iter().any(passes)
        };
        let whole = stands(None);
        let mut single: Vec<u32> = checks.iter().filter_map(|(wire, _)| *wire).collect();
        single.dedup();
        single.retain(|wire| passes_at(&stands(Some(*wire))));
        let mut why = None;
        let gaps = if checks.iter().any(|(_, fact)| fact.blocks()) {
            BayGaps::Disputed
        } else if passes_at(&whole) || !single.is_empty() {
            BayGaps::Fails
        } else if checks.is_empty() {
            BayGaps::None
        } else {
            why = self.unanswered(&whole);
            if why.is_none() {
                BayGaps::AllStop
            } else {
                BayGaps::Again
            }
        };
        BayFound {
            gaps,
            passes: single,
            why,
        }
    }

    /// Whether a probe of this size is too large for the sphere of the rules, and that sphere.
    pub(super) fn too_large(&self, probe_nm: i64) -> Option<Millimetres> {
        let probe = mm(Length { nm: probe_nm });
        self.sphere
            .filter(|s| probe.whole_nanometres() > s.whole_nanometres())
    }

    /// The readings that a check which is made now follows: of each device the newest, whose own
    /// chain holds the others.
    pub(super) fn to_follow(&self) -> Vec<Hash> {
        let all: Vec<&Mark> = self.finished.iter().flat_map(|(_, marks)| marks).collect();
        let newest = |mark: &&&Mark| {
            let chain = !self.job.forked.contains(&mark.entry.device);
            let later = |o: &&Mark| o.entry.device == mark.entry.device && o.entry.n > mark.entry.n;
            !(chain && all.iter().any(later))
        };
        all.iter().filter(newest).map(|m| m.entry.id).collect()
    }

    fn answers(&self, told: &Told<GapCheck, GapRead>) -> bool {
        let stops = told
            .value
            .as_ref()
            .is_some_and(|g| g.result == ProbeResult::Stops);
        let too_large = |with: &GapRead| self.too_large(with.probe_nm).is_some();
        !(stops && told.with.as_ref().is_some_and(too_large))
    }

    /// Why none of the checks of a whole bay answers; none where one does.
    fn unanswered(&self, whole: &[&Fact<GapCheck, GapRead>]) -> Option<String> {
        let told: Vec<&Told<GapCheck, GapRead>> = whole.iter().filter_map(|f| f.told()).collect();
        if told.is_empty() {
            let sphere = self.sphere.unwrap_or_default();
            return Some(format!(
                "The probe that was offered is larger than the sphere of {sphere} that the rules ask \
                 for, or was offered to single openings only: offer the right one to all of the bay."
            ));
        }
        let of = told
            .iter()
            .map(|t| self.not_vouched(t))
            .min_by_key(Vec::len)?;
        (!of.is_empty()).then(|| {
            format!(
                "Offered before wire {} stood at its tension as it is now: offer the probe again.",
                words::ranges(&of)
            )
        })
    }

    /// Wires of which a check says nothing: not read on the piece in place before it, or found lower
    /// after it.
    fn not_vouched(&self, check: &Told<GapCheck, GapRead>) -> Vec<u32> {
        let check = Line::of(self.job, check);
        let vouched = |marks: &[Mark]| {
            let (before, after): (Vec<&Mark>, Vec<&Mark>) =
                marks.iter().partition(|m| self.came_after(&check, m));
            // A reading that a later one had taken the place of by then is what the wire was let out from.
            let stood = |m: &&&Mark| !before.iter().any(|later| self.replaces(later, m));
            let fell = |late: &&Mark| {
                before.iter().filter(stood).any(|m| {
                    m.bay == late.bay
                        && late
                            .newtons
                            .zip(m.newtons)
                            .is_some_and(|(late, then)| late < then * (1.0 - self.error))
                })
            };
            !before.is_empty() && !after.iter().any(fell)
        };
        self.finished
            .iter()
            .filter(|(_, marks)| !vouched(marks))
            .map(|(wire, _)| *wire)
            .collect()
    }

    /// Whether a reading came after another of the same bay on one device, and what told it counts as
    /// much.
    fn replaces(&self, later: &Mark, mark: &Mark) -> bool {
        let tells = later.newtons.is_some() && (later.proven || !mark.proven);
        later.bay == mark.bay && tells && later.line.chained_after(self.job, &mark.line)
    }

    /// Whether whoever offered the probe knew of a reading.
    fn came_after(&self, check: &Line, mark: &Mark) -> bool {
        check.knew_line(self.job, &mark.line)
    }
}

/// The readings by which a wire stood at its set tension on the piece in place: final ones and those
/// of the last pass; where there are none, what was read at a recheck or under a hung mass.
fn marks(job: &Job<'_>, wire: &Wire, last_pass: Option<u32>) -> Vec<Mark> {
    let gauge = |with: &TensionRead| with.method.counts();
    let by_gauge = |wanted: &dyn Fn(&TensionRead) -> bool| {
        let newtons = |force: &Force| Some(mn(force.mn).value());
        kept(job, &wire.tensions, wire.piece_number, newtons, &|with| {
            gauge(with) && wanted(with)
        })
    };
    let found = by_gauge(&|with| finishes(with.stage, with.pass, last_pass));
    if !found.is_empty() {
        return found;
    }
    let mut found = by_gauge(&|with| with.stage == Stage::Recheck);
    let hung = |with: &TensionRead| with.stage != Stage::Pass;
    let piece = wire.piece_number;
    found.extend(kept(job, &wire.deflections, piece, |_| None, &hung));
    found
}

fn kept<T>(
    job: &Job<'_>,
    taken: &[(String, Fact<T, TensionRead>)],
    piece: u32,
    newtons: impl Fn(&T) -> Option<f64>,
    wanted: &dyn Fn(&TensionRead) -> bool,
) -> Vec<Mark> {
    let tips = taken
        .iter()
        .flat_map(|(bay, fact)| fact.tips.iter().map(move |told| (bay, told)));
    tips.filter_map(|(bay, told)| {
        let with = told.with.as_ref()?;
        let value = told.value.as_ref()?;
        (with.piece == piece && wanted(with)).then(|| Mark {
            entry: Entry::of(told),
            line: Line::of(job, told),
            bay: bay.clone(),
            newtons: newtons(value),
            proven: proves(job, with),
        })
    })
    .collect()
}

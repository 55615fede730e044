//! How far wires, bays and posts have come, as a drawing tells it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use records::job::{Fact, Job, Run, Wire};
use records::model::values::{Act, CrimpResult, ProbeResult};
use records::subject::Subject;

/// How far a thing has come, or what is the matter with it.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "camelCase")]
pub enum State {
    /// Nothing recorded.
    #[default]
    None,
    /// Measured.
    Measured,
    /// Cut.
    Cut,
    /// Fitted.
    Fitted,
    /// Tensioned, with a final reading.
    Tensioned,
    /// Tensioned, and its gaps were offered the probe.
    Checked,
    /// A crimp of the present piece was rejected.
    Rejected,
    /// A reading lies below the required tension.
    Below,
    /// A probe passed somewhere.
    Passes,
    /// People disagree.
    Disputed,
    /// A newer version changed it.
    Newer,
}

impl State {
    /// The letter or sign beside the thing, by which a grey print tells states apart.
    #[must_use]
    pub fn letter(self) -> &'static str {
        match self {
            State::None => "",
            State::Measured => "M",
            State::Cut => "C",
            State::Fitted => "F",
            State::Tensioned => "T",
            State::Checked => "✓",
            State::Rejected => "X",
            State::Below | State::Passes => "!",
            State::Disputed => "≠",
            State::Newer => "?",
        }
    }

    /// What the letter means, in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            State::None => "nothing recorded",
            State::Measured => "measured",
            State::Cut => "cut",
            State::Fitted => "fitted",
            State::Tensioned => "tensioned",
            State::Checked => "tension read, gaps probed",
            State::Rejected => "crimp rejected",
            State::Below => "below the required tension",
            State::Passes => "probe passed",
            State::Disputed => "disputed",
            State::Newer => "changed by a newer version",
        }
    }
}

/// State of a wire with its letter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WireState {
    /// How far it has come, or what is the matter.
    pub state: State,
}

/// States of a run's things. What is missing is drawn without a state.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct States {
    /// By the wire's number.
    pub wires: BTreeMap<u32, WireState>,
    /// By the bay.
    pub bays: BTreeMap<Subject, State>,
    /// By the post.
    pub posts: BTreeMap<Subject, State>,
}

/// Reads the states of a run's things from the record.
#[must_use]
pub fn states(job: &Job<'_>, run: &Run) -> States {
    let bays: BTreeMap<Subject, State> = run
        .bays
        .iter()
        .map(|bay| (bay.subject, bay_state(job, run, &bay.subject)))
        .collect();
    let probed = !bays.is_empty() && bays.values().all(|s| *s == State::Checked);
    let disputed = |fact: bool| if fact { State::Disputed } else { State::None };
    States {
        wires: run
            .wires
            .iter()
            .map(|wire| {
                let state = wire_state(run, wire, probed);
                (wire.number, WireState { state })
            })
            .collect(),
        posts: run
            .posts
            .iter()
            .map(|p| (Subject::post(p.id), disputed(p.position.blocks())))
            .collect(),
        bays,
    }
}

fn wire_state(run: &Run, wire: &Wire, probed: bool) -> State {
    use records::job::Standing;
    let standing = [wire.cut.standing, wire.piece.standing, wire.issued.standing]
        .into_iter()
        .chain(wire.lengths.iter().map(|f| f.standing))
        .chain(wire.tensions_now().map(|(_, f)| f.standing));
    match standing.max() {
        Some(Standing::Newer) => return State::Newer,
        Some(Standing::Disputed) => return State::Disputed,
        _ => {}
    }
    let rejected = wire.crimps.iter().any(|(_, f)| {
        f.told().is_some_and(|t| {
            let here = t.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number;
            here && t
                .value
                .as_ref()
                .is_some_and(|c| c.result == CrimpResult::Reject)
        })
    });
    if rejected {
        return State::Rejected;
    }
    if let Some(lowest) = lowest_final(wire) {
        let required = run.tensions.value().map(|t| t.required_mn);
        return match required {
            Some(required) if lowest < required => State::Below,
            _ if probed => State::Checked,
            _ => State::Tensioned,
        };
    }
    if wire.has(Act::Fitted) || wire.has(Act::RightEndPressed) {
        State::Fitted
    } else if wire.cut.value().is_some() || wire.has(Act::Cut) {
        State::Cut
    } else if wire.lengths.iter().any(|f| f.value().is_some()) {
        State::Measured
    } else {
        State::None
    }
}

/// The lowest of the newest readings in each bay, passes left out, in millinewtons.
pub(crate) fn lowest_final(wire: &Wire) -> Option<i64> {
    use records::model::values::Stage;
    let mut newest: BTreeMap<&str, i64> = BTreeMap::new();
    for (bay, fact) in wire.tensions_now() {
        let Some(told) = fact.told() else { continue };
        let stage = told.with.as_ref().map_or(Stage::Pass, |w| w.stage);
        if let (Some(force), true) = (&told.value, stage != Stage::Pass) {
            newest.entry(bay).or_insert(force.mn);
        }
    }
    newest.into_values().min()
}

fn bay_state(job: &Job<'_>, run: &Run, bay: &Subject) -> State {
    let checks = job.gaps(run.id, bay);
    if checks.iter().any(|(_, f)| f.blocks()) {
        return State::Disputed;
    }
    let newest = |wire: Option<u32>| {
        checks
            .iter()
            .filter(|(w, _)| *w == wire)
            .filter_map(|(_, f)| result(f))
            .next_back()
    };
    let mut places: Vec<Option<u32>> = checks.iter().map(|(w, _)| *w).collect();
    places.sort_unstable();
    places.dedup();
    let results: Vec<ProbeResult> = places.into_iter().filter_map(newest).collect();
    if results.contains(&ProbeResult::Passes) {
        State::Passes
    } else if results.is_empty() {
        State::None
    } else {
        State::Checked
    }
}

fn result<C>(fact: &Fact<records::model::values::GapCheck, C>) -> Option<ProbeResult> {
    fact.value().map(|check| check.result)
}

//! How far wires, bays and posts have come, as a drawing tells it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use records::job::{Job, Run};
use records::subject::Subject;
use records::work::{self, BayGaps, Flag, Stage};

/// How far a thing has come, or what is the matter with it.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    TS,
    JsonSchema,
)]
#[ts(rename = "DrawingState")]
#[schemars(rename = "DrawingState")]
#[serde(rename_all = "camelCase")]
pub enum State {
    /// Nothing recorded.
    #[default]
    None,
    /// Its length is interpolated.
    Interpolated,
    /// Its length was measured.
    Measured,
    /// Cut.
    Cut,
    /// Read, and nobody ticked its ends.
    Read,
    /// Fitted.
    Fitted,
    /// Tensioned, with a final reading.
    Tensioned,
    /// Tensioned, and its gaps were offered the probe.
    Checked,
    /// A crimp of the present piece was rejected.
    Rejected,
    /// Too little thread is engaged at an end, or the lock nut finds no room.
    Thread,
    /// A reading lies over what nothing may exceed.
    Over,
    /// Read before other wires were turned: what it holds now, only another reading tells.
    ReadAgain,
    /// The probe is to be offered again.
    OfferAgain,
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
            State::Interpolated => "I",
            State::Measured => "M",
            State::Cut => "C",
            State::Read => "R",
            State::Fitted => "F",
            State::Tensioned => "T",
            State::Checked => "✓",
            State::Rejected => "X",
            State::Thread => "E",
            State::Over => "+",
            State::ReadAgain => "↻",
            State::OfferAgain => "○",
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
            State::Interpolated => "length interpolated",
            State::Measured => "length measured",
            State::Cut => "cut",
            State::Read => "read, ends not ticked",
            State::Fitted => "fitted",
            State::Tensioned => "tensioned",
            State::Checked => "wire read and gaps probed, bay probed and the probe stops",
            State::Rejected => "crimp rejected",
            State::Thread => "too little thread at an end",
            State::Over => "over the upper tension, or too near it",
            State::ReadAgain => "to be read again",
            State::OfferAgain => "bay to be offered the probe again",
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
    /// By the bay, the lower wires of openings where the probe passes.
    pub passes: BTreeMap<Subject, Vec<u32>>,
    /// By the post.
    pub posts: BTreeMap<Subject, State>,
    /// Whether the job's rule set was changed or written by its users: the drawing says so.
    pub rules_changed: bool,
}

/// Reads the states of a run's things from the record.
///
/// Where the run's figures can't be worked out, nothing has a state.
#[must_use]
pub fn states(job: &Job<'_>, run: &Run) -> States {
    let rules_changed = work::changed_rules(job).is_some();
    let Ok(progress) = work::progress(job, run.id) else {
        return States {
            rules_changed,
            ..States::default()
        };
    };
    let wire = |w: &work::WireProgress| WireState {
        state: wire_state(w.stage, w.flag, w.interpolated),
    };
    let disputed = |is: bool| if is { State::Disputed } else { State::None };
    States {
        rules_changed,
        wires: progress.wires.iter().map(|w| (w.wire, wire(w))).collect(),
        bays: progress
            .bays
            .iter()
            .map(|b| (b.subject, bay_state(b.gaps)))
            .collect(),
        passes: progress
            .bays
            .iter()
            .map(|b| (b.subject, b.passes_above.clone()))
            .collect(),
        posts: progress
            .posts
            .iter()
            .map(|p| (p.subject, disputed(p.disputed)))
            .collect(),
    }
}

fn wire_state(stage: Stage, flag: Flag, interpolated: bool) -> State {
    match (flag, stage) {
        (Flag::Disputed, _) => State::Disputed,
        (Flag::Over, _) => State::Over,
        (Flag::Below | Flag::Sags, _) => State::Below,
        (Flag::Newer, _) => State::Newer,
        (Flag::Rejected, _) => State::Rejected,
        (Flag::Thread, _) => State::Thread,
        (Flag::ReadAgain, _) => State::ReadAgain,
        (Flag::None, Stage::None) => State::None,
        (Flag::None, Stage::Measured) if interpolated => State::Interpolated,
        (Flag::None, Stage::Measured) => State::Measured,
        (Flag::None, Stage::Cut) => State::Cut,
        (Flag::None, Stage::Read) => State::Read,
        (Flag::None, Stage::Fitted) => State::Fitted,
        (Flag::None, Stage::Tensioned) => State::Tensioned,
        (Flag::None, Stage::Checked) => State::Checked,
    }
}

fn bay_state(gaps: BayGaps) -> State {
    match gaps {
        BayGaps::None => State::None,
        BayGaps::Again => State::OfferAgain,
        BayGaps::AllStop => State::Checked,
        BayGaps::Fails => State::Passes,
        BayGaps::Disputed => State::Disputed,
    }
}

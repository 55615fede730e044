//! What people work from: the job as the record tells it, joined with the engineering.
//!
//! Pure functions over a [`Job`](crate::job::Job). Invariant: nothing here decides or records;
//! every figure carries its origin, a refusal says why in one sentence, and no answer says that
//! a barrier is safe or complies.

mod as_built;
mod basis;
mod cannot_be;
mod checked;
mod convert;
mod corners;
mod cut_plan;
mod cuts;
mod differing;
mod disputes;
mod drilling;
mod ends_made;
mod even;
mod faces;
mod figures;
mod frame;
mod gate;
mod heard;
mod holes;
mod inward;
mod lacks;
mod learning;
mod lengths;
mod levels;
mod limits;
mod look;
mod next;
mod no_longer;
mod odd;
mod odd_bays;
mod odd_ends;
mod odd_figures;
mod odd_fittings;
mod odd_gaps;
mod odd_layout;
mod odd_rounds;
mod odd_ticks;
mod odd_tools;
mod off_middle;
mod offered;
mod ordering;
mod posts;
mod problems;
mod progress;
mod propose;
mod pushed;
mod readings;
mod recheck;
mod repeats;
mod rules;
mod samples;
mod shared_post;
mod slips;
mod standing;
mod stock;
mod supports;
mod takeoff;
mod tension;
mod tensioning;
mod there;
mod to_cut;
mod wires_in;
pub mod words;

pub use as_built::{
    OpeningTold, opening_before, openings_of_post, openings_of_run, openings_read_again,
};
pub use basis::{Decision, sign_off_basis, tension_basis};
pub use checked::{EndsAtFault, ends_at_fault, most_end_out};
pub use convert::{end_at, end_kinds, fall_is_told, thread_read_at};
pub use corners::{Bend, Corners, LegBehind, corners};
pub use cut_plan::{
    CutGroup, CutLabel, CutPlan, NoStock, NotReady, PlannedCut, ReelsCounted, StockAfter,
    StrandPlan, Unlabelled, cut_labels, cut_plan, unlabelled,
};
pub use cuts::{
    CutLine, CutSheet, CutTotals, FixedRule, Issued, Refusal, RefusalCode, Release, cut_sheet,
    learned_against, odd_site_cut, release, release_moved, slim_chance,
};
pub use differing::{Wires, differing_on};
pub use disputes::{Dispute, Settled, Side, disputes, settled_disputes};
pub use even::{EvenGroup, EvenLine, EvenUp, Evenness, HearAgain, even_up};
pub use faces::{FaceGroup, HoleFace, faces_alike};
pub use figures::{Origin, Quantity, Source, SourceStatus, Unit};
pub use gate::{Gate, GatePostMoves, GateSphere, Gates, LeafGaps, LeafMeasured, gates};
pub use heard::{
    CAUTION, Guide, Heard, Hearing, NotHeard, Pluck, Sound, SpanAsked, SwingTimes, hearing,
};
pub use holes::{CloseAt, HoleLine, HoleSchedule, Stagger, hole_schedule, unsettled_to_drill};
pub use lacks::{EvidenceState, Lack, Lacks, lacks};
pub use learning::{
    AnotherTrial, CutLeft, DeductionLine, LearnedCut, Learning, Taught, TrialReading, TrialStage,
    learned,
};
pub use look::{look_basis, pressed_unseen};
pub use next::{ALL_ASKED, NextAct, NextWhat, all_acts, next_act};
pub use no_longer::{NoLonger, StillSaid, no_longer};
pub use odd::{
    LONGEST_MM, odd_length, odd_place, odd_place_in, odd_spread, odd_value, unusual_wire,
};
pub use odd_bays::{odd_bay, unusual_bay};
pub use odd_ends::{
    ThinThread, beyond_thread, odd_out_by, odd_thread_left, odd_turns, thin_threads,
};
pub use odd_figures::{odd_offer, odd_push};
pub use odd_gaps::odd_stops;
pub use odd_layout::{SaidNow, odd_in_layout, odd_together, unfit};
pub use odd_rounds::{odd_pass, odd_repeat};
pub use odd_ticks::{
    few_wires, odd_crimps, odd_ticks, odd_to_read, odd_to_read_ends, read_unfitted,
};
pub use odd_tools::{odd_probe, odd_reading, odd_temperatures, odd_tool};
pub use off_middle::off_the_face;
pub(crate) use off_middle::{HolesSaid, OffMiddle, off_middle};
pub use offered::{BeforeOffer, before_offer};
pub use ordering::{
    BayRow, BeforeOrdering, Finding, NextDeflection, NextRow, OpenBay, Required, RowOutcome,
    RuleSetNote, RuleWords, Topic, Verdict, before_ordering,
};
pub use posts::{
    ByBase, Held, InsertPull, OtherRun, OwnFigure, PostAsked, PostHeld, PostsAsked, Together,
    posts_asked, pull_doubt,
};
pub use problems::{Problem, ProblemCode};
pub use progress::{
    BayGaps, BayProgress, Flag, PostProgress, Progress, Stage, WireProgress, progress,
};
pub(crate) use propose::ask_of_level_wires;
pub use propose::{
    BayAtSpacing, FloorAt, LayoutAsk, LayoutProposals, Proposal, RailAt, SharedPost, StairAt,
    propose,
};
pub use pushed::{BayPushed, FixedOpening, GapBetween, Pushed, UnderPush, pushed};
pub use readings::{
    Compared, DeflectionCheck, ExpectedDown, GaugeClear, PulledAfter, Reading, ReadingState,
    TensionLine, Tensions, TooCoarse, Warmth, odd_deflection, odd_tension, tell_deflection,
    tell_gauge, tensions,
};
pub use recheck::{BandState, ComeBack, Recheck, RecheckLine, recheck};
pub use repeats::standing_at;
pub use rules::{
    changed_rules, decided_by_another, permit_day, question_rules, rules, standing_rules,
};
pub use samples::{in_doubt, is_sample, odd_sample, odd_unsampled};

pub use standing::Stands;
pub use stock::{
    PieceOut, Stock, StockCut, StockItem, StockKind, StockState, Taking, TooShort, odd_delivery,
    odd_source, stock,
};
pub use takeoff::{CutsFrom, PartLine, StrandMetres, TakeOff, take_off};
pub use tension::{
    GaugeNote, NO_BREAKING_LOAD, NO_FACTOR, TensionPlan, TensionRoom, ThreadAsked, UpperPart,
    is_above, tension_plan, typed, typed_below, upper_of, usual_passes,
};
pub use tensioning::{
    EvenStep, NowFrom, OneEnd, OnePassPlan, OneStep, PassPlan, PassStep, Tensioning, ThreadNeed,
    ToPass, ToShow, TurnIn, TurnWorth, TurnedSince, UsualOrder, WireNow, tensioning,
};

pub(crate) use lengths::between_inserts;
pub(crate) use odd::leaves_its_window;
pub use there::{place_not_there, subject_not_there};
pub(crate) use to_cut::odd_beside_sum;
pub use to_cut::{
    ToAsk, ToCut, bays_add_up, lengths_taken, odd_against_bays, odd_beside_repeats, odd_bow, to_cut,
};

/// Name under which a decision keeps what its person was asked before, and answered yes.
pub const ASKED: &str = "asked before, and answered yes";

use mechanics::MechanicsError;

use crate::ids::ItemId;

/// Why something can't be worked out from the record.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WorkError {
    /// The job has no such run.
    #[error("run {0} is not in this job; choose one of its runs")]
    UnknownRun(ItemId),
    /// The job's copy of its rule set can't be read.
    #[error(
        "the job's copy of rule set {name} can't be read ({reason}); choose the rule set again"
    )]
    RuleSet {
        /// Short name of the rule set.
        name: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A figure of the record that the engineering refuses.
    #[error(transparent)]
    Mechanics(#[from] MechanicsError),
    /// The run's strand is not known well enough to read a tension from.
    #[error(
        "run {run} has no strand with a construction that is known here (1x19, 7x7, 7x19); choose it \
         under Strand and fittings"
    )]
    NoStrand {
        /// The run's name.
        run: String,
    },
    /// A terminal without a figure that its cut rests on.
    #[error("the fitting set does not tell the {what}")]
    Untold {
        /// What the figure is called.
        what: &'static str,
    },
    /// A fitting set with a thread whose pitch is neither told nor known.
    #[error(
        "of a thread of {diameter_mm} mm no metric coarse pitch is known (M5, M6, M8 and M10 are); tell its \
         pitch with the fitting set"
    )]
    Thread {
        /// Nominal diameter as recorded.
        diameter_mm: f64,
    },
}

//! Which figures a terminal of each kind of end has, what they are called, and which its cut rests on.
//!
//! Invariant: a figure that a kind does not have is neither asked for nor used, whatever stands on record.

use super::context::Terminal;
use super::values::EndKind;

use EndKind::{Eye, FixedEnd, Insert, ThroughBolt, Turnbuckle, WallPlate};

/// One figure of a terminal.
#[derive(Clone, Copy, Debug)]
pub struct TerminalFigure {
    /// Its name in values and sheets.
    pub name: &'static str,
    /// What it is called.
    pub called: &'static str,
    /// Kinds of ends whose terminals have it.
    pub has: &'static [EndKind],
    /// Kinds for which no cut is computed without it.
    pub rests: &'static [EndKind],
}

const EVERY: &[EndKind] = EndKind::ALL;
const THREADED: &[EndKind] = &[Insert, Turnbuckle, ThroughBolt];
const STUCK: &[EndKind] = &[FixedEnd, WallPlate, Eye];
/// Kinds that a cut may be computed for; of a turnbuckle or a bolt none is, whatever is told.
const WORKED_OUT: &[EndKind] = &[Insert, FixedEnd, WallPlate, Eye];
const INSERT: &[EndKind] = &[Insert];
const NONE: &[EndKind] = &[];

const fn of(
    name: &'static str,
    called: &'static str,
    has: &'static [EndKind],
    rests: &'static [EndKind],
) -> TerminalFigure {
    TerminalFigure {
        name,
        called,
        has,
        rests,
    }
}

/// Every figure, in the order in which they are asked for.
pub const TERMINAL_FIGURES: &[TerminalFigure] = &[
    of("overallNm", "length of the stud overall", THREADED, INSERT),
    of(
        "mouthNm",
        "way from the post's face to the mouth of its shank",
        STUCK,
        STUCK,
    ),
    of("insertionNm", "wire swallowed", EVERY, WORKED_OUT),
    of("growthNm", "growth of the shank on pressing", EVERY, NONE),
    of("threadNm", "usable thread", THREADED, INSERT),
    of("leastEngagementNm", "least engagement", THREADED, INSERT),
    of("startNm", "engagement to catch by hand", THREADED, INSERT),
    of(
        "reserveNm",
        "thread kept for tensioning again",
        THREADED,
        INSERT,
    ),
    of(
        "lockNutNm",
        "height of the lock nut, 0 where there is none",
        THREADED,
        INSERT,
    ),
    of("threadDiameterNm", "thread diameter", THREADED, INSERT),
    of("pitchNm", "pitch of the thread", THREADED, INSERT),
    of(
        "holeNm",
        "hole for it in the post",
        &[Insert, ThroughBolt],
        INSERT,
    ),
    of("holeDepthNm", "depth of that hole", INSERT, INSERT),
    of("seatNm", "length of the angled seat", EVERY, NONE),
    of("clearDepthNm", "clear depth in the insert", INSERT, NONE),
    of(
        "washerNm",
        "height of the washer on the far face, 0 where there is none",
        &[ThroughBolt],
        NONE,
    ),
];

impl TerminalFigure {
    /// Whether terminals of a kind have it.
    #[must_use]
    pub fn is_of(&self, kind: EndKind) -> bool {
        self.has.contains(&kind)
    }

    /// Whether no cut is computed without it.
    #[must_use]
    pub fn carries(&self, kind: EndKind) -> bool {
        self.rests.contains(&kind)
    }

    /// What it is called of a kind.
    #[must_use]
    pub fn called_of(&self, kind: EndKind) -> &'static str {
        match self.name {
            "leastEngagementNm" if kind == ThroughBolt => "least thread in the nut",
            "holeNm" if kind == Insert => "hole for the insert",
            _ => self.called,
        }
    }
}

/// A figure by its name.
#[must_use]
pub fn terminal_figure(name: &str) -> Option<&'static TerminalFigure> {
    TERMINAL_FIGURES.iter().find(|figure| figure.name == name)
}

impl Terminal {
    /// A figure by its name, as far as it is told and terminals of its kind have it.
    #[must_use]
    pub fn told(&self, name: &str) -> Option<i64> {
        terminal_figure(name).filter(|figure| figure.is_of(self.kind))?;
        match name {
            "overallNm" => self.overall_nm,
            "insertionNm" => Some(self.insertion_nm),
            "growthNm" => Some(self.growth_nm),
            "threadNm" => self.thread_nm,
            "leastEngagementNm" => self.least_engagement_nm,
            "startNm" => self.start_nm,
            "reserveNm" => self.reserve_nm,
            "lockNutNm" => self.lock_nut_nm,
            "threadDiameterNm" => self.thread_diameter_nm,
            "pitchNm" => self.pitch_nm,
            "holeNm" => self.hole_nm,
            "holeDepthNm" => self.hole_depth_nm,
            "seatNm" => self.seat_nm,
            "clearDepthNm" => self.clear_depth_nm,
            "mouthNm" => self.mouth_nm,
            "washerNm" => self.washer_nm,
            _ => None,
        }
    }

    /// What its cut rests on and nobody told, by what it is called; nothing of a kind that no cut is computed
    /// for.
    #[must_use]
    pub fn untold(&self) -> Vec<&'static str> {
        let missing = TERMINAL_FIGURES
            .iter()
            .filter(|figure| figure.carries(self.kind) && self.told(figure.name).is_none());
        missing.map(|figure| figure.called_of(self.kind)).collect()
    }
}

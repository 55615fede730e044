//! What the tension readings of a run come to, as it is shown and kept. One file past 400 lines, since it is one answer
//! and what is asked of it.

use std::cmp::Ordering;

use mechanics::Newtons;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::{Hash, ItemId};
use crate::model::context::Number;
use crate::model::values::{self, Method};
use crate::subject::Subject;

/// How a reading stands against what is asked.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum ReadingState {
    /// Below what is asked.
    Below,
    /// At least what is asked, and within what the gauge may err of it.
    AtTheMark,
    /// Clear of what is asked, the gauge's error counted.
    Clear,
    /// Nothing is asked yet, or people disagree.
    Open,
}

/// What the temperature may have done to a reading, against the final round's.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Warmth {
    /// Warmer than the final round by so many kelvins; below zero: colder.
    pub warmer_k: f64,
    /// Most that this took from the tension; below zero: gave it.
    pub takes_n: f64,
    /// The same for one kelvin.
    pub per_kelvin_n: f64,
    /// One sentence.
    pub sentence: String,
}

/// One reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Reading {
    /// The entry.
    pub entry: Hash,
    /// The bay, where the layout still has it.
    pub bay: Option<Subject>,
    /// The bay's name.
    pub bay_name: String,
    /// Newtons as read, and so they are shown; none where people disagree.
    pub newtons: Option<f64>,
    /// Pass, final or recheck.
    pub stage: values::Stage,
    /// Number of the pass.
    pub pass: Option<u32>,
    /// How it was taken.
    pub method: Method,
    /// Piece of strand that was read.
    pub piece: u32,
    /// The gauge's name.
    pub gauge: Option<String>,
    /// The gauge's error as a share, as it was told then, or as its tool tells it now.
    pub gauge_error: Option<f64>,
    /// When the gauge was compared and is due.
    pub gauge_dates: Option<String>,
    /// What the scale showed.
    pub raw: Option<String>,
    /// Chart that turned the scale into newtons.
    pub chart: Option<String>,
    /// Lower edge of its band, as it was told then.
    pub least_n: Option<f64>,
    /// Upper edge.
    pub most_n: Option<f64>,
    /// What was told to rest under it.
    pub numbers: Vec<Number>,
    /// Its raw recordings, by hash.
    pub recordings: Vec<Hash>,
    /// Air temperature in degrees Celsius.
    pub air_c: Option<f64>,
    /// Wire temperature in degrees Celsius.
    pub wire_c: Option<f64>,
    /// What may be of it from the temperature, where the run was left at another: said beside it and
    /// taken off nothing.
    pub warmth: Option<Warmth>,
    /// Remark.
    pub remark: Option<String>,
    /// Who.
    pub by: String,
    /// When it was read, whatever corrected it since, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Whether it may count against a table: gauge or hung mass.
    pub counts: bool,
    /// Whether people disagree on it.
    pub disputed: bool,
    /// Whether a later reading in its bay took its place, or a new piece the wire's, or the wire was
    /// brought up anew since.
    pub replaced: bool,
    /// Whether the wire was let out and brought up anew since: what it showed then holds no more, in
    /// whatever bay.
    pub anew: bool,
    /// How it stands by itself; open for sound and hung phone, which are held against nothing.
    pub state: ReadingState,
    /// Whether it is over what nothing may exceed, or may be for what its gauge errs; never for sound and hung
    /// phone.
    pub over: bool,
    /// What the wire may carry at most, newtons, where the figure itself is not over and the gauge's error may put it
    /// there.
    pub may_carry_n: Option<f64>,
}

impl Reading {
    /// "is over the upper tension of 1800 N: 1950 N in A2–A3", or that it may be.
    #[must_use]
    pub fn told_over(&self, upper: f64) -> String {
        let reads = self.newtons.unwrap_or_default();
        let (is, may) = match self.may_carry_n {
            Some(may) => (
                "may be",
                format!(", up to {may:.0}\u{a0}N for what the gauge errs"),
            ),
            None => ("is", String::new()),
        };
        let bay = &self.bay_name;
        format!("{is} over the upper tension of {upper:.0}\u{a0}N: {reads} N in {bay}{may}")
    }
}

/// A deflection under a hung mass, beside the document's table and the tension it tells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct DeflectionCheck {
    /// The entry.
    pub entry: Hash,
    /// The bay.
    pub bay: Subject,
    /// The bay's name.
    pub bay_name: String,
    /// Pass, final or recheck; what hung in the last pass is as good as final.
    pub stage: values::Stage,
    /// Number of the pass, as told.
    pub pass: Option<u32>,
    /// When it was told, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Whether a later one in its bay took its place, or the wire was brought up anew since.
    pub replaced: bool,
    /// Whether the wire was let out and brought up anew since.
    pub anew: bool,
    /// Whether the wire was let out since, in whatever bay: it comes up by its passes first.
    pub let_out: bool,
    /// Whether people differ on it: then a word that shows a sag counts, else the furthest down.
    pub disputed: bool,
    /// Why it tells no tension; none where it tells one.
    pub untold: Option<String>,
    /// Deflection read.
    pub deflection_mm: f64,
    /// Mass as weighed.
    pub mass_kg: f64,
    /// Largest deflection by the document's table; none where the mass falls short of the table's or
    /// the bay is only a part of the one that the table counts.
    pub most_mm: Option<f64>,
    /// That table's mass.
    pub table_mass_kg: Option<f64>,
    /// In hand before that limit; below zero where it is over.
    pub margin_mm: Option<f64>,
    /// Within that limit by less than the ruler leaves open: it may be over.
    pub at_the_mark: bool,
    /// Tension that it tells, wire taken as gripped at the posts: the careful answer.
    pub gripped_n: Option<f64>,
    /// Least and most of that for half a millimetre of the ruler.
    pub gripped_band_n: Option<(f64, f64)>,
    /// The same, wire taken as sliding through the posts.
    pub sliding_n: Option<f64>,
    /// Least and most of that for half a millimetre of the ruler.
    pub sliding_band_n: Option<(f64, f64)>,
    /// One sentence.
    pub sentence: String,
}

impl DeflectionCheck {
    /// Whether the wire stands as it was when the mass hung: neither let out nor brought up anew since.
    #[must_use]
    pub fn holds(&self) -> bool {
        !self.anew && !self.let_out
    }

    /// Whether it went further down than the table lets it.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.margin_mm.is_some_and(|margin| margin < 0.0)
    }

    /// "goes down 5.2 mm under the hung mass in A2–A3, the table lets it be 5.0 mm", of one that is over the table.
    pub(in crate::work) fn goes_down(&self) -> String {
        format!(
            "goes down {:.1} mm under the hung mass in {}, the table lets it be {:.1} mm",
            self.deflection_mm,
            self.bay_name,
            self.most_mm.unwrap_or_default()
        )
    }

    /// Which of two words on one mass counts where people differ, the greater: one that shows a sag, of a
    /// recheck before a final round, since only a recheck takes that one back; one that is over the table in
    /// a pass; the one further down. A deeper word under a mass that can't be held against the table hides
    /// none that can.
    pub(super) fn by_concern(&self, other: &Self) -> Ordering {
        let over = |one: &Self| one.is_over().then_some(one.stage);
        let deeper = || self.deflection_mm.total_cmp(&other.deflection_mm);
        over(self).cmp(&over(other)).then_with(deeper)
    }

    /// Whether it hung with its wire at the set tension or in a recheck, and within the table, as all tell.
    #[must_use]
    pub fn is_within(&self) -> bool {
        let within = self.margin_mm.is_some_and(|margin| margin >= 0.0);
        within && !self.disputed && self.stage != values::Stage::Pass
    }
}

/// What a wire showed in one bay when it was left and now.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Compared {
    /// When it was left: at the end of the visit before, else at the set tension.
    pub left: Reading,
    /// At the set tension, where that bay was read then.
    pub at_set: Option<Reading>,
    /// Now.
    pub now: Reading,
    /// What it showed first in that very visit, where that was less than it shows now: it was brought up
    /// since.
    pub found: Option<Reading>,
}

impl Compared {
    /// What it lost in between, newtons.
    pub(super) fn lost_n(&self) -> f64 {
        super::force(&self.left) - super::force(&self.now)
    }
}

/// Another run on a post that was brought up after a wire was last read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PulledAfter {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// The post that carries both.
    pub post: String,
    /// Its wires that were brought up or turned since.
    pub wires: Vec<u32>,
    /// Whether all its wires were read at their set tension: before that it goes on being brought up.
    pub done: bool,
}

/// From what share of its set tension a wire counts as brought to it: what two gauges of 5 % may differ.
const AT_TENSION: f64 = 0.9;

/// Whether a wire that shows so much was brought to its set tension.
pub(in crate::work) fn at_tension(now: Newtons, set: Newtons) -> bool {
    now.value() >= AT_TENSION * set.value()
}

/// One wire's readings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TensionLine {
    /// Number from the bottom.
    pub wire: u32,
    /// The wire.
    pub subject: Subject,
    /// "A6".
    pub name: String,
    /// Piece of strand.
    pub piece: u32,
    /// All readings, oldest first; those of earlier pieces too.
    pub readings: Vec<Reading>,
    /// The reading that governs: the lowest of those that stand, over all bays. Passes on the way up
    /// stand only until the set tension was read.
    pub governing: Option<Reading>,
    /// The least that anybody tells of the readings that stand: the governing one where people agree.
    pub least_n: Option<f64>,
    /// Lowest bay of the newest pass.
    pub last_pass: Option<Reading>,
    /// Lowest bay of the readings at the set tension, before any recheck: the final round and the
    /// last of the passes that were decided.
    pub last_final: Option<Reading>,
    /// Lowest bay of what was read when the run was looked at again: the recheck, and what was read
    /// after it.
    pub last_recheck: Option<Reading>,
    /// Whether it showed its set tension when it was read last, or nearly: a trial wire's thread is read there.
    pub at_tension: bool,
    /// The bay in which it lost most since it was left, of those that were read then and now.
    pub compared: Option<Compared>,
    /// Whether it was looked at again at least a week after it was last brought to its set tension: before
    /// that nothing is told of what is lost.
    pub rechecked: bool,
    /// When it was last brought to its set tension before that, by gauge or mass, milliseconds since 1970
    /// UTC.
    pub left_ms: Option<i64>,
    /// When it was looked at last, by gauge or mass.
    pub looked_ms: Option<i64>,
    /// How the wire stands.
    pub state: ReadingState,
    /// Widest bay and bay furthest from the tensioner that were not read in the newest round.
    pub not_read: Vec<String>,
    /// The round in which the hung mass was within the document's table in every bay to read: the
    /// other way to show the same, for a crew without a gauge.
    pub held_by_deflection: Option<values::Stage>,
    /// Entries of the masses under which it stands further down than the document's table lets it.
    pub sags: Vec<Hash>,
    /// Wires of the run that were turned, or found far lower, after this one was last read at its set tension or in a recheck, as
    /// was told or as what they showed since tells: it is to be read again. This one itself where it was read in a lower pass on another device, and
    /// nothing tells which of the two came last.
    pub turned_after: Vec<u32>,
    /// What it is computed to stand at since others were brought up, let out or taken out, where twice as much as that
    /// is off from what it showed by more than the gauge can tell, below what it has to show, or over what nothing may
    /// exceed: it is to be read again, whether or not anybody told turns.
    pub stands_n: Option<f64>,
    /// What it is computed to show at the least in all its bays, where it was turned after what governs it was read: it
    /// was read in another bay or another round alone. None where what governs it was read since.
    pub brought_n: Option<f64>,
    /// Whether that turning brought it to where nothing more is to be turned before the bay that still governs it is
    /// read: clear of what is required, or, where that bay was over what nothing may exceed, below that again.
    pub read_there: bool,
    /// Other runs on one of its posts that were brought up since then: it is to be read again once they
    /// are.
    pub pulled_after: Vec<PulledAfter>,
    /// Deflections under a hung mass.
    pub deflections: Vec<DeflectionCheck>,
}

impl TensionLine {
    /// The masses under which it stands further down than the table lets it.
    pub fn sagging(&self) -> impl Iterator<Item = &DeflectionCheck> {
        let hung = self.deflections.iter();
        hung.filter(|check| self.sags.contains(&check.entry))
    }

    /// The highest pass that it went through under a hung mass; all of them where it hung at the set tension.
    pub(in crate::work) fn hung_pass(&self) -> Option<u32> {
        let holds = self.deflections.iter().filter(|check| check.holds());
        let pass = |check: &DeflectionCheck| match check.stage {
            values::Stage::Pass => check.pass.unwrap_or(0),
            values::Stage::Final | values::Stage::Recheck => u32::MAX,
        };
        holds.map(pass).max()
    }

    /// What it showed when it was read last, of the readings that stand.
    pub(in crate::work) fn shows_last(&self) -> Option<Newtons> {
        let stand = self.readings.iter().filter(|r| r.counts && !r.replaced);
        let last = stand.max_by_key(|r| r.at_ms)?;
        last.newtons.map(Newtons)
    }

    /// Whether other wires were turned after it was last read, of its run or, once that is done, of another
    /// one on its posts.
    #[must_use]
    pub fn is_to_read_again(&self) -> bool {
        !self.turned_after.is_empty() || self.pulled_after.iter().any(|after| after.done)
    }

    /// The highest of the readings that stand over what nothing may exceed, or may be; none where none is.
    #[must_use]
    pub fn over(&self) -> Option<&Reading> {
        let newtons = |r: &&Reading| r.newtons.unwrap_or_default();
        let over = self.readings.iter().filter(|r| r.over && !r.replaced);
        over.max_by(|a, b| newtons(a).total_cmp(&newtons(b)))
    }

    /// Whether the wire was read at its set tension or in a recheck, with a gauge or under a mass.
    #[must_use]
    pub fn is_read(&self) -> bool {
        self.last_final.is_some()
            || self.last_recheck.is_some()
            || self.held_by_deflection.is_some()
    }

    /// Whether what was read then is not below what is asked, by the gauge or, where no gauge says
    /// that it is below, by the hung mass.
    #[must_use]
    pub fn is_held(&self) -> bool {
        let state = self.finished().map(|_| self.state);
        match state {
            Some(ReadingState::AtTheMark | ReadingState::Clear) => true,
            Some(ReadingState::Below) => false,
            Some(ReadingState::Open) | None => self.held_by_deflection.is_some(),
        }
    }

    /// Whether what governs it is older than its last turning, which brought all its bays to where nothing is to be
    /// turned before they are read; `least`: from where it is clear of what is required.
    pub(super) fn brought_within(&self, least: Option<f64>) -> bool {
        let of_piece = |r: &&Reading| r.piece == self.piece && r.counts && r.newtons.is_some();
        let newest = self.readings.iter().rfind(of_piece);
        // What was let out, however far, is read where it was over.
        let there = |to: f64| self.over().is_some() || least.is_none_or(|least| to >= least);
        self.brought_n.is_some_and(there) && newest.is_some_and(|newest| !newest.over)
    }

    /// The reading that governs, once the wire was read at its set tension or in a recheck.
    #[must_use]
    pub fn finished(&self) -> Option<&Reading> {
        let read = self.last_final.is_some() || self.last_recheck.is_some();
        self.governing.as_ref().filter(|_| read)
    }
}

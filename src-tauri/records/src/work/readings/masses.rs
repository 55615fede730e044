//! What a hung mass tells of wires that no gauge read.
//!
//! Invariant: nothing is counted from a mass that tells less than there is room for.

use mechanics::Newtons;

use super::answer::{DeflectionCheck, TensionLine};
use crate::model::values::Stage;
use crate::work::WorkError;
use crate::work::tension::most_shown;

/// What masses and rounds of a run are held against.
pub(in crate::work) struct Bounds {
    /// How many passes there are: the last one is as good as the final round.
    pub(in crate::work) passes: usize,
    /// What every wire has to show, where anything is.
    pub(in crate::work) required: Option<Newtons>,
    /// What nothing may exceed, where that is known.
    pub(in crate::work) upper: Option<Newtons>,
    /// The most that the gauge may show without its wire being over that.
    pub(in crate::work) most_shown: Option<Newtons>,
    /// By how much a mass may leave a tension open: the room between what is required and the upper tension, a
    /// third of the set tension where nothing is.
    pub(in crate::work) room: Newtons,
}

impl Bounds {
    /// `error`: the gauge's as a share, where it is told.
    ///
    /// # Errors
    /// When the error is out of range.
    pub(in crate::work) fn of(
        passes: usize,
        (upper, error): (Option<Newtons>, Option<f64>),
        required: Option<Newtons>,
        set: Newtons,
    ) -> Result<Self, WorkError> {
        let required = required.filter(|required| required.value() > 0.0);
        let between = required
            .zip(upper)
            .map(|(required, upper)| upper - required);
        let most = upper.map(|upper| most_shown(upper, Some(set), error));
        Ok(Bounds {
            passes,
            required,
            upper,
            most_shown: most.transpose()?,
            room: between.unwrap_or(set / 3.0),
        })
    }
}

/// A mass and the tension that it tells.
pub(in crate::work) struct Told<'a> {
    pub(in crate::work) check: &'a DeflectionCheck,
    /// Wire taken as gripped at the posts.
    pub(in crate::work) tension: Newtons,
    least: f64,
    most: f64,
}

impl Told<'_> {
    /// By how much more than told the wire may stand at, for half a millimetre of the ruler.
    pub(in crate::work) fn may_be_more(&self) -> Newtons {
        Newtons(self.most) - self.tension
    }
}

/// The masses of a wire that no gauge read, those that tell enough.
pub(in crate::work) struct Hung<'a> {
    pub(in crate::work) in_passes: Vec<Told<'a>>,
    /// Those that hung at the set tension or in a recheck, the one that tells most closely first.
    pub(in crate::work) at_set: Vec<Told<'a>>,
}

impl Hung<'_> {
    /// The one that the wire stands at.
    pub(in crate::work) fn last(&self) -> Option<&Told<'_>> {
        let newest = self.in_passes.iter().max_by_key(|told| told.check.at_ms);
        self.at_set.first().or(newest)
    }
}

/// The rounds of a run in their order; the last pass is as good as the final one.
fn round(bounds: &Bounds, stage: Stage, pass: Option<u32>) -> u32 {
    let number = pass.unwrap_or(0);
    match stage {
        Stage::Pass if (number as usize) < bounds.passes => number,
        Stage::Pass | Stage::Final => u32::MAX - 1,
        Stage::Recheck => u32::MAX,
    }
}

/// The masses of a wire that hung in a later round than a gauge read it in: in one round the gauge tells more
/// closely.
fn later_than_gauge<'a>(
    bounds: &Bounds,
    line: &'a TensionLine,
) -> impl Iterator<Item = &'a DeflectionCheck> {
    let by_gauge = line
        .readings
        .iter()
        .filter(|r| r.piece == line.piece && r.counts && r.newtons.is_some() && !r.anew);
    let read = by_gauge.map(|r| round(bounds, r.stage, r.pass)).max();
    let later = move |check: &&DeflectionCheck| {
        read.is_none_or(|read| round(bounds, check.stage, check.pass) > read)
    };
    line.deflections.iter().filter(later)
}

/// All of them that tell enough, those that later ones took the place of too.
pub(super) fn all_hung<'a>(
    bounds: &Bounds,
    line: &'a TensionLine,
) -> impl Iterator<Item = Told<'a>> {
    later_than_gauge(bounds, line).filter_map(|check| told(bounds, check))
}

/// Those of them that hold, which the wire stands at; none where there are none.
pub(in crate::work) fn hung<'a>(bounds: &Bounds, line: &'a TensionLine) -> Option<Hung<'a>> {
    let holds = || later_than_gauge(bounds, line).filter(|check| check.holds());
    holds().next()?;
    let told = |check| told(bounds, check);
    let in_passes = holds().filter(|check| check.stage == Stage::Pass);
    let at_set = holds().filter(|check| check.stage != Stage::Pass && !check.replaced);
    let mut at_set: Vec<Told<'_>> = at_set.filter_map(told).collect();
    let open = |told: &Told<'_>| told.most - told.least;
    at_set.sort_by(|a, b| open(a).total_cmp(&open(b)));
    Some(Hung {
        in_passes: in_passes.filter_map(told).collect(),
        at_set,
    })
}

/// What a mass tells, where that is enough; of one that is over the upper tension by all that it may be, the least.
fn told<'a>(bounds: &Bounds, check: &'a DeflectionCheck) -> Option<Told<'a>> {
    let (least, most) = check.gripped_band_n?;
    let over = bounds.upper.is_some_and(|upper| least > upper.value());
    let enough = over || most - least <= bounds.room.value();
    enough.then_some(Told {
        check,
        tension: Newtons(if over { least } else { check.gripped_n? }),
        least,
        most,
    })
}

//! What tension is lost later: permanent stretch, creep of the posts, warming.
//!
//! Invariant: an expected loss is a band, from what is least to what is most likely to be lost;
//! the recheck is compared with the band and never corrected by it. Does not say why a wire lost
//! more than the band: that is looked for on site.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, within};
use crate::spd;
use crate::tensioning::{Frame, factored, tight, with_diagonal};
use crate::units::{Kelvins, Newtons};

/// What happens to a run between tensioning and looking again.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Loss {
    /// ε: permanent stretch still to come, length over length.
    pub stretch: f64,
    /// φ(t): creep of the posts by then, as a share of their elastic movement.
    pub post_creep: f64,
    /// Expansion of the wire less that of the structure, per kelvin.
    pub expansion_difference_per_kelvin: f64,
    /// Temperature then less temperature when tensioned.
    pub warmer_by: Kelvins,
}

/// Least and most that is expected to be lost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct LossRange {
    /// The least.
    pub least: Loss,
    /// The most.
    pub most: Loss,
}

/// What a wire is expected to show when looked at again.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ExpectedLater {
    /// The lower end, the gauge's error taken off.
    pub from: Newtons,
    /// The upper end, the gauge's error added.
    pub to: Newtons,
}

/// Most permanent stretch that new 1x19 usually takes in all (assumption: 2e-4 to 5e-4). All of it may
/// still come after tensioning: how much comes before is not known.
pub const STRETCH_USUAL_MOST: f64 = 5.0e-4;

/// Final creep of timber posts over their elastic movement, least and most (memory: EN 1995-1-1,
/// solid timber outdoors; an input, no check value).
pub const TIMBER_CREEP: (f64, f64) = (0.0, 2.0);

/// Share of the final creep of timber reached after two weeks (assumption).
pub const CREEP_AFTER_TWO_WEEKS: f64 = 0.2;

/// Years after which creep is taken as final (EN 1995-1-1 counts a permanent load over decades).
const CREEP_YEARS: f64 = 50.0;

/// Share of the final creep of timber reached after so many days: 0.2 up to two weeks, then growing
/// as a power of time, 0.2·(t / 14)ⁿ, to 1 after fifty years (assumption: the usual form of creep
/// laws, through both ends). Without a step, so a band never jumps open from one day to the next.
#[must_use]
pub fn creep_share(days: f64) -> f64 {
    let fortnights = (days / 14.0).max(1.0);
    let power = -CREEP_AFTER_TWO_WEEKS.ln() / (CREEP_YEARS * 365.25 / 14.0).ln();
    (CREEP_AFTER_TWO_WEEKS * fortnights.powf(power)).min(1.0)
}

impl Loss {
    /// ε + α·ΔT.
    fn lengthening(&self) -> f64 {
        self.stretch + self.expansion_difference_per_kelvin * self.warmer_by.value()
    }

    fn check(&self) -> Result<(), MechanicsError> {
        within("the stretch still to come", self.stretch, 0.0, 0.01)?;
        within("the posts' creep", self.post_creep, 0.0, 10.0)?;
        finite(
            "the difference of expansions",
            self.expansion_difference_per_kelvin,
        )?;
        within("the temperature difference", self.warmer_by, -100.0, 100.0)?;
        Ok(())
    }
}

impl Frame {
    /// Tensions after permanent stretch ε, creep of the posts (F·(1 + φ)) and warming by ΔT·α:
    /// T' = (diag(Lw/EA) + F·(1 + φ))⁻¹·(C·T − (ε + α·ΔT)·Lw); a wire that would push is slack, and
    /// holds no post back from the others.
    ///
    /// # Errors
    /// When there is not one tension for each wire, one is below zero, or a loss cannot be.
    pub fn after_loss(
        &self,
        tensions: &[Newtons],
        loss: &Loss,
    ) -> Result<Vec<Newtons>, MechanicsError> {
        let tensions = self.numbers(tensions)?;
        loss.check()?;
        let mut turned = spd::times(&self.flexibility, &tensions);
        let longer = loss.lengthening();
        for (turned, length) in turned.iter_mut().zip(&self.lengths) {
            *turned -= longer * length;
        }
        let crept = with_diagonal(&self.influence, &self.axial, 1.0 + loss.post_creep);
        factored(&crept)?;
        Ok(tight(&crept, turned)?.into_iter().map(Newtons).collect())
    }
}

/// What each wire is expected to show later, from what it showed when it was left.
///
/// # Errors
/// When there is not one tension for each wire, or a figure cannot be.
pub fn expected_later(
    frame: &Frame,
    left_at: &[Newtons],
    range: &LossRange,
    gauge_error: f64,
) -> Result<Vec<ExpectedLater>, MechanicsError> {
    let error = within("the gauge's error as a share", gauge_error, 0.0, 0.5)?;
    let high = frame.after_loss(left_at, &range.least)?;
    let low = frame.after_loss(left_at, &range.most)?;
    let band = |(low, high): (&Newtons, &Newtons)| ExpectedLater {
        from: low.min(*high) * (1.0 - error),
        to: low.max(*high) * (1.0 + error),
    };
    Ok(low.iter().zip(&high).map(band).collect())
}

/// Loss of the wire that loses least, were all that is expected at its least; never below none.
///
/// # Errors
/// As [`expected_later`].
pub fn least_loss(
    frame: &Frame,
    set: &[Newtons],
    range: &LossRange,
) -> Result<Newtons, MechanicsError> {
    let after = frame.after_loss(set, &range.least)?;
    let lost = set.iter().zip(&after).map(|(set, after)| *set - *after);
    let least = lost.reduce(Newtons::min).unwrap_or_default();
    Ok(least.max(Newtons(0.0)))
}

/// Loss of the wire that loses most, to be added to the required tension before setting.
///
/// # Errors
/// As [`expected_later`].
pub fn worst_loss(
    frame: &Frame,
    set: &[Newtons],
    range: &LossRange,
) -> Result<Newtons, MechanicsError> {
    let after = frame.after_loss(set, &range.most)?;
    let lost = set.iter().zip(&after).map(|(set, after)| *set - *after);
    Ok(lost.fold(Newtons(0.0), Newtons::max))
}

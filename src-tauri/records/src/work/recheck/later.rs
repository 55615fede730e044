//! What a run is expected to lose later at any set tension, and the least set tension that leaves
//! what is required.
//!
//! Invariant: the loss is that of the very tension it is added to; the temperature is not counted,
//! since what it does comes back, and stands beside it as a figure of its own.

use mechanics::loss::{LossRange, least_loss, worst_loss};
use mechanics::tension::least_set;
use mechanics::tensioning::Frame;
use mechanics::{Kelvins, Newtons};

use super::band;
use crate::job::{Job, Run};
use crate::work::WorkError;
use crate::work::frame::frame_before;
use crate::work::tensioning::Decided;

/// Set tensions beyond this many times the required one are no answer.
const MOST_TIMES: f64 = 20.0;

/// What the wires are expected to lose; the temperature is not counted where it isn't named.
#[derive(Clone, Copy, Debug)]
pub(in crate::work) struct LaterLoss {
    /// By the first recheck, the wire that loses least and at the least that is expected.
    pub(in crate::work) first_least: Newtons,
    /// By the first recheck, the wire that loses most.
    pub(in crate::work) first: Newtons,
    /// The same on a day [`ONE_SUMMER`] warmer.
    pub(in crate::work) hot_day: Newtons,
    /// In all, after years.
    pub(in crate::work) in_all: Newtons,
}

/// How a run loses tension later.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::work) struct Losing {
    frame: Frame,
    first: LossRange,
    in_all: LossRange,
    /// By the first recheck, on a day [`ONE_SUMMER`] warmer.
    on_a_hot_day: LossRange,
}

/// Kelvins between a cool day on site and a hot one, assumed.
pub(in crate::work) const ONE_SUMMER: Kelvins = Kelvins(30.0);

/// A set tension with what is lost at it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::work) struct SetWith {
    pub(in crate::work) set: Newtons,
    pub(in crate::work) loss: Newtons,
}

impl Losing {
    /// Of a run whose tension is decided.
    pub(in crate::work) fn of(job: &Job<'_>, decided: &Decided<'_>) -> Self {
        Self::with(job, decided.run, decided.frame.clone())
    }

    fn with(job: &Job<'_>, run: &Run, frame: Frame) -> Self {
        let (first, in_all) = band::lasting(job, run, Kelvins(0.0));
        Losing {
            frame,
            first,
            in_all,
            on_a_hot_day: band::lasting(job, run, ONE_SUMMER).0,
        }
    }

    /// Of a run whose wires are not cut or not decided yet: wires are taken as long as from post to
    /// post, which loses a little more. What is missing where it can't be told.
    pub(in crate::work) fn before(
        job: &Job<'_>,
        run: &Run,
    ) -> Result<Result<Self, String>, WorkError> {
        Ok(frame_before(job, run)?.map(|frame| Self::with(job, run, frame)))
    }

    /// What is lost with every wire at this tension.
    pub(in crate::work) fn at(&self, set: Newtons) -> Result<LaterLoss, WorkError> {
        let all = vec![set; self.frame.wires()];
        Ok(LaterLoss {
            first_least: least_loss(&self.frame, &all, &self.first)?,
            hot_day: self.lost(&self.on_a_hot_day, set)?,
            first: self.lost(&self.first, set)?,
            in_all: self.lost(&self.in_all, set)?,
        })
    }

    fn lost(&self, range: &LossRange, set: Newtons) -> Result<Newtons, WorkError> {
        let all = vec![set; self.frame.wires()];
        Ok(worst_loss(&self.frame, &all, range)?)
    }

    /// Least set tension that leaves what is required by the first recheck, on a gauge of this error;
    /// none where more is lost with every newton that is set.
    pub(in crate::work) fn least_set(
        &self,
        required: Newtons,
        error: f64,
    ) -> Result<Option<SetWith>, WorkError> {
        self.least(&self.first, required, error)
    }

    /// The same where the first recheck falls on a hot day.
    pub(in crate::work) fn least_on_a_hot_day(
        &self,
        required: Newtons,
        error: f64,
    ) -> Result<Option<SetWith>, WorkError> {
        self.least(&self.on_a_hot_day, required, error)
    }

    /// The same after years.
    pub(in crate::work) fn least_in_all(
        &self,
        required: Newtons,
        error: f64,
    ) -> Result<Option<SetWith>, WorkError> {
        self.least(&self.in_all, required, error)
    }

    fn least(
        &self,
        range: &LossRange,
        required: Newtons,
        error: f64,
    ) -> Result<Option<SetWith>, WorkError> {
        // What is lost rises with what is set, so this rises to the least that is enough.
        let mut set = least_set(required, Newtons(0.0), error)?;
        while set <= required * MOST_TIMES {
            let loss = self.lost(range, set)?;
            let enough = least_set(required, loss, error)?;
            if enough <= set {
                return Ok(Some(SetWith { set, loss }));
            }
            set = enough;
        }
        Ok(None)
    }
}

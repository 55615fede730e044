//! ISO metric coarse thread: pitch, stress area, what a turn takes up and what a pull asks of it.
//!
//! Invariant: only sizes whose pitch is stated here are answered. Does not rate threads: the
//! load a thread may carry is the maker's figure, and a stress is a demand without it.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative};
use crate::units::{Megapascals, Millimetres, Newtons, SquareMillimetres};

/// Hand of a thread or terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Hand {
    /// Left-hand thread, LH.
    Left,
    /// Right-hand thread, RH.
    Right,
}

impl Hand {
    /// The other hand.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// ISO metric coarse thread sizes used on wire terminals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum MetricThread {
    /// M5 × 0.8.
    M5,
    /// M6 × 1.
    M6,
    /// M8 × 1.25.
    M8,
    /// M10 × 1.5.
    M10,
}

/// Nominal diameter of the thread (ISO 261).
#[must_use]
pub const fn nominal_diameter(thread: MetricThread) -> Millimetres {
    Millimetres(match thread {
        MetricThread::M5 => 5.0,
        MetricThread::M6 => 6.0,
        MetricThread::M8 => 8.0,
        MetricThread::M10 => 10.0,
    })
}

/// Pitch of the coarse thread (ISO 261).
#[must_use]
pub const fn pitch(thread: MetricThread) -> Millimetres {
    Millimetres(match thread {
        MetricThread::M5 => 0.8,
        MetricThread::M6 => 1.0,
        MetricThread::M8 => 1.25,
        MetricThread::M10 => 1.5,
    })
}

/// Tensile stress area π/4·((d2 + d3)/2)², d2 = d − 0.649519·P, d3 = d − 1.226869·P (ISO 898-1).
#[must_use]
pub fn stress_area(thread: MetricThread) -> SquareMillimetres {
    let d = nominal_diameter(thread).value();
    let p = pitch(thread).value();
    let mean = ((d - 0.649_519 * p) + (d - 1.226_869 * p)) / 2.0;
    SquareMillimetres(PI / 4.0 * mean * mean)
}

/// What a straight pull asks of a thread: T ÷ As, newtons per square millimetre (ISO 898-1). The twist of
/// turning it in under load is not in it, and what the shank carries beside it neither.
///
/// # Errors
/// When the pull is below zero.
pub fn stress(pull: Newtons, thread: MetricThread) -> Result<Megapascals, MechanicsError> {
    let pull = not_negative("the pull on the thread", pull.value())?;
    Ok(Megapascals(pull / stress_area(thread).value()))
}

/// What one turn takes up: the pitches of all threads that turn. A whole wire with an LH and an RH end
/// turns in both; where one end alone is turned, that one's pitch is all.
///
/// Of both it holds only when the whole wire turns; turning one end twists a long wire and its far end
/// lags.
#[must_use]
pub fn take_up_per_turn(turned: &[MetricThread]) -> Millimetres {
    turned.iter().map(|thread| pitch(*thread)).sum()
}

/// What one flat (a sixth of a turn of a hexagon) takes up.
#[must_use]
pub fn take_up_per_flat(turned: &[MetricThread]) -> Millimetres {
    take_up_per_turn(turned) / 6.0
}

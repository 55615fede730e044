//! Threads by diameter and pitch: stress area, what a turn takes up and what a pull asks of one.
//!
//! Invariant: no pitch is guessed beside a diameter whose coarse pitch is not stated here; a thread that
//! would have no core is none. Does not rate threads: the load a thread may carry is the maker's figure,
//! and a stress is a demand without it.

use std::f64::consts::PI;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive, within};
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

/// A thread of the 60° profile that ISO 68-1 and ASME B1.1 share, by its nominal diameter and its pitch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", try_from = "Figures")]
pub struct Thread {
    diameter: Millimetres,
    pitch: Millimetres,
}

#[derive(Deserialize)]
struct Figures {
    diameter: Millimetres,
    pitch: Millimetres,
}

impl TryFrom<Figures> for Thread {
    type Error = MechanicsError;

    fn try_from(told: Figures) -> Result<Self, MechanicsError> {
        Self::new(told.diameter, told.pitch)
    }
}

impl Thread {
    /// M5 × 0.8.
    pub const M5: Self = Self::coarse_of(5.0, 0.8);
    /// M6 × 1.
    pub const M6: Self = Self::coarse_of(6.0, 1.0);
    /// M8 × 1.25.
    pub const M8: Self = Self::coarse_of(8.0, 1.25);
    /// M10 × 1.5.
    pub const M10: Self = Self::coarse_of(10.0, 1.5);
    /// The metric coarse threads of wire terminals (ISO 261).
    pub const COARSE: [Self; 4] = [Self::M5, Self::M6, Self::M8, Self::M10];

    const fn coarse_of(diameter: f64, pitch: f64) -> Self {
        Self {
            diameter: Millimetres(diameter),
            pitch: Millimetres(pitch),
        }
    }

    /// A thread by its nominal diameter and its pitch.
    ///
    /// # Errors
    /// When either is not above zero, or the pitch is so great that no core would be left.
    pub fn new(diameter: Millimetres, pitch: Millimetres) -> Result<Self, MechanicsError> {
        let most = positive("the thread's diameter", diameter)? / CORE_GONE;
        positive("the thread's pitch", pitch)?;
        within("the thread's pitch", pitch, 0.0, most)?;
        Ok(Self { diameter, pitch })
    }

    /// The metric coarse thread of a nominal diameter, where it is one of those that are stated here.
    #[must_use]
    pub fn coarse(diameter: Millimetres) -> Option<Self> {
        Self::COARSE
            .into_iter()
            .find(|known| known.diameter == diameter)
    }

    /// Nominal diameter.
    #[must_use]
    pub const fn diameter(self) -> Millimetres {
        self.diameter
    }

    /// Way along the axis of one turn.
    #[must_use]
    pub const fn pitch(self) -> Millimetres {
        self.pitch
    }

    /// Whether it is a metric one: of a whole number of millimetres, which no size of inch threads is that
    /// wire terminals come with.
    #[must_use]
    pub fn is_metric(self) -> bool {
        self.diameter.value().fract() == 0.0
    }

    /// Tensile stress area: π/4·((d2 + d3)/2)², d2 = d − 0.649519·P, d3 = d − 1.226869·P, of a metric thread
    /// (ISO 898-1); π/4·(d − 0.9743·P)² of any other (ASME B1.1, read second hand). Both share the basic profile and so d2; the
    /// core of the second is taken deeper, so that its area is the smaller: 1.8 % at 1/4-20.
    #[must_use]
    pub fn stress_area(self) -> SquareMillimetres {
        let (d, p) = (self.diameter.value(), self.pitch.value());
        let mean = match self.is_metric() {
            true => ((d - 0.649_519 * p) + (d - 1.226_869 * p)) / 2.0,
            false => d - 0.9743 * p,
        };
        SquareMillimetres(PI / 4.0 * mean * mean)
    }

    /// The standard whose formula the stress area goes by.
    #[must_use]
    pub fn area_from(self) -> &'static str {
        match self.is_metric() {
            true => "ISO 898-1",
            false => "ASME B1.1",
        }
    }
}

/// The nominal diameter in pitches at which nothing is left of the core: 2 · 0.649519, by the deeper of the two
/// cores.
const CORE_GONE: f64 = 1.299_038;

impl fmt::Display for Thread {
    /// "M6 × 1", or "6.35 mm × 1.27 mm (20 turns per inch)".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (diameter, pitch) = (self.diameter.value(), self.pitch.value());
        if self.is_metric() {
            return write!(f, "M{diameter} × {pitch}");
        }
        write!(f, "{diameter} mm × {pitch} mm")?;
        let turns = 25.4 / pitch;
        // A pitch of an inch thread is no round figure of millimetres: a thousandth is how it was rounded.
        if (turns - turns.round()).abs() < turns * 0.001 {
            write!(f, " ({} turns per inch)", turns.round())?;
        }
        Ok(())
    }
}

/// What a straight pull asks of a thread: T ÷ As, newtons per square millimetre. The twist of
/// turning it in under load is not in it, and what the shank carries beside it neither.
///
/// # Errors
/// When the pull is below zero.
pub fn stress(pull: Newtons, thread: Thread) -> Result<Megapascals, MechanicsError> {
    let pull = not_negative("the pull on the thread", pull)?;
    Ok(Megapascals(pull / thread.stress_area().value()))
}

/// What one turn takes up: the pitches of all threads that turn. A whole wire with an LH and an RH end
/// turns in both; where one end alone is turned, that one's pitch is all.
///
/// Of both it holds only when the whole wire turns; turning one end twists a long wire and its far end
/// lags.
#[must_use]
pub fn take_up_per_turn(turned: &[Thread]) -> Millimetres {
    turned.iter().map(|thread| thread.pitch()).sum()
}

/// What one flat (a sixth of a turn of a hexagon) takes up.
#[must_use]
pub fn take_up_per_flat(turned: &[Thread]) -> Millimetres {
    take_up_per_turn(turned) / 6.0
}

//! Engineering of tensioned wire barriers: pure functions, no input or output, no clock.
//!
//! Owns the formulas, the code-table lookups and the plain inputs and answers they need.
//! Invariant: a code table is never relaxed by a model, and every answer is a demand, a limit
//! and a margin with its source; none says that a barrier is safe or complies.
//! Does not read files, parse text, or know the record.

pub mod assessment;
pub mod corner;
pub mod cut_plan;
pub mod cutting;
pub mod deflection;
pub mod ends;
mod error;
pub mod figure;
pub mod fitting;
pub mod gap;
pub mod holes;
pub mod lengths;
pub mod loss;
pub mod plausible;
pub mod posts;
pub mod rules;
pub mod slope;
pub mod sound;
pub mod spacing;
mod spd;
pub mod strand;
pub mod takeoff;
pub mod template;
pub mod tension;
pub mod tensioning;
pub mod thread;
pub mod trial;
pub mod units;

pub use error::MechanicsError;
pub use figure::{Figure, Origin};
pub use units::{
    Degrees, Hertz, Kelvins, Kilograms, KilogramsPerMetre, Megapascals, Millimetres, NewtonMetres,
    NewtonSquareMetres, Newtons, NewtonsPerMillimetre, Seconds, SquareMillimetres,
};

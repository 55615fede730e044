//! Why a sound or a motion gives no tension, and what to do about it, in plain words.
//!
//! Invariant: a refusal is an answer, with its reason, its figures and a remedy; it never comes
//! with a tension beside it. Does not hold faulty inputs such as a negative length: those are
//! [`crate::MechanicsError`].

use serde::{Deserialize, Serialize};

use crate::units::{Hertz, Millimetres, Newtons, Seconds};

/// Why no tension is told.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Refusal {
    /// The recording holds nothing.
    Empty,
    /// The recording holds something that is not a number.
    Damaged,
    /// Too few samples per second for the partials of a wire.
    #[serde(rename_all = "camelCase")]
    SampledTooSlowly {
        /// Samples per second.
        rate: Hertz,
        /// Least that is needed.
        needed: Hertz,
    },
    /// Not enough sound after the pluck.
    #[serde(rename_all = "camelCase")]
    TooShort {
        /// Sound after the pluck.
        heard: Seconds,
        /// Least that is needed.
        needed: Seconds,
    },
    /// Nothing is heard.
    Silent,
    /// The recording was too loud for the microphone: its tops are cut flat.
    Clipped,
    /// Two channels stand one after the other where one was expected.
    ChannelsMixed,
    /// Mains hum covers the sound.
    Hum,
    /// No row of partials stands above the noise.
    #[serde(rename_all = "camelCase")]
    NoHarmonics {
        /// Height of the best comb.
        score: f64,
        /// Height it must have.
        needed: f64,
    },
    /// Fewer partials than a fit needs.
    #[serde(rename_all = "camelCase")]
    TooFewHarmonics {
        /// Partials found.
        found: usize,
        /// Least that are needed.
        needed: usize,
    },
    /// Too many partials of the row are missing.
    #[serde(rename_all = "camelCase")]
    HarmonicsMissing {
        /// Share of the partials within reach that were found, 0 to 1.
        found: f64,
        /// Share that is needed.
        needed: f64,
    },
    /// Another tension explains the sound nearly as well, such as one an octave away.
    #[serde(rename_all = "camelCase")]
    Ambiguous {
        /// Score of the other over the best.
        runner_up: f64,
        /// It must stay below.
        limit: f64,
    },
    /// The partials do not lie as those of a stiff string do.
    #[serde(rename_all = "camelCase")]
    HarmonicsScatter {
        /// Scatter over the lowest partial.
        scatter: f64,
        /// It must stay below.
        limit: f64,
    },
    /// Much of what is heard is not this wire: a neighbour, a chord.
    #[serde(rename_all = "camelCase")]
    OtherSounds {
        /// Share of what stands out that is the wire's, 0 to 1.
        own: f64,
        /// Share that is needed.
        needed: f64,
    },
    /// A row of partials without a strand's stiffness, or of far more: a voice, an instrument.
    NotThisStrand,
    /// The sound goes on instead of dying away: a voice, music, a machine.
    DoesNotDieAway,
    /// The tension read lies where nothing is answered.
    #[serde(rename_all = "camelCase")]
    OutsideRange {
        /// Tension read.
        tension: Newtons,
        /// Least that is answered.
        least: Newtons,
        /// Most that is answered.
        most: Newtons,
    },
    /// Not enough plucks were taken.
    #[serde(rename_all = "camelCase")]
    TooFewPlucks {
        /// Plucks taken.
        taken: usize,
        /// Least that are needed.
        needed: usize,
    },
    /// Too few plucks were read; the reasons stand beside each.
    #[serde(rename_all = "camelCase")]
    TooFewRead {
        /// Plucks that were read.
        read: usize,
        /// Least that must be read and agree.
        needed: usize,
    },
    /// The plucks that were read do not agree.
    #[serde(rename_all = "camelCase")]
    PlucksDisagree {
        /// Most over least of those read, less one.
        apart: f64,
        /// It must stay within.
        limit: f64,
    },
    /// The span is too short for this strand.
    #[serde(rename_all = "camelCase")]
    SpanTooShort {
        /// The span given.
        length: Millimetres,
        /// Least for this strand.
        least: Millimetres,
    },
    /// At the tension read, bending counts for too much.
    #[serde(rename_all = "camelCase")]
    TooStiff {
        /// L/√(EI/T) with the largest EI of the strand.
        slenderness: f64,
        /// Least that is answered.
        least: f64,
    },
    /// No limit of span is known for a strand this thick.
    #[serde(rename_all = "camelCase")]
    StrandTooThick {
        /// Diameter given.
        diameter: Millimetres,
        /// Largest for which a limit is known.
        most: Millimetres,
    },
    /// The wire runs through sleeves at the ends of the span.
    Sleeved,
    /// The wire lies loose in its holes at the ends of the span.
    LooseSupports,
    /// Nobody said how the ends of the span are held.
    SupportsNotSaid,
    /// Too few motion samples.
    #[serde(rename_all = "camelCase")]
    TooFewSamples {
        /// Samples given.
        samples: usize,
        /// Time from the first to the last.
        covered: Seconds,
        /// Longest time between two of them.
        longest: Seconds,
        /// Least number that is needed.
        needed: usize,
    },
    /// Motion samples over too short a time.
    #[serde(rename_all = "camelCase")]
    TooLittleMotion {
        /// Time covered.
        covered: Seconds,
        /// Least that is needed.
        needed: Seconds,
    },
    /// The times of the motion samples do not rise.
    TimesNotRising,
    /// The motion sensor left out too much.
    #[serde(rename_all = "camelCase")]
    MotionGaps {
        /// Longest gap.
        longest: Seconds,
        /// Share of the time without samples, 0 to 1.
        missing: f64,
    },
    /// The phone did not swing, or swung at no one frequency.
    NoSwing,
    /// The motion sensor is so slow that a faster swing would look the same.
    #[serde(rename_all = "camelCase")]
    SensorTooSlow {
        /// Samples per second.
        rate: Hertz,
        /// The swing that would look the same.
        other: Hertz,
    },
    /// The swing is above what the formula holds for.
    #[serde(rename_all = "camelCase")]
    SwingTooFast {
        /// Frequency read.
        frequency: Hertz,
        /// It must stay below.
        limit: Hertz,
    },
    /// The hung mass is too light beside the wire itself.
    #[serde(rename_all = "camelCase")]
    PhoneTooLight {
        /// Mass of the span's wire over the hung mass.
        ratio: f64,
        /// It must stay below.
        limit: f64,
    },
    /// So slack that the hung mass itself makes the tension.
    #[serde(rename_all = "camelCase")]
    TooSlackForMass {
        /// Tension read.
        tension: Newtons,
        /// Least that this mass can tell.
        least: Newtons,
    },
}

//! The refusals in words: what was wrong, and what to do.
//!
//! Invariant: every reason goes with a remedy that a person at the wire can carry out.

use super::refusal::Refusal;
use crate::units::Seconds;

impl Refusal {
    /// What was wrong, one sentence without a full stop.
    #[must_use]
    pub fn reason(&self) -> String {
        match self {
            Self::Empty => "the recording is empty".to_owned(),
            Self::Damaged => "the recording holds values that are not numbers".to_owned(),
            Self::SampledTooSlowly { rate, needed } => {
                format!("the recording has {rate} of sampling, and {needed} are needed")
            }
            Self::TooShort { heard, needed } => {
                let (heard, needed) = (told(*heard), told(*needed));
                format!("only {heard} of sound follow the pluck, and {needed} are needed")
            }
            Self::Silent => "nothing is heard".to_owned(),
            Self::Clipped => "the sound was too loud: its tops are cut off".to_owned(),
            Self::ChannelsMixed => "two channels are mixed into one".to_owned(),
            Self::Hum => "mains hum covers the sound".to_owned(),
            Self::NoHarmonics { score, needed } => format!(
                "no wire's row of tones stands above the noise (score {score:.1}, needed {needed:.1})"
            ),
            Self::TooFewHarmonics { found, needed } => {
                format!("only {found} tones of the wire were found, and {needed} are needed")
            }
            Self::HarmonicsMissing { found, needed } => format!(
                "only {:.0} % of the wire's tones were found, and {:.0} % are needed",
                found * 100.0,
                needed * 100.0
            ),
            Self::Ambiguous { .. } => {
                "two tensions explain the sound nearly as well, such as an octave apart".to_owned()
            }
            Self::HarmonicsScatter { .. } => {
                "the tones do not lie as those of a tensioned wire do".to_owned()
            }
            Self::OtherSounds { own, needed } => format!(
                "only {:.0} % of what stands out is this wire's, and {:.0} % are needed",
                own * 100.0,
                needed * 100.0
            ),
            Self::NotThisStrand => {
                "the tones are not those of this strand; a voice or music sounds like this"
                    .to_owned()
            }
            Self::DoesNotDieAway => {
                "the sound goes on instead of dying away; a voice, music or a machine does this"
                    .to_owned()
            }
            Self::OutsideRange {
                tension,
                least,
                most,
            } => format!(
                "it would mean {tension}, outside {least} to {most}{}",
                if tension < most {
                    ": it may be slack"
                } else {
                    ""
                }
            ),
            Self::TooFewPlucks { taken, needed } => {
                format!("{taken} of at least {needed} plucks were taken")
            }
            Self::TooFewRead { read, needed } => {
                format!("{read} of at least {needed} plucks could be read")
            }
            Self::PlucksDisagree { apart, limit } => format!(
                "the plucks differ by {:.0} %, and {:.0} % are allowed",
                apart * 100.0,
                limit * 100.0
            ),
            Self::SpanTooShort { length, least } => {
                format!("the span of {length} is too short for this strand, which needs {least}")
            }
            Self::TooStiff { .. } => {
                "the wire is too short and slack for its stiffness to be told from its tension"
                    .to_owned()
            }
            Self::StrandTooThick { diameter, most } => format!(
                "for a strand of {diameter} no least span is known; sound is read up to {most}"
            ),
            Self::Sleeved => "the wire runs through sleeves at the span's ends".to_owned(),
            Self::LooseSupports => {
                "the wire lies loose at the span's ends, which can read several times too low"
                    .to_owned()
            }
            Self::SupportsNotSaid => "nobody said how the span's ends are held".to_owned(),
            Self::TooFewSamples {
                samples,
                covered,
                longest,
                needed,
            } => match samples {
                1 => format!("the motion has 1 sample, and {needed} are needed"),
                _ => format!(
                    "the motion has {samples} samples over {covered}, up to {longest} apart, and {needed} \
                     within 8 s are needed"
                ),
            },
            Self::TooLittleMotion { covered, needed } => {
                format!("the motion covers {covered}, and {needed} are needed")
            }
            Self::TimesNotRising => "the times of the motion samples do not rise".to_owned(),
            Self::MotionGaps { longest, missing } => format!(
                "the motion sensor left out {:.0} % of the time, {:.2} s at the longest",
                missing * 100.0,
                longest.value()
            ),
            Self::NoSwing => "the phone swung at no one frequency".to_owned(),
            Self::SensorTooSlow { rate, other } => format!(
                "at {rate} of sampling, a swing of {other} would look the same as the one read"
            ),
            Self::SwingTooFast { frequency, limit } => {
                format!("the phone swung at {frequency}, and only below {limit} can be read")
            }
            Self::PhoneTooLight { .. } => {
                "the hung mass is too light beside the wire of this span".to_owned()
            }
            Self::TooSlackForMass { tension, least } => format!(
                "{tension} is too slack for this mass, which makes its own pull below {least}"
            ),
        }
    }

    /// What to do, one sentence.
    #[must_use]
    pub const fn remedy(&self) -> &'static str {
        match self {
            Self::Empty | Self::Damaged => "Record again.",
            Self::SampledTooSlowly { .. } => "Record with 16 000 samples per second or more.",
            Self::TooShort { .. } => "Pluck once, then let it sound for two seconds.",
            Self::Silent => "Hold the phone a hand's width from the wire and pluck harder.",
            Self::Clipped => "Hold the phone further away or pluck more softly.",
            Self::ChannelsMixed => "Hand over one channel only.",
            Self::Hum => "Go away from motors, chargers and lamps, or switch them off.",
            Self::NoHarmonics { .. }
            | Self::TooFewHarmonics { .. }
            | Self::HarmonicsMissing { .. } => {
                "Pinch both ends, damp the neighbouring wires, come closer and pluck at about a \
                 fifth of the span. A slack wire sounds so too: take it up first."
            }
            Self::Ambiguous { .. } => {
                "Pluck at about a fifth of the span, not at its middle, and damp the neighbours. A slack \
                 wire sounds so too: take it up first."
            }
            Self::HarmonicsScatter { .. } => {
                "See that the wire touches nothing between the pinches, and pluck again. A slack wire \
                 sounds so too: take it up first."
            }
            Self::OtherSounds { .. } => {
                "Damp the neighbouring wires with a hand or cloth, and record where it is quiet."
            }
            Self::NotThisStrand => {
                "Check strand, span and weight per metre; record where nobody speaks or plays."
            }
            Self::DoesNotDieAway => "Record where it is quiet, and let the wire ring out.",
            Self::OutsideRange { tension, most, .. } if tension.value() < most.value() => {
                "Take the wire up first, or check strand, span and weight per metre; else use the gauge."
            }
            Self::OutsideRange { .. } => {
                "Check strand, span and weight per metre, and the weight of what hangs on it; else use the gauge."
            }
            Self::TooFewPlucks { .. } => "Pluck three times.",
            Self::TooFewRead { .. } => "See to what each pluck says, and pluck three times again.",
            Self::PlucksDisagree { .. } => {
                "Pinch the same places each time, and pluck three times again."
            }
            Self::SpanTooShort { .. } => "Choose a longer span of the same wire, or use the gauge.",
            Self::TooStiff { .. } => {
                "Take the wire up first, choose a longer span of it, or use the gauge."
            }
            Self::StrandTooThick { .. } => "Use the gauge or the 2 kg test.",
            Self::Sleeved => "Use the gauge or the 2 kg test in this span.",
            Self::LooseSupports | Self::SupportsNotSaid => {
                "Have both ends of the span pinched, measure from pinch to pinch, and say so."
            }
            Self::TooFewSamples { .. } | Self::TooLittleMotion { .. } => {
                "Push the phone lightly and record for four seconds."
            }
            Self::TimesNotRising => "Record the motion again.",
            Self::MotionGaps { .. } => {
                "Close other programs, keep the screen on, and record again."
            }
            Self::NoSwing => {
                "Clamp the phone at mid span, push it lightly once, and keep hands off."
            }
            Self::SensorTooSlow { .. } => {
                "Use a phone with a faster motion sensor, hang more mass, or use the gauge."
            }
            Self::SwingTooFast { .. } => "Hang more mass beside the phone, and enter the sum.",
            Self::PhoneTooLight { .. } => "Hang more mass beside the phone, and enter the sum.",
            Self::TooSlackForMass { .. } => {
                "Take up the wire first, or hang the 2 kg and measure how far it goes down."
            }
        }
    }
}

/// How long a sound is, below a second in whole milliseconds: one that is too short is by rounding never told as
/// much as is needed, and never as nothing.
fn told(long: Seconds) -> String {
    match (long.value() * 1e3).floor() {
        0.0 => "less than 1 ms".to_owned(),
        ms if ms < 1e3 => format!("{ms} ms"),
        _ => long.to_string(),
    }
}

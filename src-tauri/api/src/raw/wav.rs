//! Sound from a WAV file, read by `hound`: PCM of 8 to 32 bits or 32-bit float, any rate.
//!
//! Of several channels the loudest is read: the other microphone is often covered by a hand.

use std::io::Cursor;

use hound::{SampleFormat, WavReader};
use records::work::Sound;

use crate::ApiError;

/// Longest sound that is read of one file, in seconds.
const LONGEST_S: u32 = 60;
/// Most channels.
const CHANNELS: u16 = 8;
/// Fastest sampling that any microphone of a phone or recorder has, a second.
const FASTEST: u32 = 384_000;

/// Reads the sound, and what was noticed about the file.
pub(crate) fn wav(bytes: &[u8]) -> Result<(Sound, Vec<String>), ApiError> {
    if bytes.is_empty() {
        return Err(ApiError::invalid(
            "The recording is empty (0 bytes). Record again.",
        ));
    }
    let mut reader = WavReader::new(Cursor::new(bytes)).map_err(|error| not_plain(&error))?;
    let spec = reader.spec();
    if spec.channels == 0 || spec.channels > CHANNELS {
        return Err(unusual(&format!("it has {} channels", spec.channels)));
    }
    if spec.sample_rate == 0 || spec.sample_rate > FASTEST {
        return Err(unusual(&format!(
            "it says {} samples a second",
            spec.sample_rate
        )));
    }
    let promised = reader.len();
    let most = LONGEST_S
        .saturating_mul(spec.sample_rate)
        .saturating_mul(u32::from(spec.channels));
    let wanted = promised.min(most) as usize;
    let mut notes = Vec::new();
    let samples: Vec<f32> = match spec.sample_format {
        SampleFormat::Float => whole(reader.samples::<f32>(), wanted),
        SampleFormat::Int => {
            if !(8..=32).contains(&spec.bits_per_sample) {
                return Err(unusual(&format!(
                    "its samples have {} bits",
                    spec.bits_per_sample
                )));
            }
            let full = 2.0_f32.powi(i32::from(spec.bits_per_sample) - 1);
            #[allow(clippy::cast_precision_loss)] // 24 bits of a sample are enough
            whole(reader.samples::<i32>(), wanted)
                .into_iter()
                .map(|sample| sample as f32 / full)
                .collect()
        }
    };
    if samples.len() < wanted {
        notes
            .push("The file ends earlier than its header says; what is there was read.".to_owned());
    }
    if promised > most {
        notes.push(format!("Only the first {LONGEST_S} seconds were read."));
    }
    let samples = match usize::from(spec.channels) {
        1 => samples,
        channels => {
            notes.push(format!("{channels} channels: the loudest was read."));
            loudest(&samples, channels)
        }
    };
    let sound = Sound {
        samples,
        rate: f64::from(spec.sample_rate),
    };
    Ok((sound, notes))
}

/// Samples up to the first that can't be read.
fn whole<T, E>(samples: impl Iterator<Item = Result<T, E>>, wanted: usize) -> Vec<T> {
    samples.take(wanted).map_while(Result::ok).collect()
}

fn loudest(samples: &[f32], channels: usize) -> Vec<f32> {
    let one = |channel: usize| samples.iter().skip(channel).step_by(channels).copied();
    let count = u32::try_from(samples.len() / channels)
        .unwrap_or(u32::MAX)
        .max(1);
    // What stands still is no sound, however far from zero it stands.
    let mean = |channel: usize| one(channel).map(f64::from).sum::<f64>() / f64::from(count);
    let power = |channel: usize| {
        let mean = mean(channel);
        one(channel)
            .map(|x| (f64::from(x) - mean).powi(2))
            .sum::<f64>()
    };
    let best = (0..channels).max_by(|a, b| power(*a).total_cmp(&power(*b)));
    one(best.unwrap_or(0)).collect()
}

fn not_plain(error: &hound::Error) -> ApiError {
    unusual(match error {
        hound::Error::IoError(_) => "it ends before its sound does",
        hound::Error::FormatError(_) | hound::Error::InvalidSampleFormat => {
            "its head is damaged or of another kind"
        }
        hound::Error::Unsupported => "its sound is packed in a way that is not read here",
        hound::Error::TooWide => "its samples are wider than 32 bit",
        _ => "it is damaged",
    })
}

fn unusual(what: &str) -> ApiError {
    ApiError::invalid(format!(
        "This is no WAV file that can be read ({what}). Save it as WAV, mono, 16 bit, and try \
         again. Nothing was saved."
    ))
}

#[cfg(test)]
mod tests {
    use super::{loudest, wav};
    use hound::{SampleFormat, WavSpec, WavWriter};
    use std::io::Cursor;

    const RATE: u32 = 16_000;

    fn spec(channels: u16, bits: u16, format: SampleFormat) -> WavSpec {
        WavSpec {
            channels,
            sample_rate: RATE,
            bits_per_sample: bits,
            sample_format: format,
        }
    }

    /// A tone of half scale on the last channel, a tenth of it on the others.
    fn written(spec: WavSpec, frames: usize) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        let mut writer = WavWriter::new(&mut bytes, spec).unwrap();
        for frame in 0..frames {
            let tone = (frame as f32 * 0.3).sin() * 0.5;
            for channel in 0..spec.channels {
                let sample = if channel + 1 == spec.channels {
                    tone
                } else {
                    tone * 0.1
                };
                match spec.sample_format {
                    SampleFormat::Float => writer.write_sample(sample).unwrap(),
                    SampleFormat::Int => {
                        let full = 2.0_f32.powi(i32::from(spec.bits_per_sample) - 1) - 1.0;
                        writer.write_sample((sample * full) as i32).unwrap();
                    }
                }
            }
        }
        writer.finalize().unwrap();
        bytes.into_inner()
    }

    #[test]
    fn every_width_and_channel_gives_the_same_tone() {
        for (bits, format) in [
            (8, SampleFormat::Int),
            (16, SampleFormat::Int),
            (24, SampleFormat::Int),
            (32, SampleFormat::Int),
            (32, SampleFormat::Float),
        ] {
            for channels in [1, 2, 3] {
                let (sound, notes) = wav(&written(spec(channels, bits, format), 400)).unwrap();
                assert_eq!(sound.rate, 16_000.0);
                assert_eq!(sound.samples.len(), 400);
                let step = if bits == 8 { 0.02 } else { 0.001 };
                for (frame, sample) in sound.samples.iter().enumerate() {
                    let tone = (frame as f32 * 0.3).sin() * 0.5;
                    assert!((sample - tone).abs() < step, "{bits} bits, {channels}");
                }
                assert_eq!(notes.is_empty(), channels == 1, "{notes:?}");
            }
        }
    }

    #[test]
    fn a_header_that_lies_about_its_length_is_answered_with_what_is_there() {
        let whole = written(spec(1, 16, SampleFormat::Int), 400);
        let (sound, notes) = wav(&whole[..whole.len() - 200]).unwrap();
        assert_eq!(sound.samples.len(), 300);
        assert!(notes[0].contains("ends earlier"), "{notes:?}");
        // As programs write that do not know the length yet.
        let mut streamed = whole.clone();
        let at = whole.windows(4).position(|w| w == b"data").unwrap() + 4;
        streamed[at..at + 4].copy_from_slice(&0xffff_fffe_u32.to_le_bytes());
        let (sound, notes) = wav(&streamed).unwrap();
        assert_eq!(sound.samples.len(), 400);
        assert!(!notes.is_empty());
        streamed[at..at + 4].copy_from_slice(&0_u32.to_le_bytes());
        assert!(wav(&streamed).unwrap().0.samples.is_empty());
    }

    #[test]
    fn what_is_no_wav_says_so() {
        for bytes in [
            &b""[..],
            b"RIFF",
            b"ID3\x04 a song",
            &[0; 100],
            b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0",
        ] {
            let error = wav(bytes).unwrap_err();
            assert_eq!(error.code, crate::ErrorCode::Invalid);
            assert!(error.message.ends_with('.'), "{}", error.message);
        }
    }

    #[test]
    fn no_header_makes_it_panic_or_read_more_than_is_there() {
        let extensible = written(spec(2, 24, SampleFormat::Int), 50);
        let plain = written(spec(1, 16, SampleFormat::Int), 50);
        for whole in [plain, extensible] {
            for place in 0..whole.len().min(80) {
                for value in [0, 1, 2, 3, 7, 16, 0x7f, 0x80, 0xfe, 0xff] {
                    let mut changed = whole.clone();
                    changed[place] = value;
                    if let Ok((sound, _)) = wav(&changed) {
                        assert!(sound.samples.len() <= whole.len());
                        assert!(sound.rate > 0.0);
                    }
                }
            }
            for length in 0..whole.len() {
                drop(wav(&whole[..length]));
            }
        }
    }

    #[test]
    fn a_channel_that_only_stands_away_from_zero_is_not_the_loudest() {
        let sound = [0.1_f32, -0.1, 0.05, -0.05];
        let both: Vec<f32> = sound.iter().flat_map(|sample| [0.6, *sample]).collect();
        assert_eq!(loudest(&both, 2), sound);
    }
}

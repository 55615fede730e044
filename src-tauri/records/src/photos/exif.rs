//! What a camera wrote into a picture: orientation, time with offset, position.
//!
//! A second witness beside the time and place that the app recorded, and untrusted: every string
//! passes through `visible`, every number is checked for plausibility. Invariant: nothing here can
//! refuse a picture; what can't be believed is listed as uncertain with its raw text. Make, model,
//! serial numbers and names are not read. Tags: CIPA DC-008 (Exif), read with kamadak-exif.

use super::text::visible;
use chrono::{Datelike, NaiveDateTime};
use exif::{Exif, In, Reader, Tag, Value};
use serde::{Deserialize, Serialize};
use std::io::Cursor;

const RAW_MAX_CHARS: usize = 120;

/// EXIF as read, for the `data` of a photo entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ExifFacts {
    /// 1 to 8; 1 when absent or not believed.
    pub orientation: u8,
    /// When the shutter was released, by the camera's clock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<TakenAt>,
    /// Where, by the camera's receiver.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// What stands in the file but can't be believed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub uncertain: Vec<Uncertain>,
}

/// A camera's time of taking: DateTimeOriginal, SubSecTimeOriginal and OffsetTimeOriginal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TakenAt {
    /// Local time as "2026-10-06T09:15:30".
    pub local: String,
    /// Milliseconds within that second, 0 to 999.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fraction_ms: Option<u16>,
    /// Minutes east of UTC, when the camera knew them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset_min: Option<i16>,
    /// Milliseconds since 1970 UTC, only where the offset is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_ms: Option<i64>,
}

/// A position in units of 1e-7 degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Position {
    /// North positive, within ±900 000 000.
    pub lat_e7: i64,
    /// East positive, within ±1 800 000 000.
    pub lon_e7: i64,
}

/// The part of EXIF that a doubt is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum ExifField {
    /// The block as a whole.
    Block,
    /// Orientation.
    Orientation,
    /// Date and time.
    Time,
    /// Offset from UTC.
    Offset,
    /// Fraction of the second.
    Fraction,
    /// Position.
    Position,
}

/// Something in EXIF that was read and not believed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Uncertain {
    /// What it is about.
    pub field: ExifField,
    /// The raw text with hidden characters made visible, cut at 120 characters.
    pub raw: String,
    /// Why it is not believed.
    pub why: String,
}

/// Reads EXIF from a JPEG or PNG; a picture without any gives orientation 1 and nothing else.
pub fn read_exif(bytes: &[u8]) -> ExifFacts {
    let mut facts = ExifFacts {
        orientation: 1,
        taken: None,
        position: None,
        uncertain: Vec::new(),
    };
    let read = Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut Cursor::new(bytes));
    let mut damage = None;
    let exif = match read {
        Ok(exif) => exif,
        Err(exif::Error::NotFound(_)) => return facts,
        Err(error) => {
            damage = Some(error.to_string());
            match error.distill_partial_result(|_| ()) {
                Ok(exif) => exif,
                Err(error) => {
                    facts.doubt(ExifField::Block, &error.to_string(), "it can't be read");
                    return facts;
                }
            }
        }
    };
    if let Some(damage) = damage {
        facts.doubt(ExifField::Block, &damage, "parts of it can't be read");
    }
    read_orientation(&exif, &mut facts);
    read_taken(&exif, &mut facts);
    read_position(&exif, &mut facts);
    facts
}

impl ExifFacts {
    fn doubt(&mut self, field: ExifField, raw: &str, why: &str) {
        let raw = visible(raw.trim_end(), RAW_MAX_CHARS);
        self.uncertain.push(Uncertain {
            field,
            raw,
            why: why.to_owned(),
        });
    }
}

fn read_orientation(exif: &Exif, facts: &mut ExifFacts) {
    let Some(value) = value_of(exif, Tag::Orientation) else {
        return;
    };
    match value.get_uint(0).map(u8::try_from) {
        Some(Ok(turn @ 1..=8)) => facts.orientation = turn,
        // Zero is what many programs write for "not known"; it is no lie about the picture.
        Some(Ok(0)) => {}
        _ => facts.doubt(
            ExifField::Orientation,
            &raw(value),
            "it is not one of 1 to 8",
        ),
    }
}

fn read_taken(exif: &Exif, facts: &mut ExifFacts) {
    let Some(value) = value_of(exif, Tag::DateTimeOriginal) else {
        return;
    };
    let text = raw(value);
    let Some(local) = parse_time(&text) else {
        let why = if text.chars().all(|c| matches!(c, ' ' | ':' | '0')) {
            "the camera did not know the time"
        } else {
            "it is not a date and time"
        };
        facts.doubt(ExifField::Time, &text, why);
        return;
    };
    if !plausible_year(local.year()) {
        facts.doubt(ExifField::Time, &text, "the camera's clock was not set");
        return;
    }
    let fraction_ms = value_of(exif, Tag::SubSecTimeOriginal).and_then(|value| {
        let text = raw(value);
        let parsed = parse_fraction_ms(&text);
        if parsed.is_none() && !text.trim().is_empty() {
            facts.doubt(
                ExifField::Fraction,
                &text,
                "it is not a fraction of a second",
            );
        }
        parsed
    });
    let offset_min = value_of(exif, Tag::OffsetTimeOriginal).and_then(|value| {
        let text = raw(value);
        let parsed = parse_offset_min(&text);
        if parsed.is_none() && !text.chars().all(|c| matches!(c, ' ' | ':')) {
            facts.doubt(
                ExifField::Offset,
                &text,
                "it is not an offset between -12:00 and +14:00",
            );
        }
        parsed
    });
    let at_ms = offset_min.map(|offset| {
        local.and_utc().timestamp_millis() + i64::from(fraction_ms.unwrap_or(0))
            - i64::from(offset) * 60_000
    });
    let local = local.format("%Y-%m-%dT%H:%M:%S").to_string();
    facts.taken = Some(TakenAt {
        local,
        fraction_ms,
        offset_min,
        at_ms,
    });
}

fn read_position(exif: &Exif, facts: &mut ExifFacts) {
    let parts = [
        Tag::GPSLatitudeRef,
        Tag::GPSLatitude,
        Tag::GPSLongitudeRef,
        Tag::GPSLongitude,
    ]
    .map(|tag| value_of(exif, tag));
    if parts.iter().all(Option::is_none) {
        return;
    }
    let status = value_of(exif, Tag::GPSStatus).map(raw);
    let text = parts
        .iter()
        .flatten()
        .map(|value| raw(value))
        .collect::<Vec<_>>()
        .join(" ");
    let [Some(lat_ref), Some(lat), Some(lon_ref), Some(lon)] = parts else {
        facts.doubt(
            ExifField::Position,
            &text,
            "one of its four parts is missing",
        );
        return;
    };
    let lat_e7 = signed(lat_ref, "N", "S")
        .zip(degrees_e7(lat, 90))
        .map(|(sign, e7)| sign * e7);
    let lon_e7 = signed(lon_ref, "E", "W")
        .zip(degrees_e7(lon, 180))
        .map(|(sign, e7)| sign * e7);
    let doubt = match (lat_e7, lon_e7) {
        (Some(0), Some(0)) => "0, 0 is what a receiver without a fix writes",
        (Some(_), Some(_)) if status.as_deref().is_some_and(|s| s.trim() == "V") => {
            "the receiver had lost its fix"
        }
        (Some(lat_e7), Some(lon_e7)) => {
            facts.position = Some(Position { lat_e7, lon_e7 });
            return;
        }
        _ => "it is not a place on Earth",
    };
    facts.doubt(ExifField::Position, &text, doubt);
}

fn value_of(exif: &Exif, tag: Tag) -> Option<&Value> {
    exif.get_field(tag, In::PRIMARY).map(|field| &field.value)
}

fn raw(value: &Value) -> String {
    match value {
        Value::Ascii(parts) => parts
            .iter()
            .map(|part| String::from_utf8_lossy(part.get(..256).unwrap_or(part)).into_owned())
            .collect::<Vec<_>>()
            .join(" "),
        Value::Rational(parts) => parts
            .iter()
            .take(8)
            .map(|part| format!("{}/{}", part.num, part.denom))
            .collect::<Vec<_>>()
            .join(" "),
        other => match other.get_uint(0) {
            Some(number) => number.to_string(),
            None => "a value of the wrong type".to_owned(),
        },
    }
}

fn parse_time(text: &str) -> Option<NaiveDateTime> {
    let text = text.trim_end();
    let shaped = text.len() == 19
        && text.bytes().enumerate().all(|(n, b)| match n {
            4 | 7 | 13 | 16 => b == b':',
            10 => b == b' ',
            _ => b.is_ascii_digit(),
        });
    if !shaped {
        return None;
    }
    // Chrono takes second 60 as a leap second; a camera that writes it is wrong.
    NaiveDateTime::parse_from_str(text, "%Y:%m:%d %H:%M:%S")
        .ok()
        .filter(|_| !text.ends_with(":60"))
}

/// Cameras start at 1970, 1980, 1990 or 2000 when their clock was lost.
fn plausible_year(year: i32) -> bool {
    (2001..=2099).contains(&year)
}

/// Digits after the decimal point, cut to milliseconds.
fn parse_fraction_ms(text: &str) -> Option<u16> {
    let digits = text.trim();
    if digits.is_empty() || digits.len() > 9 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    digits
        .chars()
        .chain("00".chars())
        .take(3)
        .collect::<String>()
        .parse()
        .ok()
}

fn parse_offset_min(text: &str) -> Option<i16> {
    let text = text.trim();
    let (sign, rest) = match text.strip_prefix('+') {
        Some(rest) => (1, rest),
        None => (-1, text.strip_prefix('-')?),
    };
    let (hours, minutes) = rest.split_once(':')?;
    let two_digits = |t: &str| t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit());
    if !two_digits(hours) || !two_digits(minutes) {
        return None;
    }
    let (hours, minutes): (i16, i16) = (hours.parse().ok()?, minutes.parse().ok()?);
    let offset = sign * (60 * hours + minutes);
    (minutes < 60 && (-12 * 60..=14 * 60).contains(&offset)).then_some(offset)
}

fn signed(reference: &Value, positive: &str, negative: &str) -> Option<i64> {
    match raw(reference).trim() {
        letter if letter.eq_ignore_ascii_case(positive) => Some(1),
        letter if letter.eq_ignore_ascii_case(negative) => Some(-1),
        _ => None,
    }
}

/// Degrees, minutes and seconds as rationals to 1e-7 degree, rounded half away from zero.
fn degrees_e7(value: &Value, most_degrees: i64) -> Option<i64> {
    let Value::Rational(parts) = value else {
        return None;
    };
    let [degrees, minutes, seconds] = parts.as_slice() else {
        return None;
    };
    let number = |part: &exif::Rational| (part.denom != 0).then(|| part.to_f64());
    let (degrees, minutes, seconds) = (number(degrees)?, number(minutes)?, number(seconds)?);
    if minutes >= 60.0 || seconds >= 60.0 {
        return None;
    }
    let e7 = ((degrees + minutes / 60.0 + seconds / 3600.0) * 1e7).round();
    let most_e7 = most_degrees * 10_000_000;
    // Bounded by the comparison, so the cast is exact.
    (e7.is_finite() && e7 <= most_e7 as f64).then_some(e7 as i64)
}
